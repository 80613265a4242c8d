"""Proposals gone through by keys and by mouse: nothing written, said or undone goes astray."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtGui import QFocusEvent
from PyQt6.QtWidgets import QApplication

from author.bench.answering import place_of
from author.bench.views.coarse_note import CoarseNote
from author.bench.views.proposal_rows import ProposalRow, row_words
from author.bench.views.rests_on import shared_out
from author.editing import RemoveSteps, SetField
from author.proposals.proposal import Question
from author.tasks.proposal_sheet import Decision

from .hands import answer_by
from .test_proposals_view import Paper, paper, phone, phone_begun  # noqa: F401 - fixtures


@pytest.fixture(autouse=True)
def nothing_said_of_the_film(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is read while these go on, and what is told of that would come between at any moment;
    test_proposals_view tries it."""
    monkeypatch.setattr(CoarseNote, "_look", lambda *_: None)


def words_of(paper: Paper) -> str:  # noqa: F811 - the fixture
    return paper.window.statusBar().words()


def press(paper: Paper, qtbot, button: str) -> None:  # noqa: F811 - the fixture
    """Press one of the buttons under the list with the mouse."""
    of_name = next(b for b in paper.view.paper._answers.buttons if b.text().startswith(button))
    qtbot.mouseClick(of_name, Qt.MouseButton.LeftButton)


def test_what_is_written_is_what_the_button_accepts(paper, qtbot, monkeypatch):  # noqa: F811
    answer_by(monkeypatch, "Accept the step")
    name = paper.choose_kind("measurement")
    was = paper.view.proposing.proposal(name).text
    press(paper, qtbot, "Change")
    paper.hands.press("Ctrl+A")
    paper.hands.type("39.990..40.010 mm")
    press(paper, qtbot, "Accept")
    assert paper.says(name) == "change"
    (placed,) = paper.session.procedure.placed_steps()
    assert str(placed.step.specs[0].lower) == "39.990"
    assert f"in place of “{was}” (step 1, Measurements)" in words_of(paper)
    assert paper.view.paper.list.hasFocus()


def test_a_field_that_cannot_stand_stays_open_when_the_button_is_pressed(paper, qtbot):  # noqa: F811
    name = paper.choose_kind("measurement")
    press(paper, qtbot, "Change")
    paper.hands.press("Ctrl+A")
    paper.hands.type("wide")
    press(paper, qtbot, "Accept")
    assert paper.says(name) == "open"
    assert QApplication.focusWidget().text() == "wide"
    press(paper, qtbot, "Refuse")
    assert paper.says(name) == "refuse"
    assert not paper.view.paper.is_changing


@pytest.mark.parametrize("reason", ["PopupFocusReason", "ActiveWindowFocusReason"])
def test_a_menu_or_another_window_leaves_the_field_open(paper, reason):  # noqa: F811
    paper.choose_kind("measurement")
    paper.hands.press("C")
    field = QApplication.focusWidget()
    event = QFocusEvent(QFocusEvent.Type.FocusOut, Qt.FocusReason[reason])
    QApplication.sendEvent(field, event)
    assert paper.view.paper.is_changing
    paper.hands.press("Esc")
    assert not paper.view.paper.is_changing


@pytest.mark.parametrize("typed", ["", "9"])
def test_what_was_written_and_left_for_another_line_is_told(paper, monkeypatch, typed):  # noqa: F811
    answer_by(monkeypatch, "Leave")
    name = paper.choose_kind("measurement")
    paper.hands.press("C")
    paper.hands.type(typed)
    paper.hands.press("F6")
    assert not paper.view.paper.is_changing
    assert paper.says(name) == "open"
    assert ("not taken" in words_of(paper)) is bool(typed)
    paper.hands.press("Y")
    assert paper.says(name) == "open"  # it is said to the line that is chosen now


def test_the_forms_of_limits_are_told_where_a_number_is_changed(paper):  # noqa: F811
    paper.choose_kind("measurement")
    paper.hands.press("C")
    assert "max 8 kN" in words_of(paper)
    paper.hands.press("Esc")
    paper.choose_kind("tool")
    paper.hands.press("C")
    assert "max" not in words_of(paper)
    paper.hands.press("Esc")


