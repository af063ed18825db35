"""Lattices that are grown and not laid: cracked ice and crackled glaze, every one from its seed."""

from __future__ import annotations

from itertools import combinations
from typing import Annotated

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.audit.boundary import Floats
from canivet.motifs.bounds import LatticeRim, Roundness, Smallest, Spacing, Strap, Toward
from canivet.motifs.registry import motif
from canivet.motifs.shapes.openings import Points, Shapes
from canivet.motifs.shapes.rounds import largest_parts
from canivet.parameters import Count, Length, Seed, Share

from ._filling.fill import fill_with_shapes
from ._filling.grading import shares_toward
from ._filling.region import check_pitch, inset_region
from ._filling.voronoi import relaxed, scattered

__all__ = ["crackle_lattice", "ice_ray_lattice", "ice_rays"]

_LEAST = 0.35
"""Radius of the circle inscribed in about the smallest cell, in pitches."""

_MAIN = 1.6
"""Straps: how wide the main cracks are, those that came first. The eye follows them and the rest is texture;
under one and a half they are not told apart."""

_SPAN = 4.5
"""Pitches from main crack to main crack, about."""

_TRIES = 9
"""Cuts tried of each cell, the best of them taken: enough to avoid slivers, few enough to stay irregular."""

_WHIM = 0.2
"""How far chance may prefer one cut to a better one: with none, all ice cracks alike."""

_SHARPEST = np.radians(60)
"""Corners sharper than this, or blunter than what it leaves of half a turn, make splinters of ice."""

_FATTEST = 0.85
"""How near to regular a cell need not surpass: all alike would be no ice."""

_THREE = 0.1
"""What a cell of three corners costs: some there must be, as many as of five, since corners are four on
average."""

_EVEN = 0.25
"""How large a share of a cell the smaller part need not surpass; a triangle off a corner can have no more."""


@motif("lattice")
def crackle_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.4,
    pitch: Spacing = 7.5,
    evenness: Annotated[int, Count("times every middle is moved to the middle of its cell", 0, 30)] = 16,
    roundness: Roundness = 0.45,
    smallest: Smallest = 0.5,
    grade: Annotated[
        float, Share("how much closer cells lie toward one side; 0 keeps them alike", 0, 1)
    ] = 0.0,
    toward: Toward = "foot",
    seed: Seed = 1,
) -> Polygon:
    """Crackled glaze: irregular cells of about one size, like a dried pool or a dragonfly's wing.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Paper between two cells: mm, 0.3 to 20, default 1.4.
    pitch : float
        About how far the middles of cells lie apart: mm, 2 to 200, default 7.5.
    evenness : int
        Times every middle is moved to the middle of its cell: 0 to 30, default 16.
    roundness : float
        How round the corners of cells are: 0 to 1, default 0.45.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    grade : float
        How much closer cells lie toward one side: 0 to 1, default 0.
    toward : str
        ``foot``, ``head``, ``left``, ``right``, ``middle``, ``edge`` or ``vignette``, the opening that the
        ground goes round; default ``foot``.
    seed : int
        Which of the many drawings: 0 to 2³¹, default 1.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If the rim leaves nothing, or no opening is left worth cutting.

    Notes
    -----
    The cells are those of all that lies nearest to one of a set of points (Voronoi), scattered at random
    and evened out by moving each to the middle of its cell (Lloyd). The cells at the edge fit it, so none
    is cut off. Main cracks, wider by three fifths, run between the cells nearest to one and to another of a
    few points more.

    References
    ----------
    S. P. Lloyd, Least squares quantization in PCM, IEEE Transactions on Information Theory 28, 1982.
    A. Okabe, B. Boots, K. Sugihara and S. N. Chiu, Spatial Tessellations, 2000.

    Examples
    --------
    >>> within = Polygon([(0, 0), (60, 0), (60, 90), (0, 90)])
    >>> once, again = (crackle_lattice(within=within, seed=7) for _ in range(2))
    >>> once.geom_type, once.equals(again), once.equals(crackle_lattice(within=within, seed=8))
    ('Polygon', True, False)
    """
    check_pitch(pitch, strap, smallest, inradius=_LEAST)
    region = inset_region(within, rim)
    floor = (strap / 2 + smallest) / _LEAST / pitch

    def spacing(points: Points) -> Floats:
        share = max(floor, 1 - 0.6 * grade)
        apart: Floats = pitch * (1 - (1 - share) * shares_toward(toward, points, region) * (grade > 0))
        return apart

    field = region.buffer(strap / 2, join_style="mitre")  # half of the straps along the edge lies in the rim
    rng = np.random.default_rng(seed)
    cells = relaxed(scattered(field, spacing, rng), field, spacing, evenness)
    cells = _parted_by_main_cracks(cells, field, (_MAIN - 1) * strap / 2, _SPAN * pitch, rng)
    return fill_with_shapes(within, region, cells, strap=strap, smallest=smallest, soft=roundness)


