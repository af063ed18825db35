"""The files of a finished piece: all of them drawn before any is written."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from canivet.compose.finish.finished import Finish
from canivet.export.files import write_atomically
from canivet.export.pdf import document_bytes
from canivet.export.png import picture_bytes
from canivet.sheets import Sheet

from .framing import framing_page
from .layers import layer_pages
from .pads import pad_page
from .patches import patch_pages
from .shadow import Light
from .view import finished_view
from .wall import wall_view

__all__ = ["ENDINGS", "finish_documents", "write_finish"]

ENDINGS = ("-patches.pdf", "-layers.pdf", "-pads.pdf", "-framing.pdf", "-wall.png")
"""What is added to the name of a piece; its finished view takes the place of its plain picture."""


def finish_documents(finish: Finish, *, folder: Path = Path()) -> list[tuple[str, bytes]]:
    """Return every file that a finished piece has, by the ending of its name.

    Parameters
    ----------
    finish : Finish
    folder : Path
        Where a picture for its ground is looked for.

    Raises
    ------
    DoesNotFit
        If no sheet takes the piece.
    Unreadable
        If the picture of its ground cannot be read.
    MissingLibrary
        If cairo is not installed.
    """
    view = finished_view(finish, folder=folder)
    cutting = finish.plate.cutting
    made = [(".png", picture_bytes(view.picture, cutting, dpi=view.dpi))]
    for ending, pages, about in _pages(finish):
        data = document_bytes(
            [(svg, sheet) for svg, sheet, _ in pages],
            titles=[title for _, _, title in pages], subject=about, face=cutting.face,
        )  # fmt: skip
        made.append((ending, data))
    if finish.settings is not None:
        wall, per_mm = wall_view(view, finish.settings.beside, Light.of(finish.settings.light))
        made.append(("-wall.png", picture_bytes(wall, cutting, dpi=25.4 * per_mm)))
    return made


def write_finish(base: Path, documents: list[tuple[str, bytes]]) -> Iterator[Path]:
    """Put the files of a finished piece in place, given its path without an ending; yield each.

    Raises
    ------
    CannotWrite
        As `write_atomically`.
    """
    for ending, data in documents:
        path = base.with_name(base.name + ending)
        write_atomically(path, data)
        yield path


def _pages(finish: Finish) -> Iterator[tuple[str, list[tuple[str, Sheet, str]], str]]:
    if finish.patches:
        yield "-patches.pdf", list(patch_pages(finish)), "Coloured papers to cut and glue behind the piece"
    if finish.layers:
        yield "-layers.pdf", list(layer_pages(finish)), "The sheets of the piece, and how they are laid"
    if finish.pads is not None:
        yield "-pads.pdf", [pad_page(finish)], "Where the pads go, from behind"
    if finish.mounted is not None:
        yield "-framing.pdf", [framing_page(finish)], "Sizes for the framer"
