"""The JSON Schema of a job file (draft 2020-12), for editors: they complete keys, show what they mean, mark slips."""

from __future__ import annotations

from typing import Any

from gearplate.job.defaults import DEFAULTS
from gearplate.job.model.table import Table, table_in
from gearplate.units import both_units

DRAFT = "https://json-schema.org/draft/2020-12/schema"


def job_schema() -> dict[str, Any]:
    """The schema, as plain data. A new one each time: the caller may change it."""
    from gearplate.job.model import JobFile

    schema = _tidy(JobFile.model_json_schema())
    _add_defaults(schema, {table.__name__: table.key for table in _all_tables(Table)})
    head = {
        "$schema": DRAFT,
        "title": "gearplate job",
        "description": 'One gearbox of two cut plates. Bare lengths are in `units`; text carries its unit: "1/4 in".',
    }
    # A job with a base says only what differs; one without says all that is needed.
    needed = {
        "if": {"not": {"required": ["base"]}},
        "then": {"required": schema.pop("required"), "properties": _needed_in_merged(JobFile)},
    }
    return {**head, **{key: value for key, value in schema.items() if key not in head}, **needed}


def _all_tables(table: type[Table]) -> list[type[Table]]:
    below = table.__subclasses__()
    return below + [deeper for one in below for deeper in _all_tables(one)]


def _needed_in_merged(table: type[Table]) -> dict[str, Any]:
    found = {}
    for name, field in table.model_fields.items():
        inner = table_in(field)
        if inner is not None and inner.merged and inner.needed:
            found[name] = {"if": {"type": "object"}, "then": {"required": list(inner.needed)}}
    return found


def _tidy(value: Any) -> Any:
    """The schema without `null`, which TOML does not have, and without the defaults that stand for "not given"."""
    if isinstance(value, list):
        return [_tidy(item) for item in value]
    if not isinstance(value, dict):
        return value
    tidy = {key: _tidy(item) for key, item in value.items() if not (key == "default" and item is None)}
    branches = tidy.get("anyOf")
    if isinstance(branches, list) and {"type": "null"} in branches:
        left = [branch for branch in branches if branch != {"type": "null"}]
        del tidy["anyOf"]
        tidy = {**left[0], **tidy} if len(left) == 1 else {**tidy, "anyOf": left}
    return tidy


def _add_defaults(schema: Any, keys: dict[str, str]) -> None:
    """What holds where a key is left out, as the schema's `default`, and in words where it is worked out."""
    if isinstance(schema, list):
        for item in schema:
            _add_defaults(item, keys)
        return
    if not isinstance(schema, dict):
        return
    for item in schema.values():
        _add_defaults(item, keys)
    fields = schema.get("properties")
    if not isinstance(fields, dict) or schema.get("title") not in keys:
        return
    above = keys[schema["title"]]
    for name, field in fields.items():
        if isinstance(field.get("title"), str):
            field["title"] = name.replace("_", " ")
        default = DEFAULTS.get(f"{above}.{name}" if above else name)
        if default is None or not default.told:
            continue
        if default.value is None:
            field["description"] = f"{field['description']}. Left out: {default.why}"
        elif default.length and isinstance(default.value, float):
            field["default"] = f"{default.value:g} mm"
            field["description"] = f"{field['description']}. Left out: {both_units(default.value)}"
        else:
            field["default"] = list(default.value) if isinstance(default.value, tuple) else default.value


def schema_text() -> str:
    """The schema as the file `job.schema.json` holds it, the same bytes every time."""
    import json

    return json.dumps(job_schema(), indent=1, ensure_ascii=False) + "\n"
