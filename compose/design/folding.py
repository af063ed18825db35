"""What is asked of a folded piece: every key once, for a design's ``[fold]`` and for the command line.

A key says how its value is read, which kinds of fold take it, and what it needs or cannot stand beside.
Values are written the same in a TOML file and on the command line; only the name differs that a fault is told
under.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, TypeAlias

from canivet.errors import BadValue, CanivetError
from canivet.motifs.folding.flat_sheets import flat_sheet
from canivet.motifs.folding.groups import find_group
from canivet.motifs.folding.kinds import KINDS, TAKERS, FoldKind, find_kind
from canivet.motifs.folding.wedge.rings import EDGES, Border, Ring
from canivet.motifs.folding.wedge.words import RING_EXAMPLE
from canivet.parameters import parameters_of
from canivet.sheets import Sheet

from ._fold_values import (
    read_above_zero,
    read_border,
    read_flag,
    read_length,
    read_number,
    read_place,
    read_rings,
    read_seed,
    read_sheet,
    read_text,
)
from .motif_table import unknown_key

__all__ = ["KEYS", "NOT_FOLDED", "FoldSettings", "Key", "check_together", "read_fold", "read_key"]

Reader: TypeAlias = Callable[[Any, str], Any]
"""Takes a value as it was written and what it is called there."""


_FILES = ("wedge", "figure")


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldSettings:
    """What a folded piece is made of besides its size, strap, rim and paper. Lengths in mm; None: as usual.

    Each is explained in `KEYS`. With `flat` the kind is the symbol of a plane group, and nothing is folded.
    """

    kind: str
    flat: bool = False
    count: int | None = None
    panels: int | None = None
    rows: int | None = None
    hem: float | None = None
    rings: tuple[Ring, ...] = ()
    gap: float | None = None
    eye: float | None = None
    border: Border | None = None
    seed: int | None = None
    wedge: str | None = None
    figure: str | None = None
    stays: bool = False
    words: str | None = None
    mirrored: bool = False
    at: tuple[float, float] | None = None
    width: float | None = None
    creep: bool = False
    sheet: Sheet | None = None
    paper: Sheet | None = None

    @property
    def folded(self) -> FoldKind:
        """Return the kind of fold it is.

        Raises
        ------
        BadValue
            If it is none.
        """
        return find_kind(self.kind)

    @property
    def usual_size(self) -> tuple[float, float]:
        """Return the size that is taken where none is given, mm.

        Raises
        ------
        BadValue
            If it is no kind of fold, or has no such panels.
        """
        if self.flat:
            bounds = parameters_of(flat_sheet)
            return bounds["width"].default, bounds["height"].default
        return self.folded.usual_size(**({} if self.panels is None else {"panels": self.panels}))

    @property
    def texts(self) -> dict[str, str]:
        """Return what is written in words, by its key: words to be cut, and names of files."""
        given = {name: getattr(self, name) for name in ("words", *_FILES)}
        return {name: text for name, text in given.items() if text is not None}

    @property
    def files(self) -> tuple[str, ...]:
        """Return the drawings it is made from."""
        return tuple(text for name, text in self.texts.items() if name in _FILES)


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One thing that may be asked.

    Attributes
    ----------
    meaning, usual : str
        What it is, and what is taken where it is not given.
    read : callable
        Makes a value of what is written.
    kinds : tuple of str
        Which kinds take it; `UNFOLDED` stands for those that are not folded.
    needs, never : tuple of str
        Keys one of which it needs, and keys it cannot stand beside.
    because : str
        Why it cannot.
    """

    meaning: str
    read: Reader
    usual: str = ""
    kinds: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    because: str = ""


UNFOLDED = "flat"
_FOLDED = tuple(KINDS)
_DRAWN = tuple(kind.name for kind in KINDS.values() if not kind.snipped)
_SNIPPED = tuple(kind.name for kind in KINDS.values() if kind.snipped)
_ROUND = tuple(kind.name for kind in KINDS.values() if kind.round)
_SOURCES = ("rings", "seed", "wedge", "figure", "words")
_NO_RINGS = ("wedge", "figure", "words")
_ONE_SOURCE: dict[str, Any] = {
    "kinds": _DRAWN,
    "never": _SOURCES,
    "because": "each says what is cut, and only one can",
}


def _usual(name: str) -> str:
    """Return what is taken where a number is not given: the commonest, then the kinds that differ."""
    usual = {kind.name: kind.options[name].default for kind in KINDS.values() if name in kind.options}
    values = list(usual.values())
    common = max(values, key=values.count)
    return ", ".join([f"{common:g}", *(f"{kind} {n:g}" for kind, n in usual.items() if n != common)])


