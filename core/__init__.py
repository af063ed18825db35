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
    "StrengthReport": "audit.strength",
    "check_strength": "audit.strength",
    "find_sheet": "sheets",
    "measure_necks": "audit.necks",
    "parse_length": "lengths",
    "parse_size": "lengths",
}

if TYPE_CHECKING:
    from canivet.audit.necks import measure_necks
    from canivet.audit.strength import StrengthReport, check_strength

    from .cutting import Cutting
    from .errors import CanivetError
    from .lengths import parse_length, parse_size
    from .sheets import Sheet, find_sheet
    from .stock import Stock

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
