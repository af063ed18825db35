"""Silhouettes that come from files: SVG drawings, scans and paintings."""
