"""What the axial plan is made of. All z in the frame of the stack (mm, toward the wheel, 0 = outboard outer face)."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearplate.catalog.fasteners import Fastener
from gearplate.layout.spec import Role


class PartKind(StrEnum):
    """What sits on a shaft, by the word that pages and lists use for it."""

    RETAINER = "retainer"
    SHIM = "shim"
    BEARING = "bearing"
    SPACER = "spacer"
    GEAR = "gear"
    WALL = "rail wall"
    SPROCKET = "sprocket"
    BLOCKS = "bearing blocks"
    WHEEL = "wheel"


@dataclass(frozen=True, slots=True)
class AxialPart:
    """One part on a shaft, from z0 to z1, with the disc that it fills. `stacked`: it bears on its neighbours along the
    shaft; a rail's wall is only passed."""

    kind: PartKind
    name: str
    z0_mm: float
    z1_mm: float
    outside_mm: float
    stacked: bool = True

    @property
    def length_mm(self) -> float:
        """Along the shaft."""
        return self.z1_mm - self.z0_mm


@dataclass(frozen=True, slots=True)
class ShaftPlan:
    """A shaft with all that sits on it, in order of z, the float shared by both ends.

    `z0_mm`, `z1_mm`: the shaft as cut. `float_mm`: how far the parts between the plates can move, all told. `held_by`:
    the ring or collar that keeps the shaft itself from moving along, None where the blocks or its fit must do it, where
    none of its size is known, or where there is no room for one (`room_short_mm` > 0). `bench`: blocks carry it, whose
    size is not known; spacers beside them are cut and the float is set there, and `float_mm` is what the job wants.
    """

    name: str
    role: Role
    parts: tuple[AxialPart, ...]
    z0_mm: float
    z1_mm: float
    float_mm: float
    held_by: str | None
    room_short_mm: float = 0.0
    bench: bool = False

    @property
    def length_mm(self) -> float:
        """To which the shaft is cut."""
        return self.z1_mm - self.z0_mm

    def of(self, kind: PartKind) -> tuple[AxialPart, ...]:
        """Its parts of one kind, in order of z."""
        return tuple(part for part in self.parts if part.kind is kind)


@dataclass(frozen=True, slots=True)
class PinionPlan:
    """Where a pinion sits on its motor's shaft, counted from the motor's face. `held_mm`: how much of its face the
    shaft holds; `past_mm`: the shaft beyond it (below zero: it ends inside)."""

    motor: str
    from_mm: float
    to_mm: float
    shaft_length_mm: float
    held_mm: float
    past_mm: float
    boss_room_mm: float  # from the pilot boss's top to the pinion


@dataclass(frozen=True, slots=True)
class PostPlan:
    """Standoffs or tubes across the gap. `tapped_mm`: thread that each end of a standoff must have."""

    what: str
    count: int
    length_mm: float
    outside_mm: float
    tapped_mm: float | None


@dataclass(frozen=True, slots=True)
class ScrewPlan:
    """Screws of one kind and length. `grip_mm`: what lies between head and thread; `engaged_mm`: length in the thread
    (through the nut where there is one); `thread_mm`: how much thread there is, None behind a nut; `wanted_mm`: the
    least engagement. `stock`: the length is one of those on hand."""

    what: str
    whom: tuple[str, ...]
    screw: Fastener
    length_mm: float
    count: int
    grip_mm: float
    engaged_mm: float
    wanted_mm: float
    thread_mm: float | None
    nut: bool
    washers: int
    stock: bool


@dataclass(frozen=True, slots=True)
class AxialPlan:
    """All that follows from a layout along z: every turning shaft with its parts, where pinions sit, how long posts and
    screws are. Lengths in mm; z as in the module's head. Made by `layout.axial.plan`."""

    shafts: tuple[ShaftPlan, ...]
    pinions: tuple[PinionPlan, ...]
    posts: tuple[PostPlan, ...]
    screws: tuple[ScrewPlan, ...]

    def shaft(self, name: str) -> ShaftPlan:
        """The plan of one shaft by its name. Raises StopIteration where there is none."""
        return next(shaft for shaft in self.shafts if shaft.name == name)
