"""The parent's end of the decoding process: start it, ask it, notice its death, end it."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterator
from contextlib import suppress
from multiprocessing.connection import Connection
from pathlib import Path
from types import TracebackType
from typing import Any

from author.errors import Cancelled, InputError, MachineError
from author.progress import Cancel

CONTEXT = multiprocessing.get_context("spawn")  # forking would copy the window's threads

_LOOK_EVERY = 0.05  # seconds between looks at the cancel flag
_PATIENCE = 2.0  # seconds a process may take to end by itself

_REMEDY = "Convert a copy with another program and use that, or report the file"


def _serve(pipe: Connection) -> None:
    """Decode, in the process beside: only there the media libraries are loaded."""
    from author.recording.worker import serve

    serve(pipe)


class Decoder:
    """A decoding process for one film. Use it as a context manager."""

    def __init__(
        self,
        path: Path,
        cancel: Cancel | None = None,
        serving: Callable[[Connection], None] = _serve,
    ) -> None:
        """Start the process.

        Args:
            path: the film, named in errors.
            cancel: looked at while waiting.
            serving: what the process does with its end of the pipe.

        Raises:
            MachineError: no process can be started.
        """
        self._path = path
        self._cancel = cancel
        self._pipe, theirs = CONTEXT.Pipe()
        self._process = CONTEXT.Process(
            target=serving, args=(theirs,), daemon=True, name="reelwright-decoder"
        )
        try:
            self._process.start()
        except OSError as error:
            self._pipe.close()
            raise MachineError(f"no decoder could be started ({error.strerror})") from None
        finally:
            theirs.close()

    def __enter__(self) -> Decoder:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """End the process and wait for it. May be called twice."""
        self._pipe.close()
        with suppress(ValueError):  # closed already
            if self._process.is_alive():
                self._process.join(0.2)
            if self._process.is_alive():
                self._process.terminate()
                self._process.join(_PATIENCE)
            if self._process.is_alive():
                self._process.kill()
                self._process.join()
            self._process.join()
            self._process.close()

    def send(self, *message: Any) -> None:
        """Send one message.

        Raises:
            MachineError: the process died.
            Cancelled: it was ended with this run.
        """
        try:
            self._pipe.send(message)
        except OSError:
            raise self._died() from None

    def ask(self, *request: Any) -> Iterator[tuple[Any, ...]]:
        """Send a request and yield the answers as they come; the caller knows the last.

        Raises:
            InputError, MachineError: as the process found, naming the film.
            Cancelled: the user asked to stop; the process is ended.
        """
        self.send(*request)
        while True:
            yield self.receive()

    def receive(self) -> tuple[Any, ...]:
        """Wait for the next answer and return it.

        Raises:
            InputError: if the film is no use.
            MachineError: if the machine fails.
            RuntimeError: if the child process has a fault.
        """
        answer = self._received()
        match answer:
            case ("input", problem, remedy):
                raise InputError(problem, remedy=remedy, file=self._path)
            case ("machine", problem, remedy):
                raise MachineError(problem, remedy=remedy, file=self._path)
            case ("bug", trace, _):
                raise RuntimeError(f"the decoding process failed:\n{trace}")
        return answer

    def _received(self) -> tuple[Any, ...]:
        try:
            while not self._pipe.poll(_LOOK_EVERY):
                if self._cancel is not None and self._cancel.requested:
                    self.close()
                    raise Cancelled
            answer: tuple[Any, ...] = self._pipe.recv()
        except (EOFError, OSError):
            raise self._died() from None
        if self._cancel is not None and self._cancel.requested:
            self.close()
            raise Cancelled
        return answer

    def _died(self) -> MachineError | Cancelled:
        """Return what is to be said of a process that is gone.

        Who stops a run often stops all its processes at once, this one a moment earlier.
        """
        code: int | None = None
        with suppress(ValueError):
            self._process.join(_PATIENCE)
            code = self._process.exitcode
        self.close()
        if self._cancel is not None and self._cancel.requested:
            return Cancelled()
        return MachineError(
            f"the decoder crashed on it (exit code {code})", remedy=_REMEDY, file=self._path
        )
