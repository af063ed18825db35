"""Which of the seven frieze groups each border has, found by laying its openings on their own images.

Nothing here knows how a border is drawn: only where its openings came out on the paper.
"""

import numpy as np
import pytest
import shapely
from support import rings_of

from canivet.motifs import catalogue
from canivet.motifs.outlines import rectangle

BAND = 14.0
LONG = 340.0
"""mm; a side so long has many repeats between its corner and its middle, where it may face about."""

FRIEZES = {
    "acanthus": "p11g", "bead-and-bar": "p2mm", "cable": "p211", "diamond-chain": "p2mm", "dentil": "p1m1", "double-scallop": "p1m1",
    "egg-and-dart": "p1m1", "festoon": "p1m1", "guilloche": "p211", "interlace": "p211",
    "lace-edge": "p1m1", "laurel": "p11m", "leaf-and-berry": "p11g", "pointed-arcade": "p1m1",
    "ray": "p1m1", "round-arcade": "p1m1", "running-scroll": "p1", "scallop": "p1m1", "stepped": "p2mg",
    "vine-and-grapes": "p11g", "wave": "p1", "zigzag": "p1m1",
}  # fmt: skip
"""By the notation of *International Tables for Crystallography* E (2002); the seven are those of J. H. Conway,
H. Burgiel and C. Goodman-Strauss, *The Symmetries of Things*, 2008, chapter 5 (both from memory)."""

SIGNS = {
    frozenset(): "p1", frozenset({"turn"}): "p211", frozenset({"upright"}): "p1m1", frozenset({"level"}): "p11m",
    frozenset({"glide"}): "p11g", frozenset({"turn", "upright", "level"}): "p2mm",
    frozenset({"turn", "upright", "glide"}): "p2mg",
}  # fmt: skip


def frieze_of(openings):
    """Return the sign of the frieze group of openings in a level row."""
    at = shapely.get_coordinates(shapely.centroid(openings))
    low, high = at[:, 0].min(), at[:, 0].max()
    bounds = shapely.bounds(openings)
    middle = (bounds[:, 1].min() + bounds[:, 3].max()) / 2
    core = openings[np.abs(at[:, 0] - (low + high) / 2) < 0.12 * (high - low)]
    tree = shapely.STRtree(shapely.points(at))
    places = np.sort(at[:, 0])
    seed = shapely.centroid(core[0]).x

    def maps(image):
        moved = shapely.transform(core, image)
        own = openings[tree.nearest(shapely.centroid(moved))]
        return bool(
            (shapely.area(shapely.symmetric_difference(moved, own)) < 0.02 * shapely.area(core)).all()
        )

    def some(image, least, most):
        return next((by for by in places - seed if least < by < most and maps(image(by))), None)

    period = some(lambda by: lambda p: np.add(p, (by, 0)), 0.5, 0.3 * (high - low))
    assert period, "not a frieze"
    near = (-1.01 * period, 1.01 * period)
    # an image about any line or point takes the first opening to another: those are all there are to try
    found = {
        "upright": some(lambda by: lambda p: p * (-1, 1) + (2 * seed + by, 0), *near),
        "turn": some(lambda by: lambda p: p * (-1, -1) + (2 * seed + by, 2 * middle), *near),
        "level": True if maps(lambda p: p * (1, -1) + (0, 2 * middle)) else None,
    }
    found["glide"] = (
        None if found["level"] else some(lambda by: lambda p: p * (1, -1) + (by, 2 * middle), *near)
    )
    return SIGNS[frozenset(name for name, by in found.items() if by is not None)]


@pytest.mark.parametrize("name", FRIEZES)
def test_a_border_has_the_symmetry_of_its_frieze(name):
    paper = catalogue()[name].draw(within=rectangle(width=LONG, height=90), band=BAND)
    openings = np.array(rings_of(paper))
    # what runs past many repeats is left out: the white about dentils, whose slits and beads show the group
    openings = openings[np.ptp(shapely.bounds(openings)[:, [0, 2]], axis=1) < LONG / 4]
    x, y = shapely.get_coordinates(shapely.centroid(openings)).T
    assert frieze_of(openings[(y < BAND) & (x > LONG / 2 + 15) & (x < LONG - 25)]) == FRIEZES[name]


def test_all_seven_friezes_are_among_the_borders():
    assert set(FRIEZES.values()) == set(SIGNS.values())
