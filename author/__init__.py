"""Reelwright: a workbench that turns a filmed repair job into a shop procedure.

The package is named for what it does, authoring; the command is ``reelwright``.
Importing it loads nothing heavy: no Qt, no video library, no numpy.
"""

__version__ = "0.1.0"
