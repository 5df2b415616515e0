"""Whole-or-nothing files and folders: after a full disk, a refusal or a kill, the old stands whole or the new does.

names     which file names are safe, and how a text becomes one
manifest  what a folder of ours holds, and whether all of it is still as we wrote it
system    the system calls, as one table of functions that tests can make fail
folder    a folder of files, built beside its target and put in its place in one step; recovery after a kill
single    one file, likewise

Values here are named tuples: Python makes such a class ten times as fast as a frozen dataclass, and every command
that writes pays for it.
"""

from __future__ import annotations

from gearplate.files.folder import Written, check_target, recover, write_folder
from gearplate.files.manifest import MANIFEST_NAME, Entry, manifest_bytes, read_manifest
from gearplate.files.names import is_plain_name, safe_name
from gearplate.files.single import write_file
from gearplate.files.system import SYSTEM, Ops

__all__ = [
    "MANIFEST_NAME",
    "SYSTEM",
    "Entry",
    "Ops",
    "Written",
    "check_target",
    "is_plain_name",
    "manifest_bytes",
    "read_manifest",
    "recover",
    "safe_name",
    "write_file",
    "write_folder",
]
