"""A straight shaft on two bearings, bent in one plane: reactions, moments, slopes. N, mm, N mm, rad; exact.

The bending moment is a straight line between the places where something acts, so that slopes and deflections follow by
integrating polynomials piece by piece (Euler and Bernoulli's beam, any text on strength of materials).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True, slots=True)
class Beam:
    """Supports at `a_mm` < `b_mm`; forces (place, N) and couples (place, N mm) that act on the shaft.

    A couple counts positive where it turns the shaft as a force upward to the right of a force downward would. Raises
    ValueError where the supports are not apart.
    """

    a_mm: float
    b_mm: float
    forces: tuple[tuple[float, float], ...] = ()
    couples: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        if not self.b_mm > self.a_mm:
            raise ValueError("the supports must be apart, the first before the second")

    @property
    def reactions_n(self) -> tuple[float, float]:
        """Forces of the two supports on the shaft: with the loads they add up to nothing."""
        moment = sum(f * (z - self.a_mm) for z, f in self.forces) + sum(c for _, c in self.couples)
        b = -moment / (self.b_mm - self.a_mm)
        return -sum(f for _, f in self.forces) - b, b

    def _all_forces(self) -> tuple[tuple[float, float], ...]:
        a, b = self.reactions_n
        return (*self.forces, (self.a_mm, a), (self.b_mm, b))

    def moment_n_mm(self, z_mm: float, after: bool = False) -> float:
        """Bending moment at z from all that acts left of it; at a couple that before it, or with `after` behind it."""
        moment = sum(f * (z_mm - z) for z, f in self._all_forces() if z < z_mm)
        return moment - sum(c for z, c in self.couples if z < z_mm or (after and z == z_mm))

    def slopes_rad(self, stiffness_n_mm2: float, at: tuple[float, ...]) -> tuple[float, ...]:
        """Slope of the bent shaft at each place, for a bending stiffness E I (N mm2) that is the same all along."""
        points = sorted({self.a_mm, self.b_mm, *at, *(z for z, _ in self.forces), *(z for z, _ in self.couples)})
        slope, deflection = 0.0, 0.0
        slopes, deflections = {points[0]: 0.0}, {points[0]: 0.0}
        for z0, z1 in pairwise(points):
            length = z1 - z0
            m0, m1 = self.moment_n_mm(z0, after=True), self.moment_n_mm(z1)
            deflection += slope * length + length * length * (m0 / 3.0 + m1 / 6.0) / stiffness_n_mm2
            slope += 0.5 * (m0 + m1) * length / stiffness_n_mm2
            slopes[z1], deflections[z1] = slope, deflection
        lean = (deflections[self.b_mm] - deflections[self.a_mm]) / (self.b_mm - self.a_mm)
        return tuple(slopes[z] - lean for z in at)
