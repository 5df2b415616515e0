"""A layout as a pure question of geometry: nodes on a tree of fixed distances, demands on where they stand, one wish.

Nothing here knows of gears, motors or plates: a caller turns each of its checks into one of five kinds of demand.

* `Apart`: two nodes at least so far from each other.
* `Within`: the coordinate of one node less that of another (or of the origin) at most a limit.
* `Outside`: a node not inside an open rectangle, whose sides may lie at infinity (a band is such a rectangle).
* `HullOff`: the hull of some discs so far from a box or a point (what a plate has to keep off).
* `Cap`: another wish at most so much.

Lengths in mm, angles in radians.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum


class Wish(StrEnum):
    """What is to be as small as can be. `MOVE`: the largest distance of a node from where it stood before. `ANY`:
    nothing, the first layout that keeps every demand will do, and its value is 0."""

    AREA = "area"
    HEIGHT = "height"
    WIDTH = "width"
    MOVE = "move"
    ANY = "any"


@dataclass(frozen=True, slots=True)
class Node:
    """A point: fixed `at_mm`, or at `distance_mm` from node `about` (a number), free unless `angle_rad` is given.

    `along`: it turns with that free node, and lies in the same direction from `about` as that one from its own; a
    distance below nothing is the opposite direction. `half_turn`: nothing changes where the node is turned by half a
    turn (because another one opposite to it takes its place), so half of its angles are enough."""

    name: str
    at_mm: tuple[float, float] | None = None
    about: int | None = None
    distance_mm: float = 0.0
    angle_rad: float | None = None
    along: int | None = None
    half_turn: bool = False

    @property
    def free(self) -> bool:
        return self.at_mm is None and self.angle_rad is None and self.along is None


@dataclass(frozen=True, slots=True)
class Apart:
    """Nodes `a` and `b` at least `least_mm` apart; `why` is told to people."""

    a: int
    b: int
    least_mm: float
    why: str = ""


@dataclass(frozen=True, slots=True)
class Within:
    """Coordinate `axis` (0 = x, 1 = y) times `sign` of node `a`, less that of `b` (None = the origin), at most
    `most_mm`."""

    axis: int
    sign: int
    a: int
    b: int | None
    most_mm: float
    why: str = ""


@dataclass(frozen=True, slots=True)
class Outside:
    """Node not inside the open rectangle x0 < x < x1, y0 < y < y1."""

    node: int
    x0_mm: float
    y0_mm: float
    x1_mm: float
    y1_mm: float
    why: str = ""


@dataclass(frozen=True, slots=True)
class HullDisc:
    """A disc round a node that the hull has to cover."""

    node: int
    radius_mm: float


@dataclass(frozen=True, slots=True)
class HullOff:
    """The hull of `discs` (none given: of the problem's `hull`) at least `least_mm` from the closed box
    x0 <= x <= x1, y0 <= y <= y1, which may be a point: so a box, a disc, or a box with round corners."""

    x0_mm: float
    y0_mm: float
    x1_mm: float
    y1_mm: float
    least_mm: float = 0.0
    discs: tuple[HullDisc, ...] = ()
    why: str = ""


@dataclass(frozen=True, slots=True)
class Cap:
    """`wish` of the layout at most `most` (mm2 for an area, else mm)."""

    wish: Wish
    most: float
    why: str = ""


@dataclass(frozen=True, slots=True)
class LayoutProblem:
    """The whole question. `before_mm`: where nodes stood, for `Wish.MOVE` alone.

    Raises ValueError where a node comes before its parent or a number is out of range.
    """

    name: str
    nodes: tuple[Node, ...]
    hull: tuple[HullDisc, ...]
    wish: Wish = Wish.AREA
    apart: tuple[Apart, ...] = ()
    within: tuple[Within, ...] = ()
    outside: tuple[Outside, ...] = ()
    before_mm: tuple[tuple[int, float, float], ...] = ()
    off: tuple[HullOff, ...] = ()
    caps: tuple[Cap, ...] = ()

    def __post_init__(self) -> None:
        for number, node in enumerate(self.nodes):
            if (node.at_mm is None) == (node.about is None):
                raise ValueError(f"node {node.name} needs exactly one of a place and a parent")
            if node.about is not None and not (
                0 <= node.about < number and (node.distance_mm > 0.0 or (node.along is not None and node.distance_mm))
            ):
                raise ValueError(f"node {node.name} must follow its parent, at a distance above nothing")
            if node.along is not None and not (0 <= node.along < number and self.nodes[node.along].free):
                raise ValueError(f"node {node.name} must follow the free node that it turns with")
        wishes = {self.wish, *(cap.wish for cap in self.caps)}
        if Wish.MOVE in wishes and not self.before_mm:
            raise ValueError("the largest move needs places to measure it from")
        if (wishes - {Wish.MOVE, Wish.ANY} and not self.hull) or any(not (off.discs or self.hull) for off in self.off):
            raise ValueError("no disc to be covered")
        if any(not (off.x0_mm <= off.x1_mm and off.y0_mm <= off.y1_mm) for off in self.off):
            raise ValueError("a box to keep off is inside out")
        if any(cap.most < 0.0 for cap in self.caps):
            raise ValueError("a cap lies below nothing")
        lengths = [a.least_mm for a in self.apart] + [h.radius_mm for h in self.hull] + [w.most_mm for w in self.within]
        lengths += [x for off in self.off for x in (off.x0_mm, off.y0_mm, off.x1_mm, off.y1_mm, off.least_mm)]
        lengths += [disc.radius_mm for off in self.off for disc in off.discs] + [cap.most for cap in self.caps]
        if not all(math.isfinite(length) for length in lengths):
            raise ValueError("a demand is not a finite number")

    @property
    def free(self) -> tuple[int, ...]:
        """Numbers of the nodes whose angle is sought, in placing order: the columns of every array of angles."""
        return tuple(i for i, node in enumerate(self.nodes) if node.free)
