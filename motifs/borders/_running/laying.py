"""Laying flowing ornament round a band.

A flowing border is drawn as paper: stems, strands and leaves on a strip between two rails, from where it
starts (a corner, or the foot of a ring) to the middle of the side. The openings between are worked out once,
on a strip of at most three repeats bent once about a corner, and then laid as often as the band asks for; no
shape is joined or subtracted on the piece itself.

All sides are drawn at the shortest of their repeats and drawn out to their own, so that straps only widen.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol, TypeVar

import numpy as np
import numpy.typing as npt
import shapely
from shapely.affinity import translate
from shapely.geometry import Polygon

from canivet.lengths import format_length
from canivet.motifs.borders._circuit import bent_round
from canivet.motifs.borders._refusals import check_repeat
from canivet.motifs.borders.band import Band, Run, usual_band
from canivet.motifs.shapes.openings import Points, Rings, densified, pierce, rings_from

from .openings import mended
from .room import THINNING_LOSS, Proportions, Room, check_height, counts_for, longest, room_in
from .sketch import Flow, Sketch, sketch_flat, thinned

__all__ = ["Round", "draw_flow", "draw_round", "lay_corners", "lay_flow", "lay_round"]

Ornament = TypeVar("Ornament", bound=Proportions)


class Round(Proportions, Protocol):
    """A flowing ornament that runs round one way, given by its openings."""

    def bay(self, repeat: float) -> list[Polygon]:
        """Return the openings of one repeat, and of it only, from x = 0 on; they may reach into the next."""

    def beside_corner(self, repeat: float, /) -> int:
        """Return how many repeats to either side of a corner are drawn with it."""

    def corner(self, repeat: float) -> list[Polygon]:
        """Return the openings of a corner and of those repeats, both coordinates outward."""


def draw_flow(
    within: Polygon,
    make: Callable[[float, float, float], Flow],
    *,
    band: float | None,
    rim: float,
    strap: float,
    repeat: float | None,
    smallest: float,
) -> Polygon:
    """Lay a flowing ornament round a piece, mirrored about the middle of each side, and cut it out.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and square corners.
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
        If the band is too narrow or cannot be laid, the repeat does not suit, or a side is too short for one.
    """
    room = room_in(within, band=usual_band(within, band), rim=rim, strap=strap, smallest=smallest)
    return pierce(within, lay_flow(room, _made(make, room), repeat=repeat))


def draw_round(
    within: Polygon,
    make: Callable[[float, float, float], Round],
    *,
    band: float | None,
    rim: float,
    strap: float,
    repeat: float | None,
    smallest: float,
) -> Polygon:
    """Lay an ornament round a piece, running one way, and cut it out.

    Parameters and errors are those of `draw_flow`.
    """
    room = room_in(within, band=usual_band(within, band), rim=rim, strap=strap, smallest=smallest)
    return pierce(within, lay_round(room, _made(make, room), repeat=repeat))


def _made(make: Callable[[float, float, float], Ornament], room: Room) -> Ornament:
    """Size an ornament to a room, or refuse a band too narrow for it."""
    ornament = make(room.height, room.strap, room.smallest)
    check_height(room, ornament.least_height)
    return ornament


def _check_repeat(flow: Proportions, repeat: float | None, room: Room) -> None:
    what = f"this ornament, {format_length(room.height, 2)} high between its rails,"
    check_repeat(repeat, what, shortest=flow.shortest, longest=longest(flow))


def lay_flow(room: Room, flow: Flow, *, repeat: float | None) -> list[Rings]:
    """Lay a flowing ornament round the band, mirrored about the middle of each side.

    Parameters
    ----------
    room : Room
        Where.
    flow : Flow
        What.
    repeat : float or None
        About how long a repeat is, in mm; None for what suits the ornament.

    Returns
    -------
    list of ring arrays
        Disjoint openings.

    Raises
    ------
    DoesNotFit
        If the repeat asked for does not suit, or a side is too short for one.
    """
    _check_repeat(flow, repeat, room)
    band = room.band
    lead = room.strap if band.corners else 0.0
    halves = [run.length / 2 + lead for run in band.runs]
    counts = counts_for(room, halves, repeat or flow.natural, flow.shortest)
    each = [half / count for half, count in zip(halves, counts, strict=True)]
    drawn = min(each)
    few = {count: _few(count, flow.period) for count in counts}
    sketches = {n: sketch_flat(room, flow, drawn, n) for n in set(few.values())}
    for count in counts:
        if not _stays_apart(sketches[few[count]], drawn, count, room.strap):
            # openings drawn back from each other came out unlike from repeat to repeat: draw every one
            few[count] = count
            sketches[count] = sketch_flat(room, flow, drawn, count)
    openings: list[Rings] = []
    for run, count, long in zip(band.runs, counts, each, strict=True):
        openings += _lay_run(run, sketches[few[count]], drawn, long / drawn, count, lead, room.strap)
    block = sketches[max(few.values())].corner
    stretch = np.array(each) / drawn
    return openings + lay_corners(band, block, room.strap, stretch)


def lay_round(room: Room, flow: Round, *, repeat: float | None) -> list[Rings]:
    """Lay an ornament round the band, running one way.

    Parameters and errors are those of `lay_flow`.
    """
    _check_repeat(flow, repeat, room)
    band, rail = room.band, room.strap
    lead = rail if band.corners else 0.0
    lengths = [run.length + 2 * lead for run in band.runs]
    fewest = 2 * flow.beside_corner(flow.shortest) + 1 if band.corners else 3
    counts = counts_for(room, lengths, repeat or flow.natural, flow.shortest, fewest=fewest)
    long = np.array(lengths) / counts
    drawn = float(long.min())
    stretch = long / drawn
    openings: list[Rings] = []
    each = flow.bay(drawn)
    mended([translate(shape, i * drawn) for shape in each for i in range(4)], room, tries=0)
    turn = mended(flow.corner(drawn), room) if band.corners else []
    for run, count, wide in zip(band.runs, counts, stretch, strict=True):
        for shape in each:
            number = np.arange(count + 1)
            middle = number + shape.centroid.x / drawn
            clear = flow.beside_corner(drawn) + 0.25 if band.corners else -1.0
            copies = drawn * number[(middle > clear) & (middle < count - clear)][:count]
            laid = run.lay(thinned(shape) * (wide, 1.0), run.foot + copies * wide - lead, rise=rail)
            openings.append(rings_from(laid))
    bends = [thinned(shape) for shape in turn]
    return openings + lay_corners(band, bends, rail, stretch)


def _lay_run(
    run: Run, sketch: Sketch, repeat: float, stretch: float, count: int, lead: float, rail: float
) -> list[Rings]:
    """Lay both halves of a run; `repeat` as drawn, `stretch` what draws it out."""
    step = repeat * stretch
    half, foot = step * count, run.foot
    drawn = len(sketch.repeats)
    openings: list[Rings] = []
    for index in range(drawn):
        # those between the first two and the last stand for all that a long side has between
        x = step * _stands_for(index, drawn, count)
        at = foot + np.concatenate([x - lead, run.length + lead - x])
        mirrored = np.arange(len(at)) >= len(x)
        openings += [
            rings_from(run.lay(shape * (stretch, 1.0), at, rise=rail, mirrored=mirrored))
            for shape in sketch.repeats[index]
        ]
    for shape in sketch.middle:
        openings.append(
            rings_from(run.lay(shape * (stretch, 1.0), np.array([foot + half - lead]), rise=rail))
        )
    for shape in sketch.start:
        openings.append(rings_from(run.lay(shape * (stretch, 1.0), np.array([foot]), rise=rail)))
    return openings


def _few(count: int, period: int) -> int:
    """Return how many repeats must be drawn to know all of `count`: first, last, and one period between."""
    return count if count <= period + 2 else period + 2 + (count - period - 2) % period


def _stands_for(index: int, drawn: int, count: int) -> npt.NDArray[np.intp]:
    """Return which repeats of a side the drawn one is laid as."""
    if index in (0, drawn - 1) or drawn == count:
        return np.array([index if index == 0 or drawn == count else count - 1])
    period = 1 if drawn == 3 else 2
    return np.arange(index, count - 1, period) if index <= period else np.array([], dtype=np.intp)


def _stays_apart(sketch: Sketch, repeat: float, count: int, strap: float) -> bool:
    """Say whether the openings of half a side, drawn once and laid as often as asked, are a strap apart."""
    drawn = len(sketch.repeats)
    if drawn == count or not any(sketch.repeats):
        return True
    laid = [
        translate(Polygon(shape), x)
        for index in range(drawn)
        for x in repeat * _stands_for(index, drawn, count)
        for shape in sketch.repeats[index]
    ]
    one, _ = shapely.STRtree(laid).query(laid, predicate="dwithin", distance=strap - THINNING_LOSS)
    return len(one) == len(laid)


def lay_corners(band: Band, shapes: Sequence[Points], rail: float, stretch: Points) -> list[Rings]:
    """Lay the openings of a corner at every corner; what reaches past the block bends with its run.

    Parameters
    ----------
    band : Band
        Where.
    shapes : sequence of ndarray
        Both coordinates outward from where the rails cross.
    rail : float
        mm from the inner edge to there.
    stretch : ndarray
        For each run, by how much its repeats are drawn out.
    """
    openings = []
    for i, corner in enumerate(band.corners):
        before, after = band.runs[i - 1], band.runs[i]
        step = min(before.step, after.step)
        for shape in shapes:
            u, v = densified(shape, step).T
            u = rail + np.where(u < 0, u * stretch[i - 1], u)
            v = rail + np.where(v < 0, v * stretch[i], v)
            openings.append(rings_from(bent_round(corner, before, after, np.column_stack([u, v]))[None]))
    return openings
