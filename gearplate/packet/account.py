"""The account of a build or a check: what was made, what it was held against, what to do next; about forty lines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from gearplate.packet.account_parts import (
    caution_lines,
    check_lines,
    files_lines,
    finding_lines,
    plate_lines,
    rail_lines,
    settings_lines,
    shaft_lines,
    train_lines,
)
from gearplate.packet.assumed import assumed_lines
from gearplate.packet.characters import fitted, harmless
from gearplate.packet.contacts_text import contact_lines
from gearplate.packet.contents import CUT, Packet
from gearplate.packet.earlier import change_lines, taken_out_lines
from gearplate.packet.layout_text import layout_lines
from gearplate.packet.play_summary import play_summary_lines
from gearplate.packet.rating_text import strength_lines
from gearplate.packet.saw_list import saw_lines
from gearplate.packet.sizes import counted, hands_of


def account(
    record: dict[str, Any],
    packet: Packet | None = None,
    *,
    again: str = "gearplate build",
    encoding: str = "utf-8",
    width: int = 80,
) -> str:
    """The account of a finished design, ending in a line feed.

    `packet` is what the build left in its folder; without it (for a check) each centre distance is written out as a
    sum, and what is still assumed is listed; with it, what changed since the last build there is told. `again` is the
    command that made that build. `encoding` is that of the terminal: characters that it lacks are spelt out. Lines are
    broken at about `width` characters, tables excepted.
    """
    return fitted("\n".join(_lines(record, packet, again, width)) + "\n", encoding)


def _lines(record: dict[str, Any], packet: Packet | None, again: str, width: int) -> Iterator[str]:
    yield headline(record)
    title = harmless(record["job"]["title"])
    if title:
        yield title
    yield from settings_lines(record, width)
    if record["status"] == "draft":
        yield "DRAFT: it has errors. Not to be cut for use; its names and marks say so."
    if record["status"] == "refused" and packet is not None:
        yield "Refused: no cut file was made."
    if packet is not None:
        yield from taken_out_lines(packet, again, width)
    yield ""
    yield from train_lines(record, sums=packet is None, width=width)
    yield from shaft_lines(record)
    yield from plate_lines(record)
    yield from layout_lines(record, width)
    yield from contact_lines(record, width, keys=packet is None)
    yield from rail_lines(record, width)
    yield from saw_lines(record, width)
    yield from play_summary_lines(record, width)
    yield from strength_lines(record, width)
    yield from check_lines(record, packet, width)
    yield from finding_lines(record, packet, width)
    if packet is not None:
        yield from change_lines(packet)
    if record["solver"]:
        yield harmless(record["solver"], 400)
    yield ""
    if packet is not None:
        yield from files_lines(packet)
        if packet.of(CUT):
            yield from caution_lines(record, width)
    else:
        yield from assumed_lines(record, width)


def headline(record: dict[str, Any]) -> str:
    """ "compost-drive A: 11.25 : 1, 3 motors, right hand"."""
    job = record["job"]
    parts = []
    if record["train"]["ratio"] is not None:
        parts.append(f"{record['train']['ratio']:.6g} : 1")
    parts.append(counted(len(record["motors"]), "motor"))
    hands = hands_of(record)
    parts.append("right and left hand" if len(hands) > 1 else f"{hands[0]} hand")
    return f"{harmless(job['part'])} {harmless(job['revision'], 12)}: {', '.join(parts)}"
