"""The keys of a design as a JSON Schema, made from the tables that read it, for editors to complete from.

What a schema cannot say (that a name fits its panel, that a plate holds) stays with `load_design`: a file
that the schema accepts may still be refused there. Names of motifs are as the catalogue writes them.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaWarningKind

from canivet.compose.planning.settings import Pace, PlanSettings
from canivet.motifs.folding.kinds import KINDS
from canivet.motifs.registry import Family, catalogue
from canivet.parameters import Bound, parameters_of

from .border_table import BLOCK_FAMILIES, BORDER_KEYS, CORNERS, SIDES
from .folding import KEYS
from .loading import LAYERS
from .motif_table import COMPOSER_GIVES
from .values.written import ANYTHING, COLOUR, LENGTH, MEASURE, NUMBER, SHEET
from .whole import FRAMED, MOTIF_TABLES, OWN, Design

__all__ = ["DIALECT", "TITLE", "design_schema"]

DIALECT = "http://json-schema.org/draft-07/schema#"
"""The draft that editors' checkers of TOML read."""

TITLE = "A design of canivet"

Schema = dict[str, Any]

_SHORT: dict[str, Schema] = {"MatSettings": LENGTH, "MouldingSettings": LENGTH, "GroundSettings": COLOUR}
"""Tables that may be given by the value of one of their keys alone."""


def design_schema() -> Schema:
    """Return the JSON Schema of a design file: its tables, their keys, and what each takes.

    Returns
    -------
    dict
        Plain values, ready for `json.dumps`. Motifs of installed packages are in it.

    References
    ----------
    JSON Schema, draft 7 (A. Wright and H. Andrews, 2018).

    Examples
    --------
    >>> schema = design_schema()
    >>> schema["required"], "band" in str(schema["definitions"]["border"])
    (['title'], True)
    """
    drawn = _as_toml(
        Design.model_json_schema(schema_generator=_Generator, ref_template="#/definitions/{model}")
    )
    definitions = {
        **drawn["$defs"], "FoldSettings": _fold(), "PlanSettings": _plan(),
        "Layer": _layer(drawn["properties"]),
        "Measure": MEASURE, "Sheet": SHEET,
        **{table: _motif_table(family) for table, family in MOTIF_TABLES.items()}, "border": _borders(),
    }  # fmt: skip
    top = {key: value for key, value in drawn["properties"].items() if key not in OWN}
    top |= {table: {"$ref": f"#/definitions/{table}"} for table in MOTIF_TABLES}
    top["layer"] = {"type": "array", "items": {"$ref": "#/definitions/Layer"}}
    definitions |= {name: {"anyOf": [short, definitions[name]]} for name, short in _SHORT.items()}
    return {
        "$schema": DIALECT,
        "title": TITLE,
        "description": "What a plate or a folded piece is made of. A length without a unit is in mm.",
        "type": "object",
        "required": ["title"],
        "properties": top,
        "additionalProperties": False,
        "allOf": [
            {"anyOf": [{"required": [one]} for one in ("size", "fit", "fold")]},
            {"if": {"required": ["frame"]}, "then": {"not": {"anyOf": [{"required": [t]} for t in FRAMED]}}},
        ],
        "definitions": _wanted(definitions, top),
    }


class _Generator(GenerateJsonSchema):
    """Leaves open what is read by code of ours, and is filled in from where that code has it."""

    ignored_warning_kinds: set[JsonSchemaWarningKind] = {  # noqa: RUF012 - as the base class has it
        "skipped-choice",
        "non-serializable-default",
    }

    def handle_invalid_for_json_schema(self, schema: Any, error_info: str) -> Schema:  # noqa: ARG002
        return dict(ANYTHING)


def _motif_table(family: Family, also: Schema | None = None) -> Schema:
    """Return what names a motif of a family: its name, or a table of its name and settings."""
    motifs = {name: one for name, one in catalogue().items() if one.family == family}
    tables = [_one_motif(name, one.summary, one.parameters, also or {}) for name, one in motifs.items()]
    names = {"enum": list(motifs), "description": f"a {family} by its name, with its usual settings"}
    known: Schema = {}
    for table in tables:
        known |= {key: known.get(key, value) for key, value in table["properties"].items()}
    return {
        "anyOf": [
            names,
            {
                "type": "object",
                "required": ["motif"],
                "properties": known | {"motif": {"enum": list(motifs)}},
                "oneOf": tables,
            },
        ]
    }


def _borders() -> Schema:
    """Return one border, or a list of them from outside to inside, each with what is said of its laying."""
    named, table = _motif_table("border", _laying())["anyOf"]
    return {"anyOf": [named, table, {"type": "array", "items": {"anyOf": [named, table]}, "minItems": 1}]}


