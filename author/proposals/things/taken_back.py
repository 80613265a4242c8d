"""A supply that is taken back in the next breath: "a spot of loctite. Sorry, not on these"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from author.proposals.things.named import Thing
from author.proposals.things.signs import LEFT_OUT

_NOT_HERE = re.compile(
    r"(?:^|[.,;] )(?:(?:oh|er|erm|um|no|sorry|wait|hang on|hold on|actually|tell a lie)\b,? )+"
    r"(?:(?:not|none) (?:on|in|for|here)\b|(?:there's )?no [\w-]+ (?:here|at all|on (?:these|those"
    r"|this|that|them|it))\b)",
    re.IGNORECASE,
)


def with_taken_back(texts: Sequence[str], things: Sequence[Thing]) -> list[Thing]:
    """Return the things, a sign at the supplies that are taken back right behind their name.

    Args:
        texts: the sentences.
        things: what may be named in them, in the order said.
    """
    found = list(things)
    for index, text in enumerate(texts):
        told = _NOT_HERE.search(text)
        if told is None:
            continue
        # At the beginning of a sentence it is of what the sentence before ends with.
        of = index if told.start() else index - 1
        before = [at for at, one in enumerate(found) if one.kind == "supply"
                  and one.sentence == of and (of < index or one.end <= told.start())]  # fmt: skip
        for at in before[-1:]:
            found[at] = replace(found[at], signs=found[at].signs | {LEFT_OUT}, where=None)
    return found
