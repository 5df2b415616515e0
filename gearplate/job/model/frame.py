"""What the gearbox stands on and must keep clear of, as a job file writes it: wheel, rail, standoffs, limits."""

from typing import Annotated, ClassVar

from gearplate.job.kinds import Count, HoleName, ListOf, Number, Profile, ShaftName, WordOf
from gearplate.job.lengths import BOX, COORDINATE, POINT, SPAN_Z, Gap, Length
from gearplate.job.model.table import NEEDED, Many, One, Table

SHAFT_NAME = ShaftName()
Point = tuple[float, float]


class Wheel(Table):
    """The wheel on the output axle."""

    key: ClassVar[str] = "wheel"
    needed: ClassVar[tuple[str, ...]] = ("diameter",)
    merged: ClassVar[bool] = True

    diameter: Annotated[float, Length(20, 500), "diameter over the tread"] = NEEDED
    width: Annotated[float | None, Length(3, 150), "width of the tread"] = None
    clear: Annotated[float | None, Gap(0.5, 50, zero=True), "least gap to all that does not turn with it"] = None
    gap: Annotated[float | None, Gap(0.5, 100, zero=True), "gap between the rail (or plate) and the wheel"] = None
    neighbours: Annotated[
        tuple[float, ...] | None,
        ListOf(COORDINATE, "places along x", least=0),
        "x of the other wheels on this side, from the output axle",
    ] = None


class Relief(Table):
    """A hole in the rail's wall, so that something on the plate can stand proud there."""

    needed: ClassVar[tuple[str, ...]] = ("diameter",)

    at: Annotated[Point | None, POINT, "[x, y] of its centre"] = None
    shaft: Annotated[str | None, SHAFT_NAME, "the shaft or motor that it is round"] = None
    diameter: Annotated[float, Length(2, 150), "diameter of the hole"] = NEEDED


class Rail(Table):
    """The tube rail of the frame that the plates are screwed to."""

    key: ClassVar[str] = "rail"

    height: Annotated[float | None, Length(10, 200), "height of the section"] = None
    width: Annotated[float | None, Length(10, 200), "width of the section, along the axle"] = None
    wall: Annotated[float | None, Length(0.8, 12), "wall thickness"] = None
    axle_from_bottom: Annotated[float | None, Length(2, 200), "height of the axle over the rail's lower face"] = None
    mount: Annotated[
        str | None,
        WordOf(("beside", "astride")),
        "both plates on the rail's inner side, or one on each side with the box above the rail",
    ] = None
    axle_hole: Annotated[float | None, Length(5, 100), "hole in the rail for the axle"] = None
    screw: Annotated[str | None, Profile("fasteners"), "screw that holds the plates to it"] = None
    tube: Annotated[float | None, Length(4, 50), "outside diameter of the tubes on these screws"] = None
    holes: Annotated[tuple[Point, ...] | None, ListOf(POINT, "points [x, y]"), "[x, y] of each screw"] = None
    count: Annotated[int | None, Count(2, 12), "how many screws, where the tool places them"] = None
    reliefs: Annotated[list[Relief] | None, Many(Relief, 100), "holes in its wall"] = None


class Standoffs(Table):
    """Posts that hold the plates apart, beside the screws into the rail."""

    key: ClassVar[str] = "standoffs"

    count: Annotated[int | None, Count(0, 12), "how many, where the tool places them"] = None
    screw: Annotated[str | None, Profile("fasteners"), "screw in each end"] = None
    diameter: Annotated[float | None, Length(4, 50), "outside diameter"] = None
    places: Annotated[tuple[Point, ...] | None, ListOf(POINT, "points [x, y]", least=0), "[x, y] of each"] = None


_ROOM = Length(10, 2000)


class Limits(Table):
    """Room in the robot for plates, motors and gears; what is not given is not limited."""

    height: Annotated[float | None, _ROOM, "overall extent along y"] = None
    width: Annotated[float | None, _ROOM, "overall extent along x"] = None
    forward: Annotated[float | None, _ROOM, "reach ahead of the axle"] = None
    back: Annotated[float | None, _ROOM, "reach behind the axle"] = None
    up: Annotated[float | None, _ROOM, "reach above the axle"] = None
    down: Annotated[float | None, _ROOM, "reach below the axle"] = None
    outward: Annotated[float | None, Gap(0.5, 1000, zero=True), "reach past the wheel's outer face"] = None
    inward: Annotated[float | None, _ROOM, "reach from the outboard plate's outer face toward the middle"] = None


class Wishes(Table):
    """What a layout is to be beyond what it must keep; of a wanted reduction the train is chosen by it as well."""

    key: ClassVar[str] = "layout"

    least: Annotated[
        tuple[str, ...] | None,
        ListOf(WordOf(("hull", "height", "width")), "of hull, height and width", single=True, distinct=True),
        "what is to be smallest: one, or several in order, each without spoiling those before",
    ] = None
    spend: Annotated[
        float | None,
        Number(0, 0.25),
        "part of it that may be given up for more clearance: 0.02 is 2 %",
    ] = None


class Clearances(Table):
    """Gaps that the tool keeps; the defaults are common practice."""

    key: ClassVar[str] = "clearances"

    gear_tip: Annotated[float | None, Gap(0.1, 20, zero=True), "gear tips to all but their mates"] = None
    still: Annotated[float | None, Gap(0.1, 20, zero=True), "between bodies that do not turn"] = None
    axial: Annotated[float | None, Gap(0.1, 20, zero=True), "beside a gear along its shaft"] = None
    web: Annotated[float | None, Gap(0.5, 50), "between holes; default the thickness, at least 3 mm"] = None


class Disc(Table):
    """A round keep-out."""

    needed: ClassVar[tuple[str, ...]] = ("at", "diameter")

    at: Annotated[Point, POINT, "[x, y] of its centre"] = NEEDED
    diameter: Annotated[float, Length(0.5, 1000), "diameter"] = NEEDED


class KeepOut(Table):
    """Room that belongs to something else: a disc or a box in the plane, with an extent along z."""

    needed: ClassVar[tuple[str, ...]] = ("name",)

    name: Annotated[str, HoleName(), "what findings call it"] = NEEDED
    disc: Annotated[Disc | None, One(Disc), "a round one"] = None
    box: Annotated[tuple[float, float, float, float] | None, BOX, "[x0, y0, x1, y1], a rectangle"] = None
    z: Annotated[
        tuple[float, float] | None,
        SPAN_Z,
        "[z0, z1] toward the wheel, 0 = the outboard plate's outer face; default: everywhere",
    ] = None
