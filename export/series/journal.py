"""What a series has done, written down plate by plate: so that it goes on where it stopped.

The journal lies in the folder ``pages`` beside what the bound pages are made from. It tells too which files
of an earlier run are no longer asked for, and which of them are still as they were written.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from pathlib import Path
from types import NoneType
from typing import Any

from canivet import __version__
from canivet.compose.series.jobs import Job
from canivet.errors import CannotWrite, Unreadable
from canivet.export._about import subject_of
from canivet.export.files import write_atomically
from canivet.export.marked.writing import is_marked_drawing
from canivet.export.plates import lie_together
from canivet.kept import is_kept
from canivet.sources import open_source, read_source

from .joined_pdf import is_whole

__all__ = [
    "MOST_BYTES",
    "PAGES",
    "PlateRecord",
    "clear_stale",
    "digest_of",
    "fingerprint",
    "is_as_bound",
    "is_there",
    "note",
    "note_bound",
    "read_journal",
    "stale_files",
]

_JOURNAL = "journal.jsonl"
_BOUND = "bound.json"
PAGES = "pages"

MOST_BYTES = 200_000_000
"""Of a journal: two hundred thousand plates of a kilobyte. Of a drawing: what `read_silhouette` takes."""


@dataclass(frozen=True, slots=True)
class PlateRecord:
    """What became of one plate: a line of the manifest. Lengths in mm.

    `fault` is empty where the plate was drawn and holds; else it says in a sentence why it was not, and
    `marked` names the page that shows where it is weak, if it could be drawn at all. `remarks` says what was
    done to it: letters thickened, silhouettes mended. `digest` is of all it is made from, `written` of the
    drawing as it was written.
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
    written: str = ""


def digest_of(job: Job) -> str:
    """Return a fingerprint of all that a plate is made from: drawn again when any of it changes."""
    digest = hashlib.sha256()
    skip = {"folder", "series", "size", "source"}
    settings = {name: getattr(job.design, name) for name in type(job.design).model_fields if name not in skip}
    digest.update(repr((__version__, job.size, settings)).encode(errors="surrogatepass"))
    if job.alike is not None:
        digest.update(job.alike.without_paths().encode(errors="surrogatepass"))
    told = {job.design.source, job.design.folder / job.design.series.list if job.design.series else None}
    for path in job.design.files:
        if path in told:  # what they say of this plate is in its settings
            continue
        with contextlib.suppress(Unreadable):  # drawing the plate says why
            digest.update(read_source(path, most=MOST_BYTES, kind="a drawing", wanted="a drawing"))
    return digest.hexdigest()


def fingerprint(path: Path) -> str:
    """Return what tells a file's content from any other; nothing where it cannot be read."""
    with contextlib.suppress(Unreadable), open_source(path, wanted="a drawing") as source:
        return source.digest()
    return ""


def note_bound(folder: Path, paths: Iterable[Path]) -> None:
    """Write down what the documents of all plates hold, so that they are known again."""
    marks = {path.name: fingerprint(path) for path in paths}
    write_atomically(folder / PAGES / _BOUND, json.dumps(marks).encode())


def is_as_bound(folder: Path, path: Path) -> bool:
    """Say whether a document of all plates is as an earlier run left it."""
    try:
        raw = read_source(folder / PAGES / _BOUND, most=10_000, kind="a list", wanted="a list")
        marks = json.loads(raw)
    except (Unreadable, ValueError, RecursionError):
        return False
    mark = marks.get(path.name) if isinstance(marks, dict) else None
    return bool(mark) and mark == fingerprint(path)


def clear_stale(paths: Iterable[Path]) -> None:
    """Take away files that `stale_files` found.

    Raises
    ------
    CannotWrite
        If the system does not allow it.
    """
    for path in paths:
        try:
            path.unlink(missing_ok=True)
        except OSError as error:
            raise CannotWrite(
                f"cannot take away {path}: {error.strerror}. Change the permissions of its folder.",
                parameter="path", value=os.fspath(path),
            ) from None  # fmt: skip


def stale_files(
    folder: Path, done: Iterable[PlateRecord], stems: Iterable[str], *, together: bool = False
) -> tuple[Path, ...]:
    """Return the files of plates that an earlier run wrote and this one does not ask for.

    Parameters
    ----------
    folder : Path
        Of the series.
    done : iterable of PlateRecord
        From `read_journal`.
    stems : iterable of str
        What the files of this run's plates are called, without an ending.
    together : bool
        Whether they lie together on common sheets: pages with one plate each are of an earlier run then.
        Default False.

    Notes
    -----
    A drawing that is no longer as it was written is the maker's, and is not among them.
    """
    asked = set(stems)
    found: list[Path] = []
    if together:
        single = (folder / PAGES / f"{stem}.pdf" for stem in sorted(asked))
        found += [path for path in single if subject_of(path) is not None]
    for record in done:
        stem = Path(record.file).stem
        if stem in asked or record.file != f"{stem}.svg" or not record.written:
            continue
        drawings = folder / record.file, *packet_files(folder / stem)
        was = record.written.split()
        found += [path for path, mark in zip(drawings, was, strict=False) if fingerprint(path) == mark]
        marked = folder / f"{stem}-marked.pdf"
        found += [marked] * is_marked_drawing(marked)
        found += [p for ending in (".path", ".pdf") if (p := folder / PAGES / f"{stem}{ending}").is_file()]
    return tuple(path for path in found if not is_kept(path))


def packet_files(base: Path) -> tuple[Path, Path]:
    """Return where the page of a plate's packet lies, to hand on and to print."""
    svg, pdf = (base.with_name(f"{base.name}-packet{ending}") for ending in (".svg", ".pdf"))
    return svg, pdf


def is_there(folder: Path, job: Job) -> bool:
    """Say whether all that is kept of a plate lies where it was put."""
    stem, kept = job.stem, folder / PAGES / job.stem
    drawn = [folder / f"{stem}.svg", kept.with_name(f"{stem}.path")]
    if job.design.fold is not None and not job.design.fold.flat:
        drawn += packet_files(folder / stem)
    paged = lie_together(job) or is_whole(kept.with_name(f"{stem}.pdf"))
    return paged and all(path.is_file() for path in drawn)


def note(folder: Path, record: PlateRecord) -> None:
    """Write down that a plate is done; a line that was cut short is skipped on reading."""
    if not record.holds:
        return
    path = folder / PAGES / _JOURNAL
    try:
        with path.open("a", encoding="utf-8") as journal:
            journal.write(json.dumps(asdict(record), ensure_ascii=True) + "\n")
    except OSError as error:
        raise CannotWrite(
            f"cannot write {path}: {error.strerror}. Choose another folder.", value=path
        ) from None


def read_journal(folder: Path) -> dict[str, PlateRecord]:
    """Return what an earlier run wrote down; a line that is not one of ours is skipped."""
    path = folder / PAGES / _JOURNAL
    if not path.exists():
        return {}
    raw = read_source(path, most=MOST_BYTES, kind="a journal", wanted="a folder of its own for the series")
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
    "fault": str, "digest": str, "marked": str, "remarks": str, "written": str,
}  # fmt: skip
