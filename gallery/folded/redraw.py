"""Draw the folded pieces whose openings are set one by one, each with the sheet to fold and cut it from.

Those that are made of rings alone have a design file beside this. Run from anywhere:
``python gallery/folded/redraw.py [NAME …]``.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from itertools import pairwise
from pathlib import Path

import cairosvg
import numpy as np
import shapely
from shapely.affinity import rotate, scale, translate
from shapely.geometry import Point, Polygon, box

from canivet.compose.reading.silhouette import read_silhouette
from canivet.cutting import Cutting
from canivet.export import piece_svg, write_svg
from canivet.export.files import write_atomically
from canivet.export.packet.page import packet_svg
from canivet.export.paths import path_data
from canivet.motifs.folding.fold import Fold, WedgeDrawing
from canivet.motifs.folding.folds import accordion_fold, medallion_fold, mirror_fold, plane_fold, quarter_fold
from canivet.motifs.folding.packet import PacketPlan, plan_packet
from canivet.motifs.folding.stars import one_snip_star
from canivet.motifs.folding.wedge.fitting import fit_cells, fit_openings
from canivet.motifs.folding.wedge.ornaments import find_unit
from canivet.motifs.folding.wedge.rings import Border, Ring, draw_rings
from canivet.stock import Faces, Stock

HERE = Path(__file__).parent

CELL, COLUMNS, SHOWN = 260, 5, 0.88
"""Pixels to a piece on the sheet of all, pieces in a row, and how much of its place each takes."""

THIN = Stock.of(Faces.DARK_ONE_FACE, thickness=0.06)
"""Thin coloured paper, as folded work wants it."""

TISSUE = Stock.of(Faces.DARK_BOTH_FACES, thickness=0.035)
"""Stout tissue, dyed through, for packets of more than two dozen layers."""


@dataclass(frozen=True)
class Piece:
    """A piece of the gallery: how it is folded, what is cut, and the widths it keeps."""

    title: str
    fold: Fold
    drawing: WedgeDrawing
    strap: float
    rim: float
    stock: Stock = field(default_factory=lambda: THIN)
    notes: tuple[str, ...] = ()

    def plan(self) -> PacketPlan:
        """Return the packet's plan, the opened piece audited."""
        return plan_packet(
            self.fold, self.drawing.openings, title=self.title, strap=self.strap, rim=self.rim,
            edge=self.drawing.kept, stock=self.stock, notes=self.notes,
        )  # fmt: skip


def ringed(
    title: str,
    fold: Fold,
    rings: list[Ring],
    *,
    strap: float,
    rim: float,
    eye: float = 0.0,
    gap: float = 0.0,
    border: Border | None = None,
    round_lanes: bool | None = None,
) -> Piece:
    """Return a piece made of rings of motifs."""
    drawing = draw_rings(
        fold, rings, strap=strap, rim=rim, eye=eye, gap=gap, border=border, round_lanes=round_lanes,
        smallest=0.6
    )  # fmt: skip
    return Piece(title, fold, drawing, strap, rim)


def standing(
    name: str,
    foot: tuple[float, float],
    wide: float,
    high: float,
    *,
    turn: float = 0.0,
) -> Polygon:
    """Return a motif at its own size: where its foot stands, and by how many degrees it is turned."""
    parts = [Polygon(ring) for ring in find_unit(name)(1)]
    shape = scale(shapely.union_all(parts).buffer(0), wide / 2, high, origin=(0, 0))
    return translate(rotate(shape, turn, origin=(0, 0)), *foot)


def bezier(*guides: tuple[float, float], steps: int = 24) -> list[tuple[float, float]]:
    """Return points on a cubic curve through its first and last guide."""
    t = np.linspace(0, 1, steps)[:, None]
    weights = np.hstack([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3])
    return [(float(x), float(y)) for x, y in weights @ np.array(guides)]


