"""Every code and word is explained, in half a page of plain words; with a record, with its numbers."""

from __future__ import annotations

import math

import pytest

from gearplate.build import make
from gearplate.checks.rules import ALL_RULES
from gearplate.checks.words import WORDS, all_names, find_word, plain
from gearplate.finding import Standing
from gearplate.packet.explain import (
    UnknownTopic,
    as_data,
    codes,
    explain,
    explain_code,
    explain_word,
    near_names,
    topics,
)
from gearplate.packet.explain_design import NUMBERS
from gearplate.record.design_record import design_record
from tests.builders.subjects import BAD, FAIR, job_of


@pytest.fixture(scope="module")
def record() -> dict[str, object]:
    return design_record(make(job_of(FAIR)))


@pytest.mark.parametrize("code", codes())
def test_a_code_fits_half_a_page(code: str, record: dict[str, object]) -> None:
    text = explain_code(code)
    assert text.startswith(f"{code}: ")
    for head in ("What goes wrong", "Limit", "What to do", "Where this comes from"):
        assert f"\n{head}\n" in text
    lines = text.splitlines()
    assert len(lines) <= 45
    assert all(len(line) <= 80 for line in lines)
    with_numbers = explain_code(code, record)
    assert with_numbers.startswith(text.rstrip())
    assert "In fair A" in with_numbers
    assert all(len(line) <= 80 for line in with_numbers.splitlines())


@pytest.mark.parametrize("word", WORDS, ids=lambda word: word.name)
def test_a_word_says_what_it_is_and_where_that_comes_from(word: object) -> None:
    text = explain_word(word.name)  # type: ignore[attr-defined]
    assert "Where this comes from" in text
    assert all(len(line) <= 80 for line in text.splitlines())


def test_words_are_there_once_and_lead_on_to_others_that_are_there() -> None:
    names = [plain(name) for name in all_names()]
    assert len(names) == len(set(names))
    known = {rule.code for rule in ALL_RULES}
    for word in WORDS:
        assert all(see in known or find_word(see) is not None for see in word.see), word.name
        assert isinstance(word.standing, Standing)
        assert word.source


@pytest.mark.parametrize(
    "word",
    [
        "kerf",
        "backlash",
        "contact ratio",
        "standoff",
        "taper",
        "clocking",
        "hull",
        "module",
        "pilot",
        "web",
        "standing",
        "float",
        "duty",
        "slot",
        "measured",
        "nominal",
        "output",
        "S1",
        "M1",
        "datum",
        "H7",
        "over the wheel",
    ],
)
def test_the_words_that_jobs_and_findings_use_are_explained(word: str) -> None:
    assert find_word(word) is not None
    assert explain(word.upper().replace(" ", "_"))


def test_a_name_that_is_code_and_word_tells_both() -> None:
    text = explain("backlash")
    assert text.startswith("backlash: Backlash of a mesh")
    assert "\nThe word\n" in text


@pytest.mark.parametrize(
    ("name", "near"),
    [("backlsh", "backlash"), ("moter-to-wheel", "motor-to-wheel"), ("ratio of contact", ""), ("kerff", "kerf")],
)
def test_an_unknown_name_gets_near_ones(name: str, near: str) -> None:
    with pytest.raises(UnknownTopic) as failure:
        explain(name)
    assert failure.value.exit_code == 2
    if near:
        assert near in failure.value.near
        assert near in str(failure.value)
        assert near in near_names(name)


def test_an_unknown_name_is_shown_harmless() -> None:
    with pytest.raises(UnknownTopic) as failure:
        explain("\x1b[31mred" + "x" * 500)
    assert "\x1b" not in str(failure.value)
    assert len(str(failure.value)) < 200


def test_the_list_of_topics_has_every_code_and_word() -> None:
    text = topics()
    assert all(code in text for code in codes())
    flat = " ".join(text.split())
    assert all(word.name in flat for word in WORDS)


def test_formulas_and_keys_keep_their_letters_and_nothing_leads_to_itself() -> None:
    assert "Limit\n  a = m (z1 + z2) / 2 " in explain("mesh-centre")
    assert "Limit\n  limits.height, width" in explain("limits-plane")
    assert "Limit\n  At least 2 screws" in explain("motor-screws")
    assert "See also: undercut\n" in explain("tooth-interference")


def test_data_for_programs() -> None:
    assert as_data("web")["code"] == "web"
    assert as_data("layout")["standing"] == "geometry"
    assert as_data("dp")["word"] == "diametral pitch"
    with pytest.raises(UnknownTopic):
        as_data("nonsense-code")


def test_backlash_with_the_numbers_of_a_job(record: dict[str, object]) -> None:
    """2 x 0.05 x tan 20 degrees = 0.0364 mm."""
    rough = 2 * 0.05 * math.tan(math.radians(20))
    assert f"2 × 0.0500 mm × tan 20° = {rough:.4f} mm" in explain("backlash", record).replace("\n  ", " ")


def test_centre_distance_with_the_numbers_of_a_job(record: dict[str, object]) -> None:
    text = " ".join(explain("mesh-centre", record).split())
    assert "(32 + 60) / (2 × 20) = 2.3000 in" in text


def test_contact_ratio_with_the_numbers_of_a_job(record: dict[str, object]) -> None:
    pitch = math.pi * 1.27 * math.cos(math.radians(20))
    assert f"/ {pitch:.3f} mm = " in " ".join(explain("contact-ratio", record).split())


def test_findings_of_the_code_are_told_with_limit_and_remedy() -> None:
    record = design_record(make(job_of(BAD / "motor-to-wheel.toml")))
    text = " ".join(explain("motor-to-wheel", record).split())
    assert "1 finding" in text
    assert "it needs at least 3.000 mm" in text
    assert "Set places.M1 = {angle = 9.5}" in text


def test_the_gap_of_a_motor_beside_the_wheel_is_written_out() -> None:
    """M1 stands 3 forward and 4 up of a wheel at the origin, in units of 20 mm: 100 - 101.6 / 2 - 42 / 2 = 28.2 mm."""
    wheel = {"kind": "wheel", "name": "wheel", "x_mm": 0.0, "y_mm": 0.0, "diameter_mm": 101.6, "z_mm": [10.0, 35.0]}
    over = {"kind": "motor", "name": "M1", "x_mm": 60.0, "y_mm": 80.0, "diameter_mm": 42.0, "z_mm": [0.0, 90.0]}
    inboard = over | {"name": "M2", "z_mm": [-130.0, -40.0]}
    lines = list(NUMBERS["motor-to-wheel"]({"bodies": [wheel, over, inboard]}))
    assert lines[0] == "M1: centres 100.000 mm apart - 101.600 mm / 2 - 42.000 mm / 2 = 28.200 mm"
    assert lines[1].startswith("M2: not beside the wheel")
