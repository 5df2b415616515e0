"""One of the user's own holes that stands far outside all else, and makes a plate as large as it is."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from gearplate.checks.job_keys import hole_key, point
from gearplate.finding import Remedy

if TYPE_CHECKING:
    from gearplate.checks.cutouts import Cutout
    from gearplate.checks.subject import Subject
    from gearplate.geometry.boxes import Box
    from gearplate.layout.spec import Side
    from gearplate.plate.spec import OwnHole


class FarHole(NamedTuple):
    """A hole that reaches `past_mm` beyond the box of all other cut-outs of its plate."""

    own: OwnHole
    cutout: Cutout
    others: Box
    past_mm: float

    def words(self) -> str:
        """What stands where, as a sentence."""
        x, y = self.cutout.feature.x_mm, self.cutout.feature.y_mm
        place = f"centred at ({x:.1f}, {y:.1f}) mm"
        past = f"{self.past_mm:.1f} mm past all other cut-outs"
        return f"Farthest out reaches the job's own {self.own.name}, {place}: {past}"


def far_hole(subject: Subject, side: Side, low_mm: float, high_mm: float) -> FarHole | None:
    """The own hole that reaches farthest, if a bed of that size takes the plate without it, as much wider than its
    cut-outs as it is now."""
    from gearplate.geometry.path import bbox

    cutouts = subject.cutouts[side]
    if len(cutouts) < 2:
        return None
    outline = bbox(subject.plate(side).outline)
    all_of = _around([one.box for one in cutouts])
    margins = [outline[i + 2] - outline[i] - (all_of[i + 2] - all_of[i]) for i in (0, 1)]
    own = {hole.name: hole for hole in subject.plate_spec.own_holes}
    found: FarHole | None = None
    for cutout in cutouts:
        rest = [one.box for one in cutouts if one is not cutout]
        if cutout.feature.id not in own or not rest:
            continue
        x0, y0, x1, y1 = _around(rest)
        past = max(cutout.box[2] - x1, x0 - cutout.box[0], cutout.box[3] - y1, y0 - cutout.box[1])
        short, long = sorted((x1 - x0 + margins[0], y1 - y0 + margins[1]))
        if past > (0.0 if found is None else found.past_mm) and short <= low_mm and long <= high_mm:
            found = FarHole(own[cutout.feature.id], cutout, (x0, y0, x1, y1), past)
    return found


def _around(boxes: list[Box]) -> Box:
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def nearer(subject: Subject, far: FarHole) -> list[Remedy]:
    """Its place in mm, if its file reads bare numbers as inches; a place nearest to all else; in words."""
    name, own, feature = far.own.name, far.own, far.cutout.feature
    key = hole_key(subject.plate_spec, name)
    field = "at" if own.shaft is None else "offset"
    said = next((hole.get(field) for hole in subject.raw.get("holes", ()) if hole.get("name") == name), None)
    words = Remedy(f"Move {name} nearer to the rest, or take a larger cutter if it must stand there.")
    if key is None or feature.form == "window" or not isinstance(said, list):
        return [words]
    found = []
    if subject.unit == "inch" and all(isinstance(number, int | float) for number in said):
        place = [f"{float(number):g} mm" for number in said]
        found.append(Remedy(f"Give the place of {name} in mm, if that was meant.", ((f"{key}.{field}", place),)))
    x0, y0, x1, y1 = far.others
    x = own.x_mm + min(max(feature.x_mm, x0), x1) - feature.x_mm
    y = own.y_mm + min(max(feature.y_mm, y0), y1) - feature.y_mm
    found.append(Remedy(f"Move {name} nearer to the rest.", ((f"{key}.{field}", point(x, y, subject.unit)),)))
    return [*found, words]
