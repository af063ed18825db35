"""Folded pieces: what a design or a command asks for, folded, cut, opened and audited."""
