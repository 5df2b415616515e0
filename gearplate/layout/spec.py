"""What a job asks of the layout: shafts, motors, wheel, rail, standoffs, limits. Frozen values, lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from gearplate.catalog.bearings import Bearing
from gearplate.catalog.fasteners import Fastener
from gearplate.catalog.motors import Motor
from gearplate.catalog.retainers import Retainer
from gearplate.catalog.shafts import Chain, ShaftStock
from gearplate.gears.spec import GearSpec, TrainSpec


class Side(StrEnum):
    """Of the plates: outboard faces the wheel, inboard the robot's middle. Of a motor: where its body stands."""

    OUTBOARD = "outboard"
    INBOARD = "inboard"


class Role(StrEnum):
    """What a shaft does in the train, and whose it is: a motor's own, between two stages, inside a stage, the axle."""

    MOTOR = "motor"
    INTERMEDIATE = "intermediate"
    IDLER = "idler"
    OUTPUT = "output"


class CarriedBy(StrEnum):
    """Who carries the output axle."""

    PLATES = "plates"
    BLOCKS = "blocks"
    BOTH = "both"


class Mount(StrEnum):
    """Both plates beside the rail on its inner side, or one plate on each side with the box above the rail."""

    BESIDE = "beside"
    ASTRIDE = "astride"


@dataclass(frozen=True, slots=True)
class Place:
    """Where a shaft stands: by angle about its mesh partner (rad, from forward toward up), by coordinate, or free."""

    angle_rad: float | None = None
    x_mm: float | None = None
    y_mm: float | None = None

    @property
    def free(self) -> bool:
        """Whether the tool places it."""
        return self.angle_rad is None and self.x_mm is None


@dataclass(frozen=True, slots=True)
class BearingSeat:
    """One bearing in one plate. `fit_mm` (finished bore less bearing, negative = press) or `fit_class` (ISO 286
    hole class) overrides the shop's fit; both None = the shop's. `pressed_from_gap`: from the face toward the gears."""

    bearing: Bearing
    pressed_from_gap: bool = True
    fit_mm: float | None = None
    fit_class: str | None = None
    retained: bool = False


@dataclass(frozen=True, slots=True)
class ShaftSpec:
    """A shaft that the plates carry (not a motor's own). No seat where a plate does not carry it.

    `float_mm`: how far its parts may move along it, all told. `held_by`: the ring or collar that keeps it in place.
    `block_bearing`: the bearing in each block of the rail that carries the output, where the job names it.
    """

    name: str
    role: Role
    stock: ShaftStock
    turns: bool = True
    outboard: BearingSeat | None = None
    inboard: BearingSeat | None = None
    spacer_diameter_mm: float = 16.0
    fit_mm: float | None = None  # of a fixed shaft in its hole
    float_mm: float = 0.5
    held_by: Retainer | None = None
    block_bearing: Bearing | None = None

    def seat(self, side: Side) -> BearingSeat | None:
        """Its bearing in one plate; None where that plate does not carry it."""
        return self.outboard if side is Side.OUTBOARD else self.inboard


@dataclass(frozen=True, slots=True)
class MotorSpec:
    """One motor. `clocking_rad`: direction of its first used screw hole in the frame; None = the tool chooses.
    `slot_travel_mm` > 0: its holes are slots along the line of centres, this far each way."""

    name: str
    motor: Motor
    screw: Fastener
    pinion: GearSpec
    side: Side = Side.OUTBOARD
    screws_used: int = 2
    clocking_rad: float | None = None
    slot_travel_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class WheelSpec:
    """`clear_mm`: least gap to anything that does not turn with it; `gap_mm`: axial gap between rail (or plate) and
    wheel; `neighbours_x_mm`: x of the other wheels of this side, where given. `clear_given`: the job itself says
    `clear_mm`, it is not the usual one."""

    diameter_mm: float
    width_mm: float
    clear_mm: float
    gap_mm: float
    neighbours_x_mm: tuple[float, ...] = ()
    clear_given: bool = True


@dataclass(frozen=True, slots=True)
class RailRelief:
    """A hole in the rail's wall that lets something on the plate's outer face stand proud there."""

    x_mm: float
    y_mm: float
    diameter_mm: float
    shaft: str | None = None  # x and y are then relative to that shaft


@dataclass(frozen=True, slots=True)
class RailSpec:
    """The tube rail. `axle_from_bottom_mm`: height of the axle's axis over the rail's lower face.
    `holes` None = the tool places `hole_count` of them."""

    height_mm: float
    width_mm: float
    wall_mm: float
    axle_from_bottom_mm: float
    mount: Mount
    axle_hole_mm: float
    screw: Fastener
    tube_diameter_mm: float
    holes: tuple[tuple[float, float], ...] | None = None
    hole_count: int = 4
    reliefs: tuple[RailRelief, ...] = ()

    @property
    def y_span_mm(self) -> tuple[float, float]:
        """Its lower and upper face in the frame, mm: y is 0 at the axle."""
        return -self.axle_from_bottom_mm, self.height_mm - self.axle_from_bottom_mm


