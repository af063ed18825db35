"""What raised letters stand on: ground to the edge of the panel, with wells for tails, or rails."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box

from canivet.audit.boundary import GRID, Paper
from canivet.motifs.lettering._held.holding import lay_band
from canivet.motifs.lettering.text import FAR, Letter, Letters

__all__ = ["STANDS", "hangs_below", "lay_grounds"]

STANDS = 0.04
"""Letter heights the feet stand in what holds them: what a round letter needs to grip it by a strap."""

_TAIL = 0.09
"""Letter heights below the baseline, from which a letter hangs below it; a round one only swells over it."""

_AIR = 0.3
"""mm by which the white beside a tail is wider than the smallest opening."""

_PILLAR = 0.6
"""Straps: half the width of paper between two wells that is given up to make one well of them."""

Band = tuple[float, float]


def lay_grounds(
    panel: Polygon, letters: Letters, bodies: Sequence[MultiPolygon], bands: Sequence[Band],
    strap: float, smallest: float, rails: str,
) -> list[Paper]:  # fmt: skip
    """Return what letters stand on, in place.

    Parameters
    ----------
    panel : Polygon
        mm.
    letters : Letters
        In place inside it.
    bodies : sequence of MultiPolygon
        The stout areas of those that are no spaces, each in its letter's own frame.
    bands : sequence of (float, float)
        The rails, bottom and top above the baseline; the first is at the feet.
    strap, smallest : float
        mm.
    rails : str
        "foot": the last line stands on ground that fills the panel below it; all other lines on rails.

    Notes
    -----
    A rail ends at a letter that hangs below it and begins anew beyond. In ground such a letter gets a
    well, on whose floor it stands.
    """
    own = _by_line(letters, bodies)
    laid: list[Paper] = []
    for k, guide in enumerate(letters.guides):
        hanging = [(one, body) for one, body in own[k] if hangs_below(one, letters.size)]
        if rails == "foot" and k == len(letters.guides) - 1:
            wells = [well for one, body in hanging for well in _wells(one, body, letters.size, smallest)]
            feet = [
                _foot(one, body, letters.size) for one, body in own[k] if not hangs_below(one, letters.size)
            ]
            laid.append(_dug(_ground(panel, guide, bands[0][1]), wells, feet, _PILLAR * strap))
            continue
        for band in bands:
            gaps = [gap for one, body in hanging if (gap := _gap(one, body, band, strap)) is not None]
            laid.append(lay_band(guide, band).difference(shapely.union_all(gaps)))
    return laid


def hangs_below(letter: Letter, size: float) -> bool:
    """Whether a letter reaches below the line it stands on, as a g does."""
    return bool(not letter.blank and letter.shape.bounds[1] < -_TAIL * size)


def _by_line(letters: Letters, bodies: Sequence[MultiPolygon]) -> list[list[tuple[Letter, MultiPolygon]]]:
    """Return the letters of each line with their bodies."""
    own: list[list[tuple[Letter, MultiPolygon]]] = [[] for _ in letters.guides]
    solid = [one for one in letters.each if not one.blank]
    for one, body in zip(solid, bodies, strict=True):
        line = int(np.argmin([guide.distance(Point(one.at)) for guide in letters.guides]))
        own[line].append((one, body))
    return own


def _ground(panel: Polygon, guide: LineString, top: float) -> Paper:
    """Return what of a panel lies below a line."""
    points = shapely.get_coordinates(guide)
    if np.hypot(*(points[0] - points[-1])) > GRID:
        return panel.intersection(lay_band(guide, (-FAR, top)))
    raised = lay_band(guide, (0.0, top))
    whole = Polygon(guide)
    if raised.difference(whole).area > raised.area / 2:  # heads point outward
        return panel.intersection(whole.union(raised))
    return panel.difference(whole.difference(raised))


def _foot(letter: Letter, body: MultiPolygon, size: float) -> Paper:
    """Return the ground right under a letter, which stays; nothing under a sign that hangs in the air."""
    x0, y0, x1, _ = body.bounds
    standing = body.intersection(box(x0, y0 - 1, x1, STANDS * size))
    if standing.is_empty:
        return MultiPolygon()
    a0, _, a1, _ = standing.bounds
    return letter.put(MultiPolygon([box(a0, -size, a1, STANDS * size)]))


def _dug(ground: Paper, wells: Sequence[Paper], feet: Sequence[Paper], pillar: float) -> Paper:
    """Return ground with wells in it, near ones made one, and none under the feet of another letter."""
    if not wells:
        return ground
    one = shapely.union_all(list(wells))
    one = one.buffer(pillar, join_style="mitre").buffer(-pillar, join_style="mitre").union(one)
    return ground.difference(one.difference(shapely.union_all(list(feet))))


def _wells(letter: Letter, body: MultiPolygon, size: float, smallest: float) -> list[Paper]:
    """Return the room that each tail of a letter needs in the ground; its foot stands in the floor."""
    x0, y0, x1, _ = body.bounds
    aside = 2 * smallest + _AIR
    wells = []
    for tail in shapely.get_parts(body.intersection(box(x0 - 1, y0 - 1, x1 + 1, -STANDS * size))):
        a0, low, a1, _ = tail.bounds
        if low < -_TAIL * size:
            wells.append(
                letter.put(MultiPolygon([box(a0 - aside, low + STANDS * size, a1 + aside, size / 4)]))
            )
    return wells


def _gap(letter: Letter, body: MultiPolygon, band: Band, strap: float) -> Paper | None:
    """Return where a rail is interrupted at a letter: between its outermost places that the rail meets."""
    x0, y0, x1, y1 = body.bounds
    met = body.intersection(box(x0 - 1, band[0], x1 + 1, band[1]))
    if met.is_empty:
        return None
    a0, _, a1, _ = met.bounds
    sunk = min(0.6 * strap, (a1 - a0) / 2)
    return (
        letter.put(MultiPolygon([box(a0 + sunk, y0 - 1, a1 - sunk, y1 + 1)])) if a1 - a0 > 2 * sunk else None
    )
