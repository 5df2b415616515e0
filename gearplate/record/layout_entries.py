"""What the record says of how shafts were placed: the hull, and what is proven about it."""

from __future__ import annotations

from typing import Any

from gearplate.layout.contacts import Contact, contacts
from gearplate.layout.design import AmongTrains, Certificate, Layout
from gearplate.layout.spec import LayoutSpec
from gearplate.record.numbers import length, maybe, pure


def layout_entry(spec: LayoutSpec, layout: Layout) -> dict[str, Any]:
    """The area of the hull round the margins of all holes; where the tool has placed shafts, the certificate, and what
    each of them stands nearest to."""
    return {
        "hull_mm2": length(layout.hull_area_mm2),
        "certificate": None if layout.certificate is None else certificate_entry(layout.certificate),
        "trains": None if layout.among is None else trains_entry(layout.among),
        "contacts": [contact_entry(one) for one in contacts(spec, layout)],
    }


def contact_entry(one: Contact) -> dict[str, Any]:
    """`room_mm` is the gap beyond the least; it is measured from x, y on the part to x, y on the other. `key` of the
    job sets the least, or is the limit; null where geometry alone asks it."""
    return {
        "shaft": one.shaft,
        "part": one.part,
        "other": one.other,
        "kind": one.kind,
        "check": one.check,
        "key": one.key or None,
        "gap_mm": length(one.gap_mm),
        "least_mm": length(one.least_mm),
        "room_mm": length(one.room_mm),
        "holds": one.holds,
        "from_mm": [length(one.at_mm[0]), length(one.at_mm[1])],
        "to_mm": [length(one.to_mm[0]), length(one.to_mm[1])],
    }


def certificate_entry(one: Certificate) -> dict[str, Any]:
    """Areas in mm2, lengths in mm; `gap` and `spent` are shares of the value. `status`: certified, or stopped before
    the search had ended by itself, at its count of boxes or because the user `interrupted` it."""
    return {
        "status": "certified" if one.proven and not one.interrupted else "stopped",
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


def trains_entry(one: AmongTrains) -> dict[str, Any]:
    """What is proven of the choice of train: counts, and the wish with every motor's whole screw circle (mm2 or mm)."""
    return {
        "wish": one.wish,
        "found": one.found,
        "counted": one.counted,
        "ruled_out": one.ruled_out,
        "settled": one.settled,
        "left": one.left,
        "unlisted": one.unlisted,
        "value": length(one.value),
        "bound": length(one.bound),
        "gap": pure(one.gap),
        "interrupted": one.interrupted,
        "boxes": one.boxes,
    }
