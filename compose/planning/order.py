"""In what order openings are cut: the delicate while the sheet is whole, without running about.

Opening i has area a and delicacy w; K = exp(−d/reach) says how near two openings are. When its turn comes it
is supported by the nearby openings still uncut, and the plan wants the sum of w_i·a_j·K_ij over all i before
j as large as possible. K is symmetric, so of any two openings i should come before j exactly when
w_i·a_j > w_j·a_i; that is one order for all pairs at once, descending w/a: the best support of any piece is
known exactly.

References
----------
W. E. Smith, "Various optimizers for single-stage production", Naval Research Logistics Quarterly 3, 1956 (the
exchange argument).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from canivet.audit.boundary import Floats, Ints

__all__ = ["FAR", "Nearness", "best_order", "nearness", "plan_order", "support_of"]

FAR = 3.0
"""Reaches. Openings farther apart than this do not support each other: exp(−3) is 5 %."""

_BANDS = 6


@dataclass(frozen=True, slots=True, eq=False)
class Nearness:
    """Pairs of openings within `FAR` reaches, and how near they are: first, second, exp(−d/reach)."""

    first: Ints
    second: Ints
    weight: Floats


def nearness(at: Floats, reach: float) -> Nearness:
    """Return every pair of places within `FAR` reaches of each other."""
    pairs = cKDTree(at).query_pairs(FAR * reach, output_type="ndarray")
    apart = np.hypot(*(at[pairs[:, 0]] - at[pairs[:, 1]]).T)
    return Nearness(pairs[:, 0], pairs[:, 1], np.exp(-apart / reach))


def best_order(area: Floats, delicacy: Floats) -> Ints:
    """Return the order with the best support of all: descending delicacy over area."""
    order: Ints = np.argsort(-delicacy / area, kind="stable")
    return order


def support_of(order: Ints, area: Floats, delicacy: Floats, near: Nearness) -> float:
    """Return the share of the way from the worst order to the best, 0 to 1; 1 where all are alike."""
    turn = np.empty(len(order), np.intp)
    turn[order] = np.arange(len(order))
    forth = near.weight * delicacy[near.first] * area[near.second]
    back = near.weight * delicacy[near.second] * area[near.first]
    got = np.where(turn[near.first] < turn[near.second], forth, back).sum()
    best, worst = np.maximum(forth, back).sum(), np.minimum(forth, back).sum()
    return 1.0 if best - worst <= 1e-9 * best else float((got - worst) / (best - worst))


def plan_order(at: Floats, area: Floats, delicacy: Floats, reach: float) -> tuple[Ints, float]:
    """Return an order of cutting, as rows in turn, and its support."""
    bands: list[NDArray[np.intp]] = np.array_split(best_order(area, delicacy), min(_BANDS, len(at)))
    order = np.concatenate([band[np.lexsort((at[band, 0], at[band, 1].round(-1)))] for band in bands])
    return order, support_of(order, area, delicacy, nearness(at, reach))
