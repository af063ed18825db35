"""What the tests of borders share: pieces to lay them on, and one assertion for what every border promises."""

from __future__ import annotations

import inspect
import io

import numpy as np
import resvg_py
import shapely
from hypothesis import strategies as st
from PIL import Image
from scipy import ndimage
from shapely.affinity import scale
from shapely.geometry import Polygon
from support import assert_one_piece, rings_of

from canivet.audit.strength import check_strength
from canivet.errors import DoesNotFit
from canivet.motifs.borders.band import inner_edge
from canivet.motifs.outlines import arch, circle, oval, pointed_arch, rectangle, rounded_rectangle

__all__ = [
    "OUTLINES",
    "anything_in_range",
    "assert_cut_as_asked",
    "assert_drawn_or_refused_by_name",
    "assert_mirrors_itself",
    "black_and_white_parts",
    "on_every_outline",
    "sensible",
]

OUTLINES = [rectangle, oval, arch, rounded_rectangle, pointed_arch]


def on_every_outline(width: float, height: float) -> list[Polygon]:
    return [*(outline(width=width, height=height) for outline in OUTLINES), circle(width=width)]


def assert_cut_as_asked(paper, within, border, **asked):
    """One piece, straps and openings as asked, the rim and the window untouched, the size as asked."""
    defaults = {name: p.default for name, p in inspect.signature(border).parameters.items()}
    strap, rim, band, smallest = ({**defaults, **asked}[n] for n in ("strap", "rim", "band", "smallest"))
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


def assert_drawn_or_refused_by_name(border, within, asked):
    """Whatever is asked is drawn as asked, or refused by a sentence that begins with its parameter."""
    try:
        paper = border(within=within, **asked)
    except DoesNotFit as refusal:
        assert refusal.parameter in asked
        assert refusal.accepted
        assert str(refusal).startswith(f"{refusal.parameter} is ")
        return
    assert_cut_as_asked(paper, within, border, **asked)
    assert_mirrors_itself(paper)


@st.composite
def sensible(draw):
    """A piece, and a request that any border must meet."""
    outline = draw(st.sampled_from(OUTLINES))
    width = draw(st.floats(60, 200))
    within = outline(width=width, height=width * draw(st.floats(1, 1.5)))
    band = draw(st.floats(8, min(16, 0.13 * width + 3.5)))
    asked = {"band": band, "rim": draw(st.floats(1.6, 2.5)), "strap": draw(st.floats(1, 1.6))}
    asked["repeat"] = draw(st.none() | st.floats(6, 14))
    return within, asked


@st.composite
def anything_in_range(draw):
    """A piece, and a request that may well not fit."""
    outline = draw(st.sampled_from(OUTLINES))
    width = draw(st.floats(50, 200))
    within = outline(width=width, height=width * draw(st.floats(1, 1.6)))
    return within, {
        "band": draw(st.floats(3, 60)),
        "rim": draw(st.floats(0.3, 6)),
        "strap": draw(st.floats(0.3, 4)),
        "repeat": draw(st.none() | st.floats(2, 80)),
        "smallest": draw(st.floats(0.1, 2)),
    }


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
