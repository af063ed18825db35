"""What stands on a packet's template: the wedge, its edges by name, and pictures of how to fold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.affinity import affine_transform
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.audit.boundary import shrunk
from canivet.lengths import format_length
from canivet.sheets import Sheet
from canivet.stock import Stock

from .fold import Edge, Fold
from .limits import Packet, check_packet, compensate_creep, creep_map, measure_packet
from .steps import Step, mirror_across, place
from .unfolding import CutAreas, kept_of, parts_of, unfold

__all__ = ["PacketPlan", "StepPicture", "describe_edge", "plan_packet"]

_FAR = 1e4


@dataclass(frozen=True, slots=True, eq=False)
class StepPicture:
    """One picture of the strip: the packet as it lies, the lines to fold along, and the way the paper goes.

    Attributes
    ----------
    packet : geometry
        Outline, mm.
    lines : tuple of (LineString, bool)
        Each with whether it is a valley.
    turn : LineString or None
        From the middle of what moves to where that comes to lie.
    words : str
        What to do.
    """

    packet: BaseGeometry
    lines: tuple[tuple[LineString, bool], ...]
    turn: LineString | None
    words: str


@dataclass(frozen=True, slots=True, eq=False)
class PacketPlan:
    """All that a packet's template shows. Geometry in mm.

    Attributes
    ----------
    fold : Fold
        How the sheet is folded.
    piece : Polygon
        The opened piece, as designed.
    openings : tuple of Polygon
        What is cut out of the wedge, moved for creep where that was asked for.
    kept : Polygon
        The part of the wedge inside its shaped open edge.
    pictures : tuple of StepPicture
        From the sheet to the packet.
    packet : Packet
        Layers, thickness, and advice.
    strap : float
        The piece holds at it.
    title : str
        What it is called.
    stock : Stock
        What it is cut from.
    notes : tuple of str
        Sentences for the page.
    sheet : Sheet or None
        The page that is asked for; None for the smallest that takes it.
    """

    fold: Fold
    piece: Polygon
    openings: tuple[Polygon, ...]
    kept: Polygon
    pictures: tuple[StepPicture, ...]
    packet: Packet
    strap: float
    title: str
    stock: Stock
    notes: tuple[str, ...]
    sheet: Sheet | None = None


def plan_packet(
    fold: Fold,
    openings: CutAreas,
    *,
    title: str,
    strap: float = 1.2,
    smallest: float = 0.4,
    rim: float | None = None,
    edge: Polygon | None = None,
    stock: Stock | None = None,
    compensate: bool = False,
    notes: Sequence[str] = (),
) -> PacketPlan:
    """Unfold a wedge, and gather what its template needs.

    Parameters
    ----------
    fold, openings, strap, smallest, rim, edge
        As for `unfold`.
    title : str
        What the piece is called.
    stock : Stock or None
        What it is cut from; None for paper of 90 g/m².
    compensate : bool
        Whether the template's openings are moved off the folds by what the bends take.
    notes : sequence of str
        Further sentences for the page.

    Returns
    -------
    PacketPlan

    Raises
    ------
    BadValue, DoesNotFit
        As `unfold` does, and where the packet has too many layers for the paper.

    Examples
    --------
    >>> from shapely import Point
    >>> from canivet.motifs.folding.folds import quarter_fold
    >>> plan = plan_packet(quarter_fold(), Point(90, 90).buffer(9), title="Moon")
    >>> [picture.words for picture in plan.pictures][-1]
    'Cut through all 4 layers, then open.'
    """
    stock = Stock() if stock is None else stock
    check_packet(fold, stock)
    parts = parts_of(openings)
    piece = unfold(fold, parts, strap=strap, smallest=smallest, rim=rim, edge=edge)
    drawn = compensate_creep(fold, parts, stock) if compensate else parts
    packet = measure_packet(fold, stock)
    return PacketPlan(
        fold=fold, piece=piece, openings=tuple(drawn), kept=kept_of(fold, edge), pictures=_pictures(fold),
        packet=packet,
        strap=strap, title=title, stock=stock, notes=(*notes, *_notes(fold, packet, stock, compensate)),
    )  # fmt: skip


def describe_edge(edge: Edge) -> str:
    """Return what is written beside an edge of the wedge."""
    return {
        "fold": "fold: never cut along it",
        "open": "open edges",
        "mixed": "folds, open in the outer panels",
    }[edge.role]


def _pictures(fold: Fold) -> tuple[StepPicture, ...]:
    pictures = []
    for before, stage in zip(fold.folding.packets, fold.stages, strict=False):
        lines = [(line, step.over) for step in stage.steps for line in _across(before, step)]
        pictures.append(StepPicture(before, tuple(lines), _turn(before, stage.steps), stage.words))
    words = f"Cut through all {fold.layers} layers, then open."
    pictures.append(StepPicture(fold.folding.packets[-1], (), None, words))
    return tuple(pictures)


def _across(packet: BaseGeometry, step: Step) -> list[LineString]:
    """Return the fold line as far as it crosses the packet."""
    (x, y), (dx, dy) = step.at, step.along
    line = LineString([(x - dx * _FAR, y - dy * _FAR), (x + dx * _FAR, y + dy * _FAR)])
    inner = line.intersection(shrunk(packet, 1e-3)[0])
    if inner.is_empty:
        return []
    return [part for part in shapely.get_parts(line.intersection(packet)) if part.length > 1e-3]


def _turn(packet: BaseGeometry, steps: Sequence[Step]) -> LineString | None:
    """Return the way from the middle of what the first fold moves to where it comes to lie."""
    for step in steps:
        (x, y), (dx, dy) = step.at, step.along
        left = Polygon(
            [(x - dx * _FAR, y - dy * _FAR), (x + dx * _FAR, y + dy * _FAR),
             (x + (dx - dy) * _FAR, y + (dy + dx) * _FAR), (x - (dx + dy) * _FAR, y - (dy - dx) * _FAR)]
        )  # fmt: skip
        moving = packet.intersection(left)
        if moving.area > 1e-3:
            start = moving.centroid
            end = place(start, mirror_across(step.at, step.along))
            return LineString([start, end])
    return None


def _notes(fold: Fold, packet: Packet, stock: Stock, compensate: bool) -> tuple[str, ...]:
    creep = ""
    if packet.creep >= 0.005:
        creep = (
            "; between the inner and the outer layer the design creeps by up to "
            f"{format_length(packet.creep, 2)}"
        )
    notes = [
        packet.advice,
        f"Bends take up {format_length(packet.used, 1)} of paper in all{creep}.",
    ]
    if compensate:
        a, b, c, d, e, f = creep_map(fold, stock)
        middle = fold.wedge.centroid
        moved = affine_transform(middle, (a, b, c, d, e, f))
        notes.append(
            f"Openings are drawn {format_length(middle.distance(moved), 2)} off the folds to make up for it."
        )
    if fold.hem:
        notes.append(
            f"Let the end strips of {format_length(fold.hem, 1)} stand out past the folds; they are not cut."
        )
    return tuple(notes)
