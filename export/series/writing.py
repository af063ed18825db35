"""A whole series written: a drawing for each plate, one PDF of all pages, a contact sheet, and a manifest.

Plates are drawn through joblib, so the call runs on all cores of this machine as it is, and on a cluster
inside ``with joblib.parallel_config(backend="dask")``. Only a few plates are in memory at a time. What is
done is written down as it is done, so an interrupted series goes on where it stopped.
"""

from __future__ import annotations

import contextlib
import csv
import hashlib
import io
import json
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from types import NoneType
from typing import Any, BinaryIO

from shapely.geometry import Polygon

from canivet import __version__
from canivet.audit.strength import StrengthReport
from canivet.compose.design.loading import Design
from canivet.compose.design.names import table_cell
from canivet.compose.plate import Plate
from canivet.compose.reading.svg import read_paper_path
from canivet.compose.series.jobs import Job
from canivet.cutting import Cutting
from canivet.errors import CannotWrite, Unreadable
from canivet.export.files import make_folder, require_folder, write_atomically
from canivet.export.packet import packet_svg
from canivet.export.pages import documents_together
from canivet.export.parts import parts_of
from canivet.export.pdf import document_bytes, pdf_bytes
from canivet.export.plates import make_plate, older_files, on_one_sheet, setup_of
from canivet.export.svg import piece_svg, write_svg
from canivet.sources import read_source

from .contact import COLUMNS, thumbnail_path, thumbnail_size, write_contact_sheet
from .joined_pdf import is_whole, join_pdfs

__all__ = ["PlateRecord", "SeriesResult", "write_series"]

_BATCH = 4
"""Plates handed to each worker at a time: enough to keep it busy, few enough to hold."""

_A_LINE = range(3, 8)
"""Sizes of a plate that are set side by side on the contact sheet."""

_JOURNAL = "journal.jsonl"
_PAGES = "pages"

_MOST_BYTES = 200_000_000
"""Of a journal: two hundred thousand plates of a kilobyte. Of a drawing: what `read_silhouette` takes."""


@dataclass(frozen=True, slots=True)
class PlateRecord:
    """What became of one plate: a line of the manifest. Lengths in mm.

    `fault` is empty where the plate was drawn and holds; else it says in a sentence why it was not, and
    `marked` names the page that shows where it is weak, if it could be drawn at all. `remarks` says what was
    done to it: letters thickened, silhouettes mended.
    """

    number: int
    row: int
    words: str
    file: str
    width: float
    height: float
    holds: bool
    weakest_strap: float | None
    openings: int
    cut_length: float
    fault: str
    digest: str
    marked: str = ""
    remarks: str = ""


@dataclass(frozen=True, slots=True)
class SeriesResult:
    """A finished series: its plates in order, how many were there already, and the files made of them all.

    `older` names drawings of an earlier run that still lie where a plate of this one could not be drawn.
    """

    plates: tuple[PlateRecord, ...]
    kept: int
    seconds: float
    document: Path | None
    contact_sheet: Path | None
    manifest: Path
    older: tuple[str, ...] = ()


