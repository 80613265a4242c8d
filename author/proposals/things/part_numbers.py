"""Which thing a part number belongs to: the one spoken of, not the noun that stands nearest."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import ARTICLES
from author.proposals.language.noun_phrases import Phrase
from author.proposals.language.tokens import Token, tokens_of
from author.proposals.speech.spoken import Sentence
from author.proposals.things.heads import head_of
from author.proposals.things.named import FAINT, Thing
from author.proposals.things.spelled_numbers import Spelled, spelled_in

_NEAR = 3
_FAR = 14
"""Words back to which "part number AB-20" may point."""
_LEADS = ARTICLES | _words("and or plus one two three four six eight")
_ANNOUNCED = re.compile(
    r"\b(?:part (?:number|no)|number|ordering number)(?:'s| is|,|:)?\s*$", re.IGNORECASE
)
# "The cover off, then check part number AB-20": the number is not that of the cover.
_SOMETHING_ELSE = re.compile(
    r"\b(?:then|but|with|check|and(?! an? (?:half|quarter|bit)\b))\b|[.;!?](?!\d)", re.IGNORECASE
)
_TOLD_APART = re.compile(
    r"(?:(?:and|so|now|right|okay|er|um|yeah)[, ]+)*(?:(?:that's|that is|it's|it is|this is|"
    r"this one's|(?:the |its |it's )?(?:part )?(?:number|no)(?:'s| is| for (?:it|that) is)?|"
    r"(?:you )?(?:order|ask for))\b[,: ]*)+$",
    re.IGNORECASE,
)


def numbered(
    text: str, tokens: Sequence[Token], phrases: Sequence[Phrase], spelled: Sequence[Spelled]
) -> dict[int, str]:
    """Return for each name the part number that is told of it.

    Args:
        text: the sentence.
        tokens: its words.
        phrases: the names in it.
        spelled: the numbers in it.
    """
    found: dict[int, str] = {}
    spans = [(tokens[one.name_first].begin, tokens[one.stop - 1].end) for one in phrases]
    for one in spelled:
        behind = next((n for n, phrase in enumerate(phrases) if phrase.first == one.stop), None)
        before = [n for n, phrase in enumerate(phrases) if 0 <= one.first - phrase.stop <= _NEAR
                  and phrase.kind in {"part", "weak"}]  # fmt: skip
        if behind is not None and phrases[behind].kind == "part":
            # "The AB-20 wear ring"; not "one seal kit, part number AB-20, one wear ring".
            leads = tokens[one.first].parted or tokens[one.first - 1].low in _LEADS
            if not before or (leads and not tokens[one.stop].parted):
                found.setdefault(behind, one.number)
                continue
        if before:
            at = before[-1]
            # "The housing AB-20" is named by its number; "the seal in the housing, AB-20" is not.
            if tokens[one.first].parted or phrases[at].stop < one.first:
                at = _spoken_of(text, spans, phrases, at)
            found[at] = one.number
        elif _ANNOUNCED.search(text[: tokens[one.first].begin]):
            far = _told_long_before(text, tokens, phrases, spans, one)
            if far is not None:
                found.setdefault(far, one.number)
    return found


def _spoken_of(
    text: str, spans: Sequence[tuple[int, int]], phrases: Sequence[Phrase], at: int
) -> int:
    head = head_of(text, spans, at)
    # Grease on a bearing is spoken of too, but a number is sooner that of the bearing.
    return head if phrases[head].kind in {"part", "weak", None} else at


def _told_long_before(
    text: str,
    tokens: Sequence[Token],
    phrases: Sequence[Phrase],
    spans: Sequence[tuple[int, int]],
    one: Spelled,
) -> int | None:
    """Return the name with a number behind what describes it, or None where something is done."""
    known = [n for n, phrase in enumerate(phrases) if phrase.kind in {"part", "weak"}
             and phrase.stop <= one.first and one.first - phrase.stop <= _FAR]  # fmt: skip
    if not known:
        return None
    described = text[spans[known[-1]][1] : tokens[one.first].begin]
    if _SOMETHING_ELSE.search(described):
        return None
    return _spoken_of(text, spans, phrases, known[-1])


def with_numbers_told_apart(sentences: Sequence[Sentence], things: Sequence[Thing]) -> list[Thing]:
    """Return the things, with the number that a sentence of its own tells: "That's AB-20".

    Args:
        sentences: what was said.
        things: what may be named in them, in the order said.
    """
    found = list(things)
    by_sentence: dict[int, list[int]] = {}
    for at, thing in enumerate(things):
        if thing.kind == "part" and thing.confidence > FAINT:
            by_sentence.setdefault(thing.sentence, []).append(at)
    for index, sentence in enumerate(sentences[1:], start=1):
        if sentence.recording != sentences[index - 1].recording or index in by_sentence:
            continue
        tokens = tokens_of(sentence.text)
        for one in spelled_in(tokens)[:1]:
            lead = sentence.text[: tokens[one.first].begin]
            named = by_sentence.get(index - 1, [])
            if named and (not lead.strip() or _TOLD_APART.fullmatch(lead.strip() + " ")):
                at = _head_in(sentences[index - 1].text, things, named)
                if found[at].number is None:
                    found[at] = replace(found[at], number=one.number)
    return found


def _head_in(text: str, things: Sequence[Thing], named: Sequence[int]) -> int:
    """Return what a sentence speaks of: what is worked on first, or what it names last."""
    spans = [(things[at].begin, things[at].end) for at in named]
    return named[head_of(text, spans, len(spans) - 1)]
