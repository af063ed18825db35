"""One plate made: drawn and audited, then its files written, or only the page that shows where it is weak."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import shapely

from canivet.audit.strength import StrengthReport
from canivet.compose.finish.finished import Finish, asks_for_finish, finish_plate
from canivet.compose.finish.layers import layer_name
from canivet.compose.plate import Plate
from canivet.compose.series.jobs import Job, draw_job
from canivet.cutting import Cutting
from canivet.errors import CanivetError
from canivet.export.finish.writing import ENDINGS, finish_documents, write_finish
from canivet.export.page.layout import one_sheet_for
from canivet.export.page.setup import PageSetup
from canivet.kept import is_kept
from canivet.sheets import Sheet

from ._about import subject_of
from .drawing import SUFFIXES, write_plate
from .marked.writing import is_marked_drawing, write_marked_plate
from .packet.page import packet_svg, write_packet
from .parts import parts_of
from .pdf import write_pdf
from .png import finest_dpi, write_png

__all__ = [
    "QUICK_DPI",
    "MadePlate",
    "WriteFiles",
    "lie_together",
    "make_plate",
    "marked_files",
    "older_files",
    "on_one_sheet",
    "other_pages",
    "planned_files",
    "setup_of",
    "write_files",
    "write_together",
]

QUICK_DPI = 96
"""Pixels per inch: a twentieth of the pixels of the picture that is kept, and as sharp as a screen shows."""

WriteFiles = Callable[[Path, Job, Plate], Iterator[Path]]
"""Writes the files of a plate that holds, given their path without an ending; yields each as it is there."""


@dataclass(frozen=True, slots=True)
class MadePlate:
    """What became of one plate and its files.

    Attributes
    ----------
    job : Job
        What was asked for.
    plate : Plate or None
        None where it could not be drawn.
    files : tuple of Path
        What was written of it; nothing where it does not hold.
    fault : CanivetError or None
        What kept it from being drawn, or its files from being written.
    marked : Path or None
        Where it does not hold, the page that shows its weak places.
    unmarked : CanivetError or None
        What kept that page from being written.
    older : tuple of Path
        Where none was written, the drawings of an earlier run that still lie there.
    finish : Finish or None
        Patches, layers and mount, where the design asks for any.
    """

    job: Job
    plate: Plate | None
    files: tuple[Path, ...] = ()
    fault: CanivetError | None = None
    marked: Path | None = None
    unmarked: CanivetError | None = None
    older: tuple[Path, ...] = ()
    finish: Finish | None = None

    @property
    def holds(self) -> bool:
        """Whether it and all its layers were drawn and hold, and its files are there."""
        whole = self.finish is None or self.finish.holds
        return self.fault is None and self.plate is not None and self.plate.report.holds and whole


def setup_of(job: Job) -> PageSetup:
    """Return how a job's plate is printed."""
    sheet = job.design.sheet
    return PageSetup(sheet.ink, sheet.pages, sheet.margin, sheet.overlap)


def lie_together(job: Job) -> bool:
    """Say whether a job's plate is printed on common sheets with others."""
    return job.design.sheet.pages == "together"


def on_one_sheet(jobs: Sequence[Job]) -> list[Job]:
    """Return jobs that name no sheet with the one that takes the largest of them, if one does.

    Pieces that are tiled or laid together lie on the printer's paper, and folded ones open to a size of
    their own: these are left as they are.
    """
    jobs = list(jobs)
    if not jobs:
        return jobs
    design = jobs[0].design
    if design.sheet.size or design.sheet.pages != "one each" or design.fold is not None:
        return jobs
    longest: dict[tuple[float, float], str] = {}
    for job in jobs:
        longest[job.size] = max(longest.get(job.size, ""), job.design.title, key=len)
    if len(longest) < 2:
        return jobs
    probes = [
        Cutting(shapely.box(0, 0, *size), design.strap, title, stock=design.paper.stock())
        for size, title in longest.items()
    ]
    sheet = one_sheet_for(probes, setup_of(jobs[0]))
    return [_on(job, sheet) for job in jobs] if sheet else jobs


def _on(job: Job, sheet: Sheet) -> Job:
    settings = job.design.sheet.model_copy(update={"size": sheet})
    return replace(job, design=job.design.model_copy(update={"sheet": settings}))


def write_together(path: Path, made: Sequence[MadePlate]) -> Path | None:
    """Write the plates that hold on common sheets, as one PDF; None if fewer than one holds.

    Raises
    ------
    CannotWrite, DoesNotFit, MissingLibrary
        As `write_pdf` does.
    """
    holding = [one for one in made if one.holds and one.plate is not None]
    if not holding:
        return None
    write_pdf(path, [one.plate.cutting for one in holding if one.plate], setup_of(holding[0].job))
    return path


def other_pages(folder: Path, jobs: Sequence[Job], together: Path) -> tuple[Path, ...]:
    """Return the PDFs of an earlier run that had its pages the other way.

    Where plates lie together these are their single pages, else the document in which they lay together.
    """
    single = [folder / f"{job.stem}.pdf" for job in jobs]
    others = single if lie_together(jobs[0]) else [together]
    written = {together} if lie_together(jobs[0]) else {*single}
    return tuple(path for path in others if path not in written and subject_of(path) is not None)


