"""Draw the subscribers' series anew: ``python gallery/subscribers/redraw.py [NAME …]``.

Of each series its contact sheet and its manifest are kept here; the plates themselves are many.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import pypdfium2

from canivet.compose.design.loading import load_design
from canivet.compose.series.jobs import plan_jobs
from canivet.export.series.writing import write_series

HERE = Path(__file__).parent
_WIDE = 1100
"""Pixels across the picture of the first page."""


def redraw(path: Path) -> None:
    """Draw one series; its plates go as they came."""
    design = load_design(path)
    title = design.description.partition(",")[0]
    with tempfile.TemporaryDirectory() as folder:
        result = write_series(plan_jobs(design), folder, title=title)
        weak = [plate.words for plate in result.plates if not plate.holds]
        if weak or result.contact_sheet is None:
            sys.exit(f"{path.name}: does not hold: {', '.join(weak)}; nothing was written")
        stem = path.with_suffix("")
        contact = result.contact_sheet.read_bytes()
        manifest = (Path(folder) / "manifest.json").read_bytes()
    Path(f"{stem}-contact-sheet.pdf").write_bytes(contact)
    Path(f"{stem}-manifest.json").write_bytes(manifest)
    page = pypdfium2.PdfDocument(contact)[0]
    picture = page.render(scale=_WIDE / page.get_width(), grayscale=True).to_pil()
    picture.quantize(16).save(f"{stem}-contact-sheet.png", optimize=True)
    print(path.name, len(result.plates), "plates")


if __name__ == "__main__":
    for design_file in sorted(HERE.glob("*.toml")):
        if not sys.argv[1:] or design_file.stem in sys.argv[1:]:
            redraw(design_file)
