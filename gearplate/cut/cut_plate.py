"""A cut plate: a plate after kerf and fit, turned so that the declared face lies up: the paths the beam follows."""

from __future__ import annotations

from dataclasses import dataclass

from gearplate.geometry.shapes import Circle, Path, Stroke
from gearplate.plate.plate import Feature, Plate
from gearplate.plate.spec import Hand


@dataclass(frozen=True, slots=True)
class CutFeature:
    """One inner contour. `finished_diameter_mm` is what remains after cutting, at the narrower face;
    `path_diameter_mm` is that of the beam's path (equal to it where the machine compensates; with kerfs that differ by
    axis, for their mean), and what is drawn but for a correction of scale. `shape` is in the sheet's
    own coordinates (turned). `lead_in` is an open stroke from the slug to the contour's start."""

    feature: Feature
    x_mm: float  # in the frame of that plate's hand
    y_mm: float
    finished_diameter_mm: float | None
    path_diameter_mm: float | None
    finished_path: Path | None  # windows and slots: the finished contour in the frame of that plate's hand
    shape: Circle | Path
    lead_in: Stroke | None = None
    wider_face_diameter_mm: float | None = None  # the same hole at its wider face
    fault: str = ""  # why it cannot be cut; `shape` is then the finished contour and must not be written


@dataclass(frozen=True, slots=True)
class CutPlate:
    """`turned`: x of the file is x of the frame negated. `outline` = finished outline in the frame of that hand,
    `outline_path` = the beam's path in the sheet. `etch` = strokes in the sheet, by mark id."""

    plate: Plate
    hand: Hand
    file_name: str
    turned: bool
    kerf_mm: float
    kerf_x_mm: float
    kerf_y_mm: float
    taper_mm_per_mm: float
    machine_compensates: bool
    outline: Path
    outline_path: Path
    features: tuple[CutFeature, ...]
    etch: tuple[tuple[str, tuple[Stroke, ...]], ...]
    fits_both_hands: bool = False
    scale_x: float = 1.0  # by which the drawn lengths are multiplied; 1 unless the cutter's row asks for it
    scale_y: float = 1.0
    draft: bool = False
    outline_fault: str = ""  # as `fault` of a feature

    @property
    def faults(self) -> tuple[tuple[str, str], ...]:
        """(id, why) of everything that this cutter cannot cut; a plate with faults has no cut file."""
        found = [(cut.feature.id, cut.fault) for cut in self.features if cut.fault]
        return (*found, *((("outline", self.outline_fault),) if self.outline_fault else ()))
