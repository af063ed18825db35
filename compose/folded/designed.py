"""The folded piece that a design asks for."""

from __future__ import annotations

from dataclasses import replace

from canivet.audit.strength import check_strength
from canivet.compose.design.loading import Design

from .piece import FoldedPiece, Promise, fold_piece, folding_stock

__all__ = ["fold_design"]


def fold_design(design: Design, size: tuple[float, float]) -> FoldedPiece:
    """Fold and cut a design at one size, and audit what opens.

    Parameters
    ----------
    design : Design
        With a ``fold`` table.
    size : (float, float)
        Of the open sheet, or of one panel where the sheet is folded both ways, mm.

    Returns
    -------
    FoldedPiece
        Drawn with straps as wide as the design needs them with its slip, audited at what it promises; its
        lower left corner is at the origin.

    Raises
    ------
    CanivetError
        As `fold_piece`.
    """
    assert design.fold is not None
    given = design.paper
    own = given.stock() if given.grammage is not None or given.thickness is not None else None
    rim = design.rim if "rim" in design.model_fields_set else None
    piece = fold_piece(
        design.fold, Promise(design.needed, design.smallest_opening, rim),
        stock=folding_stock(design.fold, given.faces) if own is None else own,
        size=size, title=design.title, description=design.description, folder=design.folder,
    )  # fmt: skip
    paper = piece.cutting.paper
    sheet = design.sheet
    face = str(design.folder / sheet.face) if sheet.face else None
    cutting = replace(piece.cutting, paper=paper, strap=design.strap, sheet=sheet.size, face=face)
    report = check_strength(paper, strap=design.strap, slip=design.slip, smallest=design.smallest_opening)
    return replace(piece, cutting=cutting, report=report)
