"""Kerf in plain sums: what the beam takes, and so what must be drawn. All in mm.

Kerf is the full width of the cut at the narrower face: a hole grows by one kerf across, an outside shrinks by one.
"""

from __future__ import annotations


def drawn_hole_mm(finished_mm: float, kerf_mm: float) -> float:
    """Diameter of the path that leaves a hole of the finished diameter. Negative where the cut alone is wider."""
    return finished_mm - kerf_mm


def cut_hole_mm(drawn_mm: float, kerf_mm: float) -> float:
    """Finished diameter, at the narrower face, of a hole cut along a path of the drawn diameter."""
    return drawn_mm + kerf_mm


def drawn_outside_mm(finished_mm: float, kerf_mm: float) -> float:
    """Outside dimension to draw so that the part comes out finished."""
    return finished_mm + kerf_mm


def cut_outside_mm(drawn_mm: float, kerf_mm: float) -> float:
    """Outside dimension of the part cut along a path of the drawn dimension."""
    return drawn_mm - kerf_mm


def wider_face_mm(finished_mm: float, taper_mm_per_mm: float, thickness_mm: float) -> float:
    """Diameter at the wider face of a hole that is finished_mm at the narrower one."""
    return finished_mm + taper_mm_per_mm * thickness_mm
