"""A word of the trade, explained."""

from __future__ import annotations

from dataclasses import dataclass

from gearplate.finding import Standing


@dataclass(frozen=True, slots=True)
class Word:
    """`text` in plain words, with a formula where there is one; `also` other names; `see` words and codes nearby."""

    name: str
    text: str
    standing: Standing
    source: str
    also: tuple[str, ...] = ()
    see: tuple[str, ...] = ()
