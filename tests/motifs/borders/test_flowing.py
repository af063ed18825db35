"""What flowing, interlaced and leafy borders share beyond what every border promises, and what waves, scrolls and festoons do besides."""

import io

import numpy as np
import pytest
import resvg_py
import shapely
from border_checks import assert_cut_as_asked
from PIL import Image
from scipy import ndimage
from shapely.affinity import scale
from support import rings_of

from canivet.audit.strength import check_strength
from canivet.errors import CanivetError, DoesNotFit
from canivet.motifs.borders._running.swags import Swag
from canivet.motifs.borders._running.waves import Scroll, Wave
from canivet.motifs.borders.flowing import festoon, running_scroll, wave
from canivet.motifs.borders.interlaced import cable, guilloche, interlace
from canivet.motifs.borders.leafy import laurel, leaf_and_berry
from canivet.motifs.outlines import oval, rectangle

MIRRORED = [wave, running_scroll, festoon, leaf_and_berry, laurel]
BORDERS = [*MIRRORED, cable, guilloche, interlace]


@pytest.mark.parametrize("border", MIRRORED)
def test_a_ring_mirrors_itself_though_no_vertex_of_it_lies_on_the_axis(border):
    within = shapely.box(20, 20, 82, 140).buffer(20, quad_segs=24)
    paper = border(within=within)
    assert_cut_as_asked(paper, within, border)
    assert paper.symmetric_difference(scale(paper, -1, 1, origin=(51, 0))).area < 0.02


@pytest.mark.parametrize("border", BORDERS)
def test_more_repeats_fit_on_a_larger_piece_at_the_same_strap(border):
    small = border(within=rectangle(width=60, height=90), band=10)
    large = border(within=rectangle(width=150, height=225), band=10)
    assert len(large.interiors) > 1.6 * len(small.interiors)
    for paper in (small, large):
        assert 1.2 <= check_strength(paper, strap=1.2).weakest.width + 0.002 < 1.5


def rendered(paper, dots=8):
    """What an engine that had no part in the drawing makes of it: True where there is paper."""
    rings = [shapely.get_coordinates(ring) for ring in (paper.exterior, *paper.interiors)]
    path = "".join("M" + " ".join(f"{x:.3f},{y:.3f}" for x, y in ring) + "Z" for ring in rings)
    _, _, width, height = paper.bounds
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}"><path fill-rule="evenodd" d="{path}"/></svg>'
    )
    png = resvg_py.svg_to_bytes(svg_string=svg, dpi=96, width=round(width * dots), background="white")
    return np.asarray(Image.open(io.BytesIO(bytes(png))).convert("L")) < 128


@pytest.mark.parametrize("border", BORDERS)
def test_a_renderer_sees_one_part_and_as_many_openings(border):
    paper = border(within=rectangle(width=80, height=100))
    black = rendered(paper)
    assert ndimage.label(black, structure=np.ones((3, 3)))[1] == 1
    assert ndimage.label(~black)[1] == len(paper.interiors)


def lip_across(height, turns):
    """From where to where a wave's lip lies on rays from its middle, by degrees turned from the crest."""
    row = Wave(height, 1.2, 0.5)
    middle = np.array([0.12 * row.hollow, row.hollow])
    lip, across = row._lip(tuple(middle)), []
    for turn in np.radians(turns):
        ray = shapely.LineString([middle, middle + 99 * np.array([np.sin(turn), np.cos(turn)])])
        ends = shapely.get_coordinates(ray.intersection(lip))
        across.append(np.sort(np.hypot(*(ends - middle).T))[:2])
    return np.array(across)


def test_the_lip_of_a_high_wave_tapers_to_a_strap():
    wide = np.diff(lip_across(13.0, [30, 90, 150, 210, 225]), axis=1).ravel()
    assert np.all(np.diff(wide) < 0)
    assert wide[-1] == pytest.approx(1.2, rel=0.1)


@pytest.mark.parametrize("height", [8.0, 13.0])
def test_the_lip_of_a_wave_keeps_one_angle_to_the_line_to_its_middle(height):
    # the logarithmic spiral is equiangular (Descartes 1638, J. Bernoulli 1692; from memory)
    edges = lip_across(height, [200, 180, 160]).mean(axis=1)
    assert edges[1] / edges[0] == pytest.approx(edges[2] / edges[1], rel=0.08)
    assert edges[0] < edges[1] < edges[2]


def test_every_wave_of_a_row_breaks_on_the_rim():
    paper = wave(within=rectangle(width=120, height=120), band=14)
    side = sorted(
        (r for r in rings_of(paper) if r.centroid.y < 14 and 14 < r.centroid.x < 106),
        key=lambda r: r.centroid.x,
    )
    for sky in side:
        assert sky.bounds[1] == pytest.approx(2.2, abs=0.05)
    # one sky for each crest and one where the two rows meet
    assert len(side) % 2 == 1


@pytest.mark.parametrize("height", [7.0, 9.0, 13.0])
def test_a_coil_goes_round_once_and_a_half_and_keeps_a_slit_off_itself_past_where_it_is_taken_up(height):
    row = Scroll(height, 0.8, 0.4)
    line, _ = row._spiral()
    x, y = (line - (0, height / 2)).T
    radius, angle = np.hypot(x, y), np.unwrap(np.arctan2(y, x))
    turned = np.abs(angle - angle[0]) / (2 * np.pi)
    assert turned[-1] == pytest.approx(1.5)
    assert np.all(np.diff(radius) < 1e-9)
    # over its first quarter the ribbon still lies beside the tail that brings it
    first = np.linspace(0.25, 0.5, 6)
    white = np.interp(first, turned, radius) - np.interp(first + 1, turned, radius) - row.paper
    assert white.min() > 2 * row.smallest


