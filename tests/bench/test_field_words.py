"""What rules say is shown in the words of the window."""

from __future__ import annotations

import re

from pytestqt.qtbot import QtBot

from author.bench.field_words import FIELD_WORDS, VALUE_WORDS, field_words, in_window_words
from author.bench.window import BenchWindow
from author.checks.remarks import all_rules

NAME = re.compile(r"'([a-z_]+)(?:: ([a-z_]+))?'")
# Names that mean what they say to a person as well.
PLAIN = {"si"}


def test_every_name_in_a_remedy_has_words() -> None:
    remedies = [rule.remedy for rule in all_rules().values()]
    named = {name for text in remedies for found in NAME.findall(text) for name in found if name}
    assert named - set(FIELD_WORDS) - set(VALUE_WORDS) - PLAIN == set()


def test_no_two_fields_are_called_the_same() -> None:
    assert len(set(FIELD_WORDS.values())) == len(FIELD_WORDS)


def test_names_of_fields_become_words_and_ids_stay() -> None:
    assert in_window_words("Say it in 'order_if'") == "Say it in “order if”"
    assert in_window_words("'alt' is to be written") == (
        "“words for who cannot see the picture” is to be written"
    )
    assert in_window_words("'order: never'") == "“order: never”"
    assert in_window_words("'text' goes back", {"text"}) == "'text' goes back"
    assert in_window_words("'axle-nut' goes back") == "'axle-nut' goes back"
    assert field_words("limits_of_use") == "limits of use"


def test_the_list_of_remarks_speaks_so(window: BenchWindow, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: bool(window.remarks_view.remarks), timeout=10_000)
    shown = [item.text(0) for item in window.remarks_view._items()]
    assert shown
    assert not [text for text in shown if "'alt'" in text or "_" in text.replace("bench_", "")]
