"""The subscribers' series: three designs, four sizes, six names, all of them holding."""

import json
from functools import cache
from pathlib import Path

import pytest
from support import assert_one_piece

from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.compose.series.jobs import plan_jobs

ROOT = Path(__file__).parents[2] / "gallery/subscribers"
DESIGNS = sorted(ROOT.glob("*.toml"))


def _kept(path):
    return json.loads(path.with_name(f"{path.stem}-manifest.json").read_text(encoding="utf-8"))


@cache
def _drawn(path, number):
    job = plan_jobs(load_design(path))[number]
    return compose_plate(job.design, job.size)


@pytest.mark.parametrize("path", DESIGNS, ids=lambda p: p.stem)
def test_every_plate_of_the_series_was_drawn_and_holds(path):
    manifest = _kept(path)
    jobs = plan_jobs(load_design(path))
    assert len(jobs) == len(manifest) == 24
    assert [job.stem + ".svg" for job in jobs] == [plate["file"] for plate in manifest]
    assert all(plate["holds"] and plate["weakest_strap_mm"] >= 1.198 for plate in manifest)
    assert {plate["fault"] for plate in manifest} == {""}


@pytest.mark.parametrize(
    ("name", "number"), [("heronry", 8), ("kingfisher", 16), ("orchard", 4), ("orchard", 7)]
)
def test_a_plate_drawn_today_is_the_one_in_the_manifest(name, number):
    path = ROOT / f"{name}.toml"
    plate, kept = _drawn(path, number), _kept(path)[number]
    assert plate.report.holds
    assert plate.report.openings == pytest.approx(kept["openings"], abs=2)
    assert plate.report.cut_length == pytest.approx(kept["cut_length_mm"], rel=0.01)


@pytest.mark.parametrize("path", DESIGNS, ids=lambda p: p.stem)
def test_each_larger_size_was_drawn_with_more_openings(path):
    kept = _kept(path)
    for row in range(0, 24, 4):
        openings = [plate["openings"] for plate in kept[row : row + 4]]
        assert openings == sorted(set(openings))
        assert openings[-1] > 1.3 * openings[0]
        assert max(plate["weakest_strap_mm"] for plate in kept[row : row + 4]) < 1.25


def test_a_larger_plate_has_more_openings_and_the_same_straps():
    path = ROOT / "orchard.toml"
    small, large = _drawn(path, 4), _drawn(path, 7)  # one subscriber's plates, first and last size
    assert small.cutting.paper.area < large.cutting.paper.area
    assert large.report.openings > 1.3 * small.report.openings
    for plate in (small, large):
        assert 1.198 <= plate.report.weakest.width < 1.25
        assert_one_piece(plate.cutting.paper)
