"""Options of `fold` and `draw`: each is followed or refused in a sentence, none is ignored."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import box

from canivet.cli import draw, fold
from canivet.cli.fold import option_of
from canivet.compose.design.folding import KEYS
from canivet.compose.reading.svg import read_paper_path
from canivet.cutting import Cutting
from canivet.errors import BadValue
from canivet.export import piece_svg
from canivet.motifs.folding.wedge.words import read_place
from canivet.motifs.registry import catalogue


@pytest.fixture
def bar(here):
    """A bar of 10 × 20 mm, dark, to be cut away."""
    return here("bar.svg", piece_svg(Cutting(box(0, 0, 10, 20), 1, "Bar")))


def read(name):
    return read_paper_path(Path(name).read_bytes())


def assert_refused(result, *words):
    assert (result.exit_code, result.stdout) == (2, ""), result.output
    for word in words:
        assert word in result.stderr
    assert not Path("a.svg").exists()


# What goes with what


TOGETHER = [
    # kind and options, the option at fault, what the sentence says that it goes with
    ("star --border ??", "--border", "every folded kind but star"),
    ("star --words hi", "--words", "every folded kind but star"),
    ("star --rim 5mm", "--rim", "every folded kind but star"),
    ("star --creep --packet p.svg", "--creep", "every folded kind but star"),
    ("star --panels 3", "--panels", "accordion, lengthwise"),
    ("mirror --count 8", "--count", "medallion or star"),
    ("mirror --count 6", "--count", "medallion or star"),
    ("mirror --panels 6", "--panels", "accordion, lengthwise"),
    ("accordion --rows 3", "--rows", "p2mm or p4mm"),
    ("p3m1 --rows 2", "--rows", "p2mm or p4mm"),
    ("medallion --hem 5mm", "--hem", "accordion, lengthwise or p2mm"),
    ("accordion --eye 5mm", "--eye", "quarter, medallion"),
    ("mirror --eye 0mm", "--eye", "quarter, medallion"),
    ("p4mm --flat --count 3", "--count", "medallion or star"),
    ("p4mm --flat --paper A8", "--paper", "every folded kind"),
    ("p4mm --flat --creep", "--creep", "every folded kind but star"),
    ("p4mm --flat --ring nonsense", "--ring", "every folded kind"),
    ("p4mm --flat --sheet A3", "--sheet", "every folded kind"),
    ("p4mm --flat --packet p.svg", "--packet", "every folded kind"),
    ("p4mm --flat --words hi", "--words", "every folded kind but star"),
    ("p4mm --flat --figure bar.svg", "--figure", "every folded kind but star"),
    ("mirror --wedge bar.svg --words hi", "--words", "--wedge"),
    ("mirror --wedge bar.svg --figure bar.svg", "--figure", "--wedge"),
    ("mirror --wedge bar.svg --ring petals", "--ring", "--wedge"),
    ("mirror --wedge bar.svg --seed 0", "--seed", "--wedge"),
    ("mirror --words hi --figure bar.svg", "--figure", "--words"),
    ("mirror --words hi --ring petals", "--ring", "--words"),
    ("mirror --figure bar.svg --ring petals", "--ring", "--figure"),
    ("medallion --ring petals --seed 3", "--seed", "--ring"),
    ("medallion --words hi --eye 5mm", "--eye", "--words are both given; an eye goes with rings"),
    (
        "medallion --wedge bar.svg --border scallops",
        "--border",
        "--wedge are both given; a border goes with rings",
    ),
    ("mirror --at 5x5", "--at", "--wedge or --figure"),
    ("mirror --words hi --width 20mm", "--width", "--wedge or --figure"),
    ("mirror --mirrored", "--mirrored", "--words"),
    ("mirror --creep", "--creep", "--packet"),
    ("mirror --sheet A3", "--sheet", "--packet"),
]


@pytest.mark.parametrize(("line", "option", "beside"), TOGETHER, ids=[line for line, _, _ in TOGETHER])
@pytest.mark.usefixtures("bar")
def test_an_option_that_would_be_ignored_is_refused_with_what_it_goes_with(run, line, option, beside):
    result = run("fold", *line.split(), "-o", "a.svg")
    assert_refused(result, option, beside)
    assert "leave" in result.stderr.lower()


def test_every_key_of_a_fold_is_an_option_and_names_only_keys_that_there_are():
    options = {option.opts[0]: option for option in fold.command.params}
    for name, key in KEYS.items():
        assert {*key.needs, *key.never} <= {*KEYS, "packet"}
        option = options[option_of(name)]
        assert option.help.lower().startswith(key.meaning.lower())
        # A default is no one's wish, and must not pass for one.
        assert option.to_info_dict()["default"] in (None, False)


@pytest.mark.usefixtures("bar")
def test_every_option_in_its_place_is_taken(run):
    thin = ("--thickness", "0.02mm", "-o", "a.svg")
    for line in (
        "medallion --count 5 --size 120x120 --ring petals --eye 6mm --border scallops --packet p.svg --creep --sheet A3 --paper A4",
        "accordion --panels 4 --hem 5mm --seed 7 --rim 4mm",
        "p2mm --panels 3 --rows 3 --hem 4mm --size 40x50",
        "mirror --figure bar.svg --at 0x10 --width 30mm",
        "mirror --words hi --mirrored",
        "star --count 7 --packet p.svg --sheet A3 --paper A4",
        "p31m --flat --size 90x60 --rim 5mm --strap 1mm --title Bob --faces plain",
    ):
        assert run("fold", *line.split(), *thin).exit_code == 0, line


def test_a_kind_that_is_not_known_is_said_before_its_options(run):
    assert_refused(run("fold", "medalion", "--count", "8", "-o", "a.svg"), "Did you mean 'medallion'")


def test_the_one_foldable_frieze_without_a_plane_group_is_named(run):
    assert_refused(run("fold", "p1m1", "-o", "a.svg"), "Give accordion")
    assert_refused(run("fold", "p11m", "-o", "a.svg"), "folding cannot make it")


@pytest.mark.parametrize("kind", ["medallion", "star", "p4mm", "p3m1", "p6mm"])
def test_a_side_that_would_be_dropped_is_refused(run, kind):
    assert_refused(
        run("fold", kind, "--size", "40x60", "-o", "a.svg"), "size is 40 × 60 mm", "such as 40 × 40 mm"
    )


@pytest.mark.parametrize("option", ["--words", "--border", "--ring", "--at", "--sheet", "--paper", "--title"])
@pytest.mark.usefixtures("bar")
def test_an_empty_text_is_not_taken_as_not_given(run, option):
    with_it = {"--at": ("--figure", "bar.svg"), "--sheet": ("--packet", "p.svg")}.get(option, ())
    assert_refused(run("fold", "medallion", *with_it, option, "", "-o", "a.svg"))


def test_a_flat_drawing_bears_its_title(run):
    assert run("fold", "p4mm", "--flat", "--title", "Bob", "-o", "a.svg").exit_code == 0
    assert "<title>Bob</title>" in Path("a.svg").read_text(encoding="utf-8")


# Where a drawing lies, and how wide it is


@pytest.mark.usefixtures("bar")
def test_a_figure_may_lie_on_the_corner_or_reach_beyond_it(run):
    for at in ("0x10", "-5x10", "-5 x -0.5 cm"):
        assert (
            run(
                "fold", "mirror", "--size", "100x100", "--figure", "bar.svg", "--at", at, "-o", "a.svg"
            ).exit_code
            == 0
        )
    assert (
        run(
            "fold", "mirror", "--size", "100x100", "--wedge", "bar.svg", "--at", "0x10", "-o", "a.svg"
        ).exit_code
        == 0
    )
    (opening,) = read("a.svg").interiors
    assert opening.bounds == pytest.approx((40, 10, 60, 30), abs=0.001)


@pytest.mark.usefixtures("bar")
def test_a_wedge_that_begins_outside_is_still_refused(run):
    assert_refused(
        run("fold", "mirror", "--wedge", "bar.svg", "--at", "-5x10", "-o", "a.svg"), "leave the wedge"
    )


@pytest.mark.usefixtures("bar")
def test_a_figure_beside_the_wedge_is_no_plain_sheet(run):
    result = run("fold", "mirror", "--figure", "bar.svg", "--width", "10", "--at", "500x-30", "-o", "a.svg")
    assert result.exit_code == 1
    assert "from 500 to 510 mm across and from -30 to -10 mm up, in a wedge 50 × 140 mm" in result.stderr
    assert not Path("a.svg").exists()


@pytest.mark.parametrize(
    ("text", "place"),
    [("0x10", (0, 10)), ("-3x4.5", (-3, 4.5)), ("1x2 cm", (10, 20)), ("1cmx2mm", (10, 2)), ("0 × 0", (0, 0)),
     ("-1X-2", (-1, -2)), ("1x1e1", (1, 10)), ('0.5x1"', (12.7, 25.4)), ("1x+2in", (25.4, 50.8))],
)  # fmt: skip
def test_a_place_is_two_lengths_of_either_sign(text, place):
    assert read_place(text) == pytest.approx(place)


@given(x=st.integers(-9000, 9000), y=st.integers(-9000, 9000))
def test_every_place_is_read_as_it_is_written(x, y):
    assert read_place(f"{x / 10}x{y / 10}mm") == pytest.approx((x / 10, y / 10))


@pytest.mark.parametrize("text", ["", "5", "x", "5x", "x5", "1x2x3", "axb", "1,5x2", "5 mm", "1x2 km"])
def test_what_is_no_place_is_refused(text):
    with pytest.raises(BadValue, match="--at"):
        read_place(text, parameter="--at")


@pytest.mark.usefixtures("bar")
def test_a_width_of_nothing_is_refused(run):
    for way in ("--wedge", "--figure"):
        assert_refused(
            run("fold", "mirror", way, "bar.svg", "--width", "0mm", "-o", "a.svg"), "width is 0", "above zero"
        )


@pytest.mark.parametrize("seed", ["-3", "2147483649", "1.5"])
def test_a_seed_out_of_range_is_refused(run, seed):
    assert_refused(run("fold", "medallion", "--seed", seed, "-o", "a.svg"), "--seed")


@pytest.mark.parametrize("seed", ["0", "2147483648"])
def test_the_ends_of_the_range_of_seeds_are_taken(run, seed):
    assert run("fold", "medallion", "--seed", seed, "-o", "a.svg").exit_code == 0


# Two files


def test_a_packet_is_written_as_pdf_where_that_is_asked(run):
    assert run("fold", "mirror", "--packet", "p.pdf", "-o", "a.svg").exit_code == 0
    assert Path("p.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("packet", ["p.png", "p", "p.txt"])
def test_a_packet_is_written_as_svg_or_pdf_or_not_at_all(run, packet):
    assert_refused(run("fold", "mirror", "--packet", packet, "-o", "a.svg"), f"--packet is {packet}", ".svg")
    assert not Path(packet).exists()


def test_a_packet_may_be_named_in_capitals(run):
    assert run("fold", "mirror", "--packet", "P.SVG", "-o", "a.pdf").exit_code == 0
    assert 'id="wedge"' in Path("P.SVG").read_text(encoding="utf-8")


@pytest.mark.parametrize("packet", ["a.svg", "./a.svg", "there/../a.svg"])
def test_piece_and_packet_are_two_files(run, packet):
    Path("there").mkdir()
    assert_refused(run("fold", "mirror", "--packet", packet, "-o", "a.svg"), "overwrite")


def test_a_link_to_the_piece_is_the_piece(run):
    Path("b.svg").symlink_to("a.svg")
    assert_refused(run("fold", "mirror", "--packet", "b.svg", "-o", "a.svg"), "overwrite")


# What does not hold


def test_a_weak_piece_ends_with_three_and_one_that_cannot_be_made_with_one(run, here):
    comb = box(0, 0, 20, 40).difference(box(9.5, 0, 10.5, 30))
    here("comb.svg", piece_svg(Cutting(comb, 1, "Comb")))
    words = ("fold", "mirror", "--wedge", "comb.svg", "--at", "15x40", "-o", "a.svg")
    weak = run(*words)
    assert weak.exit_code == 3
    assert "does not hold" in weak.stderr
    assert weak.stderr.endswith("Nothing was written.\n")
    thick = run(*words, "--thickness", "2mm")
    near = run("fold", "mirror", "--wedge", "comb.svg", "--at", "0.2x40", "-o", "a.svg")
    assert (thick.exit_code, near.exit_code) == (1, 1)
    assert not Path("a.svg").exists()
    assert run(*words, "--strap", "0.9mm").exit_code == 0


# draw


SIZED = sorted(name for name, motif in catalogue().items() if motif.family in ("outline", "form"))


@pytest.mark.parametrize("side", ["width", "height"])
@pytest.mark.parametrize("motif", SIZED)
def test_draw_takes_width_and_height_from_size_alone(run, motif, side):
    assert_refused(
        run("draw", motif, "--set", f"{side}=50mm", "-o", "a.svg"), f"--set has {side}", "Give --size"
    )


def test_draw_refuses_an_outline_for_what_fills_none(run):
    for name in ("oval", next(name for name in SIZED if catalogue()[name].family == "form")):
        assert_refused(
            run("draw", name, "--outline", "nonsense", "-o", "a.svg"), "--outline", "borders and lattices"
        )


def test_draw_names_the_option_where_an_outline_is_not_known(run):
    assert_refused(
        run("draw", "diamond-lattice", "--outline", "ovel", "-o", "a.svg"),
        "--outline is 'ovel'",
        "Did you mean 'oval'",
    )
    assert_refused(run("draw", "diamond-lattice", "--outline", "", "-o", "a.svg"), "--outline is ''")


def test_draw_fills_a_rectangle_unless_told(run):
    words = ("draw", "diamond-lattice", "--size", "60x80")
    assert run(*words, "-o", "plain.svg").exit_code == 0
    assert run(*words, "--outline", "rectangle", "-o", "told.svg").exit_code == 0
    assert Path("plain.svg").read_bytes() == Path("told.svg").read_bytes()
    outline = next(option for option in draw.command.params if option.name == "outline")
    assert re.search(r"\[rectangle\]", outline.help)
