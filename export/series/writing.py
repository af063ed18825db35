"""A whole series written: a drawing for each plate, one PDF of all pages, a contact sheet, and a manifest.

Plates are drawn through joblib, so the call runs on all cores of this machine as it is, and on a cluster
inside ``with joblib.parallel_config(backend="dask")``. Only a few plates are in memory at a time. What is
done is written down as it is done, so an interrupted series goes on where it stopped.
"""

from __future__ import annotations

import csv
import io
import json
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any, BinaryIO

from shapely.geometry import Polygon

from canivet.audit.strength import StrengthReport
from canivet.compose.design.loading import Design
from canivet.compose.design.names import table_cell
from canivet.compose.plate import Plate
from canivet.compose.reading.svg import read_paper_path
from canivet.compose.series.jobs import Job, sources_of
from canivet.cutting import Cutting
from canivet.errors import CannotWrite, Unreadable
from canivet.export.files import check_target, make_folder, require_folder, write_atomically
from canivet.export.packet.page import packet_svg, write_packet
from canivet.export.pages import documents_together
from canivet.export.parts import parts_of
from canivet.export.pdf import document_bytes, pdf_bytes
from canivet.export.plates import lie_together, make_plate, older_files, on_one_sheet, planned_files, setup_of
from canivet.export.svg import piece_svg, write_svg
from canivet.kept import is_kept, keeping, require_not_kept
from canivet.lengths import format_mm
from canivet.sources import read_source

from .beforehand import shared_faults
from .contact import Thumbnail, thumbnail_path, thumbnail_size, write_contact_sheet
from .joined_pdf import join_pdfs
from .journal import (
    MOST_BYTES,
    PAGES,
    PlateRecord,
    clear_stale,
    digest_of,
    fingerprint,
    is_as_bound,
    is_there,
    note,
    note_bound,
    read_journal,
    stale_files,
)
from .workers import Crew

__all__ = ["PlateRecord", "SeriesResult", "write_series"]

_BOUND = ("series.pdf", "contact-sheet.pdf")
_LISTED = ("manifest.csv", "manifest.json")
"""What is made of all plates together."""


@dataclass(frozen=True, slots=True)
class SeriesResult:
    """A finished series: its plates in order, how many were there already, and the files made of them all.

    `older` names drawings of an earlier run that still lie where a plate of this one could not be drawn;
    `stale` are files of plates that an earlier run wrote and this one does not ask for.
    """

    plates: tuple[PlateRecord, ...]
    kept: int
    seconds: float
    document: Path | None
    contact_sheet: Path | None
    manifest: Path
    older: tuple[str, ...] = ()
    stale: tuple[Path, ...] = ()


def write_series(
    jobs: Iterable[Job],
    folder: str | Path,
    *,
    title: str,
    workers: int = -1,
    on_done: Callable[[PlateRecord], None] | None = None,
    tidy: bool = False,
) -> SeriesResult:
    """Draw every plate of a series into a folder.

    Parameters
    ----------
    jobs : iterable of Job
        From `canivet.compose.series.jobs.plan_jobs`, of a design with a list.
    folder : path
        Where the drawings go; it must be there.
    title : str
        Of the document that holds all pages.
    workers : int
        Processes, as joblib counts them: -1 for all cores, or as many of them as pay for so many plates. A
        joblib backend chosen by the caller is used.
    on_done : callable, optional
        Called with each plate's record as it is done, for a progress line.
    tidy : bool, default False
        Take away what an earlier run wrote and this one does not ask for, unless it was changed since.

    Returns
    -------
    SeriesResult
        A plate that cannot be drawn, or does not hold, is no error here: its record says why, the others go
        on, and no plate is written for it. One that was drawn and is weak gets a marked drawing,
        ``STEM-marked.pdf``; it goes again once the plate holds.

    Raises
    ------
    CannotWrite, MissingLibrary
        If the folder cannot be written to, a plate would lie where a file lies that is read, or cairo is
        missing.
    """
    folder, jobs = Path(folder), on_one_sheet(list(jobs))
    start = time.perf_counter()
    with keeping(sources_of(jobs)):
        _require_places(folder, jobs)
        done = read_journal(folder)
        records, waiting = _sort_out(folder, jobs, done)
        kept = len(records)
        with Crew(len(waiting), workers) as crew:
            faulty, waiting = _without_faults(waiting)
            records |= faulty
            for record in crew.draw(_draw, waiting, folder):
                records[record.number] = record
                note(folder, record)
                if on_done is not None:
                    on_done(record)
        plates = tuple(records[job.number] for job in jobs)
        older = tuple(
            path.name
            for job in jobs
            if not records[job.number].holds
            for path in older_files(folder / job.stem)
        )
        stems = (job.stem for job in jobs)
        stale = stale_files(folder, done.values(), stems, together=bool(jobs) and lie_together(jobs[0]))
        if tidy:
            clear_stale(stale)
        bound = _finish(folder, jobs, plates, title)
    return SeriesResult(plates, kept, time.perf_counter() - start, *bound, older, () if tidy else stale)


