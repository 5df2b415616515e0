"""Path of contact and contact ratio: of the real flanks, and by the textbook formula.

Contact runs along the line of action, the common tangent of the base circles. A point on it is told by its distance
from where the line touches gear 1's base circle, which is the radius of curvature of flank 1 there; flank 2 has what
is left of the tangent's length. Lengths in mm, angles in radians, arrays of any common shape.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gearplate.gears.involute import Array
from gearplate.gears.tooth import GearSizes


def tangent_length_mm(gear_1: GearSizes, gear_2: GearSizes, centre_mm: ArrayLike) -> Array:
    """Length of the line of action between its two points on the base circles: centre distance times sin(aw)."""
    centre = np.asarray(centre_mm, dtype=np.float64)
    base = gear_1.base_radius_mm + gear_2.base_radius_mm
    with np.errstate(invalid="ignore"):
        return np.asarray(np.sqrt((centre - base) * (centre + base)))


def contact_limits_mm(gear_1: GearSizes, gear_2: GearSizes, centre_mm: ArrayLike) -> tuple[Array, Array]:
    """Where the contact of the real flanks begins and ends along the line of action, measured from gear 1's base.

    Each flank reaches from its form circle (never inside the base circle) to its real tip. The end lies before the
    beginning where the two flanks never meet.
    """
    length = tangent_length_mm(gear_1, gear_2, centre_mm)
    begin = np.maximum(gear_1.flank_length(gear_1.form_radius_mm), length - gear_2.flank_length(gear_2.tip_radius_mm))
    end = np.minimum(gear_1.flank_length(gear_1.tip_radius_mm), length - gear_2.flank_length(gear_2.form_radius_mm))
    return begin, end


def contact_ratio(gear_1: GearSizes, gear_2: GearSizes, centre_mm: ArrayLike) -> Array:
    """Contact ratio of the real flanks: path of contact over base pitch, 0 where the involutes never meet.

    Undercut, a root fillet that begins early, a pointed tip: each shortens the path, which the textbook formula does
    not see.
    """
    begin, end = contact_limits_mm(gear_1, gear_2, centre_mm)
    return np.asarray(np.maximum(end - begin, 0.0) / gear_1.base_pitch_mm)


def contact_ratio_formula(gear_1: GearSizes, gear_2: GearSizes, centre_mm: ArrayLike) -> Array:
    """The textbook's contact ratio, from the two tip circles alone, as if both flanks reached as far as they like."""
    reach = gear_1.flank_length(gear_1.nominal_tip_radius_mm) + gear_2.flank_length(gear_2.nominal_tip_radius_mm)
    return np.asarray((reach - tangent_length_mm(gear_1, gear_2, centre_mm)) / gear_1.base_pitch_mm)


@dataclass(frozen=True, slots=True)
class PathOfContact:
    """The textbook's path of contact: lengths in mm, angles in radians.

    Gear 1 drives: approach runs from gear 2's tip to the pitch point, recess from there to gear 1's tip. The sliding
    ratios are sliding speed over rolling speed of the working circles, at the first and last point of contact.
    """

    approach_mm: Array
    recess_mm: Array
    arc_mm: Array
    contact_ratio: Array
    angle_1_rad: Array
    angle_2_rad: Array
    sliding_at_engagement: Array
    sliding_at_disengagement: Array

    @property
    def length_mm(self) -> Array:
        return np.asarray(self.approach_mm + self.recess_mm)


def textbook_path(gear_1: GearSizes, gear_2: GearSizes, centre_mm: ArrayLike) -> PathOfContact:
    """Path of contact from the two tip circles alone (theory-of-machines textbooks)."""
    centre = np.asarray(centre_mm, dtype=np.float64)
    length = tangent_length_mm(gear_1, gear_2, centre)
    share = gear_1.teeth / (gear_1.teeth + gear_2.teeth)
    approach = gear_2.flank_length(gear_2.nominal_tip_radius_mm) - (1.0 - share) * length
    recess = gear_1.flank_length(gear_1.nominal_tip_radius_mm) - share * length
    working_1, working_2 = share * centre, (1.0 - share) * centre
    cosine = gear_1.base_radius_mm / working_1
    arc = (approach + recess) / cosine
    curving = 1.0 / working_1 + 1.0 / working_2
    return PathOfContact(
        approach_mm=approach,
        recess_mm=recess,
        arc_mm=arc,
        contact_ratio=np.asarray((approach + recess) / gear_1.base_pitch_mm),
        angle_1_rad=np.asarray(arc / working_1),
        angle_2_rad=np.asarray(arc / working_2),
        sliding_at_engagement=np.asarray(approach * curving),
        sliding_at_disengagement=np.asarray(recess * curving),
    )
