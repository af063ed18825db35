"""``canivet plan``: in what order to cut a piece, with which tool, from which side, in what time."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from canivet.compose.planning.settings import PlanSettings, read_settings
from canivet.cutting import Cutting
from canivet.errors import BadValue, CanivetError
from canivet.export.plan.telling import in_hours
from canivet.kept import require_not_kept
from canivet.lengths import counted, format_mm
from canivet.stock import Stock

from .main import DOES_NOT_HOLD
from .words import LENGTH, describe_report, keep_sources, say, with_mark

if TYPE_CHECKING:
    from collections.abc import Callable

    from canivet.compose.planning.log import FittedLog
    from canivet.compose.planning.steps import CuttingPlan
    from canivet.compose.series.jobs import DrawnJob, Job
    from canivet.motifs.folding.packet import PacketPlan

__all__ = ["command"]

SUFFIXES = (".pdf", ".html", ".json")

_SHOWN_FROM = 1500
"""Openings from which on a plan takes long enough to show how far it is."""

_WORST = 3
"""Overruns told."""


@dataclass(frozen=True, slots=True)
class _Planned:
    """A drawing to plan, or a design at one of its sizes; `mark` tells its files from the others'."""

    cutting: Cutting
    settings: PlanSettings
    mark: str = ""
    packet: PacketPlan | None = None
    drawn: DrawnJob | None = None

    def planned(
        self, settings: PlanSettings, *, strap: float | None, layers: int | None, shown: bool = True
    ) -> CuttingPlan:
        """Return the plan: of the packet where the piece is folded, through all its layers.

        Not `shown` where another bar counts already.
        """
        from canivet.compose.planning.packet import plan_packet_cutting
        from canivet.compose.planning.plan import plan_cutting

        openings = len(getattr(self.cutting.paper, "interiors", ())) if shown else 0
        with _told(openings) as tell:
            if self.packet is None:
                return plan_cutting(
                    self.cutting,
                    settings=settings,
                    strap=strap,
                    layers=1 if layers is None else layers,
                    tell=tell,
                )
            if layers is not None:
                raise BadValue(
                    f"--layers is {layers}; this piece is folded, and its packet has "
                    f"{self.packet.fold.layers}. Take --layers out.",
                    parameter="--layers", value=layers, accepted="a piece that is cut flat",
                )  # fmt: skip
            return plan_packet_cutting(self.packet, settings=settings, tell=tell)


@click.command("plan")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "-o", "--output", type=click.Path(path_type=Path),
    help="FILE.pdf, the pages to cut from; FILE.html, the page beside the table; or FILE.json",
)  # fmt: skip
@click.option("--json", "as_json", is_flag=True, help="One JSON object instead of words")
@click.option(
    "--log", type=click.Path(path_type=Path),
    help="A CSV of finished pieces, date,drawing,minutes,blades: plan with the pace and blades it shows",
)  # fmt: skip
@click.option(
    "--set", "changes", multiple=True, metavar="NAME=VALUE", help="Any key of [plan]; repeat as needed"
)
@click.option("--strap", type=LENGTH, help="The width the piece holds at  [a design's own; else 1 mm]")
@click.option("--layers", type=int, help="Sheets under the blade  [a packet's own; else 1]")
def command(
    file: Path, output: Path | None, as_json: bool, log: Path | None, changes: tuple[str, ...],
    strap: float | None, layers: int | None,
) -> None:  # fmt: skip
    """Plan how FILE is cut: a drawing (SVG, PNG, JPEG) or a design (TOML).

    Delicate openings come first, while the sheet is still whole, and the hand does not run about: what that
    costs and gains is told as two figures, support and travel. Then tools, strokes, minutes, blades, sittings
    and a grade of difficulty from 1 to 5. A design says in [plan] what is at hand. A folded design is planned
    on its packet, as it is cut: through all layers at once.

    A series has one plan, that of its first plate, and figures for all plates.
    """
    keep_sources(file)
    if output is not None:
        _require_kind(output)
    overrides = _read_changes(changes)
    design = file.suffix.lower() == ".toml"
    pieces, jobs = _of_design(file, overrides) if design else (_of_drawing(file, overrides), [])
    fitted = _fitted(log, pieces[0].settings, layers) if log else None
    if output is not None:
        for piece in pieces:
            require_not_kept(with_mark(output, piece.mark))
    told: list[dict[str, Any]] = []
    for piece in pieces:
        settings = fitted.settings if fitted else piece.settings
        plan = piece.planned(settings, strap=strap, layers=layers)
        figures = _plates(jobs, plan, settings, layers)
        told.append(plan.to_json() | ({"plates": figures} if jobs else {}))
        if output is not None:
            path = with_mark(output, piece.mark)
            _write(path, plan, piece, told[-1])
            say(f"{path}: the plan")
        if not as_json:
            click.echo(f"{file}{piece.mark}: {_in_words(plan)}")
            for line in _plate_lines(figures):
                click.echo(line)
    if as_json:
        click.echo(json.dumps(told[0] if len(told) == 1 else told, indent=2))
    elif fitted:
        click.echo(_log_in_words(fitted))


