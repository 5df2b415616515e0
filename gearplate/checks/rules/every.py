"""All rules, causes before what they cause: a sheet that must not be cut, teeth that do not run together, shafts at
wrong distances, too little room along the axle; then bodies in each other's way; then plates, holes, and assembly."""

from __future__ import annotations

from gearplate.checks.rule import Rule
from gearplate.checks.rules import (
    assembly,
    axial,
    bearings,
    bodies,
    chain,
    cutting,
    gap,
    hardware,
    holes,
    limits,
    meshes,
    plates,
    play,
    rail,
    service,
    sheets,
    strength,
    teeth,
    threads,
    torque,
    travel,
)

_LOOK_ALIKES = tuple(rule for rule in teeth.RULES if rule.code == "look-alike-teeth")
_CENTRES = tuple(rule for rule in meshes.RULES if rule.code == "mesh-centre")
_OTHER_TEETH = tuple(rule for rule in (*teeth.RULES, *meshes.RULES) if rule not in (*_LOOK_ALIKES, *_CENTRES))

ALL_RULES: tuple[Rule, ...] = (
    *sheets.RULES,
    *_LOOK_ALIKES,
    *_CENTRES,
    *_OTHER_TEETH,
    *play.RULES,
    *gap.RULES,
    *axial.RULES,
    *threads.RULES,
    *bodies.RULES,
    *hardware.RULES,
    *travel.RULES,
    *limits.RULES,
    *bearings.RULES,
    *torque.RULES,
    *plates.RULES,
    *rail.RULES,
    *chain.RULES,
    *holes.RULES,
    *cutting.RULES,
    *assembly.RULES,
    *service.RULES,
    *strength.RULES,
)
"""A stable order: findings of one severity are told in it."""
