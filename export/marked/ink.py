"""How a marked drawing is drawn: the pale piece, the rings told apart by shape, hatching, lines and words.

Lengths are mm on the page, y down. Whatever keeps the piece from holding is in the accent and heavy, what is
only worth knowing black and light; the shapes alone tell the kinds apart, so a copy in grey loses nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiLineString, MultiPolygon, Point, Polygon

from canivet.audit.boundary import Paper
from canivet.export.page.marks import CAP, Block, Word
from canivet.export.page.tones import TONES
from canivet.export.paths import path_data
from canivet.lengths import format_mm

from .callouts import NUMBER, Callout
from .explanations import Kind
from .findings import ADVICE, Finding, Line
from .layout import GLYPH, Key, Text

__all__ = [
    "Frame",
    "draw_block",
    "draw_callouts",
    "draw_findings",
    "draw_keys",
    "draw_piece",
    "draw_text",
    "draw_thin",
    "mark_shape",
]

ACCENT = "#a5331f"
NOTE = "#000000"
WORDS = "#000000"
PAPER_TINT = "#e9e7e2"
PAPER_EDGE = "#000000"
THIN_TINT = "#e0a295"

_ROUND_THIN = 0.9
"""mm of paper tinted on either side of a weak strap."""

_HATCH = 1.3
_RING_GAP = 0.75
_BEYOND = 0.5
"""mm by which the line across a strap goes on either side, so that it is seen on a hair of paper."""

_SOLID = 0.5
"""mm, the narrowest line in the accent: a laser that prints black alone screens it, and finer lines
break up."""

Pair = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Frame:
    """How the piece lies on the page: its bounds, whether it is mirrored, and where its upper left is."""

    left: float
    right: float
    top: float
    mirrored: bool = False
    dx: float = 0.0
    dy: float = 0.0

    @classmethod
    def of(cls, paper: Paper, *, mirrored: bool) -> Frame:
        """Return the frame whose origin is the piece's own upper left corner."""
        left, _, right, top = paper.bounds
        return cls(left, right, top, mirrored)

    def moved(self, dx: float, dy: float) -> Frame:
        """Return the frame with the piece elsewhere."""
        return Frame(self.left, self.right, self.top, self.mirrored, self.dx + dx, self.dy + dy)

    def point(self, at: Pair) -> Pair:
        """Return where a place on the piece is on the page."""
        x = self.right - at[0] if self.mirrored else at[0] - self.left
        return x + self.dx, self.top - at[1] + self.dy

    def shape(self, geometry: Any) -> Any:
        """Return a shape of the piece as it lies on the page."""
        sign, origin = (-1.0, self.right) if self.mirrored else (1.0, -self.left)
        return affinity.affine_transform(geometry, [sign, 0, 0, -1, origin + self.dx, self.top + self.dy])

    def path(self, paper: Paper) -> str:
        """Return the paper as path data."""
        return path_data(
            paper,
            flip_height=self.top,
            dx=self.dx if self.mirrored else self.dx - self.left,
            dy=self.dy,
            mirror_width=self.right if self.mirrored else None,
        )


def mark_shape(kind: Kind, at: Pair, radius: float) -> Polygon:
    """Return what the mark of a kind takes up on the page: a disc, square, triangle or lozenge."""
    x, y = at
    if kind == "opening":
        return shapely.box(x - radius, y - radius, x + radius, y + radius)
    if kind == "corner":
        return Polygon(
            [
                (x, y - 1.5 * radius),
                (x + 1.3 * radius, y + 0.75 * radius),
                (x - 1.3 * radius, y + 0.75 * radius),
            ]
        )
    if kind == "loose":
        return Polygon([(x, y - radius), (x + radius, y), (x, y + radius), (x - radius, y)])
    return Point(x, y).buffer(radius)


