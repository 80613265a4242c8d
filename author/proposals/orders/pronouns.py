"""Names in the place of "it", "them" and "that" in an order."""

from __future__ import annotations

from collections.abc import Sequence

from author.proposals.language.closed_words import NUMBERS
from author.proposals.language.word_forms import singular
from author.proposals.orders.words import PARTICLES, STANDS


def with_name(words: list[str], it: str) -> list[str]:
    """Put the name of a thing for the first "it" behind the verb, of several for "them".

    Args:
        words: of the order.
        it: what "it" stands for, with its article.
    """
    every = words.index("all") if _are_all(words) else 0
    if every:  # "change all six": of which there are as many
        return [*words[: every + 2], *it.split()[1:], *words[every + 2 :]]
    many = " and " in it or singular(it.rsplit(maxsplit=1)[-1]) != it.rsplit(maxsplit=1)[-1]
    for at, word in enumerate(words[1:5], 1):
        if words[at - 1] in _UNTIL:
            break  # "turn the screw until it hums": whatever hums then
        told = word == ("them" if many else "it") or _points(words, at, many=many)
        if told and not _off_a_stand(words[at + 1 :]):
            name = [part for part in it.split() if part != "two" or words[at + 1 :][:1] != ["both"]]
            if words[at + 1 :][:1] in (["both"], ["all"]):
                return [*words[:at], words[at + 1], *name, *words[at + 2 :]]
            return [*words[:at], *name, *words[at + 1 :]]
    if len(words) == 2 and words[1] in {"off", "out", "away", "on", "in", "back"}:
        return [words[0], *it.split(), words[1]]
    return words


def _are_all(words: Sequence[str]) -> bool:
    """Whether an order is done to "all six", with no name behind."""
    at = words.index("all") + 1 if "all" in words[1:4] else len(words)
    behind = words[at + 1] if at + 1 < len(words) else ""
    return (
        words[at : at + 1] != []
        and words[at] in NUMBERS
        and (not behind or behind in PARTICLES | {"and", "with", "while", "so", "to", "by"})
    )


_UNTIL = frozenset({"until", "till", "before", "while", "so", "that", "if", "when", "once"})


def _points(words: Sequence[str], at: int, *, many: bool) -> bool:
    """Whether "that" or "those" is what an order is done to: "undo that and put it in the tin"."""
    behind = words[at + 1] if at + 1 < len(words) else ""
    return words[at].strip(",") in ({"those", "these"} if many else {"that"}) and (
        not behind or behind in PARTICLES or behind in {"and", "with"}
    )


def _off_a_stand(behind: Sequence[str]) -> bool:
    """Whether the machine comes off what it stands on: "take it off the jack"."""
    return list(behind[:2]) == ["off", "the"] and bool(STANDS & set(behind[2:5]))
