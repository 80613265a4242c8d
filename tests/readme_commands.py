"""Prints the commands of a Markdown file's ``sh`` blocks, for CI to run as written.

``bash tests/run`` is left out: CI has run it by then.
"""

import re
import sys
from pathlib import Path


def commands(text: str) -> list[str]:
    """Return the lines of every ``sh`` block."""
    blocks = re.findall(r"^```sh\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)
    return [line for block in blocks for line in block.splitlines() if line != "bash tests/run"]


if __name__ == "__main__":
    sys.stdout.write("\n".join(commands(Path(sys.argv[1]).read_text(encoding="utf-8"))) + "\n")
