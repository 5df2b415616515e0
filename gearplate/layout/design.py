"""What the layout room hands on: where every shaft stands, what turns what, and every body with its room."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from gearplate.gears.mesh import Mesh
from gearplate.gears.spec import GearSpec
from gearplate.layout.spec import Role, Side


@dataclass(frozen=True, slots=True)
class PlacedShaft:
    """A shaft's axis in the frame (mm). `free`: the tool chose its place."""

    name: str
    role: Role
    x_mm: float
    y_mm: float
    free: bool


@dataclass(frozen=True, slots=True)
class GearOnShaft:
    """A gear in its plane. `tip_diameter_mm` is the real one; z0 < z1."""

    shaft: str
    stage: int
    gear: GearSpec
    tip_diameter_mm: float
    z0_mm: float
    z1_mm: float


@dataclass(frozen=True, slots=True)
class PlacedMesh:
    """Two gears in contact. `centre_mm` is the distance of the two axes as placed; `mesh` its geometry there;
    `zero_backlash_centre_mm` that of the unthinned gears, from which `added_centre_mm` is counted."""

    stage: int
    driver: GearOnShaft
    driven: GearOnShaft
    zero_backlash_centre_mm: float
    added_centre_mm: float
    centre_mm: float
    mesh: Mesh


class BodyKind(StrEnum):
    """What takes room, by the word that findings use for it."""

    GEAR = "gear"
    MOTOR = "motor"
    PILOT = "pilot boss"
    MOTOR_SHAFT = "motor shaft"
    SHAFT = "shaft"
    SPACER = "spacer"
    BEARING = "bearing"
    FLANGE = "bearing flange"
    SCREW_HEAD = "screw head"
    WASHER = "washer"
    NUT = "nut"
    STANDOFF = "standoff"
    RAIL_TUBE = "rail spacer"
    WHEEL = "wheel"
    RAIL = "rail"
    KEEP_OUT = "keep-out"
    PLATE = "plate"  # a margin disc of a plate: kept off the user's keep-outs and inside the limits


LIMITED_KINDS = frozenset(
    {
        BodyKind.GEAR,
        BodyKind.MOTOR,
        BodyKind.FLANGE,
        BodyKind.BEARING,
        BodyKind.SPACER,
        BodyKind.STANDOFF,
        BodyKind.RAIL_TUBE,
        BodyKind.SCREW_HEAD,
        BodyKind.WASHER,
    }
)
"""Kinds that the limits in the plane are held against, beside the plates."""


@dataclass(frozen=True, slots=True)
class Body:
    """A disc (or box) with an extent along z.

    A disc stands at (x_mm, y_mm) with `radius_mm`; a box spans `box` = (x0, y0, x1, y1) and has radius 0.
    `shaft` is the shaft that it stands on or belongs to (a motor's screw heads belong to the motor), None = fixed.
    `turns`: it turns with its shaft. `group` = what it is bolted to or part of ("M1", "standoff 2", "rail").
    `core_mm` > 0: a square with round corners, `radius_mm` from its middle to the end of a corner; `core_mm` from the
    middle to a side of the square that the corners are rounded about. Its sides stand across `angle_rad`; None: it is
    not turned yet, and stands for the whole disc.
    """

    name: str
    kind: BodyKind
    shaft: str | None
    x_mm: float
    y_mm: float
    radius_mm: float
    z0_mm: float
    z1_mm: float
    turns: bool = False
    group: str = ""
    box: tuple[float, float, float, float] | None = None
    core_mm: float = 0.0
    angle_rad: float | None = None

    @property
    def round_in_plane(self) -> bool:
        """Whether it is a disc, or has to be taken for one."""
        return self.box is None and (self.core_mm == 0.0 or self.angle_rad is None)

    @property
    def rounding_mm(self) -> float:
        """By how much it stands out all round from its core: a point, a box, or the square within."""
        if self.box is not None:
            return 0.0
        return self.radius_mm if self.round_in_plane else self.radius_mm - math.sqrt(2.0) * self.core_mm

    @property
    def least_radius_mm(self) -> float:
        """Of the disc that the body surely fills, however it is turned."""
        return self.radius_mm - (math.sqrt(2.0) - 1.0) * self.core_mm


class HoleKind(StrEnum):
    """Kinds of features that holes of the layout become; the words are those of the design record."""

    BEARING_BORE = "bearing_bore"
    MOTOR_PILOT = "motor_pilot"
    MOTOR_SCREW = "motor_screw"
    STANDOFF = "standoff"
    RAIL_HOLE = "rail_hole"
    SHAFT_CLEARANCE = "shaft_clearance"
    ACCESS = "access"
    RELIEF = "relief"
    WINDOW = "window"
    OWN = "own"


