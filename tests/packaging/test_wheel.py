"""The package as it is installed: a wheel built from the source, in a fresh environment, draws the README's plate."""

import re
import shutil
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ROOMS = ("core", "motifs", "compose", "export", "cli")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    source, out = tmp_path_factory.mktemp("source"), tmp_path_factory.mktemp("wheel")
    for room in ROOMS:
        shutil.copytree(ROOT / room, source / room, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "setup.py", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, source / name)
    pip = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-index", "--no-build-isolation"]
    subprocess.run([*pip, "-w", str(out), str(source)], check=True, capture_output=True, text=True)
    (found,) = out.glob("*.whl")
    return found


def test_the_wheel_holds_every_module_and_what_they_read(wheel):
    held = set(zipfile.ZipFile(wheel).namelist())
    for room in ROOMS:
        for path in (ROOT / room).rglob("*"):
            if path.suffix in {".py", ".html", ".css", ".js", ".typed"}:
                inner = path.relative_to(ROOT / room)
                name = Path("canivet", *([] if room == "core" else [room]), inner).as_posix()
                assert name in held, name


def test_a_fresh_environment_draws_the_plate_of_the_readme_from_an_empty_folder(wheel, tmp_path):
    venv.create(tmp_path / "venv", with_pip=False)
    python = tmp_path / "venv" / ("Scripts" if sys.platform == "win32" else "bin") / "python"
    pip = [
        sys.executable,
        "-m",
        "pip",
        "--python",
        str(python),
        "install",
        "--quiet",
        "--no-deps",
        "--no-index",
    ]
    subprocess.run([*pip, str(wheel)], check=True, capture_output=True, text=True)
    # what canivet needs is lent by this environment; canivet itself is not, being no folder in it
    site = next((tmp_path / "venv").rglob("site-packages"))
    (site / "lent.pth").write_text(sysconfig.get_path("purelib") + "\n")
    table = tmp_path / "table"
    table.mkdir()
    readme = (ROOT / "README.md").read_text("utf-8")
    (table / "plate.toml").write_text(re.search(r"```toml\n(title.*?)```", readme, re.S)[1], "utf-8")
    shutil.copy(ROOT / "gallery/saltmere/heron.svg", table / "heron.svg")
    where = "import canivet, os; print(os.path.realpath(canivet.__file__))"
    home = subprocess.run([python, "-c", where], capture_output=True, text=True, check=True, cwd=table).stdout
    assert home.startswith(str(tmp_path.resolve()))
    made = subprocess.run(
        [python, "-m", "canivet.cli", "make", "plate.toml"],
        cwd=table,
        capture_output=True,
        text=True,
        check=False,
    )
    assert made.returncode == 0, made.stderr
    assert {"plate.svg", "plate.pdf", "plate.png"} <= {path.name for path in table.iterdir()}
