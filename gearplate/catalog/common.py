"""The keys that every row of every table has, and what a table says for all of its rows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypedDict

from gearplate.catalog.reading import ROW_STANDINGS, Reader
from gearplate.finding import Standing

Standings = tuple[tuple[str, Standing], ...]


@dataclass(frozen=True, slots=True)
class Front:
    """What holds for all rows of one table: its file, its [sources], and the standing of single keys."""

    file: str
    sources: dict[str, str]
    standing_of: Standings


class Common(TypedDict):
    """The fields of `Row`, ready to be handed to the dataclass of a row."""

    name: str
    source: str
    standing: Standing
    file: str
    also: tuple[str, ...]
    note: str
    standing_of: Standings


def read_common(row: Reader, name: str, front: Front) -> Common:
    """Name, source, standing and notes of a row.

    `source` is a key of the table's own [sources], or the source in words. `standing_of` names the keys of the row
    whose standing differs from that of the rest; what the table's own [standing_of] says holds for rows that do not.
    """
    source = row.text("source")
    own = row.sub("standing_of")
    if own is not None:
        for key in own.keys():  # noqa: SIM118 - a Reader is no mapping
            if not row.has(key):
                own.fault(key, key, "the row has no such key.", "a key of this row")
    standing_of = {key: standing for key, standing in front.standing_of if row.has(key)}
    standing_of.update(read_standings(own) if own else ())
    return Common(
        name=name,
        source=front.sources.get(source, source),
        standing=read_standing(row, "standing"),
        file=front.file,
        also=row.texts("also", default=()),
        note=row.text("note", default=""),
        standing_of=tuple(standing_of.items()),
    )


def read_standing(row: Reader, key: str) -> Standing:
    """One of the words for where a value comes from."""
    text = row.text(key, ROW_STANDINGS)
    return Standing(text) if text in ROW_STANDINGS else Standing.INVENTED


def read_standings(table: Reader) -> Standings:
    """A table of standings by key."""
    return tuple((key, read_standing(table, key)) for key in table.keys())  # noqa: SIM118