KEYS: Mapping[str, Key] = MappingProxyType({
    "flat": Key(meaning="any of the 17 plane groups drawn unfolded: kind is its symbol", read=read_flag),
    "count": Key(meaning="repeats of a medallion, points of a star", read=read_number,
                 usual=_usual("count"), kinds=TAKERS["count"]),
    "panels": Key(meaning="panels across; triangles to a hexagon's side", read=read_number,
                  usual=_usual("panels"), kinds=TAKERS["panels"]),
    "rows": Key(meaning="panels up, in p2mm and p4mm", read=read_number,
                usual=_usual("rows"), kinds=TAKERS["rows"]),
    "hem": Key(meaning="paper standing out past the outer panels", read=read_length,
               usual="0 mm", kinds=TAKERS["hem"]),
    "rings": Key(meaning=f"rings of motifs, from inside to outside: {RING_EXAMPLE}", read=read_rings,
                 usual="drops fill; petals count=2; in a star with a gap or an eye",
                 **(_ONE_SOURCE | {"kinds": _FOLDED})),
    "gap": Key(meaning="paper between rings beyond a strap", read=read_length, usual="0 mm", kinds=_FOLDED,
               never=_NO_RINGS, because="a gap goes with rings"),
    "eye": Key(meaning="radius of the round opening in the middle of rings", read=read_length, usual="0 mm",
               kinds=(*_ROUND, *_SNIPPED), never=_NO_RINGS, because="an eye goes with rings"),
    "border": Key(meaning=f"how the open edge is cut, {', '.join(EDGES)}: scallops count=2 depth=5mm",
                  read=read_border, usual="plain", kinds=_DRAWN, never=_NO_RINGS,
                  because="a border goes with rings"),
    "seed": Key(meaning="rings chosen by chance; the same number, the same drawing", read=read_seed,
                **(_ONE_SOURCE | {"kinds": _FOLDED})),
    "wedge": Key(meaning="your own drawing of the wedge, a file: dark is cut away", read=read_text,
                 **_ONE_SOURCE),
    "figure": Key(meaning="a silhouette folded with the sheet, a file: dark is cut away", read=read_text,
                  **_ONE_SOURCE),
    "stays": Key(meaning="the figure stays as paper, joined across the folds it meets; all about it is "
                         "cut away", read=read_flag, kinds=_DRAWN, needs=("figure",)),
    "words": Key(meaning="words cut in the wedge, as large as there is room for, counters bridged",
                 read=read_text, **_ONE_SOURCE),
    "mirrored": Key(meaning="mirror the words, to read in the leaves that open turned over", read=read_flag,
                    kinds=_DRAWN, needs=("words",)),
    "at": Key(meaning="where wedge or figure begins, from the wedge's lower left corner", read=read_place,
              usual="its corner; centred", kinds=_DRAWN, needs=("wedge", "figure")),
    "width": Key(meaning="width of wedge or figure", read=read_above_zero,
                 usual="as the file says; 1.6 times the wedge's", kinds=_DRAWN, needs=("wedge", "figure")),
    "creep": Key(meaning="move the packet's openings off the folds by what the bends take", read=read_flag,
                 kinds=_DRAWN, needs=("packet",)),
    "sheet": Key(meaning="the packet's page, such as A4", read=read_sheet,
                 usual="the smallest from A4 that takes it", kinds=_FOLDED, needs=("packet",)),
    "paper": Key(meaning="the sheet that is folded, such as A4: refused where too small", read=read_sheet,
                 kinds=_FOLDED),
})  # fmt: skip
"""What may be asked of a folded piece, besides its kind."""

NOT_FOLDED: Mapping[str, str] = MappingProxyType({
    "frame": "", "outline": "the sheet is the fold's own", "border": "fold.border cuts its open edge",
    "ground": "fold.rings fill its wedge", "vignette": "",
    "silhouette": "fold.figure folds one with the sheet", "lettering": "fold.words cuts words in the wedge",
    "join": "", "repair": "",
})  # fmt: skip
"""Tables of a plate that a folded piece has no use for, and what it has instead."""

_BESIDE = {"rim": (*_DRAWN, UNFOLDED), "packet": _FOLDED}
"""Kinds that take what is asked elsewhere than among the keys."""


def read_key(name: str, value: Any, *, called: str) -> Any:
    """Return the value of one key as it was written, in a file or on the command line.

    Raises
    ------
    BadValue
        If it cannot be read, under the name it was given by.

    Examples
    --------
    >>> read_key("at", "0x10", called="--at"), read_key("at", ["0 mm", "1 cm"], called="fold.at")
    ((0.0, 10.0), (0.0, 10.0))
    """
    return KEYS[name].read(value, called)


