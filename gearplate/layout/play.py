"""From a job's gears, holes, plates and cutter to the tolerance budget of every mesh.

Pinions stand where their motor's pilot stands, in one plate; a gear between the plates where its two bearings hold it,
each with the share that the lever gives it. Left out, because nothing is known of it: bearing blocks in the rail, the
bearings inside gears that turn on a fixed shaft, and that a shaft with two meshes gives way along both forces at once
(each mesh is reckoned with its own).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from gearplate.gears.made_of import material_of
from gearplate.gears.play.budget import Budget, budget
from gearplate.gears.play.model import Climate, HeldGear, Hole, MeshPlay, PlateGrowth, Range
from gearplate.gears.play.pair import Pair
from gearplate.gears.play.proposal import Proposal, propose
from gearplate.gears.play.tolerances import runout_mm, thinning_range_mm
from gearplate.layout.chain import MeshNeed, mesh_needs
from gearplate.layout.spec import CarriedBy, Role, Side
from gearplate.layout.stack import axial_stack
from gearplate.shop.bearing_clearance import internal_clearance_mm
from gearplate.shop.fits import FitError, outer_ring
from gearplate.shop.growth import CTE_PER_K, cte_per_k

if TYPE_CHECKING:
    from gearplate.catalog.cutters import Cutter
    from gearplate.gears.play.spec import PlaySpec
    from gearplate.gears.spec import GearSpec
    from gearplate.layout.design import Layout, Stack
    from gearplate.layout.spec import LayoutSpec, MotorSpec
    from gearplate.shop.shop import Shop

POSITION_SIGMA_MM, SCALE_SIGMA = 0.02, 0.0002  # of a cutter whose row says nothing; common practice, no source
HAND_SET_MM = 0.03  # standard deviation of a mesh set by feel in its slots; common practice, no source
# Runout of a motor's shaft end, total reading, mm, by its diameter: IEC 60072-1, normal class; from memory.
SHAFT_RUNOUT_MM = ((10.0, 0.030), (18.0, 0.035), (30.0, 0.040), (math.inf, 0.050))
LEAST_ADDED_MM = 0.0254  # 0.001 in, the least in the trade; common practice, no source
STEEL_MPA = 205_000.0  # metals handbooks, from memory


@dataclass(frozen=True, slots=True)
class MeshBudget:
    """One mesh of a layout: what its play depends on, and its budget. `free_centre_mm`: without backlash, unthinned.
    `set_by_hand`: the motor stands in slots."""

    stage: int
    driver_shaft: str
    driven_shaft: str
    driver: GearSpec
    driven: GearSpec
    free_centre_mm: float
    play: MeshPlay
    budget: Budget
    set_by_hand: bool

    def proposal(self, climate: Climate, least_mm: float) -> Proposal:
        """The added centre distance that keeps the smallest play."""
        return propose(self.play, climate, self.free_centre_mm, least_mm)

    def contact_ratio(self, centre_mm: float) -> float:
        """Contact ratio of the real flanks at a centre distance, the teeth as thin as they are on the average."""
        thin = self.budget.thinning_mm
        return _contact(self.driver, self.driven, round(centre_mm, 4), round(0.5 * thin, 4))


def climate_of(play: PlaySpec) -> Climate:
    """The job's climate against the temperature at which sizes hold."""
    low, high = (hall - play.cut_at_c for hall in play.hall_c)
    return Climate((low, high), play.motor_heat_k, play.moisture)


