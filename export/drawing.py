"""One cutting into a file by its ending, or into all that are needed at the table."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path

from canivet.cutting import Cutting
from canivet.doing import doing
from canivet.errors import BadValue, suggest
from canivet.export.page.setup import USUAL, PageSetup

from .files import check_target
from .pages import page_documents
from .parts import Part
from .pdf import write_pdf
from .png import finest_dpi, write_png
from .svg import piece_svg, write_svg

__all__ = ["SUFFIXES", "require_writable", "write_drawing", "write_plate"]

SUFFIXES = (".svg", ".pdf", ".png")


def write_drawing(
    path: str | os.PathLike[str],
    cutting: Cutting,
    setup: PageSetup = USUAL,
    *,
    parts: Sequence[Part] = (),
    dpi: float = 300,
) -> None:
    """Write one cutting as its file's ending asks: the bare piece, the page to print, or a picture.

    Parameters
    ----------
    path : path-like
        ``.svg`` is the bare piece as seen from its front, ``.pdf`` the page to print and cut from, ``.png`` a
        picture of the finished piece.
    cutting : Cutting
        What to draw.
    setup : PageSetup
        For the page.
    parts : sequence of Part
        For the bare piece; see `piece_svg`.
    dpi : float
        For the picture; see `write_png`. Default 300.

    Raises
    ------
    BadValue
        If the ending is none of these.
    CannotWrite, DoesNotFit, MissingLibrary
        As `write_svg`, `write_pdf` and `write_png` do.

    Examples
    --------
    >>> import tempfile
    >>> from shapely.geometry import box
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_drawing(Path(folder, "card.svg"), Cutting(box(0, 0, 90, 60), strap=1, title="Card"))
    ...     Path(folder, "card.svg").read_text().count("<path")
    1
    """
    match _known_suffix(path):
        case ".svg":
            write_svg(path, piece_svg(cutting, parts))
        case ".pdf":
            write_pdf(path, cutting, setup)
        case _:
            write_png(path, cutting, dpi=dpi)


def write_plate(
    base: str | os.PathLike[str],
    cutting: Cutting,
    setup: PageSetup = USUAL,
    *,
    parts: Sequence[Part] = (),
    dpi: float = 300,
) -> Iterator[Path]:
    """Write the bare piece as ``base.svg``, its page as ``base.pdf``, a picture as ``base.png``; yield each.

    Parameters
    ----------
    base : path-like
        A file's path without its ending; points in its name are kept.
    cutting, setup, parts, dpi
        As for `write_drawing`; of a piece too large for it the picture has fewer pixels per inch. With
        ``pages="together"`` there is no page here, since it lies with others.

    Raises
    ------
    CannotWrite, DoesNotFit, MissingLibrary
        As `write_drawing` does. A sheet that is too small is found before anything is written; without
        cairo the SVG is still written.

    Examples
    --------
    >>> import tempfile
    >>> from shapely.geometry import box
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     made = write_plate(Path(folder, "card-1.5"), Cutting(box(0, 0, 9, 6), 1, "Card"))
    ...     [path.name for path in made]
    ['card-1.5.svg', 'card-1.5.pdf', 'card-1.5.png']
    """
    apart = setup.pages != "together"
    if apart:
        next(page_documents([cutting], setup))
    dpi = finest_dpi(cutting, most=dpi)
    for suffix in SUFFIXES if apart else (".svg", ".png"):
        path = Path(os.fspath(base) + suffix)
        doing(f"writing {path.name}")
        write_drawing(path, cutting, setup, parts=parts, dpi=dpi)
        yield path


def require_writable(path: str | os.PathLike[str]) -> None:
    """Refuse, before any work is done, a path that `write_drawing` could not write.

    Raises
    ------
    BadValue
        If its ending is none of the known ones.
    CannotWrite
        If a file cannot be put there.

    Examples
    --------
    >>> require_writable("heron.svg")
    """
    _known_suffix(path)
    check_target(path)


def _known_suffix(path: str | os.PathLike[str]) -> str:
    suffix = Path(path).suffix
    if suffix.lower() in SUFFIXES:
        return suffix.lower()
    ending = f"ends in {suffix!r}" if suffix else "has no ending"
    raise BadValue(
        f"{os.fspath(path)} {ending}; a drawing is written as one of: {', '.join(SUFFIXES)}. "
        f"Name it with one of these.{suggest(suffix.lower(), SUFFIXES)}",
        parameter="path", value=suffix, accepted=", ".join(SUFFIXES),
    )  # fmt: skip
