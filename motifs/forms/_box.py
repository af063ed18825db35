"""The box a form fills: which of it the form takes, how it is stretched into it, and what is refused."""

from __future__ import annotations

import numpy as np
from shapely.affinity import affine_transform
from shapely.geometry import Polygon

from canivet.audit.strength import StrengthReport
from canivet.errors import DoesNotFit
from canivet.lengths import format_length
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import fits

__all__ = ["faults_in", "fit_to_box", "natural_box", "require_box", "without_pinholes"]


def natural_box(width: float, height: float, *, broadest: float, slenderest: float) -> tuple[float, float]:
    """Return the largest box inside width × height, `slenderest` to `broadest` times as wide as high."""
    return min(width, broadest * height), min(height, width / slenderest)


def require_box(what: str, strap: float, sides: dict[str, tuple[float, float]]) -> None:
    """Refuse a box too small for a form: each side by its name, as given and at the least, mm."""
    for name, (given, needs) in sides.items():
        if given < needs - 1e-9:
            accepted = f"at least {format_length(needs, 2)}"
            raise DoesNotFit(
                f"{name} is {format_length(given)}; {what} with straps of {format_length(strap)} needs "
                f"{accepted}. Raise {name} or lower strap.",
                parameter=name, value=given, accepted=accepted,
            )  # fmt: skip


def fit_to_box(shape: Polygon, width: float, height: float) -> tuple[Polygon, Points, Points]:
    """Stretch a shape so that its bounds are the box; return it with its old corner and the two ratios."""
    x0, y0, x1, y1 = shape.bounds
    ratio = np.array([width / (x1 - x0), height / (y1 - y0)])
    stretched = affine_transform(shape, [ratio[0], 0, 0, ratio[1], -x0 * ratio[0], -y0 * ratio[1]])
    return stretched, np.array([x0, y0]), ratio


def faults_in(report: StrengthReport) -> Points:
    """Return where paper is too thin or an opening too small, shape (n, 2)."""
    found = [n.at for n in report.necks] + [limb.at for limb in report.limbs]
    found += [o.at for o in report.small_openings]
    return np.array(found, dtype=float).reshape(-1, 2)


def without_pinholes(paper: Polygon, radius: float) -> Polygon:
    """Return the paper with every opening filled into which no circle of that radius fits."""
    kept = [ring for ring in paper.interiors if fits(Polygon(ring), radius)]
    return Polygon(paper.exterior, kept)
