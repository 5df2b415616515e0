"""The page answers the operator's questions, needs nothing but itself, and shows text of a job as text."""

from __future__ import annotations

import re
from typing import Any

import pytest

from gearplate.packet.contents import CUT, PAGE, RECORD, PacketFile
from gearplate.packet.page import page_bytes, wrong_scale
from tests.builders.html_reading import EVIL, Reader, read_html
from tests.builders.records import finding, record


def read(one: dict[str, Any], files: list[PacketFile] | None = None) -> Reader:
    return read_html(page_bytes(one, files or []))


def words(reader: Reader) -> str:
    return " ".join(" ".join(reader.text).split())


def test_taper_scale_and_saved_mass_are_told_where_the_plate_is_cut() -> None:
    one = record()
    for plate in one["plates"]:
        plate |= {"taper_mm_per_mm": 0.008, "thickness_mm": 6.35, "scale_x": 1.002, "mass_saved_kg": 0.0173}
    text = words(read(one))
    assert "Finished sizes hold at the narrower, lower face; at the upper one holes are 0.051 mm wider." in text
    assert "1.00200 times along x and 1.00000 times along y" in text
    assert "Lightening windows save 17 g." in text
    plain = record()
    for plate in plain["plates"]:
        plate["taper_mm_per_mm"] = 0.0
        for feature in plate["features"]:
            feature["wide_face_diameter_mm"] = feature["finished_diameter_mm"]
    text = words(read(plain))
    assert not any(word in text for word in ("narrower", "times along", "save"))


def test_the_three_questions_are_answered() -> None:
    text = words(read(record()))
    assert "Kerf (0.200 mm, invented) IS in the lines" in text
    assert "outboard face up" in text
    assert "inboard face up" in text
    assert "6.750 × 6.238 in" in text
    assert "(171.45 × 158.45 mm)" in text
    assert "drawn in inches" in text


def test_the_size_of_a_file_in_the_wrong_unit() -> None:
    # 171.45 mm are 6.75 in: a reader that takes inches for mm shows 171.45 in, one that does the reverse 0.266 in
    assert "(a width of 171.45 or 0.266 for the outboard plate)" in wrong_scale(record()["plates"][0], record())
    metric = record(drawn_units="mm")
    assert "(a width of 4354.83 or 6.750 for the outboard plate)" in wrong_scale(metric["plates"][0], metric)


def test_it_needs_nothing_but_itself() -> None:
    reader = read(record("both", findings=[finding()]))
    assert "script" not in reader.tags
    for key, value in reader.attributes:
        assert not key.startswith("on")
        assert key not in ("src", "href", "action")
        assert "url(" not in value or value.startswith("url(#")
        assert "://" not in value or key == "xmlns"
    policy = next(value for key, value in reader.attributes if key == "content")
    assert policy == "default-src 'none'; style-src 'unsafe-inline'"
    assert "@import" not in " ".join(reader.text)


def test_no_two_parts_share_an_id() -> None:
    ids = [value for key, value in read(record("both")).attributes if key == "id"]
    assert len(ids) == len(set(ids))


def test_every_file_with_its_sum_but_not_the_page_itself() -> None:
    files = [
        PacketFile("a.dxf", CUT, "a1" * 32),
        PacketFile("design.json", RECORD, "b2" * 32),
        PacketFile("index.html", PAGE),
    ]
    text = words(read(record(), files))
    assert "a1" * 32 in text
    assert "b2" * 32 in text
    assert "index.html" not in text


def test_findings_stand_with_number_gap_limit_and_change() -> None:
    text = words(read(record(status="refused", findings=[finding(), finding("web", "warning")])))
    assert "1 error gear-to-body" in text
    assert "2 warning web" in text
    assert "-0.412 mm" in text
    assert "at least 1.000 mm (common practice, no source)" in text
    assert "Set places.S1.angle = 118." in text


def test_the_numbers_of_a_finding_are_never_broken_in_two() -> None:
    page = page_bytes(record(status="refused", findings=[finding()]), []).decode()
    assert '<td class="whole">-0.412 mm</td><td class="whole">at least 1.000 mm' in re.sub("</?bdi[^>]*>", "", page)
    assert "td.whole { overflow-wrap: break-word; }" in page


def test_a_refused_build_tells_nobody_to_cut() -> None:
    text = words(read(record(status="refused", findings=[finding()])))
    assert "REFUSED: no cut file was made" in text
    assert "whoever runs the cutter" not in text
    assert "whoever runs the cutter" in words(read(record()))


def test_cautions_in_full_with_who_comes_first() -> None:
    text = words(read(record()))
    for part in (
        "formaldehyde",
        "extinguisher",
        "pinch points",
        "on blocks",
        "trained operator",
        "local codes",
        "manual",
    ):
        assert part in text


def test_the_fumes_are_those_of_the_sheet_and_a_router_has_no_beam() -> None:
    one = record()
    for material in one["shop"]["materials"]:
        material |= {"family": "cast acrylic", "cautions": ["The vapour burns."]}
    text = words(read(one))
    assert "The vapour burns." in text
    assert "formaldehyde" not in text
    one["shop"]["process"] = "router"
    text = words(read(one))
    assert "Clamp sheet" in text
    assert "beam" not in text


@pytest.mark.parametrize("key", ["job_part", "job_title", "job_revision"])
def test_names_in_a_job_are_text_and_nothing_else(key: str) -> None:
    one = record(**{key: EVIL}, findings=[finding(message=EVIL, set={EVIL: EVIL})])
    one["plates"][0]["file"] = EVIL
    one["plates"][0]["material"] = EVIL
    reader = read(one, [PacketFile(EVIL, CUT, "a" * 64)])
    assert "<script>" in words(reader)
    assert not [c for c in words(reader) if ord(c) < 32 or c == "\u202e"]


def test_the_same_record_gives_the_same_bytes() -> None:
    assert page_bytes(record(findings=[finding()])) == page_bytes(record(findings=[finding()]))
