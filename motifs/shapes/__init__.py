"""Shapes that every family draws with, and openings as arrays of rings."""
