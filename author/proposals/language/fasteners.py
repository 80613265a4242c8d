"""What is turned tight: bolts, nuts, screws and their kin, the one group that all stages share."""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.proposals.language.trade_words import as_phrase, trade_words

_ENDINGS = ("nut", "bolt", "screw")
# "Six cap heads" are screws that are called by their heads.
_HEADS = frozenset({"cap head", "button head", "socket head"})
_WORD = re.compile(r"[^\W_]+(?:-[^\W_]+)*")


def is_fastener(name: str) -> bool:
    """Whether a name is that of a fastener: "cover bolts", "locknut", "drain plug".

    Args:
        name: one word or more, for one piece or several.
    """
    *before, last = as_phrase(name.split()).split() or [""]
    table = trade_words()
    if last in table.no_fasteners or " ".join([*before[-1:], last]) in table.no_fasteners:
        return False
    return told_by_head([*before, last]) or last in table.fasteners or last.endswith(_ENDINGS)


def told_by_head(name: Sequence[str]) -> bool:
    """Whether words name a screw by its head: "cap head".

    Args:
        name: its words in small letters, the last one singular.
    """
    return " ".join(name[-2:]) in _HEADS


def fastener_in(text: str) -> str | None:
    """Return the first word of a text that is a fastener, as it was said."""
    said = [found[0] for found in _WORD.finditer(text)]
    return next(
        (
            word
            for at, word in enumerate(said)
            if is_fastener(" ".join(said[max(0, at - 1) : at + 1]))
        ),
        None,
    )


def fastener_words() -> frozenset[str]:
    """Return the words of the table for fasteners, each for one and for several."""
    return frozenset(form for word in trade_words().fasteners for form in (word, f"{word}s"))
