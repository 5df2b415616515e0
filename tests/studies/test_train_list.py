"""The list of trains for whole jobs: counts that add up, bounds under real plates, cures that hold."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from gearplate.errors import NoSolution, UsageError
from gearplate.gears.trains import Stage, Train
from gearplate.job.load import load_job
from gearplate.layout.solve import solve_layout
from gearplate.layout.static_filter import static_misses
from gearplate.studies.train_ask import TrainAsk, asked
from gearplate.studies.train_list import list_job_trains

SMALL = {0: (30, 36, 40, 48, 54, 60, 66, 72, 78, 84)}


@pytest.fixture(scope="module")
def drive():
    return load_job("compost-drive")


def test_every_train_found_is_listed_or_dropped_for_a_reason(drive):
    ask = TrainAsk(drivers={0: (18, 24, 30, 36)}, driven=SMALL, within=Fraction(1, 10))
    report = list_job_trains(drive, ask, top=1000)
    (tally,) = report.tallies
    wanted = [
        Train((Stage(12, a), Stage(b, c)))
        for a in SMALL[0]
        for b in (18, 24, 30, 36)
        for c in SMALL[0]
        if c > b and abs(Fraction(a * c, 12 * b) / Fraction(45, 4) - 1) <= Fraction(1, 10)
    ]
    assert tally.searched == len(SMALL[0]) * sum(c > b for b in (18, 24, 30, 36) for c in SMALL[0])
    assert tally.found == len(wanted)
    assert len(report.rows) == tally.found - tally.dropped
    assert sum(count for _, count in report.dropped) == tally.dropped > 0
    assert sum(count for _, count in report.cures) == tally.cured == sum(row.cure is not None for row in report.rows)
    off = [abs(row.off) for row in report.rows]
    assert off == sorted(off)
    every = list_job_trains(drive, ask, top=1000, filtered=False)
    assert {row.train for row in every.rows} == set(wanted)
    assert {row.train for row in report.front} == {row.train for row in report.rows if row.in_front}


def test_dropped_and_cured_trains_are_so_in_the_job_itself(drive):
    ask = TrainAsk(drivers={0: (18, 24, 30, 36)}, driven=SMALL, within=Fraction(1, 10))
    what = asked(drive, ask)
    kept = {row.train: row.cure for row in list_job_trains(drive, ask, top=1000).rows}
    for row in list_job_trains(drive, ask, top=1000, filtered=False).rows[::3]:
        misses = static_misses(what.layout_spec(row.train))
        if row.train not in kept:
            assert misses
        elif (cure := kept[row.train]) is None:
            assert not misses
        else:
            assert misses
            assert not static_misses(what.layout_spec(row.train, dict(cure.set)))
            # The keys of a cure are those of a job file.
            changed = drive.changed(dict(cure.set)).layout_spec
            assert changed.shafts != drive.layout_spec.shafts


def test_no_plate_is_smaller_than_the_bound(drive):
    from shapely import union_all
    from shapely.geometry import Point

    ask = TrainAsk(drivers={0: (24, 32)}, driven={0: (60, 72)}, within=Fraction(1, 2))
    tried = 0
    what = asked(drive, ask)
    for row in list_job_trains(drive, ask, ("size",), top=50).rows:
        spec = what.layout_spec(row.train)
        try:
            layout = solve_layout(spec)
        except NoSolution:
            continue
        discs = [
            Point(hole.x_mm, hole.y_mm).buffer(0.5 * hole.part_diameter_mm + spec.margin_mm, 64)
            for hole in layout.holes
        ]
        assert row.size_mm2 < union_all(discs).convex_hull.area
        tried += 1
    assert tried >= 2


def test_idlers_are_variants_after_their_train(drive):
    report = list_job_trains(drive, TrainAsk(idlers={2: (24, 30)}), top=3, filtered=False)
    assert report.variants_of_each == 2
    plain = [row for row in report.rows if not row.train.stages[1].idlers]
    assert len(plain) == 3
    first, variant = report.rows[:2]
    assert variant.train.stages[1] == first.train.stages[1]._replace(idlers=(24,))
    assert (variant.off, variant.size_mm2) == (first.off, None)
    assert variant.distinct == first.distinct + 1
    assert variant.weight_g > first.weight_g
    # 72 teeth on S1 run over the shaft of an idler of 24 behind 32 teeth: 46.99 mm of tip at 35.6 mm; not one of 72.
    small, large = (list_job_trains(drive, TrainAsk(idlers={2: teeth}), top=1) for teeth in ((24,), (72,)))
    assert len(small.rows) == 1
    assert large.rows[1].train.stages[1].idlers == (72,)


def test_gears_of_the_drawer_go_first(drive):
    report = list_job_trains(drive, TrainAsk(on_hand=(12, 32, 60, 72), within=Fraction(1, 100)), ("on-hand",), top=2)
    best = report.rows[0]
    assert (best.train, best.not_on_hand) == (Train((Stage(12, 72), Stage(32, 60))), 0)
    assert report.rows[1].not_on_hand > 0


def test_gears_of_a_table_beside_the_job_are_on_hand(tmp_path):
    """61 teeth are in no shipped row; the team has them."""
    (tmp_path / "profiles").mkdir()
    (tmp_path / "profiles" / "gears.toml").write_text(
        '[gear.drawer]\ndiametral_pitch = 20\npressure_angle_deg = 20\nteeth = [61]\nrole = "gear"\n'
        'face_width_in = 0.5\nbores = [{hex_in = 0.5}]\nmaterial = "steel"\n'
        'source = "our own drawer"\nstanding = "measured here"\n'
    )
    (tmp_path / "job.toml").write_text('format = 1\nbase = "compost-drive"\n')
    ask = TrainAsk(drivers={0: (32,)}, driven={0: (60, 61)}, within=Fraction(1, 2))
    rows = list_job_trains(load_job(tmp_path / "job.toml"), ask, top=10, filtered=False).rows
    assert len(rows) == 4
    for row in rows:
        assert row.not_on_hand == 4 - [stage.driven for stage in row.train.stages].count(61)


def test_output_speeds_are_taken_at_free_speed(drive):
    free = Fraction(str(drive.catalog.motor("generic-a").curve.free_speed_rpm))
    report = list_job_trains(drive, TrainAsk(output_rpm=(free / 12, free / 10)), top=1)
    assert (report.window.low, report.window.high, report.window.target) == (10, 12, 11)


def test_sizes_of_teeth_by_stage(drive):
    report = list_job_trains(drive, TrainAsk(modules={2: 1.5}), ("size",), top=5)
    what = asked(drive, TrainAsk(modules={2: 1.5}))
    for row in report.rows:
        needs = what.layout_spec(row.train).train.stages
        assert [stage.driven.system.module_mm for stage in needs] == [1.27, 1.5]


def test_a_wish_with_open_pinions():
    job = load_job("sprayer-metric")
    report = list_job_trains(job, TrainAsk(pinions=(10, 11)), top=4)
    assert {row.train.stages[0].driver for row in report.rows} <= {10, 11}
    assert math.isclose(float(report.window.target), float(_own(job)))


def _own(job):
    spec = job.layout_spec
    down = [spec.motors[0].pinion.teeth, *(stage.driver.teeth for stage in spec.train.stages[1:])]
    return Fraction(math.prod(stage.driven.teeth for stage in spec.train.stages), math.prod(down))


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (TrainAsk(ratio=Fraction(9), low=Fraction(8), high=Fraction(9)), "or the least and the greatest"),
        (TrainAsk(low=Fraction(8)), "both the least and the greatest"),
        (TrainAsk(low=Fraction(8), high=Fraction(7)), "in order"),
        (TrainAsk(within=Fraction(3)), "tolerance"),
        (TrainAsk(output_rpm=(Fraction(0), Fraction(7))), "above zero"),
        (TrainAsk(modules={2: 1.37}), "no driver to choose from for stage 2"),
        (
            TrainAsk(stage_counts=(4,), drivers={0: tuple(range(10, 401))}, driven={0: tuple(range(10, 401))}),
            "too many to hold",
        ),
    ],
)
def test_asks_that_contradict_themselves(drive, ask, words):
    with pytest.raises(UsageError, match=words):
        list_job_trains(drive, ask)
