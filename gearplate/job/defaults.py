"""What holds where a job says nothing: every default of the job file, each with where it comes from.

Lengths in mm. A default that follows from other values (`value` None) is worked out where the specs are made; its
entry here says how.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar, cast

from gearplate.finding import Standing
from gearplate.units import Unit, both_units

_PRACTICE = Standing.COMMON_PRACTICE

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Default:
    """The value of a key that the job leaves out. `length`: it is one, in mm. `why` in a few words.

    `told`: it is listed among what is still assumed; false where it is plainly nothing (no title, no holes). `unit`:
    of a number that is no length.
    """

    value: object
    why: str
    standing: Standing = _PRACTICE
    length: bool = False
    told: bool = True
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Assumption:
    """A default that a job used: the key to set to change it, its value in words and both units, where it is from."""

    key: str
    value: str
    why: str
    standing: Standing


def _length(value: float | None, why: str, standing: Standing = _PRACTICE) -> Default:
    return Default(value, why, standing, length=True)


DEFAULTS: dict[str, Default] = {
    "format": Default(1, "the only one so far", told=False),
    "units": Default("mm", "bare lengths in this file"),
    "revision": Default("A", "the first one"),
    "title": Default("", "none", told=False),
    "hand": Default("right", "seen from the wheel's side; the left one is its mirror"),
    "drawing_units": Default(None, "the cutter's own"),
    "pressure_angle": Default(20.0, "the usual cut", unit="degrees"),
    "added_centre": _length(0.05, "running play: 0.025 to 0.076 mm is usual"),
    "reduction.within": Default("0.02", "2 % either way"),
    "reduction.stages": Default((1, 2), "one or two stages"),
    "reduction.pinions": Default(None, "the pinions of the gear catalogue"),
    "reduction.drivers": Default(None, "the gears of the gear catalogue"),
    "reduction.driven": Default(None, "the gears of the gear catalogue"),
    "gear.shift": Default(None, "its tips say so: small pinions are cut long", unit="modules"),
    "gear.face_width": _length(None, "ten modules where the gear catalogue does not have the gear; 8 to 12 are usual"),
    "motors.count": Default(1, "one", told=False),
    "motors.side": Default("outboard", "over the wheel"),
    "motors.screws": Default(2, "two opposite ones"),
    "motors.clocking": Default(None, "turned so that most screws can be reached", told=False),
    "motors.slots": _length(0.0, "round holes"),
    "shaft.stock": Default("hex-1/2in", "drives without keys or set screws"),
    "shaft.turns": Default(True, "shafts turn in the plates", told=False),
    "shaft.bearing": Default(None, "the first in the table that fits the shaft, flanged and shielded before others"),
    "shaft.pressed_from": Default("gap", "the plates hold the flanges in"),
    "shaft.fit": Default(None, "the cutter's, for this material", told=False),
    "shaft.retainer": Default(False, "the flange and the press hold it", told=False),
    "shaft.spacer": _length(None, "the shaft across its corners and 3 mm, or as wide as the inner ring"),
    "shaft.float": _length(0.5, "0.25 to 0.8 mm are usual: plates swell, sheets vary"),
    "shaft.held_by": Default(None, "the first in the table that fits the shaft"),
    "shaft.carried_by": Default("plates", "the output runs in the plates' bearings"),
    "wheel.width": _length(25.4, "a narrow tread"),
    "wheel.clear": _length(3.0, "1/8 in is usual"),
    "wheel.gap": _length(6.0, "room for a spacer"),
    "wheel.neighbours": Default((), "none", told=False),
    "rail.height": _length(50.8, "2 x 1-1/2 in tube"),
    "rail.width": _length(38.1, "2 x 1-1/2 in tube"),
    "rail.wall": _length(3.175, "1/8 in"),
    "rail.axle_from_bottom": _length(None, "half the rail's height"),
    "rail.mount": Default("beside", "both plates on the rail's inner side"),
    "rail.axle_hole": _length(None, "the output bearing's outside, or its flange there, and 1 mm"),
    "rail.screw": Default("#10-32", "holds 1/8 in wall well"),
    "rail.tube": _length(12.7, "1/2 in"),
    "rail.holes": Default(None, "placed by the tool", told=False),
    "rail.count": Default(4, "two on each side of the axle"),
    "rail.reliefs": Default((), "none", told=False),
    "duty.sprockets": Default(1, "one chain, in the middle of the rail"),
    "standoffs.count": Default(3, "at least three; no more than 100 mm apart in 6 mm plastic"),
    "standoffs.screw": Default("#10-32", "as the rail's"),
    "standoffs.diameter": _length(12.7, "1/2 in"),
    "plates.thickness": _length(None, "the material's nominal one"),
    "plates.measured": _length(None, "the nominal thickness: measure your sheet"),
    "plates.margin": _length(6.0, "as much as an ordinary plate is thick"),
    "plates.outline": Default("hull", "no hollows"),
    "plates.waist_radius": _length(12.0, "easy to cut and to file"),
    "plates.cover_gears": Default(False, "gears may stand out"),
    "plates.lightening": Default(False, "off unless asked for", told=False),
    "plates.lightening.web": _length(None, "the clearances' web"),
    "plates.marks": Default(True, "etched", told=False),
    "plates.letter_height": _length(3.0, "the least that reads well"),
    "plates.gap": _length(None, "what the gears and heads need"),
    "plates.washers": Default(True, "under every screw head"),
    "plates.face_up": Default(None, "the face from which its bearings are pressed", told=False),
    "holes.plate": Default("both", "both plates"),
    "holes.form": Default("circle", "round", told=False),
    "holes.kind": Default("own", "nothing stands in it", told=False),
    "holes.corner_radius": _length(None, "half the thickness: sharp corners start cracks"),
    "holes.fit": Default(0.0, "finished as drawn", told=False),
    "keep_outs.z": Default(None, "everywhere along the axle"),
    "clearances.gear_tip": _length(1.0, "1 mm or more"),
    "clearances.still": _length(0.5, "cut edges and heads vary"),
    "clearances.axial": _length(1.0, "beside a turning gear"),
    "clearances.web": _length(None, "the thickness, at least 3 mm"),
    "layout.least": Default(("hull",), "less material, and room for the rest of the robot", told=False),
    "layout.spend": Default(0.02, "a plate that touches every limit is fragile", told=False),
}


class Choices:
    """Picks what the job gives, else the default, and keeps a list of the defaults that were used."""

    def __init__(self, units: Unit) -> None:
        self._units = units
        self._used: dict[str, Assumption] = {}

    @property
    def assumptions(self) -> tuple[Assumption, ...]:
        """The defaults used so far, in the order of their first use."""
        return tuple(self._used.values())

    def pick(self, key: str, given: T | None) -> T:
        """What is given, else the default of this key, which has a value of the same type."""
        if given is not None:
            return given
        default = DEFAULTS[key]
        self._note(key, default.value)
        return cast(T, default.value)

    def work_out(self, key: str, given: T | None, value: T, about: str = "") -> T:
        """What is given, else the `value` that was worked out for a default without one of its own.

        `about` names the one thing it holds for, where it differs from one to the next ("outboard", "S1").
        """
        if given is not None:
            return given
        self._note(key, value, about)
        return value

    def _note(self, key: str, value: object, about: str = "") -> None:
        default = DEFAULTS[key]
        if not default.told:
            return
        if default.length and isinstance(value, int | float):
            words = both_units(float(value), self._units)
        elif isinstance(value, bool):
            words = "yes" if value else "no"
        elif isinstance(value, tuple):
            words = " or ".join(str(item) for item in value)
        else:
            words = f"{value:g}" if isinstance(value, float) else str(value)
        words = f"{words} {default.unit}" if default.unit else words
        named = f"{key} ({about})" if about else key
        self._used.setdefault(named, Assumption(named, words, default.why, default.standing))
