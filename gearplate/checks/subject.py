"""What a rule may look at: the job's specs and everything made from them."""

from __future__ import annotations

from dataclasses import dataclass

from gearplate.cut.cut_plate import CutPlate
from gearplate.layout.design import Layout
from gearplate.layout.spec import LayoutSpec, Side
from gearplate.plate.plate import Plate
from gearplate.plate.spec import PlateSpec
from gearplate.shop.shop import Shop


@dataclass(frozen=True, slots=True)
class Subject:
    """One finished design. `plates` = (outboard, inboard); `cut_plates` for each hand; `shops` by plate side."""

    layout_spec: LayoutSpec
    plate_spec: PlateSpec
    layout: Layout
    plates: tuple[Plate, Plate]
    cut_plates: tuple[CutPlate, ...]
    shops: dict[Side, Shop]

    def plate(self, side: Side) -> Plate:
        return self.plates[0] if side is Side.OUTBOARD else self.plates[1]
