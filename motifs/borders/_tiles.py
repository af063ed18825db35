"""Ornament by the repeat: a bay, the post between two bays, and a corner, laid round a piece.

An ornament is drawn once, flat, in a strip of given height: `x` along, 0 in the middle of a bay or on a
post, `y` outward from the inner rail. Bays and posts mirror themselves about x = 0 and corners about the line
y = x, so a border is symmetrical wherever its outline is.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import ClassVar, TypeAlias

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from canivet.errors import DoesNotFit
from canivet.lengths import format_length
from canivet.motifs.borders._ornament.areas import CHORD_LOSS, diagonal, mirrored, worth_ring
from canivet.motifs.shapes.openings import Points, Rings, densified, pierce, rings_from

from ._circuit import Circuit, Mitre, fine_step, lay_circuit
from ._refusals import Ornamented, check_repeat
from .band import Corner, Run, usual_band
from .counting import recount_together

__all__ = ["Ornament", "draw_border"]


@dataclass(frozen=True, slots=True)
class Ornament:
    """A strip to be filled with repeats, and how that is done. Lengths in mm.

    Attributes
    ----------
    height : float
        From the inner rail to the rim.
    strap : float
        Narrowest paper between openings.
    smallest : float
        Radius of the smallest opening worth cutting.
    """

    height: float
    strap: float
    smallest: float

    what: ClassVar[str] = "the repeat"
    rounded: ClassVar[float] = 0.0
    """How round the corners of the opening in a mitre are."""

    faced: ClassVar[bool] = False
    """Whether a bay is not its own mirror image, so that the second half of each run faces the other way."""

    turned: ClassVar[bool] = False
    """Whether `corner` draws all that lies beyond the last bay, and no half post ends a run."""

    halved: ClassVar[bool] = True
    """Whether half a post ends a run; if not, the paper there is left solid."""

    rigid: ClassVar[bool] = False
    """Whether a bay keeps its shape where the band bends, instead of bending with it."""

    tied: ClassVar[bool] = False
    """Whether `stretch` runs past many repeats, from a corner or a tie to the next."""

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        return 2 * self.smallest

    @property
    def natural(self) -> float:
        """Return how long a repeat is when nothing else is asked."""
        return self.height

    @property
    def shortest(self) -> float:
        """Return the shortest repeat that can be cut."""
        return self.strap + 2 * self.smallest

    @property
    def longest(self) -> float:
        """Return the longest repeat that looks and holds well."""
        return max(3 * self.height, 3 * self.natural)

    @property
    def over(self) -> float:
        """Return how far beyond the end of a run the outermost post stands at a square corner."""
        return self.strap / 2

    def cut(self, area: BaseGeometry, *, soft: float = 0.0) -> list[Points]:
        """Return the openings of an area that mirrors itself about x = 0, those worth cutting."""
        return mirrored(area, smallest=self.smallest, soft=soft)

    def cut_corner(self, area: BaseGeometry, *, soft: float = 0.0) -> list[Points]:
        """Return the openings of an area that mirrors itself about y = x, those worth cutting."""
        return diagonal(area, smallest=self.smallest, soft=soft)

    def bay(self, repeat: float) -> list[Points]:
        """Return the openings of one repeat."""
        raise NotImplementedError

    def post(self, repeat: float) -> list[Points]:  # noqa: ARG002 - most need no more than a strap there
        """Return the openings that straddle two repeats."""
        return []

    def stretch(self, repeat: float, count: int) -> list[Points]:  # noqa: ARG002 - most end with a repeat
        """Return the openings that run past so many repeats, about x = 0 in their middle."""
        return []

    def tie(self, repeat: float) -> list[Points]:  # noqa: ARG002 - a tie may be solid
        """Return the openings in what parts two stretches; it takes the room of two repeats."""
        return []

    def end(self, repeat: float) -> list[Points]:
        """Return the openings between the last bay and the end of a run at x = 0: half a post."""
        halves: list[Points] = []
        for shape in self.post(repeat):
            low_x, low_y, _, high_y = Polygon(shape).bounds
            half = Polygon(shape).intersection(shapely.box(low_x, low_y, -self.strap / 2, high_y))
            halves += worth_ring(half, self.smallest, self.rounded)
        return halves

    def corner(self, repeat: float) -> list[Points]:
        """Return the openings of a square corner; coordinates run out from the inner corner."""
        raise NotImplementedError


Make: TypeAlias = Callable[[float, float, float], Ornament]
Flags: TypeAlias = npt.NDArray[np.bool_]

_LONG = 10
"""Repeats on a side that has a tie in its middle, at least."""


def draw_border(
    within: Polygon,
    make: Make,
    *,
    band: float | None,
    rim: float,
    strap: float,
    repeat: float | None,
    smallest: float,
) -> Polygon:
    """Lay an ornament round a piece and cut it out.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and outward corners.
    make : callable
        Given height, strap and smallest, what to lay.
    band : float or None
        mm; None for what suits the piece.
    rim, strap, smallest : float
        mm.
    repeat : float or None
        About how long a repeat is; None for what suits the ornament.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If the band is too narrow, the repeat too short or too long, or a side too short.
    """
    band = usual_band(within, band)
    circuit, ornament = _fitted(within, make, band, rim, strap, smallest)
    if ornament.height < ornament.least_height - 1e-9:
        raise Ornamented(band, ornament.what).too_narrow(
            _least_band(within, make, band, rim, strap, smallest)
        )
    what = f"{ornament.what} {format_length(ornament.height, 2)} high"
    check_repeat(repeat, what, shortest=ornament.shortest, longest=ornament.longest)
    return pierce(within, _lay(circuit, ornament, repeat, band=band, rim=rim + circuit.slack))


def _fitted(
    within: Polygon, make: Make, band: float, rim: float, strap: float, smallest: float
) -> tuple[Circuit, Ornament]:
    """Lay a band and size the ornament to it, with what flattening curves may take from each strap."""
    circuit = lay_circuit(within, band)
    rail = strap + circuit.slack + CHORD_LOSS
    return circuit, make(band - rim - circuit.slack - rail, rail, smallest + circuit.slack)


def _least_band(within: Polygon, make: Make, band: float, rim: float, strap: float, smallest: float) -> float:
    """Return the band that would do; on a curve a wider band needs a little more for its straps."""
    for _ in range(4):
        try:
            _, ornament = _fitted(within, make, band, rim, strap, smallest)
        except DoesNotFit:
            break
        band += max(0.0, ornament.least_height - ornament.height)
    return band


def _lay(
    circuit: Circuit, ornament: Ornament, repeat: float | None, *, band: float, rim: float
) -> list[Rings]:
    over = _ends(circuit, ornament)
    if circuit.closed:
        knots = np.append(circuit.joints, circuit.joints[0] + circuit.runs[0].length)
        lengths = np.diff(knots).tolist()
    else:
        lengths = [run.length + sum(ends) for run, ends in zip(circuit.runs, over, strict=True)]
    multiple = 2 if ornament.faced or ornament.tied else 1
    counts = recount_together(
        lengths, repeat or ornament.natural, least=ornament.shortest, most=ornament.longest, multiple=multiple
    )
    if not counts:
        raise Ornamented(band, ornament.what).too_short(
            min(lengths), ornament.shortest * multiple, number=multiple
        )
    each = min(length / count for length, count in zip(lengths, counts, strict=True))
    circuit = circuit.stretched(counts, each, over)
    rail = ornament.strap
    openings = _lay_runs(circuit, ornament, counts, each, over)
    if ornament.tied:
        openings += _lay_stretches(circuit, ornament, counts, each, over)
    corner = ornament.corner(each) if any(isinstance(turn, Corner) for turn in circuit.turns) else []
    for index, turn in enumerate(circuit.turns):
        if isinstance(turn, Corner):
            openings += [rings_from(circuit.lay_corner(index, shape, rise=rail)) for shape in corner]
        elif isinstance(turn, Mitre):
            openings += _in_mitre(turn, ornament, rim)
    return openings


def _ends(circuit: Circuit, ornament: Ornament) -> list[tuple[float, float]]:
    """Return how far beyond its two ends the outermost posts of each run stand."""
    if circuit.closed:
        return [(0.0, 0.0)]
    at = [ornament.over if isinstance(turn, Corner) else ornament.strap / 2 for turn in circuit.turns]
    return list(zip(at, [*at[1:], at[0]], strict=True))


def _lay_runs(
    circuit: Circuit, ornament: Ornament, counts: list[int], repeat: float, over: list[tuple[float, float]]
) -> list[Rings]:
    bay, post = ornament.bay(repeat), ornament.post(repeat)
    if not bay and not post and not ornament.tied:
        raise _too_fine(ornament, repeat)
    half = ornament.end(repeat) if ornament.halved and not circuit.closed else []
    openings: list[Rings] = []
    for index, (run, number, back) in enumerate(_rows(circuit, counts, ornament)):
        at = number * repeat - over[index][0]
        rail = ornament.strap
        lay = partial(_laid, run, rise=rail)
        if ornament.rigid:
            openings += [rings_from(run.lay_rigid(shape, at[:-1] + repeat / 2, rise=rail)) for shape in bay]
        else:
            openings += lay(bay, at[:-1] + repeat / 2, mirrored=back)
        openings += lay(post, at[:-1] if circuit.closed else at[1:-1])
        if not circuit.closed:
            turns = circuit.turns[index], circuit.turns[(index + 1) % len(counts)]
            halved = [isinstance(turn, Mitre) or not ornament.turned for turn in turns]
            openings += lay(half, at[[0, -1]][halved], mirrored=np.array([True, False])[halved])
    return openings


def _lay_stretches(
    circuit: Circuit, ornament: Ornament, counts: list[int], repeat: float, over: list[tuple[float, float]]
) -> list[Rings]:
    """Lay what runs from tie to tie: one in every joint or mitre, and one in the middle of a long side."""
    openings: list[Rings] = []
    tie = ornament.tie(repeat)
    for index, (first, ends) in enumerate(_sides(circuit, counts)):
        run, begin = circuit.runs[0 if circuit.closed else index], over[0 if circuit.closed else index][0]
        count = counts[index]
        middle = [first + count // 2] if count >= _LONG else []
        knots = [first - 1 + ends[0], *middle, first + count + 1 - ends[1]]
        for low, high in pairwise(knots):
            number = high - low - 2
            shapes = ornament.stretch(repeat, number) if number > 0 else []
            at = np.array([(low + high) / 2 * repeat - begin])
            openings += _laid(run, shapes, at, rise=ornament.strap)
        tied = [first, *middle] if circuit.closed else middle
        openings += _laid(run, tie, np.array(tied) * repeat - begin, rise=ornament.strap)
    return openings


def _sides(circuit: Circuit, counts: list[int]) -> Iterator[tuple[int, tuple[int, int]]]:
    """Give the first post of each side, and for either end 1 where a tie holds it, 0 at a square corner."""
    if circuit.closed:
        yield from ((first, (1, 1)) for first in np.cumsum([0, *counts[:-1]]).tolist())
        return
    held = [int(isinstance(turn, Mitre)) for turn in circuit.turns]
    yield from ((0, ends) for ends in zip(held, [*held[1:], held[0]], strict=True))


def _rows(circuit: Circuit, counts: list[int], ornament: Ornament) -> Iterator[tuple[Run, Points, Flags]]:
    """Give each run, the numbers of its posts, and which of its bays face back."""
    facing = [ornament.faced & (2 * np.arange(count) >= count) for count in counts]
    if circuit.closed:
        yield circuit.runs[0], np.arange(sum(counts) + 1.0), np.concatenate(facing)
        return
    for run, count, back in zip(circuit.runs, counts, facing, strict=True):
        yield run, np.arange(count + 1.0), back


def _laid(
    run: Run, shapes: list[Points], at: Points, *, rise: float, mirrored: Flags | None = None
) -> list[Rings]:
    fine = [densified(shape, fine_step(run)) for shape in shapes if len(at)]
    return [rings_from(run.lay(shape, at, rise=rise, mirrored=mirrored)) for shape in fine]


def _in_mitre(mitre: Mitre, ornament: Ornament, rim: float) -> list[Rings]:
    """Return the drop in a mitre, exactly alike on either side of it."""
    inner, _, tip, _ = mitre.kite
    up = (tip - inner) / math.dist(tip, inner)
    turn = np.array([(up[1], -up[0]), (up[0], up[1])])
    body = mitre.opening(strap=ornament.strap, rim=rim)
    upright = shapely.transform(body, lambda points: (points - inner) @ turn.T)
    drops = mirrored(upright, smallest=ornament.smallest, soft=max(0.35, ornament.rounded))
    return [rings_from((drop @ turn + inner)[None]) for drop in drops]


def _too_fine(ornament: Ornament, repeat: float) -> DoesNotFit:
    return DoesNotFit(
        f"strap is {format_length(ornament.strap, 2)} with what curves take from it; {ornament.what} "
        f"{format_length(repeat, 1)} long and {format_length(ornament.height, 2)} high leaves no opening "
        "worth cutting. Lower strap or smallest, or widen band.",
        parameter="strap", value=ornament.strap, accepted="a strap that leaves openings",
    )  # fmt: skip
