"""Names of cut files: they say everything that the operator must not mix up."""

from __future__ import annotations

from gearplate.files.names import safe_name
from gearplate.layout.spec import PlateStock
from gearplate.plate.plate import Plate
from gearplate.plate.spec import Hand, Identity

LONGEST_PART = 40
LONGEST_REVISION = 12
LONGEST_MATERIAL = 24


def file_stem(identity: Identity, plate: Plate, hand: Hand, drawn_unit: str, draft: bool = False) -> str:
    """File name without its ending: part, revision, plate, hand, material with its thickness, face up, unit.

    Whatever a job calls its part, the result is a plain name on every system, and at most 120 characters.
    """
    part = safe_name(safe_name(identity.part)[:LONGEST_PART])
    revision = safe_name(safe_name(identity.revision, "0")[:LONGEST_REVISION], "0")
    words = [
        f"{part}-rev-{revision}",
        plate.side.value,
        hand.value,
        _material(plate.stock),
        f"{plate.face_up.value}-face-up",
        drawn_unit,
    ]
    return "_".join((["DRAFT"] if draft else []) + words)


def coupon_stem(identity: Identity, stock: PlateStock, drawn_unit: str) -> str:
    """File name of a sheet's coupon without its ending."""
    part = safe_name(safe_name(identity.part)[:LONGEST_PART])
    return "_".join((part, "coupon", _material(stock), drawn_unit))


def _material(stock: PlateStock) -> str:
    """Material and nominal thickness; the thickness once, where the material's name has it already."""
    name = safe_name(safe_name(stock.material, "sheet")[:LONGEST_MATERIAL], "sheet")
    thickness = f"{stock.nominal_mm:.3f}".rstrip("0").rstrip(".") + "mm"
    return name if name.endswith(f"-{thickness}") else f"{name}-{thickness}"
