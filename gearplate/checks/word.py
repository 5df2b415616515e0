"""A word of the trade, explained."""

from __future__ import annotations

from typing import NamedTuple

from gearplate.finding import Standing


class Word(NamedTuple):
    """`text` in plain words, with a formula where there is one; `also` other names; `see` words and codes nearby."""

    name: str
    text: str
    standing: Standing
    source: str
    also: tuple[str, ...] = ()
    see: tuple[str, ...] = ()
