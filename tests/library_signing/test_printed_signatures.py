"""The front page prints who signed with a key, as long as the signature holds."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from author.contract import read_procedure
from author.procedure.document import Procedure
from author.publish.signatures import signature_rows
from author.tasks.key_signatures import key_signatures

from .bench_shop import AUTHOR, BenchShop


@pytest.fixture
def printed(approved: BenchShop) -> Procedure:
    return read_procedure(approved.file).procedure


def test_author_and_reviewer_stand_there_with_name_and_day(
    approved: BenchShop, printed: Procedure
) -> None:
    found = key_signatures(approved.procedure, printed)
    told = {(one.role, one.name, one.date) for one in found}
    assert ("Author", "A. Author", "2026-09-14") in told
    assert ("Reviewer", "R. Reviewer", "2026-09-14") in told
    assert any(one.what == "approved, with a key" for one in found)
    assert all(row["what"] for row in signature_rows(printed, found))


def test_what_was_changed_since_is_printed_as_not_signed(
    approved: BenchShop, printed: Procedure
) -> None:
    text = approved.file.read_text(encoding="utf-8")
    approved.file.write_text(text.replace("title: ", "title: Other ", 1), encoding="utf-8")
    assert key_signatures(approved.procedure, printed) == ()
    rows = signature_rows(printed, ())
    assert [row["what"] for row in rows] == [None, None]


def test_another_revision_is_not_signed(draft: BenchShop) -> None:
    draft.sign("authored", AUTHOR)
    procedure = read_procedure(draft.file).procedure
    assert len(key_signatures(draft.procedure, procedure)) == 1
    later = procedure.model_copy(update={"revision": procedure.revision + 1})
    assert key_signatures(draft.procedure, later) == ()


def test_outside_a_library_nothing_is_signed_with_a_key(
    approved: BenchShop, printed: Procedure, tmp_path: Path
) -> None:
    alone = tmp_path / "procedures" / approved.procedure.name
    shutil.copytree(approved.procedure, alone)
    assert key_signatures(alone, printed) == ()
