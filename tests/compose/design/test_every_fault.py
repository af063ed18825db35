"""A design's faults come all at once, in the maker's words: what was given, what is accepted, what to do."""

import pytest

from canivet.compose.design.loading import load_design
from canivet.compose.design.whole import Design
from canivet.errors import BadValue, CanivetError, Unreadable

HEAD = 'title = "Fox"\nsize = "60x90 mm"\n'
SLIPS = {
    "a single table": ('[silhouette]\nfile = "fox.svg"\n', "Write [[silhouette]], with two brackets."),
    "grammage with its unit": (
        '[paper]\ngrammage = "90 gsm"\n', "paper.grammage is '90 gsm'; it takes a bare number, such as 90.",
    ),
    "another word for the foot": (
        '[[silhouette]]\nfile = "fox.svg"\nanchor = "bottom left"\n', "Did you mean 'foot left'?",
    ),
    "a strap of the ground's own": (
        '[ground]\nmotif = "diamond-lattice"\nstrap = "2 mm"\n',
        "ground.strap is the plate's to say. Take it out of [ground], and set strap at the head",
    ),
    "a missing drawing": ('[[silhouette]]\nfile = "fxo.svg"\n', "fxo.svg is not there. Did you mean 'fox.svg'?"),
    "a missing face": (
        '[[lettering]]\ntext = "A"\nface = "none.ttf"\n', "lettering.1.face: none.ttf is not there.",
    ),
    "a missing list": ('[series]\nlist = "none.csv"\n', "series.list: none.csv is not there."),
    "a panel the frame has not": (
        'frame = "plinth"\n[[lettering]]\ntext = "A"\npanel = "nme"\n',
        "lettering.1.panel is 'nme'; the frame has: name. Did you mean 'name'?",
    ),
    "words for a number": ("strap = true\n", "strap"),
    "a table where words go": ("title2 = 1\n", "title2 is not known. Did you mean 'title'?"),
}  # fmt: skip


def told(tmp_path, text):
    (tmp_path / "fox.svg").write_text('<svg width="9" height="9"><circle cx="4" cy="4" r="4"/></svg>')
    (tmp_path / "fox.toml").write_text(text)
    with pytest.raises((BadValue, Unreadable)) as caught:
        load_design(tmp_path / "fox.toml")
    return caught.value.message


@pytest.mark.parametrize("name", SLIPS)
def test_an_ordinary_slip_is_answered_with_what_to_do(tmp_path, name):
    text, words = SLIPS[name]
    assert words in told(tmp_path, HEAD + text)


def test_wrong_names_of_every_kind_come_in_one_report(tmp_path):
    text = (
        'title = "Fox"\nsize = "4x6 inch"\n[border]\nmotif = "scalop"\n[ground]\nmotif = "hexagn-lattice"\n'
        '[[silhouette]]\nfile = "fxo.svg"\n[[lettering]]\ntext = "A"\nface = "none.ttf"\n'
        '[sheet]\nface = "no.otf"\n'
    )
    message = told(tmp_path, text)
    assert message.startswith("fox.toml has 6 faults:")
    for word in ("'4x6 inch'", "'scallop'", "'hexagon-lattice'", "'fox.svg'", "none.ttf", "no.otf"):
        assert word in message


def test_many_faults_are_counted_past_the_first_twenty(tmp_path):
    message = told(tmp_path, HEAD + "".join(f"k{k} = 1\n" for k in range(60_000)))
    assert message.endswith("and 59,980 more")
    assert len(message.splitlines()) == 22


def test_a_number_of_thousands_of_digits_is_said_plainly(tmp_path):
    (tmp_path / "n.toml").write_text(f'title = "N"\nsize = {"9" * 5000}\n')
    with pytest.raises(Unreadable, match="a whole number of thousands of digits"):
        load_design(tmp_path / "n.toml")


@pytest.mark.parametrize(
    "given", ["{vast}", "[{vast}]", "{{motif = {vast}}}", "{{kind = {vast}, size = {vast}}}"]
)
def test_a_number_too_long_to_be_written_out_is_told_of_every_key(tmp_path, given):
    vast = "0x" + 5000 * "f"
    for key in sorted(set(Design.model_fields) - {"source", "folder"}):
        lines = {"title": '"A"', "size": '"60x90 mm"', "strap": '"1 mm"'} | {key: given.format(vast=vast)}
        (tmp_path / "a.toml").write_text("".join(f"{name} = {value}\n" for name, value in lines.items()))
        with pytest.raises(CanivetError, match=r"a\.toml has \d+ faults?:\n  [a-z]") as told:
            load_design(tmp_path / "a.toml")
        assert "set_int_max_str_digits" not in told.value.message
