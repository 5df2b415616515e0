"""A plate that is too large because of one own hole: that hole is named, not the gears."""

from __future__ import annotations

import pytest

from gearplate.build import make
from gearplate.job.load import load_job_text
from gearplate.studies.remedies import with_tried_remedies
from tests.builders.subjects import BAD, FAIR


@pytest.mark.parametrize(
    ("units", "at", "centre", "place"),
    [
        # (30, 30) in = (762, 762) mm in a file in inches whose writer meant mm
        ("inch", "[30, 30]", "(762.0, 762.0) mm", ["30 mm", "30 mm"]),
        ("mm", "[900, 30]", "(900.0, 30.0) mm", None),
    ],
)
def test_an_own_hole_that_makes_the_plate_too_large_is_named_and_brought_back(
    units: str, at: str, centre: str, place: list[str] | None
) -> None:
    hole = f'[[holes]]\nname = "cam"\nplate = "outboard"\ndiameter = "5 mm"\nat = {at}\n'
    text = f'base = "{FAIR.name}"\nunits = "{units}"\n{hole}'
    job = load_job_text(text, folder=FAIR.parent)
    design = make(job)
    (finding,) = [found for found in with_tried_remedies(job, design).findings if found.check == "bed-size"]
    assert f"Farthest out reaches the job's own cam, centred at {centre}" in finding.message
    assert finding.where.features == ("cam",)
    assert finding.remedy is not None
    assert "cam" in finding.remedy.text
    assert "gears" not in finding.remedy.text
    if place is not None:
        assert dict(finding.remedy.set) == {"holes[0].at": place}
        assert finding.remedy.tried


def test_where_the_plate_is_too_large_without_the_hole_too_none_is_named() -> None:
    path = BAD / "bed-size.toml"
    hole = '[[holes]]\nname = "cam"\nplate = "outboard"\ndiameter = 5\nat = [100, 60]\n'
    job = load_job_text(path.read_text(encoding="utf-8") + hole, folder=BAD)
    found = [finding for finding in make(job).findings if finding.check == "bed-size"]
    assert found
    assert all("cam" not in finding.message for finding in found)
