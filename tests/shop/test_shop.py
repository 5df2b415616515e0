"""One cutter with one material: kerf, fits, what it refuses."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearplate.catalog import Catalog, load_catalog, profiles_folder
from gearplate.catalog.cutters import Kerf
from gearplate.errors import JobError
from gearplate.finding import Standing
from gearplate.shop import FitError, NoCalibration, Shop, shop_for


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load_catalog([profiles_folder()])


def shop(catalog: Catalog, cutter: str = "demo", material: str = "acetal-6mm", **more: float) -> Shop:
    return shop_for(catalog.cutter(cutter), catalog.material(material), **more)


def test_a_shop_knows_what_was_measured(catalog: Catalog) -> None:
    found = shop(catalog)
    assert (found.kerf_x_mm, found.kerf_y_mm, found.kerf_mm) == (0.2, 0.2, 0.2)
    assert (found.path_kerf_x_mm, found.path_kerf_y_mm) == (0.2, 0.2)
    assert (found.scale_x, found.scale_y, found.compensates) == (1, 1, False)
    assert (found.thickness_mm, found.measured) == (6, False)
    assert found.kerf_standing is Standing.INVENTED
    assert found.calibration.dated == "2025-09-30"
    assert found.wider_mm(28.535) == pytest.approx(28.535 + 6 * 0.01)


def test_the_measured_thickness_is_the_one_in_use(catalog: Catalog) -> None:
    found = shop(catalog, measured_mm=6.35)
    assert (found.thickness_mm, found.measured) == (6.35, True)
    assert shop(catalog, thickness_mm=6.2).thickness_mm == 6.2
    assert not shop(catalog, thickness_mm=6.2).measured
    with pytest.raises(ValueError, match="thickness"):
        shop(catalog, measured_mm=0.0)


def test_kerf_by_axis(catalog: Catalog) -> None:
    found = shop(catalog, "demo-axis")
    assert (found.kerf_x_mm, found.kerf_y_mm, found.kerf_mm) == (0.26, 0.14, 0.2)


def test_a_machine_that_compensates_wants_finished_sizes(catalog: Catalog) -> None:
    found = shop(catalog, "demo-machine-compensates")
    assert found.compensates
    assert (found.path_kerf_x_mm, found.path_kerf_y_mm) == (0, 0)
    assert found.kerf_mm == 0.2


def test_a_kerf_of_the_jobs_own(catalog: Catalog) -> None:
    found = shop(catalog, kerf_mm=0.17)
    assert found.kerf == Kerf(0.17, 0.17, 0.02)
    assert found.kerf_standing is Standing.MEASURED


def test_allowances_by_seat(catalog: Catalog) -> None:
    acetal = shop(catalog)
    assert acetal.presses_bearings
    assert acetal.allowance_mm("bearing") == acetal.allowance_mm("bearing_press") == -0.04
    assert acetal.allowance_mm("pilot") == 0.2
    assert acetal.allowance_mm("screw") == 0
    assert acetal.allowance_mm("free") == 0
    with pytest.raises(ValueError, match="no seat"):
        acetal.allowance_mm("bearings")


def test_acrylic_slips_where_acetal_presses(catalog: Catalog) -> None:
    acrylic = shop(catalog, material="acrylic-6mm")
    assert not acrylic.presses_bearings
    assert acrylic.allowance_mm("bearing") == 0.08
    with pytest.raises(NoCalibration) as caught:
        acrylic.allowance_mm("bearing_press")
    assert caught.value.known == ("bearing_slip", "pilot", "screw")


def test_a_press_that_was_calibrated_is_still_not_for_acrylic(catalog: Catalog) -> None:
    cutter, acrylic = catalog.cutter("demo"), catalog.material("acrylic-6mm")
    entry = cutter.calibration_for(acrylic)
    assert entry is not None
    pressed = replace(entry, fits=(("bearing_press", -0.03), *entry.fits))
    found = shop_for(replace(cutter, calibrations=(pressed,)), acrylic)
    assert not found.presses_bearings
    assert found.allowance_mm("bearing") == 0.08


def test_finished_sizes(catalog: Catalog) -> None:
    found = shop(catalog)
    assert found.finished_mm(28.575, "bearing") == pytest.approx(28.535)
    assert found.finished_mm(28.575, "bearing", fit_mm=-0.01) == pytest.approx(28.565)
    assert found.finished_mm(28.575, "bearing", fit_class="N7") == pytest.approx(28.5575)  # middle of -28 to -7 um
    assert found.finished_mm(20, "pilot") == pytest.approx(20.2)
    assert found.finished_mm(5.5, "screw") == 5.5
    with pytest.raises(FitError):
        found.finished_mm(28.575, "bearing", fit_class="g6")


def test_an_uncalibrated_material_is_refused_and_the_known_ones_named(catalog: Catalog) -> None:
    with pytest.raises(NoCalibration) as caught:
        shop(catalog, "demo-axis", "acrylic-6mm")
    error = caught.value
    assert error.known == ("acetal 2.5 to 7 mm",)
    assert "never calibrated" in str(error)
    problem = error.at("drive.toml", 4, "material")
    assert (problem.file, problem.line, problem.key, problem.value) == ("drive.toml", 4, "material", "'acrylic-6mm'")
    assert isinstance(error, JobError)


def test_a_process_that_does_not_cut_the_material_is_said(catalog: Catalog) -> None:
    with pytest.raises(NoCalibration, match="fibre laser or router or waterjet does"):
        shop(catalog, "demo", "aluminium-6mm")
    assert shop(catalog, "demo-fibre", "aluminium-6mm").kerf_mm == 0.25


def test_what_must_never_be_cut_has_no_shop(catalog: Catalog) -> None:
    with pytest.raises(JobError, match="hydrogen chloride"):
        shop(catalog, "demo", "pvc-3mm")


def test_scale_is_corrected_only_where_the_cutter_asks(catalog: Catalog) -> None:
    cutter = replace(catalog.cutter("demo"), cut_per_drawn_x=1.002, cut_per_drawn_y=0.999)
    material = catalog.material("acetal-6mm")
    assert shop_for(cutter, material).scale_x == 1
    corrected = shop_for(replace(cutter, correct_scale=True), material)
    # a 100 mm line drawn 100 * scale comes out 100 mm long
    assert corrected.scale_x * 1.002 == pytest.approx(1)
    assert corrected.scale_y * 0.999 == pytest.approx(1)
