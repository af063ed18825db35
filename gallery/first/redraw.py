"""Draw the first pieces and their plans anew: ``python gallery/first/redraw.py``.

Of each the piece, its page and its picture, and the plan to cut it by; all of them on one picture.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

from PIL import Image

from canivet.compose.design.loading import load_design
from canivet.compose.planning.packet import packet_paper, plan_packet_cutting
from canivet.compose.planning.plan import plan_cutting
from canivet.compose.planning.steps import CuttingPlan
from canivet.compose.plate import Plate
from canivet.compose.series.jobs import plan_jobs
from canivet.export.plan.sheets import write_cutting_pages
from canivet.export.plates import make_plate

HERE = Path(__file__).parent
NAMES = ("flower", "fir", "honeycomb")
_SIDE = 520
_GROUND = (96, 124, 138)


def planned(plate: Plate, path: Path) -> CuttingPlan:
    """Return how a piece is cut, a folded one in its packet."""
    settings = load_design(path).plan
    if plate.packet is not None:
        return plan_packet_cutting(plate.packet, settings=settings)
    return plan_cutting(plate.cutting, settings=settings)


def draw(path: Path) -> Image.Image:
    """Draw one piece and its plan, and return its picture."""
    (job,) = plan_jobs(load_design(path), stem=path.stem)
    made = make_plate(job, path.parent)
    if made.fault is not None:
        raise made.fault
    if made.plate is None or not made.holds:
        sys.exit(f"{path}: does not hold; nothing was written")
    plan, cutting = planned(made.plate, path), made.plate.cutting
    if made.plate.packet is not None:
        cutting = replace(cutting, paper=packet_paper(made.plate.packet))
    write_cutting_pages(path.with_name(f"{path.stem}-plan.pdf"), plan, cutting)
    print(path.stem, f"{plan.minutes:.0f} min, grade {plan.grade.value}")
    with Image.open(path.with_suffix(".png")) as picture:
        small = picture.convert("RGB")
    small.thumbnail((_SIDE, _SIDE))
    return small


def redraw() -> None:
    """Draw them all, and the sheet."""
    pictures = [draw(HERE / f"{name}.toml") for name in NAMES]
    sheet = Image.new("RGB", (_SIDE * len(pictures), _SIDE), _GROUND)
    for k, picture in enumerate(pictures):
        sheet.paste(picture, (_SIDE * k + (_SIDE - picture.width) // 2, (_SIDE - picture.height) // 2))
    sheet.quantize(64).save(HERE / "first.png", optimize=True)


if __name__ == "__main__":
    redraw()
