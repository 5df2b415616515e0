"""Units at the edges: text and bare numbers in, millimetres and radians inside, text for people out.

Our own reader on exact fractions, because an ambiguous size that is read wrongly is cut wrongly: general unit
libraries read "3 1/4 in" as 0.75 in and "82,55 mm" as 8255 mm without an error. Whatever can be read in two
ways is refused here, in words that say what is accepted.

The inch is 25.4 mm by definition (international yard and pound agreement, 1959).
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Literal

Unit = Literal["inch", "mm"]

MM_PER_INCH = Fraction(254, 10)

_MM_PER: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "um": Fraction(1, 1000),
    "µm": Fraction(1, 1000),
    "μm": Fraction(1, 1000),
    "in": MM_PER_INCH,
    "inch": MM_PER_INCH,
    "inches": MM_PER_INCH,
    '"': MM_PER_INCH,
    "″": MM_PER_INCH,
    "”": MM_PER_INCH,
    "thou": MM_PER_INCH / 1000,
    "mil": MM_PER_INCH / 1000,
    "mils": MM_PER_INCH / 1000,
}
_DEGREE_NAMES = ("deg", "degree", "degrees", "°")

_LENGTHS = 'a number, or text with a unit such as "6 mm", "0.25 in", "3 1/4 in", "1/4\\"", "2.5 cm", "10 thou"'
_ANGLES = 'a number in degrees, or text such as "30 deg", "22 1/2 deg", "30°" or "0.5 rad"'
_RATIOS = 'a number such as 10.5, or text such as "10.5", "10.5:1" or "41/2"'

# Bounds that no part of a gearbox comes near; they keep every later sum finite.
_LONGEST_MM = 100_000
_LARGEST_ANGLE_DEG = 360
_LARGEST_RATIO = 1_000_000
_LONGEST_TEXT = 40

# Patterns as text: `re` compiles each at its first use, which a command that reads no length never pays.
_NUMBER = r"([+-]?)(?:([0-9]+\.?[0-9]*|\.[0-9]+)|(?:([0-9]+)(?: +|-))?([0-9]+) ?/ ?([0-9]+))"
_TRAILING_UNIT = r"(?s)(.*?)\s*([A-Za-zµμ]+\.?|[\"″”'’′°]+)?"


class UnreadableValue(ValueError):
    """A value that cannot be read, or can be read in two ways.

    `message` says what is wrong, `accepted` what is accepted; the text of the error holds both.
    """

    def __init__(self, message: str, accepted: str) -> None:
        self.message = message
        self.accepted = accepted
        super().__init__(f"{message} Accepted: {accepted}.")


def length_mm(value: object, default_unit: Unit) -> float:
    """The length in mm, as the float nearest to the exact value.

    A bare number is in `default_unit`; text names its own unit. Raises UnreadableValue (a ValueError).
    """
    return float(exact_length_mm(value, default_unit))


def other_unit(text: str) -> str | None:
    """The same number in inches where the text says mm, and in mm where it says inches: a likely slip. None where the
    unit is another, or the number then is too long to be read."""
    number, unit = _split(text, _LENGTHS)
    size = _MM_PER.get(unit)
    other = "in" if size == 1 else "mm" if size == MM_PER_INCH else None
    if other is None or abs(_number(number, _LENGTHS) * _MM_PER[other]) > _LONGEST_MM:
        return None
    return f"{number} {other}"


def exact_length_mm(value: object, default_unit: Unit) -> Fraction:
    """The length in mm, exactly: a bare 0.1 means one tenth, not the binary number nearest to it.

    Raises UnreadableValue for anything without one clear meaning.
    """
    if isinstance(value, str):
        number, unit = _split(value, _LENGTHS)
        size = _text_length_mm(number, unit, default_unit)
    else:
        size = _plain(value, "length", _LENGTHS) * (MM_PER_INCH if default_unit == "inch" else 1)
    if abs(size) > _LONGEST_MM:
        raise UnreadableValue("This is longer than 100 m.", _LENGTHS)
    return size


def angle_rad(value: object) -> float:
    """The angle in radians. A bare number is in degrees; text names its unit (deg, ° or rad).

    Raises UnreadableValue for anything else, and beyond one full turn either way.
    """
    if isinstance(value, str):
        number, unit = _split(value, _ANGLES)
        size = _number(number, _ANGLES)
        if unit == "rad":
            angle = float(size) if abs(size) < 1000 else math.inf
        elif unit in _DEGREE_NAMES:
            angle = _radians(size)
        elif not unit:
            raise UnreadableValue('An angle in quotes needs its unit: "deg" or "rad".', _ANGLES)
        else:
            raise UnreadableValue(f"{unit!r} is not a unit of angle here.", _ANGLES)
    else:
        angle = _radians(_plain(value, "angle", _ANGLES))
    if abs(angle) > 2 * math.pi:
        raise UnreadableValue("This is more than a full turn.", _ANGLES + ", from -360 to 360 degrees")
    return angle


def ratio(value: object) -> Fraction:
    """A ratio of speeds or tooth counts, exact, above zero: 10.5, "10.5", "10.5:1" and "21/2" are the same.

    "1:10.5" is refused: some write a reduction so, others a step up. Raises UnreadableValue.
    """
    if isinstance(value, str):
        left, colon, right = (part.strip() for part in _short(value, _RATIOS).partition(":"))
        size = _number(left, _RATIOS)
        if colon:
            second = _number(right, _RATIOS)
            if size <= 0 or second <= 0:
                raise UnreadableValue("A ratio is above zero.", _RATIOS)
            if size < second:
                raise UnreadableValue(
                    f"{value.strip()!r} can mean a reduction or a step up: "
                    f"write '{right}:{left}' for a reduction, or a single number below 1 for a step up.",
                    _RATIOS,
                )
            size /= second
    else:
        size = _plain(value, "ratio", _RATIOS)
    if size <= 0:
        raise UnreadableValue("A ratio is above zero.", _RATIOS)
    if not Fraction(1, _LARGEST_RATIO) <= size <= _LARGEST_RATIO:
        raise UnreadableValue("This number is not between one millionth and one million.", _RATIOS)
    return size


def in_unit(mm: float, unit: Unit) -> float:
    """A length of `mm` millimetres as a number in `unit`."""
    return mm / 25.4 if unit == "inch" else mm


def module_mm_from_diametral_pitch(teeth_per_inch: float) -> float:
    """The module in mm of gears of that diametral pitch (teeth per inch of reference diameter; AGMA 1012)."""
    return 25.4 / teeth_per_inch


def format_length(mm: float, unit: Unit) -> str:
    """ "53.340 mm" or "2.1000 in": to a micrometre, or to a tenth of a thou. Never "-0.000"."""
    return f"{_fixed(mm / 25.4, 4)} in" if unit == "inch" else f"{_fixed(mm, 3)} mm"


def both_units(mm: float, first: Unit = "mm") -> str:
    """ "53.340 mm (2.1000 in)", or the other way round with `first="inch"`."""
    second: Unit = "inch" if first == "mm" else "mm"
    return f"{format_length(mm, first)} ({format_length(mm, second)})"


def _fixed(value: float, decimals: int) -> str:
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a length that can be shown")
    text = f"{value:.{decimals}f}"
    return text.removeprefix("-") if float(text) == 0 else text


def _radians(degrees: Fraction) -> float:
    # The bound comes first: a huge fraction does not fit a float.
    return math.radians(degrees) if abs(degrees) <= _LARGEST_ANGLE_DEG else math.inf


def _plain(value: object, what: str, accepted: str) -> Fraction:
    """A bare number as the exact decimal that its writer saw."""
    if isinstance(value, bool) or not isinstance(value, int | float | Fraction):
        raise UnreadableValue(f"This is not a {what}.", accepted)
    if isinstance(value, float):
        if not math.isfinite(value):
            raise UnreadableValue("This is not a finite number.", accepted)
        # float.__repr__ rather than repr: numpy's floats write their type's name around the number.
        return Fraction(float.__repr__(value))
    return Fraction(value)


def _short(text: str, accepted: str) -> str:
    text = text.strip().replace("−", "-")
    if not text:
        raise UnreadableValue("The text is empty.", accepted)
    if len(text) > _LONGEST_TEXT:
        raise UnreadableValue(f"This is longer than {_LONGEST_TEXT} characters.", accepted)
    return text


def _split(text: str, accepted: str) -> tuple[str, str]:
    """The number, and the unit at its end in lower case and without a full stop ("" where there is none)."""
    match = re.fullmatch(_TRAILING_UNIT, _short(text, accepted))
    assert match is not None  # the first group takes whatever there is
    return match[1], (match[2] or "").lower().removesuffix(".")


def _text_length_mm(number: str, unit: str, default_unit: Unit) -> Fraction:
    if unit in ("'", "’", "′", "ft", "foot", "feet"):
        raise UnreadableValue("Feet are not read here (and ' is also used for minutes): write inches.", _LENGTHS)
    if unit and unit not in _MM_PER:
        raise UnreadableValue(f"{unit!r} is not a unit of length here.", _LENGTHS)
    size = _number(number, _LENGTHS)
    if not unit:
        name = "in" if default_unit == "inch" else "mm"
        raise UnreadableValue(f'A length in quotes needs its unit, such as "{number} {name}".', _LENGTHS)
    return size * _MM_PER[unit]


def _number(text: str, accepted: str) -> Fraction:
    """A decimal ("0.25"), a fraction ("1/4") or a mixed number ("3 1/4", "3-1/4"), with or without a sign."""
    if "," in text:
        raise UnreadableValue(
            "A comma can be a decimal mark or a thousands mark: write a full stop, as in 82.55.", accepted
        )
    match = re.fullmatch(_NUMBER, text)
    if match is None:
        raise UnreadableValue(f"{text!r} is not one number." if text else "The number is missing.", accepted)
    sign, decimal, whole, top, bottom = match.groups()
    if decimal is not None:
        size = Fraction(decimal.removesuffix("."))
    elif int(bottom) == 0:
        raise UnreadableValue("A fraction cannot be over 0.", accepted)
    elif whole is not None and int(top) >= int(bottom):
        raise UnreadableValue(f"{text!r}: the fraction after a whole number stays under 1.", accepted)
    else:
        size = int(whole or 0) + Fraction(int(top), int(bottom))
    return -size if sign == "-" else size
