from __future__ import annotations

from pathlib import Path

import pytest

from gearplate.errors import FileError, JobError
from gearplate.job.base import shipped_jobs
from gearplate.job.load import load_job, load_job_text

STANDARD = """
format = 1
part = "standard"
cutter = "demo"
material = "acetal-6mm"
units = "inch"
diametral_pitch = 20
wheel = {diameter = 4, width = 1.25}
stages = [{driven = 72}, {driver = 32, driven = 60}]
motors = {type = "generic-a", count = 3, pinion = 12}
limits = {height = 9}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "standard.toml").write_text(STANDARD)
    return tmp_path


def write(folder: Path, text: str, name: str = "job.toml") -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)
    return path


def test_tables_merge_key_by_key_and_lists_are_replaced(folder: Path) -> None:
    text = 'base = "standard.toml"\nunits = "mm"\nwheel.diameter = 127\nstages = [{driven = 80}]\nmotors.count = 2\n'
    spec = load_job(write(folder, text)).layout_spec
    assert (spec.wheel.diameter_mm, spec.wheel.width_mm) == (127.0, pytest.approx(31.75))  # 1.25 x 25.4
    assert [stage.driven.teeth for stage in spec.train.stages] == [80]
    assert len(spec.motors) == 2
    assert spec.motors[0].pinion.teeth == 12
    assert spec.limits.height_mm == pytest.approx(228.6)  # 9 x 25.4


def test_bare_numbers_are_in_the_units_of_the_file_in_which_they_stand(folder: Path) -> None:
    write(folder, 'base = "standard.toml"\nunits = "mm"\nwheel.clear = 4\n', "middle.toml")
    spec = load_job(write(folder, 'base = "middle.toml"\nunits = "inch"\nwheel.gap = 0.25\n')).layout_spec
    assert spec.wheel.diameter_mm == pytest.approx(101.6)
    assert spec.wheel.clear_mm == 4.0
    assert spec.wheel.gap_mm == pytest.approx(6.35)


def test_a_file_without_units_has_those_of_its_base_and_says_so(folder: Path) -> None:
    job = load_job(write(folder, 'base = "standard.toml"\nwheel.diameter = 5\n'))
    assert job.layout_spec.wheel.diameter_mm == pytest.approx(127.0)
    assert ("units (as in its base)", "inch") in [(one.key, one.value) for one in job.assumptions]
    alone = load_job_text(
        STANDARD.replace('units = "inch"\n', "").replace("diameter = 4, width = 1.25", "diameter = 100"),
        sets=["limits.height=200"],
    )
    assert alone.units == "mm"
    assert ("units", "mm") in [(one.key, one.value) for one in alone.assumptions]


def test_drop_takes_away(folder: Path) -> None:
    job = load_job(write(folder, 'base = "standard.toml"\ndrop = ["limits.height", "wheel.width"]\n'))
    assert job.layout_spec.limits.height_mm is None
    assert job.layout_spec.wheel.width_mm == 25.4  # the default again


def test_drop_acts_before_the_file_itself(folder: Path) -> None:
    text = 'base = "standard.toml"\ndrop = ["stages", "limits"]\nstages = [{driven = 66}]\nlimits.width = 8\n'
    spec = load_job(write(folder, text)).layout_spec
    assert spec.train.stages[0].driven.teeth == 66
    assert spec.limits.height_mm is None
    assert spec.limits.width_mm == pytest.approx(203.2)


def test_paths_count_from_the_file_that_names_them(folder: Path) -> None:
    write(folder, 'base = "../standard.toml"\n', "season/spring.toml")
    job = load_job(write(folder, 'base = "../season/spring.toml"\npart = "mine"\n', "mine/job.toml"))
    assert job.identity.part == "mine"
    assert job.name == "job"


def test_an_error_names_the_file_in_which_the_value_stands(folder: Path) -> None:
    write(folder, STANDARD.replace("driven = 72", "driven = 7200"), "standard.toml")
    with pytest.raises(JobError) as caught:
        load_job(write(folder, 'base = "standard.toml"\nwheel.diametr = 5\n'))
    first, second = sorted(caught.value.problems, key=lambda problem: problem.file)
    assert (Path(first.file).name, first.line, first.key) == ("job.toml", 2, "wheel.diametr")
    assert (Path(second.file).name, second.line, second.key) == ("standard.toml", 9, "stages[0].driven")


def test_faults_of_the_chain_come_in_one_report(folder: Path) -> None:
    write(folder, 'base = "standard.toml"\ndrop = ["wheel.colour"]\n', "middle.toml")
    with pytest.raises(JobError) as caught:
        load_job(write(folder, 'base = "middle.toml"\nunits = "cm"\n'))
    assert {(Path(problem.file).name, problem.key) for problem in caught.value.problems} == {
        ("middle.toml", "drop[0]"),
        ("job.toml", "units"),
    }


def test_a_shipped_job_is_a_base_by_its_name_and_loads_by_it(folder: Path) -> None:
    assert "compost-drive" in shipped_jobs()
    job = load_job(write(folder, 'base = "compost-drive"\npart = "mine"\n'))
    assert job.layout_spec.train == load_job("compost-drive").layout_spec.train


def test_a_file_that_starts_from_itself_is_a_loop(folder: Path) -> None:
    with pytest.raises(JobError, match="loop"):
        load_job(write(folder, 'base = "./job.toml"\n'))


def test_a_longer_loop_does_not_end_either(folder: Path) -> None:
    for number in range(3):
        write(folder, f'base = "part-{(number + 1) % 3}.toml"\n', f"part-{number}.toml")
    with pytest.raises(JobError, match=r"part-0\.toml -> .*part-1\.toml -> .*part-2\.toml -> .*part-0\.toml"):
        load_job(folder / "part-0.toml")


def test_a_base_that_cannot_be_read_is_a_problem_of_the_file_that_names_it(folder: Path) -> None:
    for base in ("nowhere.toml", "..", "/dev/null/x.toml"):
        with pytest.raises(JobError) as caught:
            load_job(write(folder, f'format = 1\nbase = "{base}"\n'))
        assert caught.value.problems[0].line == 2


def test_a_job_that_is_not_there_is_an_error_of_the_file() -> None:
    with pytest.raises(FileError):
        load_job("no-such-job.toml")


def test_a_newer_base_is_refused_in_those_words(folder: Path) -> None:
    write(folder, "format = 3\n", "standard.toml")
    with pytest.raises(JobError, match="needs a newer gearplate"):
        load_job(write(folder, 'base = "standard.toml"\n'))


def test_text_without_a_folder_has_only_the_shipped_jobs() -> None:
    with pytest.raises(JobError, match="no folder"):
        load_job_text('base = "standard.toml"\n')
    assert load_job_text('base = "compost-drive"\npart = "x"\n').identity.part == "x"


MATERIALS = """
[material.acetal-6mm]
family = "acetal"
thickness_mm = {thickness}
thickness_span_mm = [5, 7]
processes = ["co2 laser"]
cte_per_k = [1e-4, 1e-4]
moisture_swelling_percent = [0.1, 0.2]
youngs_modulus_gpa = [2.5, 3]
density_kg_m3 = [1400, 1420]
bearing_stress_mpa = [20, 40]
press_fit = {{under_low_mm = 0, under_high_mm = 0.08}}
cautions = ["invented for a test"]
source = "invented for a test"
standing = "invented"
"""


def test_a_folder_of_tables_beside_the_file_or_named_in_it_is_laid_over(folder: Path) -> None:
    plain = load_job(write(folder, 'base = "standard.toml"\n'))
    assert plain.layout_spec.outboard.nominal_mm == 6.0
    write(folder, MATERIALS.format(thickness=5.8), "profiles/materials.toml")
    assert load_job(folder / "job.toml").layout_spec.outboard.nominal_mm == 5.8
    # The named one is laid over the one beside the file; other rows of the shipped tables stay.
    write(folder, MATERIALS.format(thickness=6.2), "ours/materials.toml")
    named = load_job(write(folder, 'base = "standard.toml"\nprofiles = "ours"\n'))
    assert named.layout_spec.outboard.nominal_mm == 6.2
    assert "birch-ply-6mm" in named.catalog.materials()
    # A job elsewhere that starts from this one has its tables too.
    other = load_job(write(folder, f'base = "{folder.as_posix()}/job.toml"\n', "elsewhere/job.toml"))
    assert other.layout_spec.outboard.nominal_mm == 6.2


def test_a_folder_of_tables_that_is_not_there_is_told(folder: Path) -> None:
    with pytest.raises(JobError, match="no such folder"):
        load_job(write(folder, 'base = "standard.toml"\nprofiles = "ours"\n'))


def test_a_wrong_table_is_reported_with_its_own_file(folder: Path) -> None:
    write(folder, "[material.x]\nfamily = 3\n", "profiles/materials.toml")
    with pytest.raises(JobError) as caught:
        load_job(write(folder, 'base = "standard.toml"\n'))
    assert all(problem.file.endswith("materials.toml") for problem in caught.value.problems)


def test_what_cannot_be_laid_over_is_told_and_not_passed_by(folder: Path) -> None:
    job = write(folder, 'base = "standard.toml"\n')
    (folder / "profiles").write_text("")
    with pytest.raises(JobError, match="`profiles` is no folder"):
        load_job(job)
    (folder / "profiles").unlink()
    (folder / "profiles" / "motors.toml").mkdir(parents=True)
    with pytest.raises(JobError, match=r"motors\.toml: This is no file"):
        load_job(job)
    (folder / "profiles" / "motors.toml").rmdir()
    load_job(job)


def test_a_tolerance_of_nothing_is_not_told_as_a_ratio(folder: Path) -> None:
    with pytest.raises(JobError, match="not between one millionth and one million") as caught:
        load_job(
            "compost-drive",
            [
                "reduction={ratio=10, within=0.0000001}",
                "stages=null",
            ],
        )
    assert [problem.key for problem in caught.value.problems] == ["reduction.within"]
