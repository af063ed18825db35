"""Zigzags, stepped pyramids and lozenges: ornament of straight lines that lean or climb."""

from __future__ import annotations

import math

import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import inscribed_radius

from .areas import both, box, circle, polygon, softened, stroke

__all__ = ["Lozenges", "Steps", "Zigzag"]


class Zigzag(Ornament):
    """A ribbon that climbs and falls, slit along its middle where it is wide, and triangles beside it."""

    what = "a zigzag"
    turned = True

    @property
    def least_height(self) -> float:
        """Return the height of triangles that can just be cut, as steep as the shortest repeat makes them."""
        return 1.1 * self.strap + 3.3 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of a zigzag that climbs at a little over half a right angle."""
        return max(1.3 * self.height, 2.6 * self.strap + 5.2 * self.smallest)

    @property
    def shortest(self) -> float:
        """Return the repeat whose triangles can just be cut, and no steeper than the eye follows."""
        return max(2 * self.strap + 3.6 * self.smallest, 0.36 * self.height)

    def slit(self) -> float:
        """Return the width of the slit, 0 where it would leave too little of the triangles."""
        wide = max(2 * self.smallest, 0.17 * self.height)
        return wide if 1.6 * (wide + 2 * self.strap) < 0.75 * self.height else 0.0

    def bay(self, repeat: float) -> list[Points]:
        """Return a triangle under each peak, and the two halves of the slit over it."""
        slit = self.slit()
        line = self._line(repeat, slit)
        area = box(-repeat / 2, 0, repeat / 2, self.height)
        parts = [self._under(repeat)]
        if slit:
            ties = [
                box(x - self.strap / 2, 0, x + self.strap / 2, self.height)
                for x in (-repeat / 2, 0, repeat / 2)
            ]
            parts.append(stroke(line, slit).intersection(area).difference(shapely.union_all(ties)))
        return [ring for part in parts for ring in self.cut(part)]

    def post(self, repeat: float) -> list[Points]:
        """Return the triangle over each valley."""
        return self.cut(shapely.transform(self._under(repeat), lambda p: p * (1, -1) + (0, self.height)))

    def corner(self, repeat: float) -> list[Points]:
        """Return two triangles over a leg that runs out along the mitre, and the slit of that leg."""
        slit = self.slit()
        foot, h = self._foot(repeat, slit), self.height
        at = self.over - self.strap
        legs = [[(at - repeat / 2, h - foot), (at, foot)], [(foot, at), (h - foot, at - repeat / 2)]]
        long = [_drawn_out(leg, repeat) for leg in (legs[0], legs[1][::-1])]
        mitre = [(0.0, 0.0), (2 * h, 2 * h)]
        wide = self._wide(slit)
        over = polygon(
            long[0][0], long[0][1], (0, 0), long[1][1], long[1][0], (h, -repeat), (h, h), (-repeat, h)
        )
        edge = at - repeat / 2 + self.strap / 2
        block = box(edge, edge, h, h)
        lines = [stroke(line, wide) for line in (*long, mitre)]
        parts = [over.buffer(0).intersection(block).difference(shapely.union_all(lines))]
        if slit:
            beside = shapely.union_all([stroke(line, slit) for line in long]).buffer(
                self.strap, join_style="mitre"
            )
            leg = stroke([(0, 0), (h - foot, h - foot)], slit).intersection(block)
            parts.append(leg.difference(beside))
        return [ring for part in parts for ring in self.cut_corner(part)]

    def _under(self, repeat: float) -> BaseGeometry:
        slit = self.slit()
        line = self._line(repeat, slit)
        low = polygon(*line, (line[-1][0], -self.height), (line[0][0], -self.height))
        return low.intersection(box(-repeat / 2, 0, repeat / 2, self.height)).difference(
            stroke(line, self._wide(slit))
        )

    def _wide(self, slit: float) -> float:
        return slit + 2 * self.strap if slit else max(self.strap, 0.2 * self.height)

    def _foot(self, repeat: float, slit: float) -> float:
        """Return how far the line's feet stand off, so that the slit just reaches the rail and the rim.

        The steeper the line, the taller the slit is across it; found by halving.
        """
        low, high = 0.0, self.height / 2
        for _ in range(40):
            foot = (low + high) / 2
            climb = 2 * (self.height - 2 * foot) / repeat
            reach = slit / 2 * math.hypot(1, climb) - self.strap / 2 * climb
            low, high = (foot, high) if reach > foot else (low, foot)
        return high

    def _line(self, repeat: float, slit: float) -> list[tuple[float, float]]:
        foot = self._foot(repeat, slit)
        peak = self.height - foot
        return [(-repeat, peak), (-repeat / 2, foot), (0, peak), (repeat / 2, foot), (repeat, peak)]


class Steps(Ornament):
    """Stepped pyramids that stand on the inner edge, and others that hang between them."""

    what = "a stepped pyramid"
    turned = True

    @property
    def least_height(self) -> float:
        """Return the height of two steps that can just be cut."""
        return self.strap + 4 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of a pyramid as wide as it is high."""
        return max(1.15 * self.height, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat whose pyramids can just be cut."""
        return 2 * self.strap + 3 * self.smallest

    def bay(self, repeat: float) -> list[Points]:
        """Return the pyramid that stands."""
        return self.cut(self._pyramid(repeat))

    def post(self, repeat: float) -> list[Points]:
        """Return the pyramid that hangs."""
        return self.cut(shapely.transform(self._pyramid(repeat), lambda p: p * (1, -1) + (0, self.height)))

    @property
    def over(self) -> float:
        """Return where the last pyramid that hangs stands, so that it can reach down beside the corner."""
        return -0.12 * self.height

    def corner(self, repeat: float) -> list[Points]:
        """Return steps that climb out of the inner corner, and the two last pyramids hung over them."""
        h, at = self.height, self.over - self.strap - repeat / 2
        step = max(2 * self.smallest, 0.22 * h)
        inner = shapely.union_all([box(0, 0, step, 2 * step), box(0, 0, 2 * step, step)])
        last = translate(self._pyramid(repeat), at)
        top = (repeat / 2 - self.wall) / 2 / self._count(repeat) + self.wall
        side = box(at + top, 0, h, h).difference(last.buffer(self.wall, join_style="mitre"))
        area = side.intersection(
            polygon((at, -at), (at, h), (h, h), (0, 0)).buffer(0).union(box(at, 0, 0, h))
        )
        area = area.difference(inner.buffer(self.wall, join_style="mitre"))
        area = area.difference(box(-self.wall, -h, 0, self.wall)).difference(
            stroke([(0, 0), (2 * h, 2 * h)], self.strap)
        )
        return self.cut_corner(inner) + self.cut_corner(both(area))

    @property
    def wall(self) -> float:
        """Return the paper between pyramids."""
        return max(self.strap, 0.16 * self.height)

    def _count(self, repeat: float) -> int:
        """Return how many steps, each tall and wide enough to see."""
        tall, wide = self.height - self.wall, repeat / 2 - self.wall
        return max(
            2, min(3, int(tall / max(1.5, 2 * self.smallest)), int(wide / max(0.8, 0.5 + self.smallest)))
        )

    def _pyramid(self, repeat: float) -> BaseGeometry:
        """Return a pyramid whose fellow, upside down half a repeat away, keeps a wall from it all the way."""
        rise, half = self.height - self.wall, repeat / 2 - self.wall
        count = self._count(repeat)
        steps = [
            box(-half * (1 - (k + 0.5) / count), 0, half * (1 - (k + 0.5) / count), rise * (k + 1) / count)
            for k in range(count)
        ]
        return shapely.union_all(steps)


class Lozenges(Ornament):
    """A chain of lozenges with a dot between each two and a triangle above and below it."""

    what = "a chain of lozenges"

    @property
    def least_height(self) -> float:
        """Return the height of a lozenge that can just be cut."""
        return 3 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of a lozenge a little longer than high, with its dot."""
        return max(1.7 * self.height, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat of a lozenge that can just be cut."""
        return self.strap + 3 * self.smallest

    def bay(self, repeat: float) -> list[Points]:
        """Return the lozenge."""
        return self.cut(self._lozenge(repeat))

    def post(self, repeat: float) -> list[Points]:
        """Return the dot, and the triangles above and below it."""
        dot = self._dot(repeat)
        beside = shapely.union_all([translate(self._lozenge(repeat), x) for x in (-repeat / 2, repeat / 2)])
        taken = beside.buffer(self.strap, join_style="mitre")
        middle = self.height / 2
        if dot:
            taken = taken.union(circle(0, middle, dot + self.strap))
        else:
            taken = taken.union(box(-repeat, middle - self.strap / 2, repeat, middle + self.strap / 2))
        area = box(-repeat / 2, 0, repeat / 2, self.height).difference(taken)
        return self.cut(circle(0, middle, dot)) + self.cut(area, soft=0.12)

    def end(self, repeat: float) -> list[Points]:
        """Return the triangles above and below the point of the last lozenge, without a dot."""
        last = translate(self._lozenge(repeat), -repeat / 2)
        middle, half = self.height / 2, self.strap / 2
        taken = last.buffer(self.strap, join_style="mitre").union(
            box(-repeat, middle - half, 0, middle + half)
        )
        area = box(-repeat / 2, 0, -half, self.height).difference(taken)
        parts = [softened(part, 0.12) for part in shapely.get_parts(area)]
        return [
            shapely.get_coordinates(part.exterior)[:-1]
            for part in parts
            if inscribed_radius(part) >= self.smallest
        ]

    def corner(self, repeat: float) -> list[Points]:  # noqa: ARG002 - a corner is as long as it is high
        """Return a square set on its point, with a triangle in each corner round it."""
        middle, h = self.height / 2, self.height
        square = polygon((0, middle), (middle, 0), (h, middle), (middle, h))
        rest = box(0, 0, h, h).difference(square.buffer(self.strap / 2, join_style="mitre"))
        return self.cut_corner(square.buffer(-self.strap / 2, join_style="mitre")) + self.cut_corner(rest)

    def _dot(self, repeat: float) -> float:
        radius = max(self.smallest, 0.14 * self.height)
        return (
            radius
            if repeat - 2 * radius - 2 * self.strap > 0.7 * self.height and radius < 0.2 * repeat
            else 0.0
        )

    def _lozenge(self, repeat: float) -> BaseGeometry:
        dot = self._dot(repeat)
        half = repeat / 2 - (dot + self.strap if dot else self.strap / 2)
        middle = self.height / 2
        return polygon((-half, middle), (0, 0), (half, middle), (0, self.height))


def _drawn_out(leg: list[tuple[float, float]], by: float) -> list[tuple[float, float]]:
    (ax, ay), (bx, b_y) = leg
    scale = by / math.hypot(bx - ax, b_y - ay)
    return [
        (ax - (bx - ax) * scale, ay - (b_y - ay) * scale),
        (bx + (bx - ax) * scale, b_y + (b_y - ay) * scale),
    ]
