"""Whether a thing that is named first comes off or goes on at all: "drive chain. Guard off first".

A name at the beginning is a heading as often as an order: what is told under it may be done to
what it stands beside, with the thing itself left where it is. It moves where that is told of it
anywhere in the talk.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from author.checks.verbs import words
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import singular
from author.proposals.orders.wording import Order
from author.proposals.speech.spoken import Sentence

_MOVED = frozenset({"removes", "refits", "replaces", "discards"})
_COVERING = words("cover guard panel lid cowl cowling shroud hood cap plate hatch grille")
_WAY = r"(?:off|out|away|back|in|on|apart)"
# "Back in", "it lifts straight out": told of what was named, without its name.
_GOES = re.compile(
    rf"\W*(?:(?:and|so|then|now|right|it|they|that|she|one)\b\W*)*"
    r"(?:(?:just )?(?:comes?|goes|lifts?|slides?|pulls?|drops?|pops?|gets?)\s+)?"
    rf"(?:(?:back|straight|right|now|just)\s+)*{_WAY}\b(?! (?:the|a|an|this|that|your)\b)",
    re.IGNORECASE,
)
_HELD = re.compile(
    r"\b(?:an?|one|two|three|four|five|six|eight|ten|twelve|\d+)\s+(?:[\w-]+\s+){0,3}?"
    r"(?:bolts?|screws?|nuts?|clips?|pins?|studs?|rivets?|circlips?)\b"
    r"|\b(?:held|pressed|press fit|push fit|interference|taper|thread|keyed|splined?)\b",
    re.IGNORECASE,
)
# "It's held by one nut", and not "the motor's off, that's four bolts": what holds it.
_OF_IT = re.compile(
    rf"\W*(?:(?:and|so|they|it|these|there|that)(?:'s|'re| is| are)?\b\W*)*(?:{_HELD.pattern})",
    re.IGNORECASE,
)
# "We're changing all four", "the old one was a K": it is renewed.
_RENEWED = re.compile(
    r"\b(?:chang|replac|swap|renew)\w* (?:all|both|them|'em|it|these|those|the (?:pair|lot))\b"
    r"|\b(?:old|new) ones?\b|\bfresh (?:pair|one|ones|set)\b|\ball (?:\w+ )?new\b",
    re.IGNORECASE,
)
# "Next the needle guard. Set that with a feeler": it stays where it is.
_ADJUSTED = re.compile(
    r"\W*(?:(?:and|so|now|you|we|i)\b\W*)*(?:set|adjust|check|measure) "
    r"(?:that|it|this|them|those)\b",
    re.IGNORECASE,
)
_NEAR = 4


@dataclass(frozen=True)
class Moved:
    """What of a talk tells that a thing comes off or goes on.

    Attributes:
        said: what was said.
        orders: what is done, by sentence.
    """

    said: Sequence[Sentence]
    orders: Mapping[int, Sequence[Order]]

    def of(self, topics: Mapping[int, Order]) -> dict[int, Order]:
        """Return what is meant to be done, by sentence, without what is told to move nowhere."""
        return {
            index: one
            for index, one in topics.items()
            if one.act not in _MOVED
            or not one.object
            or not self._is_heading(index)
            or self.is_moved(one.object, index)
        }

    def _is_heading(self, index: int) -> bool:
        """Whether something is done under a name; where nothing is, it is what is meant."""
        return any(self.orders.get(at) for at in range(index, index + 1 + _NEAR))

    def is_moved(self, name: str, index: int) -> bool:
        """Whether a thing comes off or goes on.

        Args:
            name: of the thing.
            index: the sentence that names it first.
        """
        head = singular(name.rsplit(maxsplit=1)[-1].lower())
        behind = self.said[index + 1].text if index + 1 < len(self.said) else ""
        if _ADJUSTED.match(behind):
            return False
        if is_fastener(name) or head in _COVERING:
            return True
        told = (one for ours in self.orders.values() for one in ours if one.act in _MOVED)
        # "Drive the output shaft out" moves no input shaft
        own = name.lower().split()[:-1]
        led = rf"(?:{re.escape(own[-1])}|the|a|an|old|new|that|two|both) " if own else ""
        done = re.compile(
            rf"\b{led}{re.escape(head)}(?:e?s)?(?=[.,]| (?:off|out|in|on|from|before|after|with|"
            r"and|to|back|up|down|first|last|until|over|into|onto)\b)"
        )
        if any(done.search(one.action) for one in told):
            return True
        named = re.compile(
            rf"\b(?:new|old|another|renew\w*|replac\w*|chang\w*|swap\w*|refit\w*|remov\w*)"
            rf"\b[^,.;]*\b{re.escape(head)}"
            rf"|\b{led}{re.escape(head)}(?:e?s)?\b(?: \w+){{0,2}} {_WAY}\b(?! (?:the|a|an)\b)",
            re.IGNORECASE,
        )
        return any(named.search(one.text) for one in self.said) or self._goes(index)

    def _goes(self, index: int) -> bool:
        """Whether what holds it, or its way, is told in the sentences behind its name."""
        here = self.said[index]
        taken = any(trade_words().kind_of(word) == "tool" for word in _words_of(here.text))
        if taken or _HELD.search(here.text) or _RENEWED.search(here.text):
            return True  # "lever spring, brass tweezers"
        return any(
            one.recording == here.recording
            and (_GOES.match(one.text) or _OF_IT.match(one.text) or _RENEWED.search(one.text))
            for one in self.said[index + 1 : index + 1 + _NEAR]
        )


def _words_of(text: str) -> list[str]:
    return re.findall(r"[a-z][\w-]*", text.lower())
