"""Lewis's Y: between printed rows, and the generated tooth against them and against a beam cut by numbers.

Sources: Shigley's table (seen transcribed alike in five open-source programs) and an older trade handbook's (seen in
one open-source program, which cites a Table 2.4), both 20 degrees full depth; a curve fit on an equation library's
page, Y(20) = 0.3192, citing Shigley.
"""

from __future__ import annotations

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest

from gearplate.gears import form_factor
from gearplate.gears.tooth import gear_sizes, half_flank_points

TABLES = tomllib.loads((Path(__file__).parents[1] / "truth" / "tooth_strength.toml").read_text(encoding="utf-8"))
PRINTED = next(table["rows"] for table in TABLES["table"] if table["name"] == "form_factor_20deg")


def test_between_rows_and_beyond():
    assert float(form_factor.form_factor_20(23)) == pytest.approx((0.331 + 0.337) / 2)
    assert float(form_factor.form_factor_20(47)) == pytest.approx(0.397 + 0.012 * 4 / 7)
    assert float(form_factor.form_factor_20(math.inf)) == pytest.approx(0.485)
    assert float(form_factor.form_factor_20(800)) == pytest.approx(0.4825)
    assert float(form_factor.form_factor_20(20)) == pytest.approx(0.3192, abs=0.003)  # the curve fit


@pytest.mark.parametrize("teeth", [11, 0, math.nan])
def test_the_table_begins_at_twelve(teeth):
    with pytest.raises(ValueError, match="12 teeth"):
        form_factor.form_factor_20(teeth)


def test_generated_tooth_stays_within_six_per_cent_of_the_table():
    teeth, printed = np.array(PRINTED).T  # each row itself is held by tests/truth
    found = form_factor.form_factor_generated(gear_sizes(teeth, 1.27, math.radians(20)))
    assert np.all(np.abs(found / printed - 1) < 0.06)


def test_generated_y_is_the_weakest_beam_of_a_drawn_tooth():
    """A load of 1 N square to the tooth's middle at the apex bends the drawn tooth: the greatest M / W along it."""
    gear = gear_sizes(15, 2.0, math.radians(20), 0.2)
    radius, half = half_flank_points(gear, 3000)
    height, width = radius * np.cos(half), 2 * radius * np.sin(half)
    apex = float(form_factor.apex_radius_mm(gear, gear.tip_radius_mm))
    below = height < apex
    stress = 6.0 * (apex - height[below]) / width[below] ** 2
    assert float(form_factor.form_factor_generated(gear)) == pytest.approx(1 / (2.0 * stress.max()), rel=1e-4)


def test_the_apex_lies_on_the_line_of_the_load():
    """Point of the flank, and the direction of its normal by differences: they cross the middle at the apex."""
    gear = gear_sizes(18, 1.0, math.radians(20))
    at = float(gear.tip_radius_mm) * 0.97
    points = []
    for r in (at - 1e-6, at + 1e-6):
        angle = float(gear.half_angle(r))
        points.append((r * math.sin(angle), r * math.cos(angle)))
    (x0, y0), (x1, y1) = points
    normal = (y1 - y0, -(x1 - x0))
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    crossing = y - x * normal[1] / normal[0]
    assert float(form_factor.apex_radius_mm(gear, np.asarray(at))) == pytest.approx(crossing, abs=1e-6)


def test_shift_strengthens_and_undercut_weakens():
    plain, shifted = (form_factor.form_factor_generated(gear_sizes(12, 1.0, math.radians(20), x)) for x in (0.0, 0.5))
    assert float(shifted) > 1.25 * float(plain)
