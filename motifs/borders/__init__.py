"""Borders: a band of ornament along the edge of a piece, the window inside it left solid."""