def tapered(line: list[tuple[float, float]], first: float, last: float) -> Polygon:
    """Return a stroke along a line, so wide at its beginning and so wide at its end."""
    discs = [
        Point(p).buffer(w / 2, quad_segs=8)
        for p, w in zip(line, np.linspace(first, last, len(line)), strict=True)
    ]
    return shapely.union_all([shapely.union(a, b).convex_hull for a, b in pairwise(discs)])


def rotated(point: tuple[float, float], about: tuple[float, float], turn: float) -> tuple[float, float]:
    """Return a point turned by so many degrees about another."""
    moved = rotate(Point(point), turn, origin=about)
    return moved.x, moved.y


def casement(x: float, y: float, wide: float, high: float) -> list[Polygon]:
    """Return four lights of a window, its foot in the middle at (x, y)."""
    sill = 0.62 * high
    half = wide / 2
    return [
        box(x + a, y + b, x + c, y + d)
        for a, c in ((-half, 0.0), (0.0, half)) for b, d in ((0.0, sill), (sill, high))
    ]  # fmt: skip


def wing_cells(
    wing: Polygon,
    base: tuple[float, float],
    angles: np.ndarray,
    shares: tuple[float, ...],
    spots: list[Polygon],
) -> list[Polygon]:
    """Return the cells between veins that spread from a base, band by band out to the wing's edge."""
    bands = [scale(wing, share, share, origin=base) for share in shares[1:]]
    cells = []
    taken = shapely.union_all(spots)
    for k, outer in enumerate(bands):
        inner = bands[k - 1] if k else Point(base).buffer(16)
        if k == len(bands) - 1:
            outer = wing
        ends = angles if k else angles[::2] if len(angles) % 2 else np.append(angles[::2], angles[-1])
        for low, high in pairwise(ends):
            reach = 200.0
            sector = Polygon(
                [
                    base,
                    *(
                        (base[0] + reach * math.cos(t), base[1] + reach * math.sin(t))
                        for t in np.linspace(low, high, 9)
                    ),
                ]
            )
            cell = outer.difference(inner).intersection(sector).difference(taken)
            cells += [part for part in shapely.get_parts(cell) if part.area > 4]
    return cells


def more(piece: Piece, shapes: list[Polygon]) -> Piece:
    """Return a piece with further openings, fitted among those it has."""
    there = piece.drawing.openings
    added = fit_openings(
        piece.fold, shapes, strap=piece.strap, smallest=1.0, rim=piece.rim, kept=piece.drawing.kept,
        beside=there
    )  # fmt: skip
    return replace(piece, drawing=WedgeDrawing((*there, *added), piece.drawing.kept))


def frost_star() -> Piece:
    """A frost star of ferns."""
    rings = [
        Ring("lozenges", share=1.0, count=1, width=0.85),
        Ring("ferns", share=2.1, count=1, divisions=6, width=0.92),
        Ring("teeth", share=0.6, count=4, at="between", width=0.7, turned=True),
    ]
    piece = ringed(
        "Frost star", medallion_fold(count=6, width=180), rings,
        strap=1.6, rim=3.0, eye=3.0, gap=0.6,
        border=Border("petals", 2, 9.0)
    )  # fmt: skip
    spray = [rotate(standing("lozenges", (0, 26), 10.0, 25.0), -30, origin=(0, 0)),
             rotate(standing("drops", (0, 54), 9.0, 16.0), -30, origin=(0, 0)),
             rotate(standing("leaves", (-4.6, 49), 5.4, 14.5, turn=40), -30, origin=(0, 0)),
             rotate(standing("leaves", (-4.0, 38.5), 4.6, 11.0, turn=42), -30, origin=(0, 0))]  # fmt: skip
    return more(piece, spray)


