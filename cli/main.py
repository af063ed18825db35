"""The front door: click commands, and how they end.

Exit status: 0 done and holds; 1 cannot; 2 wrong use; 3 done, but it does not hold. Results go to stdout,
everything else to stderr.
"""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path
from typing import Any

import click

from canivet import __version__
from canivet.errors import CanivetError, suggest

from .running.door import Details, run_at_the_door

__all__ = ["cli", "main"]

DOES_NOT_HOLD = 3

COMMANDS = {
    "start": "Write DESIGN.toml, a commented design that can be drawn at once.",
    "make": "Draw what DESIGN asks for: SVG and PDF at true size, and a PNG of the finished front.",
    "draw": "Draw MOTIF into a file: the bare piece as SVG, a true-size page as PDF, a picture as PNG.",
    "motifs": "List the motifs, say what MOTIF takes, or write the pattern book.",
    "check": "Say whether FILE holds: a drawing (SVG, PNG, JPEG) or a design (TOML).",
    "join": "Make FILE (SVG, PNG, JPEG) one piece that holds: mend what is too thin, bridge what is loose.",
    "fold": "Fold a sheet, cut a wedge, open it: draw the opened piece and the sheet to cut it from.",
    "plan": "Plan how FILE is cut: a drawing (SVG, PNG, JPEG) or a design (TOML).",
    "estimate": "Reckon what DESIGN takes: hours and sittings, blades, papers, boards and glass, and its "
    "price.",
}
"""What each command says first of itself, here too so that a call for help need not load them all; a test
sees to it that the two agree."""


class _Fault(click.ClickException):
    """One of our own errors, in click's clothes: the sentence and the exit status, no traceback."""

    def __init__(self, error: CanivetError) -> None:
        super().__init__(error.message)
        self.error = error

    @property
    def exit_code(self) -> int:  # type: ignore[override]
        return self.error.exit_code

    def show(self, file: Any = None) -> None:
        click.echo(f"canivet: {self.message}", err=True, file=file)


class _Group(click.Group):
    """Turns every error canivet raises on purpose into its sentence and status."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except CanivetError as error:
            raise _Fault(error) from None
        except RecursionError:
            raise _Fault(
                CanivetError("The drawing is nested too deeply to read. Flatten its groups.")
            ) from None
        except MemoryError:
            raise _Fault(
                CanivetError("There is not enough memory for this drawing. Use fewer openings.")
            ) from None
        finally:
            _tell_of_refused_guests()

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's own signature
        return list(COMMANDS)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        # Each command is loaded when it is called: `motifs` need not wait for what `make` imports.
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(f"canivet.cli.{cmd_name}").command
        return command

    def resolve_command(self, ctx: click.Context, args: list[str]) -> Any:
        # click's own message would not say what there is.
        name = args[0] if args else ""
        if name and not name.startswith("-") and self.get_command(ctx, name) is None:
            known = ", ".join(self.list_commands(ctx))
            ctx.fail(
                f"There is no command {name!r}.{suggest(name, self.list_commands(ctx))} There are: {known}."
            )
        return super().resolve_command(ctx, args)


def _tell_of_refused_guests() -> None:
    """Name the packages whose motifs could not be loaded, if the catalogue was looked into at all."""
    guests = sys.modules.get("canivet.motifs.guests")
    for sentence in guests.refused_guests() if guests else ():
        click.echo(f"canivet: {sentence}", err=True)


@click.group(cls=_Group, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="canivet")
@click.option(
    "--details",
    type=click.Path(path_type=Path),
    help="FILE into which to write what a report needs, where something goes wrong that was not foreseen",
)
@click.pass_context
def cli(ctx: click.Context, details: Path | None) -> None:
    """Drawings for cutting pictures by hand out of one sheet of paper.

    Everything that stays is joined to everything else, and nowhere thinner than the strap you ask for.
    """
    if isinstance(ctx.obj, Details):
        ctx.obj.path = details


def main() -> None:
    """Run the command line; the console may be of any encoding, and the reader of a pipe may leave."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    run_at_the_door(lambda details: cli.main(prog_name="canivet", obj=details))
