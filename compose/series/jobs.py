"""What a design asks for: a plate at every size, and for every row of its list, each drawn anew.

Nothing is scaled. Each plate is composed at its own size with its own words, so straps, rims and smallest
openings stay in millimetres and repeats are counted anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from canivet.compose.design.folding import FoldSettings
from canivet.compose.design.loading import Design, PlacedSilhouette
from canivet.compose.design.names import file_stem, require_words, size_marks
from canivet.compose.design.rows import MissingColumn, Row, columns_in, fill_text, read_rows, tell_faults
from canivet.compose.plate import Plate, compose_plate
from canivet.compose.stages import begin_plate
from canivet.compose.words.alike import choose_alike
from canivet.compose.words.wording import Alike
from canivet.errors import BadValue, CanivetError

__all__ = ["DrawnJob", "Job", "draw_job", "fill_design", "plan_jobs", "sources_of"]


@dataclass(frozen=True, slots=True)
class Job:
    """One plate to be drawn.

    Attributes
    ----------
    number : int
        From 1, in the order of the list and of the design's sizes.
    design : Design
        Its own: what a row of the list fills is filled.
    size : (float, float)
        Width and height, mm.
    stem : str
        What its files are called, without an ending.
    mark : str
        What tells its files from those of the design's other plates; empty where there is only one.
    row : Row or None
        Whose it is; None where the design has no list.
    name : str
        Whose it is, in words, where its title does not say so.
    alike : Alike or None
        How its words are set, chosen for all plates of its size together.
    """

    number: int
    design: Design
    size: tuple[float, float]
    stem: str
    mark: str = ""
    row: Row | None = None
    name: str = ""
    alike: Alike | None = None

    @property
    def words(self) -> str:
        """Return what tells a person which plate it is: its title, or the name in its row."""
        return self.name or self.design.title


@dataclass(frozen=True, slots=True)
class DrawnJob:
    """What became of a job: its plate, or what kept it from being drawn."""

    job: Job
    plate: Plate | None
    fault: CanivetError | None = None

    def composed(self) -> Plate:
        """Return the plate, or raise what kept it from being drawn."""
        if self.fault is not None:
            raise self.fault
        assert self.plate is not None
        return self.plate


def plan_jobs(design: Design, *, stem: str = "plate") -> list[Job]:
    """Return every plate a design asks for, after checking the whole of its list where it has one.

    Parameters
    ----------
    design : Design
        With a ``series`` table each row of its list is drawn at each of its sizes.
    stem : str
        What files of a design without a list are called.

    Returns
    -------
    list of Job
        Row by row; sizes in the order of the design.

    Raises
    ------
    BadValue
        If the design asks for a column the list lacks, or cells cannot be used: all faults, each with row and
        column.
    Unreadable
        If the list cannot be read.
    """
    if design.series is None:
        marks = size_marks(design.size)
        return [
            Job(number, design, size, stem + mark, mark)
            for number, (size, mark) in enumerate(zip(design.size, marks, strict=True), start=1)
        ]
    rows = read_rows(design.folder / design.series.list)
    faults: list[str] = []
    filled: list[tuple[Row, Design]] = []
    for row in rows:
        try:
            filled.append((row, fill_design(design, row)))
        except BadValue as error:
            faults.append(error.message)
            if isinstance(error, MissingColumn):  # every other row would say the same
                break
    if faults:
        raise BadValue(f"{design.series.list} cannot be used: {tell_faults(faults)}", parameter="series.list")
    return _lettered_alike(list(_listed_jobs(design, filled)))


def sources_of(jobs: Iterable[Job]) -> set[Path]:
    """Return every file that is read to draw these plates."""
    return {path for job in jobs for path in job.design.files}


def draw_job(job: Job) -> DrawnJob:
    """Compose a job's plate; what keeps it from being drawn is returned, so that others can go on."""
    begin_plate()
    try:
        return DrawnJob(job, compose_plate(job.design, job.size, alike=job.alike))
    except CanivetError as error:
        return DrawnJob(job, None, error)


def fill_design(design: Design, row: Row) -> Design:
    """Return the design with the row's cells in the places its texts name.

    Raises
    ------
    BadValue
        If a column is missing, a cell cannot be lettered, or a cell leads out of the design's folder.
    """
    return design.model_copy(
        update={
            "title": fill_text(design.title, row),
            "description": fill_text(design.description, row),
            "silhouette": tuple(_fill_silhouette(s, row, design.folder) for s in design.silhouette),
            "lettering": tuple(
                one.model_copy(update={"text": fill_text(one.text, row)}) for one in design.lettering
            ),
            "fold": None if design.fold is None else _fill_fold(design.fold, row, design.folder),
        }
    )


def _fill_silhouette(placed: PlacedSilhouette, row: Row, folder: Path) -> PlacedSilhouette:
    if not placed.file:
        return placed
    return placed.model_copy(update={"file": _fill_file(placed.file, row, folder)})


def _fill_fold(fold: FoldSettings, row: Row, folder: Path) -> FoldSettings:
    return replace(
        fold,
        words=None if fold.words is None else fill_text(fold.words, row),
        wedge=None if fold.wedge is None else _fill_file(fold.wedge, row, folder),
        figure=None if fold.figure is None else _fill_file(fold.figure, row, folder),
    )


def _fill_file(name: str, row: Row, folder: Path) -> str:
    """Return a file's name filled from the list; it must lie in the design's folder and be there."""
    columns = columns_in(name)
    if not columns:
        return name
    file = fill_text(name, row)
    home = folder.resolve()
    if not (home / file).resolve().is_relative_to(home):
        raise BadValue(
            f"row {row.number}, column {columns[0]!r}: {file!r} lies outside the design's folder. "
            "Put the drawing beside the design and name it there.",
            parameter=columns[0], value=file,
        )  # fmt: skip
    if not (home / file).is_file():
        raise BadValue(
            f"row {row.number}, column {columns[0]!r}: there is no file {file!r} beside the design.",
            parameter=columns[0], value=file,
        )  # fmt: skip
    return file


def _listed_jobs(design: Design, filled: list[tuple[Row, Design]]) -> Iterator[Job]:
    assert design.series is not None
    marks = size_marks(design.size)
    digits = max(4, len(str(len(filled))))
    number = 0
    for place, (row, own) in enumerate(filled, start=1):
        words = fill_text(design.series.file, row) if design.series.file else _first_cell(row)
        stem = file_stem(words, number=place, digits=digits)
        name = words if own.title == design.title else ""
        for size, mark in zip(design.size, marks, strict=True):
            number += 1
            yield Job(number, own, size, stem + mark, f"-{stem}{mark}", row, name)


def _lettered_alike(jobs: list[Job]) -> list[Job]:
    """Return jobs whose words are set alike, those of each size."""
    alike: dict[int, Alike | None] = {}
    for size in dict.fromkeys(job.size for job in jobs):
        of_size = [job for job in jobs if job.size == size]
        chosen = choose_alike([job.design for job in of_size], size)
        alike |= {job.number: one for job, one in zip(of_size, chosen, strict=True)}
    return [replace(job, alike=alike[job.number]) for job in jobs]


def _first_cell(row: Row) -> str:
    column, cell = next(iter(row.cells.items()))
    return require_words(cell, row=row.number, column=column)
