"""What changed since the last build, hole by hole from a micrometre on."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

from gearplate.geometry.nearest import distance_to_path
from gearplate.geometry.segments import point_at, segments
from gearplate.geometry.shapes import Path
from gearplate.packet.characters import harmless
from gearplate.packet.renumbered import number_of, numbered_as, paired

MICROMETRE = 0.001
_ROUNDING = 2e-6  # what two roundings of the record may add up to
_LEAST = MICROMETRE - _ROUNDING

NOTHING_MOVED = "Nothing that is cut has moved."
NOTHING_ELSE_MOVED = "Nothing else that is cut has moved."
LINES_MOVED = (
    "No finished hole or edge has moved, but the lines in the cut files are drawn otherwise: cut from the new files."
)
NOT_COMPARED = "The last build's record cannot be read by this gearplate: what changed since then is not known."


class Touches(IntEnum):
    """What a change reaches, the most first: the cut part itself; only the lines drawn for it, because the cutter
    or the file is another one; nothing that is cut."""

    PART = 0
    LINES = 1
    NOTHING = 2


@dataclass(frozen=True, slots=True)
class Change:
    """One change. `places` are the plates it holds for."""

    places: tuple[str, ...]
    subject: str
    text: str
    touches: Touches

    def __str__(self) -> str:
        place = " and ".join(self.places)
        subject = f"{self.subject} {self.text}".strip()
        return f"{place}: {subject}" if place else subject


def differences(old: dict[str, Any], new: dict[str, Any]) -> tuple[Change, ...]:
    """Every change between two records, plate by plate; the same change in several plates is told once.

    Raises KeyError, TypeError, ValueError or IndexError where `old` is not a record of this form.
    """
    found = [*_plates(old, new), *_train(old, new), *_shop(old, new)]
    merged: dict[tuple[str, str, Touches], list[str]] = {}
    for change in found:
        places = merged.setdefault((change.subject, change.text, change.touches), [])
        places += [place for place in change.places if place not in places]
    return tuple(Change(tuple(places), subject, text, touches) for (subject, text, touches), places in merged.items())


def difference_lines(old: dict[str, Any], new: dict[str, Any]) -> tuple[str, ...]:
    """The changes as lines, the gravest first; the last one always says whether anything (else) that is cut has moved,
    and whether the lines in the cut files have."""
    try:
        if old["record"] != new["record"]:
            return (NOT_COMPARED,)
        changes = differences(old, new)
    except (KeyError, TypeError, ValueError, IndexError, AttributeError, ArithmeticError):
        return (NOT_COMPARED,)
    lines = [f"Changed: {change}" for change in sorted(changes, key=lambda change: change.touches)]
    return (*lines, _CLOSING[min((change.touches for change in changes), default=Touches.NOTHING)])


_CLOSING = {
    Touches.PART: NOTHING_ELSE_MOVED,
    Touches.LINES: LINES_MOVED,
    Touches.NOTHING: NOTHING_MOVED,
}


def _by_plate(record: dict[str, Any]) -> dict[tuple[str, str], dict[str, Any]]:
    return {(plate["plate"], plate["hand"]): plate for plate in record["plates"]}


def _plates(old: dict[str, Any], new: dict[str, Any]) -> Iterator[Change]:
    before, after = _by_plate(old), _by_plate(new)
    several = len({hand for _, hand in (*before, *after)}) > 1
    for key in [*after, *(key for key in before if key not in after)]:
        side, hand = key
        place = (f"{side} {hand}" if several else side,)
        if key not in before:
            yield Change((), f"{side} plate, {hand} hand", "added", Touches.PART)
        elif key not in after:
            yield Change((), f"{side} plate, {hand} hand", "no longer made", Touches.PART)
        else:
            yield from _plate(place, before[key], after[key])


def _plate(place: tuple[str, ...], old: dict[str, Any], new: dict[str, Any]) -> Iterator[Change]:
    forward = 1.0 if new["hand"] == "right" else -1.0
    yield from _features(place, old["features"], new["features"], forward)
    off = _apart(_path(old["outline"]["vertices"]), _path(new["outline"]["vertices"]))
    if off >= _LEAST:
        yield Change(place, "outline", f"moved by up to {off:.3f} mm", Touches.PART)
    if abs(old["thickness_mm"] - new["thickness_mm"]) >= 1e-6:
        thickness = f"{old['thickness_mm']:.4g} → {new['thickness_mm']:.4g} mm"
        yield Change(place, "thickness", thickness, Touches.NOTHING)
    yield from _kerf(place, old, new)
    scale = [(plate.get("scale_x", 1.0), plate.get("scale_y", 1.0)) for plate in (old, new)]
    if scale[0] != scale[1]:
        now = " × ".join(f"{factor:.5f}" for factor in scale[1])
        yield Change(place, "scale", f"of the drawn lines is now {now}: the finished sizes stay", Touches.LINES)
    if old["material"] != new["material"]:
        yield Change(place, "material", f"{harmless(old['material'])} → {harmless(new['material'])}", Touches.NOTHING)
    if old["face_up"] != new["face_up"]:
        yield Change(place, "face up", f"{old['face_up']} → {new['face_up']}: the file is turned over", Touches.LINES)
    if old["machine_compensates"] != new["machine_compensates"]:
        now = "at the machine: lines are drawn in finished size" if new["machine_compensates"] else "in the file"
        yield Change(place, "kerf", f"is now taken care of {now}", Touches.LINES)
    if old["file"] != new["file"]:
        yield Change(place, "file", f"{_name(old['file'])} → {_name(new['file'])}", Touches.NOTHING)
    marks = [_marks(old), _marks(new)]
    if marks[0] != marks[1]:
        yield Change(place, "marks", "etched otherwise", Touches.NOTHING)


def _kerf(place: tuple[str, ...], old: dict[str, Any], new: dict[str, Any]) -> Iterator[Change]:
    """Kerf along each axis, and what it does to the drawn lines; then the taper, which does nothing to them."""
    was, now = _kerfs(old), _kerfs(new)
    if max(abs(a - b) for a, b in zip(was, now, strict=True)) >= 1e-6:
        if old["machine_compensates"] and new["machine_compensates"]:
            does, touches = "to be set at the machine, the drawn lines stay", Touches.NOTHING
        else:
            does, touches = "the drawn lines follow, the finished sizes stay", Touches.LINES
        yield Change(place, "kerf", f"{_from_to(was, now)}: {does}", touches)
    if abs(old["taper_mm_per_mm"] - new["taper_mm_per_mm"]) >= 1e-6:
        taper = f"{old['taper_mm_per_mm']:.4g} → {new['taper_mm_per_mm']:.4g} mm per mm of thickness"
        yield Change(place, "taper", taper, Touches.NOTHING)


def _kerfs(plate: dict[str, Any]) -> tuple[float, float]:
    return plate.get("kerf_x_mm", plate["kerf_mm"]), plate.get("kerf_y_mm", plate["kerf_mm"])


def _from_to(was: tuple[float, float], now: tuple[float, float]) -> str:
    """ "0.2 → 0.22 mm"; along each axis where that differs."""
    if was[0] == was[1] and now[0] == now[1]:
        return f"{was[0]:.4g} → {now[0]:.4g} mm"
    return f"{was[0]:.4g} → {now[0]:.4g} mm along x, {was[1]:.4g} → {now[1]:.4g} mm along y"


def _name(file: str | None) -> str:
    return "none" if file is None else harmless(file, 100)


def _marks(plate: dict[str, Any]) -> list[tuple[str, Any]]:
    return [(mark["text"], mark["strokes_mm"]) for mark in plate["marks"]]


def _features(
    place: tuple[str, ...], old: list[dict[str, Any]], new: list[dict[str, Any]], forward: float
) -> Iterator[Change]:
    groups: dict[tuple[str, str], tuple[list[dict[str, Any]], list[dict[str, Any]]]] = {}
    for which, features in enumerate((old, new)):
        for feature in features:
            group = numbered_as(feature)
            if group is not None:
                groups.setdefault(group, ([], []))[which].append(feature)
    known: dict[str, dict[str, Any]] = {}
    for (_, name), (olds, news) in groups.items():
        pairs = paired(olds, news, _same)
        known |= {after["id"]: before for before, after in pairs}
        yield from _renumbered(place, name, pairs)
    taken = {feature["id"] for feature in known.values()}
    before = {feature["id"]: feature for feature in old if feature["id"] not in taken}
    after = {feature["id"] for feature in new if feature["id"] not in known}
    gone = {name: feature for name, feature in before.items() if name not in after}
    for feature in new:
        name = feature["id"]
        was = known.get(name) or before.get(name)
        if was is not None:
            yield from _feature(place, was, feature, forward)
            continue
        same = next((other for other in gone.values() if _same(other, feature)), None)
        if same is None:
            yield Change(place, harmless(name), f"added: {_described(feature, forward)}", Touches.PART)
        else:
            del gone[same["id"]]
            yield Change(place, harmless(same["id"]), f"is now called {harmless(name)}", Touches.NOTHING)
    for name, feature in gone.items():
        yield Change(place, harmless(name), f"removed: {_described(feature, forward)}", Touches.PART)


def _renumbered(
    place: tuple[str, ...], name: str, pairs: list[tuple[dict[str, Any], dict[str, Any]]]
) -> Iterator[Change]:
    others = sorted((number_of(old), number_of(new)) for old, new in pairs if old["id"] != new["id"])
    if others:
        told = ", ".join(f"{was} → {now}" for was, now in others)
        yield Change(place, harmless(name), f"is numbered otherwise: {told}", Touches.NOTHING)


def _feature(place: tuple[str, ...], old: dict[str, Any], new: dict[str, Any], forward: float) -> Iterator[Change]:
    name = harmless(new["id"])
    if old["form"] != new["form"]:
        yield Change(place, name, f"{old['form']} → {new['form']}: {_described(new, forward)}", Touches.PART)
        return
    dx, dy = forward * (new["x_mm"] - old["x_mm"]), new["y_mm"] - old["y_mm"]
    off = math.hypot(dx, dy)
    if off >= _LEAST:
        text = f"moved by {off:.3f} mm (forward {_plus(dx)}, up {_plus(dy)})"
        yield Change(place, name, text, Touches.PART)
    if new["finished_diameter_mm"] is not None and old["finished_diameter_mm"] is not None:
        was, now = old["finished_diameter_mm"], new["finished_diameter_mm"]
        if abs(now - was) >= _LEAST:
            width = " wide" if new["form"] == "slot" else ""
            yield Change(place, name, f"{was:.3f} → {now:.3f} mm{width}", Touches.PART)
            return
    if new["form"] != "circle" and off < _LEAST:
        shape = _apart(_path(old["vertices"]), _path(new["vertices"]))
        if shape >= _LEAST:
            yield Change(place, name, f"changed its shape by up to {shape:.3f} mm", Touches.PART)
            return
    if off < _LEAST:
        yield from _lead_in(place, name, old, new)


def _lead_in(place: tuple[str, ...], name: str, old: dict[str, Any], new: dict[str, Any]) -> Iterator[Change]:
    """Where the beam enters a hole that is itself the same."""
    if old["lead_in"] != new["lead_in"]:
        text = "now begins with a run-in from the slug" if new["lead_in"] else "no longer begins with a run-in"
        yield Change(place, name, f"{text}; the hole stays", Touches.LINES)
        return
    was, now = old.get("lead_in_points_mm"), new.get("lead_in_points_mm")
    if was and now:
        off = max(math.dist(a, b) for a, b in zip(was, now, strict=True))
        if off >= _LEAST:
            yield Change(place, name, f"has its run-in moved by up to {off:.3f} mm; the hole stays", Touches.LINES)


def _same(old: dict[str, Any], new: dict[str, Any]) -> bool:
    """Two features that cut the same contour."""
    if old["form"] != new["form"] or math.hypot(old["x_mm"] - new["x_mm"], old["y_mm"] - new["y_mm"]) >= _LEAST:
        return False
    if new["form"] == "circle":
        return bool(abs(old["finished_diameter_mm"] - new["finished_diameter_mm"]) < _LEAST)
    return _apart(_path(old["vertices"]), _path(new["vertices"])) < _LEAST


def _described(feature: dict[str, Any], forward: float) -> str:
    at = f"at ({forward * feature['x_mm'] + 0.0:.3f}, {feature['y_mm'] + 0.0:.3f}) mm"
    if feature["form"] == "circle":
        return f"{feature['finished_diameter_mm']:.3f} mm {at}"
    return f"{feature['form']} {at}"


def _plus(value: float) -> str:
    text = f"{value:+.3f}"
    return "0.000" if float(text) == 0.0 else text


def _path(vertices: list[list[float]]) -> Path:
    return Path(tuple((x, y, bulge) for x, y, bulge in vertices))


def _apart(one: Path, two: Path) -> float:
    """How far two closed curves lie apart at worst, mm: ends and middles of each one's pieces against the other.

    Exact where the curves differ by moved vertices or bent arcs; where they do not share pieces, a lower bound.
    """
    if one == two:
        return 0.0
    return max(_farthest(one, two), _farthest(two, one))


def _farthest(path: Path, other: Path) -> float:
    return max(distance_to_path(other, *point_at(piece, share)) for piece in segments(path) for share in (0.0, 0.5))


def _train(old: dict[str, Any], new: dict[str, Any]) -> Iterator[Change]:
    teeth = [
        sorted((mesh["stage"], mesh["driver_teeth"], mesh["driven_teeth"]) for mesh in record["train"]["meshes"])
        for record in (old, new)
    ]
    ratios = [record["train"]["ratio"] for record in (old, new)]
    if teeth[0] != teeth[1] and None not in ratios:
        yield Change((), "train", f"ratio {ratios[0]:.4g} → {ratios[1]:.4g}", Touches.NOTHING)
    if old["status"] != new["status"]:
        yield Change((), "the build", f"was {old['status']}, is {new['status']}", Touches.NOTHING)


def _shop(old: dict[str, Any], new: dict[str, Any]) -> Iterator[Change]:
    if old["shop"]["cutter"] != new["shop"]["cutter"]:
        was, now = harmless(old["shop"]["cutter"]), harmless(new["shop"]["cutter"])
        yield Change((), "cutter", f"{was} → {now}", Touches.NOTHING)
    if old["drawn_units"] != new["drawn_units"]:
        text = f"{old['drawn_units']} → {new['drawn_units']}: the files hold other numbers, the sizes stay"
        yield Change((), "drawn unit", text, Touches.LINES)
