"""Lets Python's search for cycles rest while something large and without cycles is made."""

from __future__ import annotations

import contextlib
import gc
from collections.abc import Iterator


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
