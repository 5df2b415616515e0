"""Cautions where work with these files can hurt: what the sheet's profile says, the beam, the turning gearbox.

Sources of the general lines: University guides to laser cutters (watch the whole job, extraction first, a flame that
stays is a fire), 29 CFR 1910.212 and 1910.219 (guards on nip points and gears), common practice in shops for the rest.
None of it replaces the machine's manual, local rules or the shop's trained operator, and the last line says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from gearplate.packet.characters import harmless


@dataclass(frozen=True, slots=True)
class Caution:
    """What it is about in a word or two, what to mind in full, and the same in one short line."""

    topic: str
    text: str
    short: str


DEFERENCE = "The cutter's manual, your local codes and the shop's trained operator come before anything said here."

_BEAM = (
    Caution(
        "fire",
        "One trained person watches the whole cut, with an extinguisher within reach. A flame that stays after the "
        "beam has moved on is a fire: stop the job. Stay near for some minutes afterwards.",
        "one trained person watches the whole cut; a flame that stays is a fire: stop",
    ),
    Caution(
        "fumes",
        "Extraction runs before the first cut, and the lid stays shut until the air is clear. If eyes or throat "
        "sting: stop and leave the room to the extraction. No label or data sheet on the stock: no cut.",
        "extraction on before the first cut, lid shut until the air is clear",
    ),
)
_CHIPS = (
    Caution(
        "cutting",
        "Clamp sheet and parts so that nothing lifts or flies; guards shut, eye protection on.",
        "clamp sheet and parts so that nothing lifts or flies; guards shut",
    ),
)
_GEARBOX = (
    Caution(
        "pinch points",
        "Gears draw in fingers, hair, sleeves and gloves. Put a guard on before the robot is driven among people, "
        "and keep hands out while the battery is connected.",
        "gears draw in fingers, hair and sleeves: guard on, hands out while powered",
    ),
    Caution(
        "first spin",
        "Turn the whole train by hand first: a tight spot is a wrong bore, it will not wear in. Then the robot on "
        "blocks with its wheels free, safety glasses on, someone at the switch, low voltage for a few seconds.",
        "by hand, then on blocks with the wheels free, low voltage, someone at the switch",
    ),
)


def cautions(record: dict[str, Any]) -> tuple[Caution, ...]:
    """The cautions for this build, the sheet's own first. `DEFERENCE` belongs beside them."""
    return (*cutting_cautions(record), *_GEARBOX)


def cutting_cautions(record: dict[str, Any]) -> tuple[Caution, ...]:
    """Those for whoever cuts: sheet, then machine. Where no cutter is known, those for a beam."""
    process = record["shop"]["process"]
    return (*sheet_cautions(record), *(_BEAM if process is None or "laser" in process else _CHIPS))


def sheet_cautions(record: dict[str, Any]) -> tuple[Caution, ...]:
    """What the profiles of the materials say, each family once."""
    said: dict[str, list[str]] = {}
    for material in record["shop"]["materials"]:
        texts = said.setdefault(material["family"], [])
        texts += [text for text in material["cautions"] if text not in texts]
    return tuple(
        Caution(harmless(family), " ".join(harmless(text, 200) for text in texts), _as_part(harmless(texts[0], 200)))
        for family, texts in said.items()
        if texts
    )


def _as_part(text: str) -> str:
    """A sentence as it stands after a colon: small at its start, unless that is a name such as PVC; no full stop."""
    first = text[:1].lower() if text[1:2].islower() else text[:1]
    return f"{first}{text[1:]}".removesuffix(".")
