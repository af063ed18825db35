"""The cairo library, fetched only when a drawing needs it."""

from __future__ import annotations

from typing import Any

from canivet.errors import MissingLibrary

__all__ = ["load_cairo", "load_cairosvg"]


def load_cairosvg() -> Any:
    """Return the module that turns SVG into PDF and PNG.

    Raises
    ------
    MissingLibrary
        If the system's cairo library cannot be loaded.
    """
    try:
        import cairosvg
    except (OSError, ImportError) as error:  # cffi reports a missing shared library as an OSError
        raise MissingLibrary(
            "PDF and PNG need the cairo library, which cannot be loaded here: install it (libcairo2 on "
            "Debian and Ubuntu, cairo from Homebrew on macOS, a GTK runtime on Windows), or write SVG, "
            "which works without it.",
            parameter="cairo", value=None, accepted="an installed cairo library",
        ) from error  # fmt: skip
    return cairosvg


def load_cairo() -> Any:
    """Return the module that draws, with which cairosvg does.

    Raises
    ------
    MissingLibrary
        If the system's cairo library cannot be loaded.
    """
    load_cairosvg()
    import cairocffi

    return cairocffi
