"""The cairo library, fetched only when a drawing needs it."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from canivet.errors import MissingLibrary

__all__ = ["append_lines", "load_cairo", "load_cairosvg"]


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


def append_lines(context: Any, points: NDArray[np.float64], first: NDArray[np.intp]) -> None:
    """Append lines to a context's path, handed over as cairo lays them out itself.

    ``context.append_path`` takes a tuple for each point, and ten times as long.

    Parameters
    ----------
    context : cairocffi.Context
    points : (n, 2) array
        Of all lines, one after the other, in the context's units.
    first : array of int
        The rows at which lines begin.

    References
    ----------
    cairo 1.18, cairo_path_data_t: each point follows a header, its kind and that there are two of them;
    cairocffi, "CFFI API": how a context is handed to the library.
    """
    cairo = load_cairo()
    kinds = np.full(len(points), cairo.PATH_LINE_TO, np.int32)
    kinds[first] = cairo.PATH_MOVE_TO
    laid = np.zeros((len(points), 2, 2))
    laid[:, 0].view(np.int32)[:, :2] = np.column_stack([kinds, np.full_like(kinds, 2)])
    laid[:, 1] = points
    path = cairo.ffi.new("cairo_path_t *")
    path.status, path.num_data = cairo.STATUS_SUCCESS, 2 * len(points)
    path.data = cairo.ffi.cast("cairo_path_data_t *", laid.ctypes.data)
    cairo.cairo.cairo_append_path(context._pointer, path)