def test_undo_takes_back_what_was_refused_and_then_what_was_accepted(paper):  # noqa: F811
    step = paper.choose_kind("step")
    paper.hands.press("Y")
    tool = paper.choose_kind("tool")
    paper.hands.press("V")
    undo = paper.window.actions_by_name["undo"]
    assert "Refuse: Tool" in undo.text()
    paper.hands.press("Ctrl+Z")
    assert (paper.says(step), paper.says(tool)) == ("accept", "open")
    assert "Undone: Refuse: Tool" in words_of(paper)
    assert paper.view.paper.chosen().id == tool
    paper.hands.press("Ctrl+Y")
    assert paper.says(tool) == "refuse"
    paper.hands.press("Ctrl+Z", "Ctrl+Z")
    assert (paper.says(step), paper.says(tool)) == ("open", "open")
    assert "Undone: Accept: Step" in words_of(paper)
    assert not undo.isEnabled()


def test_a_refusal_before_the_document_was_changed_is_left_by_undo(paper):  # noqa: F811
    tool = paper.choose_kind("tool")
    paper.hands.press("V")
    step = paper.choose_kind("step")
    paper.hands.press("Y", "Ctrl+Z")
    assert (paper.says(step), paper.says(tool)) == ("open", "refuse")
    paper.hands.press("Ctrl+Z")
    assert paper.says(tool) == "refuse"


def test_after_undo_the_number_is_chosen_and_not_the_step_that_came_with_it(
    paper,  # noqa: F811
    monkeypatch,
):
    answer_by(monkeypatch, "Accept the step")
    name = paper.choose_kind("measurement")
    paper.hands.press("Y")
    told = words_of(paper)
    assert told.startswith("Accepted: Step “")
    assert "; Number “" in told
    assert "(step 1, Measurements)" in told
    paper.hands.press("Ctrl+Z")
    assert paper.view.paper.chosen().id == name


def test_what_was_taken_out_of_the_procedure_is_open_when_it_is_proposed_again(paper, qtbot):  # noqa: F811
    step = paper.choose_kind("step")
    paper.hands.press("Y")
    other = paper.choose(lambda row: row.heading and row.say == "open")
    paper.hands.press("Y")
    paper.kept("accept", 2)
    paper.session.do(RemoveSteps((paper.view.proposing.step_of(step),)))
    with qtbot.waitSignal(paper.view.proposing.renewed):
        paper.hands.press("Ctrl+Shift+P")
    assert (paper.says(step), paper.says(other)) == ("open", "accept")
    assert "open again: Step “" in words_of(paper)


def test_however_long_a_sentence_is_the_list_stays_as_high(paper):  # noqa: F811
    view = paper.view.paper
    view.coarse.words.setText("")
    view.coarse.setFixedHeight(0)  # it says something else once the film is read
    QApplication.processEvents()
    height, says = view.list.height(), view._says.height()
    like = paper.view.proposing.proposals[0]
    long = replace(like, text="Turn it " * 40, said="so you turn it " * 60, reason="Because " * 50)
    paragraphs = row_words(ProposalRow(long, Decision("accept", by="Ann Reed")))
    view._says.say_all(paragraphs)
    QApplication.processEvents()
    assert (view.list.height(), view._says.height()) == (height, says)
    assert view._says.text().endswith("Accepted by Ann Reed")
    assert view._says.toolTip() == "\n".join(paragraphs)
    paper.hands.press("C")
    place = view.list.visualRect(view.list.currentIndex())
    assert view.list.viewport().rect().contains(place)
    paper.hands.press("Esc")


@pytest.mark.parametrize(
    ("wanted", "given"),
    [
        ([1, 1, 1], [1, 1, 1]),
        ([1, 9, 2], [1, 1, 2]),
        ([3, 3], [2, 2]),
        ([2, 2, 2], [1, 1, 2]),
        ([4], [4]),
        ([1, 1, 1, 1, 1], [1, 0, 1, 1, 1]),
    ],
)
def test_the_longest_paragraph_gives_way(wanted, given):
    assert shared_out(wanted, 4) == given


def test_why_talk_is_talk_does_not_say_it_once_more(paper):  # noqa: F811
    like = paper.view.proposing.proposals[0]

    def why(reason: str) -> str:
        p = replace(like, kind="chatter", text="It's a fine day", said="it's a fine day")
        return row_words(ProposalRow(replace(p, reason=reason), Decision()))[1]

    assert why("Speaks of other things: 'It's a fine day'").endswith("Speaks of other things.")
    assert why("Speaks of other things: 'fine day'.").endswith("'fine day'.")


