import math
from collections import Counter
from itertools import pairwise

import numpy as np
import pytest
import shapely
from shapely.affinity import translate
from shapely.geometry import Polygon
from support import rings_of

from canivet.motifs.borders._ornament.keys import _HOOKS
from canivet.motifs.borders._ornament.lozenges import Lozenges
from canivet.motifs.borders._ornament.rays import Suns
from canivet.motifs.borders._ornament.steps import Steps
from canivet.motifs.borders.keys import greek_fret
from canivet.motifs.borders.straight import bead_and_bar, dentil, diamond_chain, ray, zigzag
from canivet.motifs.outlines import oval, rectangle


@pytest.mark.parametrize("repeat", [9.5, 13.0, 18.0])
def test_a_hanging_pyramid_is_the_standing_one_turned_over_and_keeps_its_wall(repeat):
    steps = Steps(8.6, 1.2, 0.5)
    hanging, standing = (
        [Polygon(ring) for ring in rings] for rings in (steps.bay(repeat), steps.post(repeat))
    )
    over = [shapely.transform(shape, lambda p: p * (1, -1) + (0, 8.6)) for shape in standing]
    assert shapely.union_all(hanging).symmetric_difference(shapely.union_all(over)).area < 1e-9
    # derived: walls between level and upright sides alike are the same width, so the nearest points are that far apart
    beside = translate(shapely.union_all(hanging), repeat / 2)
    assert shapely.union_all(standing).distance(beside) == pytest.approx(steps.wall(repeat), abs=1e-9)


def test_a_pyramid_of_a_wide_band_holds_a_dark_one_and_that_a_light_core():
    for height, parts in ((6.5, 1), (12.5, 2)):
        steps = Steps(height, 1.2, 0.5)
        assert len(steps.post(steps.natural)) == parts


@pytest.mark.parametrize("height", [8.0, 12.5])
def test_the_ziggurat_of_a_corner_meets_its_neighbours_as_those_of_a_side_do(height):
    steps = Steps(height, 1.2, 0.5)
    corner = shapely.union_all([Polygon(ring) for ring in steps.corner(steps.natural)])
    beside = shapely.union_all([Polygon(ring) for ring in steps.bay(steps.natural)])
    gap = corner.distance(translate(beside, -steps.natural / 2))
    assert gap == pytest.approx(steps.wall(steps.natural), abs=1e-6)


def test_the_hooks_of_a_fret_are_each_other_turned_half_round():
    for levels, (standing, hanging) in _HOOKS.items():
        assert [(2 * levels - 1 - x, levels + 1 - y) for x, y in standing] == hanging


@pytest.mark.parametrize("side", [80, 110])
def test_a_fret_faces_about_in_the_middle_of_each_side(side):
    paper = greek_fret(within=rectangle(width=side, height=side), band=12)
    below = [r for r in rings_of(paper) if r.centroid.y < 12 and 12 < r.centroid.x < side - 12]
    row = shapely.union_all(below)
    about = shapely.transform(row, lambda p: (side, 0) + p * (-1, 1))
    assert row.symmetric_difference(about).area < 1e-3
    # either half by itself runs one way
    low, _, high, _ = (half := row.intersection(shapely.box(0, 0, side / 2, 12))).bounds
    turned = shapely.transform(half, lambda p: (low + high, 0) + p * (-1, 1))
    assert half.symmetric_difference(turned).area > 0.1 * half.area


def test_a_ray_is_half_as_wide_at_its_tip_and_nine_wedges_go_round_a_corner():
    suns = Suns(14.0, 0.8, 0.5)
    wedges = [Polygon(ring) for ring in suns.bay(suns.natural) if len(ring)]
    radius = suns._radius(6)
    upright = -suns.natural / 2
    roots, tips = (
        min(
            wedge.intersection(shapely.box(-99, y, 99, y + 0.01)).bounds[0]
            for wedge in wedges
            if wedge.intersects(shapely.box(-99, y, 99, y + 0.01))
        )
        - upright
        for y in (radius + 0.05, 13.9)
    )
    assert roots / tips == pytest.approx(2, abs=0.1)
    # three in the block itself, and half a sun's six on either side of it
    assert len(suns.corner(suns.natural)) - 1 == 3
    assert len(wedges) == 4  # two threes, of which those above and those below meet


def test_the_white_wedges_of_a_sun_are_mirror_images_about_its_upright_ray():
    within = rectangle(width=150, height=150)
    wedges = [
        r for r in rings_of(ray(within=within, band=12)) if r.centroid.y < 12 and 15 < r.centroid.x < 135
    ]
    # those above and below meet between two suns
    between = [x for x, count in Counter(round(r.centroid.x, 2) for r in wedges).items() if count == 2]
    suns = [(left + right) / 2 for left, right in pairwise(sorted(between))]
    assert len(suns) > 4
    for x in suns:
        own = shapely.union_all([r for r in wedges if abs(r.centroid.x - x) < 0.6 * (suns[1] - suns[0])])
        about = shapely.transform(own, lambda p, x=x: (2 * x, 0) + p * (-1, 1))
        assert own.symmetric_difference(about).area < 0.02 * own.area


