"""What a design asks for: a plate for each size and each row, and what becomes of each."""

import pytest

from canivet.compose.design.loading import load_design
from canivet.compose.series.jobs import draw_job, plan_jobs
from canivet.errors import BadValue, DoesNotFit

DESIGN = (
    'title = "Ex libris"\nsize = ["60x90 mm", "80x120 mm"]\nborder = {motif = "scallop", band = "9 mm"}\n'
)
LISTED = DESIGN.replace("Ex libris", "Ex libris {name}") + '[series]\nlist = "names.csv"\n'


@pytest.fixture
def put(tmp_path):
    def write(design, names="name\nAna Muñoz\nJürgen Groß\n"):
        (tmp_path / "plate.toml").write_text(design, encoding="utf-8")
        (tmp_path / "names.csv").write_text(names, encoding="utf-8")
        return load_design(tmp_path / "plate.toml")

    return write


def test_a_design_without_a_list_is_drawn_at_each_of_its_sizes(put):
    jobs = plan_jobs(put(DESIGN), stem="heron")
    assert [(job.number, job.size, job.row) for job in jobs] == [(1, (60, 90), None), (2, (80, 120), None)]
    assert [job.stem for job in jobs] == ["heron-60x90mm", "heron-80x120mm"]
    assert [job.stem.removesuffix(job.mark) for job in jobs] == ["heron", "heron"]
    (only,) = plan_jobs(put(DESIGN.replace(', "80x120 mm"', "")), stem="heron")
    assert (only.stem, only.mark) == ("heron", "")


def test_a_list_is_drawn_row_by_row_with_its_own_words(put):
    jobs = plan_jobs(put(LISTED))
    assert [(job.number, job.row.number, job.size[0]) for job in jobs] == [
        (1, 2, 60), (2, 2, 80), (3, 3, 60), (4, 3, 80),
    ]  # fmt: skip
    assert jobs[2].design.title == "Ex libris Jürgen Groß"
    assert len({job.stem for job in jobs}) == len({job.mark for job in jobs}) == 4


def test_a_column_that_is_missing_is_told_once_and_a_bad_cell_for_each_row(put):
    with pytest.raises(BadValue) as refused:
        plan_jobs(put(LISTED.replace("{name}", "{year}")))
    assert refused.value.message.count("has no such column") == 1
    with pytest.raises(BadValue) as refused:
        plan_jobs(put(LISTED, "name\nA\u202ena\nB\u202eo\n"))
    assert refused.value.message.count("\n  row") == 2


def test_what_keeps_a_plate_from_being_drawn_is_told_and_not_raised_until_it_is_asked_for(put):
    job = plan_jobs(put(DESIGN.replace("9 mm", "40 mm")))[0]
    drawn = draw_job(job)
    assert drawn.plate is None
    assert isinstance(drawn.fault, DoesNotFit)
    with pytest.raises(DoesNotFit):
        drawn.composed()
    assert draw_job(plan_jobs(put(DESIGN))[0]).composed().report.holds
