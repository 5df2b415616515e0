"""The whole job file."""

from typing import Annotated, ClassVar, Literal

from gearplate.job.base import FORMAT
from gearplate.job.kinds import Count, ListOf, Profile, Text, WordOf
from gearplate.job.model.duty import Duty
from gearplate.job.model.frame import Clearances, KeepOut, Limits, Rail, Standoffs, Wheel, Wishes
from gearplate.job.model.plates import Hole, Plates
from gearplate.job.model.play import Play
from gearplate.job.model.shafts import Place, Shaft
from gearplate.job.model.table import NEEDED, FalseOr, Many, Named, One, Table
from gearplate.job.model.train import (
    ADDED_CENTRE,
    DIAMETRAL_PITCH,
    MODULE,
    PRESSURE_ANGLE,
    Motors,
    Reduction,
    Stage,
)

UNITS = WordOf(("mm", "inch"))


class JobFile(Table):
    """A gearbox of two cut plates, as one job file says it."""

    needed: ClassVar[tuple[str, ...]] = ("part", "cutter", "wheel", "motors")

    format: Annotated[int | None, Count(1, FORMAT), "format of the file: 1"] = None
    part: Annotated[str, Text(60), "name of the part: on marks, pages and file names"] = NEEDED
    revision: Annotated[str | None, Text(12), "revision of the part"] = None
    title: Annotated[str | None, Text(200, empty=True), "what it is, for pages"] = None
    hand: Annotated[
        str | None,
        WordOf(("right", "left", "both")),
        "which of the robot's two gearboxes; the left one is the mirror of the right",
    ] = None
    units: Annotated[str | None, UNITS, "units of bare lengths in this file"] = None
    drawing_units: Annotated[str | None, UNITS, "units of the cut files; default the cutter's own"] = None
    base: Annotated[str | None, Text(300), "job that this one changes: a path from here, or a shipped job's name"] = (
        None
    )
    drop: Annotated[
        tuple[str, ...] | None,
        ListOf(Text(200), 'dotted keys such as "limits.height"', least=0),
        "keys of the base that do not hold here",
    ] = None
    profiles: Annotated[str | None, Text(300), "folder of tables that are laid over the shipped ones"] = None
    cutter: Annotated[str, Profile("cutters"), "cutter in the profiles: kerf, fits, bed"] = NEEDED
    material: Annotated[str | None, Profile("materials"), "material of both plates"] = None
    diametral_pitch: Annotated[float | None, DIAMETRAL_PITCH, "of all gears: teeth per inch; this or module"] = None
    module: Annotated[float | None, MODULE, "of all gears (a length); this or diametral_pitch"] = None
    pressure_angle: Annotated[float | None, PRESSURE_ANGLE, "of all gears: degrees"] = None
    added_centre: Annotated[
        float | str | None, ADDED_CENTRE, 'running play added to every calculated centre distance, or "auto"'
    ] = None
    stages: Annotated[
        list[Stage] | None, Many(Stage, 6), "the train by tooth counts, from the pinion to the output"
    ] = None
    reduction: Annotated[Reduction | None, One(Reduction), "a wanted ratio instead of stages"] = None
    motors: Annotated[list[Motors], Many(Motors, 4, or_one=True), "one group of motors, or a list of them"] = NEEDED
    shaft: Annotated[Shaft | None, One(Shaft), "what holds for every shaft"] = None
    shafts: Annotated[
        dict[str, Shaft] | None,
        Named(Shaft, 20),
        "single shafts by name: output, S1, S2, ..., I1, ...",
    ] = None
    wheel: Annotated[Wheel, One(Wheel), "the wheel on the output axle"] = NEEDED
    rail: Annotated[Rail | Literal[False] | None, FalseOr(Rail), "the rail that carries it, or false"] = None
    standoffs: Annotated[Standoffs | None, One(Standoffs), "posts between the plates"] = None
    limits: Annotated[Limits | None, One(Limits), "room in the robot"] = None
    plates: Annotated[Plates | None, One(Plates), "outline, thickness and marks of the plates"] = None
    places: Annotated[
        dict[str, Place] | None,
        Named(Place, 30),
        "where shafts and motors stand, by name; the others are placed by the tool",
    ] = None
    holes: Annotated[list[Hole] | None, Many(Hole, 100), "own holes, slots and windows"] = None
    keep_outs: Annotated[list[KeepOut] | None, Many(KeepOut, 100), "room that belongs to something else"] = None
    clearances: Annotated[Clearances | None, One(Clearances), "gaps that the tool keeps"] = None
    layout: Annotated[Wishes | None, One(Wishes), "what the tool is after where it places shafts"] = None
    play: Annotated[Play | None, One(Play), "what the play of the gears is reckoned with"] = None
    duty: Annotated[Duty | None, One(Duty), "what the machine weighs and does: strength and life are rated by it"] = (
        None
    )
