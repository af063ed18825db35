"""The plans in the gallery are those that are made today."""

import importlib.util
import json
from pathlib import Path

PLANS = Path(__file__).parents[2] / "gallery/plans"
spec = importlib.util.spec_from_file_location("redraw_plans", PLANS / "redraw.py")
redraw = importlib.util.module_from_spec(spec)
spec.loader.exec_module(redraw)

KEPT = json.loads((PLANS / "plans.json").read_text("utf-8"))


def test_every_plan_of_the_gallery_keeps_what_a_plan_promises():
    assert set(KEPT) == {*redraw.DESIGNS, *redraw.PACKETS, *redraw.DRAWINGS}
    assert max(plan["openings"] for plan in KEPT.values()) > 300
    for name, plan in KEPT.items():
        assert plan["support"] >= 0.98, name
        assert plan["travel_mst"] <= 2, name
        assert plan["turning_deg"] <= 0.5 * plan["turning_plain_deg"], name
        assert (PLANS / f"{name}-page.png").is_file(), name
    turned = [plan["turning_deg"] / plan["turning_plain_deg"] for plan in KEPT.values()]
    assert sum(turned) / len(turned) <= 0.47


def test_a_plan_made_today_is_the_one_in_the_gallery():
    assert redraw.figures_of(redraw.planned("marigold")[1]) == KEPT["marigold"]
