"""What a build hands over: the files of its folder by role, and what reading the cut files back found."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

CUT, PREVIEW, OVERLAY, PAGE, RECORD = "cut file", "preview", "overlay", "page", "record"
SECTION, MANIFEST = "section", "manifest"
CHANGES, EARLIER = "changes", "last cut record"
"""Roles of files in a build's folder, as the manifest names them; it does not list itself."""

RECORD_NAME, OVERLAY_NAME, SECTION_NAME, PAGE_NAME = "design.json", "overlay.svg", "section.svg", "index.html"
CHANGES_NAME, EARLIER_NAME = "changes.html", "last-cut.json"


@dataclass(frozen=True, slots=True)
class PacketFile:
    """One file: its name in the folder, its role, the SHA-256 of its bytes in hexadecimal. Of a cut file also how many
    holes were found again when it was read back, and how many it was asked to hold."""

    name: str
    role: str
    sha256: str = ""
    holes_found: int | None = None
    holes_asked: int | None = None


@dataclass(frozen=True, slots=True)
class Earlier:
    """The last build that could be cut: its record, the bytes of that, and whether it was `kept` through builds that
    could not (drafts and refusals) and is not the one that stood in the folder."""

    record: dict[str, Any] = field(repr=False)
    data: bytes = field(repr=False)
    kept: bool


@dataclass(frozen=True, slots=True)
class Packet:
    """The folder as it is to be shown, and its files. `record` is what design.json holds. `earlier` is the last build
    there that could be cut, and `changes` tells all that changed since; None where there was none."""

    folder: str
    files: tuple[PacketFile, ...]
    record: dict[str, Any] = field(default_factory=dict, compare=False, repr=False)
    earlier: Earlier | None = field(default=None, compare=False, repr=False)
    changes: tuple[str, ...] | None = field(default=None, compare=False, repr=False)

    def of(self, role: str) -> tuple[PacketFile, ...]:
        """The files of one role, in their order."""
        return tuple(file for file in self.files if file.role == role)

    @property
    def holes_found(self) -> int:
        """How many holes were found again in all cut files."""
        return sum(file.holes_found or 0 for file in self.files)

    @property
    def holes_asked(self) -> int:
        """How many holes all cut files were asked to hold."""
        return sum(file.holes_asked or 0 for file in self.files)