def heart_wreath() -> Piece:
    """Hearts in a ring about a tulip flower, five times."""
    rings = [
        Ring("drops", share=0.9, count=2, width=0.86),
        Ring("hearts", share=1.35, count=1, at="between", width=0.62),
        Ring("beads", share=0.62, count=5, width=0.86),
    ]
    fold = medallion_fold(count=5, width=180)
    piece = ringed("Wreath of hearts", fold, rings, strap=1.7, rim=3.0, eye=6.0, gap=1.4,
                   border=Border("scallops", 5, 3.4))  # fmt: skip
    sprigs = [standing("drops", (0.0, 32.5), 8.5, 27.0)]
    sprigs += [
        standing("leaves", (6.2 + 1.5 * k, 40.5 + 8.2 * k), 5.2, 11.0 + k, turn=-22 - 5 * k) for k in range(2)
    ]
    return more(piece, sprigs)


def night_moth() -> Piece:
    """A moth with open wings: the outline is cut, and the cells between its veins."""
    fold = mirror_fold(width=190, height=130)
    x = 95.0
    fore = (
        bezier((x + 3, 66), (x + 18, 98), (x + 62, 122), (x + 91, 121))
        + bezier((x + 91, 121), (x + 90, 96), (x + 70, 62), (x + 40, 56))
        + bezier((x + 40, 56), (x + 26, 53), (x + 14, 56), (x + 3, 60))
    )
    hind = (
        bezier((x + 3, 63), (x + 24, 66), (x + 60, 66), (x + 66, 46))
        + bezier((x + 66, 46), (x + 70, 30), (x + 52, 10), (x + 36, 13))
        + bezier((x + 36, 13), (x + 26, 15), (x + 12, 34), (x + 3, 50))
    )
    body = scale(Point(x, 60).buffer(1, quad_segs=32), 6.5, 34)
    feeler = tapered(bezier((x + 2.0, 88), (x + 6, 104), (x + 18, 118), (x + 30, 121)), 2.1, 1.5)
    top, low = Polygon(fore), Polygon(hind)
    kept = (
        shapely.union_all([top, low, body, feeler])
        .intersection(fold.wedge)
        .buffer(-0.8)
        .buffer(1.6)
        .buffer(-0.8)
    )
    spots = [Point(x + 58, 92).buffer(6.4, quad_segs=24), Point(x + 42, 34).buffer(6.0, quad_segs=24)]
    cells = wing_cells(
        top, (x - 10, 58), np.radians([-6, 9, 19, 28, 36, 44, 52, 66]), (0.0, 0.40, 0.72, 0.885, 1.0), spots
    )
    behind, spread = low.difference(top.buffer(1.0)), np.radians([-74, -56, -42, -30, -18, -2])
    cells += wing_cells(behind, (x - 8, 66), spread,
                        (0.0, 0.46, 0.74, 0.9, 1.0), spots)  # fmt: skip
    for spot in spots:
        middle = spot.centroid
        moon = middle.buffer(4.0, quad_segs=24).difference(
            Point(middle.x - 1.8, middle.y + 1.8).buffer(2.9, quad_segs=24)
        )
        cells.append(moon)
    cells += [scale(Point(x, y).buffer(1, quad_segs=24), 3.4, 1.5) for y in (34, 39.5, 45, 50.5)]
    cells.append(standing("hearts", (x, 58.5), 6.5, 9.0))
    openings = fit_cells(fold, cells, strap=1.6, smallest=0.7, rim=2.6, kept=kept)
    return Piece("Night moth", fold, WedgeDrawing(tuple(openings), kept), 1.6, 2.6)