@pytest.mark.parametrize("outline", [rectangle, oval])
@pytest.mark.parametrize("strap", [0.8, 1.2, 1.6])
def test_every_bead_is_a_true_circle_also_where_the_band_bends(outline, strap):
    openings = rings_of(bead_and_bar(within=outline(width=101.6, height=152.4), strap=strap))
    largest = max(ring.area for ring in openings)
    beads = [ring for ring in openings if ring.area > 0.97 * largest]
    assert len(beads) >= 16
    for bead in beads:
        # of all shapes a circle alone has 4π of area to its length squared (isoperimetric inequality)
        assert 4 * math.pi * bead.area / bead.length**2 == pytest.approx(1, abs=2e-3)


def test_reels_stand_in_pairs_everywhere_beside_the_bead_of_a_corner_too():
    within = rectangle(width=150, height=150)
    openings = [ring for ring in rings_of(bead_and_bar(within=within, band=12)) if ring.centroid.y < 12]
    kinds = sorted(
        (ring.centroid.x, "o" if ring.area > 20 else "|")
        for ring in openings
        if ring.bounds[3] - ring.bounds[1] > 7
    )
    row = "".join(kind for _, kind in kinds)
    assert set(row.strip("o").split("o")) == {"||"}


def test_the_light_heart_of_a_lozenge_is_quartered_where_quarters_can_be_cut():
    for height, parts in ((6.0, 1), (12.0, 4)):
        chain = Lozenges(height, 1.2, 0.5)
        assert len(chain.bay(chain.natural)) == parts


HIGH = 11.0 - 2.2 - 1.2
"""Between the rails of a band of 11 mm, with the usual rim and strap."""


def lens(long, wide):
    """Two equal segments of circles on one chord."""
    radius = (long**2 + wide**2) / (4 * wide)
    turn = 2 * math.asin(long / 2 / radius)
    return radius**2 * (turn - math.sin(turn))


def open_beads(_repeat, bead, reel):
    return math.pi * bead**2 / 4 + 2 * lens(HIGH, reel)


def open_zigzag(repeat, base):
    # a triangle as steep as a ribbon that climbs all the height in half a repeat
    return base**2 / 4 * 2 * HIGH / repeat


def open_diamonds(repeat, heart, beside):
    # a heart has the form of its lozenge, and what lies between two of them the slope of their sides
    return (heart**2 / 2 + 2 * beside**2 / 4) * HIGH / repeat


@pytest.mark.parametrize(
    ("border", "of_a_repeat", "lowest"),
    [
        (bead_and_bar, open_beads, 0),
        (zigzag, open_zigzag, 3),
        (diamond_chain, open_diamonds, 0),
    ],
)
def test_what_is_open_of_a_side_is_what_elementary_geometry_gives_for_a_repeat_times_the_repeats(
    border, of_a_repeat, lowest
):
    # derived: areas of discs, segments, triangles and rhombs; of a zigzag, the triangles under it
    foot = [r for r in rings_of(border(within=rectangle(width=200, height=120), band=11)) if r.bounds[3] < 11]
    side = sorted(
        (r for r in foot if 40 < r.centroid.x < 160 and r.bounds[1] > lowest), key=lambda r: r.centroid.x
    )
    kinds = {round(ring.area, 1): ring for ring in sorted(side, key=lambda r: -r.area)}
    largest = [r.centroid.x for r in side if round(r.area, 1) == max(kinds)]
    repeat = (largest[-1] - largest[0]) / (len(largest) - 1)
    times = len(largest) - 1
    widths = [ring.bounds[2] - ring.bounds[0] for ring in kinds.values()]
    between = shapely.box(largest[0], 0, largest[-1], 11)
    cut = shapely.union_all(side).intersection(between).area
    # a strap is drawn 0.01 mm wider
    assert cut == pytest.approx(times * of_a_repeat(repeat, *widths), rel=0.002)


def test_the_white_about_dentils_is_a_row_under_them_and_a_gap_at_either_side_of_each():
    foot = [r for r in rings_of(dentil(within=rectangle(width=200, height=120), band=11)) if r.bounds[3] < 11]
    white = max(foot, key=lambda ring: ring.area)
    x0, y0, x1, y1 = white.bounds
    level = shapely.LineString([(x0, y0 + 0.4 * (y1 - y0)), (x1, y0 + 0.4 * (y1 - y0))])
    gaps = [part.length for part in shapely.get_parts(level.intersection(white))]
    assert len(gaps) > 8
    assert np.ptp(gaps) < 0.02
    # derived: a rectangle under all teeth, and one between each two; corners are rounded
    under = 0.16 * HIGH
    assert white.area == pytest.approx((x1 - x0) * under + sum(gaps) * (y1 - y0 - under), rel=0.01)
