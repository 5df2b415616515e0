"""The last build that could be cut: what a new one is compared with, and what a refusal takes out of the folder.

A build that is refused, or a draft, has no plates that anybody should have cut. It therefore keeps the record of the
last one that could be cut in its folder, as `last-cut.json`, until there is another one.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from gearplate.packet.characters import harmless
from gearplate.packet.columns import wrapped
from gearplate.packet.contents import CHANGES, EARLIER_NAME, RECORD_NAME, Earlier, Packet

LARGEST_RECORD = 50_000_000
MOST_CHANGES = 8
KEPT = "Compared with the last build that could be cut (refused or draft ones since):"


def last_cut(folder: str | os.PathLike[str]) -> Earlier | None:
    """The last build of `folder` that could be cut; None where there is none, or none whose record can be read."""
    found = _read(folder, RECORD_NAME)
    if found is not None and found[0].get("status") not in ("draft", "refused"):
        return Earlier(*found, kept=False)
    found = _read(folder, EARLIER_NAME)
    return None if found is None else Earlier(*found, kept=True)


def _read(folder: str | os.PathLike[str], name: str) -> tuple[dict[str, Any], bytes] | None:
    try:
        with open(Path(folder) / name, "rb") as file:
            data = file.read(LARGEST_RECORD + 1)
        found = json.loads(data) if len(data) <= LARGEST_RECORD else None
    except (OSError, ValueError, RecursionError):
        return None
    return (found, data) if isinstance(found, dict) else None


def change_lines(packet: Packet) -> Iterator[str]:
    """What changed since then, at most a handful; where more did, the page that tells all of it is named."""
    if packet.earlier is None or not packet.changes or packet.record["status"] == "refused":
        return
    if packet.earlier.kept:
        yield KEPT
    *changes, closing = packet.changes
    if len(changes) <= MOST_CHANGES:
        yield from packet.changes
        return
    yield from changes[:MOST_CHANGES]
    told = " and ".join(file.name for file in packet.of(CHANGES))
    yield f"and {len(changes) - MOST_CHANGES} more changes: {told} tells all {len(changes)}"
    yield closing


def taken_out_lines(packet: Packet, again: str, width: int) -> Iterator[str]:
    """That the cut files of the last build that could be cut are gone, and what makes them anew. `again` is the
    command that made them."""
    names = taken_out(packet)
    if not names:
        return
    told = ", ".join(harmless(name, 120) for name in names)
    yield from wrapped(
        f"Taken out of {harmless(packet.folder, 200)}, so that nobody cuts by mistake what this job no longer says: "
        f"the cut files of the last build that could be cut ({told}). To have them again: `{harmless(again, 600)}`, "
        "with the job file as it was then; the same job gives the same files. `gearplate check` tries a change and "
        "leaves the folder alone.",
        width,
        "",
        "  ",
    )


def taken_out(packet: Packet) -> list[str]:
    """The names of the cut files that the last build that could be cut had, where this one is none."""
    if packet.earlier is None or packet.record["status"] == "ok":
        return []
    plates = packet.earlier.record.get("plates")
    files = [plate.get("file") for plate in plates if isinstance(plate, dict)] if isinstance(plates, list) else []
    return [file for file in files if isinstance(file, str)]


def settings_then(earlier: Earlier) -> list[str]:
    """What was set on the command line for that build."""
    settings = earlier.record.get("settings")
    return [text for text in settings if isinstance(text, str)] if isinstance(settings, list) else []
