"""What a design names and is not there: its files and its panels, found with all its other faults."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from canivet.compose.design.motif_table import UsedMotif
from canivet.compose.design.rows import columns_in
from canivet.compose.design.tables import LetteringSettings
from canivet.errors import CanivetError, Unreadable, suggest
from canivet.lengths import as_words, shown
from canivet.motifs.lettering.faces import NAMED_FACES
from canivet.sources import open_source

__all__ = ["in_our_words", "missing_files", "names_in", "unknown_panels"]

_MOST_LOOKED_FOR = 50
"""Files that are looked for one by one."""

_TABLES = {
    "silhouette": (("file", "a drawing"),),
    "lettering": (("face", f"a font, TTF or OTF, or one of the names {', '.join(NAMED_FACES)}"),),
    "sheet": (("face", "a font, TTF or OTF"),),
    "series": (("list", "a list of names, CSV"),),
    "patch": (("file", "a drawing"),),
}
_OTHER_WORDS = {
    "bottom": "foot", "lower": "foot", "base": "foot", "upper": "top", "middle": "centre",
    "center": "centre",
}  # fmt: skip


def names_in(data: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the files that a design names, as it names them, whether or not they are there.

    Examples
    --------
    >>> names_in({"silhouette": [{"file": "heron.svg"}], "fold": {"wedge": "rose.svg"}, "title": "file"})
    ('heron.svg', 'rose.svg')
    """
    plates = [name for _, name, _ in _named(data)]
    fold = data.get("fold")
    folded = [fold.get(key) for key in ("figure", "wedge")] if isinstance(fold, Mapping) else []
    layers = data.get("layer")
    layered = [
        name
        for layer in (layers if isinstance(layers, list) else [])
        if isinstance(layer, Mapping)
        for name in names_in(layer)
    ]
    return tuple(dict.fromkeys(name for name in [*plates, *folded, *layered] if isinstance(name, str)))


def missing_files(data: Mapping[str, Any], folder: Path) -> list[str]:
    """Return a sentence for each file that a design names and that cannot be opened.

    Parameters
    ----------
    data : mapping
        The design as it was read, before anything of it is checked.
    folder : Path
        Where its files are looked for.

    Examples
    --------
    >>> missing_files({"silhouette": [{"file": "no-fox.svg"}]}, Path("."))
    ['silhouette.1.file: no-fox.svg is not there. Give the path of a drawing.']
    >>> missing_files({"silhouette": [{"file": "{drawing}"}]}, Path("."))
    []
    """
    faults = []
    for place, name, wanted in list(_named(data))[:_MOST_LOOKED_FOR]:
        try:
            with open_source(folder / name, wanted=wanted):
                pass
        except Unreadable as error:
            said = error.message.replace(str(folder / name), name, 1)
            faults.append(f"{place}: {said}")
    return faults


def _named(data: Mapping[str, Any]) -> Iterator[tuple[str, str, str]]:
    """Yield every file that is named, with its place and what it is to be."""
    mount = data.get("mount")
    ground = mount.get("ground") if isinstance(mount, Mapping) else None
    if isinstance(ground, Mapping) and isinstance(ground.get("file"), str) and ground["file"]:
        yield "mount.ground.file", ground["file"], "a picture, PNG or JPEG"
    for table, keys in _TABLES.items():
        given = data.get(table)
        several = isinstance(given, list)
        tables: list[Any] = given if isinstance(given, list) else [given]
        for number, one in enumerate(tables, start=1):
            for key, wanted in keys if isinstance(one, Mapping) else ():
                name = one.get(key)
                if key == "face" and name in NAMED_FACES:
                    continue
                if isinstance(name, str) and name and not columns_in(name):
                    yield f"{table}.{number}.{key}" if several else f"{table}.{key}", name, wanted


def unknown_panels(
    lettering: Sequence[LetteringSettings],
    frame: UsedMotif | None,
    size: tuple[float, float],
    promised: Mapping[str, float],
) -> list[str]:
    """Return a sentence for each panel that words ask for and that the frame does not have at that size."""
    asked = [(k, words.panel) for k, words in enumerate(lettering, start=1) if words.panel]
    if not asked or frame is None:
        return []
    with contextlib.suppress(CanivetError):  # what keeps a frame from being drawn is told when it is
        drawn = frame.drawn_once(width=size[0], height=size[1], **promised)
        panels = list(dict.fromkeys([*drawn.panels, *drawn.rooms]))
        return [
            f"lettering.{k}.panel is {shown(name)}; the frame has: {', '.join(panels) or 'none'}."
            f"{suggest(name, panels)}"
            for k, name in asked
            if name.strip().lower() not in panels
        ]
    return []


def in_our_words(given: object) -> str:
    """Return what was given with the words that others use for a place in those used here.

    Examples
    --------
    >>> in_our_words("bottom left"), in_our_words("upper-right")
    ('foot left', 'top right')
    """
    words = re.split(r"[\s_-]+", as_words(given).strip().lower()[:40])
    return " ".join(_OTHER_WORDS.get(word, word) for word in words)
