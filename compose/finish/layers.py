"""Further cut sheets: each a plate of its own in the piece's outline, and the stack they make."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon

from canivet.audit.strength import StrengthReport
from canivet.compose.design.loading import Design, Layer
from canivet.compose.design.motif_table import UsedMotif
from canivet.compose.plate import Plate, compose_plate
from canivet.cutting import Cutting
from canivet.errors import CanivetError, DoesNotFit
from canivet.lengths import counted, format_mm
from canivet.motifs.shapes.openings import openings_in

__all__ = ["Leaf", "hidden_openings", "layer_name", "register_marks", "stack_of"]

_OUT = 6.0
"""mm from the piece's bounds to the marks of its register."""

_MARKS = ((0.06, 0.0), (0.80, 0.0), (0.0, 0.72), (1.0, 0.30))
"""Where marks stand, as shares of the bounds' sides, each outside the side that it lies on: no turn and no
mirror lays them on each other."""


@dataclass(frozen=True, slots=True, eq=False)
class Leaf:
    """One sheet of a finished piece.

    Attributes
    ----------
    name : str
        ``piece`` or ``layer-1`` …
    cutting : Cutting
        mm, in the piece's own place.
    report : StrengthReport
    colour : str or None
        ``#rrggbb``; None of the piece, which is as its paper is.
    below : float
        mm from its back to the front of the sheet behind it, or to what the last one lies on.
    remarks : tuple of str
        What was done to it.
    """

    name: str
    cutting: Cutting
    report: StrengthReport
    colour: str | None = None
    below: float = 0.0
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _DrawnOutline(UsedMotif):
    """An outline that is drawn already: that of the piece."""

    area: Polygon

    def draw(self, **_: Any) -> Polygon:
        return self.area


def stack_of(design: Design, plate: Plate, size: tuple[float, float]) -> tuple[Leaf, ...]:
    """Draw every layer of a design, and return the sheets from the front one back.

    Parameters
    ----------
    design : Design
    plate : Plate
        The piece itself, drawn.
    size : (float, float)
        At which it was drawn, mm.

    Returns
    -------
    tuple of Leaf
        What a layer holds at is in its own report: one that does not hold is among them.

    Raises
    ------
    CanivetError
        If a layer cannot be drawn, or is larger than the piece; its number is in the sentence.
    """
    before: list[tuple[Leaf, float]] = []
    behind: list[tuple[Leaf, float]] = []
    for number, layer in enumerate(design.layer, start=1):
        try:
            leaf = _leaf(layer, number, design, plate, size)
        except CanivetError as error:
            error.message = f"layer.{number}: {error.message}"
            error.args = (error.message,)
            raise
        (behind if layer.behind else before).append((leaf, layer.gap))
    piece = Leaf("piece", plate.cutting, plate.report, remarks=plate.remarks)
    forward = [replace(leaf, below=gap) for leaf, gap in before]
    back = [leaf for leaf, _ in behind]
    gaps = [gap for _, gap in behind]  # each lies so far behind what is before it
    backward = [replace(leaf, below=gap) for leaf, gap in zip(back, [*gaps, 0.0][1:], strict=True)]
    piece = replace(piece, below=gaps[0] if gaps else 0.0)
    return (*forward[::-1], piece, *backward)


def layer_name(number: int) -> str:
    """Return what the layer that is listed so far down is called, in names of files too."""
    return f"layer-{number}"


def _leaf(layer: Layer, number: int, design: Design, plate: Plate, size: tuple[float, float]) -> Leaf:
    own, outline = layer.design, plate.parts.outline
    same = own.size == design.size
    if same:
        own = own.model_copy(update={"outline": _DrawnOutline(own.outline.motif, {}, outline)})
    drawn = compose_plate(own, size if same else own.size[0])
    paper = drawn.cutting.paper
    if not same:
        paper = _centred(paper, outline, own.size[0])
    cutting = replace(drawn.cutting, paper=paper)
    return Leaf(layer_name(number), cutting, drawn.report, layer.colour, remarks=drawn.remarks)


def _centred(paper: Polygon, outline: Polygon, size: tuple[float, float]) -> Polygon:
    x0, y0, x1, y1 = outline.bounds
    moved: Polygon = affinity.translate(paper, (x0 + x1 - size[0]) / 2, (y0 + y1 - size[1]) / 2)
    if outline.buffer(1e-6).covers(moved):
        return moved
    whole = f"{format_mm(x1 - x0, 1)} × {format_mm(y1 - y0, 1)} mm"
    raise DoesNotFit(
        f"it is {format_mm(size[0], 1)} × {format_mm(size[1], 1)} mm and reaches over the piece of {whole}; "
        "a layer lies within it. Leave its size out, or make it smaller.",
        parameter="size", value=size, accepted=f"at most {whole}",
    )  # fmt: skip


def hidden_openings(stack: Sequence[Leaf]) -> list[str]:
    """Say of each sheet which of its openings lie wholly under sheets before it: they need not be cut.

    Examples
    --------
    >>> from shapely import box
    >>> from canivet.audit.strength import check_strength
    >>> card = box(0, 0, 30, 20)
    >>> papers = [card - box(2, 2, 14, 18), card - box(4, 4, 9, 9) - box(20, 4, 26, 9)]
    >>> sheets = [(Cutting(paper, 2, "Card"), check_strength(paper, strap=2)) for paper in papers]
    >>> hidden_openings([Leaf(f"layer-{k}", *sheet) for k, sheet in enumerate(sheets)])
    ['layer-1: 1 opening lies wholly under the sheets before it and need not be cut, near (23, 6.5) mm']
    """
    told = []
    for k, leaf in enumerate(stack[1:], start=1):
        over = shapely.union_all([before.cutting.paper for before in stack[:k]])
        shapely.prepare(over)
        openings = openings_in(leaf.cutting.paper)
        hidden = openings[shapely.covers(over, openings)]
        if len(hidden):
            at = hidden[0].representative_point()
            lie = "lies" if len(hidden) == 1 else "lie"
            told.append(
                f"{leaf.name}: {counted(len(hidden), 'opening')} {lie} wholly under the sheets before it and "
                f"need not be cut, near ({format_mm(at.x, 1)}, {format_mm(at.y, 1)}) mm"
            )
    return told


def register_marks(outline: Polygon) -> tuple[tuple[float, float], ...]:
    """Return where the marks stand by which the sheets of a piece come to lie right, outside it, mm.

    The same on every sheet, and so placed that a sheet turned round or over cannot lie on them.

    Examples
    --------
    >>> from shapely import box
    >>> [tuple(round(side, 2) for side in mark) for mark in register_marks(box(0, 0, 100, 150))]
    [(6.0, -6.0), (80.0, -6.0), (-6.0, 108.0), (106.0, 45.0)]
    """
    x0, y0, x1, y1 = outline.bounds
    marks = np.array([(x0 + u * (x1 - x0), y0 + v * (y1 - y0)) for u, v in _MARKS])
    marks[:2, 1] -= _OUT
    marks[2, 0] -= _OUT
    marks[3, 0] += _OUT
    return tuple((float(x), float(y)) for x, y in marks)
