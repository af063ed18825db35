import math

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon

from canivet.errors import DoesNotFit
from canivet.motifs.borders._circuit import Mitre, lay_circuit
from canivet.motifs.borders._ornament.areas import box, diagonal, lens, mirrored, softened
from canivet.motifs.borders.band import Corner
from canivet.motifs.outlines import arch, oval, pointed_arch, rectangle, rounded_rectangle
from canivet.motifs.shapes.rounds import inscribed_radius


def test_a_pointed_arch_turns_two_square_feet_and_one_mitred_apex():
    circuit = lay_circuit(pointed_arch(width=100, height=150), 12)
    kinds = sorted(type(turn).__name__ for turn in circuit.turns)
    assert kinds == ["Corner", "Corner", "Mitre"]
    lengths = sorted(run.length for run in circuit.runs)
    assert lengths[0] == pytest.approx(76)
    assert lengths[1] == pytest.approx(lengths[2])


def test_the_apex_of_an_equilateral_arch_is_mitred_on_its_axis():
    circuit = lay_circuit(pointed_arch(width=100, height=150), 12)
    (mitre,) = [turn for turn in circuit.turns if isinstance(turn, Mitre)]
    inner, before, tip, after = mitre.kite
    assert inner[0] == pytest.approx(50, abs=1e-6)
    assert tip == pytest.approx((50, 150))
    assert before + after == pytest.approx((100, 2 * before[1]), abs=1e-6)
    # the arcs inside are struck from the same centres with 12 less: √(88² - 50²) above the springing (geometry)
    assert inner[1] == pytest.approx(150 - 50 * math.sqrt(3) + math.sqrt(88**2 - 50**2), abs=0.02)


@pytest.mark.parametrize("strap", [0.8, 1.5])
@pytest.mark.parametrize("rim", [1.0, 3.0])
def test_what_is_cut_in_a_mitre_keeps_its_straps_and_its_rim(strap, rim):
    piece = Polygon([(0, 0), (100, 0), (50, 86.6)])
    circuit = lay_circuit(piece, 12)
    for turn in circuit.turns:
        opening = turn.opening(strap=strap, rim=rim)
        inner, before, _, after = turn.kite
        assert opening.distance(piece.exterior) == pytest.approx(rim, abs=1e-6)
        for foot in (before, after):
            assert opening.distance(shapely.LineString([inner, foot])) == pytest.approx(strap, abs=1e-6)


def test_a_run_beside_a_mitre_ends_at_its_foot():
    circuit = lay_circuit(Polygon([(0, 0), (100, 0), (50, 86.6)]), 12)
    for run, turn in zip(circuit.runs, circuit.turns, strict=True):
        assert run.place(np.array([0.0]), np.array([0.0]))[0] == pytest.approx(turn.kite[0], abs=1e-6)


def test_a_rounded_rectangle_is_counted_from_bend_to_bend():
    circuit = lay_circuit(rounded_rectangle(width=80, height=120, radius=20), 10)
    run = circuit.runs[0]
    places = run.place(circuit.joints, np.full(4, 10.0))
    # the middle of a quarter round lies r·(1 - √½) in from both sides (geometry)
    away = 20 * (1 - math.sqrt(0.5))
    corners = [(x, y) for x in (away, 80 - away) for y in (away, 120 - away)]
    away_from = shapely.distance(shapely.points(places)[:, None], shapely.points(corners))
    assert away_from.min(axis=0) == pytest.approx(np.zeros(4), abs=0.3)


def test_an_oval_is_counted_from_foot_to_head():
    circuit = lay_circuit(oval(width=80, height=120), 10)
    places = circuit.runs[0].place(circuit.joints, np.full(2, 10.0))
    assert places == pytest.approx(np.array([(40, 0), (40, 120)]), abs=0.01)


