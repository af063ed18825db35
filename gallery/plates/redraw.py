"""Draw the plates anew: ``python gallery/plates/redraw.py [NAME …]``.

Of each its piece is kept as SVG, and all of them on one picture; pages come with ``canivet make``.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from PIL import Image

from canivet.compose.design.loading import load_design
from canivet.compose.series.jobs import plan_jobs
from canivet.export.plates import make_plate

HERE = Path(__file__).parent
_WIDE, _ACROSS = 420, 4
_GROUND = (240, 236, 228)


def draw(path: Path) -> Image.Image:
    """Draw one plate, keep its piece, and return its picture."""
    (job,) = plan_jobs(load_design(path), stem=path.stem)
    with tempfile.TemporaryDirectory() as folder:
        made = make_plate(job, Path(folder))
        if made.fault is not None:
            raise made.fault
        if not made.holds:
            sys.exit(f"{path}: does not hold; nothing was written")
        path.with_suffix(".svg").write_bytes((Path(folder) / f"{path.stem}.svg").read_bytes())
        picture = Image.open(Path(folder) / f"{path.stem}.png").convert("RGB")
        picture.thumbnail((_WIDE, _WIDE))
    print(path.stem)
    return picture


def redraw(names: list[str]) -> None:
    """Draw the plates named, and the sheet where that is all of them."""
    paths = [path for path in sorted(HERE.glob("*.toml")) if not names or path.stem in names]
    pictures = [draw(path) for path in paths]
    if names:
        return
    sheet = Image.new("RGB", (_WIDE * _ACROSS, _WIDE * -(-len(pictures) // _ACROSS)), _GROUND)
    for k, picture in enumerate(pictures):
        left = _WIDE * (k % _ACROSS) + (_WIDE - picture.width) // 2
        sheet.paste(picture, (left, _WIDE * (k // _ACROSS) + (_WIDE - picture.height) // 2))
    sheet.quantize(64).save(HERE / "plates.png", optimize=True)


if __name__ == "__main__":
    redraw(sys.argv[1:])
