"""Run the ffmpeg program: progress, cancellation, and its failures in one sentence."""

from __future__ import annotations

import queue
import re
import subprocess
import threading
from collections import deque
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import IO, Any

from author.errors import InputError, MachineError
from author.progress import Cancel

_LOOK_EVERY = 0.05  # seconds between looks at the cancel flag
_KEPT_LINES = 400
_LAST_LINES = 30
SCALING = "bicubic+accurate_rnd+full_chroma_int+bitexact"
# A damaged packet must not fail a whole job; times stay those of the film.
_JOB_OPTIONS = (
    *("-hide_banner", "-nostdin", "-nostats", "-copyts", "-y"),
    *("-max_error_rate", "1", "-sws_flags", SCALING, "-filter_complex_threads", "1"),
    *("-stats_period", "0.2", "-progress", "pipe:1"),
)
# The first such line of a log says what is wrong, those after it what came of it.
_TELLING = re.compile(r"\b(error|invalid|failed|unable|cannot|could not|no such|no path)\b", re.I)
_HIDE_WINDOW = getattr(subprocess, "CREATE_NO_WINDOW", 0)


class DiskFullError(MachineError):
    """There is no space left to write to."""


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


def together(outputs: Sequence[Any]) -> Any:
    """Return one ffmpeg job that writes several outputs, the first one first."""
    import ffmpeg

    if len(outputs) == 1:
        return outputs[0]
    return ffmpeg.merge_outputs(*outputs)


def execute(
    job: Any,
    *,
    file: Path,
    heard: Callable[[int], None] = lambda _: None,
    cancel: Cancel | None = None,
) -> str:
    """Run a job and return what it wrote to its log.

    Args:
        job: outputs of an ffmpeg-python graph.
        file: the film, named in errors.
        heard: called with the number of frames the first output with pictures has.
        cancel: looked at many times a second; the program is killed when raised.

    Raises:
        InputError, MachineError, Cancelled: as ``run``.
    """
    import ffmpeg

    node = job.global_args(*_JOB_OPTIONS)
    command = [str(each) for each in ffmpeg.compile(node, cmd=ffmpeg_program())]
    return run(command, file=file, heard=heard, cancel=cancel)


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
    lines: queue.SimpleQueue[str] = queue.SimpleQueue()
    assert process.stdout is not None  # noqa: S101 - asked for above
    assert process.stderr is not None  # noqa: S101 - asked for above
    readers = [
        threading.Thread(target=_read, args=(process.stdout, lines.put, True), daemon=True),
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
    if process.returncode != 0 and cancel is not None:
        cancel.check()  # who stops a run often stops all its processes at once
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


def _read(stream: IO[bytes], take: Callable[[str], None], ends: bool = False) -> None:
    """Hand on each line; with ``ends``, an empty one after the last."""
    with suppress(OSError, ValueError):
        for line in stream:
            take(line.decode("utf-8", "replace").rstrip())
    if ends:
        take("")


def _follow(
    process: subprocess.Popen[bytes],
    lines: queue.SimpleQueue[str],
    heard: Callable[[int], None],
    cancel: Cancel | None,
) -> None:
    """Hand on how many frames are written until the program has ended."""
    talking = True
    while True:
        if cancel is not None:
            cancel.check()
        with suppress(queue.Empty, subprocess.TimeoutExpired):
            if not talking:
                process.wait(_LOOK_EVERY)
                return
            line = lines.get(timeout=_LOOK_EVERY)
            talking = bool(line)
            if line.startswith("frame="):
                with suppress(ValueError):
                    heard(int(line[6:]))


def _failure(log: str, code: int, file: Path) -> InputError | MachineError:
    if "No space left on device" in log or "Disk quota exceeded" in log:
        return DiskFullError("the disk is full", remedy="Free some space and publish again")
    if "Invalid data found when processing input" in log and "Error opening input" in log:
        return InputError("is not a video file that can be read", file=file)
    lines = log.splitlines()[-_LAST_LINES:]
    last = next((line[:200] for line in lines if _TELLING.search(line)), f"exit code {code}")
    return MachineError(f"no clip could be made of it: ffmpeg says {last!r}", file=file)
