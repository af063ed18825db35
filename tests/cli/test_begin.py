"""``canivet start``: a design to begin from, in an empty folder."""

import json
import tomllib
from pathlib import Path

import jsonschema
import pytest
from sampling import a_few_of

from canivet.compose.beginning import SCHEMA_FILE, begin_design
from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.motifs.registry import Names


def test_a_design_is_begun_with_its_keys_beside_it_and_drawn_at_once(run):
    begun = run("start", "plate.toml")
    assert (begun.exit_code, begun.stdout.split()) == (0, ["plate.toml", SCHEMA_FILE])
    text = Path("plate.toml").read_text("utf-8")
    assert text.startswith(f"#:schema ./{SCHEMA_FILE}\n")
    schema = json.loads(Path(SCHEMA_FILE).read_text("utf-8"))
    jsonschema.Draft7Validator(schema).validate(tomllib.loads(text))
    made = run("make", "plate.toml")
    assert made.exit_code == 0
    assert "a matter of taste" not in made.stderr
    assert Path("plate.pdf").exists()


@a_few_of(2, frame=Names("frame"))
def test_a_design_begun_in_any_frame_holds_as_it_stands(frame, tmp_path):
    path = tmp_path / "plate.toml"
    path.write_text(begin_design("plate.toml", frame=frame), encoding="utf-8")
    assert compose_plate(load_design(path)).report.holds


def test_every_line_that_is_commented_out_may_be_taken_in(tmp_path):
    text = begin_design("plate.toml")
    keys = [line for line in text.splitlines() if line.startswith("# ") and " = " in line]
    assert len(keys) > 5
    opened = text.replace("# slip", "slip").replace("# [[lettering]]", "[[lettering]]")
    for key in ("text", "width", "height", "anchor"):
        head, mark, tail = opened.rpartition(f"# {key} =")
        opened = f"{head}{mark.removeprefix('# ')}{tail}"
    path = tmp_path / "plate.toml"
    path.write_text(opened, encoding="utf-8")
    design = load_design(path)
    assert (design.slip, design.lettering[0].text) == (0.2, "Ex libris")


def test_nothing_that_is_there_is_written_over(run, here):
    here("plate.toml", "mine")
    here(SCHEMA_FILE, "mine too")
    refused = run("start", "plate.toml")
    assert refused.exit_code == 1
    assert "plate.toml is there already" in refused.stderr
    assert Path("plate.toml").read_text("utf-8") == "mine"
    begun = run("start", "pond.toml")
    assert begun.exit_code == 0
    assert f"{SCHEMA_FILE} is there already" in begun.stderr
    assert Path(SCHEMA_FILE).read_text("utf-8") == "mine too"


@pytest.mark.parametrize(
    ("given", "status", "said"),
    [
        ([], 2, "start takes a name for the design"),
        (["plate.toml", "--keys", "-"], 2, "one of the two"),
        (["plate"], 2, "Call it plate.toml"),
        (["plate.toml", "--frame", "plint"], 2, "Did you mean 'plinth'?"),
        (["plate.toml", "--frame", "plinth", "--size", "6x4 in"], 1, "needs at least 169.5 mm"),
        (["plate.toml", "--size", "4 by 6"], 2, "two lengths joined by x"),
        (["plate.toml", "--strap", "1,2 mm"], 2, "Write a point"),
        (["nowhere/plate.toml"], 1, "nowhere"),
        (["--keys", "k.json", "--frame", "plinth"], 2, "--frame is given with --keys"),
    ],
)
def test_what_cannot_be_begun_is_said_and_leaves_nothing(run, given, status, said):
    refused = run("start", *given)
    assert refused.exit_code == status
    assert said in refused.stderr
    assert list(Path().iterdir()) == []


def test_the_keys_alone_are_printed_or_written(run):
    printed = run("start", "--keys", "-")
    assert json.loads(printed.stdout)["type"] == "object"
    assert run("start", "--keys", "keys.json").stdout == "keys.json\n"
    assert Path("keys.json").read_text("utf-8") == printed.stdout