def draw_piece(document: Any, paper: Paper, loose: Sequence[Polygon], frame: Frame) -> None:
    """Draw the piece pale, and what has come loose from it hatched and heavily outlined."""
    group = document.add(document.g(id="piece"))
    group.add(
        document.path(
            d=frame.path(paper), id="paper", fill=PAPER_TINT, fill_rule="evenodd",
            stroke=PAPER_EDGE, stroke_width=0.15, stroke_linejoin="round",
        )
    )  # fmt: skip
    if not loose:
        return
    hatched = document.add(document.g(id="loose", fill="none", stroke=NOTE, stroke_linejoin="round"))
    parts = MultiPolygon(list(loose))
    hatched.add(document.path(d=_lines(_hatching(frame.shape(parts))), stroke_width=0.18))
    hatched.add(document.path(d=frame.path(parts), stroke_width=0.35))


def draw_thin(document: Any, paper: Paper, chords: Sequence[Line], frame: Frame) -> None:
    """Tint the paper round weak straps that have no ring: many together show as a region."""
    if not chords:
        return
    round_them = shapely.union_all(shapely.buffer(shapely.linestrings(np.array(chords)), _ROUND_THIN))
    thin = [part for part in shapely.get_parts(round_them.intersection(paper)) if part.geom_type == "Polygon"]
    data = "".join(frame.path(part) for part in thin)
    document.add(document.path(d=data, id="thin", fill=THIN_TINT, fill_rule="evenodd"))


def draw_block(document: Any, block: Block) -> None:
    """Draw marks and words that are in place on the page already."""
    group = document.add(document.g(id="around"))
    for mark in block.marks:
        data = "".join("M" + "L".join(" ".join(_pair(at)) for at in line) for line in mark.lines)
        style: dict[str, Any] = {"fill": TONES[mark.fill] if mark.fill else "none"}
        style |= {"stroke": TONES[mark.stroke], "stroke_width": mark.width} if mark.stroke else {}
        group.add(document.path(d=data, class_=mark.group, **style))
    for word in block.words:
        weight: dict[str, Any] = {"font_weight": "bold"} if word.bold else {}
        weight |= {"letter_spacing": format_mm(word.tracking * word.size)} if word.tracking else {}
        place, size = _pair((word.x, word.y)), format_mm(word.size)
        group.add(document.text(word.text, insert=place, font_size=size, fill=TONES[word.tone], **weight))


def draw_findings(document: Any, findings: Sequence[Finding], frame: Frame) -> None:
    """Draw each ring in its group ``finding-1``, ``finding-2`` …, and lines across the weak straps in it."""
    whole = document.add(document.g(id="findings", fill="none"))
    for number, finding in enumerate(findings, start=1):
        group = whole.add(document.g(id=f"finding-{number}", class_=finding.kind))
        lines = [(frame.point(start), frame.point(end)) for start, end in finding.chords]
        if finding.kind == "loose":
            _add_lines(
                document,
                group,
                lines,
                stroke=NOTE,
                stroke_width=0.35,
                stroke_dasharray="0.3,0.6",
                stroke_linecap="round",
            )
        elif lines:
            _add_lines(
                document,
                group,
                [_across(*line) for line in lines],
                stroke=_colour(finding.kind),
                stroke_width=0.7,
            )
        for dot in finding.dots:
            group.add(document.circle(_pair(frame.point(dot)), 0.35, fill=_colour(finding.kind)))
        _add_mark(document, group, finding.kind, frame.point(finding.at), finding.radius)


def draw_callouts(document: Any, callouts: Iterable[Callout], findings: Sequence[Finding]) -> None:
    """Draw the numbers, each on a white ground of its own, and the lines that lead to them."""
    group = document.add(document.g(id="numbers", font_weight="bold", text_anchor="middle"))
    for callout, finding in zip(callouts, findings, strict=True):
        colour = _colour(finding.kind)
        if callout.leader:
            _add_lines(document, group, [callout.leader], stroke=NOTE, stroke_width=0.2)
        corner = (callout.x - callout.width / 2, callout.y - callout.height / 2)
        group.add(
            document.rect(
                _pair(corner), (format_mm(callout.width), format_mm(callout.height)), rx=0.8,
                fill="#ffffff", fill_opacity=0.88,
            )
        )  # fmt: skip
        place = _pair((callout.x, callout.y + CAP * NUMBER / 2))
        group.add(document.text(callout.text, insert=place, font_size=NUMBER, fill=colour))


