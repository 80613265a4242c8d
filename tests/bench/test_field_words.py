"""What rules say is shown in the words of the window."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from document.examples import EXAMPLES
from document.examples import facts_of as facts_for
from PyQt6.QtCore import Qt
from pytestqt.qtbot import QtBot

from author.bench.field_words import FIELD_WORDS, VALUE_WORDS, field_words, in_window_words
from author.bench.remark_words import RemarkWords, place_words
from author.bench.views import front_matter, list_rows
from author.bench.views.sheet import hazards, points, rows, uses
from author.bench.window import BenchWindow
from author.checks import Remark, all_rules, check
from author.checks.remarks import Rule
from author.contract import read_procedure
from author.procedure.document import Procedure

SNAKE = re.compile(r"\b[a-z]+(?:_[a-z]+)+\b")
QUOTED = re.compile(r"[“']([^“”']+)[”']")
RULES = sorted((EXAMPLES / "invalid" / "rules").glob("*.yaml"))
# What the examples themselves call by words that a file has as well.
MEANT = {"in review"}


def test_the_labels_are_those_of_the_forms() -> None:
    blocks = {
        "parts": list_rows.part_rows(),
        "tools": list_rows.tool_rows(),
        "sources": list_rows.source_rows(),
        "stacks": list_rows.stack_rows(),
        "chains": list_rows.chain_rows(),
        "hazards": hazards.hazard_row().rows,
        "criteria": points._criterion_row().rows,
        "critical_points": points._critical_row().rows,
        "supplies": (*uses.supply_row().rows, *list_rows.supply_rows()),
        "people": front_matter._people_row().rows,
        "findings": front_matter._findings_row().rows,
        "concessions": front_matter._let_row().rows,
        "": front_matter._job_rows(),
    }
    held = 0
    for block, fields in blocks.items():
        for row in fields:
            path = [*filter(None, [block]), *row.path]
            key = path.pop()
            named = f"{path[-1]}.{key}" if path else key
            if named in FIELD_WORDS or key in FIELD_WORDS:
                assert field_words(key, path) == row.words, named
                held += 1
    assert held > 60
    assert isinstance(list_rows.part_rows()[0], rows.Row)


def every_remark() -> Iterator[tuple[Procedure, Remark]]:
    for file in RULES:
        procedure = read_procedure(file).procedure
        for remark in check(procedure, facts_for(procedure)).remarks:
            yield procedure, remark


def test_no_remark_of_any_rule_shows_a_name_of_the_file() -> None:
    """Each rule with its invalid example: labels and names, never keys and ids."""
    keys = {name.rpartition(".")[2] for name in FIELD_WORDS} | set(VALUE_WORDS)
    keys -= {words.casefold() for words in (*FIELD_WORDS.values(), *VALUE_WORDS.values())}
    seen = set()
    for procedure, remark in every_remark():
        words = RemarkWords(procedure)
        shown = (
            words.problem(remark),
            words.remedy(remark),
            remark.rule.why,
            place_words(procedure, remark.path),
        )
        seen.add(remark.rule.id)
        for text in shown:
            assert not SNAKE.search(text), (remark.rule.id, text)
            assert not keys & set(QUOTED.findall(text)), (remark.rule.id, text)
            assert "with the id of" not in text, (remark.rule.id, text)
    assert len(seen) > 60


@pytest.mark.parametrize("rule", all_rules().values(), ids=list(all_rules()))
def test_the_remedy_of_every_rule_is_said_in_the_words_of_the_window(rule: Rule) -> None:
    procedure = read_procedure(RULES[0]).procedure
    said = RemarkWords(procedure).remedy(Remark(rule, rule.why, (), rule.remedy))
    assert not SNAKE.search(said.replace("--media", "")), said
    assert not re.search(r"\bspecs?\b|'[a-z_]+'", said), said


def test_names_of_fields_become_labels_and_ids_the_names_of_entries() -> None:
    assert (
        in_window_words("'alt' is still to be written") == "“What it shows” is still to be written"
    )
    assert in_window_words("'order: never'") == "“Order: never”"
    assert in_window_words("'what' is open", ("criteria",)) == "“What is meant” is open"
    assert in_window_words("'what' is open", ("critical_points",)) == "“What must be right” is open"
    named = {"text": "“Long cover”", "nut-off": "step 3"}
    assert in_window_words("'text' goes back", (), named, fields_first=False) == (
        "“Long cover” goes back"
    )
    assert (
        in_window_words("the clip of step 'nut-off' ends", (), named) == "the clip of step 3 ends"
    )


def test_a_point_is_called_by_what_is_looked_for() -> None:
    procedure = read_procedure(EXAMPLES / "invalid/rules/point-without-source.yaml").procedure
    remarks = check(procedure, facts_for(procedure)).remarks
    remark = next(one for one in remarks if one.rule.id == "review.no_source")
    point = next(point for _, path, point in procedure.placed_points() if path == remark.path)
    said = RemarkWords(procedure).problem(remark)
    assert point.id not in said
    assert said.startswith("“") and said.endswith("names no source")


def test_the_list_of_remarks_speaks_so(window: BenchWindow, qtbot: QtBot) -> None:
    view = window.remarks_view
    qtbot.waitUntil(lambda: bool(view.remarks), timeout=10_000)
    view._fill()
    places = [view._rows.place_of(one) for one in view.remarks]
    shown = [str(place.data(Qt.ItemDataRole.ToolTipRole)) for place in places]
    assert any("“What it shows” is still to be written" in text for text in shown)
    assert not [text for text in shown if SNAKE.search(text)]


def test_no_example_is_left_out() -> None:
    assert all(isinstance(file, Path) for file in RULES) and len(RULES) > 80
