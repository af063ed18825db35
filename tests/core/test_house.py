"""The house: rooms in one line, an import only ever points left, and what a folder keeps to itself stays there."""

import ast
import re
import subprocess
import sys
import tomllib
from graphlib import CycleError, TopologicalSorter
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ROOMS = ["core", "motifs", "compose", "export", "cli"]

INNER = {
    "motifs": [["shapes"], ["borders", "lattices", "forms", "lettering"], ["frames", "folding"]],
    "compose": [
        ["planning"],
        ["reading", "mending", "design"],
        ["joining", "figures"],
        ["words"],
        ["folded"],
        ["series", "finish"],
    ],
    "export": [["page"], ["marked", "plan", "packet", "printing", "finish", "book"], ["series"]],
}
"""Folders of a room, in rows: a folder may use those in rows before its own, and none beside it."""

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
LONGEST_FILE = 400
FULLEST_FOLDER = 14


def name_of(path: Path) -> str:
    """Return a module's name as it is imported."""
    room, *inner = path.relative_to(ROOT).with_suffix("").parts
    inner = [part for part in inner if part != "__init__"]
    return ".".join(["canivet", *([] if room == "core" else [room]), *inner])


def files() -> list[Path]:
    return [path for room in ROOMS for path in sorted((ROOT / room).rglob("*.py"))]


MODULES = {name_of(path): path for path in files()}


def room_of(module: str) -> str | None:
    if module != "canivet" and not module.startswith("canivet."):
        return None
    first = module.split(".")[1] if "." in module else ""
    return first if first in ROOMS else "core"


def imports_in(source: str, module: str, *, is_package: bool = False):
    """Yield what a module imports, wherever in it, relative names resolved."""
    package = module.split(".") if is_package else module.split(".")[:-1]
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            up = package[: len(package) - node.level + 1] if node.level else []
            base = ".".join([*up, *([node.module] if node.module else [])])
            yield from (f"{base}.{alias.name}" for alias in node.names)


def target_of(imported: str) -> str | None:
    """Return the module that an imported name comes from: itself, or the one that defines it."""
    while imported not in MODULES:
        if "." not in imported:
            return None
        imported = imported.rpartition(".")[0]
    return imported


def imports_of(module: str) -> set[str]:
    path = MODULES[module]
    names = imports_in(path.read_text("utf-8"), module, is_package=path.name == "__init__.py")
    return {target for name in names if (target := target_of(name))} - {module}


IMPORTS = {module: imports_of(module) for module in MODULES}


def is_kept_from(target: str, module: str) -> bool:
    """Say whether `target` lies in what some folder keeps to itself, and `module` outside that folder."""
    parts = target.split(".")
    for k, part in enumerate(parts):
        if part.startswith("_") and not f"{module}.".startswith(".".join(parts[:k]) + "."):
            return True
    return False


@pytest.mark.parametrize("room", ROOMS)
def test_imports_only_point_left(room):
    allowed = set(ROOMS[: ROOMS.index(room) + 1])
    own = [module for module in MODULES if room_of(module) == room]
    assert len(own) > 1, f"{room}/ is empty"
    for module in own:
        rooms = {room_of(target) for target in IMPORTS[module]}
        assert rooms <= allowed, f"{module} reaches right, into {rooms - allowed}"


@pytest.mark.parametrize("room", INNER)
def test_folders_of_a_room_stand_in_rows_and_use_only_those_before_them(room):
    row = {folder: k for k, folders in enumerate(INNER[room]) for folder in folders}
    assert set(row) == {init.parent.name for init in (ROOT / room).glob("*/__init__.py")}
    for module in MODULES:
        here = module.split(".")[1:3]
        for target in IMPORTS[module]:
            there = target.split(".")[1:3]
            if (
                here[0:1] == there[0:1] == [room]
                and here[1:] != there[1:]
                and {here[-1], there[-1]} <= set(row)
            ):
                assert row[there[1]] < row[here[1]], (
                    f"{module} uses {target}, which stands beside or after it"
                )


def test_what_a_folder_keeps_to_itself_is_used_by_nobody_else():
    for module, targets in IMPORTS.items():
        kept = [target for target in targets if is_kept_from(target, module)]
        assert not kept, f"{module} uses {kept}"


def test_no_module_needs_itself():
    try:
        list(TopologicalSorter(IMPORTS).static_order())
    except CycleError as error:
        pytest.fail(f"an import circle: {error.args[1]}")


def test_no_file_is_too_long_and_no_folder_too_full():
    for path in files():
        assert len(path.read_text("utf-8").splitlines()) <= LONGEST_FILE, path
        beside = [other for other in path.parent.glob("*.py") if other.name != "__init__.py"]
        assert len(beside) <= FULLEST_FOLDER, path.parent


def test_every_folder_with_modules_is_a_package_that_says_what_it_is():
    for folder in {path.parent for path in files()}:
        assert ast.get_docstring(ast.parse((folder / "__init__.py").read_text("utf-8"))), folder


def test_the_checks_on_imports_can_fail():
    assert room_of("canivet.export.svg") == "export"
    assert room_of("canivet.audit.necks") == "core"
    assert room_of("canivetx") is None
    found = set(imports_in("from .. import a\nfrom ...b import c\nimport d.e", "canivet.motifs.borders._x.y"))
    assert found == {"canivet.motifs.borders.a", "canivet.motifs.b.c", "d.e"}
    assert set(imports_in("from .a import b", "canivet.motifs", is_package=True)) == {"canivet.motifs.a.b"}
    assert is_kept_from("canivet.motifs.borders._x.y", "canivet.motifs.lattices.z")
    assert not is_kept_from("canivet.motifs.borders._x.y", "canivet.motifs.borders.z")
    assert not is_kept_from("canivet.motifs.borders._x.y", "canivet.motifs.borders._x.z")


def test_every_library_that_is_imported_is_declared_and_its_reason_given():
    declared = {re.split(r"[<>=\[]", one)[0] for one in PROJECT["dependencies"]}
    # a distribution is the same however its name is written: PEP 503
    makers = {
        top: {re.sub(r"[-_.]+", "-", maker).lower() for maker in found}
        for top, found in packages_distributions().items()
    }
    for module, path in MODULES.items():
        imported = imports_in(path.read_text("utf-8"), module, is_package=path.name == "__init__.py")
        for top in {name.split(".")[0] for name in imported} - sys.stdlib_module_names - {"canivet"}:
            assert declared & makers.get(top, set()), f"{module} imports {top}: declare it in pyproject.toml"
    _, reasons = (ROOT / "DEVELOPERS.md").read_text("utf-8").split("## Dependencies, and why")
    rows = re.findall(r"^\| ([a-z][^|*]*) \|", reasons, re.M)
    assert {name for row in rows for name in row.split(", ")} == declared


def test_importing_the_package_loads_nothing_heavy():
    heavy = ("shapely", "numpy", "scipy", "cairocffi", "pydantic")
    code = f"import canivet, sys; print([m for m in {heavy} if m in sys.modules])"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"


def test_the_package_says_that_it_is_typed():
    import canivet

    assert (Path(canivet.__file__).parent / "py.typed").is_file()
