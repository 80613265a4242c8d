"""What was looked at that is told by a number alone: "four thou", "that's twenty-two"."""

from __future__ import annotations

import re
from collections.abc import Iterable

from author.checks.verbs import words
from author.proposals.kinds.marks import Marked
from author.proposals.quantities.reading import SpokenQuantity

_READS = words(
    "and so but that's it's this mine's it reads read says i've i get got we we've now yes yeah oh "
    "okay there here the a is at of about er um well then just on"
)
_WORD = re.compile(r"[a-z']+")


def only_reads(mark: Marked, quantities: Iterable[SpokenQuantity]) -> bool:
    """Whether a mark tells nothing beside a number, which is proposed by itself.

    Args:
        mark: what was looked at.
        quantities: the numbers of the talk.
    """
    left = mark.text
    for one in quantities:
        if one.sentence == mark.sentence and mark.begin <= one.begin < one.end <= mark.end:
            left = left.replace(one.text, " ")
    return left != mark.text and not set(_WORD.findall(left.lower())) - _READS
