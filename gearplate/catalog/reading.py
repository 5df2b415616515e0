"""Reads the values of one row: each key is asked for by its type and range, and whatever is wrong is collected.

A reader never stops at the first mistake. After a mistake it hands back a harmless stand-in, so that the rest of the
row is checked too; the row itself is thrown away by whoever finds `faults` not empty.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from gearplate.catalog.row import Bore, Span
from gearplate.finding import Standing

MM_PER_INCH = 25.4
ROW_STANDINGS = tuple(str(standing) for standing in Standing if standing is not Standing.GEOMETRY)
MISSING = "this key is missing."
_FRACTION = re.compile(r"(?:(\d+)[ -])?(\d+)/(\d+)")

Value = object
Table = dict[str, Value]


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in a table: where it stands (path of keys), what it says, what would be accepted."""

    path: tuple[str | int, ...]
    value: str
    message: str
    accepted: str = ""


def inches_to_mm(inches: float) -> float:
    """Inch to mm [mm], 25.4 exactly, rounded to 1e-10 mm so that 1-1/8 in equals the literal 28.575."""
    return round(inches * MM_PER_INCH, 10)


def show(value: Value) -> str:
    """A value as a person would type it into the file."""
    if isinstance(value, bool):
        return "true" if value else "false"
    text = repr(value) if not isinstance(value, str) else f'"{value}"'
    return text if len(text) <= 60 else text[:57] + "..."


