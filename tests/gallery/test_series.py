"""The subscribers' series: three designs, four sizes, six names, all of them holding."""

import json
from pathlib import Path

import pytest

from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.compose.series.plates import plan_series

ROOT = Path(__file__).parents[2] / "gallery/subscribers"
DESIGNS = sorted(ROOT.glob("*.toml"))


@pytest.mark.parametrize("path", DESIGNS, ids=lambda p: p.stem)
def test_every_plate_of_the_series_was_drawn_and_holds(path):
    manifest = json.loads(path.with_name(f"{path.stem}-manifest.json").read_text(encoding="utf-8"))
    jobs = plan_series(load_design(path))
    assert len(jobs) == len(manifest) == 24
    assert [job.stem + ".svg" for job in jobs] == [plate["file"] for plate in manifest]
    assert all(plate["holds"] and plate["weakest_strap_mm"] >= 1.198 for plate in manifest)
    assert {plate["fault"] for plate in manifest} == {""}


@pytest.mark.parametrize(
    ("path", "number"), list(zip(DESIGNS, (4, 8, 16), strict=True)), ids=lambda p: getattr(p, "stem", p)
)
def test_a_plate_drawn_today_is_the_one_in_the_manifest(path, number):
    manifest = json.loads(path.with_name(f"{path.stem}-manifest.json").read_text(encoding="utf-8"))
    job = plan_series(load_design(path))[number]
    plate, kept = compose_plate(job.design, job.size), manifest[number]
    assert plate.report.holds
    assert plate.report.openings == pytest.approx(kept["openings"], abs=2)
    assert plate.report.cut_length == pytest.approx(kept["cut_length_mm"], rel=0.01)


@pytest.mark.parametrize("path", DESIGNS, ids=lambda p: p.stem)
def test_larger_plates_have_more_openings_and_the_same_straps(path):
    manifest = json.loads(path.with_name(f"{path.stem}-manifest.json").read_text(encoding="utf-8"))
    first_row = [plate for plate in manifest if plate["row"] == manifest[0]["row"]]
    openings = [plate["openings"] for plate in first_row]
    assert openings[-1] > 1.3 * openings[0]
    assert max(plate["weakest_strap_mm"] for plate in first_row) < 1.25
