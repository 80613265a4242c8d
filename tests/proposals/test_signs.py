"""What was found by a sign hangs on its name, never on how its reason is worded."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from author.proposals.kinds.marks import Hit, Sign, act
from author.proposals.kinds.together import settled
from author.proposals.language.clause_cuts import clauses_of
from author.proposals.language.plain_words import plain
from author.resources import load_own_table


def test_the_signs_of_the_phrases_are_known() -> None:
    tables = load_own_table("sentence_cues.yaml")["tables"]
    assert {table.get("sign", "phrase") for table in tables} <= set(get_args(Sign))


def _kinds(sign: Sign) -> set[str]:
    said = plain("Take the cover off, the spring flies out.")
    hit = Hit("damage", 5, 8, 90, "worded anew: '{}'", sign)
    order = replace(act(0, 4, 90, "order"), reason="worded anew too: '{}'")
    told, _ = settled(said, clauses_of(said), [hit], [order], measured=False, opening=False)
    return {found.hit.kind for found in told}


def test_what_hangs_on_a_sign_does_not_hang_on_the_wording() -> None:
    assert "reason" in _kinds("outcome")
    assert "reason" not in _kinds("phrase")


def test_an_action_tells_its_form_in_plain_words() -> None:
    assert act(0, 4, 90, "part_off").reason == "says that a part comes off: '{}'"
