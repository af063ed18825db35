"""The pattern sheets show the whole catalogue."""

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from canivet.motifs.registry import catalogue

SHEETS = Path(__file__).parents[2] / "gallery/patterns"


@pytest.mark.parametrize("family", ["outline", "border", "lattice", "form"])
def test_every_motif_is_on_its_sheet(family):
    root = ET.fromstring((SHEETS / f"{family}s.svg").read_text(encoding="utf-8"))
    shown = {group.get("id") for group in root.iter("{http://www.w3.org/2000/svg}g")}
    assert {m.name for m in catalogue().values() if m.family == family} == shown - {None}
    assert (SHEETS / f"{family}s.png").stat().st_size > 10_000
