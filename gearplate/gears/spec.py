"""What a job asks of the gears: stages by tooth counts, or a wanted reduction. Frozen values, mm and radians."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class ToothSystem:
    """Size and pressure angle of a gear's teeth: two gears run together only where both are the same."""

    module_mm: float
    pressure_angle_rad: float


@dataclass(frozen=True, slots=True)
class GearSpec:
    """One gear. `shift` in modules; `thinning_mm` along the reference circle; `tip_diameter_mm` None = standard."""

    teeth: int
    system: ToothSystem
    shift: float = 0.0
    thinning_mm: float = 0.0
    tip_diameter_mm: float | None = None
    face_width_mm: float = 12.7
    source: str = ""  # the catalogue row it was taken from; "" = by tooth count alone

    @property
    def tip_radius_mm(self) -> float:
        """Radius of the tip circle: given, or reference radius plus (1 + shift) modules (design convention)."""
        if self.tip_diameter_mm is not None:
            return 0.5 * self.tip_diameter_mm
        return self.system.module_mm * (0.5 * self.teeth + 1.0 + self.shift)


@dataclass(frozen=True, slots=True)
class StageSpec:
    """One step of speed. The first stage has no driver of its own: every motor brings its pinion."""

    driver: GearSpec | None
    driven: GearSpec
    added_centre_mm: float
    idlers: tuple[GearSpec, ...] = ()


@dataclass(frozen=True, slots=True)
class TrainSpec:
    """Stages from motor pinion to output, in order."""

    stages: tuple[StageSpec, ...]


@dataclass(frozen=True, slots=True)
class ReductionWish:
    """A wanted reduction instead of tooth counts. `tolerance` is relative. Counts are those on hand."""

    ratio: Fraction
    tolerance: Fraction
    stage_counts: tuple[int, ...]
    pinions: tuple[int, ...]
    drivers: tuple[int, ...]
    driven: tuple[int, ...]
    system: ToothSystem
    added_centre_mm: float
