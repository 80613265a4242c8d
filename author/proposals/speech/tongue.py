"""Whether what is said is English, the one language that is read."""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.checks.verbs import words
from author.proposals.speech.spoken import Sentence

_FEW = 12
"""Words of which nothing can be told."""
_LEAST = 0.12
"""Share of these words in English talk; the tersest narration of ours has 0.21 (common practice,
no source)."""
_COMMON = words(
    """
    the a an of to and in it on is you that this for with out off up so there them not no if at by
    then from your have be are will
    """
)
_WORD = re.compile(r"[^\W\d_]+")


def english_note(sentences: Sequence[Sentence]) -> tuple[str, ...]:
    """Return a note that hardly a word is English, or nothing.

    Args:
        sentences: all that is said on one recording.
    """
    said = _WORD.findall(" ".join(each.text for each in sentences).lower())
    if len(said) < _FEW or sum(word in _COMMON for word in said) >= _LEAST * len(said):
        return ()
    return ("hardly a word in it is English, and nothing else is read: expect next to nothing",)
