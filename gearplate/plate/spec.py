"""What a job asks of the plates: name and marks, outline, own holes, lightening. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearplate.layout.spec import Side


class Hand(StrEnum):
    """Which of the robot's two gearboxes: the left is the mirror image of the right."""

    RIGHT = "right"
    LEFT = "left"


class OutlineStyle(StrEnum):
    """The convex hull of the margins round all features, or one drawn in between them by concave fillets."""

    HULL = "hull"
    WAISTED = "waisted"


@dataclass(frozen=True, slots=True)
class Identity:
    """What names the plates: on marks, pages and file names."""

    part: str
    revision: str
    title: str
    hands: tuple[Hand, ...]


@dataclass(frozen=True, slots=True)
class OwnHole:
    """A user's own hole, slot or window on one plate or both, by coordinate or hung on a shaft (x, y relative to it).

    form circle: `diameter_mm`. slot: `length_mm` between end centres, `diameter_mm` wide, along `angle_rad`.
    window: `points` of a closed polygon with corners rounded by `corner_radius_mm`.
    """

    name: str
    kind: str  # "own" | "access" | "relief"
    form: str  # "circle" | "slot" | "window"
    sides: tuple[Side, ...]
    shaft: str | None
    x_mm: float
    y_mm: float
    diameter_mm: float = 0.0
    length_mm: float = 0.0
    angle_rad: float = 0.0
    points: tuple[tuple[float, float], ...] = ()
    corner_radius_mm: float = 0.0
    fit_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class FaceUp:
    """Which face of each plate lies up in the cutter; None = the face from which its bearings are pressed."""

    outboard: Side | None = None
    inboard: Side | None = None


@dataclass(frozen=True, slots=True)
class PlateSpec:
    """What a job asks of both plates. Lengths in mm.

    `margin_mm`: material round every feature, at least. `waist_radius_mm`: of the fillets of a waisted outline.
    `cover_gears`: the outline reaches past the gears' tips, as a guard. `lightening_web_mm`: what is left round
    lightening windows, None for the least that the sheet wants. `marks`: whether anything is etched;
    `letter_height_mm`: of capitals.
    """

    identity: Identity
    margin_mm: float
    outline: OutlineStyle
    waist_radius_mm: float
    cover_gears: bool
    lightening: bool
    lightening_web_mm: float | None
    marks: bool
    letter_height_mm: float
    own_holes: tuple[OwnHole, ...] = ()
    face_up: FaceUp = FaceUp()
