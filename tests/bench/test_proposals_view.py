"""Proposals in the window, by keys: proposed, accepted, changed, refused, undone, kept."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest
from PyQt6.QtCore import QPoint, Qt
from PyQt6.QtWidgets import QApplication

from author.bench import taking_in
from author.bench.names import keep_name, name_here
from author.bench.views.coarse_note import CoarseNote
from author.bench.views.proposal_rows import ProposalRow, row_words
from author.bench.views.spec_fields import EntryField
from author.bench.window import BenchWindow
from author.editing import AddStep, RemoveSteps, SetField
from author.editing import Span as EditSpan
from author.editing.holding import user_name
from author.proposals.draft.answers import read_answers
from author.proposals.proposal import Question
from author.tasks.proposing import propose_job
from author.tasks.starting import start_procedure

from .hands import Hands, answer_by

ROOT = Path(__file__).parents[2]
MEDIA = ROOT / "sample_media"


@pytest.fixture(scope="module")
def phone_begun(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The bytes of a procedure that was just begun from the phone's film."""
    folder = tmp_path_factory.mktemp("phone") / "job"
    return start_procedure(folder, [MEDIA / "phone.mp4"]).file.read_bytes()


@pytest.fixture
def phone(tmp_path: Path, phone_begun: bytes) -> Path:
    """A procedure folder with the film of the phone and its captions."""
    folder = tmp_path / "phone"
    folder.mkdir()
    (folder / "procedure.yaml").write_bytes(phone_begun)
    for name in ("phone.mp4", "phone.vtt"):
        (folder / name).symlink_to(MEDIA / name)
    return folder


class Paper:
    """The paper of a window, and hands at the keys."""

    def __init__(self, window: BenchWindow, qtbot) -> None:
        self.window = window
        self.view = window.proposals_view
        self.session = window.session
        self.hands = Hands(window)
        self._qtbot = qtbot
        window.activateWindow()
        qtbot.waitUntil(lambda: self.session.films.index() is not None, timeout=20_000)

    def wait_till_read(self) -> None:
        """Wait until the film is read: the window takes stills anew then, an entry to undo."""
        films, session = self.session.films, self.session
        self._qtbot.waitUntil(
            lambda: films.analyses() is not None and bool(session.facts().get(films.front))
        )
        QApplication.processEvents()

    def propose(self) -> None:
        self.hands.press("Ctrl+Shift+P")
        self.come()

    def come(self) -> None:
        self._qtbot.waitUntil(lambda: bool(self.view.proposing.proposals), timeout=20_000)
        QApplication.processEvents()

    def choose(self, wanted: Callable[[ProposalRow], bool]) -> str:
        """Go down with the key until a proposal is chosen that is wanted."""
        self.hands.press("Home")
        for _ in range(200):
            row = self.view.paper.model.rows[self.view.paper.list.currentIndex().row()]
            if wanted(row):
                return row.id
            self.hands.press("Down")
        raise AssertionError("no such proposal")

    def choose_kind(self, kind: str) -> str:
        return self.choose(lambda row: row.proposal.kind == kind)

    def says(self, name: str) -> str:
        return self.view.proposing.decision(name).say

    def kept(self, say: str, count: int) -> None:
        """Wait until the sheet of answers has so many of an answer."""

        def there() -> bool:
            sheet = read_answers(self.view.proposing.file)
            return sheet is not None and sum(a.answer == say for a in sheet.proposals) == count

        self._qtbot.waitUntil(there, timeout=10_000)


@pytest.fixture
def paper(open_window: Callable[[Path], BenchWindow], phone: Path, qtbot) -> Paper:
    found = Paper(open_window(phone), qtbot)
    found.propose()
    return found


def steps(paper: Paper) -> list[str]:
    return [placed.step.action for placed in paper.session.procedure.placed_steps()]


def test_they_are_listed_in_the_order_said_and_lead_to_their_moment(paper):
    rows = paper.view.paper.model.rows
    heads = [row.proposal.start for row in rows if row.heading]
    assert heads == sorted(heads)
    assert all(row.heading or row.under or not row.proposal.steps for row in rows)
    name = paper.choose_kind("measurement")
    p = paper.view.proposing.proposal(name)
    films = paper.session.films
    assert films.frame == films.frame_at(p.start)
    told = paper.view.paper._says.words
    assert p.said in told
    assert p.reason.rstrip(".") in told
    assert f"{p.confidence:.2f}" in told