class Reader:
    """One table of values and the keys that were asked of it so far."""

    __slots__ = ("_asked", "_table", "faults", "path")

    def __init__(self, table: Table, path: tuple[str | int, ...], faults: list[Fault]) -> None:
        self._table = table
        self._asked: set[str] = set()
        self.path = path
        self.faults = faults

    def has(self, key: str) -> bool:
        """Whether the key stands in the table (marks nothing as asked for)."""
        return key in self._table

    def keys(self) -> tuple[str, ...]:
        """The keys as they stand in the table."""
        return tuple(self._table)

    def fault(self, key: str, value: Value, message: str, accepted: str = "") -> None:
        """Note that the value of a key is wrong."""
        self.faults.append(Fault((*self.path, key) if key else self.path, show(value), message, accepted))

    def missing(self, key: str, accepted: str) -> None:
        """Note that a key must be given and is not."""
        self.faults.append(Fault((*self.path, key), "", MISSING, accepted))

    def _take(self, key: str) -> Value:
        self._asked.add(key)
        return self._table.get(key)

    def number(self, key: str, low: float, high: float, default: float | None = None, unit: str = "") -> float:
        """A finite number from low to high; the default where the key is missing, a fault where there is none."""
        accepted = f"a number from {low:g} to {high:g}{' ' + unit if unit else ''}"
        value = self._take(key)
        if value is None:
            if default is None:
                self.missing(key, accepted)
                return low
            return default
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            self.fault(key, value, "this is not a number.", accepted)
            return low
        if not low <= value <= high:
            self.fault(key, value, "out of range.", accepted)
            return low
        return float(value)

    def maybe_number(self, key: str, low: float, high: float, unit: str = "") -> float | None:
        """A number from low to high, or None where the key is missing."""
        return self.number(key, low, high, unit=unit) if key in self._table else None

    def whole(self, key: str, low: int, high: int, default: int | None = None) -> int:
        """A whole number from low to high."""
        value = self._table.get(key)
        if value is not None and (isinstance(value, bool) or not isinstance(value, int)):
            self._asked.add(key)
            self.fault(key, value, "this is not a whole number.", f"a whole number from {low} to {high}")
            return low
        return int(self.number(key, low, high, default))

    def length(self, key: str, low_mm: float, high_mm: float, default: float | None = None) -> float:
        """A length [mm] written as KEY_mm = 12.7 or KEY_in = 0.5 or KEY_in = "1/2"; low and high in mm."""
        in_mm, in_inch = key + "_mm", key + "_in"
        if in_inch not in self._table:
            self._asked.add(in_inch)
            return self.number(in_mm, low_mm, high_mm, default, "mm")
        value = self._take(in_inch)
        if in_mm in self._table:
            self.fault(in_mm, self._take(in_mm), f"{in_inch} says the same length: one of them must go.")
        inches = _inches(value)
        accepted = f'inches as a number or a fraction ("1-1/8"), from {low_mm / 25.4:.4g} to {high_mm / 25.4:.4g} in'
        if inches is None:
            self.fault(in_inch, value, "this is not a length in inches.", accepted)
            return low_mm
        millimetres = inches_to_mm(inches)
        if not low_mm <= millimetres <= high_mm:
            self.fault(in_inch, value, "out of range.", accepted)
            return low_mm
        return millimetres

    def maybe_length(self, key: str, low_mm: float, high_mm: float) -> float | None:
        """A length [mm], or None where neither KEY_mm nor KEY_in is there."""
        if self.has_length(key):
            return self.length(key, low_mm, high_mm)
        return None

    def lengths(self, key: str, low_mm: float, high_mm: float) -> tuple[float, ...]:
        """Lengths [mm], rising, written as a list under KEY_mm or KEY_in; none where neither is there."""
        for name in (key + "_mm", key + "_in"):
            if name in self._table:
                break
        else:
            self._asked.update((key + "_mm", key + "_in"))
            return ()
        value = self._take(name)
        accepted = f"a list of lengths from {low_mm:g} to {high_mm:g} mm, each longer than the one before"
        read = _inches if name.endswith("_in") else _millimetres
        found = [read(item) for item in value] if isinstance(value, list) else [None]
        scale = MM_PER_INCH if name.endswith("_in") else 1.0
        lengths = [round(item * scale, 10) for item in found if item is not None]
        rising = all(a < b for a, b in pairwise(lengths))
        if len(lengths) < len(found) or not rising or any(not low_mm <= item <= high_mm for item in lengths):
            self.fault(name, value, "these are not lengths in order.", accepted)
            return ()
        return tuple(lengths)

    def has_length(self, key: str) -> bool:
        """Whether KEY_mm or KEY_in stands in the table."""
        return key + "_mm" in self._table or key + "_in" in self._table

    def bore(self, key: str, low_mm: float = 1.0, high_mm: float = 100.0) -> Bore:
        """A round hole or section written as KEY_mm or KEY_in, or a hexagon as KEY_hex_mm or KEY_hex_in."""
        if self.has_length(key + "_hex"):
            if self.has_length(key):
                self.fault("", key, "both round and hexagonal: one of them must go.")
                self._asked.update((key + "_mm", key + "_in"))
            return Bore("hex", self.length(key + "_hex", low_mm, high_mm))
        return Bore("round", self.length(key, low_mm, high_mm))

    def text(self, key: str, choices: Sequence[str] = (), default: str | None = None) -> str:
        """A text, one of the choices where there are any."""
        accepted = ", ".join(choices) if choices else "a text"
        value = self._take(key)
        if value is None:
            if default is None:
                self.missing(key, accepted)
                return ""
            return default
        if not isinstance(value, str) or not value.strip():
            self.fault(key, value, "this is not a text.", accepted)
            return ""
        if choices and value not in choices:
            self.fault(key, value, "this is not one of the words known here.", accepted)
        return value

    def texts(self, key: str, choices: Sequence[str] = (), default: tuple[str, ...] | None = None) -> tuple[str, ...]:
        """A list of texts, each one of the choices where there are any."""
        accepted = "a list of texts" + (": " + ", ".join(choices) if choices else "")
        value = self._take(key)
        if value is None:
            if default is None:
                self.missing(key, accepted)
                return ()
            return default
        if not isinstance(value, list) or not all(isinstance(item, str) and item.strip() for item in value):
            self.fault(key, value, "this is not a list of texts.", accepted)
            return ()
        for item in value:
            if choices and item not in choices:
                self.fault(key, item, "this is not one of the words known here.", accepted)
        return tuple(value)

    def flag(self, key: str, default: bool) -> bool:
        """True or false."""
        value = self._take(key)
        if value is None:
            return default
        if not isinstance(value, bool):
            self.fault(key, value, "this is neither true nor false.", "true, false")
            return default
        return value

    def span(self, key: str, low: float, high: float, default: Span | None = None) -> Span:
        """A number, or a list of two: the least and the greatest."""
        value = self._table.get(key)
        if value is None and default is not None:
            self._asked.add(key)
            return default
        if not isinstance(value, list):
            single = self.number(key, low, high)
            return Span(single, single)
        self._asked.add(key)
        accepted = f"a number or [least, greatest], from {low:g} to {high:g}"
        numbers = [float(n) for n in value if isinstance(n, int | float) and not isinstance(n, bool)]
        if len(value) != 2 or len(numbers) != 2 or not low <= numbers[0] <= numbers[1] <= high:
            self.fault(key, value, "this is not a range in order and within limits.", accepted)
            return Span(low, low)
        return Span(numbers[0], numbers[1])

    def whole_numbers(self, key: str, low: int, high: int) -> tuple[int, ...]:
        """Whole numbers in order, written singly or as "17 to 40" or "42 to 72 by 2", one or a list of these."""
        accepted = f'whole numbers from {low} to {high}, singly or as "17 to 40" or "42 to 72 by 2"'
        value = self._take(key)
        if value is None:
            self.missing(key, accepted)
            return ()
        found: set[int] = set()
        for item in value if isinstance(value, list) else [value]:
            if isinstance(item, int) and not isinstance(item, bool):
                found.add(item)
            elif isinstance(item, str) and (match := re.fullmatch(r"(\d+) to (\d+)(?: by (\d+))?", item)):
                first, last, step = int(match[1]), int(match[2]), int(match[3] or 1)
                if step < 1 or last < first or last > high:
                    self.fault(key, item, "this range runs nowhere.", accepted)
                    return ()
                found.update(range(first, last + 1, step))
            else:
                self.fault(key, item, "these are not whole numbers.", accepted)
                return ()
        if not found or min(found) < low or max(found) > high:
            self.fault(key, value, "out of range.", accepted)
            return ()
        return tuple(sorted(found))

    def sub(self, key: str) -> Reader | None:
        """The table under a key, or None where it is missing or no table."""
        value = self._take(key)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.fault(key, value, "this is not a table.", "a table of keys")
            return None
        return Reader(value, (*self.path, key), self.faults)

    def subs(self, key: str) -> list[Reader]:
        """The tables in the list under a key; none where it is missing."""
        value = self._take(key)
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            self.fault(key, value, "this is not a list of tables.", f"[[...{key}]] blocks")
            return []
        return [Reader(item, (*self.path, key, place), self.faults) for place, item in enumerate(value)]

    def done(self, known_too: Iterable[str] = ()) -> None:
        """Report every key that nobody asked for, with the known one most like it."""
        self._asked.update(known_too)
        left = [key for key in self._table if key not in self._asked]
        if not left:
            return
        from difflib import get_close_matches

        known = sorted(self._asked)
        for key in left:
            near = get_close_matches(key, known, n=1)
            hint = f" Did you mean {near[0]!r}?" if near else ""
            self.fault(key, self._table[key], "this key is not known here." + hint, ", ".join(near or known))


def _millimetres(value: Value) -> float | None:
    """A finite number as a float; None for anything else."""
    if isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value):
        return float(value)
    return None


def _inches(value: Value) -> float | None:
    """Inches as a float: a number, or a text "5/16" or "1-1/8". None for anything else."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value) if math.isfinite(value) else None
    if isinstance(value, str) and (match := _FRACTION.fullmatch(value.strip())) and int(match[3]):
        return int(match[1] or 0) + int(match[2]) / int(match[3])
    return None
