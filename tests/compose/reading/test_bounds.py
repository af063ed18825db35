"""What would take for ever to read is refused at once with its limit, and what is under the limit is read."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from svg_specimens import XMLNS

from canivet.audit.boundary import boundary_of
from canivet.audit.necks import find_necks, measure_necks
from canivet.compose.reading import _flatten, _paint, _strokes, _style_sheets
from canivet.compose.reading.svg import read_svg
from canivet.errors import DoesNotFit, Unreadable

OPEN = f'<svg {XMLNS} width="100" height="100" viewBox="0 0 1000 1000">'


def drawing(body):
    return f"{OPEN}{body}</svg>".encode()


def squares_within(count):
    step = 490 / count
    steps = (f"M{k * step} {k * step}H{1000 - k * step}V{1000 - k * step}H{k * step}z" for k in range(count))
    return f'<path fill-rule="evenodd" d="{"".join(steps)}"/>'


def layers(count):
    step = 490 / count
    return "".join(
        f'<rect x="{k * step}" y="{k * step}" width="{1000 - 2 * k * step}" height="{1000 - 2 * k * step}" '
        f'fill="{("black", "white")[k % 2]}"/>'
        for k in range(count)
    )


def hatching(count, width):
    steps = "".join(f"L{k * 0.1:.1f} {500 + 400 * (-1) ** k}" for k in range(count))
    return f'<path fill="none" stroke="black" stroke-width="{width}" d="M0 0{steps}"/>'


def ruled(rules, depth=3, selector=".a{k}"):
    sheet = "".join(selector.format(k=k) + "{fill:black}" for k in range(rules))
    return f'<style>{sheet}</style>{"<g>" * depth}<rect width="9" height="9"/>{"</g>" * depth}'


TOO_MANY = {
    "squares within squares": (squares_within(20_000), "lie one within the other too often"),
    "layers upon layers": (layers(6_000), "lie one over the other too often"),
    "a scribble over itself": (hatching(6_000, width=900), "its strokes overlap too often"),
    "a million steps": (f'<path d="M0 0{"h1v1" * 500_000}"/>', "more than 100 000 steps"),
    "a hundred thousand shapes": ('<rect width="1" height="1"/>' * 99_000, "at most 10000 are read"),
    "rules that look through all about them": (
        ruled(40, depth=60, selector="q g g g g rect"), "style sheets of too many rules",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", TOO_MANY)
def test_what_would_never_be_read_is_refused_with_its_reason(name):
    body, words = TOO_MANY[name]
    with pytest.raises(Unreadable, match=words):
        read_svg(drawing(body), name="heron.svg")


def test_a_hundred_squares_within_each_other_are_read():
    rings = read_svg(drawing(squares_within(100)), name="heron.svg").area
    assert len(rings.geoms) == 50
    assert all(len(ring.interiors) == 1 for ring in rings.geoms)


def test_layers_over_each_other_alternate():
    assert len(read_svg(drawing(layers(101)), name="heron.svg").area.geoms) == 51


def test_blanks_in_path_data_cost_nothing_more_than_their_length():
    square = drawing(f'<path d="M0 0{" " * 500_000}H1000V1000H0z"/>')
    area = read_svg(square, name="heron.svg").area
    x0, y0, x1, y1 = area.bounds
    assert area.area == pytest.approx((x1 - x0) * (y1 - y0))


def test_two_hundred_thousand_near_points_of_a_wide_line_are_no_overlaps():
    turns = np.arange(50_000)
    spiral = np.column_stack([np.cos(turns / 100), np.sin(turns / 100)]) * turns[:, None] / 100
    _strokes.require_few_overlaps([_flatten.Subpath(spiral, closed=False)], width=6)


@pytest.mark.parametrize(
    ("module", "limit", "body"),
    [
        (_flatten, "MOST_WITHIN", squares_within(30)),
        (_paint, "MOST_LAYERS", layers(31)),
        (_strokes, "MOST_OVERLAPS", hatching(40, width=90)),
        (_style_sheets, "MOST_MATCHES", ruled(10)),
    ],
    ids=["within", "layers", "strokes", "rules"],
)
def test_each_limit_is_what_refuses(monkeypatch, module, limit, body):
    read_svg(drawing(body), name="heron.svg")
    monkeypatch.setattr(module, limit, 20)
    with pytest.raises(Unreadable, match="too"):
        read_svg(drawing(body), name="heron.svg")


def test_plain_rules_of_a_drawing_program_are_read():
    assert not read_svg(drawing(ruled(3_000)), name="heron.svg").area.is_empty


def test_a_comb_past_all_cutting_is_too_dense_to_audit():
    x = np.repeat(np.arange(45_000) / 3000, 2)
    edge = np.column_stack([x, np.tile([1.0, 1.02], 45_000)])
    comb = shapely.Polygon(np.vstack([[[0, 0]], edge, [[15, 0]]]))
    with pytest.raises(DoesNotFit, match=r"too dense to audit: about [\d,]+ of its edges lie within 2 mm"):
        measure_necks(comb, limit=2)


def test_rings_one_behind_the_other_have_each_their_own_neck():
    # Frames 1 mm wide with 1 mm between them: derived. Every frame has its necks; none leads across two.
    frames = [
        shapely.box(k, k, 90 - k, 90 - k) - shapely.box(k + 1, k + 1, 89 - k, 89 - k) for k in range(0, 40, 2)
    ]
    necks = find_necks(boundary_of(shapely.MultiPolygon(frames)), 30)
    assert (abs(necks.width - 1) < 1e-9).sum() >= 8 * len(frames)
    assert not (abs(necks.width - 3) < 1e-9).any()
