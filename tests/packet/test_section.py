"""The section along the shafts and the saw list, read back from the picture and summed from the record."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any
from xml.etree import ElementTree

import pytest

from gearplate.layout.spec import CarriedBy
from gearplate.packet.saw_list import cut_rows, saw_lines, screw_length, screw_rows
from gearplate.packet.section import section
from gearplate.packet.section_panels import spread
from gearplate.record.design_record import design_record
from tests.builders.designs import JOBS, design
from tests.builders.records import record as record_by_hand

SVG = "{http://www.w3.org/2000/svg}"


def drawn(name: str) -> tuple[dict[str, Any], ElementTree.Element]:
    record = design_record(design(name))
    sheet = section(record)
    assert sheet is not None
    return record, ElementTree.fromstring(sheet.file())


def texts(root: ElementTree.Element) -> list[str]:
    return [element.text or "" for element in root.iter(f"{SVG}text")]


def boxes(root: ElementTree.Element, group: str) -> Iterator[tuple[float, float, float, float]]:
    """Rectangles of one group: least x, least y, greatest x, greatest y, y upward."""
    for element in root.iter(f"{SVG}g"):
        if element.get("id") == group:
            for path in element.iter(f"{SVG}path"):
                numbers = [float(text) for text in re.findall(r"-?[\d.]+", path.get("d") or "")]
                xs, ys = numbers[::2], [-y for y in numbers[1::2]]
                yield min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("name", JOBS)
def test_every_part_is_drawn_where_the_record_has_it(name: str) -> None:
    record, root = drawn(name)
    compared = 0
    for shaft in record["axial"]["shafts"]:
        (bar,) = boxes(root, f"section-{shaft['shaft'].lower()}-bar")
        assert (bar[0], bar[2]) == pytest.approx(shaft["z_mm"], abs=2e-3)
        assert bar[3] - bar[1] == pytest.approx(shaft["across_mm"] / 2, abs=2e-3)
        for index, part in enumerate(shaft["parts"]):
            found = list(boxes(root, f"section-{shaft['shaft'].lower()}-part-{index}"))
            if part["kind"] in ("gear", "spacer", "shim", "retainer", "bearing", "wheel"):
                assert (found[0][0], found[0][2]) == pytest.approx(part["z_mm"], abs=2e-3)
                assert found[0][1] == pytest.approx(bar[3], abs=2e-3)
                compared += 1
    assert compared >= 6


@pytest.mark.parametrize("name", JOBS)
def test_every_part_has_its_number_once_and_its_length_in_the_list(name: str) -> None:
    record, root = drawn(name)
    said = texts(root)
    count = sum(len(shaft["parts"]) for shaft in record["axial"]["shafts"])
    for number in range(1, count + 1):
        # white edge and letters in the drawing, and once in the list
        assert said.count(str(number)) == 3
    for shaft in record["axial"]["shafts"]:
        told = f"{shaft['shaft']}: {shaft['cut_length_mm']:.3f} mm"
        assert told in said


def test_lengths_are_in_the_unit_of_the_drawing() -> None:
    record, _ = drawn("compost-drive")
    inches = section({**record, "drawn_units": "inch"})
    assert inches is not None
    said = texts(ElementTree.fromstring(inches.file()))
    axle = next(shaft for shaft in record["axial"]["shafts"] if shaft["shaft"] == "output")
    assert f"output: {axle['cut_length_mm'] / 25.4:.4f} in" in said
    assert "Section along every shaft, lengths in inches" in said
    assert any(text.startswith("Lengths in inches. ") for text in said)


def test_nothing_laid_out_has_no_section_and_no_saw_list() -> None:
    record = record_by_hand()
    assert section(record) is None
    assert cut_rows(record) == screw_rows(record) == []
    assert list(saw_lines(record, 80)) == []


@pytest.mark.parametrize("name", JOBS)
def test_the_saw_list_counts_what_the_record_has(name: str) -> None:
    record = design_record(design(name))
    axial = record["axial"]
    spacers = sum(part["kind"] in ("spacer", "shim") for shaft in axial["shafts"] for part in shaft["parts"])
    posts = sum(post["count"] for post in axial["posts"])
    assert sum(count for count, _, _ in cut_rows(record)) == len(axial["shafts"]) + spacers + posts
    fetched = sum(screw[key] for screw in axial["screws"] for key in ("count", "nuts", "washers"))
    assert sum(count for count, _, _ in screw_rows(record)) == fetched
    short = " ".join(saw_lines(record, 80))
    for shaft in axial["shafts"]:
        assert shaft["shaft"] in short


def test_what_is_set_on_the_bench_is_told_wherever_lengths_are() -> None:
    """An output in blocks of unknown size: no float in the record, and the lists say who sets it."""
    made = design("compost-drive")
    told = "spacers beside its blocks and its float: set on the bench"
    plain = design_record(made)
    assert told not in " ".join(saw_lines(plain, 400))
    assert not any(told in row[2] for row in cut_rows(plain))
    for carried_by in (CarriedBy.BLOCKS, CarriedBy.BOTH):
        record = design_record(replace(made, spec=replace(made.spec, carried_by=carried_by)))
        floats = {shaft["shaft"]: shaft["float_mm"] for shaft in record["axial"]["shafts"]}
        assert floats == {"output": None, "S1": 0.5}
        assert f"output: {told}" in " ".join(saw_lines(record, 400))
        assert [row[1] for row in cut_rows(record) if told in row[2]] == ["shaft output, hex-1/2in"]
        sheet = section(record)
        assert sheet is not None
        said = " ".join(texts(ElementTree.fromstring(sheet.file())))
        assert "spacers beside the blocks and float along it: set on the bench" in said


def test_rings_at_both_ends_are_counted() -> None:
    rows = {what: more for _, what, more in cut_rows(design_record(design("barrow-idler")))}
    assert rows["shaft I1, round-8mm"].endswith(", held by 2 ring-8mm")
    assert rows["shaft output, hex-1/2in"].endswith(", held by 2 ring-hex-1/2in")
    rows = {what: more for _, what, more in cut_rows(design_record(design("compost-drive")))}
    assert rows["shaft S1, hex-1/2in"].endswith(", held by ring-hex-1/2in")


def test_one_of_a_thing_is_told_as_one() -> None:
    record = design_record(design(JOBS[0]))
    post = record["axial"]["posts"][0]
    for count, told in ((1, f"1 {post['what']} of"), (2, f"2 {post['what']}s of")):
        record["axial"]["posts"] = [{**post, "count": count}]
        assert told in " ".join(saw_lines(record, 200))


@pytest.mark.parametrize(
    ("length", "inch", "told"),
    [
        (16.0, False, "16 mm"),
        (12.7, True, "1/2 in"),
        (25.4, True, "1 in"),
        (31.75, True, "1-1/4 in"),
        (34.925, True, "1-3/8 in"),
        (57.0, True, "57 mm"),
    ],
)
def test_screws_are_named_as_the_trade_does(length: float, inch: bool, told: str) -> None:
    assert screw_length(length, inch) == told


def test_numbers_keep_apart_and_in_order() -> None:
    places = spread([0.0, 0.1, 0.2, 5.0, 5.0, 40.0], 2.0)
    assert places == sorted(places)
    assert min(b - a for a, b in zip(places, places[1:], strict=False)) >= 2.0 - 1e-5  # noqa: RUF007
    assert places[-1] == 40.0
