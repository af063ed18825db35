"""Lattices: a region pierced by a pattern inside a rim."""
