"""Drawings out: SVG, PDF and PNG, and the printed page around the piece."""
