"""What happens to a figure, a panel or a strap is told where it is seen."""

import pytest
from shapely import box

from canivet.audit.strength import check_strength
from canivet.cli.words import describe_report
from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate

WIRES = (
    '<svg width="40mm" height="40mm" viewBox="0 0 40 40"><path fill="none" stroke="black" stroke-width=".2" '
    'd="M2 2H38V38H2zM10 10H30V30H10zM2 2L10 10M38 38L30 30"/></svg>'
)
DISC = '<svg width="40mm" height="40mm" viewBox="0 0 40 40"><circle cx="20" cy="20" r="20"/></svg>'
HEAD = 'title = "Fox"\nsize = "80x120 mm"\n'


@pytest.fixture
def remarks(tmp_path):
    def told(text, drawing):
        (tmp_path / "fox.svg").write_text(drawing)
        (tmp_path / "fox.toml").write_text(HEAD + text)
        return compose_plate(load_design(tmp_path / "fox.toml")).remarks

    return told


def test_line_art_that_mending_makes_another_drawing_of_is_told_first_with_the_size_that_would_do(remarks):
    told = remarks('[[silhouette]]\nfile = "fox.svg"\nwidth = "40 mm"\nanchor = "foot"\n', WIRES)
    assert told[0].startswith("fox.svg: mending it to 1.2 mm changes ")
    assert "it would stay itself" in told[0]


def test_a_panel_over_a_figures_head_is_told(remarks):
    told = remarks(
        '[[silhouette]]\nfile = "fox.svg"\nwidth = "40 mm"\nanchor = "foot"\n'
        '[[lettering]]\ntext = "FOX"\nwidth = "50 mm"\nheight = "14 mm"\nat = ["50%", "30 mm"]\n',
        DISC,
    )
    assert any("its panel covers" in line and "fox.svg, its head among that" in line for line in told)


def test_a_strap_short_by_rounding_alone_says_so_where_it_stands():
    report = check_strength(box(0, 0, 40, 40) - box(0.999, 2, 38, 38), strap=1.0)
    assert report.holds
    assert "0.999 mm" in describe_report(report)
    assert "that drawings are rounded by" in describe_report(report)
