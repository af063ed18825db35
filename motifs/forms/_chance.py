"""Chance: what keeps a form that repeats alive."""

from __future__ import annotations

import numpy as np

__all__ = ["Chance", "some"]

Chance = np.random.Generator


def some(chance: Chance, spread: float = 0.1) -> float:
    """Return 1, so much more or less."""
    return float(1 + spread * chance.uniform(-1, 1))
