"""What a finished piece takes to make: hours, sittings, blades, sheets and boards, and what the maker asks.

Hours, sittings and blades are the cutting plan's. Minutes for gluing, lifting and laying are *common
practice*, no source: where to start until the maker knows better.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import shapely

from canivet.compose.design.finishing import PriceSettings
from canivet.compose.design.loading import Design
from canivet.compose.planning.estimates import blades_for
from canivet.compose.planning.packet import plan_packet_cutting
from canivet.compose.planning.plan import plan_cutting
from canivet.compose.planning.steps import CuttingPlan
from canivet.compose.plate import Plate
from canivet.cutting import Cutting
from canivet.sheets import Sheet, smallest_sheet_for
from canivet.stock import Stock

from .finished import Finish
from .mounting import Mounted

__all__ = ["Estimate", "Material", "estimate_piece"]

_GRIP = 10.0
"""mm of sheet left round a piece, to hold it down by."""

_GLUE = 2.0
"""Minutes to glue a patch."""
_PAD = 1.0
"""Minutes to cut a pad and set it."""
_LAY = 10.0
"""Minutes to lay a further sheet in its register."""
_HANG = 20.0
"""Minutes to lay the piece into its mount."""

_STRIP = 5.0
"""mm wide strips of foam between layers."""

_MITRES = 8
"""Widths of a moulding that its four mitred corners take."""


@dataclass(frozen=True, slots=True)
class Material:
    """Something to buy.

    Attributes
    ----------
    kind : str
        By which the maker prices it: ``paper``, ``coloured``, ``mat``, ``board``, ``glass``, ``foam``,
        ``frame``; a ``spacer`` has no price of its own.
    what : str
        In words.
    size : (float, float)
        mm; of a moulding its length and width.
    count : int
    wasted : float or None
        Share of a sheet that is left over.
    grain : str
        Which way the paper's grain is to run.
    """

    kind: str
    what: str
    size: tuple[float, float]
    count: int = 1
    wasted: float | None = None
    grain: str = ""

    def to_json(self) -> dict[str, Any]:
        """Return plain values."""
        told: dict[str, Any] = {
            "what": self.what, "size_mm": [round(side, 1) for side in self.size], "count": self.count,
        }  # fmt: skip
        if self.wasted is not None:
            told["wasted"] = round(self.wasted, 3)
        if self.grain:
            told["grain"] = self.grain
        return told


@dataclass(frozen=True, slots=True, eq=False)
class Estimate:
    """What one piece takes.

    Attributes
    ----------
    title : str
    size : (float, float)
        Of the piece, mm.
    minutes : float
        Cutting, by the plans of all its sheets.
    finishing : float
        Minutes for patches, layers, pads and mount.
    sittings, blades, grade : int
    materials : tuple of Material
    money : str
        The maker's word for money; empty where no price is asked.
    price : float or None
        In all.
    lines : tuple of (str, str, float)
        What it is made up of: by which the maker prices it, in words, how much.
    unpriced : tuple of Material
        What has no price in it.
    """

    title: str
    size: tuple[float, float]
    minutes: float
    finishing: float
    sittings: int
    blades: int
    grade: int
    materials: tuple[Material, ...]
    money: str = ""
    price: float | None = None
    lines: tuple[tuple[str, str, float], ...] = ()
    unpriced: tuple[Material, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """Return plain values: minutes, sittings, blades, materials and price, and what they are made of."""
        return {
            "title": self.title,
            "size_mm": [round(side, 3) for side in self.size],
            "minutes": round(self.minutes, 1),
            "finishing_minutes": round(self.finishing, 1),
            "sittings": self.sittings,
            "blades": self.blades,
            "grade": self.grade,
            "materials": [one.to_json() for one in self.materials],
            "price": self.price,
            "money": self.money or None,
            "price_lines": [{"what": what, "amount": amount} for _, what, amount in self.lines],
            "not_in_price": [one.what for one in self.unpriced],
        }


def estimate_piece(design: Design, plate: Plate, finish: Finish | None) -> Estimate:
    """Reckon what a piece takes.

    Parameters
    ----------
    design : Design
        Its plan's settings, and its price where it has one.
    plate : Plate
        The piece, drawn and holding.
    finish : Finish or None
        All that is beside it.

    Returns
    -------
    Estimate
    """
    layers = finish.layers if finish else ()
    plans = [_plan(design, plate), *(plan_cutting(leaf.cutting, settings=design.plan) for leaf in layers)]
    materials = tuple(_materials(design, plate, finish))
    minutes = sum(plan.minutes for plan in plans)
    finishing = _finishing(design, finish)
    x0, y0, x1, y1 = plate.cutting.paper.bounds
    blades = blades_for(sum(plan.worn for plan in plans), design.plan)
    lines, unpriced = _priced(design.price, minutes + finishing, blades, materials)
    return Estimate(
        design.title, (x1 - x0, y1 - y0), minutes, finishing, sum(plan.sittings for plan in plans), blades,
        max(plan.grade.value for plan in plans), materials,
        money=design.price.money if design.price else "",
        price=round(sum(amount for *_, amount in lines), 2) if design.price else None,
        lines=tuple(lines), unpriced=tuple(unpriced),
    )  # fmt: skip


def _plan(design: Design, plate: Plate) -> CuttingPlan:
    if plate.packet is not None:
        return plan_packet_cutting(plate.packet, settings=design.plan)
    return plan_cutting(plate.cutting, settings=design.plan)


def _finishing(design: Design, finish: Finish | None) -> float:
    if finish is None:
        return 0.0
    edge = sum(float(patch.area.length) for patch in finish.patches)
    minutes: float = (
        edge / design.plan.pace.scissors + _GLUE * len(finish.patches) + _LAY * len(finish.layers)
    )
    minutes += _PAD * len(finish.pads.pads) if finish.pads else 0.0
    return minutes + (_HANG if finish.mounted else 0.0)


def _materials(design: Design, plate: Plate, finish: Finish | None) -> Iterator[Material]:
    yield _sheet_of(plate.cutting, design.sheet.size, "paper", "paper")
    if finish is None:
        return
    for leaf in finish.layers:
        yield _sheet_of(leaf.cutting, design.sheet.size, "coloured", f"paper of {leaf.colour}")
    for colour in dict.fromkeys(patch.colour for patch in finish.patches):
        areas = [patch.area for patch in finish.patches if patch.colour == colour]
        yield _sheet_for(shapely.union_all(areas), None, "coloured", f"coloured paper, {colour}")
    for leaf in finish.stack:
        if leaf.below:
            length = float(leaf.cutting.paper.exterior.length)
            yield Material("foam", f"strips of foam, {leaf.below:g} mm high", (length, _STRIP))
    if finish.mounted is not None:
        yield from _of_mount(finish, finish.mounted)


def _of_mount(finish: Finish, laid: Mounted) -> Iterator[Material]:
    settings = finish.settings
    assert settings is not None
    if settings.mat is not None:
        yield Material("mat", f"mat board of {settings.mat.ply} ply, {settings.mat.colour}", laid.board)
    if settings.kind != "panes":
        yield Material("board", "board for the ground, 4 ply", laid.board)
        yield Material("board", "backing board", laid.board)
    if laid.panes:
        yield Material("glass", f"glass, {laid.glass:g} mm", laid.board, laid.panes)
    if finish.pads is not None:
        across = math.ceil(math.sqrt(len(finish.pads.pads))) * finish.pads.side
        yield Material(
            "foam",
            f"foam, {finish.pads.raise_:g} mm high, for {len(finish.pads.pads)} pads",
            (across, across),
        )
    if laid.spacer:
        around = 2 * (laid.board.width + laid.board.height)
        yield Material("spacer", f"spacer, {laid.spacer:.1f} mm high", (around, laid.spacer))
    if laid.frame is not None and settings.moulding is not None:
        wide = settings.moulding.width
        length = 2 * (laid.board.width + laid.board.height) + _MITRES * wide
        yield Material("frame", "moulding, its length and width", (length, wide))


def _sheet_of(cutting: Cutting, sheet: Sheet | None, kind: str, what: str) -> Material:
    outline = shapely.Polygon(cutting.paper.exterior)
    return _sheet_for(outline, sheet, kind, f"{what}, {_kind_of(cutting.stock)}")


def _sheet_for(area: shapely.Geometry, sheet: Sheet | None, kind: str, what: str) -> Material:
    """Return the sheet an area is cut from: the design's own, or the smallest of the A series."""
    x0, y0, x1, y1 = area.bounds
    width, height = x1 - x0, y1 - y0
    if sheet is not None and not sheet.holds(width, height):
        sheet = sheet.turned() if sheet.turned().holds(width, height) else None
    found = sheet or smallest_sheet_for(width, height, margin=_GRIP)
    size = (found.width, found.height) if found else (width + 2 * _GRIP, height + 2 * _GRIP)
    return Material(kind, what, size, 1, 1 - area.area / (size[0] * size[1]), "upright")


def _kind_of(stock: Stock) -> str:
    weight = f", {stock.grammage:g} g/m²" if stock.grammage else ""
    return f"{stock.faces.value}{weight}"


def _priced(
    price: PriceSettings | None, minutes: float, blades: int, materials: Sequence[Material]
) -> tuple[list[tuple[str, str, float]], list[Material]]:
    """Return what the price is made up of, and what has none."""
    if price is None:
        return [], []
    each = price.each
    lines = [("work", "work by hand", round(price.rate * minutes / 60, 2))]
    unpriced: list[Material] = []
    for one in [*materials, Material("blade", "blades", (0.0, 0.0), blades)]:
        if one.kind in each:
            lines.append((one.kind, one.what, round(one.count * each[one.kind], 2)))
        else:
            unpriced.append(one)
    return [*lines, *([("more", "all else", price.more)] if price.more else [])], unpriced
