"""The windows for the front matter and the lists write what every other field writes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeVar

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QApplication, QComboBox, QLineEdit, QPlainTextEdit, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from author.bench.session import Session
from author.bench.views.front_matter import FrontMatter
from author.bench.views.list_editor import EntriesPage, ListEditor
from author.bench.views.paper import Paper
from author.checks.wording import UNWRITTEN
from author.editing import path_of
from author.procedure.document import Procedure
from author.procedure.values import Node
from bench.hands import Hands
from bench.jobs import Desk, desk_on, sample_job

Open = Callable[[Path], Session]
Found = TypeVar("Found", bound=QWidget)


@pytest.fixture
def saw(open_session: Open, tmp_path: Path) -> Session:
    return open_session(sample_job(tmp_path))


@pytest.fixture
def front(saw: Session, qtbot: QtBot) -> Iterator[FrontMatter]:
    yield from shown(FrontMatter(saw), qtbot)


@pytest.fixture
def lists(saw: Session, qtbot: QtBot) -> Iterator[ListEditor]:
    yield from shown(ListEditor(saw), qtbot)


@pytest.fixture
def desk(saw: Session, qtbot: QtBot) -> Iterator[Desk]:
    with desk_on(saw, qtbot) as made:
        yield made


PaperKind = TypeVar("PaperKind", bound=Paper)


def shown(paper: PaperKind, qtbot: QtBot) -> Iterator[PaperKind]:
    paper.open_paper()
    qtbot.waitExposed(paper)
    yield paper
    paper.hide()
    paper.deleteLater()


def named(paper: QWidget, kind: type[Found], name: str) -> Found:
    return next(
        one for one in paper.findChildren(kind) if one.accessibleName() == name and one.isVisible()
    )


def test_title_machine_and_limits_of_use(saw: Session, front: FrontMatter, qtbot: QtBot) -> None:
    for name, words in (
        ("Title", "Renew the bearings"),
        ("Purpose", "Stops the rumble."),
        ("Machine", "Saw 7"),
        ("Limits of use", "Upper wheel only"),
    ):
        field = named(front, QPlainTextEdit, name)
        field.selectAll()
        qtbot.keyClicks(field, words)
    procedure = saw.procedure
    assert (procedure.title, procedure.purpose) == ("Renew the bearings", "Stops the rumble.")
    assert (procedure.unit.name, procedure.limits_of_use) == ("Saw 7", ("Upper wheel only",))


def test_a_wrong_time_is_told_and_stays(saw: Session, front: FrontMatter, qtbot: QtBot) -> None:
    field = named(front, QLineEdit, "Labour time")
    was = saw.procedure.labour_time
    field.selectAll()
    qtbot.keyClicks(field, "3 days")
    assert (saw.procedure.labour_time, field.text()) == (was, "3 days")
    assert field.property("wrong") is True


def test_undo_works_in_a_window_of_its_own(saw: Session, front: FrontMatter, qtbot: QtBot) -> None:
    field = named(front, QPlainTextEdit, "Title")
    was = saw.procedure.title
    qtbot.keyClicks(field, "x")
    qtbot.keyClick(field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert saw.procedure.title == was


def everything(node: Node, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Yield the paths of all values below a node."""
    for name, about in type(node).model_fields.items():
        value = getattr(node, name)
        here = (*path, about.alias or name)
        if isinstance(value, Node):
            yield from everything(value, here)
        elif isinstance(value, tuple) and value and isinstance(value[0], Node):
            for index, entry in enumerate(value):
                yield from everything(entry, (*here, index))
        elif value is not None and value != ():
            yield here


_ELSEWHERE = {"recordings", "sections", "schema"}


def fields_below(procedure: Procedure) -> list[tuple[str | int, ...]]:
    return [p for p in everything(procedure) if p[0] not in _ELSEWHERE and p[-1] != "id"]


def test_every_value_of_the_front_matter_and_the_lists_has_a_field(
    saw: Session, front: FrontMatter, lists: ListEditor
) -> None:
    without = {("state",)}
    for path in fields_below(saw.procedure):
        if path in without:
            continue
        paper = next((one for one in (front, lists) if one.show_place(path)), None)
        assert paper is not None, path
        field = paper.focusWidget()
        while field is not None and not hasattr(field, "place"):
            field = field.parentWidget()
        assert field is not None, path
        at = path_of(saw.procedure, field.place.at)
        assert path[: len(at)] == at, (path, at)