@pytest.mark.parametrize("piece", [rectangle(width=80, height=120), arch(width=80, height=120)])
def test_stretching_only_ever_lengthens(piece):
    circuit = lay_circuit(piece, 10)
    over = [(0.6, 0.6)] * len(circuit.runs)
    counts = [int(run.length // 9) for run in circuit.runs]
    each = min((run.length + 1.2) / count for run, count in zip(circuit.runs, counts, strict=True))
    stretched = circuit.stretched(counts, each, over)
    for before, after, count in zip(circuit.runs, stretched.runs, counts, strict=True):
        assert after.length <= before.length + 1e-9
        assert after.length == pytest.approx(count * each - 1.2)


def test_an_opening_laid_round_a_corner_lies_on_both_runs():
    circuit = lay_circuit(rectangle(width=80, height=120), 10)
    index = next(i for i, turn in enumerate(circuit.turns) if isinstance(turn, Corner))
    angle = np.array([(-6.0, 2.0), (2.0, 2.0), (2.0, -6.0), (4.0, -6.0), (4.0, 4.0), (-6.0, 4.0)])
    (ring,) = circuit.lay_corner(index, angle, rise=1.0)
    # nothing is stretched here, so it keeps the area of its flat drawing: two arms 2 wide, 10 and 8 long
    assert Polygon(ring).area == pytest.approx(36)


@pytest.mark.parametrize(("apex", "drawn"), [(60, True), (56, True), (54, False), (40, False)])
def test_a_corner_is_mitred_up_to_a_turn_of_125_degrees_and_refused_past_it(apex, drawn):
    height = 60 / math.tan(math.radians(apex / 2))
    piece = Polygon([(0, 0), (120, 0), (60, height)])
    if drawn:
        assert len(lay_circuit(piece, 8).turns) == 3
        return
    with pytest.raises(DoesNotFit, match=f"turns by {180 - apex}°"):
        lay_circuit(piece, 8)


@pytest.mark.parametrize(
    ("piece", "band", "says"),
    [
        (rectangle(width=40, height=60), 20, "leaves no window"),
        (Polygon([(0, 0), (90, 0), (90, 90), (45, 90), (45, 45), (0, 45)]), 6, "turns inward"),
        (Polygon([(0, 0), (200, 0), (0, 60)]), 6, "turns by 1[56][0-9]°"),
        (Polygon([(0, 0), (60, 0), (60, 12), (30, 60), (0, 12)]), 15, "too short"),
        (Polygon([(0, 0), (90, 0), (45, 80)]).difference(shapely.box(44, 2, 46, 4)), 8, "already lies in it"),
    ],
)
def test_a_band_that_cannot_be_laid_is_refused_by_name(piece, band, says):
    with pytest.raises(DoesNotFit, match=says) as caught:
        lay_circuit(piece, band)
    assert caught.value.parameter == "band"
    assert str(caught.value).startswith(f"band is {band} mm")


def test_an_area_is_split_into_openings_and_those_too_small_are_left_solid():
    area = shapely.union_all([box(-5, 0, -2, 3), box(2, 0, 5, 3), box(-1, 0, 1, 2), box(-0.2, 4, 0.2, 9)])
    rings = mirrored(area, smallest=0.5)
    assert sorted(Polygon(r).area for r in rings) == pytest.approx([4, 9, 9])


def test_openings_across_the_diagonal_are_the_same_seen_from_either_side():
    rings = diagonal(box(1, 1, 5, 5).difference(box(1, 1, 3, 3)), smallest=0.5)
    (ring,) = rings
    swapped = Polygon(ring[:, ::-1])
    assert swapped.symmetric_difference(Polygon(ring)).area < 1e-9
    assert Polygon(ring).area == pytest.approx(12)


def test_softening_keeps_the_largest_circle_and_only_takes_away():
    opening = shapely.box(0, 0, 6, 3)
    soft = softened(opening, 0.5)
    assert opening.buffer(1e-6).contains(soft)
    assert inscribed_radius(soft) == pytest.approx(1.5, abs=0.01)


def test_a_lens_is_as_wide_and_as_tall_as_asked():
    assert lens(2, 1, 9, 3).bounds == pytest.approx((0.5, 1, 3.5, 9), abs=0.01)
