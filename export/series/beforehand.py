"""What keeps every plate of a size from being drawn, whatever its row: found once, before the first plate."""

from __future__ import annotations

from collections.abc import Sequence

from canivet.compose.plate import compose_plate
from canivet.compose.series.jobs import Job, draw_job
from canivet.cutting import Cutting
from canivet.errors import CanivetError, MissingLibrary
from canivet.export.page.layout import lay_out
from canivet.export.plates import setup_of
from canivet.motifs.lettering.faces import open_face

__all__ = ["shared_faults"]


def shared_faults(jobs: Sequence[Job]) -> dict[tuple[float, float], CanivetError]:
    """Return for each size what no row of it can be drawn for.

    Parameters
    ----------
    jobs : sequence of Job
        Of one series.

    Returns
    -------
    dict
        By size, mm; nothing where its first plate is drawn, or one without its row's own words and drawings,
        its faces open and its page fits. What the first plate shares with the others is kept for them.

    Raises
    ------
    MissingLibrary
        If nothing can be drawn on this computer.
    """
    faults: dict[tuple[float, float], CanivetError] = {}
    sizes = dict.fromkeys(job.size for job in jobs)
    for size in sizes:
        of_size = [job for job in jobs if job.size == size]
        if len(of_size) < 2:
            continue
        try:
            _draw_one(of_size)
        except MissingLibrary:
            raise
        except CanivetError as error:
            faults[size] = error
    return faults


def _draw_one(jobs: Sequence[Job]) -> None:
    """Draw the first of the plates of a size; where that cannot be, what they have in common."""
    first, design = jobs[0], jobs[0].design
    for face in {words.face for words in design.lettering} | {design.sheet.face}:
        if face is not None:
            open_face(design.folder / face)
    plate = draw_job(first).plate if design.fold is None else None
    if plate is None:
        _draw_without_row(jobs)
    else:
        _lay_out(plate.cutting, first)


def _draw_without_row(jobs: Sequence[Job]) -> None:
    """Draw what the plates of a size have in common, and lay out its page."""
    design = jobs[0].design
    if design.fold is not None:
        if any(job.design.fold != design.fold for job in jobs):
            return
        _lay_out(compose_plate(design, jobs[0].size).cutting, jobs[0])
        return
    common = tuple(
        placed
        for k, placed in enumerate(design.silhouette)
        if all(job.design.silhouette[k] == placed for job in jobs)
    )
    blank = design.model_copy(update={"silhouette": common, "lettering": ()})
    _lay_out(compose_plate(blank, jobs[0].size).cutting, jobs[0])


def _lay_out(cutting: Cutting, job: Job) -> None:
    """See that a page of its own takes the plate, where it has one."""
    if job.design.sheet.pages == "one each":
        lay_out(cutting, setup_of(job))