def _require_places(folder: Path, jobs: list[Job]) -> None:
    """Refuse, before anything is drawn, a place that cannot be written to or is a file that is read."""
    require_folder(folder)
    make_folder(folder / PAGES)
    for name in (*_BOUND, *_LISTED):
        check_target(folder / name)
    for job in jobs:
        for path in planned_files(folder / job.stem, job):
            require_not_kept(path)


def _sort_out(
    folder: Path, jobs: list[Job], done: dict[str, PlateRecord]
) -> tuple[dict[int, PlateRecord], list[tuple[Job, str]]]:
    """Return the records there are already, and the plates that are to be drawn, each with its digest."""
    records: dict[int, PlateRecord] = {}
    waiting: list[tuple[Job, str]] = []
    for job in jobs:
        digest, old = digest_of(job), done.get(job.stem)
        if old is not None and old.digest == digest and is_there(folder, job):
            records[job.number] = replace(old, number=job.number)
        else:
            waiting.append((job, digest))
    return records, waiting


def _without_faults(
    waiting: list[tuple[Job, str]],
) -> tuple[dict[int, PlateRecord], list[tuple[Job, str]]]:
    """Return the records of plates that cannot be drawn, whatever their row, and the plates that may.

    That is found on one plate of each size.
    """
    faults = shared_faults([job for job, _ in waiting])
    records = {
        job.number: replace(_record_of(job, digest), fault=faults[job.size].message)
        for job, digest in waiting if job.size in faults
    }  # fmt: skip
    return records, [(job, digest) for job, digest in waiting if job.size not in faults]


def _record_of(job: Job, digest: str) -> PlateRecord:
    return PlateRecord(
        number=job.number, row=job.row.number if job.row else 0, words=job.words, file="",
        width=job.size[0], height=job.size[1], holds=False, weakest_strap=None, openings=0, cut_length=0.0,
        fault="", digest=digest,
    )  # fmt: skip


def _draw(job: Job, digest: str, folder: Path) -> PlateRecord:
    """Draw one plate, in whatever process; a plate that cannot be drawn becomes a record that says so."""
    made = make_plate(job, folder, write=_write_files)
    if isinstance(made.fault, CannotWrite):  # it is the folder's, and every plate's
        raise made.fault
    record = replace(
        _record_of(job, digest),
        holds=made.holds,
        fault=made.fault.message if made.fault else "",
        marked=made.marked.name if made.marked else "",
    )
    if made.plate is None:
        return record
    report = made.plate.report
    record = replace(
        record,
        weakest_strap=round(report.weakest.width, 3) if report.weakest else None,
        openings=report.openings,
        cut_length=round(report.cut_length, 1),
        remarks="; ".join(made.plate.remarks),
    )
    if made.holds:
        marks = [fingerprint(path) for path in made.files]
        return replace(record, file=f"{job.stem}.svg", written=" ".join(marks))
    if made.fault:
        return record
    unmarked = f" No marked drawing: {made.unmarked.message}" if made.unmarked else ""
    return replace(record, fault=_why_not(report) + unmarked)


def _write_files(base: Path, job: Job, plate: Plate) -> Iterator[Path]:
    """Write a plate's drawing, and what the bound pages and the contact sheet are made from."""
    if plate.packet is not None:
        packet_svg(plate.packet)  # one that does not fit its page is found before anything is written
    page = None if lie_together(job) else pdf_bytes(plate.cutting, setup_of(job))
    svg = piece_svg(plate.cutting, parts_of(plate))
    drawing, kept = base.with_name(f"{base.name}.svg"), base.parent / PAGES
    write_svg(drawing, svg)
    write_atomically(kept / f"{base.name}.path", thumbnail_path(plate.cutting).encode())
    if page is not None:
        write_atomically(kept / f"{base.name}.pdf", page)
    yield drawing
    if plate.packet is not None:
        yield from write_packet(base.with_name(f"{base.name}-packet"), plate.packet, face=plate.cutting.face)


