"""The network itself: three layers of attention over the pieces of a window."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np

from author.proposals.reader.pieces import Pieces
from author.resources import reader_folder


class Network:
    """Reads one window of a talk."""

    def __init__(self) -> None:
        # Loaded here: it starts a thread, and other commands need not wait for it.
        import onnxruntime

        folder = reader_folder()
        self.pieces = Pieces((folder / "pieces.txt").read_text(encoding="utf-8").split("\n")[:-1])
        onnxruntime.disable_telemetry_events()
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = 1  # several windows at once are quicker than one by several
        self._session = onnxruntime.InferenceSession(
            folder / "reader.onnx", options, providers=["CPUExecutionProvider"]
        )

    def read(
        self, sentences: Sequence[Sequence[int]]
    ) -> tuple[list[list[float]], list[list[list[float]]]]:
        """Return what is thought of the sentences of a window.

        Args:
            sentences: the pieces of each; a sentence with none takes part as one unknown piece.

        Returns:
            Of each sentence the log odds that it warns, is talk and begins a step; and of each of
            its pieces how likely it is of no thing, a part, a tool and a supply.
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
        told, things = map(np.asarray, self._session.run(["sentences", "things"], asked))
        return told.tolist(), [things[begin:stop].tolist() for begin, stop in spans]


@cache
def network() -> Network:
    """Return the network; it is loaded when it is asked for first."""
    return Network()
