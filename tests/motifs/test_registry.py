"""The catalogue is open, light to import, and gives a name to one motif only."""

import subprocess
import sys
from typing import Annotated

import pytest
from shapely import box

from canivet import motifs
from canivet.errors import BadValue
from canivet.motifs import catalogue, find_motif, motif, registry
from canivet.motifs.registry import Names
from canivet.parameters import Length


@pytest.fixture(autouse=True)
def the_catalogue_as_it_was(monkeypatch):
    catalogue()
    monkeypatch.setattr(registry, "_entered", dict(registry._entered))


def enter_pennant():
    @motif("outline")
    def pennant(*, width: Annotated[float, Length("width of the flag", 5, 300)] = 40, height=40):
        """A flag of paper."""
        return box(0, 0, width, height)

    return pennant


@pytest.mark.parametrize(
    "statement",
    [
        "import canivet.motifs",
        "from canivet.motifs import Family, Motif, catalogue, find_motif, motif, refused_guests",
        "from canivet.motifs import bounds",
    ],
)
def test_importing_the_catalogue_loads_nothing_heavy(statement):
    heavy = {"shapely", "numpy", "scipy", "cairocffi", "pydantic", "click", "canivet.motifs.borders"}
    code = f"{statement}; import sys; print(sorted({heavy} & set(sys.modules)))"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"


def test_every_motif_can_be_imported_by_its_name():
    for name, one in catalogue().items():
        assert getattr(motifs, name.replace("-", "_")) is one.draw
        assert name.replace("-", "_") in dir(motifs)
    with pytest.raises(ImportError, match="scalop"):
        from canivet.motifs import scalop  # noqa: F401


def test_a_motif_that_is_entered_late_is_in_the_catalogue():
    assert "pennant" not in catalogue()
    enter_pennant()
    assert catalogue()["pennant"].summary == "A flag of paper."
    assert find_motif("Pennant", family="outline").origin == __name__
    assert "pennant" in Names("outline")
    assert motifs.pennant(width=20).bounds == (0, 0, 20, 40)
    with pytest.raises(BadValue, match="width is 2 mm; it takes 5 mm to 300 mm"):
        motifs.pennant(width=2)


def test_a_name_that_is_taken_is_refused_with_both_origins():
    def scallop(**_):
        return None

    theirs = catalogue()["scallop"]
    with pytest.raises(BadValue) as caught:
        motif("border")(scallop)
    assert __name__ in caught.value.message
    assert theirs.origin in caught.value.message
    assert catalogue()["scallop"] is theirs


def test_a_module_that_is_loaded_anew_enters_its_own_once_more():
    first, second = enter_pennant(), enter_pennant()
    assert catalogue()["pennant"].draw is second is not first
