"""What warns by its form alone, whatever the sentences around it are about.

Signs are weighed over a whole talk, and a few plain forms fall below the bar in some: "there's
always pressure in there", "don't mix them", "hand driver only".
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from author.proposals.kinds.marks import Kind, Marked, by_sentence, meet, with_others
from author.proposals.speech.spoken import Sentence

_HAZARD = re.compile(
    # "There's always pressure in there", not "there's no pressure in there now"
    r"(?:\bthere(?:'s| is|'ll be| will be) (?:always|still|often|usually) (?:a bit of |some |a "
    r"little )?"
    r"(?:pressure|voltage|charge|tension|load|current|vacuum|steam|gas|fuel) (?:left )?(?:in|on|"
    r"behind|"
    r"under|inside|across)\b[^,.;]*"
    # "Never mix it with the sanitizer": what comes of two of them
    r"|\b(?:don't|do not|never|mustn't) (?:ever )?mix (?:it|this|that|that stuff) with "
    r"(?!you\b|me\b|us\b)(?:the |an? |any )?[\w-]+"
    # "I want that drum under forty degrees before you open it"; "I want the wheel off before
    # you start" is work
    r"|\b(?:i|we) want (?:it|(?:that|this|the|your) [\w-]+(?: [\w-]+)?) (?:(?:all |well |stone "
    r"|right |completely )?(?:(?:under|below|down to|down under) (?:[\w.-]+ ){0,3}?(?:degrees|bar"
    r"|psi|volts|celsius|c|f|nought|zero|nothing)|dead|cold|cool|isolated|drained|locked off|"
    r"switched off|let down) )before (?:you|we|i|any\w+|some\w+|they) [^,.;]*"
    # "Mind how it lifts"; "mind how you go" is a farewell
    r"|\b(?:mind|watch) how (?:it|they|she|he|that|you|the [\w-]+) (?!much\b|many\b|"
    r"go\b)[a-z]+s?\b)",
    re.IGNORECASE,
)
_DAMAGE = re.compile(
    # "Don't mix old with new", "never mixed"
    r"(?:\b(?:don't|do not|never|can't|mustn't) (?:ever )?mix (?:them|these|those|the two|old|new|"
    r"different|types|makes|sizes|up)\b[^,.;]{0,40}?(?=[,.;]|$| you\b)"
    r"|\bnever mixed\b"
    # "Clean it with alcohol, not with benzine"
    r"|(?<=, )(?:not|never) with (?:an? |the )?(?!you\b|me\b|us\b|it\b|that\b|this\b|them\b)[\w-]+"
    r"(?=[,.;]|$)"
    r"|\b(?:hand (?:driver|tools?|wrench)|by hand|finger[- ]tight) only\b"
    # "Pop them out with a screwdriver, mind the bore"
    r"|(?<=, )(?:mind|careful (?:of|with)) (?:the|that|those) (?!step\b|way\b|time\b|gap\b|"
    r"springs?\b|edges?\b|blades?\b|fan\b|weight\b)[\w-]+(?: [\w-]+)?(?=[,.;]|$))",
    re.IGNORECASE,
)
# "The quill drops out of the bottom, so have one hand there": nobody is told to drop it.
BY_ITSELF = re.compile(
    r"\b(?P<harm>(?:the|that|this|your|it|they|both|he|she)\b"
    r"(?: (?!(?:and|so|the|a|an|that)\b)[\w-]+){0,3}? (?:(?:will|can|may) )?"
    r"(?:just |always |suddenly )?(?:drops?|falls?|tips?|swings?|flops?|topples?)"
    r"(?: right| straight| clean)? (?:out|down|off|over|away|forward|back|free)\b(?! in\b)[^,.;]*),"
    r" (?:and )?(?:so )?(?:please |just |always )?"
    r"(?P<avoid>(?:(?:have|keep|put|get|leave) (?:an?|one|your|both|the other|somebody|someone)\b"
    r"[^,.;]*\b(?:hands?|under\w*|there|below|ready|helper|it)\b"
    r"|(?:hold|support|catch|hang) (?:on to )?(?:it|them|her|him|that)\b|be ready\b)[^,.;]*)",
    re.IGNORECASE,
)
"""What falls by itself and how that is met: the harm, and how to avoid it."""
_IN_CASE = re.compile(r"\b(?:if|unless|whether)\b[^,.;]*$", re.IGNORECASE)
_ONLY_WHEN = re.compile(r"before (?:you|we|i|any\w+|some\w+|they)\b", re.IGNORECASE)
_ASKED = re.compile(r"\b(?:if|unless|whether|when|why|used to|would)\b[^,.;]*$", re.IGNORECASE)
_WARNS: frozenset[Kind] = frozenset({"hazard", "damage"})
_TALK: frozenset[Kind] = frozenset({"chatter", "preview"})
_LIKELY = Decimal("0.70")


def with_sure_warnings(said: Sequence[Sentence], marks: Sequence[Marked]) -> list[Marked]:
    """Return the marks, with warnings that need no other sign than their form.

    Args:
        said: what was said.
        marks: kinds of its clauses, in the order of the sentences.
    """
    there = by_sentence(marks)
    found: list[Marked] = []
    gone: set[Marked] = set()
    for index, sentence in enumerate(said):
        own = there.get(index, ())
        for one in _told(index, sentence.text):
            met = [mark for mark in own if meet(mark, one)]
            parts = [mark for mark in met if _ONLY_WHEN.match(mark.text)]
            if not any(mark.kind in _WARNS and mark not in parts for mark in met):
                found.append(one)
                gone |= {mark for mark in met if mark.kind in _TALK or mark in parts}
        for one in _by_itself(index, sentence.text):
            met = [mark for mark in own if meet(mark, one)]
            # "The shaft pulls out and the quill drops down": that it is pulled out stays
            found += [one, *(_before(mark, one) for mark in met if _acts_before(mark, one))]
            gone.update(met)
    return with_others(marks, gone, found)


def _acts_before(mark: Marked, one: Marked) -> bool:
    """Whether something is done in a mark before what falls by itself is told."""
    return mark.kind == "action" and one.begin - mark.begin >= _WORK_TOLD


_WORK_TOLD = 8
"""Letters in which something can be told to be done: "undo it"."""


def _before(mark: Marked, one: Marked) -> Marked:
    """Return a mark up to another."""
    text = re.sub(r"(?:[ ,;]|\b(?:and|then|but)\b)+$", "", mark.text[: one.begin - mark.begin])
    return replace(mark, end=mark.begin + len(text), text=text)


def _by_itself(index: int, text: str) -> Iterator[Marked]:
    for one in BY_ITSELF.finditer(text):
        if not _IN_CASE.search(text[: one.start()]):
            words = one[0].rstrip(" ,")
            reason = f"{words[:40]!r} tells of what falls by itself"
            end = one.start() + len(words)
            yield Marked(index, one.start(), end, "hazard", words, _LIKELY, reason)


def _told(index: int, text: str) -> Iterator[Marked]:
    kinds: tuple[tuple[re.Pattern[str], Kind], ...] = ((_HAZARD, "hazard"), (_DAMAGE, "damage"))
    for pattern, kind in kinds:
        for one in pattern.finditer(text):
            if not _ASKED.search(text[: one.start()]):
                words = one[0].rstrip(" ,")
                reason = f"{words[:40]!r} warns by its form"
                end = one.start() + len(words)
                yield Marked(index, one.start(), end, kind, words, _LIKELY, reason)