def test_what_is_proposed_of_an_unread_film_says_so_and_is_offered_again(
    open_window, phone, qtbot, monkeypatch
):
    unread = {"yes"}
    really = CoarseNote._is_unread
    monkeypatch.setattr(CoarseNote, "_is_unread", lambda self, r: bool(unread) or really(self, r))
    paper = Paper(open_window(phone), qtbot)
    note = paper.view.paper.coarse
    assert not note.isVisible()
    paper.propose()
    assert note.isVisible()
    assert "still being read" in note.words.text()
    assert not note.again.isVisible()
    unread.clear()
    paper.wait_till_read()
    paper.session.check()
    qtbot.waitUntil(note.again.isVisible)
    assert "propose again" in note.words.text()
    kept = paper.choose_kind("step")
    paper.hands.press("Y")
    note.again.click()
    qtbot.waitUntil(lambda: not note.isVisible())
    assert paper.says(kept) == "accept"


def test_what_is_proposed_of_a_film_that_is_read_has_no_note(open_window, phone, qtbot):
    paper = Paper(open_window(phone), qtbot)
    paper.wait_till_read()
    paper.propose()
    assert not paper.view.paper.coarse.isVisible()


def test_a_step_is_accepted_with_its_clip_and_still_and_undone(paper):
    paper.wait_till_read()
    name = paper.choose_kind("step")
    paper.hands.press("Y")
    p = paper.view.proposing.proposal(name)
    (placed,) = paper.session.procedure.placed_steps()
    assert placed.step.action == p.text
    assert placed.section.title == "Inspection"
    assert abs(placed.step.clip.start - p.start) < Decimal("0.05")
    assert placed.step.clip.start <= placed.step.still.at < placed.step.clip.end
    assert paper.says(name) == "accept"
    assert paper.view.paper.chosen().id != name
    paper.kept("accept", 1)
    paper.hands.press("Ctrl+Z")
    assert paper.says(name) == "open"
    assert steps(paper) != [p.text]
    assert paper.view.paper.chosen().id == name
    paper.kept("accept", 0)
    paper.hands.press("Ctrl+Y")
    assert paper.says(name) == "accept"
    assert steps(paper) == [p.text]


def test_a_number_is_accepted_with_a_change_and_its_step_is_offered(paper, monkeypatch):
    asked = answer_by(monkeypatch, "Accept the step")
    name = paper.choose_kind("measurement")
    paper.hands.press("C", "Ctrl+A")
    paper.hands.type("39.990..40.010 mm")
    paper.hands.press("Enter")
    assert len(asked) == 1
    assert paper.says(name) == "change"
    (placed,) = paper.session.procedure.placed_steps()
    (spec,) = placed.step.specs
    assert (str(spec.lower), str(spec.upper)) == ("39.990", "40.010")
    assert (spec.unit, spec.note, spec.reference) == ("mm", None, False)
    assert len(paper.session.document.history) == 1
    paper.kept("change", 1)
    paper.hands.press("Ctrl+Z")
    assert paper.says(name) == "open"
    assert steps(paper) != [placed.step.action]


def test_the_name_of_a_number_is_changed_where_its_limits_are(paper, monkeypatch):
    answer_by(monkeypatch, "Accept the step")
    name = paper.choose_kind("measurement")
    paper.hands.press("C")
    field = QApplication.focusWidget()
    own = paper.view.proposing.proposal(name).detail("characteristic")
    assert field.text().startswith(f"{own}: ")
    limits = field.text().rpartition(": ")[2]
    paper.hands.press("Ctrl+A")
    paper.hands.type(f"Width of the slot: {limits}")
    paper.hands.press("Enter")
    assert paper.says(name) == "change"
    (placed,) = paper.session.procedure.placed_steps()
    (spec,) = placed.step.specs
    assert spec.characteristic == "Width of the slot"
    paper.kept("change", 1)


