"""The house: five rooms in one line, and an import only ever points left."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ROOMS = ["core", "motifs", "compose", "export", "cli"]


def room_of(module: str) -> str | None:
    if module != "canivet" and not module.startswith("canivet."):
        return None
    first = module.split(".")[1] if "." in module else ""
    return first if first in ROOMS else "core"


def imports_of(path: Path, room: str):
    package = "canivet" if room == "core" else f"canivet.{room}"
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            up = package.split(".")[: len(package.split(".")) - node.level + 1] if node.level else []
            base = ".".join([*up, *([node.module] if node.module else [])])
            yield base
            yield from (f"{base}.{alias.name}" for alias in node.names)


@pytest.mark.parametrize("room", ROOMS)
def test_imports_only_point_left(room):
    allowed = set(ROOMS[: ROOMS.index(room) + 1])
    files = sorted((ROOT / room).glob("*.py"))
    assert files, f"{room}/ is empty"
    for path in files:
        rooms = {room_of(module) for module in imports_of(path, room)} - {None}
        assert rooms <= allowed, f"{path.name} reaches right, into {rooms - allowed}"


def test_the_check_on_imports_can_fail():
    assert room_of("canivet.export.svg") == "export"
    assert room_of("canivet.necks") == "core"
    assert room_of("canivetx") is None


def test_importing_the_package_loads_nothing_heavy():
    heavy = ("shapely", "numpy", "scipy", "cairocffi", "pydantic")
    code = f"import canivet, sys; print([m for m in {heavy} if m in sys.modules])"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"


def test_the_package_says_that_it_is_typed():
    import canivet

    assert (Path(canivet.__file__).parent / "py.typed").is_file()
