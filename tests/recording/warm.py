"""Decoding processes that begin warm: forked from one in which the media libraries are loaded.

A process of its own costs a quarter of a second of the processor, nearly all of it for
loading, and the tests start a thousand. What runs in it, how it is asked and how it ends is
the same; that the program's own way of starting one works is seen in ``test_process.py`` and
wherever a test runs the command.
"""

from __future__ import annotations

import multiprocessing
import pkgutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing import forkserver

import pytest

from author import recording


@contextmanager
def warm_decoders() -> Iterator[None]:
    """Have decoders begin warm, where that is safe; nothing is left running."""
    if not sys.platform.startswith("linux"):
        yield
        return
    context = multiprocessing.get_context("forkserver")
    names = [each.name for each in pkgutil.iter_modules(recording.__path__)]
    context.set_forkserver_preload([f"{recording.__name__}.{name}" for name in names])
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("author.recording.process.CONTEXT", context)
        yield
    forkserver._forkserver._stop()  # there is no other way to end it before the tests end
