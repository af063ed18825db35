"""What a plate cuts away: its openings, each with the part of the plate it belongs to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from canivet.audit.boundary import GRID, Paper
from canivet.compose.mending.areas import filled
from canivet.motifs.shapes.openings import Shapes, openings_in

__all__ = ["Openings"]

Roles = NDArray[np.str_]

_CELLED = ("border", "ground")
_CRUMB = 0.4
"""Of a cell of border or ground: less than two fifths left beside a figure is no form of its own."""

NONE = "none"
"""The role of what belongs to no part: an opening that mending alone has made."""


@dataclass(frozen=True, slots=True, eq=False)
class Openings:
    """Openings in the order in which they were laid, and what each belongs to.

    Attributes
    ----------
    areas : (n,) array of Polygon
        mm; they may overlap.
    roles : (n,) array of str
        ``border``, ``ground``, ``vignette``, ``window``, ``frame``, ``wedge`` of a folded piece, or
        ``silhouette-1``, ``lettering-2`` …, in the order of the design.

    Examples
    --------
    >>> from shapely import Point, box
    >>> laid = Openings.of([box(10, 10, 40, 40)], "window")
    >>> stood = laid.with_figure(Point(25, 25).buffer(9), "silhouette-1", smallest=0.5)
    >>> stood.roles.tolist(), bool(stood.areas[0].intersects(Point(25, 25)))
    (['window'], False)
    """

    areas: Shapes
    roles: Roles

    @classmethod
    def of(cls, areas: Iterable[Polygon], role: str) -> Openings:
        """Return openings that all belong to one part."""
        array = np.array([*areas], dtype=object)
        return cls(array, np.full(len(array), role, dtype="<U24"))

    def and_of(self, areas: Iterable[Polygon], role: str) -> Openings:
        """Return these and further ones of one part after them."""
        return self.and_all(Openings.of(areas, role))

    def and_all(self, others: Openings) -> Openings:
        """Return these and others after them."""
        return Openings(
            np.concatenate([self.areas, others.areas]), np.concatenate([self.roles, others.roles])
        )

    def of_role(self, role: str) -> Shapes:
        """Return the openings that belong to one part."""
        areas: Shapes = self.areas[self.roles == role]
        return areas

    def without(self, figure: Polygon | Paper, *, smallest: float, exactly: bool = False) -> Openings:
        """Return what is left of the openings beside a figure, rounded, its slivers dropped.

        Parameters
        ----------
        figure : Polygon or MultiPolygon
            What becomes paper, mm.
        smallest : float
            Radius of the smallest opening, mm; what is left is rounded by it, which only ever adds paper.
        exactly : bool
            Cut off too what rounding in chords leaves over the figure's edge, a micrometre or so.

        Returns
        -------
        Openings
            Those the figure touches stand last.
        """
        touched = shapely.intersects(self.areas, figure)
        left = shapely.difference(self.areas[touched], figure)
        rounded = shapely.buffer(shapely.buffer(left, -smallest, quad_segs=12), smallest, quad_segs=12)
        parts, of = shapely.get_parts(
            shapely.intersection(rounded, left) if exactly else rounded, return_index=True
        )
        some = ~shapely.is_empty(parts)
        # What a figure leaves of a cell is a crumb where it is little: the cell closes whole.
        celled = np.isin(self.roles[touched][of], _CELLED)
        some &= ~celled | (shapely.area(parts) >= _CRUMB * shapely.area(self.areas[touched])[of])
        return Openings(
            np.concatenate([self.areas[~touched], parts[some]]),
            np.concatenate([self.roles[~touched], self.roles[touched][of[some]]]),
        )

    def with_figure(self, figure: Paper, role: str, *, smallest: float) -> Openings:
        """Return the openings with a figure standing in them as paper.

        What is open in a figure stays open as drawn: the ground does not run on behind it.
        """
        whole = filled(figure)
        # A part may lie in an opening of another, as a pupil in an eye.
        pierced = [part for part in shapely.get_parts(whole.difference(figure)) if part.area > GRID**2]
        return self.without(whole, smallest=smallest).and_of(pierced, role)

    def as_cut(self, paper: Polygon) -> Openings:
        """Return the openings of finished paper, each with the role of what it lies over most.

        Examples
        --------
        >>> from shapely import box
        >>> laid = Openings.of([box(2, 2, 8, 8)], "border").and_of([box(12, 2, 18, 8)], "window")
        >>> cut = box(0, 0, 20, 10) - box(12, 2, 18, 7) - box(2, 3, 8, 8)
        >>> sorted(laid.as_cut(cut).roles.tolist())
        ['border', 'window']
        """
        cut = openings_in(paper)
        row, laid = shapely.STRtree(self.areas).query(cut, predicate="intersects")
        # What lies over one alone shares most with that one; mending moves few edges, so most are such.
        plain = np.bincount(row, minlength=len(cut))[row] == 1
        plain &= shapely.contains(self.areas[laid], shapely.point_on_surface(cut)[row])
        shared = np.ones(len(row))
        shared[~plain] = shapely.area(shapely.intersection(cut[row[~plain]], self.areas[laid[~plain]]))
        most = np.zeros(len(cut))
        np.maximum.at(most, row, shared)
        best = (shared == most[row]) & (shared > 0)
        roles = np.full(len(cut), NONE, dtype="<U24")
        roles[row[best][::-1]] = self.roles[laid[best][::-1]]
        return Openings(cut, roles)
