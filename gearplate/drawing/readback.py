"""Holds a cut file, read back, against the sheet that it was to be: if they differ, there is no build.

Nothing here trusts the writer. Every shape asked for must be found again within 0.001 mm, on its layer
and in its place in the order; nothing else may be in the file; no contour may be open, drawn twice, or
touch another. Where the file differs as a whole (mirrored, scaled by 25.4, turned, moved) the account
says so in one sentence instead of calling every hole missing.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from gearplate.drawing.curves import Box, box_of_all
from gearplate.drawing.dxf_in import ReadBack, ReadEntity
from gearplate.drawing.likeness import boxes_agree, is_own_mirror, mirror_in_place, placing_of, same_drawing
from gearplate.drawing.matching import Pairs, nearest, opened, pair_up
from gearplate.drawing.meetings import Contour, contour, doubled_and_meeting
from gearplate.drawing.model import Entity, Operation, Sheet, is_lead_in, start_point
from gearplate.finding import Finding, Severity, Standing, Where
from gearplate.geometry.shapes import Circle, Path, Shape, Stroke

TOLERANCE_MM = 0.001
MOST_LISTED = 8  # of one kind; the rest is counted

READBACK_CODES = {
    "cut_file_unit": "The header of the file names another unit than the file was to be drawn in, or none.",
    "cut_file_extents": "The extents in the header are not those of what the file holds.",
    "cut_file_scaled": "Everything in the file is too large or too small by one factor.",
    "cut_file_mirrored": "The file shows the mirror image of what was asked.",
    "cut_file_moved": "The file shows what was asked at another place, or turned.",
    "cut_file_missing": "Something that was asked for is not in the file.",
    "cut_file_extra": "The file holds something that was not asked for.",
    "cut_file_shape": "A shape was found again, but off by more than 0.001 mm.",
    "cut_file_open": "A contour that must close is open, or a lead-in does not end on the start of a contour.",
    "cut_file_doubled": "A shape is drawn twice: the beam would follow it twice.",
    "cut_file_meeting": "Two contours touch or cross.",
    "cut_file_layer": "A layer is missing, hidden or of another colour, or a shape lies on the wrong one.",
    "cut_file_order": "The shapes do not come in cut order.",
    "cut_file_foreign": "The file holds something that no cut file holds, or had to be mended to be read.",
}


@dataclass(frozen=True, slots=True)
class Count:
    """How many of those asked for were found again."""

    found: int
    asked: int

    def __str__(self) -> str:
        return f"{self.found} of {self.asked}"


@dataclass(frozen=True, slots=True)
class Comparison:
    """What came of holding a file against its sheet. `holes` are the closed inner contours, whatever
    their form; `circles`, `paths` and `strokes` count by form. `own_mirror`: what is cut equals its own
    mirror image, so that the plate fits both hands, and a mirrored file of it is no fault."""

    problems: tuple[Finding, ...]
    holes: Count
    circles: Count
    paths: Count
    strokes: Count
    own_mirror: bool

    @property
    def account(self) -> str:
        """One line for people: "31 of 31 holes found again"."""
        line = f"{self.holes} holes found again"
        return line + ("; the plate is its own mirror image and fits both hands" if self.own_mirror else "")


@dataclass(frozen=True, slots=True)
class _Fault:
    code: str
    text: str
    tag: str = ""
    measured_mm: float | None = None


def compare(sheet: Sheet, back: ReadBack, plate: str | None = None) -> Comparison:
    """Hold what was read back against what was asked. `plate` only names the plate in the findings.

    Every problem is a finding of severity error, its `check` one of READBACK_CODES. Coordinates in the
    messages are those of the file, in mm.
    """
    pairs = pair_up(sheet, back, TOLERANCE_MM)
    own_mirror = is_own_mirror(_contours(sheet), TOLERANCE_MM)
    doubles = list(doubled_and_meeting(_all_contours(sheet, back), TOLERANCE_MM))
    missing = [at for at, place in enumerate(pairs.found_at) if place is None]
    whole = _as_a_whole(sheet, back, missing) if missing else None
    if whole is not None:
        differences = [whole]  # what follows from it would only hide it
    else:
        told = {later for kind, _, later in doubles if kind == "doubled"}
        left = [place for place in pairs.left if place not in told]
        differences = [*_differences(sheet, back, missing, left), *_order(sheet, pairs)]
    faults = [
        *_header(sheet, back),
        *differences,
        *_layers(sheet, back, pairs),
        *_lead_ins(sheet, back, pairs),
        *_meetings(back, doubles),
        *(_Fault("cut_file_foreign", text) for text in (*back.foreign, *back.repairs)),
    ]
    return Comparison(
        tuple(_finding(fault, plate) for fault in _shortened(faults)),
        _count(sheet, pairs, lambda one: _is_contour(one) and one.operation is Operation.CUT_INSIDE),
        _count(sheet, pairs, lambda one: isinstance(one.shape, Circle)),
        _count(sheet, pairs, lambda one: isinstance(one.shape, Path)),
        _count(sheet, pairs, lambda one: isinstance(one.shape, Stroke)),
        own_mirror,
    )


def _is_contour(entity: Entity) -> bool:
    """A closed shape that is cut."""
    return entity.operation is not Operation.ETCH and not isinstance(entity.shape, Stroke)


def _contours(sheet: Sheet) -> list[Shape]:
    return [entity.shape for entity in sheet.entities if _is_contour(entity)]


def _count(sheet: Sheet, pairs: Pairs, wanted: Callable[[Entity], bool]) -> Count:
    places = [at for entity, at in zip(sheet.entities, pairs.found_at, strict=True) if wanted(entity)]
    return Count(sum(at is not None for at in places), len(places))


def _header(sheet: Sheet, back: ReadBack) -> Iterator[_Fault]:
    for text in back.header_faults:
        yield _Fault("cut_file_unit", text)
    if back.unit is not None and back.unit is not sheet.unit:
        yield _Fault("cut_file_unit", f"the file says that it is drawn in {back.unit}; asked for was {sheet.unit}")
    holds = box_of_all(seen.shape for seen in back.entities) if back.entities else None
    if holds and not (back.extents_mm and boxes_agree(back.extents_mm, holds, TOLERANCE_MM)):
        told, held = _box_in_words(back.extents_mm), _box_in_words(holds)
        yield _Fault("cut_file_extents", f"the header tells extents of {told}; the file holds {held}")


def _differences(sheet: Sheet, back: ReadBack, missing: list[int], left: list[int]) -> Iterator[_Fault]:
    """What was asked for and is not there (`missing`, places in the sheet), and what is there and was not
    asked for (`left`, places in the file)."""
    for at in missing:
        entity = sheet.entities[at]
        open_run = opened(entity.shape, back, left, TOLERANCE_MM)
        near = nearest(entity.shape, back, left, TOLERANCE_MM)
        if open_run is not None:
            left.remove(open_run)
            yield _Fault("cut_file_open", f"{_called(entity)} is open in the file", entity.tag)
        elif near is not None:
            left.remove(near[0])
            seen, off = _seen(back.entities[near[0]]), near[1]
            yield _Fault("cut_file_shape", f"{_called(entity)} is off by {off:.4f} mm: {seen}", entity.tag, off)
        else:
            yield _Fault("cut_file_missing", f"{_called(entity)} is not in the file", entity.tag)
    etch = sheet.layers.etch.name
    for place in left:
        seen_entity = back.entities[place]
        if not seen_entity.closed and seen_entity.layer != etch:
            yield _Fault("cut_file_open", f"an open contour that nobody asked for: {_seen(seen_entity)}")
        else:
            yield _Fault("cut_file_extra", f"not asked for: {_seen(seen_entity)}")


def _as_a_whole(sheet: Sheet, back: ReadBack, missing: list[int]) -> _Fault | None:
    """The one change of size, side or place that explains all differences of what is cut."""
    etch = sheet.layers.etch.name
    if any(_is_contour(sheet.entities[at]) for at in missing):
        found = [seen.shape for seen in back.entities if seen.closed and seen.layer != etch]
        placing = placing_of(_contours(sheet), found, TOLERANCE_MM)
        if placing is None or not placing.words():
            return None
        mirrored = "cut_file_mirrored" if placing.mirrored else "cut_file_moved"
        code = "cut_file_scaled" if placing.scale != 1.0 else mirrored
        return _Fault(code, f"the drawing in the file is {placing.words()} against what was asked")
    marks = [entity.shape for entity in sheet.entities if entity.operation is Operation.ETCH]
    found = [seen.shape for seen in back.entities if seen.layer == etch]
    flip = mirror_in_place(_contours(sheet))
    if flip is not None and same_drawing([flip.shape(mark) for mark in marks], found, TOLERANCE_MM):
        text = "the etched marks are mirrored; what is cut is its own mirror image and does not show it"
        return _Fault("cut_file_mirrored", text)
    return None


def _layers(sheet: Sheet, back: ReadBack, pairs: Pairs) -> Iterator[_Fault]:
    there = {layer.name: layer for layer in back.layers}
    for style in sheet.layers.all():
        layer = there.get(style.name)
        if layer is None:
            yield _Fault("cut_file_layer", f"the layer {style.name!r} is not in the file")
        elif not layer.visible:
            yield _Fault("cut_file_layer", f"the layer {style.name!r} is off or frozen")
        elif layer.colour != style.colour:
            text = f"the layer {style.name!r} has the colour {layer.colour} instead of {style.colour}"
            yield _Fault("cut_file_layer", text)
    for entity, place in zip(sheet.entities, pairs.found_at, strict=True):
        layer_name = sheet.layers.of(entity.operation).name
        if place is not None and back.entities[place].layer != layer_name:
            text = f"{_called(entity)} lies on layer {back.entities[place].layer!r} instead of {layer_name!r}"
            yield _Fault("cut_file_layer", text, entity.tag)


def _order(sheet: Sheet, pairs: Pairs) -> Iterator[_Fault]:
    both = zip(sheet.entities, pairs.found_at, strict=True)
    places = [(place, entity.tag) for entity, place in both if place is not None]
    longest: list[int] = []  # ends of the longest runs in order, by length: what is in none of them is displaced
    for place, _ in places:
        at = bisect_left(longest, place)
        longest[at : at + 1] = [place]
    displaced = len(places) - len(longest)
    if displaced:
        tag = next(tag for (place, tag), (after, _) in pairwise(places) if place > after)
        text = f"{displaced} of {len(places)} shapes are not in cut order, the first near {tag!r}"
        yield _Fault("cut_file_order", text, tag)


def _lead_ins(sheet: Sheet, back: ReadBack, pairs: Pairs) -> Iterator[_Fault]:
    starts = [start_point(seen.shape) for seen in back.entities if seen.closed]
    for entity, place in zip(sheet.entities, pairs.found_at, strict=True):
        if place is not None and is_lead_in(entity) and isinstance(entity.shape, Stroke):
            x, y = entity.shape.points[-1]
            if not any(abs(x - u) <= TOLERANCE_MM and abs(y - v) <= TOLERANCE_MM for u, v in starts):
                text = f"{_called(entity)}, a lead-in, does not end on the start of a contour"
                yield _Fault("cut_file_open", text, entity.tag)


def _all_contours(sheet: Sheet, back: ReadBack) -> list[Contour]:
    etch = sheet.layers.etch.name
    return [contour(at, seen.shape, seen.layer == etch or not seen.closed) for at, seen in enumerate(back.entities)]


def _meetings(back: ReadBack, doubles: list[tuple[str, int, int]]) -> Iterator[_Fault]:
    for kind, one, other in doubles:
        seen = back.entities[one]
        if kind == "doubled":
            where = f"line {back.entities[other].line}, layer {back.entities[other].layer!r}"
            yield _Fault("cut_file_doubled", f"drawn twice: {_seen(seen)}, and again at {where}")
        elif one == other:
            yield _Fault("cut_file_meeting", f"the contour crosses itself: {_seen(seen)}")
        else:
            text = f"two contours touch or cross: {_seen(seen)} and {_seen(back.entities[other])}"
            yield _Fault("cut_file_meeting", text)


def _called(entity: Entity) -> str:
    return f"{entity.tag!r}, {_in_words(entity.shape)}"


def _box_in_words(box: Box | None) -> str:
    if box is None:
        return "nothing"
    return f"({box[0]:.4f}, {box[1]:.4f}) to ({box[2]:.4f}, {box[3]:.4f}) mm"


def _seen(entity: ReadEntity) -> str:
    line = f", line {entity.line}" if entity.line else ""
    return f"{_in_words(entity.shape)} on layer {entity.layer!r}{line}"


def _in_words(shape: Shape) -> str:
    if isinstance(shape, Circle):
        return f"a circle of {shape.diameter_mm:.4f} mm at ({shape.x_mm:.4f}, {shape.y_mm:.4f})"
    x, y = start_point(shape)
    if isinstance(shape, Path):
        return f"a path of {len(shape.vertices)} segments from ({x:.4f}, {y:.4f})"
    return f"a stroke of {len(shape.points)} points from ({x:.4f}, {y:.4f})"


def _shortened(faults: list[_Fault]) -> Iterator[_Fault]:
    """At most eight of one kind, then how many more there are."""
    counts: dict[str, int] = {}
    for fault in faults:
        counts[fault.code] = counts.get(fault.code, 0) + 1
        if counts[fault.code] <= MOST_LISTED:
            yield fault
    for code, count in counts.items():
        if count > MOST_LISTED:
            yield _Fault(code, f"and {count - MOST_LISTED} more of this kind")


def _finding(fault: _Fault, plate: str | None) -> Finding:
    return Finding(
        check=fault.code,
        severity=Severity.ERROR,
        message=fault.text,
        where=Where(plate=plate, features=(fault.tag,) if fault.tag else ()),
        measured=fault.measured_mm,
        limit=TOLERANCE_MM if fault.measured_mm is not None else None,
        unit="mm" if fault.measured_mm is not None else "",
        standing=Standing.GEOMETRY,
    )