class _Kept(Sequence[Cutting]):
    """The plates that hold, each read from its own drawing when it is asked for."""

    def __init__(self, folder: Path, plates: Sequence[PlateRecord], design: Design) -> None:
        self._folder, self._plates, self._design = folder, plates, design

    def __len__(self) -> int:
        return len(self._plates)

    def __getitem__(self, place: Any) -> Any:
        plate = self._plates[place]
        path = self._folder / plate.file
        source = read_source(path, most=MOST_BYTES, kind="a drawing", wanted="a drawing")
        paper = read_paper_path(source, name=plate.file)
        if not isinstance(paper, Polygon):
            raise Unreadable(
                f"{path} is not the drawing that was written. Take it away to have it drawn again."
            )
        design = self._design
        return Cutting(paper, design.strap, plate.words, stock=design.paper.stock(), sheet=design.sheet.size)


def _together(folder: Path, plates: Sequence[PlateRecord], job: Job) -> Iterator[BinaryIO]:
    """Yield the sheets on which plates lie together, one at a time."""
    kept, setup = _Kept(folder, plates, job.design), setup_of(job)
    drawn = [folder / PAGES / f"{Path(plate.file).stem}.path" for plate in plates]
    sizes = [thumbnail_size(path) for path in drawn]
    for page in documents_together(sizes, kept, job.design.sheet.size, setup):
        yield io.BytesIO(document_bytes([(page.svg, page.sheet)], titles=[page.title], subject=""))


def _why_not(report: StrengthReport) -> str:
    counts = [
        (report.pieces - 1, "loose parts"), (len(report.necks), "necks under the strap"),
        (len(report.limbs), "limbs"), (len(report.small_openings), "openings too small to cut"),
    ]  # fmt: skip
    found = ", ".join(f"{n} {what}" for n, what in counts if n)
    return f"it does not hold: {found}. Give it more room or a narrower strap."


def _finish(
    folder: Path, jobs: Sequence[Job], plates: tuple[PlateRecord, ...], title: str
) -> tuple[Path | None, Path | None, Path]:
    """Bind the pages, lay out the contact sheet and write the manifest."""
    holding = [plate for plate in plates if plate.holds]
    stems = [Path(plate.file).stem for plate in holding]
    document, contact = (folder / name for name in _BOUND)
    if stems:
        if lie_together(jobs[0]):
            join_pdfs(document, _together(folder, holding, jobs[0]), title=title)
        else:
            names = [f"{plate.words} · {_size_of(plate)}" for plate in holding]
            join_pdfs(document, [folder / PAGES / f"{stem}.pdf" for stem in stems], title=title, names=names)
        small = [
            Thumbnail(plate.row or plate.number, plate.words, folder / PAGES / f"{stem}.path")
            for plate, stem in zip(holding, stems, strict=True)
        ]
        write_contact_sheet(contact, small, title=title)
        note_bound(folder, (document, contact))
    else:
        for old in (document, contact):  # they would show what is not in the manifest
            if is_as_bound(folder, old) and not is_kept(old):
                old.unlink(missing_ok=True)
    manifest, plain_list = (folder / name for name in _LISTED)
    write_atomically(manifest, _manifest_csv(plates).encode("utf-8-sig"))
    plain = json.dumps([_plain(plate) for plate in plates], ensure_ascii=False, indent=1)
    write_atomically(plain_list, plain.encode())
    return (document, contact, manifest) if stems else (None, None, manifest)


def _size_of(plate: PlateRecord) -> str:
    return f"{format_mm(plate.width, 1)} × {format_mm(plate.height, 1)} mm"


def _manifest_csv(plates: tuple[PlateRecord, ...]) -> str:
    """Write the manifest as a table that a spreadsheet takes as it is meant."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    rows = [_plain(plate) for plate in plates]
    if rows:
        writer.writerow(rows[0])
        writer.writerows([table_cell(v) if isinstance(v, str) else v for v in row.values()] for row in rows)
    return out.getvalue()


def _plain(plate: PlateRecord) -> dict[str, Any]:
    named = {
        "width": "width_mm",
        "height": "height_mm",
        "weakest_strap": "weakest_strap_mm",
        "cut_length": "cut_length_mm",
    }
    kept = {key: value for key, value in asdict(plate).items() if key not in ("digest", "written")}
    return {named.get(key, key): value for key, value in kept.items()}
