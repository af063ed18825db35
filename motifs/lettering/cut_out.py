"""Cut-out letters: letters that are openings in solid paper, what lies inside them held by bridges."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

from canivet.audit.boundary import GRID, Paper
from canivet.audit.strength import check_strength
from canivet.motifs.shapes.rounds import inscribed_radius

from ._held.bridges import ways_to_bridge
from ._held.holding import (
    GROWTH,
    MARGIN,
    CannotHold,
    lift_marks,
    losing_form,
    losing_its_form,
    mend_breaks,
    on_grid,
    over_the_edge,
    remarks_on,
    require_widths,
    widen,
)
from ._outlines import as_multi
from .text import Letter, Letters

__all__ = ["CutOut", "cut_letters", "require_cut"]

_LOST = 0.1
"""Letter heights: the largest disc that a letter may lose to straps in one place and still be read."""

_SCRAP = 0.004
"""Square letter heights. A piece smaller than this is a corner left by a bridge; it may go."""

_BRIDGE = 1.08
"""A bridge is this many straps wide, so that it does not pass for a slip of the knife."""


@dataclass(frozen=True, slots=True, eq=False)
class CutOut:
    """Cut-out letters made to hold.

    Attributes
    ----------
    openings : tuple of Polygon
        What is cut away, none with an island in it.
    bridges : tuple of Polygon
        The bridges that hold the counters, where they stand; one or two to a counter.
    remarks : tuple of str
        What was done to the letters.
    """

    openings: tuple[Polygon, ...]
    bridges: tuple[Polygon, ...]
    remarks: tuple[str, ...]


def cut_letters(
    panel: Polygon, letters: Letters, *, strap: float, smallest: float, search: bool = True
) -> CutOut:
    """Letters cut out of solid paper, each counter on one bridge or two.

    Parameters
    ----------
    panel : Polygon
        The solid paper the letters stand in, mm; a strap of it stays along its edge.
    letters : Letters
        In place inside it.
    strap : float
        The narrowest paper that may be left, mm, above 0.
    smallest : float
        Radius of the smallest opening worth cutting, mm, 0 or more.
    search : bool
        Whether a refusal says at what height the letters would hold, which takes a while; default true.

    Returns
    -------
    CutOut

    Raises
    ------
    DoesNotFit
        If a letter loses its form at this height, with the height that would do; or if the letters do not
        stand clear inside the panel.

    Notes
    -----
    Bridges stand on the stress axis of a round letter, above and below, and beside the stem of one that has
    one; a low counter, as that of an e, has one, through its thinner wall (stencil roman, *common practice*).
    So has the bowl of a b, d, p or q, at the end where its stem runs on: it stays joined to the stem at the
    other. Hairlines are widened to twice the smallest radius, paper between strokes to the strap.

    Examples
    --------
    >>> from shapely import box
    >>> from canivet.motifs.lettering.text import shape_text, space_by_eye
    >>> letter = space_by_eye(shape_text("O", size=10)).moved(3, 3)
    >>> cut = cut_letters(box(0, 0, 20, 16), letter, strap=1, smallest=0.4)
    >>> len(cut.openings), len(cut.bridges)
    (2, 2)
    """
    require_widths(strap, smallest)

    def alone(letter: Letter, letters: Letters) -> object:
        return cut_letter(letter, letters.size, strap, smallest)

    def together(scale: float) -> CutOut:
        larger = affinity.scale(panel, scale, scale, origin=(0, 0))
        return _cut_all(larger, letters.scaled(scale), strap, smallest)

    try:
        return _cut_all(panel, letters, strap, smallest)
    except CannotHold:
        if not search:
            raise losing_its_form("cut-out", letters, strap, smallest) from None
        raise losing_form("cut-out", letters, strap, smallest, alone, together) from None


def require_cut(panel: Polygon, letters: Letters, *, strap: float, smallest: float) -> None:
    """Refuse letters that would lose their form when cut out, or reach over the edge, one by one.

    What `cut_letters` refuses beyond that shows only once they are cut side by side, which takes longer.

    Raises
    ------
    DoesNotFit
        As `cut_letters` does.
    """
    try:
        _made_wide(panel, letters, strap, smallest)
    except CannotHold:
        raise losing_its_form("cut-out", letters, strap, smallest) from None


def _made_wide(
    panel: Polygon, letters: Letters, strap: float, smallest: float
) -> tuple[list[_Made], list[MultiPolygon], list[MultiPolygon]]:
    """Return the letters but for spaces, made wide enough to cut; and where they and their bridges stand."""
    each = [letter for letter in letters.each if not letter.blank]
    made = [cut_letter(letter, letters.size, strap, smallest) for letter in each]
    shapes = [one.put(m.shape) for one, m in zip(each, made, strict=True)]
    over_the_edge(panel.buffer(GRID - strap), letters, shapes)
    return made, shapes, [one.put(m.bridges) for one, m in zip(each, made, strict=True)]


def _cut_all(panel: Polygon, letters: Letters, strap: float, smallest: float) -> CutOut:
    """Cut all letters, with a strap of paper between any two; `CannotHold` where that cannot be."""
    made, shapes, bridges = _made_wide(panel, letters, strap, smallest)
    openings = _apart(panel, shapes, strap, smallest)
    cut = shapely.union_all(openings)
    if not all(_still_there(shape, openings, letters.size) for shape in shapes):
        raise CannotHold
    whole = panel.buffer(3 * strap, join_style="mitre").difference(cut)
    if not check_strength(whole, strap=strap, smallest=smallest).holds:
        raise CannotHold
    bars = tuple(bar for bridge in bridges for bar in bridge.geoms)
    return CutOut(tuple(openings), bars, remarks_on(m.done for m in made))


@dataclass(frozen=True, slots=True, eq=False)
class _Made:
    shape: MultiPolygon
    bridges: MultiPolygon
    done: tuple[str, ...]


def cut_letter(letter: Letter, size: float, strap: float, smallest: float) -> _Made:
    """Make one letter wide enough to cut and bridge its counters; the same letter is made once.

    Raises
    ------
    CannotHold
        If it would lose its form.
    """
    made = _cut_shape(letter.shape.wkb, size, strap, smallest)
    if made is None:
        raise CannotHold
    return made


@lru_cache(maxsize=1024)
def _cut_shape(wkb: bytes, size: float, strap: float, smallest: float) -> _Made | None:
    try:
        return _cut(mend_breaks(as_multi(shapely.from_wkb(wkb)), size), size, strap, smallest)
    except CannotHold:
        return None


def _cut(shape: MultiPolygon, size: float, strap: float, smallest: float) -> _Made:
    wide = strap + MARGIN
    done = []
    open_ = widen(on_grid(_wide_marks(shape, size, smallest)), 2 * smallest) if smallest > 0 else shape
    if _loses(open_, shape, GROWTH * size):
        raise CannotHold
    if open_.difference(shape).area > 0.01 * size**2:
        done.append("hairlines widened")
    parts, lifted = lift_marks(open_, wide)
    if lifted:
        done.append("marks lifted")
    meant = shapely.union_all(parts)
    panel = meant.envelope.buffer(3 * strap)
    bridges: list[Polygon] = []
    for k, part in enumerate(parts):
        others = [*(p for i, p in enumerate(parts) if i != k)]
        bridges += _bridges_that_fit(part, others, panel, size, strap, smallest)
    bridged = meant.difference(shapely.union_all(bridges))
    openings = _apart(panel, [bridged], strap, smallest)
    if not _still_there(bridged, openings, size) or any(opening.interiors for opening in openings):
        raise CannotHold
    return _Made(as_multi(openings), as_multi(bridges), tuple(done))


def _bridges_that_fit(
    part: Polygon, others: Sequence[Polygon], panel: Polygon, size: float, strap: float, smallest: float
) -> list[Polygon]:
    """Return the bridges of a letter: the best way for each counter, or the best for all that stays read."""
    ways = ways_to_bridge(part, size, _BRIDGE * strap)
    if not ways:
        return []
    for k in range(3):
        chosen = [bar for way in ways for bar in way[k]]
        bridged = part.difference(shapely.union_all(chosen))
        openings = _apart(panel, [bridged, *(Polygon(other.exterior) for other in others)], strap, smallest)
        if _still_there(bridged, openings, size) and not any(o.interiors for o in openings):
            return chosen
    raise CannotHold


def _still_there(meant: Paper, openings: Sequence[Polygon], size: float) -> bool:
    """Whether every piece of a letter is still cut, and none has lost more than it can spare."""
    cut = shapely.union_all(list(openings))
    for piece in shapely.get_parts(meant):
        if piece.area > _SCRAP * size**2 and piece.intersection(cut).area < 0.5 * piece.area:
            return False
    return not _loses(meant, cut, _LOST * size)


def _wide_marks(shape: MultiPolygon, size: float, smallest: float) -> MultiPolygon:
    """Enlarge dots and accents that are too small to cut."""
    parts = []
    for part in shape.geoms:
        lacking = smallest + 2 * MARGIN - inscribed_radius(Polygon(part.exterior), tolerance=GRID)
        if lacking > GROWTH * size:
            raise CannotHold
        parts.append(part.buffer(lacking, quad_segs=12) if lacking > 0 else part)
    return as_multi(shapely.union_all(parts))


def _apart(panel: Polygon, shapes: Sequence[Paper], strap: float, smallest: float) -> list[Polygon]:
    """Return the openings with at least a strap of paper between them, those too small to cut left out."""
    frame = panel.buffer(3 * strap, join_style="mitre")
    paper = on_grid(frame.difference(shapely.union_all(list(shapes))))
    openings: list[Polygon] = []
    for _ in range(4):
        mended = widen(paper, strap + GRID)
        cut = on_grid(frame.difference(mended))
        slit = smallest / 2
        cut = as_multi(
            cut.buffer(-slit, quad_segs=12).buffer(1.02 * slit, join_style="mitre").intersection(cut)
        )
        openings = [
            p for p in on_grid(cut).geoms if not shapely.is_empty(p.buffer(-(smallest + GRID), quad_segs=12))
        ]
        after = on_grid(frame.difference(shapely.union_all(openings)))
        if shapely.symmetric_difference(after, mended).area < 1e-4:
            break
        paper = after
    return openings


def _loses(meant: Paper, made: Paper, radius: float) -> bool:
    """Whether a disc of more than that radius fits into what `meant` has and `made` has not."""
    lost = shapely.get_parts(shapely.difference(meant, made))
    # no disc in a part has more area than the part
    large = lost[shapely.area(lost) > max(0.01, math.pi * radius**2)]
    return any(inscribed_radius(part, tolerance=GRID) > radius for part in large)
