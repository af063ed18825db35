"""Draw the commissions anew: ``python gallery/commissions/redraw.py [NAME …]``.

Of each every file that ``canivet make`` writes, and the customer's page; all finished views on one picture.
"""

from __future__ import annotations

import sys
from pathlib import Path

from PIL import Image

from canivet.compose.design.loading import load_design
from canivet.compose.finish.estimate import estimate_piece
from canivet.compose.series.jobs import plan_jobs
from canivet.export.files import write_atomically
from canivet.export.finish.estimate import estimate_page
from canivet.export.finish.view import finished_view
from canivet.export.pdf import document_bytes
from canivet.export.plates import make_plate

HERE = Path(__file__).parent
_SIDE = 560
_GROUND = (226, 222, 212)


def draw(path: Path) -> None:
    """Draw one commission, and the page for its customer."""
    (job,) = plan_jobs(load_design(path), stem=path.stem)
    made = make_plate(job, path.parent)
    if made.fault is not None:
        raise made.fault
    if made.plate is None or made.finish is None or not made.holds:
        sys.exit(f"{path}: does not hold; nothing was written")
    estimate = estimate_piece(job.design, made.plate, made.finish)
    svg, sheet, title = estimate_page(estimate, made.finish, finished_view(made.finish, folder=path.parent))
    data = document_bytes([(svg, sheet)], titles=[title], subject="What the piece takes and costs")
    write_atomically(path.with_name(f"{path.stem}-estimate.pdf"), data)
    print(path.stem, f"{estimate.minutes:.0f} min, {estimate.price} {estimate.money}")


def redraw(names: list[str]) -> None:
    """Draw those named, or all, and the sheet of all finished views."""
    paths = sorted(HERE.glob("*.toml"))
    for path in paths:
        if not names or path.stem in names:
            draw(path)
    sheet = Image.new("RGB", (_SIDE * len(paths), _SIDE), _GROUND)
    for k, path in enumerate(paths):
        with Image.open(path.with_suffix(".png")) as picture:
            small = picture.convert("RGB")
        small.thumbnail((_SIDE, _SIDE))
        sheet.paste(small, (_SIDE * k + (_SIDE - small.width) // 2, (_SIDE - small.height) // 2))
    sheet.save(HERE / "commissions.png", optimize=True)


if __name__ == "__main__":
    redraw(sys.argv[1:])
