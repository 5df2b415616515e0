"""What `gearplate trains` takes on its command line, read into an ask."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, TypeVar

from gearplate.errors import UsageError

if TYPE_CHECKING:
    from gearplate.studies.train_ask import TrainAsk

T = TypeVar("T")
_MOST_TEETH = 500  # as a job file allows


def exact(text: str, option: str) -> Fraction:
    """A number without rounding: 10.5, 41/2, 10.5:1. Raises UsageError."""
    plain = text.strip().removesuffix(":1")
    if not re.fullmatch(r"[0-9]{1,12}(\.[0-9]{1,12})?(/[0-9]{1,12})?|[0-9]{1,12}(\.[0-9]{1,12})?%", plain):
        raise UsageError(f"{option} {text}: a number such as 10.5 or 41/2 is wanted")
    part, slash, under = plain.removesuffix("%").partition("/")
    if slash and not Fraction(under):
        raise UsageError(f"{option} {text}: there is nothing to divide by")
    number = Fraction(part) / (Fraction(under) if slash else 1)
    return number / 100 if plain.endswith("%") else number


def counts(text: str, option: str) -> tuple[int, ...]:
    """Tooth counts: 18, 24-30, 60. Raises UsageError."""
    found: list[int] = []
    for part in text.split(","):
        match = re.fullmatch(r"\s*([0-9]{1,4})\s*(?:-\s*([0-9]{1,4})\s*)?", part)
        low = int(match[1]) if match else 0
        high = int(match[2] or low) if match else 0
        if not 6 <= low <= high <= _MOST_TEETH:
            raise UsageError(f"{option} {text}: tooth counts from 6 to {_MOST_TEETH} are wanted, such as 18,24-30,60")
        found += range(low, high + 1)
    return tuple(dict.fromkeys(found))


def by_stage(texts: Sequence[str], option: str, read: Callable[[str, str], T]) -> dict[int, T]:
    """Values for one stage (2=...) or for all (...), by stage; 0 is all. Raises UsageError."""
    found: dict[int, T] = {}
    for text in texts:
        match = re.fullmatch(r"\s*(?:([0-9]+)\s*=)?(.*)", text)
        assert match is not None
        stage = int(match[1] or 0)
        if match[1] is not None and not 1 <= stage <= 4:
            raise UsageError(f"{option} {text}: stages are numbered from 1 to 4")
        if stage in found:
            raise UsageError(f"{option} {text}: this stage was given before")
        found[stage] = read(match[2], option)
    return found


def tooth_size(text: str, option: str) -> tuple[str, float]:
    """dp24 or m1.5 as ("diametral_pitch", 24) or ("module", 1.5). Raises UsageError."""
    match = re.fullmatch(r"\s*(dp|m)\s*([0-9]{1,4}(?:\.[0-9]{1,6})?)\s*", text.lower())
    size = float(match[2]) if match else 0.0
    low, high = (4, 128) if match and match[1] == "dp" else (0.2, 6.35)
    if match is None or not low <= size <= high:
        raise UsageError(f"{option} {text}: dp4 to dp128 (teeth per inch) or m0.2 to m6.35 (module in mm) is wanted")
    return ("diametral_pitch" if match[1] == "dp" else "module"), size


def module_of(size: tuple[str, float]) -> float:
    """The module of a tooth size, mm."""
    from gearplate.catalog.reading import MM_PER_INCH

    return MM_PER_INCH / size[1] if size[0] == "diametral_pitch" else size[1]


def speeds(text: str) -> tuple[Fraction, Fraction]:
    """Two output speeds: 400-500. Raises UsageError."""
    slow, dash, fast = text.partition("-")
    if not dash:
        raise UsageError(f"--rpm {text}: the slowest and the fastest are wanted, such as 400-500")
    return exact(slow, "--rpm"), exact(fast, "--rpm")


def ask_of(
    ratio: str | None,
    within: str | None,
    low: str | None,
    high: str | None,
    rpm: str | None,
    stages: Sequence[int],
    pinions: str | None,
    drivers: Sequence[str],
    driven: Sequence[str],
    sizes: dict[int, tuple[str, float]],
    idlers: Sequence[str],
    on_hand: str | None,
    in_order: bool,
) -> TrainAsk:
    """The ask of a command line. Raises UsageError."""
    from gearplate.studies.train_ask import TrainAsk

    def number(text: str | None, option: str) -> Fraction | None:
        return None if text is None else exact(text, option)

    return TrainAsk(
        ratio=number(ratio, "--ratio"),
        within=number(within, "--within"),
        low=number(low, "--from"),
        high=number(high, "--to"),
        output_rpm=None if rpm is None else speeds(rpm),
        stage_counts=tuple(sorted(set(stages))),
        pinions=() if pinions is None else counts(pinions, "--pinions"),
        drivers=by_stage(drivers, "--drivers", counts),
        driven=by_stage(driven, "--driven", counts),
        modules={stage: module_of(size) for stage, size in sizes.items()},
        idlers=by_stage(idlers, "--idler", counts),
        on_hand=() if on_hand is None else counts(on_hand, "--on-hand"),
        in_order=in_order,
    )
