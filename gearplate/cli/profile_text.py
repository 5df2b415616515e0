"""Rows of the tables as text: one line each in a list, every value with where it comes from on its own."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from gearplate.packet.columns import columns, wrapped

TABLES = {
    "motors": "motors with their faces, bodies and shafts",
    "gears": "classes of bought gears and their tooth counts",
    "bearings": "ball bearings by designation",
    "fasteners": "screws with heads, washers, nuts and hole sizes",
    "shafts": "bar for shafts, round and hexagonal",
    "chain": "roller chain by ANSI number",
    "materials": "sheet that plates are cut from, and sheet that must never be cut",
    "cutters": "cutters with what was measured on them",
    "jobs": "ready examples: gearplate build NAME, or base = NAME in a job",
}

_ABOUT_A_ROW = ("name", "source", "standing", "file", "also", "note", "standing_of")
_LONGEST = 60


def _motor(row: Any) -> str:
    body = f"{row.body_diameter_mm or row.body_square_mm:g} mm {'round' if row.body_diameter_mm else 'square'}"
    face = row.face
    screws = f"{face.screw_count} {face.screw} on {face.bolt_circle_mm:.4g} mm"
    return f"body {body}, pilot {face.pilot_diameter_mm:g} mm, {screws}"


def _gears(row: Any) -> str:
    pattern = row.pattern
    size = (
        f"module {pattern.module_mm:g} mm"
        if pattern.diametral_pitch_per_in is None
        else f"diametral pitch {pattern.diametral_pitch_per_in:g}"
    )
    return f"{size}, {pattern.pressure_angle_deg:g} deg, {pattern.role}s of {_counts(row.counts)} teeth"


def _counts(counts: tuple[int, ...]) -> str:
    shown = [str(count) for count in counts]
    return ", ".join(shown) if len(shown) <= 8 else f"{', '.join(shown[:4])}, ... {shown[-1]}"


def _bearing(row: Any) -> str:
    flange = "" if row.flange is None else f", flange {row.flange.diameter_mm:g} mm"
    return f"{row.bore} x {row.outside_mm:g} x {row.width_mm:g} mm, {row.closure}{flange}"


def _fastener(row: Any) -> str:
    clearance = " / ".join(f"{hole:.3g}" for hole in (row.close_mm, row.normal_mm, row.loose_mm))
    return f"clearance {clearance} mm, head {row.head_diameter_mm:.3g} mm"


def _material(row: Any) -> str:
    if row.never_cut:
        return f"{row.family}: NEVER CUT: {row.never_cut_why}"
    press = "takes a press fit" if row.press_fit else "no press fit"
    return f"{row.family}, {row.thickness_mm:g} mm, {press}"


def _cutter(row: Any) -> str:
    return f"{row.process}, bed {row.bed_x_mm:g} x {row.bed_y_mm:g} mm, draws in {row.drawing_unit}"


_SUMMARIES: dict[str, Callable[[Any], str]] = {
    "motors": _motor,
    "gears": _gears,
    "bearings": _bearing,
    "fasteners": _fastener,
    "shafts": lambda row: f"{row.section}, {row.material}",
    "chain": lambda row: f"pitch {row.pitch_mm:g} mm, roller {row.roller_mm:g} mm",
    "materials": _material,
    "cutters": _cutter,
}


def tables_text() -> str:
    """What there is to name."""
    lines = columns([[name, about] for name, about in TABLES.items()])
    return "\n".join(
        [
            "Tables of what a job can name:",
            *lines,
            "gearplate profiles TABLE lists one; gearplate profiles TABLE NAME shows all of a row.",
        ]
    )


def table_text(table: str, rows: Mapping[str, Any], width: int) -> str:
    """One line a row."""
    longest = max((len(name) for name in rows), default=0)
    lines: list[str] = []
    for name, row in rows.items():
        invented = " (invented)" if _front(row).standing == "invented" else ""
        lines += wrapped(_SUMMARIES[table](row) + invented, width, f"  {name:{longest}}  ", " " * (longest + 4))
    return "\n".join(lines)


def row_text(row: Any, width: int) -> str:
    """Every value of a row, its source, and its standing."""
    front = _front(row)
    lines = [row.name + (f", also {', '.join(front.also)}" if front.also else "")]
    standings = dict(front.standing_of)
    rows = [[key, value, standings.get(key, "")] for key, value in _values(row)]
    lines += columns(rows)
    lines += wrapped(f"standing: {front.standing}" + (" unless said beside a value" if standings else ""), width)
    lines += wrapped(f"source: {front.source}", width, "  ", "    ")
    if front.note:
        lines += wrapped(f"note: {front.note}", width, "  ", "    ")
    lines.append(f"  file: {front.file}")
    return "\n".join(lines)


def _front(row: Any) -> Any:
    """Where a row says where it comes from: a class of gears says it with its pattern."""
    return row.pattern if hasattr(row, "pattern") else row


def _values(row: Any, above: str = "") -> Iterator[tuple[str, str]]:
    for field in fields(row):
        value = getattr(row, field.name)
        about = field.name in _ABOUT_A_ROW and above in ("", "pattern.")
        if about or value is None or value in ((), ""):
            continue
        yield from _value(f"{above}{field.name}", value)


def _value(name: str, value: Any) -> Iterator[tuple[str, str]]:
    if _is_span(value):
        yield name, f"{_plain(value.low)} to {_plain(value.high)}"
    elif is_dataclass(value) and type(value).__str__ is object.__str__:
        yield from _values(value, f"{name}.")
    elif isinstance(value, tuple) and is_dataclass(value[0]) and type(value[0]).__str__ is object.__str__:
        for index, item in enumerate(value):
            yield from _value(f"{name}[{index}]", item)
    elif isinstance(value, tuple) and isinstance(value[0], tuple):
        for key, item in value:
            yield from _value(f"{name}.{key}", item)
    else:
        text = ", ".join(_plain(item) for item in value) if isinstance(value, tuple) else _plain(value)
        for index, line in enumerate(wrapped(text, _LONGEST, "", "")):
            yield (name if index == 0 else ""), line


def _is_span(value: Any) -> bool:
    return is_dataclass(value) and [field.name for field in fields(value)] == ["low", "high"]


def _plain(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.9g}" if isinstance(value, float) else str(value)


def jobs_text(jobs: Mapping[str, Any], width: int) -> str:
    """The shipped jobs, each with its title."""
    import tomllib

    longest = max(len(name) for name in jobs)
    lines: list[str] = []
    for name, path in jobs.items():
        title = str(tomllib.loads(path.read_text(encoding="utf-8")).get("title", ""))
        lines += wrapped(title, width, f"  {name:{longest}}  ", " " * (longest + 4))
    return "\n".join([*lines, "gearplate profiles jobs NAME prints one; gearplate build NAME builds it."])
