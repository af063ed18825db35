"""Borders laid round a piece: one inside the other, each with its bands, its opening and its corners."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import shapely
from shapely.affinity import scale, translate
from shapely.geometry import Polygon

from canivet.compose.design.border_table import Bands, LaidBorder
from canivet.compose.design.motif_table import UsedMotif
from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.borders.band import inner_edge, usual_band
from canivet.motifs.borders.corners import Block, clear_corners, corner_blocks, drawn_out, rosette, saltire
from canivet.motifs.bounds import LEAST_RIM
from canivet.motifs.shapes.openings import Shapes
from canivet.motifs.shapes.rounds import fits

__all__ = ["lay_borders"]

_EVEN = 0.02
"""mm by which sides may differ and still be taken for one width."""

_WIDEST = 1.8
"""The widest side against the narrowest, past which a border drawn out to it shows that it was."""

_CELLS = (1.0, 1.5, 2.0, 2.5, 3.0)
"""Cells of a ground across a corner block that are tried, where its pitch is not given."""

_FEWEST = 4
"""Openings by which a ground in a block is known for one."""

_DEFAULT_RIM = 2.2
"""mm of paper along the outline in a corner of a border that has no rim of its own to tell."""


def lay_borders(
    border: LaidBorder, outline: Polygon, *, strap: float, smallest: float, rim: float | None, rail: float
) -> tuple[Polygon, Shapes]:
    """Lay a border and those inside it.

    Parameters
    ----------
    border : LaidBorder
        The outermost.
    outline : Polygon
        What it runs round.
    strap, smallest : float
        mm, promised.
    rim : float or None
        mm of paper along the outline, where a border does not say so itself.
    rail : float
        mm of paper between one border's openings and those of the next.

    Returns
    -------
    Polygon
        The window that is left.
    ndarray of Polygon
        Openings, disjoint.

    Raises
    ------
    DoesNotFit
        If an opening is larger than the piece, bands meet or are too narrow or too unlike, or a border cannot
        be laid.
    """
    window, laid = outline, []
    for number, one in enumerate(_from_outside(border), start=1):
        place = "border" if border.inner is None else f"border.{number}"
        asked = {"strap": strap, "smallest": smallest, **_rim(one, rim)}
        window, openings = _lay_one(one, window, place, asked)
        laid.append(openings)
        rim = max(LEAST_RIM, rail - strap)
    return window, np.concatenate(laid)


def _from_outside(border: LaidBorder) -> Iterator[LaidBorder]:
    """Yield a border and those inside it."""
    left: LaidBorder | None = border
    while left is not None:
        yield left
        left = left.inner


def _rim(border: LaidBorder, rim: float | None) -> dict[str, float]:
    if rim is None or "rim" not in border.motif.parameters or "rim" in border.settings:
        return {}
    return {"rim": rim}


def _lay_one(
    border: LaidBorder, within: Polygon, place: str, asked: Mapping[str, float]
) -> tuple[Polygon, Shapes]:
    """Return the window inside one border, and its openings."""
    bands = _bands_of(border, within, place)
    band = min(bands)
    even = max(bands) - band <= _EVEN
    if even:
        window, piece = inner_edge(within, band), within
    else:
        window = _inside(within, bands, place)
        piece = window.buffer(band, join_style="mitre")
    openings = border.openings(within=piece, **{**asked, "band": band})
    blocks = [] if border.corner == "turned" else corner_blocks(piece, band)
    if blocks:
        openings = clear_corners(openings, blocks, smallest=asked["smallest"])
    if not even:
        openings = drawn_out(openings, window, band, bands)
        blocks = [replace(block, size=_size(block, bands)) for block in blocks]
    filled = [shape for block in blocks for shape in _fill(border, block, asked)]
    return window, np.array([*openings, *filled], dtype=object)


def _bands_of(border: LaidBorder, within: Polygon, place: str) -> Bands:
    """Return the width of each side of a border, which must leave a window and suit each other."""
    x0, y0, x1, y1 = within.bounds
    width, height = x1 - x0, y1 - y0
    if border.opening is not None:
        across, up = (width - border.opening[0]) / 2, (height - border.opening[1]) / 2
        bands, name = Bands(across, across, up, up), f"{place}.opening"
        if min(bands) <= 0:
            raise DoesNotFit(
                f"{name} is {_by(*border.opening)}; what it lies in is {_by(width, height)}, and must "
                "be larger both ways. Make the opening smaller, or the piece larger.",
                parameter=name, value=border.opening, accepted=f"less than {_by(width, height)}",
            )  # fmt: skip
    elif border.bands is not None:
        bands, name = border.bands, f"{place}.bands"
        if bands.left + bands.right >= width or bands.top + bands.foot >= height:
            raise DoesNotFit(
                f"{name} are {_listed(bands)}; on a piece of {_by(width, height)} they meet, and leave no "
                "window. Make them narrower, or the piece larger.",
                parameter=name, accepted="bands that leave a window",
            )  # fmt: skip
    else:
        band = usual_band(within, border.band)
        return Bands(band, band, band, band)
    _require_alike(bands, border, name)
    return bands


def _require_alike(bands: Bands, border: LaidBorder, name: str) -> None:
    """Refuse bands that no border can be drawn in, or that one border cannot be drawn in together."""
    bound = border.motif.parameters["band"]
    assert bound.least is not None
    assert bound.most is not None
    if min(bands) < bound.least or max(bands) > bound.most:
        less = "narrower" if max(bands) > bound.most else "wider"
        also = (
            " Or let other borders take a part of it: [[border]], from outside to inside."
            if less == "narrower"
            else ""
        )
        raise DoesNotFit(
            f"{name} makes bands of {_listed(bands)}; a border takes {bound.accepted}. Make them "
            f"{less}.{also}",
            parameter=name, accepted=bound.accepted,
        )  # fmt: skip
    if max(bands) > _WIDEST * min(bands):
        raise DoesNotFit(
            f"{name} makes bands of {_listed(bands)}; the widest may be {_WIDEST:g} times the narrowest, or "
            "the ornament looks drawn out. Make them more alike, or put a further border round them: "
            "[[border]], from outside to inside.",
            parameter=name, accepted=f"at most {format_mm(_WIDEST * min(bands), 1)} mm",
        )  # fmt: skip


def _inside(within: Polygon, bands: Bands, place: str) -> Polygon:
    """Return the window inside bands of several widths, for which the piece must be oblong."""
    x0, y0, x1, y1 = within.bounds
    if within.area < 0.9999 * (x1 - x0) * (y1 - y0):
        raise DoesNotFit(
            f"{place} has bands of {_listed(bands)}; bands of several widths want an oblong piece with "
            "square corners. Give one band, or take outline = \"rectangle\".",
            parameter=place, accepted="bands of one width",
        )  # fmt: skip
    return shapely.box(x0 + bands.left, y0 + bands.foot, x1 - bands.right, y1 - bands.top)


def _size(block: Block, bands: Bands) -> Any:
    x, y = block.out
    return np.array([bands.right if x > 0 else bands.left, bands.top if y > 0 else bands.foot])


def _fill(border: LaidBorder, block: Block, asked: Mapping[str, float]) -> list[Polygon]:
    """Return the openings of a corner block."""
    strap, smallest = asked["strap"], asked["smallest"]
    usual = border.motif.parameters["rim"].default if "rim" in border.motif.parameters else _DEFAULT_RIM
    rim = max(strap, border.settings.get("rim", asked.get("rim", usual)))
    room = block.room(rim=rim, strap=strap)
    if not fits(room, smallest):
        return []
    if border.corner == "rosette":
        return rosette(room, strap=strap, smallest=smallest)
    if border.block is None:
        return saltire(room, strap=strap, smallest=smallest)
    return _pattern(border.block, room, block, strap=strap, smallest=smallest)


def _pattern(used: UsedMotif, room: Polygon, block: Block, *, strap: float, smallest: float) -> list[Polygon]:
    """Fill a block with a lattice, one opening of an outline's shape, or a form that stands in it."""
    x0, y0, x1, y1 = room.bounds
    wide, high = x1 - x0, y1 - y0
    if used.motif.family == "lattice":
        return _ground(used, room, strap=strap, smallest=smallest)
    if used.motif.family == "outline":
        side = min(wide, high) if used.motif.name == "circle" else None
        shape = used.draw(width=side or wide, height=side or high)
        return [translate(shape, (x0 + x1 - (side or wide)) / 2, (y0 + y1 - (side or high)) / 2)]
    form = used.draw(width=wide + 2 * strap, height=high + 2 * strap, strap=strap, smallest=smallest)
    placed = translate(form, x0 - strap, y0 - strap)
    if block.out[0] > 0:
        placed = scale(placed, -1, 1, origin=((x0 + x1) / 2, 0))
    parts = shapely.get_parts(room.difference(placed))
    return [part for part in parts if fits(part, smallest)]


