"""How far paper droops under its own weight: advice by beam theory, never a promise.

A strip of paper held level at one end sinks by ``w·L⁴/(8·B)``, one held at both ends by ``w·L⁴/(384·B)`` in
the middle, where w is its weight per area and B its bending stiffness per width; the strip's own width drops
out. Both hold for small droops only. Past a tenth of the length they are refused, not stretched.

References
----------
Beam formulas: the uniformly loaded cantilever and fixed beam of any handbook of strength of materials.
Stiffness: US GPO, *Government Paper Specification Standards*, JCP O-60, minimum across the grain. Bending
length: F. T. Peirce, "The 'handle' of cloth as a measurable quantity", J. Textile Inst. 21, 1930; the
41.5° of ASTM D1388 is *from memory*.
"""

from __future__ import annotations

import math
from typing import Literal

from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import as_float, format_mm
from canivet.stock import Stock

__all__ = ["GRAVITY", "Held", "longest_for_sag", "measure_bending_stiffness", "measure_sag", "stiffness_of"]

GRAVITY = 9.80665
"""m/s², the standard value."""

MOST_SAG = 0.1
"""Share of the length past which the small-droop formulas are refused."""

_STIFFNESS_75 = 0.15e-3
"""N·m (per metre of width): 75 g/m², across the grain, the least JCP O-60 allows."""
_THICKNESS_75 = 0.100

Held = Literal["one end", "both ends"]
_DIVISOR = {"one end": 8.0, "both ends": 384.0}


def stiffness_of(stock: Stock) -> float:
    """Return the bending stiffness to reckon with, in N·m per metre of width.

    The published minimum for 75 g/m² across the grain, scaled by the cube of the thickness as beam theory has
    it for one and the same material: a low figure, so that the droop reckoned from it is a high one.

    Examples
    --------
    >>> stiffness_of(Stock.of(grammage=75)) * 1000
    0.15
    """
    return _STIFFNESS_75 * (stock.thickness / _THICKNESS_75) ** 3


def measure_bending_stiffness(overhang: float, grammage: float) -> float:
    """Return the bending stiffness of a paper from a trial with a strip of it, in N·m per metre of width.

    Push a strip over the edge of a table until its end lies 41.5° below the edge; half the length that hangs
    over is Peirce's bending length c, and the stiffness is weight times c³.

    Parameters
    ----------
    overhang : float
        mm that hang over, above 0.
    grammage : float
        g/m², above 0.

    Examples
    --------
    >>> round(measure_bending_stiffness(117.8, 75) * 1000, 3)
    0.15
    """
    _require(overhang=overhang, grammage=grammage)
    return grammage / 1000 * GRAVITY * (overhang / 2000) ** 3


def measure_sag(
    length: float, *, stock: Stock, held: Held = "one end", stiffness: float | None = None, load: float = 1.0
) -> float:
    """Return how far a level strip of paper sinks under its own weight, in mm.

    Parameters
    ----------
    length : float
        mm from the hold to the free end, or from hold to hold; above 0.
    stock : Stock
        Its grammage must be known.
    held : {"one end", "both ends"}
        How it is held.
    stiffness : float, optional
        N·m per metre of width, from a trial; else `stiffness_of` the stock.
    load : float
        How many times its own weight the strip carries: the width of what hangs on it over its own.

    Returns
    -------
    float

    Raises
    ------
    BadValue
        If a number is not above 0, or the grammage is not known.
    DoesNotFit
        If the droop is over a tenth of the length, where the formula no longer holds.

    Examples
    --------
    100 mm of 75 g/m², held at both ends, across the grain:

    >>> round(measure_sag(100, stock=Stock.of(grammage=75), held="both ends"), 1)
    1.3
    """
    if stock.grammage is None:
        raise BadValue(
            "grammage is not known; droop comes from weight. Give the paper's grammage in g/m².",
            parameter="grammage", accepted="a number of g/m²",
        )  # fmt: skip
    stiffness = stiffness_of(stock) if stiffness is None else stiffness
    _require(length=length, stiffness=stiffness, load=load, grammage=stock.grammage)
    weight = stock.grammage / 1000 * GRAVITY * load
    sag = weight * (length / 1000) ** 4 / (_DIVISOR[held] * stiffness) * 1000
    if sag > MOST_SAG * length:
        longest = (MOST_SAG * _DIVISOR[held] * stiffness / weight) ** (1 / 3) * 1000
        raise DoesNotFit(
            f"length is {format_mm(length, 1)} mm; held at {held} this paper droops by more than a "
            f"tenth of that, and the formula no longer holds. It is good to {format_mm(longest, 1)} mm: "
            "hold the part at another place, or take stiffer paper.",
            parameter="length", value=length, accepted=f"up to {format_mm(longest, 1)} mm",
        )  # fmt: skip
    return sag


def longest_for_sag(
    sag: float, *, stock: Stock, held: Held = "one end", stiffness: float | None = None
) -> float:
    """Return how long a level strip of paper may be to sink no more than `sag`, in mm.

    The same formula as `measure_sag`, solved for the length, and no longer than it is good for.

    Examples
    --------
    >>> paper = Stock.of(grammage=90)
    >>> round(measure_sag(longest_for_sag(0.5, stock=paper), stock=paper), 6)
    0.5
    """
    _require(sag=sag)
    if stock.grammage is None:
        measure_sag(1.0, stock=stock)  # refuses it
    stiffness = stiffness_of(stock) if stiffness is None else stiffness
    per = _DIVISOR[held] * stiffness / ((stock.grammage or 1.0) / 1000 * GRAVITY)
    longest = (per * sag / 1000) ** 0.25 * 1000
    return float(min(longest, (MOST_SAG * per) ** (1 / 3) * 1000))


def _require(**numbers: float) -> None:
    for name, value in numbers.items():
        if not (math.isfinite(as_float(value)) and value > 0):
            raise BadValue(
                f"{name} is {as_float(value):g}; it takes a number above zero.",
                parameter=name, value=value, accepted="above zero",
            )  # fmt: skip