def mesh_budgets(
    spec: LayoutSpec,
    shops: Mapping[Side, Shop],
    play: PlaySpec,
    gear_materials: Mapping[str, str],
    layout: Layout | None = None,
) -> tuple[MeshBudget, ...]:
    """Every mesh that can be reckoned: gears of one tooth system, both plates with a shop. `gear_materials`: by the
    gear class that a GearSpec names. Before there is a layout the lines of centres count as lying along the axis on
    which the cutter is worse."""
    if len(shops) < len(Side):
        return ()
    stack = axial_stack(spec) if layout is None else layout.stack
    climate = climate_of(play)
    found = []
    for number, need in enumerate(mesh_needs(spec)):
        if need.driver.system != need.driven.system or not math.isfinite(need.zero_backlash_mm):
            continue
        centre, direction = need.centre_mm, _worse_axis(shops)
        if layout is not None:
            centre = layout.meshes[number].centre_mm
            here, there = layout.shaft(need.driver_shaft), layout.shaft(need.driven_shaft)
            direction = math.atan2(there.y_mm - here.y_mm, there.x_mm - here.x_mm)
        one = _Builder(spec, shops, play, gear_materials, stack).mesh(need, centre, direction)
        if not centre > one.pair.base_centre_mm:
            continue
        found.append(
            MeshBudget(
                need.stage,
                need.driver_shaft,
                need.driven_shaft,
                need.driver,
                need.driven,
                need.zero_backlash_mm,
                one,
                budget(one, climate),
                _slotted(spec, need),
            )
        )
    return tuple(found)


@dataclass(frozen=True, slots=True)
class AutoAdded:
    """What added_centre = "auto" takes for one stage: the greatest proposal of its meshes, that of `driver_shaft` on
    `driven_shaft`, and never under the 0.001 in that is the least in the trade."""

    stage: int
    driver_shaft: str
    driven_shaft: str
    proposed_mm: float

    @property
    def added_mm(self) -> float:
        return max(LEAST_ADDED_MM, self.proposed_mm)


def auto_added(
    spec: LayoutSpec, shops: Mapping[Side, Shop], play: PlaySpec, gear_materials: Mapping[str, str]
) -> dict[int, AutoAdded]:
    """What "auto" takes for each stage, reckoned before there is a layout."""
    climate = climate_of(play)
    found: dict[int, AutoAdded] = {}
    for one in mesh_budgets(spec, shops, play, gear_materials):
        proposed = one.proposal(climate, play.least_mm).added_mm
        if one.stage not in found or proposed > found[one.stage].proposed_mm:
            found[one.stage] = AutoAdded(one.stage, one.driver_shaft, one.driven_shaft, proposed)
    return found


def materials_taken(spec: LayoutSpec, gear_materials: Mapping[str, str]) -> tuple[str, ...]:
    """What is taken of the gears' materials because the job does not say it: of gears by tooth count alone, and the
    growth of materials that no table here knows; a sentence each."""
    motors = [motor.name for motor in spec.motors]
    told: dict[str, None] = {}
    for need in mesh_needs(spec):
        for shaft, gear in ((need.driver_shaft, need.driver), (need.driven_shaft, need.driven)):
            material = material_of(gear, shaft in motors, gear_materials)
            if gear.source not in gear_materials:
                told[f"{shaft} {gear.teeth}T is of no class of the gear table: taken as {material}"] = None
            if material not in CTE_PER_K:
                told[f"gears of {material}: no growth by warmth known; taken as steel"] = None
    return tuple(told)


def _worse_axis(shops: Mapping[Side, Shop]) -> float:
    x, y = position_sigma_mm(next(iter(shops.values())).cutter)
    return 0.0 if x >= y else 0.5 * math.pi


def position_sigma_mm(cutter: Cutter) -> tuple[float, float]:
    """Standard deviation of a hole's place along x and y, mm."""
    x, y = cutter.position_sigma_x_mm, cutter.position_sigma_y_mm
    return POSITION_SIGMA_MM if x is None else x, POSITION_SIGMA_MM if y is None else y


def _slotted(spec: LayoutSpec, need: MeshNeed) -> bool:
    return any(motor.name == need.driver_shaft and motor.slot_travel_mm > 0.0 for motor in spec.motors)


