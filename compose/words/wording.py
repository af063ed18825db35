"""Words and the frame they stand in, chosen together: panels get the room their words need.

A frame draws its panels at their usual size. Where words do not fit in theirs, even in a narrower cut of
their face, the panel is given more room, a step at a time and within the frame's own bounds; what the maker
has set stays as it was set. A panel that no words stand in is left out, or takes an ornament instead.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

from shapely.geometry import Polygon, box

from canivet.compose.design.loading import Design, LetteringSettings
from canivet.compose.design.motif_table import UsedMotif
from canivet.compose.figures.placing import put
from canivet.compose.framing import DrawnFrame, draw_surround, find_panel, opened_frame
from canivet.compose.stages import stage
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.frames.frame import Frame
from canivet.motifs.frames.frame import Room as FrameRoom

from .lettering import PlacedLettering, place_lettering
from .ways import Chosen

__all__ = [
    "Alike",
    "Room",
    "Worded",
    "begin_room",
    "bent_as",
    "draw_with_words",
    "letter_own_panel",
    "lettered_as",
    "no_larger",
    "own_panel",
]


_APART = "set by itself: at the height of the other names of its series it does not hold"


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


@dataclass(frozen=True, slots=True)
class Alike:
    """How the words of all plates of a series are set at one size, so that they look alike.

    Attributes
    ----------
    room : tuple of (str, float)
        What the frame is given, where there is one.
    each : tuple of (Chosen or None)
        Of each lettering of the design; None for one that is set by itself.
    told : str
        Why a plate is lettered by itself, and what to do; its letters are no higher than the others' then.
    """

    room: tuple[tuple[str, float], ...] = ()
    each: tuple[Chosen | None, ...] = ()
    told: str = ""

    def without_paths(self) -> str:
        """Return all of it in words that are the same wherever faces lie."""
        cuts = [one and (one.capitals, Path(str(one.cut.face)).name, replace(one.cut, face=None), one.size)
                for one in self.each]  # fmt: skip
        return repr((self.room, cuts, self.told))


def draw_with_words(design: Design, *, width: float, height: float, alike: Alike | None = None) -> Worded:
    """Draw a plate's surround with the words that stand in panels of its frame.

    Parameters
    ----------
    design : Design
    width, height : float
        mm, of the plate.
    alike : Alike, optional
        How words are set, chosen for all plates of a series; words that cannot be held so are set by
        themselves, no larger.

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
    room = begin_room(design, width=width, height=height)
    apart: tuple[str, ...] = ()
    if alike is not None and not alike.told:
        chosen = room.with_settings(dict(alike.room))
        try:
            placed = {
                k: letter_panel(design, words, chosen.frame, room.wanted[k], chosen=alike.each[k])
                for k, words in room.asked.items()
            }
            return chosen.worded(placed)
        except DoesNotFit:
            design = no_larger(design, alike)
            room = begin_room(design, width=width, height=height)
            apart = (_APART,)
    placed = {}
    while len(placed) < len(room.asked):
        k = next(k for k in room.asked if k not in placed)
        try:
            placed[k] = letter_panel(design, room.asked[k], room.frame, room.wanted[k], search=False)
        except DoesNotFit as error:
            roomier = room.roomier(k)
            if roomier is None:
                told = _keyed(_told(design, room.asked[k], room.frame, room.wanted[k], error), k + 1)
                raise _with_more(told, room.frame, room.wanted[k], room.used.settings) from None
            room, placed = roomier, {}
    worded = room.worded(placed)
    return replace(worded, remarks=(*worded.remarks, *apart))


@dataclass(frozen=True, slots=True, eq=False)
class Room:
    """A frame with the settings that give its panels their room, and the words that are to stand in them.

    Attributes
    ----------
    used : UsedMotif
        The frame as the design asks for it.
    promised : mapping of str to float
        What it is told of the plate.
    asked : mapping of int to LetteringSettings
        Words in panels of it, by place in the design.
    wanted : mapping of int to str
        The names of their panels.
    settings : mapping of str to float
        What the frame is given beyond what the design says.
    frame : Frame
        Drawn so.
    """

    used: UsedMotif
    promised: Mapping[str, float]
    asked: Mapping[int, LetteringSettings]
    wanted: Mapping[int, str]
    settings: Mapping[str, float]
    frame: Frame

    def with_settings(self, settings: Mapping[str, float]) -> Room:
        """Return it with the frame drawn otherwise."""
        return replace(self, settings=settings, frame=self.used.drawn_once(**settings, **self.promised))

    def roomier(self, k: int) -> Room | None:
        """Return it with the next step of room for the panel of some words; None where it cannot have it."""
        room = self.frame.rooms.get(self.wanted[k])
        if room is None:
            return None
        for value in self._larger(room):
            try:
                return self.with_settings({**self.settings, room.key: value})
            except DoesNotFit:
                break
        if not room.then or room.then.keys() & {*self.used.settings, *self.settings}:
            return None
        with suppress(DoesNotFit):
            kept = {key: value for key, value in self.settings.items() if key != room.key}
            return self.with_settings({**kept, **room.then})
        return None

    def _larger(self, room: FrameRoom) -> list[float]:
        """Return the steps that give a panel more room than it has; none where the maker has set its key."""
        if room.key in self.used.settings:
            return []
        now = self.settings.get(room.key, self.used.motif.parameters[room.key].default)
        now = room.values[0] if now is None else now
        upward = room.values[-1] > room.values[0]
        return [value for value in room.values if (value > now if upward else value < now)]

    def worded(self, placed: Mapping[int, PlacedLettering]) -> Worded:
        """Return the frame opened, with the words that were set in it."""
        frame, names = self.frame, self.wanted.values()
        undrawn = {
            key for name, room in frame.rooms.items() if name not in names for key in room.without
        }  # fmt: skip
        said = tuple(
            f"frame.{key}: {format_mm(value)}, so that the words fit"
            for key, value in self.settings.items() if names and key not in undrawn
        )  # fmt: skip
        said += tuple(
            f"lettering.{k + 1}.{key}: {value}, as the panel {self.wanted[k]!r} runs, and not {asked}"
            for k, words in self.asked.items()
            for key, value, asked in _overruled(words, bent_as(words, frame, self.wanted[k]))
        )  # fmt: skip
        unused = [name for name in frame.fillings if name not in names]
        said += tuple(
            f"the frame's panel {name!r} is left without lettering"
            for name in frame.panels if name not in names and name not in unused
        )  # fmt: skip
        return Worded(opened_frame(frame, fill=unused), placed, self.settings, said)