def test_what_is_no_number_with_a_unit_stays_in_the_field_with_the_reason(paper):
    name = paper.choose_kind("measurement")
    paper.hands.press("C")
    paper.hands.type("zz")
    paper.hands.press("Enter")
    field = QApplication.focusWidget()
    assert field.text().endswith("zz")
    assert paper.view.paper._says.property("severity") == "error"
    paper.hands.press("Esc")
    assert paper.view.paper.list.hasFocus()
    assert paper.says(name) == "open"
    assert not paper.session.document.history


def test_a_number_stays_open_while_its_step_is_left_open(paper, monkeypatch):
    answer_by(monkeypatch, "Leave both")
    name = paper.choose_kind("measurement")
    paper.hands.press("Y")
    assert paper.says(name) == "open"
    assert not paper.session.document.history


def test_one_is_refused_and_opened_again(paper):
    name = paper.choose_kind("tool")
    paper.hands.press("V")
    assert paper.says(name) == "refuse"
    assert all(row.id != name for row in paper.view.paper.model.rows)
    assert not paper.session.document.history
    paper.view.paper.filter.states.setCurrentIndex(
        paper.view.paper.filter.states.findData("refuse")
    )
    paper.view.paper.list.setFocus()
    paper.choose(lambda row: row.id == name)
    paper.hands.press("V")
    assert paper.says(name) == "open"


def test_all_of_a_kind_are_one_gesture(paper, qtbot):
    before = paper.session.procedure
    paper.choose_kind("step")
    names = paper.view.proposing.open_of("step")
    paper.hands.press("Shift+Y")
    qtbot.waitUntil(lambda: not paper.view.proposing.open_of("step"), timeout=10_000)
    assert steps(paper) == [paper.view.proposing.proposal(name).text for name in names]
    assert len(paper.session.document.history) == 1
    paper.choose_kind("inspection")
    looked_at = paper.view.proposing.open_of("inspection")
    paper.hands.press("Shift+V")
    qtbot.waitUntil(lambda: not paper.view.proposing.open_of("inspection"))
    paper.kept("accept", len(names))
    paper.hands.press("Ctrl+Z")
    assert paper.view.proposing.open_of("inspection") == looked_at
    paper.hands.press("Ctrl+Z")
    qtbot.waitUntil(lambda: paper.view.proposing.open_of("step") == names, timeout=10_000)
    assert paper.session.procedure is before


def test_the_job_sheet_shows_the_step_a_number_went_into(paper, qtbot):
    paper.choose_kind("step")
    paper.hands.press("Shift+Y")
    qtbot.waitUntil(lambda: not paper.view.proposing.open_of("step"), timeout=10_000)
    name = paper.choose_kind("measurement")
    host = paper.view.proposing.host_of(name)
    other = next(one.step.id for one in paper.session.procedure.placed_steps()
                 if one.step.id != host)  # fmt: skip
    paper.session.choose_step(other)
    paper.window.resize(1100, 620)
    paper.hands.press("Y")
    assert paper.session.step == host
    placed = paper.session.placed()
    sheet = paper.window.step_sheet
    group = sheet.specs if placed.step.specs else sheet.torques
    qtbot.waitUntil(lambda: not group.visibleRegion().isEmpty(), timeout=10_000)
    assert sheet.action_step == host
    assert paper.view.paper.list.hasFocus()


