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
from author.errors import InputError
from author.library.quick_reader import read_document
from author.library.shop import REVISIONS, Shop
from author.procedure.document import Procedure
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
    state: str
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
        published: what is published of it; None of an older revision, or if nothing is.
        behind: whether the work page was published before the last change of the file.
        key: by what all of this is known.
    """

    head: Head
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
        revision: number of an older revision; None for the one that is in force.

    Raises:
        NotHereError: if the library does not hold it.
        InputError: if its file is wrong.
        MachineError: if it cannot be read.
    """
    with _opened(shop, procedure, revision) as stream:
        published = None if revision is not None else publication_of(shop, procedure)
        key = _key(stream, published)
        known: Made | None = _SHOWN.get(key)
        if known is None:
            known = _make(shop, stream, published)
            take(known)
    return View(known.head, published, known.behind, key, known.packed)


def make(shop: Shop, procedure: str) -> Made:
    """Return what is shown of a procedure in force, made anew; ``take`` has it shown.

    Raises:
        NotHereError, InputError, MachineError: as ``view_of`` does.
    """
    with _opened(shop, procedure, None) as stream:
        return _make(shop, stream, publication_of(shop, procedure))


def take(made: Made) -> None:
    """Have something shown that was made, for as long as its files stay as they were."""
    _SHOWN.put(made.key, made, len(made.packed) + _BESIDE_BODY)


def has_room() -> bool:
    """Whether more can be made without what is made already being forgotten."""
    return not _SHOWN.is_filling


def _make(shop: Shop, stream: BufferedReader, published: Publication | None) -> Made:
    key = _key(stream, published)
    one = _read(stream)
    packed = zlib.compress(_body(one, published).encode(), _FAST)
    return Made(key, _head(one), is_behind(shop, published, one), packed)


def _key(stream: BufferedReader, published: Publication | None) -> Key:
    """Return by what the files that a page is made of are known; the same in each process."""
    shown = ""
    if published is not None:
        files = sorted(published.files.items())
        state = published.folder, published.revision, published.state, published.draft
        shown = hashlib.sha256(repr((files, state)).encode()).hexdigest()
    return (*known_by(os.fstat(stream.fileno())), shown)


def known_as(shop: Shop, procedure: str) -> Key:
    """Return by what the content of the file of a procedure in force is known.

    Raises:
        NotHereError: if the library does not hold it.
        MachineError: if it cannot be read.
    """
    with _opened(shop, procedure, None) as stream:
        return known_by(os.fstat(stream.fileno()))


def load(shop: Shop, procedure: str) -> Procedure:
    """Return a procedure that is in force.

    Raises:
        NotHereError, InputError, MachineError: as ``view_of`` does.
    """
    with _opened(shop, procedure, None) as stream:
        return _read(stream)


def _opened(shop: Shop, procedure: str, revision: str | None) -> BufferedReader:
    older = () if revision is None else (REVISIONS, revision)
    if not is_id(procedure) or not _is_number(revision):
        raise _no_procedure(procedure)
    try:
        return open_inside(shop.procedures, (procedure, *older, PROCEDURE_FILE))
    except NotHereError:
        raise _no_procedure(procedure) from None


def _head(one: Procedure) -> Head:
    due = one.review.due if one.review else None
    return Head(
        one.id, one.title, one.revision, one.state, one.data, one.notice, one.unit.name,
        one.unit.number, None if due is None else str(due),
    )  # fmt: skip


def _body(one: Procedure, published: Publication | None) -> str:
    return templates().get_template("procedure_body.html.jinja").render(data_of(one, published))


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


def _no_procedure(procedure: str) -> NotHereError:
    return NotHereError(
        f"the library holds no procedure '{procedure[:60]}'", remedy="Look for it with Find"
    )


def data_of(one: Procedure, published: Publication | None) -> Data:
    """Return all that the page shows of a document, and of what is published of it."""
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
        "sections": list(_sections(one, lookup, published)),
        "sources": [list_content.source_data(n, s) for n, s in enumerate(one.sources, 1)],
        "changes": [list_content.change_data(change) for change in reversed(one.changes)],
    }


def _sections(one: Procedure, lookup: Lookup, published: Publication | None) -> Iterator[Data]:
    steps: list[list[Data]] = [[] for _ in one.sections]
    for placed in one.placed_steps():
        data = step_data(placed, lookup, {})
        data["picture"] = _picture(f"{placed.number:02d}-{placed.step.id}", published)
        data["spec_ids"] = [spec.id for spec in placed.step.all_specs()]
        steps[placed.section_index].append(data)
    for section, some in zip(one.sections, steps, strict=True):
        yield {"title": section.title, "steps": some}


def _picture(name: str, published: Publication | None) -> str | None:
    """Return where the still of a step is shown, with its callouts if there are such."""
    for place in (f"stills/{name}.jpg", f"page/stills/{name}.jpg"):
        if published is not None and published.has(place):
            return f"/procedures/{published.procedure}/files/{place}"
    return None


def sheets_of(published: Publication | None) -> list[tuple[str, str, str]]:
    """Return address, name and form of what is published beside the work page."""
    if published is None:
        return []
    base = f"/procedures/{published.procedure}/files"
    return [(f"{base}/{name}", said, form) for name, said, form in _SHEETS if published.has(name)]


def has_page(published: Publication | None) -> bool:
    """Whether there is a work page to follow."""
    return published is not None and published.has(PAGE_FILE)
