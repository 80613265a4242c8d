"""The parts a step tells of, in its sentences and just before them, and what is told of each."""

from __future__ import annotations

import re
from collections.abc import Iterator

from author.proposals.steps.named_parts import NamedPart
from author.proposals.steps.parts_told import Found
from author.proposals.steps.renewals import if_found, means_new
from author.proposals.steps.spans import SpokenStep
from author.proposals.steps.told_orders import decision_end
from author.proposals.things.pointed_at import is_spared

_NEAR = 2
"""How many sentences on "those" still mean what was named."""
_BACK_ON = frozenset({"fitting", "closing"})


_OPENS = re.compile(
    r"(?:(?:and|so|now|well|okay|right),? )*(?:the|this|that|my|our) ", re.IGNORECASE
)
_ANOTHER_ONE = re.compile(
    r"(?:(?:and|but|so|now|well),? )*(?:the|this|that) (?P<which>[\w-]+) ones? ", re.IGNORECASE
)
_TELLS = re.compile(
    r"(?:'s|(?: (?:is|was|has|had|opens?|closes?|starts?|works?|looks?|measures?|says|feels|runs"
    r"|makes|leaks|turns|sits|lasted|costs)\b))",
    re.IGNORECASE,
)


class StepParts:
    """One step, and the parts it names."""

    def __init__(self, step: SpokenStep, found: Found) -> None:
        """Find them.

        Args:
            step: the step.
            found: what was found in the talk.
        """
        self._step = step
        self._found = found
        self._told = found.told
        self._by_sentence = {index: found.named.get(index, ()) for index in step.sentences}
        self._named = [one for every in self._by_sentence.values() for one in every]

    def _text(self, one: NamedPart) -> str:
        return self._told.said[one.thing.sentence].text

    def _up_to(self, words: str) -> Iterator[NamedPart]:
        """Yield the parts named before words of this step, the last first.

        Args:
            words: in small letters.
        """
        texts = {index: self._told.said[index].text.lower() for index in self._step.sentences}
        at = next((index for index in texts if words in texts[index]), None)
        if at is None:
            return
        end = texts[at].index(words)
        first = self._step.sentences[0]
        for index in range(at, max(-1, min(first, at) - 1 - _NEAR), -1):
            for one in reversed(self._found.named.get(index, ())):
                if index < at or one.thing.end <= end:
                    yield one

    def _told_renewed(self) -> list[tuple[str, int]]:
        """Return the parts of which this step tells that they are renewed, with their counts."""
        return [
            (part, self._told.things[one.thing].count or 1)
            for index, one, part in self._found.told_renewed()
            if index in self._by_sentence
        ]

    def _stated(self, words: str, *, many: bool) -> list[tuple[str, int]] | None:
        """Return the part of which a state was told before words of this step, if of any."""
        for index in self._step.sentences:
            at = self._told.said[index].text.lower().rfind(words)
            if at >= 0:
                found = self._found.stated(index, at, many=many)
                if found is not None:
                    return [(one.part, one.thing.count or 1) for one in found]
        return None

    def _subject_before(self, words: str) -> list[tuple[str, int]]:
        """Return the part that words of this step, or the sentence before them, tell of.

        "The thermostat opens at 88 degrees. Put the new one in": not the hose that came off last.
        """
        for index in self._step.sentences:
            at = self._told.said[index].text.lower().find(words)
            if at < 0:
                continue
            named = self._found.named
            own = [one for one in named.get(index, []) if one.thing.begin < at]
            if not own and (other := _ANOTHER_ONE.match(self._told.said[index].text)):
                # "The inner one is fine. The outer one has a split, so it gets a new one"
                return self._called(other["which"].lower(), index)
            text = self._told.said[index if own or not index else index - 1].text
            # "The outer one has a split, so it gets a new one": of the outer one
            for one in own or named.get(index - 1, []):
                stated = _TELLS.match(text, one.thing.end) is not None
                if stated and _OPENS.fullmatch(text, 0, one.thing.begin):
                    return [(one.part, one.thing.count or 1)]
        return []

    def _called(self, which: str, index: int) -> list[tuple[str, int]]:
        """Return the part named last before a sentence whose name begins with a word: "outer"."""
        for at in range(index - 1, -1, -1):
            for one in self._found.named.get(at, []):
                if one.thing.name.lower().split()[0] == which:
                    return [(one.part, one.thing.count or 1)]
        return []

    def _ahead(self) -> Iterator[NamedPart]:
        """Yield the parts named just before the step: "there's a lock screw | undo that"."""
        first = self._step.sentences[0]
        for index in range(first - 1, max(-1, first - 1 - _NEAR), -1):
            yield from self._found.named.get(index, ())

    def _size_of(self, part: str) -> str | None:
        sizes = (one.size for one in self._found.names.get(part, ()))
        return next((size for size in sizes if size), None)

    def _is_back(self) -> bool:
        """Whether things go back on in this step."""
        first = self._step.sentences[0]
        return self._told.phases[first] in _BACK_ON

    def _last_named(self, index: int) -> list[NamedPart]:
        """Return the parts of the last sentence before another that names any."""
        for at in range(index - 1, max(-1, index - 1 - _NEAR), -1):
            text = self._told.said[at].text
            named = [one for one in self._found.named.get(at, ())
                     if not is_spared(text, one.thing.begin)]  # fmt: skip
            if named:
                return named
        return []

    def _in_case(self, one: NamedPart) -> bool:
        """Whether a part is told of only for a case: "if it's bent, that's a new rod"."""
        thing = one.thing
        text = self._text(one)
        decided = any(begin <= thing.begin < end for begin, end in self._cases(thing.sentence))
        return decided or means_new(text, thing.begin) or if_found(text[: thing.begin])

    def _cases(self, index: int) -> Iterator[tuple[int, int]]:
        """Yield where the decisions of a sentence begin and end."""
        marks = self._found.decisions.get(index, ())
        for mark in marks:
            yield mark.begin, decision_end(self._told.said, marks, mark)
