"""The stems of English words, by one stemmer whatever database the index lies in.

It is the one of SQLite's full text (Porter's), which comes with Python: an index elsewhere is
given the stems, so that it finds what the file would.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from contextlib import closing

TOKENS = "porter unicode61 remove_diacritics 2"
"""How SQLite's full text takes words apart."""

_MOST_KNOWN = 300_000
_LONGEST = 400
_known: dict[str, tuple[str, ...]] = {}


def stems_of(words: Iterable[str]) -> list[str]:
    """Return the stems of words, in order.

    Args:
        words: without case and accents, as ``author.library.index.words`` has them.
    """
    some, known = list(words), _known
    learnt = learn({word for word in some if word not in known})
    return [stem for word in some for stem in known.get(word) or learnt[word]]


def learn(words: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Ask the stemmer for many words at once, and keep what it says.

    Returns:
        The stems of each word.
    """
    fresh = sorted(words)
    if not fresh:
        return {}
    stems: dict[str, list[str]] = {word: [] for word in fresh}
    with closing(sqlite3.connect(":memory:")) as memory:
        memory.execute(f"CREATE VIRTUAL TABLE w USING fts5(t, tokenize='{TOKENS}')")
        memory.execute("CREATE VIRTUAL TABLE v USING fts5vocab(w, 'instance')")
        memory.executemany("INSERT INTO w(rowid, t) VALUES(?, ?)", enumerate(fresh))
        for row, stem in memory.execute("SELECT doc, term FROM v ORDER BY doc, offset"):
            stems[fresh[row]].append(stem[:_LONGEST])
    learnt = {word: tuple(some) or (word[:_LONGEST],) for word, some in stems.items()}
    if len(_known) < _MOST_KNOWN:
        _known.update(learnt)
    return learnt
