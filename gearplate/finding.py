"""What one check found: the value that checks, layout, drawing and packet share."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum


class Severity(StrEnum):
    """How bad: an error cannot be built or cut, a warning is against trade practice, a note cannot be helped."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


class Standing(StrEnum):
    """Where a value or a limit comes from. One list, used everywhere."""

    STANDARD = "standard"
    HANDBOOK = "handbook"
    COMMON_PRACTICE = "common practice, no source"
    FROM_MEMORY = "from memory"
    MEASURED = "measured here"
    INVENTED = "invented"
    GEOMETRY = "geometry"
    JOB = "set by the job"


@dataclass(frozen=True, slots=True)
class Where:
    """The place of a finding: x and y in the drawing frame of the right-hand gearbox, mm."""

    plate: str | None = None
    shafts: tuple[str, ...] = ()
    features: tuple[str, ...] = ()
    x_mm: float | None = None
    y_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Remedy:
    """What to do about it. `set` maps dotted job keys to values; `tried` says that the tool built it and it holds."""

    text: str
    set: tuple[tuple[str, object], ...] = ()
    tried: bool = False


@dataclass(frozen=True, slots=True)
class Finding:
    """One result of one check. `measured` and `limit` are in `unit` ("mm", "deg", "", ...).

    `alternatives`: further remedies in order, to be tried where `remedy` turns out not to hold.
    """

    check: str
    severity: Severity
    message: str
    where: Where = field(default_factory=Where)
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    standing: Standing = Standing.GEOMETRY
    remedy: Remedy | None = None
    alternatives: tuple[Remedy, ...] = ()
