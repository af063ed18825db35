"""From characters to glyphs: which may be set, in what order they stand, and which a face lacks.

A line is split into runs of one script and one direction. The runs are put in order by the rules of the
Unicode Bidirectional Algorithm for plain text (UAX 9: P2, W2, W4, W7, N1, N2, L2) and each is shaped by
itself, so that accents sit, letters join and brackets turn as their script asks. Characters that would
override or embed a direction are refused, so the parts of the algorithm that deal with them are not needed;
a neutral stretch takes its side from its neighbours without the rule for paired brackets (N0).
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from itertools import groupby
from typing import Literal

from fontTools.unicodedata import script as script_of

from canivet.errors import BadValue

from .faces import Face, load_engine

__all__ = ["MOST_LETTERS", "Direction", "PlacedGlyph", "require_text", "shape_glyphs"]

Direction = Literal["auto", "ltr", "rtl"]

MOST_LETTERS = 120
"""Characters in one piece of lettering. At 4 mm they would run half a metre."""

JOINED = frozenset(
    ("Arab", "Syrc", "Mong", "Nkoo", "Adlm", "Rohg", "Mand", "Mani", "Phag", "Sogd", "Deva", "Beng", "Guru")
)
"""Scripts whose letters touch their neighbours; the spaces in them are the face's to set."""

_STRONG = {"L": "L", "R": "R", "AL": "R"}
_NUMBERS = {"EN", "AN"}


@dataclass(frozen=True, slots=True)
class PlacedGlyph:
    """One glyph of a line, in cap heights from the line's start; `cluster` is where its character stands."""

    glyph: int
    cluster: int
    x: float
    y: float
    advance: float
    joined: bool


@dataclass(frozen=True, slots=True)
class _Run:
    first: int
    text: str
    script: str
    level: int


def require_text(text: str, *, parameter: str = "text", lines: bool = False) -> str:
    """Return the text as it can be set: composed, without space at its ends.

    Parameters
    ----------
    text : str
        At most 120 characters.
    lines : bool
        Whether it may hold line breaks.

    Raises
    ------
    BadValue
        If it is empty, too long, or holds a character that is no letter: a control character, one that
        overrides the direction of reading, a private or unassigned one.

    Examples
    --------
    >>> require_text("  Zoe\\u0308 ")
    'Zoë'
    """
    if not isinstance(text, str):
        raise BadValue(
            f"{parameter} is {text!r}; it takes letters, such as 'Ex libris'.",
            parameter=parameter, value=text, accepted="letters",
        )  # fmt: skip
    if len(text) > 4 * MOST_LETTERS:
        raise _too_long(parameter, text)
    clean = unicodedata.normalize("NFC", text.replace("\r\n", "\n")).strip()
    if len(clean) > MOST_LETTERS:
        raise _too_long(parameter, clean)
    for at, character in enumerate(clean):
        if character == "\n" and lines:
            continue
        if _cannot_be_set(character):
            raise BadValue(
                f"{parameter} holds {name_character(character)} at place {at + 1}; it takes letters, "
                "figures, signs and spaces. Take it out.",
                parameter=parameter, value=text, accepted="letters, figures, signs and spaces",
            )  # fmt: skip
    if not any(unicodedata.category(c)[0] in "LNPS" for c in clean):
        raise BadValue(
            f"{parameter} is {text!r}; there is no letter in it. Give at least one.",
            parameter=parameter, value=text, accepted="at least one letter",
        )  # fmt: skip
    return clean


def name_character(character: str) -> str:
    """Return a character as a message may show it: itself if it can be printed, its code and its name."""
    code = f"U+{ord(character):04X}"
    name = unicodedata.name(character, "")
    shown = f"{character!r} " if character.isprintable() and not unicodedata.combining(character) else ""
    inner = f"{code} {name}".strip()
    return f"{shown}({inner})" if shown else inner


def shape_glyphs(
    text: str, face: Face, *, direction: Direction = "auto", ligatures: bool = True
) -> list[PlacedGlyph]:
    """Set one line and return its glyphs from left to right.

    Parameters
    ----------
    text : str
        As `require_text` returns it.
    face : Face
        What it is set in.
    direction : "auto", "ltr" or "rtl"
        Which way the line runs; by its first strong letter if "auto".
    ligatures : bool
        Whether letters such as f and i may flow together where the face has a form for it.

    Raises
    ------
    BadValue
        If the face lacks a character; all that it lacks are named.
    """
    glyphs: list[PlacedGlyph] = []
    lacking: set[int] = set()
    pen = 0.0
    for run in _in_order(_runs(text, direction)):
        for glyph in _shape_run(run, face, ligatures, lacking):
            glyphs.append(
                PlacedGlyph(glyph.glyph, glyph.cluster, pen + glyph.x, glyph.y, glyph.advance, glyph.joined)
            )
            pen += glyph.advance
    if lacking:
        raise _lacks(text, face, lacking)
    return glyphs


