"""Pictures for the tests: a plate with its marks, dimensions and findings, and an overlay of two plates."""

from __future__ import annotations

from gearplate.drawing import pens
from gearplate.drawing.model import Operation
from gearplate.drawing.picture import Picture
from gearplate.finding import Severity
from gearplate.geometry.shapes import Circle, Path, Stroke
from tests.builders.sheets import demo_sheet, rounded_box


def plate_picture(title: str = "Compost drive, outboard plate, right hand (invented)") -> Picture:
    sheet = demo_sheet()
    outline = sheet.entities[-1].shape
    holes = [
        e.shape for e in sheet.entities[:-1] if e.operation is Operation.CUT_INSIDE and not isinstance(e.shape, Stroke)
    ]
    marks = [e.shape for e in sheet.entities if e.operation is Operation.ETCH]
    assert not isinstance(outline, Stroke)
    picture = Picture("plate", title, "A plate with seven holes and one window; two findings are ringed.")
    picture.group("sheet", pens.SHEET, "material").area(outline, *holes)
    picture.group("outline", pens.OUTLINE, "outline, cut last").add(outline)
    picture.group("holes", pens.HOLE, "holes, cut first").add(*holes)
    picture.group("etched", pens.ETCHED, "etched").add(*marks)
    picture.group("lead-ins", pens.LEAD_IN, "lead-in").add(sheet.entities[2].shape)
    centres = picture.group("centres", pens.CENTRE_LINE)
    for shape in holes:
        if isinstance(shape, Circle):
            centres.cross(shape.x_mm, shape.y_mm, shape.diameter_mm * 1.3)
    centres.cross(0.0, 0.0, 34.0)
    sizes = picture.group("sizes", pens.DIMENSION)
    sizes.dimension((-25.0, -25.0), (120.0, -25.0), "145.00", -12.0)
    sizes.dimension((-25.0, -25.0), (-25.0, 28.0), "53.00", 12.0)
    sizes.dimension((0.0, 0.0), (61.0, 0.0), "61.00", 36.0)
    sizes.dimension((110.0, -4.0), (115.0, -4.0), "5.00", 8.0)
    sizes.leader((18.0, -19.0), (10.1, -10.1), "⌀ 28.575")
    sizes.text(37.0, -10.0, "W1", bold=True)
    picture.finding(
        61.0,
        12.7,
        13.0,
        Severity.ERROR,
        "1",
        "web between bore_second and standoff_1: 5.4 mm, at least 6.0 mm are needed here; move the standoff outward",
    )
    picture.finding(90.0, -10.0, 5.0, Severity.WARNING, "2", "slot near the edge <b>&amp; more</b>")
    picture.finding(-14.0, 17.0, 2.0, Severity.NOTE, "3", "this cannot be helped")
    return picture


def overlay_picture() -> Picture:
    picture = Picture(
        "overlay", "Both plates over each other, with gears, motors, wheel and rail", "Overlay (invented)."
    )
    picture.group("wheel", pens.WHEEL, "wheel").circle(0.0, 0.0, 101.6)
    picture.group("rail", pens.RAIL, "rail").box(-60.0, -19.0, 130.0, 6.4)
    picture.group("keep-out", pens.KEEP_OUT, "keep-out").box(95.0, 30.0, 125.0, 50.0)
    picture.group("pitch", pens.PITCH_CIRCLE, "pitch circle").circle(0.0, 0.0, 76.2).circle(55.0, 20.0, 40.64).circle(
        88.0, 40.0, 15.24
    )
    picture.group("tip", pens.TIP_CIRCLE, "tip circle").circle(0.0, 0.0, 78.74).circle(55.0, 20.0, 43.18).circle(
        88.0, 40.0, 17.78
    )
    picture.group("motors", pens.MOTOR, "motor").circle(88.0, 40.0, 44.0)
    picture.group("outboard", pens.OUTBOARD, "outboard plate").add(rounded_box(-25.0, -25.0, 120.0, 70.0, 9.0))
    picture.group("inboard", pens.INBOARD, "inboard plate").add(rounded_box(-25.0, -25.0, 90.0, 60.0, 12.0))
    labels = picture.group("labels", pens.DIMENSION)
    labels.text(0.0, 0.0, "output").text(55.0, 20.0, "second").text(88.0, 40.0, "M1")
    labels.arrow((-50.0, 60.0), (-30.0, 60.0), "forward")
    return picture


def section_like_picture() -> Picture:
    """Arcs both ways, short and long, in one shape: for counting and looking."""
    picture = Picture("arcs", "Arcs", "Arcs both ways.", scale_bar=False, true_scale=True)
    wave = Path(((0.0, 0.0, 0.3), (20.0, 0.0, -0.9), (40.0, 0.0, 0.0), (40.0, 20.0, 1.0), (0.0, 20.0, 0.0)))
    picture.group("wave", pens.BODY).add(wave)
    return picture
