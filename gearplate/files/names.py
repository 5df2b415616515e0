"""Names of files that are safe on every system, whatever a job calls its parts."""

from __future__ import annotations

import re

LONGEST_NAME = 120
LONGEST_SLUG = 60

_PLAIN = r"[A-Za-z0-9][A-Za-z0-9 ._+()-]*"


def safe_name(text: str, otherwise: str = "part") -> str:
    """A file name, or the beginning of one, that resembles `text`: ASCII letters, digits and - _ . only.

    Never empty (`otherwise` then), at most 60 characters, no separators, no dot at either end, no two dots in a
    row, never a name that Windows keeps for a device. A safe name is its own safe name.
    """
    import unicodedata

    plain = unicodedata.normalize("NFKD", text[: 10 * LONGEST_SLUG]).encode("ascii", "ignore").decode()
    plain = re.sub(r"[^A-Za-z0-9._-]+", "-", plain)
    plain = re.sub(r"\.{2,}", ".", plain)
    plain = re.sub(r"-{2,}", "-", plain)
    plain = plain.strip("-._")[:LONGEST_SLUG].rstrip("-._") or otherwise
    if _is_device(plain):
        plain = f"{otherwise}-{plain}"[:LONGEST_SLUG].rstrip("-._")
    return plain


def is_plain_name(name: str) -> bool:
    """Whether `name` is a file name that every system takes, and that stays in its folder.

    ASCII letters, digits, space and . _ + ( ) -; begins with a letter or digit, does not end with a dot or a
    space, no two dots in a row, at most 120 characters, not a name that Windows keeps for a device.
    """
    return (
        len(name) <= LONGEST_NAME
        and re.fullmatch(_PLAIN, name) is not None
        and not name.endswith((".", " "))
        and ".." not in name
        and not _is_device(name)
    )


def _is_device(name: str) -> bool:
    # Windows keeps these whatever the ending: "con.dxf" is the console too.
    return re.fullmatch(r"(?i)(con|prn|aux|nul|conin|conout|com[0-9]|lpt[0-9])", name.split(".")[0].strip()) is not None
