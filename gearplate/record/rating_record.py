"""The ratings of a drive as plain lists and dicts, ready for JSON; text and picture are made from it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from gearplate.rating.forces import chain_share
from gearplate.record.numbers import known, length

if TYPE_CHECKING:
    from gearplate.catalog.motors import MotorCurve
    from gearplate.rating.duty import Assumed
    from gearplate.rating.forces import MeshForce
    from gearplate.rating.rate import Ratings
    from gearplate.rating.rating import Rating
    from gearplate.rating.shaft_loads import ShaftCase

RATING_FORMAT = "gearplate-rating/1"


def rating_record(
    part: str, revision: str, ratings: Ratings, duty: tuple[Assumed, ...], wheel_diameter_mm: float
) -> dict[str, Any]:
    """Loads, every rating (the weakest that may be so first), the forces they come from, what could not be rated and
    what is not modelled.

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
        "forces": {
            "meshes": [_mesh_force(force) for force in ratings.meshes],
            "shafts": [_shaft_case(case) for case in ratings.cases],
        },
        "wheel_diameter_mm": length(wheel_diameter_mm),
        "not_modelled": list(ratings.not_modelled),
    }


def strength_entry(ratings: Ratings) -> dict[str, Any]:
    """Loads, the weakest link and every rating: what a design's record holds too. `wheel_push_n`: in the hardest push;
    `wheel_grip_n`: the most that the wheel on the axle can push by itself."""
    loads, weakest, chain = ratings.loads, ratings.weakest, ratings.duty.chain
    by_chain = chain_share(loads, 1.0, 1.0, chain)
    return {
        "loads": {
            "ruled_by": loads.ruled_by.value,
            "output_torque_n_m": length(loads.output_n_mm / 1000.0),
            "motors_could_n_m": known(loads.own_limit_n_mm / 1000.0),
            "wheels_grip_n_m": length(loads.grip_n_mm / 1000.0),
            "wheel_weight_n": length(loads.wheel_weight_n),
            "wheel_grip_n": length(loads.wheel_grip_n),
            "wheel_push_n": length(loads.output_n_mm * (1.0 - by_chain) / loads.wheel_radius_mm),
            "chain_share": None if chain is None else {"said": length(chain.share), "taken": length(by_chain)},
            "motors": [
                {
                    "name": motor.name,
                    "torque_n_m": length(motor.torque_n_mm / 1000.0),
                    "speed_rpm": None if motor.speed_rpm is None else length(motor.speed_rpm),
                    "current_a": None if motor.current_a is None else length(motor.current_a),
                    "limit_n_m": known(motor.limit_n_mm / 1000.0),
                    "limited_by": motor.limited_by.value,
                    "ratio": length(motor.ratio),
                    "curve": None if motor.curve is None else _curve(motor.curve),
                    "type": motor.type_name,
                    "standing": motor.standing.value,
                }
                for motor in loads.motors
            ],
        },
        "weakest": None if weakest is None else weakest.part,
        "ratings": [rating_entry(item) for item in ratings.items],
        "unrated": list(ratings.unrated),
    }


def _curve(curve: MotorCurve) -> dict[str, float]:
    return {
        "voltage_v": length(curve.voltage_v),
        "free_speed_rpm": length(curve.free_speed_rpm),
        "stall_torque_n_m": length(curve.stall_torque_n_m),
        "stall_current_a": length(curve.stall_current_a),
        "free_current_a": length(curve.free_current_a),
    }


def _mesh_force(force: MeshForce) -> dict[str, Any]:
    mesh = force.mesh
    return {
        "stage": mesh.stage,
        "driver_shaft": mesh.driver.shaft,
        "driver_teeth": mesh.driver.gear.teeth,
        "driven_shaft": mesh.driven.shaft,
        "driven_teeth": mesh.driven.gear.teeth,
        "torque_n_m": length(force.torque_n_mm / 1000.0),
        "base_diameter_mm": length(2.0 * force.torque_n_mm / force.whole_n) if force.whole_n else None,
        "whole_n": length(force.whole_n),
        "working_pressure_angle_deg": length(mesh.mesh.working_pressure_angle_deg),
        "tangential_n": length(force.tangential_n),
        "z_mm": length(force.z_mm),
        "face_mm": length(force.face_mm),
    }


def _shaft_case(case: ShaftCase) -> dict[str, Any]:
    """Forces on one shaft: z in the frame of the stack, x forward and y up."""
    return {
        "shaft": case.shaft,
        "load_case": case.case,
        "way": case.way,
        "axial_n": length(case.axial_n),
        "couple": None if case.couple is None else {"z_mm": length(case.couple[0]), "n_mm": length(case.couple[1])},
        "pushes": [
            {
                "what": push.what,
                "z_mm": length(push.z_mm),
                "x_n": length(push.x_n),
                "y_n": length(push.y_n),
                "torque_n_m": length(push.torque_n_mm / 1000.0),
            }
            for push in case.pushes
        ],
        "supports": [
            {
                "name": support.name,
                "z_mm": length(support.z_mm),
                "x_n": length(-felt[0]),
                "y_n": length(-felt[1]),
            }
            for support, felt in zip(case.supports, case.reactions, strict=True)
        ],
    }


def rating_entry(item: Rating) -> dict[str, Any]:
    """One rating."""
    return {
        "part": item.part,
        "kind": item.kind.value,
        "load_case": item.load_case,
        "way": item.way,
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
