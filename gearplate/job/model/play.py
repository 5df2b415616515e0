"""What the play of the gears is reckoned with, as a job file writes it."""

import re
from typing import Annotated, Any, ClassVar

from gearplate.job.kinds import Count, Kind, Number, Refused, WordOf
from gearplate.job.lengths import Gap
from gearplate.job.model.table import Table


class Pair(Kind):
    """Two numbers [low, high], the first not above the second."""

    def __init__(self, item: Number) -> None:
        self.item = item

    @property
    def accepted(self) -> str:
        return f"[low, high], each {self.item.accepted}"

    def read(self, value: object) -> tuple[float, float]:
        if not isinstance(value, list) or len(value) != 2:
            raise Refused("This is not a list of two numbers.", self.accepted)
        try:
            low, high = (self.item.read(one) for one in value)
        except Refused as refused:
            raise Refused(refused.message, self.accepted) from None
        if low > high:
            raise Refused("The first is above the second.", self.accepted)
        return low, high

    def schema(self) -> dict[str, Any]:
        return {"type": "array", "items": self.item.schema(), "minItems": 2, "maxItems": 2}


class ThicknessClass(Kind):
    """A class of tooth thickness: the letters of the allowance, the number of the tolerance."""

    accepted = 'a class of DIN 3967 in quotes, such as "e26": a, ab, b, bc, c, cd, d, e, f, g or h, and 21 to 30'
    pattern = "(a|ab|b|bc|c|cd|d|e|f|g|h)(2[1-9]|30)"

    def read(self, value: object) -> str:
        if not isinstance(value, str) or not re.fullmatch(self.pattern, value):
            raise Refused("This is no class of tooth thickness.", self.accepted)
        return value

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "pattern": f"^{self.pattern}$"}


class Play(Table):
    """What moves the gears apart and together beside the cutter: climate, classes of gears and bearings, and the play
    that is wanted."""

    key: ClassVar[str] = "play"

    hall: Annotated[
        tuple[float, float] | None, Pair(Number(-40, 60, "degrees Celsius")), "coldest and warmest it gets, Celsius"
    ] = None
    cut_at: Annotated[
        float | None,
        Number(-40, 60, "degrees Celsius"),
        "temperature at which plates and gears have their sizes, Celsius",
    ] = None
    motor_heat: Annotated[
        float | None, Number(0, 100, "kelvin"), "most that a motor warms the plate round it above the hall, kelvin"
    ] = None
    moisture: Annotated[
        tuple[float, float] | None,
        Pair(Number(-1, 1)),
        "driest and wettest, as parts of the material's swelling from dry to wet, from how it was cut",
    ] = None
    gear_class: Annotated[
        int | None,
        Count(3, 12),
        "flank tolerance class of the gears by ISO 1328-1 (9 is A9 of AGMA 2015, about Q8 of AGMA 2000): runout",
    ] = None
    runout: Annotated[
        float | None,
        Gap(0.001, 1, zero=True),
        "most that a gear runs out, total reading, in place of its class",
    ] = None
    thickness_class: Annotated[
        str | None, ThicknessClass(), "tooth thickness by DIN 3967, of gears without a thinning of their own"
    ] = None
    bearing_clearance: Annotated[
        str | None, WordOf(("C2", "CN", "C3")), "clearance group of the bearings by ISO 5753-1"
    ] = None
    least: Annotated[float | None, Gap(0.001, 0.5, zero=True), "smallest operating backlash that will do"] = None
    most: Annotated[float | None, Gap(0.01, 3), "largest operating backlash that will do; left out: any"] = None
