"""Creatures, each from a pose: beasts, birds, fish and butterfly."""
