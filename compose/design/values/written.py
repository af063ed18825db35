"""How the values of a design are written, as pieces of a JSON Schema: lengths, shares, sizes, angles."""

from __future__ import annotations

from typing import Any

__all__ = ["ANGLE", "ANYTHING", "COLOUR", "LENGTH", "LENGTHS", "MEASURE", "NUMBER", "SHEET"]

ANYTHING: dict[str, Any] = {}
COLOUR: dict[str, Any] = {"type": "string", "description": "a colour: a name of CSS, or #rrggbb"}
SHEET: dict[str, Any] = {"type": "string", "description": "a sheet: A4, letter, or a size such as 4x6 in"}

NUMBER = r"^\s*[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?\s*°?\s*$"
_PLAIN = r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?"
_UNIT = r"([mM][mM]|[cC][mM]|[iI][nN]|[pP][tT]|\"|″)?"


def _written(pattern: str, meaning: str) -> dict[str, Any]:
    return {
        "anyOf": [{"type": "number"}, {"type": "string", "pattern": rf"^\s*{pattern}\s*$"}],
        "description": meaning,
    }


LENGTH = _written(rf"{_PLAIN}\s*{_UNIT}", "a length such as 1.2 mm or 4 in; a bare number is mm")
MEASURE = _written(rf"{_PLAIN}\s*({_UNIT}|%)", "a length such as 40 mm, or a share of the window such as 60%")
ANGLE = _written(rf"{_PLAIN}\s*°?", "degrees, anticlockwise")

_SIZE: dict[str, Any] = {
    "type": "string",
    "minLength": 1,
    "description": "width x height, such as 4x6 in or 100x150 mm, or a sheet's name such as A5",
}
LENGTHS: dict[str, Any] = {
    "anyOf": [_SIZE, {"type": "array", "items": _SIZE, "minItems": 1}],
    "description": "width x height of the piece, or a list of sizes, each drawn anew",
}
