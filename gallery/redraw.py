"""Draw the gallery anew, beside its design files: ``python gallery/redraw.py [NAME …]``.

Without a name all that has a script of its own is drawn too: pattern sheets, folded pieces, series, plans …

Run it after a change that is meant, and look at what it drew. A test draws them again and compares.
"""

from __future__ import annotations

import runpy
import sys
from pathlib import Path

from canivet.compose.design.loading import load_design
from canivet.compose.series.jobs import plan_jobs
from canivet.export.plates import make_plate

HERE = Path(__file__).parent
OWN = ("plates", "first", "commissions")
"""Folders with a script of their own."""


def designs() -> list[Path]:
    """Return every design of a single plate; those of folders with a script are left to it."""
    designs = [path for path in sorted(HERE.glob("*/*.toml")) if path.parent.name not in OWN]
    return [path for path in designs if "[series]" not in path.read_text("utf-8")]


def redraw(path: Path) -> None:
    """Draw one design, if it holds."""
    for job in plan_jobs(load_design(path), stem=path.stem):
        made = make_plate(job, path.parent)
        if made.fault is not None:
            raise made.fault
        if not made.holds:
            sys.exit(f"{path}: does not hold; nothing was written")
        for written in made.files:
            print(written.relative_to(HERE))


if __name__ == "__main__":
    chosen = sys.argv[1:]
    for design_file in designs():
        if not chosen or design_file.stem in chosen:
            redraw(design_file)
    if not chosen:
        for script in (
            "patterns/redraw.py",
            "folded/redraw.py",
            "subscribers/redraw.py",
            "printing/redraw.py",
            "plates/redraw.py",
            "first/redraw.py",
            "commissions/redraw.py",
            "plans/redraw.py",
        ):
            runpy.run_path(str(HERE / script), run_name="__main__")