def _ground(used: UsedMotif, room: Polygon, *, strap: float, smallest: float) -> list[Polygon]:
    """Return a lattice's openings in a block; where its pitch is not given, at the one that opens it best."""
    x0, y0, x1, y1 = room.bounds
    given: dict[str, Any] = {"rim": LEAST_RIM, "strap": strap, "smallest": smallest}
    if "up" in used.motif.parameters and "up" not in used.settings:
        given["up"] = 0.5
    within, pitch = room.buffer(LEAST_RIM, join_style="mitre"), used.motif.parameters.get("pitch")
    if pitch is None or "pitch" in used.settings:
        return list(used.openings(within=within, **given))
    tried: list[list[Polygon]] = []
    for cells in _CELLS:
        with contextlib.suppress(BadValue, DoesNotFit):  # a pitch of ours, not the maker's
            asked = min(x1 - x0, y1 - y0) / cells
            tried.append(list(used.openings(within=within, **given, pitch=asked)))
    if not tried:
        return list(used.openings(within=within, **given))  # refused, in the lattice's own words
    return max(tried, key=lambda found: (len(found) >= _FEWEST, sum(shape.area for shape in found)))


def _by(width: float, height: float) -> str:
    return f"{format_mm(width, 1)} × {format_mm(height, 1)} mm"


def _listed(bands: Bands) -> str:
    """Return the widths of bands, those of opposite sides once where they are alike."""
    if bands.left == bands.right and bands.top == bands.foot:
        return f"{format_mm(bands.left, 1)} mm beside and {format_mm(bands.top, 1)} mm above and below"
    return ", ".join(f"{format_mm(value, 1)} mm at the {side}" for side, value in bands._asdict().items())
