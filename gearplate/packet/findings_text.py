"""A finding in four parts: which, the gap there is, the gap it needs and why, a change that works."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from typing import Any

from gearplate.packet.characters import harmless
from gearplate.packet.sizes import quantity

LONGEST_MESSAGE = 1200  # that of a job without a place tells its reasons

COUNTED = {
    "motor-service": "screw out of reach|screws out of reach",
    "bearing-support": "support|supports",
    "bearing-count": "tight bearing in a line|tight bearings in a line",
}
"""What a bare number of these checks counts: one of it, several."""

STANDING_WORDS = {"geometry": "geometry: it cannot be otherwise"}


def which(finding: dict[str, Any]) -> str:
    """What is wrong, in the words of the check."""
    return harmless(finding["message"], LONGEST_MESSAGE)


def there_is(finding: dict[str, Any]) -> str | None:
    """What was measured, with its unit; None where the check measures nothing."""
    return None if finding["measured"] is None else _quantity(finding["measured"], finding)


def _quantity(value: float, finding: dict[str, Any]) -> str:
    """With its unit, or with the word for what is counted."""
    one, _, several = COUNTED.get(finding["check"], "").partition("|")
    return quantity(value, finding["unit"] or (one if value == 1 else several))


def gap_words(finding: dict[str, Any]) -> str:
    """ "there is 0.412 mm", "there are 2 screws out of reach"; empty where the check measures nothing."""
    text = there_is(finding)
    if text is None:
        return ""
    several = not finding["unit"] and finding["check"] in COUNTED and finding["measured"] != 1
    return f"there {'are' if several else 'is'} {text}"


def it_needs(finding: dict[str, Any]) -> str | None:
    """The limit, from which side it holds, and where it comes from; None where there is none.

    A finding stands on the wrong side of its limit: with less than the limit it is a least, with more a greatest.
    """
    limit, measured, standing = finding["limit"], finding["measured"], finding["standing"]
    if limit is None:
        return None
    side = "" if measured is None or measured == limit else "at least " if measured < limit else "at most "
    return f"{side}{_quantity(limit, finding)} ({STANDING_WORDS.get(standing, standing)})"


def works(finding: dict[str, Any]) -> str | None:
    """The remedy: what to set in the job, and whether the tool has built it so."""
    remedy = finding["remedy"]
    if remedy is None:
        return None
    text = harmless(remedy["text"], LONGEST_MESSAGE)
    said = [f"{harmless(key)} = {toml_value(value)}" for key, value in remedy["set"].items() if value is not None]
    gone = [harmless(key) for key, value in remedy["set"].items() if value is None]
    if said:
        text += f" Set {', '.join(said)}{_about(remedy['set'])}."
    if gone:
        text += f" Take {', '.join(gone)} out of the job."
    if not remedy["set"]:
        return text  # words: there is nothing that could have been tried
    return text + (" (tried: this finding goes, and no new error comes)" if remedy["tried"] else " (not tried)")


def _about(keys: Iterable[str]) -> str:
    """What a key does not say by itself: which stage `stages[0]` is where people count from 1, and where a motor that
    a table means together with others is written."""
    stages = sorted({int(found[1]) for key in keys if (found := re.match(r"stages\[(\d+)\]", key))})
    notes = [f"stages[{index}] is stage {index + 1}" for index in stages]
    motors = sorted({found[1] for key in keys if (found := re.match(r"motors\.(M\d)\.", key))})
    if motors:
        needs = "needs a [[motors]] table" if len(motors) == 1 else "need [[motors]] tables"
        own = "its" if len(motors) == 1 else "their"
        as_it_stands = "it as it stands" if len(motors) == 1 else "them as they stand"
        notes.append(f"in the file, {' and '.join(motors)} {needs} of {own} own; --set takes {as_it_stands}")
    return f" ({'; '.join(notes)})" if notes else ""


def toml_value(value: object) -> str:
    """A value as it would stand in a job file."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{harmless(key)} = {toml_value(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(toml_value(item) for item in value) + "]"
    if isinstance(value, str):
        return json.dumps(harmless(value), ensure_ascii=False)
    return json.dumps(value)


def where(finding: dict[str, Any]) -> str:
    """Which plate, shafts and features, as a short list; empty where the finding stands for the whole."""
    place = finding["where"]
    parts = [*(place["shafts"] or []), *(place["features"] or [])]
    if place["plate"]:
        parts.append(f"{place['plate']} plate")
    return ", ".join(harmless(part, 40) for part in parts)
