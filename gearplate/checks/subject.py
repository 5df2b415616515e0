"""What a rule may look at: the job's specs and everything made from them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from gearplate.catalog.cutters import Cutter
    from gearplate.catalog.materials import Material
    from gearplate.catalog.row import Bore
    from gearplate.checks.cutouts import Cutout
    from gearplate.cut.cut_plate import CutPlate
    from gearplate.gears.play.spec import PlaySpec
    from gearplate.gears.spec import GearSpec
    from gearplate.layout.chain import MeshNeed
    from gearplate.layout.clearance import Pair
    from gearplate.layout.design import Layout, PlacedMesh
    from gearplate.layout.play import MeshBudget
    from gearplate.layout.spec import LayoutSpec, Side
    from gearplate.plate.plate import Plate
    from gearplate.plate.spec import PlateSpec
    from gearplate.rating.duty import Duty
    from gearplate.rating.rate import Ratings, Tables
    from gearplate.shop.shop import Shop
    from gearplate.units import Unit


T = TypeVar("T")


def _usual_play() -> PlaySpec:
    from gearplate.gears.play.spec import PlaySpec

    return PlaySpec()


def _as_it_is(gear: GearSpec) -> GearSpec:
    return gear


@dataclass(frozen=True, eq=False)
class Subject:
    """One finished design. `plates` = (outboard, inboard); `cut_plates` for each hand; `shops` by plate side, without
    those whose material must never be cut.

    `sheets`: the material of each plate, such a one too. `materials`: all that the profiles name, and `cutter` the
    one in use: where remedies look for another sheet. `play` and `gear_materials` (by gear class): what the play of
    the gears is reckoned with. `duty` and `rating_tables`: what strength is rated by, where the job says its machine's
    mass; None else. `gear_bores`: what each class of bought gears can be had with, by its name; `pinion_had`: a gear
    known by its count alone as the gear catalogue has it, a pinion first. `wished_pinions`: the counts among which the
    tool chooses, where the job asks for a reduction. `unit`: in which remedies write lengths. `raw`: the job as it is
    written, so that they speak of keys that it has. `told`: whether anybody reads what to do about the
    findings; a trial of a change only looks at what is found, and the search for cures costs more than that.

    What several rules need is worked out once and kept.
    """

    layout_spec: LayoutSpec
    plate_spec: PlateSpec
    layout: Layout
    plates: tuple[Plate, Plate]
    cut_plates: tuple[CutPlate, ...]
    shops: Mapping[Side, Shop]
    sheets: Mapping[Side, Material] = field(default_factory=dict)
    materials: Mapping[str, Material] = field(default_factory=dict)
    cutter: Cutter | None = None
    gear_bores: Mapping[str, tuple[Bore, ...]] = field(default_factory=dict)
    pinion_had: Callable[[GearSpec], GearSpec] = _as_it_is
    wished_pinions: tuple[int, ...] = ()
    unit: Unit = "mm"
    raw: Mapping[str, Any] = field(default_factory=dict)
    play: PlaySpec = field(default_factory=_usual_play)
    gear_materials: Mapping[str, str] = field(default_factory=dict)
    duty: Duty | None = None
    rating_tables: Tables | None = None
    told: bool = True

    def plate(self, side: Side) -> Plate:
        """The plate of that side."""
        return next(plate for plate in self.plates if plate.side is side)

    def sheet(self, side: Side) -> Material | None:
        """The material of a plate; None where nobody said (a subject made by hand)."""
        shop = self.shops.get(side)
        return self.sheets.get(side) if shop is None else shop.material

    @cached_property
    def pairs(self) -> Mapping[str, tuple[Pair, ...]]:
        """Every pair of bodies that must keep apart and overlaps along z, by the check that tells it."""
        from gearplate.layout.misses import placed_pairs

        found: dict[str, list[Pair]] = {}
        for pair in placed_pairs(self.layout_spec, self.layout):
            found.setdefault(pair.need.check, []).append(pair)
        return {check: tuple(pairs) for check, pairs in found.items()}

    @cached_property
    def meshes(self) -> tuple[tuple[PlacedMesh, MeshNeed], ...]:
        """Every mesh as placed, with what the job needs of it."""
        from gearplate.layout.chain import mesh_needs

        return tuple(zip(self.layout.meshes, mesh_needs(self.layout_spec), strict=True))

    @cached_property
    def ratings(self) -> Ratings | None:
        """The strength of every part, by the job's own duty; None where it says none, or where no forces exist."""
        if self.duty is None or self.rating_tables is None:
            return None
        from gearplate.rating.rate import can_be_rated, rate

        if not can_be_rated(self.layout):
            return None
        return rate(self.layout, self.layout_spec, self.rating_tables, self.duty, self.plates)

    @cached_property
    def budgets(self) -> Mapping[tuple[int, str, str], MeshBudget]:
        """The play of every mesh that can be reckoned, by stage, driver's and driven gear's shaft."""
        from gearplate.layout.play import mesh_budgets

        found = mesh_budgets(self.layout_spec, self.shops, self.play, self.gear_materials, self.layout)
        return {(one.stage, one.driver_shaft, one.driven_shaft): one for one in found}

    @cached_property
    def cutouts(self) -> Mapping[Side, tuple[Cutout, ...]]:
        """Every hole, slot and window of each plate as it will be once cut."""
        from gearplate.checks.cutouts import cutouts_of

        return {plate.side: cutouts_of(plate, self.shops.get(plate.side)) for plate in self.plates}

    @cached_property
    def _known(self) -> dict[tuple[str, str], Any]:
        return {}

    def once(self, what: str, whom: str, work: Callable[[], T]) -> T:
        """What `work` gives, done once: many findings ask for the same remedy of the same thing."""
        if (what, whom) not in self._known:
            self._known[what, whom] = work()
        known: T = self._known[what, whom]
        return known
