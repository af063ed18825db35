"""One plate made: its files if it holds, else the page that shows where it is weak."""

from pathlib import Path

import pytest
from shapely import Polygon, box

from canivet.audit.strength import check_strength
from canivet.compose.design.loading import load_design
from canivet.compose.openings import Openings
from canivet.compose.plate import Plate, PlateParts
from canivet.compose.series import jobs as jobs_module
from canivet.compose.series.jobs import plan_jobs
from canivet.cutting import Cutting
from canivet.errors import CannotWrite, DoesNotFit, MissingLibrary
from canivet.export.marked.writing import write_marked
from canivet.export.plates import make_plate

DESIGN = 'title = "Reeds"\nsize = "60x90 mm"\nborder = {motif = "scallop", band = "9 mm"}\n'


@pytest.fixture
def job(tmp_path):
    (tmp_path / "reeds.toml").write_text(DESIGN)
    return plan_jobs(load_design(tmp_path / "reeds.toml"), stem="reeds")[0]


@pytest.fixture
def out(tmp_path):
    (tmp_path / "out").mkdir()
    return tmp_path / "out"


@pytest.fixture
def weak(monkeypatch):
    """Composing makes its plates hold; this one it is not asked for."""
    paper = box(0, 0, 60, 90) - Polygon([(5, 1), (55, 1), (55, 80), (5, 80)])
    parts = PlateParts(box(0, 0, 60, 90), box(0, 0, 60, 90), Openings.of([], "window"))
    plate = Plate(Cutting(paper, 1.2, "Reeds"), check_strength(paper, strap=1.2), (), parts)
    monkeypatch.setattr(jobs_module, "compose_plate", lambda *_, **__: plate)


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_a_plate_that_holds_is_written_and_an_older_marked_page_goes(job, out):
    thin = box(0, 0, 20, 20) - box(0.5, 0.5, 19, 19)
    write_marked(out / "reeds-marked.pdf", thin, check_strength(thin, strap=1.2), title="Reeds")
    made = make_plate(job, out)
    assert made.holds
    assert [path.name for path in made.files] == ["reeds.svg", "reeds.pdf", "reeds.png"]
    assert names(out) == sorted(path.name for path in made.files)


@pytest.mark.parametrize("content", [b"%PDF-1.7", b"", b"notes of the maker"])
def test_a_file_called_like_a_marked_page_that_is_not_ours_stays(job, out, content):
    (out / "reeds-marked.pdf").write_bytes(content)
    assert make_plate(job, out).holds
    assert (out / "reeds-marked.pdf").read_bytes() == content


@pytest.mark.usefixtures("weak")
def test_a_weak_plate_is_marked_and_older_drawings_of_it_are_named(job, out):
    (out / "reeds.svg").write_text("<svg/>")
    made = make_plate(job, out)
    assert not made.holds
    assert made.fault is None
    assert (made.files, made.marked) == ((), out / "reeds-marked.pdf")
    assert made.older == (out / "reeds.svg",)
    assert names(out) == ["reeds-marked.pdf", "reeds.svg"]


@pytest.mark.usefixtures("weak")
def test_what_keeps_the_marked_page_away_is_told_beside_the_weakness(job, out, monkeypatch):
    def refuse(*_):
        raise CannotWrite("cannot write it: the disk is full.")

    monkeypatch.setattr("canivet.export.plates.write_marked_plate", refuse)
    made = make_plate(job, out)
    assert (made.marked, made.fault, made.holds) == (None, None, False)
    assert "disk is full" in made.unmarked.message


def test_a_fault_in_writing_keeps_the_names_of_what_was_written_before_it(job, out):
    def write(base, _job, _plate):
        path = Path(f"{base}.svg")
        path.write_text("<svg/>")
        yield path
        raise MissingLibrary("PDF and PNG need the cairo library.")

    made = make_plate(job, out, write=write)
    assert made.files == (out / "reeds.svg",)
    assert isinstance(made.fault, MissingLibrary)
    assert not made.holds


def test_a_plate_that_cannot_be_drawn_writes_nothing(tmp_path, out):
    (tmp_path / "reeds.toml").write_text(DESIGN.replace("9 mm", "40 mm"))
    made = make_plate(plan_jobs(load_design(tmp_path / "reeds.toml"))[0], out)
    assert isinstance(made.fault, DoesNotFit)
    assert (made.plate, made.holds, names(out)) == (None, False, [])