def _parted_by_main_cracks(
    cells: Shapes, field: Polygon, by: float, span: float, rng: np.random.Generator
) -> Shapes:
    """Draw cells in by so much where they border on a cell of another of a few large blocks.

    Of a cell that this parts the largest part is left.
    """
    from scipy.spatial import cKDTree  # imported here: the catalogue is light

    hubs = scattered(field, lambda at: np.full(len(at), span), rng)
    blocks = relaxed(hubs, field, lambda at: np.full(len(at), span), 4)
    hubs = shapely.get_coordinates(shapely.centroid(blocks))
    middles = shapely.get_coordinates(shapely.centroid(cells))
    own = cKDTree(hubs).query(middles)[1]
    whole = [shapely.union_all(cells[own == block]) for block in np.unique(own)]
    cracks = shapely.boundary(np.array(whole)).tolist()
    main = shapely.difference(shapely.union_all(cracks), shapely.boundary(field).buffer(0.01))
    parted = cells.copy()
    met = shapely.intersects(cells, main)
    left = shapely.difference(cells[met], main.buffer(by, cap_style="square", join_style="mitre"))
    parted[met] = largest_parts(left)
    kept: Shapes = parted[~shapely.is_empty(parted)]
    return kept


@motif("lattice")
def ice_ray_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.4,
    pitch: Annotated[float, Length("about how wide a cell is", 2, 300)] = 8.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """Ice-ray: the cracked ice of Chinese window lattices, straight bars that part the field again and again.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Width of the bars: mm, 0.3 to 20, default 1.4.
    pitch : float
        About how wide a cell is: mm, 2 to 300, default 8.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings: 0 to 2³¹, default 1.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If the rim leaves nothing, or no opening is left worth cutting.

    Notes
    -----
    The field is cut in two by a straight bar from side to side, each part again, until all are small
    enough. A triangle falls into a triangle and a four-sided cell, a four-sided one into two of four sides
    or into three and five, a pentagon into four and five: no cell ever has fewer than three sides or more
    than five. Corners are kept between 60° and 120° where they can be. The first cuts, which part the field
    into a few large blocks, are wider by three fifths.

    References
    ----------
    G. Stiny, Ice-ray: a note on the generation of Chinese lattice designs, Environment and Planning B 4,
    1977.

    Examples
    --------
    >>> within = Polygon([(0, 0), (60, 0), (60, 90), (0, 90)])
    >>> once, again = (ice_ray_lattice(within=within, seed=7) for _ in range(2))
    >>> once.geom_type, once.equals(again)
    ('Polygon', True)
    """
    check_pitch(pitch, strap, smallest, inradius=_LEAST)
    region = inset_region(within, rim)
    low_x, low_y, high_x, high_y = region.bounds
    by = (_MAIN - 1) * strap / 2
    field = shapely.box(low_x, low_y, high_x, high_y).buffer(strap / 2 + by, join_style="mitre")
    rng = np.random.default_rng(seed)
    blocks = shapely.buffer(ice_rays(field, (_SPAN * pitch) ** 2, rng), -by, join_style="mitre")
    cells = np.concatenate([ice_rays(block, pitch**2, rng) for block in blocks])
    return fill_with_shapes(within, region, cells, strap=strap, smallest=smallest)


