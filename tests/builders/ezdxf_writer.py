"""The cut file as ezdxf writes it: what our own writer is held against, and where its blank drawing comes from.

    python tests/builders/ezdxf_writer.py > gearplate/drawing/blank.dxf

prints that blank drawing: a file of ezdxf in which the places that differ from sheet to sheet are named, as @x0@.
"""

from __future__ import annotations

import contextlib
import io
import sys
from collections.abc import Iterator
from pathlib import Path as FilePath
from typing import Any

sys.path.insert(0, str(FilePath(__file__).resolve().parents[2]))

import ezdxf

from gearplate.drawing.curves import box_of_all
from gearplate.drawing.dxf_out import VIEW_MARGIN, WIDE_SCREEN, drawn_shapes
from gearplate.drawing.model import Entity, Operation, Sheet
from gearplate.geometry.shapes import Circle, Path, Shape


def ezdxf_bytes(sheet: Sheet) -> bytes:
    """The cut file of `sheet`, written by ezdxf."""
    drawn = drawn_shapes(sheet)
    with _fixed_metadata():
        document = ezdxf.new("R2000", units=sheet.unit.insunits)
        _set_up(document, sheet, drawn)
        space = document.modelspace()
        for entity, shape in zip(sheet.entities, drawn, strict=True):
            _add(space, shape, sheet.layers.of(entity.operation).name)
        text = io.StringIO()
        document.write(text)
    return bytes(document.encode(text.getvalue()))


def _set_up(document: Any, sheet: Sheet, drawn: list[Shape]) -> None:
    header = document.header
    header["$MEASUREMENT"] = sheet.unit.measurement
    header["$PSVPSCALE"] = 1.0  # 0 prints blank pages in some readers
    header["$DIMSTYLE"] = "Standard"  # the only one that the file holds
    # Defpoints is a layer of dimensions; an operator who lists the layers should see nothing but what is cut.
    document.layers.remove("Defpoints")
    for style in dict.fromkeys(sheet.layers.all()):
        if style.name in document.layers:
            document.layers.get(style.name).color = style.colour
        else:
            document.layers.add(style.name, color=style.colour)
    x0, y0, x1, y1 = box_of_all(drawn)
    space = document.modelspace()
    space.dxf.extmin, space.dxf.extmax = (x0, y0, 0.0), (x1, y1, 0.0)
    space.reset_limits((x0, y0), (x1, y1))
    height = VIEW_MARGIN * max(y1 - y0, (x1 - x0) / WIDE_SCREEN)
    document.set_modelspace_vport(height, center=((x0 + x1) / 2.0, (y0 + y1) / 2.0))


def _add(space: Any, shape: Shape, layer: str) -> None:
    attributes = {"layer": layer}
    if isinstance(shape, Circle):
        space.add_circle((shape.x_mm, shape.y_mm), shape.diameter_mm / 2.0, dxfattribs=attributes)
    elif isinstance(shape, Path):
        space.add_lwpolyline(shape.vertices, format="xyb", close=True, dxfattribs=attributes)
    else:
        space.add_lwpolyline(shape.points, format="xy", close=False, dxfattribs=attributes)


@contextlib.contextmanager
def _fixed_metadata() -> Iterator[None]:
    """The library's switch for output without time stamps and GUIDs; set back, because it is global."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


# A rectangle whose corners and middle are numbers that no other place of the file holds.
_X0, _Y0, _X1, _Y1 = 1111.5, 2222.5, 3333.25, 5555.75


def blank() -> str:
    """A file of ezdxf with names in the places of everything that our writer fills in."""
    corners = ((_X0, _Y0), (_X1, _Y0), (_X1, _Y1), (_X0, _Y1))
    outline = Path(tuple((x, y, 0.0) for x, y in corners))
    text = ezdxf_bytes(Sheet((Entity(Operation.CUT_OUTSIDE, outline, "outline"),))).decode("ascii")
    height = VIEW_MARGIN * max(_Y1 - _Y0, (_X1 - _X0) / WIDE_SCREEN)
    numbers = {"x0": _X0, "y0": _Y0, "x1": _X1, "y1": _Y1, "view_height": height}
    numbers |= {"view_x": (_X0 + _X1) / 2.0, "view_y": (_Y0 + _Y1) / 2.0}
    text = _between(
        text, "  2\nLAYER\n  5\n1\n330\n0\n100\nAcDbSymbolTable\n 70\n", "  0\n", "@layer_count@\n", keep=True
    )
    text = _between(text, "  0\nLAYER\n  5\n27\n", "  0\nENDTAB\n", "@layers@")
    text = _between(text, "  2\nENTITIES\n", "  0\nENDSEC\n", "@entities@", keep=True)
    for name, value in numbers.items():
        assert f"\n{value}\n" in text, name
        text = text.replace(f"\n{value}\n", f"\n@{name}@\n")
    for name, code, handle in (("view", "  5", "32"), ("after_1", "  5", "34"), ("after_2", "  5", "35")):
        assert text.count(f"{code}\n{handle}\n") == 1, name
        text = text.replace(f"{code}\n{handle}\n", f"{code}\n@{name}@\n")
    for name, before, value in (
        ("after_3", "WRITTEN_BY_EZDXF\n350\n", "36"),
        ("after_3", "  0\nDICTIONARYVAR\n  5\n", "36"),
        ("seed", "$HANDSEED\n  5\n", "37"),
        ("insunits", "$INSUNITS\n 70\n", "4"),
        ("measurement", "$MEASUREMENT\n 70\n", "1"),
    ):
        assert text.count(f"{before}{value}\n") == 1, name
        text = text.replace(f"{before}{value}\n", f"{before}@{name}@\n")
    return text


def _between(text: str, start: str, end: str, inner: str, keep: bool = False) -> str:
    first = text.index(start) + (len(start) if keep else 0)
    return text[:first] + inner + text[text.index(end, first) :]


if __name__ == "__main__":
    sys.stdout.write(blank())