def stepped_street() -> Piece:
    """A row of stepped gables along a canal."""
    fold = accordion_fold(panels=8, width=26, height=112)
    w = 26.0
    steps = [
        (0, 62),
        (4, 62),
        (4, 70),
        (9, 70),
        (9, 79),
        (14, 79),
        (14, 88),
        (19, 88),
        (19, 97),
        (23, 97),
        (23, 108),
        (w, 108),
    ]
    kept = Polygon([(0, 0), (w, 0), *reversed(steps)])
    cells = []
    for y, high in ((24.5, 15.0), (43.5, 15.0)):
        cells += casement(8.2, y, 9.0, high)
        cells += casement(w, y, 13.5, high) if y > 30 else []
    cells += [*casement(w, 62.5, 13.5, 15.0), standing("arches", (10.6, 62.5), 6.4, 13.0)]
    cells += [standing("arches", (w, 24.5), 11.0, 17.2)]
    cells += [standing("arches", (17.6, 80.2), 3.4, 6.0)]
    cells += [Point(w, 86).buffer(3.6, quad_segs=24), standing("drops", (w, 102.5), 3.8, 9.0, turn=180)]
    ripples = ((2.5, 8.6), (19.5, 8.6), (-6.5, 13.6), (10.5, 13.6), (-5.5, 3.9), (10.5, 3.9))
    cells += [
        tapered(bezier((a, y), (a + 4, y + 2.4), (a + 9, y + 2.4), (a + 13, y)), 3.4, 2.0) for a, y in ripples
    ]
    cells += [standing("teeth", (x, 19.2), 3.4, 3.4) for x in (4.2, 8.2, 12.2, 16.2)]
    openings = fit_cells(fold, cells, strap=1.5, smallest=0.6, rim=2.2, kept=kept, soft=0.3)
    return Piece("Stepped street", fold, WedgeDrawing(tuple(openings), kept), 1.5, 2.2)


def pierced_star() -> Piece:
    """A six-pointed star freed by one snip, with a flower, hearts and a drop in every point."""
    fold, star = one_snip_star(points=6, width=180)
    cells = [
        Point(0, 0).buffer(4.4, quad_segs=24), standing("drops", (0, 6.6), 13.5, 22.0),
        standing("hearts", (0, 31.5), 23, 23.0), standing("drops", (0, 57.0), 10.0, 22.0),
        rotate(standing("petals", (0, 7.0), 10.5, 28.0), -30, origin=(0, 0)),
        rotate(standing("lozenges", (0, 37.5), 8.0, 11.0), -30, origin=(0, 0)),
    ]  # fmt: skip
    openings = fit_openings(fold, cells, strap=1.8, smallest=0.9, rim=2.6, kept=star.kept, soft=0.3)
    return Piece("Pierced star", fold, WedgeDrawing(tuple(openings), star.kept), 1.8, 2.6)


def ribbon() -> Piece:
    """A lace ribbon of hearts, the same above and below."""
    fold = accordion_fold(panels=8, width=27, height=84, lengthwise=True)
    w, h = 27.0, 42.0
    bumps = [
        (x, 2.6 - 2.6 * math.sqrt(max(0.0, 1 - (((x + 4.5) % 9) / 4.5 - 1) ** 2)))
        for x in np.linspace(0, w, 109)
    ]
    kept = Polygon([*bumps, (w, h), (0, h)])
    cells = [
        standing("hearts", (w, 13.0), 27, 25.0), standing("lozenges", (0.0, 25.0), 15.0, 34.0),
        standing("leaves", (6.0, 11.8), 7.6, 19.0, turn=-14),
    ]  # fmt: skip
    cells += [Point(x, 6.4).buffer(2.1, quad_segs=16) for x in (4.5, 13.5, 22.5)]
    openings = fit_openings(fold, cells, strap=1.5, smallest=0.9, rim=2.2, kept=kept, soft=0.3)
    return Piece("Ribbon of hearts", fold, WedgeDrawing(tuple(openings), kept), 1.5, 2.2)


