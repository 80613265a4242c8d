"""Plain timed text, words as JSON, and what is asked of any speech that a file gives."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from author.errors import InputError
from author.procedure.cues import Cue, plain_text
from author.recording import captions
from author.recording.captions import parse_speech, read_captions, read_speech
from author.recording.said import SaidWord, Speech
from author.recording.word_times import words_text

FILE = Path("saw.txt")


def speech(text: str, *, best_effort: bool = False, code: str = "utf-8") -> Speech:
    return parse_speech(text.encode(code), FILE, best_effort=best_effort)


def cues(text: str) -> list[tuple[str, str, str]]:
    return [(str(c.start), str(c.end), c.text) for c in speech(text).cues]


def words(text: str) -> list[tuple[str, str | None, str | None]]:
    found = speech(text).words
    assert found is not None
    return [
        (w.text, None if w.start is None else str(w.start), None if w.end is None else str(w.end))
        for inner in found
        for w in inner
    ]


def fails(data: bytes, **how: bool) -> InputError:
    with pytest.raises(InputError) as caught:
        parse_speech(data, FILE, **how)
    assert caught.value.file == "saw.txt"
    assert caught.value.line
    assert caught.value.remedy
    return caught.value


@pytest.mark.parametrize(
    ("head", "start"),
    [
        ("[0:05]", "5.000"),
        ("[1:02:03]", "3723.000"),
        ("[00:05.5]", "5.500"),
        ("[ 0:05,25 ]", "5.250"),
        ("(0:05)", "5.000"),
        ("0:05", "5.000"),
        ("  75:10", "4510.000"),
        ("0:05 -", "5.000"),
        ("[0:05]\n", "5.000"),
        ("0:05\n", "5.000"),
    ],
)
def test_paragraphs_headed_by_a_time(head: str, start: str) -> None:
    ((at, _, text),) = cues(f"Changing a seal\n\n{head} Lift it off.\nBoth hands.\n")
    assert (at, text) == (start, "Lift it off.\nBoth hands.")


def test_a_paragraph_ends_where_the_next_begins_or_with_its_words() -> None:
    text = "[0:01] one two three four five six\n[0:02] seven eight\n\n[0:30 - 0:40] nine\n[1:00] x"
    assert [(start, end) for start, end, _ in cues(text)] == [
        ("1.000", "2.000"),
        ("2.000", "3.000"),
        ("30.000", "40.000"),
        ("60.000", "60.500"),
    ]


def test_paragraphs_of_one_moment_lose_no_word() -> None:
    assert [text for *_, text in cues("[0:01] one\n[0:01] two\n[0:05] three")] == [
        "one\ntwo",
        "three",
    ]


def test_a_time_inside_a_paragraph_heads_none() -> None:
    assert len(cues("[0:05] Mix it\n3:15 by weight.\n[0:09] Good.")) == 2
    assert len(cues("5:00 Mix it\n3:15 by weight.\n6:00 Good.")) == 2


def test_paragraphs_that_make_no_sense() -> None:
    bad = "[0:05] one\n[0:75] two\n[0:20] three\n[0:10] four\n"
    assert fails(bad.encode()).line == 2
    assert fails(b"[0:05] one\n[0:02] two").line == 2
    found = speech(bad, best_effort=True)
    assert [cue.text for cue in found.cues] == ["one", "four", "three"]
    assert len(found.notes) == 2
    assert "line 2" in found.notes[0]


LIST = [
    {"word": "Lift", "start": 0.4, "end": 0.62},
    {"word": " it,", "start": 0.7, "end": 0.9},
    {"word": "off.", "start": 2, "end": 2.25},
]
SAID = [("Lift", "0.400", "0.620"), ("it,", "0.700", "0.900"), ("off.", "2.000", "2.250")]


@pytest.mark.parametrize(
    "shape",
    [
        LIST,
        {"words": LIST},
        {"text": "Lift it, off.", "result": LIST},
        {"segments": [{"start": 0.4, "end": 2.25, "text": "Lift it, off.", "words": LIST}]},
        [{"start": 0.4, "end": 2.25, "text": "Lift it, off.", "words": LIST}],
        [{"text": w["word"], "start": str(w["start"]), "end": str(w["end"])} for w in LIST],
        [{"text": w["word"], "start": w["start"], "duration": w["end"] - w["start"]} for w in LIST],
    ],
)
def test_shapes_of_words_with_times(shape: Any) -> None:
    assert words(json.dumps(shape)) == SAID
    assert words(json.dumps(shape, indent=1)) == SAID


def test_single_words_become_captions_at_pauses() -> None:
    assert cues(json.dumps(LIST)) == [
        ("0.400", "0.900", "Lift it,"),
        ("2.000", "2.250", "off."),
    ]


def test_segments_without_words_and_words_without_times() -> None:
    text = json.dumps({"segments": [{"start": 1, "end": 3, "text": "lift it off"}]})
    assert cues(text) == [("1.000", "3.000", "lift it off")]
    segment = {"start": 1, "end": 3, "words": [{"word": "to", "start": 1.5}, {"word": "25"}]}
    assert words(json.dumps([segment])) == [("to", "1.500", None), ("25", None, None)]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[" * 100_000, "deep"),
        ('{"words": ' * 100_000, "deep"),
        ("[" + "[]," * 1_000_001, "objects"),
        ("[" + "1," * 2_000_001, "values"),
        ('{"words": []}', "no word"),
        ("[]", "no word"),
        ("{}", "no list"),
        ('{"text": "lift"}', "no list"),
        ('[{"word": "a", "start": NaN, "end": 1}]', "NaN"),
        ('[{"word": "a", "start": 1e999999999999999999999, "end": 1}]', "number"),
        ('[{"word": "a", "start": 1e99, "end": 1}]', "too large"),
        ('[{"word": "a", "start": -1, "end": 1}]', "negative"),
        ('[{"word": "a", "start": 2, "end": 1}]', "before it begins"),
        ('[{"word": "a", "start": true, "end": 1}]', "no number"),
        ('[{"word": "a", "start": [1], "end": 1}]', "no number"),
        ('[{"word": 1, "start": 1, "end": 1}]', "no text"),
        ('[{"word": "a"}]', "no word with a time"),
        ('[{"start": 1, "end": 2, "words": [7]}]', "neither"),
        ('["a", "b"]', "neither"),
        ('[{"word": "a", "start": 1, "end": 2', "no JSON"),
        ('[{"word": "a", "start": 5, "end": 6}, {"word": "b", "start": 1, "end": 2}]', "above"),
    ],
)
def test_words_that_make_no_sense(text: str, said: str) -> None:
    assert said in fails(text.encode()).problem


def test_the_line_of_a_bad_word_is_told_and_it_can_be_left_out() -> None:
    entries = [*LIST[:2], {"word": "}{", "start": -4, "end": 1}, LIST[2]]
    text = "[\n" + ",\n".join(json.dumps(each) for each in entries) + "\n]"
    assert fails(text.encode()).line == 4
    found = speech(text, best_effort=True)
    assert " ".join(cue.text for cue in found.cues) == "Lift it, off."
    assert len(found.notes) == 1
    assert "negative" in found.notes[0]


@pytest.mark.parametrize("code", ["utf-8-sig", "utf-16", "utf-16-le", "utf-32-be", "cp1252"])
@pytest.mark.parametrize(
    "text",
    ["[0:05] Ø 40 × 12 mm\r\n", '[{"word": "Ø40", "start": 1, "end": 2}]', "0:05\rØ 40\r"],
)
def test_codes_and_line_ends(code: str, text: str) -> None:
    (cue,) = speech(text, code=code).cues
    assert cue.text.startswith("Ø")


def test_a_damaged_span_is_left_out_with_its_words() -> None:
    text = (
        "1\n00:00:01,000 --> 00:00:02,000\none\n\n2\n00:00:0x,000 --> 00:00:04,000\ntwo\n\n"
        "3\n00:00:05,000 --> 00:00:06,000\nthree\n\n4\n00:00:09,000 --> 00:00:08,000\nfour\n"
    )
    assert fails(text.encode()).line == 6
    found = speech(text, best_effort=True)
    assert [cue.text for cue in found.cues] == ["one", "three"]
    assert ["line 6" in note or "line 14" in note for note in found.notes] == [True, True]


def test_notes_have_an_end() -> None:
    bad = "00:00:0x,000 --> 00:00:04,000\ntwo\n" * 500
    found = speech(bad + "0:1 --> 0:2\none\n", best_effort=True)
    assert len(found.cues) == 1
    assert len(found.notes) < 100
    assert "more" in found.notes[-1]


def test_times_inside_webvtt_captions() -> None:
    text = (
        "WEBVTT\n\n00:01.000 --> 00:04.000\n<v Ann>lift<00:01.500><c> the</c> red"
        "<00:00:03.000> &lt;cover&gt;\n\n00:05.000 --> 00:06.000\nnow<00:09.000> on\n"
    )
    assert words(text) == [
        ("lift", None, None),
        ("the", "1.500", None),
        ("red", None, None),
        ("<cover>", "3.000", None),
        ("now", None, None),
        ("on", None, None),
    ]


def test_captions_of_another_recording() -> None:
    found = speech("[0:05] one\n[0:58] two\n[1:02] three\n")
    assert found.held_against(Decimal(90), FILE) == found
    kept = found.held_against(Decimal(60), FILE)
    assert [cue.text for cue in kept.cues] == ["one", "two"]
    assert len(kept.notes) == 1
    with pytest.raises(InputError, match="another recording"):
        found.held_against(Decimal(30), FILE)
    with pytest.raises(InputError, match="another recording"):
        found.held_against(Decimal(4), FILE)


@pytest.mark.parametrize("data", [b"", b"  \n", b"WEBVTT\n", b"lift it off\n", b"\x00\x01" * 99])
def test_nothing_with_a_time_in_it(tmp_path: Path, data: bytes) -> None:
    file = tmp_path / "a.txt"
    file.write_bytes(data)
    with pytest.raises(InputError, match=r"a\.txt"):
        read_speech(file, best_effort=True)


def test_a_huge_file_is_not_read_through(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(captions, "MAX_BYTES", 1000)
    huge = tmp_path / "huge.json"
    with huge.open("wb") as stream:
        stream.truncate(100 * 1024 * 1024)
    with pytest.raises(InputError, match="larger than"):
        read_speech(huge, best_effort=True)


def test_captions_are_what_the_speech_shows(tmp_path: Path) -> None:
    file = tmp_path / "a.json"
    file.write_text(json.dumps(LIST))
    assert read_captions(file) == read_speech(file).cues


def sane(found: Speech) -> None:
    assert list(found.cues) == sorted(found.cues, key=lambda cue: cue.start)
    for number, cue in enumerate(found.cues):
        assert 0 <= cue.start < cue.end
        assert cue.text == plain_text(cue.text) != ""
        if found.words is not None:
            assert [word.text for word in found.words[number]] == cue.text.split()
    for inner in found.words or ():
        for word in inner:
            assert word.start is None or word.start >= 0
            assert None in (word.start, word.end) or word.start <= word.end  # type: ignore[operator]


PIECES = (
    *("[0:05]", "(1:02:03)", "0:09", "[0:75]", "99:99:99", "\n", "\r\n", " ", "[", "]", "{", "}"),
    *('"', '"words"', '"word"', '"start"', '"end"', ":", ",", "1.5", "-1", "1e999", "NaN", "null"),
    *("WEBVTT", "00:01.000 --> 00:09.000", "<00:02.000>", "<00:99.000>", "\ue000", "a", "Ø", "\0"),
)
pieces = st.lists(st.sampled_from(PIECES), max_size=40).map("".join)
numbers = st.integers(-5, 30) | st.floats() | st.none() | st.text(max_size=3)
entries = st.dictionaries(
    st.sampled_from(["word", "text", "start", "end", "words", "segments", "dur"]),
    st.recursive(
        numbers,
        lambda inner: st.lists(
            st.dictionaries(st.sampled_from(["word", "start", "end"]), inner) | inner, max_size=4
        ),
        max_leaves=6,
    ),
)
shapes = st.lists(entries, max_size=6).map(json.dumps)


@settings(deadline=None, max_examples=300)
@given(st.one_of(st.binary(max_size=200), pieces.map(str.encode), shapes.map(str.encode)))
@example(b"[0:05]")
@example(b'[{"words": [" "], "start": 1, "text": "\\u200b"}]')
@example(b'[{"word": "\\ud800", "start": 1}]')
def test_any_bytes_are_speech_or_a_clear_error(data: bytes) -> None:
    for best_effort in (False, True):
        try:
            sane(parse_speech(data, FILE, best_effort=best_effort))
        except InputError as error:
            assert error.file
            assert error.line
            assert error.remedy


letters = st.text("abcØé'.,", min_size=1, max_size=6).filter(lambda word: plain_text(word) == word)


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(0, 3000), st.integers(0, 900), letters), min_size=1))
def test_no_word_with_a_time_is_lost(said: list[tuple[int, int, str]]) -> None:
    at = 0
    written, expected = [], []
    for gap, long, word in said:
        at += gap
        written.append({"word": word, "start": at / 1000, "end": (at + long) / 1000})
        expected.append((word, f"{at / 1000:.3f}", f"{(at + long) / 1000:.3f}"))
    assert words(json.dumps(written)) == expected


def test_cues_are_plain_captions() -> None:
    assert speech("[0:05] <b>bold</b> &amp; plain").cues[0] == Cue(
        Decimal("5.000"), Decimal("6.500"), "<b>bold</b> &amp; plain"
    )


def test_words_with_their_times_are_written_and_read_the_same():
    cue = Cue(Decimal("0.400"), Decimal("1.300"), "Lift it off.")
    words = (
        SaidWord("Lift", Decimal("0.400"), Decimal("0.610")),
        SaidWord("it", Decimal("0.610"), Decimal("0.800")),
        SaidWord("off.", Decimal("0.800"), Decimal("1.300")),
    )
    speech = Speech((cue,), (words,))
    read = parse_speech(words_text(speech).encode(), Path("film.json"))
    assert (read.cues, read.words) == (speech.cues, speech.words)


@pytest.mark.parametrize(
    ("text", "note"),
    [
        (
            "0:05 --> 0:06\ntwo\n\n0:01 --> 0:02\none\n",
            "the captions do not stand in the order of their times; they were put so",
        ),
        (
            "0:01 --> 0:02\none\n\n99999999999:00:03.000 --> 99999999999:00:04.000\ntwo\n",
            "line 4: the time span '99999999999:00:03.000 --> 99999999999:00:04.000'",
        ),
    ],
)
def test_captions_out_of_order_or_beyond_all_time_are_told(text: str, note: str) -> None:
    (told,) = speech(text, best_effort=True).notes
    assert told.startswith(note)


def test_captions_in_order_that_overlap_need_no_note() -> None:
    assert speech("0:01 --> 0:04\none\n\n0:01 --> 0:03\ntwo\n", best_effort=True).notes == ()
