"""Damaged and guessed text of captions: what is read, and what is told of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from author.recording.captions import parse_speech
from author.recording.said import Speech
from recording.test_captions import SPOKEN

TALK = """WEBVTT

00:01.000 --> 00:04.000
Undo the cover bolts – it’s tight.

00:05.000 --> 00:09.000
Lift the cover, 5 µm ± 2 °, now the shaft.
"""


def heard(data: bytes) -> Speech:
    return parse_speech(data, Path("saw.vtt"), best_effort=True)


@pytest.mark.parametrize(
    ("damaged", "lines"),
    [
        ([(b"cover,", b"c\xffver,")], "line 7:"),
        ([("’".encode(), b"\xe2\x3f\x99")], "line 4:"),
        ([("’".encode(), b"\xe2\x80")], "line 4:"),
        ([("µ".encode(), b"\xb5")], "line 7:"),
        ([(b"cover", b"c\x81ver"), (b"now", b"n\xefw")], "lines 4, 7:"),
        ([(b"the shaft", b"the\0shaft")], "line 7:"),
        ([(b"shaft.", b"shaft.\n\n00:10.000 --> 00:12.000\nUn caf\xe9.")], "line 10:"),
    ],
)
def test_utf_8_with_some_damaged_bytes_is_told_with_its_lines(damaged, lines) -> None:
    data = TALK.encode()
    for whole, broken in damaged:
        data = data.replace(whole, broken)
    found = heard(data)
    assert found.cues[0].text.startswith("Undo the c")
    assert any("\ufffd" in cue.text for cue in found.cues)
    (note,) = found.notes
    assert note.startswith(lines)
    assert "damaged" in note
    assert "UTF-8" in note


def test_letters_that_were_lost_before_are_told_and_very_many_lines_counted() -> None:
    text = "".join(f"[0:{n:02}] Turn it \ufffd.\n" for n in range(9))
    (note,) = heard(text.encode()).notes
    assert note.startswith("lines 1, 2, 3, 4, 5 and 4 more:")


@pytest.mark.parametrize(
    ("language", "code", "called"),
    [
        ("en", "cp1252", "Windows-1252"),
        ("de", "latin-1", "Windows-1252"),
        ("fr", "cp1252", "Windows-1252"),
        ("fr", "mac-roman", "Mac Roman"),
        ("pl", "cp1250", "Windows-1250"),
        ("th", "cp874", "Windows-874"),
        ("ja", "shift_jis", "Shift JIS"),
        ("zh", "gb2312", "GB 18030"),
        ("ru", "utf-16-le", "UTF-16-LE"),
    ],
)
def test_a_guessed_code_is_told_with_the_words_read_by_it(language, code, called) -> None:
    text = "".join(f"[0:0{n}] {said}\n" for n, said in enumerate(SPOKEN[language]))
    found = heard(text.encode(code))
    assert tuple(cue.text for cue in found.cues) == SPOKEN[language]
    (note,) = found.notes
    assert f" {called}, which is a guess" in note


def test_signs_that_stand_together_by_chance_make_no_utf_8() -> None:
    """“é and ’é of a Mac are valid UTF-8 as two bytes."""
    said = "J’ai déposé l’écrou, puis “été” : c’était usé."
    found = heard(f"[0:01] {said}\n".encode("mac-roman"))
    assert found.cues[0].text == said
    assert "Mac Roman" in found.notes[0]


def test_one_letter_in_plain_text_is_a_guess_shown_with_its_line() -> None:
    found = heard(b"[0:01] Undo it.\n[0:04] Lift th\xe5 cover.\n")
    (note,) = found.notes
    assert note.startswith("line 2:")
    assert "thå cover" in note


@pytest.mark.parametrize("code", ["utf-8", "utf-8-sig", "utf-16", "utf-32"])
def test_nothing_is_told_of_whole_text_whose_code_shows(code) -> None:
    assert heard(TALK.encode(code)).notes == ()


def test_utf_16_that_was_cut_off_is_told() -> None:
    (note,) = heard(TALK.encode("utf-16")[:-3]).notes
    assert note.startswith("line 7: bytes are damaged")
