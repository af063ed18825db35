"""``canivet estimate``: hours, blades, materials and price of a piece before it is begun."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from canivet.errors import BadValue, CanivetError
from canivet.kept import require_not_kept
from canivet.lengths import counted, format_mm

from .main import DOES_NOT_HOLD
from .words import describe_report, keep_sources, say, with_mark

if TYPE_CHECKING:
    from canivet.compose.finish.estimate import Estimate
    from canivet.compose.finish.finished import Finish
    from canivet.compose.plate import Plate
    from canivet.compose.series.jobs import Job

__all__ = ["command"]


@click.command("estimate")
@click.argument("design", type=click.Path(path_type=Path))
@click.option("-o", "--output", type=click.Path(path_type=Path), help="FILE.pdf, one page for the customer")
@click.option("--json", "as_json", is_flag=True, help="One JSON object instead of words")
def command(design: Path, output: Path | None, as_json: bool) -> None:
    """Reckon what DESIGN takes: hours and sittings, blades, papers, boards and glass, and its price.

    Hours of cutting are those of the cutting plan; gluing and mounting take what is common. A design that
    says in [price] what an hour and each material cost, in the maker's own money, has a price; no cost is
    assumed. Of several sizes, or a list, each piece has its own.
    """
    from canivet.compose.design.loading import load_design
    from canivet.compose.series.jobs import plan_jobs, sources_of

    keep_sources(design)
    if output is not None:
        _require_pdf(output)
    jobs = plan_jobs(load_design(design), stem=design.stem)
    keep_sources(*sources_of(jobs))
    several = len(jobs) > 1
    if output is not None:
        for job in jobs:
            require_not_kept(with_mark(output, job.mark))
    told = []
    reckoned = [_of(job) for job in jobs]
    for job, (estimate, plate, finish) in zip(jobs, reckoned, strict=True):
        told.append({**({"plate": job.stem} if several else {}), **estimate.to_json()})
        if output is not None:
            _write(with_mark(output, job.mark), job, estimate, plate, finish)
        if not as_json:
            for line in _in_words(estimate):
                click.echo(line)
    if as_json:
        click.echo(json.dumps(told if several else told[0], indent=2))


def _of(job: Job) -> tuple[Estimate, Plate, Finish | None]:
    from canivet.compose.finish.estimate import estimate_piece
    from canivet.compose.finish.finished import asks_for_finish, finish_plate
    from canivet.compose.series.jobs import draw_job

    plate = draw_job(job).composed()
    finish = None
    if plate.report.holds and asks_for_finish(job.design):
        try:
            finish = finish_plate(job.design, plate, job.size)
        except CanivetError as error:
            error.message = f"{job.stem}: {error.message}"
            raise
    weak = [plate.report] if not plate.report.holds else [
        leaf.report for leaf in (finish.stack if finish else ()) if not leaf.report.holds
    ]  # fmt: skip
    if weak:
        say(f"{job.stem}: {describe_report(weak[0])}")
        say(
            "nothing was estimated: what does not hold is not to be cut. canivet make shows where it is weak."
        )
        sys.exit(DOES_NOT_HOLD)
    return estimate_piece(job.design, plate, finish), plate, finish


def _in_words(estimate: Estimate) -> Iterator[str]:
    from canivet.export.finish.estimate import in_time, material_in_words

    width, height = estimate.size
    yield (
        f"{estimate.title}, {format_mm(width, 1)} × {format_mm(height, 1)} mm: cutting "
        f"{in_time(estimate.minutes)} in {counted(estimate.sittings, 'sitting')}, "
        f"{counted(estimate.blades, 'blade')}, grade {estimate.grade} of 5"
    )
    if estimate.finishing:
        yield f"  patches, pads and mounting {in_time(estimate.finishing)} (common practice)"
    for one in estimate.materials:
        yield f"  {material_in_words(one)}"
    for _, what, amount in estimate.lines:
        yield f"    {what}: {amount:,.2f}"
    if estimate.price is None:
        yield "  no price: give the design a [price] table with rate and money"
        return
    yield f"  in all {estimate.price:,.2f} {estimate.money}"
    if estimate.unpriced:
        yield f"  not in the price: {'; '.join(dict.fromkeys(one.what for one in estimate.unpriced))}"


def _write(path: Path, job: Job, estimate: Estimate, plate: Plate, finish: Finish | None) -> None:
    from canivet.compose.finish.finished import bare_finish
    from canivet.export.files import write_atomically
    from canivet.export.finish.estimate import estimate_page
    from canivet.export.finish.view import finished_view
    from canivet.export.pdf import document_bytes

    view = finished_view(finish or bare_finish(plate), folder=job.design.folder)
    svg, sheet, title = estimate_page(estimate, finish, view)
    data = document_bytes([(svg, sheet)], titles=[title], subject="What the piece takes and costs")
    write_atomically(path, data)
    say(f"{path}: a page for the customer")


def _require_pdf(output: Path) -> None:
    from canivet.export.files import check_target

    if output.suffix.lower() != ".pdf":
        raise BadValue(
            f"-o is {str(output)!r}; the customer's page is written as .pdf. Name it so, or take --json.",
            parameter="-o", value=str(output), accepted=".pdf",
        )  # fmt: skip
    check_target(output)
