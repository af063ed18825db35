"""An audit that is told of an earlier one finds what the full audit finds, to the last digit, with less work."""

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import Point, affinity, box
from shapely.geometry import MultiPolygon, Polygon
from strategies import seeds
from support import random_paper

from canivet.audit import again, limbs
from canivet.audit.again import Measures
from canivet.audit.boundary import boundary_of
from canivet.audit.strength import check_strength
from canivet.motifs import find_motif

LATTICES = ("hexagon-lattice", "diamond-lattice", "square-lattice", "triangle-lattice")


def lattice(name, width=60.0):
    oval = find_motif("oval").draw(width=width, height=1.3 * width)
    return find_motif(name).draw(within=oval, pitch=5, strap=1.0, rim=2.0)


shares, sizes, turns = st.floats(0, 1), st.floats(0.2, 4), st.floats(0, 180)
edits = st.tuples(
    st.sampled_from(["disc", "bar", "pin"]), sizes, turns, shares, shares, st.sampled_from("+-^")
)
papers = st.one_of(seeds.map(random_paper), seeds.map(random_paper), st.sampled_from(LATTICES).map(lattice))


NO_END_ANY_MORE = [("disc", 1.0, 0.0, 0.5, 0.25, "+"), ("disc", 1.0, 0.0, 0.5, 0.25, "-")]
"""The edge that led to a corner goes, the one that leads on stays, and no neck begins there afterwards."""

JOINED_OTHERWISE = [
    ("disc", 1.0, 0.0, 0.0, 0.0, "-"), ("disc", 2.0, 0.0, 0.875, 0.0, "^"), ("disc", 3.0, 0.0, 1.0, 0.125, "+"),
]  # fmt: skip
"""At a place where an edge touches itself, the same segments come to be joined in another way."""


def edited(paper, edit, *, backwards):
    """Lay something on a paper, cut it out, or swap paper and opening there; its parts may come in another order."""
    kind, size, turn, across, up, how = edit
    x0, y0, x1, y1 = paper.bounds
    shape = {"disc": Point(0, 0).buffer(size, quad_segs=8), "bar": box(-size, -size / 5, size, size / 5),
             "pin": box(-0.02, -size, 0.02, size)}[kind]  # fmt: skip
    placed = affinity.translate(affinity.rotate(shape, turn), x0 + across * (x1 - x0), y0 + up * (y1 - y0))
    changed = {"+": paper.union, "-": paper.difference, "^": paper.symmetric_difference}[how](placed)
    parts = shapely.get_parts(shapely.set_precision(shapely.set_precision(changed, 0.001), 0))
    parts = [part for part in parts if isinstance(part, Polygon)][:: -1 if backwards else 1]
    return parts[0] if len(parts) == 1 else MultiPolygon(parts)


@pytest.mark.parametrize("most", [12, pytest.param(1000, marks=pytest.mark.slow)])
def test_after_any_edits_the_report_is_that_of_the_full_audit(most):
    @settings(max_examples=most, deadline=None)
    @given(
        papers, st.lists(edits, min_size=5, max_size=5), st.booleans(),
        st.sampled_from([0.5, 1.0, 1.2, 3.0, 8.0]), st.sampled_from([1.0, 3.0]),
    )  # fmt: skip
    @example(lattice(LATTICES[0]), NO_END_ANY_MORE, False, 1.2, 1.0)
    @example(random_paper(21), JOINED_OTHERWISE, False, 0.5, 1.0)
    def five_edits(paper, changes, backwards, strap, look):
        known = Measures()
        for change in [None, *changes]:
            paper = paper if change is None else edited(paper, change, backwards=backwards)
            if paper.is_empty:
                return
            asked = {"strap": strap, "smallest": 0.5, "look": look}
            assert check_strength(paper, known=known, **asked) == check_strength(paper, **asked)

    five_edits()


@pytest.fixture
def searched(monkeypatch):
    """How many vertices are looked out from, and how many rings are looked at for limbs, audit by audit."""
    counts = []
    search, thin = again.find_chords, limbs._thin_pieces

    def counted_search(boundary, limit, ends=None):
        counts.append(len(boundary.points) if ends is None else len(ends))
        return search(boundary, limit, ends)

    def counted_thin(rings, *given):
        counts.append(len(rings))
        return thin(rings, *given)

    monkeypatch.setattr(again, "find_chords", counted_search)
    monkeypatch.setattr(limbs, "_thin_pieces", counted_thin)
    return counts


def test_only_what_lies_about_a_change_is_measured_anew(searched):
    paper, known = lattice("hexagon-lattice"), Measures()
    check_strength(paper, strap=1.0, known=known)
    check_strength(paper.union(Point(30, 39).buffer(2)), strap=1.0, known=known)
    vertices, _, again_vertices, _ = searched
    assert 0 < again_vertices < vertices / 10


def test_another_audit_of_the_same_paper_measures_nothing(searched):
    paper, known = lattice("diamond-lattice").union(box(28, -9, 29, 9)), Measures()
    first = check_strength(paper, strap=1.1, known=known)
    turned = Polygon(np.roll(paper.exterior.coords[:-1], 7, axis=0), paper.interiors[::-1])
    second = check_strength(turned, strap=1.1, known=known)
    assert min(searched[:2]) > 0 == max(searched[2:])
    assert len(first.necks) == len(second.necks) > 0 < len(second.limbs)


def test_a_search_that_does_not_end_leaves_what_was_known_as_it_was(monkeypatch):
    frame = box(0, 0, 40, 30) - box(2, 2, 38, 28)
    known = Measures()
    check_strength(frame, strap=1.5, known=known)
    with monkeypatch.context() as patched:
        patched.setattr(again, "find_chords", lambda *_: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            check_strength(frame, strap=6.0, known=known)
    after = check_strength(frame, strap=6.0, known=known)
    assert after == check_strength(frame, strap=6.0)
    assert not after.holds


def test_another_paper_is_measured_no_wider_than_is_asked(monkeypatch):
    reaches, search = [], again.find_chords

    def noted(boundary, limit, ends=None):
        reaches.append(limit)
        return search(boundary, limit, ends)

    monkeypatch.setattr(again, "find_chords", noted)
    known, frame, square = Measures(), box(0, 0, 40, 30) - box(2, 2, 38, 28), box(0, 0, 9, 9)
    for paper, limit in ((frame, 3.0), (frame, 1.0), (square, 1.0), (square - box(4, 4, 5, 5), 1.0)):
        known.find_necks(boundary_of(paper), limit)
    assert reaches == [3.0, 3.0, 1.0, 1.0]


def test_a_copy_of_what_was_measured_is_not_touched_by_a_later_audit(searched):
    paper, known = lattice("hexagon-lattice", 30.0), Measures()
    check_strength(paper, strap=1.1, known=known)
    check_strength(box(0, 0, 9, 9), strap=1.1, known=known.copy())
    searched.clear()
    check_strength(paper, strap=1.1, known=known)
    assert searched == [0, 0]