def _of_drawing(file: Path, overrides: dict[str, Any]) -> list[_Planned]:
    from canivet.compose.reading.silhouette import read_silhouette

    keep_sources(file)
    read = read_silhouette(file)
    for warning in read.warnings:
        say(f"{file.name}: {warning}")
    # Several parts stay several, for the plan to refuse.
    paper: Any = read.area.geoms[0] if len(getattr(read.area, "geoms", ())) == 1 else read.area
    cutting = Cutting(paper, strap=1.0, title=read.name, stock=Stock())
    return [_Planned(cutting, _settings(PlanSettings(), overrides))]


def _of_design(file: Path, overrides: dict[str, Any]) -> tuple[list[_Planned], list[Job]]:
    from canivet.compose.design.loading import load_design
    from canivet.compose.series.jobs import draw_job, plan_jobs, sources_of

    design = load_design(file)
    settings = _settings(design.plan, overrides)
    jobs = plan_jobs(design)
    keep_sources(*sources_of(jobs))
    listed = design.series is not None
    pieces = []
    for drawn in map(draw_job, jobs[:1] if listed else jobs):
        plate, mark = drawn.composed(), "" if listed else drawn.job.mark
        if not plate.report.holds:
            say(f"{file}{mark}: {describe_report(plate.report)}")
            say("no plan was made: what does not hold is not to be cut. canivet make shows where it is weak.")
            sys.exit(DOES_NOT_HOLD)
        pieces.append(_Planned(plate.cutting, settings, mark, plate.packet, drawn))
    return pieces, jobs if listed else []


def _plates(
    jobs: list[Job], first: CuttingPlan, settings: PlanSettings, layers: int | None
) -> list[dict[str, Any]]:
    """Return the figures of every plate of a series; one that cannot be drawn says why."""
    from .series import shown_progress

    with shown_progress() as progress:
        return [
            _figures(job, k, first, settings, layers)
            for k, job in enumerate(progress.track(jobs, description="plates"))
        ]


def _figures(
    job: Job, k: int, first: CuttingPlan, settings: PlanSettings, layers: int | None
) -> dict[str, Any]:
    """Return what is told of one plate's plan; the first one's is made already."""
    from canivet.compose.series.jobs import draw_job

    named: dict[str, Any] = {"plate": job.stem}
    try:
        plan = first
        if k:
            plate = draw_job(job).composed()
            piece = _Planned(plate.cutting, settings, packet=plate.packet)
            plan = piece.planned(settings, strap=None, layers=layers, shown=False)
    except CanivetError as error:
        return named | {"fault": error.message}
    return named | {
        "openings": len(plan.openings), "minutes": round(plan.minutes, 1), "blades": plan.blades,
        "sittings": plan.sittings, "grade": plan.grade.value,
    }  # fmt: skip


