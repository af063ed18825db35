"""What the tests share: shapes to try things on, and assertions that say where they failed."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

__all__ = ["assert_one_piece", "count_parts_and_holes", "random_paper", "rings_of"]


def count_parts_and_holes(paper: Polygon | MultiPolygon) -> tuple[int, int]:
    parts = shapely.get_parts(paper)
    return len(parts), int(shapely.get_num_interior_rings(parts).sum())


def assert_one_piece(paper: Polygon | MultiPolygon, what: str = "the paper") -> None:
    """One valid polygon; or else what is wrong, and where: of several parts the smallest first, which fell off."""
    assert paper.is_valid, f"{what}: {shapely.is_valid_reason(paper)}"
    assert not paper.is_empty, f"{what} is empty"
    parts = sorted(shapely.get_parts(paper), key=lambda part: part.area)
    places = [
        f"{part.area:.3g} mm² at ({p.x:.2f}, {p.y:.2f})"
        for part in parts
        for p in [part.representative_point()]
    ]
    assert len(parts) == 1, f"{what} is in {len(parts)} parts: {'; '.join(places[:5])}"


def rings_of(paper: Polygon | MultiPolygon) -> list[Polygon]:
    """Every opening as a solid polygon."""
    return [Polygon(ring) for part in shapely.get_parts(paper) for ring in part.interiors]


def random_paper(seed: int, *, spread: float = 40.0) -> Polygon | MultiPolygon:
    """A union of random discs, bars and polygons with random openings: lobes, straps, slots and nooks."""
    rng = np.random.default_rng(seed)
    solid = shapely.union_all([_blob(rng, spread) for _ in range(rng.integers(2, 9))])
    taken = shapely.union_all([_blob(rng, spread, scale=0.5) for _ in range(rng.integers(0, 7))])
    paper = shapely.set_precision(solid.difference(taken), 0.001)
    keep = [part for part in shapely.get_parts(paper) if part.area > 1]
    return paper if not keep else (keep[0] if len(keep) == 1 else MultiPolygon(keep))


def _blob(rng: np.random.Generator, spread: float, scale: float = 1.0) -> Polygon:
    x, y = rng.uniform(0, spread, 2)
    size = rng.uniform(2, 10) * scale
    kind = rng.integers(4)
    if kind == 0:
        return shapely.Point(x, y).buffer(size, quad_segs=int(rng.integers(2, 17)))
    if kind == 1:
        bar = shapely.box(x - size * 2, y - size / 5, x + size * 2, y + size / 5)
        return affinity.rotate(bar, rng.uniform(0, 180))
    turns = np.sort(rng.uniform(0, 2 * np.pi, rng.integers(3, 12)))
    reach = size * rng.uniform(0.4, 1.2, len(turns))
    points = np.column_stack([x + reach * np.cos(turns), y + reach * np.sin(turns)])
    return Polygon(points).buffer(0) if kind == 2 else Polygon(points).convex_hull.buffer(0.2, quad_segs=4)