def ice_rays(field: Polygon, area: float, rng: np.random.Generator) -> Shapes:
    """Part a field of three to five sides by straight cuts until no part is much larger than asked for.

    Parameters
    ----------
    field : Polygon
        Convex, with three to five corners, in mm.
    area : float
        mm²; about how large a part is to be.
    rng : Generator
        The source of chance.

    Returns
    -------
    ndarray of Polygon
        They fill the field, each with three to five corners.

    Examples
    --------
    >>> parts = ice_rays(shapely.box(0, 0, 60, 90), 81, np.random.default_rng(1))
    >>> {len(part.exterior.coords) - 1 for part in parts} <= {3, 4, 5}
    True
    >>> round(float(shapely.area(parts).sum()), 6)
    5400.0
    """
    corners = shapely.get_coordinates(shapely.orient_polygons(field).exterior)[:-1]
    waiting: dict[int, Points] = {len(corners): corners[None]}
    done: list[Shapes] = []
    while waiting:
        parts: dict[int, list[Points]] = {}
        for cells in waiting.values():
            large = _areas(cells) > area * rng.uniform(1.15, 1.9, len(cells))
            done.append(shapely.polygons(cells[~large]))
            for part in _cut(cells[large], rng) if large.any() else []:
                parts.setdefault(part.shape[1], []).append(part)
        waiting = {sides: np.concatenate(some) for sides, some in parts.items()}
    return np.concatenate(done)


def _cut(cells: Points, rng: np.random.Generator) -> list[Points]:
    """Cut every cell of one number of sides in two, each by the best of a few cuts tried.

    Returns
    -------
    list of ndarray
        Parts of one number of corners each, shape (n, corners, 2).
    """
    sides = cells.shape[1]
    # an n-gon cut from side i to side j leaves j − i + 2 and n − (j − i) + 2 corners, no more than five
    pairs = np.array([(i, j) for i, j in combinations(range(sides), 2) if max(j - i, sides - j + i) + 2 <= 5])
    best = np.full(len(cells), -np.inf)
    pick = np.zeros(len(cells), dtype=int)
    share = np.zeros((len(cells), 2))
    for _ in range(_TRIES):
        for k, pair in enumerate(pairs):
            at = rng.uniform(0.2, 0.8, (len(cells), 2))
            one, other = _parts(cells, pair, at)
            stout = np.minimum(_fitness(one), _fitness(other))
            even = np.minimum(_areas(one), _areas(other)) / _areas(cells)
            merit = stout + np.minimum(even, _EVEN) + rng.uniform(0, _WHIM, len(cells))
            better = merit > best
            best[better], pick[better], share[better] = merit[better], k, at[better]
    chosen = [(pairs[k], pick == k) for k in np.unique(pick)]
    return [part for pair, rows in chosen for part in _parts(cells[rows], pair, share[rows])]


def _parts(cells: Points, pair: Points, share: Floats) -> tuple[Points, Points]:
    """Return both parts of every cell cut from one side to another, `share` of the way along each."""
    i, j = pair
    after = np.roll(cells, -1, axis=1)
    start = cells[:, i] + share[:, :1] * (after[:, i] - cells[:, i])
    end = cells[:, j] + share[:, 1:] * (after[:, j] - cells[:, j])
    one = np.concatenate([start[:, None], cells[:, i + 1 : j + 1], end[:, None]], axis=1)
    other = np.concatenate([cells[:, : i + 1], start[:, None], end[:, None], cells[:, j + 1 :]], axis=1)
    return one, other


def _fitness(cells: Points) -> Floats:
    """Return how good a shape each cell has: stout, and with no corner that is too sharp or too blunt."""
    before, after = np.roll(cells, 1, axis=1) - cells, np.roll(cells, -1, axis=1) - cells
    across = before[..., 0] * after[..., 1] - before[..., 1] * after[..., 0]
    corner = np.arctan2(np.abs(across), (before * after).sum(axis=2))
    beyond = np.maximum(_SHARPEST - corner, corner - (np.pi - _SHARPEST)).max(axis=1)
    stout = np.minimum(_stoutness(cells), _FATTEST)
    fitness: Floats = stout - np.maximum(beyond, 0) - _THREE * (cells.shape[1] == 3)
    return fitness


def _areas(cells: Points) -> Floats:
    x, y = cells[..., 0], cells[..., 1]
    areas: Floats = 0.5 * (x * np.roll(y, -1, axis=1) - y * np.roll(x, -1, axis=1)).sum(axis=1)
    return areas


def _stoutness(cells: Points) -> Floats:
    """Return how near each cell is to the regular one of as many sides, which has 1."""
    step = np.roll(cells, -1, axis=1) - cells
    outline = np.hypot(step[..., 0], step[..., 1]).sum(axis=1)
    sides = cells.shape[1]
    stoutness: Floats = 4 * sides * np.tan(np.pi / sides) * _areas(cells) / outline**2
    return stoutness
