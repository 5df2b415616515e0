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
    load_rad: float | None = None  # direction in the frame in which teeth push the shaft here; None = none or unknown


@dataclass(frozen=True, slots=True)
class Mark:
    """Lettering or an arrow to etch. Text reads right on the face that lies up; (x, y) is its centre in the frame.

    kind "text": `text` at `height_mm`, on the other hand `left_text` where that is not empty. kind "arrow": toward
    `angle_rad` in the frame, `text` ("FWD", "UP") beside it. kind "out": the sign for which way is toward the wheel,
    `angle_rad` 0 where the marked face looks there (arrow tip, a dot), pi where it looks away (arrow tail, a cross).
    kind "draft": only etched on drafts. `height_mm` is that of the letters. `width_mm` and `tall_mm` are the room that
    the mark takes across and up, centred on (x, y), for both hands (text runs along x of the cut sheet).
    """

    id: str
    kind: str
    text: str
    x_mm: float
    y_mm: float
    height_mm: float
    width_mm: float
    angle_rad: float = 0.0
    tall_mm: float = 0.0
    left_text: str = ""


@dataclass(frozen=True, slots=True)
class Plate:
    """One plate as it is drawn: nominal sizes in mm, in the frame of the right-hand gearbox (x forward, y up, origin on
    the output axle, seen from the wheel).

    `side`: which of the two it is; `face_up`: which of its faces lies up in the cutter. `outline`: the closed edge.
    `features`: all that is cut into it, the holes that both plates share under the same ids in both. `waist_radius_mm`:
    the fillet of its concave waists, None for a hull. `mass_saved_kg`: what the lightening windows take off.
    `unplaced_marks`: in words, what found no room. `mirror_axis_x_mm`: where the upright line of symmetry stands, if
    `own_mirror`.
    """

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
