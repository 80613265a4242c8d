"""The network itself: three layers of attention over the pieces of a window."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from author.proposals.reader.pieces import Pieces
from author.resources import reader_folder

_ASKED = ("sentences", "things", "numbers", "units", "sides")
SIDES = ("n", "l", "u", "lu", "ln", "nu", "lnu", "thread", "size")
"""What can be told of a quantity: its value (``n`` for nominal), its lower or upper limit, several
of them, or the numbers of a thread or a size."""
RARE = "rare"
"""A unit it was told of too seldom to know it."""
_BARE = "None"
"""Where a unit stands in the list: none."""
PLACES = 2
"""Digits that are kept, so that what another processor adds up in another order tells nothing."""
_LIKELY = 5
"""Units that are told of a piece."""
_NO_NUMBER = -5.0
"""Log odds below which nothing more is told of a quantity."""


@dataclass(frozen=True, slots=True)
class Value:
    """What is thought of a piece that may be of a quantity.

    Attributes:
        units: the likeliest units and how likely each is; ``None`` is none, ``RARE`` any it does
            not know.
        sides: how likely each of ``SIDES`` is what is told.
    """

    units: Mapping[str | None, float]
    sides: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Read:
    """What is thought of a sentence.

    Attributes:
        told: log odds that it warns, is talk and begins a step.
        things: of each of its pieces, how likely it is of no thing, a part, a tool and a supply.
        numbers: of each of its pieces, the log odds that it is of a quantity.
        values: of each of its pieces, of what quantity; None where it is hardly of one.
    """

    told: list[float]
    things: list[list[float]]
    numbers: list[float]
    values: list[Value | None]


class Network:
    """Reads one window of a talk."""

    def __init__(self) -> None:
        # Loaded here: it starts a thread, and other commands need not wait for it.
        import onnxruntime

        folder = reader_folder()
        self.pieces = Pieces((folder / "pieces.txt").read_text(encoding="utf-8").split("\n")[:-1])
        units = (folder / "units.txt").read_text(encoding="utf-8").split("\n")[:-1]
        self._units = [*(None if unit == _BARE else unit for unit in units), RARE]
        onnxruntime.disable_telemetry_events()
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = 1  # several windows at once are quicker than one by several
        self._session = onnxruntime.InferenceSession(
            folder / "reader.onnx", options, providers=["CPUExecutionProvider"]
        )

    def read(self, sentences: Sequence[Sequence[int]]) -> list[Read]:
        """Return what is thought of the sentences of a window.

        Args:
            sentences: the pieces of each; a sentence with none takes part as one unknown piece.
        """
        row, spans = [self.pieces.begin], []
        for one in sentences:
            begin = len(row)
            row += one or [self.pieces.unknown]
            spans.append((begin, len(row)))
            row.append(self.pieces.end)
        shares = np.zeros((len(spans), len(row)), np.float32)
        for at, (begin, stop) in enumerate(spans):
            shares[at, begin:stop] = 1 / (stop - begin)
        asked = {
            "pieces": np.array([row], np.int64),
            "shares": shares,
            "ends": np.array([stop for _, stop in spans], np.int64),
        }
        told, things, numbers, units, sides = map(np.asarray, self._session.run(_ASKED, asked))
        values: list[Value | None] = [None] * len(numbers)
        for at in np.flatnonzero(numbers > _NO_NUMBER).tolist():
            values[at] = self._value(units[at], sides[at])
        return [
            Read(one, things[begin:stop].tolist(), numbers[begin:stop].tolist(), values[begin:stop])
            for one, (begin, stop) in zip(told.tolist(), spans, strict=True)
        ]

    def _value(self, units: Any, sides: Any) -> Value:
        best = np.argsort(units)[-_LIKELY:].tolist()
        likely = {self._units[at]: round(float(units[at]), PLACES) for at in best}
        return Value(likely, tuple(round(one, PLACES) for one in sides.tolist()))


@cache
def network() -> Network:
    """Return the network; it is loaded when it is asked for first."""
    return Network()