def begin_room(design: Design, *, width: float, height: float) -> Room:
    """Return the frame of a design as it is before any panel has more room than usual."""
    assert design.frame is not None
    asked = {k: words for k, words in enumerate(design.lettering) if words.panel is not None}
    promised = {"width": width, "height": height, **design.promised}
    whole = design.frame.drawn_once(**promised)
    wanted = {k: _room(whole, words) for k, words in asked.items()}
    settings = {} if wanted and _all_used(whole, wanted.values()) else _without(whole, set(wanted.values()))
    settings |= {
        whole.rooms[name].key: whole.rooms[name].values[0]
        for name in wanted.values() if name not in whole.panels
    }  # fmt: skip
    settings = {key: value for key, value in settings.items() if key not in design.frame.settings}
    return Room(
        design.frame, promised, asked, wanted, settings, design.frame.drawn_once(**settings, **promised)
    )


def no_larger(design: Design, alike: Alike) -> Design:
    """Return a design whose words are set by themselves, no higher than those of the others."""
    return design.model_copy(
        update={
            "lettering": tuple(
                words if one is None
                else words.model_copy(update={"least": min(words.least, one.size), "most": one.size})
                for words, one in zip(design.lettering, alike.each, strict=True)
            )
        }
    )  # fmt: skip


def letter_own_panel(
    design: Design, k: int, window: Polygon, *, alike: Alike | None = None
) -> PlacedLettering:
    """Set words in a panel of their own, somewhere in the window; where they do not fit, name their keys."""
    words = design.lettering[k]
    panel = own_panel(words, window)
    chosen = alike.each[k] if alike and not alike.told else None
    place = partial(place_lettering, panel, words.text, along=words.along, side=words.side)
    apart: tuple[str, ...] = ()
    if alike is not None and chosen is not None:
        with suppress(DoesNotFit):
            return place(chosen=chosen, **lettered_as(design, words))
        words, apart = no_larger(design, alike).lettering[k], (_APART,)
    try:
        placed = place(**lettered_as(design, words))
        return replace(placed, remarks=(*placed.remarks, *apart))
    except DoesNotFit as error:
        raise DoesNotFit(
            f"lettering.{k + 1}.width and .height: {error.message}",
            parameter=f"lettering.{k + 1}", value=error.value, accepted=error.accepted, at=error.at,
        ) from None  # fmt: skip


def own_panel(words: LetteringSettings, window: Polygon) -> Polygon:
    """Return the panel that words have by themselves, in its place in the window."""
    x0, y0, x1, y1 = window.bounds
    return put(box(0, 0, words.width.within(x1 - x0), words.height.within(y1 - y0)), words, window)


def letter_panel(
    design: Design, words: LetteringSettings, frame: Frame, name: str, *, search: bool = True,
    chosen: Chosen | None = None,
) -> PlacedLettering:  # fmt: skip
    """Set words in a panel of a frame, once for all plates in which they are the same."""
    given = {"search": search, "chosen": chosen, **bent_as(words, frame, name), **lettered_as(design, words)}
    panel, face = frame.panels[name], given["face"]
    drawn = partial(place_lettering, panel, words.text, **given)
    if isinstance(face, Path):  # a file may be another at the next look
        return drawn()
    return stage("lettering", drawn, panel, words.text, given)


def bent_as(words: LetteringSettings, frame: Frame, name: str) -> dict[str, Any]:
    """Return what words run along in a panel of a frame, as `place_lettering` takes it."""
    arc = frame.arcs.get(name)
    if name in frame.rising and words.along == "line":
        return {"along": "rising", "side": words.side}
    if arc is None:
        return {"along": words.along, "side": words.side}
    x, y, bend = arc
    return {"along": "arc", "side": "top" if bend > 0 else "foot", "centre": (x, y), "bend": bend}


def _overruled(words: LetteringSettings, used: Mapping[str, Any]) -> list[tuple[str, str, str]]:
    """Return which keys of words, as the maker has set them, their panel overrules: key, used and asked."""
    return [
        (key, used[key], getattr(words, key))
        for key in ("along", "side")
        if key in words.model_fields_set and getattr(words, key) != used[key]
    ]


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
