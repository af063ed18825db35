"""A small piece that is no mirror image of itself, and ways to look at what was written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2 as pdfium
import pytest
from shapely import affinity
from shapely.geometry import Point, Polygon, box

from canivet.cutting import Cutting
from canivet.sheets import Sheet
from canivet.stock import Faces, Stock

MM_PER_INCH = 25.4
OPENINGS = 7


def plate(width: float = 30.0, height: float = 24.0) -> Polygon:
    """A plate with six leaves to the left and a slot at the upper right."""
    leaf = affinity.rotate(affinity.scale(Point(0, 0).buffer(1), 0.05 * width, 0.1 * height), 30)
    leaves = [affinity.translate(leaf, width * x, height * y) for x in (0.15, 0.35) for y in (0.2, 0.5, 0.8)]
    slot = box(0.6 * width, 0.7 * height, 0.9 * width, 0.85 * height)
    outline = box(0, 0, width, height)
    return Polygon(outline.exterior, [opening.exterior for opening in (*leaves, slot)])


@pytest.fixture(scope="session")
def make_cutting() -> Callable[..., Cutting]:
    def make(
        paper: Polygon | None = None,
        *,
        faces: Faces = Faces.DARK_ONE_FACE,
        sheet: Sheet | None = None,
        title: str = "Heron among reeds",
        description: str = "A heron stands in a marsh.",
        notes: tuple[str, ...] = (),
    ) -> Cutting:
        paper = plate() if paper is None else paper
        return Cutting(paper, 1.2, title, description, Stock.of(faces), sheet, notes)

    return make


@pytest.fixture(scope="session")
def render() -> Callable[..., np.ndarray[Any, Any]]:
    """Grey values of a PDF's first page, or of a box on it in mm from its upper left corner."""

    def rendered(
        data: bytes, dpi: float, window: tuple[float, float, float, float] | None = None
    ) -> np.ndarray[Any, Any]:
        document = pdfium.PdfDocument(data)
        page = document[0]
        points = 72 / MM_PER_INCH
        crop = (0.0, 0.0, 0.0, 0.0)
        if window is not None:
            left, top, right, bottom = (side * points for side in window)
            crop = (left, page.get_height() - bottom, page.get_width() - right, top)
        grey = page.render(scale=dpi / 72, crop=crop, grayscale=True).to_numpy()
        document.close()
        return np.array(grey).reshape(grey.shape[:2])

    return rendered


@pytest.fixture
def folder_is_clean(tmp_path: Path) -> Callable[[], bool]:
    """Say whether no part of an unfinished file is left."""
    return lambda: not list(tmp_path.rglob(".canivet-*"))
