"""Motifs of other packages: loaded by their entry points, and held to what a motif promises."""

from __future__ import annotations

import functools
import inspect
import sys
from collections.abc import Callable, Mapping, MutableMapping
from contextlib import redirect_stdout
from importlib.metadata import EntryPoint, entry_points
from typing import Any, ParamSpec, TypeVar

from canivet.errors import BadValue, CanivetError
from canivet.parameters import parameters_of

__all__ = ["GROUP", "load_guests", "refused_guests"]

GROUP = "canivet.motifs"
"""Of entry points: each names a module that enters motifs, or a function decorated with `motif`."""

KEYWORDS = {
    "outline": ("width", "height"),
    "border": ("within", "band", "strap", "smallest"),
    "lattice": ("within", "strap", "smallest"),
    "form": ("width", "height", "strap", "smallest"),
    "frame": ("width", "height", "strap", "smallest"),
}
"""What a plate tells a motif of each family, so that each takes it."""

_RESULTS = ("one valid polygon", "a Frame: one valid polygon each for paper, window and panels")

P = ParamSpec("P")
R = TypeVar("R")

_refused: dict[str, str] = {}
_loaded: set[str] = set()


def load_guests(entered: MutableMapping[str, Any]) -> None:
    """Import what installed packages offer; one that fails is left out, and told by `refused_guests`.

    Parameters
    ----------
    entered : mapping of str to Motif
        Where the decorator `motif` enters them. What a package entered before it failed is taken out again.
    """
    for entry in _entry_points():
        if entry.value not in _loaded:
            _loaded.add(entry.value)
            before = set(entered)
            why = _load(entry) or _why_nothing(entry, entered)
            if why:
                for name in set(entered) - before:
                    del entered[name]
                package = entry.dist.name if entry.dist else entry.name
                _refused[entry.value] = (
                    f"The motifs of {package} are left out: {why} Mend the package, or uninstall it."
                )


def refused_guests() -> tuple[str, ...]:
    """Return a sentence for each package whose motifs could not be loaded.

    Examples
    --------
    >>> refused_guests()
    ()
    """
    return tuple(_refused.values())


@functools.cache
def _entry_points() -> tuple[EntryPoint, ...]:
    return tuple(entry_points(group=GROUP))


def _load(entry: EntryPoint) -> str:
    """Import it and return what went wrong, if anything did."""
    try:
        with redirect_stdout(sys.stderr):  # results go to stdout, and to nothing else
            entry.load()
    except CanivetError as error:
        return error.message
    except (Exception, SystemExit) as error:  # whatever a stranger's module may raise
        return f"importing {entry.value} ended in {type(error).__name__}: {_one_line(error)}."
    return ""


def _why_nothing(entry: EntryPoint, entered: Mapping[str, Any]) -> str:
    top = entry.module.partition(".")[0]
    if any(one.origin.partition(".")[0] == top for one in entered.values()):
        return ""
    return f"{entry.value} enters none; a motif is a function under @motif(family)."


def require_keywords(name: str, origin: str, family: str, function: Callable[..., object]) -> None:
    """Refuse a motif that does not take what a plate tells every motif of its family, or must be told more.

    Raises
    ------
    BadValue
        With the keywords that are missing, or that have no default.
    """
    taken = inspect.signature(function).parameters
    missing = [keyword for keyword in KEYWORDS[family] if keyword not in taken]
    if missing:
        raise BadValue(
            f"the motif {name} of {origin} does not take {' and '.join(missing)}; every {family} takes "
            f"{', '.join(KEYWORDS[family])}. Add what is missing to its keywords.",
            parameter=missing[0], accepted=", ".join(KEYWORDS[family]),
        )  # fmt: skip
    told = () if family == "frame" else ("within", "width", "height")
    bare = [
        one.name
        for one in taken.values()
        if one.default is one.empty and one.kind is not one.VAR_KEYWORD and one.name not in told
    ]
    if bare:
        raise BadValue(
            f"the motif {name} of {origin} has no default for {' and '.join(bare)}; it must be drawn without "
            "being told. Give it a default.",
            parameter=bare[0], accepted="a default",
        )  # fmt: skip


def require_defaults_in_bounds(name: str, origin: str, function: Callable[..., object]) -> None:
    """Refuse a motif whose default its own bounds forbid.

    Raises
    ------
    BadValue
        With the parameter and what its bounds accept.
    """
    for parameter, bound in parameters_of(function).items():
        if bound.default is None:
            continue
        try:
            bound.check(bound.default)
        except BadValue:
            raise BadValue(
                f"the motif {name} of {origin} has the default {bound.default} for {parameter}, and bounds "
                f"that forbid it: {bound.accepted}. Change one of them.",
                parameter=parameter, value=bound.default, accepted=bound.accepted,
            ) from None  # fmt: skip


def with_checked_result(name: str, origin: str, family: str, function: Callable[P, R]) -> Callable[P, R]:
    """Return the function with its drawing looked at: what leaves it is one valid polygon, or is refused."""

    @functools.wraps(function)
    def drawn(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            result = function(*args, **kwargs)
        except CanivetError:
            raise
        except Exception as error:  # whatever a stranger's drawing may raise
            raise CanivetError(
                f"the motif {name} of {origin} failed with {type(error).__name__}: {_one_line(error)}. "
                "Try other settings, or tell its maker.",
                parameter="motif", value=name,
            ) from error  # fmt: skip
        accepted = _RESULTS[family == "frame"]
        fault = _fault_of_frame(result) if family == "frame" else _fault_of(result)
        if fault:
            raise CanivetError(
                f"the motif {name} of {origin} drew {fault}; every {family} is {accepted}. Tell its maker.",
                parameter="motif", value=name, accepted=accepted,
            )  # fmt: skip
        return result

    return drawn


def _fault_of_frame(result: Any) -> str:
    """Say what is wrong with a frame: each of its parts is a polygon as well."""
    try:
        parts = {"paper": result.paper, "window": result.window, **result.panels}
    except (AttributeError, TypeError):
        return f"a {type(result).__name__}"
    faults = ((part, _fault_of(drawn)) for part, drawn in parts.items())
    return next((f"{fault} for its {part}" for part, fault in faults if fault), "")


def _fault_of(paper: object) -> str:
    """Say what is wrong with a drawing, or nothing."""
    import shapely

    if not isinstance(paper, shapely.Polygon):
        kind = paper.geom_type if isinstance(paper, shapely.Geometry) else type(paper).__name__
        return f"a {kind}"
    if paper.is_empty:
        return "nothing"
    return "" if paper.is_valid else f"an invalid polygon ({shapely.is_valid_reason(paper)})"


def _one_line(error: BaseException) -> str:
    return " ".join(str(error).split())[:200].rstrip(".") or "no words"
