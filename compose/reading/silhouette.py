"""Silhouettes: shapes that come from a file and are to be cut out of the sheet.

Reading ends here in plain geometry, whatever the file was: dark is paper, the size is in mm, and whatever
was not seen faithfully is said in the warnings.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

import shapely
from shapely.geometry import MultiPolygon

from canivet.errors import BadValue, Unreadable
from canivet.lengths import LONGEST, format_mm
from canivet.sources import open_source

from .found import Reading

__all__ = ["Silhouette", "load_drawing", "read_silhouette"]

MOST_BYTES = {"SVG": 20_000_000, "bitmap": 200_000_000}
"""A drawing of 20 MB has a million points, far beyond any hand; a bitmap may be an uncompressed scan."""

DUST = 0.001
"""mm²: pieces under it are where two edges failed to meet to the last digit, not drawn shapes."""

ACCEPTED = "an SVG drawing, or a PNG, JPEG, TIFF, BMP or WebP picture"

_BITMAPS = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"II*\0", b"MM\0*", b"BM")
_BITMAP_SUFFIXES = (".png", ".jpg", ".jpeg", ".tif", ".tiff", ".bmp", ".webp")
_KNOWN_STRANGERS = {
    b"%PDF": "a PDF; open it in a drawing program and export it as SVG",
    b"%!PS": "PostScript; open it in a drawing program and export it as SVG",
    b"GIF8": "a GIF; save it as PNG",
    b"\x1f\x8b": "compressed (gzip, as .svgz is); unpack it and give the plain SVG",
    b"PK\x03\x04": "a ZIP archive; unpack it and give the drawing itself",
}


@dataclass(frozen=True, slots=True)
class Silhouette:
    """A shape read from a file, as paper.

    Attributes
    ----------
    area : MultiPolygon
        mm, y up, the lower left of its bounds at the origin, valid, snapped to 1 µm.
    name : str
        The file's name without its suffix.
    warnings : tuple of str
        What was not seen faithfully, or was assumed; sentences ready to show.
    """

    area: MultiPolygon
    name: str
    warnings: tuple[str, ...] = ()


def read_silhouette(
    path: str | os.PathLike[str],
    *,
    width: float | None = None,
    height: float | None = None,
    smooth: float | None = None,
    threshold: float | None = None,
) -> Silhouette:
    """A shape from an SVG drawing or a bitmap, dark taken as paper, at the size asked.

    Parameters
    ----------
    path : path
        An SVG drawing, or a PNG, JPEG, TIFF, BMP or WebP picture; told apart by content.
    width, height : float, mm, above zero, default None
        Size of the shape itself, its margins left out. One of them keeps the proportions; both make the
        largest shape that fits within; neither keeps the size the file states.
    smooth : float, mm, from zero, default None
        For a bitmap, how far the steps of its pixels are smoothed; None smooths two pixels, less where that
        would eat a thin strap.
    threshold : float, 0 to 1, default None
        What is darker than this (0 black, 1 white) is paper; None is 0.5 for a drawing, and the best parting
        of the two tones for a bitmap.

    Returns
    -------
    Silhouette

    Raises
    ------
    BadValue
        If a number is out of its range.
    Unreadable
        If the file is missing, is of another kind, is malformed, or holds nothing to cut.
    MissingLibrary
        If a drawing needs libcairo and it is not installed.

    Notes
    -----
    The edge of a drawing lies within 0.005 mm, and 6·10⁻⁶ of the page's longer side, of the curve drawn;
    that of a bitmap within 0.05 mm of the smoothed edge. Points are rounded to 1 µm.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = pathlib.Path(folder, "disc.svg")
    ...     _ = file.write_text('<svg viewBox="0 0 9 9"><circle cx="4" cy="4" r="2"/></svg>')
    ...     disc = read_silhouette(file, width=50)
    >>> disc.area.bounds
    (0.0, 0.0, 50.0, 50.0)
    """
    _check_sizes(width=width, height=height)
    _check_range("smooth", smooth, 0.0, 10.0, " mm")
    _check_range("threshold", threshold, 0.0, 1.0, "")
    path = Path(path)
    source, kind = _load(path)
    if kind == "SVG":
        reading = _read_drawing(source, path.name, threshold)
    else:
        from .scan import read_scan

        reading = read_scan(
            source, name=path.name, width=width, height=height, smooth=smooth, threshold=threshold
        )
    area = _fit(reading, width, height, path.name)
    return Silhouette(area, path.stem, reading.warnings)


def _read_drawing(source: bytes, name: str, threshold: float | None) -> Reading:
    from .svg import draws_more_than_paper, face_shown, read_paper_path, read_svg

    paper, face = read_paper_path(source, name=name), face_shown(source, name=name)
    if paper is None and face is not None:
        raise Unreadable(
            f"{name} is a page that canivet drew to print, and its paper was moved or turned since: which "
            "face it shows now cannot be told. Give the bare piece, or draw the page anew.",
            parameter=name, accepted="the page as it was drawn, or the bare piece",
        )  # fmt: skip
    if paper is None:
        return read_svg(source, name=name, threshold=threshold)
    area = MultiPolygon([paper]) if paper.geom_type == "Polygon" else paper
    said = []
    if face == "back":
        said.append("The page shows the back of the piece; it is turned, and read as seen from the front.")
    if draws_more_than_paper(source, name=name):
        said.append(
            "Only the path with the id paper is read; remove that id to have the other shapes read as well."
        )
    return Reading(area, (1.0, 1.0), tuple(said), tolerance=0.0)


def _check_sizes(**sizes: float | None) -> None:
    for name, value in sizes.items():
        if value is not None and not 0 < value <= LONGEST:
            raise BadValue(
                f"{name} is {value} mm; a silhouette's size is above zero and at most {format_mm(LONGEST)} "
                f"mm.",
                parameter=name, value=value, accepted=f"above 0 to {format_mm(LONGEST)} mm",
            )  # fmt: skip


def _check_range(name: str, value: float | None, least: float, most: float, unit: str) -> None:
    if value is not None and not least <= value <= most:
        accepted = f"{least:g}{unit} to {most:g}{unit}"
        raise BadValue(
            f"{name} is {value:g}{unit}; it takes {accepted}.", parameter=name, value=value, accepted=accepted
        )


def load_drawing(path: str | os.PathLike[str]) -> bytes:
    """Return what a drawing or picture holds, unread; refused as `read_silhouette` refuses it."""
    return _load(Path(path))[0]


def _load(path: Path) -> tuple[bytes, str]:
    """Return the file's bytes and whether it is an SVG or a bitmap."""
    with open_source(path, wanted=ACCEPTED) as source:
        kind = _kind(source.head(), path, path.name)
        return source.read(MOST_BYTES[kind], kind=kind, advice="Simplify or shrink it."), kind


