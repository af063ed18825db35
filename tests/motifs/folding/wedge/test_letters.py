import pytest
import shapely
from shapely import affinity
from support import assert_one_piece

from canivet.audit.strength import check_strength
from canivet.errors import BadValue, DoesNotFit
from canivet.motifs.folding.folds import accordion_fold, medallion_fold, mirror_fold
from canivet.motifs.folding.unfolding import unfold
from canivet.motifs.folding.wedge.letters import letter_wedge

FOLDS = [
    mirror_fold(width=160, height=60),
    accordion_fold(panels=4, width=70, height=50),
    medallion_fold(count=3, width=260),
]


@pytest.mark.parametrize("fold", FOLDS, ids=lambda fold: fold.name)
@pytest.mark.parametrize("mirrored", [False, True])
def test_words_open_into_a_piece_that_holds(fold, mirrored):
    cut = letter_wedge(fold, "Noa", strap=1.5, smallest=0.5, rim=3, mirrored=mirrored)
    paper = unfold(fold, cut, strap=1.5, rim=3)
    assert_one_piece(paper)
    assert check_strength(paper, strap=1.5, smallest=0.5).holds


def test_mirrored_words_are_the_mirror_image():
    fold = FOLDS[0]
    plain, turned = (
        shapely.union_all(letter_wedge(fold, "Rex", strap=1.5, smallest=0.5, rim=3, mirrored=m))
        for m in (False, True)
    )
    x = fold.wedge.centroid.x
    assert affinity.scale(plain, -1, 1, origin=(x, 0)).symmetric_difference(turned).area < 0.01 * plain.area
    assert plain.symmetric_difference(turned).area > 0.1 * plain.area


def test_words_that_do_not_fit_or_cannot_be_cut_are_refused():
    with pytest.raises(DoesNotFit):
        letter_wedge(
            FOLDS[1],
            2 * "A name far too long for one narrow panel of this sheet, ",
            strap=1.5,
            smallest=0.5,
            rim=3,
        )
    with pytest.raises(DoesNotFit, match="no room for words"):
        letter_wedge(FOLDS[1], "A", strap=1.5, smallest=0.5, rim=60)
    with pytest.raises(BadValue):
        letter_wedge(FOLDS[1], "a\x07", strap=1.5, smallest=0.5, rim=3)
