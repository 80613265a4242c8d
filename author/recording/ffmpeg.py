"""Run the ffmpeg program: progress, cancellation, and its failures in one sentence."""

from __future__ import annotations

import queue
import subprocess
import threading
from collections import deque
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import IO

from author.errors import InputError, MachineError
from author.progress import Cancel

_LOOK_EVERY = 0.05  # seconds between looks at the cancel flag
_KEPT_LINES = 400
_HIDE_WINDOW = getattr(subprocess, "CREATE_NO_WINDOW", 0)


@cache
def ffmpeg_program() -> str:
    """Return the path of the ffmpeg program that came with the installation.

    Raises:
        MachineError: there is none for this system.
    """
    import imageio_ffmpeg

    try:
        return str(imageio_ffmpeg.get_ffmpeg_exe())  # type: ignore[attr-defined,no-untyped-call]
    except RuntimeError:
        raise MachineError(
            "there is no ffmpeg program for this system",
            remedy="Install ffmpeg and name it in the environment variable IMAGEIO_FFMPEG_EXE",
        ) from None


@cache
def ffmpeg_version() -> str:
    """Return the first line of the ffmpeg program's version, to be recorded with clips.

    Raises:
        MachineError: it cannot be run.
    """
    try:
        done = subprocess.run(
            [ffmpeg_program(), "-version"],
            capture_output=True,
            stdin=subprocess.DEVNULL,
            timeout=30,
            check=True,
            creationflags=_HIDE_WINDOW,
        )
    except (OSError, subprocess.SubprocessError) as error:
        raise MachineError(f"the ffmpeg program cannot be run ({error})") from None
    lines = done.stdout.decode("utf-8", "replace").splitlines()
    return lines[0].partition(" Copyright")[0] if lines else "ffmpeg"


def run(
    command: Sequence[str],
    *,
    file: Path,
    heard: Callable[[int], None],
    cancel: Cancel | None,
) -> str:
    """Run ffmpeg to its end and return what it wrote to its log.

    Args:
        command: program and arguments; must contain ``-progress pipe:1``.
        file: the film, named in errors.
        heard: called with the number of frames written so far.
        cancel: looked at many times a second; the program is killed when raised.

    Raises:
        InputError: the film could not be read.
        MachineError: the disk is full or the program failed.
        Cancelled: the user asked to stop.
    """
    process = _started(command)
    log: deque[str] = deque(maxlen=_KEPT_LINES)
    lines: queue.SimpleQueue[str | None] = queue.SimpleQueue()
    assert process.stdout is not None  # noqa: S101 - asked for above
    assert process.stderr is not None  # noqa: S101 - asked for above
    readers = [
        threading.Thread(target=_read, args=(process.stdout, lines.put), daemon=True),
        threading.Thread(target=_read, args=(process.stderr, log.append), daemon=True),
    ]
    try:
        for each in readers:
            each.start()
        _follow(process, lines, heard, cancel)
    finally:
        if process.poll() is None:
            process.kill()
        process.wait()
        for each in readers:
            each.join()
        process.stdout.close()
        process.stderr.close()
    text = "\n".join(log)
    if process.returncode != 0:
        raise _failure(text, process.returncode, file)
    return text


def _started(command: Sequence[str]) -> subprocess.Popen[bytes]:
    try:
        return subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            creationflags=_HIDE_WINDOW,
        )
    except OSError as error:
        raise MachineError(f"the ffmpeg program cannot be run ({error.strerror})") from None


def _read(stream: IO[bytes], take: Callable[[str], None]) -> None:
    with suppress(OSError, ValueError):
        for line in stream:
            take(line.decode("utf-8", "replace").rstrip())


def _follow(
    process: subprocess.Popen[bytes],
    lines: queue.SimpleQueue[str | None],
    heard: Callable[[int], None],
    cancel: Cancel | None,
) -> None:
    while True:
        if cancel is not None:
            cancel.check()
        try:
            line = lines.get(timeout=_LOOK_EVERY)
        except queue.Empty:
            if process.poll() is not None:
                return
            continue
        if line is not None and line.startswith("frame="):
            with suppress(ValueError):
                heard(int(line[6:]))


def _failure(log: str, code: int, file: Path) -> InputError | MachineError:
    if "No space left on device" in log or "Disk quota exceeded" in log:
        return MachineError("the disk is full", remedy="Free some space and publish again")
    if "Invalid data found when processing input" in log and "Error opening input" in log:
        return InputError("is not a video file that can be read", file=file)
    lines = [line for line in log.splitlines() if line.strip()]
    last = lines[-1][:200] if lines else f"exit code {code}"
    return MachineError(f"no clip could be made of it: ffmpeg says {last!r}", file=file)