def curtain() -> Piece:
    """A window panel of four-leaved flowers between lozenges."""
    fold = plane_fold(group="p2mm", columns=4, rows=4, width=34, height=46, hem=6)
    w, h = 34.0, 46.0
    cells = [
        standing("petals", (w, h - 2.6), 13, 17, turn=180),
        standing("petals", (w - 2.6, h), 13, 15.5, turn=90),
        standing("leaves", (w - 4.2, h - 4.6), 7.4, 18.5, turn=141),
        standing("petals", (0, 2.6), 13, 17), standing("petals", (2.6, 0), 13, 15.5, turn=-90),
        standing("leaves", (4.2, 4.6), 7.4, 18.5, turn=-39),
        standing("lozenges", (w, 2.6), 12, 19), standing("lozenges", (0, h - 21.6), 12, 19),
        standing("drops", (w - 2.6, 0), 8, 11, turn=90), standing("drops", (2.6, h), 8, 11, turn=-90),
        scale(Point(w, 0).buffer(1.7), 1, 1), Point(0, h).buffer(1.7), Point(w, h).buffer(2.4),
        Point(0, 0).buffer(2.4),
        standing("leaves", (8.4, h - 6.2), 5.6, 14.0, turn=-145),
        standing("leaves", (w - 8.4, 6.2), 5.6, 14.0, turn=35),
        Point(w / 2, h / 2).buffer(2.6, quad_segs=16),
    ]  # fmt: skip
    openings = fit_openings(fold, cells, strap=1.6, smallest=0.9, rim=2.0, soft=0.3)
    return Piece("Four-leaved curtain", fold, WedgeDrawing(tuple(openings)), 1.6, 2.0)


def tiles() -> Piece:
    """Eight-pointed stars and crosses, as tiles are laid."""
    fold = plane_fold(group="p4mm", columns=4, rows=4, width=42)
    w = 42.0
    cells = [
        Point(0, 0).buffer(3.2, quad_segs=24), standing("drops", (4.6, 0), 8.5, 14.5, turn=-90),
        standing("drops", (3.3, 3.3), 8.5, 14.5, turn=-45),
        standing("leaves", (18.6, 4.0), 7.6, 17.0, turn=-68),
        standing("hearts", (15.2, 15.2), 14, 13.5, turn=-45),
        Point(w, w).buffer(3.2, quad_segs=24), standing("drops", (w, w - 4.6), 8.5, 14.5, turn=180),
        standing("drops", (w - 3.3, w - 3.3), 8.5, 12.5, turn=135),
        standing("petals", (w, 2.0), 11.5, 19.0), standing("petals", (w - 2.0, 0), 11.5, 19.0, turn=90),
        standing("leaves", (w - 3.2, 3.2), 8.6, 14.5, turn=45),
        standing("leaves", (w - 4.4, 20.5), 6.0, 13.0, turn=8),
    ]  # fmt: skip
    openings = fit_openings(fold, cells, strap=1.8, smallest=0.9, rim=2.0, soft=0.3)
    return Piece("Sixteen tiles", fold, WedgeDrawing(tuple(openings)), 1.8, 2.0, TISSUE)


def trefoils() -> Piece:
    """Three-leaved flowers on a hexagon, one whole in every triangle, cut through by no fold or edge."""
    fold = plane_fold(group="p3m1", columns=2, width=54)
    middle = np.array((27.0, 9.0 * math.sqrt(3)))
    cells = [Point(middle).buffer(2.6, quad_segs=24)]
    ways = [(turn, np.array(rotated((0.0, 1.0), (0.0, 0.0), turn))) for turn in (0.0, 120.0, 240.0)]
    cells += [standing("petals", tuple(middle + 4.4 * out), 9.6, 19.5, turn=turn) for turn, out in ways]
    cells += [standing("drops", tuple(middle - 4.4 * out), 6.0, 9.2, turn=turn + 180) for turn, out in ways]
    openings = fit_openings(fold, cells, strap=1.8, smallest=0.9, rim=2.0, soft=0.3)
    return Piece("Trefoils", fold, WedgeDrawing(tuple(openings)), 1.8, 2.0, TISSUE)