def test_talk_that_was_left_out_is_opened_again(paper):  # noqa: F811
    proposing = paper.view.proposing
    name = paper.choose_kind("step")
    proposing._now[name] = replace(proposing.proposal(name), kind="chatter")
    proposing._proposed[name] = proposing._now[name]
    paper.hands.press("Y")
    assert paper.says(name) == "accept"
    assert "Talk, left out: “" in words_of(paper)
    assert not paper.session.document.history
    paper.hands.press("Ctrl+Z")
    assert paper.says(name) == "open"
    proposing.say({name: Decision("accept")})
    states = paper.view.paper.filter.states
    states.setCurrentIndex(states.findData("kept"))
    paper.view.paper.list.setFocus()
    paper.choose(lambda row: row.id == name)
    paper.hands.press("V")
    assert paper.says(name) == "open"


def test_the_worst_question_is_chosen_when_they_are_first_seen(paper):  # noqa: F811
    paper.hands.press("Q")
    questions = paper.view.questions
    assert questions.chosen() == questions.rows.rows[0].question
    assert questions.list.selectedIndexes()
    assert questions.whole.words == questions.chosen().text


def test_where_there_are_no_questions_it_is_said_why(window):
    questions = window.proposals_view.questions
    assert "come with the proposals: Ctrl+Shift+P" in questions.whole.words


def test_a_step_that_was_refused_is_called_so_where_it_is_asked_for(paper, monkeypatch):  # noqa: F811
    proposing = paper.view.proposing
    name = paper.choose_kind("measurement")
    step = proposing.waits_for(name)
    asked = answer_by(monkeypatch, "Leave")
    paper.hands.press("Y")
    proposing.decide(*proposing.refusal((step.id,)))
    paper.choose(lambda row: row.id == name)
    paper.hands.press("Y")
    assert ["refused" in words for words in asked] == [False, True]
    assert paper.says(name) == "open"


def test_the_keys_are_with_the_list_after_the_button_that_proposes(open_window, phone, qtbot):  # noqa: F811
    paper = Paper(open_window(phone), qtbot)  # noqa: F811
    paper.hands.press("Ctrl+5")
    view = paper.view.paper
    qtbot.mouseClick(view._propose, Qt.MouseButton.LeftButton)
    paper.come()
    assert view.list.hasFocus()


def test_a_question_about_a_part_tells_the_keys_that_say_what_becomes_of_it(paper, monkeypatch):  # noqa: F811
    answer_by(monkeypatch, "Accept the step")
    step = paper.view.proposing.proposal(paper.choose_kind("step"))
    asked = Question("The ring comes off: does it go back?", step.recording, step.start, 80,
                     step.id, "part")  # fmt: skip
    paper.view.proposing._take_questions((asked,))
    paper.hands.press("Q", "Q")
    told = words_of(paper)
    assert told.startswith(asked.text)
    assert "O: Say what comes off" in told
    assert "I: Say what goes on" in told


def test_a_question_whose_field_was_filled_by_hand_is_left_out_and_not_counted(paper, monkeypatch):  # noqa: F811
    answer_by(monkeypatch, "Accept the step")
    paper.wait_till_read()
    view, session = paper.view, paper.session
    questions = view.questions
    question = next(q for q in view.proposing.questions if "between which limits" in q.text
                    and view.proposing.proposal(q.about).kind == "measurement")  # fmt: skip
    view.proposing._take_questions((question,))
    assert view._tabs.tabText(1).endswith("(1)")
    paper.choose(lambda row: row.id == question.about)
    paper.hands.press("Y")
    assert len(questions.rows.rows) == 1
    place = place_of(question, view.proposing.proposal(question.about), session.procedure,
                     view.proposing.host_of(question.about))  # fmt: skip
    session.do(SetField(place, view.proposing.proposal(question.about).values.nominal))
    assert (questions.rows.rows, view._tabs.tabText(1)[-3:]) == ([], "(0)")
    paper.hands.press("Q", "Q")
    assert "is answered" in paper.window.statusBar().words()
    session.undo()
    assert (len(questions.rows.rows), view._tabs.tabText(1)[-3:]) == (1, "(1)")
