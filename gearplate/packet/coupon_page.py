"""The page beside a coupon's cut file: what to cut, what to measure, what to write down. One HTML file, no script."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from typing import Any

from gearplate.drawing.model import Operation, Sheet
from gearplate.drawing.picture import Picture
from gearplate.geometry.shapes import Circle, Path
from gearplate.packet.cautions import DEFERENCE, cutting_cautions
from gearplate.packet.characters import harmless
from gearplate.packet.coupon_text import bore_said, cutting, sheet_said, turning_into_numbers
from gearplate.packet.lines import ETCH, PLATE_CUT
from gearplate.packet.page import opening, own
from gearplate.packet.sizes import both, one, other, size, unit_of


def coupon_page(record: dict[str, Any], sheets: list[Sheet]) -> bytes:
    """The page as UTF-8; `sheets` are what the coupons' files draw, in the record's order."""
    return "\n".join(_page(record, sheets)).encode("utf-8")


def coupon_picture(coupon: dict[str, Any], sheet: Sheet, number: int) -> Picture:
    """The coupon as it lies in the cutter, at true scale."""
    title = f"Coupon of {sheet_said(coupon)}"
    picture = Picture(f"coupon-{number}", title, f"{title}: rows of holes, each marked with its step.", True)
    of = {operation: [one.shape for one in sheet.entities if one.operation is operation] for operation in Operation}
    closed = [shape for shape in of[Operation.CUT_INSIDE] if isinstance(shape, Circle | Path)]
    for outline in of[Operation.CUT_OUTSIDE]:
        assert isinstance(outline, Path)
        picture.group("cut", PLATE_CUT).area(outline, *closed)
    picture.group("etch", ETCH).add(*of[Operation.ETCH])
    return picture


def _page(record: dict[str, Any], sheets: list[Sheet]) -> Iterator[str]:
    yield from opening(f"Coupon for {harmless(record['job']['part'], 60)}")
    yield f"<h1>Coupon for {own(record['job']['part'], 60)}: cut this before the plates</h1>"
    for number, (coupon, sheet) in enumerate(zip(record["coupons"], sheets, strict=True), 1):
        yield from _coupon(record, coupon, sheet, number)
    yield f"<h2>Cautions</h2>\n<p>{escape(DEFERENCE)}</p>\n<dl>"
    for caution in cutting_cautions(record):
        yield f"<div><dt>{escape(caution.topic)}</dt><dd>{escape(caution.text)}</dd></div>"
    yield "</dl>\n</body>\n</html>\n"


def _coupon(record: dict[str, Any], coupon: dict[str, Any], sheet: Sheet, number: int) -> Iterator[str]:
    unit = unit_of(record)
    across, up = coupon["drawn"]["size_mm"]
    yield f"<h2>{own(sheet_said(coupon), 80)}</h2>"
    yield (
        f"<p>{own(coupon['file'], 120)}: the screen must show "
        f'<span class="big">{escape(size(across, up, unit))}</span> '
        f"({escape(size(across, up, other(unit)))}).</p>"
    )
    yield from (f"<p>{escape(text)}</p>" for text in cutting(coupon))
    yield f"<figure>\n{coupon_picture(coupon, sheet, number).svg_text()}</figure>"
    for bore in coupon["bores"]:
        yield f'<table class="measure">\n<tr><th>{own(bore_said(bore, record), 300)}</th><th>finished</th>'
        yield "<th>drawn</th><th>measured along x</th><th>along y</th><th>how it sits</th></tr>"
        for hole in bore["holes"]:
            drawn = one(hole["path_diameter_mm"], unit)
            yield (
                f'<tr><td>{escape(hole["mark"])}</td><td class="fixed">'
                f'{escape(both(hole["finished_diameter_mm"], unit))}</td><td class="fixed">{escape(drawn)}</td>'
                '<td class="blank"></td><td class="blank"></td><td class="blank"></td></tr>'
            )
        yield "</table>"
    yield from (f"<p>{escape(text)}</p>" for text in turning_into_numbers(coupon))
    yield (
        '<p class="boxes"><span><i></i>size on the screen held</span><span>bearing, measured across: <u></u></span>'
        "<span>hole chosen: <u></u></span><span>name, date <u></u></span></p>"
    )
