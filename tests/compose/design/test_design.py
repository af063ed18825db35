import re

import pytest

from canivet.compose.design.loading import Measure, load_design
from canivet.errors import BadValue, Unreadable
from canivet.stock import Faces

GOOD = """
title = "Trial"
size = "4x6 in"
"""


@pytest.fixture
def write(tmp_path):
    def put(text, name="trial.toml"):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        for drawing in re.findall(r"[\w-]+\.svg", text):
            (tmp_path / drawing).write_text("<svg/>", encoding="utf-8")
        return path

    return put


def test_two_lines_are_a_design(write):
    design = load_design(write(GOOD))
    assert design.size == ((101.6, 152.4),)
    assert (design.strap, design.smallest_opening) == (1.2, 0.5)
    assert design.paper.stock().faces is Faces.DARK_ONE_FACE
    assert design.outline.motif.name == "rectangle"


def test_every_setting_is_read_in_its_unit(write):
    design = load_design(
        write("""
        title = "All of it"
        size = ["4x6 in", "100x150 mm"]
        strap = "0.05 in"
        slip = 0.1
        [paper]
        faces = "dark on both faces"
        grammage = 120
        [sheet]
        size = "letter"
        ink = "lines"
        [border]
        motif = "meander"
        band = "1 cm"
        turns = 2
        [ground]
        motif = "hexagon lattice"
        pitch = "8 mm"
        [vignette]
        shape = "oval"
        width = "70%"
        [[silhouette]]
        file = "a.svg"
        height = "60 %"
        at = ["50%", "10 mm"]
        turn = "-12°"
        anchor = "foot left"
        [join]
        style = "leaf"
        [repair]
        smooth = "0.1 mm"
    """)
    )
    assert design.strap == pytest.approx(1.27)
    assert design.needed == pytest.approx(1.47)
    assert len(design.size) == 2
    assert design.border.settings == {"band": 10.0, "turns": 2}
    assert design.ground.motif.name == "hexagon-lattice"
    (placed,) = design.silhouette
    assert placed.height == Measure(0.6, of_window=True)
    assert placed.at == (Measure(0.5, of_window=True), Measure(10.0))
    assert placed.turn == -12
    assert design.vignette.height.within(100) == 80


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("starp = 1", "starp is not known. Did you mean 'strap'?"),
        ('strap = "1,2 mm"', "strap is '1,2 mm'; a decimal comma is not read. Write a point: '1.2 mm'."),
        ("strap = 0", "strap is 0; it takes a length above zero"),
        ("strap = nan", "strap is nan; a length is a finite number"),
        ("strap = 1e300", "strap is 1e+300; a length is a finite number"),
        ("slip = -0.1", "slip is -0.1; it takes a length of zero or more"),
        ("strap = true", "strap is True; it takes a number with mm"),
        (
            'border = "meandre"',
            "border.motif is 'meandre'; there is no border of that name. Did you mean 'meander'?",
        ),
        ('border = "oval"', "there is no border of that name"),
        ('border = {motif = "meander", truns = 2}', "border.truns is not known. Did you mean 'turns'?"),
        ('border = {motif = "meander", turns = 9}', "border.turns is 9; it takes a whole number from 1 to 3"),
        ('border = {motif = "meander", band = "1 furlong"}', "border.band is '1 furlong'"),
        ("border = {band = 3}", "border.motif is missing"),
        ("paper = {grammage = 300}", "published table runs from 75 to 120"),
        ('paper = {faces = "blak"}', "paper.faces is 'blak'; it takes one of: plain"),
        ('paper = {colour = "red"}', "paper.colour is not known"),
        ('sheet = {size = "A44"}', "sheet.size is 'A44'"),
        ('silhouette = [{file = "a.svg", height = "60%", width = 3}]', "height and width are both given"),
        (
            'silhouette = [{file = "a.svg", hieght = "60%"}]',
            "silhouette.1.hieght is not known. Did you mean 'height'?",
        ),
        (
            'silhouette = [{file = "a.svg", height = "0%"}]',
            "silhouette.1.height is '0%'; it takes more than zero",
        ),
        (
            'silhouette = [{file = "a.svg", height = "x%"}]',
            "silhouette.1.height is 'x%'; it takes a length such as",
        ),
        (
            'silhouette = [{file = "a.svg", anchor = "bottom"}]',
            "silhouette.1.anchor is 'bottom'; it takes one of: centre",
        ),
        ('silhouette = [{file = "a.svg", turn = 999}]', "silhouette.1.turn is 999; it takes an angle"),
        ("silhouette = [{height = 4}]", "file or motif is wanted, one of them"),
        (
            'silhouette = [{motif = "leef", width = 9, height = 20}]',
            "there is no form of that name. Did you mean 'leaf'?",
        ),
        ('silhouette = [{motif = "leaf", width = 9}]', "height and width are both wanted for a motif"),
        (
            'silhouette = [{motif = "leaf", width = 9, height = 20, settings = {sead = 2}}]',
            "settings.sead is not known. Did you mean 'seed'?",
        ),
        ('silhouette = [{file = "a.svg", settings = {seed = 2}}]', "settings are a motif's"),
        ('vignette = {shape = "ovl"}', "there is no outline of that name. Did you mean 'oval'?"),
        ('join = {style = "wire"}', "join.style is 'wire'; it takes one of: stem, bar, leaf, bead"),
        ('folder = "/etc"', "folder is not a key of a design"),
    ],
)
def test_each_fault_is_said_with_its_place_and_the_way_out(write, line, said):
    with pytest.raises(BadValue) as caught:
        load_design(write(GOOD + line))
    assert said in caught.value.message
    assert "trial.toml has 1 fault" in caught.value.message


