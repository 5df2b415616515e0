"""What in a job's rail, standoffs, limits and keep-outs contradicts itself, or cannot be."""

from __future__ import annotations

import math
from collections.abc import Sequence

from gearplate.job.check_shafts import known_shaft
from gearplate.job.defaults import DEFAULTS
from gearplate.job.layout import measured_mm, nominal_mm
from gearplate.job.model.frame import Rail
from gearplate.job.reading import Reading
from gearplate.job.shafts import tables_of, usual_bearing
from gearplate.job.train import Names
from gearplate.layout.spec import Side
from gearplate.source import KeyPath

Point = tuple[float, float]

_MOST_RAIL_SCREWS = 24  # far more than a rail wants; each costs the search time


def check_frame(reading: Reading, known: Names) -> None:
    """Rail, standoffs, limits, keep-outs."""
    file = reading.file
    if isinstance(file.rail, Rail):
        _rail(reading, file.rail, known)
    _standoffs(reading)
    _limits(reading)
    for number, keep in enumerate(file.keep_outs or ()):
        path: KeyPath = ("keep_outs", number)
        if keep.disc is not None and keep.box is not None:
            reading.say(path, "This is both a disc and a box.", "one of them")
        elif keep.disc is None and keep.box is None:
            about = ((*path, "disc"), (*path, "box"))
            reading.say(path, "This has no form.", "disc = {at, diameter} or box = [x0, y0, x1, y1]", about)


def _length(key: str, given: float | None) -> float:
    value = given if given is not None else DEFAULTS[key].value
    assert isinstance(value, float)
    return value


def _rail(reading: Reading, rail: Rail, known: Names) -> None:
    path: KeyPath = ("rail",)
    height, width = _length("rail.height", rail.height), _length("rail.width", rail.width)
    wall = _length("rail.wall", rail.wall)
    axle = height / 2 if rail.axle_from_bottom is None else rail.axle_from_bottom
    about: tuple[KeyPath, ...] = (("rail", "height"),)
    if 2 * wall >= min(height, width):
        message = f"Two walls of {wall:g} mm fill a rail of {width:g} x {height:g} mm."
        reading.say((*path, "wall"), message, f"less than {min(height, width) / 2:g} mm", about)
    if axle >= height and rail.mount != "astride":
        message = f"Beside the rail the axle stands in it, and it is {height:g} mm high."
        reading.say((*path, "axle_from_bottom"), message, f'less than {height:g} mm, or mount = "astride"', about)
    if rail.axle_hole is not None and rail.axle_hole >= height:
        message = f"The rail is only {height:g} mm high."
        reading.say((*path, "axle_hole"), message, f"less than {height:g} mm", about)
    if rail.holes is not None:
        if len(rail.holes) > _MOST_RAIL_SCREWS:
            message = f"These are {len(rail.holes)} screws into one rail."
            reading.say((*path, "holes"), message, f"at most {_MOST_RAIL_SCREWS}")
        if rail.count is not None and rail.count != len(rail.holes):
            message = f"{len(rail.holes)} places are given in rail.holes."
            reading.say((*path, "count"), message, f"{len(rail.holes)}, or no count, or no places")
        _distinct(reading, (*path, "holes"), rail.holes)
        for x, y in rail.holes:
            if not -axle < y < height - axle:
                message = f"The hole at ({x:g}, {y:g}) mm is not in the rail."
                reading.say((*path, "holes"), message, f"y from {-axle:g} to {height - axle:g} mm", about)
    for number, relief in enumerate(rail.reliefs or ()):
        here: KeyPath = (*path, "reliefs", number)
        if (relief.at is None) == (relief.shaft is None):
            message = "A relief is round a shaft or at a place." if relief.at else "This says no place."
            reading.say(here, message, "shaft or at, one of them", ((*here, "at"), (*here, "shaft")))
        if relief.shaft is not None:
            known_shaft(reading, (*here, "shaft"), relief.shaft, known)
    gap = reading.file.plates.gap if reading.file.plates is not None else None
    if rail.mount == "astride" and gap is not None and abs(gap - width) > 0.001:
        message = f"The plates stand astride the rail, which is {width:g} mm wide: that is the gap."
        reading.say(("plates", "gap"), message, f"{width:g} mm, or no gap", (("rail", "width"), ("rail", "mount")))


def _distinct(reading: Reading, path: KeyPath, points: Sequence[Point]) -> None:
    for number, point in enumerate(points):
        if any(math.dist(point, other) < 0.5 for other in points[:number]):
            message = f"Two places are the same: ({point[0]:g}, {point[1]:g}) mm."
            reading.say(path, message, "places at least 0.5 mm apart")
            return


def _standoffs(reading: Reading) -> None:
    table = reading.file.standoffs
    places = table.places if table is not None else None
    count = table.count if table is not None else None
    if places is not None:
        if count is not None and count != len(places):
            message = f"{len(places)} places are given in standoffs.places."
            reading.say(("standoffs", "count"), message, f"{len(places)}, or no count, or no places")
        if len(places) > 12:
            reading.say(("standoffs", "places"), f"These are {len(places)} standoffs.", "at most 12")
        _distinct(reading, ("standoffs", "places"), places)
        count = len(places)
    if reading.file.rail is False and count is not None and count < 2:
        message = "Without a rail only standoffs hold the plates together."
        key = "count" if places is None else "places"
        reading.say(("standoffs", key), message, "2 or more", about=(("rail",),))


def _limits(reading: Reading) -> None:
    limits = reading.file.limits
    if limits is None:
        return
    tables = tables_of(reading, "output")
    stock = tables.stock(reading.catalog)
    bearing = usual_bearing(reading.catalog, stock.section)
    name = tables.bearing_name(Side.OUTBOARD, stock, reading.catalog)
    if name is not None:
        bearing = reading.catalog.bearing(name)
    plates = reading.file.plates
    margin = _length("plates.margin", plates.margin if plates is not None else None)
    bore = stock.section.corners_mm if bearing is None else bearing.outside_mm
    least = bore + 2 * margin
    about: tuple[KeyPath, ...] = (("shafts",), ("shaft",), ("plates",))
    for key in ("height", "width"):
        room = getattr(limits, key)
        if room is not None and room < least:
            message = f"The plate round the output's bore alone is {least:.2f} mm across ({bore:g} + 2 x {margin:g})."
            reading.say(("limits", key), message, f"at least {least:.2f} mm", about)
    for key in ("forward", "back", "up", "down"):
        room = getattr(limits, key)
        if room is not None and room < least / 2:
            message = f"The plate round the output's bore alone reaches {least / 2:.2f} mm."
            reading.say(("limits", key), message, f"at least {least / 2:.2f} mm", about)
    gap = plates.gap if plates is not None else None
    if limits.inward is not None:
        sheets = sum(measured_mm(reading, side) or nominal_mm(reading, side) or 0.0 for side in Side)
        if sheets + (gap or 0.0) > limits.inward:
            message = f"Both plates{' and the gap between them' if gap else ''} take {sheets + (gap or 0.0):.2f} mm."
            reading.say(("limits", "inward"), message, f"more than {sheets + (gap or 0.0):.2f} mm", about)
