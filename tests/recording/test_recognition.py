"""Recognition with a model folder, on a stand-in for the library: it is an optional part."""

from __future__ import annotations

import os
import subprocess
import sys
import types
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from author.errors import Cancelled, InputError, MachineError
from author.progress import Cancel
from author.recording import recognition, together
from author.recording.recognition import check_model, recognised


@dataclass
class Word:
    start: float
    end: float
    word: str


@dataclass
class Segment:
    start: float
    end: float
    words: list[Word] | None


SEGMENTS = [
    Segment(0.4, 1.3, [Word(np.float32(0.4), 0.61, " Lift"), Word(0.61, 1.3, " it off.")]),
    Segment(1.3, 1.4, None),
    Segment(2.0, 3.0, [Word(2.0, 1.9, " Go\u202e od.")]),
]


class Heard:
    """A progress that keeps what it hears."""

    def __init__(self) -> None:
        self.reports: list[tuple[str, int, int | None]] = []

    def report(self, job: str, done: int, total: int | None) -> None:
        self.reports.append((job, done, total))


class Library(types.ModuleType):
    """What is used of the library, and how it was used."""

    def __init__(self, segments: list[Segment]) -> None:
        super().__init__("faster_whisper")
        self.calls: list[dict[str, Any]] = []
        calls = self.calls

        class WhisperModel:
            def __init__(self, folder: str, **how: Any) -> None:
                calls.append({"folder": folder, "offline": os.environ["HF_HUB_OFFLINE"], **how})

            def transcribe(self, sound: Any, **how: Any) -> tuple[Iterator[Segment], None]:
                calls.append({"samples": len(sound), **how})
                return iter(segments), None

        self.WhisperModel = WhisperModel


@pytest.fixture
def model(tmp_path: Path) -> Path:
    folder = tmp_path / "model"
    folder.mkdir()
    for name in ("model.bin", "config.json", "tokenizer.json", "vocabulary.json"):
        (folder / name).write_bytes(b"{}")
    return folder


@pytest.fixture
def library(monkeypatch: pytest.MonkeyPatch) -> Library:
    made = Library(SEGMENTS)
    monkeypatch.setitem(sys.modules, "faster_whisper", made)
    monkeypatch.setattr(together, "sound_of", lambda *_: np.zeros(4 * 16_000, np.float32))
    for name in ("HF_HUB_OFFLINE", "TRANSFORMERS_OFFLINE", "HF_HUB_DISABLE_TELEMETRY"):
        monkeypatch.setenv(name, "0")
    return made


def test_what_is_heard_comes_with_its_times(model: Path, library: Library) -> None:
    heard = Heard()
    found = recognised(Path("saw.mp4"), model, heard)
    assert [cue.text for cue in found.cues] == ["Lift it off.", "Go od."]
    assert found.words is not None
    assert [str(word.start) for word in found.words[0]] == ["0.400", "0.610", "0.610"]
    assert [word.text for word in found.words[1]] == ["Go", "od."]
    assert found.words[1][0].end == Decimal("2.000")
    assert heard.reports[-1] == ("recognising saw.mp4, seconds", 4, 4)
    opened, asked = library.calls
    assert opened["folder"] == str(model)
    assert opened["local_files_only"] is True
    assert opened["offline"] == "1"
    assert asked["samples"] == 4 * 16_000
    assert asked["word_timestamps"] is True


def test_stopping_ends_it_at_the_next_stretch(model: Path, library: Library) -> None:
    cancel = Cancel()

    class Stopping(Heard):
        def report(self, job: str, done: int, total: int | None) -> None:
            super().report(job, done, total)
            cancel.request()

    heard = Stopping()
    with pytest.raises(Cancelled):
        recognised(Path("saw.mp4"), model, heard, cancel)
    assert len(heard.reports) == 1


def test_nothing_heard(model: Path, library: Library, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "faster_whisper", Library([]))
    with pytest.raises(InputError, match="no speech") as caught:
        recognised(Path("saw.mp4"), model)
    assert caught.value.file == "saw.mp4"


def test_a_model_that_cannot_be_loaded(
    model: Path, library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise RuntimeError("unsupported model binary version")

    monkeypatch.setattr(library, "WhisperModel", refuse)
    with pytest.raises(MachineError, match="unsupported"):
        recognised(Path("saw.mp4"), model)


def test_the_library_is_not_installed(model: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "faster_whisper", None)
    with pytest.raises(InputError, match="not installed") as caught:
        recognised(Path("saw.mp4"), model)
    assert "reelwright[speech]" in caught.value.remedy


@pytest.mark.parametrize("gone", ["model.bin", "config.json", "tokenizer.json", "vocabulary.json"])
def test_a_folder_that_lacks_something(model: Path, gone: str) -> None:
    """Without its tokenizer the library would fetch one from the network."""
    check_model(model)
    (model / gone).unlink()
    with pytest.raises(InputError, match=gone.replace(".", r"\.")):
        check_model(model)


@pytest.mark.parametrize("name", ["small", "somebody/a-model"])
def test_a_name_is_no_folder(name: str, library: Library) -> None:
    with pytest.raises(InputError, match="no such folder"):
        recognised(Path("saw.mp4"), Path(name))
    assert not library.calls


def test_the_module_is_light() -> None:
    code = f"import {recognition.__name__}, sys; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert not {"av", "cv2", "numpy", "faster_whisper"} & set(done.stdout.split())
