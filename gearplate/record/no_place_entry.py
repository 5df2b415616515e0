"""Why there is no layout, as the record tells it: the proof, what cannot hold together, and what would mend it."""

from __future__ import annotations

import math
from typing import Any

from gearplate.job.no_place import Cure, NoPlace
from gearplate.layout.eases import Ease
from gearplate.layout.reasons import Reason
from gearplate.layout.sums import Sum
from gearplate.record.numbers import length, maybe


def no_place_entry(none: NoPlace) -> dict[str, Any]:
    """All reasons. `proven` without `clearances`: nothing can be built at all; with it, nothing that keeps every
    clearance. `together`, `says`: the same in words. `eases`: values of one key each, mm; `too_little` is proven to
    have no layout, `enough` has one in which nothing touches, `clear` one with every clearance."""
    reasons = none.reasons
    return {
        "proven": reasons.proven,
        "clearances": reasons.clearances,
        "rail_screws": reasons.screws,
        "boxes": reasons.boxes,
        "shafts": list(reasons.free),
        "irreducible": reasons.irreducible,
        "needed": [_reason(*one) for one in zip(reasons.reasons, none.each, strict=True)],
        "together": list(none.together),
        "eases": [_ease(one) for one in reasons.eases],
        "sums": [_sum(one) for one in reasons.sums],
        "motors": {"asked": reasons.motors, "fitting": reasons.fitting},
        "says": [text for text in (none.verdict, *none.sums, *none.eases, none.motors) if text],
        "cures": [_cure(one) for one in none.cures],
    }


def _reason(one: Reason, words: str) -> dict[str, Any]:
    ground = one.ground
    return {
        "name": ground.name,
        "words": words,
        "what": ground.what.value,
        "key": ground.key or None,
        "shafts": list(ground.shafts),
        "needed": one.needed,
    }


def _ease(one: Ease) -> dict[str, Any]:
    little = one.too_little if one.too_little is not None and math.isfinite(one.too_little) else None
    return {
        "key": one.key,
        "mends": one.mends,
        "was_mm": maybe(one.was),
        "enough_mm": maybe(one.enough),
        "clear_mm": maybe(one.clear),
        "too_little_mm": maybe(little),
    }


def _sum(one: Sum) -> dict[str, Any]:
    return {
        "shafts": [one.a, one.b],
        "centres_mm": [length(need.centre_mm) for need in one.meshes],
        "furthest_mm": length(one.furthest_mm),
        "parts_mm": [length(part.radius_mm) for part in one.parts],
        "gap_mm": length(one.gap_mm),
        "least_mm": length(one.least_mm),
        "teeth": one.teeth if one.meshes else None,
        "enough_teeth": one.enough_teeth,
    }


def _cure(one: Cure) -> dict[str, Any]:
    remedy = one.remedy
    return {
        "text": remedy.text,
        "set": {key: list(value) if isinstance(value, tuple) else value for key, value in remedy.set},
        "outcome": one.outcome.value,
        "built": one.built,
    }
