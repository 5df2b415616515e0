"""What the reader of TOML and its locator share: limits, places in a text, and reports about a file."""

from __future__ import annotations

from gearplate.errors import JobError, Problem

KeyPath = tuple[str | int, ...]
Span = tuple[int, int, int]

MAX_BYTES = 256 * 1024  # far above any job; keeps the worst text under a second
MAX_DEPTH = 32


def job_error(name: str, line: int | None, message: str, accepted: str = "") -> JobError:
    """The report of one problem that belongs to a place in the file rather than to a key."""
    return JobError((Problem(name, line, "", "", message, accepted),))


def too_large(name: str) -> JobError:
    return job_error(name, None, "The file is larger than 256 KiB; a job is a few kilobytes.")


def too_deep(name: str, line: int) -> JobError:
    return job_error(name, line, f"Tables and lists are nested more than {MAX_DEPTH} deep here.")


def line_and_column(text: str, position: int) -> tuple[int, int]:
    """Line and column of an offset, both from 1, the column in characters."""
    return text.count("\n", 0, position) + 1, position - text.rfind("\n", 0, position)


def one_line(text: str, longest: int) -> str:
    """The text fit for a report: white space and what cannot be printed as single blanks, cut to `longest`."""
    text = "".join(c if c.isprintable() else " " for c in text[: 20 * longest])
    text = " ".join(text.split())
    return text if len(text) <= longest else text[: longest - 3] + "..."
