"""The finished piece at true scale on a wall, beside something whose size everybody knows."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from canivet.export._cairo import load_cairosvg
from canivet.export.page.typeset import outline_words
from canivet.lengths import format_mm

from .shadow import USUAL_LIGHT, Light, cast, in_shadow
from .view import OFF_THE_WALL, WALL, FinishedView

if TYPE_CHECKING:
    from PIL.Image import Image

__all__ = ["EYE", "wall_view"]

EYE = 1500.0
"""mm from the floor to the middle of the piece, about the height of the eye (*common practice*)."""

_HIGH = 2480.0
_FLOOR = 240.0
_ASIDE = 420.0
_WIDE = 1600
"""Pixels of the picture, about."""

_TONE = "#8d8678"

_CHAIR = "M0 0L40 0L56 440L404 440L420 0L460 0L448 470L92 470L60 900L18 900Z M92 470L448 470L448 500L88 500Z"
_PERSON = (
    "M150 0L235 0L250 820L270 820L285 0L370 0L372 820L385 1180L440 830L480 840L430 1330Q420 1420 330 1430"
    "L300 1450L300 1480Q345 1510 345 1575Q345 1650 260 1650Q175 1650 175 1575Q175 1510 220 1480"
    "L220 1450L190 1430Q100 1420 90 1330L40 840L80 830L135 1180L148 820Z"
)
_DOOR = (
    "M0 0L70 0L70 1985L830 1985L830 0L900 0L900 2055L0 2055Z M86 0L814 0L814 1970L86 1970Z "
    "M700 960L770 960L770 985L700 985Z"
)
_THINGS = {
    "chair": (_CHAIR, 460.0, 900.0, "a chair, 90 cm high"),
    "person": (_PERSON, 520.0, 1650.0, "a person of 1.65 m"),
    "door": (_DOOR, 900.0, 2055.0, "a door, 2 m high"),
}
"""Outline in mm, y up from the floor; width, height, what it is."""


def wall_view(view: FinishedView, beside: str, light: Light = USUAL_LIGHT) -> tuple[Image, float]:
    """Return the wall with the piece on it, and how many pixels a millimetre of it has.

    Parameters
    ----------
    view : FinishedView
        What hangs there.
    beside : {"chair", "person", "door"}
        What stands beside it.
    light : Light
        Of its mount.

    Returns
    -------
    (Image, float)
        Pixels per mm.
    """
    from PIL import Image

    data, wide, _, called = _THINGS[beside]
    left, top, right, low = view.framed
    width, height = ((b - a) * 25.4 / view.dpi for a, b in ((left, right), (top, low)))
    across = max(2200.0, width + wide + 3.5 * _ASIDE)
    k = _WIDE / across
    middle = EYE if height < 1200 else max(EYE, height / 2 + 300)
    high = max(_HIGH, _FLOOR + middle + height / 2 + 250)
    words = f"{called} · this is {_size(width, height)}, all in all"
    stands = high - _FLOOR if beside == "door" else high - 0.45 * _FLOOR
    picture = _room((across, high), k, (2 * _ASIDE + width, stands), data, words)
    hung = view.picture.crop(view.framed).resize(
        (max(1, round(width * k)), max(1, round(height * k))), Image.Resampling.LANCZOS
    )
    x, y = round(_ASIDE * k), round((high - _FLOOR - middle - height / 2) * k)
    _throw_shadow(picture, (x, y, x + hung.width, y + hung.height), k, light)
    picture.paste(hung, (x, y))
    return picture, k


def _room(size: tuple[float, float], k: float, at: tuple[float, float], data: str, words: str) -> Image:
    """Draw wall, floor, skirting, the thing beside, a scale and what they are."""
    from PIL import Image

    wall = "#{:02x}{:02x}{:02x}".format(*WALL)
    across, high = size
    floor = high - _FLOOR
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {across:.1f} {high:.1f}">'
        f'<rect width="{across:.1f}" height="{high:.1f}" fill="{wall}"/>'
        f'<rect y="{floor:.1f}" width="{across:.1f}" height="{_FLOOR}" fill="#b9a58a"/>'
        f'<rect y="{floor - 90:.1f}" width="{across:.1f}" height="90" fill="#eeebe3"/>'
        f'<rect y="{floor:.1f}" width="{across:.1f}" height="8" fill="#a08c72"/>'
        f'<path transform="translate({at[0]:.1f} {at[1]:.1f}) scale(1 -1)" fill="{_TONE}" d="{data}"/>'
        f'<path d="M60 {high - 75:.1f}v30v-15h500v-15v30" '
        'stroke="#000000" stroke-width="6" fill="none"/>'
        f'<text x="590" y="{high - 46:.1f}" font-size="44" fill="#000000">50 cm · {words}</text></svg>'
    )
    pixels = round(across * k), round(high * k)
    drawn = load_cairosvg().svg2png(
        bytestring=outline_words(svg).encode(), output_width=pixels[0], output_height=pixels[1]
    )
    return Image.open(io.BytesIO(drawn)).convert("RGB")


def _throw_shadow(picture: Image, where: tuple[int, int, int, int], k: float, light: Light) -> None:
    """Darken the wall where the piece, whose front stands so far off, keeps the lamp's light from it."""
    from PIL import Image, ImageDraw

    cover = Image.new("L", picture.size, 0)
    ImageDraw.Draw(cover).rectangle(where, fill=255)
    shade = cast(cover, OFF_THE_WALL, light, 25.4 * k)
    picture.paste(in_shadow(picture, [shade]))


def _size(width: float, height: float) -> str:
    return f"{format_mm(width / 10, 1)} × {format_mm(height / 10, 1)} cm"
