"""A zoo of named designs: every writer and rule should hold over all of it.

All belong to the compost rover of a community garden and its neighbours; rover, garden and drives are invented. Each
is the text of a job file, built as a user's would be: `gearplate.job.load`, then `gearplate.build.make`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from gearplate.build import make
from gearplate.job.load import load_job_text
from gearplate.job.spec import JobSpec
from gearplate.record.design import Design

TABLES = Path(__file__).parent / "whole" / "tables"
"""A folder of profiles of our own: a cutter that draws too small and has its file corrected for it."""

INCH = 'format = 1\nunits = "inch"\ncutter = "demo"\nmaterial = "acetal-6mm"\n'
METRIC = 'format = 1\nunits = "mm"\ncutter = "demo"\nmaterial = "acetal-6mm"\n'
WHEEL = "wheel = {diameter = 4}\n"
TWO_STAGES = "diametral_pitch = 20\nstages = [{driven = 72}, {driver = 32, driven = 60}]\n"
ONE = 'motors = {type = "generic-a", pinion = 12}\n'
TWO = 'motors = {type = "generic-a", count = 2, pinion = 12}\n'
THREE = 'motors = {type = "generic-a", count = 3, pinion = 12}\n'
PLACED = "places = {S1 = {angle = 77}, M1 = {angle = 75}, M2 = {angle = 150}}\n"
STANDARD = INCH + WHEEL + TWO_STAGES


@dataclass(frozen=True)
class Job:
    """The text of one job. `tables`: its folder of profiles, where it has one of its own."""

    text: str
    tables: Path | None = field(default=None)


def _with(cutter: str, text: str) -> str:
    return text.replace('cutter = "demo"', f'cutter = "{cutter}"')


OWN_CUTOUTS = """
[[holes]]
name = "encoder"
plate = "inboard"
shaft = "S1"
radius = 1.02
angle = 200
diameter = 0.16
fit = "0.1 mm"

[[holes]]
name = "cable-tie"
form = "slot"
plate = "outboard"
at = ["-36 mm", "65 mm"]
diameter = "4 mm"
length = "8 mm"
angle = 70

[[holes]]
name = "sensor"
form = "slot"
plate = "inboard"
shaft = "output"
radius = "36 mm"
angle = 250
along = 160
diameter = "3.5 mm"
length = "6 mm"

[[holes]]
name = "label"
form = "window"
shaft = "output"
points = [["-30 mm", "28 mm"], ["-18 mm", "28 mm"], ["-18 mm", "36 mm"], ["-30 mm", "36 mm"]]
corner_radius = "2.5 mm"

[[holes]]
name = "brace"
at = ["-45 mm", "28 mm"]
diameter = "4.3 mm"

[[holes]]
name = "hatch"
form = "window"
plate = "inboard"
fit = "0.3 mm"
points = [["-20 mm", "96 mm"], ["-4 mm", "99 mm"], ["-10 mm", "107 mm"]]
"""

ZOO: dict[str, Job] = {
    "single-pair": Job(
        METRIC
        + """part = "sieve"
wheel = {diameter = 100, width = 20}
module = 1.25
stages = [{driven = 60}]
motors = {type = "generic-b", pinion = 11, side = "inboard"}
shaft = {stock = "round-12mm"}
"""
    ),
    "two-stages-three-motors": Job(STANDARD + THREE + 'part = "compost-drive"\n'),
    "every-place-given": Job(STANDARD + TWO + PLACED + 'part = "compost-placed"\n'),
    "one-motor-inboard": Job(
        STANDARD
        + """part = "compost-inboard"
motors = [{type = "generic-a", count = 2, pinion = 12}, {type = "generic-a", pinion = 12, side = "inboard"}]
"""
    ),
    "idler-on-a-fixed-shaft": Job(
        INCH
        + WHEEL
        + ONE
        + """part = "barrow"
diametral_pitch = 20
stages = [{idlers = [42], driven = 60}]
shafts.I1 = {stock = "round-8mm", turns = false, fit = "0.02 mm"}
"""
    ),
    "metric-both-hands": Job(
        METRIC
        + """part = "sprayer"
