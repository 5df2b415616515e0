"""What the record says of how shafts were placed: the hull, and what is proven about it."""

from __future__ import annotations

from typing import Any

from gearplate.layout.design import Certificate, Layout
from gearplate.record.numbers import length, maybe, pure


def layout_entry(layout: Layout) -> dict[str, Any]:
    """The area of the hull round the margins of all holes, and the certificate where the tool has placed shafts."""
    return {
        "hull_mm2": length(layout.hull_area_mm2),
        "certificate": None if layout.certificate is None else certificate_entry(layout.certificate),
    }


def certificate_entry(one: Certificate) -> dict[str, Any]:
    """Areas in mm2, lengths in mm; `gap` and `spent` are shares of the value."""
    return {
        "wish": one.wish,
        "value": length(one.value),
        "bound": length(one.bound),
        "gap": pure(one.gap),
        "proven": one.proven,
        "interrupted": one.interrupted,
        "boxes": one.boxes,
        "spent": pure(one.spent),
        "screw_circles_value": maybe(one.circles_value),
        "screw_circles_bound": maybe(one.circles_bound),
    }
