"""What is thought of each sentence and each word before any rule has looked at them.

A rule knows the words it lists. The network knows words by their use: it began with what others
had fitted to the language at large, and ``tests/benchmarks/fit_reader.py`` fitted it to narrations
of our own. What it thinks is one sign among those that the stages behind it weigh.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import accumulate
from typing import overload

from author.proposals.reader.network import PLACES, Read, Value, network
from author.proposals.reader.windows import MOST_OF_ONE, windows
from author.proposals.speech.spoken import Sentence

_AT_ONCE = 2
"""Windows that are read at once."""
_FEW = 8
"""Sentences of which so many are no talk."""


@dataclass(frozen=True, slots=True)
class Ahead:
    """What the network thinks of a sentence.

    Attributes:
        warns: that it warns of harm, as log odds.
        talk: that it is talk beside the work, as log odds.
        begins: that a step begins with it, as log odds.
        things: of each of its words, how likely it is of the name of a part, of a tool and of a
            supply, 0 to 1; of words far on in a long sentence nothing is known.
        numbers: of each of its words, the log odds that it is of a value: of a quantity that is
            told, its unit among it.
        values: of each of its words, of what quantity it is; None where it is hardly of one.
    """

    warns: float
    talk: float
    begins: float
    things: tuple[tuple[float, float, float], ...] = ()
    numbers: tuple[float, ...] = ()
    values: tuple[Value | None, ...] = ()


def leaning(odds: float, usual: float, most: float) -> float:
    """Return how far log odds lean from where they usually stand, at most so far either way."""
    return max(-most, min(most, odds - usual))


def of_a_talk(sentences: Sequence[Sentence]) -> tuple[Ahead, ...]:
    """Return what the network thinks of each sentence, nothing where there are only a few.

    It learned from whole talks: what a sentence by itself is the rules know better.

    Args:
        sentences: as for `read_ahead`.

    Raises:
        Cancelled: if it was stopped.
    """
    return read_ahead(sentences) if len(sentences) > _FEW else ()


def read_ahead(sentences: Sequence[Sentence]) -> tuple[Ahead, ...]:
    """Return what the network thinks of each sentence.

    Args:
        sentences: what was said, in order; if ``Walked``, how far it is is told, and it can stop.

    Raises:
        Cancelled: if it was stopped.
    """
    with _reading(sentences) as read:
        return tuple(read)


@contextmanager
def meanwhile(sentences: Sequence[Sentence]) -> Iterator[Sequence[Ahead]]:
    """Give the same as `of_a_talk`, read by threads of its own while the caller goes on.

    Who asks what is thought of a sentence waits until it is read; what is not read when the
    caller is done is never read.

    Args:
        sentences: as for `read_ahead`.

    Raises:
        Cancelled: if it was stopped, here or where a sentence is asked for.
    """
    if len(sentences) > _FEW:
        with _reading(sentences) as read:
            yield _Coming(len(sentences), read)
    else:
        yield ()


class _Coming(Sequence[Ahead]):
    """What is thought of sentences, each of which is waited for when it is asked for.

    Args:
        count: of the sentences.
        read: what is thought of each in turn.
    """

    def __init__(self, count: int, read: Iterator[Ahead]) -> None:
        self._places = range(count)
        self._read = read
        self._told: list[Ahead] = []

    def __len__(self) -> int:
        return len(self._places)

    @overload
    def __getitem__(self, index: int) -> Ahead: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Ahead]: ...
    def __getitem__(self, index: int | slice) -> Ahead | Sequence[Ahead]:
        places = self._places[index]
        if isinstance(places, range):
            return [self[at] for at in places]
        while len(self._told) <= places:
            self._told.append(next(self._read))
        return self._told[places]


@contextmanager
def _reading(sentences: Sequence[Sentence]) -> Iterator[Iterator[Ahead]]:
    """Give what is thought of each sentence in turn; all of it is being read from here on."""
    reader = network()
    words = [[reader.pieces.of_word(word.text) for word in one.words] for one in sentences]
    pieces = [[p for word in one for p in word][: MOST_OF_ONE - 1] for one in words]
    parted = list(windows([len(one) + 1 for one in pieces]))
    pool = ThreadPoolExecutor(_AT_ONCE)
    try:
        read = [pool.submit(reader.read, pieces[one.first : one.stop]) for one in parted]

        def told() -> Iterator[Ahead]:
            for window, coming in zip(parted, read, strict=True):
                of_window = coming.result()
                for at in range(window.taken, window.taken_stop):
                    _ = sentences[at]  # looks whether to stop
                    yield _of_sentence(words[at], of_window[at - window.first])

        yield told()
    finally:
        pool.shutdown(cancel_futures=True)


def _of_sentence(words: Sequence[tuple[int, ...]], read: Read) -> Ahead:
    """Return what is thought of a sentence; of a word its first piece stands for it."""
    firsts = [at for at in accumulate(map(len, words), initial=0) if at < len(read.things)]
    firsts = firsts[: len(words)]
    warns, talk, begins = (round(odds, PLACES) for odds in read.told)
    return Ahead(
        warns,
        talk,
        begins,
        tuple((round(part, PLACES), round(tool, PLACES), round(supply, PLACES))
              for _, part, tool, supply in (read.things[at] for at in firsts)),
        tuple(round(read.numbers[at], PLACES) for at in firsts),
        tuple(read.values[at] for at in firsts),
    )  # fmt: skip