@dataclass(frozen=True, slots=True)
class SprocketSpec:
    """Sprockets on the output axle inside the rail, alike and without hubs, for chains to other wheels."""

    chain: Chain
    teeth: int
    count: int = 1


@dataclass(frozen=True, slots=True)
class StandoffSpec:
    """Standoffs between the plates beside the rail screws. `places` None = the tool places `count` of them."""

    count: int
    screw: Fastener
    diameter_mm: float
    places: tuple[tuple[float, float], ...] | None = None


@dataclass(frozen=True, slots=True)
class LimitsSpec:
    """Room in the robot. height/width: overall extent of the gearbox (plates, motors, gears, not wheel and rail);
    forward/back/up/down: distance from the axle; outward: past the wheel's outer face; inward: from the face of the
    outboard plate that lies on the rail, toward the robot's middle. None = no limit."""

    height_mm: float | None = None
    width_mm: float | None = None
    forward_mm: float | None = None
    back_mm: float | None = None
    up_mm: float | None = None
    down_mm: float | None = None
    outward_mm: float | None = None
    inward_mm: float | None = None


@dataclass(frozen=True, slots=True)
class KeepOut:
    """A user's own body: a disc (x, y, radius) or a box (x0, y0, x1, y1), from z0 to z1."""

    name: str
    z0_mm: float
    z1_mm: float
    disc: tuple[float, float, float] | None = None
    box: tuple[float, float, float, float] | None = None


@dataclass(frozen=True, slots=True)
class OwnDisc:
    """A disc round one of the user's own holes: screws and posts that the tool places keep a web off it. x and y are
    relative to `shaft` where it is hung on one."""

    sides: tuple[Side, ...]
    shaft: str | None
    x_mm: float
    y_mm: float
    diameter_mm: float


@dataclass(frozen=True, slots=True)
class Clearances:
    """Gaps that bodies keep, mm. The defaults are common practice, no source."""

    gear_tip_mm: float = 1.0  # tips to anything that is not their mate
    still_mm: float = 0.5  # between bodies that do not turn
    axial_mm: float = 1.0  # beside a turning gear along z
    web_mm: float | None = None  # between holes of one plate; None = its thickness, at least 3 mm


@dataclass(frozen=True, slots=True)
class PlateStock:
    """A plate's thickness: nominal, and measured where known; `used_mm` is the measured one where there is one."""

    material: str
    nominal_mm: float
    measured_mm: float | None = None
    density_kg_m3: float = 0.0  # 0 = not known

    @property
    def used_mm(self) -> float:
        """The thickness that everything is worked out with, mm."""
        return self.nominal_mm if self.measured_mm is None else self.measured_mm


class Least(StrEnum):
    """What a layout is to have as small as can be. MOVE: the largest move of a shaft from where it stood before."""

    HULL = "hull"
    HEIGHT = "height"
    WIDTH = "width"
    MOVE = "move"


@dataclass(frozen=True, slots=True)
class WishesSpec:
    """What is wished of a layout beyond what it must keep. `least`: one after the other. `spend`: share of that value
    which may be given away for the smallest clearance. `before_mm`: where shafts stood, for MOVE. `boxes`: how
    long the search goes on, at most, in boxes of angles looked at; 0: a quick one, without a certificate."""

    least: tuple[Least, ...] = (Least.HULL,)
    spend: float = 0.02
    before_mm: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    boxes: int = 2500


@dataclass(frozen=True, slots=True)
class LayoutSpec:
    """Everything the layout needs. `places` holds a Place for each shaft that is not free (motors included)."""

    train: TrainSpec  # a wanted reduction is resolved to tooth counts before
    shafts: tuple[ShaftSpec, ...]
    motors: tuple[MotorSpec, ...]
    carried_by: CarriedBy
    wheel: WheelSpec
    rail: RailSpec | None
    standoffs: StandoffSpec
    limits: LimitsSpec
    outboard: PlateStock
    inboard: PlateStock
    margin_mm: float
    cover_gears: bool = False
    washers: bool = True
    gap_mm: float | None = None
    places: Mapping[str, Place] = field(default_factory=dict)
    keep_outs: tuple[KeepOut, ...] = ()
    own_discs: tuple[OwnDisc, ...] = ()
    clearances: Clearances = field(default_factory=Clearances)
    wishes: WishesSpec = field(default_factory=WishesSpec)
    seed: int = 1
    sprockets: SprocketSpec | None = None

    def stock(self, side: Side) -> PlateStock:
        """The sheet of one plate."""
        return self.outboard if side is Side.OUTBOARD else self.inboard

    def shaft(self, name: str) -> ShaftSpec:
        """A shaft by its name. Raises StopIteration where there is none."""
        return next(shaft for shaft in self.shafts if shaft.name == name)

    def motor(self, name: str) -> MotorSpec:
        """A motor by its name. Raises StopIteration where there is none."""
        return next(motor for motor in self.motors if motor.name == name)
