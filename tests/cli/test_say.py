"""Text on any terminal: nothing that it lacks, nothing that steers it."""

from __future__ import annotations

import os
import sys

import pytest

from gearplate.cli import say


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437", "latin-1", "utf-8", "utf-16", "no-such-encoding"])
def test_what_an_encoding_lacks_is_spelt_out(encoding: str) -> None:
    text = say.plain("12 × 20° → 0.25 ± 0.1 µm², Ø 8, 北京", encoding)
    text.encode("ascii" if encoding == "no-such-encoding" else encoding)
    assert text.startswith("12 ")
    if encoding == "ascii":
        assert text == "12 x 20 deg -> 0.25 +/- 0.1 um2, dia  8, ??"
    if encoding == "utf-8":
        assert text == "12 × 20° → 0.25 ± 0.1 µm², Ø 8, 北京"


def test_nothing_steers_the_terminal() -> None:
    nasty = "a\x1b[31mred\x07\rb\u202ec\u2028d\te\x00\x9bf\ng"
    assert say.plain(nasty, "utf-8") == "a\\x1b[31mred\\x07\\rb\\u202ec\\u2028d\\te\\x00\\x9bf\ng"


def test_a_closed_stream_is_no_error(monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    monkeypatch.setattr(sys, "stderr", None)
    say.say("nobody hears this")
    say.complain("nor this")
    assert say.encoding() == "ascii"
    monkeypatch.undo()
    assert capfd.readouterr() == ("", "")


def test_a_reader_that_has_gone_is_no_error_then_and_later(monkeypatch: pytest.MonkeyPatch) -> None:
    here, there = os.pipe()
    os.close(here)
    with pytest.raises(BrokenPipeError):
        os.write(there, b"x")
    with open(there, "w", encoding="utf-8") as stream:
        monkeypatch.setattr(sys, "stdout", stream)
        say.say("unheard")
        say.say("unheard too")
        monkeypatch.undo()
        assert os.write(there, b"x") == 1  # it goes nowhere now, what the interpreter writes at its end too
