"""A number that somebody changed is told as it is now wherever it was said in the same breath."""

from __future__ import annotations

from decimal import Decimal

import pytest

from author.procedure.cues import Cue
from author.proposals.claims import propose
from author.proposals.draft.answered import answered, sheet_of
from author.proposals.draft.changes import Changed
from author.proposals.draft.filled import filled
from author.proposals.draft.procedure import Front, draft_of
from author.proposals.speech.sentences import sentences_of


def drafted(texts, **changes):
    """Return the draft, the proposals of a kind being changed as told, and what was proposed."""
    cues = [Cue(Decimal(9 * n), Decimal(9 * n + 6), text) for n, text in enumerate(texts)]
    proposals = propose(sentences_of(cues, "film")).proposals
    sheet = sheet_of(proposals, None)
    rows = tuple(
        row.model_copy(
            update={"answer": "change", "change": Changed(text=changes[row.kind]), "by": "Ann Reed"}
        )
        if row.kind in changes
        else row
        for row in sheet.proposals
    )
    sheet = sheet.model_copy(update={"proposals": rows})
    done = filled(proposals, answered(proposals, sheet), sheet, None).done
    return draft_of(done.proposals, Front("job", "Job"), {}, done.accepted).plain


def steps(draft):
    return [step for section in draft["sections"] for step in section["steps"]]


@pytest.mark.parametrize(
    ("said", "new", "point"),
    [
        ("Put the lid on and tighten the four screws crosswise to between 9 and 11 newton metres.",
         "torque: 10 to 12 N·m",
         "Tighten the four screws crosswise to between 10 and 12 N·m"),
        ("Put the cover on and tighten the four screws crosswise to nine newton metres.",
         "torque: 10 to 12 N·m", "Tighten the four screws crosswise to 10 to 12 N·m"),
    ],
)  # fmt: skip
def test_a_point_tells_the_new_number_and_whose_it_is(said, new, point):
    draft = drafted([said], measurement=new)
    (step,) = steps(draft)
    (told,) = step["critical_points"]
    assert told["what"] == point
    sources = {one["id"]: one for one in draft["sources"]}
    assert sources[told["source"]]["kind"] == "shop"
    assert "Ann Reed" in sources[told["source"]]["title"]
    assert "nine" not in str(step)


def test_what_tells_the_old_number_in_other_words_is_to_be_written_anew():
    draft = drafted(
        ["Tighten the nut to 25 newton metres, 25 and no more or the casting cracks."],
        measurement="torque of the nut: 28 to 30 N·m",
    )
    (step,) = steps(draft)
    assert "(to be written) tell anew, since it is 28 to 30 N·m now" in step["note"]


def test_a_number_that_is_not_changed_leaves_all_as_it_was_said():
    said = "Put the cover on and tighten the four screws crosswise to nine newton metres."
    (step,) = steps(drafted([said]))
    (point,) = step["critical_points"]
    assert point["what"] == "Tighten the four screws crosswise to nine newton metres"
    assert point["source"] == "film"


def test_words_that_somebody_wrote_are_not_the_films():
    draft = drafted(
        ["Spin the shaft by hand, and it should turn freely."],
        inspection="It should turn freely, with no rough spot",
    )
    (step,) = steps(draft)
    (criterion,) = step["criteria"]
    sources = {one["id"]: one for one in draft["sources"]}
    assert sources[criterion["source"]]["title"].startswith("Changed by Ann Reed; said on film at")


def test_an_accepted_decision_is_told_and_no_more_to_be_written():
    said = ["Fit the valve.", "If there's wear on the seat, you fit a new valve."]
    open_one = steps(drafted(said))[-1]
    assert "(to be written) decide as was said" in open_one["note"]
    closed = steps(drafted(said, decision="If the seat is worn, fit a new valve"))[-1]
    assert "If the seat is worn, fit a new valve." in closed["note"]
    assert "to be written" not in closed["note"]
