"""What in a job's materials, plates and own holes contradicts itself, or cannot be."""

from __future__ import annotations

import math
import re

from gearplate.job.check_shafts import known_shaft
from gearplate.job.kinds import Profile
from gearplate.job.layout import material_name, measured_mm, nominal_mm, plate_tables
from gearplate.job.model.plates import Hole
from gearplate.job.plates import shop_of
from gearplate.job.reading import Reading
from gearplate.job.train import Names
from gearplate.layout.spec import Side
from gearplate.shop import NoCalibration
from gearplate.source import KeyPath

# A sheet this much off its nominal thickness is another sheet, or a slip of the pen (common practice, no source: the
# widest sold span in the shipped tables is 17 % under).
_OFF_NOMINAL = 0.2

_MOST_CORNERS = 200  # of all own windows: every edge is held against every other

# Names that the tool gives to holes of its own.
_OURS = re.compile(r"(output|[SIM]\d{1,2})-.*|(standoff|rail|window)-\d+|output|[SIM]\d{1,2}", re.IGNORECASE)


def check_plates(reading: Reading) -> None:
    """Materials, thicknesses, calibrations, webs."""
    for side in Side:
        _thickness(reading, side)
    file = reading.file
    if file.material is None and any(material_name(reading, side) is None for side in Side):
        about: tuple[KeyPath, ...] = tuple(("plates", side.value, "material") for side in Side)
        reading.say(("material",), "This key is missing.", Profile("materials").accepted, about)
    elif file.cutter is not None:
        for side in Side:
            _calibration(reading, side)
    plates, clear = file.plates, file.clearances
    if plates is not None and clear is not None and None not in (plates.web, clear.web) and plates.web != clear.web:
        message = f"clearances.web says another least web ({clear.web:g} mm)."
        reading.say(("plates", "web"), message, "one of them", about=(("clearances", "web"),))


def _thickness(reading: Reading, side: Side) -> None:
    _, one = plate_tables(reading, side)
    name = material_name(reading, side)
    material = None if name is None else reading.catalog.material(name)
    nominal = nominal_mm(reading, side)
    own: KeyPath = ("plates", side.value)
    if material is not None and nominal is not None and material.thickness_mm is not None:
        sheet = material.thickness_mm
        if abs(nominal - sheet) > _OFF_NOMINAL * sheet:
            others = [
                row.name
                for row in reading.catalog.materials().values()
                if row.family == material.family
                and row.thickness_mm is not None
                and abs(row.thickness_mm - nominal) <= _OFF_NOMINAL * row.thickness_mm
            ]
            message = (
                f"{material.name} is a sheet of {sheet:g} mm, and kerf and fits were measured on it: name a material "
                "of this thickness."
            )
            where = (*own, "thickness") if one.thickness is not None else ("plates", "thickness")
            accepted = f"near {sheet:g} mm" + (f", or the material {' or '.join(others)}" if others else "")
            reading.say(where, message, accepted, about=(("material",), (*own, "material")))
            return
    measured = measured_mm(reading, side)
    if measured is not None and nominal is not None and abs(measured - nominal) > _OFF_NOMINAL * nominal:
        where = (*own, "measured") if one.measured is not None else ("plates", "measured")
        low, high = (1 - _OFF_NOMINAL) * nominal, (1 + _OFF_NOMINAL) * nominal
        message = f"{measured:g} mm is far off the nominal thickness of {nominal:g} mm."
        about: tuple[KeyPath, ...] = (("material",), (*own, "material"), (*own, "thickness"), ("plates", "thickness"))
        reading.say(where, message, f"{low:.2f} to {high:.2f} mm", about)


def _calibration(reading: Reading, side: Side) -> None:
    _, one = plate_tables(reading, side)
    try:
        shop_of(reading, side)
    except NoCalibration as error:
        where: KeyPath = ("plates", side.value, "material") if one.material is not None else ("material",)
        reading.say(where, error.message[0].upper() + error.message[1:], ", ".join(error.known), about=(("cutter",),))


def check_holes(reading: Reading, known: Names) -> None:
    """Own holes: form, place, name."""
    taken: dict[str, str] = {}
    for key in ("holes", "keep_outs"):
        for number, table in enumerate(getattr(reading.file, key) or ()):
            path: KeyPath = (key, number, "name")
            if table.name is None:
                continue
            if table.name.lower() in taken:
                reading.say(path, "Another hole or keep-out has this name.", "a name of its own")
            elif _OURS.fullmatch(table.name):
                reading.say(path, "The tool gives such names to holes of its own.", 'such as "sensor" or "brace-1"')
            taken[table.name.lower()] = key
    corners = sum(len(hole.points or ()) for hole in reading.file.holes or ())
    if corners > _MOST_CORNERS:
        reading.say(("holes",), f"The own windows have {corners} corners in all.", f"at most {_MOST_CORNERS}")
    for number, hole in enumerate(reading.file.holes or ()):
        here: KeyPath = ("holes", number)
        _form(reading, here, hole)
        _hole_place(reading, here, hole, known)


