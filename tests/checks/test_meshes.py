"""Meshes at their limits: centre distance, backlash, contact ratio, interference, look-alikes."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gearplate.checks.subject import Subject
from gearplate.finding import Severity
from tests.builders.subjects import fair, fair_unchanged, one, run, severities

W, E = Severity.WARNING, Severity.ERROR
MICROMETRE = 0.001
ALPHA = math.radians(20.0)


def inv(angle: float) -> float:
    return math.tan(angle) - angle


def zero_backlash_centre(z1: int, z2: int, module: float, shift: float) -> float:
    """ISO 21771, solved here by bisection: a = m (z1 + z2) cos(alpha) / (2 cos(alpha_w))."""
    wanted = inv(ALPHA) + 2.0 * shift * math.tan(ALPHA) / (z1 + z2)
    low, high = ALPHA, 1.0
    for _ in range(200):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if inv(middle) < wanted else (low, middle)
    return 0.5 * module * (z1 + z2) * math.cos(ALPHA) / math.cos(low)


TIGHT = zero_backlash_centre(12, 72, 1.27, 0.5)  # without thinning the unthinned gears' centre is the tightest


def m1_at(centre_mm: float) -> Subject:
    """The fair drive with M1 placed by coordinates at that distance from S1, at 45 degrees."""
    s1_y = 0.5 * 1.27 * (32 + 60) + 0.05
    x, y = centre_mm * math.cos(math.pi / 4), s1_y + centre_mm * math.sin(math.pi / 4)
    return fair(places__M1={"at": [f"{x:.9f} mm", f"{y:.9f} mm"]})


@pytest.mark.parametrize(
    ("off_mm", "expected"),
    [
        (TIGHT - MICROMETRE, [E]),  # jams
        (TIGHT + MICROMETRE, []),
        (TIGHT + 0.05, []),  # as the job asks
        (TIGHT + 0.1, []),  # 0.05 mm off: common practice
        (TIGHT + 0.1 + MICROMETRE, [W]),
        (TIGHT + 3.0, [E]),  # the next teeth meet too late
    ],
)
def test_shafts_by_coordinates_stand_as_far_apart_as_their_teeth_ask(off_mm: float, expected: list[Severity]) -> None:
    subject = m1_at(off_mm)
    assert severities("mesh-centre", subject) == expected
    # What mesh-centre tells is not told again by the others.
    if expected:
        assert severities("backlash", subject) == []
        assert severities("contact-ratio", subject) == []


def test_the_remedy_gives_the_direction_that_there_is() -> None:
    finding = one("mesh-centre", m1_at(TIGHT - 0.2))
    assert finding.remedy is not None
    assert finding.remedy.set == (("places.M1", {"angle": 45.0}),)


@pytest.mark.parametrize(
    ("added_mm", "expected"),
    [(0.0, [E, E]), (0.001, [W, W]), (0.0244, [W, W]), (0.0254, []), (0.0264, []), (0.076, [])],
)
def test_backlash_is_above_zero_and_from_a_thou_of_added_centre_on(added_mm: float, expected: list[Severity]) -> None:
    """0.001 to 0.003 in of added centre distance: common practice, no source. Two kinds of mesh, so two findings."""
    assert severities("backlash", fair(added_centre=f"{added_mm} mm")) == expected


def test_thinned_teeth_need_no_added_centre() -> None:
    thinned = {"teeth": 72, "thinning": "0.04 mm"}
    subject = fair(
        added_centre=0, stages=[{"driven": thinned}, {"driver": 32, "driven": {"teeth": 60, "thinning": 0.04}}]
    )
    assert severities("backlash", subject) == []


@pytest.mark.parametrize(("play_mm", "expected"), [(0.15 * 1.27, []), (0.15 * 1.27 + MICROMETRE, [W])])
def test_too_much_play_rattles(play_mm: float, expected: list[Severity]) -> None:
    subject = fair_unchanged()
    meshes = tuple(
        replace(placed, mesh=replace(placed.mesh, backlash_reference_mm=play_mm)) if placed.stage == 2 else placed
        for placed in subject.layout.meshes
    )
    assert severities("backlash", replace(subject, layout=replace(subject.layout, meshes=meshes))) == expected


@pytest.mark.parametrize(
    ("ratio", "expected"), [(1.2, []), (1.2 - 1e-6, [W]), (1.0, [W]), (1.0 - 1e-6, [E]), (0.4, [E])]
)
def test_contact_ratio_under_1_is_an_error_and_under_1_2_a_warning(ratio: float, expected: list[Severity]) -> None:
    """1 by geometry, 1.2 from a question bank and handbooks."""
    subject = fair_unchanged()
    meshes = tuple(
        replace(placed, mesh=replace(placed.mesh, contact_ratio=ratio)) if placed.stage == 2 else placed
        for placed in subject.layout.meshes
    )
    found = run("contact-ratio", replace(subject, layout=replace(subject.layout, meshes=meshes))).findings
    assert [finding.severity for finding in found] == expected


def test_twelve_on_twelve_at_14_5_degrees_is_interrupted_though_the_textbook_says_otherwise() -> None:
    """Unshifted, the real flanks give about 0.4 where the formula gives 1.58."""
    pinion = {"teeth": 12, "shift": 0, "pressure_angle": 14.5}
    subject = fair(
        motors=[{"type": "generic-a", "pinion": pinion}],
        stages=[{"driven": pinion}],
        places={"M1": {"angle": 90}},
        added_centre=0,
    )
    finding = one("contact-ratio", subject)
    assert finding.severity is E
    assert finding.measured == pytest.approx(0.4, abs=0.05)
    assert "1.58" in finding.message


LEAST_SHIFT = 1.0 - 0.5 * 12 * math.sin(ALPHA) ** 2  # ISO 21771: x = 1 - z sin^2(alpha) / 2


@pytest.mark.parametrize(
    ("shift", "expected"), [(LEAST_SHIFT, []), (LEAST_SHIFT - 0.02 + 1e-6, []), (LEAST_SHIFT - 0.02 - 1e-6, [W])]
)
def test_undercut_warns_unless_the_pinion_is_shifted_enough(shift: float, expected: list[Severity]) -> None:
    pinion = {"teeth": 12, "shift": shift}
    subject = fair(motors=[{"type": "generic-a", "pinion": pinion}, {"type": "generic-a", "pinion": pinion}])
    assert severities("tooth-interference", subject) == expected


@pytest.mark.parametrize("teeth", [17, 18, 20])
def test_handbooks_accept_17_teeth_at_20_degrees(teeth: int) -> None:
    pinion = {"teeth": teeth, "shift": 0}
    subject = fair(motors=[{"type": "generic-a", "pinion": pinion}, {"type": "generic-a", "pinion": pinion}])
    assert severities("tooth-interference", subject) == []


@pytest.mark.parametrize(
    ("job", "odd", "twin"),
    [
        ({"module": "0.8 mm"}, {"diametral_pitch": 32}, "module 0.8 mm"),
        ({"diametral_pitch": 20}, {"module": "1.25 mm"}, "diametral pitch 20"),
        ({"diametral_pitch": 20}, {"pressure_angle": 14.5}, "20 degrees"),
        ({"diametral_pitch": 20, "pressure_angle": 14.5}, {"pressure_angle": 20}, "14.5 degrees"),
        ({"diametral_pitch": 20}, {"diametral_pitch": 24}, "diametral pitch 20"),
    ],
)
def test_look_alikes_are_refused_and_the_twin_is_named(
    job: dict[str, object], odd: dict[str, object], twin: str
) -> None:
    sizes = {"diametral_pitch": None, **job}
    subject = fair(**sizes, stages=[{"driven": 72}, {"driver": 32, "driven": {"teeth": 60, **odd}}])
    finding = one("look-alike-teeth", subject)
    assert finding.severity is E
    assert twin in finding.message
    assert "output 60T" in finding.message
    assert set(finding.where.shafts) == {"S1", "output"}
    # Their other numbers mean nothing: nothing else is said of that mesh.
    for code in ("mesh-centre", "backlash", "contact-ratio", "tooth-interference"):
        assert all("output 60T" not in other.message for other in run(code, subject).findings)
