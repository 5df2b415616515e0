"""Shafts and their bearings: from the job file's tables to the specs of the layout room."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from gearplate.catalog import Catalog
from gearplate.catalog.bearings import SHOULDER_SPARE_MM, Bearing
from gearplate.catalog.retainers import Retainer
from gearplate.catalog.row import Bore
from gearplate.catalog.shafts import ShaftStock
from gearplate.job.defaults import DEFAULTS, Choices
from gearplate.job.model.shafts import Seat, Shaft
from gearplate.job.reading import Reading
from gearplate.layout.spec import BearingSeat, CarriedBy, Role, ShaftSpec, Side

# How far a bearing's bore may be from the shaft's section before they do not belong together.
_SAME_SIZE_MM = 0.02
_SPACER_WALL_MM = 3.0


@dataclass(frozen=True, slots=True)
class ShaftTables:
    """What a job says of one shaft: its own table, and the one for all shafts; empty where it says nothing."""

    own: Shaft
    all: Shaft

    def stock(self, catalog: Catalog, choices: Choices | None = None) -> ShaftStock:
        """The bar that it is made from."""
        given = self.own.stock or self.all.stock
        if given is None:
            given = choices.pick("shaft.stock", None) if choices is not None else str(DEFAULTS["shaft.stock"].value)
        return catalog.shaft(given)

    @property
    def turns(self) -> bool:
        """Whether it turns in the plates."""
        return next((turns for turns in (self.own.turns, self.all.turns) if turns is not None), True)

    def own_seat(self, side: Side) -> Seat | None:
        """The table of its bearing in one plate, of its own or of all shafts; None where neither says anything."""
        for tables in (self.own, self.all):
            seat = tables.outboard if side is Side.OUTBOARD else tables.inboard
            if isinstance(seat, Seat):
                return seat
        return None

    def carried(self, side: Side) -> bool:
        """Whether this plate carries it."""
        for tables in (self.own, self.all):
            seat = tables.outboard if side is Side.OUTBOARD else tables.inboard
            if seat is not None:
                return seat is not False
        return True

    def bearing_name(self, side: Side, stock: ShaftStock, catalog: Catalog) -> str | None:
        """The bearing that the job names for this plate. One named for all shafts holds only where it fits this one,
        so that a single shaft of another size needs no second word."""
        seat = self.own_seat(side)
        if seat is not None and seat.bearing is not None:
            return seat.bearing
        if self.own.bearing is not None:
            return self.own.bearing
        if self.all.bearing is not None and (
            self.own.stock is None or fits(catalog.bearing(self.all.bearing).bore, stock.section)
        ):
            return self.all.bearing
        return None


def tables_of(reading: Reading, name: str) -> ShaftTables:
    """The tables that speak of a shaft."""
    shafts = reading.file.shafts or {}
    return ShaftTables(shafts.get(name) or Shaft(), reading.file.shaft or Shaft())


def fits(bore: Bore, section: Bore) -> bool:
    """Whether a bearing's bore takes a shaft: the same form and size."""
    return bore.form == section.form and abs(bore.across_mm - section.across_mm) <= _SAME_SIZE_MM


def usual_bearing(catalog: Catalog, section: Bore) -> Bearing | None:
    """The first bearing in the table that fits the shaft: flanged before plain, shielded before open."""
    fitting = [row for row in catalog.bearings().values() if fits(row.bore, section)]
    fitting.sort(key=lambda row: (row.flange is None, row.closure == "open"))
    return fitting[0] if fitting else None


def shaft_spec(reading: Reading, name: str, role: Role, carried_by: CarriedBy, choices: Choices) -> ShaftSpec:
    """One shaft with its seats."""
    tables = tables_of(reading, name)
    stock = tables.stock(reading.catalog, choices)
    corners = stock.section.corners_mm
    fit = tables.own.fit
    seats = {
        side: seat_spec(reading, tables, side, stock, choices)
        if tables.turns and tables.carried(side) and carried_by is not CarriedBy.BLOCKS
        else None
        for side in Side
    }
    spacer = choices.work_out(
        "shaft.spacer", tables.own.spacer or tables.all.spacer, _usual_spacer_mm(corners, seats.values()), stock.name
    )
    return ShaftSpec(
        name=name,
        role=role,
        stock=stock,
        turns=tables.turns,
        outboard=seats[Side.OUTBOARD],
        inboard=seats[Side.INBOARD],
        spacer_diameter_mm=spacer,
        fit_mm=fit if isinstance(fit, float) and not tables.turns else None,
        float_mm=choices.pick(
            "shaft.float", next((one for one in (tables.own.float, tables.all.float) if one is not None), None)
        ),
        held_by=_held_by(reading, tables, stock, choices),
        block_bearing=_block_bearing(reading, tables),
    )


def _block_bearing(reading: Reading, tables: ShaftTables) -> Bearing | None:
    named = tables.own.block_bearing
    return reading.catalog.bearing(named) if named is not None else None


def _held_by(reading: Reading, tables: ShaftTables, stock: ShaftStock, choices: Choices) -> Retainer | None:
    """The ring or collar that the job names, one named for all shafts only where it fits this one; else the first in
    the table that fits. None for a bar that nothing there fits."""
    catalog = reading.catalog
    if tables.own.held_by is not None:
        return catalog.retainer(tables.own.held_by)
    if tables.all.held_by is not None and fits(catalog.retainer(tables.all.held_by).section, stock.section):
        return catalog.retainer(tables.all.held_by)
    usual = next((row for row in catalog.retainers().values() if fits(row.section, stock.section)), None)
    return usual if usual is None else _told(choices, usual, stock)


def _usual_spacer_mm(corners_mm: float, seats: Iterable[BearingSeat | None]) -> float:
    """A tube with some wall, no wider than the inner rings that it bears on."""
    usual = round(corners_mm + _SPACER_WALL_MM, 3)
    for seat in seats:
        if seat is not None and usual > seat.bearing.inner_shoulder_mm + SHOULDER_SPARE_MM:
            usual = max(math.floor(10.0 * seat.bearing.inner_shoulder_mm) / 10.0, round(corners_mm + 1.0, 3))
    return usual


def _told(choices: Choices, usual: Retainer, stock: ShaftStock) -> Retainer:
    choices.work_out("shaft.held_by", None, usual.name, stock.name)
    return usual


def seat_spec(reading: Reading, tables: ShaftTables, side: Side, stock: ShaftStock, choices: Choices) -> BearingSeat:
    """One bearing in one plate."""
    catalog = reading.catalog
    seat = tables.own_seat(side) or Seat()
    name = tables.bearing_name(side, stock, catalog)
    if name is None:
        usual = usual_bearing(catalog, stock.section)
        assert usual is not None  # looked at by the checks
        name = choices.work_out("shaft.bearing", None, usual.name, stock.name)
    fit = next((fit for fit in (seat.fit, tables.own.fit, tables.all.fit) if fit is not None), None)
    face = seat.pressed_from or tables.own.pressed_from or tables.all.pressed_from
    retained = next(
        (held for held in (seat.retainer, tables.own.retainer, tables.all.retainer) if held is not None), None
    )
    return BearingSeat(
        bearing=catalog.bearing(name),
        pressed_from_gap=choices.pick("shaft.pressed_from", face) == "gap",
        fit_mm=fit if isinstance(fit, float) else None,
        fit_class=fit if isinstance(fit, str) else None,
        retained=choices.pick("shaft.retainer", retained),
    )
