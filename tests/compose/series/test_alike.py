"""The names of a series look alike: one height, one cut, one spelling for all of them."""

from dataclasses import replace

import pytest

from canivet.compose.design.loading import load_design
from canivet.compose.series.jobs import draw_job, plan_jobs
from canivet.compose.words.lettering import PlacedLettering
from canivet.errors import BadValue
from canivet.export.series.journal import digest_of

LONG = "Maximiliane Theodora von Sedge-Heron"
NAMES = ["Ada Wren", "Jürgen Groß", "Zoë Ruñ", "Íñigo Núñez"]
BOXED = 'width = "90%"\nheight = "24%"\nlines = 1\n'
IN_FRAME = 'panel = "name"\n'


def jobs_of(tmp_path, names, words=BOXED, series="", size="90x60 mm", frame=""):
    (tmp_path / "names.csv").write_text("\n".join(["name", *names]), encoding="utf-8")
    (tmp_path / "plate.toml").write_text(
        f'title = "Ex libris {{name}}"\nsize = "{size}"\nstrap = "1 mm"\nsmallest_opening = "0.4 mm"\n{frame}'
        f'[[lettering]]\ntext = "{{name}}"\n{words}[series]\nlist = "names.csv"\n{series}',
        encoding="utf-8",
    )
    return plan_jobs(load_design(tmp_path / "plate.toml"))


def heights(jobs):
    found = []
    for job in jobs:
        (words,) = draw_job(job).composed().parts.lettering
        assert isinstance(words, PlacedLettering)
        found.append(round(words.letters.size, 6))
    return found


def test_all_names_of_a_series_share_one_height(tmp_path):
    jobs = jobs_of(tmp_path, NAMES[:2])
    (height,) = set(heights(jobs))
    assert height == pytest.approx(jobs[0].alike.each[0].size)
    assert heights([replace(jobs[0], alike=None)])[0] > height  # by itself it would be larger


def test_names_share_the_room_that_a_frame_makes_for_the_longest(tmp_path):
    jobs = jobs_of(
        tmp_path, ["Ada", "Marguerite Sedge"], IN_FRAME, frame='frame = "plinth"\n', size="90x140 mm"
    )
    plates = [draw_job(job).composed() for job in jobs]
    panels = [plate.parts.lettering[0].panel for plate in plates]
    assert panels[0].equals(panels[1])
    assert len({round(plate.parts.lettering[0].letters.size, 6) for plate in plates}) == 1


def test_one_long_name_is_set_by_itself_and_told_and_the_others_keep_their_height(tmp_path):
    without, jobs = jobs_of(tmp_path, NAMES), jobs_of(tmp_path, [*NAMES[:2], LONG, *NAMES[2:]])
    assert [bool(job.alike.told) for job in jobs] == [False, False, True, False, False]
    assert LONG in jobs[2].alike.told
    assert "series.lettering" in jobs[2].alike.told
    assert {job.alike for job in jobs if not job.alike.told} == {job.alike for job in without}
    drawn = draw_job(jobs[2])
    assert drawn.fault is not None or jobs[2].alike.told in drawn.plate.remarks


def test_a_design_can_ask_for_one_height_all_the_same_or_for_each_by_itself(tmp_path):
    names = ["Ada Wren", "Theodora Sedge-Heron"]
    alike = jobs_of(tmp_path, names, series='lettering = "all alike"\n')
    assert not any(job.alike.told for job in alike)
    assert len({job.alike.each[0].size for job in alike}) == 1
    assert {job.alike for job in jobs_of(tmp_path, names, series='lettering = "each by itself"\n')} == {None}
    with pytest.raises(BadValue, match=r"series\.lettering"):
        jobs_of(tmp_path, names, series='lettering = "some"\n')


def test_a_row_added_later_leaves_the_others_as_they_are_unless_their_height_changes(tmp_path):
    before = {job.words: digest_of(job) for job in jobs_of(tmp_path, NAMES[:2])}
    shorter = {job.words: digest_of(job) for job in jobs_of(tmp_path, [*NAMES[:2], "Tom"])}
    longer = {job.words: digest_of(job) for job in jobs_of(tmp_path, [*NAMES[:2], "Theodora Mohr"])}
    assert before == {words: shorter[words] for words in before}
    assert all(longer[words] != before[words] for words in before)