def _write(path: Path, plan: CuttingPlan, piece: _Planned, as_json: dict[str, Any]) -> None:
    """Write a plan as what its file is called."""
    cutting = piece.cutting
    if piece.packet is not None:
        from canivet.compose.planning.packet import packet_paper

        cutting = replace(cutting, paper=packet_paper(piece.packet))
    if path.suffix.lower() == ".json":
        from canivet.export.files import write_atomically

        write_atomically(path, (json.dumps(as_json, indent=1) + "\n").encode())
    elif path.suffix.lower() == ".html":
        from canivet.audit.strength import check_strength
        from canivet.export.plan.beside import write_beside

        # Where a packet is weak is seen on the opened piece, not on the packet.
        report = None if piece.packet else check_strength(cutting.paper, strap=cutting.strap)
        write_beside(path, plan, cutting.paper, report=report, finished=_finished_view(piece.drawn))
    else:
        from canivet.export.plan.sheets import write_cutting_pages

        write_cutting_pages(path, plan, cutting)


def _finished_view(drawn: DrawnJob | None) -> bytes | None:
    """Return a picture of the finished piece, where its design says how it is mounted."""
    from canivet.compose.finish.finished import asks_for_finish, finish_plate

    if drawn is None or not asks_for_finish(drawn.job.design):
        return None
    from canivet.export.finish.view import finished_view
    from canivet.export.png import picture_bytes

    plate, design = drawn.composed(), drawn.job.design
    try:
        finish = finish_plate(design, plate, drawn.job.size)
        view = finished_view(finish, folder=design.folder, dpi=96) if finish.holds else None
    except CanivetError as error:  # how it is shown is no matter of how it is cut
        say(f"without a picture of the finished piece: {error.message}")
        return None
    return picture_bytes(view.picture, plate.cutting, dpi=view.dpi) if view else None


def _require_kind(output: Path) -> None:
    from canivet.export.files import check_target

    if output.suffix.lower() not in SUFFIXES:
        raise BadValue(
            f"-o is {str(output)!r}; a plan is written as {', '.join(SUFFIXES)}. Name one of them.",
            parameter="-o", value=str(output), accepted=", ".join(SUFFIXES),
        )  # fmt: skip
    check_target(output)


def _read_changes(changes: tuple[str, ...]) -> dict[str, Any]:
    """Return the settings given on the command line as the table they would be in a design."""
    table: dict[str, Any] = {}
    for change in changes:
        name, equals, value = change.partition("=")
        if not equals:
            raise BadValue(f"--set is {change!r}; it takes name=value, such as --set tools=knife.")
        of = table
        *outer, last = name.strip().split(".")
        for key in outer:
            of = of.setdefault(key, {})
        of[last] = value.strip()
    return table


def _settings(given: PlanSettings, overrides: dict[str, Any]) -> PlanSettings:
    if not overrides:
        return given
    settings, faults = read_settings(overrides, given)
    if faults:
        raise BadValue("--set: " + "; ".join(faults), parameter="--set")
    return settings


def _fitted(log: Path, settings: PlanSettings, layers: int | None) -> FittedLog:
    """Read a log and plan every drawing in it, which lies where the log does."""
    from canivet.compose.planning.log import fit_log, read_log

    keep_sources(log)
    pieces = read_log(log)
    plans: dict[str, CuttingPlan] = {}
    for piece in pieces:
        if piece.drawing in plans:
            continue
        path = log.parent / piece.drawing
        try:
            whole = _of_design(path, {})[0] if path.suffix.lower() == ".toml" else _of_drawing(path, {})
            given = None if whole[0].packet else layers
            plans[piece.drawing] = whole[0].planned(settings, strap=None, layers=given)
        except CanivetError as error:
            raise BadValue(f"{log.name}, line {piece.line}: {error.message}", parameter=log.name) from None
    return fit_log(pieces, [plans[piece.drawing] for piece in pieces], settings)


