"""Whatever is done to a film, it is described or refused: no crash, no hang, no bug."""

from __future__ import annotations

import multiprocessing
import random
import threading
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from itertools import pairwise
from pathlib import Path

import pytest

from author.errors import InputError
from author.progress import Cancel
from author.recording import FrameReader, describe

KINDS = ("b_frames", "vfr_b_mkv", "video_late_ts", "mjpeg", "vp9_hidden")
EACH = 12
DEADLINE = 300  # seconds for one film; a whole one takes half a second


def flip(data: bytearray, rng: random.Random) -> None:
    for _ in range(rng.choice((1, 8, 64))):
        data[rng.randrange(len(data))] ^= 1 << rng.randrange(8)


def cut(data: bytearray, rng: random.Random) -> None:
    first = rng.choice((0, rng.randrange(len(data)), len(data)))
    del data[first : first + rng.randrange(1, len(data) // 2)]
    if first == len(data):
        del data[rng.randrange(len(data)) :]


def swap(data: bytearray, rng: random.Random) -> None:
    size = rng.randrange(16, len(data) // 4)
    one, two = (rng.randrange(len(data) - size) for _ in range(2))
    data[one : one + size], data[two : two + size] = (
        data[two : two + size],
        data[one : one + size],
    )


def fill(data: bytearray, rng: random.Random) -> None:
    first = rng.randrange(len(data))
    size = min(rng.randrange(1, 400), len(data) - first)
    data[first : first + size] = bytes([rng.choice((0, 255))]) * size


WAYS: tuple[Callable[[bytearray, random.Random], None], ...] = (flip, cut, swap, fill)


def outcome(path: Path, read: bool) -> str:
    """Describe a film and read some of it, and say how it went."""
    cancel = Cancel()
    timer = threading.Timer(DEADLINE, cancel.request)
    timer.start()
    try:
        facts = describe(path, cancel=cancel).facts
        assert facts.frame_starts
        assert all(one < two for one, two in pairwise((*facts.frame_starts, facts.duration)))
        for each in facts.damage:
            assert each.start is None or each.end is None or 0 <= each.start <= each.end
        if read:
            last = facts.frame_count - 1
            with FrameReader(path, facts, cancel) as reader:
                assert [each.index for each in reader.frames([0, last // 2, last])] == sorted(
                    {0, last // 2, last}
                )
    except InputError as error:
        assert error.file == str(path)
        assert error.remedy
        return "refused"
    finally:
        timer.cancel()
    return "damaged" if facts.damage else "whole"


@pytest.mark.parametrize("kind", KINDS)
def test_spoilt_films(film, tmp_path, kind):
    source = film(kind)
    paths = []
    for number in range(EACH):
        rng = random.Random(f"{kind} {number}")
        data = bytearray(source.read_bytes())
        WAYS[number % len(WAYS)](data, rng)
        paths.append(tmp_path / f"{number}{source.suffix}")
        paths[-1].write_bytes(data)
    with ThreadPoolExecutor(2) as pool:
        found = Counter(pool.map(outcome, paths, [n % 4 == 0 for n in range(EACH)]))
    assert found.total() == EACH
    assert found["damaged"] >= 1
    assert multiprocessing.active_children() == []
