"""Motifs of other packages: installed by pip, they are in every command; broken ones are named and skipped."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

GUEST = Path(__file__).parents[1] / "guest_package"


def run(folder, *args, path):
    """Run the command line in a process of its own, in `folder`, with `path` before all else that is imported."""
    return subprocess.run(
        [sys.executable, "-m", "canivet.cli", *args], cwd=folder, capture_output=True, text=True,
        env={**os.environ, "PYTHONPATH": str(path)}, check=False,
    )  # fmt: skip


@pytest.fixture(scope="module")
def installed(tmp_path_factory):
    """The example package, installed by pip without a network."""
    source, target = tmp_path_factory.mktemp("source"), tmp_path_factory.mktemp("site")
    for file in GUEST.rglob("*"):
        if file.is_file() and "__pycache__" not in file.parts:
            copy = source / file.relative_to(GUEST)
            copy.parent.mkdir(parents=True, exist_ok=True)
            copy.write_bytes(file.read_bytes())
    pip = [
        sys.executable,
        "-m",
        "pip",
        "install",
        "--quiet",
        "--no-deps",
        "--no-index",
        "--no-build-isolation",
    ]
    subprocess.run([*pip, "--target", str(target), str(source)], check=True, capture_output=True)
    return target


def write_guest(site: Path, code: str) -> Path:
    """Put a module and its metadata into a folder, as pip would."""
    (site / "stranger.py").write_text("from typing import Annotated\nfrom shapely import MultiPolygon, Polygon, box\n"
                                      "from canivet.motifs import motif\nfrom canivet.parameters import Length\n" + code)  # fmt: skip
    about = site / "stranger-1.0.dist-info"
    about.mkdir()
    (about / "METADATA").write_text("Metadata-Version: 2.1\nName: stranger\nVersion: 1.0\n")
    (about / "entry_points.txt").write_text("[canivet.motifs]\nstranger = stranger\n")
    return site


def test_a_package_that_is_installed_is_in_every_command(installed, tmp_path):
    listed = run(tmp_path, "motifs", "--json", path=installed)
    assert {"portholes", "corner-posts"} <= {one["name"] for one in json.loads(listed.stdout)}
    assert listed.stderr == ""
    told = run(tmp_path, "motifs", "portholes", path=installed)
    assert "Round holes in rows" in told.stdout
    drawn = run(tmp_path, "draw", "portholes", "--size", "80x60 mm", "-o", "ports.svg", path=installed)
    assert (drawn.returncode, drawn.stdout) == (0, "ports.svg\n")
    design = 'title = "Guests"\nsize = "80x120 mm"\n[border]\nmotif = "corner-posts"\n[ground]\nmotif = "portholes"\npitch = "9 mm"\n'
    (tmp_path / "guests.toml").write_text(design)
    made = run(tmp_path, "make", "guests.toml", path=installed)
    assert made.returncode == 0, made.stderr
    assert (tmp_path / "guests.pdf").is_file()
    refused = run(tmp_path, "draw", "portholes", "--set", "pitch=1mm", "-o", "no.svg", path=installed)
    assert "pitch is 1 mm; it takes 2 mm to 200 mm" in refused.stderr


BROKEN = {
    "raises on import": ("raise RuntimeError('no luck')", "RuntimeError: no luck"),
    "shadows a name": (
        "@motif('border')\ndef scallop(*, within, band, strap, smallest): return within",
        "scallop of stranger has a name that is taken by canivet.motifs.borders",
    ),
    "contradicts itself": (
        "@motif('form')\ndef pebble(*, width: Annotated[float, Length('w', 5, 9)] = 20, height=3, strap=1, smallest=1): return box(0, 0, width, height)",
        "pebble of stranger has the default 20 for width, and bounds that forbid it: 5 mm to 9 mm",
    ),
    "takes too little": (
        "@motif('lattice')\ndef mesh(*, within, strap=1): return within",
        "mesh of stranger does not take smallest; every lattice takes within, strap, smallest",
    ),
    "must be told more": (
        "@motif('lattice')\ndef mesh(*, within, knots, strap=1, smallest=1): return within",
        "mesh of stranger has no default for knots",
    ),
    "leaves on import": ("raise SystemExit(3)", "SystemExit: 3"),
    "enters nothing": (
        "def mesh(*, within, strap=1, smallest=1): return within",
        "stranger enters none; a motif is a function under @motif(family)",
    ),
    "is of no family": (
        "@motif('fringe')\ndef tassel(): return None",
        "family is 'fringe'; it takes one of: outline",
    ),
}


@pytest.mark.parametrize("kind", BROKEN)
def test_a_package_that_cannot_be_loaded_is_named_once_and_the_rest_works(kind, tmp_path):
    code, says = BROKEN[kind]
    site = write_guest(tmp_path, code)
    listed = run(tmp_path, "motifs", path=site)
    assert listed.returncode == 0
    assert "scallop" in listed.stdout
    assert listed.stderr.count("The motifs of stranger are left out") == 1
    assert says in " ".join(listed.stderr.split())
    drawn = run(tmp_path, "draw", "scallop", "-o", "s.svg", path=site)
    assert drawn.returncode == 0
    assert "Traceback" not in listed.stderr + drawn.stderr


def test_a_package_that_fails_halfway_leaves_nothing_behind(tmp_path):
    site = write_guest(
        tmp_path,
        "@motif('form')\ndef pebble(*, width=1.0, height=1.0, strap=1, smallest=1): return box(0, 0, 1, 1)\n1 / 0",
    )
    listed = run(tmp_path, "motifs", path=site)
    assert "ZeroDivisionError: division by zero" in " ".join(listed.stderr.split())
    assert "\n  pebble " not in listed.stdout


def test_what_a_package_prints_does_not_get_among_the_results(tmp_path):
    site = write_guest(
        tmp_path,
        "print('hello')\n@motif('form')\ndef pebble(*, width=1.0, height=1.0, strap=1, smallest=1): return box(0, 0, 1, 1)",
    )
    listed = run(tmp_path, "motifs", "--json", path=site)
    assert "pebble" in {one["name"] for one in json.loads(listed.stdout)}
    assert listed.stderr == "hello\n"


def test_a_frame_that_is_none_is_refused_in_words(tmp_path):
    site = write_guest(
        tmp_path,
        "@motif('frame')\ndef porch(*, width=100, height=150, strap=1, smallest=1): return box(0, 0, width, height)",
    )
    (tmp_path / "plate.toml").write_text('title = "A porch"\nsize = "A6"\nframe = "porch"\n')
    made = run(tmp_path, "make", "plate.toml", path=site)
    assert made.returncode == 1
    assert "porch of stranger drew a Polygon; every frame is a Frame" in " ".join(made.stderr.split())
    assert not (tmp_path / "plate.svg").exists()


@pytest.mark.parametrize(
    ("result", "says"),
    [
        (
            "MultiPolygon([box(0, 0, 1, 1), box(2, 0, 3, 1)])",
            "drew a MultiPolygon; every form is one valid polygon",
        ),
        ("Polygon([(0, 0), (9, 9), (9, 0), (0, 9)])", "drew an invalid polygon (Self-intersection"),
        ("None", "drew a NoneType"),
        ("Polygon()", "drew nothing"),
        ("1 / 0", "failed with ZeroDivisionError: division by zero"),
    ],
)
def test_a_drawing_that_is_not_one_valid_polygon_is_refused_in_words(result, says, tmp_path):
    site = write_guest(
        tmp_path,
        f"@motif('form')\ndef pebble(*, width=1.0, height=1.0, strap=1, smallest=1): return {result}",
    )
    drawn = run(tmp_path, "draw", "pebble", "-o", "p.svg", path=site)
    assert drawn.returncode == 1
    assert f"the motif pebble of stranger {says}" in " ".join(drawn.stderr.split())
    assert not (tmp_path / "p.svg").exists()
