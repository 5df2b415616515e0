"""Random discs that make trouble: equal, tangent, contained, collinear, a hair apart."""

from __future__ import annotations

from hypothesis import strategies as st

HAIRS = (0.0, 0.0, 0.0, 1e-12, 1e-9, 1e-7, 2e-6, 1e-4, 1e-3, -1e-9, -1e-6, -1e-3)

_whole = st.integers(-40, 40).map(float)
_place = st.one_of(_whole, st.floats(-80.0, 80.0))
_radius = st.one_of(st.sampled_from((1.0, 3.0, 5.0, 10.0, 20.0)), st.floats(0.5, 30.0))
_hair = st.sampled_from(HAIRS)


@st.composite
def disc_sets(draw: st.DrawFn, most: int = 9) -> list[tuple[float, float, float]]:
    """From one to `most` discs (x, y, radius); some are made from an earlier one, so that they touch or cover it."""
    discs: list[tuple[float, float, float]] = []
    for _ in range(draw(st.integers(1, most))):
        kind = draw(st.integers(0, 5)) if discs else 0
        x, y, radius = draw(_place), draw(_place), draw(_radius)
        if kind >= 3:
            near_x, near_y, near_radius = draw(st.sampled_from(discs))
            hair = draw(_hair)
            if kind == 3:  # touching from outside, along an axis
                x, y = near_x + near_radius + radius + hair, near_y
            elif kind == 4:  # the same, or a hair beside it
                x, y, radius = near_x + hair, near_y + draw(_hair), near_radius
            else:  # inside, touching
                radius = 0.5 * near_radius
                x, y = near_x, near_y + near_radius - radius + hair
        discs.append((x, y, radius))
    return discs
