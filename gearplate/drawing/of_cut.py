"""A cut plate as the sheet that the writers and readers of cut files know."""

from __future__ import annotations

from gearplate.catalog.cutters import Layer
from gearplate.cut.cut_plate import CutPlate
from gearplate.cut.order import CUT_INSIDE, CUT_OUTSIDE, ETCH, cut_steps
from gearplate.drawing.model import DrawnUnit, Entity, Layers, LayerStyle, Operation, Sheet
from gearplate.shop.shop import Shop

_OPERATIONS = {"etch": ETCH, "inner": CUT_INSIDE, "outer": CUT_OUTSIDE}


def sheet_of(cut: CutPlate, shop: Shop, drawn_unit: str) -> Sheet:
    """Everything that is etched and cut, in cut order, on the layers that the cutter's row names and in their order.

    Raises:
        ToolBug: the plate has something that cannot be cut.
    """
    order = [_OPERATIONS[layer.meaning] for layer in shop.cutter.layers]
    entities = tuple(Entity(Operation(word), shape, tag) for word, shape, tag in cut_steps(cut, order))
    return Sheet(entities, DrawnUnit(drawn_unit), layers_of(shop))


def layers_of(shop: Shop) -> Layers:
    """Names and colours of the layers by the habits of the cutter's operator."""
    return Layers(
        etch=_style(shop.cutter.layer("etch")),
        cut_inside=_style(shop.cutter.layer("inner")),
        cut_outside=_style(shop.cutter.layer("outer")),
    )


def _style(layer: Layer) -> LayerStyle:
    return LayerStyle(layer.name, layer.colour_index)
