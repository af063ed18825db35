"""Figures on a plate: where each stands, several of one, what holds it, and the white round it."""
