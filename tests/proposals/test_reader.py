"""The network that reads a talk ahead: its pieces, its windows, and what it thinks.

The pieces are held against the cutter of the library ``tokenizers`` over the same vocabulary.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tokenizers import BertWordPieceTokenizer

from author.errors import Cancelled
from author.progress import Cancel
from author.proposals.reader.ahead import meanwhile, read_ahead
from author.proposals.reader.network import SIDES, network
from author.proposals.reader.pieces import Pieces
from author.proposals.reader.windows import MOST, MOST_OF_ONE, windows
from author.proposals.speech.walking import Walked
from author.resources import reader_folder
from proposals.narrating import READABLE, narrations
from proposals.said import said, told


@pytest.fixture(scope="module")
def reference() -> BertWordPieceTokenizer:
    return BertWordPieceTokenizer(str(reader_folder() / "pieces.txt"), lowercase=True)


@pytest.mark.parametrize("folder", READABLE)
def test_words_are_cut_as_another_cutter_cuts_them(
    reference: BertWordPieceTokenizer, folder: str
) -> None:
    pieces = network().pieces
    words = {
        word.text.translate(str.maketrans("’‘–—", "''--"))
        for one in narrations(folder)[::4]
        for sentence in one.spoken()
        for word in sentence.words
    }
    for word in sorted(words):
        assert list(pieces.of_word(word)) == reference.encode(word, add_special_tokens=False).ids


@given(st.text(min_size=1, max_size=80))
def test_whatever_stands_in_a_caption_is_cut_into_something(text: str) -> None:
    pieces = network().pieces
    for word in text.split():
        assert pieces.of_word(word)


def test_a_piece_that_continues_is_no_word() -> None:
    pieces = Pieces(["[CLS]", "[SEP]", "[UNK]", "nut", "##s", "lock", "##nut"])
    assert pieces.of_word("Locknuts") == (5, 6, 4)
    assert pieces.of_word("s") == (pieces.unknown,)
    assert pieces.of_word("nut,") == (3, pieces.unknown)


@given(st.lists(st.integers(2, MOST_OF_ONE), max_size=60))
def test_each_sentence_counts_once_and_no_window_is_too_large(lengths: list[int]) -> None:
    found = list(windows(lengths))
    taken = [at for one in found for at in range(one.taken, one.taken_stop)]
    assert taken == list(range(len(lengths)))
    for one in found:
        assert one.first <= one.taken < one.taken_stop <= one.stop
        assert sum(lengths[one.first : one.stop]) <= MOST


def test_what_was_read_does_not_hang_on_what_is_said_long_after() -> None:
    talk = narrations("build")[0].spoken()
    assert read_ahead(talk[:60])[:20] == read_ahead(talk)[:20]


def test_warnings_talk_and_names_stand_out() -> None:
    talk = told(
        "Hi folks, welcome back to the channel, hope you had a good weekend.",
        "Undo the four bolts and lift the cover off.",
        "Keep your fingers clear of the rollers or it will take your hand off.",
        "Then slide the new bearing onto the shaft.",
    )
    greeting, order, warning, fitting = read_ahead(talk)
    assert warning.warns > 0 > max(greeting.warns, order.warns, fitting.warns)
    assert greeting.talk > 0 > max(order.talk, warning.talk, fitting.talk)
    bearing = [word.text for word in talk[3].words].index("bearing")
    assert fitting.things[bearing][0] > 0.5 > fitting.things[0][0]


def test_values_stand_out_with_their_unit_and_what_they_tell() -> None:
    talk = told(
        "Undo the two nuts with the thirteen spanner and lift the cover off.",
        "Set the gap between the rollers with the feeler gauges.",
        "It should be nought point two five of a millimetre.",
        "Tighten the nuts to forty newton metres, and no more than forty-five.",
    )
    ahead = read_ahead(talk)
    of = [{word.text.strip(",."): at for at, word in enumerate(one.words)} for one in talk]
    spanner, gap, torque, most = (
        ahead[0].numbers[of[0]["thirteen"]],
        ahead[2].numbers[of[2]["point"]],
        ahead[3].values[of[3]["forty"]],
        ahead[3].values[of[3]["forty-five"]],
    )
    assert gap > 0 > spanner
    assert torque is not None and most is not None
    assert max(torque.units, key=lambda one: torque.units[one]) == "N·m"
    assert max(most.units, key=lambda one: most.units[one]) == "N·m"
    assert most.sides[SIDES.index("u")] > torque.sides[SIDES.index("u")]


def test_words_far_on_in_an_endless_sentence_are_left_unread() -> None:
    (ahead,) = read_ahead([said("and then another nut " * 500)])
    assert 0 < len(ahead.things) <= MOST_OF_ONE


def test_what_is_read_meanwhile_is_the_same_whatever_is_asked_for_first() -> None:
    talk = narrations("build")[0].spoken()[:60]
    whole = read_ahead(talk)
    with meanwhile(talk) as read:
        assert len(read) == len(talk)
        assert read[41] == whole[41]
        assert read[-1] == whole[-1]
        assert list(read[3:7]) == list(whole[3:7])
        assert tuple(read) == whole


def test_what_nobody_asks_for_is_waited_for_by_nobody() -> None:
    talk = narrations("build")[0].spoken()
    with pytest.raises(KeyError), meanwhile(talk):
        raise KeyError  # what goes wrong elsewhere is told as it is


def test_of_a_few_sentences_nothing_is_thought() -> None:
    with meanwhile(narrations("build")[0].spoken()[:5]) as read:
        assert not read


def test_nothing_said_is_nothing_read() -> None:
    assert read_ahead(()) == ()


def test_it_stops_when_it_is_asked_to() -> None:
    cancel = Cancel()
    talk = Walked(told(*(f"Undo bolt number {at}." for at in range(300))), cancel=cancel)
    cancel.request()
    with pytest.raises(Cancelled):
        read_ahead(talk)
