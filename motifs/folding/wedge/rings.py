"""Motifs nested in rings: a whole wedge drawn from a few words, its open edge shaped, or varied by a seed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely
from shapely.affinity import scale, translate
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.errors import BadValue, DoesNotFit, suggest
from canivet.lengths import format_length
from canivet.motifs.folding.fold import Fold, WedgeDrawing
from canivet.motifs.folding.unfolding import kept_of
from canivet.motifs.shapes.openings import Points

from .fitting import fit_cells, fit_figure, fit_openings, fit_spandrels
from .lanes import Lane, Plan, depth_of, lay_lanes
from .ornaments import UNITS, find_unit

__all__ = ["EDGES", "USUAL_RINGS", "Border", "Ring", "draw_rings", "seeded_rings", "takes_border"]

Place = Literal["fold", "between"]

EDGES = ("plain", "scallops", "teeth", "petals", "waves")
"""How the open edge may be cut."""


_SLOPES = {"teeth": 1.0, "petals": 2.0}
"""How steeply these fall from their tips, in depths to half a width."""

_STEEPEST = 2.5
"""The steepest side of a tip: half of one, where the sheet ends, is then 22° wide and no limb."""


@dataclass(frozen=True, slots=True)
class Ring:
    """One ring of motifs.

    Attributes
    ----------
    motif : str
        A name in `UNITS`.
    share : float
        How deep it is beside the other rings.
    count : int
        Units to every two wedges, that is to every repeat of the opened piece. 1 to 12.
    at : {"fold", "between"}
        Whether a unit stands on the wedge's first side, or the first gap does.
    divisions : int
        How finely a unit is divided; 1 leaves it whole.
    width : float
        Of a unit, as a share of its room, above 0, at most 1.
    turned : bool
        Points inward instead of outward.
    fill : bool
        Whether what the units leave of the ring is opened too, a strap off them.
    figure : geometry or None
        A shape of one's own in place of the motif, its up pointing out: a silhouette, a letter. Opened as it
        is.
    mirrored : bool
        Whether a figure is drawn as its mirror image: every other layer shows it the other way round, and
        this chooses which, so that a letter reads rightly in the layers that matter.
    """

    motif: str = "petals"
    share: float = 1.0
    count: int = 1
    at: Place = "fold"
    divisions: int = 1
    width: float = 1.0
    turned: bool = False
    fill: bool = False
    figure: BaseGeometry | None = None
    mirrored: bool = False


USUAL_RINGS = (Ring("drops", fill=True), Ring("petals", count=2))
"""What is drawn where nothing is asked for."""


@dataclass(frozen=True, slots=True)
class Border:
    """How the open edge is cut: a kind in `EDGES`, how many to every two wedges, and how deep in mm."""

    kind: str = "plain"
    count: int = 1
    depth: float = 6.0


def draw_rings(
    fold: Fold,
    rings: Sequence[Ring],
    *,
    strap: float = 1.2,
    smallest: float = 0.5,
    rim: float | None = None,
    eye: float = 0.0,
    gap: float = 0.0,
    border: Border | None = None,
    round_lanes: bool | None = None,
    kept: Polygon | None = None,
) -> WedgeDrawing:
    """Rings of motifs from the middle of a fold to its open edge, fitted so that the opened piece holds.

    Parameters
    ----------
    fold : Fold
        Where they are drawn.
    rings : sequence of Ring
        From inside to outside.
    strap : float
        mm between openings, default 1.2.
    smallest : float
        Radius of the smallest opening worth cutting, mm, default 0.5.
    rim : float or None
        mm of paper along an open edge; None for a strap and a half.
    eye : float
        Radius of a round opening in the middle, mm; 0 for none. Negative keeps a disc of paper that large.
    gap : float
        mm between rings beyond a strap.
    border : Border or None
        How the open edge is cut.
    round_lanes : bool or None
        See `depth_of`.
    kept : Polygon or None
        The part of the wedge that is not cut off, a point of a star for one; None for what the border keeps.

    Returns
    -------
    WedgeDrawing
        Ready for `unfold`.

    Raises
    ------
    BadValue, DoesNotFit
        If a motif is not known, a number is out of range, or nothing can be cut.

    Examples
    --------
    >>> from canivet.motifs.folding.folds import medallion_fold
    >>> from canivet.motifs.folding.unfolding import unfold
    >>> fold = medallion_fold(count=6, width=120)
    >>> drawing = draw_rings(fold, [Ring("drops"), Ring("petals", count=2)], strap=1.5)
    >>> len(unfold(fold, drawing.openings, strap=1.5).interiors)
    18
    """
    rim = 1.5 * strap if rim is None else rim
    plan = depth_of(fold, round_lanes=round_lanes)
    kept = _shaped(fold, plan, border) if kept is None else kept
    low, high = _reach(fold, plan, rim - strap / 2, border)
    low = max(low, abs(eye) + (strap / 2 if eye > 0 else 0.0)) if plan.round else low
    lanes = lay_lanes(plan, [ring.share for ring in rings], low=low, high=high, gap=gap)
    rules: dict[str, float] = {"strap": strap, "smallest": smallest, "rim": rim}
    openings: list[Polygon] = []
    if eye > 0 and plan.round:
        disc = Point(plan.origin).buffer(eye, quad_segs=24)
        openings += fit_openings(fold, [disc], strap=strap, smallest=smallest, rim=rim, kept=kept)
    for ring, lane in zip(rings, lanes, strict=True):
        # The last ring's spandrels run out to the rim, whatever shape the edge has.
        out = plan.depth if lane is lanes[-1] else lane.high
        openings += _ring(fold, ring, lane, openings, kept, rules, out)
    if not openings:
        raise DoesNotFit(
            f"rings leave no opening worth cutting in the wedge with a strap of {format_length(strap)}. "
            "Lower strap, count or smallest, or take a larger sheet.",
            parameter="rings", accepted="rings with room for openings",
        )  # fmt: skip
    return WedgeDrawing(tuple(openings), kept)


def seeded_rings(fold: Fold, seed: int, *, most: int = 4) -> list[Ring]:
    """Return rings chosen by chance, the same for the same number: no two neighbours alike.

    Parameters
    ----------
    fold : Fold
        Narrow wedges get fewer units to a repeat.
    seed : int
        Which of the many.
    most : int
        Rings at most.

    Returns
    -------
    list of Ring

    Examples
    --------
    >>> from canivet.motifs.folding.folds import medallion_fold
    >>> seeded_rings(medallion_fold(), 3) == seeded_rings(medallion_fold(), 3)
    True
    """
    chance = np.random.default_rng(seed)
    plan = depth_of(fold)
    number = int(chance.integers(2, most + 1))
    across = abs(plan.last - plan.first) * (plan.depth if plan.round else 1.0)
    names = chance.permutation(np.array(list(UNITS)))[:number].tolist()
    rings = []
    for k, name in enumerate(names):
        out = (k + 0.5) / number if plan.round else 1.0
        room = across * out / max(plan.depth / number, 1e-9)
        count = max(1, min(6, round(room * float(chance.uniform(0.8, 1.6)))))
        rings.append(
            Ring(
                name, share=float(chance.uniform(0.7, 1.4)), count=count,
                at="fold" if chance.random() < 0.6 else "between",
                divisions=_finely(name, chance), width=float(chance.uniform(0.75, 1.0)),
                turned=bool(chance.random() < 0.25), fill=bool(chance.random() < 0.6),
            )
        )  # fmt: skip
    return rings


def _finely(name: str, chance: np.random.Generator) -> int:
    low, high = {"ferns": (4, 7), "lattice": (1, 3), "beads": (1, 2), "arcs": (1, 3), "fans": (3, 6)}.get(
        name, (1, 2)
    )
    return int(chance.integers(low, high + 1))


def _ring(
    fold: Fold,
    ring: Ring,
    lane: Lane,
    beside: Sequence[Polygon],
    kept: Polygon | None,
    rules: dict[str, float],
    out: float,
) -> list[Polygon]:
    _check_ring(ring)
    middles = _middles(ring)
    if ring.figure is not None:
        shapes = [_figure(ring, lane, u) for u in middles]
        found: list[Polygon] = []
        for shape in shapes:
            found += fit_figure(fold, shape, **rules, kept=kept, beside=[*beside, *found])
    else:
        cells = [
            lane.bend(_in_lane(unit, ring, u))
            for u in middles
            for unit in find_unit(ring.motif)(ring.divisions)
        ]
        found = fit_cells(fold, [c for c in cells if not c.is_empty], **rules, kept=kept, beside=beside)
    if ring.fill:
        region = replace(lane, high=out).region(rules["strap"] / 2)
        found += fit_spandrels(fold, region, [*beside, *found], **rules, kept=kept)
    return found


def _reach(fold: Fold, plan: Plan, inset: float, border: Border | None) -> tuple[float, float]:
    """Return from where to where lanes run: inside the rim of an open edge, right up to a fold."""
    shaped = border.depth if border and border.kind != "plain" else 0.0
    lanes = (Lane(plan, 0.0, plan.depth).place(np.array([(0.5, v)])) for v in (0.0, 1.0))
    inner, outer = (Point(at[0]) for at in lanes)
    opened = shapely.union_all([edge.line for edge in fold.edges if edge.role == "open"])
    low = inset if not opened.is_empty and opened.distance(inner) < 1e-6 else 0.0
    high = plan.depth - (
        inset if not opened.is_empty and (plan.round or opened.distance(outer) < 1e-6) else 0.0
    )
    return low, high - shaped


def _middles(ring: Ring) -> list[float]:
    """Return where units stand, u from one side to the other; those beyond are images of these."""
    start = 0.0 if ring.at == "fold" else 1 / ring.count
    return [u for k in range(ring.count + 1) if (u := start + 2 * k / ring.count) <= 1 + 1e-9]


def _in_lane(unit: Points, ring: Ring, u: float) -> Points:
    s, v = unit[:, 0] * ring.width, unit[:, 1]
    return np.column_stack([u + s / ring.count, 1 - v if ring.turned else v])


def _figure(ring: Ring, lane: Lane, u: float) -> BaseGeometry:
    """Set a figure of one's own in the middle of its room, as large as fits."""
    assert ring.figure is not None
    low_x, low_y, high_x, high_y = ring.figure.bounds
    shape = translate(ring.figure, -(low_x + high_x) / 2, -(low_y + high_y) / 2)
    room = 2 * lane.width(0.4) / ring.count * ring.width
    size = min(room / (high_x - low_x), lane.depth / (high_y - low_y)) * 0.98
    flip = -1 if ring.mirrored else 1
    shape = scale(shape, flip * size, -size if ring.turned else size, origin=(0, 0))
    return lane.stand(shape, u, 0.5)


