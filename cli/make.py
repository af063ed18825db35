"""``canivet make``: every drawing a design asks for."""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, get_args

import click

from canivet.errors import BadValue, CanivetError, MissingLibrary
from canivet.kept import require_not_kept

from .main import DOES_NOT_HOLD
from .words import (
    LENGTH,
    Ink,
    Pages,
    describe_report,
    ink_option,
    keep_sources,
    listed,
    say,
    say_remarks,
    shown_work,
)

if TYPE_CHECKING:
    from canivet.compose.series.jobs import Job
    from canivet.export.plates import MadePlate

__all__ = ["command"]


@click.command("make")
@click.argument("design", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    "folder",
    type=click.Path(path_type=Path),
    default=Path(),
    help="Folder for the drawings  [here]",
)
@ink_option
@click.option(
    "--pages",
    type=click.Choice(get_args(Pages)),
    help="A page for each plate; large ones taken apart over several; or plates together on common sheets  "
    "[as the design says]",
)
@click.option("--margin", type=LENGTH, help="Left free along the edges of every page  [as the design says]")
@click.option("--workers", type=click.IntRange(1, 256), help="Processes for a series  [as many cores as pay]")
@click.option(
    "--clear",
    is_flag=True,
    help="Of a series: take away plates of an earlier run that are no longer asked for, as they were written",
)
@click.option(
    "--watch",
    is_flag=True,
    help="Draw again at every save of the design or of a file it names, a quick picture first",
)
def command(
    design: Path,
    folder: Path,
    ink: Ink | None,
    pages: Pages | None,
    margin: float | None,
    workers: int | None,
    clear: bool,
    watch: bool,
) -> None:
    """Draw what DESIGN asks for: SVG and PDF at true size, and a PNG of the finished front.

    With a [series] table every row of its list is drawn at every size: an SVG each, one PDF of all pages, a
    contact sheet and a manifest. A series that was interrupted goes on where it stopped.

    With [[patch]], [[layer]] or [mount] the PNG is the finished view, and there are NAME-patches.pdf,
    NAME-layers.pdf, NAME-pads.pdf, NAME-framing.pdf and NAME-wall.png, as far as they are asked for.

    Of a size that does not hold no plate is written, only NAME-marked.pdf, a page with its weak places ringed
    and explained; then the status is 3.
    """
    draw = partial(_make, design, folder, ink, pages, margin, workers, clear, quick=watch)
    if not watch:
        draw()
        return
    from canivet.compose.design.loading import read_design_text

    from .running.watch import watch_design

    read_design_text(design)  # a name that is wrong is told, and not watched
    watch_design(design, draw)


def _make(
    design: Path,
    folder: Path,
    ink: Ink | None,
    pages: Pages | None,
    margin: float | None,
    workers: int | None,
    clear: bool,
    *,
    quick: bool,
) -> None:
    """Draw a design once; with `quick`, of each plate a small picture before all else."""
    from canivet.compose.design.loading import load_design
    from canivet.compose.design.names import plain_stem
    from canivet.compose.series.jobs import plan_jobs, sources_of
    from canivet.export.files import make_folder, require_folder
    from canivet.export.plates import on_one_sheet, planned_files, setup_of

    keep_sources(design)
    plan = load_design(design)
    given = {
        name: value
        for name, value in (("ink", ink), ("pages", pages), ("margin", margin))
        if value is not None
    }
    if given:
        plan = plan.model_copy(update={"sheet": plan.sheet.model_copy(update=given)})
    make_folder(folder)
    require_folder(folder)
    if plan.series is not None:
        from .series import make_series

        if not make_series(plan, folder, workers=workers or -1, clear=clear):
            sys.exit(DOES_NOT_HOLD)
        return
    if clear:
        raise BadValue(
            f"--clear is given, and {design.name} has no [series]: only a series knows its earlier plates. "
            "Leave --clear out.",
            parameter="--clear", accepted="a design with a [series] table",
        )  # fmt: skip
    stem = plain_stem(design.stem, instead="plate")
    jobs = on_one_sheet(plan_jobs(plan, stem=stem))
    setup_of(jobs[0])  # what it refuses is told before anything is drawn
    together = folder / f"{stem}.pdf" if plan.sheet.pages == "together" else None
    keep_sources(*sources_of(jobs))
    for job in jobs:
        for path in (*planned_files(folder / job.stem, job), *([together] if together else [])):
            require_not_kept(path)
    _make_all(jobs, folder, together, quick=quick)
    _tell_other_pages(jobs, folder, folder / f"{stem}.pdf")


def _make_all(jobs: list[Job], folder: Path, together: Path | None, *, quick: bool) -> None:
    """Make a plate at every size; one that cannot be made does not keep the others from it."""
    from canivet.export.plates import make_plate, write_together

    done: list[MadePlate] = []
    faults: list[str] = []
    for job in jobs:
        with shown_work(job.stem):
            made = make_plate(job, folder, tell_quick=_tell_quick if quick else None)
        _tell(made, folder)
        if made.fault is not None:
            if isinstance(made.fault, MissingLibrary) or len(jobs) == 1:
                raise made.fault
            say(f"{job.stem}: not made: {made.fault.message}")
            faults.append(job.stem)
        done.append(made)
    if together is not None and (path := write_together(together, done)):
        click.echo(str(path))
    if faults:
        names = ", ".join(faults)
        left = "none is there" if len(faults) == len(jobs) else "the others are there"
        raise CanivetError(
            f"{len(faults)} of {len(jobs)} sizes could not be made, {left}: {names}.",
            parameter="size", value=names,
        )  # fmt: skip
    if not all(made.holds for made in done):
        sys.exit(DOES_NOT_HOLD)


def _tell_other_pages(jobs: list[Job], folder: Path, document: Path) -> None:
    """Name pages that show an earlier state, and what holds for now."""
    from canivet.export.plates import lie_together, other_pages

    if others := other_pages(folder, jobs, document):
        now = f"lie together in {document}" if lie_together(jobs[0]) else "have a page each"
        say(
            f"From an earlier run there {'is' if len(others) == 1 else 'are'} still "
            f"{listed([str(path) for path in others])}; the plates now {now}."
        )


def _tell_quick(path: Path) -> None:
    say(f"{path}: a quick picture; the drawings follow.")


def _tell(made: MadePlate, folder: Path) -> None:
    """Name the files on stdout; say on stderr what was done and whether the plate holds."""
    from canivet.compose.taste import matters_of_taste
    from canivet.export.plates import setup_of

    name = made.job.stem
    for remark in made.plate.remarks if made.plate else ():
        say(f"{name}: {remark}")
    for remark in made.finish.remarks if made.finish else ():
        say(f"{name}: {remark}")
    for path in made.files:
        click.echo(str(path))
    if made.plate is None or made.fault is not None:
        return
    say(f"{name}: {describe_report(made.plate.report)}")
    for leaf in made.finish.layers if made.finish else ():
        say(f"{name}-{leaf.name}: {describe_report(leaf.report)}")
    if made.holds:
        say_remarks(made.plate.cutting, setup_of(made.job), name)
        for sentence in matters_of_taste(made.plate):
            say(f"{name}: a matter of taste: {sentence}")
        return
    older = ", ".join(path.name for path in made.older)
    say(
        f"{name}: no plate was written." + (f" From an earlier run there are still {older}." if older else "")
    )
    if made.unmarked is not None:
        say(f"{folder / name}: the marked drawing was not written: {made.unmarked.message}")
    if made.marked is not None:
        say(f"{made.marked}: a marked drawing of where it is weak; not a plate to cut.")
