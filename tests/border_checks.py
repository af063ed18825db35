"""What the tests of borders share: assertions for what every border promises."""

from __future__ import annotations

import inspect
import io

import numpy as np
import resvg_py
import shapely
from PIL import Image
from scipy import ndimage
from shapely.affinity import scale
from shapely.geometry import Polygon
from support import assert_one_piece, rings_of

from canivet.audit.strength import check_strength
from canivet.errors import DoesNotFit
from canivet.motifs.borders.band import inner_edge, usual_band

__all__ = [
    "assert_cut_as_asked",
    "assert_drawn_or_refused_by_name",
    "assert_mirrors_itself",
    "black_and_white_parts",
]


def assert_cut_as_asked(paper, within, border, **asked):
    """One piece, straps and openings as asked, the rim and the window untouched, the size as asked."""
    defaults = {name: p.default for name, p in inspect.signature(border).parameters.items()}
    strap, rim, band, smallest = ({**defaults, **asked}[n] for n in ("strap", "rim", "band", "smallest"))
    band = usual_band(within, band)
    assert_one_piece(paper)
    assert paper.exterior.equals(within.exterior)
    assert paper.interiors, "nothing is cut"
    report = check_strength(paper, strap=min(strap, rim), smallest=smallest * 0.999)
    assert report.holds, (report.weakest, report.limbs, report.small_openings)
    openings = np.array(rings_of(paper), dtype=object)
    assert shapely.distance(openings, within.exterior).min() >= rim - 1e-6
    assert shapely.distance(openings, inner_edge(within, band)).min() >= strap - 0.02


def assert_mirrors_itself(paper, *, upright=True):
    """The same left and right, or upside down."""
    x, y = (paper.bounds[0] + paper.bounds[2]) / 2, (paper.bounds[1] + paper.bounds[3]) / 2
    other = scale(paper, -1, 1, origin=(x, y)) if upright else scale(paper, 1, -1, origin=(x, y))
    assert paper.symmetric_difference(other).area < 2e-3


def assert_drawn_or_refused_by_name(border, within, asked, *, mirrors=True):
    """Whatever is asked is drawn as asked, or refused by a sentence that begins with its parameter."""
    try:
        paper = border(within=within, **asked)
    except DoesNotFit as refusal:
        assert refusal.parameter in asked
        assert refusal.accepted
        assert str(refusal).startswith(f"{refusal.parameter} is ")
        assert "inf" not in str(refusal)
        return
    assert_cut_as_asked(paper, within, border, **asked)
    if mirrors:
        assert_mirrors_itself(paper)


def black_and_white_parts(paper: Polygon, pixels: int = 10) -> tuple[int, int]:
    """Draw it with a renderer and count what hangs together: parts of paper, and openings."""
    low_x, low_y, high_x, high_y = paper.bounds
    rings = [shapely.get_coordinates(ring) for ring in shapely.get_rings(paper)]
    path = "".join("M" + "L".join(f"{x:.3f} {high_y - y:.3f}" for x, y in ring) + "Z" for ring in rings)
    size = f'width="{(high_x + 2) * pixels}" height="{(high_y + 2) * pixels}"'
    text = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-1 -1 {high_x + 2} {high_y + 2}" {size}>'
        f'<rect x="-1" y="-1" width="100%" height="100%" fill="white"/>'
        f'<path d="{path}" fill-rule="evenodd"/></svg>'
    )
    picture = Image.open(io.BytesIO(bytes(resvg_py.svg_to_bytes(svg_string=text, dpi=96)))).convert("L")
    black = np.asarray(picture) < 128
    assert (low_x, low_y) == (0, 0)
    # white hangs together across corners where black does not, or the tip of an opening would count by itself
    return ndimage.label(black)[1], ndimage.label(~black, np.ones((3, 3)))[1] - 1
