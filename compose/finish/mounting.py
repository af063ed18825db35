"""Mat, glass, board and frame round a piece: every size that a framer asks for, in mm.

References
----------
That glazing must not touch a work on paper: Library of Congress, guide to matting and framing works on paper
(a window mat of board of 4 ply at least, or a spacer). Thickness of 4-ply board, 0.050 to 0.060 in: Saitzyk,
*Art Hardware*, 1987. Glass of 2 mm, 3 mm for larger panes, foam board of 3/16 in: *common practice*.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple

from canivet.compose.design.finishing import MountSettings
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm

__all__ = ["Borders", "Mounted", "Size", "lay_mount"]

PLY = 0.35
"""mm of one ply: 4-ply board is 0.050 to 0.060 in thick, 1.4 mm in the middle."""

FOAM_BOARD = 4.8
"""mm of the backing, 3/16 in (*common practice*)."""

PLAY = 1.6
"""mm on each side between what lies in the rebate and its wall, 1/16 in (*common practice*)."""

AIR = 1.4
"""mm at least between the paper and the glass: a board of 4 ply."""

_LARGE = 800.0
"""mm along a side: glass is taken thicker from there (*common practice*)."""

_HINGE = 0.5
"""mm of paper that a mat must cover all round, or it falls through."""


class Size(NamedTuple):
    """Width and height, mm."""

    width: float
    height: float

    def grown(self, more: float) -> Size:
        """Return the size with so many mm more on every side."""
        return Size(self.width + 2 * more, self.height + 2 * more)


class Borders(NamedTuple):
    """How wide a mat, or what is left free, shows on each side, mm."""

    left: float
    right: float
    top: float
    foot: float


@dataclass(frozen=True, slots=True)
class Mounted:
    """A piece with all that goes round it. Lengths in mm.

    Attributes
    ----------
    piece : Size
    opening : Size or None
        Of the mat; None where there is none.
    borders : Borders
        Of the mat round its opening; without one, of what shows round the piece, to the board's edge.
    board : Size
        Of mat, glass, backing and panes alike: what lies in the frame's rebate.
    sight : Size
        What is seen of the board in its frame.
    frame : Size or None
        Outside; None without a moulding.
    corner : (float, float)
        Where the piece's lower left corner lies on the board.
    raise_ : float
        How high the piece is lifted.
    spacer : float
        Between mat or ground and glass, so that no paper touches it; 0 where none is needed.
    glass : float
        Thickness of a pane; 0 without.
    panes : int
    depth : tuple of (str, float)
        What lies in the rebate, from the front, and how thick it is.
    clearance : float or None
        Air between the paper and the glass; None without glass.
    remarks : tuple of str
        What whoever frames it has to know.
    """

    piece: Size
    opening: Size | None
    borders: Borders
    board: Size
    sight: Size
    frame: Size | None
    corner: tuple[float, float]
    raise_: float
    spacer: float
    glass: float
    panes: int
    depth: tuple[tuple[str, float], ...]
    clearance: float | None
    remarks: tuple[str, ...] = ()

    @property
    def rebate_depth(self) -> float:
        """Return how deep the frame must be inside, mm."""
        return sum(thick for _, thick in self.depth)


def lay_mount(
    mount: MountSettings, piece: tuple[float, float], *, thickness: float, stack: float = 0.0
) -> Mounted:
    """Work out every size of a mount from the piece's.

    Parameters
    ----------
    mount : MountSettings
    piece : (float, float)
        Width and height, mm.
    thickness : float
        Of all its sheets together, mm.
    stack : float
        mm that layers stand before or behind the piece beyond their own thickness.

    Returns
    -------
    Mounted

    Raises
    ------
    DoesNotFit
        If the mat's opening is larger than the mat or its frame, or so small that nothing of the piece shows.

    Examples
    --------
    A piece of 12 × 16 in behind a mat of 16 × 20 in that covers it by a quarter of an inch:

    >>> mount = MountSettings(kind="matted", mat={"size": "16x20 in"})
    >>> laid = lay_mount(mount, (304.8, 406.4), thickness=0.12)
    >>> [round(side / 25.4, 3) for side in (*laid.opening, laid.borders.left)]
    [11.5, 15.5, 2.25]
    """
    own = Size(*piece)
    opening = own.grown(-mount.covers)
    if min(opening) <= 2 * _HINGE:
        raise DoesNotFit(
            f"mount.overlap is {format_mm(mount.covers, 1)} mm on each side of a piece of {_of(own)}; "
            "nothing of it would show. Take less.",
            parameter="mount.overlap", value=mount.covers, accepted=f"under {format_mm(min(own) / 2, 1)} mm",
        )  # fmt: skip
    if 0 <= mount.covers < _HINGE:
        raise DoesNotFit(
            f"mount.overlap is {format_mm(mount.covers, 1)} mm; a mat that covers less than "
            f"{format_mm(_HINGE, 1)} mm lets the piece fall through. Take more, or reveal for one whose edge "
            "shows.",
            parameter="mount.overlap", value=mount.covers, accepted=f"at least {format_mm(_HINGE, 1)} mm",
        )  # fmt: skip
    borders = _borders(mount, opening)
    board = Size(opening.width + borders.left + borders.right, opening.height + borders.top + borders.foot)
    lip = mount.moulding.rebate - PLAY if mount.moulding else 0.0
    sight = board.grown(-lip)
    if mount.mat and (opening.width > sight.width or opening.height > sight.height):
        raise DoesNotFit(
            f"the mat's opening is {_of(opening)} and its frame shows {_of(sight)}: the opening is larger "
            "than the frame. Make mat.size or mat.border larger, or the piece smaller.",
            parameter="mount.mat", value=tuple(opening), accepted=f"an opening under {_of(sight)}",
        )  # fmt: skip
    frame = board.grown(PLAY + mount.moulding.width - mount.moulding.rebate) if mount.moulding else None
    corner = (borders.left - mount.covers, borders.foot - mount.covers)
    return _with_depth(
        mount,
        Mounted(
            own, opening if mount.mat else None, borders, board, sight, frame, corner,
            mount.raised_by, 0.0, 0.0, 0, (), None,
        ),
        thickness + stack,
    )  # fmt: skip


def _borders(mount: MountSettings, opening: Size) -> Borders:
    mat = mount.mat
    if mat is None:  # what shows round the piece is in the opening already; the frame's lip lies beyond it
        lip = max(0.0, mount.moulding.rebate - PLAY) if mount.moulding else 0.0
        return Borders(lip, lip, lip, lip)
    if mat.border is not None:
        return Borders(mat.border, mat.border, mat.border, mat.border if mat.foot is None else mat.foot)
    assert mat.size is not None
    side, ends = (mat.size[0] - opening.width) / 2, mat.size[1] - opening.height
    foot = ends / 2 if mat.foot is None else mat.foot
    if min(side, ends - foot, foot) <= 0:
        raise DoesNotFit(
            f"the mat's opening is {_of(opening)} and the mat {_of(Size(*mat.size))}"
            + (f", its foot {format_mm(foot, 1)} mm" if mat.foot is not None else "")
            + ": the opening is larger than what the mat has room for. Take a larger mat or a smaller piece.",
            parameter="mount.mat.size", value=mat.size, accepted=f"more than {_of(opening)}",
        )  # fmt: skip
    return Borders(side, side, ends - foot, foot)


def _with_depth(mount: MountSettings, laid: Mounted, thickness: float) -> Mounted:
    """Return it with what lies in the rebate, one thing behind the other, and the air before the paper."""
    pane = 3.0 if max(laid.board) > _LARGE else 2.0
    if mount.kind == "panes":
        pressed = (("glass", pane), ("the piece", thickness), ("glass", pane))
        return replace(laid, glass=pane, panes=2, depth=pressed, clearance=0.0, remarks=(_PRESSED, _REVERSED))
    mat = PLY * mount.mat.ply if mount.mat else 0.0
    # a mat that covers the edge lies on the paper; one that shows it lies on the ground, as the pads do
    front = thickness + laid.raise_
    before = mat if mount.kind == "matted" and mount.covers > 0 else mat - front
    spacer = max(0.0, AIR - before) if mount.glass else 0.0
    covered = mount.kind == "matted" and mount.covers > 0
    depth = tuple(
        (name, thick)
        for name, thick in (
            ("glass", pane if mount.glass else 0.0), ("spacer", spacer), ("mat", mat),
            ("the piece", front if covered else max(0.0, front - mat - spacer)),
            ("ground", PLY * 4), ("backing board", FOAM_BOARD),
        )
        if thick > 0
    )  # fmt: skip
    remarks = [] if mount.glass else [_OPEN]
    laid = replace(
        laid, spacer=spacer, glass=pane if mount.glass else 0.0, panes=int(mount.glass), depth=depth,
        clearance=before + spacer if mount.glass else None, remarks=tuple(remarks),
    )  # fmt: skip
    deep = mount.moulding.depth if mount.moulding else None
    if deep is not None and deep < laid.rebate_depth:
        remarks.append(
            f"the moulding is {format_mm(deep, 1)} mm deep inside and {format_mm(laid.rebate_depth, 1)} mm "
            "lie in it: take a deeper one, or let the back stand out"
        )
    return replace(laid, remarks=tuple(remarks))


_PRESSED = (
    "pressed between two panes the paper touches the glass on both sides, and that is how it is held: for a "
    "piece that is to be kept for long, choose a mount with air before it"
)
_REVERSED = (
    "from behind all is reversed, lettering too where there is some, and the paper shows its other face"
)
_OPEN = "there is no glass: paper on a wall takes dust and light, and cannot be wiped"


def _of(size: Size) -> str:
    return f"{format_mm(size.width, 1)} × {format_mm(size.height, 1)} mm"
