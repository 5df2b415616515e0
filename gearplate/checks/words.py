"""The glossary: words that findings, jobs and pages use, each with where it comes from."""

from __future__ import annotations

from gearplate.checks.word import Word
from gearplate.checks.words_gears import GEAR_WORDS
from gearplate.checks.words_job import JOB_WORDS
from gearplate.checks.words_plates import PLATE_WORDS

WORDS: tuple[Word, ...] = (*GEAR_WORDS, *PLATE_WORDS, *JOB_WORDS)


def find_word(name: str) -> Word | None:
    """The word of that name, or with it among its other names; capitals, hyphens and underscores do not matter."""
    wanted = plain(name)
    for word in WORDS:
        if wanted in (plain(word.name), *map(plain, word.also)):
            return word
    return None


def plain(name: str) -> str:
    """A name as it is compared."""
    return " ".join(name.lower().replace("_", " ").replace("-", " ").split())


def all_names() -> list[str]:
    """Every word and every other name, in order."""
    return [name for word in WORDS for name in (word.name, *word.also)]
