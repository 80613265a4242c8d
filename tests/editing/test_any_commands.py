"""Whatever is done can be undone and done again, and every snapshot is a document."""

import tempfile
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from author.contract import parse_procedure
from author.contract.procedure_file import read_procedure
from author.editing import open_document
from author.editing.history import State
from author.editing.journal_file import read_journal
from author.editing.records import rebuild
from author.editing.saving import text_of
from author.errors import InputError
from author.procedure.document import Procedure
from editing.opened import EVERYTHING, same, text
from editing.wishes import command

COMMENTED = EVERYTHING.read_text(encoding="utf-8").replace(
    "\n  - id: ", "\n  # of this one\n  - id: "
)


class AnyCommands(RuleBasedStateMachine):
    """One document under random commands."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        file = Path(self.folder.name) / "procedure.yaml"
        file.write_text(COMMENTED, encoding="utf-8")
        self.patch = pytest.MonkeyPatch()
        self.patch.setenv("REELWRIGHT_STATE", self.folder.name)
        self.document = open_document(file, bound=10_000)
        self.first = self.document._state
        self.snapshot = self.document.procedure
        self.words = text(self.snapshot)
        self.told: list[tuple[Procedure, Procedure]] = []
        self.document.on_change(lambda before, after, _entry: self.told.append((before, after)))

    @rule(data=st.data(), merge=st.sampled_from([None, None, "drag"]))
    def do(self, data: st.DataObject, merge: str | None) -> None:
        before = self.document.procedure
        try:
            change = self.document.do(command(data, before), merge)
        except InputError:
            assert self.document.procedure is before
            return
        assert change.before is before
        assert change.after is self.document.procedure
        assert (change.entry is None) == (change.after is before)
        assert not _copied(before, change.after)

    @rule(data=st.data(), count=st.integers(1, 3), broken=st.booleans())
    def gesture(self, data: st.DataObject, count: int, broken: bool) -> None:
        before, entries = self.document.procedure, len(self.document.history)
        try:
            with self.document.gesture("Several at once"):
                for _ in range(count):
                    self.document.do(command(data, self.document.procedure))
                if broken:
                    raise InputError("broken off")
        except InputError:
            assert self.document.procedure is before
            assert len(self.document.history) == entries
        else:
            assert len(self.document.history) - entries in (0, 1)

    @precondition(lambda self: self.document.can_undo)
    @rule()
    def undo(self) -> None:
        change = self.document.undo()
        assert change.after is self.document.procedure

    @precondition(lambda self: self.document.can_redo)
    @rule()
    def redo(self) -> None:
        assert self.document.redo().after is self.document.procedure

    @invariant()
    def is_a_document(self) -> None:
        if self.document.procedure is self.snapshot:
            return
        self.snapshot = self.document.procedure
        data = text_of(State(self.snapshot), self.document.file)
        assert same(parse_procedure(data, self.document.file).procedure, self.snapshot)

    @invariant()
    def every_change_is_told(self) -> None:
        for (_, after), (before, _) in zip(self.told, self.told[1:], strict=False):
            assert after is before

    def teardown(self) -> None:
        try:
            self._there_and_back()
        finally:
            self.document.close()
            self.patch.undo()
            self.folder.cleanup()

    def _there_and_back(self) -> None:
        document, last = self.document, self.document._state
        assert document._journal is not None
        assert document._journal.flush()
        assert document.journal_problem is None
        if document._journal.path.exists():
            found = rebuild(read_journal(document._journal.path.read_bytes()), document.file)
            assert not found.damaged
            assert same(found.state.procedure, last.procedure)
            assert [e.label for e in found.history.done] == [e.label for e in document.history]
            now, then = text_of(last, document.file), text_of(found.state, document.file)
            assert (now == then) is True, "comments are found again"
        while document.can_redo:
            document.redo()
        last = document._state
        while document.can_undo:
            document.undo()
        assert document.procedure is self.first.procedure
        assert document._state.comments == self.first.comments
        assert (text(document.procedure) == self.words) is True, "no snapshot was changed"
        assert not document.dirty
        while document.can_redo:
            document.redo()
        assert document.procedure is last.procedure


def _copied(before: Procedure, after: Procedure) -> list[str]:
    """Ids of steps that are as they were and yet another object."""
    old = {placed.step.id: placed.step for placed in before.placed_steps()}
    return [
        placed.step.id
        for placed in after.placed_steps()
        if placed.step == old.get(placed.step.id)
        and placed.step is not old[placed.step.id]
        and placed.step.model_dump_json() == old[placed.step.id].model_dump_json()
    ]


AnyCommands.TestCase.settings = settings(deadline=None, max_examples=12, stateful_step_count=20)
TestAnyCommands = AnyCommands.TestCase


def test_the_sample_has_comments_to_keep() -> None:
    loaded = read_procedure(EVERYTHING)
    assert COMMENTED.count("# of this one") > 10
    assert loaded.procedure.sections
