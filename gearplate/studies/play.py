"""The play of a job's gears as plain data: budgets, simulation, proposals. For people, programs and pictures alike."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from gearplate.finding import Standing
from gearplate.gears.play.inputs import inputs
from gearplate.gears.play.reckoned import BACKLASH, HOW, SPREAD
from gearplate.gears.play.simulate import DRAWS, Simulated, simulate
from gearplate.job.play import play_assumptions
from gearplate.layout.play import (
    SCALE_SIGMA,
    MeshBudget,
    auto_added,
    climate_of,
    materials_taken,
    mesh_budgets,
    position_sigma_mm,
)
from gearplate.record.train_entries import auto_entry

if TYPE_CHECKING:
    from gearplate.gears.involute import Array
    from gearplate.gears.play.model import Climate
    from gearplate.gears.play.plate_scatter import Spread
    from gearplate.job.spec import JobSpec
    from gearplate.record.design import Design

FORMAT = "gearplate-play/1"
BINS = 72
PLACES = 5


def play_report(job: JobSpec, design: Design, draws: int = DRAWS) -> dict[str, Any]:
    """Everything that `gearplate play` tells of a design; lengths in mm. A design without a layout has no meshes."""
    play = job.play
    climate = climate_of(play)
    meshes: tuple[MeshBudget, ...] = ()
    if design.layout is not None:
        meshes = mesh_budgets(design.spec, design.shops, play, job.gear_materials, design.layout)
    drawn = simulate([one.play for one in meshes], climate, play.most_mm, draws)
    return {
        "play": FORMAT,
        "job": {"part": design.identity.part, "revision": design.identity.revision},
        "draws": draws,
        "reckoned": BACKLASH,
        "spread_reckoned": SPREAD,
        "least_mm": play.least_mm,
        "most_mm": play.most_mm,
        "climate": {
            "hall_celsius": list(play.hall_c),
            "cut_at_celsius": play.cut_at_c,
            "motor_heat_kelvin": play.motor_heat_k,
            "moisture": list(play.moisture),
        },
        "cutter": _cutter(job, design),
        "assumed": [
            {"key": one.key, "value": one.value, "why": one.why, "standing": one.standing.value}
            for one in play_assumptions(job.reading)
        ],
        "auto": [auto_entry(one) for one in auto_added(design.spec, design.shops, play, job.gear_materials).values()],
        "materials_taken": list(materials_taken(design.spec, job.gear_materials)),
        "left_out": len(design.layout.meshes) - len(meshes) if design.layout is not None else 0,
        "meshes": [_mesh(one, found, climate, play.least_mm) for one, found in zip(meshes, drawn, strict=True)],
    }


def _cutter(job: JobSpec, design: Design) -> dict[str, Any]:
    """What the cutter's row says of its errors, or what is usual where it says nothing."""
    cutter = job.catalog.cutter(job.raw["cutter"])
    said = None not in (cutter.position_sigma_x_mm, cutter.position_sigma_y_mm, cutter.scale_sigma)
    kerfs = [shop.kerf.sigma_mm for shop in design.shops.values()]
    return {
        "name": cutter.name,
        "position_sigma_mm": list(position_sigma_mm(cutter)),
        "scale_sigma": SCALE_SIGMA if cutter.scale_sigma is None else cutter.scale_sigma,
        "kerf_sigma_mm": max(kerfs, default=0.0),
        "standing": (cutter.standing if said else Standing.COMMON_PRACTICE).value,
    }


def _mesh(one: MeshBudget, drawn: Simulated, climate: Climate, least_mm: float) -> dict[str, Any]:
    found = one.budget
    proposal = one.proposal(climate, least_mm)
    shares = dict(found.share)
    taken = inputs(one.play, climate)
    return {
        "stage": one.stage,
        "driver_shaft": one.driver_shaft,
        "driven_shaft": one.driven_shaft,
        "driver_teeth": one.driver.teeth,
        "driven_teeth": one.driven.teeth,
        "set_by_hand": one.set_by_hand,
        "centre_mm": _short(one.play.centre_mm),
        "added_centre_mm": _short(one.play.centre_mm - one.free_centre_mm),
        "mean": {
            "operating_mm": _short(found.operating_mm),
            "reference_mm": _short(found.reference_mm),
            "normal_mm": _short(found.normal_mm),
        },
        "worst_mm": _both(found.worst_mm),
        "likely_mm": _both(found.likely_mm),
        "hot_dry_mm": _short(found.hot_dry_mm),
        "cold_wet_mm": _short(found.cold_wet_mm),
        "sigma_mm": _short(found.sigma_mm),
        "contact_ratio": {
            "mean": _short(one.contact_ratio(found.centre_mm)),
            "widest": _short(one.contact_ratio(found.likely_centre_mm[1])),
        },
        "contributors": [
            {
                "cause": part.cause.value,
                "reckoned": HOW[part.cause],
                "from": taken[part.cause],
                "acts_on": "thinning" if part.thins else "centre",
                "low_mm": _short(part.low_mm),
                "high_mm": _short(part.high_mm),
                "mean_mm": _short(part.mean_mm),
                "sigma_mm": _short(part.sigma_mm),
                "turns": part.turns,
                "backlash_per_mm": _short(found.per_thinning if part.thins else found.per_centre),
                "share_of_variance": _short(shares[part.cause]),
            }
            for part in sorted(found.contributors, key=lambda part: -shares[part.cause])
        ],
        "simulated": {
            "tightest": _spread(drawn.tight),
            "between": _spread(drawn.middle),
            "slackest": _spread(drawn.slack),
            "centre": _spread(drawn.centre),
            "probability_binds": drawn.probability_binds,
            "probability_over": drawn.probability_over,
            "histogram": _histogram(drawn.tight_mm, drawn.slack_mm),
        },
        "proposal": {
            "added_centre_mm": _short(proposal.added_mm),
            "likely_mm": _both(proposal.budget.likely_mm),
            "contact_ratio_widest": _short(one.contact_ratio(proposal.centre_mm)),
        },
    }


def _short(value: float) -> float:
    return round(float(value), PLACES)


def _both(span: tuple[float, float]) -> list[float]:
    return [_short(span[0]), _short(span[1])]


def _spread(spread: Spread) -> dict[str, float]:
    return {
        "mean_mm": _short(spread.mean),
        "std_mm": _short(spread.std),
        "q001_mm": _short(spread.q001),
        "q999_mm": _short(spread.q999),
    }


def _histogram(tight: Array, slack: Array) -> dict[str, Any]:
    """How many draws fall into each of equal bins, over all but the outermost 1 in 10 000 at either end."""
    low, high = float(np.quantile(tight, 1e-4)), float(np.quantile(slack, 1.0 - 1e-4))
    if not high > low:
        low, high = low - 0.005, low + 0.005
    counts = [np.histogram(np.clip(values, low, high), BINS, (low, high))[0].tolist() for values in (tight, slack)]
    return {"low_mm": _short(low), "high_mm": _short(high), "tightest": counts[0], "slackest": counts[1]}