def write_files(base: Path, job: Job, plate: Plate) -> Iterator[Path]:
    """Write all that is needed of one plate, as `write_plate`: the page twice, a picture, and its packet."""
    if plate.packet is not None:
        packet_svg(plate.packet)  # one that does not fit its page is found before anything is written
    yield from write_plate(base, plate.cutting, setup_of(job), parts=parts_of(plate))
    if plate.packet is not None:
        packet = base.with_name(f"{base.name}-packet")
        yield from write_packet(packet, plate.packet, face=plate.cutting.face)


def make_plate(
    job: Job,
    folder: str | os.PathLike[str],
    *,
    write: WriteFiles = write_files,
    tell_quick: Callable[[Path], None] | None = None,
) -> MadePlate:
    """Draw one plate into a folder: its files if it holds, else ``STEM-marked.pdf``.

    Parameters
    ----------
    job : Job
        From `canivet.compose.series.jobs.plan_jobs`.
    folder : path-like
        Where its files go; it must be there.
    write : callable
        What is written of a plate that holds; `write_files` if not given.
    tell_quick : callable, optional
        Where given, a plate that holds is first put into its picture's place small, and this is called with
        the path: what is asked for beside it may take a while.

    Returns
    -------
    MadePlate
        Nothing that canivet refuses is raised: it is the plate's `fault`, and what was written before it is
        there. A marked page of an earlier run goes once the plate holds.
    """
    drawn = draw_job(job)
    base = Path(folder, job.stem)
    older = older_files(base)
    if drawn.plate is None:
        return MadePlate(job, None, fault=drawn.fault, older=older)
    marked = marked_files(base, job)
    if not drawn.plate.report.holds:
        unmarked = _mark(marked[0], drawn.plate.cutting, drawn.plate.report)
        there = None if unmarked else marked[0]
        return MadePlate(job, drawn.plate, marked=there, unmarked=unmarked, older=older)
    _clear(marked[0])
    files: list[Path] = []
    finish = None
    try:
        if tell_quick is not None:
            picture = base.with_name(f"{base.name}.png")
            write_png(picture, drawn.plate.cutting, dpi=finest_dpi(drawn.plate.cutting, most=QUICK_DPI))
            tell_quick(picture)
        finish, documents = _finished(job, drawn.plate)
        if finish is not None and not finish.holds:
            return _mark_layers(base, job, finish, older)
        for path in marked:
            _clear(path)
        files.extend(write(base, job, drawn.plate))
        files.extend(path for path in write_finish(base, documents) if path not in files)
    except CanivetError as error:
        return MadePlate(job, drawn.plate, tuple(files), error, older=() if files else older)
    return MadePlate(job, drawn.plate, tuple(files), finish=finish)


def _finished(job: Job, plate: Plate) -> tuple[Finish | None, list[tuple[str, bytes]]]:
    """Return what a design asks for beside the piece, and all its files, drawn before any is written."""
    if not asks_for_finish(job.design):
        return None, []
    finish = finish_plate(job.design, plate, job.size)
    if not finish.holds:
        return finish, []
    return finish, finish_documents(finish, folder=job.design.folder)


def _mark_layers(base: Path, job: Job, finish: Finish, older: tuple[Path, ...]) -> MadePlate:
    """Write where each layer is weak instead of anything to cut."""
    written: list[Path] = []
    unmarked: CanivetError | None = None
    for leaf in finish.layers:
        path = _marked_file(base, leaf.name)
        if leaf.report.holds:
            _clear(path)
        elif (error := _mark(path, leaf.cutting, leaf.report)) is None:
            written.append(path)
        else:
            unmarked = error
    return MadePlate(
        job, finish.plate, marked=next(iter(written), None), unmarked=unmarked, older=older, finish=finish
    )  # fmt: skip


def _mark(path: Path, cutting: Cutting, report: StrengthReport) -> CanivetError | None:
    """Write where a piece is weak; whatever keeps that from being written must not hide that it is."""
    try:
        write_marked_plate(path, cutting, report)
    except CanivetError as error:
        return error
    return None


def _clear(marked: Path) -> None:
    """Take away a marked page of an earlier run, since it holds now; never a file of the maker's."""
    if is_marked_drawing(marked) and not is_kept(marked):
        with contextlib.suppress(OSError):
            marked.unlink()


def marked_files(base: Path, job: Job) -> tuple[Path, ...]:
    """Return the marked page that a plate has where it does not hold, and those of its layers in order."""
    layers = (layer_name(number) for number in range(1, len(job.design.layer) + 1))
    return (_marked_file(base), *(_marked_file(base, name) for name in layers))


def _marked_file(base: Path, *part: str) -> Path:
    return base.with_name("-".join([base.name, *part, "marked.pdf"]))


def planned_files(base: Path, job: Job) -> tuple[Path, ...]:
    """Return every path that the files of one plate may take, given the path without an ending."""
    endings = (*SUFFIXES, "-packet.svg", "-packet.pdf", *ENDINGS)
    return (*(base.with_name(base.name + ending) for ending in endings), *marked_files(base, job))


def older_files(base: Path) -> tuple[Path, ...]:
    """Return the drawings that lie at a path without an ending, of whatever run."""
    endings = (*SUFFIXES, "-packet.svg", "-packet.pdf", *ENDINGS)
    paths = (base.with_name(base.name + ending) for ending in endings)
    return tuple(path for path in paths if path.exists())
