"""What is raised where an index is no use as it is."""

from __future__ import annotations


class IndexDamagedError(Exception):
    """The index cannot be read: it has to be built anew."""
