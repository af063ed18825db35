"""What a cutter may say in [plan], and how it is refused."""

import pytest

from canivet.compose.design.loading import load_design
from canivet.compose.planning.settings import Pace, PlanSettings, read_settings
from canivet.errors import BadValue

DESIGN = 'title = "Trial"\nsize = "60x90 mm"\nground = "diamond-lattice"\n'


def test_a_design_says_what_is_at_hand(tmp_path):
    path = tmp_path / "a.toml"
    path.write_text(
        DESIGN
        + '[plan]\nhand = "left"\ntools = "knife"\nsurface = "glass"\noverrun = "0.5 mm"\nsitting = 45\n'
        'outline = "first"\nreach = "1 in"\n[plan.pace]\nknife = 90\n'
    )
    assert load_design(path).plan == PlanSettings(
        hand="left", tools="knife", surface="glass", overrun=0.5, sitting=45, outline="first", reach=25.4,
        pace=Pace(knife=90),
    )  # fmt: skip
    path.write_text(DESIGN)
    assert load_design(path).plan == PlanSettings()


def test_every_fault_in_plan_is_told_with_its_place(tmp_path):
    path = tmp_path / "a.toml"
    path.write_text(
        DESIGN
        + '[plan]\nhnad = "left"\ntools = "saw"\noverrun = "9 mm"\n[plan.pace]\nknife = -3\nspeed = 2\n'
    )
    with pytest.raises(BadValue) as caught:
        load_design(path)
    told = caught.value.message
    for said in (
        "plan.hnad is not known. Did you mean 'hand'?", "plan.tools is 'saw'; it takes one of: both, knife, scissors",
        "plan.overrun is 9 mm; it takes 0 mm to 2 mm", "plan.pace.knife is -3", "plan.pace.speed is not known",
    ):  # fmt: skip
        assert said in told


@pytest.mark.parametrize(("table", "said"), [
    (3, "plan is not a table"), ({"pace": "fast"}, "plan.pace is not a table"),
    ({"sitting": True}, "plan.sitting"), ({"reach": []}, "plan.reach"),
])  # fmt: skip
def test_what_is_no_table_or_no_number_is_refused(table, said):
    settings, faults = read_settings(table)
    assert settings == PlanSettings()
    assert said in faults[0]


@pytest.mark.parametrize(
    "name", ["hand", "tools", "surface", "outline", "overrun", "reach", "sitting", "blade"]
)
def test_no_setting_takes_just_anything(name):
    with pytest.raises(BadValue, match=name):
        PlanSettings(**{name: "elephant"})
    with pytest.raises(BadValue, match="pace"):
        PlanSettings(pace=3)
