"""Bending of a gear tooth by Lewis's equation, with a factor for speed. Numbers or arrays of any common shape.

The functions work in any one system of units: N, mm and MPa, or lbf, inch and psi with 1 / diametral pitch for the
module. Speeds alone name their unit. Sources: Shigley, chapter on spur and helical gears (equations from memory, the
worked examples of tests/truth as told there); Barth's factor also in a university's gear selection notes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from gearplate.gears.involute import Array


class Finish(StrEnum):
    """How teeth were made: it sets how hard they knock at speed."""

    CAST = "cast"
    CUT = "cut or milled"
    HOBBED = "hobbed or shaped"
    SHAVED = "shaved or ground"


@dataclass(frozen=True, slots=True)
class Bending:
    """A tooth under load by Lewis and Barth; every field an array. `static_stress` is without the velocity factor."""

    velocity_factor: Array
    static_stress: Array
    stress: Array


# Speeds at which the factor is 2 (or its root): ft/min as the trade has them in inch units, m/s in SI.
_FPM = {Finish.CAST: 600.0, Finish.CUT: 1200.0, Finish.HOBBED: 50.0, Finish.SHAVED: 78.0}
_M_S = {Finish.CAST: 3.05, Finish.CUT: 6.1, Finish.HOBBED: 3.56, Finish.SHAVED: 5.56}


def velocity_factor(speed_m_s: ArrayLike, finish: Finish = Finish.CUT) -> Array:
    """Factor (1 and more) on the static stress at a pitch-line speed in m/s: (6.1 + V) / 6.1 for cut teeth (Barth)."""
    return _factor(np.abs(np.asarray(speed_m_s, dtype=np.float64)), _M_S[finish], finish)


def velocity_factor_fpm(speed_fpm: ArrayLike, finish: Finish = Finish.CUT) -> Array:
    """The same for ft/min, by the rounded constants of inch units: (1200 + V) / 1200 for cut teeth."""
    return _factor(np.abs(np.asarray(speed_fpm, dtype=np.float64)), _FPM[finish], finish)


def _factor(speed: Array, constant: float, finish: Finish) -> Array:
    if finish in (Finish.CAST, Finish.CUT):
        return np.asarray((constant + speed) / constant)
    plain = (constant + np.sqrt(speed)) / constant
    return np.asarray(plain if finish is Finish.HOBBED else np.sqrt(plain))


def pitch_line_speed_m_s(diameter_mm: ArrayLike, speed_rpm: ArrayLike) -> Array:
    """pi d n, m/s, from mm and rev/min."""
    return np.asarray(math.pi * np.asarray(diameter_mm, dtype=np.float64) * np.asarray(speed_rpm) / 60_000.0)


def static_stress(load: ArrayLike, face_width: ArrayLike, module: ArrayLike, form_factor: ArrayLike) -> Array:
    """Lewis: W / (b m Y). Raises ValueError where face width, module or form factor is not above zero."""
    b, m, y = (np.asarray(v, dtype=np.float64) for v in (face_width, module, form_factor))
    if np.any(~(b > 0.0)) or np.any(~(m > 0.0)) or np.any(~(y > 0.0)):
        raise ValueError("face width, module and form factor must be above zero")
    return np.asarray(np.asarray(load, dtype=np.float64) / (b * m * y))


def permissible_load(
    stress: ArrayLike, face_width: ArrayLike, module: ArrayLike, form_factor: ArrayLike, speed_factor: ArrayLike = 1.0
) -> Array:
    """The tangential load that brings a tooth to that stress: stress b m Y / Kv."""
    return np.asarray(
        np.asarray(stress, dtype=np.float64) / static_stress(speed_factor, face_width, module, form_factor)
    )


def bending(
    load_n: ArrayLike,
    face_width_mm: ArrayLike,
    module_mm: ArrayLike,
    form_factor: ArrayLike,
    speed_m_s: ArrayLike = 0.0,
    finish: Finish = Finish.CUT,
) -> Bending:
    """Stress in MPa at a tangential load (N) and pitch-line speed (m/s): Kv W / (b m Y)."""
    factor = velocity_factor(speed_m_s, finish)
    static = static_stress(load_n, face_width_mm, module_mm, form_factor)
    return Bending(factor, static, np.asarray(factor * static))
