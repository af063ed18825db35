"""What commands say: lengths as options, reports as lines."""

from __future__ import annotations

import contextlib
import io
import sys
import threading
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, get_args

import click

from canivet.audit.strength import TOLERANCE, StrengthReport, WeakNeck
from canivet.doing import listening
from canivet.errors import BadValue
from canivet.kept import keeping
from canivet.lengths import format_mm, parse_length, parse_size
from canivet.sheets import find_sheet
from canivet.stock import USUAL_FACES

if TYPE_CHECKING:
    from canivet.audit.holds import Droop
    from canivet.cutting import Cutting
    from canivet.export.page.setup import PageSetup
    from canivet.export.parts import Part

__all__ = [
    "LENGTH",
    "MOST_HOLDS",
    "SIZE",
    "Ink",
    "Pages",
    "describe_report",
    "faces_option",
    "ink_option",
    "keep_sources",
    "listed",
    "margin_option",
    "page_setup",
    "pages_option",
    "say",
    "say_remarks",
    "shown_work",
    "write_piece",
]

Ink = Literal["solid", "lines", "tint"]
"""As `canivet.export.page.tones` has it, which loads too much to be asked for a help text."""

Pages = Literal["one each", "tiled", "together"]
"""As `canivet.export.page.setup` has it."""

MOST_HOLDS = 5
"""Single holds told, the likeliest to tear first."""

_LATE = 2.0
"""Seconds after which it is shown what is being done: what ends sooner needs no word."""

_WORST = 3
_WIDE = 110
"""Characters to a line of a table, whatever the console: a pipe has no width."""


class _LengthType(click.ParamType[Any]):
    name = "length"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        named = param.opts[0] if param else "length"
        try:
            length = parse_length(value, parameter=named)
            if length < 0:
                raise BadValue(f"{named} is {value!r}; it takes a length of zero or more, such as 1 mm.")
        except BadValue as error:
            self.fail(error.message, param, ctx)
        return length


class _SizeType(click.ParamType[Any]):
    name = "size"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, float]:
        if isinstance(value, tuple):
            return value
        try:
            return parse_size(value, parameter=param.opts[0] if param else "size")
        except BadValue as error:
            with contextlib.suppress(BadValue):
                sheet = find_sheet(value)
                return sheet.width, sheet.height
            self.fail(error.message, param, ctx)


LENGTH = _LengthType()
SIZE = _SizeType()


faces_option = click.option(
    "--faces",
    default=USUAL_FACES.value,
    show_default=True,
    help="plain, dark on one face, dark on both faces",
)
ink_option = click.option(
    "--ink",
    type=click.Choice(get_args(Ink)),
    help="How the page to print shows the piece: solid black, lines alone, or lines and a tint  [solid]",
)


_LARGE = Literal["one each", "tiled"]
pages_option = click.option(
    "--pages",
    type=click.Choice(get_args(_LARGE)),
    help="A page for each piece, or one larger than the sheet taken apart over several  [one each]",
)
margin_option = click.option("--margin", type=LENGTH, help="Left free along the edges of the page  [8 mm]")


def page_setup(output: Path, ink: Ink | None, pages: Pages | None, margin: float | None) -> PageSetup:
    """Return how a page is printed, and refuse what could only be ignored since the file is no page.

    Raises
    ------
    BadValue
        If one is given and the file is no PDF, or a value is none that is known.
    """
    from canivet.export.page.setup import MARGIN, PageSetup

    for name, value in (("ink", ink), ("pages", pages), ("margin", margin)):
        if value is not None and output.suffix.lower() != ".pdf":
            raise BadValue(
                f"--{name} is given with {output}; it goes with a PDF, whose page it draws. "
                f"Leave --{name} out, or write a .pdf.",
                parameter=f"--{name}", value=value, accepted="a PDF",
            )  # fmt: skip
    return PageSetup(ink or "solid", pages or "one each", MARGIN if margin is None else margin)


def keep_sources(*paths: Path) -> None:
    """See to it that nothing this command writes takes the place of a file that it reads."""
    click.get_current_context().with_resource(keeping(paths))


def write_piece(output: Path, cutting: Cutting, setup: PageSetup, parts: Sequence[Part] = ()) -> None:
    """Write a piece, name the file, and say what of its words does not stand on its page as given."""
    from canivet.export import write_drawing

    write_drawing(output, cutting, setup, parts=parts)
    click.echo(str(output))
    if output.suffix.lower() == ".pdf":
        say_remarks(cutting, setup)


