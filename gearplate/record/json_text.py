"""JSON that a person can read and two builds can be compared by: one line an item of a list, ASCII only."""

from __future__ import annotations

import json
from typing import Any


def json_text(tree: dict[str, Any]) -> str:
    """The text of a record, ending in a line feed.

    Keys keep their order. Objects and lists of objects are broken over lines down to the items of the lists in
    `tree` and of the lists in those items; whatever lies deeper stands on its item's line. Everything outside ASCII
    is escaped, so that no text of a job can turn or hide what stands beside it.
    """
    return _broken(tree, "") + "\n"


def _flat(value: object) -> str:
    return json.dumps(value, ensure_ascii=True, allow_nan=False, separators=(", ", ": "))


def _broken(value: object, indent: str) -> str:
    inner = indent + " "
    if isinstance(value, dict) and any(_holds_objects(item) for item in value.values()):
        lines = [f"{_flat(key)}: {_broken(item, inner)}" for key, item in value.items()]
        return "{\n" + inner + f",\n{inner}".join(lines) + f"\n{indent}}}"
    if isinstance(value, list) and _holds_objects(value):
        return "[\n" + inner + f",\n{inner}".join(_broken(item, inner) for item in value) + f"\n{indent}]"
    return _flat(value)


def _holds_objects(value: object) -> bool:
    """A list of objects; or an object that holds one, directly or within."""
    if isinstance(value, list):
        return any(isinstance(item, dict) for item in value)
    return isinstance(value, dict) and any(_holds_objects(item) for item in value.values())
