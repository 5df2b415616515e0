"""Rows of the tables as text: one line each in a list."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from gearplate.packet.columns import columns, wrapped

TABLES = {
    "motors": "motors with their faces, bodies and shafts",
    "gears": "classes of bought gears and their tooth counts",
    "bearings": "ball bearings by designation",
    "fasteners": "screws with heads, washers, nuts and hole sizes",
    "shafts": "bar for shafts, round and hexagonal",
    "retainers": "rings and collars that keep shafts from moving along",
    "chain": "roller chain by ANSI number",
    "strengths": "what materials of gears, sheets and screws stand",
    "materials": "sheet that plates are cut from, and sheet that must never be cut",
    "cutters": "cutters with what was measured on them",
    "jobs": "ready examples: gearplate build NAME, or base = NAME in a job",
}


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
    "retainers": lambda row: f"{row.kind} for {row.section}, {row.width_mm:.3g} x {row.outside_mm:.3g} mm",
    "chain": lambda row: f"pitch {row.pitch_mm:g} mm, roller {row.roller_mm:g} mm",
    "materials": _material,
    "strengths": lambda row: f"{row.youngs_modulus_gpa:g} GPa, {row.shear_mpa:g} MPa in shear",
    "cutters": _cutter,
}


def tables_text() -> str:
    """What there is to name."""
    lines = columns([[name, about] for name, about in TABLES.items()])
    return "\n".join(
        [
            "Tables of what a job can name:",
            *lines,
            "gearplate profiles TABLE lists one; gearplate profiles TABLE NAME prints a row to copy.",
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


def _front(row: Any) -> Any:
    """Where a row says where it comes from: a class of gears says it with its pattern."""
    return row.pattern if hasattr(row, "pattern") else row


def jobs_text(jobs: Mapping[str, Any], width: int) -> str:
    """The shipped jobs, each with its title."""
    import tomllib

    longest = max(len(name) for name in jobs)
    lines: list[str] = []
    for name, path in jobs.items():
        title = str(tomllib.loads(path.read_text(encoding="utf-8")).get("title", ""))
        lines += wrapped(title, width, f"  {name:{longest}}  ", " " * (longest + 4))
    return "\n".join([*lines, "gearplate profiles jobs NAME prints one; gearplate build NAME builds it."])
