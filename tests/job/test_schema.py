"""The JSON Schema, held against jobs by a small checker of our own (test extras have none)."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from gearplate.catalog import profiles_folder
from gearplate.job.base import shipped_jobs
from gearplate.job.schema import DRAFT, job_schema, schema_text

SCHEMA = job_schema()
TYPES = {
    "object": dict,
    "array": list,
    "string": str,
    "boolean": bool,
    "integer": int,
    "number": (int, float),
}
KNOWN = {
    "$schema", "$defs", "$ref", "title", "description", "default", "examples", "type", "enum", "anyOf", "properties",
    "additionalProperties", "required", "items", "minItems", "maxItems", "minimum", "maximum", "minLength",
    "maxLength", "pattern", "propertyNames", "maxProperties", "if", "then", "not",
}  # fmt: skip


def faults(value: Any, schema: dict[str, Any]) -> list[str]:
    """Where a value breaks the schema (JSON Schema 2020-12, as far as our schema uses it)."""
    assert set(schema) <= KNOWN
    found: list[str] = []
    if "$ref" in schema:
        found += faults(value, SCHEMA["$defs"][schema["$ref"].removeprefix("#/$defs/")])
    if "type" in schema:
        wanted = TYPES[schema["type"]]
        if not isinstance(value, wanted) or (isinstance(value, bool) and schema["type"] != "boolean"):
            return [*found, f"{value!r} is no {schema['type']}"]
    if "enum" in schema and not any(
        value == one and isinstance(value, bool) == isinstance(one, bool) for one in schema["enum"]
    ):
        found.append(f"{value!r} is none of {schema['enum']}")
    if "anyOf" in schema:
        branches = [faults(value, branch) for branch in schema["anyOf"]]
        found += [] if [] in branches else [fault for branch in branches for fault in branch]
    if "if" in schema and not faults(value, schema["if"]):
        found += faults(value, schema["then"])
    if "not" in schema and not faults(value, schema["not"]):
        found.append(f"{value!r} is what it must not be")
    if isinstance(value, dict):
        found += [f"{key} is missing" for key in schema.get("required", ()) if key not in value]
        fields = schema.get("properties", {})
        for key, item in value.items():
            if key in fields:
                found += [f"{key}: {fault}" for fault in faults(item, fields[key])]
            elif schema.get("additionalProperties") is False:
                found.append(f"{key} is not known")
            elif isinstance(schema.get("additionalProperties"), dict):
                found += [f"{key}: {fault}" for fault in faults(item, schema["additionalProperties"])]
            if "propertyNames" in schema:
                found += faults(key, schema["propertyNames"])
    if isinstance(value, list):
        found += [fault for item in value for fault in faults(item, schema.get("items", {}))]
        if not schema.get("minItems", 0) <= len(value) <= schema.get("maxItems", len(value)):
            found.append(f"{len(value)} items")
    if isinstance(value, int | float) and not schema.get("minimum", value) <= value <= schema.get("maximum", value):
        found.append(f"{value} is out of range")
    if isinstance(value, str) and "pattern" in schema and not re.search(schema["pattern"], value):
        found.append(f"{value!r} is no {schema['pattern']}")
    return found


def test_the_shipped_schema_is_the_printed_one() -> None:
    shipped = profiles_folder() / "job.schema.json"
    assert shipped.read_text(encoding="utf-8") == schema_text(), (
        "write it again: gearplate schema > profiles/job.schema.json"
    )


def test_it_is_a_schema_of_the_draft_with_words_for_every_key() -> None:
    assert SCHEMA["$schema"] == DRAFT == "https://json-schema.org/draft/2020-12/schema"
    assert json.loads(schema_text()) == SCHEMA
    for entry in [SCHEMA, *SCHEMA["$defs"].values()]:
        table = entry if "properties" in entry else entry["anyOf"][-1]
        assert table["additionalProperties"] is False
        assert table["description"]
        for key, field in table["properties"].items():
            assert field.get("description"), key
    assert "null" not in schema_text()


@pytest.mark.parametrize("path", shipped_jobs().values(), ids=lambda path: path.stem)
def test_every_example_fits(path: Path) -> None:
    assert faults(tomllib.loads(path.read_text(encoding="utf-8")), SCHEMA) == []


@pytest.mark.parametrize("path", shipped_jobs().values(), ids=lambda path: path.stem)
def test_every_example_names_the_schema_beside_it(path: Path) -> None:
    first = path.read_text(encoding="utf-8").splitlines()[0]
    assert first.startswith("#:schema ")
    assert (path.parent / first.removeprefix("#:schema ")).resolve() == (
        profiles_folder() / "job.schema.json"
    ).resolve()


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("whel = {}", "whel is not known"),
        ("hand = 'up'", "none of"),
        ("wheel.diameter = true", "is no"),
        ("shafts.T1 = {}", "is no ^"),
        ("stages = [{driven = 3}]", "out of range"),
        ("stages = [{driver = 12}]", "driven is missing"),
        ("pressure_angle = 21", "none of"),
        ("rail = true", "none of"),
        ("motors = [{count = 2}]", "type is missing"),
    ],
)
def test_slips_are_marked(line: str, words: str) -> None:
    job = {"base": "x", **tomllib.loads(line)}
    assert any(words in fault for fault in faults(job, SCHEMA)), faults(job, SCHEMA)


def test_what_is_needed_is_needed_only_without_a_base() -> None:
    assert faults({"base": "standard.toml", "wheel": {"width": 1}, "motors": {"count": 2}}, SCHEMA) == []
    alone = faults({"wheel": {"width": 1}, "motors": {"count": 2}}, SCHEMA)
    assert {"part is missing", "cutter is missing"} <= set(alone)
    assert "wheel: diameter is missing" in alone
    assert "motors: type is missing" in alone
    assert faults({"motors": [{"type": "x", "pinion": {"teeth": 12}}], "base": "x"}, SCHEMA) == []
