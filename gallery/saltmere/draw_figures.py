"""Draws pike, leaf_wheel, mere and bank, each as SVG: ``python gallery/saltmere/draw_figures.py``."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Geometry, affinity

HERE = Path(__file__).parent
Points = NDArray[np.float64]
_TALL = 80


def curve(*knots: tuple[float, float]) -> Points:
    """A Bézier curve over its knots, as many as there are."""
    points = np.repeat(np.array(knots)[:, None, :], _TALL, axis=1)
    share = np.linspace(0, 1, _TALL)[:, None]
    while len(points) > 1:
        points = points[:-1] * (1 - share) + points[1:] * share
    return np.asarray(points[0])


def swept(middle: Points, half: Points) -> Geometry:
    """What a pen covers whose half width changes along its middle line."""
    tangent = np.gradient(middle, axis=0)
    normal = tangent[:, ::-1] * (-1.0, 1.0) / np.hypot(*tangent.T)[:, None]
    side = normal * half[:, None]
    return shapely.buffer(shapely.polygons(np.concatenate([middle + side, (middle - side)[::-1]])), 0)


def widths(*stops: tuple[float, float]) -> Points:
    """Half widths along a line, eased between the stops (share, half width)."""
    share, half = np.array(stops).T
    return np.interp(np.linspace(0, 1, _TALL), share, half)


def eased(*stops: tuple[float, float]) -> Points:
    """The same without corners, for bodies."""
    even = np.convolve(np.pad(widths(*stops), 5, mode="edge"), np.ones(11) / 11, "valid")
    return np.asarray(even)


def blade(foot: float, knots: tuple[tuple[float, float], ...], wide: float = 2.6) -> Geometry:
    """A leaf of reed: thick where it leaves the ground at `foot`, a point at its end."""
    return swept(curve((foot, 0), *knots), widths((0, wide / 2), (0.45, wide / 2), (1, 0.05)))


def lens(x: float, y: float, long: float, wide: float, turn: float = 0) -> Geometry:
    """A lens about (x, y), turned by so many degrees."""
    shape = swept(curve((-long / 2, 0), (long / 2, 0)), wide / 2 * np.sin(np.linspace(0, np.pi, _TALL)))
    return affinity.translate(affinity.rotate(shape, turn, origin=(0, 0)), x, y)


def cattail(foot: float, x: float, top: float) -> tuple[Geometry, Geometry]:
    """A reed mace from its foot to its tip, and the slit in its head."""
    stalk = curve((foot, 0), (foot, top / 2), (x, top))
    ink = swept(stalk, widths((0, 1.1), (0.78, 0.75), (1, 0.1)))
    lean = float(np.degrees(np.arctan2(*(stalk[-1] - stalk[-12])[::-1])))
    x, y = stalk[int(0.74 * _TALL)]
    head = 8.5
    fat = shapely.buffer(shapely.linestrings([(x - head / 2, y), (x + head / 2, y)]), 2.1)
    return shapely.union(ink, affinity.rotate(fat, lean)), lens(x, y, head, 1.7, lean)


def water(width: float, height: float, rows: int, wide: float) -> Geometry:
    """Ripples: lenses in rows, one more in every other row, so that they lie as bricks do."""
    found = []
    for row in range(rows):
        count = rows + 1 - row // 2 * 2 + row % 2 if rows > 1 else 3
        pitch = width / (count + 0.1)
        middles = width / 2 + (np.arange(count) - (count - 1) / 2) * pitch
        y = height * (rows - row - 0.5) / rows
        found += [lens(float(x), y, pitch * 0.86, wide * (0.7 + 0.3 * row / rows)) for x in middles]
    return shapely.union_all(found)


def outline(*knots: tuple[float, float]) -> Geometry:
    """A smooth closed shape through its knots (Catmull and Rom's spline); a knot given twice is a point."""
    ring = np.array(knots)
    before, start, end, after = (np.roll(ring, shift, axis=0)[:, None, :] for shift in (1, 0, -1, -2))
    t = np.linspace(0, 1, 12, endpoint=False)[None, :, None]
    bend = 2 * before - 5 * start + 4 * end - after
    twist = 3 * start - before - 3 * end + after
    points = start + t * (end - before) / 2 + t**2 * bend / 2 + t**3 * twist / 2
    return shapely.buffer(shapely.polygons(points.reshape(-1, 2)), 0)


def rays(*lines: tuple[tuple[float, float], tuple[float, float]], wide: float = 1.5) -> list[Geometry]:
    """Drops between the rays of a fin, each from its point at the body to its broad end."""
    swell = wide / 2 * np.sin(np.pi * np.linspace(0, 1, _TALL) ** 1.4)
    return [swept(curve(start, end), swell) for start, end in lines]


def fins() -> tuple[list[Geometry], list[Geometry]]:
    """The fins of the pike, far back as a pike's are, its forked tail, and what is cut between their rays."""
    back = ((46.0, 52.5), (47.4, 57.4), (50.6, 60.6), (55.4, 59.6), (57.6, 57.0), (56.2, 52.8), (56.0, 48.6))
    vent = ((46.5, 47.0), (47.4, 42.6), (50.2, 38.9), (54.6, 38.3), (57.4, 40.2), (56.2, 43.6), (55.8, 46.6))
    belly = ((28.8, 49.2), (29.4, 44.8), (31.6, 41.4), (34.8, 40.4), (36.8, 42.6), (35.6, 46.2), (34.8, 49.2))
    breast = (
        (20.0, 50.4),
        (20.8, 46.2),
        (23.2, 43.0),
        (26.4, 42.4),
        (28.2, 44.6),
        (27.0, 47.8),
        (26.2, 50.4),
    )
    tail = (
        (60.0, 48.6), (66.0, 49.4), (70.0, 53.4), (74.6, 56.6), (74.6, 56.6), (73.4, 51.4), (71.0, 47.0),
        (71.0, 43.6), (72.6, 37.8), (72.6, 37.8), (68.6, 40.2), (65.8, 43.0), (60.0, 45.0),
    )  # fmt: skip
    shapes = [outline(*knots) for knots in (back, vent, belly, breast, tail)]
    cuts = rays(
        ((49.2, 53.4), (51.0, 58.8)), ((52.0, 52.6), (55.0, 57.8)),
        ((49.4, 45.4), (51.2, 40.4)), ((52.6, 44.6), (55.0, 40.6)),
        ((31.2, 46.8), (33.4, 42.0)), ((22.4, 48.0), (24.8, 43.9)),
        ((65.8, 47.0), (72.2, 53.2)), ((66.0, 45.4), (70.8, 40.4)),
    )  # fmt: skip
    return shapes, cuts


def pike() -> Geometry:
    """A pike that hangs in the reeds: one passes before it, one behind its tail."""
    spine = curve((5.5, 50.5), (24, 53), (40, 55), (54, 50), (66, 45.5))
    body = swept(
        spine,
        eased((0, 0.7), (0.09, 1.7), (0.2, 3.7), (0.34, 5.4), (0.56, 5.8), (0.76, 4.2), (0.9, 2.1), (1, 1.8)),
    )
    shapes, cuts = fins()
    cuts.append(shapely.points(16.4, 53.6).buffer(0.85))
    cuts.append(swept(curve((7.4, 50.4), (11, 51.3), (15.8, 50.5)), widths((0, 0.5), (0.8, 0.6), (1, 0.2))))
    cuts.append(
        swept(
            curve((20.6, 56.3), (23.4, 53), (20.8, 49.6)), 0.15 + 0.6 * np.sin(np.linspace(0, np.pi, _TALL))
        )
    )
    normal = np.gradient(spine, axis=0)[:, ::-1] * (-1.0, 1.0)
    normal /= np.hypot(*normal.T)[:, None]
    for row, side in enumerate((2.4, 0.0, -2.4)):
        for share in np.arange(0.31 + 0.03 * (row % 2), 0.84 - 0.05 * (row != 1), 0.061):
            at = int(share * _TALL)
            x, y = spine[at] + normal[at] * side * (1.0 if share < 0.6 else 1.45 - 0.75 * share)
            cuts.append(lens(x, y, 2.7, 1.35, float(np.degrees(np.arctan2(-normal[at][0], normal[at][1])))))
    ground = swept(curve((0, 2.5), (38, 4), (76, 2.5)), widths((0, 5.5), (0.3, 3.5), (0.7, 3.5), (1, 5.5)))
    ground = shapely.intersection(ground, shapely.box(0, 0, 76, 20))
    before = blade(36, ((34, 40), (52, 58), (42, 90)), 3.4)
    reeds = [
        before,
        blade(19, ((19, 20), (21, 30), (28, 37))),
        blade(7, ((7, 18), (5, 26), (2, 34))),
        blade(52, ((52, 18), (48, 26), (44, 34))),
        blade(69, ((69, 18), (71, 26), (74, 34))),
    ]
    maces = [cattail(63, 57, 86), cattail(12, 12, 43)]
    swim = shapely.union_all([shapely.buffer(shapely.buffer(body, -0.65), 0.65), *shapes])
    open_water = shapely.difference(shapely.union_all(cuts), shapely.buffer(before, 1.9))
    slit = shapely.intersection(
        shapely.difference(shapely.buffer(before, 1.1), before), shapely.buffer(body, -1.5)
    )
    ink = shapely.union_all([shapely.difference(swim, shapely.union(open_water, slit)), ground, *reeds])
    ink = shapely.union_all([ink, *(mace for mace, _ in maces)])
    return shapely.difference(ink, shapely.union_all([gap for _, gap in maces] + [water(76, 6, 1, 2.2)]))


def toothed(long: float, half: float) -> Geometry:
    """A leaf from (0, 0) up to (0, long), its shoulder `half` wide at two fifths, its edge in even teeth."""
    edge = curve((1.5, 0), (half * 1.5, long * 0.16), (half * 1.35, long * 0.66), (0, long))
    steps = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(edge, axis=0).T))])
    along = np.linspace(0, steps[-1], 400)
    fine = np.column_stack([np.interp(along, steps, edge[:, k]) for k in (0, 1)])
    phase = (along / steps[-1] * 11) % 1
    tangent = np.gradient(fine, axis=0)
    out = tangent[:, ::-1] * (1.0, -1.0) / np.hypot(*tangent.T)[:, None]
    lift = 0.9 * phase * (along > 0.36 * steps[-1]) * (along < 0.95 * steps[-1])
    right = fine + out * lift[:, None]
    return shapely.buffer(shapely.polygons(np.concatenate([right, (right * (-1, 1))[::-1]])), 0)


