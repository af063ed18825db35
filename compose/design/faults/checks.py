"""What single values cannot tell: words without a list, what cannot be seen, two figures in front."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from canivet.compose.design.names import find_unseen
from canivet.compose.design.rows import columns_in
from canivet.compose.design.tables import LetteringSettings, PlacedSilhouette

__all__ = ["orders_used_twice", "unfilled", "unseen"]


def orders_used_twice(figures: Iterable[PlacedSilhouette | LetteringSettings]) -> list[str]:
    """Return a fault for each order that two silhouettes or words have."""
    named: dict[int, str] = {}
    faults = []
    for placed in figures:
        if placed.order is None:
            continue
        if placed.order in named:
            faults.append(
                f"order is {placed.order} for {named[placed.order]} and {placed.name}; only one "
                "can be in front. Change one of them."
            )
        named[placed.order] = placed.name
    return faults


def unfilled(texts: Mapping[str, str]) -> list[str]:
    """Return a fault for each text, by its place, that asks for a column where there is no list."""
    return [
        f"{place} asks for {{{column}}}, and there is no list to take it from. Give the design a [series] "
        'table with list = "names.csv", or write the words out.'
        for place, text in texts.items()
        for column in columns_in(text)
    ]


def unseen(texts: Mapping[str, str]) -> list[str]:
    """Return a fault for each text with a character that cannot be seen."""
    found = ((place, find_unseen(text)) for place, text in texts.items())
    return [f"{place}: {said} Take it out." for place, said in found if said]
