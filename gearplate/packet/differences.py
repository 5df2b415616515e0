"""What changed since the last build, hole by hole from a micrometre on."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from gearplate.geometry.nearest import distance_to_path
from gearplate.geometry.segments import point_at, segments
from gearplate.geometry.shapes import Path
from gearplate.packet.characters import harmless

MICROMETRE = 0.001
_ROUNDING = 2e-6  # what two roundings of the record may add up to
_LEAST = MICROMETRE - _ROUNDING

NOTHING_MOVED = "Nothing that is cut has moved."
NOTHING_ELSE_MOVED = "Nothing else that is cut has moved."
NOT_COMPARED = "The last build's record cannot be read by this gearplate: what changed since then is not known."


@dataclass(frozen=True, slots=True)
class Change:
    """One change. `places` are the plates it holds for; `cut` says that the cut part is another one."""

    places: tuple[str, ...]
    subject: str
    text: str
    cut: bool

    def __str__(self) -> str:
        place = " and ".join(self.places)
        subject = f"{self.subject} {self.text}".strip()
        return f"{place}: {subject}" if place else subject


def differences(old: dict[str, Any], new: dict[str, Any]) -> tuple[Change, ...]:
    """Every change between two records, plate by plate; the same change in several plates is told once.

    Raises KeyError, TypeError, ValueError or IndexError where `old` is not a record of this form.
    """
    found = [*_plates(old, new), *_train(old, new), *_shop(old, new)]
    merged: dict[tuple[str, str, bool], list[str]] = {}
    for change in found:
        places = merged.setdefault((change.subject, change.text, change.cut), [])
        places += [place for place in change.places if place not in places]
    return tuple(Change(tuple(places), subject, text, cut) for (subject, text, cut), places in merged.items())


def difference_lines(old: dict[str, Any], new: dict[str, Any], most: int | None = None) -> tuple[str, ...]:
    """The changes as lines; the last one always says whether anything (else) that is cut has moved."""
    try:
        if old["record"] != new["record"]:
            return (NOT_COMPARED,)
        changes = differences(old, new)
    except (KeyError, TypeError, ValueError, IndexError, AttributeError, ArithmeticError):
        return (NOT_COMPARED,)
    cut_first = sorted(changes, key=lambda change: not change.cut)
    lines = [f"Changed: {change}" for change in cut_first]
    if most is not None and len(lines) > most:
        lines = [*lines[:most], f"and {len(lines) - most} more changes"]
    return (*lines, NOTHING_ELSE_MOVED if any(change.cut for change in changes) else NOTHING_MOVED)


def _by_plate(record: dict[str, Any]) -> dict[tuple[str, str], dict[str, Any]]:
    return {(plate["plate"], plate["hand"]): plate for plate in record["plates"]}


def _plates(old: dict[str, Any], new: dict[str, Any]) -> Iterator[Change]:
    before, after = _by_plate(old), _by_plate(new)
    several = len({hand for _, hand in (*before, *after)}) > 1
    for key in [*after, *(key for key in before if key not in after)]:
        side, hand = key
        place = (f"{side} {hand}" if several else side,)
        if key not in before:
            yield Change((), f"{side} plate, {hand} hand", "added", True)
        elif key not in after:
            yield Change((), f"{side} plate, {hand} hand", "no longer made", True)
        else:
            yield from _plate(place, before[key], after[key])


def _plate(place: tuple[str, ...], old: dict[str, Any], new: dict[str, Any]) -> Iterator[Change]:
    forward = 1.0 if new["hand"] == "right" else -1.0
    yield from _features(place, old["features"], new["features"], forward)
    off = _apart(_path(old["outline"]["vertices"]), _path(new["outline"]["vertices"]))
    if off >= _LEAST:
        yield Change(place, "outline", f"moved by up to {off:.3f} mm", True)
    for key, name in (("thickness_mm", "thickness"), ("kerf_mm", "kerf"), ("taper_mm_per_mm", "taper")):
        if abs(old[key] - new[key]) >= 1e-6:
            yield Change(place, name, f"{old[key]:.4g} → {new[key]:.4g} mm" + _of_kerf(key), key == "thickness_mm")
    scale = [(plate.get("scale_x", 1.0), plate.get("scale_y", 1.0)) for plate in (old, new)]
    if scale[0] != scale[1]:
        now = " × ".join(f"{factor:.5f}" for factor in scale[1])
        yield Change(place, "scale", f"of the drawn lines is now {now}: the finished sizes stay", False)
    if old["material"] != new["material"]:
        yield Change(place, "material", f"{harmless(old['material'])} → {harmless(new['material'])}", True)
    if old["face_up"] != new["face_up"]:
        yield Change(place, "face up", f"{old['face_up']} → {new['face_up']}: the file is turned over", False)
    if old["machine_compensates"] != new["machine_compensates"]:
        now = "at the machine: lines are drawn in finished size" if new["machine_compensates"] else "in the file"
        yield Change(place, "kerf", f"is now taken care of {now}", False)
    if old["file"] != new["file"]:
        yield Change(place, "file", f"{_name(old['file'])} → {_name(new['file'])}", False)
    marks = [_marks(old), _marks(new)]
    if marks[0] != marks[1]:
        yield Change(place, "marks", "etched otherwise", False)


def _of_kerf(key: str) -> str:
    return ": the drawn lines follow, the finished sizes stay" if key == "kerf_mm" else ""


def _name(file: str | None) -> str:
    return "none" if file is None else harmless(file, 100)


def _marks(plate: dict[str, Any]) -> list[tuple[str, Any]]:
    return [(mark["text"], mark["strokes_mm"]) for mark in plate["marks"]]


def _features(
    place: tuple[str, ...], old: list[dict[str, Any]], new: list[dict[str, Any]], forward: float
) -> Iterator[Change]:
    before = {feature["id"]: feature for feature in old}
    after = {feature["id"]: feature for feature in new}
    gone = {name: feature for name, feature in before.items() if name not in after}
    for name, feature in after.items():
        if name in before:
            yield from _feature(place, before[name], feature, forward)
            continue
        same = next((other for other in gone.values() if _same(other, feature)), None)
        if same is None:
            yield Change(place, harmless(name), f"added: {_described(feature, forward)}", True)
        else:
            del gone[same["id"]]
            yield Change(place, harmless(same["id"]), f"is now called {harmless(name)}", False)
    for name, feature in gone.items():
        yield Change(place, harmless(name), f"removed: {_described(feature, forward)}", True)


def _feature(place: tuple[str, ...], old: dict[str, Any], new: dict[str, Any], forward: float) -> Iterator[Change]:
    name = harmless(new["id"])
    if old["form"] != new["form"]:
        yield Change(place, name, f"{old['form']} → {new['form']}: {_described(new, forward)}", True)
        return
    dx, dy = forward * (new["x_mm"] - old["x_mm"]), new["y_mm"] - old["y_mm"]
    off = math.hypot(dx, dy)
    if off >= _LEAST:
        text = f"moved by {off:.3f} mm (forward {_plus(dx)}, up {_plus(dy)})"
        yield Change(place, name, text, True)
    if new["finished_diameter_mm"] is not None and old["finished_diameter_mm"] is not None:
        was, now = old["finished_diameter_mm"], new["finished_diameter_mm"]
        if abs(now - was) >= _LEAST:
            width = " wide" if new["form"] == "slot" else ""
            yield Change(place, name, f"{was:.3f} → {now:.3f} mm{width}", True)
            return
    if new["form"] != "circle" and off < _LEAST:
        shape = _apart(_path(old["vertices"]), _path(new["vertices"]))
        if shape >= _LEAST:
            yield Change(place, name, f"changed its shape by up to {shape:.3f} mm", True)


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
        yield Change((), "train", f"ratio {ratios[0]:.4g} → {ratios[1]:.4g}", False)
    if old["status"] != new["status"]:
        yield Change((), "the build", f"was {old['status']}, is {new['status']}", False)


def _shop(old: dict[str, Any], new: dict[str, Any]) -> Iterator[Change]:
    if old["shop"]["cutter"] != new["shop"]["cutter"]:
        was, now = harmless(old["shop"]["cutter"]), harmless(new["shop"]["cutter"])
        yield Change((), "cutter", f"{was} → {now}", False)
    if old["drawn_units"] != new["drawn_units"]:
        yield Change((), "drawn unit", f"{old['drawn_units']} → {new['drawn_units']}", False)
