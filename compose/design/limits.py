"""How much a design and its list may hold, each limit in this one place.

They are set past anything made by hand and short of what would keep a person waiting.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from canivet.errors import DoesNotFit, Unreadable
from canivet.lengths import format_mm
from canivet.motifs.registry import Motif

__all__ = [
    "DEEPEST_KEY",
    "DESIGN_BYTES",
    "LIST_BYTES",
    "MOST_CELLS",
    "MOST_COLUMNS",
    "MOST_ROWS",
    "MOST_SIZES",
    "require_depth",
    "require_few_cells",
]

DESIGN_BYTES = 1_000_000
"""A design is written by hand; a megabyte of TOML is some other file."""

DEEPEST_KEY = 8
"""Names in a dotted key: a design has three at most (``silhouette.settings.seed``), and the parser's work
grows with the square of their number."""

LIST_BYTES = 20_000_000
MOST_ROWS = 100_000
MOST_COLUMNS = 200

MOST_SIZES = 100
"""Sizes of one design; paper is made in some twenty."""

MOST_CELLS = 40_000
"""Cells of a lattice: at a minute for each, three months of days with the knife."""

_STRING_OR_COMMENT = re.compile(
    '|'.join((
        r'"{3}(?:[^\\]|\\.)*?"{3}',
        r"'{3}.*?'{3}",
        r'"(?:[^"\\\n]|\\.)*"',
        r"'[^'\n]*'",
        r"#[^\n]*",
    )),
    re.DOTALL,
)  # fmt: skip
_DEEP_KEY = re.compile(rf"(?<![\w.-])(?:[\w-]+[ \t]*\.[ \t]*){{{DEEPEST_KEY}}}")


def require_depth(text: str, name: str) -> None:
    """Refuse TOML with a key of more names than a design could have, before it is parsed.

    Raises
    ------
    Unreadable
        With the line.

    Examples
    --------
    >>> require_depth('title = "a.b.c.d.e.f.g.h.i.j"  # a.b.c.d.e.f.g.h.i.j', "reeds.toml")
    >>> require_depth("size = 1\\n" + "a." * 20 + "b = 1", "reeds.toml")
    Traceback (most recent call last):
    canivet.errors.Unreadable: reeds.toml, line 2: a key of more than 8 names, one within the other. ...
    """
    plain = _STRING_OR_COMMENT.sub(lambda found: "s" + "\n" * found[0].count("\n"), text)
    deep = _DEEP_KEY.search(plain)
    if deep:
        line = plain.count("\n", 0, deep.start()) + 1
        raise Unreadable(
            f"{name}, line {line}: a key of more than {DEEPEST_KEY} names, one within the other. "
            "No design has any; is it another file?",
            parameter=name, accepted=f"keys of up to {DEEPEST_KEY} names",
        )  # fmt: skip


def require_few_cells(motif: Motif, settings: Mapping[str, Any], area: float) -> None:
    """Refuse a lattice of more cells than anybody would cut, before any is laid.

    Parameters
    ----------
    motif : Motif
        What is to fill the area; one without a pitch lays no cells.
    settings : mapping
        What it is given.
    area : float
        mm².

    Raises
    ------
    DoesNotFit
        With the pitch that would do.

    Examples
    --------
    >>> from canivet.motifs.registry import find_motif
    >>> require_few_cells(find_motif("diamond-lattice"), {"pitch": 6.0}, 297.0 * 420.0)
    >>> require_few_cells(find_motif("diamond-lattice"), {"pitch": 6.0}, 3000.0 * 3000.0)
    Traceback (most recent call last):
    canivet.errors.DoesNotFit: pitch is 6 mm; on 3000 × 3000 mm that makes about 250,000 cells, ...
    """
    pitch = motif.parameters.get("pitch")
    if motif.family != "lattice" or pitch is None:
        return
    given = settings.get("pitch", pitch.default)
    if given is None:  # as wide as the strap asks
        return
    width = float(given)
    cells = area / width**2
    if cells > MOST_CELLS:
        side, least = area**0.5, (area / MOST_CELLS) ** 0.5
        raise DoesNotFit(
            f"pitch is {format_mm(width)} mm; on {format_mm(side, 0)} × {format_mm(side, 0)} mm that makes "
            f"about {cells:,.0f} cells, and at most {MOST_CELLS:,} are drawn. Make pitch at least "
            f"{format_mm(least + 0.05, 1)} mm, or the piece smaller.",
            parameter="pitch", value=width, accepted=f"at least {least:.1f} mm",
        )  # fmt: skip
