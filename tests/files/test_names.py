from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.files import is_plain_name, safe_name


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("compost-drive", "compost-drive"),
        ("Compost Drive, rev. B", "Compost-Drive-rev.-B"),
        ("../../etc/passwd", "etc-passwd"),
        ("..\\..\\x", "x"),
        ("a/b\\c:d", "a-b-c-d"),
        ("..", "part"),
        (".", "part"),
        ("", "part"),
        ("   ", "part"),
        ("компост", "part"),
        ("Für élan", "Fur-elan"),
        ("con", "part-con"),
        ("CON.dxf", "part-CON.dxf"),
        ("COM¹", "part-COM1"),
        ("lpt9", "part-lpt9"),
        ("console", "console"),
        (".hidden", "hidden"),
        ("-rf", "rf"),
        ("name.", "name"),
        ("a...b", "a.b"),
        ("<svg onload=x>", "svg-onload-x"),
        ("line\nbreak\x00null", "line-break-null"),
        ("x" * 300, "x" * 60),
        ("x" * 59 + ".y", "x" * 59),
    ],
)
def test_makes_a_file_name_of_any_text(text: str, name: str) -> None:
    assert safe_name(text) == name


@given(st.text(max_size=100))
def test_a_safe_name_is_plain_short_and_its_own_safe_name(text: str) -> None:
    name = safe_name(text)
    assert is_plain_name(name)
    assert len(name) <= 60
    assert safe_name(name) == name


@given(
    st.sampled_from(["con", "PRN", "aux", "Nul", "com1", "LPT0", "conin$"]),
    st.sampled_from(["", ".x", " ", ".x.y", "$"]),
)
def test_no_safe_name_is_a_device_of_windows(device: str, tail: str) -> None:
    assert is_plain_name(safe_name(device + tail))
    assert not is_plain_name(device + ".dxf")


@pytest.mark.parametrize("name", ["a.dxf", "compost-drive_outboard-right_6.35mm_r1.dxf", "A (2).svg", "0", "x" * 120])
def test_plain_names(name: str) -> None:
    assert is_plain_name(name)


@pytest.mark.parametrize(
    "name",
    [
        "",
        ".",
        "..",
        ".x",
        "a/b",
        "a\\b",
        "a..b",
        "a.",
        "a ",
        " a",
        "a\n",
        "a\x00",
        "é",
        "a:b",
        "a*",
        "nul",
        "x" * 121,
        "-a",
    ],
)
def test_names_that_are_not_plain(name: str) -> None:
    assert not is_plain_name(name)
