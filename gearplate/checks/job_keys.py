"""Where in a job file a gear, motor, shaft, hole or plate is said, and lengths as a job file writes them.

Remedies speak in these keys: dotted, with list entries in brackets, motors by their name (see JobSpec.changed).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, Protocol

from gearplate.finding import Remedy

if TYPE_CHECKING:
    from gearplate.gears.spec import GearSpec
    from gearplate.layout.spec import LayoutSpec, Side
    from gearplate.plate.spec import PlateSpec
    from gearplate.units import Unit

STEPS = {"mm": 0.1, "inch": 0.005}
FINE_STEPS = {"mm": 0.01, "inch": 0.001}
_IN = {"mm": 1.0, "inch": 25.4}
_DECIMALS = {"mm": 3, "inch": 4}

Setting = tuple[str, object]


class Said(Protocol):
    """What was asked for: the specs, and the job as it is written."""

    @property
    def layout_spec(self) -> LayoutSpec: ...

    @property
    def raw(self) -> Mapping[str, Any]: ...


def rounded_up(mm: float, unit: Unit, fine: bool = False) -> str:
    """The length as text, rounded up to a size that one would write: a tenth of a mm or 0.005 in."""
    return _stepped(mm, unit, fine, up=True)


def rounded_down(mm: float, unit: Unit, fine: bool = False) -> str:
    """As rounded_up, downward."""
    return _stepped(mm, unit, fine, up=False)


def _stepped(mm: float, unit: Unit, fine: bool, up: bool) -> str:
    step = (FINE_STEPS if fine else STEPS)[unit]
    steps = mm / _IN[unit] / step
    whole = math.ceil(steps - 1e-6) if up else math.floor(steps + 1e-6)
    return _text(whole * step, unit)


def exact(mm: float, unit: Unit) -> str:
    """The length as text, to a micrometre or a tenth of a thou."""
    return _text(mm / _IN[unit], unit)


def _text(size: float, unit: Unit) -> str:
    text = f"{size:.{_DECIMALS[unit]}f}"
    text = text.rstrip("0").rstrip(".")
    return f"{'0' if text in ('', '-0', '-') else text} {'in' if unit == 'inch' else 'mm'}"


def point(x_mm: float, y_mm: float, unit: Unit) -> list[str]:
    """A place as a job file writes it."""
    return [exact(x_mm, unit), exact(y_mm, unit)]


def gear_key(spec: LayoutSpec, shaft: str, stage: int) -> str:
    """The key of the gear that a shaft carries in a stage (counted from 1)."""
    from gearplate.layout.chain import idler_names, stage_shaft

    if any(motor.name == shaft for motor in spec.motors):
        return f"motors.{shaft}.pinion"
    idlers = idler_names(spec)[stage - 1]
    if shaft in idlers:
        return f"stages[{stage - 1}].idlers[{idlers.index(shaft)}]"
    return f"stages[{stage - 1}].{'driven' if shaft == stage_shaft(spec, stage) else 'driver'}"


def gear_settings(
    said: Said, shafts: Iterable[str], stage: int, field: str, value: object
) -> tuple[tuple[Setting, ...], ...]:
    """Ways to set one field of equal gears on several shafts, the plainest first.

    A job says its pinions once for all motors, group by group, or as the first stage's driver; where it asks for a
    reduction instead of stages, no other gear has a key.
    """
    spec, raw = said.layout_spec, said.raw
    names = tuple(shafts)
    motors = {motor.name for motor in spec.motors}
    each = tuple((_dotted(gear_key(spec, name, stage), field), value) for name in names)
    if not motors.issuperset(names):
        return () if "reduction" in raw else (each,)
    groups = raw.get("motors")
    driver: Setting = (_dotted("stages[0].driver", field), value)
    if groups is not None and not any("pinion" in group for group in _listed(groups)):
        return () if "reduction" in raw or motors != set(names) else ((driver,),)
    if motors == set(names) and isinstance(groups, Mapping):
        return (((_dotted("motors.pinion", field), value),), each)
    return (each,)


def table_mates(raw: Mapping[str, Any], name: str) -> tuple[str, ...]:
    """The motors that the table of this motor ("M2") means, itself among them: what is set there, all of them get."""
    last = 0
    for group in _listed(raw.get("motors")):
        count = group.get("count", 1)
        first, last = last + 1, last + (count if isinstance(count, int) else 1)
        if first <= int(name.removeprefix("M")) <= last:
            return tuple(f"M{number}" for number in range(first, last + 1))
    return (name,)


def _listed(groups: object) -> list[Mapping[str, object]]:
    found = groups if isinstance(groups, list) else [groups]
    return [group for group in found if isinstance(group, Mapping)]


def added_centre_settings(said: Said, stage: int, value: object) -> tuple[tuple[Setting, ...], ...]:
    """Ways to set the added centre distance of one stage."""
    for_all: tuple[Setting, ...] = (("added_centre", value),)
    return (for_all,) if "reduction" in said.raw else (((f"stages[{stage - 1}].added_centre", value),), for_all)


def _dotted(key: str, field: str) -> str:
    return f"{key}.{field}" if field else key


def gear_table(gear: GearSpec, module_mm: float, pressure_angle_rad: float) -> dict[str, object]:
    """A gear as a table with another tooth size; what the job said of its shift stays."""
    table: dict[str, object] = {"teeth": gear.teeth}
    pitch = 25.4 / module_mm
    if abs(pitch - round(pitch)) < 1e-6 * pitch:
        table["diametral_pitch"] = round(pitch)
    else:
        table["module"] = f"{module_mm:g} mm"
    degrees = round(math.degrees(pressure_angle_rad), 6)
    table["pressure_angle"] = int(degrees) if degrees == int(degrees) else degrees
    if gear.shift and not gear.source:
        table["shift"] = gear.shift
    return table


def plate_key(side: Side, field: str) -> str:
    """The key of something said for one plate."""
    return f"plates.{side.value}.{field}"


def hole_key(plates: PlateSpec, name: str) -> str | None:
    """The key of one of the user's own holes; None where none has the name."""
    for index, hole in enumerate(plates.own_holes):
        if hole.name == name:
            return f"holes[{index}]"
    return None


def chain_of(remedies: Iterable[Remedy]) -> tuple[Remedy | None, tuple[Remedy, ...]]:
    """The first remedy, and the others to try after it, for a finding."""
    found = tuple(remedies)
    return (found[0], found[1:]) if found else (None, ())


def remedies(text: str, ways: Iterable[tuple[Setting, ...]]) -> list[Remedy]:
    """One remedy for each way to set the same thing."""
    return [Remedy(text, way) for way in ways]
