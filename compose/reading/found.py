"""What every reader of a file hands over."""

from __future__ import annotations

from typing import NamedTuple

from shapely.geometry import MultiPolygon

__all__ = ["Reading"]


class Reading(NamedTuple):
    """What a reader found: the area in the file's own units (y up), mm per unit along x and y, warnings."""

    area: MultiPolygon
    mm_per_unit: tuple[float, float]
    warnings: tuple[str, ...]
    tolerance: float = 0.005
    """mm by which a dropped vertex may lie off the edge that replaces it."""
