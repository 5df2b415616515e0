"""A plate in nominal sizes, for the right-hand gearbox: what the cut room turns into paths."""

from __future__ import annotations

from dataclasses import dataclass

from gearplate.geometry.shapes import Path
from gearplate.layout.design import HoleKind
from gearplate.layout.spec import PlateStock, Side


@dataclass(frozen=True, slots=True)
class Feature:
    """Something cut into a plate. `part_diameter_mm` is what goes in; the shop's fit is added by the cut room.

    form "circle": at (x, y). "slot": end centres `length_mm` apart along `angle_rad`, `part_diameter_mm` wide.
    "window": `path` is the nominal contour, (x, y) its centroid. `seat` names the fit that the shop gives it:
    "bearing", "pilot", "screw", "free" (no allowance). `shared`: stands at the same place in both plates.
    """

    id: str
    kind: HoleKind
    form: str
    seat: str
    shaft: str | None
    x_mm: float
    y_mm: float
    part_diameter_mm: float = 0.0
    length_mm: float = 0.0
    angle_rad: float = 0.0
    fit_mm: float | None = None
    fit_class: str | None = None
    path: Path | None = None
    shared: bool = False
    loaded: bool = False


@dataclass(frozen=True, slots=True)
class Mark:
    """Lettering or an arrow to etch. Text reads right on the face that lies up; (x, y) is its centre in the frame.

    kind "text": `text` at `height_mm`. kind "arrow": from the centre toward `angle_rad` in the frame, `height_mm`
    long, with `text` beside its tip ("FWD", "UP"). kind "out": the sign for 'this face looks outward/inward'.
    `width_mm` is the room it takes across (text runs along x of the cut sheet).
    """

    id: str
    kind: str
    text: str
    x_mm: float
    y_mm: float
    height_mm: float
    width_mm: float
    angle_rad: float = 0.0


@dataclass(frozen=True, slots=True)
class Plate:
    side: Side
    stock: PlateStock
    face_up: Side
    outline: Path
    features: tuple[Feature, ...]
    marks: tuple[Mark, ...]
    waist_radius_mm: float | None = None
    mass_saved_kg: float = 0.0
    unplaced_marks: tuple[str, ...] = ()
    own_mirror: bool = False  # equal to its own mirror image about the vertical through its axis: fits both hands
    mirror_axis_x_mm: float = 0.0
