"""One plate made: drawn and audited, then its files written, or only the page that shows where it is weak."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from canivet.compose.plate import Plate
from canivet.compose.series.jobs import Job, draw_job
from canivet.errors import CanivetError

from .drawing import SUFFIXES, write_plate
from .marked.writing import is_marked_drawing, write_marked_plate
from .packet import packet_svg, write_packet

__all__ = ["MadePlate", "WriteFiles", "make_plate", "older_files", "write_files"]

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
    """

    job: Job
    plate: Plate | None
    files: tuple[Path, ...] = ()
    fault: CanivetError | None = None
    marked: Path | None = None
    unmarked: CanivetError | None = None
    older: tuple[Path, ...] = ()

    @property
    def holds(self) -> bool:
        """Whether it was drawn and holds, and its files are there."""
        return self.fault is None and self.plate is not None and self.plate.report.holds


def write_files(base: Path, job: Job, plate: Plate) -> Iterator[Path]:
    """Write all that is needed of one plate, as `write_plate`: the page twice, a picture, and its packet."""
    if plate.packet is not None:
        packet_svg(plate.packet)  # one that does not fit its page is found before anything is written
    yield from write_plate(base, plate.cutting, ink=job.design.sheet.ink)
    if plate.packet is not None:
        packet = base.with_name(f"{base.name}-packet")
        yield from write_packet(packet, plate.packet, face=plate.cutting.face)


def make_plate(job: Job, folder: str | os.PathLike[str], *, write: WriteFiles = write_files) -> MadePlate:
    """Draw one plate into a folder: its files if it holds, else ``STEM-marked.pdf``.

    Parameters
    ----------
    job : Job
        From `canivet.compose.series.jobs.plan_jobs`.
    folder : path-like
        Where its files go; it must be there.
    write : callable
        What is written of a plate that holds; `write_files` if not given.

    Returns
    -------
    MadePlate
        Nothing that canivet refuses is raised: it is the plate's `fault`, and what was written before it is
        there. A marked page of an earlier run goes once the plate holds.
    """
    drawn = draw_job(job)
    base = Path(folder, job.stem)
    if drawn.plate is None:
        return MadePlate(job, None, fault=drawn.fault, older=older_files(base))
    marked = base.with_name(f"{job.stem}-marked.pdf")
    if not drawn.plate.report.holds:
        unmarked = _mark(marked, drawn.plate)
        there = None if unmarked else marked
        return MadePlate(job, drawn.plate, marked=there, unmarked=unmarked, older=older_files(base))
    if is_marked_drawing(marked):
        with contextlib.suppress(OSError):
            marked.unlink()
    files: list[Path] = []
    try:
        files.extend(write(base, job, drawn.plate))
    except CanivetError as error:
        return MadePlate(job, drawn.plate, tuple(files), error)
    return MadePlate(job, drawn.plate, tuple(files))


def _mark(path: Path, plate: Plate) -> CanivetError | None:
    """Write where a plate is weak; whatever keeps that from being written must not hide that it is."""
    try:
        write_marked_plate(path, plate.cutting, plate.report)
    except CanivetError as error:
        return error
    return None


def older_files(base: Path) -> tuple[Path, ...]:
    """Return the drawings that lie at a path without an ending, of whatever run."""
    endings = (*SUFFIXES, "-packet.svg", "-packet.pdf")
    paths = (base.with_name(base.name + ending) for ending in endings)
    return tuple(path for path in paths if path.exists())
