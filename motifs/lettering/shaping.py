"""From characters to glyphs: which may be set, in what order they stand, and which a face lacks.

A line is split into runs of one script and one level of direction. The levels are those of the Unicode
Bidirectional Algorithm (UAX 9), as python-bidi finds them; each run is shaped by itself, so that accents sit,
letters join and brackets turn as their script asks. Characters that would override or embed a direction are
refused; a neutral stretch takes its side from its neighbours without the rule for paired brackets (N0).
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from itertools import groupby
from typing import Literal

from bidi import algorithm as bidi
from fontTools.unicodedata import script as script_of
from shapely.geometry.base import BaseGeometry

from canivet.errors import BadValue, Unreadable

from .faces import Face, load_engine

__all__ = [
    "MOST_LETTERS",
    "Direction",
    "PlacedGlyph",
    "Run",
    "has_character",
    "name_character",
    "require_drawn",
    "require_text",
    "runs_in_order",
    "shape_glyphs",
    "shape_run",
]

Direction = Literal["auto", "ltr", "rtl"]

MOST_LETTERS = 120
"""Characters in one piece of lettering. At 4 mm they would run half a metre."""

JOINED = frozenset(
    ("Arab", "Syrc", "Mong", "Nkoo", "Adlm", "Rohg", "Mand", "Mani", "Phag", "Sogd", "Deva", "Beng", "Guru")
)
"""Scripts whose letters touch their neighbours; the spaces in them are the face's to set."""


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
class Run:
    """Characters of one script and one level of direction, and where in the line they begin."""

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


def require_drawn(area: BaseGeometry, text: str, face: Face) -> None:
    """Refuse a face that has a letter and draws nothing for it."""
    if area.is_empty and any(unicodedata.category(character)[0] in "LNPS" for character in text):
        raise Unreadable(
            f"the face {face.name!r} draws nothing for {name_character(text[0])}. Take another face.",
            parameter="face", value=face.name, accepted="a face with outlines for every letter",
        )  # fmt: skip


def shape_glyphs(
    text: str,
    face: Face,
    *,
    direction: Direction = "auto",
    ligatures: bool = True,
    lining: bool = False,
    small_capitals: bool = False,
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
    lining, small_capitals : bool
        As for `shape_run`.

    Raises
    ------
    BadValue
        If the face lacks a character; all that it lacks are named.
    """
    glyphs: list[PlacedGlyph] = []
    lacking: set[int] = set()
    pen = 0.0
    for run in runs_in_order(text, direction):
        shaped = shape_run(
            run, face, ligatures=ligatures, lining=lining, small_capitals=small_capitals, lacking=lacking
        )
        for glyph in shaped:
            glyphs.append(
                PlacedGlyph(glyph.glyph, glyph.cluster, pen + glyph.x, glyph.y, glyph.advance, glyph.joined)
            )
            pen += glyph.advance
    if lacking:
        raise _lacks(text, face, lacking)
    return glyphs


def shape_run(
    run: Run,
    face: Face,
    *,
    ligatures: bool = True,
    lining: bool = False,
    small_capitals: bool = False,
    lacking: set[int] | None = None,
) -> list[PlacedGlyph]:
    """Shape one run, each glyph placed from its own pen's start; what the face lacks goes into `lacking`.

    `lining` asks for figures as tall as capitals, where the face has others by default, `small_capitals` for
    small letters in the form of capitals.
    """
    engine = load_engine()
    buffer = engine.Buffer()
    buffer.add_codepoints([ord(character) for character in run.text])
    buffer.direction = "rtl" if run.level % 2 else "ltr"
    buffer.script = run.script
    buffer.guess_segment_properties()
    features = {"liga": ligatures, "clig": ligatures, **({"lnum": True} if lining else {})}
    features |= {"smcp": True} if small_capitals else {}
    engine.shape(face.font, buffer, features)
    shaped = []
    for info, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        if info.codepoint == 0 and lacking is not None:
            lacking.add(run.first + info.cluster)
        shaped.append(
            PlacedGlyph(
                info.codepoint, run.first + info.cluster, position.x_offset / face.cap,
                position.y_offset / face.cap, position.x_advance / face.cap, run.script in JOINED,
            )
        )  # fmt: skip
    return shaped


def runs_in_order(text: str, direction: Direction = "auto") -> list[Run]:
    """Split a line into runs of one level and one script, and put them as they stand from left to right."""
    scripts = _scripts(text)
    levels = _levels(text, direction)
    runs = []
    for (script, level), group in groupby(range(len(text)), key=lambda i: (scripts[i], levels[i])):
        places = list(group)
        runs.append(Run(places[0], text[places[0] : places[-1] + 1], script, level))
    return _in_order(runs)


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
    """Return the level of each character, 0 for plain left to right."""
    if text.isascii() and direction != "rtl":
        return [0] * len(text)
    text = "".join(c if unicodedata.bidirectional(c) else "x" for c in text)  # unassigned: as any letter
    base = {"ltr": 0, "rtl": 1}.get(direction)
    base = bidi.get_base_level(text) if base is None else base
    storage = bidi.get_empty_storage() | {"base_level": base, "base_dir": "LR"[base]}
    bidi.get_embedding_levels(text, storage)
    bidi.explicit_embed_and_overrides(storage)
    bidi.resolve_weak_types(storage)
    bidi.resolve_neutral_types(storage, False)
    bidi.resolve_implicit_levels(storage, False)
    found = iter(character["level"] for character in storage["chars"])
    levels: list[int] = []
    for character in text:  # joiners, which the algorithm sets aside, go with what stands before them
        aside = unicodedata.bidirectional(character) in bidi.X9_REMOVED
        levels.append((levels or [base])[-1] if aside else next(found))
    return levels


def _in_order(runs: list[Run]) -> list[Run]:
    """Turn runs round from the highest level down (L2). Within a run, the shaper has seen to it."""
    ordered = list(runs)
    for level in range(max((r.level for r in runs), default=0), 0, -1):
        turned: list[Run] = []
        for high, group in groupby(ordered, key=lambda run: run.level >= level):
            stretch = list(group)
            turned += stretch[::-1] if high else stretch
        ordered = turned
    return ordered


def _cannot_be_set(character: str) -> bool:
    kind = unicodedata.category(character)
    joiner = character in "\u200c\u200d"
    return kind in ("Cc", "Cs", "Co", "Cn", "Zl", "Zp") or (kind == "Cf" and not joiner)


def has_character(face: Face, character: str) -> bool:
    """Whether a face has a character, whole or in the parts it is made of."""
    parts = unicodedata.normalize("NFD", character)
    return any(all(face.font.get_nominal_glyph(ord(c)) for c in form) for form in (character, parts))


def _too_long(parameter: str, text: str) -> BadValue:
    return BadValue(
        f"{parameter} is {len(text)} characters long; lettering takes at most {MOST_LETTERS}. Shorten it.",
        parameter=parameter, value=text[:MOST_LETTERS], accepted=f"at most {MOST_LETTERS} characters",
    )  # fmt: skip


def _lacks(text: str, face: Face, places: set[int]) -> BadValue:
    alone = {c for c in text if not has_character(face, c)}
    missing = sorted(alone or {text[i] for i in places})
    named = ", ".join(name_character(character) for character in missing[:6])
    more = f" and {len(missing) - 6} more" if len(missing) > 6 else ""
    return BadValue(
        f"text is {text!r}; the face {face.name} has no {named}{more}. "
        "Name another TTF or OTF file as face, or spell it otherwise.",
        parameter="text", value=text, accepted=f"characters that {face.name} has",
    )  # fmt: skip
