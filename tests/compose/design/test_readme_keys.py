"""The README's table of keys is that of the tables a design is read with."""

import dataclasses
import re
from enum import Enum
from pathlib import Path

import pytest

from canivet.compose.design.border_table import BORDER_KEYS
from canivet.compose.design.finishing import (
    GroundSettings,
    LightSettings,
    MatSettings,
    MouldingSettings,
    MountSettings,
    PatchSettings,
    PriceSettings,
)
from canivet.compose.design.fit import FitSettings
from canivet.compose.design.folding import FoldSettings
from canivet.compose.design.loading import LAYERS, Design
from canivet.compose.design.tables import (
    JoinSettings,
    LetteringSettings,
    LineSettings,
    PaperSettings,
    PlacedSilhouette,
    RepairSettings,
    SeriesSettings,
    SheetSettings,
    VignetteSettings,
)
from canivet.compose.design.values.reading import Measure
from canivet.compose.planning.settings import Pace, PlanSettings

README = (Path(__file__).parents[3] / "README.md").read_text("utf-8")
TABLES = {
    "fit": FitSettings, "paper": PaperSettings, "sheet": SheetSettings, "vignette": VignetteSettings, "silhouette": PlacedSilhouette,
    "lettering": LetteringSettings, "lines": LineSettings, "series": SeriesSettings, "join": JoinSettings, "repair": RepairSettings,
    "patch": PatchSettings, "mount": MountSettings, "mount.mat": MatSettings, "mount.ground": GroundSettings, "mount.moulding": MouldingSettings,
    "mount.light": LightSettings, "price": PriceSettings,
}  # fmt: skip
MOTIFS = {"outline", "border", "ground"}
OURS = {"folder", "source"}
"""What the loader fills in by itself."""


def rows() -> list[tuple[str, str]]:
    """Return the first and last cell of each row of the README's table."""
    section = README.partition("## Keys of a design")[2].partition("\n## ")[0]
    lines = [line for line in section.splitlines() if line.startswith("|")][2:]
    cells = [[cell.strip() for cell in re.split(r"(?<!\\)\|", line)[1:-1]] for line in lines]
    return [(first, last) for first, _, last in cells]


def told() -> dict[tuple[str, str], str]:
    """Return every key of the README's table, by table and name, with what its row says of the default."""
    found, table, listed = {}, "", ""
    for first, last in rows():
        head = re.match(r"`\[\[(\w+)\]\]`", first)
        if head:
            table = listed = head[1]
        elif first.startswith("…"):
            table = listed
        else:
            table = ""
        for token in re.findall(r"`([^`]+)`", first):
            if token.startswith("[["):
                continue
            if "." in token:
                table, token = token.rsplit(".", 1)
            found[table, token] = last
    return found


TOLD = told()


def keys() -> dict[tuple[str, str], object]:
    """Return every key a design may have, with its default."""

    def of(model):
        return {f.alias or n: f.get_default(call_default_factory=True) for n, f in model.model_fields.items()}

    known: dict[tuple[str, str], object] = {}
    for name, default in of(Design).items():
        if name in TABLES or name in OURS or name in ("plan", "fold", "layer"):
            continue
        known["", name] = default
        if name in MOTIFS:
            known[name, "motif"] = known.pop(("", name))
    known |= {("border", name): None for name in BORDER_KEYS}
    for table, model in TABLES.items():
        own = {name: default for name, default in of(model).items() if f"{table}.{name}" not in TABLES}
        known |= {(table, name): default for name, default in own.items() if name not in OURS}
    known |= {("layer", name): None for name in LAYERS}
    known |= {("fold", one.name): one.default for one in dataclasses.fields(FoldSettings)}
    for table, settings in (("plan", PlanSettings), ("plan.pace", Pace)):
        known |= {
            (table, one.name): one.default for one in dataclasses.fields(settings) if one.name != "pace"
        }
    return known


KEYS = keys()
BESIDE_PANEL = {("lettering", name) for name in ("width", "height", "anchor", "at", "offset")}
"""Told in the row of `panel`, among its words."""


def test_every_key_of_a_design_is_in_the_readme():
    assert not {key for key in KEYS if key not in TOLD} - BESIDE_PANEL


def test_the_readme_has_no_key_that_is_none():
    assert not set(TOLD) - set(KEYS)


def numbers_in(text: str) -> list[float]:
    return [float(number) for number in re.findall(r"\d+(?:\.\d+)?", text)]


def is_told(default: object, said: str) -> bool:
    """Say whether what the README tells of a default is true; one that does nothing need not be told."""
    match default:
        case bool():
            return str(default).lower() in said or (not default and said == "")
        case int() | float():
            return default in numbers_in(said) or (default == 0 and said == "")
        case Measure(number, True):
            return f"{100 * number:g} %" in said
        case Enum() | str():
            return str(default.value if isinstance(default, Enum) else default) in said
        case _:
            return True


@pytest.mark.parametrize("key", [key for key in KEYS if key in TOLD])
def test_a_default_is_the_one_in_the_readme(key):
    assert is_told(KEYS[key], TOLD[key]), (KEYS[key], TOLD[key])


def test_where_words_stand_without_a_panel_is_told_in_the_row_of_the_panel():
    said = TOLD["lettering", "panel"]
    assert all(is_told(KEYS[key], said) for key in BESIDE_PANEL if KEYS[key] not in (None, (0.0, 0.0)))


def test_no_key_is_told_twice():
    tokens = [token for first, _ in rows() for token in re.findall(r"`([^`]+)`", first) if "." in token]
    assert len(set(tokens)) == len(tokens)


def test_a_wrong_default_is_seen():
    assert not is_told(1.2, "1.3 mm")
    assert not is_told(True, "false")
    assert not is_told("foot", "top")
    assert not is_told(Measure(0.8, True), "70 %")
