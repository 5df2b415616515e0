"""Shafts that the job leaves free and that its other places bind all the same.

A motor at given coordinates drives a gear whose shaft is free: that shaft stands where the circle round the motor
meets the circle round its own partner, in one of two places. The search turns shafts by angles and would never hit
such a place; here it is worked out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from gearplate.layout.chain import known_places, links
from gearplate.layout.spec import LayoutSpec, Place

Point = tuple[float, float]


def bound_specs(spec: LayoutSpec) -> tuple[LayoutSpec, ...]:
    """The spec with every bound shaft at its place, one for each way to choose among two; the spec itself where none
    is bound, or where two circles do not meet (the check of the centre distance then says by how much)."""
    return tuple(_bound(spec)) or (spec,)


def _bound(spec: LayoutSpec) -> Iterator[LayoutSpec]:
    chain = links(spec)
    known = known_places(spec)
    own = {link.child: link for link in chain}
    for link in chain:
        place, parent = spec.places.get(link.child), own.get(link.parent)
        if place is None or place.x_mm is None or place.y_mm is None or parent is None:
            continue
        taken = spec.places.get(link.parent)
        if (taken is not None and not taken.free) or parent.parent not in known:
            continue
        for angle in _meetings(known[parent.parent], parent.distance_mm, (place.x_mm, place.y_mm), link.distance_mm):
            chosen = replace(spec, places={**spec.places, link.parent: Place(angle_rad=angle)})
            yield from bound_specs(chosen)
        return
    yield spec


def _meetings(about: Point, radius: float, other: Point, other_radius: float) -> tuple[float, ...]:
    """Directions from `about` to the points where two circles meet; none, one or two."""
    apart = math.dist(about, other)
    if apart == 0.0:
        return ()
    along = (apart * apart + radius * radius - other_radius * other_radius) / (2.0 * apart)
    if abs(along) > radius:
        return ()
    to_other = math.atan2(other[1] - about[1], other[0] - about[0])
    half = math.acos(along / radius)
    return (to_other + half, to_other - half) if half > 0.0 else (to_other,)
