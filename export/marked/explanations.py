"""What a marked drawing says of each kind of place: what it is and its measure, and what to do about it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any, Literal, TypeAlias

from shapely.geometry import Polygon

from canivet.audit.corners import OVERRUN, SharpCorner
from canivet.audit.limbs import Limb
from canivet.audit.strength import SmallOpening, StrengthReport, WeakNeck
from canivet.lengths import format_mm

__all__ = ["Kind", "Thing", "count_of", "tell"]

Kind = Literal["loose", "single", "neck", "limb", "opening", "weakest", "hold", "corner"]
"""``single`` is a single hold under the strap, ``hold`` one that is wide enough, ``weakest`` the narrowest
neck of a piece that holds. The last three are worth knowing; the others keep a piece from holding."""

Thing: TypeAlias = WeakNeck | Limb | SmallOpening | SharpCorner | Polygon

_NOUNS: dict[Kind, tuple[str, str]] = {
    "loose": ("loose part", "loose parts"),
    "single": ("single hold under the strap", "single holds under the strap"),
    "neck": ("neck under the strap", "necks under the strap"),
    "limb": ("limb", "limbs"),
    "opening": ("opening too small to cut", "openings too small to cut"),
    "weakest": ("weakest strap", "weakest straps"),
    "hold": ("single hold wide enough", "single holds wide enough"),
    "corner": ("sharp corner", "sharp corners"),
}


def count_of(kind: Kind, count: int) -> str:
    """Return so many of a kind in words.

    Examples
    --------
    >>> count_of("neck", 1), count_of("corner", 12)
    ('1 neck under the strap', '12 sharp corners')
    """
    return f"{count} {_NOUNS[kind][count != 1]}"


def tell(kind: Kind, things: Sequence[Thing], report: StrengthReport, *, gap: float = 0.0) -> tuple[str, str]:
    """Return what the things in one ring are, with their measure and what is needed, and what to do.

    Parameters
    ----------
    kind : Kind
        What they all are.
    things : sequence
        One or more.
    report : StrengthReport
        What they were measured against.
    gap : float
        For loose parts, mm to the next part.
    """
    if kind == "loose":
        one = len(things) == 1
        touch = "it only touches" if one else "they only touch"
        far = f"{format_mm(gap, 2)} mm to" if gap >= 0.005 else touch
        return _loose(things), f"Falls out. Bridge {'it' if one else 'them'}: {far} what is next."
    return _WORDS[kind](things, report)


def _loose(parts: Sequence[Any]) -> str:
    area = f"{format_mm(sum(part.area for part in parts), 1)} mm²"
    return f"Loose part of {area}" if len(parts) == 1 else f"{len(parts)} loose parts of {area} together"


def _single(necks: Sequence[WeakNeck], report: StrengthReport) -> tuple[str, str]:
    told = f"{_widths('single hold', necks)}; needs {_mm(report.needed)}"
    return told, f"{_most_hanging(necks)} hang there. Thicken it, and hold twice."


def _neck(necks: Sequence[WeakNeck], report: StrengthReport) -> tuple[str, str]:
    return f"{_widths('neck', necks)}; needs {_mm(report.needed)}", "Thicken, or join elsewhere."


def _limb(limbs: Sequence[Limb], report: StrengthReport) -> tuple[str, str]:
    longest = max(limbs, key=lambda limb: limb.length)
    size = f"{_mm(longest.length, 1)} long, {_mm(longest.width)} wide"
    told = f"Limb {size}" if len(limbs) == 1 else f"{len(limbs)} limbs, longest {size}"
    return (
        f"{told}; needs {_mm(report.needed)}",
        "Thicken, shorten or tie it down.",
    )


def _opening(openings: Sequence[SmallOpening], report: StrengthReport) -> tuple[str, str]:
    least, count = _mm(min(opening.radius for opening in openings)), len(openings)
    told = f"Opening of radius {least}" if count == 1 else f"{count} openings, smallest of radius {least}"
    return f"{told}; needs {_mm(report.smallest)}", "Make it larger, or leave it out."


def _weakest(necks: Sequence[WeakNeck], report: StrengthReport) -> tuple[str, str]:
    slip = report.slip_left or 0.0
    told = f"Weakest strap, {format_mm(necks[0].width, 2)} mm wide"
    return told, f"The hand may stray {_mm(slip)} either way." if slip >= 0.01 else "Nothing to spare."


def _hold(necks: Sequence[WeakNeck], report: StrengthReport) -> tuple[str, str]:  # noqa: ARG001
    told = _widths("single hold", necks, enough=True)
    return told, f"{_most_hanging(necks)} hang there. Wide enough, yet all that holds it."


def _corner(corners: Sequence[SharpCorner], report: StrengthReport) -> tuple[str, str]:  # noqa: ARG001
    worst = min(corners, key=lambda corner: corner.ahead)
    told = f"Sharp corner of {worst.angle:.0f}°" if len(corners) == 1 else f"{len(corners)} sharp corners"
    left = _mm(max(0.0, worst.ahead - OVERRUN))
    return f"{told}; {_mm(OVERRUN)} too far leaves {left}", "Cut outwards from it, or round it."


_WORDS: dict[Kind, Callable[..., tuple[str, str]]] = {
    "single": _single,
    "neck": _neck,
    "limb": _limb,
    "opening": _opening,
    "weakest": _weakest,
    "hold": _hold,
    "corner": _corner,
}


def _widths(noun: str, necks: Sequence[WeakNeck], *, enough: bool = False) -> str:
    width = min(neck.width for neck in necks)
    narrowest = f"{format_mm(width, 2)} mm" if enough else _mm(width)
    if len(necks) == 1:
        return f"{noun.capitalize()} {narrowest} wide"
    return f"{len(necks)} {noun}s, narrowest {narrowest}"


def _most_hanging(necks: Sequence[WeakNeck]) -> str:
    return f"{format_mm(max(neck.hanging for neck in necks), 1)} mm²"


def _mm(value: float, digits: int = 2) -> str:
    """Write a measure, rounded down: what falls short of 1.5 mm is never written as 1.5 mm."""
    scale = 10**digits
    return f"{format_mm(math.floor(value * scale + 0.01) / scale, digits)} mm"
