"""Colours as a maker names them: by a name of CSS, or as ``#rrggbb``."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator, ValidationInfo, WithJsonSchema

from canivet.errors import BadValue, suggest
from canivet.lengths import shown

from .written import COLOUR

__all__ = ["Colour", "colour_names", "parse_colour"]

_WRITTEN = re.compile(r"#[0-9a-f]{6}\Z")


def colour_names() -> dict[str, str]:
    """Return the 148 named colours, each as ``#rrggbb``.

    References
    ----------
    CSS Color Module Level 4, named colors; the table is Pillow's.

    Examples
    --------
    >>> len(colour_names()), colour_names()["rebeccapurple"]
    (148, '#663399')
    """
    from PIL import ImageColor

    return {name: "#{:02x}{:02x}{:02x}".format(*ImageColor.getrgb(name)[:3]) for name in ImageColor.colormap}


def parse_colour(text: Any, *, parameter: str = "colour") -> str:
    """Read a colour and return it as ``#rrggbb``.

    Raises
    ------
    BadValue
        If it is neither a named colour nor six hexadecimal digits after a ``#``.

    Examples
    --------
    >>> parse_colour("Gold"), parse_colour("#1B3A57")
    ('#ffd700', '#1b3a57')
    >>> parse_colour("crimsom")
    Traceback (most recent call last):
    canivet.errors.BadValue: colour is 'crimsom'; it takes a name of CSS, such as gold, or six digits ...
    """
    folded = " ".join(text.split()).lower() if isinstance(text, str) else ""
    if _WRITTEN.match(folded):
        return folded
    names = colour_names()
    named = folded.replace(" ", "")
    if named in names:
        return names[named]
    raise BadValue(
        f"{parameter} is {shown(text)}; it takes a name of CSS, such as gold, or six digits such as #c8a24a."
        f"{suggest(named, names) if named else ''}",
        parameter=parameter, value=text, accepted="a colour's name or #rrggbb",
    )  # fmt: skip


def _colour(value: Any, info: ValidationInfo) -> str:
    return parse_colour(value, parameter=info.field_name or "colour")


Colour = Annotated[str, BeforeValidator(_colour), WithJsonSchema(COLOUR)]
