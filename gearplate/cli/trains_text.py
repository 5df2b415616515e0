"""The list of trains as lines for people, as JSON, as CSV."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from gearplate.studies.train_list import Row, TrainReport

_HEADS = ("", "train", "ratio", "off", "plate >=", "gears", "to get", "common", "blanks", "")
CSV_HEADS = (
    "number", "train", "ratio", "ratio_exact", "off", "size_bound_mm2", "distinct_gears", "gears_not_on_hand",
    "common_factors", "blank_mass_g", "closest_for_its_size", "cure",
)  # fmt: skip


def lines_for_people(report: TrainReport, name: str, held: tuple[int, ...] = ()) -> list[str]:
    """What was searched and found, what was dropped and why, and the list. `held`: the pinions that the motors name,
    and that nothing else was asked for."""
    window = report.window
    lines = [
        f"Trains for {name}: {_number(window.target)} to 1, from {_number(window.low)} to {_number(window.high)}",
    ]
    if held:
        counts = " or ".join(str(teeth) for teeth in held)
        lines.append(f"  first driver: {counts} teeth, as the job's motors say; --pinions 10-16 looks at others")
    for tally in report.tallies:
        stages = f"{tally.stages} stage{'s' if tally.stages > 1 else ''}"
        text = f"  {stages}: {_grouped(tally.searched)} searched, {_grouped(tally.found)} in the window"
        if tally.dropped is None:
            text += ", too many to judge them all: dropped ones are only left out below"
        elif tally.found:
            kept = tally.found - tally.dropped
            text += f", {_grouped(tally.dropped)} dropped, {_grouped(kept)} left"
            text += f" ({_grouped(tally.cured or 0)} of them need another part)" if tally.cured else ""
        lines.append(text)
    if report.dropped:
        lines += ["", "Dropped, as no layout can save them (of several reasons the gravest):"]
        lines += [f"  {_grouped(count):>9}  {reason}" for reason, count in report.dropped]
    if report.cures:
        lines += ["", "Left with another part:"]
        lines += [f"  {_grouped(count):>9}  {cure.text}" for cure, count in report.cures]
    if not report.rows:
        return [*lines, "", "No train is left. Widen the window, or let more tooth counts in."]
    lines += ["", *_table(report.rows)]
    lines += [
        "",
        "off: over or under the wanted ratio. plate >=: lower bound for the hull of both plates, from centre",
        "distances and tip circles alone; the real one is larger. gears: different ones. to get: not on hand.",
        "common: meshes whose counts have a common factor. blanks: mass of solid blanks, only to compare.",
        "*: no closer train has a smaller bound.",
    ]
    return lines


def _table(rows: tuple[Row, ...]) -> list[str]:
    cells: list[tuple[str, ...]] = [_HEADS]
    for number, row in enumerate(rows, 1):
        size = "" if row.size_mm2 is None else f"{row.size_mm2 / 100:.1f} cm²"
        cells.append(
            (
                str(number),
                train_text(row),
                _number(row.train.ratio),
                off_text(row.off),
                size,
                str(row.distinct),
                str(row.not_on_hand),
                str(row.common_factors),
                f"{row.weight_g:.0f} g",
                ("*" if row.in_front else "") + ("" if row.cure is None else f" with {row.cure.text}"),
            )
        )
    widths = [max(len(line[column]) for line in cells) for column in range(len(_HEADS))]
    lines = []
    for line in cells:
        parts = [
            text.ljust(width) if column in (1, len(_HEADS) - 1) else text.rjust(width)
            for column, (text, width) in enumerate(zip(line, widths, strict=True))
        ]
        lines.append("  ".join(parts).rstrip())
    return lines


def train_text(row: Row) -> str:
    """12:72  32:[24]:60 is 12 on 72, then 32 on an idler of 24 on 60."""
    stages = []
    for stage in row.train.stages:
        idlers = "".join(f"[{teeth}]:" for teeth in stage.idlers)
        stages.append(f"{stage.driver}:{idlers}{stage.driven}")
    return "  ".join(stages)


def off_text(off: Fraction) -> str:
    """How far off in percent, with as many places as tell it from exact."""
    if not off:
        return "exact"
    percent = float(off * 100)
    return f"{percent:+.3f} %" if abs(percent) >= 0.0005 else f"{percent:+.1e} %"


def _number(ratio: Fraction) -> str:
    return f"{float(ratio):.4f}".rstrip("0").rstrip(".")


def _grouped(count: int) -> str:
    return f"{count:,}"


def data(report: TrainReport) -> dict[str, Any]:
    """The report as plain data. Keys are stable: add, do not rename."""
    window = report.window
    return {
        "window": {"low": str(window.low), "high": str(window.high), "target": str(window.target)},
        "tallies": [
            {
                "stages": tally.stages,
                "searched": tally.searched,
                "found": tally.found,
                "dropped": tally.dropped,
                "with_another_part": tally.cured,
            }
            for tally in report.tallies
        ],
        "dropped": [{"reason": reason, "trains": count} for reason, count in report.dropped],
        "cures": [{"text": cure.text, "set": dict(cure.set), "trains": count} for cure, count in report.cures],
        "trains": [{"number": number, **_row(row)} for number, row in enumerate(report.rows, 1)],
        "front": [_row(row) for row in report.front],
    }


def _row(row: Row) -> dict[str, Any]:
    return {
        "stages": [
            {"driver": stage.driver, "driven": stage.driven, "idlers": list(stage.idlers)} for stage in row.train.stages
        ],
        "ratio": float(row.train.ratio),
        "ratio_exact": str(row.train.ratio),
        "off": float(row.off),
        "size_bound_mm2": row.size_mm2,
        "distinct_gears": row.distinct,
        "gears_not_on_hand": row.not_on_hand,
        "common_factors": row.common_factors,
        "blank_mass_g": row.weight_g,
        "closest_for_its_size": row.in_front,
        "cure": None if row.cure is None else {"text": row.cure.text, "set": dict(row.cure.set)},
    }


def csv_text(report: TrainReport) -> str:
    """The list for a spreadsheet, comma separated (RFC 4180)."""
    import csv
    import io

    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow(CSV_HEADS)
    for number, row in enumerate(report.rows, 1):
        writer.writerow(
            (
                number,
                train_text(row),
                float(row.train.ratio),
                row.train.ratio,
                float(row.off),
                row.size_mm2,
                row.distinct,
                row.not_on_hand,
                row.common_factors,
                row.weight_g,
                "yes" if row.in_front else "no",
                "" if row.cure is None else row.cure.text,
            )
        )
    return target.getvalue().rstrip("\n")
