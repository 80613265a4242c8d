"""Many proposals are gone through quickly: what is seen of each, and the keys for it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from PyQt6.QtCore import QRect
from PyQt6.QtGui import QFontMetrics
from PyQt6.QtWidgets import QApplication

from author.bench import theme
from author.bench.proposing import PROPOSE
from author.bench.views.proposal_delegate import RowLines
from author.bench.views.proposal_rows import ProposalRow, row_words
from author.bench.views.proposals_view import ProposalsView
from author.tasks.proposal_sheet import Decision

from .hands import answer_by
from .test_proposals_view import Paper, paper, phone, phone_begun  # noqa: F401 - fixtures

SURE = Decimal("0.75")


def seen_lines(view: ProposalsView) -> int:
    """Return how many lines of the list are seen whole."""
    port = view.paper.list.viewport().rect()
    places = (
        view.paper.list.visualRect(view.paper.model.index(n))
        for n in range(len(view.paper.model.rows))
    )
    return sum(port.contains(place) for place in places)


@pytest.fixture
def small(paper: Paper, qtbot) -> Paper:  # noqa: F811 - the fixture
    """The paper in the smallest window that is worked in, as a person sees it."""
    theme.put_on(QApplication.instance(), dark=False)
    paper.window.resize(1280, 720)
    paper.wait_till_read()
    paper.propose()
    qtbot.waitUntil(lambda: not paper.view.paper.coarse.isVisible())
    qtbot.waitUntil(lambda: not paper.session.jobs.is_running(PROPOSE))
    qtbot.wait(30)
    return paper


def lines_in(view: ProposalsView, kind: str, text: str, said: str) -> RowLines:
    """Return how a proposal of some words is drawn in the list."""
    like = next(p for p in view.proposing.proposals if p.kind == kind)
    row = ProposalRow(replace(like, text=text, said=said), Decision(), under=True)
    font, width = view.paper.list.font(), view.paper.list.viewport().width() - 28
    found = view.paper._delegate.lines(row, font, width)
    metrics = QFontMetrics(font)
    if kind != "step":
        assert metrics.horizontalAdvance(found.text) <= width
    assert metrics.horizontalAdvance(found.head + found.below + found.sure) < width
    return found


def test_at_the_smallest_size_a_key_makes_room_and_gives_it_back(small):
    was = seen_lines(small.view), small.window.film_view.height()
    assert was[0] >= 2
    small.hands.press("F5")
    assert seen_lines(small.view) >= was[0] + 2
    assert small.view.paper.list.hasFocus()
    small.hands.press("F5")
    assert (seen_lines(small.view), small.window.film_view.height()) == was


def test_a_name_is_whole_and_a_value_always(small):
    name = "outer ring of the lower roller bearing with its seal"
    assert lines_in(small.view, "tool", name, "that thing there").text == name
    whole = "runout of the rim of the upper wheel: at most 0.12 mm"
    assert lines_in(small.view, "measurement", whole, "twelve hundredths").text == whole
    long = f"distance of the {'very ' * 12}far end of the shaft: 12.05 to 12.11 mm"
    found = lines_in(small.view, "measurement", long, "twelve oh five")
    assert found.text.startswith("distance of the very")
    assert found.text.endswith("…: 12.05 to 12.11 mm")
    assert found.below == "“twelve oh five”"


def test_long_words_go_on_below_in_place_of_themselves_said_again(small):
    words = "Keep your fingers well outside of the spokes as long as anybody turns the wheel"
    found = lines_in(small.view, "step", words, words.lower())
    assert found.goes_on
    assert words.startswith(found.text)
    begun, _, cut = found.below.removeprefix("… ").partition("…")
    assert f"{found.text} {begun}" == words[: len(found.text) + 1 + len(begun)]
    assert not cut
    short = lines_in(small.view, "step", "Rock the wheel.", "now rock it")
    assert (short.text, short.below, short.goes_on) == ("Rock the wheel.", "“now rock it”", False)


def test_what_is_said_in_the_same_words_is_told_once(small):
    like = small.view.proposing.proposals[0]
    for said, count in (("it makes a bang.", 1), ("it goes bang", 2)):
        row = ProposalRow(replace(like, text="It makes a bang", said=said), Decision())
        assert sum("bang" in words for words in row_words(row)) == count


def test_which_answers_are_shown_stands_with_the_proposals_only(small):
    states = small.view.paper.filter.states
    assert states.isVisible()
    corner = QRect(states.mapTo(small.view, states.rect().topLeft()), states.size())
    assert small.view.rect().contains(corner)
    small.hands.press("Q")
    assert not states.isVisible()
    small.hands.press("F6")
    assert states.isVisible()


def test_a_kind_is_shown_by_a_key_and_gone_through_without_the_steps_over_it(small, monkeypatch):
    answer_by(monkeypatch, "Accept the step")
    view, kinds = small.view, small.view.paper.filter.kinds
    seen = []
    for _ in range(kinds.count() + 1):
        small.hands.press("F7")
        seen.append(kinds.currentData())
        assert view.paper.chosen().kind == (kinds.currentData() or view.paper.chosen().kind)
    assert set(seen) == {kinds.itemData(n) for n in range(kinds.count())}
    while kinds.currentData() != "measurement":
        small.hands.press("Shift+F7")
    names = view.proposing.open_of("measurement")
    for name in names:
        assert view.paper.chosen().id == name
        assert view.paper.list.hasFocus()
        small.hands.press("V")
    assert not view.proposing.open_of("measurement")
    assert view.proposing.open_of("step")
    small.hands.press("F7")
    assert kinds.currentData() not in {"", "measurement"}


def test_where_nothing_is_left_the_next_key_is_told(small):
    view = small.view
    assert "F7" not in view.paper._says.words
    view.paper.filter.states.setCurrentIndex(view.paper.filter.states.findData("refuse"))
    assert "F7" in view.paper._says.words
    small.hands.press("F7")
    assert view.paper.filter.states.currentData() == "open"
    assert view.paper.chosen() is not None
    view.proposing.decide(*view.proposing.refusal([p.id for p in view.proposing.proposals]))
    assert "All are answered" in view.paper._says.words


def test_talk_that_is_left_out_says_that_no_answer_puts_it_in(small):
    like = small.view.proposing.proposals[0]
    told = [row_words(ProposalRow(replace(like, kind=kind), Decision())) for kind in
            ("chatter", "preview", "reason")]  # fmt: skip
    assert ["not put into the procedure" in " ".join(words) for words in told] == [
        True,
        True,
        False,
    ]


def test_the_keys_for_a_whole_kind_are_told_at_the_buttons(small):
    accept, _, refuse = small.view.paper._answers.buttons
    assert accept.toolTip().endswith("Shift+Y")
    assert refuse.toolTip().endswith("Shift+V")


def test_the_steps_of_a_whole_kind_are_offered_with_it(small, monkeypatch, qtbot):
    view, proposing = small.view, small.view.proposing
    small.choose_kind("measurement")
    names = proposing.open_of("measurement")
    waiting = [name for name in names if proposing.waits_for(name)]
    hosts = {proposing.waits_for(name).id for name in waiting}
    asked = answer_by(monkeypatch, "Leave those open")
    small.hands.press("Shift+Y")
    assert len(asked) == 1
    assert asked[0].startswith(f"{len(waiting)} of these")
    qtbot.waitUntil(lambda: proposing.open_of("measurement") == tuple(waiting))
    view.paper.choose(waiting[0])
    asked = answer_by(monkeypatch, f"Accept those steps too ({len(hosts)})")
    was = len(small.session.document.history)
    small.hands.press("Shift+Y")
    assert len(asked) == 1
    qtbot.waitUntil(lambda: not any(map(proposing.is_open, hosts)))
    assert not proposing.open_of("measurement")
    assert len(small.session.document.history) == was + 1
    view.paper.filter.kinds.setCurrentIndex(view.paper.filter.kinds.findData("measurement"))
    small.hands.press("Ctrl+Z")
    qtbot.waitUntil(lambda: all(map(proposing.is_open, waiting)))
    assert view.paper.chosen().id == waiting[0]


def test_while_it_is_changed_the_keys_that_end_it_are_told(small):
    small.choose_kind("measurement")
    small.hands.press("C")
    words = small.window.statusBar().words()
    assert "Enter" in words
    assert "Esc" in words
    small.hands.press("Esc")


def test_the_chosen_question_is_read_whole(small):
    small.hands.press("Q", "Down")
    questions = small.view.questions
    assert questions.whole.words == questions.chosen().text
    questions.whole.say(
        "The outer bearing comes off at 14:03.8 and is never said to go back: is the same one "
        "refitted, is a new one fitted, or is it left off?"
    )
    assert "…" not in questions.whole.text()


def test_the_likely_ones_are_accepted_together_and_the_uncertain_left(small, monkeypatch, qtbot):
    answer_by(monkeypatch, "Accept")
    view, proposing = small.view, small.view.proposing
    sure = {p.kind for p in proposing.proposals if p.confidence >= SURE}
    unsure = {p.kind for p in proposing.proposals if p.confidence < SURE}
    kind = min((sure & unsure) - {"step"})
    of_kind = [proposing.proposal(name) for name in proposing.open_of(kind)]
    states = view.paper.filter.states
    states.setCurrentIndex(states.findData("sure"))
    while view.paper.filter.kinds.currentData() != kind:
        small.hands.press("F7")
    assert states.currentData() == "sure"
    shown = {row.id for row in view.paper.model.rows if row.proposal.kind == kind}
    assert shown == {p.id for p in of_kind if p.confidence >= SURE}
    small.hands.press("Shift+Y")
    left = {p.id for p in of_kind if p.confidence < SURE}
    qtbot.waitUntil(lambda: set(proposing.open_of(kind)) == left)
    states.setCurrentIndex(states.findData("unsure"))
    assert {row.id for row in view.paper.model.rows if row.proposal.kind == kind} == left


def test_all_of_a_kind_are_those_that_are_shown(small):
    small.choose_kind("tool")
    small.hands.press("V")
    view, states = small.view, small.view.paper.filter.states
    states.setCurrentIndex(states.findData("refuse"))
    left = view.proposing.open_of("tool")
    small.hands.press("Shift+Y", "Shift+V")
    assert view.proposing.open_of("tool") == left