@contextmanager
def _told(openings: int) -> Iterator[Callable[[float], None] | None]:
    """Show on stderr how far a long plan is, where somebody can see it."""
    if openings < _SHOWN_FROM or not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task("order", total=1.0)
        yield lambda done: progress.update(task, completed=done)


def _in_words(plan: CuttingPlan) -> str:
    knife, scissors = plan.cut_length["knife"], plan.cut_length["scissors"]
    strokes = sum(1 for _ in plan.strokes())
    pierces = sum(opening.pierce is not None for opening in plan.openings)
    rests = [
        before.number for before, after in zip(plan.openings, plan.openings[1:], strict=False)
        if before.sitting != after.sitting
    ]  # fmt: skip
    lines = [
        f"{len(plan.openings)} openings, cut from the {'back' if plan.mirrored else 'front'}, the outline "
        f"{plan.settings.outline}",
        f"  support {100 * plan.support:.1f} % of the best possible, travel {plan.travel:.2f} spanning trees",
        f"  knife {knife / 1000:.2f} m, scissors {scissors / 1000:.2f} m, {strokes} strokes, "
        f"{counted(pierces, 'pierce')}",
        f"  the sheet turns {plan.turning / 360:.0f} times round; cut plainly it would "
        f"{plan.turning_plain / 360:.0f} times",
        f"  about {in_hours(plan.minutes)}, {counted(plan.blades, 'blade')}, "
        + counted(plan.sittings, "sitting")
        + (f" (rest after {', '.join(map(str, rests))})" if rests else ""),
        f"  difficulty {plan.grade.value} of 5: {'; '.join(plan.grade.because)}",
        *_overruns(plan),
    ]
    return "\n".join(lines)


def _overruns(plan: CuttingPlan) -> list[str]:
    if not plan.overruns:
        return []
    worst = "; ".join(
        f"{format_mm(over.ahead, 2)} mm at ({format_mm(over.at[0], 1)}, {format_mm(over.at[1], 1)}) mm, "
        + (f"opening {over.number}" if over.number else "the outline")
        for over in plan.overruns[:_WORST]
    )
    return [
        f"  {counted(len(plan.overruns), 'overrun')} leave less of a strap than it is to hold at; stop "
        f"short there. Least paper ahead: {worst}"
    ]


def _plate_lines(figures: list[dict[str, Any]]) -> Iterator[str]:
    for one in figures:
        if "fault" in one:
            yield f"  {one['plate']}: cannot be drawn: {one['fault']}"
        else:
            yield (
                f"  {one['plate']}: {one['openings']} openings, {in_hours(one['minutes'])}, "
                f"{counted(one['blades'], 'blade')}, difficulty {one['grade']}"
            )


def _log_in_words(fitted: FittedLog) -> str:
    from canivet.compose.planning.log import FEWEST

    count = len(fitted.pieces)
    if not fitted.fitted:
        return (
            f"log: {counted(count, 'finished piece')}; from {FEWEST} on pace and blades are fitted. The plan "
            "keeps the defaults (common practice)."
        )
    pace = fitted.settings.pace
    lines = [
        f"log: fitted to {count} finished pieces: knife {pace.knife:.0f} and scissors {pace.scissors:.0f} mm "
        f"a minute, {pace.stroke:.1f} s a stroke, {fitted.settings.blade:.1f} m a blade",
        *(
            f"  line {piece.line}, {piece.drawing}: {minutes:+.0f} min, {blades:+.1f} blades beside the fit"
            for piece, minutes, blades in zip(
                fitted.pieces, fitted.minutes_off, fitted.blades_off, strict=True
            )
        ),
    ]
    return "\n".join(lines)
