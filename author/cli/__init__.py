"""The command ``reelwright``: arguments, output, exit codes.

Exit codes: 0 fine; 1 remarks of severity error; 2 the input or the call is wrong; 3 the
machine failed or the user stopped the run.
"""

from __future__ import annotations

import sys

from author.cli.running import run

__all__ = ["main"]


def main() -> None:
    """Run the command with the arguments of the process, and leave with its exit code."""
    sys.exit(run(sys.argv[1:]))
