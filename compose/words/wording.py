"""Words and the frame they stand in, chosen together: panels get the room their words need.

A frame draws its panels at their usual size. Where words do not fit in theirs, even in a narrower cut of
their face, the panel is given more room, a step at a time and within the frame's own bounds; what the maker
has set stays as it was set. A panel that no words stand in is left out, or takes an ornament instead.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from canivet.compose.design.loading import Design, LetteringSettings
from canivet.compose.design.motif_table import UsedMotif
from canivet.compose.framing import DrawnFrame, draw_surround, find_panel, opened_frame
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.frames.frame import Frame
from canivet.motifs.registry import find_motif

from .lettering import PlacedLettering, place_lettering

__all__ = ["Worded", "draw_with_words", "face_of", "letter_panel", "lettered_as"]


@dataclass(frozen=True, slots=True, eq=False)
class Worded:
    """What words and silhouettes are put into, and the words that stand in panels of it.

    Attributes
    ----------
    surround : DrawnFrame
    words : mapping of int to PlacedLettering
        By place in the design's list of lettering, from 0.
    settings : mapping of str to float
        What the frame was given so that all fit.
    remarks : tuple of str
        What was done to panels.
    """

    surround: DrawnFrame
    words: Mapping[int, PlacedLettering]
    settings: Mapping[str, float]
    remarks: tuple[str, ...]


def draw_with_words(design: Design, *, width: float, height: float) -> Worded:
    """Draw a plate's surround with the words that stand in panels of its frame.

    Parameters
    ----------
    design : Design
    width, height : float
        mm, of the plate.

    Returns
    -------
    Worded

    Raises
    ------
    DoesNotFit
        If words fit at no size their panel may have; it names the key and a value that would do.
    BadValue
        If the frame has no panel of a name.
    """
    if design.frame is None:
        return Worded(draw_surround(design, width=width, height=height), {}, {}, ())
    asked = {k: words for k, words in enumerate(design.lettering) if words.panel is not None}
    fixed = design.frame.settings
    promised = {"width": width, "height": height, **design.promised}
    whole = _drawn(design.frame, {}, promised)
    wanted = {k: _room(whole, words) for k, words in asked.items()}
    settings = {} if wanted and _all_used(whole, wanted.values()) else _without(whole, set(wanted.values()))
    settings |= {
        whole.rooms[name].key: whole.rooms[name].values[0]
        for name in wanted.values() if name not in whole.panels
    }  # fmt: skip
    settings = {key: value for key, value in settings.items() if key not in fixed}
    frame = _drawn(design.frame, settings, promised)
    placed: dict[int, PlacedLettering] = {}
    while len(placed) < len(asked):
        k = next(k for k in asked if k not in placed)
        try:
            placed[k] = letter_panel(design, asked[k], frame, wanted[k], search=False)
        except DoesNotFit as error:
            roomier = _roomier(frame, wanted[k], settings, design.frame, promised)
            if roomier is None:
                told = _keyed(_told(design, asked[k], frame, wanted[k], error), k + 1)
                raise _with_more(told, frame, wanted[k], fixed) from None
            settings, frame = roomier
            placed = {}
    unused = [name for name in frame.fillings if name not in wanted.values()]
    said = tuple(
        f"frame.{key}: {format_mm(value)}, so that the words fit"
        for key, value in settings.items() if value and key in {frame.rooms[n].key for n in wanted.values()}
    )  # fmt: skip
    said += tuple(
        f"the frame's panel {name!r} is left without lettering"
        for name in frame.panels if name not in wanted.values() and name not in unused
    )  # fmt: skip
    return Worded(opened_frame(frame, fill=unused), placed, settings, said)


def letter_panel(
    design: Design, words: LetteringSettings, frame: Frame, name: str, *, search: bool = True
) -> PlacedLettering:
    """Set words in a panel of a frame."""
    bent: dict[str, Any] = {"along": words.along, "side": words.side}
    arc = frame.arcs.get(name)
    if arc is not None:
        x, y, bend = arc
        bent = {"along": "arc", "side": "top" if bend > 0 else "foot", "centre": (x, y), "bend": bend}
    return place_lettering(
        frame.panels[name], words.text, search=search, **bent, **lettered_as(design, words)
    )


def lettered_as(design: Design, words: LetteringSettings) -> dict[str, Any]:
    """Return how words are set, as `place_lettering` takes it."""
    return {
        "strap": design.needed, "smallest": design.smallest_opening, "mode": words.mode, "least": words.least,
        "most": words.most, "lines": words.lines, "rails": words.rails, "letters": words.letters,
        "narrowest": words.narrowest, "face": face_of(design, words),
    }  # fmt: skip


def face_of(design: Design, words: LetteringSettings) -> str | Path | None:
    """Return the face of words: a name, or a file beside the design."""
    return design.folder / words.face_file if words.face_file else words.face


def _room(frame: Frame, words: LetteringSettings) -> str:
    """Return the name of the panel that words ask for, as the frame has it."""
    assert words.panel is not None
    find_panel(dict.fromkeys([*frame.panels, *frame.rooms]), words.panel)
    return words.panel.strip().lower()


def _all_used(frame: Frame, used: Any) -> bool:
    return set(frame.panels) <= set(used)


def _without(frame: Frame, used: set[str]) -> dict[str, float]:
    """Return the settings under which panels without words are not drawn."""
    if not used:
        return dict(frame.bare)
    return {
        key: value
        for name, room in frame.rooms.items() if name not in used
        for key, value in room.without.items()
    }  # fmt: skip


def _roomier(
    frame: Frame, name: str, settings: Mapping[str, float], used: UsedMotif, promised: Mapping[str, float]
) -> tuple[dict[str, float], Frame] | None:
    """Return the frame with the next step of room for a panel; None where it cannot have it."""
    room = frame.rooms.get(name)
    if room is None or room.key in used.settings:
        return None
    now = settings.get(room.key, used.motif.parameters[room.key].default)
    rising = room.values[-1] > room.values[0]
    for value in room.values:
        if (value > now) if rising else (value < now):
            more = {**settings, room.key: value}
            try:
                return more, _drawn(used, more, promised)
            except DoesNotFit:
                return None
    return None


def _told(
    design: Design, words: LetteringSettings, frame: Frame, name: str, refused: DoesNotFit
) -> DoesNotFit:
    """Return a refusal that says what would do, which takes a while to find."""
    try:
        letter_panel(design, words, frame, name)
    except DoesNotFit as error:
        return error
    return refused


def _keyed(error: DoesNotFit, number: int) -> DoesNotFit:
    """Return a refusal that names the lettering it is about, and which of its keys is in the way."""
    own = error.parameter in LetteringSettings.model_fields
    key = f"lettering.{number}.{error.parameter}" if own else f"lettering.{number}"
    return DoesNotFit(
        f"{key}: {error.message}", parameter=key, value=error.value, accepted=error.accepted, at=error.at
    )


def _with_more(error: DoesNotFit, frame: Frame, name: str, fixed: Mapping[str, Any]) -> DoesNotFit:
    """Add to a refusal which key of the frame would give room, where the maker has set it."""
    room = frame.rooms.get(name)
    if room is None or room.key not in fixed:
        return error
    most = format_mm(room.values[-1])
    return DoesNotFit(
        f"{error.message} frame.{room.key} is {format_mm(fixed[room.key])} here; left out, it goes to {most} "
        "as the words need.",
        parameter=f"frame.{room.key}", value=fixed[room.key], accepted=f"up to {most}",
    )  # fmt: skip


def _drawn(used: UsedMotif, settings: Mapping[str, float], promised: Mapping[str, float]) -> Frame:
    given = {**used.settings, **settings, **promised}
    return _drawn_once(used.motif.name, tuple(sorted(given.items())))


@lru_cache(maxsize=64)
def _drawn_once(name: str, given: tuple[tuple[str, Any], ...]) -> Frame:
    """Draw a frame, once for all plates of a series that ask for the same."""
    drawn: Frame = find_motif(name, family="frame").draw(**dict(given))
    return drawn
