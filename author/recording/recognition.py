"""Speech recognition with a model that the user names: the optional part ``speech``.

Nothing is ever fetched: the model must lie in a folder with everything it needs, and the
libraries are told to stay off the network. What is recognised is a proposal like any
other; a number that was heard is never taken for certain.
"""

from __future__ import annotations

import importlib
import os
from collections.abc import Iterable
from decimal import Decimal
from pathlib import Path
from typing import Any

from author.errors import InputError, MachineError
from author.procedure.cues import Cue, plain_text
from author.progress import SILENT, Cancel, Progress
from author.recording.said import SaidWord, Speech

_RATE = 16_000  # samples a second that the model listens at
_NEEDED = ("model.bin", "config.json", "tokenizer.json")
_VOCABULARIES = ("vocabulary.json", "vocabulary.txt")
_OFFLINE = ("HF_HUB_OFFLINE", "TRANSFORMERS_OFFLINE", "HF_HUB_DISABLE_TELEMETRY")
_MS = Decimal("0.001")
_INSTALL = "Install it with: pip install 'reelwright[speech]', or give captions from a file"
_MODEL = "Name a folder that holds a Whisper model made for CTranslate2, with its tokenizer.json"


def check_model(model: Path) -> None:
    """Look whether a folder holds a model with all it needs.

    Raises:
        InputError: it does not, or cannot be looked into.
    """
    try:
        if not model.is_dir():
            raise InputError("there is no such folder", remedy=_MODEL, file=model)
        lacking = [name for name in _NEEDED if not (model / name).is_file()]
        if not any((model / name).is_file() for name in _VOCABULARIES):
            lacking.append(_VOCABULARIES[0])
    except OSError as error:
        raise InputError(
            f"the folder cannot be looked into: {error.strerror}", remedy=_MODEL, file=model
        ) from None
    if lacking:
        raise InputError(
            f"the folder of the model lacks {', '.join(lacking)}", remedy=_MODEL, file=model
        )


def recognised(
    path: Path,
    model: Path,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
    *,
    language: str = "en",
) -> Speech:
    """Recognise what is said on a recording.

    Args:
        path: the recording.
        model: folder of the model.
        progress: hears of seconds of the recording.
        cancel: looked at after each stretch of speech, at most half a minute of sound.
        language: what is spoken, two letters (ISO 639-1).

    Returns:
        What was heard, each word with its times.

    Raises:
        InputError: the library or the model is missing, the recording has no sound, or no
            speech is heard.
        MachineError: recognition failed, or the recording cannot be read.
        Cancelled: the user asked to stop.
    """
    check_model(model)
    library = _library()
    from author.recording.together import sound_of

    cancel = cancel or Cancel()
    sound = sound_of(path, _RATE, progress, cancel)
    length = len(sound) // _RATE
    said: list[tuple[Cue, tuple[SaidWord, ...]]] = []
    try:
        cancel.check()
        ready = library.WhisperModel(
            str(model), device="cpu", compute_type="int8", local_files_only=True
        )
        segments, _ = ready.transcribe(
            sound,
            language=language,
            word_timestamps=True,
            vad_filter=True,
            condition_on_previous_text=False,  # or one slip would be said again and again
        )
        for segment in segments:
            cancel.check()
            progress.report(
                f"recognising {path.name}, seconds", min(length, int(segment.end)), length
            )
            said += _said(segment)
    except (RuntimeError, ValueError, OSError, MemoryError) as error:
        raise MachineError(
            f"recognition failed: {str(error)[:200] or type(error).__name__}",
            remedy="Look whether the model is whole, or give captions from a file",
            file=path,
        ) from None
    cancel.check()
    if not said:
        raise InputError("no speech is heard on it", remedy="Give captions from a file", file=path)
    progress.report(f"recognising {path.name}, seconds", length, length)
    return Speech.put_in_order(said)


def _library() -> Any:
    """Load the library, told to stay off the network.

    Raises:
        InputError: it is not installed.
        MachineError: it cannot be loaded.
    """
    for name in _OFFLINE:
        os.environ[name] = "1"
    try:
        return importlib.import_module("faster_whisper")
    except ModuleNotFoundError:
        raise InputError("speech recognition is not installed", remedy=_INSTALL) from None
    except (ImportError, OSError) as error:
        raise MachineError(
            f"speech recognition cannot be loaded: {str(error)[:200]}", remedy=_INSTALL
        ) from None


def _said(segment: Any) -> Iterable[tuple[Cue, tuple[SaidWord, ...]]]:
    """Yield a segment of the library as a caption with its words."""
    words = []
    last = Decimal("0.000")
    for word in segment.words or ():
        start = max(last, _seconds(word.start))
        end = max(start, _seconds(word.end))
        parts = plain_text(word.word).split()
        words += [SaidWord(part, start, end) for part in parts]
        last = start
    if not words:
        return
    start = words[0].start or last
    end = max(_seconds(segment.end), words[-1].end or start, start + _MS)
    yield Cue(start, end, " ".join(word.text for word in words)), tuple(words)


def _seconds(value: float) -> Decimal:
    return max(Decimal("0.000"), Decimal(str(float(value))).quantize(_MS))
