"""Finding things by name, by another name, by tooth count; laying a team's tables over ours."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from gearplate.catalog import Catalog, UnknownProfile, load_catalog, profiles_folder
from gearplate.catalog.gears import BoughtGear
from gearplate.catalog.materials import Material
from gearplate.catalog.tables import TABLES
from gearplate.errors import JobError
from gearplate.finding import Standing

Overlay = Callable[..., Catalog]

OWN_SHAFT = """
[sources]
bench = "calliper, our bench, 2025"

[shaft.round-8mm]
round_mm = 7.98
material = "silver steel"
density_kg_m3 = 7850
youngs_modulus_gpa = 205
yield_mpa = 400
source = "bench"
standing = "measured here"
"""


def test_near_names_come_with_an_unknown_one(shipped: Catalog) -> None:
    with pytest.raises(UnknownProfile) as caught:
        shipped.motor("generic-aa")
    error = caught.value
    assert (error.table, error.name, error.near[0]) == ("motors", "generic-aa", "generic-a")
    assert set(error.known) >= set(shipped.motors())
    assert "Did you mean 'generic-a'?" in str(error)
    problem = error.at("drive.toml", 7, "motors.type")
    assert (problem.file, problem.line, problem.key) == ("drive.toml", 7, "motors.type")
    assert isinstance(error, KeyError)
    assert isinstance(error, JobError)
    assert error.exit_code == 2


def test_names_that_differ_by_case_are_near(shipped: Catalog) -> None:
    with pytest.raises(UnknownProfile) as caught:
        shipped.bearing("fr8zz-HEX")
    assert caught.value.near[0] == "FR8ZZ-hex"


def test_other_names_of_the_trade(shipped: Catalog) -> None:
    assert shipped.fastener("10-32") is shipped.fastener("#10") is shipped.fastener("#10-32")
    assert shipped.fastener("#10-24").tap_drill_mm != shipped.fastener("#10-32").tap_drill_mm
    assert shipped.bearing("61801") is shipped.bearing("6801")
    assert shipped.chain_row("#25") is shipped.chain_row("25")


def test_a_hexagon_needs_its_corners(shipped: Catalog) -> None:
    assert shipped.shaft("hex-1/2in").across_corners_mm == pytest.approx(14.6646968, abs=1e-6)  # geometry
    assert shipped.shaft("round-8mm").across_corners_mm == 8


def test_a_square_body_needs_its_corners(shipped: Catalog) -> None:
    motor = shipped.motor("nema-23")
    # geometry: sharp it would be 56.4 sqrt(2) = 79.76; corners of 5 mm take 2 x 5 x (sqrt(2) - 1) off
    assert motor.room_diameter_mm == pytest.approx(79.7616 - 4.1421, abs=1e-3)
    assert shipped.motor("generic-a").room_diameter_mm == 64


def gear_on_hand(catalog: Catalog, teeth: int, **size: Any) -> BoughtGear:
    found = catalog.find_gear(teeth, **size)
    assert found is not None
    return found


def test_gears_by_count_and_size(shipped: Catalog) -> None:
    pinion = gear_on_hand(shipped, 12, diametral_pitch=20)
    assert (pinion.role, pinion.profile_shift, pinion.module_mm, pinion.teeth) == ("pinion", 0.5, 1.27, 12)
    assert gear_on_hand(shipped, 12, module_mm=1.27).name == pinion.name
    assert gear_on_hand(shipped, 60, diametral_pitch=20).face_width_mm == 12.7
    assert gear_on_hand(shipped, 18, diametral_pitch=20).role == "pinion"
    assert gear_on_hand(shipped, 18, diametral_pitch=20, role="gear").role == "gear"
    assert gear_on_hand(shipped, 40, diametral_pitch=20, pressure_angle_deg=14.5).pressure_angle_deg == 14.5
    assert shipped.find_gear(12, diametral_pitch=7) is None
    assert shipped.find_gear(83, diametral_pitch=20) is None
    # look-alikes stay apart: module 0.8 is no diametral pitch 32, module 1.25 no diametral pitch 20
    assert gear_on_hand(shipped, 40, module_mm=0.8).name != gear_on_hand(shipped, 40, diametral_pitch=32).name
    assert gear_on_hand(shipped, 40, module_mm=1.25).name != gear_on_hand(shipped, 40, diametral_pitch=20).name


def test_a_gear_needs_one_size(shipped: Catalog) -> None:
    with pytest.raises(ValueError, match="diametral pitch or a module"):
        shipped.find_gear(20)


def test_every_count_on_hand_can_be_had(shipped: Catalog) -> None:
    pitches: list[dict[str, float]] = [{"diametral_pitch": pitch} for pitch in (20, 24, 32)]
    for size in pitches + [{"module_mm": module} for module in (0.8, 1, 1.25, 1.5)]:
        counts = shipped.tooth_counts(**size)
        assert counts == tuple(sorted(set(counts)))
        assert {12, 17, 18, 40, 60} <= set(counts)
        assert all(gear_on_hand(shipped, count, **size).teeth == count for count in counts)


def test_a_row_of_the_team_takes_the_place_of_ours(overlaid: Overlay, shipped: Catalog, tmp_path: Path) -> None:
    catalog = overlaid(shafts=OWN_SHAFT)
    row = catalog.shaft("round-8mm")
    assert row.section.across_mm == 7.98
    assert (row.source, row.standing) == ("calliper, our bench, 2025", Standing.MEASURED)
    assert row.file == str(tmp_path / "shafts.toml")
    assert catalog.shaft("round-6mm") == shipped.shaft("round-6mm")
    assert shipped.shaft("round-8mm").section.across_mm == 8
    assert shipped.shaft("round-8mm").file == "shafts.toml (shipped)"


def test_standings_of_single_values(shipped: Catalog) -> None:
    motor = shipped.motor("nema-17")
    assert motor.standing_for("body_length_mm") is Standing.INVENTED
    assert motor.standing_for("pilot_diameter_mm") is Standing.HANDBOOK
    assert shipped.bearing("608").standing_for("dynamic_n") is Standing.HANDBOOK
    assert shipped.bearing("R8").standing_for("dynamic_n") is Standing.FROM_MEMORY
    assert shipped.bearing("R8").standing_for("bore_in") is Standing.STANDARD


def test_an_unknown_table_is_a_key_error(shipped: Catalog) -> None:
    with pytest.raises(KeyError):
        shipped.table("wheels")
    assert all(shipped.table(table) for table in TABLES)


def test_thread_and_hole_words(shipped: Catalog) -> None:
    screw = shipped.fastener("M5")
    assert (screw.hole_mm("close"), screw.hole_mm(), screw.hole_mm("loose")) == (5.3, 5.5, 5.8)
    assert screw.nut_corners_mm == pytest.approx(9.2376, abs=1e-4)  # geometry
    with pytest.raises(ValueError, match="close"):
        screw.hole_mm("sloppy")


def test_a_calibration_by_name_comes_before_one_by_family(overlaid: Overlay) -> None:
    def coupon(of: str, kerf: float) -> str:
        return (
            f"[[cutter.ours.calibration]]\n{of}\nkerf_mm = {kerf}\ntaper_mm_per_mm = 0\nfits = {{screw_mm = 0}}\n"
            'dated = "2025-09-30"\nmeasured_by = "us"\nstanding = "measured here"\n'
        )

    catalog = overlaid(
        cutters='[cutter.ours]\nprocess = "co2 laser"\nbed_x_mm = 600\nbed_y_mm = 400\n'
        'source = "our coupon"\nstanding = "measured here"\n'
        + coupon('family = "acetal"\nthickness_mm = [2, 10]', 0.3)
        + coupon('material = "acetal-6mm"', 0.1)
    )
    cutter = catalog.cutter("ours")

    def kerf(material: Material) -> float | None:
        found = cutter.calibration_for(material)
        return found.kerf.mean_mm if found else None

    assert kerf(catalog.material("acetal-6mm")) == 0.1
    assert kerf(catalog.material("acetal-3mm")) == 0.3
    assert kerf(catalog.material("acrylic-6mm")) is None
    assert [layer.meaning for layer in cutter.layers] == ["etch", "inner", "outer"]
    assert cutter.layer("outer").name == "outer"


def test_asking_for_a_motor_loads_no_heavy_library() -> None:
    code = (
        "import sys; from gearplate.catalog import load_catalog, profiles_folder; "
        "load_catalog([profiles_folder()]).motor('generic-a'); "
        "heavy = {'numpy', 'shapely', 'ezdxf', 'pydantic', 'gearplate.catalog.cutters'}; "
        "print(sorted(heavy & set(sys.modules)))"
    )
    root = Path(__file__).parents[2]
    result = subprocess.run([sys.executable, "-c", code], cwd=root, capture_output=True, text=True, check=True)
    assert result.stdout.strip() == "[]"


def test_a_folder_may_hold_some_tables_only(tmp_path: Path) -> None:
    (tmp_path / "shafts.toml").write_text(OWN_SHAFT)
    alone = load_catalog([tmp_path])
    assert list(alone.shafts()) == ["round-8mm"]
    assert dict(alone.motors()) == {}
    assert (profiles_folder() / "motors.toml").is_file()


def test_an_installed_package_finds_its_own_tables(tmp_path: Path) -> None:
    """In a wheel the tables lie inside the package; beside it there is nothing."""
    root = Path(__file__).parents[2]
    no_cache = shutil.ignore_patterns("__pycache__")
    shutil.copytree(root / "gearplate", tmp_path / "gearplate", ignore=no_cache)
    shutil.copytree(root / "profiles", tmp_path / "gearplate" / "profiles", ignore=no_cache)
    code = "from gearplate.catalog import profiles_folder; print(profiles_folder())"
    result = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=True)
    assert Path(result.stdout.strip()) == (tmp_path / "gearplate" / "profiles").resolve()
    shutil.rmtree(tmp_path / "gearplate" / "profiles")
    broken = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert "the tables that ship with gearplate are missing" in broken.stderr


def test_long_tips_of_a_small_gear_tell_its_shift_where_its_row_does_not(overlaid: Overlay) -> None:
    row = """
[gear.{name}]
diametral_pitch = 16
pressure_angle_deg = 20
teeth = [{teeth}]
role = "pinion"
tip_diameter_in = {tip}
face_width_mm = 12
bores = [{{round_mm = 8}}]
material = "steel"
source = "bench"
standing = "measured here"
{more}
"""
    table = "[sources]\nbench = 'calliper'\n"
    table += row.format(name="long", teeth=10, tip="'13/16'", more="")  # (10 + 2 + 2 x 0.5) / 16 in
    table += row.format(name="said", teeth=11, tip="'7/8'", more="profile_shift = 0.4")
    table += row.format(name="short", teeth=12, tip="0.86", more="")
    table += row.format(name="large", teeth=40, tip="2.65", more="")
    gears = overlaid(gears=table).gears()
    assert gears["long"].pattern.profile_shift == pytest.approx(0.5, abs=1e-6)
    assert [gears[name].pattern.profile_shift for name in ("said", "short", "large")] == [0.4, 0.0, 0.0]
