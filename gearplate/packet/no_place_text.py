"""Why there is no place for the shafts, item by item; from the record alone."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from gearplate.packet.characters import harmless
from gearplate.packet.findings_text import toml_value
from gearplate.packet.sizes import both, unit_of

LONGEST = 1200
ROUNDING_MM = 0.0013  # half of the last decimal of an inch: what is printed stays inside what is proven
_OUTCOMES = {
    "place": "a place was found",
    "tight": "a place was found, with less than every clearance",
    "nothing": "no place was found",
}


def no_place_lines(record: dict[str, Any]) -> Iterator[str]:
    """The proof, each thing that cannot hold together with the others, each figure, each change that was tried."""
    none = record.get("no_place")
    if none is None:
        return
    yield f"{harmless(none['says'][0], LONGEST)} (The work of at least {none['boxes']:,} boxes of angles.)"
    if none["needed"]:
        which = " (leave out any one, and the others can)" if none["irreducible"] else ""
        yield f"What cannot hold together{which}:"
    for one in none["needed"]:
        proof = "" if one["needed"] else ": not proven to be needed for it"
        yield f"  {harmless(one['words'], LONGEST)}{proof}"
    for text in none["says"][1:]:
        yield harmless(text, LONGEST)
    for ease in none["eases"]:
        little = ease["too_little_mm"]
        if little is not None and ease["enough_mm"] is not None and not ease["key"].endswith(".box"):
            little += math.copysign(ROUNDING_MM, ease["was_mm"] - little)
            size = both(little, unit_of(record))
            what = f"Motors of {size} across" if ease["key"] == "motors" else f"{harmless(ease['key'])} = {size}"
            yield f"  {what}: proven not to do."
    if none["cures"]:
        yield "What was looked at:"
    for cure in none["cures"]:
        outcome = _OUTCOMES[cure["outcome"]]
        if cure["outcome"] != "nothing":
            said = ", ".join(f"{harmless(key)} = {toml_value(value)}" for key, value in cure["set"].items())
            outcome += f" ({said})"
        yield f"  {harmless(cure['text'], LONGEST).rstrip('.')}: {outcome}{'; it was built' if cure['built'] else ''}"
