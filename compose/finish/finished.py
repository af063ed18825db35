"""A piece finished: its sheets, the patches behind it, its mount and pads, and what to say of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from canivet.audit.sag import longest_for_sag
from canivet.compose.design.finishing import MountSettings
from canivet.compose.design.loading import Design
from canivet.compose.openings import Openings
from canivet.compose.plate import Plate
from canivet.lengths import counted, format_mm
from canivet.stock import Faces

from .choosing import choose_openings
from .layers import Leaf, hidden_openings, stack_of
from .mounting import Mounted, lay_mount
from .pads import Pads, place_pads
from .patches import NarrowGlue, Patch, lay_patches

__all__ = ["Finish", "asks_for_finish", "bare_finish", "finish_plate", "narrow_in_words"]

_MOST_TOLD = 6
"""Narrow places and overhangs told one by one."""


@dataclass(frozen=True, slots=True, eq=False)
class Finish:
    """All that makes a cutting a finished piece.

    Attributes
    ----------
    plate : Plate
        The piece itself.
    stack : tuple of Leaf
        Its sheets from the front one back, the piece among them.
    openings : Openings
        Of the piece, each with its part.
    patches : tuple of Patch
    narrow : tuple of NarrowGlue
        Where patches have little to be glued by.
    settings : MountSettings or None
    mounted : Mounted or None
    pads : Pads or None
    remarks : tuple of str
        What its maker should know.
    """

    plate: Plate
    stack: tuple[Leaf, ...]
    openings: Openings
    patches: tuple[Patch, ...] = ()
    narrow: tuple[NarrowGlue, ...] = ()
    settings: MountSettings | None = None
    mounted: Mounted | None = None
    pads: Pads | None = None
    remarks: tuple[str, ...] = ()

    @property
    def layers(self) -> tuple[Leaf, ...]:
        """Return the other sheets, from the front."""
        return tuple(leaf for leaf in self.stack if leaf.name != "piece")

    @property
    def holds(self) -> bool:
        """Whether every sheet holds."""
        return all(leaf.report.holds for leaf in self.stack)


def asks_for_finish(design: Design) -> bool:
    """Say whether a design asks for anything beside the piece itself."""
    return bool(design.patch or design.layer or design.mount)


def finish_plate(design: Design, plate: Plate, size: tuple[float, float]) -> Finish:
    """Work out all that a design asks for beside the piece itself.

    Parameters
    ----------
    design : Design
    plate : Plate
        Its piece, drawn and holding.
    size : (float, float)
        At which, mm.

    Raises
    ------
    CanivetError
        If anything of it cannot be done, with its key.
    """
    openings = plate.openings()
    stack = stack_of(design, plate, size)
    patches, narrow = _patched(design, plate, openings)
    remarks = [f"{leaf.name}: {said}" for leaf in stack if leaf.name != "piece" for said in leaf.remarks]
    remarks += [*hidden_openings(stack), *narrow_in_words(narrow)]
    mount = design.mount
    if mount is None:
        return Finish(plate, stack, openings, patches, narrow, remarks=tuple(remarks))
    thickness = sum(leaf.cutting.stock.thickness for leaf in stack)
    x0, y0, x1, y1 = plate.parts.outline.bounds
    mounted = lay_mount(
        mount, (x1 - x0, y1 - y0), thickness=thickness, stack=sum(leaf.below for leaf in stack)
    )
    pads = _padded(mount, stack[-1]) if mount.kind == "raised" else None
    remarks += [*mounted.remarks, *_of_mount(design, plate, openings, mount), *_of_pads(pads)]
    return Finish(plate, stack, openings, patches, narrow, mount, mounted, pads, tuple(remarks))


def bare_finish(plate: Plate) -> Finish:
    """Return a piece with nothing beside it, as the finished view takes it."""
    return Finish(plate, (Leaf("piece", plate.cutting, plate.report),), plate.openings())


def narrow_in_words(narrow: Sequence[NarrowGlue]) -> list[str]:
    """Return a sentence for each place that is too narrow to glue, the rest counted."""
    told = [
        f"patch {one.number}: only {format_mm(one.width, 2)} mm to glue by at ({format_mm(one.at[0], 1)}, "
        f"{format_mm(one.at[1], 1)}) mm, along {format_mm(one.length, 0)} mm"
        for one in narrow[:_MOST_TOLD]
    ]
    more = len(narrow) - _MOST_TOLD
    return [*told, f"and {counted(more, 'place')} more where a patch is narrow to glue"] if more > 0 else told


def _patched(
    design: Design, plate: Plate, openings: Openings
) -> tuple[tuple[Patch, ...], tuple[NarrowGlue, ...]]:
    if not design.patch:
        return (), ()
    outline = plate.parts.outline
    of = choose_openings(design.patch, openings, outline, silhouettes=design.silhouette, folder=design.folder)
    return lay_patches(
        openings.areas, of, plate.cutting.paper,
        colours=[patch.colour for patch in design.patch], margins=[patch.margin for patch in design.patch],
    )  # fmt: skip


def _padded(mount: MountSettings, last: Leaf) -> Pads:
    span = longest_for_sag(mount.droop, stock=last.cutting.stock)
    return place_pads(
        last.cutting.paper,
        side=mount.pad,
        raise_=mount.raised_by,
        viewed_deg=mount.viewed,
        span=span,
        strap=last.cutting.strap,
    )


def _of_mount(design: Design, plate: Plate, openings: Openings, mount: MountSettings) -> list[str]:
    told = []
    if mount.kind == "matted" and mount.covers > 0:
        x0, y0, x1, y1 = plate.parts.outline.bounds
        seen = shapely.box(x0 + mount.covers, y0 + mount.covers, x1 - mount.covers, y1 - mount.covers)
        under = int((~shapely.covers(seen, openings.areas)).sum()) if len(openings.areas) else 0
        if under:
            told.append(
                f"the mat covers {counted(under, 'opening')}, whole or in part: it lies "
                f"{format_mm(mount.covers, 2)} mm over the edge of the piece. Take less overlap, or a "
                "reveal, where they are to be seen"
            )
    if mount.kind == "panes" and design.paper.faces is not Faces.DARK_BOTH_FACES:
        told.append(
            "between panes both faces are seen, and this paper is not dark on both: take such paper, or hang "
            "it before a wall"
        )
    return told


def _of_pads(pads: Pads | None) -> list[str]:
    if pads is None:
        return []
    told = [
        f"no hidden pad comes nearer than {format_mm(one.length, 0)} mm along the paper to "
        f"({format_mm(one.at[0], 1)}, {format_mm(one.at[1], 1)}) mm: it stands free there"
        for one in pads.overhangs[:_MOST_TOLD]
    ]
    more = len(pads.overhangs) - _MOST_TOLD
    return [*told, f"and {counted(more, 'overhang')} more"] if more > 0 else told
