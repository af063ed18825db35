"""Words and frames chosen together: every name finds room, and a panel without words is not drawn."""

import pytest
import shapely
from sampling import a_few_of
from shapely import affinity, box
from support import assert_one_piece

from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.compose.words.lettering import place_lettering
from canivet.compose.words.wording import draw_with_words
from canivet.errors import BadValue, DoesNotFit
from canivet.motifs import catalogue

FRAMES = [name for name, motif in catalogue().items() if motif.family == "frame"]
SIZES = {"landscape-plate": "6x4 in", "tall-narrow": "50x180 mm"}

NAMES = [
    "Ada", "Marguerite", "Jürgen Groß", "Ágúst Þórsson", "Łucja Żak", "Maximilian Wren", "Theodora Saltmarsh",
    "Bartholomew Fenwick", "Anneliese Merryweather", "Mwangi Kirkwood-Oyelaran",
]  # fmt: skip
"""Invented subscribers, the longest of 24 letters. Each frame is tried with one; all with all is slow."""


def plate(tmp_path, frame, words="", *, settings="", more=""):
    file = tmp_path / "plate.toml"
    file.write_text(
        f'title = "Saltmere"\nsize = "{SIZES.get(frame, "4x6 in")}"\nstrap = "1.2 mm"\n'
        f'frame = {{motif = "{frame}"{settings}}}\n{words}{more}',
        encoding="utf-8",
    )
    return load_design(file)


def named(text, mode="raised", panel="name"):
    return f'[[lettering]]\ntext = "{text}"\npanel = "{panel}"\nmode = "{mode}"\n'


@a_few_of(3, k=range(len(FRAMES)))
def test_a_name_fits_every_frame_and_the_plate_holds(tmp_path, k):
    name, mode = NAMES[(3 * k + 1) % len(NAMES)], ("raised", "cut out")[k % 2]
    drawn = compose_plate(plate(tmp_path, FRAMES[k], named(name, mode)))
    assert drawn.report.holds, drawn.report.necks[:3]
    assert_one_piece(drawn.cutting.paper)
    assert drawn.parts.lettering[0].letters.text.casefold() == name.casefold()


@pytest.mark.slow
@pytest.mark.parametrize("mode", ["raised", "cut out"])
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("frame", FRAMES)
def test_every_name_fits_every_frame(tmp_path, frame, name, mode):
    design = plate(tmp_path, frame, named(name, mode))
    assert draw_with_words(design, width=design.size[0][0], height=design.size[0][1]).words[0].openings


@pytest.mark.parametrize("mode", ["raised", "cut out"])
def test_a_name_too_long_for_a_bookmark_rises_beside_its_window(tmp_path, mode):
    design = plate(tmp_path, "tall-narrow", named("Anneliese Merryweather", mode))
    worded = draw_with_words(design, width=50, height=180)
    assert worded.settings == {"spine": 0.26}
    x0, y0, x1, y1 = worded.words[0].letters.area.bounds
    assert y1 - y0 > 7 * (x1 - x0)
    assert x1 < worded.surround.window.bounds[0]


LONG = "Bartholomew Featherstonehaugh"
"""Too long for the lying plate as it is drawn at first."""


def test_a_lying_plate_gives_words_its_window_before_its_ground_and_says_so(tmp_path):
    design = plate(tmp_path, "landscape-plate", named(LONG))
    worded = draw_with_words(design, width=180, height=120)
    assert worded.settings == {"motto": 0.0, "share": 0.38}
    assert worded.remarks == ("frame.share: 0.38, so that the words fit",)


def test_a_lying_plate_whose_window_is_as_asked_gives_words_its_ground_and_says_so(tmp_path):
    motto = named("Read, and return what is lent and lend again", panel="motto")
    design = plate(tmp_path, "landscape-plate", motto, settings=", share = 0.38, motto = 0.3")
    worded = draw_with_words(design, width=180, height=120)
    assert worded.settings == {"crest": 0.0}
    assert worded.remarks[0] == "frame.crest: 0, so that the words fit"


def test_a_panel_that_is_not_drawn_is_no_room_given_to_words(tmp_path):
    design = plate(tmp_path, "landscape-plate", named("Ada"))
    worded = draw_with_words(design, width=152.4, height=101.6)
    assert (worded.settings, worded.remarks) == ({"motto": 0.0}, ())


