"""Every word of the window can be said in another language, and every deed has its place."""

from __future__ import annotations

import ast
import re
import subprocess
import sysconfig
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PyQt6.QtCore import QTranslator
from PyQt6.QtGui import QAction, QKeySequence
from PyQt6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QGroupBox,
    QLabel,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QTreeWidget,
    QWidget,
)

from author import bench
from author.bench import actions, field_words
from author.bench.actions import DEEDS, MENUS

WORD = re.compile(r"[^\W\d_]{3,}")
# Names of things that are the same in every language.
NAMES = re.compile(
    r"^(YAML|JSON|PDF|A4|US Letter|bench\.mp4|[^a-z]*|8\.8.*|.* UNC|(Ctrl|Shift|Alt)\+.*)$"
)


class Marking(QTranslator):
    """Says every text of the program between brackets, and notes what was asked for."""

    def __init__(self):
        super().__init__()
        self.asked: set[tuple[str, str]] = set()

    def translate(self, context, source, disambiguation=None, n=-1):
        self.asked.add((context, source))
        return f"⟦{source}⟧"

    def isEmpty(self):  # noqa: N802 - Qt's name
        return False


@pytest.fixture
def marking(qapp: QApplication) -> Iterator[Marking]:
    translator = Marking()
    qapp.installTranslator(translator)
    yield translator
    qapp.removeTranslator(translator)


def texts_of(widget: QWidget) -> Iterator[tuple[str, str]]:
    name = type(widget).__name__
    yield f"{name} accessible", widget.accessibleName()
    yield f"{name} tip", widget.toolTip()
    if isinstance(widget, QLabel | QAbstractButton):
        yield f"{name} text", widget.text()
    if isinstance(widget, QGroupBox | QMenu):
        yield f"{name} title", widget.title()
    if isinstance(widget, QLineEdit | QPlainTextEdit):
        yield f"{name} placeholder", widget.placeholderText()
    if isinstance(widget, QComboBox):
        for row in range(widget.count()):
            yield f"{name} choice", widget.itemText(row)
    if isinstance(widget, QTreeWidget):
        head = widget.headerItem()
        for column in range(widget.columnCount()):
            yield f"{name} head", head.text(column)


def untranslated(window: QWidget, own: str) -> set[tuple[str, str]]:
    found = set()
    for widget in [window, *window.findChildren(QWidget)]:
        for where, text in texts_of(widget):
            plain = text.replace("&", "").strip()
            if "⟦" in plain or not WORD.search(plain) or NAMES.match(plain):
                continue
            # The rules speak English (schema/rules.yaml), and what they say is shown as it is.
            if plain not in own and "ActionHelp" not in where:
                found.add((where, text))
    return found


def test_every_word_goes_through_the_translator(marking, window, job_folder, qtbot):
    for deed in ("show_ledger", "show_speech", "show_review", "show_remarks", "still"):
        window.actions_by_name[deed].trigger()
    for deed in ("measurement", "torque", "hazard", "front", "lists"):
        window.actions_by_name[deed].trigger()
        qtbot.wait(50)
    qtbot.wait(500)
    own = (job_folder / "procedure.yaml").read_text(encoding="utf-8")
    assert untranslated(window, own) == set()
    for one in QApplication.topLevelWidgets():
        if one is not window and one.isVisible():
            one.close()


def test_every_deed_stands_in_a_menu_with_words_of_its_own():
    assert {deed.menu for deed in DEEDS} == set(MENUS)
    assert len({deed.name for deed in DEEDS}) == len(DEEDS)
    assert len({deed.text for deed in DEEDS}) == len(DEEDS)


def test_no_key_means_two_things():
    keys = [QKeySequence(one).toString() for deed in DEEDS for one in deed.keys]
    assert "" not in keys
    assert len(keys) == len(set(keys))


def test_no_two_deeds_of_a_menu_share_a_letter():
    for menu in MENUS:
        letters = [
            deed.text[deed.text.index("&") + 1].lower()
            for deed in DEEDS
            if deed.menu == menu and "&" in deed.text
        ]
        assert len(letters) == len(set(letters)), menu


def heard(action: QAction) -> int:
    return action.receivers(action.triggered) + action.receivers(action.toggled)


def test_every_deed_has_somebody_who_does_it(window):
    """A deed that nothing hears would be a dead entry of the menu."""
    lonely = QAction(window)
    QMenu(window).addAction(lonely)
    menu_alone = heard(lonely)
    deaf = [name for name, action in window.actions_by_name.items() if heard(action) <= menu_alone]
    # These change the whole program, and are heard by what opened the window.
    assert set(deaf) == {"open", "dark", "larger", "smaller"}


def found_in(files: list[Path], folder: Path) -> dict[str, set[str]]:
    """Return the texts that those who translate are given, by their context."""
    finder = Path(sysconfig.get_path("scripts")) / "pylupdate6"
    found = folder / "words.ts"
    names = [str(file) for file in files]
    subprocess.run([str(finder), "--ts", str(found), *names], check=True, capture_output=True)
    words: dict[str, set[str]] = {}
    for context in ElementTree.parse(found).iter("context"):  # noqa: S314 - our own
        texts = {each.text or "" for each in context.iter("source")}
        words.setdefault(context.findtext("name") or "", set()).update(texts)
    return words


def test_what_stands_in_tables_is_found_by_those_who_translate(tmp_path: Path):
    words = found_in([Path(actions.__file__), Path(field_words.__file__)], tmp_path)
    assert words["Deeds"] == {deed.text for deed in DEEDS} | set(MENUS)
    tables = field_words.FIELD_WORDS, field_words.VALUE_WORDS, field_words.REMEDY_WORDS
    fields = {words for table in tables for words in table.values()}
    assert words["Fields"] == fields


def test_all_that_the_window_says_is_found_by_those_who_translate(
    marking, window, job_folder, qtbot, tmp_path
):
    """What the program asks a translator for while it is used is what they were given."""
    for deed in ("show_proposals", "answer_question", "show_review", "still", "hazard", "uses"):
        window.actions_by_name[deed].trigger()
    for group in window.step_sheet.groups:
        assert group.body is not None
    for paper in ("front", "lists"):
        shown = window.step_sheet.paper(paper)
        for page in range(shown.tabs.count()):
            shown.page(page)
    window.actions_by_name["publish"].trigger()
    window.actions_by_name["close_beside"].trigger()
    window.actions_by_name["begin_here"].trigger()
    qtbot.wait(100)
    files = sorted(Path(bench.__file__).parent.rglob("*.py"))
    words = found_in(files, tmp_path)
    given = set().union(*words.values())
    assert {text for context, text in marking.asked if context in words} <= given
    # By its context as well, where no object of Qt says it.
    for context in ("Sheet", "Picker", "Deeds", "StepMarks", "ProposalRows", "RemarkSorting"):
        asked = {text for each, text in marking.asked if each == context}
        assert asked <= words[context], context
    assert len({text for each, text in marking.asked if each == "Sheet"}) > 100


def test_no_text_is_said_past_those_who_translate(tmp_path):
    """A text in the hands of a function of its own that asks for its translation is lost."""
    lost = []
    for file in Path(bench.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and ast.unparse(node.func) in {"translate", "QCoreApplication.translate"}
                and not all(isinstance(each, ast.Constant) for each in node.args[:2])
            ):
                lost.append(f"{file.name}:{node.lineno}")
    # These say what stands in tables, each text marked there.
    assert {each.split(":")[0] for each in lost} == {
        "actions.py", "field_words.py", "proposal_rows.py"
    }  # fmt: skip
