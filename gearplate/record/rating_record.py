"""The ratings of a drive as plain lists and dicts, ready for JSON; text and picture are made from it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from gearplate.record.numbers import known, length

if TYPE_CHECKING:
    from gearplate.rating.duty import Assumed
    from gearplate.rating.rate import Ratings
    from gearplate.rating.rating import Rating

RATING_FORMAT = "gearplate-rating/1"


def rating_record(part: str, revision: str, ratings: Ratings, duty: tuple[Assumed, ...]) -> dict[str, Any]:
    """Loads, every rating (the weakest that may be so first), what could not be rated and what is not modelled.

    Torques in N m, forces in N, stresses in MPa. A margin without end (no load) is null.
    """
    return {
        "record": RATING_FORMAT,
        "job": {"part": part, "revision": revision},
        "duty": [
            {
                "key": one.name,
                "value": length(one.value),
                "given": one.given,
                "standing": one.standing.value,
                "why": one.why,
            }
            for one in duty
        ],
        **strength_entry(ratings),
        "not_modelled": list(ratings.not_modelled),
    }


def strength_entry(ratings: Ratings) -> dict[str, Any]:
    """Loads, the weakest link and every rating: what a design's record holds too."""
    loads, weakest = ratings.loads, ratings.weakest
    return {
        "loads": {
            "ruled_by": loads.ruled_by.value,
            "output_torque_n_m": length(loads.output_n_mm / 1000.0),
            "motors_could_n_m": known(loads.own_limit_n_mm / 1000.0),
            "wheels_grip_n_m": length(loads.grip_n_mm / 1000.0),
            "wheel_weight_n": length(loads.wheel_weight_n),
            "motors": [
                {
                    "name": motor.name,
                    "torque_n_m": length(motor.torque_n_mm / 1000.0),
                    "speed_rpm": None if motor.speed_rpm is None else length(motor.speed_rpm),
                    "current_a": None if motor.current_a is None else length(motor.current_a),
                }
                for motor in loads.motors
            ],
        },
        "weakest": None if weakest is None else weakest.part,
        "ratings": [rating_entry(item) for item in ratings.items],
        "unrated": list(ratings.unrated),
    }


def rating_entry(item: Rating) -> dict[str, Any]:
    """One rating."""
    return {
        "part": item.part,
        "kind": item.kind.value,
        "load_case": item.load_case,
        "formula": item.formula,
        "source": item.source,
        "value": length(item.value),
        "limit": length(item.limit),
        "unit": item.unit,
        "margin": length(item.margin) if math.isfinite(item.margin) else None,
        "holds": item.holds,
        "rules": item.rules,
        "standing": item.standing.value,
        "note": item.note,
        "shafts": list(item.shafts),
        "plate": item.plate,
        "features": list(item.features),
    }
