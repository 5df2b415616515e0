"""The JSON Schema of a job file (draft 2020-12), for editors: they complete keys, show what they mean, mark slips."""

from __future__ import annotations

from typing import Any

from gearplate.job.defaults import DEFAULTS
from gearplate.job.kinds import Kind, ShaftName
from gearplate.job.model import JobFile
from gearplate.job.model.table import FalseOr, Key, Many, Named, Shape, Table
from gearplate.units import both_units

DRAFT = "https://json-schema.org/draft/2020-12/schema"


def job_schema() -> dict[str, Any]:
    """The schema, as plain data. A new one each time: the caller may change it."""
    tables: dict[str, dict[str, Any]] = {}
    root = _table(JobFile, tables)
    # A job with a base says only what differs; one without says all that is needed.
    merged = {
        name: {"if": {"type": "object"}, "then": {"required": list(key.shape.table.needed)}}
        for name, key in JobFile.keys.items()
        if isinstance(key.shape, Shape) and key.shape.table.merged
    }
    return {
        "$schema": DRAFT,
        "title": "gearplate job",
        "description": 'One gearbox of two cut plates. Bare lengths are in `units`; text carries its unit: "1/4 in".',
        "type": "object",
        "properties": root["properties"],
        "additionalProperties": False,
        "if": {"not": {"required": ["base"]}},
        "then": {"required": list(JobFile.needed), "properties": merged},
        "$defs": dict(sorted(tables.items())),
    }


def _table(table: type[Table], tables: dict[str, dict[str, Any]]) -> dict[str, Any]:
    """The schema of one table; those of the tables under it go into `tables` by name."""
    schema: dict[str, Any] = {
        "type": "object",
        "title": table.__name__,
        "description": " ".join((table.__doc__ or "").split()),
        "properties": {name: _key(table, name, key, tables) for name, key in table.keys.items()},
        "additionalProperties": False,
    }
    if table.needed and not table.merged:
        schema["required"] = list(table.needed)
    if table.shorthand is None:
        return schema
    short = table.keys[table.shorthand[1]].shape
    assert isinstance(short, Kind)
    return {"anyOf": [short.schema(), schema]}


def _key(table: type[Table], name: str, key: Key, tables: dict[str, dict[str, Any]]) -> dict[str, Any]:
    shape = _shape(key.shape, tables) if isinstance(key.shape, Shape) else key.shape.schema()
    schema = {"title": name.replace("_", " "), "description": key.description, **shape}
    default = DEFAULTS.get(f"{table.key}.{name}" if table.key else name)
    if default is None or not default.told:
        return schema
    if default.value is None:
        schema["description"] += f". Left out: {default.why}"
    elif default.length and isinstance(default.value, float):
        schema["default"] = f"{default.value:g} mm"
        schema["description"] += f". Left out: {both_units(default.value)}"
    else:
        schema["default"] = list(default.value) if isinstance(default.value, tuple) else default.value
    return schema


def _shape(shape: Shape, tables: dict[str, dict[str, Any]]) -> dict[str, Any]:
    name = shape.table.__name__
    if name not in tables:
        tables[name] = {}
        tables[name] = _table(shape.table, tables)
    one: dict[str, Any] = {"$ref": f"#/$defs/{name}"}
    if isinstance(shape, FalseOr):
        return {"anyOf": [{"enum": list(shape.plain)}, one]}
    if isinstance(shape, Named):
        names = ShaftName().schema()
        return {"type": "object", "propertyNames": names, "additionalProperties": one, "maxProperties": shape.most}
    if isinstance(shape, Many):
        # A list is never merged with the base's: each of its tables says all that is needed.
        item = {**one, "required": list(shape.table.needed)} if shape.or_one else one
        many = {"type": "array", "items": item, "maxItems": shape.most}
        return {"anyOf": [one, many]} if shape.or_one else many
    return one


def schema_text() -> str:
    """The schema as the file `job.schema.json` holds it, the same bytes every time."""
    import json

    return json.dumps(job_schema(), indent=1, ensure_ascii=False) + "\n"