def write_series(
    jobs: Iterable[Job],
    folder: str | Path,
    *,
    title: str,
    workers: int = -1,
    on_done: Callable[[PlateRecord], None] | None = None,
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
        Processes, as joblib counts them: -1 for all cores. A joblib backend chosen by the caller is used.
    on_done : callable, optional
        Called with each plate's record as it is done, for a progress line.

    Returns
    -------
    SeriesResult
        A plate that cannot be drawn, or does not hold, is no error here: its record says why, the others go
        on, and no plate is written for it. One that was drawn and is weak gets a marked drawing,
        ``STEM-marked.pdf``; it goes again once the plate holds.

    Raises
    ------
    CannotWrite, MissingLibrary
        If the folder cannot be written to, or cairo is missing.
    """
    folder = Path(folder)
    require_folder(folder)
    make_folder(folder / _PAGES)
    start = time.perf_counter()
    jobs = on_one_sheet(list(jobs))
    done = _read_journal(folder)
    records: dict[int, PlateRecord] = {}
    waiting = []
    for job in jobs:
        digest = _digest(job)
        old = done.get(job.stem)
        if old is not None and old.digest == digest and _is_there(folder, job):
            records[job.number] = replace(old, number=job.number)
        else:
            waiting.append((job, digest))
    kept = len(records)
    for record in _draw_all(waiting, folder, workers):
        records[record.number] = record
        _note(folder, record)
        if on_done is not None:
            on_done(record)
    plates = tuple(records[job.number] for job in jobs)
    older = tuple(
        path.name for job in jobs if not records[job.number].holds for path in older_files(folder / job.stem)
    )
    return _finish(folder, jobs, plates, title, kept, older, start)


def _draw_all(waiting: list[tuple[Job, str]], folder: Path, workers: int) -> Iterator[PlateRecord]:
    """Draw a few plates for each worker at a time, so that memory does not grow with the series."""
    from joblib import Parallel, delayed, effective_n_jobs

    step = _BATCH * max(1, effective_n_jobs(workers))
    with Parallel(n_jobs=workers) as parallel:
        for first in range(0, len(waiting), step):
            batch = waiting[first : first + step]
            yield from parallel(delayed(_draw)(job, digest, folder) for job, digest in batch)


def _draw(job: Job, digest: str, folder: Path) -> PlateRecord:
    """Draw one plate, in whatever process; a plate that cannot be drawn becomes a record that says so."""
    made = make_plate(job, folder, write=_write_files)
    if isinstance(made.fault, CannotWrite):  # it is the folder's, and every plate's
        raise made.fault
    record = PlateRecord(
        number=job.number, row=job.row.number if job.row else 0, words=job.design.title, file="",
        width=job.size[0], height=job.size[1], holds=made.holds, weakest_strap=None, openings=0,
        cut_length=0.0,
        fault=made.fault.message if made.fault else "", digest=digest,
        marked=made.marked.name if made.marked else "",
    )  # fmt: skip
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
        return replace(record, file=f"{job.stem}.svg")
    if made.fault:
        return record
    unmarked = f" No marked drawing: {made.unmarked.message}" if made.unmarked else ""
    return replace(record, fault=_why_not(report) + unmarked)


def _write_files(base: Path, job: Job, plate: Plate) -> Iterator[Path]:
    """Write a plate's drawing, and what the bound pages and the contact sheet are made from."""
    packet = None if plate.packet is None else packet_svg(plate.packet)
    page = None if _lie_together(job) else pdf_bytes(plate.cutting, setup_of(job))
    svg = piece_svg(plate.cutting, parts_of(plate))
    drawing, kept = base.with_name(f"{base.name}.svg"), base.parent / _PAGES
    write_svg(drawing, svg)
    write_atomically(kept / f"{base.name}.path", thumbnail_path(plate.cutting).encode())
    if page is not None:
        write_atomically(kept / f"{base.name}.pdf", page)
    yield drawing
    if packet is not None:
        write_svg(beside := base.with_name(f"{base.name}-packet.svg"), packet)
        yield beside


def _lie_together(job: Job) -> bool:
    return job.design.sheet.pages == "together"


class _Kept(Sequence[Cutting]):
    """The plates that hold, each read from its own drawing when it is asked for."""

    def __init__(self, folder: Path, plates: Sequence[PlateRecord], design: Design) -> None:
        self._folder, self._plates, self._design = folder, plates, design

    def __len__(self) -> int:
        return len(self._plates)

    def __getitem__(self, place: Any) -> Any:
        plate = self._plates[place]
        path = self._folder / plate.file
        source = read_source(path, most=_MOST_BYTES, kind="a drawing", wanted="a drawing")
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
    drawn = [folder / _PAGES / f"{Path(plate.file).stem}.path" for plate in plates]
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
    folder: Path,
    jobs: Sequence[Job],
    plates: tuple[PlateRecord, ...],
    title: str,
    kept: int,
    older: tuple[str, ...],
    start: float,
) -> SeriesResult:
    """Bind the pages, lay out the contact sheet and write the manifest."""
    stems = [Path(plate.file).stem for plate in plates if plate.holds]
    document, contact = folder / "series.pdf", folder / "contact-sheet.pdf"
    if stems:
        if _lie_together(jobs[0]):
            join_pdfs(
                document, _together(folder, [plate for plate in plates if plate.holds], jobs[0]), title=title
            )
        else:
            join_pdfs(document, [folder / _PAGES / f"{stem}.pdf" for stem in stems], title=title)
        captions = [(plate.words, plate.file) for plate in plates if plate.holds]
        paths = [folder / _PAGES / f"{stem}.path" for stem in stems]
        sizes = len({(plate.width, plate.height) for plate in plates})
        # A line for each name, where its sizes fit on one.
        columns = sizes if sizes in _A_LINE and len(captions) == len(plates) else COLUMNS
        write_contact_sheet(contact, paths, captions, title=title, columns=columns)
    else:
        for old in (document, contact):  # they would show what is not in the manifest
            old.unlink(missing_ok=True)
    manifest = folder / "manifest.csv"
    write_atomically(manifest, _manifest_csv(plates).encode("utf-8-sig"))
    plain = json.dumps([_plain(plate) for plate in plates], ensure_ascii=False, indent=1)
    write_atomically(folder / "manifest.json", plain.encode())
    if not stems:
        return SeriesResult(plates, kept, time.perf_counter() - start, None, None, manifest, older)
    return SeriesResult(plates, kept, time.perf_counter() - start, document, contact, manifest, older)


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
    return {named.get(key, key): value for key, value in asdict(plate).items() if key != "digest"}


