"""The job sheet: what belongs to a step is said by keys, and shown where it stands."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PyQt6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from author.bench.fields import LongField, TextField
from author.bench.session import Session
from author.bench.views.bolts_editor import BoltsEditor
from author.bench.views.part_picker import Picker
from author.bench.views.sheet.group import Group
from author.bench.views.sheet.ways import NumberChoice
from author.checks.wording import UNWRITTEN
from author.editing import NO_ACTION, RemoveEntry, SetField
from author.procedure.document import Procedure
from author.procedure.steps import Step
from bench.hands import Hands
from bench.jobs import Desk, desk_on, sample_job

Open = Callable[[Path], Session]


@pytest.fixture
def saw(open_session: Open, tmp_path: Path, qtbot: QtBot) -> Iterator[Desk]:
    """The right column on the demonstration procedure."""
    with desk_on(open_session(sample_job(tmp_path)), qtbot) as desk:
        yield desk


def chosen(window: Desk) -> Step:
    placed = window.session.placed()
    assert placed is not None
    return placed.step


def group(window: Desk, key: str) -> Group:
    return next(one for one in window.step_sheet.groups if key in one.keys)


def focused() -> QWidget:
    found = QApplication.focusWidget()
    assert found is not None
    return found


def open_pickers(window: Desk) -> list[Picker]:
    return [one for one in window.findChildren(Picker) if one.isVisible()]


def test_the_wording_is_helped_while_it_is_typed(saw: Desk) -> None:
    hands, sheet = Hands(saw), saw.step_sheet
    hands.press("W")
    assert focused() is sheet.action.field
    sheet.action.field.selectAll()
    hands.type("The nut is undone and the washer is removed.")
    assert sheet.action.help.isVisible()
    assert "no order" in sheet.action.help.text()
    sheet.action.field.selectAll()
    hands.type("Undo the nut.")
    assert not sheet.action.help.isVisible()
    sheet.action.field.selectAll()
    hands.type("Tighten the nut firmly.")
    assert "“firmly” leaves open how much" in sheet.action.help.text()
    hands.press("Enter")
    assert chosen(saw).action == "Tighten the nut firmly."
    assert not sheet.action.field.hasFocus()


def test_only_what_is_there_is_shown(saw: Desk) -> None:
    for placed in saw.session.procedure.placed_steps():
        saw.session.choose_step(placed.step.id)
        for one in saw.step_sheet.groups:
            there = any(getattr(placed.step, key) is not None for key in one.keys)
            assert one.isVisible() == there, (placed.step.id, one.title)


def test_a_common_hazard_is_taken_by_a_few_letters_and_adapted(saw: Desk) -> None:
    hands = Hands(saw)
    saw.session.choose_step("bend-tab")
    before = len(chosen(saw).hazards or ())
    hands.press("H")
    hands.type("snap")
    hands.press("Enter")
    assert hands.pressed == 6
    added = (chosen(saw).hazards or ())[-1]
    assert len(chosen(saw).hazards or ()) == before + 1
    assert "ring" in added.hazard and added.consequence and "eye protection" in added.avoid
    # Enter leads through what can do harm, what it does and how to avoid it, and back.
    for text in (added.hazard, added.consequence, added.avoid):
        field = focused()
        assert isinstance(field, LongField) and field.text() == text
        hands.press("Enter")
    assert saw.film.hasFocus()
    assert open_pickers(saw) == []


def test_graver_hazards_come_first(saw: Desk) -> None:
    hands = Hands(saw)
    saw.session.choose_step("bend-tab")
    for words in ("slippery", "suspended"):
        hands.press("H")
        hands.type(words)
        hands.press("Enter", "Esc")
    assert [one.signal for one in chosen(saw).hazards or ()] == ["DANGER", "CAUTION"]


def test_a_hazard_of_ones_own_words(saw: Desk) -> None:
    hands = Hands(saw)
    saw.session.choose_step("bend-tab")
    hands.press("H")
    hands.type("the moon falls")
    hands.press("Enter")
    (own,) = chosen(saw).hazards or ()
    assert (own.signal, own.hazard) == ("WARNING", "the moon falls")
    assert own.avoid.startswith(UNWRITTEN)
    hands.press("Enter")
    hands.type("It crushes.")
    hands.press("Enter")
    hands.type("Look up.")
    (own,) = chosen(saw).hazards or ()
    assert (own.hazard, own.consequence, own.avoid) == (
        "the moon falls", "It crushes.", "Look up."
    )  # fmt: skip
    hands.press("Enter")
    assert saw.film.hasFocus()


def test_what_comes_off_and_goes_back_with_the_count_of_the_ledger(saw: Desk) -> None:
    session, hands = saw.session, Hands(saw)
    off = next(p for p in session.procedure.placed_steps() if p.step.ledger).step.id
    session.do(SetField(("steps", off, "ledger"), None))
    first = next(session.procedure.placed_steps()).step.id
    session.choose_step(first)
    hands.press("O")
    hands.type("guard sc")
    hands.press("Enter")
    assert hands.pressed == 10
    (moved,) = chosen(saw).ledger or ()
    # All four are on the machine, so four come off and are kept.
    assert (moved.act, moved.part, moved.quantity) == ("removes", "guard-screw", 4)
    assert "4 in hand" in group(saw, "ledger").findChild(QWidget, "after-this-step").text()  # type: ignore[union-attr]
    hands.press("I")
    hands.press("Enter")
    assert (chosen(saw).ledger or ())[-1].act == "refits"
    assert (chosen(saw).ledger or ())[-1].part == "guard-screw"
    # The keys never left the film: the next deed is one key away.
    assert saw.film.hasFocus()


def test_what_is_used_once_comes_off_as_scrap_and_goes_on_new(saw: Desk) -> None:
    session, hands = saw.session, Hands(saw)
    first = next(session.procedure.placed_steps()).step.id
    session.choose_step(first)
    for key in ("O", "I"):
        hands.press(key)
        hands.type("tab wash")
        hands.press("Enter")
    acts = [one.act for one in chosen(saw).ledger or ()]
    assert acts == ["destroys", "replaces"]


def test_a_new_part_is_made_at_once_and_one_entry(saw: Desk) -> None:
    session, hands = saw.session, Hands(saw)
    entries = len(session.document.history)
    hands.press("O")
    hands.type("Dust chute")
    hands.press("Enter")
    assert session.procedure.parts[-1].name == "Dust chute"
    assert (chosen(saw).ledger or ())[-1].part == "dust-chute"
    assert len(session.document.history) == entries + 1
    hands.press("Ctrl+Z")
    assert all(part.id != "dust-chute" for part in session.procedure.parts)


def test_tools_and_supplies_are_added_by_name(saw: Desk) -> None:
    session, hands = saw.session, Hands(saw)
    session.choose_step("bend-tab")
    for words in ("stopw", "thin mach", "Feeler gauge"):
        hands.press("U")
        hands.type(words)
        hands.press("Enter")
    step = chosen(saw)
    assert step.tools is not None and step.supplies is not None
    assert {"stopwatch", "feeler-gauge"} <= set(step.tools)
    assert step.supplies[-1].supply == "oil"
    assert session.procedure.tools[-1].name == "Feeler gauge"


def test_the_picker_goes_without_taking(saw: Desk) -> None:
    hands = Hands(saw)
    before = saw.session.procedure
    hands.press("O")
    hands.type("guard")
    hands.press("Esc")
    assert open_pickers(saw) == []
    assert saw.session.procedure is before
    assert saw.film.hasFocus()


@pytest.mark.parametrize(
    ("key", "field", "words", "entries"),
    [
        ("K", "criteria", "A gap of light", 1),
        ("Shift+K", "critical_points", "Shield outwards", 1),
        ("Shift+D", "decision", "Is it worn?", 2),
    ],
)
def test_a_key_adds_and_the_words_follow_at_once(
    saw: Desk, key: str, field: str, words: str, entries: int
) -> None:
    hands = Hands(saw)
    saw.session.choose_step("bend-tab")
    saw.session.do(SetField(("steps", "bend-tab", "criteria"), None))
    hands.press(key)
    hands.type(words)
    found = getattr(chosen(saw), field)
    block = found[-1] if isinstance(found, tuple) else found
    assert words in (getattr(block, "look_for", ""), getattr(block, "what", ""),
                     getattr(block, "question", ""))  # fmt: skip
    hands.press(*["Ctrl+Z"] * entries)
    assert getattr(chosen(saw), field) is None


def test_a_measurement_is_typed_from_its_key(saw: Desk) -> None:
    hands = Hands(saw)
    saw.session.choose_step("bend-tab")
    specs = len(chosen(saw).specs or ())
    hands.press("D")
    hands.type("End float")
    hands.press("Enter")
    hands.type("max 0.05 mm")
    hands.press("Enter")
    added = (chosen(saw).specs or ())[-1]
    assert len(chosen(saw).specs or ()) == specs + 1
    assert (added.characteristic, str(added.upper), added.unit) == ("End float", "0.05", "mm")


def test_the_menu_reaches_what_has_no_key(saw: Desk) -> None:
    sheet, hands = saw.step_sheet, Hands(saw)
    saw.session.choose_step("bend-tab")
    sheet.fill_menu()
    entries = {action.text().split("\t")[0]: action for action in sheet.menu.actions()}
    for title in ("Reason", "People", "Witness point", "Ways to do it, mildest first", "Note"):
        assert title in entries
    entries["Reason"].trigger()
    hands.type("The belt would slip.")
    assert chosen(saw).reason == "The belt would slip."
    entries["Witness point"].trigger()
    hands.type("The mark lines up")
    witness = chosen(saw).witness
    assert witness is not None and witness.what == "The mark lines up"
    entries["Ways to do it, mildest first"].trigger()
    hands.type("Use the puller")
    ladder = chosen(saw).ladder
    assert ladder is not None and ladder[1].how == "Use the puller"


def test_a_place_is_opened_and_its_field_has_the_keys(saw: Desk) -> None:
    session = saw.session
    procedure = session.procedure
    for placed in procedure.placed_steps():
        step = placed.step
        wanted: list[tuple[tuple[str | int, ...], str]] = []
        if step.hazards:
            wanted.append((("hazards", 0, "avoid"), step.hazards[0].avoid))
        if step.criteria:
            wanted.append((("criteria", 0, "accept"), step.criteria[0].accept))
        if step.decision:
            wanted.append((("decision", "ways", 1, "when"), step.decision.ways[1].when))
        if step.ladder:
            wanted.append((("ladder", 1, "how"), step.ladder[1].how))
        if step.reason:
            wanted.append((("reason",), step.reason))
        for rest, text in wanted:
            session.go_to((*placed.path, *rest))
            field = focused()
            assert isinstance(field, LongField | TextField)
            assert field.text() == text


def test_a_place_in_a_number_is_opened(saw: Desk) -> None:
    session = saw.session
    for placed, path, spec in session.procedure.placed_specs():
        session.go_to((*path, "characteristic"))
        field = focused()
        assert isinstance(field, TextField) and field.text() == spec.characteristic
        assert session.step == placed.step.id


def test_a_decision_leads_to_a_step_by_its_name(saw: Desk) -> None:
    session, hands = saw.session, Hands(saw)
    session.choose_step("bend-tab")
    hands.press("Shift+D")
    decision = chosen(saw).decision
    assert decision is not None and decision.ways[1].stop is not None
    order = names_of(session.procedure)
    assert decision.ways[0].step == order[order.index("bend-tab") + 1]
    field = next(
        one for one in group(saw, "decision").body.findChildren(QWidget)
        if one.accessibleName() == "Leads to" and one.isVisible()
    )  # fmt: skip
    field.setFocus()
    hands.press("Down")
    decision = chosen(saw).decision
    assert decision is not None
    assert decision.ways[0].step == order[order.index("bend-tab") + 2]


def test_entries_are_moved_and_removed_by_keys(saw: Desk, qtbot: QtBot) -> None:
    session, hands = saw.session, Hands(saw)
    session.choose_step("bend-tab")
    for words in ("snap", "noise", "sharp"):
        hands.press("H")
        hands.type(words)
        hands.press("Enter", "Esc")
    names = [one.hazard for one in chosen(saw).hazards or ()]
    hazards = group(saw, "hazards")
    buttons = {one.accessibleName(): one for one in hazards.findChildren(QWidget)}
    buttons["Move hazard 1 down"].setFocus()
    hands.press("Space")
    assert [one.hazard for one in chosen(saw).hazards or ()] == [names[1], names[0], names[2]]
    buttons["Remove hazard 2"].setFocus()
    hands.press("Space")
    assert [one.hazard for one in chosen(saw).hazards or ()] == [names[1], names[2]]
    hands.press("Ctrl+Z", "Ctrl+Z")
    assert [one.hazard for one in chosen(saw).hazards or ()] == names


def test_the_sheet_follows_what_goes_away(saw: Desk) -> None:
    session = saw.session
    step = next(p.step for p in session.procedure.placed_steps() if p.step.hazards)
    session.choose_step(step.id)
    assert group(saw, "hazards").isVisible()
    for _ in step.hazards or ():
        session.do(RemoveEntry(("steps", step.id, "hazards", 0)))
    assert not group(saw, "hazards").isVisible()
    session.undo()
    assert group(saw, "hazards").isVisible()


def test_choosing_steps_makes_no_widget_twice(saw: Desk) -> None:
    session = saw.session
    order = [placed.step.id for placed in session.procedure.placed_steps()]
    for step in order:
        session.choose_step(step)
    made = len(saw.step_sheet.findChildren(QWidget))
    for step in (*order, *reversed(order)):
        session.choose_step(step)
    assert len(saw.step_sheet.findChildren(QWidget)) == made


def test_every_field_has_a_name_and_takes_the_keys(saw: Desk) -> None:
    session = saw.session
    for placed in session.procedure.placed_steps():
        session.choose_step(placed.step.id)
        for kind in (LongField, TextField):
            for field in saw.step_sheet.findChildren(kind):
                if field.isVisible():
                    assert field.accessibleName(), field
                    assert field.focusPolicy().value & 1


def names_of(procedure: Procedure) -> list[str]:
    return [placed.step.id for placed in procedure.placed_steps()]


def test_a_step_made_by_number_is_named_after_its_action_only_once(saw: Desk) -> None:
    session, hands = saw.session, Hands(saw)
    session.choose_step("bend-tab")
    hands.press("W")
    saw.step_sheet.action.field.selectAll()
    hands.type("Spin it twice.")
    hands.press("Enter")
    assert session.step == "bend-tab"
    assert "bend-tab" in names_of(session.procedure)


def test_bolts_and_what_proposes_their_order_are_seen_together(saw: Desk) -> None:
    hands = Hands(saw)
    saw.session.choose_step("bend-tab")
    hands.press("T")
    for text in ("Cover", "20..24 Nm", "M8", "dry"):
        hands.type(text)
        hands.press("Enter")
    # The list of texts that may be meant does not keep the next Enter for itself.
    assert QApplication.activePopupWidget() is None
    hands.press("Enter", "C", "Enter", "Tab")
    hands.type("8")
    hands.press("Enter", "C")
    bolts = saw.step_sheet.torques.editor.fields()["fasteners"].parentWidget()
    assert isinstance(bolts, BoltsEditor)
    assert len((chosen(saw).torques or ())[-1].order or ()) == 8
    for part in (bolts.shape, bolts.crosswise, bolts.said_of_order, bolts.pattern):
        assert part.visibleRegion().boundingRect() == part.rect(), part


def test_tab_goes_through_a_decision_as_it_is_read(saw: Desk) -> None:
    session, hands = saw.session, Hands(saw)
    session.choose_step("spin-wheel")
    hands.press("Shift+D")
    body = group(saw, "decision").body
    hands.type("Is it worn?")
    hands.press("Tab", "Down", "Tab")
    names = []
    while body.isAncestorOf(focused()):
        names.append(focused().accessibleName() or getattr(focused(), "text", str)())
        hands.press("Tab")
    fields = [name for name in names if not name.startswith(("Move", "Remove"))]
    way = ["When", "Leads to"]
    assert fields == [*way, "At most", *way, "Why, and then", "At most", "Add way on"]
    hands.press("Shift+D")
    decided = chosen(saw).decision
    assert decided is not None and decided.spec == (chosen(saw).specs or ())[0].id


def test_a_decision_offers_its_own_number_first_and_later_ones_last(saw: Desk) -> None:
    session = saw.session
    numbers = {spec.id: placed.number for placed, _, spec in session.procedure.placed_specs()}
    session.choose_step("spin-wheel")
    Hands(saw).press("Shift+D")
    field = next(
        one for one in group(saw, "decision").body.findChildren(NumberChoice) if one.isVisible()
    )
    field.setFocus()
    placed = session.placed()
    assert placed is not None
    offered = [field.itemData(row) for row in range(1, field.count())]
    assert sorted(offered) == sorted(numbers)
    away = [(numbers[name] > placed.number, abs(placed.number - numbers[name])) for name in offered]
    assert away == sorted(away)
    own = (*(placed.step.specs or ()), *(placed.step.torques or ()))
    assert [far for _, far in away].count(0) == len(own) > 0
    assert all(
        ("· step" in field.itemText(row)) == (numbers[field.itemData(row)] != placed.number)
        for row in range(1, field.count())
    )


def test_the_hint_of_an_empty_field_is_not_cut(saw: Desk) -> None:
    field = saw.step_sheet.action.field
    saw.session.do(SetField(("steps", saw.session.step or "", "action"), NO_ACTION))
    assert field.toPlainText() == ""
    line = field.fontMetrics().lineSpacing()
    one = field.sizeHint().height()
    field.setPlaceholderText("Undo the axle nut with the 24 mm socket. " * 4)
    assert field.sizeHint().height() >= one + line
