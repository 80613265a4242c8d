"""What is raised where an index is no use as it is, and asking again once it is mended."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from author.errors import MachineError

_TRIES = 8
_SOUND_BY_LOOK = 3
"""So often an index that looks sound may have been in the making at the wrong moment."""

Value = TypeVar("Value")


class IndexDamagedError(Exception):
    """The index cannot be read: it has to be built anew."""


def with_mending(job: Callable[[], Value], mend: Callable[[bool], object]) -> Value:
    """Do what needs an index; where it is no use, have it mended and do it again.

    A sound index is no use either for the moment in which another run makes it anew, and that
    may be any moment.

    Args:
        job: what to do.
        mend: mends the index, or waits until another run has done so. It is told whether that
            did not help time and again: then the index has to be built anew, however sound it
            looks.

    Raises:
        MachineError: if it is no use time and again.
    """
    for trial in range(_TRIES):
        try:
            return job()
        except IndexDamagedError:
            mend(trial >= _SOUND_BY_LOOK)
    raise MachineError("the index is being built anew", remedy="Wait a moment, and do it again")
