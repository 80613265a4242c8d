"""Narrations with gold marks, written as the caption files they would be found in."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from author.proposals.speech.sentences import sentences_of
from author.proposals.speech.spoken import Sentence
from author.recording.captions import parse_speech
from proposals.lists import read_list

NARRATIONS = Path(__file__).parent / "narrations"
READABLE = ("build", "further", "unfitted", "wider")
"""Folders that all tables are fitted to."""
LEARNED = (*READABLE, "howto")
"""Folders that the network which reads ahead learned from, and the tables of things and steps."""
TRIAL = "trial"
"""A folder that is read and looked at, of which nothing learns: what is chosen is tried on it."""
MEASURED = ("measure", "unseen", "plain")
"""Folders that nobody reads: they are for measuring only."""
_PLAIN = re.compile(r"[^\w\s'’./%°-]")
_CUE_WORDS = 9


@dataclass(frozen=True)
class Narration:
    """A narration and its gold marks; see ``tests/proposals/narrations/README.md``."""

    name: str
    data: dict[str, Any]

    @property
    def sentences(self) -> list[dict[str, Any]]:
        return list(self.data["sentences"])

    def caption_file(self) -> tuple[str, bytes]:
        """Return name and bytes of the caption file the narration is found in."""
        cues = list(self._cues())
        match self.data["format"]:
            case "vtt":
                return f"{self.name}.vtt", _vtt(cues)
            case "rolling":
                return f"{self.name}.vtt", _rolling(cues)
            case "srt":
                return f"{self.name}.srt", _srt(cues)
            case "timed":
                return f"{self.name}.txt", self._timed()
            case "words":
                return f"{self.name}.json", _words(cues)
        raise ValueError(self.data["format"])

    def spoken(self) -> tuple[Sentence, ...]:
        """Return the sentences the program makes of its caption file."""
        name, data = self.caption_file()
        return sentences_of(parse_speech(data, Path(name)), self.name)

    def text_of(self, sentence: dict[str, Any]) -> str:
        if self.data["style"] != "bare":
            return str(sentence["say"])
        bare = sentence.get("bare") or _PLAIN.sub("", sentence["say"]).lower()
        return re.sub(r"[.,](?=\s|$)", "", str(bare))

    def _cues(self) -> Iterator[tuple[Decimal, Decimal, str]]:
        """Yield cues of a line or so, their times shared out by letters."""
        for sentence in self.sentences:
            words = self.text_of(sentence).split()
            start, end = Decimal(sentence["from"]), Decimal(sentence["to"])
            letters = sum(len(word) for word in words)
            said = 0
            for first in range(0, len(words), _CUE_WORDS):
                part = words[first : first + _CUE_WORDS]
                begins = start + (end - start) * said / letters
                said += sum(len(word) for word in part)
                yield begins, start + (end - start) * said / letters, " ".join(part)

    def _timed(self) -> bytes:
        lines: list[str] = []
        before, since = Decimal(-9), 0
        for sentence in self.sentences:
            start = Decimal(sentence["from"])
            if start - before >= 1 or since == 3:
                lines.append(f"\n[{_clock(start)}]")
                since = 0
            lines.append(self.text_of(sentence))
            before, since = Decimal(sentence["to"]), since + 1
        return "\n".join(lines).encode()


def narrations(folder: str) -> list[Narration]:
    """Return those of a folder of ``READABLE`` or ``MEASURED``."""
    files = sorted((NARRATIONS / folder).glob("*.yaml"))
    return [Narration(f.stem, read_list(f)) for f in files]


def readable(folders: Sequence[str] = READABLE) -> list[tuple[str, Narration]]:
    """Return folder and narration of all that tables are fitted to."""
    return [(folder, one) for folder in folders for one in narrations(folder)]


def _stamp(seconds: Decimal, point: str) -> str:
    whole = int(seconds * 1000)
    hours, rest = divmod(whole, 3_600_000)
    minutes, rest = divmod(rest, 60_000)
    return f"{hours:02d}:{minutes:02d}:{rest // 1000:02d}{point}{rest % 1000:03d}"


def _clock(seconds: Decimal) -> str:
    return f"{int(seconds) // 60}:{int(seconds) % 60:02d}"


def _vtt(cues: list[tuple[Decimal, Decimal, str]]) -> bytes:
    blocks = [f"{_stamp(a, '.')} --> {_stamp(b, '.')}\n{text}\n" for a, b, text in cues]
    return ("WEBVTT\n\n" + "\n".join(blocks)).encode()


def _rolling(cues: list[tuple[Decimal, Decimal, str]]) -> bytes:
    blocks, before = [], ""
    for start, end, text in cues:
        lines = f"{before}\n{text}" if before else text
        blocks.append(f"{_stamp(start, '.')} --> {_stamp(end, '.')}\n{lines}\n")
        before = text
    return ("WEBVTT\n\n" + "\n".join(blocks)).encode()


def _srt(cues: list[tuple[Decimal, Decimal, str]]) -> bytes:
    blocks = [
        f"{number}\r\n{_stamp(a, ',')} --> {_stamp(b, ',')}\r\n{text}\r\n"
        for number, (a, b, text) in enumerate(cues, start=1)
    ]
    return "\r\n".join(blocks).encode()


def _words(cues: list[tuple[Decimal, Decimal, str]]) -> bytes:
    words = []
    for start, end, text in cues:
        parts = text.split()
        step = (end - start) / len(parts)
        for number, word in enumerate(parts):
            begins = start + step * number
            words.append({"word": word, "start": f"{begins:.3f}", "end": f"{begins + step:.3f}"})
    for word in words:
        word["start"], word["end"] = float(word["start"]), float(word["end"])
    return json.dumps({"words": words}).encode()
