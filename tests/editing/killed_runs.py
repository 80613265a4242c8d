"""Makes gestures and is killed in the middle of them, over and over; run as a program.

``python killed_runs.py FOLDER TEXT FATAL…``: for each number a child of its own opens a copy
of the document and kills itself without warning at that step of writing the journal; for 0
it gets through, and for a negative one its parent kills it, so many milliseconds after its
second gesture. Each notes in ``told`` how many gestures were done, and in ``steps`` how many
steps it took.
"""

import os
import signal
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from author import storage
from author.editing import AddStep, OpenDocument, SetField, journal, open_document

journal.PATIENCE = 30.0  # so that the law holds on a machine that has no time
GESTURES = 12


def gestures(document: OpenDocument) -> Iterator[None]:
    """Make gestures of every kind."""
    for number in range(GESTURES // 4):
        document.do(SetField(("title",), f"Title {number}"))
        yield
        document.do(AddStep(f"Do part {number}."))
        yield
        document.undo()
        yield
        with document.gesture("Both"):
            document.do(SetField(("purpose",), f"Purpose {number}"))
            document.do(SetField(("note",), f"Note {number}"))
        yield


def run(folder: Path, fatal: int) -> None:
    steps = 0

    def killer(what: str, path: Path) -> None:
        nonlocal steps
        steps += 1
        if steps == fatal:
            os.kill(os.getpid(), signal.SIGKILL)

    storage.before_step = journal.before_step = killer
    os.environ["REELWRIGHT_STATE"] = str(folder / "state")
    told = os.open(folder / "told", os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    document = open_document(folder)
    for _ in range(10_000 if fatal < 0 else 1):
        for _ in gestures(document):
            os.write(told, b"x")
    document.close()
    (folder / "steps").write_text(str(steps))


def main() -> None:
    base, text = Path(sys.argv[1]), Path(sys.argv[2]).read_text()
    for word in sys.argv[3:]:
        folder = base / word
        folder.mkdir()
        (folder / "procedure.yaml").write_text(text)
        child = os.fork()
        if child == 0:
            run(folder, int(word))
            os._exit(0)
        if int(word) < 0:
            while not (folder / "told").exists() or (folder / "told").stat().st_size < 2:
                time.sleep(0.001)
            time.sleep(-int(word) / 1000)
            os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)


if __name__ == "__main__":
    main()