def test_an_entry_is_added_and_its_name_typed(
    saw: Session, lists: ListEditor, qtbot: QtBot
) -> None:
    page = lists.page(0)
    assert isinstance(page, EntriesPage)
    count = len(saw.procedure.parts)
    named(lists, QPushButton, "Add a part").click()
    assert saw.procedure.parts[-1].name.startswith(UNWRITTEN)
    field = QApplication.focusWidget()
    assert field is not None
    qtbot.keyClicks(field, "Dust chute")
    assert (len(saw.procedure.parts), saw.procedure.parts[-1].name) == (count + 1, "Dust chute")
    number = named(lists, QLineEdit, "Number")
    qtbot.keyClicks(number, "DC-1")
    assert saw.procedure.parts[-1].number == "DC-1"
    named(lists, QPushButton, "Remove the part").click()
    assert len(saw.procedure.parts) == count


def test_what_a_step_names_is_not_removed_and_the_users_are_told(
    saw: Session, lists: ListEditor
) -> None:
    said: list[str] = []
    saw.said.connect(lambda _severity, words: said.append(words))
    page = lists.page(0)
    assert isinstance(page, EntriesPage)
    page.choose("bearing")
    page.remove()
    assert any(part.id == "bearing" for part in saw.procedure.parts)
    assert "still named by" in said[-1]


def test_entries_are_moved(saw: Session, lists: ListEditor) -> None:
    page = lists.page(0)
    assert isinstance(page, EntriesPage)
    was = [part.id for part in saw.procedure.parts]
    page.choose(was[0])
    named(lists, QPushButton, "Move the part down").click()
    assert [part.id for part in saw.procedure.parts][:2] == [was[1], was[0]]
    named(lists, QPushButton, "Move the part down").click()
    assert [part.id for part in saw.procedure.parts][:3] == [was[1], was[2], was[0]]
    named(lists, QPushButton, "Move the part up").click()
    assert [part.id for part in saw.procedure.parts][:2] == [was[1], was[0]]


def test_data_of_an_instrument_keep_their_digits(
    saw: Session, lists: ListEditor, qtbot: QtBot
) -> None:
    lists.show_place(("tools", "rule", "resolution"))
    field = QApplication.focusWidget()
    assert isinstance(field, QLineEdit)
    field.selectAll()
    qtbot.keyClicks(field, "0.10")
    rule = next(tool for tool in saw.procedure.tools if tool.id == "rule")
    assert str(rule.resolution) == "0.10"
    lists.show_place(("tools", "rule", "measures"))
    unit = QApplication.focusWidget()
    assert isinstance(unit, QComboBox) and unit.currentText() == "mm"


def test_the_order_of_a_stack_is_changed(saw: Session, lists: ListEditor) -> None:
    lists.show_place(("stacks", "axle-stack", "inside_out"))
    QApplication.processEvents()
    was = saw.procedure.stacks[0].inside_out
    ups = [
        one
        for one in lists.findChildren(QWidget)
        if one.accessibleName() == "Move part up" and one.isVisible()
    ]
    ups[1].click()  # type: ignore[attr-defined]
    assert saw.procedure.stacks[0].inside_out == (was[1], was[0], *was[2:])


def test_keys_open_the_windows_and_escape_closes_them(desk: Desk, qtbot: QtBot) -> None:
    hands = Hands(desk)
    for key, which in (("Ctrl+T", "front"), ("Ctrl+L", "lists")):
        desk.activateWindow()
        desk.to_film()
        qtbot.waitUntil(desk.film.hasFocus)
        hands.press(key)
        paper = desk.step_sheet.paper(which)
        assert paper.isVisible() and not paper.isModal()
        qtbot.keyClick(paper, Qt.Key.Key_Escape)
        assert not paper.isVisible()


def test_a_remark_about_a_list_opens_its_page(desk: Desk) -> None:
    desk.session.go_to(("tools", 3, "name"))
    paper = desk.step_sheet.paper("lists")
    assert paper.isVisible()
    field = paper.focusWidget()
    assert isinstance(field, QPlainTextEdit)
    assert field.toPlainText() == desk.session.procedure.tools[3].name
    paper.close()
