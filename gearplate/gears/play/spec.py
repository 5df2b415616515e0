"""What a job says of the play of its gears. Frozen values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PlaySpec:
    """Temperatures in degrees Celsius; `motor_heat_k` above the hall; `moisture` as parts of the swelling from dry to
    wet, from the state at cutting; `gear_class` by ISO 1328-1 (`runout_mm`, total reading, takes its place where it is
    known), `thickness_class` by DIN 3967, `bearing_clearance` a group of ISO 5753-1. `least_mm`: smallest operating
    backlash that will do; `most_mm`: largest, None = any."""

    hall_c: tuple[float, float] = (15.0, 35.0)
    cut_at_c: float = 22.0
    motor_heat_k: float = 40.0
    moisture: tuple[float, float] = (-0.2, 0.3)
    gear_class: int = 9
    thickness_class: str = "e26"
    bearing_clearance: str = "CN"
    least_mm: float = 0.02
    most_mm: float | None = None
    runout_mm: float | None = None
