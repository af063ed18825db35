"""Pads of the gallery's raised pieces: how many, beside a lower bound, and how much of them a ray can meet.

The bound is the covering problem on one point of the paper in thirty, solved by HiGHS: covering fewer points
never takes more pads. Rays come from all round at the viewing angle, at nine heights of every pad's sides.
"""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests/compose/finish"))

from test_pads import fewest, share_hidden  # noqa: E402 - found by the line above

from canivet.compose.design.loading import load_design  # noqa: E402
from canivet.compose.finish.finished import finish_plate  # noqa: E402
from canivet.compose.plate import compose_plate  # noqa: E402


def main() -> None:
    """Print a line for each raised piece."""
    for path in sorted((ROOT / "gallery").glob("*/*.toml")):
        text = path.read_text("utf-8")
        if 'kind = "raised"' not in text:
            continue
        design = load_design(path)
        finish = finish_plate(design, compose_plate(design), design.size[0])
        paper, pads = finish.stack[-1].cutting.paper, finish.pads
        assert pads is not None
        print(
            f"{path.stem}: {len(pads.pads)} pads, at least {fewest(paper, pads)} are needed; "
            f"{100 * share_hidden(paper, pads, pads.viewed_deg):.2f} % of rays at {pads.viewed_deg:g}° meet paper; "
            f"farthest {pads.farthest:.1f} of {pads.span:.1f} mm; {len(pads.overhangs)} overhangs"
        )


if __name__ == "__main__":
    main()
