"""What a build hands over: the files of its folder by role, and what reading the cut files back found."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

CUT, PREVIEW, OVERLAY, PAGE, RECORD = "cut file", "preview", "overlay", "page", "record"
SECTION = "section"
"""Roles of files in a build's folder, as the manifest names them."""


@dataclass(frozen=True, slots=True)
class PacketFile:
    """One file: its name in the folder, its role, the SHA-256 of its bytes in hexadecimal."""

    name: str
    role: str
    sha256: str = ""


@dataclass(frozen=True, slots=True)
class Packet:
    """The folder as it is to be shown, its files, and how many of the holes asked for were found again in the cut
    files when they were read back. `record` is what design.json holds."""

    folder: str
    files: tuple[PacketFile, ...]
    holes_found: int = 0
    holes_asked: int = 0
    record: dict[str, Any] = field(default_factory=dict, compare=False, repr=False)

    def of(self, role: str) -> tuple[PacketFile, ...]:
        """The files of one role, in their order."""
        return tuple(file for file in self.files if file.role == role)