def test_a_ribbon_runs_from_coil_to_coil_along_a_whole_side():
    row = Scroll(9.0, 0.9, 0.4)
    arm = row.arm(row.natural, 4, False)
    assert arm.geom_type == "Polygon"
    assert arm.bounds[2] - arm.bounds[0] > 4 * row.natural


def test_a_garland_is_thickest_in_its_middle_and_holds_three_flowers_in_a_wide_band():
    for height, flowers in ((6.0, 0), (13.0, 3)):
        row = Swag(height, 1.2, 0.5)
        garland = row._garland(row.natural)
        assert len(garland.interiors) == flowers
        solid = shapely.Polygon(garland.exterior)
        middle, side = (
            solid.intersection(shapely.LineString([(x, -99), (x, 99)])).length
            for x in (0, 0.35 * row.natural)
        )
        assert not flowers or middle > 1.1 * side


@pytest.mark.parametrize(("height", "strap"), [(7.5, 1.6), (8.3, 0.8), (13.0, 1.2)])
def test_a_garland_hangs_clear_of_the_rail_and_from_every_rosette_a_pendant_reaches_it(height, strap):
    row = Swag(height, strap, 0.5)
    assert row._garland(row.natural).bounds[1] >= 2 * row.smallest
    beside_rail = shapely.LineString([(-1, 0.05), (3 * row.natural + 1, 0.05)])
    feet = shapely.get_parts(row.arm(row.natural, 3, True).intersection(beside_rail))
    middles = [foot.interpolate(0.5, normalized=True).x / row.natural for foot in feet[1:-1]]
    assert len(feet) == 4
    assert middles == pytest.approx([1, 2])


def test_a_crook_keeps_white_round_its_knob_and_lets_it_run_on_beside_the_next():
    row = Scroll(7.5, 1.6, 0.5)
    line, (x, y, radius) = row._spiral()
    ring = shapely.LineString(line[: len(line) // 2]).buffer(row.paper / 2)
    assert shapely.Point(x, y).buffer(radius).distance(ring) >= 2 * row.smallest
    strip = shapely.box(row.natural, 0, 2 * row.natural, row.height)
    white = strip.difference(row.arm(row.natural, 4, False))
    within = max(shapely.get_parts(white), key=lambda part: part.area)
    assert within.bounds[3] - within.bounds[1] > 0.95 * row.height


@pytest.mark.parametrize(
    ("border", "asked", "parameter", "says"),
    [
        (wave, {"band": 5}, "band", "needs at least"),
        (wave, {"repeat": 3, "band": 10}, "repeat", "Raise repeat"),
        (running_scroll, {"band": 4}, "band", "needs at least"),
        (running_scroll, {"repeat": 60, "band": 10}, "repeat", "Lower repeat"),
        (festoon, {"band": 30}, "band", "leaves no window"),
        (festoon, {"band": 25}, "band", "half sides of at least|half a side"),
        (cable, {"band": 4}, "band", "needs at least"),
        (guilloche, {"strands": 3, "band": 8}, "band", "needs at least"),
        (interlace, {"strands": 5, "band": 8}, "band", "needs at least"),
        (leaf_and_berry, {"band": 5}, "band", "needs at least"),
        (laurel, {"band": 4}, "band", "needs at least"),
        (interlace, {"strands": 6}, "strands", "2 to 5"),
        (interlace, {"form": "curly"}, "form", "waved"),
        (wave, {"strap": 0.2}, "strap", "0.3 mm to 20 mm"),
    ],
)
def test_what_cannot_be_cut_is_refused_with_what_would_be_accepted(border, asked, parameter, says):
    with pytest.raises(CanivetError, match=says) as caught:
        border(within=rectangle(width=60, height=90), **asked)
    assert caught.value.parameter == parameter
    assert caught.value.accepted


@pytest.mark.parametrize("border", BORDERS)
def test_a_band_is_drawn_at_the_width_a_refusal_names(border):
    within = rectangle(width=90, height=90)
    with pytest.raises(DoesNotFit) as caught:
        border(within=within, band=4)
    least = float(caught.value.accepted.removeprefix("at least ").removesuffix(" mm"))
    assert_cut_as_asked(border(within=within, band=least), within, border, band=least)


@pytest.mark.parametrize("size", [50, 60, 80])
def test_coils_with_narrow_channels_hold_on_a_tight_curve(size):
    """A case a search came upon: stout straps beside narrow channels, bent."""
    paper = running_scroll(within=oval(width=size, height=size), band=8, rim=3, strap=1.5, smallest=0.25)
    assert check_strength(paper, strap=1.5, smallest=0.249).holds


@pytest.mark.parametrize("border", BORDERS)
def test_a_repeat_is_stretched_to_no_more_than_twice_what_suits_it(border):
    within = rectangle(width=180, height=180)
    with pytest.raises(DoesNotFit, match="Lower repeat") as caught:
        border(within=within, repeat=170)
    most = float(caught.value.accepted.removesuffix(" mm").rpartition(" to ")[2])
    own, stretched = (len(border(within=within, repeat=r).interiors) for r in (None, most - 0.01))
    assert 0.25 * own < stretched < own
