"""How memory is taken and given back: rest for the collector, no hoarding of freed blocks."""

from __future__ import annotations

import contextlib
import ctypes
import gc
from collections.abc import Iterator

# Of mallopt in the GNU C library, malloc.h.
_M_TRIM_THRESHOLD, _M_MMAP_THRESHOLD, _M_ARENA_MAX = -1, -3, -8
_LARGE = 1 << 20


@contextlib.contextmanager
def collector_at_rest() -> Iterator[None]:
    """Keep Python from searching a growing document for cycles, over and over.

    A document and the remarks on it have none. The searches cost a third of the time a
    long file takes to read, and make each step dearer the more there are.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def give_back_at_once() -> None:
    """Have this process give large blocks back to the system as soon as they are freed.

    The GNU C library keeps freed blocks of the size of a frame for later, more of them
    the longer a film is walked through: an eighth of all memory with 4K. Elsewhere this
    does nothing.
    """
    with contextlib.suppress(OSError, AttributeError):
        library = ctypes.CDLL(None)
        for option, value in (
            (_M_MMAP_THRESHOLD, _LARGE),
            (_M_TRIM_THRESHOLD, _LARGE),
            (_M_ARENA_MAX, 2),
        ):
            library.mallopt(option, value)
