"""Distribution of backlash of every mesh with its limits, as one SVG that prints black and white."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from gearplate.drawing.pens import AMBER, BLUE, CHAIN, DASHED, GREY, INK, NARROW, RED, WIDE, Pen
from gearplate.drawing.picture import Group, Picture
from gearplate.packet.play_text import likewise, unlike

WIDTH, BAND, GAP = 160.0, 30.0, 16.0  # of the drawing, in its own units
_TIGHT = Pen(BLUE, 0.35, fill="#dbe8f4")
_SLACK = Pen(AMBER, 0.35, DASHED)


def play_picture(data: dict[str, Any]) -> Picture:
    """One band a mesh over a common axis of backlash in mm. Raises ValueError where there is no mesh."""
    meshes = unlike(data["meshes"])
    if not meshes:
        raise ValueError("no mesh to draw")
    low = min(0.0, *(mesh["simulated"]["histogram"]["low_mm"] for mesh in meshes))
    high = max(data["least_mm"], *(mesh["simulated"]["histogram"]["high_mm"] for mesh in meshes))
    if data["most_mm"] is not None:
        high = max(high, data["most_mm"])
    step = _step(high - low)
    low, high = step * int(low / step - 0.999), step * int(high / step + 0.999)

    def x(value: float) -> float:
        return WIDTH * (value - low) / (high - low)

    bases = [-number * (BAND + GAP) for number in range(len(meshes))]
    bottom = bases[-1]
    picture = Picture(
        f"{data['job']['part']}-play",
        f"{data['job']['part']}, revision {data['job']['revision']}: backlash of every mesh",
        f"Distribution of the operating backlash over {data['draws']:,} simulated gearboxes, at the tightest and the "
        "slackest place of a turn, with the limits.",
        scale_bar=False,
        frame=(0.0, bottom - 12.0, WIDTH, BAND + 8.0),
    )
    _axis(picture.group("axis", Pen(GREY, NARROW)), low, high, step, x, bases)
    tight = picture.group("tightest", _TIGHT, "tightest place of a turn")
    slack = picture.group("slackest", _SLACK, "slackest place of a turn")
    words = picture.group("names", Pen(INK, NARROW))
    for base, mesh in zip(bases, meshes, strict=True):
        drawn = mesh["simulated"]["histogram"]
        top = max(*drawn["tightest"], *drawn["slackest"])
        for group, key in ((tight, "tightest"), (slack, "slackest")):
            _steps(group, drawn, drawn[key], top, base, x, closed=group is tight)
        words.text(0.0, base + BAND + 3.0, f"{likewise(mesh, data['meshes'])}: {_told(mesh)}", anchor="start")
        words.line((0.0, base), (WIDTH, base))
    limits = [
        ("zero", 0.0, Pen(RED, WIDE), "0: the teeth touch on both sides"),
        ("least", data["least_mm"], Pen(RED, 0.35, DASHED), f"smallest wanted, {data['least_mm']:g} mm"),
    ]
    if data["most_mm"] is not None:
        limits.append(("most", data["most_mm"], Pen(RED, 0.35, CHAIN), f"largest wanted, {data['most_mm']:g} mm"))
    for name, value, pen, label in limits:
        group = picture.group(name, pen, label)
        for base in bases:
            group.line((x(value), base), (x(value), base + BAND))
    return picture


def _told(mesh: dict[str, Any]) -> str:
    likely = mesh["likely_mm"]
    binds = mesh["simulated"]["probability_binds"]
    part = "under 1 in 10,000" if binds < 1e-4 else f"{100 * binds:.2g} %"
    return f"{likely[0]:.3f} to {likely[1]:.3f} mm in 999 of 1000; {part} bind"


def _steps(
    group: Group,
    drawn: dict[str, Any],
    counts: list[int],
    top: int,
    base: float,
    x: Callable[[float], float],
    closed: bool,
) -> None:
    from gearplate.geometry.shapes import Path

    width = (drawn["high_mm"] - drawn["low_mm"]) / len(counts)
    points = [(x(drawn["low_mm"] + (n + 0.5) * width), base + BAND * c / top) for n, c in enumerate(counts) if c]
    if len(points) < 2:
        return
    if closed:
        ends = [(points[0][0], base), *points, (points[-1][0], base)]
        group.add(Path(tuple((px, py, 0.0) for px, py in ends)))
    else:
        group.line(*points)


def _axis(group: Group, low: float, high: float, step: float, x: Callable[[float], float], bases: list[float]) -> None:
    for number in range(round((high - low) / step) + 1):
        value = low + number * step
        for base in bases:
            group.line((x(value), base), (x(value), base + BAND))
        group.text(x(value), bases[-1] - 4.0, f"{value:.2f}" if step < 0.1 else f"{value:.1f}")
    group.text(0.5 * WIDTH, bases[-1] - 10.0, "operating backlash, mm")


def _step(span: float) -> float:
    """A round step that parts the span into 4 to 12."""
    return next(step for step in (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0) if span / step <= 10.0)
