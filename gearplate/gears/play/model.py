"""What the play of a train depends on: holes, the gears that they hold, the plates' growth, the climate. Frozen values.

Lengths in mm, angles in radians, growth as strain; a Range is (low, high) of what is uniform between.
"""

from __future__ import annotations

from dataclasses import dataclass

from gearplate.gears.play.pair import Pair

Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Hole:
    """A hole that locates a shaft or a motor; a key of its own (`name`) for draws that several meshes share.

    `loose_mm`: hole less part on the diameter (negative = press), `loose_sigma_mm` its standard deviation;
    `part_under_mm`: how much smaller than nominal the part may be; `internal_mm`: the bearing's own clearance,
    diametral. `clamped`: what sits in it is screwed down and does not give way under load (a motor's pilot).
    """

    name: str
    diameter_mm: float
    sigma_x_mm: float
    sigma_y_mm: float
    loose_mm: float
    loose_sigma_mm: float = 0.0
    part_under_mm: Range = (0.0, 0.0)
    internal_mm: Range = (0.0, 0.0)
    clamped: bool = False


@dataclass(frozen=True, slots=True)
class HeldGear:
    """A gear and what holds its shaft: each hole with the share of its errors that reaches the gear (by levers).

    `thinning_mm`: range, along the reference circle. `eccentric_mm`: most, half the runout by its quality class.
    `shaft_runout_mm`: most, half of what the motor's shaft runs out. `bending_mm`: most, of a motor's shaft, along
    the tooth force.
    """

    shaft: str
    teeth: int
    holes: tuple[tuple[Hole, float], ...]
    thinning_mm: Range = (0.0, 0.0)
    eccentric_mm: float = 0.0
    shaft_runout_mm: float = 0.0
    bending_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class PlateGrowth:
    """Growth of the plates between two shafts: by warmth, and in the plane from dry to wet (a strain). `heat_share`:
    1 where a motor warms this part of the plates, else 0."""

    cte_per_k: Range
    swelling: Range = (0.0, 0.0)
    heat_share: float = 0.0


@dataclass(frozen=True, slots=True)
class MeshPlay:
    """One mesh. `centre_mm` as drawn; `direction_rad` of the line of centres; `cut_per_drawn` the cutter's known,
    uncorrected scale along x and y and `scale_sigma` how sure it is; `gear_cte_per_k` that of both gears, by their
    radii."""

    stage: int
    driver: HeldGear
    driven: HeldGear
    pair: Pair
    centre_mm: float
    direction_rad: float
    plate: PlateGrowth
    gear_cte_per_k: Range
    cut_per_drawn: tuple[float, float] = (1.0, 1.0)
    scale_sigma: float = 0.0


@dataclass(frozen=True, slots=True)
class Climate:
    """`hall_k`: temperature of the hall less that at which plates and gears were measured. `motor_heat_k`: most that a
    motor warms the plate round it above the hall. `moisture`: from the state at cutting, as parts of the swelling from
    dry to wet. `bearing_cte_per_k`: of steel."""

    hall_k: Range
    motor_heat_k: float
    moisture: Range
    bearing_cte_per_k: float = 11.5e-6
