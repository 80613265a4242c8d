"""The words of an order put together: shortened, with what is done in which case behind it."""

from __future__ import annotations

from collections.abc import Sequence

from author.checks.verbs import LOOKING_VERBS
from author.proposals.language.closed_words import ARTICLES, PARTICLES
from author.proposals.language.noun_phrases import phrases_of
from author.proposals.language.tokens import tokens_of
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of
from author.proposals.orders.sense import without_lost_end
from author.proposals.orders.ways import is_manner

_MOST_WORDS = 20


_DROPPED_AT_END = (
    ("nice", "and", "easy"), ("okay",), ("right",), ("alright",), ("here",), ("please",), ("yet",),
    ("already",), ("then",), ("now",), ("off", "camera"), ("like", "so"), ("like", "this"),
    ("like", "that"), ("as", "well"), ("too",), ("for", "me"), ("for", "you"), ("there",),
    ("there", "we", "go"), ("lefty", "loosey"), ("righty", "tighty"), ("guess", "how"),
    ("or", "so"), ("or", "whatever"), ("whatever",), ("you", "see"), ("the", "day", "before"),
    ("yesterday",), ("and", "that's", "that"), ("you", "know"), ("while", "you're"),
    ("while", "we're"), ("while", "you're", "there"), ("while", "you're", "at", "it"),
    ("either", "way"), ("give",), ("give", "or"), ("every", "year"), ("once", "a", "year"),
    ("no", "wait"), ("lovely",), ("sweet",), ("remember",), ("look", "at", "that"), ("mind", "you"),
    ("eh",), ("innit",), ("happy", "days"),
)  # fmt: skip


def verb_of(words: Sequence[str]) -> str:
    """Return the verb of an order, behind "do not", "never" and "carefully"."""
    for word in words:
        if (
            word not in {"not", "never"}
            and not word.endswith("ly")
            and (word != "do" or "not" not in words[:2])
        ):
            return base_of(word) or word
    return words[0]


def trimmed(words: list[str]) -> list[str]:
    """Return an order without small talk at its end and doubled praise in it."""
    changed = True
    while changed and len(words) > 2:
        changed = False
        for end in _DROPPED_AT_END:
            if len(words) > len(end) + 1 and tuple(words[-len(end) :]) == end:
                if end == ("right",) and words[-2] in {"the", "to", "a", "and", "or"}:
                    continue
                if end == ("there",) and words[-2] in {"under", "in", "behind", "inside", "near"}:
                    continue
                words, changed = words[: -len(end)], True
    while len(words) > 1 and words[-1] in {"and", "or", "but", "so"}:
        words = words[:-1]
    for at in range(len(words) - 2):
        if words[at : at + 2] == ["nice", "and"]:
            return words[:at] + words[at + 2 :]
    return words


def condition_behind(words: list[str]) -> tuple[list[str], tuple[str, ...]]:
    """Take a condition from behind an order; "check if it turns" has none."""
    for at in range(2, len(words)):
        if words[at] in {"if", "unless"} and words[at - 1] not in {"as", "even", "see", "out"}:
            if verb_of(words) in LOOKING_VERBS:
                break
            if "you" in words[at + _LEAST_CASE :]:
                return words[:at], ()  # "… if it's still cloudy you get a new one": of the next
            return words[:at], tuple(words[at:])
    return words, ()


_LEAST_CASE = 3


def put_together(
    words: Sequence[str], condition: Sequence[str], tails: Sequence[Sequence[str]]
) -> str:
    """Return an order as one sentence: its case first, then what is done, then what follows."""
    main = " ".join(words).replace(" only until ", " only, until ").replace(" 'll ", "'ll ")
    text = f"{' '.join(condition)}, {main}" if condition else main
    if len(text.split()) > _MOST_WORDS:
        text = main
    for tail in tails:
        # "Fit the gasket, dry, …": a word by itself is no clause, and needs no comma.
        alone = tail is tails[0] and len(tail) == 1 and is_manner(tail[0]) and text == main
        joined = alone or tail[0] in {"before", "after", "when", "once", "while"}
        # "… in gently with a tyre lever": the tool is no aside either.
        means = tail[0] == "with" and tail[1:2] and tail[1] in {"a", "an"}
        joined = joined or (bool(means) and is_manner(tails[0][0]) and len(tails[0]) == 1)
        mark = " " if joined else ", "
        longer = f"{text}{mark}{' '.join(tail)}"
        if len(longer.split()) > _MOST_WORDS:
            break
        text = longer
    text = without_lost_end(_short(text).replace(" the the ", " the "))
    return f"{text[:1].upper()}{text[1:]}."


def _short(text: str) -> str:
    """Cut an order that is too long before the last word that may begin an aside."""
    words = text.split()
    if len(words) <= _MOST_WORDS:
        return text.rstrip(" ,;:.")
    for at in range(_MOST_WORDS, 3, -1):
        if words[at] in {"and", "so", "because", "which", "with", "until", "to", "on", "in", "for"}:
            return " ".join(words[:at]).rstrip(" ,;:.")
    return " ".join(words[:_MOST_WORDS]).rstrip(" ,;:.")


def object_of(words: Sequence[str]) -> str | None:
    """Return the name of what an order is done to, or None."""
    tokens = tokens_of(" ".join(words))
    verb = verb_of(words)
    start = next((at for at, t in enumerate(tokens) if base_of(t.low) == verb), 0) + 1
    tokens = tokens[start:]
    for phrase in phrases_of(tokens, frozenset()):
        if phrase.kind is None and not phrase.article and phrase.first:
            continue
        between = {token.low for token in tokens[: phrase.first]}
        if between & {"with", "by", "from", "of", "until", "it", "them", "to"}:
            return None
        name = [t.text for t in tokens[phrase.name_first : phrase.stop]]
        while len(name) > 1 and name[0].lower() in trade_words().dropped:
            name = name[1:]
        return " ".join(name)
    if len(tokens) > 1 and tokens[0].low in ARTICLES and tokens[1].low not in PARTICLES:
        return tokens[1].text
    return None
