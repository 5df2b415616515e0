"""Plates and the user's own holes, as a job file writes them."""

from typing import Annotated, ClassVar

from gearplate.job.kinds import Flag, HoleName, ListOf, Profile, WordOf
from gearplate.job.lengths import POINT, Angle, Gap, Length
from gearplate.job.model.frame import SHAFT_NAME, Point
from gearplate.job.model.table import NEEDED, FalseOr, One, Table

THICKNESS = Length(0.8, 25)


class OnePlate(Table):
    """What holds for one of the two plates."""

    key: ClassVar[str] = "plates"

    material: Annotated[str | None, Profile("materials"), "its material, where they differ"] = None
    thickness: Annotated[float | None, THICKNESS, "nominal thickness"] = None
    measured: Annotated[float | None, THICKNESS, "thickness as measured on the sheet"] = None
    face_up: Annotated[
        str | None,
        WordOf(("outboard", "inboard")),
        "face that lies up in the cutter; default: the one from which its bearings are pressed",
    ] = None


class Lightening(Table):
    """Closed windows that take away mass."""

    key: ClassVar[str] = "plates.lightening"

    web: Annotated[float | None, Length(2, 60), "width of the webs that stay"] = None


class Plates(Table):
    """Both plates: outline, marks, the gap between them."""

    key: ClassVar[str] = "plates"

    thickness: Annotated[float | None, THICKNESS, "nominal; default the material's"] = None
    measured: Annotated[float | None, THICKNESS, "thickness as measured on the sheet"] = None
    margin: Annotated[float | None, Length(1.5, 50), "material round features and bodies"] = None
    outline: Annotated[
        str | None,
        WordOf(("hull", "waisted")),
        "hull: a band drawn tight round everything; waisted: hollows between, rounded",
    ] = None
    waist_radius: Annotated[float | None, Length(2, 200), "radius of the hollows"] = None
    cover_gears: Annotated[bool | None, Flag(), "the outline covers the gears, as a guard"] = None
    lightening: Annotated[Lightening | bool | None, FalseOr(Lightening, true_too=True), "windows, or false"] = None
    marks: Annotated[bool | None, Flag(), "etched names, arrows and counts"] = None
    letter_height: Annotated[float | None, Length(3, 20), "height of letters, 3 mm or more"] = None
    gap: Annotated[float | None, Length(5, 200), "distance between the plates; default: what the gears need"] = None
    washers: Annotated[bool | None, Flag(), "a washer under every screw head"] = None
    web: Annotated[float | None, Gap(0.5, 50), "least web between holes, as clearances.web"] = None
    outboard: Annotated[OnePlate | None, One(OnePlate), "the plate that faces the wheel"] = None
    inboard: Annotated[OnePlate | None, One(OnePlate), "the plate that faces the robot's middle"] = None


class Hole(Table):
    """A hole, slot or window of the user's own, by coordinate or hung on a shaft."""

    key: ClassVar[str] = "holes"
    needed: ClassVar[tuple[str, ...]] = ("name",)

    name: Annotated[str, HoleName(), "its name in the record and in findings"] = NEEDED
    plate: Annotated[str | None, WordOf(("outboard", "inboard", "both")), "the plate that has it"] = None
    form: Annotated[
        str | None,
        WordOf(("circle", "slot", "window")),
        "circle: diameter. slot: diameter wide, length between its end centres. window: points",
    ] = None
    kind: Annotated[
        str | None,
        WordOf(("own", "access", "relief")),
        "access: a driver passes it. relief: something stands proud in it. own: anything else",
    ] = None
    at: Annotated[Point | None, POINT, "[x, y] of its centre"] = None
    shaft: Annotated[str | None, SHAFT_NAME, "the shaft or motor that it is hung on"] = None
    offset: Annotated[Point | None, POINT, "[dx, dy] from that shaft"] = None
    radius: Annotated[
        float | None,
        Gap(0.5, 1000, zero=True),
        "distance from that shaft, in the direction of angle",
    ] = None
    diameter: Annotated[float | None, Gap(0.5, 200), "of a circle; width of a slot"] = None
    length: Annotated[float | None, Gap(0.5, 500), "of a slot, between its end centres"] = None
    angle: Annotated[
        float | None,
        Angle(),
        "with radius: direction from the shaft; else of a slot: direction of its length; degrees",
    ] = None
    along: Annotated[float | None, Angle(), "direction of a slot's length where angle says its place; degrees"] = None
    points: Annotated[
        tuple[Point, ...] | None,
        ListOf(POINT, "points [x, y]", least=3),
        "corners of a window, in order; from the shaft where it is hung on one",
    ] = None
    corner_radius: Annotated[float | None, Gap(0.3, 100, zero=True), "of a window"] = None
    fit: Annotated[float | None, Length(0.0, 2.0, signed=True), "how much wider it comes out than its size here"] = None
