"""Pads of the gallery's raised pieces: how many, beside a lower bound, and how much of them a ray can meet.

The bound is the covering problem on one point of the paper in thirty, solved by HiGHS: covering fewer points
never takes more pads. Rays come from all round at the viewing angle, at nine heights of every pad's sides.
"""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests"))

from pad_checks import fewest, share_hidden  # noqa: E402 - found by the line above

from canivet.compose.design.loading import load_design  # noqa: E402
from canivet.compose.finish.finished import finish_plate  # noqa: E402
from canivet.compose.plate import compose_plate  # noqa: E402

MORE = 1.5
"""Pads to each that is needed at the least: above, the placing has grown worse."""


def main() -> None:
    """Print a line for each raised piece; fail where a pad is seen or there are too many."""
    failed = []
    for path in sorted((ROOT / "gallery").glob("*/*.toml")):
        text = path.read_text("utf-8")
        if 'kind = "raised"' not in text:
            continue
        design = load_design(path)
        finish = finish_plate(design, compose_plate(design), design.size[0])
        paper, pads = finish.stack[-1].cutting.paper, finish.pads
        assert pads is not None
        least, hidden = fewest(paper, pads), share_hidden(paper, pads, pads.viewed_deg)
        if hidden < 1 or len(pads.pads) > MORE * least:
            failed.append(path.stem)
        print(
            f"{path.stem}: {len(pads.pads)} pads, at least {least} are needed; "
            f"{100 * hidden:.2f} % of rays at {pads.viewed_deg:g}° meet paper; "
            f"farthest {pads.farthest:.1f} of {pads.span:.1f} mm; {len(pads.overhangs)} overhangs"
        )
    if failed:
        sys.exit(f"a pad is seen, or there are too many: {', '.join(failed)}")


if __name__ == "__main__":
    main()
