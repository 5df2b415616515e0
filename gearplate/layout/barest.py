"""The last resort where not every gap of common practice can be kept: as much of each as there is room for."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from gearplate.layout.certified.branch import Status
from gearplate.layout.certified.conflict import Purse
from gearplate.layout.chain import free_shafts, place_all
from gearplate.layout.constraints import build_model
from gearplate.layout.design import Stack
from gearplate.layout.finish import Trial, finish
from gearplate.layout.grounds import grounded
from gearplate.layout.question import SLACK_MM
from gearplate.layout.spec import LayoutSpec

BOXES = 2000  # of all searches together
ONE = 1000
HALVINGS = 4  # of the share of the gaps that can be kept

Points = tuple[tuple[float, float], ...]


def barest(spec: LayoutSpec, stack: Stack, rail: Points) -> Trial | None:
    """A layout in which nothing touches and the limits hold, motors turned so that their screws do too; None where
    none was found. Its clearances are as much of the usual ones, all in one share, as was found to fit."""
    purse = Purse(BOXES)
    model = build_model(spec, stack, rail, sure=True, share=0.0)
    if purse.layout(grounded(spec, stack, model, slack_mm=SLACK_MM).problem, ONE)[1] is None:
        return None  # not even without the screws
    best: dict[str, float] | None = None
    low, high = 0.0, 1.0
    for step in range(HALVINGS + 1):
        share = 0.5 * (low + high) if step else 0.0
        model = build_model(spec, stack, rail, sure=True, share=share)
        question = grounded(spec, stack, model, slack_mm=SLACK_MM, screws=share)
        angles = purse.layout(question.problem, ONE)[1]
        if angles is None and not step:
            return None
        best, low, high = (angles, share, high) if angles is not None else (best, low, share)
    assert best is not None
    turned = with_clocking(spec, best)
    return finish(turned, stack, place_all(turned, _of_shafts(spec, best)), rail)


def ruled_out(spec: LayoutSpec, stack: Stack) -> bool:
    """Whether it is proven that there is none wherever the rail's screws stand: not even where there are none of them.
    Their demands come on top of these, so that what fails without them fails with any."""
    model = build_model(spec, stack, (), sure=True, share=0.0)
    question = grounded(spec, stack, model, slack_mm=SLACK_MM)
    return Purse(BOXES).layout(question.problem, ONE)[0] is Status.INFEASIBLE


def with_clocking(spec: LayoutSpec, angles_rad: Mapping[str, float]) -> LayoutSpec:
    """The spec with its motors turned as an answer turns their first screws."""
    motors = tuple(
        replace(motor, clocking_rad=math.remainder(angles_rad[f"{motor.name} screw 1"], 2.0 * math.pi))
        if f"{motor.name} screw 1" in angles_rad
        else motor
        for motor in spec.motors
    )
    return replace(spec, motors=motors)


def _of_shafts(spec: LayoutSpec, angles_rad: Mapping[str, float]) -> dict[str, float]:
    return {name: angle for name, angle in angles_rad.items() if name in free_shafts(spec)}
