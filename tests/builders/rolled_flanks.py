"""Gear teeth rolled from the basic rack by numbers alone, and two such gears turned into contact.

Independent truth for gearplate's gear maths: nothing of gearplate is imported, and no formula of the involute, of the
fillet or of the line of action is used. The rack's tooth is a plain shape (straight flank, rounded tip). For each
radius the furthest angle that the rack reaches at any rolling position is searched for: that is the tooth's boundary.
Contact is found by turning one gear until a point of it touches the other.

Lengths in modules, angles in radians. A boundary point is told by its radius and its angle from the tooth's middle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

TIP_DEPTH = 1.25


@dataclass(frozen=True)
class Rack:
    """One tooth of the generating rack, as half its width over the depth below its reference line."""

    angle: float
    thinning: float  # of the gear's tooth: the rack's is wider by as much

    @property
    def rounding(self):
        lost = 1 - math.sin(self.angle)
        half_top = math.pi / 4 - TIP_DEPTH * math.tan(self.angle)
        return min(0.38, 0.25 / lost, half_top * math.cos(self.angle) / lost)

    @property
    def straight_ends(self):
        return TIP_DEPTH - self.rounding + self.rounding * math.sin(self.angle)

    def straight(self, depth):
        return math.pi / 4 - depth * math.tan(self.angle) + self.thinning / 2

    def rounded(self, depth):
        r, a = self.rounding, self.angle
        middle = self.straight(self.straight_ends) - r * math.cos(a)
        return middle + np.sqrt(np.maximum(r * r - (depth - (TIP_DEPTH - r)) ** 2, 0.0))


def _highest(function, low, high, first=401, points=21, zooms=7):
    """Greatest value of `function` between `low` and `high`, row by row, and where: a grid, then ever finer ones."""
    low, high = low[:, None], high[:, None]
    for count in (first, *[points] * zooms):
        at = low + (high - low) * np.linspace(0.0, 1.0, count)
        value = function(at)
        best = np.argmax(value, axis=1)[:, None]
        low = np.take_along_axis(at, np.maximum(best - 1, 0), 1)
        high = np.take_along_axis(at, np.minimum(best + 1, count - 1), 1)
    return np.max(value, axis=1), np.take_along_axis(at, best, 1)[:, 0]


def _cubic(x, y, at):
    """Lagrange interpolation through the four nearest points of a rising x."""
    i = np.clip(np.searchsorted(x, at) - 2, 0, len(x) - 4)
    total = np.zeros(np.shape(at))
    for j in range(4):
        weight = y[i + j]
        for k in range(4):
            if k != j:
                weight = weight * (at - x[i + k]) / (x[i + j] - x[i + k])
        total = total + weight
    return total


@dataclass
class RolledGear:
    """What the rack leaves of a blank: fillet below `start`, flank from there to `tip` (the real one)."""

    teeth: int
    angle_deg: float
    shift: float = 0.0
    thinning: float = 0.0
    blank: float | None = None
    points: int = 700
    root: float = field(init=False)
    tip: float = field(init=False)
    start: float = field(init=False)
    pointed: bool = field(init=False)
    undercut: bool = field(init=False)

    def __post_init__(self):
        self._rack = Rack(math.radians(self.angle_deg), self.thinning)
        self._reference = self.teeth / 2
        self.root = self._reference + self.shift - TIP_DEPTH
        blank = self._reference + 1 + self.shift if self.blank is None else self.blank
        self.pointed = bool(self.rolled(blank)[0] <= 0)
        # The flanks meet below the blank's circle: halve in on the point, from where there still is a tooth.
        self.tip = blank
        if self.pointed:
            sound = blank
            while self.rolled(sound)[0] <= 0:
                sound -= 0.02
            self.tip = self._halved(lambda r: self.rolled(r)[0] > 0, sound, blank)[0]
        if not self._by_flank(self.tip):
            raise ValueError("no flank is left")
        self.start = self._halved(lambda r: not self._by_flank(r), self.root * (1 + 1e-12), self.tip)[1]
        share = np.linspace(0.0, 1.0, self.points)
        # Points crowd where the boundary bends: at the foot of the flank and at the ends of the fillet.
        self._flank_r = self.start + (self.tip - self.start) * share**2
        self._flank_h = self.rolled(self._flank_r)
        self._fillet_r = self.root + (self.start - self.root) * (0.5 - 0.5 * np.cos(np.pi * share))
        self._fillet_r[0] += 1e-9
        self._fillet_h = self.rolled(self._fillet_r)
        # Without undercut the flank begins where the rack's straight flank ended. With undercut the end of the
        # straight flank cut metal that the rounding takes away again, and the flank left begins further up.
        depth = self._reach(self.start + 1e-7)[2][0]
        self.undercut = bool(depth < self._rack.straight_ends - 2e-3)

    def _halved(self, holds_low, low, high):
        for _ in range(48):
            middle = (low + high) / 2
            low, high = (middle, high) if holds_low(middle) else (low, middle)
        return low, high

    def _reach(self, radius):
        """How far from the space's middle the rack's straight flank and its rounding reach at each radius (angles),
        and the depth of the point of the straight flank that did.

        The rack's flank point at angle d on the circle has rolled there; the gear has turned by the rolled length
        over the reference radius meanwhile.
        """
        r = np.atleast_1d(np.asarray(radius, dtype=float))
        zero = self._reference + self.shift
        rack = self._rack

        def angle_at(depth):
            return np.arccos(np.clip((zero - depth) / r, -1.0, 1.0))

        def cut(width):
            def at(d):
                depth = zero - r[:, None] * np.cos(d)
                return d - (r[:, None] * np.sin(d) - width(depth)) / self._reference

            return at

        ends, most = angle_at(rack.straight_ends), angle_at(TIP_DEPTH)
        straight, where = _highest(cut(rack.straight), -ends, ends)
        straight = np.where(r > zero - rack.straight_ends, straight, -np.inf)
        rounded = np.maximum(_highest(cut(rack.rounded), ends, most)[0], _highest(cut(rack.rounded), -most, -ends)[0])
        return straight, rounded, zero - r * np.cos(where)

    def _by_flank(self, radius):
        straight, rounded, _ = self._reach(radius)
        return bool(straight[0] > rounded[0])

    def rolled(self, radius):
        """The boundary's angle from the tooth's middle at each radius, as the rack leaves it."""
        return math.pi / self.teeth - np.maximum(*self._reach(radius)[:2])

    def boundary(self, radius):
        """The same by cubic interpolation between rolled points, for many radii."""
        flank = _cubic(self._flank_r, self._flank_h, np.clip(radius, self.start, self.tip))
        fillet = _cubic(self._fillet_r, self._fillet_h, np.clip(radius, self._fillet_r[0], self.start))
        return np.where(radius >= self.start, flank, fillet)


@dataclass(frozen=True)
class Turned:
    """What turning two gears into contact showed; backlash along the working circles, not a number without contact."""

    backlash: float
    contact_ratio: float
    interference: frozenset[str]
    digs: tuple[float, float]  # how deep each tip corner gets into its mate's fillet, modules along the arc


def _touch(one, two, centre, turned):
    """For each angle of gear 1's tooth: the least angle of gear 2's tooth above it at which their flanks do not cross.

    Returns that angle, and the radii of the touching point on both gears.
    """

    def needed(r1):
        at = turned[:, None] + one.boundary(r1)
        x, y = r1 * np.cos(at), r1 * np.sin(at)
        r2 = np.hypot(centre - x, y)
        angle = np.arctan2(y, centre - x) + two.boundary(r2)
        return np.where((r2 <= two.tip) & (r2 >= two.start), angle, -np.inf), r2

    low = np.full((len(turned), 1), one.start)
    high = np.full((len(turned), 1), one.tip)
    share = np.linspace(0.0, 1.0, 241) ** 1.5
    for zoom in range(6):
        r1 = low + (high - low) * share
        angle, r2 = needed(r1)
        best = np.argmax(angle, axis=1)[:, None]
        if zoom < 5:
            low = np.take_along_axis(r1, np.maximum(best - 1, 0), 1)
            high = np.take_along_axis(r1, np.minimum(best + 1, len(share) - 1), 1)
            share = np.linspace(0.0, 1.0, 25)
    return tuple(np.take_along_axis(v, best, 1)[:, 0] for v in (angle, r1, r2))


def turn(one: RolledGear, two: RolledGear, centre: float, positions: int = 301) -> Turned:
    """Turns gear 1 through its mesh with gear 2 and watches where their teeth touch.

    Touching inside both flanks, not at an end of either, is conjugate contact: gear 2 then keeps the angle that the
    tooth ratio asks for, which is asserted. The contact ratio is the turn over which it lasts, over the pitch.
    """
    pitch_1, pitch_2 = 2 * math.pi / one.teeth, 2 * math.pi / two.teeth
    ratio = one.teeth / two.teeth
    near = 1e-6

    def conjugate(turned):
        angle, r1, r2 = _touch(one, two, centre, turned)
        ends = (r1 < one.start + near) | (r1 > one.tip - near) | (r2 < two.start + near) | (r2 > two.tip - near)
        return np.isfinite(angle) & ~ends, angle - ratio * turned

    turned = np.linspace(-3.0 * pitch_1, 2.5 * pitch_1, positions)
    holds, offsets = conjugate(turned)
    if not holds.any():
        return Turned(math.nan, 0.0, frozenset(), (math.nan, math.nan))
    first, last = np.nonzero(holds)[0][[0, -1]]
    assert holds[first : last + 1].all(), "contact with a gap in it"
    assert np.ptp(offsets[holds]) < 1e-7, "flanks that are not conjugate"
    offset = float(np.median(offsets[holds]))

    inner, outer = turned[[first, last]], turned[[first - 1, last + 1]]
    for _ in range(14):
        middle = (inner + outer) / 2
        still = conjugate(middle)[0]
        inner, outer = np.where(still, middle, inner), np.where(still, outer, middle)
    contact_ratio = float(np.diff(inner)[0] / pitch_1)

    # Gear 2's tooth stands between one tooth of gear 1 and the next, which holds it off by as much from above.
    working_2 = centre * two.teeth / (one.teeth + two.teeth)
    backlash = working_2 * (pitch_2 - 2 * offset)

    # With the flanks in contact, does either tip corner get inside the boundary of its mate, root included?
    def digs_1(at):
        corner = at + one.boundary(np.array(one.tip))
        x, y = one.tip * np.cos(corner), one.tip * np.sin(corner)
        r = np.hypot(centre - x, y)
        inside = two.boundary(r) - (offset + ratio * at - np.arctan2(y, centre - x))
        return np.where(r <= two.start, r * inside, -np.inf)

    def digs_2(at):
        corner = offset + ratio * at - two.boundary(np.array(two.tip))
        x, y = centre - two.tip * np.cos(corner), two.tip * np.sin(corner)
        r = np.hypot(x, y)
        inside = one.boundary(r) - (np.arctan2(y, x) - at)
        return np.where(r <= one.start, r * inside, -np.inf)

    digs = [float(_highest(dig, turned[:1], turned[-1:], first=1601, zooms=5)[0][0]) for dig in (digs_1, digs_2)]
    found = {f"tip_in_fillet_{i}" for i, dig in enumerate(digs, 1) if dig > 1e-6}
    found |= {f"undercut_{i}" for i, gear in enumerate((one, two), 1) if gear.undercut}
    found |= {f"pointed_{i}" for i, gear in enumerate((one, two), 1) if gear.pointed}
    if min(centre - one.tip - two.root, centre - two.tip - one.root) <= 0:
        found.add("bottoming")
    return Turned(backlash, contact_ratio, frozenset(found), (digs[0], digs[1]))
