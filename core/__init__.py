"""canivet: drawings for cutting pictures out of one sheet of paper.

Lengths are millimetres, y points up, and the origin is the lower left corner of the piece.
Importing this package loads nothing heavy; names below are fetched when first asked for.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

_HOMES = {
    "CanivetError": "errors",
    "Cutting": "cutting",
    "Sheet": "sheets",
    "Stock": "stock",
    "StrengthReport": "strength",
    "check_strength": "strength",
    "find_sheet": "sheets",
    "measure_necks": "necks",
    "parse_length": "lengths",
    "parse_size": "lengths",
}

if TYPE_CHECKING:
    from .cutting import Cutting
    from .errors import CanivetError
    from .lengths import parse_length, parse_size
    from .necks import measure_necks
    from .sheets import Sheet, find_sheet
    from .stock import Stock
    from .strength import StrengthReport, check_strength

__all__ = [
    "CanivetError",
    "Cutting",
    "Sheet",
    "Stock",
    "StrengthReport",
    "__version__",
    "check_strength",
    "find_sheet",
    "measure_necks",
    "parse_length",
    "parse_size",
]


def __getattr__(name: str) -> Any:
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module 'canivet' has no attribute {name!r}")
    return getattr(import_module(f"canivet.{home}"), name)
