"""``canivet check``: does a drawing, or a design, hold?"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from canivet.audit.boundary import Paper
from canivet.audit.holds import Droop, measure_droop
from canivet.audit.strength import LOOK, StrengthReport, check_strength
from canivet.errors import BadValue
from canivet.kept import require_not_kept
from canivet.lengths import format_mm
from canivet.stock import Faces, Stock

from .main import DOES_NOT_HOLD
from .words import LENGTH, MOST_HOLDS, describe_report, keep_sources, say, with_mark

if TYPE_CHECKING:
    from canivet.compose.design.loading import Design

__all__ = ["command"]


@dataclass(frozen=True, slots=True)
class _Checked:
    """One piece and what was found: a drawing, or a design at one of its sizes."""

    paper: Paper
    report: StrengthReport
    title: str
    mirrored: bool
    mark: str
    """Its size or its row in a file's name, where there are several; else nothing."""

    of: str = ""
    """Which plate of a series it is, to be said after the design's name."""

    @property
    def holds(self) -> bool:
        """Whether the promise is kept."""
        return self.report.holds


@dataclass(frozen=True, slots=True)
class _NotDrawn:
    """A plate of a series that cannot be drawn; it must not keep the others from being checked."""

    mark: str
    of: str
    fault: str
    holds: bool = False


