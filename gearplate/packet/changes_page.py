"""The page beside a build that is another one than the last: every change, however many. One HTML file, no script.

It is a page of its own because it depends on what was built before, and all else in the folder on the job alone: the
same job gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from typing import Any

from gearplate.packet.contents import Earlier
from gearplate.packet.earlier import KEPT
from gearplate.packet.page import opening, own
from gearplate.packet.sizes import counted


def changes_page(record: dict[str, Any], earlier: Earlier, changes: Sequence[str]) -> bytes:
    """The page as UTF-8. `changes` as `difference_lines` gives them, the last one the sentence on what is cut."""
    return "\n".join(_page(record, earlier, changes)).encode("utf-8")


def _page(record: dict[str, Any], earlier: Earlier, changes: Sequence[str]) -> Iterator[str]:
    job = record["job"]
    yield from opening(f"Changes of {job['part']} {job['revision']}")
    yield f"<h1>{own(job['part'], 60)} {own(job['revision'], 12)}: what changed since the last build</h1>"
    if earlier.kept:
        yield f"<p>{escape(KEPT.rstrip(':'))}</p>"
    *told, closing = changes
    yield f'<p class="key">{counted(len(told), "change")}. {escape(closing)}</p>\n<table>'
    for line in told:
        yield f"<tr><td>{own(line.removeprefix('Changed: '), 1000)}</td></tr>"
    yield "</table>\n<p>Lengths in mm; forward and up as seen from the wheel.</p>\n</body>\n</html>\n"