def _shaped(fold: Fold, plan: Plan, border: Border | None) -> Polygon | None:
    """Return the part of the wedge inside a shaped open edge."""
    if border is None or border.kind == "plain":
        return None
    _check_border(fold, plan, border)
    u = np.linspace(0, 1, 24 * border.count + 1)
    s = (
        np.abs((u * border.count) % 2 - 1)
        if border.kind in ("teeth", "petals")
        else (u * border.count) % 2 - 1
    )
    out = plan.depth - border.depth * _dip(border.kind, s)
    lane = Lane(plan, 0.0, plan.depth)
    ends = np.array([(1.0, 0.0), (0.0, 0.0)]) if not plan.round else np.array([(0.0, 0.0)])
    profile = Polygon(lane.place(np.vstack([np.column_stack([u, out / plan.depth]), ends])))
    return kept_of(fold, profile.buffer(0))


def takes_border(fold: Fold, plan: Plan | None = None) -> bool:
    """Whether the outside of the wedge is an open edge in every layer, so that it can be cut to a shape."""
    plan = depth_of(fold) if plan is None else plan
    outer = Point(Lane(plan, 0.0, plan.depth).place(np.array([(0.5, 1.0)]))[0])
    opened = [
        edge
        for edge in fold.edges
        if edge.role == "open" and (plan.round or edge.line.distance(outer) < 1e-6)
    ]
    return bool(opened) and not fold.hem


