"""All rules, in the order in which a person would look: gears, what must keep apart, room, plates, assembly."""

from __future__ import annotations

from gearplate.checks.rule import Rule
from gearplate.checks.rules import (
    assembly,
    bearings,
    bodies,
    cutting,
    gap,
    hardware,
    holes,
    limits,
    meshes,
    plates,
    service,
    sheets,
    teeth,
    torque,
    travel,
)

ALL_RULES: tuple[Rule, ...] = (
    *meshes.RULES,
    *teeth.RULES,
    *bodies.RULES,
    *hardware.RULES,
    *travel.RULES,
    *limits.RULES,
    *gap.RULES,
    *sheets.RULES,
    *torque.RULES,
    *bearings.RULES,
    *plates.RULES,
    *holes.RULES,
    *cutting.RULES,
    *assembly.RULES,
    *service.RULES,
)
"""A stable order: findings of one severity are told in it."""
