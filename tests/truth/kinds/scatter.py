"""Cases of scatter: the distribution of a mesh's centre distance and backlash in cut plates.

How the words of a case are read stands in gearplate/gears/play/plate_scatter.py. Lengths in mm, the pressure angle in
degrees, ranges as [low, high] (one number is a range without width).

Returned, each also with `_mm` after it: centre_mean, centre_std, centre_q001, centre_q999 and backlash_mean,
backlash_std, backlash_q001, backlash_q999. The probability of backlash at or under zero is `probability`, also as
`probability_bind`, `probability_binds`, `bind_probability`, `p_bind` and `p_zero`.

They are drawn, a million at a time: `expected` values must agree as `tolerance` tells, `published` ones as they say.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import asdict

from gearplate.gears.play.pair import Pair
from gearplate.gears.play.plate_scatter import PlateScatter
from gearplate.gears.play.plate_scatter import plate_scatter as scatter_of

Range = list[float] | float
PROBABILITIES = ("probability", "probability_bind", "probability_binds", "bind_probability", "p_bind", "p_zero")
EXACT = 1e-6


def _pair(value: Range) -> tuple[float, float]:
    if isinstance(value, int | float):
        return float(value), float(value)
    low, high = value
    return float(low), float(high)


def plate_scatter(
    z1: int,
    z2: int,
    module: float,
    pressure_angle: float,
    centre: float,
    x1: float = 0.0,
    x2: float = 0.0,
    thin: Range = 0.0,
    sigma_pos: float = 0.0,
    bore_error: Range = 0.0,
    bore_dia: float = 0.0,
    bearing_clearance: Range = 0.0,
    direction: str = "load",
    cte_plate: float = 0.0,
    cte_gear: float = 0.0,
    dT: Range = 0.0,
    moisture: Range = 0.0,
    plates: int = 2,
) -> dict[str, object]:
    found = scatter_of(
        PlateScatter(
            pair=Pair(z1, z2, module, math.radians(pressure_angle), x1 + x2),
            centre_mm=centre,
            thinning_mm=_pair(thin),
            sigma_pos_mm=sigma_pos,
            bore_error_mm=_pair(bore_error),
            bore_diameter_mm=bore_dia,
            clearance_mm=_pair(bearing_clearance),
            direction=direction,
            cte_plate_per_k=cte_plate,
            cte_gear_per_k=cte_gear,
            dt_k=_pair(dT),
            moisture=_pair(moisture),
            plates=plates,
        )
    )
    told: dict[str, object] = {}
    for what, spread in (("centre", found.centre_mm), ("backlash", found.backlash_mm)):
        for key, value in asdict(spread).items():
            told[f"{what}_{key}"] = told[f"{what}_{key}_mm"] = value
    for key in PROBABILITIES:
        told[key] = found.probability_binds
    return told


def tolerance(key: str, got: Mapping[str, object]) -> float:
    """Means to 1 % of a standard deviation, outer quantiles to a tenth of one, neither closer than 0.001 mm; standard
    deviations to 2 % of themselves, not closer than 0.0002 mm; probabilities to a tenth of themselves (or of the rest
    to 1), not closer than 0.0005 and no wider than 0.005. What does not scatter at all is drawn by nobody: it follows
    from a formula and is held to 1e-6."""
    std = got.get("backlash_std" if key in PROBABILITIES else f"{key.split('_')[0]}_std", 0.0)
    assert isinstance(std, float)
    if std < EXACT:
        return EXACT
    if key in PROBABILITIES:
        chance = got["probability"]
        assert isinstance(chance, float)
        return min(0.005, max(0.0005, 0.1 * min(chance, 1.0 - chance)))
    if "_q" in key:
        return max(0.001, 0.1 * std)
    return max(0.0002, 0.02 * std) if "_std" in key else max(0.001, 0.01 * std)


plate_scatter.tolerance = tolerance  # type: ignore[attr-defined]

KINDS: dict[str, Callable[..., dict[str, object]]] = {"plate_scatter": plate_scatter}
