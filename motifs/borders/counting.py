"""How many repeats fit a side, and several sides alike."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

__all__ = ["recount", "recount_together"]


def recount(length: float, repeat: float, *, least: float = 0.0, multiple: int = 1) -> int:
    """Return how many repeats fit a length, each as near as can be to the one asked for.

    Parameters
    ----------
    length, repeat : float
        mm.
    least : float
        mm; no repeat may come out shorter than this.
    multiple : int
        The count is a multiple of this, for symmetry.

    Returns
    -------
    int
        0 where not even `multiple` of them fit.

    Examples
    --------
    >>> recount(100, 9), recount(100, 9, multiple=4), recount(100, 9, least=9.5)
    (11, 12, 10)
    """
    exact = length / repeat / multiple
    below = max(1, math.floor(exact))
    count = below + 1 if exact > math.sqrt(below * (below + 1)) else below
    if least > 0:
        count = min(count, math.floor(length / least / multiple + 1e-9))
    return multiple * max(0, count)


def recount_together(
    lengths: Sequence[float], repeat: float, *, least: float, most: float, multiple: int = 1
) -> list[int]:
    """Return how many repeats fit each of several lengths, so that all come out about equally long.

    The eye sees a side whose repeats are longer than its neighbour's before it sees that all are a little
    longer than asked for, so repeats up to a quarter off are tried.

    Parameters
    ----------
    lengths : sequence of float
        mm.
    repeat, least, most : float
        mm; asked for, and between what a repeat must stay.
    multiple : int
        Each count is a multiple of this.

    Returns
    -------
    list of int
        Empty where they cannot be fitted.

    Examples
    --------
    >>> recount_together([80, 130], 9, least=5, most=20, multiple=2)
    [10, 16]
    """
    best: list[int] = []
    cost = math.inf
    for scale in np.geomspace(0.8, 1.25, 41):
        counts = [recount(length, repeat * scale, least=least, multiple=multiple) for length in lengths]
        each = [length / count if count else math.inf for length, count in zip(lengths, counts, strict=True)]
        if max(each) > most * (1 + 1e-9):
            continue
        away = max(abs(math.log(r / repeat)) for r in each)
        strain = math.log(max(each) / min(each)) + 0.5 * away
        if strain < cost - 1e-9:
            best, cost = counts, strain
    return best
