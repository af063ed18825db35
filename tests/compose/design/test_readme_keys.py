"""The README's table of keys is that of the tables a design is read with."""

import dataclasses
import re
from pathlib import Path

import pytest

from canivet.compose.design.folding import FoldSettings
from canivet.compose.design.loading import Design
from canivet.compose.design.tables import (
    JoinSettings,
    LetteringSettings,
    PaperSettings,
    PlacedSilhouette,
    RepairSettings,
    SeriesSettings,
    SheetSettings,
    VignetteSettings,
)
from canivet.compose.planning.settings import Pace, PlanSettings

README = (Path(__file__).parents[3] / "README.md").read_text("utf-8")
TABLES = {
    "paper": PaperSettings, "sheet": SheetSettings, "vignette": VignetteSettings, "silhouette": PlacedSilhouette,
    "lettering": LetteringSettings, "series": SeriesSettings, "join": JoinSettings, "repair": RepairSettings,
}  # fmt: skip
MOTIFS = {"outline", "border", "ground"}
OURS = {"folder"}
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
        return {n: f.get_default(call_default_factory=True) for n, f in model.model_fields.items()}

    known: dict[tuple[str, str], object] = {}
    for name, default in of(Design).items():
        if name in TABLES or name in OURS or name in ("plan", "fold"):
            continue
        known["", name] = default
        if name in MOTIFS:
            known[name, "motif"] = known.pop(("", name))
    for table, model in TABLES.items():
        known |= {(table, name): default for name, default in of(model).items() if name not in OURS}
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


@pytest.mark.parametrize(
    "key", [key for key, default in KEYS.items() if isinstance(default, (int, float)) and key in TOLD]
)
def test_the_default_of_a_number_or_a_flag_is_the_one_in_the_readme(key):
    default = KEYS[key]
    said = TOLD[key]
    if isinstance(default, bool):
        assert str(default).lower() in said or (not default and said == "")
    else:
        numbers = [float(number) for number in re.findall(r"\d+(?:\.\d+)?", said)]
        assert default in numbers or (default == 0 and said == "")