revision = "B"
hand = "both"
plates.measured = 6.1
wheel = {diameter = 125, width = 30}
rail = {height = 40, width = 40, wall = 3, screw = "M5", tube = 12}
standoffs = {count = 3, screw = "M5", diameter = 12}
module = 1.25
stages = [{driven = 72}, {driver = 28, driven = 60}]
motors = {type = "generic-b", count = 2, pinion = 11}
shaft = {stock = "round-12mm", bearing = "F6801ZZ"}
"""
    ),
    "left-hand": Job(STANDARD + TWO + PLACED + 'part = "compost-other-side"\nhand = "left"\n'),
    "both-hands-drawn-in-inches": Job(
        STANDARD
        + TWO
        + PLACED
        + 'part = "compost-pair"\nhand = "both"\ndrawing_units = "inch"\nplates = {outline = "waisted"}\n'
    ),
    "lead-ins": Job(_with("demo-lead-in", STANDARD) + TWO + PLACED + 'part = "compost-run-in"\n'),
    "kerf-by-axis": Job(
        _with("demo-axis", STANDARD)
        + 'motors = {type = "generic-a", count = 2, pinion = 12, slots = "2 mm"}\n'
        + PLACED
        + """part = "compost-oval"
[[holes]]
name = "label"
form = "window"
corner_radius = "2 mm"
points = [["-38 mm", "58 mm"], ["-26 mm", "58 mm"], ["-26 mm", "66 mm"], ["-38 mm", "66 mm"]]
"""
    ),
    "machine-compensates": Job(
        _with("demo-machine-compensates", STANDARD) + TWO + PLACED + 'part = "compost-machine"\nhand = "both"\n'
    ),
    "scale-corrected": Job(
        _with("demo-small", STANDARD) + TWO + PLACED + 'part = "compost-shrunk"\nhand = "both"\n', TABLES
    ),
    "waisted": Job(
        STANDARD + THREE + 'part = "compost-waist"\nplates = {outline = "waisted", waist_radius = "15 mm"}\n'
    ),
    "lightened": Job(STANDARD + TWO + PLACED + 'part = "compost-light"\nplates = {lightening = {web = "8 mm"}}\n'),
    "guarded": Job(
        STANDARD
        + TWO
        + PLACED
        + 'part = "compost-guard"\nplates = {cover_gears = true, outline = "waisted", lightening = true}\n'
    ),
    "own-cutouts": Job(STANDARD + TWO + PLACED + 'part = "compost-cutouts"\n' + OWN_CUTOUTS),
    "slotted-motors": Job(
        STANDARD
        + 'motors = {type = "generic-a", count = 2, pinion = 12, slots = "1.5 mm"}\n'
        + PLACED
        + 'part = "compost-slots"\nhand = "both"\n'
    ),
    "fixed-round-shaft": Job(
        STANDARD + TWO + PLACED + 'part = "compost-fixed"\nshafts.S1 = {stock = "round-12mm", turns = false}\n'
    ),
    "carried-by-blocks": Job(
        STANDARD + TWO + PLACED + 'part = "compost-blocks"\nshafts.output = {carried_by = "blocks"}\n'
    ),
    "astride-the-rail": Job(
        INCH
        + TWO_STAGES
        + """part = "trench"
wheel = {diameter = 6}
rail = {mount = "astride", height = 1, width = 1.5, wall = 0.125, axle_from_bottom = 2.6, count = 2}
motors = {type = "generic-a", count = 2, pinion = 12, side = "inboard"}
"""
    ),
    "no-rail": Job(STANDARD + THREE + 'part = "compost-free"\nrail = false\nstandoffs = {count = 5}\n'),
    "thick-and-thin": Job(
        STANDARD
        + TWO
        + PLACED
        + """part = "compost-thick"
[plates.outboard]
material = "acetal-quarter-inch"
measured = "6.42 mm"
[plates.inboard]
measured = "5.93 mm"
"""
    ),
    "wanted-reduction": Job(
        INCH
        + WHEEL
        + TWO
        + """part = "hopper"
