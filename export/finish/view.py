"""The finished view: ground, patches, sheets, mat and frame as they will look, under a stated light."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import shapely
from shapely.geometry import Polygon

from canivet.compose.finish.finished import Finish
from canivet.compose.finish.mounting import PLY, Mounted
from canivet.stock import Faces

from .canvas import Canvas
from .grounds import PAPER, Rgb, ground_picture, rgb
from .shadow import LITTLE, USUAL_LIGHT, Light, cast, in_shadow

if TYPE_CHECKING:
    from PIL.Image import Image

__all__ = ["OFF_THE_WALL", "WALL", "FinishedView", "finished_view"]

WALL: Rgb = (226, 222, 212)
"""The wall that the piece hangs on."""

_MOST_PIXELS = 3_200_000
_DPI = 300.0
_ROUND = 0.12
"""Of the shorter side: the wall that is seen round a framed piece."""

_LIP = 5.0
"""mm that a frame's edge stands over what lies in it."""

_HUNG = 8.0
"""mm that panes hang from the wall (*common practice*)."""

_TOUCHING = 0.2
"""mm between two sheets that throw no shadow to be seen on each other."""

OFF_THE_WALL = 14.0
"""mm that the face of a frame stands off the wall."""


@dataclass(frozen=True, slots=True)
class FinishedView:
    """The finished view, its pixels per inch, and where on it the framed piece lies, in pixels."""

    picture: Image
    dpi: float
    framed: tuple[int, int, int, int]


def finished_view(finish: Finish, *, folder: Path = Path(), dpi: float = _DPI) -> FinishedView:
    """Draw a finished piece from the front.

    Parameters
    ----------
    finish : Finish
        Of it all that is there: without a mount the sheets and patches alone, raised a little.
    folder : Path
        Where a picture for its ground is looked for.
    dpi : float
        Pixels per inch at most; of a large piece there are fewer.

    Raises
    ------
    Unreadable
        If the picture of its ground cannot be read.
    MissingLibrary
        If cairo is not installed.
    """
    from PIL import Image

    mounted = finish.mounted
    canvas = _canvas(finish, dpi)
    light = Light.of(finish.settings.light) if finish.settings else USUAL_LIGHT
    faces = finish.plate.cutting.stock.faces
    outer = _board(mounted) if mounted else Polygon()
    panes = finish.settings is not None and finish.settings.kind == "panes"
    ground = finish.settings.ground if finish.settings else None
    sheets = _heights(finish)
    covers = {leaf: canvas.cover(finish.stack[leaf].cutting.paper) for leaf, _ in sheets}
    patched = canvas.cover(*(patch.area for patch in finish.patches)) if finish.patches else None
    if mounted is None:
        picture = ground_picture(None, faces, canvas.size)
    elif panes:
        picture = Image.new("RGB", canvas.size, WALL)
    else:
        picture = Image.new("RGB", canvas.size, WALL)
        _hang(picture, canvas, _frame(mounted) or outer, light)
        picture.paste(
            _filled(canvas, outer, ground_picture(ground, faces, _pixels_of(canvas, outer), folder=folder)),
            mask=canvas.boards(outer),
        )
    lift = _HUNG if panes else 0.0
    shades = [cast(covers[k], z + lift, light, canvas.dpi) for k, z in sheets]
    if patched is not None:
        piece = next(z for k, z in sheets if finish.stack[k].name == "piece")
        shades.append(cast(patched, piece + lift, light, canvas.dpi))
    picture = in_shadow(picture, shades)
    picture = _with_sheets(picture, finish, canvas, sheets, covers, light)
    if mounted is not None:
        picture = _with_mount(picture, finish, mounted, canvas, light)
    return FinishedView(
        picture, canvas.dpi, canvas.box(_frame(mounted) or outer) if mounted else (0, 0, *canvas.size)
    )


def _heights(finish: Finish) -> list[tuple[int, float]]:
    """Return the sheets from the last one forward, and how high the back of each lies over the ground, mm."""
    lift = finish.settings.raised_by if finish.settings else LITTLE
    found, height = [], lift
    for k in range(len(finish.stack) - 1, -1, -1):
        leaf = finish.stack[k]
        height += leaf.below
        found.append((k, height))
        height += leaf.cutting.stock.thickness
    return found


def _with_sheets(
    picture: Image, finish: Finish, canvas: Canvas, sheets: list[tuple[int, float]],
    covers: dict[int, Image], light: Light,
) -> Image:  # fmt: skip
    """Lay patches and sheets, from the last forward, each in the shadow of those before it."""

    def shades(before: list[tuple[int, float]], level: float) -> list[Image]:
        over = [(one, z - level) for one, z in before if z - level > _TOUCHING]
        return [cast(covers[one], height, light, canvas.dpi) for one, height in over]

    for row, (k, z) in enumerate(sheets):
        leaf, before = finish.stack[k], sheets[row + 1 :]
        if leaf.name == "piece" and finish.patches:
            behind = shades(before, z)
            for colour in dict.fromkeys(patch.colour for patch in finish.patches):
                seen = canvas.cover(*(patch.area for patch in finish.patches if patch.colour == colour))
                _lay(picture, rgb(colour), seen, behind)
        front = rgb(leaf.colour) if leaf.colour else PAPER[leaf.cutting.stock.faces is Faces.PLAIN]
        _lay(picture, front, covers[k], shades(before, z + leaf.cutting.stock.thickness))
    return picture


