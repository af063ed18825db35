"""Names in the letters of many languages, in every frame: raised or cut out, the plate holds.

The letters are the exemplar characters of the package ``gflanguages`` (Apache 2.0), which gives for each language
those of Unicode's CLDR where CLDR has it; the package has more languages than CLDR. Names are made of them by
chance, the letters that English lacks first; none is a person's.
"""

import random

import pytest
from sampling import a_few_of
from support import assert_one_piece

from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.errors import DoesNotFit
from canivet.motifs import catalogue
from canivet.motifs.lettering.faces import open_face

gflanguages = pytest.importorskip("gflanguages", reason="the package gflanguages is not installed")

FRAMES = [name for name, motif in catalogue().items() if motif.family == "frame"]
SIZES = {"landscape-plate": "6x4 in", "tall-narrow": "50x180 mm"}

LANGUAGES = [
    "cs_Latn", "da_Latn", "de_Latn", "el_Grek", "es_Latn", "et_Latn", "fr_Latn", "ga_Latn", "hr_Latn",
    "hu_Latn", "is_Latn", "it_Latn", "lt_Latn", "lv_Latn", "mt_Latn", "nl_Latn", "pl_Latn", "pt_Latn", "ro_Latn",
    "ru_Cyrl", "sk_Latn", "sv_Latn", "tr_Latn", "uk_Cyrl", "vi_Latn",
]  # fmt: skip


def exemplars(language):
    """The letters of a language, capitals and small ones, without what is written in brackets (digraphs)."""
    base = gflanguages.LoadLanguages()[language].exemplar_chars.base
    return sorted({sign for sign in base.split() if len(sign) == 1 and sign.isalpha()})


def name_in(language):
    """Two words of eleven letters in all, beginning with capitals, every second letter one that English lacks."""
    chance = random.Random(language)
    letters = exemplars(language)
    small = [s for s in letters if s.islower()]
    strange = [s for s in small if not s.isascii()] or small
    drawn = [chance.choice(strange if k % 2 else small) for k in range(11)]
    capital = {k: chance.choice([s for s in strange if len(s.upper()) == 1]).upper() for k in (0, 4)}
    word = "".join(capital.get(k, sign) for k, sign in enumerate(drawn))
    return f"{word[:4]} {word[4:]}"


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_default_face_has_every_exemplar_letter(language):
    face = open_face()
    assert exemplars(language), "no letters: nothing was tried"
    assert [s for s in exemplars(language) if not face.font.get_nominal_glyph(ord(s))] == []


@a_few_of(3, k=range(len(LANGUAGES)))
def test_a_name_of_any_language_fits_a_frame_and_holds(tmp_path, k):
    assert_fits(tmp_path, LANGUAGES[k], FRAMES[k % len(FRAMES)], ("raised", "cut out")[k // len(FRAMES) % 2])


TOO_WIDE = {("da_Latn", "landscape-plate", "raised"), ("fr_Latn", "landscape-plate", "cut out")}
"""Seven capitals of three strokes in one word, which a word beside a window has no room for; known to be refused."""


@pytest.mark.slow
@pytest.mark.parametrize("mode", ["raised", "cut out"])
@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize("language", LANGUAGES)
def test_a_name_of_every_language_fits_every_frame_and_holds(tmp_path, language, frame, mode):
    if (language, frame, mode) in TOO_WIDE:
        with pytest.raises(DoesNotFit, match="lose their form there"):
            assert_fits(tmp_path, language, frame, mode)
    else:
        assert_fits(tmp_path, language, frame, mode)


def assert_fits(tmp_path, language, frame, mode):
    (tmp_path / "plate.toml").write_text(
        f'title = "Saltmere"\nsize = "{SIZES.get(frame, "4x6 in")}"\nstrap = "1.2 mm"\nframe = "{frame}"\n'
        f'[[lettering]]\ntext = "{name_in(language)}"\npanel = "name"\nmode = "{mode}"\n',
        encoding="utf-8",
    )
    drawn = compose_plate(load_design(tmp_path / "plate.toml"))
    assert drawn.report.holds, drawn.report.necks[:3]
    assert_one_piece(drawn.cutting.paper)