def garden_mat() -> Piece:
    """An oblong mat: a flower in the middle, leaves in the corners."""
    fold = quarter_fold(width=180, height=130)
    x, y, a, b = 90.0, 65.0, 90.0, 65.0
    cells = [
        Point(x, y).buffer(5.0, quad_segs=32), standing("drops", (x, y + 7.0), 19, 25),
        standing("drops", (x + 7.0, y), 19, 25, turn=-90),
        standing("petals", (x + 5.4, y + 5.4), 17, 30, turn=-45),
        standing("hearts", (x + 38.0, y), 30, 27, turn=-90), standing("hearts", (x, y + 35.0), 19, 16.5),
        standing("leaves", (x + 27.0, y + 21.0), 15.0, 38.0, turn=-58),
        standing("leaves", (x + 13.0, y + 33.5), 11.5, 26.0, turn=-38),
        standing("leaves", (x + 56.0, y + 13.0), 10.5, 25.0, turn=-40),
    ]  # fmt: skip
    openings = fit_openings(fold, cells, strap=1.6, smallest=0.9, rim=12.0, soft=0.3)
    beads = [Point(x + a - 6.6, y + k * 9.75).buffer(2.7, quad_segs=16) for k in range(7)]
    beads += [Point(x + k * 10.42, y + b - 6.6).buffer(2.7, quad_segs=16) for k in range(9)]
    openings += fit_openings(fold, beads, strap=1.6, smallest=0.9, rim=2.6, soft=0.3, beside=openings)
    return Piece("Garden mat", fold, WedgeDrawing(tuple(openings)), 1.6, 2.6)


PIECES: dict[str, Callable[[], Piece]] = {
    make.__name__.replace("_", "-"): make
    for make in (
        frost_star, heart_wreath, garden_mat, night_moth, stepped_street, pierced_star, ribbon,
        curtain, tiles, trefoils,
    )
}  # fmt: skip


def draw(name: str) -> Iterator[tuple[str, str]]:
    """Yield the file names of one piece with what is to stand in them."""
    piece = PIECES[name]()
    plan = piece.plan()
    described = f"{piece.title}: {plan.fold.name}, {plan.fold.layers} layers, cut once and opened."
    yield f"{name}.svg", piece_svg(Cutting(plan.piece, piece.strap, piece.title, described, piece.stock))
    yield f"{name}-packet.svg", packet_svg(plan)


def sheet() -> bytes:
    """Return a picture of every pierced piece that stands in this folder, small."""
    names = sorted(path.stem for path in HERE.glob("*.svg") if (HERE / f"{path.stem}-packet.svg").exists())
    papers = [shapely.get_parts(read_silhouette(HERE / f"{name}.svg").area)[0] for name in names]
    papers = [paper for paper in papers if paper.interiors]
    shown = ""
    for k, paper in enumerate(papers):
        left, top = CELL * (k % COLUMNS), CELL * (k // COLUMNS)
        x0, y0, x1, y1 = paper.bounds
        size = SHOWN * CELL / max(x1 - x0, y1 - y0)
        x, y = left + (CELL - size * (x1 - x0)) / 2, top + (CELL - size * (y1 - y0)) / 2
        placed = f"translate({x:.2f} {y:.2f}) scale({size:.5f})"
        shown += (
            f'<path transform="{placed}" fill-rule="evenodd" d="{path_data(paper, flip_height=y1, dx=-x0)}"/>'
        )
    wide, high = CELL * COLUMNS, CELL * math.ceil(len(papers) / COLUMNS)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{high}">'
        f'<rect width="100%" height="100%" fill="#fff"/>{shown}</svg>'
    )
    picture: bytes = cairosvg.svg2png(bytestring=svg.encode())
    return picture


def main(names: list[str]) -> None:
    """Draw the pieces named, or all and the sheet that shows them."""
    for name in names or PIECES:
        for file, text in draw(name):
            write_svg(HERE / file, text)
    if not names:
        write_atomically(HERE / "folded.png", sheet())


if __name__ == "__main__":
    main(sys.argv[1:])