def _kind(head: bytes, path: Path, name: str) -> str:
    if not head:
        raise Unreadable(f"{name} is empty. Give {ACCEPTED}.", parameter=name)
    for magic, stranger in _KNOWN_STRANGERS.items():
        if head.startswith(magic):
            raise Unreadable(f"{name} is {stranger}.", parameter=name, accepted=ACCEPTED)
    if head.startswith(_BITMAPS) or (head.startswith(b"RIFF") and head[8:12] == b"WEBP"):
        return "bitmap"
    opening = head.removeprefix(b"\xef\xbb\xbf").lstrip()
    if opening.startswith((b"<", b"\xff\xfe<\0", b"\xfe\xff\0<")) or path.suffix.lower() == ".svg":
        return "SVG"
    if path.suffix.lower() in _BITMAP_SUFFIXES:
        return "bitmap"
    raise Unreadable(
        f"{name} is neither a drawing nor a picture that is known. Give {ACCEPTED}.",
        parameter=name,
        accepted=ACCEPTED,
    )


def _fit(reading: Reading, width: float | None, height: float | None, name: str) -> MultiPolygon:
    """Scale to mm and to the size asked, move to the origin, drop vertices that change nothing, snap."""
    left, low, right, high = reading.area.bounds
    wide, tall = (right - left) * reading.mm_per_unit[0], (high - low) * reading.mm_per_unit[1]
    factor = min((a / b for a, b in ((width, wide), (height, tall)) if a is not None), default=1.0)
    wide, tall = wide * factor, tall * factor
    size = f"{name} {{}} {format_mm(wide)} × {format_mm(tall)} mm, {{}}. Give a {{}} width or height."
    if not max(wide, tall) <= LONGEST * (1 + 1e-9):
        raise Unreadable(size.format("would be", "past ten metres", "smaller"), parameter=name)
    if min(wide, tall) < 0.01:
        raise Unreadable(size.format("would be", "too small to cut", "larger"), parameter=name)
    area = _stretched(reading.area, wide, tall)
    if reading.tolerance:
        simpler = shapely.simplify(area, reading.tolerance, preserve_topology=True)
        area = _stretched(simpler, wide, tall)  # an outermost vertex may have gone
    kept = [part for part in shapely.get_parts(shapely.set_precision(area, 0.001)) if part.area > DUST]
    if not kept:
        raise Unreadable(size.format("would be", "too small to cut", "larger"), parameter=name)
    return MultiPolygon(kept)


def _stretched(area: MultiPolygon, wide: float, tall: float) -> MultiPolygon:
    left, low, right, high = area.bounds
    return shapely.transform(area, lambda p: (p - (left, low)) * (wide / (right - left), tall / (high - low)))
