"""What is told of each cause must do to reckon it again."""

from __future__ import annotations

import math
import re

import pytest

from gearplate.build import make
from gearplate.gears.play.budget import Cause
from gearplate.gears.play.inputs import inputs
from gearplate.job.load import load_job
from gearplate.layout.play import climate_of, mesh_budgets


def test_by_hand_from_what_is_told() -> None:
    job = load_job("compost-drive")
    design = make(job)
    found = mesh_budgets(design.spec, design.shops, job.play, job.gear_materials, design.layout)
    for one in found:
        told = inputs(one.play, climate_of(job.play))
        parts = {part.cause: part for part in one.budget.contributors}
        assert set(parts) <= set(told)

        def numbers(cause: Cause, told: dict[Cause, str] = told) -> list[float]:
            bare = re.sub(r"[A-Za-z]+\d*T?|\d+T", " ", told[cause].replace("10^6", " "))
            return [float(number) for number in re.findall(r"-?\d+\.?\d*", bare)]

        distance, low, high, *gear, cold, warm = numbers(Cause.HALL)
        ends = [1e-6 * distance * (p - g) * t for p in (low, high) for g in gear for t in (cold, warm)]
        assert (parts[Cause.HALL].low_mm, parts[Cause.HALL].high_mm) == pytest.approx((min(ends), max(ends)), abs=1e-4)
        distance, _dry, wet, *moist = numbers(Cause.MOISTURE)
        assert parts[Cause.MOISTURE].low_mm == pytest.approx(distance * wet * moist[0], abs=1e-4)
        assert parts[Cause.MOISTURE].high_mm == pytest.approx(distance * wet * moist[1], abs=1e-4)
        *thin, _ = numbers(Cause.THICKNESS)
        assert parts[Cause.THICKNESS].high_mm == pytest.approx(thin[1] + thin[3], abs=1e-3)
        levers = [float(lever) for lever in re.findall(r"([\d.]+) x \(0.015, 0.015\)", told[Cause.POSITION])]
        assert parts[Cause.POSITION].sigma_mm == pytest.approx(0.015 * math.hypot(*levers), rel=0.02)
        levers = [float(lever) for lever in re.findall(r"([\d.]+) x \(0.015, 0.015\)", told[Cause.POSITION])]
        assert parts[Cause.POSITION].high_mm == pytest.approx(3 * 0.015 * sum(levers), rel=0.02)
        bores = re.findall(
            r"([\d.]+) x \(([\d.]+) mm, ([-+\d.]+) loose, sigma ([\d.]+), ring \S+ to ([\d.]+)", told[Cause.BORE]
        )
        grown = float(re.findall(r"at the ends \S+ to ([-\de.]+)\)", told[Cause.BORE])[0])
        push = numbers(Cause.INTERNAL)[-1]
        most = sum(
            0.5 * push * w * max(0.0, loose + 3 * sigma + under + across * grown)
            for w, across, loose, sigma, under in (map(float, bore) for bore in bores)
        )
        assert parts[Cause.BORE].high_mm == pytest.approx(most, rel=0.02)
        *spans, push = numbers(Cause.INTERNAL)
        by_lever = [lever * most for lever, _, most in zip(spans[::3], spans[1::3], spans[2::3], strict=True)]
        assert parts[Cause.INTERNAL].high_mm == pytest.approx(0.5 * push * sum(by_lever), abs=1e-4)
