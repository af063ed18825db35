"""A series in a folder of a test's own, and one that is drawn once for all."""

import shutil

import pytest
from series_specimens import DESIGN, NAMES

from canivet.compose.design.loading import load_design
from canivet.compose.series.jobs import plan_jobs
from canivet.export.series.writing import write_series


@pytest.fixture
def put(tmp_path):
    def write(design=DESIGN, names=NAMES):
        (tmp_path / "plate.toml").write_text(design, encoding="utf-8")
        (tmp_path / "names.csv").write_text(names, encoding="utf-8")
        return load_design(tmp_path / "plate.toml")

    (tmp_path / "out").mkdir()
    return write


@pytest.fixture(scope="session")
def seen(tmp_path_factory):
    """The series of `DESIGN` and `NAMES`, drawn once for all tests that look at it or go on from it."""
    folder = tmp_path_factory.mktemp("seen")
    (folder / "plate.toml").write_text(DESIGN, encoding="utf-8")
    (folder / "names.csv").write_text(NAMES, encoding="utf-8")
    (folder / "out").mkdir()
    return write_series(
        plan_jobs(load_design(folder / "plate.toml")), folder / "out", title="Trial", workers=1
    )


@pytest.fixture
def drawn(put, tmp_path, seen):
    """The same series in a folder of the test's own, as an earlier run left it."""
    shutil.copytree(seen.document.parent, tmp_path / "out", dirs_exist_ok=True)
    return plan_jobs(put())