@click.command("check")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--strap", type=LENGTH, help="The width every strap must have  [a design's own; else 1 mm]")
@click.option("--slip", type=LENGTH, help="How far the hand may stray  [a design's own; else 0]")
@click.option("--smallest", type=LENGTH, help="Radius of the smallest opening  [a design's own; else 0]")
@click.option(
    "--grammage", type=float, help="The paper's g/m²: adds how far what hangs on a single hold may droop"
)
@click.option(
    "--stiffness", type=float, help="Its bending stiffness in mN·m  [from the grammage, low rather than high]"
)
@click.option(
    "--marked",
    type=click.Path(path_type=Path),
    help="Write a page with each weak place ringed, numbered and explained: FILE.svg, FILE.pdf or FILE.png",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON object instead of words")
def command(
    file: Path, strap: float | None, slip: float | None, smallest: float | None, grammage: float | None,
    stiffness: float | None, marked: Path | None, as_json: bool,
) -> None:  # fmt: skip
    """Say whether FILE holds: a drawing (SVG, PNG, JPEG) or a design (TOML).

    Prints the weakest strap and where it is, every neck under the strap width, limbs, openings too small to
    cut, the single holds likeliest to tear, and sharp corners; places are in mm from the lower left corner.
    Ends with status 3 if it does not hold. Of a design with a list every plate is drawn and checked; one that
    holds takes one line, unless droop is asked for.
    """
    stock = _stock(grammage, stiffness)
    if marked is not None:
        from canivet.export import require_writable

        keep_sources(file)
        require_writable(marked)
    asked = {"strap": strap, "slip": slip, "smallest": smallest}
    design = file.suffix.lower() == ".toml"
    holds, objects = True, []
    for checked in _checked_design(file, asked, marked) if design else _checked_drawing(file, asked):
        holds &= checked.holds
        if as_json:
            objects.append(_as_json(checked, stock, stiffness))
        else:
            click.echo(f"{file}{checked.of}: {_in_words(checked, stock, stiffness)}")
        if marked is not None and isinstance(checked, _Checked):
            _write_marked(marked, checked)
    if as_json:
        click.echo(json.dumps(objects[0] if len(objects) == 1 else objects, indent=2))
    if not holds:
        sys.exit(DOES_NOT_HOLD)


def _checked_drawing(file: Path, asked: dict[str, float | None]) -> Iterator[_Checked]:
    from canivet.compose.reading.silhouette import read_silhouette

    read = read_silhouette(file)
    for warning in read.warnings:
        say(f"{file.name}: {warning}")
    strap = asked["strap"]
    report = check_strength(
        read.area,
        strap=1.0 if strap is None else strap,
        slip=asked["slip"] or 0.0,
        smallest=asked["smallest"] or 0.0,
        look=LOOK,
    )
    yield _Checked(read.area, report, read.name, mirrored=False, mark="")


def _checked_design(
    file: Path, asked: dict[str, float | None], marked: Path | None
) -> Iterator[_Checked | _NotDrawn]:
    from canivet.compose.design.loading import load_design
    from canivet.compose.series.jobs import draw_job, plan_jobs, sources_of

    design = load_design(file)
    promised = _promise_of(design) | {name: value for name, value in asked.items() if value is not None}
    jobs = plan_jobs(design)
    keep_sources(*sources_of(jobs))
    if marked is not None:
        for job in jobs:
            require_not_kept(with_mark(marked, job.mark))
    for drawn in map(draw_job, jobs):
        job = drawn.job
        of = f", row {job.row.number}, {job.stem}" if job.row else ""
        if of and drawn.fault is not None:
            yield _NotDrawn(job.mark, of, drawn.fault.message)
            continue
        cutting = drawn.composed().cutting
        report = check_strength(
            cutting.paper,
            strap=promised["strap"],
            slip=promised["slip"],
            smallest=promised["smallest"],
            look=LOOK,
        )
        yield _Checked(cutting.paper, report, cutting.title, cutting.stock.faces.mirrored, job.mark, of)


def _promise_of(design: Design) -> dict[str, float]:
    return {"strap": design.strap, "slip": design.slip, "smallest": design.smallest_opening}


def _stock(grammage: float | None, stiffness: float | None) -> Stock | None:
    """Return the paper to reckon droop with, or None where none was named."""
    if grammage is None:
        if stiffness is not None:
            raise BadValue(
                "--stiffness is given without --grammage; droop comes from weight. Give both.",
                parameter="--stiffness", value=stiffness,
            )  # fmt: skip
        return None
    for name, value in (("--grammage", grammage), ("--stiffness", stiffness)):
        if value is not None and not 0 < value <= 10_000:
            raise BadValue(
                f"{name} is {value:g}; it takes a number above 0 and at most 10000.",
                parameter=name, value=value, accepted="above 0, at most 10000",
            )  # fmt: skip
    if stiffness is not None:
        return Stock(Faces.PLAIN, grammage)  # the thickness is not asked for
    if not 75 <= grammage <= 120:
        raise BadValue(
            f"--grammage is {grammage:g} g/m²; the published stiffness covers 75 to 120. "
            "Give --stiffness too, in mN·m, from a trial with a strip.",
            parameter="--grammage", value=grammage, accepted="75 to 120, or any with --stiffness",
        )  # fmt: skip
    return Stock.of(Faces.PLAIN, grammage=grammage)


def _droops(
    checked: _Checked, stock: Stock | None, stiffness: float | None, *, most: int | None = None
) -> list[Droop | None] | None:
    if stock is None:
        return None
    given = None if stiffness is None else stiffness / 1000
    return [
        measure_droop(checked.paper, neck, stock=stock, stiffness=given)
        for neck in checked.report.single_holds[:most]
    ]


def _in_words(checked: _Checked | _NotDrawn, stock: Stock | None, stiffness: float | None) -> str:
    """Return what was found: in one line of a plate of a series that holds, unless droop is asked."""
    if isinstance(checked, _NotDrawn):
        return f"cannot be drawn: {checked.fault}"
    droops = _droops(checked, stock, stiffness, most=MOST_HOLDS)
    full = describe_report(checked.report, droops=droops)
    if not (checked.of and checked.holds) or droops is not None:
        return full
    weakest = checked.report.weakest
    return full.splitlines()[0] + (f", weakest strap {format_mm(weakest.width)} mm" if weakest else "")


def _as_json(checked: _Checked | _NotDrawn, stock: Stock | None, stiffness: float | None) -> dict[str, Any]:
    plate = checked.mark.removeprefix("-")
    if isinstance(checked, _NotDrawn):
        return {"holds": False, "plate": plate, "fault": checked.fault}
    whole = checked.report.to_json()
    if checked.of:
        whole["plate"] = plate
    droops = _droops(checked, stock, stiffness)
    if droops is not None:
        whole["droop"] = [droop.to_json() for droop in droops if droop]
    return whole


def _write_marked(path: Path, checked: _Checked) -> None:
    from canivet.export.marked.writing import write_marked

    path = with_mark(path, checked.mark)
    write_marked(path, checked.paper, checked.report, title=checked.title, mirrored=checked.mirrored)
    say(f"{path}: the marked drawing")