@dataclass(frozen=True, slots=True)
class Hole:
    """A hole that a plate must have because of a shaft, a motor or a screw.

    `part_diameter_mm`: of what goes in (bearing outside, pilot, the screw's clearance hole): the shop adds its fit.
    `slot_length_mm` between the end centres (0 = round), along `angle_rad`. `loaded`: a screw hole that carries load.
    """

    id: str
    kind: HoleKind
    side: Side
    shaft: str | None
    x_mm: float
    y_mm: float
    part_diameter_mm: float
    slot_length_mm: float = 0.0
    angle_rad: float = 0.0
    fit_mm: float | None = None
    fit_class: str | None = None
    loaded: bool = False


@dataclass(frozen=True, slots=True)
class Stack:
    """Places along z (mm, toward the wheel): z = 0 is the outboard plate's outer face."""

    outboard: tuple[float, float]  # plate from z0 to z1 = 0
    inboard: tuple[float, float]
    gap_mm: float
    stage_planes: tuple[tuple[float, float], ...]  # z0, z1 of each stage's gears
    rail: tuple[float, float] | None
    wheel: tuple[float, float]
    wanted_gap_mm: float = 0.0  # what the gears, flanges and clearances need

    def plate(self, side: Side) -> tuple[float, float]:
        """Where one plate lies along z: from, to, mm."""
        return self.outboard if side is Side.OUTBOARD else self.inboard


@dataclass(frozen=True, slots=True)
class Certificate:
    """What is proven about a layout whose free shafts the tool has placed.

    `wish`: what was to be small ("hull", "height", "width", "move"); `value` of the layout, mm2 or mm; no layout that
    keeps every clearance, with these rail screws, has one below `bound`. `proven`: the search ended by itself, not at
    its count of `boxes` (or because it was told to stop). `interrupted`: it was told to.

    The same counting every motor's whole screw circle to the hull: `circles_value` of the layout before anything was
    spent, `circles_bound` (none: not asked). `spent`: share of the value given away for clearance.
    """

    wish: str
    value: float
    bound: float
    proven: bool
    boxes: int
    circles_value: float | None = None
    circles_bound: float | None = None
    spent: float = 0.0
    interrupted: bool = False

    @property
    def gap(self) -> float:
        """Share of the value by which another layout may be smaller, at most."""
        return max(0.0, 1.0 - self.bound / self.value) if self.value > 0.0 else 0.0


@dataclass(frozen=True, slots=True)
class AmongTrains:
    """What is proven about the choice of train for a wanted reduction.

    Of `found` trains in the window `ruled_out` have two axes too near each other for what is on them, wherever they
    turn; `settled` others, the chosen one included, have no layout in which `wish` ("hull", "height", "width") is
    below `bound`, every motor counted with its whole screw circle; `left` were not settled when the search ended. No
    layout of them lies below `bound` either, but of the last `unlisted` nothing is known. `value` is that of the layout
    that was taken. Not `counted`: there are more than `found`, and as many more `unlisted`.
    """

    wish: str
    found: int
    ruled_out: int
    settled: int
    left: int
    unlisted: int
    value: float
    bound: float
    boxes: int
    interrupted: bool = False
    counted: bool = True

    @property
    def gap(self) -> float:
        """Share of the value by which a layout of another train may be smaller, at most."""
        return max(0.0, 1.0 - self.bound / self.value) if self.value > 0.0 else 0.0


@dataclass(frozen=True, slots=True)
class Layout:
    """The finished layout. `clocking_rad` per motor; `hull_area_mm2` of the margin discs."""

    shafts: tuple[PlacedShaft, ...]
    gears: tuple[GearOnShaft, ...]
    meshes: tuple[PlacedMesh, ...]
    stack: Stack
    bodies: tuple[Body, ...]
    holes: tuple[Hole, ...]
    clocking_rad: tuple[tuple[str, float], ...]
    standoffs: tuple[tuple[float, float], ...]
    rail_holes: tuple[tuple[float, float], ...]
    hull_area_mm2: float
    solver_note: str = ""
    certificate: Certificate | None = None
    among: AmongTrains | None = None

    def shaft(self, name: str) -> PlacedShaft:
        """A placed shaft by its name. Raises StopIteration where there is none."""
        return next(shaft for shaft in self.shafts if shaft.name == name)
