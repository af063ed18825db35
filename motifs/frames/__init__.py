"""Plate frames: outline, border, window, name panel and ground of a plate in one arrangement."""
