"""What the page of a procedure shows of its file and of what is published of it."""

from __future__ import annotations

import hashlib
import os
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from io import BufferedReader
from pathlib import Path
from typing import Any

from author.contract.procedure_file import PROCEDURE_FILE
from author.contract.yaml_text import MAX_BYTES
from author.errors import InputError, ReelwrightError
from author.library.quick_reader import read_document
from author.library.shop import REVISIONS, Shop
from author.procedure.document import Procedure, State
from author.publish import list_content
from author.publish.content import labour_text
from author.publish.lookup import Lookup
from author.publish.step_content import hazard_data, step_data
from author.serve.published import (
    PAGE_FILE,
    Publication,
    is_id,
    known_by,
    open_inside,
    publication_of,
)
from author.serve.published_content import is_behind
from author.serve.remembering import Remembered
from author.serve.rendering import NotHereError, templates

Data = dict[str, Any]
Key = tuple[object, ...]
_BESIDE_BODY = 2_000
_SHEETS = (
    ("procedure.pdf", "Print", "PDF"),
    ("record.pdf", "Record sheet", "PDF"),
    ("order.pdf", "Order sheet", "PDF"),
    ("order.csv", "Order sheet", "CSV"),
    ("procedure.yaml", "Procedure for other tools", "YAML"),
    ("procedure.json", "Procedure for other tools", "JSON"),
)
_SHOWN = Remembered(48_000_000)
_HEADS = Remembered(20_000)
_FAST = 1
"""Level at which bodies of pages are packed: most take an eighth of the room then."""


@dataclass(frozen=True, slots=True)
class Head:
    """What the page says of a procedure before its body.

    Attributes:
        id: its id.
        title: its title.
        revision: its revision.
        state: its state.
        data: ``demo`` where it is no real work.
        notice: a sentence printed with the title.
        unit: the machine it applies to.
        number: its number, None without one.
        due: the day by which it has to be looked over, None without one.
    """

    id: str
    title: str
    revision: int
    state: State
    data: str
    notice: str | None
    unit: str
    number: str | None
    due: str | None


@dataclass(frozen=True, slots=True)
class Made:
    """What is made of the files of a procedure for its page.

    Attributes:
        key: by what the files are known.
        head: what is said first.
        behind: whether the work page was published before the last change of the file.
        packed: the rest of the page, as HTML, packed.
    """

    key: Key
    head: Head
    behind: bool
    packed: bytes


@dataclass(frozen=True, slots=True)
class View:
    """A procedure as its file has it, made once for each state of the file.

    Attributes:
        head: what is said first.
        place: name of its folder below ``revisions/``; None of the present revision.
        published: what is published of it, or of another revision; None if nothing is.
        behind: whether the work page was published before the last change of the file.
        key: by what all of this is known.
    """

    head: Head
    place: str | None
    published: Publication | None
    behind: bool
    key: Key
    _packed: bytes

    @property
    def body(self) -> str:
        """The rest of the page, as HTML."""
        return zlib.decompress(self._packed).decode()


def view_of(shop: Shop, procedure: str, revision: str | None = None) -> View:
    """Return what is shown of a procedure of the library.

    The document itself is not kept: hundreds of them would make Python's own searches for
    unused memory take longer than the pages.

    Args:
        shop: the library.
        procedure: its id, as somebody typed it.
        revision: name of the folder of an older revision; None for the present one.

    Raises:
        NotHereError: if the library does not hold it.
        InputError: if its file is wrong.
        MachineError: if it cannot be read.
    """
    with _opened(shop, procedure, revision) as stream:
        head, one = _head_of(stream)
        published = publication_of(shop, procedure, head.revision)
        key = _key(stream, published)
        known: Made | None = _SHOWN.get(key)
        if known is None:
            known = _make(shop, procedure, one or _read(stream), published, key)
            take(known)
    return View(known.head, revision, published, known.behind, key, known.packed)


