"""Text that can be shown anywhere: nothing that steers a terminal or a page, nothing that it cannot show.

Text of a job (part, title, names of holes) is anybody's: `harmless` takes out what would turn, hide or move the text
beside it. What gearplate itself writes uses beside ASCII only the characters of `SPELT_OUT`, each with a spelling for
terminals that do not know it.
"""

from __future__ import annotations

import unicodedata

SPELT_OUT = {
    "×": "x",
    "−": "-",
    "–": "-",
    "°": " deg",
    "±": "+/-",
    "·": "*",
    "Ø": "dia ",
    "µ": "u",
    "²": "2",
    "…": "...",
    "→": "->",
}

LONGEST = 60
REPLACEMENT = "?"
_STEERING = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}
"""Unicode's general categories of control, format (direction marks among them), surrogate, private, unassigned, line
and paragraph separator."""


def harmless(text: object, longest: int = LONGEST) -> str:
    """The text on one line without anything that steers, cut off after `longest` characters."""
    raw = str(text)[: 8 * longest]
    if len(raw) <= longest and raw.isascii() and raw.isprintable():  # nearly all of them
        return " ".join(raw.split())
    plain = "".join(_shown(character) for character in raw)
    plain = " ".join(plain.split())
    marks, kept = 0, []
    for character in plain:  # a pile of marks on one letter would grow over the lines above and below
        marks = marks + 1 if unicodedata.combining(character) else 0
        if marks <= 3:
            kept.append(character)
    plain = "".join(kept)
    return plain if len(plain) <= longest else plain[: longest - 1] + "…"


def _shown(character: str) -> str:
    if character in "\t\n\r\v\f\u2028\u2029":
        return " "
    return REPLACEMENT if unicodedata.category(character) in _STEERING else character


def fitted(text: str, encoding: str) -> str:
    """The text with every character that `encoding` lacks spelt out, or replaced by a question mark.

    An encoding that Python does not know counts as ASCII.
    """
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        return "".join(_spelt(character, encoding) for character in text)
    except LookupError:
        return fitted(text, "ascii")
    return text


def _spelt(character: str, encoding: str) -> str:
    try:
        character.encode(encoding)
    except UnicodeEncodeError:
        return SPELT_OUT.get(character, REPLACEMENT)
    return character