@cache
def _contact(driver: GearSpec, driven: GearSpec, centre_mm: float, thinning_mm: float) -> float:
    from gearplate.gears.contact import contact_ratio
    from gearplate.gears.tooth import gear_sizes

    one, two = (
        gear_sizes(
            gear.teeth,
            gear.system.module_mm,
            gear.system.pressure_angle_rad,
            gear.shift,
            thinning_mm,
            gear.tip_diameter_mm,
        )
        for gear in (driver, driven)
    )
    return float(contact_ratio(one, two, centre_mm))


def _ring_under_mm(outside: float) -> Range:
    """How much smaller than its nominal size a bearing's outer ring may be; 0 where no tolerance is known for it."""
    try:
        ring = outer_ring(outside)
    except FitError:
        return 0.0, 0.0
    return -1e-3 * ring.upper_um, -1e-3 * ring.lower_um


@dataclass(frozen=True, slots=True)
class _Builder:
    spec: LayoutSpec
    shops: Mapping[Side, Shop]
    play: PlaySpec
    gear_materials: Mapping[str, str]
    stack: Stack

    def mesh(self, need: MeshNeed, centre: float, direction: float) -> MeshPlay:
        low, high = self.stack.stage_planes[need.stage - 1]
        middle = 0.5 * (low + high)
        by_hand = _slotted(self.spec, need)
        system = need.driver.system
        pair = Pair(
            need.driver.teeth,
            need.driven.teeth,
            system.module_mm,
            system.pressure_angle_rad,
            need.driver.shift + need.driven.shift,
        )
        cutter = next(iter(self.shops.values())).cutter
        known = (1.0, 1.0) if cutter.correct_scale or by_hand else (cutter.cut_per_drawn_x, cutter.cut_per_drawn_y)
        scale = SCALE_SIGMA if cutter.scale_sigma is None else cutter.scale_sigma
        return MeshPlay(
            stage=need.stage,
            driver=self._held(need.driver_shaft, need.driver, middle, by_hand),
            driven=self._held(need.driven_shaft, need.driven, middle, by_hand),
            pair=pair,
            centre_mm=centre,
            direction_rad=direction,
            plate=self._growth(need.driver_shaft),
            gear_cte_per_k=self._gear_growth(need),
            cut_per_drawn=known,
            scale_sigma=0.0 if by_hand else scale,
        )

    def _held(self, name: str, gear: GearSpec, middle: float, by_hand: bool) -> HeldGear:
        motor = next((one for one in self.spec.motors if one.name == name), None)
        reference = gear.teeth * gear.system.module_mm
        thin = thinning_range_mm(reference, self.play.thickness_class)
        if gear.thinning_mm > 0.0:
            half = 0.5 * (thin[1] - thin[0])
            thin = (max(0.0, gear.thinning_mm - half), gear.thinning_mm + half)
        measured = self.play.runout_mm
        by_class = runout_mm(reference, gear.system.module_mm, self.play.gear_class)
        eccentric = 0.5 * (by_class if measured is None else measured)
        if motor is None:
            return HeldGear(name, gear.teeth, self._bearings(name, middle, by_hand), thin, eccentric)
        return HeldGear(
            name,
            gear.teeth,
            ((self._pilot(motor, by_hand), 1.0),),
            thin,
            eccentric,
            0.5 * next(most for up_to, most in SHAFT_RUNOUT_MM if motor.motor.shaft_diameter_mm <= up_to),
            self._bending(motor, 0.5 * reference * math.cos(gear.system.pressure_angle_rad), middle),
        )

    def _pilot(self, motor: MotorSpec, by_hand: bool) -> Hole:
        shop, pilot = self.shops[motor.side], motor.motor.face.pilot_diameter_mm
        if by_hand:  # in its slots neither the places of the holes nor the pilot's play are left
            return Hole(f"{motor.name} slots", pilot, HAND_SET_MM, HAND_SET_MM, 0.0, clamped=True)
        loose = shop.finished_mm(pilot, "pilot") - pilot if shop.has_fit("pilot") else 0.0
        return Hole(
            f"{motor.name} pilot", pilot, *position_sigma_mm(shop.cutter), loose, shop.kerf.sigma_mm, clamped=True
        )

    def _bending(self, motor: MotorSpec, base_radius: float, middle: float) -> float:
        """F L^3 / 3 E I of a steel cantilever, mm: the tooth force of a stalled motor (its torque over the pinion's
        base radius) at the pinion's middle, the shaft held at the motor's face (mechanics of materials). 0 where the
        motor's torque is not known."""
        if motor.motor.curve is None:
            return 0.0
        face = self.stack.outboard[1] if motor.side is Side.OUTBOARD else self.stack.inboard[0]
        force = 1000.0 * motor.motor.curve.stall_torque_n_m / base_radius
        inertia = math.pi * motor.motor.shaft_diameter_mm**4 / 64.0
        return force * abs(middle - face) ** 3 / (3.0 * STEEL_MPA * inertia)

    def _bearings(self, name: str, middle: float, by_hand: bool) -> tuple[tuple[Hole, float], ...]:
        shaft = self.spec.shaft(name)
        if shaft.role is Role.OUTPUT and self.spec.carried_by is CarriedBy.BLOCKS:
            return ()
        sides = [side for side in Side if not shaft.turns or shaft.seat(side) is not None]
        places = {side: 0.5 * sum(self.stack.plate(side)) for side in Side}
        shares = dict.fromkeys(sides, 1.0)
        if len(sides) == 2:
            reach = places[Side.OUTBOARD] - places[Side.INBOARD]
            shares[Side.OUTBOARD] = (middle - places[Side.INBOARD]) / reach
            shares[Side.INBOARD] = 1.0 - shares[Side.OUTBOARD]
        return tuple((self._bore(name, side, by_hand), shares[side]) for side in sides)

    def _bore(self, name: str, side: Side, by_hand: bool) -> Hole:
        shaft, shop = self.spec.shaft(name), self.shops[side]
        sigma = (0.0, 0.0) if by_hand else position_sigma_mm(shop.cutter)
        seat = shaft.seat(side) if shaft.turns else None
        if seat is None:  # the shaft itself stands in the plate, and its gears turn on it
            return Hole(
                f"{name} {side}", shaft.stock.section.across_mm, *sigma, shaft.fit_mm or 0.0, shop.kerf.sigma_mm
            )
        outside, bore = seat.bearing.outside_mm, seat.bearing.bore.corners_mm
        return Hole(
            f"{name} {side}",
            outside,
            *sigma,
            shop.finished_mm(outside, "bearing", seat.fit_mm, seat.fit_class) - outside,
            shop.kerf.sigma_mm,
            _ring_under_mm(outside),
            internal_clearance_mm(bore, self.play.bearing_clearance),
        )

    def _growth(self, driver: str) -> PlateGrowth:
        sheets = [shop.material for shop in self.shops.values()]
        cte = [sheet.cte_per_k for sheet in sheets if sheet.cte_per_k is not None]
        wet = [sheet.moisture_swelling_percent for sheet in sheets if sheet.moisture_swelling_percent is not None]
        motor = any(one.name == driver for one in self.spec.motors)

        def mean(values: list[float]) -> float:
            return sum(values) / len(values) if values else 0.0

        return PlateGrowth(
            (mean([one.low for one in cte]), mean([one.high for one in cte])),
            (0.01 * mean([one.low for one in wet]), 0.01 * mean([one.high for one in wet])),
            1.0 if motor else 0.0,
        )

    def _gear_growth(self, need: MeshNeed) -> Range:
        """Of both gears by their radii: each makes up its part of the distance."""
        ends = [0.0, 0.0]
        motors = [motor.name for motor in self.spec.motors]
        for shaft, gear in ((need.driver_shaft, need.driver), (need.driven_shaft, need.driven)):
            part = gear.teeth / (need.driver.teeth + need.driven.teeth)
            for end, value in enumerate(cte_per_k(material_of(gear, shaft in motors, self.gear_materials))):
                ends[end] += part * value
        return ends[0], ends[1]
