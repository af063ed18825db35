"""How long the style sheets of a drawing would take to apply, asked before they are."""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree.ElementTree import Element

from canivet.errors import Unreadable

__all__ = ["MOST_MATCHES", "check_style_sheets"]

MOST_MATCHES = 50_000_000
"""Elements held against rules: five thousand plain rules (``.cls-1``) for ten thousand elements."""

_RULE = re.compile(r"([^{}]*+)\{")
_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_COMBINED = re.compile(r"[\s>+~]+")


def check_style_sheets(root: Element, name: str) -> None:
    """Estimate how often an element is held against a rule, and refuse a drawing that never gets done.

    Parameters
    ----------
    root : Element
        The document.
    name : str
        What to call it in an error.

    Notes
    -----
    A rule such as ``g g path`` asks each path for each of the groups about it, so it counts by their number
    for each step; one with ``~`` asks those beside it.

    Raises
    ------
    Unreadable
        If that is more than fifty million times.

    Examples
    --------
    >>> from xml.etree.ElementTree import fromstring
    >>> check_style_sheets(fromstring("<svg><style>.a{fill:red} g .b{fill:none}</style><g/></svg>"), "s.svg")
    >>> deep = "<svg><style>" + "g " * 20 + "path{}</style>" + "<g>" * 9 + "</g>" * 9 + "</svg>"
    >>> check_style_sheets(fromstring(deep), "deep.svg")
    Traceback (most recent call last):
    canivet.errors.Unreadable: deep.svg has style sheets of too many rules: ...
    """
    sheets = [e.text for e in root.iter() if str(e.tag).rpartition("}")[2] == "style" and e.text]
    if not sheets:
        return
    count, deepest, widest = _extent(root)
    matches = 0.0
    for selector in _selectors(sheets):
        beside = "~" in selector or "nth-" in selector
        steps = len(_COMBINED.findall(selector)) + ("nth-" in selector)
        matches += count * float(max(deepest, widest if beside else 0)) ** min(steps, 20)
        if matches > MOST_MATCHES:
            raise Unreadable(
                f"{name} has style sheets of too many rules: its {count} elements would be held against them "
                f"over {MOST_MATCHES // 1_000_000} million times. In a drawing program, write styles into "
                'the elements ("presentation attributes") and save it again.',
                parameter=name, accepted=f"at most {MOST_MATCHES:,} matches of rules",
            )  # fmt: skip


def _selectors(sheets: list[str]) -> Iterator[str]:
    for sheet in sheets:
        for rule in _RULE.finditer(_COMMENT.sub(" ", sheet)):
            yield from (part.strip() for part in rule[1].split(","))


def _extent(root: Element) -> tuple[int, int, int]:
    """Return how many elements there are, how deep they are nested, and the most beside each other."""
    count = deepest = widest = 0
    level = [root]
    while level:
        count, deepest = count + len(level), deepest + 1
        widest = max(widest, *map(len, level))
        level = [child for element in level for child in element]
    return count, deepest, widest
