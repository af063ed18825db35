import pytest

from canivet.errors import BadValue
from canivet.stock import Faces, Stock, thickness_for_grammage


@pytest.mark.parametrize(
    ("grammage", "thickness"),
    # US GPO, Government Paper Specification Standards, JCP A55, 1999
    [(75, 0.100), (90, 0.120), (105, 0.140), (120, 0.160)],
)
def test_thickness_is_the_published_one(grammage, thickness):
    assert thickness_for_grammage(grammage) == pytest.approx(thickness, abs=1e-12)


@pytest.mark.parametrize("grammage", [74.9, 120.1, 0, -5, float("nan")])
def test_grammage_outside_the_table_is_refused(grammage):
    with pytest.raises(BadValue, match="published table runs from 75 to 120"):
        thickness_for_grammage(grammage)


def test_a_measured_thickness_needs_no_table():
    assert Stock.of(grammage=200, thickness=0.25).thickness == 0.25
    with pytest.raises(BadValue, match="Measure ten sheets"):
        Stock.of(thickness=9)


def test_what_is_printed_on_is_drawn_mirrored_and_a_template_is_not():
    # common practice: sheets dark on one face are cut on the white one; plain ones would keep the ink in front
    assert [kind.mirrored for kind in (Faces.PLAIN, Faces.DARK_ONE_FACE, Faces.DARK_BOTH_FACES)] == [
        True,
        True,
        False,
    ]


def test_faces_are_named_in_words():
    assert Faces.named("dark-on-one-face") is Faces.DARK_ONE_FACE
    with pytest.raises(BadValue, match="Did you mean 'plain'"):
        Faces.named("plane")


@pytest.mark.parametrize(
    "grammage", [-5, 0, float("nan"), 1e6, 10**400], ids=["-5", "0", "nan", "1e6", "huge"]
)
def test_a_grammage_that_is_no_papers_is_refused_beside_a_thickness_too(grammage):
    with pytest.raises(BadValue, match="paper and card run from 1 to 2000"):
        Stock.of(grammage=grammage, thickness=0.1)


@pytest.mark.parametrize("thickness", [-0.1, 0, float("nan"), 10**400], ids=["-0.1", "0", "nan", "huge"])
def test_a_thickness_that_is_no_papers_is_refused(thickness):
    with pytest.raises(BadValue, match=r"paper and card run from 0\.01 mm to 2 mm"):
        Stock.of(thickness=thickness)


def test_both_ends_of_the_range_of_grammages_belong_to_it():
    assert [Stock.of(grammage=g, thickness=0.1).grammage for g in (1, 2000)] == [1, 2000]
    with pytest.raises(BadValue, match="published table runs"):
        thickness_for_grammage(10**400)
