"""Words as the rules read them, clauses, and phrases found by their first word."""

from __future__ import annotations

import pytest

from author.proposals.kinds.cues import Cues
from author.proposals.language.clause_cuts import clauses_of
from author.proposals.language.loose_talk import loose_clauses
from author.proposals.language.loose_words import read
from author.proposals.language.plain_words import plain


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("So we're gonna, uh, we're gonna take it.", "so we're gonna take it"),
        ("You are going to want to, you know, press it.", "you're gonna wanna press it"),
        ("dont over tighten it cause it'll strip", "don't over tighten it because it'll strip"),
        ("The muffler'll burn you.", "the muffler will burn you"),
        ("No, no, three, three.", "no no three three"),
        ("", ""),
    ],
)
def test_words_are_read_without_slips(text: str, words: str) -> None:
    assert " ".join(plain(text).words) == words


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Bend it back, then undo the nut.", ["bend it back", "then undo the nut"]),
        ("bend it back then undo the nut", ["bend it back", "then undo the nut"]),
        ("tap it until it seats", ["tap it", "until it seats"]),
        ("back it out because it bites", ["back it out", "because it bites"]),
        ("if it's tight tap it", ["if it's tight", "tap it"]),
        (
            "take the cover off make sure you keep it",
            ["take the cover off", "make sure you keep it"],
        ),
        ("pull the lid and the seal off", ["pull the lid and the seal off"]),
    ],
)
def test_clauses_are_cut_with_and_without_signs(text: str, parts: list[str]) -> None:
    said = plain(text)
    cut = [" ".join(said.words[c.first : c.stop]) for c in clauses_of(said)]
    assert cut == parts


@pytest.mark.parametrize(
    ("text", "clauses", "orders"),
    [
        ("undo the nut before you pull the arm off", 2, 1),
        ("push it in so it sits flush", 2, 1),
        ("turn it until it bottoms then back it off", 3, 2),
        ("hold the rod and undo the nut", 2, 2),
    ],
)
def test_an_order_stays_whole_where_a_sentence_has_two_clauses(
    text: str, clauses: int, orders: int
) -> None:
    assert len(clauses_of(plain(text))) == clauses
    assert len(loose_clauses(read(text))) == orders


def _found(phrase: str, text: str) -> list[str]:
    table = {"kind": "order", "weight": 50, "reason": "'{}'", "phrases": phrase}
    cues = Cues.of({"classes": {"part": "nut ring"}, "tables": [table]})
    said = plain(text)
    return [" ".join(said.words[h.first : h.stop]) for h in cues.found(said, frozenset({0}))]


@pytest.mark.parametrize(
    ("phrase", "text", "found"),
    [
        ("@part first", "the ring first", ["ring first"]),
        ("keep …2 (out|away)", "keep your fingers out", ["keep your fingers out"]),
        ("keep …2 (out|away)", "keep all of your fingers out", []),
        ("(a\n|b) c", "b c", ["b c"]),
        ("^ ring", "the ring", []),
        ("ring $", "ring off", []),
        ("# (bolt*)", "12 bolts and six bolts", ["12 bolts", "six bolts"]),
        ("nut really? off", "nut off", ["nut off"]),
    ],
)
def test_a_phrase_is_found_by_its_first_word(phrase: str, text: str, found: list[str]) -> None:
    assert _found(phrase, text) == found


@pytest.mark.parametrize("phrase", ["… off", "nut? off", "nut* off"])
def test_a_phrase_without_a_whole_first_word_is_refused(phrase: str) -> None:
    with pytest.raises(ValueError, match="whole word first"):
        _found(phrase, "nut off")