def draw_text(document: Any, *texts: Text) -> None:
    """Draw the page's words."""
    for name, weight in (("words", "normal"), ("strong", "bold")):
        group = document.add(document.g(id=name, fill=WORDS, font_weight=weight))
        for text in texts:
            for word in text.words if name == "words" else text.strong:
                _add_word(document, group, word)


def draw_keys(document: Any, keys: Iterable[Key]) -> None:
    """Draw the list's numbers, each with the sign of its kind."""
    group = document.add(document.g(id="keys", font_weight="bold", text_anchor="end"))
    for key in keys:
        colour = _colour(key.kind)
        place = _pair((key.x - 3.0, key.y))
        group.add(document.text(str(key.number), insert=place, font_size=NUMBER, fill=colour))
        radius = 0.8 * GLYPH if key.kind == "corner" else GLYPH
        _add_mark(document, group, key.kind, (key.x, key.y - CAP * NUMBER / 2), radius, small=True)


def _add_word(document: Any, group: Any, word: Word) -> None:
    group.add(document.text(word.text, insert=_pair((word.x, word.y)), font_size=format_mm(word.size)))


def _add_mark(document: Any, group: Any, kind: Kind, at: Pair, radius: float, *, small: bool = False) -> None:
    """Draw a ring, a double or a dashed one, a square, triangle or lozenge."""
    share = 0.55 if small else 1.0
    width = share * (0.35 if kind in ADVICE else 0.55)
    style = {
        "stroke": NOTE if width < _SOLID else _colour(kind),
        "stroke_width": format_mm(width),
        "fill": "none",
    }
    if kind in ("opening", "corner", "loose"):
        points = [_pair(point) for point in mark_shape(kind, at, radius).exterior.coords[:-1]]
        group.add(document.polygon(points, stroke_linejoin="miter", **style))
        return
    if kind == "limb":
        style["stroke_dasharray"] = "0.5,0.4" if small else "1.3,0.9"
    group.add(document.circle(_pair(at), format_mm(radius), **style))
    if kind in ("single", "hold"):
        group.add(
            document.circle(_pair(at), format_mm(radius - _RING_GAP * (0.75 if small else 1.0)), **style)
        )


def _add_lines(document: Any, group: Any, lines: Sequence[tuple[Pair, Pair]], **style: Any) -> None:
    for start, end in lines:
        group.add(document.line(_pair(start), _pair(end), **style))


def _across(start: Pair, end: Pair, beyond: float = _BEYOND) -> tuple[Pair, Pair]:
    """Draw a chord out a little on either side."""
    step = np.subtract(end, start)
    length = float(np.hypot(*step))
    along = step / length * beyond if length else np.array([beyond, 0.0])
    first, last = np.subtract(start, along), np.add(end, along)
    return (float(first[0]), float(first[1])), (float(last[0]), float(last[1]))


def _hatching(parts: MultiPolygon) -> Any:
    """Return slanting lines all over some parts."""
    x0, y0, x1, y1 = parts.bounds
    height = y1 - y0
    starts = np.arange(x0 - height, x1, _HATCH)
    lines = [((x, y1), (x + height, y0)) for x in starts]
    return shapely.intersection(MultiLineString(lines), parts)


def _lines(lines: Any) -> str:
    return "".join(
        "M" + "L".join(f"{format_mm(x)} {format_mm(y)}" for x, y in line.coords)
        for line in shapely.get_parts(lines)
        if line.geom_type == "LineString"
    )


def _colour(kind: Kind) -> str:
    return NOTE if kind in ADVICE else ACCENT


def _pair(at: Pair) -> tuple[str, str]:
    return format_mm(at[0]), format_mm(at[1])
