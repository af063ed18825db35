"""A plate put together: outline, border, ground and silhouettes, made to hold.

Openings first. Border and ground give their openings; a silhouette that is welded on takes its own area
out of them, one that is subtracted adds its area to them. What remains of an opening beside a silhouette is
rounded and its slivers are dropped, which only ever adds paper. Then the whole is audited, and mended where
the audit says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import shapely
from shapely import box
from shapely.geometry import Polygon

from canivet.audit.again import keep_measures
from canivet.audit.boundary import Paper
from canivet.audit.strength import StrengthReport
from canivet.compose.design.loading import Design
from canivet.compose.joining.parts import Bridge
from canivet.cutting import Cutting
from canivet.doing import doing
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.folding.packet import PacketPlan
from canivet.motifs.shapes.openings import openings_in

from .figures.clearing import clear_ground, halo_round, level_ties
from .figures.drawing import draw_figures
from .folded.designed import fold_design
from .folded.piece import FoldedPiece
from .framing import DrawnFrame, lay_ground
from .holding import hold_with_words
from .openings import Openings
from .words.adding import add_lettering
from .words.lettering import PlacedLettering
from .words.wording import Alike, draw_with_words, letter_own_panel, no_larger

__all__ = ["Plate", "PlateParts", "compose_plate"]

_COVERED = 0.02
"""Share of a silhouette that a panel may lie over without being told."""

_TOUCH = 0.01
"""mm² that two panels may share by rounding."""


@dataclass(frozen=True, slots=True, eq=False)
class PlateParts:
    """What a plate was put together from, by role; mm, where each lies on the plate.

    Attributes
    ----------
    outline : Polygon
        The solid piece.
    window : Polygon
        Where silhouettes go.
    openings : Openings
        What was cut away before the whole was made to hold, with the part that each belongs to.
    silhouettes : tuple of Polygon or MultiPolygon
        In the order of the design; paper where they stay, an opening where they are cut out.
    lettering : tuple of PlacedLettering
        In the order of the design.
    bridges : tuple of Bridge
        Laid to hold what was loose.
    """

    outline: Polygon
    window: Polygon
    openings: Openings
    silhouettes: tuple[Paper, ...] = ()
    lettering: tuple[PlacedLettering, ...] = ()
    bridges: tuple[Bridge, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Plate:
    """A composed plate: the cutting, its audit, what was done to make it hold, and its parts by role.

    Of a folded piece there is the packet too, to fold and cut it from.
    """

    cutting: Cutting
    report: StrengthReport
    remarks: tuple[str, ...]
    parts: PlateParts
    packet: PacketPlan | None = None

    def openings(self) -> Openings:
        """Return what is cut away of the finished piece, each opening with the part it belongs to."""
        paper = self.cutting.paper
        assert isinstance(paper, Polygon)
        return self.parts.openings.as_cut(paper)


def compose_plate(
    design: Design, size: tuple[float, float] | None = None, *, alike: Alike | None = None
) -> Plate:
    """Draw a design at one size and make it hold.

    Parameters
    ----------
    design : Design
        From `load_design`.
    size : (float, float), optional
        Width and height in mm; the design's first size if not given. Straps, rims and smallest openings
        stay in millimetres at every size, and repeats are counted anew.
    alike : Alike, optional
        How its words are set, chosen for all plates of a series together.

    Returns
    -------
    Plate
        Its report may say that the plate does not hold; then it is not to be cut.

    Raises
    ------
    CanivetError
        If something cannot be read or does not fit.
    """
    if design.fold is not None:
        return _folded(fold_design(design, size or design.size[0]))
    width, height = size or design.size[0]
    apart = [alike.told] if alike is not None and alike.told else []
    if alike is not None and apart:
        design = no_larger(design, alike)
    doing("drawing the frame and the words in it" if design.frame else "drawing outline and border")
    worded = draw_with_words(design, width=width, height=height, alike=alike)
    frame = worded.surround
    outline, window = frame.outline, frame.window
    figures, told = draw_figures(design, outline, window)
    remarks = [*told]
    remarks += [*apart, *worded.remarks]
    cleared = [
        clear_ground(area, max(placed.margin, placed.halo), window)
        for area, placed in zip(figures, design.silhouette, strict=True)
        if placed.margin or placed.halo  # a ground cut off by a halo alone would end in stubs
    ]
    words_placed: list[PlacedLettering] = []
    for k, words in enumerate(design.lettering):
        doing(f"setting {words.text!r}")
        words_placed.append(worded.words.get(k) or letter_own_panel(design, k, window, alike=alike))
    doing("laying the ground")
    panels = [Polygon(placed.paper.exterior) for placed in words_placed]
    cleared += [
        clear_ground(panel, words.halo, window)
        for panel, words in zip(panels, design.lettering, strict=True)
        if words.halo and panel.intersects(window)
    ]
    openings = lay_ground(design, frame, cleared, panels)
    lettered: list[PlacedLettering] = []
    for placed_words in words_placed:
        remarks += placed_words.remarks
        remarks += _covered(design, placed_words, figures)
        _require_apart(placed_words, lettered, outline, design)
        lettered.append(placed_words)
    for kind, k in design.laid_in_order:
        if kind == "silhouette":
            openings = _stand(design, k, figures[k], openings, frame)
        else:
            openings = _word(design, k, lettered[k], openings, frame)
    held = hold_with_words(design, outline, openings, figures, drawn=partial(_paper, outline, design))
    # what looks at the plate next, as its files are written, goes on from what was measured of it here
    keep_measures("plate", held.paper, design.strap, held.known.copy())
    cutting = Cutting(
        paper=held.paper, strap=design.strap, title=design.title, description=design.description,
        stock=design.paper.stock(), sheet=design.sheet.size,
        face=str(design.folder / design.sheet.face) if design.sheet.face else None,
    )  # fmt: skip
    parts = PlateParts(outline, window, openings, tuple(figures), tuple(lettered), held.bridges)
    return Plate(cutting, held.report, (*remarks, *held.remarks), parts)


def _stand(design: Design, k: int, area: Paper, openings: Openings, frame: DrawnFrame) -> Openings:
    """Return the openings with one silhouette among them, and the white round it."""
    placed, role = design.silhouette[k], f"silhouette-{k + 1}"
    if placed.mode == "cut out":
        return openings.and_of(shapely.get_parts(area), role)
    openings = openings.with_figure(area, role, smallest=design.smallest_opening)
    if not placed.halo:
        return openings
    within = frame.window if placed.over != "border" else frame.outline.buffer(-design.needed)
    paper = frame.outline.difference(shapely.union_all(openings.areas))
    halo = halo_round(area, placed, paper, within, strap=design.needed)
    return openings.and_of(halo, role)


def _word(design: Design, k: int, placed: PlacedLettering, openings: Openings, frame: DrawnFrame) -> Openings:
    """Return the openings with one lettering among them, and the white round its panel."""
    words, role = design.lettering[k], f"lettering-{k + 1}"
    openings = add_lettering(openings, placed, smallest=design.smallest_opening, role=role)
    if not words.halo:
        return openings
    paper = frame.outline.difference(shapely.union_all(openings.areas))
    panel = Polygon(placed.paper.exterior)
    ties = level_ties(panel, paper, words.halo, strap=design.needed)
    for tie in ties:
        openings = openings.without(tie, smallest=design.smallest_opening, exactly=True)
    halo = halo_round(panel, words, paper, frame.window, strap=design.needed, ties=ties)
    return openings.and_of(halo, role)


def _folded(piece: FoldedPiece) -> Plate:
    """Return a folded piece as a plate: what is cut of it is its wedge's."""
    paper = piece.cutting.paper
    assert isinstance(paper, Polygon)
    outline = Polygon(paper.exterior)
    parts = PlateParts(outline, outline, Openings.of(openings_in(paper), "wedge"))
    return Plate(piece.cutting, piece.report, piece.remarks, parts, piece.packet)