def _lay(picture: Image, colour: Rgb, cover: Image, shades: list[Image]) -> None:
    """Lay one colour over the picture, in the shadow of the sheets before it."""
    from PIL import Image

    picture.paste(in_shadow(Image.new("RGB", picture.size, colour), shades), mask=cover)


def _with_mount(picture: Image, finish: Finish, mounted: Mounted, canvas: Canvas, light: Light) -> Image:
    """Lay mat, glass edge and frame over it."""
    from PIL import Image

    settings = finish.settings
    assert settings is not None
    outer = _board(mounted)
    if settings.mat is not None and mounted.opening is not None:
        opening = _opening(mounted, settings.covers)
        thick = PLY * settings.mat.ply
        mat = canvas.boards(outer.difference(opening))
        picture = _only_inside(
            picture, in_shadow(picture, [cast(mat, thick, light, canvas.dpi)]), canvas, outer
        )
        bevel = canvas.boards(opening.difference(opening.buffer(-0.6 * thick, join_style="mitre")))
        picture.paste(Image.new("RGB", picture.size, (252, 251, 247)), mask=bevel)
        picture.paste(Image.new("RGB", picture.size, rgb(settings.mat.colour)), mask=mat)
    if settings.kind == "panes":
        edge = canvas.boards(outer.difference(outer.buffer(-0.9, join_style="mitre")))
        picture.paste(Image.new("RGB", picture.size, (176, 196, 190)), mask=edge.point(lambda v: 0.75 * v))
    frame = _frame(mounted)
    if frame is not None and settings.moulding is not None:
        sight = _sight(mounted)
        wood = canvas.boards(frame.difference(sight))
        picture = _only_inside(
            picture, in_shadow(picture, [cast(wood, _LIP, light, canvas.dpi)]), canvas, sight
        )
        picture.paste(_mitred(rgb(settings.moulding.colour), frame, sight, canvas, light), mask=wood)
    return picture


def _mitred(colour: Rgb, frame: Polygon, sight: Polygon, canvas: Canvas, light: Light) -> Image:
    """Return a frame's four sides, each as light as it lies towards the lamp."""
    from PIL import Image

    picture = Image.new("RGB", canvas.size, colour)
    across, down = light.offset(1.0)
    (a, b, c, d), (e, f, g, h) = frame.bounds, sight.bounds
    sides = {
        (0, -1): Polygon([(a, d), (c, d), (g, h), (e, h)]), (0, 1): Polygon([(a, b), (c, b), (g, f), (e, f)]),
        (-1, 0): Polygon([(a, b), (a, d), (e, h), (e, f)]), (1, 0): Polygon([(c, b), (c, d), (g, h), (g, f)]),
    }  # fmt: skip
    away = math.hypot(across, down)
    for (x, y), side in sides.items():
        facing = -(x * across + y * down) / away
        shade: Rgb = tuple(
            round(min(255, part * (1 + 0.16 * facing) + 14 * max(0.0, facing))) for part in colour
        )  # type: ignore[assignment]
        picture.paste(Image.new("RGB", canvas.size, shade), mask=canvas.boards(side))
    return picture


def _only_inside(before: Image, after: Image, canvas: Canvas, area: Polygon) -> Image:
    before.paste(after, mask=canvas.boards(area))
    return before


def _hang(picture: Image, canvas: Canvas, area: Polygon, light: Light) -> None:
    """Let what hangs on the wall throw its shadow there."""
    picture.paste(in_shadow(picture, [cast(canvas.boards(area), OFF_THE_WALL, light, canvas.dpi)]))


def _canvas(finish: Finish, dpi: float) -> Canvas:
    """Return what is seen: the framed piece and some wall, or the bare piece and some ground."""
    x0, y0, x1, y1 = finish.plate.parts.outline.bounds
    whole = shapely.box(x0, y0, x1, y1)
    if finish.mounted is not None:
        whole = _frame(finish.mounted) or _board(finish.mounted)
    a, b, c, d = whole.bounds
    margin = (
        max(3.0, 0.09 * min(c - a, d - b)) if finish.mounted is None else max(8.0, _ROUND * min(c - a, d - b))
    )
    width, height = c - a + 2 * margin, d - b + 2 * margin
    dpi = min(dpi, math.floor(25.4 * math.sqrt(_MOST_PIXELS / (width * height))))
    return Canvas(width, height, dpi, margin - a, margin - b)


def _board(mounted: Mounted) -> Polygon:
    """Return the board in the piece's own mm."""
    x, y = mounted.corner
    return shapely.box(-x, -y, mounted.board.width - x, mounted.board.height - y)


def _opening(mounted: Mounted, covers: float) -> Polygon:
    return shapely.box(covers, covers, mounted.piece.width - covers, mounted.piece.height - covers)


def _sight(mounted: Mounted) -> Polygon:
    lip = (mounted.board.width - mounted.sight.width) / 2
    return _board(mounted).buffer(-lip, join_style="mitre")


def _frame(mounted: Mounted | None) -> Polygon | None:
    if mounted is None or mounted.frame is None:
        return None
    return _board(mounted).buffer((mounted.frame.width - mounted.board.width) / 2, join_style="mitre")


def _pixels_of(canvas: Canvas, area: Polygon) -> tuple[int, int]:
    left, top, right, low = canvas.box(area)
    return max(1, right - left + 2), max(1, low - top + 2)


def _filled(canvas: Canvas, area: Polygon, ground: Image) -> Image:
    from PIL import Image

    left, top, _, _ = canvas.box(area)
    whole = Image.new("RGB", canvas.size)
    whole.paste(ground, (left - 1, top - 1))
    return whole