def _shape_run(run: _Run, face: Face, ligatures: bool, lacking: set[int]) -> list[PlacedGlyph]:
    engine = load_engine()
    buffer = engine.Buffer()
    buffer.add_codepoints([ord(character) for character in run.text])
    buffer.direction = "rtl" if run.level % 2 else "ltr"
    buffer.script = run.script
    buffer.guess_segment_properties()
    engine.shape(face.font, buffer, {} if ligatures else {"liga": False, "clig": False})
    shaped = []
    for info, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        if info.codepoint == 0:
            lacking.add(run.first + info.cluster)
        shaped.append(
            PlacedGlyph(
                info.codepoint, run.first + info.cluster, position.x_offset / face.cap,
                position.y_offset / face.cap, position.x_advance / face.cap, run.script in JOINED,
            )
        )  # fmt: skip
    return shaped


def _runs(text: str, direction: Direction) -> list[_Run]:
    """Split a line into runs of one level and one script."""
    scripts = _scripts(text)
    levels = _levels(text, direction)
    runs = []
    for (script, level), group in groupby(range(len(text)), key=lambda i: (scripts[i], levels[i])):
        places = list(group)
        runs.append(_Run(places[0], text[places[0] : places[-1] + 1], script, level))
    return runs


def _scripts(text: str) -> list[str]:
    """Return the script of each character; signs and marks go with the letter before them."""
    found = [script_of(character) for character in text]
    known = next((s for s in found if s not in ("Zyyy", "Zinh", "Zzzz")), "Latn")
    for i, name in enumerate(found):
        if name in ("Zyyy", "Zinh", "Zzzz"):
            found[i] = known
        known = found[i]
    return found


def _levels(text: str, direction: Direction) -> list[int]:
    kinds = [unicodedata.bidirectional(character) for character in text]
    strong = [_STRONG[k] for k in kinds if k in _STRONG]
    base = 0 if direction == "ltr" or (direction == "auto" and strong[:1] != ["R"]) else 1
    sides = _sides(kinds, base)
    of_level = {"L": (0, 2), "R": (1, 1), "N": (2, 2)}
    return [of_level[side][base] for side in sides]


def _sides(kinds: list[str], base: int) -> list[str]:
    """Return for each character L, R, or N for a number that stands in a right-to-left stretch."""
    resolved: list[str | None] = []
    last = "LR"[base]
    for i, kind in enumerate(kinds):
        if kind in _STRONG:
            last = _STRONG[kind]
            resolved.append(last)
        elif kind in _NUMBERS or (kind in ("CS", "ES") and _between_numbers(kinds, i)):
            resolved.append("L" if last == "L" else "N")
        elif kind == "NSM" and resolved:
            resolved.append(resolved[-1])
        else:
            resolved.append(None)
    for i, side in enumerate(resolved):
        if side is None:
            before = next((s for s in resolved[:i][::-1] if s), "LR"[base])
            after = next((s for s in resolved[i:] if s), "LR"[base])
            # A number next to a neutral counts as right-to-left there (N1).
            pair = {"R" if s == "N" else s for s in (before, after)}
            resolved[i] = pair.pop() if len(pair) == 1 else "LR"[base]
    return [side or "L" for side in resolved]


def _between_numbers(kinds: list[str], i: int) -> bool:
    return 0 < i < len(kinds) - 1 and kinds[i - 1] == kinds[i + 1] and kinds[i - 1] in _NUMBERS


def _in_order(runs: list[_Run]) -> list[_Run]:
    """Turn runs round from the highest level down (L2). Within a run, the shaper has seen to it."""
    ordered = list(runs)
    for level in range(max((r.level for r in runs), default=0), 0, -1):
        turned: list[_Run] = []
        for high, group in groupby(ordered, key=lambda run: run.level >= level):
            stretch = list(group)
            turned += stretch[::-1] if high else stretch
        ordered = turned
    return ordered


def _cannot_be_set(character: str) -> bool:
    kind = unicodedata.category(character)
    joiner = character in "\u200c\u200d"
    return kind in ("Cc", "Cs", "Co", "Cn", "Zl", "Zp") or (kind == "Cf" and not joiner)


def _has(face: Face, character: str) -> bool:
    """Whether a face has a character, whole or in the parts it is made of."""
    parts = unicodedata.normalize("NFD", character)
    return any(all(face.font.get_nominal_glyph(ord(c)) for c in form) for form in (character, parts))


def _too_long(parameter: str, text: str) -> BadValue:
    return BadValue(
        f"{parameter} is {len(text)} characters long; lettering takes at most {MOST_LETTERS}. Shorten it.",
        parameter=parameter, value=text[:MOST_LETTERS], accepted=f"at most {MOST_LETTERS} characters",
    )  # fmt: skip


def _lacks(text: str, face: Face, places: set[int]) -> BadValue:
    alone = {c for c in text if not _has(face, c)}
    missing = sorted(alone or {text[i] for i in places})
    named = ", ".join(name_character(character) for character in missing[:6])
    more = f" and {len(missing) - 6} more" if len(missing) > 6 else ""
    return BadValue(
        f"text is {text!r}; the face {face.name} has no {named}{more}. "
        "Name another TTF or OTF file as face, or spell it otherwise.",
        parameter="text", value=text, accepted=f"characters that {face.name} has",
    )  # fmt: skip
