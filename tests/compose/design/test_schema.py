"""The schema of designs, judged by a validator that had no part in it, against what the reader itself says."""

import json
import tomllib
from pathlib import Path

import jsonschema
import pytest

from canivet.compose.design.loading import MOTIF_TABLES, OWN, Design, load_design
from canivet.compose.design.schema import design_schema
from canivet.compose.design.values.reading import Table
from canivet.errors import CanivetError
from canivet.motifs.registry import catalogue

ROOT = Path(__file__).parents[3]
DESIGNS = sorted((ROOT / "gallery").glob("*/*.toml"))

PLATE = 'title = "Pond"\nsize = "4x6 in"\n'


@pytest.fixture(scope="module")
def schema():
    return design_schema()


@pytest.fixture(scope="module")
def faults(schema):
    """Say what the independent validator finds wrong in a design's text."""
    validator = jsonschema.Draft7Validator(schema)

    def found(text):
        return [fault.message for fault in validator.iter_errors(tomllib.loads(text))]

    return found


def test_it_is_a_schema_of_draft_7_in_plain_values(schema):
    # JSON Schema draft 7's own meta-schema, as the jsonschema package carries it
    jsonschema.Draft7Validator.check_schema(schema)
    assert json.loads(json.dumps(schema)) == schema


@pytest.mark.parametrize("path", DESIGNS, ids=lambda p: f"{p.parent.name}-{p.stem}")
def test_every_design_of_the_gallery_passes(path, faults):
    assert faults(path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    "wrong",
    [
        'size = "4x6 in"',
        'title = "Pond"',
        PLATE + "stap = 1",
        PLATE + 'strap = "1,2 mm"',
        PLATE + 'strap = "1.2 inches"',
        PLATE + "strap = true",
        PLATE + 'border = "scalop"',
        PLATE + "[border]\nband = 9",
        PLATE + '[border]\nmotif = "scallop"\ntwists = 3',
        PLATE + '[border]\nmotif = "scallop"\npetals = 99',
        PLATE + '[ground]\nmotif = "scallop"',
        PLATE + '[border]\nmotif = "wave"\ncorner = "rosett"',
        PLATE + '[border]\nmotif = "wave"\nblock = "plinth"',
        PLATE + '[border]\nmotif = "wave"\nbands = {left = 9, right = 9, top = 9}',
        PLATE + '[[border]]\nmotif = "wave"\n[[border]]\nmotif = "wavy"',
        'title = "Pond"\n[fit]\nframee = "8x10 in"',
        PLATE + 'frame = "plinth"\nborder = "scallop"',
        PLATE + '[sheet]\nink = "sold"',
        PLATE + '[plan]\nhand = "both"',
        PLATE + "[plan.pace]\nknive = 100",
        PLATE + '[fold]\nkind = "mirror"\nring = "drops"',
        PLATE + '[[silhouette]]\nfile = "a.svg"\nheigth = "40%"',
        PLATE + '[[silhouette]]\nfile = "a.svg"\nturn = "ninety"',
        PLATE + '[[lettering]]\ntext = "Ada"\nmode = "carved"',
    ],
)
def test_what_it_refuses_the_reader_refuses_too(wrong, faults, tmp_path):
    assert faults(wrong)
    path = tmp_path / "wrong.toml"
    path.write_text(wrong, encoding="utf-8")
    with pytest.raises(CanivetError):
        load_design(path)


@pytest.mark.parametrize(
    "right",
    [
        PLATE,
        'title = "Pond"\nsize = ["4x6 in", "A5"]',
        PLATE + 'strap = "0.05 in"\nrim = 3',
        PLATE + 'border = "scallop"',
        PLATE + '[border]\nmotif = "scallop"\nband = "1 cm"\npetals = 5',
        PLATE + 'frame = {motif = "plinth", rim = "3 mm"}',
        PLATE + '[[lettering]]\ntext = "Ada"\nwidth = "60 %"\nat = ["50%", "12 mm"]',
        PLATE + '[join]\ndirection = "45°"',
        PLATE
        + '[border]\nmotif = "wave"\nbands = {left = 9, right = 9, top = "9 mm", foot = 14}\ncorner = "rosette"',
        PLATE
        + '[[border]]\nmotif = "wave"\n[[border]]\nmotif = "zigzag"\nblock = {motif = "star-lattice", pitch = 9}',
        'title = "Pond"\n[fit]\nmat_opening = "7.5x9.5 in"\noverlap = 5',
        'title = "Rose"\nfold = "medallion"',
        'title = "Rose"\n[fold]\nkind = "p6mm"\nflat = true',
    ],
)
def test_what_the_reader_takes_it_takes(right, faults, tmp_path):
    path = tmp_path / "right.toml"
    path.write_text(right, encoding="utf-8")
    load_design(path)
    assert faults(right) == []


def test_every_key_of_every_table_is_in_it(schema):
    assert set(schema["properties"]) == set(Design.model_fields) - OWN
    tables = {table.__name__: table for table in Table.__subclasses__()}
    told = schema["definitions"].keys() & tables.keys()
    assert {"LetteringSettings", "PlacedSilhouette", "VignetteSettings"} <= told
    for name in told:
        definition = schema["definitions"][name]
        keys = {field.alias or key for key, field in tables[name].model_fields.items()}
        assert definition.get("anyOf", [definition])[-1]["properties"].keys() == keys


def test_every_motif_is_in_the_table_of_its_family(schema):
    for table, family in MOTIF_TABLES.items():
        names = [name for name, one in catalogue().items() if one.family == family]
        assert schema["definitions"][table]["anyOf"][0]["enum"] == names
