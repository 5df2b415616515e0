"""The rules, by topic. `every` gathers them in order; one alone is found without loading the others."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gearplate.checks.rule import Rule

CODES = {
    "assembly": "marks-room motor-screws slot-pilot wrong-hand",
    "axial": "axial-float face-overlap shaft-held spacer-seat",
    "bearings": "acrylic-press-fit bearing-count bearing-retainer bearing-seat bearing-support",
    "bodies": "gear-to-body gear-to-gear gear-to-rail gear-to-shaft motor-to-motor motor-to-rail motor-to-wheel "
    "wheel-to-wheel",
    "chain": "axle-hole chain-room",
    "cutting": "bed-size smallest-feature",
    "gap": "gap-room shaft-reach",
    "hardware": "hardware-clearance keep-out rail-face standoff-clearance",
    "holes": "edge web",
    "limits": "ground limits-axial limits-plane",
    "meshes": "backlash contact-ratio mesh-centre",
    "plates": "on-plate through-plate",
    "play": "play-binds play-over play-parts",
    "rail": "rail-drilling",
    "service": "axle-service motor-service",
    "sheets": "forbidden-material",
    "strength": "bearing-life strength",
    "teeth": "look-alike-teeth tooth-interference",
    "threads": "screw-thread",
    "torque": "torque-path",
    "travel": "slot-travel",
}
"""The codes of every module here: `explain` of one of them loads that module alone."""


def rule_called(code: str) -> Rule | None:
    """The rule with exactly this code."""
    from importlib import import_module

    for module, codes in CODES.items():
        if code in codes.split():
            rules: tuple[Rule, ...] = import_module(f"{__name__}.{module}").RULES
            return next((rule for rule in rules if rule.code == code), None)
    return None


def __getattr__(name: str) -> tuple[Rule, ...]:
    if name == "ALL_RULES":
        from gearplate.checks.rules.every import ALL_RULES

        return ALL_RULES
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
