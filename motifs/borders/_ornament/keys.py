"""Keys: a line of paper that stands on the inner rail and winds on unbroken, and hooks that alternate.

Both are drawn on a grid of lines: level 0 is the rail itself, columns count along the band. What is cut
lies between the lines, and runs on under the rim from post to post; posts stand three repeats apart, so that
the eye follows the line and does not count boxes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from canivet.lengths import format_length
from canivet.motifs.borders._circuit import fine_step, lay_corner
from canivet.motifs.borders._refusals import Ornamented, check_repeat
from canivet.motifs.borders.band import Band
from canivet.motifs.borders.counting import recount_together
from canivet.motifs.shapes.openings import Points, Rings, densified, rings_from

from .areas import box, diagonal, worth_ring

__all__ = ["Fretwork", "lay_fretwork"]

_STOUT = {False: 0.62, True: 0.8}
"""Line over channel, at least, by whether it is hooked: a hook hangs by one end, a key is held at both."""

_APART = {False: 3, True: 6}
"""Likewise repeats from post to post: at every one the line would be boxed, and a fret cut off."""

_LOOSEST = 1.7
"""Column over row of the grid, at most: wider, squares become slots and hooks whips."""

_KEYS: dict[int, list[tuple[int, int]]] = {
    1: [(1, 0), (1, 1), (2, 1), (2, 0)],
    2: [(2, 0), (2, 1), (1, 1), (1, 2), (3, 2), (3, 0)],
    3: [(3, 0), (3, 2), (2, 2), (2, 1), (1, 1), (1, 3), (4, 3), (4, 0)],
    4: [(4, 0), (4, 3), (2, 3), (2, 2), (3, 2), (3, 1), (1, 1), (1, 4), (5, 4), (5, 0)],
}
"""By its highest level, one repeat of a line that winds in and out again, and comes down beside the next."""

_HOOKS = {1: [[(0, 0), (0, 1)], [(1, 2), (1, 1)]], 2: [[(0, 0), (0, 2), (2, 2)], [(3, 3), (3, 1), (1, 1)]]}
"""Likewise what stands on the rail and what hangs from the rim, each the other turned half round."""


@dataclass(frozen=True, slots=True)
class Fretwork:
    """Lines on a grid between rail and rim; lengths in mm.

    Attributes
    ----------
    height : float
        From rail to rim.
    line, channel : float
        Width of the paper, and of the white across the band.
    levels : int
        The highest level of the grid, under the last channel.
    hooked : bool
        Whether the line is parted into hooks that alternate.
    smallest : float
        Radius of the smallest opening worth cutting.
    """

    height: float
    line: float
    channel: float
    levels: int
    hooked: bool
    smallest: float

    @classmethod
    def fitted(cls, height: float, *, strap: float, levels: int, hooked: bool, smallest: float) -> Fretwork:
        """Share out a height among lines and channels; the channel may come out too narrow to cut."""
        stout = _STOUT[hooked]
        line = max(strap, stout * height / (levels * stout + levels + 1))
        return cls(height, line, (height - levels * line) / (levels + 1), levels, hooked, smallest)

    @classmethod
    def most_turned(
        cls, height: float, levels: tuple[int, ...], *, strap: float, hooked: bool, smallest: float
    ) -> Fretwork:
        """Return the first of those levels whose channels can be cut, or the last of them."""
        made = [cls.fitted(height, strap=strap, levels=k, hooked=hooked, smallest=smallest) for k in levels]
        return next((one for one in made if one.lacking <= 1e-9), made[-1])

    @property
    def lacking(self) -> float:
        """Return how much higher it would have to be for its channels to be cut, in mm."""
        return (self.levels + 1) * (2 * self.smallest - self.channel)

    @property
    def columns(self) -> int:
        """Return how many columns a repeat takes."""
        return 2 * self.levels if self.hooked else self.levels + 1

    @property
    def saved(self) -> int:
        """Return how many columns half a side ends short of its repeats: at the last stem of a fret."""
        return 1 if self.hooked else 0

    @property
    def row(self) -> float:
        """Return from line to line across the band."""
        return self.line + self.channel

    @property
    def natural(self) -> float:
        """Return the repeat whose channels are alike both ways."""
        return self.columns * self.row

    @property
    def shortest(self) -> float:
        """Return the repeat whose channels can just be cut."""
        return self.columns * (self.line + 2.02 * self.smallest)

    @property
    def longest(self) -> float:
        """Return the repeat that still looks square."""
        return max(_LOOSEST * self.natural, 1.3 * self.shortest)

    @property
    def foot(self) -> float:
        """Return how far from the crossing of the rails the first post stands on either run."""
        return 1.5 * self.line + self.channel

    def repeats(self, count: int) -> float:
        """Return how many repeats long half a side of so many is."""
        return count - self.saved / self.columns

    def half_side(self, repeat: float, count: int) -> list[Points]:
        """Return the openings of so many repeats, from the middle of the first post to that of the last."""
        groups = max(1, round(count / _APART[self.hooked]))
        posts = np.round(np.linspace(0, count, groups + 1)).astype(int) * self.columns
        posts[-1] -= self.saved
        lines = [self._drawn([(x, 0), (x, self.levels + 1)], repeat) for x in posts]
        unit = _HOOKS[self.levels] if self.hooked else [_KEYS[self.levels]]
        for path in unit:
            line = self._drawn(path, repeat)
            lines += [translate(line, k * repeat) for k in range(count)]
        if not self.hooked:
            lines.append(self._drawn([(0, 0), (0, self.levels)], repeat))
        room = box(0, 0, self.repeats(count) * repeat, self.height).difference(shapely.union_all(lines))
        return [r for part in shapely.get_parts(room) for r in worth_ring(part, self.smallest, 0.0)]

    def _drawn(self, path: list[tuple[int, int]], repeat: float) -> BaseGeometry:
        """Return a line of paper along nodes of the grid; the rail and the rim take its ends in."""
        points = np.array(path, dtype=float) * (repeat / self.columns, self.row) - (0, self.line / 2)
        return LineString(points).buffer(self.line / 2, cap_style="square", join_style="mitre")

    def corner(self) -> list[Points]:
        """Return the openings of a corner: the top line turns it over a square; coordinates run outward."""
        a, h = self.line, self.height
        edge, top, size = a / 2 - self.foot, self.levels * self.row, (self.levels - 1) * self.row
        outer = box(edge, edge, h, h).difference(box(-h - 99, -h - 99, top, top))
        outer = outer.difference(box(-99, -99, 0, 0))
        inner = (
            box(edge, edge, top - a, top - a)
            .difference(box(-99, -99, 0, 0))
            .difference(box(-a, -a, size, size))
        )
        core = box(0, 0, size - a, size - a)
        return [ring for area in (outer, inner, core) for ring in diagonal(area, smallest=self.smallest)]


def lay_fretwork(band: Band, fretwork: Fretwork, *, rail: float, repeat: float | None) -> list[Rings]:
    """Lay a key or a fret along every run, facing about in its middle or at each quarter of a ring.

    Parameters
    ----------
    band : Band
        Where.
    fretwork : Fretwork
        Its proportions.
    rail : float
        mm of paper between the inner edge and the first level; not over its line.
    repeat : float or None
        About how long a repeat is, in mm; None for channels alike both ways.

    Returns
    -------
    list of ring arrays
        Disjoint openings.

    Raises
    ------
    DoesNotFit
        If the repeat is too short to cut or too long to hold, or a side is too short for two of them.
    """
    what = (
        f"a repeat {format_length(fretwork.height, 2)} high with lines of {format_length(fretwork.line, 2)}"
    )
    check_repeat(repeat, what, shortest=fretwork.shortest, longest=fretwork.longest)
    halves = 2 if band.corners else 4
    margin = fretwork.foot - rail if band.corners else 0.0
    lengths = [run.length - 2 * margin for run in band.runs]
    counts = recount_together(
        lengths, repeat or fretwork.natural, least=fretwork.shortest, most=fretwork.longest, multiple=halves
    )
    if not counts:
        what = "hooks" if fretwork.hooked else "keys"
        raise Ornamented(band.width, what, "turns, strap or smallest").too_short(
            min(lengths), halves * fretwork.shortest, number=halves
        )
    openings: list[Rings] = []
    for run, length, count in zip(band.runs, lengths, counts, strict=True):
        begin, end = run.foot + margin, run.foot + margin + length
        middle = (begin + end) / 2
        at = np.array([begin, end] if halves == 2 else [begin, middle, middle, end])
        each = length / (halves * fretwork.repeats(count // halves))
        for shape in fretwork.half_side(each, count // halves):
            fine = densified(shape, fine_step(run))
            openings.append(rings_from(run.lay(fine, at, rise=rail, mirrored=np.arange(len(at)) % 2 == 1)))
    turned = fretwork.corner() if band.corners else []
    for index, corner in enumerate(band.corners):
        beside = band.runs[index - 1], band.runs[index]
        openings += [rings_from(lay_corner(corner, *beside, shape, rise=rail)) for shape in turned]
    return openings
