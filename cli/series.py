"""What ``canivet make`` does with a design that has a list: the whole series, with progress on stderr."""

from __future__ import annotations

import shlex
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

import click
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from canivet.compose.design.loading import Design
from canivet.compose.series.jobs import plan_jobs
from canivet.export.series.journal import PlateRecord
from canivet.export.series.writing import SeriesResult, write_series
from canivet.lengths import counted, format_mm

from .words import listed, say

__all__ = ["make_series", "shown_progress"]


def make_series(design: Design, folder: Path, *, workers: int, clear: bool = False) -> bool:
    """Draw a series and say what became of it; return whether every plate was drawn and holds."""
    jobs = plan_jobs(design)
    title = design.title.split("{")[0].strip(" ,·-") or "Series"
    with shown_progress() as progress:
        task = progress.add_task("plates", total=len(jobs))

        def on_done(_: PlateRecord) -> None:
            progress.advance(task)

        try:
            result = write_series(jobs, folder, title=title, workers=workers, on_done=on_done, tidy=clear)
        except KeyboardInterrupt:
            say("stopped; the same command goes on where it was.")
            raise
        progress.update(task, completed=len(jobs))
    for job in jobs:
        if job.alike is not None and job.alike.told and job.row is not None:
            say(f"row {job.row.number} ({job.words}), {_size_in_words(*job.size)}: {job.alike.told}")
    _tell(result, folder, design)
    return all(plate.holds for plate in result.plates)


def shown_progress() -> Progress:
    """Return a bar that counts plates on stderr, where somebody can see it."""
    console = Console(stderr=True)
    return Progress(
        TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn(),
        console=console, transient=True, disable=not sys.stderr.isatty(),
    )  # fmt: skip


def _tell(result: SeriesResult, folder: Path, design: Design) -> None:
    for plate in result.plates:
        if plate.holds:
            click.echo(str(folder / plate.file))
        elif plate.marked:
            say(f"{folder / plate.marked}: a marked drawing of where it is weak; not a plate to cut.")
    for line in _faults(result.plates):
        say(line)
    for path in (result.document, result.contact_sheet, result.manifest):
        if path is not None:
            click.echo(str(path))
    if result.older:
        say(f"From an earlier run there are still {listed(result.older)}.")
    if result.stale:
        again = shlex.join(["canivet", "make", str(design.source), "-o", str(folder), "--clear"])
        say(
            f"{len(result.stale)} files that are no longer asked for lie there: "
            f"{listed([path.name for path in result.stale])}. To take them away: {again}"
        )
    drawn = sum(plate.holds for plate in result.plates)
    again = f", {result.kept} of them kept from an earlier run" if result.kept else ""
    say(f"{drawn} of {len(result.plates)} plates drawn and holding{again}; {result.seconds:.1f} s")


def _faults(plates: Sequence[PlateRecord]) -> Iterator[str]:
    """Yield what keeps plates from being there, once for all that share it, each with row, name and size."""
    sharing: dict[tuple[float, float, str], list[PlateRecord]] = {}
    for plate in plates:
        if not plate.holds:
            sharing.setdefault((plate.width, plate.height, plate.fault), []).append(plate)
    for (width, height, fault), those in sharing.items():
        size = _size_in_words(width, height)
        of_size = sum((plate.width, plate.height) == (width, height) for plate in plates)
        if 1 < len(those) == of_size:
            yield f"no plate of {size} can be made ({counted(len(those), 'row')}): {fault}"
        else:
            rows = listed([f"row {plate.row} ({plate.words})" for plate in those])
            yield f"{rows}, {size}: {fault}"


def _size_in_words(width: float, height: float) -> str:
    return f"{format_mm(width, 1)} × {format_mm(height, 1)} mm"
