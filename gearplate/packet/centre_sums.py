"""Each centre distance as a sum that can be done again by hand: tooth counts, size of the teeth, shift, added play."""

from __future__ import annotations

import math
from typing import Any

from gearplate.packet.sizes import one
from gearplate.units import Unit


def centre_sum(mesh: dict[str, Any]) -> tuple[str, ...]:
    """The lines of the sum for one mesh of the record.

    Without profile shift the reference centre distance m (z1 + z2) / 2, or (z1 + z2) / (2 P), plus what is added. With
    shift the working pressure angle first: inv a' = inv a + 2 (x1 + x2) tan a / (z1 + z2), inv a = tan a - a, and the
    distance times cos a / cos a' (ISO 21771).
    """
    z1, z2 = mesh["driver_teeth"], mesh["driven_teeth"]
    reference, centre = mesh["reference_centre_mm"], mesh["centre_mm"]
    added = mesh["added_centre_mm"]
    size = tooth_size(mesh["module_mm"])
    if size.startswith("P"):
        first = f"({z1} + {z2}) / (2 × {size[2:]}) = {one(reference, 'inch')}"
        own: Unit = "inch"
    else:
        first = f"{size[2:]} × ({z1} + {z2}) / 2 = {one(reference, 'mm')}"
        own = "mm"
    end = f"{_signed(added, own)} = {one(centre, own)}" if abs(added) >= 5e-7 else ""
    if sum(mesh["profile_shift"]) == 0.0:
        return (first + end,)
    return (first + " without shift", *_with_shift(mesh, own, end))


def _with_shift(mesh: dict[str, Any], own: Unit, end: str) -> tuple[str, ...]:
    z1, z2 = mesh["driver_teeth"], mesh["driven_teeth"]
    x1, x2 = mesh["profile_shift"]
    angle = math.radians(mesh["pressure_angle_deg"])
    cosine = mesh["reference_centre_mm"] * math.cos(angle) / mesh["zero_backlash_centre_mm"]
    working = math.acos(min(1.0, cosine))
    tan = math.tan(angle)
    start = tan - angle
    second = (
        f"inv a' = inv a + 2 × ({x1:g} + {x2:g}) × tan a / ({z1} + {z2})"
        f" = {start:.6f} + {2 * (x1 + x2):g} × {tan:.6f} / {z1 + z2} = {math.tan(working) - working:.6f},"
        f" so a' = {math.degrees(working):.4f}°"
    )
    third = (
        f"{one(mesh['reference_centre_mm'], own)} × cos {mesh['pressure_angle_deg']:g}° / cos a'"
        f" = {one(mesh['zero_backlash_centre_mm'], own)}"
    )
    return second, third + end


def tooth_size(module_mm: float) -> str:
    """ "P 20" where the module is that of a whole diametral pitch, else "m 1.5 mm"."""
    pitch = 25.4 / module_mm
    if abs(pitch - round(pitch)) < 1e-6 * pitch:
        return f"P {round(pitch)}"
    return f"m {module_mm:g} mm"


def tooth_system(mesh: dict[str, Any]) -> str:
    """ "diametral pitch 20, 20°" or "module 1.5 mm, 20°"."""
    size = tooth_size(mesh["module_mm"])
    words = f"diametral pitch {size[2:]}" if size.startswith("P") else f"module {size[2:]}"
    return f"{words}, {mesh['pressure_angle_deg']:g}°"


def _signed(added_mm: float, own: Unit) -> str:
    """ "; + 0.0020 in added", or "; − 0.0010 in, placed nearer" than without play."""
    if added_mm > 0:
        return f"; + {one(added_mm, own)} added"
    return f"; − {one(-added_mm, own)}, placed nearer,"
