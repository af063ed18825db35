"""Parametric generators whose paper is in one piece by construction."""

from .registry import Motif, catalogue, find_motif

__all__ = ["Motif", "catalogue", "find_motif"]
