"""How each cause of play is reckoned, and what becomes of all of them: formula and source in words, for the report."""

from __future__ import annotations

from gearplate.gears.play.budget import Cause

HOW: dict[Cause, str] = {
    Cause.POSITION: "sigma of a hole's place along the line of centres, each hole by its lever: ends 3 sigma of each "
    "hole, added; deviation by root sum square, the plates are independent (statistics of errors). Sigma from the "
    "cutter's row; normal",
    Cause.SCALE: "distance x scale error along its axis, one for both plates (geometry); ends 3 sigma of each axis, "
    "added. Scale from the cutter's row; normal",
    Cause.BORE: "max(0, bore - bearing + bore x growth) / 2 by lever, along the tooth force: x sin(aw) (geometry). "
    "Bore from fit and kerf sigma (ends 3 sigma and the extreme growth), ring tolerance by ISO 492; normal, cut off "
    "at 0",
    Cause.INTERNAL: "clearance / 2 by lever x sin(aw) (geometry); clearance by ISO 5753-1, from memory",
    Cause.THICKNESS: "sum of both thinnings x cos(a) / cos(aw) (ISO 21771); range by DIN 3967, from memory, or the job",
    Cause.RUNOUT: "eccentricity 0 to F_r / 2 of each gear; F_r = 0.9 (0.002 d + 0.55 sqrt d + 0.7 m + 12) um x "
    "sqrt(2)^(class - 5) (ISO 1328-1, from memory), or as the job says",
    Cause.PILOT: "(hole - pilot) / 2 in any direction, clamped there (geometry), its deviation that / sqrt 2; "
    "hole from the cutter's fit",
    Cause.SHAFT_RUNOUT: "half the shaft end's runout (IEC 60072-1, normal class, from memory)",
    Cause.BENDING: "F L^3 / (3 E I) x sin(aw) at stall, held at the motor's face (mechanics of materials); "
    "E of steel from memory",
    Cause.HALL: "distance x (CTE of plate - CTE of gears) x (hall - cut_at) (thermal expansion). Plates by the "
    "material's row, gears and bearings by handbooks, from memory",
    Cause.HEAT: "distance x CTE of plate x 0 to motor_heat, the gears at the hall's temperature (thermal expansion)",
    Cause.MOISTURE: "distance x swelling from dry to wet x moisture (material's row)",
}

SPREAD = (
    "Worst case: the ends of all causes added, those of normal ones (a hole's place, scale, kerf) at 3 standard "
    "deviations of each single one. 999 of 1000: the means added, and about them the 0.1 % and the 99.9 % point of "
    "the sum of all deviations, each with its own distribution: normal or any direction where its cause says so, else "
    "uniform between its ends (weather: one uniform part by hall, heat or moisture, one by the coefficient), by their "
    "characteristic functions (theorem of Gil-Pelaez, 1951, summed after Davies, 1973; from memory). That is 3.09 "
    "deviations of the sum only where normal ones rule, and never beyond the worst case. What goes up and down in a "
    "turn counts with its amplitude, at the tightest place taken off and at the slackest put on. Standard deviation "
    "from gearbox to gearbox: root sum square of the deviations of all that does not turn, each times the backlash "
    "that it makes (statistics of errors)."
)

BACKLASH = (
    "Backlash at a distance: j = cos a / cos aw (m (z1 + z2)(inv aw - inv a) - 2 m (x1 + x2) tan a + thinnings), "
    "cos aw = m (z1 + z2) cos a / (2 distance) (ISO 21771)."
)
