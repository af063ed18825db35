"""The lettering of a series chosen once: one height, one cut and one spelling, so that all names look alike.

Rows are measured, not drawn. The height is the one at which every row stands; a row that alone would make all
others much smaller is set by itself, no larger than they are, and that is told.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any, NamedTuple

from shapely.geometry import Polygon

from canivet.compose.design.loading import Design, LetteringSettings
from canivet.compose.framing import draw_surround
from canivet.errors import CanivetError
from canivet.lengths import format_mm, shown
from canivet.motifs.lettering.cuts import Cut

from .lettering import tallest
from .ways import Chosen, Setting, ways_to_set
from .wording import Alike, Room, begin_room, bent_as, lettered_as, own_panel

__all__ = ["choose_alike"]

_MUCH = 0.75
"""A name is set by itself where it stands no higher than this share of what nine names of ten reach."""


class _Choice(NamedTuple):
    """How one lettering is set, and the heights of the words that are set by themselves."""

    chosen: Chosen | None
    apart: Mapping[str, float]

    @property
    def for_all(self) -> bool:
        """Whether all words stand in their panel, be it by themselves."""
        return self.chosen is not None and all(self.apart.values())

    def unfit(self, texts: Sequence[str]) -> Sequence[str]:
        """Return those of the words that do not stand in their panel at all."""
        return texts if self.chosen is None else [text for text, height in self.apart.items() if not height]


def choose_alike(designs: Sequence[Design], size: tuple[float, float]) -> list[Alike | None]:
    """Choose how the words of all plates of a series are set at one size.

    Parameters
    ----------
    designs : sequence of Design
        One design, filled from each row of its list.
    size : (float, float)
        Width and height of the plates, mm.

    Returns
    -------
    list of (Alike or None)
        One for each; None where plates are lettered each by itself, because the design says so, there is no
        choice, or none can be made: what is wrong then shows when they are drawn.
    """
    design = designs[0]
    asked = design.series.lettering if design.series else "each by itself"
    if asked == "each by itself" or design.fold is not None or len(designs) < 2 or not design.lettering:
        return [None] * len(designs)
    texts = [sorted({one.lettering[k].text for one in designs}) for k in range(len(design.lettering))]
    try:
        room, choices = _choose_all(design, texts, size, _MUCH if asked == "alike" else 0.0)
    except CanivetError:
        return [None] * len(designs)
    alike = Alike(tuple(sorted(room.items())), tuple(choice.chosen for choice in choices))
    return [_of_row(one, alike, choices) for one in designs]


def _of_row(design: Design, alike: Alike, choices: Sequence[_Choice]) -> Alike:
    """Return how the words of one row are set; where some of them stand apart, all do, which is told."""
    for words, choice in zip(design.lettering, choices, strict=True):
        if choice.chosen is not None and words.text in choice.apart:
            alone, usual = choice.apart[words.text], choice.chosen.size
            stands = f"stands {format_mm(alone, 1)} mm high at most" if alone else "does not fit"
            return replace(
                alike,
                told=f"{shown(words.text)} {stands} in its panel where the other names are "
                f"{format_mm(usual, 1)} mm: it is set by itself, and they keep their height. "
                "Write it shorter in the list, give its panel more room, "
                'or take series.lettering = "all alike".',
            )
    return alike


def _choose_all(
    design: Design, texts: Sequence[Sequence[str]], size: tuple[float, float], much: float
) -> tuple[Mapping[str, float], list[_Choice]]:
    """Choose for every lettering, the panels of a frame as roomy as the words of all rows need."""
    width, height = size
    if design.frame is None:
        window = draw_surround(design, width=width, height=height).window
        return {}, [
            _choose(design, words, said, own_panel(words, window), _straight(words), much)
            for words, said in zip(design.lettering, texts, strict=True)
        ]
    room: Room | None = begin_room(design, width=width, height=height)
    best: tuple[Mapping[str, float], list[_Choice]] | None = None
    while room is not None:
        choices = [_choose_in(design, room, k, said, much) for k, said in enumerate(texts)]
        tight = next((k for k in room.asked if not choices[k].for_all), None)
        if best is None or sum(c.for_all for c in choices) > sum(c.for_all for c in best[1]):
            best = room.settings, choices
        if tight is None:
            break
        room = _roomy_enough(design, room, tight, choices[tight].unfit(texts[tight]))
    assert best is not None
    return best


def _roomy_enough(design: Design, room: Room, k: int, texts: Sequence[str]) -> Room | None:
    """Return the next roomier frame in which words fit that did not; None where there is none."""
    roomier = room.roomier(k)
    while roomier is not None and _choose_in(design, roomier, k, texts, 0.0).chosen is None:
        roomier = roomier.roomier(k)
    return roomier


def _choose_in(design: Design, room: Room, k: int, texts: Sequence[str], much: float) -> _Choice:
    """Choose for one lettering of a plate that has a frame, in a panel of it or of its own."""
    words = design.lettering[k]
    if k not in room.asked:
        panel, bent = own_panel(words, room.frame.window), _straight(words)
    else:
        panel = room.frame.panels[room.wanted[k]]
        bent = bent_as(words, room.frame, room.wanted[k])
    return _choose(design, words, texts, panel, bent, much)


def _straight(words: LetteringSettings) -> dict[str, Any]:
    return {"along": words.along, "side": words.side}


def _choose(
    design: Design, words: LetteringSettings, texts: Sequence[str], panel: Polygon, bent: Mapping[str, Any],
    much: float,
) -> _Choice:  # fmt: skip
    """Choose the first way of setting words in which all stand, or else all but those far below the others.

    A narrower cut in which all stand is taken for them, capitals only where the others need them too.
    """
    given = {**lettered_as(design, words), **bent}
    face, letters, narrowest = (given.pop(key) for key in ("face", "letters", "narrowest"))
    heights = {key: given.pop(key) for key in ("least", "most")}
    setting = Setting(**given, small_capitals=letters == "small capitals")
    first: _Choice | None = None
    for way in ways_to_set(letters, face, words.mode, narrowest):
        measure = partial(_measured, panel, way, setting, heights)
        if first is not None and first.chosen is not None:
            lowest = much * first.chosen.size
            if way[0] != first.chosen.capitals or any(
                measure(text, standing=False) < max(lowest, 1e-9) for text in first.apart
            ):
                continue
            made = _choose_height(measure, texts, much, words.least)
            if made is not None and not made[1] and made[0] >= lowest:
                return _Choice(Chosen(*way, made[0]), {})
        elif (made := _choose_height(measure, texts, much, words.least)) is not None:
            first = _Choice(Chosen(*way, made[0]), made[1])
            if not first.apart:
                break
    return first or _Choice(None, {})


def _measured(
    panel: Polygon, way: tuple[bool, Cut], setting: Setting, heights: Mapping[str, float], text: str,
    *, standing: bool, **other: float,
) -> float:  # fmt: skip
    """Return the height of words in their panel, between other heights than all of them where given."""
    return tallest(panel, text, way, setting, standing=standing, **{**heights, **other})


def _choose_height(
    measure: Callable[..., float], texts: Sequence[str], much: float, least: float
) -> tuple[float, Mapping[str, float]] | None:
    """Return the height of all letters set in one way, and the words that stand lower; None if there is none.

    The longest tenth decides to begin with, the others are taken to reach higher; then all are looked at, at
    the height that follows, whether they fit and their letters hold. Those that stand lower count anew.
    """
    longest = sorted(texts, key=len)[-(len(texts) // 10 + 2) :]
    heights = dict.fromkeys(texts, math.inf) | {text: measure(text, standing=False) for text in longest}
    for looked_at in (longest, texts):
        lower: Mapping[str, float] | None = None
        while lower is None or lower:
            size = _height_of_most(sorted(heights.values()), much)
            if not 0 < size < math.inf:
                return None
            standing = {
                text: measure(text, standing=True, least=min(least, size), most=size)
                for text in looked_at if heights[text] >= size
            }  # fmt: skip
            lower = {text: height for text, height in standing.items() if height < size}
            heights |= lower
    return size, {text: height for text, height in heights.items() if height < size}


def _height_of_most(heights: Sequence[float], much: float) -> float:
    """Return the height of all letters, given at what heights words stand at most, the lowest first; or 0.

    Examples
    --------
    >>> _height_of_most([4, 9, 9.5, 12], 0.75), _height_of_most([7, 9, 9.5, 12], 0.75)
    (9, 7)
    >>> _height_of_most([4, 9, 9.5, 12], 0.0)
    4
    """
    reached = heights[max(1, len(heights) // 10)] if len(heights) > 2 and much else heights[0]
    return next((height for height in heights if height >= much * reached), 0.0) if reached else 0.0
