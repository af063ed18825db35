"""Plan the gallery's pieces anew: ``python gallery/plans/redraw.py``.

Writes the figures of four pieces to ``plans.json``, their cutting pages as pictures, and the page beside the
table of the largest. A test plans one of them again and compares.
"""

from __future__ import annotations

import io
import json
import shutil
from dataclasses import replace
from pathlib import Path

import cairosvg

from canivet.audit.strength import check_strength
from canivet.compose.design.loading import load_design
from canivet.compose.planning.packet import packet_paper, plan_packet_cutting
from canivet.compose.planning.plan import plan_cutting
from canivet.compose.planning.steps import CuttingPlan
from canivet.compose.plate import compose_plate
from canivet.compose.reading.silhouette import read_silhouette
from canivet.cutting import Cutting
from canivet.export.files import write_atomically
from canivet.export.page.typeset import outline_words
from canivet.export.plan.beside import write_beside
from canivet.export.plan.sheets import cutting_pages

HERE = Path(__file__).parent
STRAP = 1.5

DESIGNS = {"heronry": "saltmere/heronry.toml"}
PACKETS = {"marigold": "folded/marigold.toml"}
DRAWINGS = {"night-moth": "Night moth", "tiles": "Sixteen tiles"}
FIGURES = (
    "support", "travel_mst", "turning_deg", "turning_plain_deg", "cut_length_mm", "minutes", "blades",
    "sittings", "grade",
)  # fmt: skip


def planned(name: str) -> tuple[Cutting, CuttingPlan]:
    """Return a piece of the gallery as it is cut, a folded design in its packet, and its plan."""
    if name in DRAWINGS:
        (paper,) = read_silhouette(HERE.parent / f"folded/{name}.svg").area.geoms
        cutting = Cutting(paper, STRAP, DRAWINGS[name])
        return cutting, plan_cutting(cutting)
    plate = compose_plate(load_design(HERE.parent / (DESIGNS | PACKETS)[name]))
    if plate.packet is None:
        return plate.cutting, plan_cutting(plate.cutting)
    paper = packet_paper(plate.packet)
    return replace(plate.cutting, paper=paper), plan_packet_cutting(plate.packet)


def figures_of(plan: CuttingPlan) -> dict[str, object]:
    """Return what is kept of a plan."""
    told = plan.to_json()
    return {"openings": len(plan.openings)} | {name: told[name] for name in FIGURES}


def take_picture(page: Path) -> None:
    """Take a picture of the page beside the table, as a tablet shows it at one of its steps."""
    found = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    if found is None:
        print(f"no Chromium on this machine: {page.stem}.png is as it was")
        return
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=found, args=["--no-sandbox", "--disable-gpu"])
        shown = browser.new_page(viewport={"width": 1024, "height": 768})
        shown.goto(page.as_uri())
        shown.get_by_label("Go to number").fill("137")
        shown.get_by_role("button", name="Show").click()
        shown.screenshot(path=page.with_suffix(".png"))
        browser.close()


def redraw() -> None:
    """Plan every piece, and write pages and figures."""
    kept = {}
    for name in [*DESIGNS, *PACKETS, *DRAWINGS]:
        cutting, plan = planned(name)
        kept[name] = figures_of(plan)
        svg, _ = cutting_pages(plan, cutting)[0]
        drawn = cairosvg.svg2png(bytestring=outline_words(svg).encode(), dpi=96, scale=1.5)
        from PIL import Image

        out = io.BytesIO()
        Image.open(io.BytesIO(drawn)).convert("L").quantize(16).save(out, "PNG", optimize=True)
        write_atomically(HERE / f"{name}-page.png", out.getvalue())
        print(name, kept[name])
        if name == "heronry":
            report = check_strength(cutting.paper, strap=cutting.strap)
            write_beside(HERE / f"{name}-beside.html", plan, cutting.paper, report=report)
            take_picture(HERE / f"{name}-beside.html")
    write_atomically(HERE / "plans.json", (json.dumps(kept, indent=1) + "\n").encode())


if __name__ == "__main__":
    redraw()
