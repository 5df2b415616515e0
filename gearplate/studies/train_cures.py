"""Other parts with which a train could be laid out that cannot be with the job's own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gearplate.catalog import Catalog
from gearplate.catalog.bearings import Bearing
from gearplate.catalog.row import Bore
from gearplate.job.shafts import fits
from gearplate.layout.spec import LayoutSpec, ShaftSpec


@dataclass(frozen=True, slots=True)
class Cure:
    """What to change in the job, in words and as dotted keys."""

    text: str
    set: tuple[tuple[str, object], ...]


def cures_for(spec: LayoutSpec, catalog: Catalog) -> tuple[Cure, ...]:
    """Round bar in place of a hexagon of the same width, a smaller bearing, or both: for one shaft, then for all.
    The lightest change comes first."""
    each = [list(_of_shaft(shaft, catalog)) for shaft in spec.shafts]
    single = [cure for cures in each for cure in cures]
    single.sort(key=lambda cure: len(cure.set))
    together = Cure(
        "; ".join(cures[-1].text for cures in each if cures),
        tuple(pair for cures in each if cures for pair in cures[-1].set),
    )
    return (*single, together) if sum(bool(cures) for cures in each) > 1 else tuple(single)


def _of_shaft(shaft: ShaftSpec, catalog: Catalog) -> Iterator[Cure]:
    """The cures of one shaft, the greatest change last."""
    own = [seat.bearing for seat in (shaft.outboard, shaft.inboard) if seat is not None]
    smaller = _smaller(own, shaft.stock.section, catalog)
    if smaller is not None:
        yield Cure(f"{shaft.name} in {smaller.name} bearings", _bearing(shaft, smaller))
    section = shaft.stock.section
    if not section.hexagonal:
        return
    bar = next(
        (
            row
            for row in catalog.shafts().values()
            if not row.section.hexagonal and abs(row.section.across_mm - section.across_mm) < 0.02
        ),
        None,
    )
    if bar is None:
        return
    stock = ((f"shafts.{shaft.name}.stock", bar.name),)
    if not own:
        yield Cure(f"{shaft.name} of {bar.name} bar", stock)
        return
    usual = sorted(
        (row for row in catalog.bearings().values() if fits(row.bore, bar.section)),
        key=lambda row: (row.flange is None, row.closure == "open"),
    )
    if usual:
        yield Cure(f"{shaft.name} of {bar.name} bar", (*stock, *_bearing(shaft, usual[0])))
    least = _smaller(own, bar.section, catalog)
    if least is not None:
        yield Cure(f"{shaft.name} of {bar.name} bar in {least.name} bearings", (*stock, *_bearing(shaft, least)))


def _bearing(shaft: ShaftSpec, bearing: Bearing) -> tuple[tuple[str, object], ...]:
    return ((f"shafts.{shaft.name}.bearing", bearing.name),)


def _smaller(own: list[Bearing], section: Bore, catalog: Catalog) -> Bearing | None:
    """The bearing with the smallest outside that takes this shaft, if it is smaller than those that are there."""
    if not own:
        return None
    room = min(_room_mm(bearing) for bearing in own)
    fitting = [row for row in catalog.bearings().values() if fits(row.bore, section) and _room_mm(row) < room - 1e-6]
    return min(fitting, key=_room_mm, default=None)


def _room_mm(bearing: Bearing) -> float:
    return bearing.outside_mm if bearing.flange is None else max(bearing.outside_mm, bearing.flange.diameter_mm)