def head_of(shop: Shop, procedure: str, revision: str | None = None) -> Head:
    """Return what is said first of a procedure.

    Raises:
        NotHereError, InputError, MachineError: as ``view_of`` does.
    """
    with _opened(shop, procedure, revision) as stream:
        return _head_of(stream)[0]


def _head_of(stream: BufferedReader) -> tuple[Head, Procedure | None]:
    """Return the head of a file, and what it holds if it had to be read."""
    known = known_by(os.fstat(stream.fileno()))
    head: Head | None = _HEADS.get(known)
    if head is not None:
        return head, None
    one = _read(stream)
    head = _head(one)
    _HEADS.put(known, head)
    return head, one


def make(shop: Shop, procedure: str) -> Made:
    """Return what is shown of the present revision, made anew; ``take`` has it shown.

    Raises:
        NotHereError, InputError, MachineError: as ``view_of`` does.
    """
    with _opened(shop, procedure, None) as stream:
        one = _read(stream)
        published = publication_of(shop, procedure, one.revision)
        return _make(shop, procedure, one, published, _key(stream, published))


def take(made: Made) -> None:
    """Have something shown that was made, for as long as its files stay as they were."""
    _SHOWN.put(made.key, made, len(made.packed) + _BESIDE_BODY)
    _HEADS.put(made.key[:-1], made.head)


def is_known(shop: Shop, procedure: str) -> bool:
    """Whether the present revision of a procedure was read, and its file stayed as it was.

    So it is, too, where the library does not hold it, or it cannot be read: there is nothing
    to be made.
    """
    try:
        with _opened(shop, procedure, None) as stream:
            return _HEADS.get(known_by(os.fstat(stream.fileno()))) is not None
    except ReelwrightError:
        return True


def has_room() -> bool:
    """Whether more can be made without what is made already being forgotten."""
    return not _SHOWN.is_filling


def _make(shop: Shop, name: str, one: Procedure, published: Publication | None, key: Key) -> Made:
    body = templates().get_template("procedure_body.html.jinja")
    pictures = f"{revision_path(name, one.revision)}/files"
    packed = zlib.compress(body.render(data_of(one, published, pictures)).encode(), _FAST)
    return Made(key, _head(one), is_behind(shop, published, one), packed)


def revision_path(name: str, revision: int) -> str:
    """Return the path of a revision's own page, which what follows it keeps for good."""
    return f"/procedures/{name}/revisions/{revision}"


def _key(stream: BufferedReader, published: Publication | None) -> Key:
    """Return by what the files that a page is made of are known; the same in each process."""
    shown = ""
    if published is not None:
        files = sorted(published.files.items())
        place = *published.within, published.folder
        state = published.revision, published.state, published.draft
        shown = hashlib.sha256(repr((files, place, state)).encode()).hexdigest()
    return (*known_by(os.fstat(stream.fileno())), shown)


def known_as(shop: Shop, procedure: str, revision: str | None = None) -> Key:
    """Return by what the content of the file of a procedure is known.

    Raises:
        NotHereError: if the library does not hold it.
        MachineError: if it cannot be read.
    """
    with _opened(shop, procedure, revision) as stream:
        return known_by(os.fstat(stream.fileno()))


def load(shop: Shop, procedure: str, revision: str | None = None) -> Procedure:
    """Return a procedure: the present revision, or one that is kept.

    Raises:
        NotHereError, InputError, MachineError: as ``view_of`` does.
    """
    with _opened(shop, procedure, revision) as stream:
        return _read(stream)


def _opened(shop: Shop, procedure: str, revision: str | None) -> BufferedReader:
    older = () if revision is None else (REVISIONS, revision)
    if not is_id(procedure) or not _is_number(revision):
        raise _no_procedure(procedure)
    try:
        return open_inside(shop.procedures, (procedure, *older, PROCEDURE_FILE))
    except NotHereError:
        raise _no_procedure(procedure, revision) from None


def _head(one: Procedure) -> Head:
    due = one.review.due if one.review else None
    return Head(
        one.id, one.title, one.revision, one.state, one.data, one.notice, one.unit.name,
        one.unit.number, None if due is None else str(due),
    )  # fmt: skip


