"""Gears, shafts and motors among each other, with wheel and rail."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from gearplate.checks.apart import check_pairs, count_pairs
from gearplate.checks.rule import Outcome, Rule
from gearplate.checks.rules.bosses import own_bosses
from gearplate.finding import Standing

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject


class Gap(NamedTuple):
    """The gap that several rules ask for: in words, and where it comes from."""

    words: str
    standing: Standing
    source: str


TIP = Gap(
    "gap in the plane between tip circle and the other, where they overlap along z: clearances.gear_tip, 1 mm unless "
    "the job says otherwise (warning); touching is an error.",
    Standing.COMMON_PRACTICE,
    "1 mm is common practice, no source",
)
STILL = Gap(
    "gap in the plane: clearances.still, 0.5 mm unless the job says otherwise (warning); touching is an error.",
    Standing.COMMON_PRACTICE,
    "0.5 mm is common practice, no source",
)
WHEEL = Gap(
    "gap in the plane, where motor and wheel overlap along z: wheel.clear, 3 mm unless the job says otherwise (error).",
    Standing.JOB,
    "1/8 in (3 mm) round a turning wheel is common practice, no source",
)
WHEELS = Gap(
    "gap between the treads: wheel.clear, 3 mm unless the job says otherwise (warning); touching is an error.",
    Standing.COMMON_PRACTICE,
    "1/8 in (3 mm) round a turning wheel is common practice, no source",
)


def apart(
    gap: Gap, code: str, *kinds: tuple[str, str], title: str, why: str, remedy: str, of: str, more: str = ""
) -> Rule:
    """The rule that all pairs told under `code` keep a gap. `kinds`: of which bodies such pairs are; `of`: the same in
    words; `more`: what is to be added to the limit."""
    return Rule(
        code,
        title,
        why,
        remedy,
        gap.words + more,
        gap.standing,
        of,
        check_pairs(code),
        count_pairs(*kinds),
        gap.source,
    )


def with_own_bosses(rule: Rule) -> Rule:
    """The rule, which also looks at each motor's boss before its own pinion."""

    def check(subject: Subject) -> Outcome:
        pairs, own = rule.check(subject), own_bosses(subject)
        return Outcome(pairs.compared + own.compared, (*pairs.findings, *own.findings))

    return rule._replace(check=check, present=lambda subject: rule.present(subject) + len(subject.layout_spec.motors))


RULES = (
    apart(
        TIP,
        "gear-to-gear",
        ("gear", "gear"),
        title="Gear to a gear that is not its mate",
        why="Gears that share a plane and do not mesh must pass each other. Teeth that touch a foreign gear lock the "
        "train at once: it turns with another speed, or the other way.",
        remedy="Place the shafts farther apart (places.NAME.angle), or let a motor stand on the other side of the box.",
        of="gears of one plane that do not mesh",
    ),
    apart(
        TIP,
        "gear-to-shaft",
        ("gear", "shaft"),
        ("gear", "motor shaft"),
        ("gear", "spacer"),
        title="Gear to a shaft that is not its own",
        why="In a train of several stages a large gear can reach over the next shaft or the spacer on it. It then saws "
        "through the shaft, or stands still. A hexagonal shaft reaches as far as its corners, 15 % more than across "
        "its flats.",
        remedy="Take a larger driver or a smaller driven gear in that stage, or place the shafts in another direction.",
        of="gears, and shafts of others that pass their plane",
        more=" A hexagon counts by its corners: 2 / sqrt(3) times across flats.",
    ),
    apart(
        TIP,
        "gear-to-rail",
        ("gear", "rail"),
        title="Gear to the rail",
        why="Where the plates stand astride the rail, gears and rail share the gap. A tip that touches the tube cuts "
        "into it and locks.",
        remedy="Place the shaft higher, or take a smaller gear.",
        of="gears beside the rail",
    ),
    with_own_bosses(
        apart(
            TIP,
            "gear-to-body",
            ("gear", "motor"),
            ("gear", "pilot boss"),
            ("gear", "bearing"),
            title="Gear to a motor's body, pilot boss or bearing",
            why="Bosses and bearings that reach through a plate stand in the gap, where gears turn.",
            remedy="Place the shafts farther apart, or press the bearing from the other face.",
            of="gears beside bosses and bearings that stand in the gap",
            more=" Between a boss and its own pinion the same along z: clearances.axial.",
        )
    ),
    apart(
        WHEEL,
        "motor-to-wheel",
        ("motor", "wheel"),
        title="Motor to the wheel",
        why="A motor that stands over the wheel must clear its tread, also when the wheel is worn unevenly, has picked "
        "up mud, or flexes under load.",
        remedy="Place the motor farther from the axle, or let it stand toward the robot's middle (motors.NAME.side).",
        of="motors beside the wheel",
    ),
    apart(
        WHEELS,
        "wheel-to-wheel",
        ("wheel", "wheel"),
        title="Wheel to the next wheel",
        why="Wheels of one side stand in one plane. Two that touch turn against each other: they brake, and wear each "
        "other's treads.",
        remedy="Set the other wheel farther off (wheel.neighbours), or take smaller wheels.",
        of="wheels of one side",
    ),
    apart(
        STILL,
        "motor-to-motor",
        ("motor", "motor"),
        title="Motor to motor",
        why="Two bodies cannot stand in one place; bodies that touch rub through their insulation and cannot be "
        "changed one by one.",
        remedy="Spread the motors' directions, or let one of them stand on the other side of the box.",
        of="motors on the same side",
    ),
    apart(
        STILL,
        "motor-to-rail",
        ("motor", "rail"),
        title="Motor to the rail",
        why="The rail fills the room on the plates' outer side, from its lower to its upper face. A motor that stands "
        "there cannot be bolted on.",
        remedy="Place the motor higher, or let it stand toward the robot's middle.",
        of="motors beside the rail",
    ),
)
