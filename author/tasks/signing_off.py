"""Say of numbers and critical points that they are accepted or queried, beside the procedure."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from pathlib import Path

from author.contract import LoadedProcedure, read_procedure
from author.contract.review_file import read_review, write_review
from author.errors import InputError
from author.library.locking import one_writer, writing
from author.library.shop import LOCK, shop_around
from author.procedure.document import Procedure
from author.procedure.review import (
    REVIEW_SCHEMA,
    ReviewSheet,
    SignOff,
    authors_of,
    point_content,
    said_of,
    same_name,
)


@dataclass(frozen=True, slots=True)
class SignedOff:
    """What was written.

    Attributes:
        file: the file of sign-offs.
        points: ids said something of, in the order of the document.
        open: ids that nobody has accepted as they are now, and nobody has queried.
        queried: the queries that nobody has settled.
        left: ids that were left alone because they are queried.
    """

    file: Path
    points: tuple[str, ...]
    open: tuple[str, ...]
    queried: tuple[SignOff, ...] = ()
    left: tuple[str, ...] = ()


def sign_off(
    path: Path,
    points: Sequence[str],
    *,
    by: str,
    role: str,
    query: str | None = None,
    answer: str | None = None,
    day: date | None = None,
) -> SignedOff:
    """Write that somebody accepts or queries points of a procedure, as they are now.

    Sign-offs of an earlier revision are not carried over: the sheet begins anew. One that
    says the same as the last of its point, on the same day, is not written again. Who signs at
    the same time waits, so that nobody's word is lost. A query is settled by naming its point:
    where all are accepted, what is queried is left alone.

    Args:
        path: the procedure's folder or file.
        points: ids of specs, critical points and criteria; all of them if empty.
        by: name or initials.
        role: what the person is to the shop.
        query: what is wrong, where the points are queried and not accepted.
        answer: what somebody is told whose query is settled; asked for where it is another's.
        day: the day; today if None.

    Raises:
        InputError: if a point is not there, the person wrote the procedure, or somebody else's
            query has no answer.
        MachineError: if the file cannot be written.
    """
    with _held(read_procedure(path).file.parent):
        said = _Said(by, role, query, answer, (day or date.today()).isoformat())
        return _sign_off(read_procedure(path), points, said)


@contextlib.contextmanager
def _held(folder: Path) -> Iterator[None]:
    """Hold what the sign-offs of a folder are written under: a library's lock, or one beside them.

    Raises:
        InputError: if another run holds it too long, or it cannot be made.
        MachineError: if the disk is full.
    """
    shop = shop_around(folder)
    with writing(shop) if shop else one_writer(folder / LOCK, folder):
        yield


@dataclass(frozen=True, slots=True)
class _Said:
    """Who says what, and when."""

    by: str
    role: str
    query: str | None
    answer: str | None
    day: str

    def of(self, point: str, content: str) -> SignOff:
        return SignOff(
            point=point,
            content=content,
            verdict="accepted" if self.query is None else "queried",
            by=self.by,
            role=self.role,
            date=self.day,
            note=self.answer if self.query is None else self.query,
        )


def _sign_off(loaded: LoadedProcedure, points: Sequence[str], said: _Said) -> SignedOff:
    procedure, folder = loaded.procedure, loaded.file.parent
    known = {point.id: point for _, _, point in procedure.placed_points()}
    for name in points:
        if name not in known:
            close = get_close_matches(name, known, n=1)
            hint = f"Did you mean '{close[0]}'?" if close else "'reelwright specs' lists them"
            raise InputError(f"'{name[:48]}' is no number or critical point", remedy=hint)
    by = said.by
    if same_name(by) in {same_name(author) for author in authors_of(procedure)}:
        raise InputError(
            f"{by} wrote this procedure", remedy="Have somebody else sign it", file=loaded.file
        )
    kept = _kept(read_review(folder), procedure)
    last = {each.point: each for each in kept}
    asked = {each.point: each for each in last.values() if each.verdict == "queried"}
    left = () if points or said.query else tuple(name for name in known if name in asked)
    chosen = [name for name in known if name in points or not (points or name in left)]
    if said.query is None and said.answer is None:
        _hold_answers([asked[name] for name in chosen if name in asked], by)
    fresh = [said.of(name, point_content(procedure, known[name])) for name in chosen]
    new = [each for each in fresh if last.get(each.point) != each]
    sheet = ReviewSheet.model_validate(
        {
            "schema": REVIEW_SCHEMA,
            "procedure": procedure.id,
            "revision": procedure.revision,
            "sign_offs": (*kept, *new),
        }
    )
    queried = tuple(one for one in sheet.queries() if one.point in known)
    open_points = _open(procedure, sheet)
    return SignedOff(write_review(folder, sheet), tuple(chosen), open_points, queried, left)


def _hold_answers(queries: Sequence[SignOff], by: str) -> None:
    """Refuse to settle what somebody else queried without a word to them."""
    for query in queries:
        if same_name(query.by) != same_name(by):
            raise InputError(
                f"{said_of(query)}, and no answer is given",
                remedy="Say what the answer is, with --answer or in the field beside it",
            )


def _kept(sheet: ReviewSheet | None, procedure: Procedure) -> tuple[SignOff, ...]:
    same = sheet and (sheet.procedure, sheet.revision) == (procedure.id, procedure.revision)
    return sheet.sign_offs if sheet and same else ()


def _open(procedure: Procedure, sheet: ReviewSheet) -> tuple[str, ...]:
    latest = sheet.latest()

    def settled(name: str, content: str) -> bool:
        last = latest.get(name)
        return last is not None and (last.verdict == "queried" or last.content == content)

    return tuple(
        point.id
        for _, _, point in procedure.placed_points()
        if not settled(point.id, point_content(procedure, point))
    )
