"""Crosses too large to run whole each time: a sample that has every value of every axis, the rest marked slow."""

from __future__ import annotations

import itertools
import os
import zlib
from collections.abc import Callable, Iterable
from typing import Any

import numpy as np
import pytest

__all__ = ["a_few_of", "across"]

SAMPLE = int(os.environ.get("CANIVET_SAMPLE", "0"))
"""Which sample is run: the same each time, unless the property tests too are asked for new examples."""

Decorator = Callable[[Callable[..., None]], Callable[..., None]]


def across(times: int = 1, **axes: Iterable[Any]) -> Decorator:
    """Run a test over the cross of its axes: each value of each axis at least `times`, and all with ``-m slow``.

    The longest axis is gone through `times`, each of the others dealt out along it in an order of its own, so
    that a value meets another value each time round.
    """
    values = {name: list(axis) for name, axis in axes.items()}
    sizes = [len(axis) for axis in values.values()]

    def spread(test: Callable[..., None]) -> Callable[..., None]:
        chosen = _latin(sizes, times, _dice(test))
        cross = itertools.product(*(range(size) for size in sizes))
        cases = [
            pytest.param(
                *(axis[k] for axis, k in zip(values.values(), at, strict=True)),
                marks=() if at in chosen else pytest.mark.slow,
            )
            for at in cross
        ]
        return pytest.mark.parametrize(",".join(values), cases)(test)

    return spread


def a_few_of(count: int, **axis: Iterable[Any]) -> Decorator:
    """Run a test on so many of its cases, and on all with ``-m slow``."""
    [(name, values)] = ((name, list(values)) for name, values in axis.items())

    def spread(test: Callable[..., None]) -> Callable[..., None]:
        chosen = set(_dice(test).permutation(len(values))[:count].tolist())
        cases = [
            pytest.param(value, marks=() if k in chosen else pytest.mark.slow)
            for k, value in enumerate(values)
        ]
        return pytest.mark.parametrize(name, cases)(test)

    return spread


def _latin(sizes: list[int], times: int, dice: np.random.Generator) -> set[tuple[int, ...]]:
    longest = max(sizes)
    decks = [
        np.concatenate([dice.permutation(size) for _ in range(-(-longest * times // size))]) for size in sizes
    ]
    return {tuple(int(deck[k]) for deck in decks) for k in range(longest * times)}


def _dice(test: Callable[..., None]) -> np.random.Generator:
    return np.random.default_rng([SAMPLE, zlib.crc32(test.__name__.encode())])
