"""Captions put together to sentences: every word once, in order, with its time."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from author.procedure.cues import Cue
from author.proposals.speech.sentences import sentences_of
from author.proposals.speech.spoken import Sentence
from author.recording.captions import parse_speech
from author.recording.said import SaidWord


def cue(start: str, end: str, text: str) -> Cue:
    return Cue(Decimal(start), Decimal(end), text)


def texts(*cues: Cue) -> list[str]:
    return [sentence.text for sentence in sentences_of(cues)]


def one(text: str) -> list[str]:
    return texts(cue("0", "9", text))


def check(sentences: tuple[Sentence, ...]) -> None:
    last = Decimal(0)
    for sentence in sentences:
        assert sentence.text == " ".join(word.text for word in sentence.words)
        for word in sentence.words:
            assert sentence.text[word.at :].startswith(word.text)
            assert last <= word.start <= word.end
            last = word.start
    for before, after in pairwise(sentences):
        assert before.end <= after.start
        assert before.pause_after == after.pause_before == after.start - before.end


def test_a_sentence_runs_over_captions_and_a_caption_holds_several() -> None:
    found = sentences_of(
        [
            cue("1", "3", "Bend the tab back, then undo"),
            cue("3", "6", "the axle nut. Lift it off. It"),
            cue("7.5", "9", "is heavy."),
        ],
        "saw",
    )
    assert [each.text for each in found] == [
        "Bend the tab back, then undo the axle nut.",
        "Lift it off.",
        "It is heavy.",
    ]
    check(found)
    assert {each.recording for each in found} == {"saw"}
    assert found[0].start == Decimal(1)
    assert found[2].end == Decimal(9)


@pytest.mark.parametrize(
    "text",
    [
        "Set it to 0.5 mm and lock it.",
        "Fit seal no. 5 with the lip inwards.",
        "Use grease, e.g. lithium grease, on both.",
        "Use oil, i.e. The light one, on both.",
        "Run an M8 x 1.25 tap down it.",
        "So... we take that off... like this.",
        "So… I lift it off.",
        "About 3 in. deep and 2 ft. long.",
        "Torque it to 25 ft. lbs. and no more.",
        "It runs at 60 p.s.i. when hot.",
        "See fig. 3 for the order.",
        "Wind it 4. 5 turns back.",
        "Mr. Brown holds the other end.",
        "It comes to approx. 40 all round.",
        "1. Take the cover off.",
    ],
)
def test_what_ends_no_sentence(text: str) -> None:
    assert one(text) == [text]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Is it tight? No. Then go on.", ["Is it tight?", "No.", "Then go on."]),
        ("Torque it to 25. Then let go.", ["Torque it to 25.", "Then let go."]),
        ("Press it to 4.5 mm. Stop there!", ["Press it to 4.5 mm.", "Stop there!"]),
        ('He said "stop." Then it fell.', ['He said "stop."', "Then it fell."]),
        ("That is it... Now the bolt.", ["That is it...", "Now the bolt."]),
        ("Lift it off. now the next one.", ["Lift it off.", "now the next one."]),
    ],
)
def test_what_ends_a_sentence(text: str, expected: list[str]) -> None:
    assert one(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("[Music]\nLift it off.", "Lift it off."),
        ("Lift it (hammering) off.", "Lift it off."),
        ("♪ upbeat tune ♪ Lift it off.", "Lift it off."),
        ("(loud banging)", None),
        (">> JOE: Lift it off.", "Lift it off."),
        ("JOE: Lift it off.", "Lift it off."),
        ("Speaker 2: Lift it off.", "Lift it off."),
        ("WARNING: It can fly.", "WARNING: It can fly."),
        ("Fit it (the long one) first.", "Fit it (the long one) first."),
        ("Fit it (spring side out) first.", "Fit it (spring side out) first."),
        ("Set it to [0.5] mm.", "Set it to [0.5] mm."),
        ("Between 1.2\n- 1.6 mm.", "Between 1.2 - 1.6 mm."),
        ("Cool it to -5 degrees.", "Cool it to -5 degrees."),
    ],
)
def test_what_is_no_speech_is_left_out(text: str, expected: str | None) -> None:
    assert one(text) == ([] if expected is None else [expected])


@pytest.mark.parametrize(
    ("captions", "expected"),
    [
        (["Lift it off. Spin it, make sure it's in the groove", "Seal now. The seal goes in."],
         ["Lift it off.", "Spin it, make sure it's in the groove", "Seal now.",
          "The seal goes in."]),
        (["Lift it off. Press it in with the", "Seal driver. The seal driver is blue."],
         ["Lift it off.", "Press it in with the Seal driver.", "The seal driver is blue."]),
        (["Lift it off. Bolt it to the frame", "Kragberg made. It is done."],
         ["Lift it off.", "Bolt it to the frame Kragberg made.", "It is done."]),
    ],
)  # fmt: skip
def test_a_capital_begins_a_caption_and_a_sentence(captions, expected) -> None:
    cues = [Cue(Decimal(n), Decimal(n + 1), text) for n, text in enumerate(captions)]
    assert [each.text for each in sentences_of(cues)] == expected


PHRASES = [
    "breaker off and both valves shut", "drain the volute into a tray",
    "mind your back it's twenty two kilos", "impeller off with the two leg puller",
    "old seal off spring first", "stationary seat out of its bore",
    "new seat goes in shiny face out", "wipe with alcohol and a cloth",
    "impeller on with a new nut", "new gasket goes on dry",
    "bleed it till there are no bubbles", "strainer's half blocked",
]  # fmt: skip


def test_captions_that_end_with_phrases_end_sentences_too() -> None:
    cues = [Cue(Decimal(4 * n), Decimal(4 * n + 4), text) for n, text in enumerate(PHRASES)]
    assert [each.text for each in sentences_of(cues)] == PHRASES


def test_captions_cut_by_their_length_end_none() -> None:
    words = " ".join(PHRASES).split()
    told = [" ".join(words[n : n + 4]) for n in range(0, len(words), 4)]
    cues = [Cue(Decimal(2 * n), Decimal(2 * n + 2), text) for n, text in enumerate(told)]
    found = [each.text for each in sentences_of(cues)]
    assert " ".join(found).split() == words
    assert found != told


def test_each_speaker_begins_a_sentence() -> None:
    assert one("- Ready\n- Yes, go on. Lift.") == ["Ready", "Yes, go on.", "Lift."]


LINES = (
    "So first we take the guard off.",
    "Four screws hold it, and",
    "one of them hides behind the chute.",
    "The washer, the washer is scrap.",
    "Never use it again.",
)
SAID = " ".join(LINES)


def shown(parts: list[str], tenths: int = 20) -> list[Cue]:
    step = Decimal(tenths) / 10
    return [Cue(n * step, n * step + step, part) for n, part in enumerate(parts)]


ROLLING = {
    "the line before again": [
        LINES[0],
        *(f"{before}\n{line}" for before, line in pairwise(LINES)),
    ],
    "the line before again, in one line": [
        LINES[0],
        *(f"{before} {line}" for before, line in pairwise(LINES)),
    ],
    "with the line alone between": [
        part for before, line in pairwise(("", *LINES)) for part in (f"{before}\n{line}", line)
    ],
    "three lines": ["\n".join(LINES[max(0, n - 2) : n + 1]) for n in range(len(LINES))],
    "word by word": [
        " ".join(line.split()[: n + 1]) for line in LINES for n in range(len(line.split()))
    ],
    "everything twice": [line for line in LINES for _ in range(2)],
}


@pytest.mark.parametrize("name", ROLLING)
def test_rolling_captions_say_each_word_once(name: str) -> None:
    found = sentences_of(shown(ROLLING[name]))
    assert " ".join(each.text for each in found) == SAID
    assert len(found) == 4
    check(found)


def test_a_growing_caption_may_change_its_last_word() -> None:
    parts = ["now we", "now we tape", "now we take the", "now we take the nut off"]
    assert texts(*shown(parts, 4)) == ["now we take the nut off"]


def test_overlapping_captions_of_equal_words_are_one() -> None:
    cues = [
        cue("0", "3", "Lift it off."),
        cue("0.4", "3.2", "Lift it off."),
        cue("4", "5", "Good."),
    ]
    assert texts(*cues) == ["Lift it off.", "Good."]


def test_what_is_said_twice_stays_twice() -> None:
    cues = [cue("0", "1", "Again."), cue("1", "2", "Again."), cue("2", "4", "Again. Good.")]
    assert texts(*cues) == ["Again.", "Again.", "Again.", "Good."]


def test_times_inside_captions_reach_the_words() -> None:
    vtt = (
        "WEBVTT\n\n00:01.000 --> 00:04.000\nlift<00:01.500><c> the</c><00:03.000><c> cover</c>\n\n"
        "00:04.000 --> 00:06.000\nlift the cover\noff<00:05.000> now\n"
    )
    speech = parse_speech(vtt.encode(), Path("a.vtt"))
    words = [word for each in sentences_of(speech) for word in each.words]
    assert [(word.text, str(word.start)) for word in words] == [
        ("lift", "1.000"),
        ("the", "1.500"),
        ("cover", "3.000"),
        ("off", "4.000"),
        ("now", "5.000"),
    ]
    assert words[1].end < words[2].start  # it takes no second and a half to say


def test_words_with_their_times() -> None:
    said = [
        SaidWord("Lift", Decimal("0.5"), Decimal("0.8")),
        SaidWord("it."),
        SaidWord("Good.", Decimal("3"), Decimal("3.4")),
    ]
    lift, good = sentences_of(said)
    assert (lift.text, lift.start) == ("Lift it.", Decimal("0.5"))
    assert (good.start, good.end) == (Decimal(3), Decimal("3.4"))
    assert lift.words[1].end <= 3


def test_one_word_with_its_own_times_again_and_again() -> None:
    said = [SaidWord("x", Decimal(n), Decimal(n) + 1) for n in range(200)]
    assert sum(len(each.words) for each in sentences_of(said)) == 200


def bare(*parts: tuple[str, str, str]) -> list[str]:
    return texts(*(cue(*part) for part in parts))


BARE = [
    (
        [
            ("0", "3", "so we take the guard off"),
            ("3.4", "6", "now the blade comes out"),
            ("6.3", "9", "then clean the groove"),
        ],
        ["so we take the guard off", "now the blade comes out", "then clean the groove"],
    ),
    (
        [("0", "3", "measure the depth between one point two"), ("3.8", "6", "and one point six")],
        ["measure the depth between one point two and one point six"],
    ),
    (
        [("0", "3", "wind it back two turns"), ("3.6", "5", "and a half and stop")],
        ["wind it back two turns and a half and stop"],
    ),
    (
        [("0", "3", "tighten it to twenty"), ("3.7", "5", "foot pounds")],
        ["tighten it to twenty foot pounds"],
    ),
    (
        [("0", "3", "set it to 20"), ("3.9", "5", "to 25 inch pounds")],
        ["set it to 20 to 25 inch pounds"],
    ),
    (
        [("0", "3", "undo the bolts on the"), ("3.9", "5", "right hand side of it")],
        ["undo the bolts on the right hand side of it"],
    ),
    (
        [
            (
                "0",
                "6",
                "pull the old seal out with the hook okay so clean the bore with a rag",
            )
        ],
        ["pull the old seal out with the hook", "okay so clean the bore with a rag"],
    ),
    (
        [("0", "2", "nothing turns"), ("4", "6", "lift it off")],
        ["nothing turns", "lift it off"],
    ),
    # What is forbidden is not parted from the word that forbids it.
    (
        [("0", "2", "and never ever"), ("4.5", "6", "put a steel bolt in there")],
        ["and never ever put a steel bolt in there"],
    ),
    # "Right" before a place begins nothing, and a verb keeps what it is done to.
    (
        [("0", "3", "use the gun and not with a flame"), ("3.3", "6", "right on the paint")],
        ["use the gun and not with a flame right on the paint"],
    ),
    (
        [("0", "3", "if it won't come heat"), ("3.2", "6", "the housing round the outside")],
        ["if it won't come heat the housing round the outside"],
    ),
]


@pytest.mark.parametrize(("parts", "expected"), BARE)
def test_bare_captions(parts: list[tuple[str, str, str]], expected: list[str]) -> None:
    assert bare(*parts) == expected


def test_bare_words_are_parted_where_nobody_pauses() -> None:
    text = ("so lock the machine out first then take the four bolts out of the cover "
            "now clean the bore with a rag okay so put the new seal in with the lip down "
            "make sure it sits flush")  # fmt: skip
    found = sentences_of([Cue(Decimal(0), Decimal(20), text)])
    assert [one.text.split()[0] for one in found] == ["so", "now", "okay"]


def test_bare_words_without_any_sign_do_not_grow_without_end() -> None:
    found = bare(("0", "400", "one of the clips holds it to its arm " * 100))
    assert max(len(text.split()) for text in found) <= 40
    assert " ".join(found).split() == ("one of the clips holds it to its arm " * 100).split()


@pytest.mark.parametrize("said", [[], [cue("0", "1", "[Music]")], [cue("0", "1", "- ♪")]])
def test_nothing_said(said: list[Cue]) -> None:
    assert sentences_of(said) == ()


words = st.text("abcdefghijklmnopqrstuvwxyz", min_size=1, max_size=8)
many = st.lists(words, min_size=1, max_size=40, unique=True)
pauses = st.lists(st.integers(0, 4000), min_size=1)


def lines(said: list[str], sizes: list[int], gaps: list[int]) -> list[Cue]:
    cues: list[Cue] = []
    at, number = Decimal(0), 0
    while said[number:]:
        part = said[number : number + sizes[len(cues) % len(sizes)]]
        at += Decimal(gaps[len(cues) % len(gaps)]).scaleb(-3)
        cues.append(Cue(at, at + len(part), " ".join(part)))
        at += len(part)
        number += len(part)
    return cues


@settings(deadline=None)
@given(many, st.lists(st.integers(1, 6), min_size=1), pauses)
def test_no_word_of_plain_captions_is_lost_or_doubled(
    said: list[str], sizes: list[int], gaps: list[int]
) -> None:
    found = sentences_of(lines(said, sizes, gaps))
    assert [word.text for each in found for word in each.words] == said
    check(found)


@settings(deadline=None)
@given(many, st.lists(st.integers(3, 6), min_size=1), pauses)
def test_no_word_of_rolling_captions_is_lost_or_doubled(
    said: list[str], sizes: list[int], gaps: list[int]
) -> None:
    cues = lines(said, sizes, gaps)
    again = [Cue(c.start, c.end, f"{before.text}\n{c.text}") for before, c in pairwise(cues)]
    found = sentences_of([cues[0], *again])
    assert [word.text for each in found for word in each.words] == said
    check(found)


anything = st.text(st.sampled_from("ab. -\n>[]()♪:5JOE…'\"") | st.characters(), max_size=30)


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(0, 9000), st.integers(0, 3000), anything), max_size=8))
def test_any_captions_give_words_in_order(parts: list[tuple[int, int, str]]) -> None:
    cues = sorted(
        (Cue(Decimal(at) / 1000, Decimal(at + long) / 1000, text) for at, long, text in parts),
        key=lambda each: each.start,
    )
    check(sentences_of(cues))
