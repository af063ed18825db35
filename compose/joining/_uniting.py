"""Parts and bridges put together, and what that leaves too thin or too small mended."""

from __future__ import annotations

from functools import cache, partial

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.audit.again import Measures
from canivet.audit.boundary import Floats, Paper, boundary_of
from canivet.audit.strength import REACH, TOLERANCE
from canivet.compose.mending.areas import areas_of, on_grid
from canivet.compose.mending.patching import discs_on, discs_until_wide, mended_until_sound, patched
from canivet.compose.mending.repair import fill_openings
from canivet.compose.mending.thickening import MARGIN
from canivet.errors import DoesNotFit

from .candidates import Parts

__all__ = ["unite"]

_ROUNDS = 6
"""Patching a neck seldom leaves another; this only bounds it."""


def unite(
    parts: Parts, bodies: list[Polygon], strap: float, smallest: float, known: Measures
) -> tuple[Polygon, list[Polygon], list[Polygon]]:
    """Put parts and bridges together, fill what cannot be cut, patch the necks that bridges made.

    Also returns what was filled and what was patched. `known` is what was measured of the parts, and is left
    with what was measured of the whole.
    """
    about_patches: shapely.Geometry = Polygon()
    disc = partial(discs_on, radius=strap / 2 + MARGIN)
    filled: list[Polygon] = []
    laid: list[Polygon] = []

    def fill(paper: Paper) -> Paper:
        paper, holes = fill_openings(paper, smallest)
        filled.extend(holes)
        return paper

    @cache
    def about_bridges() -> shapely.Geometry:
        return shapely.union_all(bodies).buffer(1.5 * strap)

    def beside_bridges(places: Floats) -> Floats:
        if len(places) == 0:
            return places
        beside = shapely.intersects_xy(about_bridges(), places) | shapely.intersects_xy(about_patches, places)
        return np.asarray(places[beside])

    def weak(paper: Paper) -> Floats:
        necks = known.find_necks(boundary_of(paper), REACH * strap).under(strap - TOLERANCE)
        return beside_bridges(necks.middle)

    def mend(paper: Paper, places: Floats) -> Paper | None:
        nonlocal about_patches
        if len(places) == 0:
            return None
        discs = discs_until_wide(paper, places, strap=strap, disc=disc, allowed=beside_bridges)
        patch = shapely.union_all(discs)
        laid.extend(shapely.get_parts(areas_of(patch.difference(paper))).tolist())
        about_patches = about_patches.union(patch.buffer(1.5 * strap))
        return fill(patched(paper, [patch]))

    whole = fill(on_grid(shapely.union_all([*parts, *bodies])))
    whole, _ = mended_until_sound(whole, weak, mend, rounds=_ROUNDS)
    if not isinstance(whole, Polygon):
        raise DoesNotFit(
            f"the paper is still in {shapely.get_num_geometries(whole)} parts after bridging; some are too "
            "small to take hold of. Drop its specks first, or make the piece larger.",
            parameter="paper",
        )
    return whole, filled, laid
