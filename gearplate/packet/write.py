"""Write a finished design into a folder: cut files, pictures, the page, the record; all of it or nothing."""

from __future__ import annotations

import os
from hashlib import sha256
from pathlib import Path
from typing import Any

from gearplate.build import CutFiles, cut_files
from gearplate.errors import FileError
from gearplate.files import MANIFEST_NAME, manifest_bytes, recover, write_folder
from gearplate.packet.contents import (
    CHANGES,
    CHANGES_NAME,
    CUT,
    EARLIER,
    EARLIER_NAME,
    MANIFEST,
    OVERLAY,
    OVERLAY_NAME,
    PAGE,
    PAGE_NAME,
    PREVIEW,
    RECORD,
    RECORD_NAME,
    SECTION,
    SECTION_NAME,
    Earlier,
    Packet,
    PacketFile,
)
from gearplate.packet.earlier import last_cut
from gearplate.packet.overlay import overlay
from gearplate.packet.page import page_bytes
from gearplate.packet.plate_picture import plate_picture
from gearplate.packet.section import section
from gearplate.record.design import Design, Status
from gearplate.record.design_record import design_record, encoded


def write(design: Design, folder: str | os.PathLike[str]) -> Packet:
    """Write everything of a design into `folder`, replacing an earlier build as a whole.

    A refused design leaves its record, pictures and page, but no cut file; the record of the last build there that
    could be cut is kept beside them, and what changed since that build has a page of its own. The cut files are read
    back before anything is written, and what stands on the disk afterwards is held against them.

    Raises ToolBug where a cut file does not say what was asked, FileError where the folder cannot be written.
    """
    record = design_record(design)
    cut = CutFiles((), ()) if design.status is Status.REFUSED else cut_files(design)
    content: dict[str, bytes] = dict(cut.files)
    roles = dict.fromkeys(content, CUT)
    previews = [plate_picture(record, plate) for plate in record["plates"]]
    for plate, preview in zip(record["plates"], previews, strict=True):
        name = preview_name(plate)
        content[name], roles[name] = preview.file(), PREVIEW
    together = overlay(record)
    content[OVERLAY_NAME], roles[OVERLAY_NAME] = together.file(), OVERLAY
    along = section(record)
    if along is not None:
        content[SECTION_NAME], roles[SECTION_NAME] = along.file(), SECTION
    content[RECORD_NAME], roles[RECORD_NAME] = encoded(record), RECORD
    counts = dict(zip((name for name, _ in cut.files), cut.holes, strict=True))
    files = [_file(name, roles[name], data, *counts.get(name, ())) for name, data in content.items()]
    content[PAGE_NAME], roles[PAGE_NAME] = page_bytes(record, files, [together, *previews], along), PAGE
    recover(folder)
    earlier = last_cut(folder)
    changes, since = (None, []) if earlier is None else _since(earlier, record)
    for name, role, data in since:
        content[name], roles[name] = data, role
    manifest = manifest_bytes(content, roles)
    files += [_file(name, roles[name], content[name]) for name in (PAGE_NAME, *(one[0] for one in since))]
    files.append(_file(MANIFEST_NAME, MANIFEST, manifest))
    written = write_folder(folder, content, roles)
    _hold_against_disk(folder, content | {MANIFEST_NAME: manifest})
    return Packet(written.folder, tuple(files), record, earlier, changes)


def _since(earlier: Earlier, record: dict[str, Any]) -> tuple[tuple[str, ...], list[tuple[str, str, bytes]]]:
    """What changed since the last build that could be cut, and the files (name, role, bytes) that only a folder with
    such a build has. No other file depends on it: the same job gives the same bytes."""
    from gearplate.packet.differences import difference_lines

    changes = difference_lines(earlier.record, record)
    files = []
    if len(changes) > 1 and record["status"] != "refused":
        from gearplate.packet.changes_page import changes_page

        files.append((CHANGES_NAME, CHANGES, changes_page(record, earlier, changes)))
    if record["status"] != "ok":
        files.append((EARLIER_NAME, EARLIER, earlier.data))
    return changes, files


def _file(name: str, role: str, data: bytes, found: int | None = None, asked: int | None = None) -> PacketFile:
    return PacketFile(name, role, sha256(data).hexdigest(), found, asked)


def preview_name(plate: dict[str, Any]) -> str:
    """ "preview-outboard-right.svg"."""
    return f"preview-{plate['plate']}-{plate['hand']}.svg"


def _hold_against_disk(folder: str | os.PathLike[str], content: dict[str, bytes]) -> None:
    for name, data in content.items():
        try:
            found = (Path(folder) / name).read_bytes()
        except OSError as error:
            raise FileError(f"{name} was written but cannot be read again: {error.strerror}.") from error
        if found != data:
            raise FileError(f"{name} reads otherwise than it was written: the disk is not to be trusted with it.")