def with_mark(path: Path, mark: str) -> Path:
    """Return the path of one plate of several: what tells it from the others stands before the ending.

    Examples
    --------
    >>> with_mark(Path("out/plan.pdf"), "-a5").name
    'plan-a5.pdf'
    """
    return path.with_name(path.stem + mark + path.suffix)


def say_remarks(cutting: Cutting, setup: PageSetup, name: str = "") -> None:
    """Say what of a piece's words does not stand on its page as it was given."""
    from canivet.export.page.layout import page_remarks

    for remark in page_remarks(cutting, setup):
        say(f"{name}: {remark}" if name else remark)


def listed(names: Sequence[str], most: int = 6) -> str:
    """Return names in a row, the first of them where there are many, with how many more there are.

    Examples
    --------
    >>> listed(["fox", "hare", "owl"], most=2)
    'fox, hare and 1 more'
    """
    more = f" and {len(names) - most:,} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more


def say(text: str) -> None:
    """Say something beside the result: on stderr."""
    click.echo(text, err=True)


@contextlib.contextmanager
def shown_work(name: str) -> Iterator[None]:
    """While in it, show on stderr what is being done, once it takes long, where somebody can see it."""
    if not sys.stderr.isatty():
        yield
        return
    from rich.console import Console
    from rich.markup import escape
    from rich.progress import Progress, TextColumn, TimeElapsedColumn

    columns = (TextColumn("{task.description}"), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task(escape(name), visible=False)
        late = threading.Timer(_LATE, lambda: progress.update(task, visible=True))
        late.daemon = True
        late.start()
        try:
            with listening(lambda what: progress.update(task, description=escape(f"{name}: {what}"))):
                yield
        finally:
            late.cancel()


def describe_report(
    report: StrengthReport, *, most: int = 12, droops: Sequence[Droop | None] | None = None
) -> str:
    """Return a report in lines for a person; `droops` are those of its single holds, in their order."""
    verdict = "holds" if report.holds else "does NOT hold"
    needs = f"{format_mm(report.strap)} mm"
    if report.slip:
        needs += f" with a slip of {format_mm(report.slip)} mm either way, so {format_mm(report.needed)} mm"
    lines = [
        f"{verdict} at a strap of {needs}",
        f"  pieces {report.pieces}, openings {report.openings}, "
        f"size {format_mm(report.width, 1)} × {format_mm(report.height, 1)} mm, "
        f"to cut {format_mm(report.cut_length, 0)} mm",
        *_weakest(report),
    ]
    if report.pieces > 1:
        lines.append(
            f"  {report.pieces} parts are not joined: they would fall apart. canivet join can bridge them"
        )
    lines += _necks(report, most)
    if report.slip and report.necks and min(n.width for n in report.necks) >= report.strap - TOLERANCE:
        lines.append(
            "    All are as wide as the strap: they lack what the slip takes. Draw the design with "
            f'slip = "{format_mm(report.slip)} mm", or ask for less.'
        )
    lines += _listed("limb", [
        f"{format_mm(m.width)} mm wide, {format_mm(m.length, 1)} mm long, at {_place(m.at)}"
        for m in report.limbs
    ], f"too thin for {'its' if len(report.limbs) == 1 else 'their'} length", most)  # fmt: skip
    lines += _listed("opening", [
        f"radius {format_mm(o.radius)} mm at {_place(o.at)}" for o in report.small_openings
    ], "too small to cut", most)  # fmt: skip
    return "\n".join([*lines, *_single_holds(report, droops), *_sharp_corners(report)])


def _necks(report: StrengthReport, most: int) -> list[str]:
    """Return the necks under the width, of a stem only the one where it is likeliest to tear."""
    holds = set(report.single_holds)
    told = [neck for neck in report.necks if not neck.single_hold or neck in holds]
    rows = [
        f"{format_mm(n.width)} mm at {_place(n.at)}"
        + (f", holds up {format_mm(n.hanging, 1)} mm² alone" if n.single_hold else "")
        for n in told
    ]
    lines = _listed("neck", rows, f"under {format_mm(report.needed)} mm", most)
    more = len(report.necks) - len(told)
    return [*lines, f"    and {more} more along the same stems"] if more else lines


def _weakest(report: StrengthReport) -> list[str]:
    """Return the weakest strap, and how far the hand may stray before it is under the width asked."""
    neck, left = report.weakest, report.slip_left
    if neck is None or left is None:
        return ["  no strap anywhere near this width"]
    hang = f", a single hold for {format_mm(neck.hanging, 1)} mm²" if neck.single_hold else ""
    within = report.needed - TOLERANCE <= neck.width < report.needed
    rounded = f", within the {format_mm(TOLERANCE)} mm that drawings are rounded by" if within else ""
    weakest = f"  weakest strap {format_mm(neck.width)} mm at {_place(neck.at)}{hang}{rounded}"
    if left < 0:
        return [weakest, f"  slip left: none, it is {format_mm(report.strap - neck.width)} mm short"]
    slip = f"{format_mm(left)} mm either way" if left >= 0.0005 else "none to spare"
    return [weakest, f"  slip left: {slip} before it is under {format_mm(report.strap)} mm"]


def _single_holds(report: StrengthReport, droops: Sequence[Droop | None] | None) -> list[str]:
    """Return the single holds likeliest to tear, as a table."""
    holds = report.single_holds[:MOST_HOLDS]
    if not holds:
        return []
    count = len(report.single_holds)
    rest = f", the {len(holds)} likeliest to tear first" if count > 1 else ""
    head = ["width", "hangs", "risk, mm²/mm", "at"] + (["droop, held level"] if droops else [])
    rows = [_hold_row(neck) for neck in holds]
    if droops:
        rows = [[*row, _droop(droop)] for row, droop in zip(rows, droops[: len(rows)], strict=True)]
    lines = [f"  {count} single hold{'s' if count != 1 else ''}{rest}:", *_table(head, rows)]
    if droops:
        lines.append("    droop is an estimate by beam theory, to be taken as advice and not as a promise")
        beyond = next((d.advice for d in droops[: len(holds)] if d and d.sag is None), None)
        lines += [f"    over a tenth: {beyond}"] if beyond else []
    return lines


def _hold_row(neck: WeakNeck) -> list[str]:
    return [
        f"{format_mm(neck.width, 2)} mm",
        f"{format_mm(neck.hanging, 1)} mm²",
        format_mm(neck.risk, 1),
        _place(neck.at),
    ]


def _droop(droop: Droop | None) -> str:
    if droop is None:
        return ""
    if droop.sag is None:
        return f"over a tenth of its {format_mm(droop.reach, 0)} mm"
    return "under 0.1 mm" if droop.sag < 0.1 else f"about {format_mm(droop.sag, 1)} mm"


def _sharp_corners(report: StrengthReport) -> list[str]:
    """Return how many sharp corners there are, and the worst of them as a table."""
    corners = report.sharp_corners
    if not corners:
        return []
    count = len(corners)
    rest = f", the {min(count, _WORST)} with the least paper ahead of the blade first" if count > 1 else ""
    rows = [
        [f"{corner.angle:.0f}°", f"{format_mm(corner.ahead, 2)} mm", _place(corner.at)]
        for corner in corners[:_WORST]
    ]
    return [
        f"  {count} sharp corner{'s' if count != 1 else ''}{rest}:",
        *_table(["angle", "ahead", "at"], rows),
    ]


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """Return a table in plain characters, its numbers to the right: rich lays it out, and only that."""
    from rich.console import Console
    from rich.padding import Padding
    from rich.table import Table
    from rich.text import Text

    table = Table(box=None, pad_edge=False, show_edge=False, padding=(0, 2, 0, 0))
    for name in head:
        table.add_column(Text(name), justify="left" if name == head[-1] else "right", no_wrap=True)
    for row in rows:
        table.add_row(*(Text(cell) for cell in row))
    out = io.StringIO()
    console = Console(
        file=out,
        width=_WIDE,
        color_system=None,
        force_terminal=False,
        force_jupyter=False,
        legacy_windows=False,
    )
    console.print(Padding(table, (0, 0, 0, 4)))
    return [line.rstrip() for line in out.getvalue().splitlines()]


def _listed(noun: str, rows: list[str], fault: str, most: int) -> list[str]:
    if not rows:
        return []
    head = f"  {len(rows)} {noun}{'s' if len(rows) != 1 else ''} {fault}:"
    more = [f"    … and {len(rows) - most} more"] if len(rows) > most else []
    return [head, *(f"    {row}" for row in rows[:most]), *more]


def _place(at: tuple[float, float]) -> str:
    return f"({format_mm(at[0], 1)}, {format_mm(at[1], 1)}) mm"