def test_after_all_of_a_kind_the_list_and_the_film_go_on_from_where_they_were(
    paper, qtbot, monkeypatch
):
    monkeypatch.setattr(taking_in, "_AT_ONCE", 1)  # as many are: put in beside the window
    view, films = paper.view, paper.session.films
    names = view.proposing.open_of("step")
    middle = names[len(names) // 2]
    view.paper.choose(middle)
    index = [row.id for row in view.paper.model.rows].index(middle)
    behind = [row.id for row in view.paper.model.rows[index + 1 :] if not row.heading]
    paper.hands.press("Shift+Y")
    qtbot.waitUntil(lambda: not view.proposing.open_of("step"), timeout=10_000)
    QApplication.processEvents()
    assert view.paper.chosen().id == behind[0]
    assert films.frame == films.frame_at(view.paper.chosen().start)
    assert paper.session.step == view.proposing.step_of(middle)


def test_the_next_one_is_in_sight_where_the_list_is_low(paper, monkeypatch):
    answer_by(monkeypatch, "Accept the step")
    view = paper.view
    view.paper.list.setFixedHeight(2 * view.paper.list.sizeHintForRow(0))
    for _ in range(4):
        paper.hands.press("Y")
        place = view.paper.list.visualRect(view.paper.list.currentIndex())
        assert view.paper.list.viewport().rect().contains(place.center())


def test_who_decides_is_named_in_the_sheet_and_beside_the_proposal(paper):
    keep_name("Ann Reed")
    taken = paper.choose_kind("step")
    paper.hands.press("Y")
    left = paper.choose_kind("tool")
    paper.hands.press("V")
    paper.kept("refuse", 1)
    by = {a.id: a.by for a in read_answers(paper.view.proposing.file).proposals if a.by}
    assert by == dict.fromkeys((taken, left), "Ann Reed")
    row = ProposalRow(paper.view.proposing.proposal(left), paper.view.proposing.decision(left))
    assert row_words(row)[-1] == "Refused by Ann Reed"
    keep_name("")
    assert name_here() == user_name()


def test_answers_are_there_when_the_window_is_opened_again(paper, open_window, phone, qtbot):
    step = paper.choose_kind("step")
    paper.hands.press("Y")
    tool = paper.choose_kind("tool")
    paper.hands.press("V")
    paper.kept("refuse", 1)
    paper.session.document.save()
    paper.window.put_down()
    again = Paper(open_window(phone), qtbot)
    again.hands.press("Ctrl+5")
    again.come()
    assert (again.says(step), again.says(tool)) == ("accept", "refuse")
    assert step not in again.view.proposing.open_of("step")
    assert again.view.proposing.step_of(step) == again.session.step


def test_work_that_was_not_kept_is_offered_again(paper, open_window, phone, qtbot):
    step = paper.choose_kind("step")
    paper.hands.press("Y")
    paper.kept("accept", 1)
    paper.session.document.close(discard=True)
    paper.window.put_down()
    again = Paper(open_window(phone), qtbot)
    again.hands.press("Ctrl+5")
    again.come()
    assert again.says(step) == "open"


def test_what_the_film_leaves_out_leads_to_its_moment_worst_first(paper):
    view = paper.view
    weights = [row.question.weight for row in view.questions.rows.rows]
    assert weights
    assert weights == sorted(weights, reverse=True)
    view._tabs.setCurrentIndex(1)
    view.questions.list.setFocus()
    paper.hands.press("End")
    films = paper.session.films
    assert films.frame == films.frame_at(view.questions.rows.rows[-1].question.at)


def test_keys_of_a_paper_that_lies_below_bring_it_up_and_decide_nothing(paper):
    paper.hands.press("Ctrl+1", "Y")
    assert paper.view.isVisible()
    assert all(paper.view.proposing.is_open(p.id) for p in paper.view.proposing.proposals)


def test_without_captions_it_is_said(window, qtbot):
    window.activateWindow()
    Hands(window).press("Ctrl+Shift+P")
    says = window.proposals_view.paper._says
    qtbot.waitUntil(lambda: "no captions" in says.words.lower(), timeout=10_000)


def made_from(captions, folder):
    propose_job([captions], [], to=folder, answers=folder / "proposals.yaml")
    return folder


def test_a_draft_from_captions_alone_is_answered_in_the_window(open_window, tmp_path, qtbot):
    captions = tmp_path / "talk.vtt"
    captions.write_bytes((MEDIA / "phone.vtt").read_bytes())
    window = open_window(made_from(captions, tmp_path / "draft"))
    view = window.proposals_view
    hands = Hands(window)
    window.activateWindow()
    view.propose()
    qtbot.waitUntil(lambda: bool(view.proposing.proposals), timeout=20_000)
    steps = [placed.step.id for placed in window.session.procedure.placed_steps()]
    first = next(p for p in view.proposing.proposals if p.kind == "step")
    view.paper.choose(first.id)
    hands.press("Y")
    assert view.proposing.step_of(first.id) == steps[0]
    assert [p.step.id for p in window.session.procedure.placed_steps()] == steps
    number = next(p for p in view.proposing.proposals if p.kind == "measurement" and p.steps)
    assert view.proposing.host_of(number.id) in steps
    view.paper.choose(number.id)
    hands.press("V")
    sheet = tmp_path / "draft/proposals.yaml"
    qtbot.waitUntil(lambda: "answer: refuse" in sheet.read_text(), timeout=10_000)
    assert "answer: accept" in sheet.read_text()
    assert "captions:\n  - talk.vtt" in sheet.read_text()


def test_a_step_taken_out_of_a_draft_from_captions_alone_goes_in_again_at_its_place(
    open_window, tmp_path, qtbot
):
    captions = tmp_path / "talk.vtt"
    captions.write_bytes((MEDIA / "phone.vtt").read_bytes())
    window = open_window(made_from(captions, tmp_path / "draft"))
    view, session = window.proposals_view, window.session
    hands = Hands(window)
    window.activateWindow()
    view.propose()
    qtbot.waitUntil(lambda: bool(view.proposing.proposals), timeout=20_000)
    steps = [placed.step for placed in session.procedure.placed_steps()]
    gone = steps[1]
    assert session.do(RemoveSteps((gone.id,)))
    of_it = next(p for p in view.proposing.proposals if p.kind == "step" and p.text == gone.action)
    view.paper.choose(of_it.id)
    hands.press("Y")
    now = [placed.step for placed in session.procedure.placed_steps()]
    assert [step.action for step in now] == [step.action for step in steps]
    assert now[1].not_filmed == gone.not_filmed
    assert now[1].clip is None


TORQUE_TALK = """WEBVTT

00:00:00.500 --> 00:00:06.000
Put the cover on and tighten the four screws crosswise to nine newton metres.

00:00:08.000 --> 00:00:13.000
Check that the fan runs free, and it should not rattle.
"""


@pytest.fixture
def torque_draft(open_window, tmp_path, qtbot) -> Paper:
    """The window of a draft from captions alone, in which a torque is an order of work too."""
    captions = tmp_path / "talk.vtt"
    captions.write_text(TORQUE_TALK)
    window = open_window(made_from(captions, tmp_path / "draft"))
    found = object.__new__(Paper)
    found.window, found.view, found.session = window, window.proposals_view, window.session
    found.hands, found._qtbot = Hands(window), qtbot
    window.activateWindow()
    found.view.propose()
    found.come()
    return found


def test_a_changed_number_is_told_wherever_it_was_said_in_the_same_breath(torque_draft):
    paper, session = torque_draft, torque_draft.session
    before = session.procedure
    name = paper.choose_kind("measurement")
    paper.hands.press("C", "Ctrl+A")
    paper.hands.type("10..12 Nm")
    paper.hands.press("Enter")
    step = next(iter(session.procedure.placed_steps())).step
    (torque,) = step.torques
    assert (str(torque.lower), str(torque.upper), torque.nominal) == ("10", "12", None)
    assert torque.note is None
    (point,) = step.critical_points
    assert point.what == "Tighten the four screws crosswise to 10 to 12 N·m"
    sources = {one.id: one for one in session.procedure.sources}
    assert sources[point.source].title.startswith("Changed by")
    assert "nine" not in f"{step.action} {step.note}"
    told = [p.text for p in paper.view.proposing.proposals if p.kind == "order"]
    assert told == [point.what]
    assert len(session.document.history) == 1
    paper.hands.press("Ctrl+Z")
    assert session.procedure is before
    assert paper.says(name) == "open"
    (order,) = (p.text for p in paper.view.proposing.proposals if p.kind == "order")
    assert order == "Tighten the four screws crosswise to nine newton metres"


def test_what_was_accepted_before_a_number_was_changed_is_told_anew(
    open_window, phone, qtbot, monkeypatch
):
    answer_by(monkeypatch, "Accept the step")
    (phone / "phone.vtt").unlink()
    (phone / "phone.vtt").write_text(TORQUE_TALK)
    paper = Paper(open_window(phone), qtbot)
    paper.propose()
    paper.choose_kind("step")
    paper.hands.press("Y")
    paper.choose_kind("order")
    paper.hands.press("Y")
    (placed,) = paper.session.procedure.placed_steps()
    (point,) = placed.step.critical_points
    assert point.what == "Tighten the four screws crosswise to nine newton metres"
    before = paper.session.procedure
    paper.choose_kind("measurement")
    paper.hands.press("C", "Ctrl+A")
    paper.hands.type("10..12 Nm")
    paper.hands.press("Enter")
    (placed,) = paper.session.procedure.placed_steps()
    (point,) = placed.step.critical_points
    assert point.what == "Tighten the four screws crosswise to 10 to 12 N·m"
    assert len(placed.step.torques) == 1
    assert "nine" not in f"{placed.step.action} {placed.step.note}"
    paper.hands.press("Ctrl+Z")
    assert paper.session.procedure is before


def test_what_is_accepted_in_a_draft_is_confirmed_and_stands_there_once(torque_draft):
    paper, session = torque_draft, torque_draft.session
    paper.choose_kind("measurement")
    paper.hands.press("Y")
    (torque,) = next(iter(session.procedure.placed_steps())).step.torques
    assert (str(torque.nominal), torque.note) == ("9", None)
    before = [len(placed.step.criteria or ()) for placed in session.procedure.placed_steps()]
    paper.choose_kind("inspection")
    paper.hands.press("Y")
    after = [len(placed.step.criteria or ()) for placed in session.procedure.placed_steps()]
    assert after == before


def test_captions_of_a_draft_that_are_gone_are_named(open_window, tmp_path, qtbot):
    captions = tmp_path / "elsewhere/talk.vtt"
    captions.parent.mkdir()
    captions.write_bytes((MEDIA / "phone.vtt").read_bytes())
    folder = made_from(captions, tmp_path / "draft")
    captions.unlink()
    view = open_window(folder).proposals_view
    view.propose()
    qtbot.waitUntil(lambda: "'talk.vtt'" in view.paper._says.words, timeout=10_000)
    assert "--captions" in view.paper._says.words


def test_a_question_is_answered_in_the_field_it_asks_for(paper, monkeypatch, qtbot):
    asked = answer_by(monkeypatch, "Accept the step")
    view = paper.view
    paper.hands.press("Q")
    assert view._tabs.currentIndex() == 1
    assert not paper.session.document.history
    rows = view.questions.rows.rows
    kinds = {p.id: p.kind for p in view.proposing.proposals}
    at = next(n for n, row in enumerate(rows) if kinds[row.question.about] == "measurement"
              and "between which limits" in row.question.text)  # fmt: skip
    paper.hands.press("Home", *["Down"] * at, "Q")
    assert len(asked) == 1
    (placed,) = paper.session.procedure.placed_steps()
    qtbot.waitUntil(lambda: bool(placed.step.specs or placed.step.torques))
    qtbot.waitUntil(lambda: isinstance(QApplication.focusWidget(), EntryField))
    field = QApplication.focusWidget()
    assert field.place.at[:2] == ("steps", placed.step.id)
    assert rows[at].question.text in paper.window.statusBar().words()


def test_a_question_whose_field_was_filled_is_asked_no_more_until_undo(paper, monkeypatch, qtbot):
    answer_by(monkeypatch, "Accept the step")
    view = paper.view
    step = view.proposing.proposal(paper.choose_kind("step"))
    asked = [Question(f"To what torque, at {at}?", step.recording, step.start, 80, step.id, "told")
             for at in (1, 2)]  # fmt: skip
    view.proposing._take_questions(tuple(asked))
    paper.hands.press("Q", "Home", "Q")
    qtbot.waitUntil(lambda: bool(paper.session.procedure.sections[0].steps))
    (placed,) = paper.session.procedure.placed_steps()
    place = ("steps", placed.step.id, "action")
    assert len(view.questions.rows.rows) == 2
    paper.session.do(SetField(place, "Tighten the bolts to the plate."))
    assert [row.question for row in view.questions.rows.rows] == asked[1:]
    paper.session.undo()
    assert [row.question for row in view.questions.rows.rows] == asked


def test_the_word_beside_a_question_is_pressed(paper, monkeypatch, qtbot):
    answer_by(monkeypatch, "Leave")
    view = paper.view
    view._tabs.setCurrentIndex(1)
    questions = view.questions
    wanted = []
    monkeypatch.setattr(questions, "answer", lambda: wanted.append(questions.chosen()))
    index = questions.rows.index(1)
    questions.list.scrollTo(index)
    line = questions.list.visualRect(index)
    place = questions._delegate.press_place(line, questions.list.fontMetrics())
    port = questions.list.viewport()
    assert port.rect().contains(place)
    qtbot.mouseClick(port, Qt.MouseButton.LeftButton, pos=line.topLeft() + QPoint(20, 10))
    assert wanted == []
    qtbot.mouseClick(port, Qt.MouseButton.LeftButton, pos=place.center())
    assert wanted == [questions.rows.rows[1].question]
    assert "answered" not in questions.button.text().lower()
    questions.list.setFocus()
    paper.hands.press("Enter")
    assert len(wanted) == 2


def test_a_question_on_a_step_that_is_left_open_changes_nothing(paper, monkeypatch):
    answer_by(monkeypatch, "Leave")
    view = paper.view
    view._tabs.setCurrentIndex(1)
    for row in range(len(view.questions.rows.rows)):
        about = view.questions.rows.rows[row].question.about
        p = view.proposing.proposal(about)
        if p.kind == "step" or view.proposing.waits_for(about) is not None:
            view.questions.list.setCurrentIndex(view.questions.rows.index(row))
            view.questions.answer()
    assert not paper.session.document.history


def overlapped(paper) -> tuple[str, Decimal, Decimal]:
    """Put a step in by hand over the first third of a proposed step; return the proposal."""
    paper.wait_till_read()
    name = paper.choose_kind("step")
    p = paper.view.proposing.proposal(name)
    films = paper.session.films
    first, last = films.frame_at(p.start), films.frame_at(p.end)
    cut = films.start_of(first + (last - first) // 3)
    start = films.start_of(max(first - 10, 0))
    step = AddStep("Set the guard aside.", span=EditSpan(p.recording, start, cut))
    paper.session.do(step)
    return name, cut, films.start_of(last)


@pytest.mark.parametrize(("words", "says"), [("Put in", "accept"), ("Trim", "accept"),
                                             ("Leave", "open")])  # fmt: skip
def test_a_step_over_one_that_is_there_is_put_in_trimmed_or_left(paper, monkeypatch, words, says):
    name, cut, end = overlapped(paper)
    before = len(paper.session.document.history)
    asked = answer_by(monkeypatch, words)
    paper.hands.press("Y")
    assert len(asked) == 1
    assert "shows a part of this already" in asked[0]
    assert paper.says(name) == says
    assert len(paper.session.document.history) == before + (says == "accept")
    if says == "accept":
        step = paper.session.placed(paper.view.proposing.step_of(name)).step
        assert step.clip.end == end
        assert (step.clip.start == cut) is (words == "Trim")
        assert step.clip.start <= step.still.at < step.clip.end


def test_steps_that_follow_one_another_are_accepted_without_a_question(paper, monkeypatch):
    asked = answer_by(monkeypatch, "Leave")
    names = paper.view.proposing.open_of("step")
    assert len(names) > 1
    for _ in names:
        paper.choose(lambda row: row.heading and row.say == "open")
        paper.hands.press("Y")
    assert asked == []
    assert len(steps(paper)) == len(names)


def test_a_step_that_is_there_by_hand_is_said_to_be_there(paper, monkeypatch):
    asked = answer_by(monkeypatch, "Leave")
    name = paper.choose_kind("step")
    p = paper.view.proposing.proposal(name)
    films = paper.session.films
    marks = (films.start_of(films.frame_at(at)) for at in (p.start, p.end))
    paper.session.do(AddStep("Do it.", span=EditSpan(p.recording, *marks)))
    number = paper.session.placed(paper.view.proposing.step_of(name)).number
    count = len(steps(paper))
    paper.hands.press("Y")
    assert asked == []
    assert len(steps(paper)) == count
    assert f"It is step {number} already" in paper.window.statusBar().words()
