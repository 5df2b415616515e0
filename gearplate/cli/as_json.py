"""What `--json` prints: the design record, and beside it what a build wrote; or what is wrong with the job."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from gearplate.errors import JobError
    from gearplate.packet.contents import Packet


def record_text(record: dict[str, Any]) -> str:
    """The record as design.json holds it."""
    from gearplate.record.json_text import json_text

    return json_text(record).rstrip("\n")


def build_text(packet: Packet, again: str) -> str:
    """The record with one key more, `written`: folder, files, holes found again in each cut file and in all, and what
    changed since the last build there that could be cut (null where there was none); of a refused build or a draft also
    which cut files of that build it took out of the folder, and the command that made them."""
    from gearplate.packet.earlier import settings_then, taken_out

    earlier, gone = packet.earlier, taken_out(packet)

    written = {
        "folder": packet.folder,
        "files": [
            {
                "name": file.name,
                "role": file.role,
                "sha256": file.sha256,
                "holes_found": file.holes_found,
                "holes_asked": file.holes_asked,
            }
            for file in packet.files
        ],
        "holes_found": packet.holes_found,
        "holes_asked": packet.holes_asked,
        "changes": None if packet.changes is None else list(packet.changes),
        "compared_with": None
        if earlier is None
        else {"job": earlier.record.get("job"), "settings": settings_then(earlier), "kept": earlier.kept},
        "taken_out": {"files": gone, "made_by": again} if gone else None,
    }
    return record_text({**packet.record, "written": written})


def problems_text(error: JobError) -> str:
    """What is wrong with a job file: {"problems": [{"file", "line", "key", "value", "message", "accepted"}]}."""
    rows = [
        {
            "file": problem.file,
            "line": problem.line,
            "key": problem.key,
            "value": problem.value,
            "message": problem.message,
            "accepted": problem.accepted,
        }
        for problem in error.problems
    ]
    return record_text({"problems": rows})
