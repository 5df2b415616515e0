"""A row of a table as the file says it, ready to be pasted into a table of one's own.

What the table says for all of its rows (where its values come from, their standing) is written into the row, so that
it stands by itself.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from gearplate.catalog.tables import TABLES

LONGEST = 100


def row_toml(table: str, name: str, folders: Sequence[Path], shipped: Path) -> str:
    """The row as TOML below a line that says where it is from and where it may go.

    `folders` as the catalogue has them, the last laid over the others; the row is one that the catalogue has read.
    """
    word = TABLES[table]
    for folder in reversed(folders):
        path = folder / f"{table}.toml"
        if not path.is_file():
            continue
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        if name in data.get(word, {}):
            origin = f"{path.name} (shipped)" if folder == shipped else str(path)
            return "\n".join(_lines(word, name, _alone(data[word][name], data), origin, f"profiles/{table}.toml"))
    raise KeyError(name)


def _alone(row: dict[str, Any], data: dict[str, Any]) -> dict[str, Any]:
    """The row with its source in words, and with the standings that its table gives to its keys."""
    row = dict(row)
    row["source"] = data.get("sources", {}).get(row["source"], row["source"])
    standings = {key: value for key, value in data.get("standing_of", {}).items() if key in row}
    standings |= row.get("standing_of", {})
    if standings:
        row["standing_of"] = standings
    return row


def _lines(word: str, name: str, row: dict[str, Any], origin: str, own: str) -> Iterator[str]:
    yield f"# From {origin}. To change it, paste it into {own} beside your job:"
    yield "# there it takes the place of this row, or stands beside it under another name."
    header = f"{word}.{_key(name)}"
    yield f"[{header}]"
    blocks = {key: value for key, value in row.items() if _is_long(value)}
    for key, value in row.items():
        if key not in blocks:
            yield f"{_key(key)} = {_value(value)}"
    for key, tables in blocks.items():
        for table in tables:
            yield f"\n[[{header}.{_key(key)}]]"
            for inner, value in table.items():
                yield f"{_key(inner)} = {_value(value)}"


def _is_long(value: Any) -> bool:
    """A list of tables that does not read well on one line."""
    tables = isinstance(value, list) and bool(value) and all(isinstance(item, dict) for item in value)
    return tables and len(_value(value)) > LONGEST


def _key(name: str) -> str:
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else json.dumps(name, ensure_ascii=False)


def _value(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_key(key)} = {_value(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_value(item) for item in value) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else repr(value)
