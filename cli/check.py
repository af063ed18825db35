"""``canivet check``: does a drawing, or a design, hold?"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from canivet.strength import StrengthReport, check_strength

from .main import DOES_NOT_HOLD
from .words import LENGTH, describe_report

__all__ = ["command"]


@click.command("check")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--strap", type=LENGTH, help="The width every strap must have  [a design's own; else 1 mm]")
@click.option("--slip", type=LENGTH, help="How far the hand may stray  [a design's own; else 0]")
@click.option("--smallest", type=LENGTH, help="Radius of the smallest opening  [a design's own; else 0]")
@click.option("--json", "as_json", is_flag=True, help="One JSON object instead of words")
def command(
    file: Path, strap: float | None, slip: float | None, smallest: float | None, as_json: bool
) -> None:
    """Say whether FILE holds: a drawing (SVG, PNG, JPEG) or a design (TOML).

    Prints the weakest strap and where it is, every neck under the strap width, limbs, and openings too small
    to cut; places are in mm from the lower left corner. Ends with status 3 if it does not hold.
    """
    reports = _reports(file, strap, slip, smallest)
    if as_json:
        found = [report.to_json() for report in reports]
        click.echo(json.dumps(found[0] if len(found) == 1 else found, indent=2))
    else:
        for report in reports:
            click.echo(f"{file}: {describe_report(report)}")
    if not all(report.holds for report in reports):
        sys.exit(DOES_NOT_HOLD)


def _reports(
    file: Path, strap: float | None, slip: float | None, smallest: float | None
) -> list[StrengthReport]:
    if file.suffix.lower() != ".toml":
        from canivet.compose.silhouette import read_silhouette

        asked = {
            "strap": strap if strap is not None else 1.0,
            "slip": slip or 0.0,
            "smallest": smallest or 0.0,
        }
        return [check_strength(read_silhouette(file).area, **asked)]
    from canivet.compose.design import load_design
    from canivet.compose.plate import compose_plate

    design = load_design(file)
    asked = {
        "strap": design.strap if strap is None else strap,
        "slip": design.slip if slip is None else slip,
        "smallest": design.smallest_opening if smallest is None else smallest,
    }
    return [check_strength(compose_plate(design, size).cutting.paper, **asked) for size in design.size]