diametral_pitch = 20
reduction = {ratio = "11.25", within = 0.02, stages = 2, driven = [72, 60], drivers = [28, 30, 32]}
"""
    ),
    "keep-outs-and-limits": Job(
        STANDARD
        + TWO
        + """part = "compost-tight"
limits = {height = 9, width = 7, forward = 5, back = 5, up = 7, down = 2, outward = 6, inward = 3}
[[keep_outs]]
name = "hose"
disc = {at = [-3.5, 2], diameter = 0.8}
z = [-2.5, 1.5]
[[keep_outs]]
name = "battery"
box = [4.2, 4, 6, 8]
"""
    ),
    "service-cut-in-metal": Job(
        _with("demo-fibre", STANDARD).replace("acetal-6mm", "aluminium-6mm") + TWO + PLACED + 'part = "compost-metal"\n'
    ),
    "older-teeth": Job(
        INCH
        + WHEEL
        + """part = "compost-old"
diametral_pitch = 20
pressure_angle = 14.5
stages = [{driven = 72}, {driver = 36, driven = 60}]
motors = {type = "generic-a", count = 2, pinion = 32, side = "inboard"}
added_centre = "0.08 mm"
"""
    ),
    "steep-teeth": Job(
        INCH
        + WHEEL
        + """part = "compost-steep"
diametral_pitch = 20
pressure_angle = 25
stages = [{driven = 72, added_centre = 0.001}, {driver = 32, driven = 60}]
motors = {type = "generic-a", count = 2, pinion = 14}
"""
    ),
    "shifted-teeth": Job(
        METRIC
        + """part = "compost-shift"
wheel = {diameter = 100}
module = 1.25
added_centre = 0.03
stages = [{driven = {teeth = 72, shift = -0.2, thinning = 0.05}},
          {driver = {teeth = 30, shift = 0.3}, driven = {teeth = 60, shift = 0.4, tip_diameter = 78.3}}]
motors = {type = "generic-b", count = 2, pinion = {teeth = 12, shift = 0.6, thinning = 0.02}}
shaft = {stock = "round-12mm"}
"""
    ),
    "its-own-mirror": Job(
        STANDARD
        + """part = "compost-even"
hand = "both"
motors = {type = "generic-a", pinion = 12, clocking = 0}
places = {S1 = {angle = 90}, M1 = {angle = 90}}
rail = {holes = [[1.8, -0.5], [1.8, 0.5], [-1.8, -0.5], [-1.8, 0.5]]}
standoffs = {places = [[2.1, 3.2], [-2.1, 3.2], [1.75, 5], [-1.75, 5]]}
"""
    ),
    "pressed-from-outside": Job(
        STANDARD
        + TWO
        + PLACED
        + """part = "compost-outside"
shaft = {pressed_from = "outside", retainer = true, fit = "N7"}
rail = {axle_hole = 1.35}
"""
    ),
    "faces-swapped": Job(
        STANDARD
        + TWO
        + PLACED
        + """part = "compost-turned"
hand = "both"
plates = {outboard = {face_up = "outboard"}, inboard = {face_up = "inboard"}}
"""
    ),
    # the inboard motors' shafts end beside the small outboard plate, until it grows round holes for a driver
    "plate-that-grows-over-a-shaft": Job(
        METRIC
        + """part = "compost-grown"
wheel = {diameter = 101.6, width = 20, gap = 10}
diametral_pitch = 20
stages = [{driven = 66}, {driver = 36, driven = 64}]
motors = [{type = "generic-a", count = 2, pinion = 13, side = "inboard"}]
rail = {height = 50.8, width = 50.8, count = 6}
plates = {outline = "waisted"}
"""
    ),
    "plain": Job(
        STANDARD + TWO + PLACED + 'part = "compost-plain"\nplates = {marks = false, washers = false, margin = "8 mm"}\n'
    ),
}

OWN_MIRROR = frozenset({"its-own-mirror"})


def job(name: str, sets: Iterable[str] = ()) -> JobSpec:
    """A job of the zoo, loaded; `sets` as for `gearplate build --set`."""
    one = ZOO[name]
    return load_job_text(one.text, f"{name}.toml", one.tables, sets)


@cache
def built(name: str) -> Design:
    """A design of the zoo; made once in each process."""
    return make(job(name))
