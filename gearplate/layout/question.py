"""The demands of a job's layout as a pure question of geometry, for the search with proof.

First the shafts, then fixed points (rail screws, corners of boxes). A disc that keeps `least` from a box stays out of
two rectangles and four discs, whose union is the box grown by `least`: exact, corners included.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from gearplate.layout.certified.problem import Apart, HullDisc, HullOff, LayoutProblem, Node, Outside, Wish, Within
from gearplate.layout.constraints import Model, floor_mm
from gearplate.layout.design import Stack
from gearplate.layout.spec import LayoutSpec, LimitsSpec, Side

SLACK_MM = 1e-3
"""A found layout stands a micrometre off its demands, so that rounding never makes a finding."""

ENDLESS_MM = 9000.0  # nothing ever reaches a side as far away as this
Z_TOLERANCE_MM = 1e-6


class _Nodes:
    """The nodes of a problem while it is being written."""

    def __init__(self, model: Model) -> None:
        self.nodes: list[Node] = [Node(model.names[0], at_mm=(0.0, 0.0))]
        self.number = {0: 0}
        for shaft, parent, distance in zip(model.order, model.parents, model.distances, strict=True):
            self.number[shaft] = len(self.nodes)
            x, y = model.given_xy[shaft]
            angle = model.given_angle[shaft]
            name = model.names[shaft]
            if not math.isnan(x):
                self.nodes.append(Node(name, at_mm=(x, y)))
            else:
                given = None if math.isnan(angle) else angle
                self.nodes.append(Node(name, about=self.number[parent], distance_mm=distance, angle_rad=given))
        self.points: dict[tuple[float, float], int] = {}

    def point(self, x: float, y: float) -> int:
        if (x, y) not in self.points:
            self.points[x, y] = len(self.nodes)
            self.nodes.append(Node(f"point {len(self.points)}", at_mm=(x, y)))
        return self.points[x, y]


def question_of(
    spec: LayoutSpec,
    stack: Stack,
    model: Model,
    *,
    hull_off: bool = True,
    slack_mm: float = SLACK_MM,
    before: Mapping[str, tuple[float, float]] | None = None,
) -> LayoutProblem:
    """What `model` asks of the layout, with `slack_mm` more room than each demand needs. `hull_off`: the plates' hull
    keeps off the job's keep-outs. `before`: where shafts stood, for the wish to move little."""
    write = _Nodes(model)
    number = write.number
    by_name = {name: number[index] for index, name in enumerate(model.names)}
    apart = [
        Apart(by_name[demand.a], by_name[demand.b], demand.least_mm + slack_mm, demand.why) for demand in model.demands
    ]
    outside: list[Outside] = []
    for fixed in model.fixed:
        x0, y0, x1, y1 = fixed.box
        node, least = by_name[fixed.a], fixed.least_mm + slack_mm
        if (x0, y0) == (x1, y1):
            apart.append(Apart(node, write.point(x0, y0), least, fixed.why))
            continue
        left, right = (-math.inf if x0 <= -ENDLESS_MM else x0), (math.inf if x1 >= ENDLESS_MM else x1)
        outside.append(Outside(node, left, y0 - least, right, y1 + least, fixed.why))
        if math.isfinite(left) or math.isfinite(right):
            outside.append(Outside(node, left - least, y0, right + least, y1, fixed.why))
        for x in (left, right):
            if math.isfinite(x):
                apart += [Apart(node, write.point(x, y), least, fixed.why) for y in (y0, y1)]
    discs = [HullDisc(number[index], radius) for index, radius in enumerate(model.hull_radius) if radius > 0.0]
    discs += [HullDisc(write.point(x, y), radius) for x, y, radius in model.hull_fixed]
    reach = [(number[index], radius) for index, radius in enumerate(model.reach)]
    within = limits_within([(disc.node, disc.radius_mm) for disc in discs] + reach, spec.limits, slack_mm)
    # nothing but the output's own gears hangs lower than the floor allows
    floor = floor_mm(spec) + slack_mm
    within += [Within(1, -1, node, None, -floor - radius, "ground") for node, radius in reach if node != number[0]]
    moved = {name: place for name, place in (before or {}).items() if name in by_name}
    return LayoutProblem(
        "layout",
        tuple(write.nodes),
        tuple(discs),
        Wish.AREA,
        tuple(apart),
        tuple(within),
        tuple(outside),
        before_mm=tuple((by_name[name], x, y) for name, (x, y) in moved.items()),
        off=plates_off(spec, stack, slack_mm) if hull_off else (),
    )


def limits_within(room: Sequence[tuple[int, float]], limits: LimitsSpec, slack_mm: float) -> list[Within]:
    """Every disc inside the limits; height and width by every pair, a disc with itself included."""
    largest: dict[int, float] = {}
    for node, radius in room:
        largest[node] = max(largest.get(node, 0.0), radius + slack_mm)
    found: list[Within] = []
    for axis, sign, limit, why in (
        (0, 1, limits.forward_mm, "limits.forward"),
        (0, -1, limits.back_mm, "limits.back"),
        (1, 1, limits.up_mm, "limits.up"),
        (1, -1, limits.down_mm, "limits.down"),
    ):
        if limit is not None:
            found += [Within(axis, sign, node, None, limit - radius, why) for node, radius in largest.items()]
    for axis, limit, why in ((0, limits.width_mm, "limits.width"), (1, limits.height_mm, "limits.height")):
        if limit is not None:
            found += [
                Within(axis, 1, a, b, limit - radius - other, why)
                for a, radius in largest.items()
                for b, other in largest.items()
            ]
    return found


def plates_off(spec: LayoutSpec, stack: Stack, slack_mm: float) -> tuple[HullOff, ...]:
    """The plates' hull keeps off every keep-out that stands at the height of a plate."""
    found = []
    for keep in spec.keep_outs:
        z0, z1 = sorted((keep.z0_mm, keep.z1_mm))
        plates = (stack.plate(side) for side in Side)
        if not any(z0 < high - Z_TOLERANCE_MM and z1 > low + Z_TOLERANCE_MM for low, high in plates):
            continue
        if keep.disc is not None:
            x, y, radius = keep.disc
            found.append(HullOff(x, y, x, y, radius + slack_mm, why=f"keep-out {keep.name}"))
        elif keep.box is not None:
            x0, y0, x1, y1 = keep.box
            x0, x1, y0, y1 = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1)
            found.append(HullOff(x0, y0, x1, y1, slack_mm, why=f"keep-out {keep.name}"))
    return tuple(found)
