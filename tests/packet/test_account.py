"""The account: short, right, and the same on every terminal."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from gearplate.packet.account import account
from gearplate.packet.contents import CUT, MANIFEST, OVERLAY, PAGE, PREVIEW, RECORD, Earlier, Packet, PacketFile
from gearplate.packet.differences import difference_lines
from tests.builders.records import finding, meshes, record


def packet(one: dict[str, Any], earlier: Earlier | None = None) -> Packet:
    """What a build of this record leaves; `earlier`: the last one that could be cut."""
    cut = [
        PacketFile(plate["file"], CUT, holes_found=len(plate["features"]), holes_asked=len(plate["features"]))
        for plate in one["plates"]
        if plate["file"]
    ]
    other = [PacketFile("preview.svg", PREVIEW), PacketFile("overlay.svg", OVERLAY), PacketFile("index.html", PAGE)]
    last = PacketFile("design.json", RECORD), PacketFile("manifest.json", MANIFEST)
    changes = None if earlier is None else difference_lines(earlier.record, one)
    return Packet("out/compost-drive", (*cut, *other, *last), one, earlier, changes)


def last_build(kept: bool = False, **changes: Any) -> Earlier:
    return Earlier(record(**changes), b"", kept)


def test_a_build_is_told_in_forty_lines() -> None:
    one = record()
    text = account(one, packet(one))
    assert text.count("\n") <= 40
    assert max(map(len, text.splitlines())) <= 100
    counts = [len(plate["features"]) for plate in one["plates"]]
    assert counts == [16, 13]
    assert "Holes found again: outboard right 16 of 16, inboard right 13 of 13.\n" in text
    assert "\n3 checks ran, 212 comparisons, 0 findings.\n" in text
    assert "for programs  design.json, manifest.json\n" in text
    for word in ("index.html", "overlay.svg", "design.json", "compost-drive-A-inboard-right-acetal-6.35mm-inch.dxf"):
        assert word in text
    for topic in ("acetal:", "fire:", "fumes:", "pinch points:", "first spin:", "trained operator"):
        assert topic in text


def test_files_with_equally_many_holes_are_told_together() -> None:
    one = record()
    both = replace(
        packet(one), files=tuple(replace(file, holes_found=18, holes_asked=18) for file in packet(one).files)
    )
    assert "18 of 18 holes found again in each of the two cut files.\n" in account(one, both)


def test_each_centre_distance_in_both_units() -> None:
    # (12 + 72) / 40 in = 53.340 mm, (32 + 60) / 40 in = 58.420 mm, each with 0.05 mm added: by hand
    text = account(record())
    assert "12 on 72  6.0000  2.1020 in (53.390 mm)" in text
    assert "32 on 60  1.8750  2.3020 in (58.470 mm)" in text
    assert "M1, M2 and M3 to S1" in text


def test_a_check_writes_the_sums_out() -> None:
    text = account(record())
    assert "(12 + 72) / (2 × 20) = 2.1000 in; + 0.0020 in added = 2.1020 in" in text
    assert "(32 + 60) / (2 × 20) = 2.3000 in; + 0.0020 in added = 2.3020 in" in text
    assert "Files in" not in text
    assert "(12 + 72) / (2 × 20)" not in account(record(), packet(record()))


def test_a_check_tells_what_is_assumed_and_a_build_does_not() -> None:
    checked, built = account(record(), width=200), account(record(), packet(record()), width=200)
    assert "  move or size holes: added_centre = 0.05 mm\n  decide what fits: wheel.clear = 3 mm\n" in checked
    assert "assumed" not in built


def shifted_mesh() -> dict[str, Any]:
    """Module 3, 12 and 24 teeth, 20 degrees, x = 0.6 and 0.36: the classic profile-shifted pair of the handbook
    "Elements of Metric Gear Technology", section 4.6: centre distance 56.500 mm, working angle 26.0886 degrees,
    inv = 0.034316 (figures as printed in a worked table of the same example)."""
    return meshes()[0] | {
        "driver_teeth": 12, "driven_teeth": 24, "module_mm": 3.0, "profile_shift": [0.6, 0.36],
        "added_centre_mm": 0.0, "centre_mm": 56.49987, "reference_centre_mm": 54.0, "zero_backlash_centre_mm": 56.49987,
    }  # fmt: skip


def test_the_sum_with_profile_shift_is_that_of_the_handbook() -> None:
    text = account(record(train={"ratio": 2.0, "meshes": [shifted_mesh()]}, drawn_units="mm"), width=200)
    assert "3 mm × (12 + 24) / 2 = 54.000 mm without shift" in text
    assert "inv a' = inv a + 2 × (0.6 + 0.36) × tan a / (12 + 24) = 0.014904 + 1.92 × 0.363970 / 36 = 0.034316" in text
    assert "so a' = 26.0886°" in text
    assert "54.000 mm × cos 20° / cos a' = 56.500 mm" in text
    assert "added" not in next(line for line in text.splitlines() if "cos a'" in line)


def test_a_number_of_the_sum_is_the_sum_of_the_numbers() -> None:
    line = next(line for line in account(record()).splitlines() if "(12 + 72)" in line)
    first, rest = line.split(";")
    assert math.isclose(eval(first.split("=")[0].replace("×", "*")), float(first.split("=")[1].split()[0]))
    added, total = rest.split("=")
    assert float(first.split("=")[1].split()[0]) + float(added.split()[1]) == float(total.split()[0])


def test_shafts_stand_closer_than_without_play() -> None:
    mesh = meshes()[0] | {"added_centre_mm": -0.1, "centre_mm": 53.24}
    text = account(record(train={"ratio": 6.0, "meshes": [mesh]}), width=200)
    assert "(12 + 72) / (2 × 20) = 2.1000 in; − 0.0039 in, placed nearer, = 2.0961 in" in text


def test_the_same_change_is_told_once() -> None:
    one = record(status="refused", findings=[finding(plate="outboard"), finding(plate="inboard")])
    text = account(one, packet(one), width=300)
    assert text.count("Turn S1 to 118 degrees.") == 1
    assert "change: as for 1" in text


def test_cautions_stand_where_something_was_cut() -> None:
    one = record(status="refused", findings=[finding(plate="outboard")])
    assert "Cautions." in account(record(), packet(record()))
    made = packet(one)
    pictures_only = replace(made, files=tuple(file for file in made.files if file.role != CUT))
    assert "Cautions." not in account(one, pictures_only)
    assert "that is cut has moved" in account(record(), packet(record(), last_build()))
    assert "that is cut has moved" not in account(one, packet(one, last_build()))


def test_a_finding_has_four_parts() -> None:
    one = record(status="refused", findings=[finding(plate="outboard")])
    text = account(one, packet(one), width=300)
    assert "1. ERROR gear-to-body at S1, standoff-2, outboard plate" in text
    assert "The 72-tooth gear of S1 runs into standoff-2." in text
    assert "there is -0.412 mm; it needs at least 1.000 mm (common practice, no source)" in text
    assert (
        "Turn S1 to 118 degrees. Set places.S1.angle = 118. (tried: this finding goes, and no new error comes)" in text
    )
    assert "gearplate explain gear-to-body" in text
    assert "1 finding (1 error)" in text
    assert "no cut file was made" in text
    assert "holes found again" not in text


def test_advice_in_words_is_not_told_as_untried() -> None:
    text = account(record(findings=[finding(set={}, tried=False)]), width=300)
    assert "change: Turn S1 to 118 degrees." in text
    assert "tried" not in text


def test_stages_are_counted_alike_and_a_motor_of_a_group_is_explained() -> None:
    sets = {"stages[0].driven": 74, "motors.M2.side": "inboard", "shafts.S1.outboard": None}
    text = account(record(findings=[finding(set=sets)]), width=400)
    assert 'Set stages[0].driven = 74, motors.M2.side = "inboard" (stages[0] is stage 1; in the file, M2 needs' in text
    assert "Take shafts.S1.outboard out of the job." in text


def test_what_a_bare_number_counts_is_said() -> None:
    counted = finding() | {"check": "bearing-support", "unit": "", "measured": 1.0, "limit": 2.0}
    assert "there is 1 support; it needs at least 2 supports" in account(record(findings=[counted]))
    screws = counted | {"check": "motor-service", "measured": 2.0, "limit": 0.0}
    assert "there are 2 screws out of reach; it needs" in account(record(findings=[screws]))


def test_a_change_that_nobody_tried_says_so() -> None:
    text = account(record(findings=[finding(tried=False)]), width=300)
    assert "(not tried)" in text
    assert "tried: " not in text


def test_what_a_remedy_sets_is_written_as_in_the_job() -> None:
    changes = {"motors.M2.side": "inboard", "plates.marks": True, "places.S1": {"at": [1.5, 2]}}
    text = account(record(findings=[finding(set=changes)]), width=300)
    assert 'motors.M2.side = "inboard", plates.marks = true, places.S1 = {at = [1.5, 2]}' in text


def test_what_a_build_is_compared_with_is_said_where_it_is_not_the_one_before() -> None:
    said = "Compared with the last build that could be cut (refused or draft ones since):"
    kept = " ".join(account(record(), packet(record(), last_build(kept=True))).split())
    assert f"{said} Nothing that is cut has moved." in kept
    assert "Compared with" not in account(record(), packet(record(), last_build()))


@pytest.mark.parametrize("status", ["refused", "draft"])
@pytest.mark.parametrize("kept", [False, True])
def test_cut_files_that_went_are_named_with_the_command_that_makes_them(status: str, kept: bool) -> None:
    one = record(status=status, findings=[finding()])
    told = " ".join(account(one, packet(one, last_build(kept)), again="gearplate build my.toml --out x").split())
    assert "Taken out of out/compost-drive, so that nobody cuts by mistake" in told
    for plate in record()["plates"]:
        assert plate["file"] in told
    assert "To have them again: `gearplate build my.toml --out x`, with the job file as it was then" in told
    assert "Taken out" not in account(one, packet(one))
    assert "Taken out" not in account(record(), packet(record(), last_build(kept)))


def test_many_findings_are_counted_not_told() -> None:
    many = [finding(message=f"thing {number}") for number in range(40)]
    text = account(record(findings=many))
    assert "40 findings (40 errors)" in text
    assert "and 34 findings more, in the record (--json prints it)" in text
    assert text.count("ERROR") == 6


def test_a_draft_says_so_first() -> None:
    one = record(status="draft", findings=[finding()])
    assert "DRAFT" in account(one, packet(one)).splitlines()[2]


def test_both_hands_are_told_together() -> None:
    one = record("both")
    text = account(one, packet(one))
    assert "outboard right and left  6.750 × 6.238 in" in text
    counts = "outboard right 16 of 16, inboard right 13 of 13, outboard left 16 of 16, inboard left 13 of 13"
    assert f"Holes found again: {counts}." in " ".join(text.split())
    assert "right and left hand" in text


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8", "cp850"])
def test_every_terminal_can_show_it(encoding: str) -> None:
    one = record(job_title="Gärten ✂ عربى", job_part="a\x1b[2J\u202eb", findings=[finding(message="naïve → \x07")])
    text = account(one, packet(one, last_build()), encoding=encoding)
    text.encode(encoding)
    assert not [c for c in text if ord(c) < 32 and c != "\n"]
    assert "\u202e" not in text


def test_a_long_name_adds_no_lines_and_a_line_break_in_it_neither() -> None:
    plain = account(record())
    odd = account(record(job_part="x" * 500, job_title="a\nb\r\nc" * 100))
    assert odd.count("\n") == plain.count("\n")


def test_where_nothing_could_be_laid_out() -> None:
    one = record(
        status="refused", plates=[], shafts=[], gears=[], bodies=[], stack=None, findings=[finding(at=None)],
        train={"ratio": 11.25, "meshes": []},
    )  # fmt: skip
    text = account(one)
    assert "ERROR gear-to-body" in text
    assert "Plates" not in text


def test_what_stands_still_and_what_blocks_carry() -> None:
    one = record()
    one["shafts"][1] |= {"turns": False, "bearings": {"outboard": None, "inboard": None}}
    one["shafts"][0]["carried_by"] = "both"
    text = account(one)
    assert "S1*       -0.9729     2.0863  hex-1/2-in, stands still" in text
    assert "in both plates and blocks" in text


def test_kerf_left_to_the_machine() -> None:
    one = record()
    for plate in one["plates"]:
        plate["machine_compensates"] = True
    assert "left to the machine" in account(one)
    assert "is in the lines" not in account(one)


def test_kerf_by_axis_scale_and_saved_mass_are_told() -> None:
    one = record()
    one["plates"][0] |= {"kerf_x_mm": 0.26, "kerf_y_mm": 0.14, "scale_y": 1.003, "mass_saved_kg": 0.0173}
    text = account(one, width=300)
    assert "kerf 0.260 mm along x and 0.140 mm along y (invented) in the lines, scale corrected" in text
    assert "(17 g saved)" in text
    assert text.count("saved") == 1


@pytest.mark.parametrize(
    ("measured", "limit", "told"),
    [(0.5, 1.0, "at least 1.000 mm"), (700.0, 600.0, "at most 600.000 mm"), (1.0, 1.0, "it needs 1.000 mm")],
)
def test_a_limit_says_from_which_side_it_holds(measured: float, limit: float, told: str) -> None:
    assert told in account(record(findings=[finding(measured=measured, limit=limit)]), width=300)


def test_the_rail_is_told_with_what_is_assumed_of_it() -> None:
    from gearplate.build import make
    from gearplate.job.load import load_job
    from gearplate.packet.account_parts import rail_lines
    from gearplate.record.design_record import design_record

    usual = " ".join(rail_lines(design_record(make(load_job("compost-drive"))), 200))
    assert usual.startswith("Rail: drill 29.575 mm at the axle (assumed: rail.axle_hole); 4 of 5.613 mm")
    said = ["rail.axle_hole=1.25", "rail.reliefs=[{at = [1, 0], diameter = 0.5}]"]
    given = " ".join(rail_lines(design_record(make(load_job("compost-drive", said))), 200))
    assert "31.750 mm at the axle; " in given
    assert given.endswith("12.700 mm at 25.400, 0.000 mm from the axle")
    assert not list(rail_lines(design_record(make(load_job("compost-drive", ["rail=false"]))), 200))


def test_a_plate_that_is_its_own_mirror_image_is_said_to_fit_both_hands() -> None:
    one = record()
    assert "fits both hands" not in account(one, width=300)
    one["plates"][0]["fits_both_hands"] = True
    assert account(one, width=300).count("face up, fits both hands") == 1


def test_motors_that_share_a_table_are_told_once_where_to_set_them() -> None:
    told = finding()
    told["remedy"] = {
        "text": "Turn them.", "set": {"motors.M1.clocking": 10, "motors.M2.clocking": 20}, "drop": [], "tried": True
    }  # fmt: skip
    text = account(record(findings=[told]), width=400)
    assert text.count("[[motors]]") == 1
    assert "in the file, M1 and M2 need [[motors]] tables of their own; --set takes them as they stand" in text
