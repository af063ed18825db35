"""A series drawn by several processes or threads, or on a cluster."""

import os

import pytest

from canivet.compose.series.jobs import plan_jobs
from canivet.export.series import writing as module
from canivet.export.series.workers import Crew
from canivet.export.series.writing import write_series


@pytest.mark.parametrize("backend", ["loky", "dask"])
def test_the_same_call_runs_on_the_backend_the_caller_chose(put, tmp_path, backend):
    import joblib

    jobs = plan_jobs(put())[::2]
    if backend == "dask":
        distributed = pytest.importorskip("distributed")
        with (
            distributed.LocalCluster(
                n_workers=1, threads_per_worker=2, processes=False, dashboard_address=None
            ) as cluster,
            distributed.Client(cluster),
            joblib.parallel_config(backend="dask"),
        ):
            result = write_series(jobs, tmp_path / "out", title="Trial", workers=-1)
    else:
        with joblib.parallel_config(backend=backend):
            result = write_series(jobs, tmp_path / "out", title="Trial", workers=2)
    assert [plate.holds for plate in result.plates] == [True, True]
    assert result.document.is_file()


@pytest.mark.slow
@pytest.mark.parametrize(
    "cluster", [{"n_workers": 2, "threads_per_worker": 1}, {"threads_per_worker": 8, "processes": False}]
)
def test_a_cluster_writes_what_one_worker_writes(put, tmp_path, seen, cluster):
    import joblib

    distributed = pytest.importorskip("distributed")
    jobs = plan_jobs(put())
    alone, together = seen.document.parent, tmp_path / "out"
    with (
        distributed.LocalCluster(**{"n_workers": 1, **cluster}, dashboard_address=None) as local,
        distributed.Client(local),
        joblib.parallel_config(backend="dask"),
    ):
        write_series(jobs, together, title="Trial", workers=-1)
    assert_same_files(alone, together, len(jobs))


def test_two_processes_write_what_one_worker_writes(put, tmp_path, seen, monkeypatch):
    jobs, places = plan_jobs(put()), tmp_path / "places"
    places.mkdir()

    def draw(job, digest, folder):  # and say in which process
        (places / f"{job.number}").write_text(f"{os.getpid()}")
        return real(job, digest, folder)

    real = module._draw
    monkeypatch.setattr(module, "_draw", draw)
    write_series(jobs, tmp_path / "out", title="Trial", workers=2)
    drawn_in = {path.name: path.read_text() for path in places.iterdir()}
    assert drawn_in["1"] == drawn_in["2"] == f"{os.getpid()}"  # the first of each size
    assert f"{os.getpid()}" not in (drawn_in["3"], drawn_in["4"])
    assert_same_files(seen.document.parent, tmp_path / "out", len(jobs))


@pytest.mark.parametrize(("plates", "workers"), [(1, 2), (7, -1), (40, 1)])
def test_no_worker_begins_that_would_not_pay(plates, workers):
    with Crew(plates, workers) as crew:
        assert crew.count == 1


def assert_same_files(alone, together, plates):
    written, others = (
        {path.relative_to(folder) for path in folder.rglob("*") if path.is_file()}
        for folder in (alone, together)
    )
    assert written == others
    assert len(written) > 2 * plates
    for path in written:
        one, other = ((folder / path).read_bytes().splitlines() for folder in (alone, together))
        assert sorted(one) == sorted(other), path  # the journal is in the order in which plates were done
