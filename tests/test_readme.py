"""The README promises what is there: its two lines, its account, its pictures, its commands."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from gearplate.cli.group import COMMANDS
from tests.golden.draw import PICTURES, README, ROOT, built, with_account

TEXT = README.read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```(\w*)\n(.*?)^```$", TEXT, re.DOTALL | re.MULTILINE)


def test_the_first_two_blocks_are_one_line_each() -> None:
    (_, run), (_, test) = BLOCKS[:2]
    assert run.count("\n") == test.count("\n") == 1
    assert run.rstrip().endswith(".venv/bin/gearplate build compost-drive")
    assert test.rstrip().endswith(".venv/bin/python -m pytest")
    assert TEXT.index("\n\n") < TEXT.index("```") < 1500  # one paragraph stands before them, and not much more


def test_ci_takes_its_test_command_from_here() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "README.md" in script
    assert "pytest" not in script.replace("pytest's", "")


def test_the_account_and_the_pictures_are_those_of_a_build() -> None:
    account, pictures = built()
    assert with_account(TEXT, account) == TEXT, "python tests/golden/draw.py writes it anew"
    for name in PICTURES:
        kept = (Path(__file__).parent / "golden" / name).read_bytes()
        assert kept == pictures[name], f"{name}: python tests/golden/draw.py draws it anew; look at it"
        assert f"(tests/golden/{name})" in TEXT


def test_every_command_is_there() -> None:
    assert re.findall(r"^\| `(\w+)", TEXT, re.MULTILINE) == list(COMMANDS)


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md"])
def test_links_lead_to_files(page: str) -> None:
    text = (ROOT / page).read_text(encoding="utf-8")
    links = [link for link in re.findall(r"\]\(([^)#]+)\)", text) if "://" not in link]
    assert links
    assert [link for link in links if not (ROOT / link).exists()] == []


def test_the_python_lines_hold() -> None:
    code = next(block for language, block in BLOCKS if language == "python")
    import gearplate

    for line in code.splitlines():
        if line.startswith("gearplate.mesh("):
            call, _, said = line.partition("#")
            value = eval(call, {"gearplate": gearplate})
            assert value == pytest.approx(float(said.split(":")[0]), abs=5e-5)
    assert set(re.findall(r"gearplate\.(\w+)\(", code)) <= set(gearplate.__all__)
