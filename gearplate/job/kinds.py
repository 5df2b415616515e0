"""What one value of a job file may be: a length, an angle, a count, a word ... each with its range and its words.

A kind turns a value as it stands in the file into the value used inside (mm, radians, exact fractions), or refuses
it in words. It is put on the keys of the tables (`gearplate.job.model`) with `Annotated`.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from gearplate.units import UnreadableValue, ratio

MOST_ITEMS = 100  # of any list in a job: so that no job takes for ever


class Refused(ValueError):
    """A value that is not accepted: what is wrong with it, and what would be accepted.

    `no_units`: what is wrong with it where no file of the job names its units. `in_inches`: then it would be accepted
    if bare numbers were inches.
    """

    def __init__(self, message: str, accepted: str, no_units: str = "", in_inches: bool = False) -> None:
        self.message = message
        self.accepted = accepted
        self.no_units = no_units
        self.in_inches = in_inches
        super().__init__(message)

    def told(self, before: str, accepted: str) -> Refused:
        """The same of one entry of a list: with words before it, and what the list accepts."""
        no_units = self.no_units and before + self.no_units
        return Refused(before + self.message, accepted, no_units, self.in_inches)


class Kind:
    """Base of all kinds; they do not change once made, and are no dataclasses, which take longer to make than a job
    takes to read. `read` returns the value used inside or raises Refused; `schema` is its JSON Schema."""

    def read(self, value: object) -> Any:
        raise NotImplementedError

    def schema(self) -> dict[str, Any]:
        raise NotImplementedError

    def read_with(self, value: object, catalog: Any) -> Any:
        """As `read`, for kinds that look a name up in the tables of profiles."""
        return self.read(value)


def is_number(value: object) -> bool:
    """Whether the value is a TOML number (true and false are not)."""
    return isinstance(value, int | float) and not isinstance(value, bool)


class Ratio(Kind):
    """An exact ratio from `low` to `high`, as a number or text: 10.5, "10.5", "10.5:1", "41/2"."""

    def __init__(self, low: Fraction, high: Fraction, zero: bool = False) -> None:
        self.low, self.high, self.zero = low, high, zero

    @property
    def accepted(self) -> str:
        return f'a number from {short(float(self.low))} to {short(float(self.high))}, or text such as "10.5" or "41/2"'

    def read(self, value: object) -> Fraction:
        if self.zero and is_number(value) and value == 0:
            return Fraction(0)
        try:
            size = ratio(value)
        except UnreadableValue as error:
            raise Refused(error.message, self.accepted) from None
        if not self.low <= size <= self.high:
            raise Refused("Out of range.", self.accepted)
        return size

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [{"type": "number", "minimum": 0}, {"type": "string"}]}


class Count(Kind):
    """A whole number from `low` to `high`."""

    def __init__(self, low: int, high: int) -> None:
        self.low, self.high = low, high

    @property
    def accepted(self) -> str:
        return f"a whole number from {self.low} to {self.high}"

    def read(self, value: object) -> int:
        if not isinstance(value, int) or isinstance(value, bool):
            raise Refused(f"This is not a whole number{_unquoted(value)}.", self.accepted)
        if not self.low <= value <= self.high:
            raise Refused("Out of range.", self.accepted)
        return int(value)

    def schema(self) -> dict[str, Any]:
        return {"type": "integer", "minimum": self.low, "maximum": self.high}


class Number(Kind):
    """A plain number from `low` to `high`; `unit` is told in messages."""

    def __init__(self, low: float, high: float, unit: str = "") -> None:
        self.low, self.high, self.unit = low, high, unit

    @property
    def accepted(self) -> str:
        return f"a number from {short(self.low)} to {short(self.high)} {self.unit}".rstrip()

    def read(self, value: object) -> float:
        if not isinstance(value, int | float) or isinstance(value, bool):
            raise Refused(f"This is not a number{_unquoted(value)}.", self.accepted)
        if not self.low <= value <= self.high:
            finite = isinstance(value, int) or math.isfinite(value)
            raise Refused("Out of range." if finite else "This is not a finite number.", self.accepted)
        return float(value)

    def schema(self) -> dict[str, Any]:
        return {"type": "number", "minimum": self.low, "maximum": self.high}


def _unquoted(value: object) -> str:
    """What to say of a number that stands in quotes."""
    if not isinstance(value, str) or not re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,9})?", value.strip()):
        return ""
    return f": write {value.strip()} without quotes"


class NumberOf(Kind):
    """One of a few numbers."""

    def __init__(self, choices: tuple[float, ...]) -> None:
        self.choices = choices

    @property
    def accepted(self) -> str:
        return " or ".join(short(choice) for choice in self.choices)

    def read(self, value: object) -> float:
        if not isinstance(value, int | float) or isinstance(value, bool) or value not in self.choices:
            raise Refused("This is not one of the values known here.", self.accepted)
        return float(value)

    def schema(self) -> dict[str, Any]:
        return {"enum": list(self.choices)}


class WordOf(Kind):
    """One of a few words. `also` names words that people write for them, each with the word that is meant."""

    def __init__(self, choices: tuple[str, ...], also: Mapping[str, str] | None = None) -> None:
        self.choices = choices
        self.also = also or {}

    @property
    def accepted(self) -> str:
        return " or ".join(f'"{choice}"' for choice in self.choices)

    def read(self, value: object) -> str:
        if not isinstance(value, str):
            raise Refused("This is not a word in quotes.", self.accepted)
        if value not in self.choices:
            meant = self.also.get(value.casefold().strip())
            near = f' Did you mean "{meant}"?' if meant else near_text(value, self.choices)
            raise Refused("This word is not known here." + near, self.accepted)
        return value

    def schema(self) -> dict[str, Any]:
        return {"enum": list(self.choices)}


class Flag(Kind):
    """True or false."""

    accepted = "true or false"

    def read(self, value: object) -> bool:
        if not isinstance(value, bool):
            raise Refused("This is neither true nor false.", self.accepted)
        return value

    def schema(self) -> dict[str, Any]:
        return {"type": "boolean"}


class Text(Kind):
    """Text of one line that can be printed and etched, at most `longest` characters."""

    def __init__(self, longest: int, empty: bool = False) -> None:
        self.longest, self.empty = longest, empty

    @property
    def accepted(self) -> str:
        return f"text in quotes of {'' if self.empty else '1 to '}at most {self.longest} printable characters"

    def read(self, value: object) -> str:
        if not isinstance(value, str):
            raise Refused("This is not text in quotes.", self.accepted)
        if not value.strip() and not (self.empty and not value):
            raise Refused("The text is empty.", self.accepted)
        if len(value) > self.longest:
            raise Refused(f"This is {len(value)} characters long.", self.accepted)
        for character in value:
            if unicodedata.category(character) in ("Cc", "Cs", "Zl", "Zp") or character in _TURNS_TEXT:
                raise Refused(f"U+{ord(character):04X} is a control character.", self.accepted)
        return value

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "minLength": 0 if self.empty else 1, "maxLength": self.longest}


# Marks that turn the direction of the text after them: a name could read as another one.
_TURNS_TEXT = "\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"


# Tables of the catalogue -> what one row is called in messages.
PROFILE_WORDS = {
    "motors": "motor",
    "bearings": "bearing",
    "fasteners": "screw",
    "shafts": "shaft stock",
    "retainers": "ring or collar",
    "chain": "chain",
    "materials": "material",
    "cutters": "cutter",
}


class Profile(Kind):
    """The name of a row in one of the tables of profiles; only `read_with` looks it up."""

    def __init__(self, table: str) -> None:
        self.table = table

    @property
    def accepted(self) -> str:
        return f"the name of a {PROFILE_WORDS[self.table]} in quotes (list them with: gearplate profiles {self.table})"

    def read_with(self, value: object, catalog: Any) -> str:
        """The name as it is written, or Refused with the nearest names that the table has."""
        word = PROFILE_WORDS[self.table]
        accepted = self.accepted
        if not isinstance(value, str):
            raise Refused("This is not a name in quotes.", accepted)
        from gearplate.catalog import UnknownProfile

        find = {"motors": catalog.motor, "bearings": catalog.bearing, "fasteners": catalog.fastener}
        find |= {
            "shafts": catalog.shaft,
            "retainers": catalog.retainer,
            "chain": catalog.chain_row,
            "materials": catalog.material,
            "cutters": catalog.cutter,
        }
        try:
            find[self.table](value[:100])
        except UnknownProfile as unknown:
            near = f' Did you mean "{unknown.near[0]}"?' if unknown.near else ""
            shown = unknown.near or unknown.known[:8]
            names = ", ".join(f'"{name}"' for name in shown)
            more = f" and others (gearplate profiles {self.table})" if len(unknown.known) > len(shown) else ""
            raise Refused(f"There is no such {word}.{near}{_other_form(self.table, value)}", names + more) from None
        return value

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "minLength": 1}


def _other_form(table: str, value: str) -> str:
    """In words, why a shaft that is neither round nor hexagonal cannot be named."""
    if table == "shafts" and re.search(r"square|spline|key|octag|d-?shaft|flat|profile|thread|tube", value.lower()):
        return " Only round and hexagonal shafts are known: square, splined, keyed and other forms are out of scope."
    return ""


class _Pattern(Kind):
    """A name of a fixed form."""

    pattern: str
    accepted: str

    def read(self, value: object) -> str:
        if not isinstance(value, str) or not re.fullmatch(self.pattern, value):
            raise Refused("This cannot be a name here.", self.accepted)
        return value

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "pattern": f"^{self.pattern}$"}


class HoleName(_Pattern):
    """The name of a hole or keep-out: it stands in the record, in pictures and in `--set` keys."""

    pattern = "[A-Za-z][A-Za-z0-9_-]{0,39}"
    accepted = "1 to 40 letters, digits, - and _, the first a letter"


class ShaftName(_Pattern):
    """The name of a shaft or motor. Whether the job has it is looked at when its train is known."""

    pattern = "output|[SIM][1-9][0-9]?"
    accepted = '"output", "S1", "S2", ... (intermediate), "I1", ... (idlers) or "M1", ... (motors)'


class ListOf(Kind):
    """A list of values of one kind, at most 100; `single`: one value without brackets is a list of it."""

    def __init__(self, item: Kind, what: str, least: int = 1, single: bool = False, distinct: bool = False) -> None:
        self.item, self.what = item, what
        self.least, self.single, self.distinct = least, single, distinct

    @property
    def accepted(self) -> str:
        return f"a list of {self.least} to {MOST_ITEMS} {self.what}" + (", or one of them" if self.single else "")

    def read(self, value: object) -> tuple[Any, ...]:
        if self.single and not isinstance(value, list):
            return (self.item.read(value),)
        if not isinstance(value, list):
            raise Refused("This is not a list.", self.accepted)
        if not self.least <= len(value) <= MOST_ITEMS:
            raise Refused(f"This list has {len(value)} entries.", self.accepted)
        items = []
        for index, entry in enumerate(value):
            try:
                items.append(self.item.read(entry))
            except Refused as refused:
                raise refused.told(f"Entry {index + 1}: ", refused.accepted) from None
        if self.distinct and len(set(items)) < len(items):
            raise Refused("An entry stands there twice.", self.accepted)
        return tuple(items)

    def schema(self) -> dict[str, Any]:
        many = {"type": "array", "items": self.item.schema(), "minItems": self.least, "maxItems": MOST_ITEMS}
        return {"anyOf": [self.item.schema(), many]} if self.single else many


def near_word(word: str, known: Iterable[str]) -> str | None:
    """The known word that is most like this one, if any is near."""
    from difflib import get_close_matches

    by_lower = {name.lower(): name for name in known}
    near = get_close_matches(word[:60].lower(), by_lower, n=1, cutoff=0.55)
    return by_lower[near[0]] if near else None


def near_text(word: str, known: Iterable[str]) -> str:
    """' Did you mean "teeth"?' where a known word is near, else nothing."""
    near = near_word(word, known)
    return "" if near is None else f' Did you mean "{near}"?'


def short(value: float) -> str:
    text = f"{value:.4g}"
    return text if "e" not in text else f"{value:.0f}" if abs(value) < 1e9 else text
