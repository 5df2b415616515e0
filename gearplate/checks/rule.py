"""A rule: its text for people, and the pure function that does the comparing."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

from gearplate.finding import Finding, Standing

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject


class Outcome(NamedTuple):
    """What a rule did: how many things it compared, and what it found."""

    compared: int
    findings: tuple[Finding, ...] = ()


class Rule(NamedTuple):
    """`why`: what goes wrong on the bench. `remedy`: what to do. `limit`: the limit in words, with its formula where
    there is one. `standing`: where the limit comes from. `applies_to`: the kinds of things that it compares.

    `check` does the comparing. `present` tells how many such things the job has: a rule that compared nothing although
    there are some is reported as our own fault.
    """

    code: str
    title: str
    why: str
    remedy: str
    limit: str
    standing: Standing
    applies_to: str
    check: Callable[[Subject], Outcome]
    present: Callable[[Subject], int]
    source: str = ""