def test_a_way_the_panel_does_not_run_is_told(tmp_path):
    rising = named("Ada") + 'along = "line"\n'
    design = plate(tmp_path, "tall-narrow", rising, settings=", spine = 0.3")
    told = draw_with_words(design, width=50, height=180).remarks
    assert told == ("lettering.1.along: rising, as the panel 'name' runs, and not line",)
    bent = named("Ada") + 'along = "rising"\nside = "top"\n'
    told = draw_with_words(plate(tmp_path, "banner", bent), width=101.6, height=152.4).remarks
    assert told == (
        "lettering.1.along: arc, as the panel 'name' runs, and not rising",
        "lettering.1.side: foot, as the panel 'name' runs, and not top",
    )
    for frame, settings in (("tall-narrow", ", spine = 0.3"), ("banner", "")):
        design = plate(tmp_path, frame, named("Ada"), settings=settings)
        width, height = design.size[0]
        assert draw_with_words(design, width=width, height=height).remarks == ()


def test_words_that_rise_are_those_that_lie_turned():
    lying, rising = (
        place_lettering(panel, "Reed House", strap=1.2, smallest=0.5, along=along)
        for panel, along in ((box(0, 0, 60, 14), "line"), (box(-14, 0, 0, 60), "rising"))
    )
    assert shapely.equals(affinity.rotate(lying.paper, 90, origin=(0, 0)), rising.paper)
    turned = affinity.rotate(lying.letters.area, 90, origin=(0, 0))
    assert rising.letters.area.symmetric_difference(turned).area < 1e-9 * turned.area


def test_a_refusal_of_words_that_rise_speaks_of_the_panel_as_it_stands():
    lying, rising = (
        refusal(panel, along)
        for panel, along in ((box(0, 0, 40, 14), "line"), (box(-14, 0, 0, 40), "rising"))
    )
    assert "the panel is 40 × 14 mm" in lying.message
    assert "the panel is 14 × 40 mm" in rising.message
    wide, high = lying.accepted.removesuffix(" mm").split(" × ")
    assert rising.accepted == f"{high} × {wide} mm"
    assert f"takes {rising.accepted}" in rising.message


def refusal(panel, along):
    with pytest.raises(DoesNotFit) as refused:
        place_lettering(panel, "Anneliese Merryweather", strap=1.2, smallest=0.5, along=along)
    return refused.value


def test_the_place_where_rising_words_lose_their_form_lies_on_their_panel(monkeypatch):
    panel = box(-20, 0, 0, 90)

    def refuses(lying, *_, **__):
        raise DoesNotFit("over the edge", parameter="size", at=(lying.bounds[2], lying.bounds[1] + 1))

    monkeypatch.setattr("canivet.compose.words.lettering._set_in_cut", refuses)
    with pytest.raises(DoesNotFit) as refused:
        place_lettering(panel, "Ada", strap=1.2, smallest=0.5, along="rising")
    assert refused.value.at == pytest.approx((-1, 90))


@a_few_of(4, frame=FRAMES)
def test_a_panel_without_words_is_not_drawn(tmp_path, frame):
    drawn = compose_plate(plate(tmp_path, frame))
    assert drawn.report.holds
    x0, y0, x1, y1 = drawn.cutting.paper.bounds
    thick = drawn.cutting.paper.buffer(-0.04 * min(x1 - x0, y1 - y0))
    assert thick.area < 0.012 * (x1 - x0) * (y1 - y0)  # nowhere a black slab


def test_a_page_without_words_takes_lines_of_print(tmp_path):
    bare, one = (
        compose_plate(plate(tmp_path, "open-book", words)) for words in ("", named("Ada", panel="left page"))
    )
    left, right = (catalogue()["open-book"].draw().panels[side] for side in ("left page", "right page"))
    slits = [sum(area.within(left.buffer(0.1)) for area in d.openings().areas) for d in (bare, one)]
    assert slits[0] > 20 > slits[1]
    assert sum(area.within(right.buffer(0.1)) for area in one.openings().areas) > 20


def test_a_panel_the_maker_has_sized_stays_and_the_refusal_names_its_key(tmp_path):
    design = plate(tmp_path, "oval-medallion", named("Anneliese Merryweather"), settings=", panel = 0.07")
    with pytest.raises(DoesNotFit, match=r"frame.panel is 0.07 here; left out, it goes to 0.4") as refused:
        compose_plate(design)
    assert refused.value.parameter == "frame.panel"


def test_a_word_of_sixty_letters_is_refused_in_a_sentence(tmp_path):
    with pytest.raises(DoesNotFit, match=r"^lettering\.1.*(does not fit|takes .* mm|lose their form)"):
        compose_plate(plate(tmp_path, "double-rule", named("Saltmere" * 8, "cut out")))


def test_a_panel_the_frame_does_not_have_is_refused_with_those_it_has(tmp_path):
    with pytest.raises(BadValue, match="left page, right page, name"):
        compose_plate(plate(tmp_path, "open-book", named("Ada", panel="verso")))