_WANTED = {
    "circle": ("diameter",),
    "slot": ("diameter", "length"),
    "window": ("points",),
}


def _form(reading: Reading, path: KeyPath, hole: Hole) -> None:
    form = hole.form or "circle"
    if hole.form is None and reading.has(*path, "form"):
        return  # it was refused
    wanted = _WANTED[form]
    for key in wanted:
        if getattr(hole, key) is None:
            reading.say((*path, key), f"This key is missing: a {form} has it.", _words(wanted))
    for key in ("diameter", "length", "points", "corner_radius", "along"):
        allowed = key in wanted or (key == "corner_radius" and form == "window") or (key == "along" and form == "slot")
        if getattr(hole, key) is not None and not allowed:
            reading.say((*path, key), f"A {form} has no {key}.", _words(wanted), about=((*path, "form"),))
    if form == "window" and hole.points is not None:
        _polygon(reading, (*path, "points"), hole.points)
    if hole.fit is not None and hole.diameter is not None and hole.diameter + hole.fit <= 0:
        message = f"With this nothing is left of a {form} of {hole.diameter:g} mm."
        reading.say((*path, "fit"), message, f"more than {-hole.diameter:g} mm", about=((*path, "diameter"),))


def _words(keys: tuple[str, ...]) -> str:
    return " and ".join(keys)


def _hole_place(reading: Reading, path: KeyPath, hole: Hole, known: Names) -> None:
    window = hole.form == "window"
    about: tuple[KeyPath, ...]
    if hole.shaft is not None:
        known_shaft(reading, (*path, "shaft"), hole.shaft, known)
        if hole.at is not None:
            message = "This is hung on a shaft: its place counts from there."
            reading.say((*path, "at"), message, "offset = [dx, dy], or angle and radius")
    else:
        for key in ("offset", "radius"):
            if getattr(hole, key) is not None:
                about = ((*path, "shaft"),)
                reading.say((*path, key), "This counts from a shaft, and none is named.", "shaft, or at", about)
        if hole.at is None and hole.offset is None and hole.radius is None and not window:
            about = ((*path, "at"), (*path, "shaft"), (*path, "offset"), (*path, "radius"))
            reading.say(path, "This says no place.", "at = [x, y], or shaft with offset or angle and radius", about)
    if window:
        for key in ("at", "offset", "radius", "angle"):
            if getattr(hole, key) is not None:
                reading.say((*path, key), "A window lies where its points say.", "points, and shaft to count them from")
        return
    if hole.offset is not None and hole.radius is not None:
        reading.say((*path, "radius"), "An offset is given too.", "one of them")
    if hole.radius is not None and hole.angle is None:
        reading.say((*path, "angle"), "This key is missing: radius needs a direction.", "degrees", ((*path, "radius"),))
    if hole.angle is not None and hole.radius is None and hole.form in (None, "circle"):
        about = ((*path, "radius"), (*path, "form"))
        reading.say((*path, "angle"), "A round hole has no direction.", "angle with radius, from a shaft", about)


def _polygon(reading: Reading, path: KeyPath, points: tuple[tuple[float, float], ...]) -> None:
    """Corners that make a closed contour: none twice, no edge across another, some room inside."""
    count = len(points)
    edges = [(points[number], points[(number + 1) % count]) for number in range(count)]
    if any(math.dist(a, b) < 0.5 for a, b in edges):
        reading.say(path, "Two corners that follow each other are the same.", "corners at least 0.5 mm apart")
        return
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in edges) / 2
    if abs(area) < 1.0:
        reading.say(path, "These corners enclose nothing.", "corners in order round the window")
        return
    for first in range(count):
        for second in range(first + 2, count):
            if (second + 1) % count != first and _cross(edges[first], edges[second]):
                message = f"The edge from corner {first + 1} crosses the one from corner {second + 1}."
                reading.say(path, message, "corners in order round the window")
                return


Edge = tuple[tuple[float, float], tuple[float, float]]


def _cross(one: Edge, other: Edge) -> bool:
    def side(edge: Edge, point: tuple[float, float]) -> float:
        (ax, ay), (bx, by) = edge
        return (bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)

    return side(one, other[0]) * side(one, other[1]) <= 0 and side(other, one[0]) * side(other, one[1]) <= 0
