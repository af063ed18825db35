import sys
from pathlib import Path

import pytest

from canivet.compose.reading.silhouette import read_silhouette
from canivet.motifs import find_motif

sys.path.insert(0, str(Path(__file__).parent))  # the checker stands beside the tests

GALLERY = Path(__file__).parents[3] / "gallery"


def drawn(name: str):
    """A gallery piece by its file, or a lattice in an oval."""
    if name.endswith(".svg"):
        area = read_silhouette(GALLERY / name).area
        return area.geoms[0] if area.geom_type == "MultiPolygon" else area
    oval = find_motif("oval").draw(width=70, height=95)
    return find_motif(name).draw(within=oval, strap=1.1)


@pytest.fixture(scope="session")
def piece():
    kept = {}

    def find(name: str):
        if name not in kept:
            kept[name] = drawn(name)
        return kept[name]

    return find
