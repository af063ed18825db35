"""The log of finished pieces: what it shows, and what it is refused for."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from shapely import box

from canivet.compose.planning.log import fit_log, read_log
from canivet.compose.planning.plan import plan_cutting
from canivet.compose.planning.settings import Pace, PlanSettings
from canivet.errors import BadValue, Unreadable

HEADER = "date,drawing,minutes,blades\n"


def windows(count: int, size: float):
    """So many square windows in a row."""
    return box(0, 0, 30 * count, 30) - shapely.union_all(
        [box(30 * k + 5, 5, 30 * k + 5 + size, 5 + size) for k in range(count)]
    )


@pytest.fixture(scope="module")
def plans():
    return [plan_cutting(windows(*shape)) for shape in ((1, 20), (6, 3), (4, 12), (9, 6))]


def logged(tmp_path, rows):
    path = tmp_path / "hours.csv"
    path.write_text(
        HEADER + "".join(f"2031-03-{k:02d},piece{k}.svg,{m},{b}\n" for k, (m, b) in enumerate(rows, 1))
    )
    return read_log(path)


def test_a_log_made_by_a_known_hand_gives_that_hand_back(tmp_path, plans):
    # Cutting takes 1.6 times the default, handling 0.7 times, a blade lasts 2 m.
    rows = [(1.6 * p.cutting_minutes + 0.7 * (p.minutes - p.cutting_minutes), p.worn / 2) for p in plans]
    fitted = fit_log(logged(tmp_path, rows), plans)
    default = Pace()
    assert fitted.fitted
    assert fitted.settings.pace.knife == pytest.approx(default.knife / 1.6)
    assert fitted.settings.pace.stroke == pytest.approx(default.stroke * 0.7)
    assert fitted.settings.blade == pytest.approx(2)
    assert np.allclose(fitted.minutes_off, 0, atol=1e-6)
    again = plan_cutting(windows(4, 12), settings=fitted.settings)
    assert again.minutes == pytest.approx(rows[2][0])


def test_the_fit_is_the_least_squares_one_and_its_residuals_are_told(tmp_path, plans):
    rng = np.random.default_rng(4)
    rows = [(p.minutes * rng.uniform(0.8, 1.3), p.worn / 4 * rng.uniform(0.8, 1.2)) for p in plans]
    fitted = fit_log(logged(tmp_path, rows), plans)
    parts = np.array([(p.cutting_minutes, p.minutes - p.cutting_minutes) for p in plans])
    scales, *_ = np.linalg.lstsq(parts, [m for m, _ in rows], rcond=None)
    assert (scales > 0.1).all()
    assert Pace().knife / fitted.settings.pace.knife == pytest.approx(scales[0], rel=1e-6)
    assert fitted.minutes_off == pytest.approx(np.array([m for m, _ in rows]) - parts @ scales)


def test_pieces_too_much_alike_scale_everything_alike(tmp_path, plans):
    same = [plans[2]] * 4
    fitted = fit_log(logged(tmp_path, [(2 * plans[2].minutes, 1)] * 4), same)
    assert fitted.settings.pace.knife == pytest.approx(Pace().knife / 2)
    assert fitted.settings.pace.opening == pytest.approx(Pace().opening * 2)


@pytest.mark.parametrize("count", [0, 1, 2])
def test_fewer_than_three_pieces_change_nothing(tmp_path, plans, count):
    given = replace(PlanSettings(), surface="glass")
    fitted = fit_log(logged(tmp_path, [(90, 2)] * count), plans[:count], given)
    assert (fitted.fitted, fitted.settings) == (False, given)
    assert len(fitted.minutes_off) == count


def test_nonsense_is_refused_line_by_line(tmp_path):
    path = tmp_path / "hours.csv"
    path.write_text(
        HEADER + "2031-03-01,a.svg,90,2\nyesterday,b.svg,60,1\n2031-03-03,,-5,many\n2031-03-04,c.svg,nan,1\n"
    )
    with pytest.raises(BadValue) as caught:
        read_log(path)
    told = caught.value.message.splitlines()[1:]
    assert [line.strip().split(":")[0] for line in told] == ["line 3", "line 4", "line 4", "line 4", "line 5"]
    assert "'yesterday'; it takes a day such as 2031-05-17" in told[0]


@pytest.mark.parametrize(("text", "said"), [
    ("when,drawing,minutes,blades\n", "no column 'date'"), ("", "no column 'date'"), ("a,b\x00\n", "no column"),
])  # fmt: skip
def test_a_file_that_is_no_log_is_refused(tmp_path, text, said):
    path = tmp_path / "hours.csv"
    path.write_text(text)
    with pytest.raises(BadValue, match=said):
        read_log(path)


def test_a_missing_log_and_one_that_is_no_text_are_told(tmp_path):
    with pytest.raises(Unreadable, match=r"no\.csv"):
        read_log(tmp_path / "no.csv")
    (tmp_path / "b.csv").write_bytes(b"date,dr\x81")
    with pytest.raises(Unreadable, match="not UTF-8 at line 1"):
        read_log(tmp_path / "b.csv")


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no device here")
def test_a_device_a_folder_and_a_log_past_its_size_are_refused_before_they_are_read(tmp_path):
    (tmp_path / "large.csv").write_bytes(b"a" * 1_000_001)
    for path, said in (
        (Path("/dev/zero"), "a device"), (tmp_path, "a folder"), (tmp_path / "large.csv", "larger than"),
    ):  # fmt: skip
        with pytest.raises(Unreadable, match=said):
            read_log(path)


def test_hours_no_hand_has_are_refused(tmp_path, plans):
    with pytest.raises(BadValue, match="the log makes"):
        fit_log(logged(tmp_path, [(99_000, 1)] * 4), plans)
