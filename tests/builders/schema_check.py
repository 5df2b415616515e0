"""A checker for the part of JSON Schema (draft 2020-12) that the record's schema uses.

Own code, so that no dependency is wanted; an unknown keyword is an error, so that no rule is passed over in silence.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

KNOWN = {
    "$schema", "$id", "$defs", "$ref", "title", "description", "type", "enum", "const", "properties", "required",
    "additionalProperties", "items", "minItems", "maxItems", "minimum", "exclusiveMinimum", "pattern", "anyOf",
}  # fmt: skip
TYPES: dict[str, tuple[type, ...]] = {
    "object": (dict,), "array": (list,), "string": (str,), "number": (int, float), "integer": (int,),
    "boolean": (bool,), "null": (type(None),),
}  # fmt: skip


def faults(value: Any, schema: dict[str, Any], root: dict[str, Any] | None = None, at: str = "$") -> Iterator[str]:
    """Everything in `value` that the schema does not allow, with its place."""
    root = schema if root is None else root
    unknown = set(schema) - KNOWN
    if unknown:
        raise ValueError(f"the checker does not know {sorted(unknown)}")
    if "$ref" in schema:
        name = schema["$ref"].removeprefix("#/$defs/")
        yield from faults(value, root["$defs"][name], root, at)
    if "type" in schema and not _is(value, schema["type"]):
        yield f"{at}: {value!r:.80} is not {schema['type']}"
        return
    if "const" in schema and value != schema["const"]:
        yield f"{at}: {value!r} is not {schema['const']!r}"
    if "enum" in schema and value not in schema["enum"]:
        yield f"{at}: {value!r} is none of {schema['enum']}"
    if "anyOf" in schema and all(any(True for _ in faults(value, one, root, at)) for one in schema["anyOf"]):
        yield f"{at}: {value!r:.80} fits none of the alternatives"
    if isinstance(value, dict):
        yield from _object(value, schema, root, at)
    if isinstance(value, list):
        yield from _array(value, schema, root, at)
    if isinstance(value, int | float) and not isinstance(value, bool):
        if "minimum" in schema and value < schema["minimum"]:
            yield f"{at}: {value} is under {schema['minimum']}"
        if "exclusiveMinimum" in schema and value <= schema["exclusiveMinimum"]:
            yield f"{at}: {value} is not over {schema['exclusiveMinimum']}"
    if isinstance(value, str) and "pattern" in schema:
        import re

        if not re.search(schema["pattern"], value):
            yield f"{at}: {value!r} does not match {schema['pattern']}"


def _is(value: Any, names: str | list[str]) -> bool:
    for name in [names] if isinstance(names, str) else names:
        if isinstance(value, TYPES[name]) and (name == "boolean" or not isinstance(value, bool)):
            return True
    return False


def _object(value: dict[str, Any], schema: dict[str, Any], root: dict[str, Any], at: str) -> Iterator[str]:
    known = schema.get("properties", {})
    for name in schema.get("required", ()):
        if name not in value:
            yield f"{at}: {name} is missing"
    for name, item in value.items():
        if name in known:
            yield from faults(item, known[name], root, f"{at}.{name}")
        elif isinstance(schema.get("additionalProperties"), dict):
            yield from faults(item, schema["additionalProperties"], root, f"{at}.{name}")
        elif schema.get("additionalProperties") is False:
            yield f"{at}: {name} is not foreseen"


def _array(value: list[Any], schema: dict[str, Any], root: dict[str, Any], at: str) -> Iterator[str]:
    if len(value) < schema.get("minItems", 0):
        yield f"{at}: fewer than {schema['minItems']} items"
    if "maxItems" in schema and len(value) > schema["maxItems"]:
        yield f"{at}: more than {schema['maxItems']} items"
    for index, item in enumerate(value):
        if "items" in schema:
            yield from faults(item, schema["items"], root, f"{at}[{index}]")