def _digest(job: Job) -> str:
    """Return a fingerprint of all that a plate is made from: drawn again when any of it changes."""
    digest = hashlib.sha256()
    skip = {"folder", "series", "size"}
    settings = {name: getattr(job.design, name) for name in type(job.design).model_fields if name not in skip}
    digest.update(repr((__version__, job.size, settings)).encode(errors="surrogatepass"))
    files = [placed.file for placed in job.design.silhouette]
    files += [words.face for words in job.design.lettering if words.face]
    files += [job.design.sheet.face] if job.design.sheet.face else []
    files += job.design.fold.files if job.design.fold else ()
    for file in files:
        path = job.design.folder / file
        with contextlib.suppress(Unreadable):  # drawing the plate says why
            digest.update(read_source(path, most=_MOST_BYTES, kind="a drawing", wanted="a drawing"))
    return digest.hexdigest()


def _is_there(folder: Path, job: Job) -> bool:
    stem, kept = job.stem, folder / _PAGES / job.stem
    drawn = [folder / f"{stem}.svg", kept.with_name(f"{stem}.path")]
    if job.design.fold is not None and not job.design.fold.flat:
        drawn.append(folder / f"{stem}-packet.svg")
    paged = _lie_together(job) or is_whole(kept.with_name(f"{stem}.pdf"))
    return paged and all(path.is_file() for path in drawn)


def _note(folder: Path, record: PlateRecord) -> None:
    """Write down that a plate is done; a line that was cut short is skipped on reading."""
    if not record.holds:
        return
    path = folder / _PAGES / _JOURNAL
    try:
        with path.open("a", encoding="utf-8") as journal:
            journal.write(json.dumps(asdict(record), ensure_ascii=True) + "\n")
    except OSError as error:
        raise CannotWrite(
            f"cannot write {path}: {error.strerror}. Choose another folder.", value=path
        ) from None


def _read_journal(folder: Path) -> dict[str, PlateRecord]:
    """Return what an earlier run wrote down; a line that is not one of ours is skipped."""
    path = folder / _PAGES / _JOURNAL
    if not path.exists():
        return {}
    raw = read_source(path, most=_MOST_BYTES, kind="a journal", wanted="a folder of its own for the series")
    records = map(_record_in, raw.decode(errors="replace").splitlines())
    return {Path(record.file).stem: record for record in records if record is not None}


def _record_in(line: str) -> PlateRecord | None:
    """Read a line of the journal, or None where it is torn or its values are not of their types."""
    try:
        found = json.loads(line)
        if not isinstance(found, dict) or not all(
            isinstance(value, _TYPES[name]) and not (isinstance(value, bool) and _TYPES[name] is not bool)
            for name, value in found.items()
        ):
            return None
        return PlateRecord(**found)
    except (ValueError, TypeError, KeyError, RecursionError):
        return None


_TYPES: dict[str, Any] = {
    "number": int, "row": int, "words": str, "file": str, "width": (int, float), "height": (int, float),
    "holds": bool, "weakest_strap": (int, float, NoneType), "openings": int, "cut_length": (int, float),
    "fault": str, "digest": str, "marked": str, "remarks": str,
}  # fmt: skip