def _read(stream: BufferedReader) -> Procedure:
    data = stream.read(MAX_BYTES + 1)  # what is longer the reader refuses
    try:
        return read_document(data, Path(PROCEDURE_FILE))
    except InputError as error:
        line = "" if error.line is None else f", line {error.line}"
        raise InputError(
            f"the file of this procedure is wrong{line}: {error.problem}",
            remedy=error.remedy or "Mend the file",
        ) from error


def _is_number(text: str | None) -> bool:
    return text is None or (text.isascii() and text.isdecimal() and len(text) < 8)


def _no_procedure(procedure: str, revision: str | None = None) -> NotHereError:
    if revision is not None:
        return NotHereError(
            f"the library holds no revision {revision} of '{procedure[:60]}' that can be read",
            remedy="The page of the procedure lists those that it holds",
        )
    return NotHereError(
        f"the library holds no procedure '{procedure[:60]}'", remedy="Look for it with Find"
    )


def data_of(one: Procedure, published: Publication | None, pictures: str) -> Data:
    """Return all that the page shows of a document, and of what is published of it.

    Args:
        one: the procedure.
        published: what is published of it.
        pictures: path below which its published files are shown.
    """
    lookup = Lookup.of(one)
    return {
        "one": one,
        "applies_to": list_content.applies_to(one.unit),
        "labour": labour_text(one.labour_time),
        "people": [
            (person.role, person.count, person.skill, labour_text(person.time))
            for person in one.people
        ],
        "hazards": [hazard_data(hazard) for hazard in one.general_hazards],
        "parts": [list_content.part_data(part, lookup) for part in one.parts],
        "tools": [list_content.tool_data(tool) for tool in one.tools],
        "supplies": [list_content.supply_data(supply, lookup) for supply in one.supplies],
        "before": [
            (entry.what, entry.procedure, list_content.left_off(entry.hands_over, lookup))
            for entry in one.prerequisites
        ],
        "after": [
            (entry.what, entry.procedure, list_content.left_off(entry.discharges, lookup))
            for entry in one.close_outs
        ],
        "findings": [list_content.finding_data(finding, lookup) for finding in one.findings],
        "sections": list(_sections(one, lookup, published, pictures)),
        "sources": [list_content.source_data(n, s) for n, s in enumerate(one.sources, 1)],
        "changes": [list_content.change_data(change) for change in reversed(one.changes)],
    }


def _sections(
    one: Procedure, lookup: Lookup, published: Publication | None, pictures: str
) -> Iterator[Data]:
    steps: list[list[Data]] = [[] for _ in one.sections]
    for placed in one.placed_steps():
        data = step_data(placed, lookup, {})
        data["picture"] = _picture(
            f"{placed.number:02d}-{placed.step.id}", one, published, pictures
        )
        data["spec_ids"] = [spec.id for spec in placed.step.all_specs()]
        steps[placed.section_index].append(data)
    for section, some in zip(one.sections, steps, strict=True):
        yield {"title": section.title, "steps": some}


def _picture(name: str, one: Procedure, published: Publication | None, pictures: str) -> str | None:
    """Return where the still of a step is shown, with its callouts if there are such."""
    if published is None or published.revision != one.revision:
        return None  # a step of that number may be another one
    for place in (f"stills/{name}.jpg", f"page/stills/{name}.jpg"):
        if published.has(place):
            return f"{pictures}/{place}"
    return None


def sheets_of(published: Publication | None, base: str) -> list[tuple[str, str, str]]:
    """Return address, name and form of what is published beside the work page.

    Args:
        published: what is published of a procedure.
        base: path below which its published files are shown.
    """
    if published is None:
        return []
    return [(f"{base}/{name}", said, form) for name, said, form in _SHEETS if published.has(name)]


def has_page(published: Publication | None) -> bool:
    """Whether there is a work page to follow."""
    return published is not None and published.has(PAGE_FILE)
