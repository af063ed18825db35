"""Finds the packages by itself: each room's folder, and every folder with modules inside it."""

from pathlib import Path

from setuptools import setup

ROOMS = {
    "canivet": "core",
    "canivet.motifs": "motifs",
    "canivet.compose": "compose",
    "canivet.export": "export",
    "canivet.cli": "cli",
}


def packages() -> list[str]:
    """Return the room of every folder that has an ``__init__.py``, as it is imported."""
    here = Path(__file__).parent
    return [
        ".".join([package, *init.parent.relative_to(here / folder).parts])
        for package, folder in ROOMS.items()
        for init in sorted((here / folder).rglob("__init__.py"))
    ]


setup(packages=packages(), package_dir=ROOMS)
