"""The whole job file."""

from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from gearplate.job.base import FORMAT
from gearplate.job.kinds import Count, ListOf, Profile, Text, WordOf
from gearplate.job.model.frame import SHAFT_NAME, Clearances, KeepOut, Limits, Rail, Standoffs, Wheel
from gearplate.job.model.plates import Hole, Plates
from gearplate.job.model.shafts import Place, Shaft
from gearplate.job.model.table import NEEDED, FalseOr, OneOrMany, Table
from gearplate.job.model.train import (
    ADDED_CENTRE,
    DIAMETRAL_PITCH,
    MODULE,
    PRESSURE_ANGLE,
    Motors,
    Reduction,
    Stage,
)

NAMED: dict[str, Any] = {"propertyNames": SHAFT_NAME.schema()}
UNITS = WordOf(("mm", "inch"))


class JobFile(Table):
    """A gearbox of two cut plates, as one job file says it."""

    needed: ClassVar[tuple[str, ...]] = ("part", "cutter", "wheel", "motors")

    format: Annotated[int | None, Count(1, FORMAT), Field(description="format of the file: 1")] = None
    part: Annotated[str, Text(60), Field(description="name of the part: on marks, pages and file names")] = NEEDED
    revision: Annotated[str | None, Text(12), Field(description="revision of the part")] = None
    title: Annotated[str | None, Text(200, empty=True), Field(description="what it is, for pages")] = None
    hand: Annotated[
        str | None,
        WordOf(("right", "left", "both")),
        Field(description="which of the robot's two gearboxes; the left one is the mirror of the right"),
    ] = None
    units: Annotated[str | None, UNITS, Field(description="units of bare lengths in this file")] = None
    drawing_units: Annotated[
        str | None, UNITS, Field(description="units of the cut files; default the cutter's own")
    ] = None
    base: Annotated[
        str | None, Text(300), Field(description="job that this one changes: a path from here, or a shipped job's name")
    ] = None
    drop: Annotated[
        tuple[str, ...] | None,
        ListOf(Text(200), 'dotted keys such as "limits.height"', least=0),
        Field(description="keys of the base that do not hold here"),
    ] = None
    profiles: Annotated[
        str | None, Text(300), Field(description="folder of tables that are laid over the shipped ones")
    ] = None
    cutter: Annotated[str, Profile("cutters"), Field(description="cutter in the profiles: kerf, fits, bed")] = NEEDED
    material: Annotated[str | None, Profile("materials"), Field(description="material of both plates")] = None
    diametral_pitch: Annotated[
        float | None, DIAMETRAL_PITCH, Field(description="of all gears: teeth per inch; this or module")
    ] = None
    module: Annotated[float | None, MODULE, Field(description="of all gears (a length); this or diametral_pitch")] = (
        None
    )
    pressure_angle: Annotated[float | None, PRESSURE_ANGLE, Field(description="of all gears: degrees")] = None
    added_centre: Annotated[
        float | None, ADDED_CENTRE, Field(description="running play added to every calculated centre distance")
    ] = None
    stages: Annotated[
        list[Stage] | None, Field(description="the train by tooth counts, from the pinion to the output", max_length=6)
    ] = None
    reduction: Annotated[Reduction | None, Field(description="a wanted ratio instead of stages")] = None
    motors: Annotated[
        list[Motors], OneOrMany(Motors), Field(max_length=4, description="one group of motors, or a list of them")
    ] = NEEDED
    shaft: Annotated[Shaft | None, Field(description="what holds for every shaft")] = None
    shafts: Annotated[
        dict[str, Shaft] | None,
        Field(
            description="single shafts by name: output, S1, S2, ..., I1, ...", max_length=20, json_schema_extra=NAMED
        ),
    ] = None
    wheel: Annotated[Wheel, Field(description="the wheel on the output axle")] = NEEDED
    rail: Annotated[
        Rail | Literal[False] | None, FalseOr(Rail), Field(description="the rail that carries it, or false")
    ] = None
    standoffs: Annotated[Standoffs | None, Field(description="posts between the plates")] = None
    limits: Annotated[Limits | None, Field(description="room in the robot")] = None
    plates: Annotated[Plates | None, Field(description="outline, thickness and marks of the plates")] = None
    places: Annotated[
        dict[str, Place] | None,
        Field(
            description="where shafts and motors stand, by name; the others are placed by the tool",
            max_length=30,
            json_schema_extra=NAMED,
        ),
    ] = None
    holes: Annotated[list[Hole] | None, Field(description="own holes, slots and windows", max_length=100)] = None
    keep_outs: Annotated[
        list[KeepOut] | None, Field(description="room that belongs to something else", max_length=100)
    ] = None
    clearances: Annotated[Clearances | None, Field(description="gaps that the tool keeps")] = None
