"""Room in the robot: the job's limits in the plane and along the axle, and the floor."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple

from gearplate.checks.apart import thing
from gearplate.checks.counts import teeth_for, with_count
from gearplate.checks.job_keys import chain_of
from gearplate.checks.moves import angle_remedies, side_remedies
from gearplate.checks.rule import Outcome, Rule
from gearplate.finding import Finding, Severity, Standing, Where
from gearplate.layout.floor import LEAST_MM

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject

TOUCHING_MM = 1e-6


class _Item(NamedTuple):
    """Something of the gearbox with its upright box and its extent along z."""

    name: str
    shaft: str | None
    box: tuple[float, float, float, float]
    z0_mm: float
    z1_mm: float
    group: str


def _items(subject: Subject) -> list[_Item]:
    """Everything that belongs to the gearbox: bodies but wheels, rail and keep-outs; the plates by their outlines."""
    from gearplate.geometry.path import bbox
    from gearplate.layout.design import BodyKind
    from gearplate.layout.shapes import upright_box

    others = (BodyKind.WHEEL, BodyKind.RAIL, BodyKind.KEEP_OUT, BodyKind.PLATE)
    found = []
    for body in subject.layout.bodies:
        if body.kind not in others:
            box = upright_box(body)
            found.append(_Item(body.name, body.shaft, box, body.z0_mm, body.z1_mm, body.shaft or thing(body)))
    for plate in subject.plates:
        name = f"the {plate.side.value} plate"
        found.append(_Item(name, None, bbox(plate.outline), *subject.layout.stack.plate(plate.side), name))
    return found


# limits-plane


def _limits_plane(subject: Subject) -> Outcome:
    limits = subject.layout_spec.limits
    items = _items(subject)
    right, left = max(items, key=lambda i: i.box[2]), min(items, key=lambda i: i.box[0])
    top, low = max(items, key=lambda i: i.box[3]), min(items, key=lambda i: i.box[1])
    x1, x0, y1, y0 = right.box[2], left.box[0], top.box[3], low.box[1]
    table = (
        ("forward", x1, limits.forward_mm, (right,), (x1, _middle_y(right))),
        ("back", -x0, limits.back_mm, (left,), (x0, _middle_y(left))),
        ("up", y1, limits.up_mm, (top,), (_middle_x(top), y1)),
        ("down", -y0, limits.down_mm, (low,), (_middle_x(low), y0)),
        ("width", x1 - x0, limits.width_mm, (left, right), (x1, _middle_y(right))),
        ("height", y1 - y0, limits.height_mm, (low, top), (_middle_x(top), y1)),
    )
    findings, compared = [], 0
    for key, extent, limit, ends, spot in table:
        if limit is None:
            continue
        compared += len(items)
        if extent > limit + TOUCHING_MM:
            findings.append(_past_limit(subject, key, extent, limit, ends, spot))
    return Outcome(compared, tuple(findings))


def _middle_x(item: _Item) -> float:
    return 0.5 * (item.box[0] + item.box[2])


def _middle_y(item: _Item) -> float:
    return 0.5 * (item.box[1] + item.box[3])


def _past_limit(
    subject: Subject,
    key: str,
    extent: float,
    limit: float,
    ends: tuple[_Item, ...],
    spot: tuple[float, float] | None = None,
    also: int = 0,
) -> Finding:
    shafts = tuple(dict.fromkeys(item.shaft for item in ends if item.shaft))
    axial = key in ("outward", "inward")
    cures = side_remedies(subject, shafts) if axial else angle_remedies(subject, shafts or _all_shafts(subject))
    remedy, others = chain_of(cures)
    names = " to ".join(dict.fromkeys(item.name for item in ends))
    too = "one other thing reaches" if also == 1 else f"{also} other things reach"
    others_too = f"; {too} past it too" if also else ""
    return Finding(
        "limits-axial" if axial else "limits-plane",
        Severity.ERROR,
        f"{names}: {extent:.3f} mm where limits.{key} allows {limit:.3f} mm{others_too}.",
        Where(
            plate=next((item.name.split()[1] for item in ends if item.name.startswith("the ")), None),
            shafts=shafts,
            x_mm=spot[0] if spot else None,
            y_mm=spot[1] if spot else None,
        ),
        extent,
        limit,
        "mm",
        Standing.JOB,
        remedy,
        others,
    )


def _all_shafts(subject: Subject) -> Iterable[str]:
    return [shaft.name for shaft in subject.layout.shafts]


def _limits_set(subject: Subject, *names: str) -> int:
    limits = subject.layout_spec.limits
    return sum(getattr(limits, f"{name}_mm") is not None for name in names)


# limits-axial


def _limits_axial(subject: Subject) -> Outcome:
    """Each motor by itself, since each can be turned over; of the box itself what reaches farthest, since it is moved
    as a whole."""
    limits, stack = subject.layout_spec.limits, subject.layout.stack
    motors = {motor.name for motor in subject.layout_spec.motors}
    items = _items(subject)
    findings, compared = [], 0
    for key, limit, reach in (
        ("outward", limits.outward_mm, {id(item): item.z1_mm - stack.wheel[1] for item in items}),
        ("inward", limits.inward_mm, {id(item): stack.outboard[1] - item.z0_mm for item in items}),
    ):
        if limit is None:
            continue
        compared += len(items)
        farthest: dict[str, _Item] = {}
        for item in sorted(items, key=lambda item: -reach[id(item)]):
            if reach[id(item)] > limit + TOUCHING_MM:
                farthest.setdefault(item.group, item)
        past = list(farthest.values())
        box = [item for item in past if item.shaft not in motors]
        for item in (one for one in past if one.shaft in motors or one is box[0]):
            spot = (_middle_x(item), _middle_y(item))
            also = len(box) - 1 if box and item is box[0] else 0
            findings.append(_past_limit(subject, key, reach[id(item)], limit, (item,), spot, also))
    return Outcome(compared, tuple(findings))


# ground


def _ground(subject: Subject) -> Outcome:
    floor = -0.5 * subject.layout_spec.wheel.diameter_mm
    items = _items(subject)
    rail = subject.layout_spec.rail
    if rail is not None and subject.layout.stack.rail is not None:
        low, high = rail.y_span_mm
        items.append(_Item("the rail", None, (0.0, low, 0.0, high), *subject.layout.stack.rail, "the rail"))
    lowest: dict[str, _Item] = {}
    for item in items:
        if item.group not in lowest or item.box[1] < lowest[item.group].box[1]:
            lowest[item.group] = item
    findings = []
    for item in lowest.values():
        gap = item.box[1] - floor
        if gap < LEAST_MM - TOUCHING_MM:
            findings.append(_near_floor(subject, item, gap))
    return Outcome(len(items), tuple(findings))


def _near_floor(subject: Subject, item: _Item, gap: float) -> Finding:
    error = gap < TOUCHING_MM
    cures = angle_remedies(subject, [item.shaft] if item.shaft else ())
    for gear in subject.layout.gears:
        if item.name == f"{gear.shaft} {gear.gear.teeth}T":
            cures += with_count(subject, gear, -teeth_for(gear, LEAST_MM - gap))
    remedy, others = chain_of(cures)
    radius = 0.5 * subject.layout_spec.wheel.diameter_mm
    text = f"{item.name} reaches {-item.box[1]:.3f} mm below the axle and the wheel's radius is {radius:.3f} mm: "
    text += "it touches the floor." if error else f"{gap:.3f} mm are left above the floor."
    plate = item.name.split()[1] if item.name.endswith(" plate") else None
    return Finding(
        "ground",
        Severity.ERROR if error else Severity.WARNING,
        text,
        Where(plate=plate, shafts=(item.shaft,) if item.shaft else (), x_mm=_middle_x(item), y_mm=item.box[1]),
        gap,
        0.0 if error else LEAST_MM,
        "mm",
        Standing.GEOMETRY if error else Standing.COMMON_PRACTICE,
        remedy,
        others,
    )


RULES = (
    Rule(
        code="limits-plane",
        title="Room in the plane",
        why="The gearbox has to fit between what else the robot carries: a plate or a motor that is too tall by a "
        "millimetre is found out when the frame is already welded.",
        remedy="Place shafts and motors elsewhere, take smaller gears, or give more room (limits).",
        limit="limits.height, width, forward, back, up, down: plates by their outline, motors, gears, screws and "
        "standoffs; wheel and rail do not count.",
        standing=Standing.JOB,
        source="the job",
        applies_to="limits in the plane",
        check=_limits_plane,
        present=lambda subject: _limits_set(subject, "height", "width", "forward", "back", "up", "down"),
    ),
    Rule(
        code="limits-axial",
        title="Room along the axle",
        why="Motors over the wheel stick out past it, motors toward the middle reach into the robot, and the axle's "
        "ends do too.",
        remedy="Let the motor stand on the other side of the box, or give more room (limits.outward, limits.inward).",
        limit="limits.outward counts from the wheel's outer face, limits.inward from the outboard plate's outer face "
        "toward the middle.",
        standing=Standing.JOB,
        source="the job",
        applies_to="limits along the axle",
        check=_limits_axial,
        present=lambda subject: _limits_set(subject, "outward", "inward"),
    ),
    Rule(
        code="ground",
        title="Height over the floor",
        why="What hangs lower than the wheel drags; what hangs a millimetre higher drags on the first sill, cable or "
        "soft floor.",
        remedy="Place shafts higher, take a smaller last gear or a larger wheel, or set the axle lower in the rail.",
        limit=f"lowest point of plates, gears, motors, standoffs, screws and rail over the floor that the wheel runs "
        f"on: above zero (error), at least {LEAST_MM:g} mm (warning).",
        standing=Standing.COMMON_PRACTICE,
        source="zero by geometry; 3 mm is common practice, no source",
        applies_to="plates and bodies over the floor",
        check=_ground,
        present=lambda subject: len(subject.plates),
    ),
)
