"""What a drive is meant to do: what the loads and the wanted life follow from. Each default says where it is from."""

from __future__ import annotations

from dataclasses import dataclass, fields

from gearplate.finding import Standing


@dataclass(frozen=True, slots=True)
class ChainPull:
    """A chain on the output axle: its pitch, the teeth of its sprocket there, and the share of the output torque that
    leaves by it."""

    pitch_mm: float
    teeth: int
    share: float


@dataclass(frozen=True, slots=True)
class Duty:
    """The machine and its use. All numbers are of one gearbox's share unless they say otherwise.

    mass_kg: the whole machine. gearboxes: how many such ones drive it. wheels: how many carry it. driven_share: of the
    weight on driven wheels. friction: of a wheel on the floor, along and across. breaker_a: each motor's breaker;
    breaker_over: how many times its rating it lets pass for some seconds. stage_efficiency: of each stage of gears.
    shock: the wheel's load on landing over its resting load; motor_shock_g: what hanging motors feel, in weights.
    scrub: sideways force on a wheel that is turned on the spot, over what its friction allows. typical_torque,
    typical_speed: what it mostly does, over the greatest torque and the free speed. hours: of driving that it shall
    live; reliability_percent: of bearings that do. hall_c: the hottest hall; motor_heat_k: how much hotter plates are
    round a motor. chain: None where no chain runs on the axle.
    """

    mass_kg: float = 45.0
    gearboxes: int = 2
    wheels: int = 4
    driven_share: float = 1.0
    friction: float = 1.1
    breaker_a: float = 40.0
    breaker_over: float = 2.0
    stage_efficiency: float = 0.96
    shock: float = 2.0
    motor_shock_g: float = 10.0
    scrub: float = 0.7
    typical_torque: float = 0.4
    typical_speed: float = 0.6
    hours: float = 50.0
    reliability_percent: float = 90.0
    hall_c: float = 35.0
    motor_heat_k: float = 40.0
    chain: ChainPull | None = None

    def faults(self) -> tuple[tuple[str, str], ...]:
        """Fields out of their range, each with what is accepted."""
        return tuple(
            (name, f"{low:g} to {high:g}")
            for name, (low, high) in RANGES.items()
            if not low <= getattr(self, name) <= high
        )


RANGES: dict[str, tuple[float, float]] = {
    "mass_kg": (0.5, 500.0),
    "gearboxes": (1, 8),
    "wheels": (1, 16),
    "driven_share": (0.05, 1.0),
    "friction": (0.1, 3.0),
    "breaker_a": (0.5, 500.0),
    "breaker_over": (1.0, 10.0),
    "stage_efficiency": (0.5, 1.0),
    "shock": (1.0, 20.0),
    "motor_shock_g": (1.0, 100.0),
    "scrub": (0.0, 1.0),
    "typical_torque": (0.01, 1.0),
    "typical_speed": (0.01, 1.0),
    "hours": (0.1, 20_000.0),
    "reliability_percent": (90.0, 99.95),
    "hall_c": (-20.0, 60.0),
    "motor_heat_k": (0.0, 60.0),
}

_PRACTICE, _INVENTED = Standing.COMMON_PRACTICE, Standing.INVENTED

DEFAULTS: dict[str, tuple[Standing, str]] = {
    "mass_kg": (_INVENTED, "our example machine"),
    "gearboxes": (_PRACTICE, "one on each side"),
    "wheels": (_PRACTICE, "two on each side carry it alike"),
    "driven_share": (_PRACTICE, "all wheels of a side are coupled, so that all of the weight drives"),
    "friction": (_PRACTICE, "1.0 to 1.3 for soft treads indoors"),
    "breaker_a": (_PRACTICE, "40 A for each motor"),
    "breaker_over": (_PRACTICE, "thermal breakers let twice their rating pass for some seconds"),
    "stage_efficiency": (_PRACTICE, "0.95 to 0.98 for a stage of spur gears"),
    "shock": (_PRACTICE, "rolling off a low step: twice the resting load"),
    "motor_shock_g": (_PRACTICE, "a collision of a small machine"),
    "scrub": (_PRACTICE, "turning on the spot slides wheels partly sideways"),
    "typical_torque": (_PRACTICE, "over the greatest one, as bearings feel it"),
    "typical_speed": (_PRACTICE, "over the free speed"),
    "hours": (_PRACTICE, "a season of use"),
    "reliability_percent": (Standing.STANDARD, "basic life of ISO 281"),
    "hall_c": (_PRACTICE, "a hot day in a hall"),
    "motor_heat_k": (_PRACTICE, "20 to 40 K above the hall round a motor"),
}


@dataclass(frozen=True, slots=True)
class Assumed:
    """One value of the duty as it was used. `given`: the user said it; else it is the default of that standing."""

    name: str
    value: float
    given: bool
    standing: Standing
    why: str


def assumed(duty: Duty, given: frozenset[str] = frozenset()) -> tuple[Assumed, ...]:
    """Every value of the duty with its standing; `given` are the names that the user set."""
    return tuple(
        Assumed(field.name, getattr(duty, field.name), True, Standing.JOB, "given")
        if field.name in given
        else Assumed(field.name, getattr(duty, field.name), False, *DEFAULTS[field.name])
        for field in fields(duty)
        if field.name in RANGES
    )
