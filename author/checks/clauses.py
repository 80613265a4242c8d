"""Reads an action: which orders it gives, whether it begins with one, where a condition stands.

No grammar of English is attempted. Where the words do not say clearly what a sentence is,
nothing is said of it: a rule that cries wolf is switched off.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from author.checks.verbs import (
    ADVERBS,
    ARTICLES,
    ATTENDING_VERBS,
    CLEAR_VERBS,
    FINITE,
    LINKS,
    LOOKING_VERBS,
    NOT_ADVERBS,
    NOT_PARTICIPLES,
    OBJECT_OPENERS,
    OPENERS,
    PARTICLES,
    QUANTIFIERS,
    SUBJECTS,
    SUBORDINATORS,
    VERBS,
)
from author.checks.verbs import words as _words

Words = Sequence[str]
"""Words and marks of a sentence as ``tokens`` gives them, without what stands in brackets."""

_MARKS = frozenset(",;:–—")
_STRONG_MARKS = frozenset(";:–—")
_CONDITIONS = frozenset({"if", "unless"})
# "The clip, if fitted" says to which machines it applies, and needs no place of its own; "if
# necessary" is no condition at all, but vague.
_APPLIES = _words(
    """
    any applicable equipped fitted installed necessary needed possible present provided required
    used
    """
)
# "Because of", "instead of" begin what comes before an order.
_OF_OPENERS = _words("ahead because clear instead irrespective lieu one regardless")


def without_asides(words: Words) -> list[str]:
    """Return the words of a sentence without what stands in brackets."""
    left: list[str] = []
    depth = 0
    for word in words:
        if word == "(":
            depth += 1
        elif word == ")":
            depth = max(0, depth - 1)
        elif not depth:
            left.append(word)
    return left


def clauses(words: Words) -> list[list[str]]:
    """Return the parts of a sentence between commas, semicolons, colons and dashes."""
    parts: list[list[str]] = [[]]
    for word in words:
        if word in _MARKS:
            parts.append([])
        else:
            parts[-1].append(word)
    return [part for part in parts if part]


def _is_adverb(word: str) -> bool:
    return word in ADVERBS or (
        word.endswith("ly") and len(word) > 4 and word not in NOT_ADVERBS and word not in VERBS
    )


def _skip(words: Words, at: int) -> int:
    """Return where the words go on behind "and", "then" and adverbs."""
    while at < len(words) and (words[at] in LINKS or _is_adverb(words[at])):
        at += 1
    return at


def _names_a_thing(words: Words) -> bool:
    """Whether a word that could be an order is the name of something that is described.

    "Drive belt must be dry" describes; "Drive the belt" and "Check oil is clear" are orders.
    """
    if words[0] in CLEAR_VERBS or words[0] in LOOKING_VERBS or len(words) < 3:
        return False
    if words[1] in OBJECT_OPENERS or words[1] in PARTICLES or words[1] in OPENERS:
        return False
    for word in words[1:4]:
        if word in SUBORDINATORS or word in OPENERS:
            return False
        if word in FINITE:
            return True
    return False


def _begins_with_order(clause: Words) -> bool:
    rest = clause[_skip(clause, 0) :]
    if not rest:
        return False
    if rest[0] in {"do", "don't", "never", "always", "not"}:
        return True
    return rest[0] in VERBS and not _names_a_thing(rest) and rest[1:2] != ["of"]


def _is_order_at(words: Words, at: int, *, surely: bool) -> bool:
    """Whether an order begins at a word in the middle of a sentence.

    Args:
        words: the sentence.
        at: the place.
        surely: whether what stands before lets nothing but a clause follow.
    """
    word = words[at]
    behind = words[at + 1] if at + 1 < len(words) else ""
    if word in CLEAR_VERBS:
        return behind != "of"
    if word not in VERBS:
        return False
    if surely or behind in OBJECT_OPENERS:
        return not (behind == "all" and words[at + 2 : at + 3] == ["round"])
    if behind not in {"and", "or"} or at + 3 >= len(words):
        return False
    # "lock and tag the isolator"
    return words[at + 2] in VERBS and words[at + 3] in OBJECT_OPENERS


def _order_places(words: Words) -> Iterator[int]:
    """Yield the places in a sentence at which an order begins."""
    first = _skip(words, 0)
    if first < len(words) and words[first] in {"do", "don't", "never"}:
        yield first
        return
    if _begins_with_order(words[first:]):
        yield first
    elif first < len(words) and words[first] in ARTICLES | SUBJECTS:
        return
    at = first + 1
    while at < len(words):
        before = words[at - 1]
        if before not in _MARKS and before not in {"and", "then"}:
            at += 1
            continue
        start = _skip(words, at)
        surely = before in _STRONG_MARKS or "then" in words[at - 1 : start]
        if start < len(words) and _is_order_at(words, start, surely=surely):
            yield start
        at = max(start, at + 1)


def orders(words: Words) -> list[str]:
    """Return the verbs of a sentence that each ask for an action of their own.

    Verbs that share their object ("lock and tag the switch") ask for one; looking, waiting
    and holding ask for none.
    """
    found: list[str] = []
    last: int | None = None
    for place in _order_places(words):
        between = () if last is None else words[last + 1 : place]
        shared = last is not None and all(
            word in PARTICLES or word in LINKS or word == "," or _is_adverb(word)
            for word in between
        )
        last = place
        attends = words[place] in ATTENDING_VERBS or words[place : place + 2] in (
            ["make", "sure"], ["make", "certain"], ["take", "care"]
        )  # fmt: skip
        if not shared and not attends:
            found.append(words[place])
    return found


def holds_order(words: Words) -> bool:
    """Whether a sentence gives an order at all, be it to look or to wait."""
    return next(_order_places(words), None) is not None


def _finite(clause: Words) -> str | None:
    """Return the verb by which a clause describes something, if it has one."""
    for word in clause[1:]:
        if word in SUBORDINATORS:
            return None
        if word in FINITE:
            return word
    return None


def not_an_order(words: Words) -> str | None:
    """Return what shows that a sentence is clearly no order, or None.

    Returns:
        The words that show it, as they are told to the author.
    """
    parts = clauses(words)
    while parts and _skip(parts[0], 0) == len(parts[0]):
        parts = parts[1:]  # "Then, …", "Carefully, …"
    if not parts or _begins_with_order(parts[0]):
        return None
    head = parts[0][_skip(parts[0], 0) :]
    later_order = any(_begins_with_order(part) for part in parts[1:])
    if head[0] in OPENERS:
        # "If it is loose, the nut is tightened."
        return None if later_order else next(filter(None, map(_described, parts[1:])), None)
    found = _described(head)
    if found is not None:
        return found
    return None if later_order else _headline(head)


def _described(clause: Words) -> str | None:
    """Return what shows that a clause says how things are instead of what to do."""
    clause = clause[_skip(clause, 0) :]
    if not clause:
        return None
    first = clause[0]
    if first in SUBJECTS and len(clause) > 1 and (first != "one" or clause[1] in FINITE):
        return f"{first} {clause[1]}"
    finite = _finite(clause)
    if finite is not None and (first not in VERBS or _names_a_thing(clause)):
        return f"{first} … {finite}"
    return None


def _headline(head: Words) -> str | None:
    """Return what shows that a sentence is a heading, a description or a report."""
    first = head[0]
    behind = head[1] if len(head) > 1 else ""
    if first in ARTICLES:
        return f"{first} {behind}".strip()
    if first in QUANTIFIERS or first == "#":
        return None
    if behind == "of" and first not in _OF_OPENERS and first not in CLEAR_VERBS:
        return f"{first} of"
    if first.endswith("ing") and first not in NOT_PARTICIPLES and len(first) > 4:
        # "Using a drift tap the ring home": the comma is left out, the order is there.
        return None if any(word in VERBS for word in head[2:]) and first == "using" else first
    if _base(first) in CLEAR_VERBS:
        return first
    return None


def _base(word: str) -> str:
    """Return the order behind "removes" or "removed", or the word itself."""
    for ending, letters in (("ies", "y"), ("es", ""), ("s", ""), ("ied", "y"), ("ed", ""),
                            ("d", "")):  # fmt: skip
        stem = word.removesuffix(ending) + letters
        if word.endswith(ending) and stem in CLEAR_VERBS:
            return stem
    return word


def condition_behind(words: Words) -> str | None:
    """Return the condition that stands behind its order, or None.

    "Check if it turns" has none; nor has "the clip, if fitted", nor "until".
    """
    for at, word in enumerate(words):
        if word not in _CONDITIONS or _leads(words, at):
            continue
        behind = words[at + 1 : at + 3]
        if not behind or behind[0] in _APPLIES or behind[0] == "there":
            continue
        if words[at - 1] in {"as", "even", "what", "or", "and"} or _looks(words[:at]):
            continue
        if not holds_order(words[:at]):
            continue
        return " ".join(words[at : at + 4])
    return None


def _leads(words: Words, at: int) -> bool:
    """Whether a condition begins its clause: at the start, behind a semicolon, "but if"."""
    before = at
    while before and (words[before - 1] in {"and", "but", "then", "or", "only", "even"}):
        before -= 1
    if before == 0 or words[before - 1] in _STRONG_MARKS:
        return True
    # ", and if it binds, turn it back": an order follows behind the condition.
    if words[before - 1] != "," and before == at:
        return False
    rest = words[at:]
    return "," in rest and any(_begins_with_order(part) for part in clauses(rest)[1:])


def _looks(before: Words) -> bool:
    """Whether the last order before a place asks to find something out."""
    places = list(_order_places(before))
    if before and before[-1] in LOOKING_VERBS | {"out", "whether"}:
        return True
    return bool(places) and before[places[-1]] in LOOKING_VERBS


def conditions(words: Words) -> list[list[str]]:
    """Return the words of each condition of a sentence."""
    found: list[list[str]] = []
    for at, word in enumerate(words):
        if (word not in _CONDITIONS and word != "when") or _looks(words[:at]):
            continue
        said = _held(clauses(words[at:]))
        found.append(said[: said.index("then")] if "then" in said else said)
    return found


def _held(parts: Sequence[list[str]]) -> list[str]:
    """Return the words of a condition: all up to an order, else the first part alone."""
    ends = [index for index, part in enumerate(parts) if index and _begins_with_order(part)]
    # "If it rubs, the gap is small": what is described there is no part of the condition.
    described = any(_described(part) is not None for part in parts[1:])
    stop = ends[0] if ends else 1 if described else len(parts)
    return [word for part in parts[:stop] for word in part]