def leaf_wheel() -> Geometry:
    """Twelve leaves that touch at their shoulders about a flower of twelve petals."""
    whole, cuts = toothed(44, 7.9), []
    for k in range(6):
        y, reach = 8.5 + 4.9 * k, (5.2, 6.6, 6.6, 5.9, 4.7, 3.2)[k]
        for side in (1, -1):
            turn = np.radians(50 + 3 * k)
            x0, x1 = 1.1, 1.1 + reach * np.cos(turn) * 1.28
            middle = curve(
                (x0, y), ((x0 + x1) / 2 + 0.5, y + reach * 0.32), (x1, y + reach * np.sin(turn) * 1.05)
            )
            cut = swept(middle, 0.05 + 1.0 * np.sin(np.linspace(0, np.pi, _TALL)) ** 0.8)
            cuts.append(affinity.scale(cut, side, 1, origin=(0, 0)))
    leaf = shapely.difference(whole, shapely.union_all(cuts))
    leaf = affinity.translate(leaf, 0, 17)
    petals = [lens(0, 11, 11.5, 3.4, 90)]
    eyes = [shapely.points(0, 3.4).buffer(0.8)]
    turned = [30 * k for k in range(12)]
    disc = shapely.union_all(
        [affinity.rotate(shapely.points(0, 12.4).buffer(6.0), a, origin=(0, 0)) for a in turned]
    )
    disc = shapely.union(disc, shapely.points(0, 0).buffer(13))
    gone = shapely.union_all(
        [affinity.rotate(p, a, origin=(0, 0)) for p in petals for a in turned]
        + [affinity.rotate(p, 2 * a, origin=(0, 0)) for p in eyes for a in turned[:6]]
    )
    ring = shapely.union_all([affinity.rotate(leaf, a, origin=(0, 0)) for a in turned])
    return affinity.translate(shapely.difference(shapely.union(ring, disc), gone), 61, 61)


