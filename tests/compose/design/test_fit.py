"""Sizes worked back from frame, glass or mat to the piece."""

import pytest

from canivet.compose.design.loading import load_design
from canivet.errors import BadValue

INCH = 25.4


@pytest.fixture
def read(tmp_path):
    def of(fit, head=""):
        path = tmp_path / "plate.toml"
        path.write_text(f'title = "Pond"\n{head}\n[fit]\n{fit}\n', encoding="utf-8")
        return load_design(path)

    return of


@pytest.mark.parametrize(
    ("fit", "inches"),
    [
        # a window mat overlaps the piece by 1/4 in a side (common practice): 8×10 → 7.5×9.5, 11×14 → 10.5×13.5
        ('mat_opening = "7.5x9.5 in"', (8, 10)),
        ('mat_opening = "10.5x13.5 in"', (11, 14)),
        ('mat_opening = "15.5x19.5 in"', (16, 20)),
        # mat border (mat − opening)/2 a side (geometry): 16×20 mat, 11.5×15.5 opening → 2.25 in
        ('mat = "16x20 in"\nborder = "2.25 in"\noverlap = 0', (11.5, 15.5)),
        ('mat = "16x20 in"\nborder = "2.25 in"', (12, 16)),
        ('glass = "8x10 in"\nreveal = "0.5 in"', (7, 9)),
        ('frame = "8x10 in"\nplay = "0.0625 in"', (7.875, 9.875)),
    ],
)
def test_the_piece_is_as_large_as_what_it_goes_into_wants(read, fit, inches):
    (size,) = read(fit).size
    assert size == pytest.approx([INCH * side for side in inches], abs=0.001)


@pytest.mark.parametrize(
    ("fit", "said"),
    [
        ("", "none is given"),
        ('mat = "8x10 in"', "without border"),
        ('mat = "8x10 in"\nglass = "8x10 in"\nborder = 9', "glass and mat are given"),
        ('glass = "8x10 in"\noverlap = 3', "overlap does not go with glass"),
        ('glass = "20x30 mm"', "what is left for the piece is -4 × 6 mm"),
        ('matt = "8x10 in"', "fit.matt is not known"),
        ('frame = "8 by 10"', "two lengths joined by x"),
    ],
)
def test_what_it_cannot_be_worked_back_from_is_said_once(read, fit, said):
    with pytest.raises(BadValue) as refused:
        read(fit)
    assert said in refused.value.message
    assert "has 1 fault" in refused.value.message


def test_a_size_beside_it_is_refused(read):
    with pytest.raises(BadValue, match="size and fit are both given"):
        read('frame = "8x10 in"', 'size = "8x10 in"')
