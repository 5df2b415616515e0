"""Gears, stages, wanted reductions and motors, as a job file writes them."""

from fractions import Fraction
from typing import Annotated, ClassVar

from gearplate.job.kinds import Count, ListOf, Number, NumberOf, Profile, Ratio, WordOf
from gearplate.job.lengths import Angle, Gap, Length
from gearplate.job.model.table import NEEDED, Many, One, Table

TEETH = Count(6, 500)
DIAMETRAL_PITCH = Number(4, 128, "teeth per inch")
MODULE = Length(0.2, 6.35)
PRESSURE_ANGLE = NumberOf((14.5, 20, 25))
SAID_FOR_A_SIDE = {
    "over the wheel": "outboard",
    "wheel": "outboard",
    "outside": "outboard",
    "toward the robot's middle": "inboard",
    "middle": "inboard",
    "inside": "inboard",
}
"""What our own account and comments call the two sides, and people therefore write."""


class AddedCentreLength(Gap):
    """A length, or "auto": as much as the play of the gears asks for."""

    @property
    def accepted(self) -> str:
        return f'{super().accepted}, or "auto"'

    def read(self, value: object) -> float | str:  # type: ignore[override]
        return value if value == "auto" and isinstance(value, str) else super().read(value)


ADDED_CENTRE = AddedCentreLength(0.005, 1.0, zero=True)

DiametralPitch = Annotated[float | None, DIAMETRAL_PITCH, "teeth per inch of reference diameter"]
Module = Annotated[float | None, MODULE, "reference diameter per tooth (a length)"]
PressureAngle = Annotated[float | None, PRESSURE_ANGLE, "degrees: 14.5, 20 or 25"]
AddedCentre = Annotated[
    float | str | None,
    ADDED_CENTRE,
    'running play: added to the calculated centre distance (a length), or "auto": what gearplate play proposes',
]


class Gear(Table):
    """A gear: its tooth count alone, or a table. What is not given comes from the gear catalogue where it has the
    count, else the gear is a plain full-depth one."""

    needed: ClassVar[tuple[str, ...]] = ("teeth",)
    shorthand: ClassVar[tuple[type, str] | None] = (int, "teeth")

    teeth: Annotated[int, TEETH, "tooth count"] = NEEDED
    shift: Annotated[float | None, Number(-1, 1.5, "modules"), "profile shift, in modules"] = None
    tip_diameter: Annotated[
        float | None,
        Length(2, 800),
        "tip diameter where the maker says another than the standard; without a shift, a small gear's tips tell it",
    ] = None
    thinning: Annotated[
        float | None,
        Gap(0.001, 0.5, zero=True),
        "how much thinner its teeth are cut, along the reference circle",
    ] = None
    face_width: Annotated[float | None, Length(2, 60), "width of the teeth along the shaft"] = None
    diametral_pitch: DiametralPitch = None
    module: Module = None
    pressure_angle: PressureAngle = None


class Stage(Table):
    """One step of speed, from the driver to the driven gear. The first stage's driver is the motors' pinion."""

    needed: ClassVar[tuple[str, ...]] = ("driven",)

    driver: Annotated[Gear | None, One(Gear), "driving gear; the first stage has none: the pinion"] = None
    driven: Annotated[Gear, One(Gear), "driven gear"] = NEEDED
    idlers: Annotated[list[Gear] | None, Many(Gear, 4), "gears between driver and driven, in order"] = None
    added_centre: AddedCentre = None
    diametral_pitch: DiametralPitch = None
    module: Module = None
    pressure_angle: PressureAngle = None


_COUNTS = ListOf(TEETH, "tooth counts", distinct=True)


class Reduction(Table):
    """A wanted reduction instead of tooth counts: the tool chooses the counts from those on hand."""

    key: ClassVar[str] = "reduction"
    needed: ClassVar[tuple[str, ...]] = ("ratio",)
    merged: ClassVar[bool] = True

    ratio: Annotated[
        Fraction,
        Ratio(Fraction(1, 10), Fraction(1000)),
        'motor speed over output speed: 10.5, "10.5:1" or "41/2"',
    ] = NEEDED
    within: Annotated[
        Fraction | None,
        Ratio(Fraction(1, 100_000), Fraction(1, 4), zero=True),
        "how far off the ratio may be, as a part of it: 0.02 is 2 %",
    ] = None
    stages: Annotated[
        tuple[int, ...] | None,
        ListOf(Count(1, 4), "numbers of stages", single=True, distinct=True),
        "how many stages, one number or a list of those allowed",
    ] = None
    pinions: Annotated[tuple[int, ...] | None, _COUNTS, "pinions on hand; default the catalogue"] = None
    drivers: Annotated[tuple[int, ...] | None, _COUNTS, "drivers of later stages on hand"] = None
    driven: Annotated[tuple[int, ...] | None, _COUNTS, "driven gears on hand"] = None


class Motors(Table):
    """A group of equal motors."""

    key: ClassVar[str] = "motors"
    needed: ClassVar[tuple[str, ...]] = ("type",)
    merged: ClassVar[bool] = True

    type: Annotated[str, Profile("motors"), "name of a motor in the profiles"] = NEEDED
    count: Annotated[int | None, Count(1, 4), "how many of them"] = None
    pinion: Annotated[Gear | None, One(Gear), "the gear on the motor's shaft"] = None
    side: Annotated[
        str | None,
        WordOf(("outboard", "inboard"), also=SAID_FOR_A_SIDE),
        "where the body stands: outboard = over the wheel, inboard = toward the robot's middle",
    ] = None
    screws: Annotated[
        int | None,
        Count(1, 12),
        "how many of its tapped holes are used; two opposite ones are usual",
    ] = None
    clocking: Annotated[float | None, Angle(), "direction of its first used screw, degrees from forward toward up"] = (
        None
    )
    slots: Annotated[
        float | None,
        Gap(0.1, 20, zero=True),
        "its holes are slots along the line of centres: how far it can move each way",
    ] = None
