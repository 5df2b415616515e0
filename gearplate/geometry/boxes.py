"""Upright boxes (least x, least y, greatest x, greatest y), mm."""

from __future__ import annotations

from collections.abc import Sequence

Box = tuple[float, float, float, float]


def united(boxes: Sequence[Box]) -> Box:
    """The smallest box round all boxes.

    Raises:
        ValueError: no box.
    """
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def grown(box: Box, by_mm: float) -> Box:
    """A box with so much more on every side."""
    return box[0] - by_mm, box[1] - by_mm, box[2] + by_mm, box[3] + by_mm