def _laying() -> Schema:
    told: dict[str, Schema] = {key: {"description": meaning} for key, meaning in BORDER_KEYS.items()}
    told["opening"] |= {"type": "string", "minLength": 1}
    told["corner"] |= {"enum": list(CORNERS)}
    sides = dict.fromkeys(SIDES, LENGTH)
    told["bands"] |= {
        "type": "object",
        "properties": sides,
        "required": list(SIDES),
        "additionalProperties": False,
    }
    fill = [name for name, one in catalogue().items() if one.family in BLOCK_FAMILIES]
    table = {"type": "object", "required": ["motif"], "properties": {"motif": {"enum": fill}}}
    told["block"] |= {"anyOf": [{"enum": fill}, table]}
    return told


def _one_motif(name: str, summary: str, parameters: Mapping[str, Bound], also: Schema) -> Schema:
    told = {key: _bound(bound) for key, bound in parameters.items() if key not in COMPOSER_GIVES}
    return {
        "title": name,
        "description": summary,
        "type": "object",
        "required": ["motif"],
        "properties": {"motif": {"const": name}, **told, **also},
        "additionalProperties": False,
    }


def _bound(bound: Bound) -> Schema:
    """Return what a motif's parameter takes."""
    told: Schema = {"description": f"{bound.meaning}; {bound.accepted}"}
    if bound.default is not None:
        told["default"] = f"{bound.default:g} mm" if bound.kind == "length" else bound.default
    limits = {"minimum": bound.least, "maximum": bound.most}
    match bound.kind:
        case "length":
            return told | {"anyOf": [{"type": "number", **limits}, LENGTH["anyOf"][1]]}
        case "choice":
            return told | {"enum": list(bound.choices)}
        case "flag":
            return told | {"anyOf": [{"type": "boolean"}, {"enum": ["true", "false", "yes", "no"]}]}
        case "count":
            return told | {
                "anyOf": [{"type": "integer", **limits}, {"type": "string", "pattern": r"^\s*\d+"}]
            }
    return told | {"anyOf": [{"type": "number", **limits}, {"type": "string", "pattern": NUMBER}]}


def _layer(keys: Schema) -> Schema:
    """Return the table of a layer: its colour and paper, and those of a design's keys that it has."""
    own: Schema = {
        "colour": COLOUR,
        "behind": {"type": "boolean", "default": True},
        "gap": LENGTH,
        "faces": {"type": "string"},
        "grammage": {"type": "number"},
        "thickness": LENGTH,
    }
    own |= {key: keys[key] for key in LAYERS if key in keys and key not in MOTIF_TABLES}
    own |= {table: {"$ref": f"#/definitions/{table}"} for table in MOTIF_TABLES if table in LAYERS}
    return {"type": "object", "required": ["colour"], "properties": own, "additionalProperties": False}


def _fold() -> Schema:
    """Return the table of a folded piece; how each value is read is its key's own."""
    keys = {name: {"description": _with_usual(key.meaning, key.usual)} for name, key in KEYS.items()}
    kind = {"type": "string", "description": f"how it is folded: {', '.join(KINDS)}; if flat, a plane group"}
    table = {
        "type": "object",
        "required": ["kind"],
        "properties": {"kind": kind, **keys},
        "additionalProperties": False,
    }
    return {"anyOf": [{"enum": list(KINDS)}, table]}


def _with_usual(meaning: str, usual: str) -> str:
    return f"{meaning}; usually {usual}" if usual else meaning


def _plan() -> Schema:
    pace = {name: _bound(bound) for name, bound in parameters_of(Pace).items()}
    keys = {name: _bound(bound) for name, bound in parameters_of(PlanSettings).items()}
    keys["pace"] = {"type": "object", "properties": pace, "additionalProperties": False}
    return {"type": "object", "properties": keys, "additionalProperties": False}


def _as_toml(told: Any) -> Any:
    """Return what pydantic tells as draft 7 has it, without what a TOML file has not: nulls, own objects."""
    if isinstance(told, list):
        return [_as_toml(one) for one in told if one != {"type": "null"}]
    if not isinstance(told, dict):
        return told
    tidy: Schema = {}
    for key, value in told.items():
        unwritten = key == "default" and not isinstance(value, (str, bool, int, float))
        if unwritten or (key == "title" and isinstance(value, str)):
            continue
        tidy["items" if key == "prefixItems" else key] = _as_toml(value)
    only = tidy.get("anyOf", ())
    if len(only) == 1:
        del tidy["anyOf"]
        tidy |= only[0]
    return tidy


def _wanted(definitions: Schema, top: Schema) -> Schema:
    """Return the definitions that something leads to."""
    wanted: Schema = {}
    left: list[Any] = [top]
    while left:
        for name in _named_in(left.pop()) - wanted.keys():
            wanted[name] = definitions[name]
            left.append(definitions[name])
    return dict(sorted(wanted.items()))


def _named_in(told: Any) -> set[str]:
    """Return the names of definitions that a part of a schema leads to."""
    if isinstance(told, list):
        return set().union(*(_named_in(one) for one in told))
    if not isinstance(told, dict):
        return set()
    own = {told["$ref"].rpartition("/")[2]} if isinstance(told.get("$ref"), str) else set[str]()
    return own.union(*(_named_in(value) for value in told.values()))
