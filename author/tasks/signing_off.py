"""Say of numbers and critical points that they are accepted or queried, beside the procedure."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from difflib import get_close_matches
from pathlib import Path

from author.contract import LoadedProcedure, read_procedure
from author.contract.review_file import REVIEW_FILE, read_review, write_review
from author.errors import InputError
from author.library.locking import one_writer, writing
from author.library.shop import LOCK, shop_around
from author.library.signing.given_states import given_by
from author.library.signing.known_people import KEEPER, people_of
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
from author.publish.glyphs import refuse_missing
from author.storage import file_sha256


@dataclass(frozen=True, slots=True)
class SignedOff:
    """What was written.

    Attributes:
        file: the file of sign-offs.
        points: ids said something of, in the order of the document.
        open: ids that nobody has accepted as they are now, and nobody has queried.
        queried: the queries that nobody has settled.
        left: ids that were left alone because they are queried.
        out_of_use: whether a library with keys approved it on other sign-offs than these are now.
    """

    file: Path
    points: tuple[str, ...]
    open: tuple[str, ...]
    queried: tuple[SignOff, ...] = ()
    left: tuple[str, ...] = ()
    out_of_use: bool = False


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
        InputError: if a point is not there, the person wrote the procedure, somebody else's
            query has no answer, or what is said has characters that paper cannot show.
        MachineError: if the file cannot be written.
    """
    told = (("the name", by), ("the role", role), ("the query", query), ("the answer", answer))
    refuse_missing((place, text) for place, text in told if text is not None)
    with _held(read_procedure(path).file.parent):
        said = _Said(by, role, query, answer, (day or date.today()).isoformat())
        loaded = read_procedure(path)
        done = _sign_off(loaded, points, said)
        return replace(done, out_of_use=_is_out_of_use(loaded, done.file))


def _is_out_of_use(loaded: LoadedProcedure, review: Path) -> bool:
    """Whether a library with keys has approved a procedure on sign-offs that were other ones."""
    folder = loaded.file.parent
    shop = shop_around(folder)
    # By its place in the library: a path from where somebody stands is none below it.
    given = None if shop is None else given_by(shop, shop.place_of(folder.resolve().name))
    if given is None or not given.keyed or given.state(loaded.procedure) != "approved":
        return False
    approving = [act for act in given.acts if act.purpose == "approved"][-1]
    return approving.files.get(REVIEW_FILE) != file_sha256(review)


def take_back_sign_offs(
    path: Path, points: Sequence[str], *, by: str, of: str | None = None
) -> SignedOff:
    """Take out what somebody said of points, as if it had not been said.

    Args:
        path: the procedure's folder or file.
        points: ids of the points; every one that the person said something of, if empty.
        by: who takes it back: whoever said it, or a keeper of the library.
        of: whose word it is; that of ``by`` if None.

    Raises:
        InputError: if that person said nothing of a point, or it is not for ``by`` to take back.
        MachineError: if the file cannot be written.
    """
    with _held(read_procedure(path).file.parent):
        loaded = read_procedure(path)
        folder, whose = loaded.file.parent, of or by
        if same_name(whose) != same_name(by):
            _hold_keeper(folder, by)
        sheet = read_review(folder)
        there = sheet.sign_offs if sheet is not None else ()
        theirs = [one for one in there if same_name(one.by) == same_name(whose)]
        said = tuple(dict.fromkeys(one.point for one in theirs))
        missing = next((name for name in points if name not in said), None)
        if sheet is None or not said or missing is not None:
            what = f"'{missing[:48]}'" if missing else "any point"
            raise InputError(
                f"{whose} has said nothing of {what}",
                remedy="'reelwright specs' tells who signed what",
                file=folder / REVIEW_FILE,
            )
        gone = [one for one in theirs if one.point in points or not points]
        left = tuple(one for one in there if one not in gone)
        sheet = sheet.model_copy(update={"sign_offs": left})
        done = _done(loaded, sheet, tuple(points) or said)
        return replace(done, out_of_use=_is_out_of_use(loaded, done.file))


def _hold_keeper(folder: Path, name: str) -> None:
    """Refuse whoever takes back another's word and keeps no library that it stands in."""
    shop = shop_around(folder)
    person = people_of(shop).of(name) if shop is not None else None
    if person is None or KEEPER not in person.roles:
        raise InputError(
            f"{name} is no keeper of a library that this stands in",
            remedy="Have it taken back by whoever said it, or by a keeper",
        )


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
    return replace(_done(loaded, sheet, tuple(chosen)), left=left)


def _done(loaded: LoadedProcedure, sheet: ReviewSheet, points: tuple[str, ...]) -> SignedOff:
    """Write a sheet and return what is to tell of it."""
    known = {point.id for _, _, point in loaded.procedure.placed_points()}
    queried = tuple(one for one in sheet.queries() if one.point in known)
    file = write_review(loaded.file.parent, sheet)
    return SignedOff(file, points, _open(loaded.procedure, sheet), queried)


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
