"""A folded piece from what is asked of it: the fold, what is cut in its wedge, and what opens."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from shapely import Polygon
from shapely.affinity import translate

from canivet.audit.strength import StrengthReport, check_strength
from canivet.compose.design.folding import FoldSettings
from canivet.cutting import Cutting
from canivet.motifs.folding.flat_sheets import flat_sheet
from canivet.motifs.folding.fold import Fold, WedgeDrawing
from canivet.motifs.folding.folds import check_sheet
from canivet.motifs.folding.kinds import TAKERS, fold_of_kind, snip_note, snipped_star, usual_rim
from canivet.motifs.folding.packet import PacketPlan, plan_packet
from canivet.motifs.folding.weak import DoesNotHold
from canivet.motifs.folding.wedge.letters import letter_wedge
from canivet.motifs.folding.wedge.rings import USUAL_RINGS, draw_rings, seeded_rings
from canivet.stock import Faces, Stock

from .own_wedges import figure_from_file, staying_figure, wedge_from_file

__all__ = ["FoldedPiece", "Promise", "fold_piece", "folding_stock"]


@dataclass(frozen=True, slots=True)
class Promise:
    """What a folded piece keeps to. Lengths in mm.

    Attributes
    ----------
    strap : float
        Narrowest paper left.
    smallest : float
        Radius of the smallest opening that is drawn.
    rim : float or None
        Paper along an open edge; None for a strap and a half, or the usual rim of a flat sheet.
    audited : float or None
        Radius of the smallest opening that is let pass in a drawing of one's own; None for `smallest`.
    """

    strap: float
    smallest: float = 0.5
    rim: float | None = None
    audited: float | None = None


@dataclass(frozen=True, slots=True)
class FoldedPiece:
    """An opened piece with its audit.

    Attributes
    ----------
    cutting : Cutting
        The piece, opened; or cut flat. Its lower left corner is at the origin.
    report : StrengthReport
        Its audit. A piece that does not hold is not to be cut.
    packet : PacketPlan or None
        How to fold and cut it; None where it is cut flat, or does not hold.
    remarks : tuple of str
        What was not read faithfully of a drawing, and what the packet's page says of the paper.
    fault : str
        Why it does not hold, in a sentence; empty where it does.
    """

    cutting: Cutting
    report: StrengthReport
    packet: PacketPlan | None = None
    remarks: tuple[str, ...] = ()
    fault: str = ""


def folding_stock(asked: FoldSettings, faces: Faces, thickness: float | None = None) -> Stock:
    """Return the paper a piece is made of: of the thickness its kind is usually folded from, unless given.

    Examples
    --------
    >>> folding_stock(FoldSettings(kind="p6mm"), Faces.PLAIN).thickness
    0.04
    """
    usual = 0.1 if asked.flat else asked.folded.thickness
    return Stock.of(faces, thickness=usual if thickness is None else thickness)


def fold_piece(
    asked: FoldSettings,
    promise: Promise,
    *,
    stock: Stock,
    size: tuple[float, float] | None = None,
    title: str | None = None,
    description: str | None = None,
    folder: Path = Path(),
) -> FoldedPiece:
    """Fold a sheet, cut its wedge as asked, and open it.

    Parameters
    ----------
    asked : FoldSettings
        What is folded and cut.
    promise : Promise
        The widths it keeps.
    stock : Stock
        The paper.
    size : (float, float) or None
        Of the open sheet, or of one panel where the sheet is folded both ways, mm; None for the kind's own.
    title, description : str or None
        None for what the fold is called, and how many layers it has.
    folder : Path
        Where the drawings lie that it is made from.

    Returns
    -------
    FoldedPiece
        Its report may say that it does not hold; then it has no packet.

    Raises
    ------
    CanivetError
        If something cannot be read, does not fit, or cannot be folded or cut.

    Examples
    --------
    >>> moon = fold_piece(FoldSettings(kind="quarter"), Promise(1.5), stock=Stock.of(thickness=0.1))
    >>> moon.report.holds, moon.packet.fold.layers
    (True, 4)
    """
    if asked.flat:
        return _flat(asked, promise, stock, size, title, description)
    # About a figure that stays there is no open edge but its own outline.
    usual = promise.strap if asked.stays else usual_rim(promise.strap)
    rim = usual if promise.rim is None else promise.rim
    fold, drawing, told = _drawn(asked, promise, rim, size, folder)
    if asked.paper is not None:
        check_sheet(fold, asked.paper)
    named = title or fold.name
    described = description or f"A {fold.name} of {fold.layers} layers."
    try:
        plan = plan_packet(
            fold, drawing.openings, title=named, strap=promise.strap, rim=rim, edge=drawing.kept,
            smallest=promise.smallest if promise.audited is None else promise.audited,
            stock=stock, compensate=asked.creep, notes=_notes(asked, fold),
        )  # fmt: skip
    except DoesNotHold as error:
        weak = Cutting(at_corner(error.paper), promise.strap, named, described, stock)
        audited = error.report
        report = check_strength(weak.paper, strap=audited.strap, slip=audited.slip, smallest=audited.smallest)
        return FoldedPiece(weak, report, remarks=told, fault=error.message)
    cutting = Cutting(at_corner(plan.piece), promise.strap, named, described, stock)
    report = check_strength(cutting.paper, strap=promise.strap)
    return FoldedPiece(cutting, report, replace(plan, sheet=asked.sheet), (*told, *plan.notes))


def at_corner(paper: Polygon) -> Polygon:
    """Return paper with its lower left corner at the origin, where places are counted from.

    Examples
    --------
    >>> from shapely import box
    >>> at_corner(box(-5, 3, 5, 9)).bounds
    (0.0, 0.0, 10.0, 6.0)
    """
    x, y = paper.bounds[:2]
    return translate(paper, -x, -y)


def _notes(asked: FoldSettings, fold: Fold) -> tuple[str, ...]:
    return (snip_note(fold.layers // 2),) if asked.folded.snipped else ()


def _drawn(
    asked: FoldSettings, promise: Promise, rim: float, size: tuple[float, float] | None, folder: Path
) -> tuple[Fold, WedgeDrawing, tuple[str, ...]]:
    """Return the fold, what is cut in its wedge, and what was not read faithfully of a file."""
    kept = {"strap": promise.strap, "smallest": promise.smallest, "rim": rim}
    if asked.folded.snipped:
        fold, star = snipped_star(size=size, count=asked.count)
        pierced = asked.rings or asked.seed is not None or asked.eye or asked.gap
        return fold, _ringed(asked, fold, kept, star.kept) if pierced else star, ()
    fold = fold_of_kind(asked.kind, size=size, **{name: getattr(asked, name) for name in TAKERS})
    if asked.words is not None:
        cut = letter_wedge(fold, asked.words, mirrored=asked.mirrored, **kept)
        return fold, WedgeDrawing(tuple(cut)), ()
    if asked.wedge is not None:
        return fold, *wedge_from_file(folder / asked.wedge, fold, at=asked.at, width=asked.width)
    if asked.figure is not None and asked.stays:
        del kept["rim"]
        return fold, *staying_figure(folder / asked.figure, fold, at=asked.at, width=asked.width, **kept)
    if asked.figure is not None:
        return fold, *figure_from_file(folder / asked.figure, fold, at=asked.at, width=asked.width, **kept)
    return fold, _ringed(asked, fold, kept), ()


def _ringed(
    asked: FoldSettings, fold: Fold, promised: Mapping[str, Any], kept: Polygon | None = None
) -> WedgeDrawing:
    """Return rings of motifs in a wedge, or in what is kept of it."""
    rings = asked.rings or USUAL_RINGS if asked.seed is None else seeded_rings(fold, asked.seed)
    return draw_rings(
        fold, rings, eye=asked.eye or 0.0, gap=asked.gap or 0.0, border=asked.border, kept=kept, **promised
    )


def _flat(
    asked: FoldSettings,
    promise: Promise,
    stock: Stock,
    size: tuple[float, float] | None,
    title: str | None,
    description: str | None,
) -> FoldedPiece:
    """Draw a plane group unfolded."""
    sides = {} if size is None else dict(zip(("width", "height"), size, strict=True))
    paper = flat_sheet(asked.kind, strap=promise.strap, rim=promise.rim, **sides)
    named = title or f"{asked.kind}, cut flat"
    paper = at_corner(paper)
    cutting = Cutting(paper, promise.strap, named, description or "An all-over pattern, cut unfolded.", stock)
    return FoldedPiece(cutting, check_strength(paper, strap=promise.strap))
