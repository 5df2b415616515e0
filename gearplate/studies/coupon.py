"""The coupons of a job: for every sheet that its plates are cut from, its bores in several sizes, to cut and try first.

No layout is needed for them: what goes into the bores is known before the shafts stand anywhere.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from gearplate.cut.cut_plate import CutPlate
from gearplate.cut.make import cut_plate
from gearplate.cut.names import coupon_stem
from gearplate.errors import NoSolution, ToolBug
from gearplate.geometry.path import bbox
from gearplate.job.train_choice import nearest_train, trains_to_try, with_train
from gearplate.layout.spec import LayoutSpec, Side
from gearplate.plate.coupon import STEPS_MM, CouponBore, coupon_plate, step_text
from gearplate.plate.spec import Hand
from gearplate.record.numbers import length, maybe
from gearplate.shop.shop import Shop

if TYPE_CHECKING:
    from gearplate.drawing.model import Sheet
    from gearplate.job.spec import JobSpec

RECORD = "gearplate-coupon/1"


@dataclass(frozen=True, slots=True)
class Coupon:
    """The coupon of one sheet, ready to cut: rows of holes in the order of `bores`; `sheet` what its file draws,
    `data` the file itself, read back."""

    shop: Shop
    bores: tuple[CouponBore, ...]
    cut: CutPlate
    sheet: Sheet
    data: bytes


def coupons_of(job: JobSpec) -> tuple[Coupon, ...]:
    """One coupon a sheet: plates of the same material, thickness and kerf share one.

    Raises:
        NoSolution: a wanted reduction that no train of the job's gears comes near.
        NoCalibration, FitError: as a build.
        ToolBug: the file does not read back as it was asked, or the material must never be cut.
    """
    spec = _spec(job)
    sheets: dict[tuple[object, ...], list[Side]] = {}
    for side in Side:
        shop = job.shop(side)
        sheets.setdefault((shop.material.name, shop.thickness_mm, shop.kerf), []).append(side)
    return tuple(_coupon(job, spec, sides) for sides in sheets.values() if _bores(spec, job, sides))


def _spec(job: JobSpec) -> LayoutSpec:
    if job.wish is None:
        return job.layout_spec
    train = next(iter(trains_to_try(job.wish, 1)), None) or nearest_train(job.wish)
    if train is None:
        raise NoSolution("no train of the gears on hand comes near the wanted reduction; give other counts.")
    return with_train(job, train).layout_spec


def _bores(spec: LayoutSpec, job: JobSpec, sides: list[Side]) -> tuple[CouponBore, ...]:
    """What these plates bear, each size and fit once, bearings first, the largest first."""
    found: dict[tuple[str, float, float], list[str]] = {}
    for side in sides:
        shop = job.shop(side)
        for shaft in spec.shafts:
            seat = shaft.seat(side)
            if seat is not None:
                part = seat.bearing.outside_mm
                fit = shop.finished_mm(part, "bearing", seat.fit_mm, seat.fit_class) - part
                found.setdefault(("bearing", part, round(fit, 6)), []).append(seat.bearing.name)
        for motor in spec.motors:
            if motor.side is side:
                part = motor.motor.face.pilot_diameter_mm
                fit = shop.finished_mm(part, "pilot") - part
                found.setdefault(("pilot", part, round(fit, 6)), []).append(motor.motor.name)
    order = sorted(found, key=lambda key: (key[0] != "bearing", -key[1], key[2]))
    return tuple(CouponBore(what, part, fit, tuple(dict.fromkeys(found[what, part, fit]))) for what, part, fit in order)


def _coupon(job: JobSpec, spec: LayoutSpec, sides: list[Side]) -> Coupon:
    side = sides[0]
    shop, stock, bores = job.shop(side), spec.stock(side), _bores(spec, job, sides)
    head = (f"{shop.thickness_mm:.2f} MM, KERF {shop.kerf_mm:.3f} MM", stock.material.upper(), "COUPON, THIS FACE UP")
    cut = cut_plate(
        coupon_plate(stock, shop.thickness_mm, bores, head), Hand.RIGHT, shop, job.identity, job.drawing_unit
    )
    cut = replace(cut, file_name=f"{coupon_stem(job.identity, stock, job.drawing_unit)}.dxf")
    sheet, data = _written(cut, shop, job.drawing_unit)
    return Coupon(shop, bores, cut, sheet, data)


def _written(cut: CutPlate, shop: Shop, drawn_unit: str) -> tuple[Sheet, bytes]:
    from gearplate.drawing.dxf_in import read_dxf
    from gearplate.drawing.dxf_out import dxf_bytes
    from gearplate.drawing.of_cut import sheet_of
    from gearplate.drawing.readback import compare

    sheet = sheet_of(cut, shop, drawn_unit)
    data = dxf_bytes(sheet)
    problems = compare(sheet, read_dxf(data)).problems
    if problems:
        said = "; ".join(problem.message for problem in problems)
        raise ToolBug(f"{cut.file_name} does not read back as it was asked: {said}")
    return sheet, data


def coupon_record(job: JobSpec, coupons: tuple[Coupon, ...]) -> dict[str, Any]:
    """Everything about the coupons as plain data: what the page and other programs read. Lengths in mm."""
    cutter = job.catalog.cutter(job.raw["cutter"])
    materials = {coupon.shop.material.name: coupon.shop.material for coupon in coupons}
    return {
        "record": RECORD,
        "job": {"part": job.identity.part, "revision": job.identity.revision, "title": job.identity.title},
        "drawn_units": job.drawing_unit,
        "shop": {
            "cutter": cutter.name,
            "process": cutter.process,
            "materials": [
                {"family": material.family, "cautions": list(material.cautions)} for material in materials.values()
            ],
        },
        "coupons": [_entry(coupon) for coupon in coupons],
    }


def _entry(coupon: Coupon) -> dict[str, Any]:
    cut, shop = coupon.cut, coupon.shop
    x0, y0, x1, y1 = bbox(cut.outline_path)
    holes = iter(cut.features)
    rows = []
    for bore in coupon.bores:
        own = [next(holes) for _ in STEPS_MM]
        rows.append(
            {
                "what": bore.what,
                "names": list(bore.names),
                "part_mm": length(bore.part_mm),
                "fit_mm": length(bore.fit_mm),
                "holes": [
                    {
                        "mark": step_text(step),
                        "x_mm": length(hole.x_mm),
                        "y_mm": length(hole.y_mm),
                        "finished_diameter_mm": maybe(hole.finished_diameter_mm),
                        "path_diameter_mm": maybe(hole.path_diameter_mm),
                        "wider_face_diameter_mm": maybe(hole.wider_face_diameter_mm),
                    }
                    for step, hole in zip(STEPS_MM, own, strict=True)
                ],
            }
        )
    return {
        "file": cut.file_name,
        "material": cut.plate.stock.material,
        "thickness_mm": length(shop.thickness_mm),
        "kerf_mm": length(shop.kerf_mm),
        "kerf_x_mm": length(shop.kerf_x_mm),
        "kerf_y_mm": length(shop.kerf_y_mm),
        "kerf_standing": shop.kerf_standing.value,
        "taper_mm_per_mm": length(shop.taper_mm_per_mm),
        "machine_compensates": shop.compensates,
        "drawn": {"size_mm": [length(x1 - x0), length(y1 - y0)]},
        "bores": rows,
    }
