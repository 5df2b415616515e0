"""Codes and words explained in half a page: text alone, or with the numbers of one design put in.

Without a record this loads nothing but text.
"""

from __future__ import annotations

import re
from typing import Any

from gearplate.checks import rules
from gearplate.checks.rule import Rule
from gearplate.checks.word import Word
from gearplate.checks.words import all_names, find_word, plain
from gearplate.errors import UsageError
from gearplate.finding import Standing
from gearplate.packet.columns import wrapped

WIDTH = 80

# What is no rule of its own but stands beside a finding all the same: (title, why, limit, remedy, standing, source).
OTHER_CODES: dict[str, tuple[str, str, str, str, Standing, str]] = {
    "layout": (
        "No place for the shafts",
        "The shafts and motors that the job leaves free find no directions in which nothing touches and your limits "
        "hold. Most often that is proven, by looking at every direction in boxes; where the proof took too long, it "
        "says so.",
        "no layout at all, with as little as a build can do with. What cannot hold together is told as a set "
        "from which nothing can be left out: without any one of it, the others can. Where that much is not proven, it "
        "says so. What each limit alone would have to be was found by halving.",
        "Take the change that is told as tried; or change one of the things that cannot hold together. With a job, "
        "this page looks further than a build does, and tells every change that was looked at.",
        Standing.GEOMETRY,
        "geometry",
    ),
}


class UnknownTopic(UsageError):
    """No code and no word is called so; `near` holds names like it."""

    def __init__(self, name: str, near: tuple[str, ...]) -> None:
        self.near = near
        hint = f" Did you mean {' or '.join(near)}?" if near else ""
        shown = "".join(c if c.isprintable() else "?" for c in name[:40])
        super().__init__(f"nothing here is called {shown!r}.{hint} `gearplate explain` alone lists what there is.")


def explain(name: str, record: dict[str, Any] | None = None, width: int = WIDTH) -> str:
    """What a code or a word means; with a record, what it comes to in that design. Ends in a line feed.

    A name that is both (backlash) is told as the code, with the word's own text after it.

    Raises UnknownTopic.
    """
    rule = find_rule(name)
    word = find_word(name)
    if rule is None and word is None and _other(name) is None:
        raise UnknownTopic(name, near_names(name))
    if rule is None and _other(name) is None:
        return explain_word(name, width)
    return explain_code(name, record, width)


def explain_code(code: str, record: dict[str, Any] | None = None, width: int = WIDTH) -> str:
    """A rule's text; with a record, the formula with its numbers and the findings. Raises UnknownTopic."""
    rule = find_rule(code)
    name, (title, why, limit, remedy, standing, source) = _parts(code, rule)
    word = find_word(name)
    lines = [f"{name}: {title}", ""]
    sections = [("What goes wrong", why), ("Limit", limit), ("What to do", remedy)]
    if word is not None:
        sections.insert(0, ("The word", word.text))
    for head, text in sections:
        lines += [head, *wrapped(_sentence(text), width), ""]
    if rule is not None:
        lines += ["Compares", *wrapped(_sentence(rule.applies_to), width), ""]
    lines += ["Where this comes from", *wrapped(_sentence(_origin(standing, source)), width)]
    see = [name for name in word.see if plain(name) != plain(code)] if word is not None else []
    if see:
        lines += ["", f"See also: {', '.join(see)}"]
    if record is not None:
        from gearplate.packet.explain_design import design_lines

        lines += ["", *design_lines(name, record, width)]
    return "\n".join(lines) + "\n"


def explain_word(name: str, width: int = WIDTH) -> str:
    """A word of the glossary. Raises UnknownTopic."""
    word = find_word(name)
    if word is None:
        raise UnknownTopic(name, near_names(name))
    also = f" (also: {', '.join(word.also)})" if word.also else ""
    lines = [f"{word.name}{also}", "", *wrapped(word.text, width), ""]
    lines += ["Where this comes from", *wrapped(_sentence(_origin(word.standing, word.source)), width)]
    if word.see:
        lines += ["", f"See also: {', '.join(word.see)}"]
    return "\n".join(lines) + "\n"


def topics() -> str:
    """All codes with their titles, and all words: what `explain` knows."""
    longest = max(len(code) for code in codes())
    lines = ["Codes, as they stand beside findings:"]
    lines += [f"  {rule.code:<{longest}}  {rule.title}" for rule in rules.ALL_RULES]
    lines += [f"  {code:<{longest}}  {parts[0]}" for code, parts in OTHER_CODES.items()]
    lines += ["", "Words:", *wrapped(", ".join(words()), WIDTH)]
    return "\n".join(lines) + "\n"


def as_data(name: str, record: dict[str, Any] | None = None) -> dict[str, Any]:
    """A code or word for programs; with a record, a code's `design` too. Raises UnknownTopic."""
    if find_rule(name) is not None or _other(name) is not None:
        code, (title, why, limit, remedy, standing, source) = _parts(name, find_rule(name))
        data: dict[str, Any] = {
            "code": code,
            "title": title,
            "why": why,
            "limit": limit,
            "remedy": remedy,
            "standing": standing.value,
            "source": source,
        }
        if record is not None:
            from gearplate.packet.explain_design import design_data

            data["design"] = design_data(code, record)
        return data
    word = find_word(name)
    if word is None:
        raise UnknownTopic(name, near_names(name))
    return {
        "word": word.name,
        "also": list(word.also),
        "text": word.text,
        "standing": word.standing.value,
        "source": word.source,
        "see": list(word.see),
    }


def codes() -> list[str]:
    """Every code that a finding can have."""
    return [*(rule.code for rule in rules.ALL_RULES), *OTHER_CODES]


def words() -> list[str]:
    """Every word of the glossary, in alphabetical order."""
    return sorted((word.name for word in _words()), key=str.lower)


def find_rule(code: str) -> Rule | None:
    """The rule with that code; capitals, spaces and underscores do not matter."""
    if (found := rules.rule_called(code)) is not None:
        return found
    wanted = plain(code)
    return next((rule for rule in rules.ALL_RULES if plain(rule.code) == wanted), None)


def near_names(name: str) -> tuple[str, ...]:
    """Up to three codes or words that look like the name."""
    import difflib

    known = {plain(known): known for known in (*all_names(), *codes())}
    wanted = plain(name[:60])
    found = difflib.get_close_matches(wanted, known, n=3, cutoff=0.6)
    found += [key for key in known if wanted and wanted in key.split() and key not in found]
    return tuple(known[key] for key in found[:3])


def _words() -> tuple[Word, ...]:
    from gearplate.checks.words import WORDS

    return WORDS


def _other(name: str) -> str | None:
    return next((code for code in OTHER_CODES if plain(code) == plain(name)), None)


def _parts(code: str, rule: Rule | None) -> tuple[str, tuple[str, str, str, str, Standing, str]]:
    if rule is not None:
        return rule.code, (rule.title, rule.why, rule.limit, rule.remedy, rule.standing, rule.source)
    other = _other(code)
    if other is None:
        raise UnknownTopic(code, near_names(code))
    return other, OTHER_CODES[other]


def _origin(standing: Standing, source: str) -> str:
    return source if standing.value in source else f"{standing.value}: {source}" if source else standing.value


_FORMULA = re.compile(r"\w+([.(]\w| = )")


def _sentence(text: str) -> str:
    """With a capital and a full stop; a formula or a key at its start keeps its own letters."""
    text = text if _FORMULA.match(text) else text[:1].upper() + text[1:]
    return text if text.endswith((".", "!", "?")) else f"{text}."
