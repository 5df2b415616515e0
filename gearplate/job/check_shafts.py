"""What in a job's shafts, bearings and places contradicts itself, or cannot be."""

from __future__ import annotations

from collections.abc import Iterable

from gearplate.catalog.row import Bore
from gearplate.catalog.shafts import ShaftStock
from gearplate.job.kinds import near_text
from gearplate.job.model.shafts import Place, Seat
from gearplate.job.reading import Reading
from gearplate.job.shafts import ShaftTables, fits, tables_of, usual_bearing
from gearplate.job.train import Names
from gearplate.layout.spec import Side
from gearplate.shop import FitError, class_allowance_mm
from gearplate.source import KeyPath

_ONLY_OUTPUT = "Only the output can be carried by blocks in the rail."


def check_shafts(reading: Reading, known: Names) -> None:
    """Names, forms, bearings and seats of the shafts; who carries the output."""
    for name in reading.file.shafts or {}:
        path: KeyPath = ("shafts", name)
        if name in known.motors:
            reading.say(path, "A motor brings its own shaft; nothing can be said of it here.", _list(known.carried))
        elif name not in known.carried:
            _unknown(reading, path, name, known.carried)
    general = reading.file.shaft
    if general is not None and general.carried_by is not None:
        reading.say(("shaft", "carried_by"), _ONLY_OUTPUT, "shafts.output.carried_by")
    if general is not None and general.block_bearing is not None:
        reading.say(("shaft", "block_bearing"), _ONLY_OUTPUT, "shafts.output.block_bearing")
    for name in known.carried:
        _shaft(reading, name)
    _output(reading)


def check_places(reading: Reading, known: Names) -> None:
    """Places by angle or coordinate, of shafts that there are."""
    for name, place in (reading.file.places or {}).items():
        path: KeyPath = ("places", name)
        if name == "output":
            if place.angle is not None or (place.at is not None and place.at != (0.0, 0.0)):
                reading.say(path, "The output axle is the origin of all coordinates.", "no place, or at = [0, 0]")
            continue
        if name not in known.carried and name not in known.motors:
            _unknown(reading, path, name, (*known.carried[:-1], *known.motors))
        _place(reading, path, place)


def known_shaft(reading: Reading, path: KeyPath, name: str, known: Names) -> None:
    """Says so where a hole or relief is hung on a shaft or motor that the job does not have."""
    there = (*known.carried, *known.motors)
    if name not in there:
        _unknown(reading, path, name, there)


def _unknown(reading: Reading, path: KeyPath, name: str, known: Iterable[str]) -> None:
    file = reading.file
    if (reading.has("stages") and file.stages is None) or (reading.has("motors") and file.motors is None):
        return  # how many there are could not be read
    names = tuple(known)
    reading.say(path, f"This job has no shaft or motor {name[:20]}.{near_text(name, names)}", _list(names))


def _list(names: Iterable[str]) -> str:
    return ", ".join(names)


def _place(reading: Reading, path: KeyPath, place: Place) -> None:
    if place.angle is not None and place.at is not None:
        message = "Both an angle and coordinates are given."
        reading.say(path, message, "angle or at, one of them")
    elif place.angle is None and place.at is None:
        message = "This says no place."
        about = ((*path, "angle"), (*path, "at"))
        reading.say(path, message, "angle = degrees or at = [x, y]; leave the shaft out to have it placed", about)


def _shaft(reading: Reading, name: str) -> None:
    tables = tables_of(reading, name)
    path: KeyPath = ("shafts", name)
    stock = tables.stock(reading.catalog)
    if tables.own.held_by is not None:
        held_by = reading.catalog.retainer(tables.own.held_by)
        if not fits(held_by.section, stock.section):
            message = f"It fits {held_by.section}, and the shaft {name} is {stock.name} ({stock.section})."
            reading.say((*path, "held_by"), message, "a ring or collar of that size")
    if not tables.turns:
        _fixed(reading, name, tables)
        return
    spacer = tables.own.spacer or tables.all.spacer
    if spacer is not None and spacer <= stock.section.corners_mm:
        where = (*path, "spacer") if tables.own.spacer else ("shaft", "spacer")
        reading.say(where, f"The shaft itself is {stock.section.corners_mm:.2f} mm across.", "a wider spacer")
    if name == "output" and tables.own.carried_by == "blocks":
        return
    carried = [side for side in Side if tables.carried(side)]
    if not carried:
        about = ((*path, "outboard"), (*path, "inboard"), ("shaft",))
        reading.say(path, f"Neither plate carries {name}.", "a bearing in one plate at least", about)
    for side in carried:
        _bearing(reading, name, tables, side)


