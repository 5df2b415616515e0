"""Sprockets on the output axle inside the rail: where they stand, and the room that their chains take.

Chains run level along the tube to wheels ahead and behind. Each takes its overall width; the gaps beside all of them
and the tube's inside walls are alike.
"""

from __future__ import annotations

from typing import NamedTuple

from gearplate.drive.chain import Sprocket, sprocket
from gearplate.layout.axial.parts import AxialPart, PartKind
from gearplate.layout.design import Stack
from gearplate.layout.spec import LayoutSpec, Mount, RailSpec


class ChainRoom(NamedTuple):
    """The chains in the tube. `strands_mm`: z0 and z1 of each over its pins; `gap_mm`: beside each of them, below zero
    where they do not fit; `over_mm`: between the chain on its sprocket and the nearer of the inside walls below and
    above."""

    size: Sprocket
    strands_mm: tuple[tuple[float, float], ...]
    gap_mm: float
    over_mm: float


def in_rail(spec: LayoutSpec, stack: Stack) -> RailSpec | None:
    """The rail through which the output axle runs; None where it runs beside or between."""
    rail = spec.rail
    if rail is None or stack.rail is None or rail.mount is not Mount.BESIDE:
        return None
    bottom, top = rail.y_span_mm
    return rail if bottom < 0.0 < top else None


def chain_room(spec: LayoutSpec, stack: Stack) -> ChainRoom | None:
    """Where the chains run; None without sprockets, or without a rail round the axle.

    Sizes of sprocket and chain after ASME B29.1 (`drive.chain.sprocket`); the rest is geometry.
    """
    rail, asked = in_rail(spec, stack), spec.sprockets
    if rail is None or stack.rail is None or asked is None:
        return None
    low, high = stack.rail[0] + rail.wall_mm, stack.rail[1] - rail.wall_mm
    width = asked.chain.overall_width_mm
    gap = (high - low - asked.count * width) / (asked.count + 1)
    starts = [low + gap + index * (gap + width) for index in range(asked.count)]
    size = sprocket(asked.chain.pitch_mm, asked.teeth)
    bottom, top = rail.y_span_mm
    over = min(top, -bottom) - rail.wall_mm - 0.5 * size.over_chain_diameter_mm
    return ChainRoom(size, tuple((start, start + width) for start in starts), gap, over)


def sprocket_parts(spec: LayoutSpec, stack: Stack) -> tuple[AxialPart, ...]:
    """The sprockets in the middle of their chains, as wide as their teeth: hubs would lengthen them."""
    room, asked = chain_room(spec, stack), spec.sprockets
    if room is None or asked is None:
        return ()
    half = 0.5 * asked.chain.sprocket_width_mm
    return tuple(
        AxialPart(
            PartKind.SPROCKET,
            f"sprocket {index + 1}, {asked.teeth}T for chain {asked.chain.name}",
            0.5 * (z0 + z1) - half,
            0.5 * (z0 + z1) + half,
            room.size.outside_diameter_mm,
        )
        for index, (z0, z1) in enumerate(room.strands_mm)
    )
