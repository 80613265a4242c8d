"""The common hazard messages are whole, pass the rules, and are found by a few letters."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from author.bench.views.hazard_picker import CommonHazard, HazardPicker, common_hazards
from author.bench.views.offers import Offer
from author.checks.signals import hurts, misplaced_number, misplaced_warning, only_damages
from author.checks.vague import vague


@pytest.fixture
def picker(qtbot: QtBot) -> Iterator[HazardPicker]:
    window = QWidget()
    window.resize(560, 600)
    window.show()
    qtbot.waitExposed(window)
    window.activateWindow()
    made = HazardPicker(window)
    qtbot.waitUntil(made.filter.hasFocus)
    yield made
    window.hide()
    window.deleteLater()


def faults(one: CommonHazard) -> list[str]:
    """Return what the rules would say of a message."""
    message = one.message
    consequence = message.consequence or ""
    texts = (message.hazard, consequence, message.avoid)
    found = [misplaced_number(text) or misplaced_warning(text) for text in texts]
    if message.signal == "NOTICE":
        found.append(hurts(consequence))
    else:
        found.append(only_damages(consequence, message.hazard))
    found.append(vague(message.avoid))
    return [words for words in found if words] + ["no consequence"] * (not consequence)


def test_messages_say_what_the_rules_ask() -> None:
    assert {one.name: faults(one) for one in common_hazards() if faults(one)} == {}


def test_each_is_there_once_and_deadly_ones_defer_to_others() -> None:
    names = [one.name for one in common_hazards()]
    assert len(names) == len(set(names))
    # Where the danger is death, the text leaves the last word to whoever knows the machine.
    defers = ("manual", "local", "licensed", "rated", "trained", "Run the engine outdoors")
    for one in common_hazards():
        if one.message.signal == "DANGER":
            assert any(word in one.message.avoid for word in defers), one.name


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("circlip", "Snap ring"),
        ("lockout", "Unexpected start"),
        ("gloves lathe", "Turning parts and gloves"),
        ("radiator", "Hot cooling system"),
        ("bearing hammer", "Hammer on hard steel"),
    ],
)
def test_it_is_found_by_what_a_technician_calls_it(
    picker: HazardPicker, qtbot: QtBot, typed: str, name: str
) -> None:
    taken: list[Offer] = []
    picker.taken.connect(taken.append)
    qtbot.keyClicks(picker.filter, typed)
    qtbot.keyClick(picker.filter, Qt.Key.Key_Return)
    wanted = next(one for one in common_hazards() if one.name == name)
    assert [offer.what for offer in taken] == [wanted.message]
    assert not picker.isVisible()


def test_arrows_go_down_the_list_while_letters_narrow_it(
    picker: HazardPicker, qtbot: QtBot
) -> None:
    taken: list[Offer] = []
    picker.taken.connect(taken.append)
    qtbot.keyClick(picker.filter, Qt.Key.Key_Down)
    qtbot.keyClick(picker.filter, Qt.Key.Key_Down)
    qtbot.keyClick(picker.filter, Qt.Key.Key_Return)
    assert taken[0].what == common_hazards()[2].message


def test_what_is_not_found_is_offered_as_a_message_of_ones_own(
    picker: HazardPicker, qtbot: QtBot
) -> None:
    qtbot.keyClicks(picker.filter, "xylophone")
    assert [offer.what.signal for offer in picker.offers.shown] == [
        "WARNING",
        "DANGER",
        "CAUTION",
        "NOTICE",
    ]
