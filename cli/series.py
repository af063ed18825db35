"""What ``canivet make`` does with a design that has a list: the whole series, with progress on stderr."""

from __future__ import annotations

import sys
from pathlib import Path

import click
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from canivet.compose.design.loading import Design
from canivet.compose.series.jobs import plan_jobs
from canivet.export.series.writing import PlateRecord, SeriesResult, write_series

from .words import say

__all__ = ["make_series"]


def make_series(design: Design, folder: Path, *, workers: int) -> bool:
    """Draw a series and say what became of it; return whether every plate was drawn and holds."""
    jobs = plan_jobs(design)
    title = design.title.split("{")[0].strip(" ,·-") or "Series"
    with _progress() as progress:
        task = progress.add_task("plates", total=len(jobs))

        def on_done(_: PlateRecord) -> None:
            progress.advance(task)

        try:
            result = write_series(jobs, folder, title=title, workers=workers, on_done=on_done)
        except KeyboardInterrupt:
            say("stopped; the same command goes on where it was.")
            raise
        progress.update(task, completed=len(jobs))
    _tell(result, folder)
    return all(plate.holds for plate in result.plates)


def _progress() -> Progress:
    console = Console(stderr=True)
    return Progress(
        TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn(),
        console=console, transient=True, disable=not sys.stderr.isatty(),
    )  # fmt: skip


def _tell(result: SeriesResult, folder: Path) -> None:
    for plate in result.plates:
        if plate.holds:
            click.echo(str(folder / plate.file))
        else:
            say(f"row {plate.row} ({plate.words}, {plate.width:g} × {plate.height:g} mm): {plate.fault}")
            if plate.marked:
                say(f"{folder / plate.marked}: a marked drawing of where it is weak; not a plate to cut.")
    for path in (result.document, result.contact_sheet, result.manifest):
        if path is not None:
            click.echo(str(path))
    if result.older:
        say(f"From an earlier run there are still {', '.join(result.older)}.")
    drawn = sum(plate.holds for plate in result.plates)
    again = f", {result.kept} of them kept from an earlier run" if result.kept else ""
    say(f"{drawn} of {len(result.plates)} plates drawn and holding{again}; {result.seconds:.1f} s")
