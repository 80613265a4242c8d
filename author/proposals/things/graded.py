"""Supplies told by their grade alone: "ISO 46 up to the mark", "some 400 grit", "with EP2"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from decimal import Decimal

from author.procedure.number_words import ONES, TENS
from author.proposals.language.tokens import Token
from author.proposals.things.done_with import where_it_goes
from author.proposals.things.named import Thing

_TENS, _ONES = "|".join(TENS), "|".join(ONES)
_NUMBER = rf"(?:\d{{1,4}}|(?:{_TENS})(?:[ -](?:{_ONES}))?|{_ONES})"
_HUNDREDS = rf"(?:\d{{2,4}}|(?:an?|{_ONES}|{_TENS}) (?:hundred|thousand)(?: and \w+| \w+ty)?)"
# A name behind the grade says what it is: "the 400 grit belt", "the EP2 plug", "two stroke engine".
_ENDS = (
    r"(?=\W*$|\s*[,.;:!?]|\s+(?:to|up|in|into|on|onto|over|under|round|around|until|till|and|or|for"
    r"|at|with|about|then|so|first|only|goes|going|from|through|between|per|at|again|now|if|when"
    r"|while|as|please|it|you|mixed|pumped|rubbed|just|all|every|once|twice|a|the|not|no)\b)"
)
_FORMS = tuple(
    (re.compile(rf"\b(?P<grade>{form}){_ENDS}", re.IGNORECASE), noun)
    for form, noun in (
        (rf"(?:ISO )?VG ?{_NUMBER}|ISO {_NUMBER}|SAE ?{_NUMBER}|\d{{1,2}}W[- ]?\d{{2}}", " oil"),
        (rf"{_NUMBER} hydraulic|(?:two|2)[ -]stroke", " oil"),
        (r"(?<=of )(?:five|ten|fifteen|twenty)[ -](?:W[ -]?)?(?:thirty|forty|fifty)", " oil"),
        (rf"DOT ?(?:\d(?:\.\d)?|{_ONES})", " fluid"),
        ("EP ?[0-3]|EP (?:zero|one|two|three)", " grease"),
        (
            r"(?:(?:number |no\.? ?)?(?:[0-3]|zero|one|two|three) )lithium|lithium EP ?\d?",
            " grease",
        ),
        (rf"(?:{_HUNDREDS} )?wet[ -](?:and|or|&)[ -]dry", " paper"),
        (rf"{_HUNDREDS}[ -]grit", ""),
    )
)
_ANY = re.compile(
    r"\b(?:iso|vg|sae|dot|ep|lithium|grit|wet|stroke|hydraulic)|\dW|(?:thirty|forty|fifty)\b",
    re.IGNORECASE,
)
# It is used: "with 400 grit", "a squirt of two stroke", "it takes ISO 46"; not "a two stroke".
_USED = re.compile(
    r"\b(?:with|wi'|of|some|in|use|using|takes?|wants?|needs?|get|put|pump|pour|add|fill|to|or|on"
    r"|onto|and|then|it's|that's|is|only|just|nothing but|straight|proper|ordinary|fresh|clean|new)"
    r"(?: (?:in|up|some|only|just|the|a|an|any|this|that|fresh|clean|new|straight))*\s*$",
    re.IGNORECASE,
)
_REFUSED = re.compile(
    r"\b(?:not|never|no|don't|nae)(?: (?:a|the|any|in|put|use|try|with|just))*\s*$", re.IGNORECASE
)
# "It's a two stroke": the engine.
_OF_AN_ENGINE = re.compile(r"\b(?:it's|that's|is|on|an?|the)(?: an?| the)?\s*$", re.IGNORECASE)
_WEAK = Decimal("0.6")
BY_GRADE = "by grade"
"""Sign of a supply that is told by its grade alone."""


def graded(index: int, text: str, tokens: Sequence[Token]) -> Iterator[Thing]:
    """Yield the supplies that a sentence tells by their grade alone.

    Args:
        index: of the sentence.
        text: its words as they were said.
        tokens: its words.
    """
    if not _ANY.search(text):
        return
    for form, noun in _FORMS:
        for found in form.finditer(text):
            before, end = text[: found.start()], found.end()
            if _REFUSED.search(before) or not _is_used(found["grade"], before):
                continue
            at = next((n for n, token in enumerate(tokens) if token.begin >= end), len(tokens))
            where, reason = where_it_goes(text, tokens, at), f"'{found['grade']}' is its grade"
            yield Thing(index, found.start(), end, "supply", found["grade"] + noun, None, None,
                        where, _WEAK, reason, frozenset({BY_GRADE}))  # fmt: skip


def _is_used(grade: str, before: str) -> bool:
    """Whether something of a grade is used and not a machine or a size named by it."""
    if "stroke" in grade.lower():
        of = re.search(
            r"\b(?:of|with|some|in|on|using|use|get|grab|your|the right)\s*$", before, re.I
        )
        return of is not None and not _OF_AN_ENGINE.search(before)
    if grade.lower().startswith("wet") and before.lower().rstrip().endswith(("it's", "is", "are")):
        return False  # "it's wet and dry by turns"
    return not before.strip() or _USED.search(before) is not None
