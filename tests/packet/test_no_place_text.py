"""Why there is no place, item by item: all that a refused design's record says, and nothing where there is a place."""

from __future__ import annotations

from gearplate.cli.made import made
from gearplate.job.load import load_job
from gearplate.packet.explain import explain
from gearplate.packet.no_place_text import no_place_lines
from gearplate.record.design_record import design_record
from tests.builders.records import record


def test_a_design_with_a_place_says_nothing() -> None:
    assert list(no_place_lines(record())) == []


def test_every_reason_figure_and_change_is_told() -> None:
    # 3 in of wheel, 1.26 in of motor and 3 mm between need more than the 3.93 in that the two meshes reach
    job = load_job("barrow-idler", ['wheel.diameter="6 in"'])
    told = design_record(made(job))
    none = told["no_place"]
    assert [one["name"] for one in none["needed"]] == ["M1 to wheel"]
    assert none["proven"]
    assert none["irreducible"]
    lines = list(no_place_lines(told))
    assert "that is proven" in lines[0]
    assert "What cannot hold together (leave out any one, and the others can):" in lines
    assert any("the body of M1 off the wheel (6 in, 0.1181 in clear)" in line for line in lines)
    assert any("must total at least" in line for line in lines)
    looked_at = lines[lines.index("What was looked at:") + 1 :]
    assert len(looked_at) == len(none["cures"]) > 0
    assert any("it was built" in line for line in looked_at)
    page = explain("layout", told)
    assert "In barrow-drive A" in page
    assert "What was looked at:" in page
