"""What is used is picked by name; what sort of thing it is stands behind it."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QListView
from pytestqt.qtbot import QtBot

from author.bench.views.part_picker import Picker
from author.bench.window import BenchWindow
from author.editing import AddEntry


def test_a_supply_is_one_line_with_its_kind_behind_its_name(
    window: BenchWindow, qtbot: QtBot
) -> None:
    session = window.session
    session.do(AddEntry(("supplies",), {"name": "(to be written) the supply"}))
    assert session.procedure.supplies[-1].id == "supply"
    session.do(AddEntry(("supplies",), {"name": "Solvent"}))
    picker = window.step_sheet.uses.pick(window)
    assert isinstance(picker, Picker) and isinstance(picker.rows, QListView)
    shown = [picker.offers.index(row).data() for row in range(picker.offers.rowCount())]
    assert "Solvent · supply" in shown
    qtbot.keyClicks(picker.filter, "Solvent")
    qtbot.keyClick(picker.filter, Qt.Key.Key_Return)
    placed = session.placed()
    assert placed is not None and [use.supply for use in placed.step.supplies or ()] == ["solvent"]
    assert len(session.procedure.supplies) == 2  # the one there, not another of its name
