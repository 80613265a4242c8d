"""Phrases that speak for a kind of sentence, found by their first word.

Every word of a sentence is looked up once; only the few phrases that begin with it are
tried. So the work grows with the length of the text and hardly with the number of phrases.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from author.proposals.kinds.marks import Hit, Kind, Sign
from author.proposals.language.plain_words import NUMBER_WORDS, Plain
from author.resources import load_own_table

_GAP = 4
_PIECE = re.compile(r"\([^()]*\)\??|\S+")
_NUMBER = r"(?:\d\S* |(?:" + "|".join(sorted(NUMBER_WORDS)) + ") )"


@dataclass(slots=True)
class _Cue:
    """One phrase; its pattern is made when its first two words are met.

    Its second word is one of ``seconds``, or any where that is None.
    """

    kind: Kind
    weight: int
    reason: str
    starts: bool
    pieces: list[str]
    classes: Mapping[str, list[str]]
    sign: Sign
    seconds: frozenset[str] | None
    pattern: re.Pattern[str] | None = None

    def made(self) -> re.Pattern[str]:
        """Return the pattern, made now."""
        self.pattern = re.compile(_pattern(self.pieces, self.classes))
        return self.pattern


def _choices(piece: str, classes: Mapping[str, list[str]]) -> list[str]:
    """Return the words or word groups one piece of a phrase stands for."""
    found: list[str] = []
    for one in piece.strip("()").split("|"):
        found.extend(classes[one[1:]] if one.startswith("@") else [one])
    return found


def _seconds(pieces: Iterable[str], classes: Mapping[str, list[str]]) -> frozenset[str] | None:
    """Return the words one of which comes second in a phrase, or None where any may."""
    found: set[str] = set()
    for number, piece in enumerate(pieces):
        if piece.startswith(("…", "$")):
            return None
        optional = piece.endswith("?")
        choices = [one.split(" ") for one in _choices(piece.removesuffix("?"), classes)]
        nexts = [one[0] for one in choices] if number else [one[1] for one in choices if one[1:]]
        if any(one in {"#", "$"} or one.endswith("*") for one in nexts):
            return None
        found.update(nexts)
        if number and not optional:
            return frozenset(found)
    return None


def _word(one: str) -> str:
    """Return the pattern of one word or word group, with the space behind it."""
    parts = []
    for word in one.split(" "):
        if word == "$":
            parts.append("$")
        elif word == "#":
            parts.append(_NUMBER)
        elif word.endswith("*"):
            parts.append(re.escape(word[:-1]) + r"\S* ")
        else:
            parts.append(re.escape(word) + " ")
    return "".join(parts)


def _pattern(pieces: Iterable[str], classes: Mapping[str, list[str]]) -> str:
    made: list[str] = []
    for piece in pieces:
        if piece == "$":
            made.append("$")
        elif piece.startswith("…"):
            made.append(rf"(?:\S+ ){{0,{piece[1:] or _GAP}}}?")
        else:
            optional = piece.endswith("?")
            choices = _choices(piece[:-1] if optional else piece, classes)
            words = "|".join(_word(one) for one in choices)
            made.append(f"(?:{words})" + ("?" if optional else ""))
    return "".join(made)


def _lines(phrases: str) -> list[str]:
    """Return the phrases of a table; a line that begins with ``|`` goes on with the last."""
    lines: list[str] = []
    for line in phrases.splitlines():
        if line.lstrip().startswith("|") and lines:
            lines[-1] += line.strip()
        elif line.strip():
            lines.append(" ".join(line.split()))
    return lines


@dataclass(slots=True)
class Cues:
    """Tables of phrases, ready to be looked for in a sentence."""

    _by_word: dict[str, list[_Cue]] = field(default_factory=dict)
    _numbers: list[_Cue] = field(default_factory=list)

    @classmethod
    def of(cls, read: Mapping[str, Any]) -> Cues:
        """Return tables made ready, as they stand in the resource.

        Args:
            read: ``classes`` and ``tables``; the resource says how a phrase is written.

        Raises:
            ValueError: where a phrase does not begin with a whole word.
        """
        made = cls()
        classes = {name: str(listed).split() for name, listed in read["classes"].items()}
        for table in read["tables"]:
            for line in _lines(table["phrases"]):
                made._add(table, line, classes)
        return made

    def _add(self, table: Mapping[str, Any], line: str, classes: Mapping[str, list[str]]) -> None:
        starts = line.startswith("^ ")
        pieces = _PIECE.findall(line[2:] if starts else line)
        first = _choices(pieces[0], classes)
        if pieces[0].endswith("?") or any(one[:1] in "…$" or one.endswith("*") for one in first):
            raise ValueError(f"a phrase needs a whole word first: {line}")
        cue = _Cue(
            table["kind"],
            table["weight"],
            table["reason"],
            starts,
            pieces,
            classes,
            table.get("sign", "phrase"),
            _seconds(pieces, classes),
        )
        for word in dict.fromkeys(one.split(" ")[0] for one in first):
            (self._numbers if word == "#" else self._by_word.setdefault(word, [])).append(cue)

    def found(self, said: Plain, starts: frozenset[int]) -> Iterator[Hit]:
        """Yield each phrase found in a sentence.

        Args:
            said: the words.
            starts: indexes of words with which a clause begins.
        """
        for at, word in enumerate(said.words):
            cues: Iterable[_Cue] = self._by_word.get(word, ())
            if word[0].isdigit() or word in NUMBER_WORDS:
                cues = (*cues, *self._numbers)
            if not cues:
                continue
            place = said.places[at]
            after = said.word(at + 1).partition(" ")[0]
            for cue in cues:
                if cue.seconds is not None and after not in cue.seconds:
                    continue
                if cue.starts and at not in starts:
                    continue
                found = (cue.pattern or cue.made()).match(said.text, place)
                if found is not None and found.end() > place:
                    last = at + said.text.count(" ", place, found.end())
                    yield Hit(cue.kind, at, last, cue.weight, cue.reason, cue.sign)


@cache
def spoken_cues() -> Cues:
    """Return the phrases of the resource, read once."""
    return Cues.of(load_own_table("sentence_cues.yaml"))