def _bearing(reading: Reading, name: str, tables: ShaftTables, side: Side) -> None:
    stock = tables.stock(reading.catalog)
    designation = tables.bearing_name(side, stock, reading.catalog)
    usual = usual_bearing(reading.catalog, stock.section)
    where = _where_bearing(tables, name, side)
    if designation is None:
        if usual is None:
            message = f"No bearing in the table fits {stock.name} ({stock.section})."
            reading.say(where, message, "bearing = the designation of one")
        return
    bearing = reading.catalog.bearing(designation)
    if not fits(bearing.bore, stock.section):
        _bore_misfit(reading, where, name, bearing.bore, stock)
    own = tables.own_seat(side)
    for fit, at in (
        (own.fit if own is not None else None, (*_seat_path(tables, name, side), "fit")),
        (tables.own.fit, ("shafts", name, "fit")),
        (tables.all.fit, ("shaft", "fit")),
    ):
        if isinstance(fit, str):
            try:
                class_allowance_mm(bearing.outside_mm, fit)
            except FitError as error:
                reading.say(at, error.message, error.accepted)
        if fit is not None:
            break


def _seat_path(tables: ShaftTables, name: str, side: Side) -> KeyPath:
    own = tables.own.outboard if side is Side.OUTBOARD else tables.own.inboard
    return ("shafts", name, side.value) if isinstance(own, Seat) else ("shaft", side.value)


def _where_bearing(tables: ShaftTables, name: str, side: Side) -> KeyPath:
    """Where the key stands that names the bearing, or the stock that none fits."""
    seat = tables.own_seat(side)
    if seat is not None and seat.bearing is not None:
        return (*_seat_path(tables, name, side), "bearing")
    if tables.own.bearing is not None:
        return ("shafts", name, "bearing")
    if tables.own.stock is not None:
        return ("shafts", name, "stock")
    return ("shaft", "bearing") if tables.all.bearing is not None else ("shaft", "stock")


def _fixed(reading: Reading, name: str, tables: ShaftTables) -> None:
    """A shaft that does not turn: it stands in round holes of both plates, and its gears turn on it."""
    path: KeyPath = ("shafts", name)
    turns = (*path, "turns") if tables.own.turns is not None else ("shaft", "turns")
    if name == "output":
        reading.say(turns, "The output shaft drives the wheel: it has to turn.", "true")
        return
    stock = tables.stock(reading.catalog)
    if stock.section.hexagonal:
        message = (
            f"A fixed hexagonal shaft ({stock.name}) would need hexagonal holes in the plates, and gears cannot turn "
            "on it: this is out of scope."
        )
        reading.say(turns, message, 'a round stock such as "round-8mm", or turns = true')
    own = tables.own
    for key in ("bearing", "outboard", "inboard", "pressed_from", "retainer"):
        if getattr(own, key) is not None:
            message = "A fixed shaft stands in both plates without bearings."
            reading.say((*path, key), message, "no such key for this shaft, or turns = true")
    if isinstance(own.fit, str):
        message = "The fit of a fixed shaft is a length: hole less shaft."
        reading.say((*path, "fit"), message, 'such as "0.02 mm"')


def _output(reading: Reading) -> None:
    own = (reading.file.shafts or {}).get("output")
    for name, table in (reading.file.shafts or {}).items():
        for key in ("carried_by", "block_bearing"):
            if name != "output" and getattr(table, key) is not None:
                reading.say(("shafts", name, key), _ONLY_OUTPUT, f"shafts.output.{key}")
    if own is None:
        return
    if own.carried_by in (None, "plates"):
        if own.block_bearing is not None:
            message = "There are no blocks: the plates carry the output."
            accepted = 'no such key, or carried_by = "blocks" or "both"'
            about = (("shafts", "output", "carried_by"),)
            reading.say(("shafts", "output", "block_bearing"), message, accepted, about=about)
        return
    _block_bearing(reading)
    if reading.file.rail is False:
        message = "There is no rail (rail = false) that could hold bearing blocks."
        reading.say(("shafts", "output", "carried_by"), message, '"plates", or a rail', about=(("rail",),))
    if own.carried_by == "blocks":
        for key in ("bearing", "outboard", "inboard"):
            if getattr(own, key) not in (None, False):
                message = "The output is carried by blocks in the rail, not by bearings in the plates."
                accepted = 'no such key, or carried_by = "both"'
                reading.say(("shafts", "output", key), message, accepted, about=(("shafts", "output", "carried_by"),))


def _block_bearing(reading: Reading) -> None:
    tables = tables_of(reading, "output")
    if tables.own.block_bearing is None:
        return
    stock, bearing = tables.stock(reading.catalog), reading.catalog.bearing(tables.own.block_bearing)
    if not fits(bearing.bore, stock.section):
        _bore_misfit(reading, ("shafts", "output", "block_bearing"), "output", bearing.bore, stock)


def _bore_misfit(reading: Reading, where: KeyPath, name: str, bore: Bore, stock: ShaftStock) -> None:
    message = f"Its bore is {bore}, and the shaft {name} is {stock.name} ({stock.section})."
    fitting = [row.name for row in reading.catalog.bearings().values() if fits(row.bore, stock.section)]
    reading.say(where, message, ", ".join(fitting[:8]) or "a bearing of that bore", (("shafts", name, "stock"),))
