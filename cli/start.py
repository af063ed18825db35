"""``canivet start``: a commented design to begin from, and the keys of designs for editors."""

from __future__ import annotations

import json
import os
from pathlib import Path

import click

from canivet.errors import BadValue, CannotWrite

from .words import say

__all__ = ["command"]


@click.command("start")
@click.argument("design", type=click.Path(path_type=Path), required=False)
@click.option(
    "--frame", help="A frame for the plate; canivet motifs lists them  [border, ground and vignette]"
)
@click.option(
    "--size", help="Width and height of the piece  [4x6 in, or the first usual size the frame fits]"
)
@click.option("--strap", default="1.2 mm", show_default=True, help="The narrowest paper left anywhere")
@click.option(
    "--keys",
    type=click.Path(path_type=Path),
    help="Write only the keys a design may have, as a JSON Schema for editors; - prints them",
)
def command(design: Path | None, frame: str | None, size: str | None, strap: str, keys: Path | None) -> None:
    """Write DESIGN.toml, a commented design that can be drawn at once.

    Beside it goes design-keys.json, a JSON Schema by which editors that check TOML complete keys and
    underline slips. A file that is there already is not written over.
    """
    if (design is None) == (keys is None):
        raise BadValue(
            "start takes a name for the design, such as plate.toml, or --keys FILE; one of the two.",
            parameter="DESIGN", accepted="a name that ends in .toml, or --keys",
        )  # fmt: skip
    if keys is not None:
        _only_keys(keys, given={"--frame": frame, "--size": size})
        return
    assert design is not None
    _begin(design, frame, size, strap)


def _only_keys(path: Path, given: dict[str, str | None]) -> None:
    for option, value in given.items():
        if value is not None:
            raise BadValue(
                f"{option} is given with --keys, which writes no design. Leave one of them out.",
                parameter=option, value=value,
            )  # fmt: skip
    if str(path) == "-":
        click.echo(_keys().decode(), nl=False)
        return
    _write(path, _keys())


def _begin(design: Path, frame: str | None, size: str | None, strap: str) -> None:
    from canivet.compose.beginning import SCHEMA_FILE, begin_design
    from canivet.export.files import check_target

    if design.suffix.lower() != ".toml":
        raise BadValue(
            f"{design} does not end in .toml, as designs do. Call it {design.with_suffix('.toml')}.",
            parameter="DESIGN", value=str(design), accepted="a name that ends in .toml",
        )  # fmt: skip
    _require_free(design)
    check_target(design)
    text = begin_design(design.name, frame=frame, size=size, strap=strap)
    _write(design, text.encode())
    beside = design.with_name(SCHEMA_FILE)
    if not beside.exists():
        _write(beside, _keys())
    elif not _is_ours(beside):
        say(f"{beside} is there already and is no list of keys of ours; it was left as it is.")
    elif beside.read_bytes() != _keys():
        say(f"{beside} is of another release; canivet start --keys NEW.json writes today's keys.")
    say(f"Draw it: canivet make {design}    at every save: canivet make --watch {design}")


def _require_free(path: Path) -> None:
    """Refuse to write where anything lies: what somebody began there is not ours to replace."""
    if os.path.lexists(path):
        raise CannotWrite(
            f"{path} is there already, and is not written over. Give another name.",
            parameter="DESIGN", value=str(path), accepted="a name that is free",
        )  # fmt: skip


def _write(path: Path, data: bytes) -> None:
    from canivet.export.files import write_atomically

    _require_free(path)
    write_atomically(path, data)
    click.echo(str(path))


def _keys() -> bytes:
    from canivet.compose.design.schema import design_schema

    return (json.dumps(design_schema(), indent=1, ensure_ascii=False) + "\n").encode()


def _is_ours(path: Path) -> bool:
    from canivet.compose.design.schema import TITLE

    try:
        told = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return False
    return isinstance(told, dict) and told.get("title") == TITLE
