"""The decoding process: its crash is an error, and nothing of it is left."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from author.errors import Cancelled, InputError, MachineError
from author.progress import Cancel
from author.recording import FrameReader, facts_of
from author.recording.process import Decoder

from . import films


def test_a_crash_is_an_error_that_names_the_film(film):
    path = film("b_frames")
    facts = facts_of(path)
    reader = FrameReader(path, facts)
    assert films.number_in(reader.frame(3).pixels) == 3
    (child,) = multiprocessing.active_children()
    os.kill(child.pid, signal.SIGKILL if hasattr(signal, "SIGKILL") else signal.SIGTERM)
    with pytest.raises(MachineError, match="crashed") as caught:
        reader.frame(50)
    assert caught.value.file == str(path)
    assert films.number_in(reader.frame(50).pixels) == 50  # a new process takes over
    reader.close()
    reader.close()
    assert multiprocessing.active_children() == []


def test_a_run_that_is_stopped_with_all_its_processes_is_no_crash(tmp_path):
    cancel = Cancel()
    with Decoder(tmp_path / "some.mp4", cancel) as decoder:
        (child,) = multiprocessing.active_children()
        child.terminate()
        child.join()
        cancel.request()
        with pytest.raises(Cancelled):
            decoder.receive()


def test_an_iteration_left_early_ends_cleanly(film):
    path = film("b_frames")
    with FrameReader(path, facts_of(path)) as reader:
        for frame in reader.frames(range(70)):
            if frame.index == 3:
                break
        assert films.number_in(reader.frame(9).pixels) == 9
    assert multiprocessing.active_children() == []


def test_wrong_index_and_cancel(film):
    path = film("b_frames")
    facts = facts_of(path)
    cancel = Cancel()
    with FrameReader(path, facts, cancel) as reader:
        for bad in (-1, 75):
            with pytest.raises(InputError, match=f"no frame {bad}"):
                reader.frame(bad)
        assert list(reader.frames([])) == []
        cancel.request()
        with pytest.raises(Cancelled):
            reader.frame(1)
    assert multiprocessing.active_children() == []


def test_nothing_is_left_or_printed_at_exit(film, tmp_path):
    """Not even by a program that forgets to close its reader."""
    script = tmp_path / "command"  # console scripts have no suffix
    script.write_text(
        textwrap.dedent(
            """
            import sys
            from pathlib import Path
            from author.recording import FrameReader, facts_of

            if __name__ == "__main__":
                path = Path(sys.argv[1])
                facts = facts_of(path)
                reader = FrameReader(path, facts)
                print(reader.frame(5).index)
                if sys.argv[2] == "close":
                    reader.close()
            """
        )
    )
    root = Path(__file__).parents[2]
    for way in ("close", "forget"):
        done = subprocess.run(
            [sys.executable, "-W", "error", script, film("b_frames"), way],
            capture_output=True,
            text=True,
            env={**os.environ, "PYTHONPATH": str(root)},
            check=False,
        )
        assert (done.returncode, done.stdout, done.stderr) == (0, "5\n", "")