def check_together(
    kind: str, given: Sequence[str], *, flat: bool = False, called: Callable[[str], str] = str
) -> list[BadValue]:
    """Return a fault for each key that could only be ignored beside the kind and the others.

    Parameters
    ----------
    kind : str
        That is folded, or drawn flat.
    given : sequence of str
        Keys that are given, ``rim`` and ``packet`` among them where they are.
    flat : bool
        Whether it is drawn flat.
    called : callable
        What a key is called where it was given.

    Examples
    --------
    >>> [fault.message for fault in check_together("mirror", ["eye"])]
    ['eye is given with mirror; it goes with quarter, medallion, p4mm, p3m1, p6mm or star. Leave eye out.']
    """
    faults = []
    for name in given:
        key = KEYS.get(name)
        kinds = _BESIDE.get(name, ()) if key is None else key.kinds
        needs, never = ((), ()) if key is None else (key.needs, key.never)
        beside = [other for other in never if other in given and not _told_later(name, other, given)]
        if kinds and (UNFOLDED if flat else kind) not in kinds:
            shown_kind = f"{called(UNFOLDED)}" if flat else kind
            fault = f"is given with {shown_kind}; it goes with {_kinds(kinds)}. Leave {called(name)} out."
        elif needs and not any(other in given for other in needs):
            needed = " or ".join(called(other) for other in needs)
            fault = (
                f"is given without {needed}, which it goes with. Give {needed}, or leave {called(name)} out."
            )
        elif beside and key is not None:
            fault = f"and {called(beside[0])} are both given; {key.because}. Leave one of the two out."
        else:
            continue
        faults.append(BadValue(f"{called(name)} {fault}", parameter=called(name)))
    return faults


def _told_later(name: str, other: str, given: Sequence[str]) -> bool:
    """Whether a key is the other itself, or the other comes later and says that the two cannot stand."""
    return other == name or (name in KEYS[other].never and given.index(other) > given.index(name))


def _kinds(kinds: tuple[str, ...]) -> str:
    folded = [kind for kind in kinds if kind != UNFOLDED]
    left = [kind for kind in KINDS if kind not in kinds]
    if len(left) < 2:
        return f"every folded kind{f' but {left[0]}' if left else ''}"
    return f"{', '.join(folded[:-1])} or {folded[-1]}"


def read_fold(table: Any, *, beside: Collection[str] = ()) -> tuple[FoldSettings | None, list[str]]:
    """Read a design's ``[fold]`` and check all of it: against its kind, and against the other tables.

    Parameters
    ----------
    table : object
        As TOML has it.
    beside : collection of str
        The design's other keys and tables.

    Returns
    -------
    FoldSettings or None, and list of str
        None where the kind cannot be told; and all that is wrong, each fault with its place.

    Examples
    --------
    >>> settings, faults = read_fold({"kind": "medallion", "count": 8, "rings": ["drops fill"]})
    >>> settings.count, faults
    (8, [])
    """
    faults = [
        f"{name} is a plate's, and a folded piece has none{f': {own}' if own else ''}. Take {name} or [fold] "
        "out."
        for name, own in NOT_FOLDED.items()
        if name in beside
    ]
    if isinstance(table, str):
        table = {"kind": table}
    if not isinstance(table, dict) or not isinstance(table.get("kind"), str):
        faults.append(f'fold.kind is missing; name one of: {", ".join(KINDS)}, as in kind = "medallion".')
        return None, faults
    kind, asked = table["kind"], {}
    for name, value in table.items():
        if name == "kind":
            continue
        if name not in KEYS:
            faults.append(unknown_key(f"fold.{name}", name, ["kind", *KEYS]))
            continue
        with _noting(faults):
            asked[name] = read_key(name, value, called=f"fold.{name}")
    given = [name for name in table if name in KEYS and table[name] is not False]
    flat = table.get("flat") is True
    given += (["rim"] if "rim" in beside else []) + ([] if flat else ["packet"])
    before = len(faults)
    with _noting(faults):
        (find_group if flat else find_kind)(kind, parameter="fold.kind")
    if len(faults) > before:
        return None, faults
    faults += [fault.message for fault in check_together(kind, given, flat=flat, called=_in_file)]
    for name, bound in () if flat else find_kind(kind).options.items():
        if name in asked:
            with _noting(faults, place="fold."):
                bound.check(asked[name])
    return FoldSettings(kind=kind, **asked), faults


def _in_file(name: str) -> str:
    """Return what is called how in a design: the rim is all designs' own."""
    return name if name == "rim" else f"fold.{name}"


@contextlib.contextmanager
def _noting(faults: list[str], *, place: str = "") -> Iterator[None]:
    """Note a fault and go on, so that all are told at once."""
    try:
        yield
    except CanivetError as error:
        faults.append(place + error.message)
