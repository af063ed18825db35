"""Mending shapes, so that every strap holds and every opening can be cut."""
