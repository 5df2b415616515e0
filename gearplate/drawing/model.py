"""The neutral drawing of one cut file: what is etched and cut, in the order in which it is to be cut.

Coordinates are millimetres throughout; `Sheet.unit` only says in which unit the file is drawn.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from gearplate.geometry.shapes import Circle, Path, Shape, Stroke
from gearplate.units import MM_PER_INCH

FORBIDDEN_IN_LAYER_NAMES = '<>/\\":;?*|,=`'
LONGEST_LAYER_NAME = 255


class Operation(StrEnum):
    """What the cutter does along a shape."""

    ETCH = "etch"
    CUT_INSIDE = "cut_inside"
    CUT_OUTSIDE = "cut_outside"


class DrawnUnit(StrEnum):
    """The unit that a file is drawn in. The codes are those of the DXF reference for $INSUNITS and
    $MEASUREMENT."""

    MM = "mm"
    INCH = "inch"

    @property
    def mm(self) -> float:
        """Millimetres in one drawn unit."""
        return 1.0 if self is DrawnUnit.MM else float(MM_PER_INCH)

    @property
    def insunits(self) -> int:
        return 4 if self is DrawnUnit.MM else 1

    @property
    def measurement(self) -> int:
        return 1 if self is DrawnUnit.MM else 0

    @property
    def decimals(self) -> int:
        """Decimals written: within 0.5e-6 mm of what was asked, and coarse enough that the last bits of a
        sine, which differ from machine to machine, do not reach the file."""
        return 6 if self is DrawnUnit.MM else 8


@dataclass(frozen=True, slots=True)
class LayerStyle:
    """Name of a layer and its colour by AutoCAD Color Index, 1 to 255."""

    name: str
    colour: int


@dataclass(frozen=True, slots=True)
class Layers:
    """The layer of each operation. Names and colours can be set to the operator's habits; these are ours."""

    etch: LayerStyle = LayerStyle("etch", 5)
    cut_inside: LayerStyle = LayerStyle("inner", 3)
    cut_outside: LayerStyle = LayerStyle("outer", 1)

    def of(self, operation: Operation) -> LayerStyle:
        if operation is Operation.ETCH:
            return self.etch
        return self.cut_inside if operation is Operation.CUT_INSIDE else self.cut_outside

    def all(self) -> tuple[LayerStyle, LayerStyle, LayerStyle]:
        return (self.etch, self.cut_inside, self.cut_outside)


@dataclass(frozen=True, slots=True)
class Entity:
    """One shape to etch or cut, mm. `tag` is the id of the feature it belongs to; it is not written to
    the file.

    An open `Stroke` that is not etched is a lead-in: it ends on the start of a closed contour.
    """

    operation: Operation
    shape: Shape
    tag: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """One cut file: its entities in cut order, the unit drawn, the layers."""

    entities: tuple[Entity, ...]
    unit: DrawnUnit = DrawnUnit.MM
    layers: Layers = field(default_factory=Layers)


def layer_faults(layers: Layers) -> tuple[str, ...]:
    """What is wrong with layer names and colours, in words; empty when they can be written.

    Names: what the DXF reference allows in a symbol name of R2000 and what an 8-bit code page can hold;
    distinct without regard to case. Colours: 1 to 255.
    """
    faults: list[str] = []
    seen: set[str] = set()
    for style in layers.all():
        name = style.name
        if not name.strip() or name != name.strip() or len(name) > LONGEST_LAYER_NAME:
            faults.append(f"the layer name {name!r} is empty, too long, or begins or ends with a blank")
        if any(c in FORBIDDEN_IN_LAYER_NAMES or not c.isprintable() for c in name) or not _in_code_page(name):
            faults.append(f"the layer name {name!r} holds a character that a DXF layer cannot have")
        if name.casefold() in seen:
            faults.append(f"two layers are called {name!r}")
        seen.add(name.casefold())
        if not 1 <= style.colour <= 255:
            faults.append(f"the colour {style.colour} of layer {name!r} is not between 1 and 255")
    return tuple(faults)


def _in_code_page(name: str) -> bool:
    try:
        name.encode("cp1252")
    except UnicodeEncodeError:
        return False
    return True


def start_point(shape: Shape) -> tuple[float, float]:
    """Where the beam starts on a shape, mm: first vertex or point; on a circle the point at angle 0,
    which is where a DXF circle has its parameter 0."""
    if isinstance(shape, Circle):
        return shape.x_mm + shape.diameter_mm / 2.0, shape.y_mm
    if isinstance(shape, Path):
        return shape.vertices[0][0], shape.vertices[0][1]
    return shape.points[0]


def is_lead_in(entity: Entity) -> bool:
    """An open stroke that is cut, not etched."""
    return isinstance(entity.shape, Stroke) and entity.operation is not Operation.ETCH
