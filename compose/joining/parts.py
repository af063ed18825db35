"""Joining loose parts with bridges, so that nothing falls out of the sheet.

First a tree of the cheapest bridges that reaches every part, then further ones, until as far as the ground
allows no part hangs on a single hold. Bridges are short, end in thick paper, and never cross a third part
or one another.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Literal

import numpy as np
import shapely
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import minimum_spanning_tree
from shapely.geometry import Polygon

from canivet.audit.again import Measures
from canivet.audit.boundary import GRID, Ints, Paper, require_valid
from canivet.audit.strength import StrengthReport, check_strength
from canivet.compose.mending.areas import each_on_grid
from canivet.compose.mending.repair import Change, Repair, changes_of, repair_paper
from canivet.compose.mending.thickening import MARGIN
from canivet.errors import BadValue, DoesNotFit

from ._bridges import Style, draw_bridges
from ._spanning import Choice, double_up, span
from ._uniting import unite
from .candidates import Ground, Neighbourhood, Parts, find_candidates, neighbourhood

__all__ = ["Bridge", "Held", "Joined", "hold_together", "join_parts"]

_FINER = (1, 3)
"""How closely to look for bridges, the second only where the first leaves a part loose."""


@dataclass(frozen=True, slots=True)
class Bridge:
    """A strap that was added: where its middle line meets the two parts, how wide and long, and which parts.

    `parts` are rows of ``shapely.get_parts(paper)`` of the paper that came in. `extra` says that it is there
    for a second hold; the others make the tree.
    """

    start: tuple[float, float]
    end: tuple[float, float]
    width: float
    length: float
    parts: tuple[int, int]
    extra: bool


@dataclass(frozen=True, slots=True)
class Joined:
    """One piece of paper out of many, and the bridges that hold it. Lengths in mm.

    Attributes
    ----------
    paper : Polygon
        What stays.
    bridges : tuple of Bridge
        The tree first, the cheapest first.
    tree_length, total_length : float
        Of the bridges in the tree, and of all.
    bound : float
        The shortest any tree of straight bridges could be: the spanning tree of the gaps between the parts.
    leaves : int
        Parts with one bridge of the tree.
    single_holds_left : int
        Bridges whose loss would still drop something.
    filled : tuple of Change
        Openings the bridges left that were too small to cut, and were closed.
    patched : tuple of Change
        Paper added where a bridge met a part at a neck under the strap.
    """

    paper: Polygon
    bridges: tuple[Bridge, ...]
    tree_length: float
    total_length: float
    bound: float
    leaves: int
    single_holds_left: int
    filled: tuple[Change, ...] = ()
    patched: tuple[Change, ...] = ()


@dataclass(frozen=True, slots=True)
class Held:
    """A shape mended, joined, mended again and audited.

    Attributes
    ----------
    paper : Polygon
        What stays.
    repair : Repair
        What was mended before joining.
    joined : Joined
        What was joined.
    finish : Repair
        What was mended after joining.
    report : StrengthReport
        The audit of `paper`; read ``report.holds``.
    """

    paper: Polygon
    repair: Repair
    joined: Joined
    finish: Repair
    report: StrengthReport

    @property
    def doubtful(self) -> tuple[Change, ...]:
        """Return the parts that are smaller than the bridges they are held by: dust, more likely than not."""
        parts = shapely.get_parts(self.repair.paper)
        laid = np.zeros(len(parts))
        for bridge in self.joined.bridges:
            for part in bridge.parts:
                laid[part] += bridge.length * bridge.width
        return changes_of([part for part, area in zip(parts, laid, strict=True) if part.area < area])


def join_parts(
    paper: Paper,
    *,
    strap: float,
    smallest: float = 0.0,
    holds: Literal["single", "double"] = "double",
    keep_out: Paper | None = None,
    within: Paper | None = None,
    direction_deg: float | None = None,
    style: Style = "bar",
    known: Measures | None = None,
) -> Joined:
    """Loose parts tied into one piece by straps as short and as few as hold.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        Valid, in mm; islands within openings of other parts are parts like any.
    strap : float
        Width of a bridge, mm, above 0.
    smallest : float
        Radius of the smallest opening worth cutting, mm; smaller ones that bridges leave are filled.
    holds : "single" or "double"
        Whether each part is tied once, or wherever the ground allows so that no single tear drops it.
    keep_out : Polygon or MultiPolygon, optional
        Where no bridge may be seen or end, a face for instance.
    within : Polygon or MultiPolygon, optional
        What no bridge may leave.
    direction_deg : float, optional
        The direction bridges should rather take, degrees from the x axis.
    style : "stem", "bar", "leaf" or "bead"
        A plain bar; where it is long enough a bent stem, or a bar with a leaf or a bead at its middle.
    known : Measures, optional
        As in `canivet.compose.mending.repair.repair_paper`.

    Returns
    -------
    Joined

    Raises
    ------
    BadValue
        If the paper is not valid or a value is out of range.
    DoesNotFit
        If a part cannot be reached.

    Notes
    -----
    The parts themselves are not mended: see `canivet.compose.mending.repair`, or `hold_together` for both.
    Necks that the bridges make with the parts are patched.

    References
    ----------
    The tree: J. B. Kruskal, Proc. AMS 7 (1956). Second holds: K. P. Eswaran and R. E. Tarjan, SIAM J.
    Comput. 5 (1976), for the fewest that can do where nothing stands in the way (both from memory).

    Examples
    --------
    >>> from shapely import MultiPolygon, box
    >>> two = MultiPolygon([box(0, 0, 10, 10), box(13, 0, 23, 10)])
    >>> joined = join_parts(two, strap=1.5)
    >>> joined.paper.geom_type, [b.length for b in joined.bridges], joined.single_holds_left
    ('Polygon', [3.0, 3.0], 0)
    """
    _require(strap, smallest, holds, style, direction_deg)
    parts, index = _parts(paper)
    if len(parts) == 1:
        return Joined(parts[0], (), 0.0, 0.0, 0.0, 0, 0)
    for name, area in (("keep_out", keep_out), ("within", within)):
        if area is not None:
            require_valid(area, parameter=name)
    ground = Ground(parts, strap + 2 * MARGIN, keep_out, within, direction_deg)
    seen = neighbourhood(ground)
    choice = _choose(ground, seen, max(2 * smallest, strap / 2), holds == "double")
    bodies = draw_bridges(choice.ways, ground, style)
    whole, filled, laid = unite(parts, bodies, strap, smallest, known or Measures())
    bridges = tuple(_bridge(choice, k, strap, index) for k in range(len(choice.ways)))
    degree = np.bincount(np.concatenate([choice.ways.a[choice.tree], choice.ways.b[choice.tree]]))
    return Joined(
        paper=whole,
        bridges=bridges,
        tree_length=float(choice.ways.length[choice.tree].sum()),
        total_length=float(choice.ways.length.sum()),
        bound=_bound(seen, len(parts)),
        leaves=int((degree == 1).sum()),
        single_holds_left=choice.single_holds,
        filled=changes_of(filled),
        patched=changes_of(laid),
    )


def hold_together(
    paper: Paper,
    *,
    strap: float,
    smallest: float,
    slip: float = 0.0,
    holds: Literal["single", "double"] = "double",
    keep_out: Paper | None = None,
    within: Paper | None = None,
    direction_deg: float | None = None,
    style: Style = "bar",
    thicken: bool = True,
    fill: bool = True,
    drop: bool = True,
    smooth: float = 0.0,
    known: Measures | None = None,
) -> Held:
    """A shape from outside made into one piece that holds: mended, joined, mended again, audited.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        Valid, in mm.
    strap, smallest, slip : float
        The promise, mm, as in `canivet.audit.strength.check_strength`.
    holds, keep_out, within, direction_deg, style
        As in `join_parts`.
    thicken, fill, drop, smooth, known
        As in `canivet.compose.mending.repair.repair_paper`.

    Returns
    -------
    Held
        ``report.holds`` says whether the promise is kept.

    Raises
    ------
    BadValue
        If the paper is not valid or a value is out of range.
    DoesNotFit
        If nothing is left after the specks are dropped, or a part cannot be reached.

    Examples
    --------
    >>> from shapely import MultiPolygon, Point
    >>> dots = MultiPolygon([Point(6 * k, 0).buffer(2) for k in range(4)])
    >>> hold_together(dots, strap=1.2, smallest=0.4).report.holds
    True
    """
    needed = strap + 2 * slip
    known = known or Measures()
    mending = partial(
        repair_paper, strap=needed, smallest=smallest, thicken=thicken, fill=fill, drop=drop, known=known
    )
    repair = mending(paper, smooth=smooth)
    joined = join_parts(
        repair.paper, strap=needed, smallest=smallest, holds=holds, keep_out=keep_out, within=within,
        direction_deg=direction_deg, style=style, known=known,
    )  # fmt: skip
    last = mending(joined.paper)
    whole = last.paper if isinstance(last.paper, Polygon) else joined.paper
    report = check_strength(whole, strap=strap, slip=slip, smallest=smallest, known=known)
    return Held(whole, repair, joined, last, report)


def _require(strap: float, smallest: float, holds: str, style: str, direction_deg: float | None) -> None:
    for name, value, low in (("strap", strap, GRID), ("smallest", smallest, 0.0)):
        if not low <= value <= 1000:
            raise BadValue(
                f"{name} is {value:g} mm; it takes {low:g} mm to 1000 mm.",
                parameter=name, value=value, accepted=f"{low:g} mm to 1000 mm",
            )  # fmt: skip
    for name, word, known in (
        ("holds", holds, ("single", "double")),
        ("style", style, ("stem", "bar", "leaf", "bead")),
    ):
        if word not in known:
            raise BadValue(
                f"{name} is {word!r}; it takes one of: {', '.join(known)}.",
                parameter=name, value=word, accepted=", ".join(known),
            )  # fmt: skip
    if direction_deg is not None and not -360 <= direction_deg <= 360:
        raise BadValue(
            f"direction_deg is {direction_deg:g}; it takes -360 to 360 degrees.",
            parameter="direction_deg", value=direction_deg, accepted="-360 to 360",
        )  # fmt: skip


def _parts(paper: Paper) -> tuple[Parts, list[int]]:
    """Return the loose parts on the grid, and which of the parts that came in each one was."""
    came = shapely.get_parts(require_valid(paper))
    parts, index = shapely.get_parts(each_on_grid(came), return_index=True)
    solid = (shapely.get_type_id(parts) == shapely.GeometryType.POLYGON) & (shapely.area(parts) > 0)
    parts, index = parts[solid], index[solid].tolist()
    if len(parts) == 0:
        raise DoesNotFit(
            f"the paper is nowhere {GRID:g} mm wide; nothing of it is left on the grid. Draw it stronger, or "
            "check its unit: it is read in mm.",
            parameter="paper",
        )  # fmt: skip
    shapely.prepare(parts)
    return parts, index


def _choose(ground: Ground, seen: Neighbourhood, gap: float, double: bool) -> Choice:
    """Return the bridges to lay, looking more closely where a part stays out of reach."""
    for finer in _FINER:
        ways = find_candidates(ground, finer=finer, seen=seen if finer == 1 else None)
        tree, group = span(ways, len(ground.parts), ground.strap, gap)
        if len(np.unique(group)) == 1:
            return double_up(ways, tree, ground, gap) if double else Choice.plain(ways, tree)
    raise _unreached(ground, group)


def _unreached(ground: Ground, group: Ints) -> DoesNotFit:
    """Say which part stays loose: the smallest of those not tied to the largest."""
    area = shapely.area(ground.parts)
    main = group[int(np.argmax(area))]
    loose = np.flatnonzero(group != main)
    worst = loose[int(np.argmin(area[loose]))]
    x, y = shapely.get_coordinates(shapely.point_on_surface(ground.parts[worst]))[0]
    kept = ground.keep_out is not None or ground.within is not None
    advice = "Leave bridges more ground to cross, move it nearer" if kept else "Move it nearer"
    return DoesNotFit(
        f"the part of {area[worst]:.3g} mm² at ({x:.1f}, {y:.1f}) mm, one of {len(loose)} loose parts, "
        f"cannot be reached by a bridge {ground.strap - 2 * MARGIN:g} mm wide that crosses no other part. "
        f"{advice}, or make the strap narrower.",
        parameter="strap", value=ground.strap - 2 * MARGIN, at=(float(x), float(y)),
    )  # fmt: skip


def _bridge(choice: Choice, k: int, strap: float, index: list[int]) -> Bridge:
    ways = choice.ways
    start, end = ways.start[k], ways.end[k]
    return Bridge(
        (float(start[0]), float(start[1])), (float(end[0]), float(end[1])), strap, float(ways.length[k]),
        (index[ways.a[k]], index[ways.b[k]]), not bool(choice.tree[k]),
    )  # fmt: skip


def _bound(seen: Neighbourhood, n: int) -> float:
    """Return the length of the spanning tree of the gaps between the parts."""
    pairs, gap = seen.pairs, seen.gap
    # csgraph takes a stored 0 for no edge; a gap of nothing costs next to nothing.
    graph = csr_matrix((np.maximum(gap, 1e-9), (pairs[:, 0], pairs[:, 1])), shape=(n, n))
    return float(minimum_spanning_tree(graph).sum())
