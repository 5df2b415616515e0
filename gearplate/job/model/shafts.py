"""Shafts, their bearings and their places, as a job file writes them."""

from typing import Annotated, ClassVar, Literal

from gearplate.job.kinds import Flag, Profile, WordOf
from gearplate.job.lengths import POINT, Angle, Fit, Gap, Length
from gearplate.job.model.table import FalseOr, Table

_Length = float  # a key below has that name
FACES = WordOf(("gap", "outside"))


class Seat(Table):
    """The bearing of one shaft in one plate; `false` in its place: that plate does not carry the shaft."""

    key: ClassVar[str] = "shaft"
    bearing: Annotated[str | None, Profile("bearings"), "designation of the bearing"] = None
    pressed_from: Annotated[str | None, FACES, "face from which it is pressed: gap = toward the gears, or outside"] = (
        None
    )
    fit: Annotated[float | str | None, Fit(), 'bore less bearing (below zero = press), or a class such as "H7"'] = None
    retainer: Annotated[bool | None, Flag(), "a screwed plate or ring holds it"] = None


class Shaft(Table):
    """A shaft in the plates: `shaft` holds for all of them, `shafts.NAME` for one."""

    key: ClassVar[str] = "shaft"

    stock: Annotated[str | None, Profile("shafts"), "bar in the profiles, round or hexagonal"] = None
    turns: Annotated[bool | None, Flag(), "false: fixed in the plates, its gears turn on it"] = None
    bearing: Annotated[str | None, Profile("bearings"), "its bearing in both plates"] = None
    pressed_from: Annotated[str | None, FACES, "face from which bearings are pressed"] = None
    fit: Annotated[
        float | str | None,
        Fit(),
        "bore less bearing, or, of a fixed shaft, hole less shaft; a length or a class of ISO 286",
    ] = None
    retainer: Annotated[bool | None, Flag(), "a screwed plate or ring holds its bearings"] = None
    spacer: Annotated[float | None, Length(4, 80), "outside diameter of the spacers on the shaft"] = None
    float: Annotated[
        _Length | None,
        Gap(0.05, 5, zero=True),
        "play along it that is left on purpose between its bearings",
    ] = None
    held_by: Annotated[str | None, Profile("retainers"), "ring or collar that keeps it from moving along"] = None
    outboard: Annotated[Seat | Literal[False] | None, FalseOr(Seat), "its bearing in the outboard plate, or false"] = (
        None
    )
    inboard: Annotated[Seat | Literal[False] | None, FalseOr(Seat), "its bearing in the inboard plate, or false"] = None
    carried_by: Annotated[
        str | None,
        WordOf(("plates", "blocks", "both")),
        "output only: the plates' bearings, bearing blocks in the rail, or both",
    ] = None
    block_bearing: Annotated[
        str | None, Profile("bearings"), "output only: designation of the bearing in each block, to rate it"
    ] = None


class Place(Table):
    """Where a shaft or motor stands: by angle about the shaft it meshes with, or by coordinate."""

    angle: Annotated[
        float | None,
        Angle(),
        "direction from the shaft nearer to the output, degrees from forward toward up",
    ] = None
    at: Annotated[tuple[float, float] | None, POINT, "[x forward, y up] from the output axle"] = None
