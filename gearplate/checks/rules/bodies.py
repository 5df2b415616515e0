"""Gears, shafts and motors among each other, with wheel and rail."""

from __future__ import annotations

from gearplate.checks.apart import check_pairs, count_pairs
from gearplate.checks.rule import Rule
from gearplate.finding import Standing

_TIP = (
    "gap in the plane between tip circle and the other, where they overlap along z: clearances.gear_tip, 1 mm unless "
)
_TIP += "the job says otherwise (warning); touching is an error."
_TIP_SOURCE = "1 mm is common practice, no source"
_STILL = "gap in the plane: clearances.still, 0.5 mm unless the job says otherwise (warning); touching is an error."
_STILL_SOURCE = "0.5 mm is common practice, no source"

RULES = (
    Rule(
        code="gear-to-gear",
        title="Gear to a gear that is not its mate",
        why="Gears that share a plane and do not mesh must pass each other. Teeth that touch a foreign gear lock the "
        "train at once: it turns with another speed, or the other way.",
        remedy="Place the shafts farther apart (places.NAME.angle), or let a motor stand on the other side of the box.",
        limit=_TIP,
        standing=Standing.COMMON_PRACTICE,
        source=_TIP_SOURCE,
        applies_to="gears of one plane that do not mesh",
        check=check_pairs("gear-to-gear"),
        present=count_pairs(("gear", "gear")),
    ),
    Rule(
        code="gear-to-shaft",
        title="Gear to a shaft that is not its own",
        why="In a train of several stages a large gear can reach over the next shaft or the spacer on it. It then saws "
        "through the shaft, or stands still. A hexagonal shaft reaches as far as its corners, 15 % more than across "
        "its flats.",
        remedy="Take a larger driver or a smaller driven gear in that stage, or place the shafts in another direction.",
        limit=_TIP + " A hexagon counts by its corners: 2 / sqrt(3) times across flats.",
        standing=Standing.COMMON_PRACTICE,
        source=_TIP_SOURCE,
        applies_to="gears, and shafts of others that pass their plane",
        check=check_pairs("gear-to-shaft"),
        present=count_pairs(("gear", "shaft"), ("gear", "motor shaft"), ("gear", "spacer")),
    ),
    Rule(
        code="gear-to-rail",
        title="Gear to the rail",
        why="Where the plates stand astride the rail, gears and rail share the gap. A tip that touches the tube cuts "
        "into it and locks.",
        remedy="Place the shaft higher, or take a smaller gear.",
        limit=_TIP,
        standing=Standing.COMMON_PRACTICE,
        source=_TIP_SOURCE,
        applies_to="gears beside the rail",
        check=check_pairs("gear-to-rail"),
        present=count_pairs(("gear", "rail")),
    ),
    Rule(
        code="gear-to-body",
        title="Gear to a motor's body, pilot boss or bearing",
        why="Bosses and bearings that reach through a plate stand in the gap, where gears turn.",
        remedy="Place the shafts farther apart, or press the bearing from the other face.",
        limit=_TIP,
        standing=Standing.COMMON_PRACTICE,
        source=_TIP_SOURCE,
        applies_to="gears beside bosses and bearings that stand in the gap",
        check=check_pairs("gear-to-body"),
        present=count_pairs(("gear", "motor"), ("gear", "pilot boss"), ("gear", "bearing")),
    ),
    Rule(
        code="motor-to-wheel",
        title="Motor to the wheel",
        why="A motor that stands over the wheel must clear its tread, also when the wheel is worn unevenly, has picked "
        "up mud, or flexes under load.",
        remedy="Place the motor farther from the axle, or let it stand toward the robot's middle (motors.NAME.side).",
        limit="gap in the plane, where motor and wheel overlap along z: wheel.clear, 3 mm unless the job says "
        "otherwise (error).",
        standing=Standing.JOB,
        source="1/8 in (3 mm) round a turning wheel is common practice, no source",
        applies_to="motors beside the wheel",
        check=check_pairs("motor-to-wheel"),
        present=count_pairs(("motor", "wheel")),
    ),
    Rule(
        code="motor-to-motor",
        title="Motor to motor",
        why="Two bodies cannot stand in one place; bodies that touch rub through their insulation and cannot be "
        "changed one by one.",
        remedy="Spread the motors' directions, or let one of them stand on the other side of the box.",
        limit=_STILL,
        standing=Standing.COMMON_PRACTICE,
        source=_STILL_SOURCE,
        applies_to="motors on the same side",
        check=check_pairs("motor-to-motor"),
        present=count_pairs(("motor", "motor")),
    ),
    Rule(
        code="motor-to-rail",
        title="Motor to the rail",
        why="The rail fills the room on the plates' outer side, from its lower to its upper face. A motor that stands "
        "there cannot be bolted on.",
        remedy="Place the motor higher, or let it stand toward the robot's middle.",
        limit=_STILL,
        standing=Standing.COMMON_PRACTICE,
        source=_STILL_SOURCE,
        applies_to="motors beside the rail",
        check=check_pairs("motor-to-rail"),
        present=count_pairs(("motor", "rail")),
    ),
)
