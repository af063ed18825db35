"""Draw every design of the gallery anew, beside its design file: ``python gallery/redraw.py [NAME …]``.

Run it after a change that is meant, and look at what it drew. A test draws them again and compares.
"""

from __future__ import annotations

import sys
from pathlib import Path

from canivet.compose.design import load_design
from canivet.compose.plate import compose_plate
from canivet.export import write_plate

HERE = Path(__file__).parent


def designs() -> list[Path]:
    """Return every design file of the gallery."""
    return sorted(HERE.glob("*/*.toml"))


def redraw(path: Path) -> None:
    """Draw one design, if it holds."""
    design = load_design(path)
    plate = compose_plate(design)
    if not plate.report.holds:
        sys.exit(f"{path}: does not hold; nothing was written")
    for written in write_plate(path.with_suffix(""), plate.cutting, ink=design.sheet.ink):
        print(written.relative_to(HERE))


if __name__ == "__main__":
    chosen = sys.argv[1:]
    for design_file in designs():
        if not chosen or design_file.stem in chosen:
            redraw(design_file)
