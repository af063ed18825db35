"""A cutter's own hours: a log of finished pieces, and the pace and the blades' life that it shows.

The log is a CSV with a header: ``date,drawing,minutes,blades``. Two numbers are fitted to the minutes by
least squares: how long cutting takes, and how long all handling takes (setting the tool down, turning,
finding the next opening), each against the pace the plans were made with. One is fitted to the blades: the
metres that a blade lasts.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np
from scipy.optimize import nnls

from canivet.audit.boundary import Floats
from canivet.errors import BadValue, suggest
from canivet.lengths import shown
from canivet.parameters import parameters_of
from canivet.sources import read_text

from .settings import Pace, PlanSettings
from .steps import CuttingPlan

__all__ = ["FEWEST", "FittedLog", "Logged", "fit_log", "read_log"]

FEWEST = 3
"""Finished pieces. With fewer, the defaults say more than a fit."""

_COLUMNS = ("date", "drawing", "minutes", "blades")
_MOST_BYTES = 1_000_000
_MOST_FAULTS = 20
_LONGEST = 100_000.0
"""Minutes: no single piece has taken ten weeks of days and nights."""

_MOST_BLADES = 10_000


@dataclass(frozen=True, slots=True)
class Logged:
    """One finished piece: its line in the log, when, which drawing, how long it took, how many blades."""

    line: int
    day: date
    drawing: str
    minutes: float
    blades: float


@dataclass(frozen=True, slots=True)
class FittedLog:
    """What a log shows.

    Attributes
    ----------
    settings : PlanSettings
        Those the plans were made with, pace and blade as fitted; unchanged where nothing was.
    fitted : bool
        Whether there were pieces enough.
    pieces : tuple of Logged
    minutes_off, blades_off : tuple of float
        What each piece took beyond what the fit says: the residuals.
    """

    settings: PlanSettings
    fitted: bool
    pieces: tuple[Logged, ...]
    minutes_off: tuple[float, ...]
    blades_off: tuple[float, ...]


def read_log(path: str | Path) -> list[Logged]:
    """Read a log of finished pieces.

    Raises
    ------
    Unreadable
        If there is no such file, it is no ordinary file, too large, or no text.
    BadValue
        If it lacks a column, or a line makes no sense; every fault is told with its line.
    """
    path = Path(path)
    text = read_text(path, most=_MOST_BYTES, kind="a log", wanted="a log as CSV")
    rows = csv.DictReader(io.StringIO(text))
    _require_columns(path.name, rows.fieldnames or ())
    pieces: list[Logged] = []
    faults: list[str] = []
    for row in rows:
        piece, found = _piece(rows.line_num, row)
        pieces += [piece] if piece else []
        faults += found
    if faults:
        told = "".join(f"\n  {fault}" for fault in faults[:_MOST_FAULTS])
        more = f"\n  … and {len(faults) - _MOST_FAULTS} more" if len(faults) > _MOST_FAULTS else ""
        raise BadValue(f"{path.name} cannot be used:{told}{more}", parameter=path.name, value=len(faults))
    return pieces


def fit_log(
    pieces: Sequence[Logged], plans: Sequence[CuttingPlan], settings: PlanSettings | None = None
) -> FittedLog:
    """Fit pace and the life of a blade to finished pieces by least squares.

    Parameters
    ----------
    pieces : list of Logged
    plans : list of CuttingPlan
        Of each of them, all made with `settings`.
    settings : PlanSettings, optional

    Returns
    -------
    FittedLog
        Unfitted where there are fewer than three pieces.
    """
    settings = settings or PlanSettings()
    minutes, blades = np.array([(p.minutes, p.blades) for p in pieces], float).reshape(-1, 2).T
    cutting = np.array([plan.cutting_minutes for plan in plans], float)
    parts = np.column_stack([cutting, np.array([plan.minutes for plan in plans], float) - cutting])
    worn = np.array([plan.worn for plan in plans], float)
    if len(pieces) < FEWEST:
        return FittedLog(
            settings, False, tuple(pieces), tuple((minutes - parts.sum(axis=1)).tolist()),
            tuple((blades - worn / settings.blade).tolist()),
        )  # fmt: skip
    slower, longer = _scales(parts, minutes)
    a_metre = float(worn @ blades / (worn @ worn)) if worn.any() else 0.0
    blade = _within(PlanSettings, "blade", 1 / a_metre) if a_metre > 0 else settings.blade
    pace = settings.pace
    fitted = Pace(
        knife=_within(Pace, "knife", pace.knife / slower),
        scissors=_within(Pace, "scissors", pace.scissors / slower),
        **{
            name: _within(Pace, name, getattr(pace, name) * longer)
            for name in ("stroke", "corner", "pierce", "turn", "opening")
        },
    )
    return FittedLog(
        replace(settings, pace=fitted, blade=blade), True, tuple(pieces),
        tuple((minutes - parts @ [slower, longer]).tolist()), tuple((blades - worn / blade).tolist()),
    )  # fmt: skip


def _scales(parts: Floats, minutes: Floats) -> tuple[float, float]:
    """Return how much longer than planned cutting and handling take, neither of them nothing.

    Where the pieces are too much alike to tell the two apart, both are scaled alike.
    """
    scales, _ = nnls(parts, minutes)
    if scales.min() > 0.1 and np.linalg.cond(parts) < 100:
        return float(scales[0]), float(scales[1])
    whole = parts.sum(axis=1)
    both = float(whole @ minutes / (whole @ whole))
    return both, both


def _within(of: type, name: str, value: float) -> float:
    """Refuse a fitted value that no hand has: then the log is wrong somewhere."""
    bound = parameters_of(of)[name]
    assert bound.least is not None
    assert bound.most is not None
    if not bound.least <= value <= bound.most:
        raise BadValue(
            f"the log makes {name} {value:.3g}; it takes {bound.accepted} ({bound.meaning}). "
            "Look for minutes or blades that belong to another piece.",
            parameter=name, value=value, accepted=bound.accepted,
        )  # fmt: skip
    return value


def _require_columns(name: str, found: Sequence[str]) -> None:
    given = [(column or "").strip().lower() for column in found]
    missing = [column for column in _COLUMNS if column not in given]
    if missing:
        hint = suggest(missing[0], given)
        raise BadValue(
            f"{name} has no column {missing[0]!r}.{hint} Its first line must be: {','.join(_COLUMNS)}",
            parameter=name, accepted=",".join(_COLUMNS),
        )  # fmt: skip


def _piece(line: int, row: dict[str | None, str | list[str] | None]) -> tuple[Logged | None, list[str]]:
    """Return one finished piece, or what is wrong with its line."""
    cells = {
        (key or "").strip().lower(): (value or "").strip() for key, value in row.items()
        if isinstance(value, (str, type(None)))
    }  # fmt: skip
    faults = []
    try:
        day = date.fromisoformat(cells["date"])
    except ValueError:
        day = date.min
        faults.append(f"line {line}: date is {shown(cells['date'])}; it takes a day such as 2031-05-17.")
    if not cells["drawing"]:
        faults.append(f"line {line}: drawing is empty; name the design or drawing that was cut.")
    minutes = _number(cells["minutes"])
    if not 0 < minutes <= _LONGEST:
        faults.append(
            f"line {line}: minutes is {shown(cells['minutes'])}; it takes a number above 0 and at most "
            f"{_LONGEST:g}."
        )
    blades = _number(cells["blades"])
    if not 0 <= blades <= _MOST_BLADES:
        faults.append(
            f"line {line}: blades is {shown(cells['blades'])}; it takes a number from 0 to {_MOST_BLADES}."
        )
    return (None if faults else Logged(line, day, cells["drawing"], minutes, blades)), faults


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return math.nan