def _covered(design: Design, words: PlacedLettering, figures: Sequence[Paper]) -> list[str]:
    """Say which silhouettes a panel of lettering lies over, and whether their heads are under it.

    What is plain paper all under the panel, as a cartouche's field, carries the words.
    """
    told = []
    for placed, figure in zip(design.silhouette, figures, strict=True):
        under = figure.intersection(words.panel)
        if under.area > _COVERED * figure.area and not figure.covers(words.panel):
            low, high = figure.bounds[1], figure.bounds[3]
            head = figure.intersection(box(*figure.bounds[:1], high - (high - low) / 5, *figure.bounds[2:]))
            hidden = words.panel.intersection(head).area > head.area / 2
            told.append(
                f"{words.letters.text!r}: its panel covers {under.area / figure.area:.0%} of {placed.name}"
                + (", its head among that" if hidden else "")
                + ". Move one of them if that is not meant"
            )
    return told


def _require_apart(
    placed: PlacedLettering, before: Sequence[PlacedLettering], outline: Polygon, design: Design
) -> None:
    """Refuse words whose panel reaches into the edge of the piece or over words set before."""
    text = placed.letters.text
    edge = outline.buffer(-design.needed)
    if not edge.covers(placed.panel):
        at = placed.panel.difference(edge).representative_point()
        raise DoesNotFit(
            f"the panel of {text!r} reaches over the edge of the plate, of which "
            f"{format_mm(design.needed)} mm must stay, near ({format_mm(at.x, 1)}, {format_mm(at.y, 1)}) mm. "
            "Make it smaller, or move it with at or offset.",
            parameter="lettering", at=(at.x, at.y),
        )  # fmt: skip
    for other in before:
        if Polygon(placed.paper.exterior).intersection(other.panel).area > _TOUCH:
            raise DoesNotFit(
                f"the panel of {text!r} lies over that of {other.letters.text!r}. Move one of them with at "
                "or offset, or make it smaller.",
                parameter="lettering",
            )  # fmt: skip


def _paper(outline: Polygon, design: Design, openings: Openings) -> Paper:
    """Return what stays. Disjoint, solid openings clear of the edge need no difference at all."""
    solid = shapely.get_num_interior_rings(openings.areas) == 0
    if not any(s.mode == "cut out" for s in design.silhouette) and solid.all():
        holes = shapely.get_exterior_ring(openings.areas)
        paper: Polygon = shapely.polygons(outline.exterior, holes)
        if paper.is_valid:
            return paper
    whole: Paper = outline.difference(shapely.union_all(openings.areas))
    return whole
