"""What is refused is taken out of the draft where it stands as it was made, or said to stay."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from author.bench.window import BenchWindow
from author.editing import SetField
from author.tasks.proposing import propose_job

from .test_proposals_view import MEDIA, Paper


@pytest.fixture
def draft(open_window: Callable[[Path], BenchWindow], tmp_path: Path, qtbot) -> Paper:
    """A draft of what is said on the saw's film, not answered yet, and its proposals."""
    for name in ("saw.mp4", "saw.vtt"):
        (tmp_path / name).symlink_to(MEDIA / name)
    made = tmp_path / "job" / "procedure.yaml"
    propose_job([tmp_path / "saw.vtt"], [tmp_path / "saw.mp4"], to=made)
    found = Paper(open_window(made.parent), qtbot)
    found.wait_till_read()
    found.propose()
    return found


def entries(paper: Paper, key: str) -> list[str]:
    placed = paper.session.procedure.placed_steps()
    return [str(entry) for one in placed for entry in getattr(one.step, key) or ()]


def said(paper: Paper) -> str:
    return paper.window.statusBar().words()


def test_a_number_of_the_draft_that_is_refused_is_taken_out_and_undo_puts_it_back(draft, qtbot):
    assert sum("quantity='mass'" in one for one in entries(draft, "specs")) == 1
    name = draft.choose(lambda row: "6 kg" in row.proposal.text)
    draft.hands.press("V")
    assert not any("quantity='mass'" in one for one in entries(draft, "specs"))
    assert (draft.says(name), "Taken out of the procedure: step 7" in said(draft)) == (
        "refuse",
        True,
    )
    draft.hands.press("Ctrl+Z")
    assert sum("quantity='mass'" in one for one in entries(draft, "specs")) == 1
    assert draft.says(name) == "open"
    draft.hands.press("Ctrl+Y")
    assert not any("quantity='mass'" in one for one in entries(draft, "specs"))
    assert draft.says(name) == "refuse"


def test_warnings_that_are_refused_together_warn_no_more(draft, qtbot):
    assert entries(draft, "hazards")
    draft.choose_kind("hazard")
    draft.hands.press("Shift+V")
    qtbot.waitUntil(lambda: not draft.view.proposing.open_of("hazard"))
    assert entries(draft, "hazards") == []


def test_what_a_person_has_written_stays_where_its_proposal_is_refused(draft):
    placed = next(p for p in draft.session.procedure.placed_steps() if p.number == 7)
    place = ("steps", placed.step.id, "hazards", 0, "avoid")
    assert draft.session.do(SetField(place, "Lift it with two people"))
    draft.choose(lambda row: row.proposal.kind == "hazard" and "six kilos" in row.proposal.text)
    draft.hands.press("V")
    assert any("Lift it with two people" in one for one in entries(draft, "hazards"))
    assert "Taken out" not in said(draft)


def test_a_step_and_a_part_that_are_refused_are_said_to_stay(draft):
    count = len([*draft.session.procedure.placed_steps()])
    draft.choose(lambda row: row.proposal.text == "Try to start it.")
    draft.hands.press("V")
    assert "Still in the procedure, to be taken out there: step 3" in said(draft)
    draft.choose(lambda row: row.proposal.kind == "part" and row.proposal.text == "hub")
    draft.hands.press("V")
    assert "to be taken out there: list “Parts”" in said(draft)
    assert len([*draft.session.procedure.placed_steps()]) == count


def test_a_number_that_was_accepted_is_taken_out_when_it_is_refused(draft):
    name = draft.choose(lambda row: "6 kg" in row.proposal.text)
    draft.hands.press("Y")
    assert draft.says(name) == "accept"
    states = draft.view.paper.filter.states
    states.setCurrentIndex(states.findData("kept"))
    draft.view.paper.choose(name)
    draft.hands.press("V")
    assert draft.says(name) == "refuse"
    assert not any("quantity='mass'" in one for one in entries(draft, "specs"))


def test_one_that_was_accepted_and_written_anew_stays_and_is_said_to(draft):
    name = draft.choose(lambda row: "6 kg" in row.proposal.text)
    draft.hands.press("Y")
    placed = next(p for p in draft.session.procedure.placed_steps() if p.number == 7)
    draft.session.do(SetField(("steps", placed.step.id, "specs", 0, "characteristic"), "Mass"))
    states = draft.view.paper.filter.states
    states.setCurrentIndex(states.findData("kept"))
    draft.view.paper.choose(name)
    draft.hands.press("V")
    assert draft.says(name) == "accept"
    assert "taken out by hand: Number “weight: about 6 kg”" in said(draft)
