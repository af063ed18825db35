"""Forms that are one outline with openings in it: the leaf, the blossom and the feather."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.affinity import rotate, scale
from shapely.geometry import Polygon

from canivet.audit.strength import check_strength
from canivet.motifs.shapes.openings import Points

from ._plant import fit_to_box
from ._strokes import along, band, bezier, blade, bow, disc, rounded, stroke, turned

__all__ = ["draw_blossom", "draw_feather", "draw_leaf", "pierced_soundly"]


Polygons = list[Polygon]


def pierced_soundly(outline: Polygon, groups: list[Polygons], *, strap: float, smallest: float) -> Polygon:
    """Return the outline with the openings cut out, filling every group in which the audit finds a fault."""
    kept = [group for group in groups if group]
    while True:
        openings = [o for group in kept for o in group]
        paper = outline.difference(shapely.union_all(openings)) if openings else outline
        paper = max(shapely.get_parts(paper), key=lambda part: float(part.area))
        report = check_strength(paper, strap=strap, smallest=smallest)
        if report.holds or not kept:
            return paper
        faults = [x.at for x in report.necks]
        faults += [x.at for x in report.limbs] + [x.at for x in report.small_openings]
        places = shapely.points(np.array(faults))
        away = np.array([shapely.distance(places, shapely.union_all(group)) for group in kept])
        struck = set(away.argmin(axis=0).tolist())
        kept = [group for k, group in enumerate(kept) if k not in struck]


def draw_leaf(width: float, height: float, *, strap: float, smallest: float, seed: int) -> Polygon:
    """Return an upright leaf with its stalk at the bottom, the same in the mirror."""
    chance = np.random.default_rng(seed)
    stalk = 0.15 * height * (1 + 0.15 * chance.uniform(-1, 1))
    broad = stalk + (height - stalk) * chance.uniform(0.33, 0.46)
    heart = chance.uniform(0.0, 0.09) * (height - stalk)
    right = _margin(width / 2, stalk, broad, height, heart)
    body = Polygon(np.vstack([right, right[-2:0:-1] * [-1, 1]]))
    size = height / strap
    foot, thin = strap * (0.72 + 0.011 * size), 0.56 * strap
    rib = _tapered((0.0, foot * 0.9), (0.0, 0.93 * height), foot, thin)
    outline = (
        shapely.union_all([body, rib]).buffer(0.4 * strap, quad_segs=16).buffer(-0.4 * strap, quad_segs=16)
    )
    openings = _between_veins(body, rib, chance, stalk, height, width / 2, strap, smallest)
    outline, origin, ratio = fit_to_box(outline.simplify(0.004), width, height)
    pairs = [_moved(pair, origin, ratio) for pair in _mirrored(openings, smallest)]
    return pierced_soundly(outline, pairs, strap=strap, smallest=smallest)


def _tapered(start: tuple[float, float], end: tuple[float, float], base: float, thin: float) -> Polygon:
    t = np.linspace(0, 1, 24)[:, None]
    line = np.array(start) + t * (np.array(end) - np.array(start))
    return stroke(line, thin + (base - thin) * (1 - t[:, 0]) ** 1.2)


def _margin(half: float, stalk: float, broad: float, height: float, heart: float) -> Points:
    """Return the right-hand edge from where the stalk joins up to the tip."""
    low = bezier(
        (0, stalk), (0.5 * half, stalk - 1.2 * heart), (half, 0.5 * (stalk + broad) - heart), (half, broad)
    )
    rise = height - broad
    high = bezier(
        (half, broad), (half, broad + 0.36 * rise), (0.26 * half, height - 0.26 * rise), (0, height)
    )
    return np.vstack([low[:-1], high])


def _between_veins(
    body: Polygon, rib: Polygon, chance: np.random.Generator, stalk: float, height: float, half: float,
    strap: float, smallest: float,
) -> list[Polygon]:  # fmt: skip
    """Return the right-hand openings: between the side veins, in two rows where the leaf is large."""
    edge = 1.1 * strap + 0.05 * half
    inner = body.buffer(-edge, quad_segs=12).intersection(shapely.box(0, 0, half, height))
    angle = 50 * (1 + 0.1 * chance.uniform(-1, 1))
    pitch = max(2.0 * strap + 3 * smallest, 1.15 * math.sqrt(height * strap))
    rows = 2 if half - edge > 13 * strap + 4 * smallest else 1
    starts = np.arange(stalk + 0.1 * pitch, height, pitch)
    veins = [_vein(y, angle, 1.5 * half, strap, height) for y in starts]
    arc = 0.56
    between = [_vein(y + 0.5 * pitch, angle, 1.5 * half, strap, height) for y in starts]
    if rows == 1:
        cut = inner.difference(shapely.union_all([rib, *veins]))
        return rounded(cut, max(0.8 * smallest, 0.3 * strap), smallest)
    core = scale(body, arc, 0.8, origin=(0, stalk + 0.16 * (height - stalk)))
    line = core.exterior.buffer(0.56 * strap + 0.002 * height, quad_segs=12)
    cut = inner.difference(shapely.union_all([rib, line, *veins]))
    outer = cut.difference(shapely.union_all([core, *between]))
    both = rounded(cut.intersection(core), max(0.8 * smallest, 0.7 * strap), smallest)
    return both + rounded(outer, max(0.8 * smallest, 0.3 * strap), smallest)


def _vein(y: float, angle: float, reach: float, strap: float, height: float) -> Polygon:
    lean = math.radians(angle - 12 * min(1.0, max(0.0, y / height)))
    start = np.array([0.0, y])
    line = bow(start, start + reach * np.array([math.sin(lean), math.cos(lean)]), -0.1)
    return band(line, np.linspace(0.62 + 0.005 * height / strap, 0.54, len(line)) * strap)


def _mirrored(right: Polygons, smallest: float) -> list[Polygons]:
    """Return each opening of the right half with its mirror image, save specks and any in the middle."""
    apart = [o for o in right if o.bounds[0] > 0.2 * smallest]
    speck = 0.25 * float(np.median(shapely.area(apart))) if apart else 0.0
    return [[o, scale(o, -1, 1, origin=(0, 0))] for o in apart if o.area > speck]


def _moved(openings: Polygons, origin: Points, ratio: Points | float) -> Polygons:
    return [shapely.transform(o, lambda xy: (xy - origin) * ratio) for o in openings]


def draw_blossom(
    width: float, height: float, *, petals: int, strap: float, smallest: float, seed: int
) -> Polygon:
    """Return a blossom of equal petals, one pointing up, about its middle; the largest that fits."""
    chance = np.random.default_rng(seed)
    notch, point, broad = chance.uniform(0.0, 1.0, 3)
    unit = _petal(1.0, petals, notch, point, broad)
    x0, y0, x1, y1 = shapely.union_all(_turned_about(unit, petals)).bounds
    radius = min(width / (x1 - x0), height / (y1 - y0))
    petal = _petal(radius, petals, notch, point, broad)
    core = max(0.36 * radius, _knot(petals, strap))
    solid = shapely.union_all([*_turned_about(petal, petals), disc(np.zeros(2), core)])
    fillet = max(0.35 * strap, 0.02 * radius)
    solid = solid.buffer(fillet, quad_segs=24).buffer(-fillet, quad_segs=24)
    sepals = _turned_about(_sepal(radius, core, petals, strap), petals, half=True)
    solid = (
        shapely.union_all([solid, *sepals])
        .buffer(0.3 * strap, quad_segs=16)
        .buffer(-0.3 * strap, quad_segs=16)
    )
    middle, end = _eye(radius, core, petals, strap, smallest)
    cuts = _petal_openings(petal, radius, end + 1.1 * strap, petals, strap, smallest)
    groups = [_turned_about(cut, petals) for cut in middle[1:] + cuts] + [middle[:1]]
    (x0, y0), ratio = solid.bounds[:2], _snug(solid, width, height)
    (solid,) = _moved([solid.simplify(0.004)], np.array([x0, y0]), ratio)
    groups = [_moved(group, np.array([x0, y0]), ratio) for group in groups]
    return pierced_soundly(solid, groups, strap=strap, smallest=smallest)


def _snug(shape: Polygon, width: float, height: float) -> float:
    """Return the ratio, close to 1, that makes a shape the largest of its proportions in the box."""
    x0, y0, x1, y1 = shape.bounds
    return float(min(width / (x1 - x0), height / (y1 - y0)))


def _knot(petals: int, strap: float) -> float:
    """Return the radius at which so many petals are each a strap and a half wide at the root."""
    return 0.75 * strap / math.sin(math.pi / petals)


def _turned_about(shape: Polygon, petals: int, *, half: bool = False) -> list[Polygon]:
    shift = 180 / petals if half else 0.0
    return [rotate(shape, shift + 360 * k / petals, origin=(0, 0)) for k in range(petals)]


def _petal(radius: float, petals: int, notch: float, point: float, broad: float) -> Polygon:
    """Return the petal that points up: round, pointed or notched at the end as chance has it."""
    room = math.tan(math.pi / petals)
    half = radius * min(0.36, (0.62 + 0.06 * broad) * room * 0.86)
    top, waist = radius, 0.66 * radius
    root = min(0.45 * half, 0.3 * radius * room)
    low = bezier((root, 0.2 * radius), (root, 0.36 * radius), (half, 0.42 * radius), (half, waist))
    if point > 0.6:
        high = bezier((half, waist), (half, 0.83 * radius), (0.3 * half, 0.9 * radius), (0, top))
    elif notch > 0.55 and petals < 9:
        shoulder = bezier((half, waist), (half, 0.9 * top), (0.75 * half, top), (0.42 * half, top))
        dip = bezier((0.42 * half, top), (0.2 * half, top), (0.06 * half, 0.975 * top), (0, 0.93 * top))
        high = np.vstack([shoulder[:-1], dip])
    else:
        high = bezier((half, waist), (half, 0.88 * top), (0.58 * half, top), (0, top))
    right = np.vstack([[(0.0, 0.0), (root, 0.0)], low[:-1], high])
    return Polygon(np.vstack([right, right[-2:0:-1] * [-1, 1]]))


def _sepal(radius: float, core: float, petals: int, strap: float) -> Polygon:
    """Return the tip of a sepal, to be turned into the notch between two petals."""
    end = 0.74 * radius
    wide = min(0.8 * (radius * 0.6 * math.sin(math.pi / petals)), 0.07 * radius)
    if end - 0.8 * core < 3 * strap or wide < 0.8 * strap:
        return disc(np.zeros(2), 0.5 * core)
    line = np.linspace([0.0, 0.8 * core], [0.0, end], 40)
    return blade(line, wide, strap=strap, widest=0.3).outline


def _petal_openings(
    petal: Polygon, radius: float, inside: float, petals: int, strap: float, smallest: float
) -> Polygons:
    """Return the openings in the upper petal, fanned between its veins; mirror images share one entry."""
    inner = petal.buffer(-(1.1 * strap + 0.018 * radius), quad_segs=16)
    far, lean = 2 * radius, math.pi / petals
    wedge = Polygon([(0, 0), (-far * math.sin(lean), far * math.cos(lean)),
                     (far * math.sin(lean), far * math.cos(lean))])  # fmt: skip
    inner = inner.intersection(wedge.buffer(-0.56 * strap)) if petals > 2 else inner
    inner = inner.difference(shapely.Point(0, 0).buffer(inside, quad_segs=24))
    if inner.is_empty:
        return []
    room = inner.bounds[2] - inner.bounds[0]
    heart = _petal_heart(inner, inside, radius, strap, smallest)
    if heart:
        inner = inner.difference(heart[0].buffer(1.1 * strap + 0.006 * radius, quad_segs=16))
    cells = int(np.clip(room / (2.0 * strap + 2.3 * smallest + 0.035 * radius), 1, 6))
    if cells == 1:
        return heart + rounded(inner, max(0.85 * smallest, 0.3 * strap), smallest)[:1]
    lines = [_petal_vein(k - cells / 2, cells, room, radius, strap) for k in range(1, cells)]
    blunt = min(0.32 * room / cells, max(0.9 * smallest, 0.05 * radius))
    parts = rounded(inner.difference(shapely.union_all(lines)), max(blunt, 0.85 * smallest), smallest)
    return heart + _paired(parts, 0.01 * radius)


def _petal_heart(inner: Polygon, inside: float, radius: float, strap: float, smallest: float) -> Polygons:
    """Return the drop at the root of a large petal, pointing out, from which its veins seem to spring."""
    end = 0.64 * radius
    half = 0.07 * radius
    if half < 1.3 * smallest or end - inside < 3.5 * half or radius < 22 * strap:
        return []
    right = bezier((0, inside), (1.1 * half, inside), (1.35 * half, inside + 0.4 * (end - inside)), (0, end))
    drop = Polygon(np.vstack([right, right[-2:0:-1] * [-1, 1]]))
    return rounded(drop.intersection(inner), 0.85 * smallest, smallest)[:1]


def _petal_vein(k: float, cells: int, room: float, radius: float, strap: float) -> Polygon:
    """Return the k-th vein from the middle of a petal, spread over its room."""
    start = np.array([0.0, 0.1 * radius])
    end = np.array([1.12 * k * room / cells, 1.1 * radius])
    aside = np.array([1.25 * k * room / cells, 0.6 * radius])
    line = bezier(start, start + np.array([0.3 * aside[0], 0.25 * radius]), aside, end)
    return band(line, np.linspace(0.7 + 0.004 * radius / strap, 0.55, len(line)) * strap)


def _paired(parts: Polygons, near: float) -> Polygons:
    """Return the parts astride the middle, and those to the right together with exact mirror images."""
    right = [p for p in parts if p.centroid.x > near]
    both = [shapely.union_all([p, scale(p, -1, 1, origin=(0, 0))]) for p in right]
    return [p for p in parts if abs(p.centroid.x) <= near] + both


def _eye(radius: float, core: float, petals: int, strap: float, smallest: float) -> tuple[Polygons, float]:
    """Return the openings of the eye, a round one and a bead to each petal, and how far out they reach."""
    pupil = max(0.085 * radius, 1.05 * smallest)
    turn = math.sin(math.pi / petals)
    # beads between the pupil and the petals, as large as the room between neighbours allows
    bead = min(0.055 * radius, (pupil + 1.15 * strap) * turn / max(1e-9, 1 - turn) + radius)
    ring = pupil + 1.15 * strap + bead
    ring = max(ring, (bead + 0.56 * strap) / turn)
    fits = bead >= 1.05 * smallest and ring + bead < core + 0.1 * radius
    if fits:
        beads = shapely.Point(0, ring).buffer(bead, quad_segs=16)
        return [disc(np.zeros(2), pupil), beads], ring + bead
    if core > pupil + 1.2 * strap:
        return [disc(np.zeros(2), pupil)], max(pupil, core - 1.1 * strap)
    return [], core - 1.1 * strap


def draw_feather(width: float, height: float, *, strap: float, smallest: float, seed: int) -> Polygon:
    """Return an upright feather with its quill at the bottom, barbs slanting up to both edges."""
    chance = np.random.default_rng(seed)
    hand = float(chance.choice([-1.0, 1.0]))
    sway = hand * 0.16 * width * (1 + 0.3 * chance.uniform(-1, 1))
    line = bezier(
        (-1.3 * sway, 0), (0.2 * sway, 0.3 * height), (0.9 * sway, 0.7 * height), (-0.6 * sway, height)
    )
    share = np.linspace(0, 1, len(line))
    bare = 0.19 * (1 + 0.15 * chance.uniform(-1, 1))
    vane = np.clip((share - bare) / (1 - bare), 0, 1)
    profile = vane**0.45 * (1 - vane) ** 0.72 / 0.57
    left, right = 0.5 * width * np.array([0.82, 1.0][:: int(hand)])
    size = height / strap
    quill = stroke(
        line[: int(0.95 * len(line))],
        (0.55 * strap + strap * (0.4 + 0.009 * size) * (1 - share) ** 1.3)[: int(0.95 * len(line))],
    )
    body = _vane(line, profile * left, profile * right)
    body = body.difference(shapely.union_all(_splits(line, bare, left, right, chance, strap)))
    body = max(
        shapely.get_parts(body.buffer(-0.45 * strap).buffer(0.45 * strap, join_style="mitre")),
        key=lambda p: float(p.area),
    )
    outline = shapely.union_all([body, quill, *_down(line, body, bare, width, chance, strap)])
    cuts = _between_barbs(body, quill, line, bare, max(left, right), chance, strap, smallest)
    outline = outline.buffer(0.4 * strap, quad_segs=12).buffer(-0.4 * strap, quad_segs=12).simplify(0.006)
    outline = max(shapely.get_parts(outline), key=lambda part: float(part.area))
    outline, origin, ratio = fit_to_box(outline, width, height)
    return pierced_soundly(
        outline, [[c] for c in _moved(cuts, origin, ratio)], strap=strap, smallest=smallest
    )


def _splits(
    line: Points, bare: float, left: float, right: float, chance: np.random.Generator,
    strap: float,
) -> Polygons:  # fmt: skip
    """Return the wedges where the vane has parted, one or two on each side of a large feather."""
    wedges = []
    for hand, half in ((1, left), (-1, right)):
        small = half < 4.5 * strap
        count = 0 if half < 2.8 * strap else int(np.clip(line[-1, 1] / (9 * strap), 1, 3)) if small else 2
        for k in range(count):
            at = (
                0.25
                + 0.5 * (k + 0.5) / count
                + 0.3 * chance.uniform(-1, 1) / count
                + (0.1 if hand > 0 else 0)
            )
            at = bare + (1 - bare) * at
            root, unit = along(line, at)
            ahead = turned(unit, hand * 38)
            long = 1.25 * half / math.sin(math.radians(38))
            tail = bow(root + 0.42 * long * ahead, root + 1.3 * long * ahead, 0.07 * hand)
            wedges.append(
                band(
                    tail,
                    np.linspace(0.42, 0.42 + (0.06 if small else 0.16) * half / strap, len(tail)) * strap,
                )
            )
    return wedges


def _down(
    line: Points, body: Polygon, bare: float, width: float, chance: np.random.Generator, strap: float
) -> Polygons:
    """Return the loose barbs below the vane, those that keep clear of it and of each other."""
    kept: Polygons = []
    for share, length in ((0.86, 0.34), (0.6, 0.24)):
        for hand in (-1, 1):
            root, unit = along(line, share * bare * (1 + 0.06 * chance.uniform(-1, 1)))
            ahead = turned(unit, hand * 62)
            long = length * width * (1 + 0.1 * chance.uniform(-1, 1))
            if long < 3.4 * strap:
                continue
            barb = blade(
                bow(root, root + long * ahead, 0.14 * hand), 0.85 * strap, strap=strap, widest=0.35
            ).outline
            free = barb.difference(disc(root, 2.6 * strap))
            if free.distance(shapely.union_all([body, *kept])) > 0.9 * strap:
                kept.append(barb)
    return kept


def _vane(line: Points, left: Points, right: Points) -> Polygon:
    steps = np.gradient(line, axis=0)
    unit = steps / np.hypot(*steps.T)[:, None]
    aside = np.column_stack([-unit[:, 1], unit[:, 0]])
    keep = (left > 0) | (right > 0)
    ring = np.vstack([(line + aside * left[:, None])[keep], (line - aside * right[:, None])[keep][::-1]])
    body = shapely.make_valid(Polygon(ring))
    return max(shapely.get_parts(body), key=lambda part: float(part.area))


def _between_barbs(
    body: Polygon, quill: Polygon, line: Points, bare: float, half: float, chance: np.random.Generator,
    strap: float, smallest: float,
) -> list[Polygon]:  # fmt: skip
    """Return the openings between the barbs; where they are long, a cross-strap breaks each of them."""
    run = float(np.hypot(*np.diff(line, axis=0).T).sum())
    angle = 33 * (1 + 0.08 * chance.uniform(-1, 1))
    slot = max(2.3 * smallest, 0.9 * strap, 0.17 * math.sqrt(run * strap))
    pitch = (1.15 * strap + slot) / math.sin(math.radians(angle + 6))
    inner = body.buffer(-(1.1 * strap + 0.03 * half), quad_segs=12)
    barbs = [quill.buffer(0.08 * strap)]
    reach = 1.7 * half / math.sin(math.radians(angle))
    for k in range(int((1 - bare) * run / pitch) + 4):
        at, unit = along(line, min(0.995, bare - 0.08 + k * pitch / run))
        for hand in (-1, 1):
            barb = bow(at, at + turned(unit, hand * angle) * reach, 0.06 * hand)
            barbs.append(band(barb, np.linspace(0.7, 0.53, len(barb)) * strap))
    if half / math.sin(math.radians(angle)) > 12 * (strap + slot):
        core = scale(body, 0.52, 0.93, origin=tuple(line[int(bare * len(line))]))
        barbs.append(core.exterior.buffer(0.56 * strap))
    return rounded(inner.difference(shapely.union_all(barbs)), max(0.8 * smallest, 0.28 * strap), smallest)