def _dip(kind: str, s: Points) -> Points:
    """Return how far the edge falls back, 0 to 1, at s across one bump."""
    dips: dict[str, Points] = {
        "scallops": 1 - np.sqrt(np.clip(1 - s**2, 0, 1)),
        "teeth": 1 - np.abs(s),
        "petals": 1 - s**2,
        "waves": (1 + np.cos(np.pi * s)) / 2,
    }
    return dips[kind]


def _check_border(fold: Fold, plan: Plan, border: Border) -> None:
    if border.kind not in EDGES:
        raise BadValue(
            f"border is {border.kind!r}; it takes one of: {', '.join(EDGES)}.{suggest(border.kind, EDGES)}",
            parameter="border", value=border.kind, accepted=", ".join(EDGES),
        )  # fmt: skip
    if not takes_border(fold, plan):
        raise DoesNotFit(
            f"border is {border.kind}; a {fold.name} has no open edge to shape. Leave border plain.",
            parameter="border", value=border.kind, accepted="plain",
        )  # fmt: skip
    count = border.count if 1 <= border.count <= 12 else 1
    half = Lane(plan, 0.0, plan.depth).width(1.0) / count
    most = min(plan.depth / 2, _STEEPEST * half / _SLOPES.get(border.kind, 0.1))
    if count != border.count or not 0 < border.depth <= most:
        raise BadValue(
            f"border has {border.count} {border.kind} {format_length(border.depth)} deep; it takes 1 to 12 "
            f"to every two wedges, and {count} of them up to {format_length(most, 1)} deep.",
            parameter="border", value=border.depth, accepted=f"up to {format_length(most, 1)}",
        )  # fmt: skip


def _check_ring(ring: Ring) -> None:
    for name, value, low, high in (
        ("count", ring.count, 1, 24), ("divisions", ring.divisions, 0, 12), ("width", ring.width, 0.05, 1.0),
        ("share", ring.share, 0.01, 100.0),
    ):  # fmt: skip
        if not (math.isfinite(value) and low <= value <= high):
            raise BadValue(
                f"ring's {name} is {value:g}; it takes {low:g} to {high:g}.",
                parameter=name, value=value, accepted=f"{low:g} to {high:g}",
            )  # fmt: skip
