"""Faults that pydantic finds, turned into our own words, each with its place."""

from __future__ import annotations

from collections.abc import Container
from typing import Any, get_args

from pydantic import BaseModel

from canivet.compose.design.motif_table import unknown_key
from canivet.errors import CanivetError, suggest
from canivet.lengths import shown

from .missing import in_our_words

__all__ = ["in_words"]


def in_words(fault: Any, root: type[BaseModel], hidden: Container[str]) -> str:
    """Return one of pydantic's faults as a sentence with its place.

    Parameters
    ----------
    fault : mapping
        One of `ValidationError.errors()`.
    root : type
        The table that was read.
    hidden : container of str
        Its fields that are no keys of a file.
    """
    loc = fault["loc"]
    place = ".".join(str(step + 1) if isinstance(step, int) else step for step in loc)
    last = str(loc[-1]) if loc else ""
    match fault["type"]:
        case "extra_forbidden":
            return unknown_key(place, last, _keys_of(_table_at(loc, root), hidden))
        case "missing":
            return f"{place} is missing."
        case "value_error":
            return _told_at(place, last, fault["ctx"]["error"])
        case "literal_error":
            known = get_args(_table_at(loc, root).model_fields[last].annotation)
            hint = suggest(in_our_words(fault["input"]), known)
            return f"{place} is {shown(fault['input'])}; it takes one of: {', '.join(known)}.{hint}"
        case "tuple_type" if isinstance(fault["input"], dict):
            return f"{place} is one table; there may be several. Write [[{place}]], with two brackets."
        case "float_parsing" | "float_type":
            return f"{place} is {shown(fault['input'])}; it takes a bare number, such as 90."
        case "int_parsing" | "int_type" | "int_from_float":
            return f"{place} is {shown(fault['input'])}; it takes a whole number, such as 3."
        case "string_type":
            return f"{place} is {shown(fault['input'])}; it takes words in quotes."
        case "bool_parsing" | "bool_type":
            return f"{place} is {shown(fault['input'])}; it takes true or false."
        case "model_type" | "dict_type" | "model_attributes_type":
            return f"{place} is {shown(fault['input'])}; it takes a table, [{place}], or {{ … }} in one line."
    said = fault["msg"]
    return f"{place} is {shown(fault['input'])}; {said[:1].lower()}{said[1:]}."


def _keys_of(table: type[BaseModel], hidden: Container[str]) -> list[str]:
    """Return the keys of a table as a file has them."""
    return [field.alias or key for key, field in table.model_fields.items() if key not in hidden]


def _told_at(place: str, key: str, error: ValueError) -> str:
    """Return an error's sentence with its place; one that begins with its own key gets the table's name."""
    table = place.rpartition(".")[0]
    if isinstance(error, CanivetError) and error.parameter == key and error.message.startswith(f"{key} "):
        return f"{table}.{error.message}" if table else error.message
    return f"{place}: {error}" if place else str(error)


def _table_at(loc: tuple[Any, ...], root: type[BaseModel]) -> type[BaseModel]:
    """Return the table that a key stands in."""
    table = root
    for step in loc[:-1]:
        if not isinstance(step, int):
            table = _table_in(table.model_fields[step].annotation) or table
    return table


def _table_in(annotation: Any) -> type[BaseModel] | None:
    """Return the table that a key holds, one or several of it, if it holds any."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for one in get_args(annotation) if (found := _table_in(one))), None)