def mere(width: float, deep: float) -> Geometry:
    """Water in rows of ripples, wider toward the foot."""
    return shapely.difference(shapely.box(0, 0, width, deep), water(width, deep, 5, 6.0))


def bank(width: float, deep: float, tall: float) -> Geometry:
    """Ground from side to side, reeds and reed maces rising at both ends."""
    ground = shapely.box(0, 0, width, deep)
    x = width / 100
    maces = [
        cattail(9 * x, 7 * x, tall),
        cattail(15 * x, 18 * x, tall * 0.7),
        cattail(91 * x, 92 * x, tall * 0.86),
        cattail(84 * x, 80 * x, tall * 0.6),
    ]
    leaves = [
        (4, ((4, 0.3), (3, 0.5), (0, 0.62))),
        (20, ((20, 0.2), (22, 0.42), (31, 0.44))),
        (23, ((24, 0.12), (28, 0.22), (37, 0.2))),
        (96, ((96, 0.3), (97, 0.45), (100, 0.56))),
        (79, ((79, 0.2), (76, 0.36), (68, 0.36))),
    ]
    blades = [blade(foot * x, tuple((a * x, b * tall) for a, b in knots)) for foot, knots in leaves]
    above = shapely.union_all([*blades, *(ink for ink, _ in maces)])
    above = shapely.difference(above, shapely.union_all([cut for _, cut in maces]))
    ink = shapely.union(ground, affinity.translate(above, 0, deep - 1))
    return shapely.difference(ink, water(width, deep, 1, 2.2))


