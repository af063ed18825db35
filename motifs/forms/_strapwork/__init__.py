"""Strapwork: scrolls that swell and roll up, leaves sprung from them, and what they frame."""
