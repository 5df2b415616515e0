"""The page of all changes: sound HTML, whatever the names in a job are."""

from __future__ import annotations

from typing import Any

from gearplate.packet.changes_page import changes_page
from gearplate.packet.contents import Earlier
from gearplate.packet.differences import NOTHING_ELSE_MOVED, difference_lines
from tests.builders.html_reading import EVIL, Reader, read_html
from tests.builders.records import record


def page(new: dict[str, Any], kept: bool = False) -> Reader:
    return read_html(changes_page(new, Earlier(record(), b"", kept), difference_lines(record(), new)))


def test_every_change_and_the_sentence_on_what_is_cut() -> None:
    new = record()
    for hole in new["plates"][0]["features"]:
        hole["x_mm"] += 1.0
    count = len(new["plates"][0]["features"])
    assert count > 8
    reader = page(new)
    text = " ".join(reader.text)
    assert f"{count} changes. {NOTHING_ELSE_MOVED}" in text
    assert text.count("moved by 1.000 mm (forward +1.000, up 0.000)") == reader.tags.count("tr") == count
    assert "refused or draft" not in text
    assert "refused or draft" in " ".join(page(new, kept=True).text)


def test_names_in_a_job_are_text_and_nothing_else() -> None:
    new = record(job_part=EVIL, job_revision=EVIL)
    new["plates"][0] |= {"file": EVIL, "material": EVIL}
    new["plates"][0]["features"][0]["id"] = EVIL
    text = " ".join(page(new).text)
    assert "<script>" in text
    assert not [c for c in text if (ord(c) < 32 and c != "\n") or c == "\u202e"]
