"""What to do with a coupon: for whoever cuts it, and for whoever turns it into numbers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from gearplate.packet.characters import harmless
from gearplate.packet.columns import wrapped
from gearplate.packet.plate_picture import kerf_sentence
from gearplate.packet.sizes import both, listed, one, unit_of


def sheet_said(coupon: dict[str, Any]) -> str:
    """ "acetal-6mm, 6.00 mm thick"."""
    return f"{harmless(coupon['material'], 40)}, {coupon['thickness_mm']:.2f} mm thick"


def bore_said(bore: dict[str, Any], record: dict[str, Any]) -> str:
    """ "bearing FR8ZZ-hex, 28.575 mm; fit -0.040 mm"."""
    names = listed([harmless(name, 40) for name in bore["names"]])
    return f"{bore['what']} {names}, {both(bore['part_mm'], unit_of(record))}; fit {bore['fit_mm']:+.3f} mm"


def origin(coupon: dict[str, Any]) -> str:
    """Where the kerf comes from, unless somebody measured it."""
    return "" if coupon["kerf_standing"] == "measured here" else str(coupon["kerf_standing"])


def cutting(coupon: dict[str, Any]) -> Iterator[str]:
    """For whoever cuts."""
    yield (
        "Cut it from the very sheet that the plates will come from, the marked face up, with the plates' settings; let "
        "it cool before measuring."
    )
    yield kerf_sentence(coupon, origin(coupon))
    if coupon["taper_mm_per_mm"] > 0.0:
        yield "Sizes hold at the narrower, lower face: measure there."


def turning_into_numbers(coupon: dict[str, Any]) -> Iterator[str]:
    """For whoever owns the numbers."""
    yield (
        "Measure every hole along x and along y, as the coupon lay. Where they are wider than told by as much, the cut "
        "is wider by that: kerf_x_mm and kerf_y_mm are the kerf told here plus the excess (less where they are "
        "narrower)."
    )
    if any(bore["what"] == "bearing" for bore in coupon["bores"]):
        yield (
            "Press the bearing into the holes by hand and take the one in which it sits as you want it: that hole's "
            "measured size less the bearing's own is the fit, bearing_press_mm or bearing_slip_mm."
        )
    if any(bore["what"] == "pilot" for bore in coupon["bores"]):
        yield (
            "Try the motor's boss likewise: it goes in without force. The size of its hole less the boss is pilot_mm."
        )
    yield (
        "Write these into a cutters.toml of your own, in a folder profiles beside the job, in the calibration of this "
        "material, with date and name; then build again."
    )


def coupon_lines(record: dict[str, Any], width: int) -> Iterator[str]:
    """The account of the coupons, for a terminal of that width."""
    for coupon in record["coupons"]:
        across, up = coupon["drawn"]["size_mm"]
        yield f"Coupon of {sheet_said(coupon)}: {across:.1f} × {up:.1f} mm"
        for bore in coupon["bores"]:
            yield from wrapped(f"{bore_said(bore, record)}; finished:", width, "  ", "    ")
            sizes = [f"{hole['mark']}: {one(hole['finished_diameter_mm'], 'mm')}" for hole in bore["holes"]]
            yield from wrapped(", ".join(sizes), width, "    ", "    ")
        for text in (*cutting(coupon), *turning_into_numbers(coupon)):
            yield from wrapped(text, width, "  ", "    ")
        yield ""
