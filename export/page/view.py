"""A piece as it lies on a page: turned over where its back is cut, enlarged or at true size."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely.affinity import affine_transform
from shapely.geometry import Polygon

from canivet.export.paths import path_on_page

__all__ = ["PieceView"]


@dataclass(frozen=True, slots=True)
class PieceView:
    """Where a piece lies on its page. Lengths in mm; on the page y points down.

    Attributes
    ----------
    paper : Polygon
        The piece as seen from its finished front, y up.
    mirrored : bool
        Whether the page shows its back.
    scale : float
        How many times enlarged.
    left, top : float
        Where the upper left corner of its bounds lies on the page.

    Examples
    --------
    >>> from shapely import box
    >>> PieceView(box(0, 0, 30, 20), mirrored=True, left=5, top=5).places([(0, 20)]).tolist()
    [[35.0, 5.0]]
    """

    paper: Polygon
    mirrored: bool
    scale: float = 1.0
    left: float = 0.0
    top: float = 0.0

    @property
    def size(self) -> tuple[float, float]:
        """Return its width and height on the page."""
        x0, y0, x1, y1 = self.paper.bounds
        return self.scale * (x1 - x0), self.scale * (y1 - y0)

    @property
    def matrix(self) -> list[float]:
        """Return the map from the drawing to the page, as shapely takes it."""
        x0, _, x1, y1 = self.paper.bounds
        s = self.scale
        if self.mirrored:
            return [-s, 0, 0, -s, s * x1 + self.left, s * y1 + self.top]
        return [s, 0, 0, -s, self.left - s * x0, s * y1 + self.top]

    def lay(self, shape: Any) -> Any:
        """Return a shape of the drawing as it lies on the page."""
        return affine_transform(shape, self.matrix)

    def places(self, points: Any) -> NDArray[np.float64]:
        """Return places of the drawing, (n, 2), as they lie on the page."""
        a, b, d, e, x, y = self.matrix
        xy = np.asarray(points, float).reshape(-1, 2)
        return np.column_stack([a * xy[:, 0] + b * xy[:, 1] + x, d * xy[:, 0] + e * xy[:, 1] + y])

    def path(self, shape: Polygon) -> str:
        """Return a polygon of the drawing as path data on the page."""
        return path_on_page(self.lay(shape))