def test_all_faults_are_said_at_once(write):
    with pytest.raises(BadValue, match="3 faults") as caught:
        load_design(write('title = ""\nsize = "4x"\nstrap = "2 ells"'))
    assert all(f"\n  {key}" in caught.value.message for key in ("title", "size", "strap"))


def test_a_missing_title_and_size_are_named(write):
    with pytest.raises(BadValue, match=r"title is missing(.|\n)*size is missing"):
        load_design(write(""))


def test_a_missing_file_is_unreadable(tmp_path):
    with pytest.raises(Unreadable, match="is not there"):
        load_design(tmp_path / "none.toml")


@pytest.mark.parametrize("text", ["title = ", "[[[", "a = " + "[" * 5000])
def test_what_is_not_toml_says_so(write, text):
    with pytest.raises(Unreadable, match="is not a TOML file"):
        load_design(write(text))


def test_bytes_that_are_no_text_say_so(tmp_path):
    path = tmp_path / "x.toml"
    path.write_bytes(b"title = '\xff'")
    with pytest.raises(Unreadable, match=r"x.toml is not UTF-8 at line 1"):
        load_design(path)
    path.write_bytes("title = 'Reeds'".encode("utf-16-le"))
    with pytest.raises(Unreadable, match=r"x.toml is UTF-16"):
        load_design(path)
    path.write_bytes(b"#" * 1_000_001)
    with pytest.raises(Unreadable, match=r"x.toml is larger than 1 MB, .* Is it another file"):
        load_design(path)
    with pytest.raises(Unreadable, match="is a folder"):
        load_design(tmp_path)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("x = " + "9" * 5000, "is not a TOML file"),
        ("x = " + "[" * 9000, "is not a TOML file"),
        (".".join("a" * 20_000) + " = 1", "line 1: a key of more than 8 names"),
        ('title = "x"\n["a" . ' + " . ".join("b" * 9) + "]", "line 2: a key of more than 8 names"),
    ],
    ids=["5,000 digits", "nested lists", "a key 20,000 deep", "a table ten deep"],
)
def test_toml_that_would_take_for_ever_is_refused_before_it_does(tmp_path, text, words):
    path = tmp_path / "x.toml"
    path.write_text(text)
    with pytest.raises(Unreadable, match=words) as caught:
        load_design(path)
    assert len(caught.value.message) < 300


@pytest.mark.parametrize(
    "text",
    [
        'title = "Reeds\\u0007"',
        'title = "Reeds \\u202Eegret"',
        'title = "Reeds"\ndescription = "\\u200B"',
        'title = "Reeds"\n[[lettering]]\ntext = "Ana\\u0000"',
    ],
)
def test_a_character_that_cannot_be_seen_is_refused_in_a_design_as_in_a_list(tmp_path, text):
    path = tmp_path / "x.toml"
    path.write_text(text.replace("\n", "\nsize = 'A6'\n", 1) if "\n" in text else text + "\nsize = 'A6'")
    with pytest.raises(BadValue, match=r"(title|description|lettering\.1\.text): character \d+ is U\+\w{4}"):
        load_design(path)


@pytest.mark.parametrize(
    ("given", "size"), [('"A5"', (148, 210)), ('"a4"', (210, 297)), ('"4x6 in"', (101.6, 152.4))]
)
def test_a_size_may_be_a_sheet(write, given, size):
    # A5 and A4: ISO 216
    assert load_design(write(f'title = "T"\nsize = {given}')).size[0] == pytest.approx(size)


def test_a_hundred_sizes_are_taken_and_one_more_is_refused(write):
    sizes = [f'"{60 + k}x90 mm"' for k in range(101)]
    assert len(load_design(write(f'title = "T"\nsize = [{", ".join(sizes[:100])}]')).size) == 100
    with pytest.raises(BadValue, match="size lists 101 sizes; a design takes at most 100"):
        load_design(write(f'title = "T"\nsize = [{", ".join(sizes)}]'))