def svg(paper: Geometry, title: str) -> str:
    """The drawing as one even-odd path, y turned down."""
    left, low, right, high = shapely.bounds(paper)
    rings = []
    for part in shapely.get_parts(paper):
        for ring in (part.exterior, *part.interiors):
            flat = shapely.get_coordinates(shapely.simplify(ring, 0.01)) * (1, -1) + (-left, high)
            rings.append("M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in flat[:-1]) + "Z")
    width, height = right - left, high - low
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.2f}mm" height="{height:.2f}mm" '
        f'viewBox="0 0 {width:.2f} {height:.2f}">\n<title>{title}</title>\n'
        "<desc>Silhouette for paper cutting: black stays, white is cut away.</desc>\n"
        f'<path fill="#000" fill-rule="evenodd" d="{"".join(rings)}"/>\n</svg>\n'
    )


if __name__ == "__main__":
    for name, paper, title in (
        ("pike", pike(), "A pike that hangs among reeds"),
        ("leaf_wheel", leaf_wheel(), "Twelve leaves about a flower"),
        ("mere", mere(124, 52), "Open water"),
        ("bank", bank(80, 7, 42), "A bank between reeds"),
    ):
        print(name, [round(x, 1) for x in shapely.bounds(paper)], shapely.get_num_geometries(paper))
        (HERE / f"{name}.svg").write_text(svg(paper, title), "utf-8")
