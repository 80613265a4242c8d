"""Job records of a library: held against the very procedure they name, and kept whole.

``SHOP/records/<unit>/<key>/`` holds a record byte for byte as it was sent, with who sent it
and when beside it. A folder is built hidden and renamed: it is there whole or not at all, and
it never changes. ``SHOP/records/followed/<SHA-256>.yaml`` keeps the procedure file a record
was made with, so that its limits are known for good, whatever becomes of the procedure.
"""

from __future__ import annotations

import hashlib
import json
import re
import secrets
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from author.checks.job_records import Known, faults_of
from author.checks.record_verdicts import judge_reading, told_of
from author.contract.canonical_json import canonical, canonical_file
from author.contract.procedure_file import as_plain
from author.contract.reading import read_bytes, read_model
from author.errors import FileErrors, InputError
from author.library.index.words import folded
from author.library.locking import writing
from author.library.quick_reader import read_document
from author.library.records.followed import FOLLOWED, Published, find_followed, records_folder
from author.library.records.notes import read_note
from author.library.shop import RECORDS, Shop
from author.library.signing.history import moment
from author.procedure.document import Procedure
from author.procedure.job_record import RECORD_SCHEMA, JobRecord
from author.procedure.values import Fingerprint, Line, Moment, Node
from author.storage import before_step, file_error, flush_folder, replace_file, write_file

__all__ = ["FOLLOWED", "records_folder"]  # told on, beside what is made here

RECORD_FILES = ("record.json", "record.yaml")
SENT_FILE = "sent.json"
RELEASED = "released"
ANSWERS = "answers"
LARGEST = 2 * 1024 * 1024
"""Bytes of a record."""
SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*-[0-9a-f]{16}")
KEY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}-[0-9a-f]{32}")


class Sent(Node):
    """How a record came to the library.

    Attributes:
        form: ``sent-record/1``.
        sent_by: who sent it.
        sent_at: when, by the clock of the library's machine.
        number: counts the records of a unit as they came, whatever the clock says.
        sha256: SHA-256 of the record as it was sent.
    """

    form: Literal["sent-record/1"]
    sent_by: Line
    sent_at: Moment
    number: Annotated[int, Field(ge=1)]
    sha256: Fingerprint


@dataclass(frozen=True, slots=True)
class KeptRecord:
    """A record that is in the library.

    Attributes:
        slug: name of the folder of its unit.
        key: name of its own folder.
        record: the record.
        procedure: the procedure as it was followed.
        sent: how it came.
        file: the record as it was sent.
    """

    slug: str
    key: str
    record: JobRecord
    procedure: Procedure
    sent: Sent
    file: Path

    def notes(self) -> tuple[str, ...]:
        """Return what has to be told beside it: see ``author.checks.record_verdicts``."""
        known = Known.of(self.procedure)
        judged = [judge_reading(one, self.record, known) for one in self.record.readings]
        told = told_of(self.record, judged, known, self.record.content)
        return (*told, *self._ahead(), *self._before())

    def _ahead(self) -> Iterator[str]:
        """Yield that the work began after the record came; within a day clocks may differ."""
        began, sent = (datetime.fromisoformat(at) for at in (self.record.began, self.sent.sent_at))
        if began - sent > timedelta(days=1):
            yield (
                f"The work is said to have begun on {self.record.began[:10]}, and the record came "
                f"before that, on {self.sent.sent_at[:10]}"
            )

    def _before(self) -> Iterator[str]:
        """Yield that the work began before the revision it goes by was written."""
        changes = self.procedure.changes
        days = [one.date for one in changes if one.revision == self.procedure.revision]
        began = self.record.began[:10]
        if days and began < min(days):
            yield (
                f"The work is said to have begun on {began}, and revision "
                f"{self.procedure.revision} was written after that, on {min(days)}"
            )


@dataclass(frozen=True, slots=True)
class Keeping:
    """What became of a record that was sent.

    Attributes:
        kept: the record in the library.
        did: ``new``, or ``had`` where the library had it already.
        near: units of the library that are spelled almost like its own, name and serial number.
        otherwise: what other states of its job have to do with it, a sentence each.
    """

    kept: KeptRecord
    did: Literal["new", "had"]
    near: tuple[str, ...] = ()
    otherwise: tuple[str, ...] = ()

    @property
    def notes(self) -> tuple[str, ...]:
        """What has to be told beside it, a sentence each without full stop."""
        told = (*self.otherwise, *self.kept.notes())
        if not self.near:
            return told
        record = self.kept.record
        unit = record.unit if record.serial is None else f"{record.unit}, {record.serial}"
        said = f"'{unit}' is a unit of its own, spelled almost like {'; '.join(self.near)}"
        return (*told, said)


def unit_slug(name: str, serial: str | None) -> str:
    """Return the name of a unit's folder: words to read, and digits no other unit has.

    Units whose names differ in case alone, or in signs no file name has, get other digits.
    """
    words = "-".join(re.findall("[a-z0-9]+", folded(f"{name} {serial or ''}")))
    digest = digest_of_values(name, serial)[:16]
    return f"{words[:40].strip('-') or 'unit'}-{digest}"


def digest_of_values(*values: str | None) -> str:
    """Return the SHA-256 of some texts, told apart by their places."""
    return hashlib.sha256(canonical([[] if one is None else one for one in values])).hexdigest()


def job_key(record: JobRecord) -> str:
    """Return what all states of one job share: procedure, unit, begin and first worker."""
    first = record.workers[0].name
    named = (record.procedure.id, record.unit, record.serial, record.began, first)
    return digest_of_values(*named)[:32]


def record_key(record: JobRecord) -> str:
    """Return the name of a record's folder: its day, and the digest of what it says."""
    digest = hashlib.sha256(canonical(as_plain(record))).hexdigest()
    return f"{record.began[:10]}-{digest[:32]}"


def keep_record(
    shop: Shop,
    data: bytes,
    *,
    name: str,
    by: str,
    published: Published,
    procedure: str | None = None,
    now: datetime | None = None,
) -> Keeping:
    """Keep a record, all or nothing; the same record once, however often it is sent.

    Args:
        shop: the library.
        data: the record, JSON or YAML, as it was sent.
        name: what it is called, for errors.
        by: who sends it.
        published: writes a procedure file as publishing does.
        procedure: id of the procedure it has to be of, None for any.
        now: the time; the clock's if None.

    Raises:
        InputError: if it is wrong, or of a procedure or content the library does not know;
            ``FileErrors`` tells several faults at once. Or if the library cannot be written.
        MachineError: if the machine fails; nothing was kept then.
    """
    file = Path(name)
    if len(data) > LARGEST:
        raise InputError(
            f"the record is larger than {LARGEST // 1024 // 1024} MB",
            remedy="Send the record as the work page wrote it",
            file=file,
        )
    record, tree = read_model(data, file, JobRecord, RECORD_SCHEMA)
    if procedure not in {None, record.procedure.id}:
        raise InputError(
            f"this is a record of '{record.procedure.id}', not of '{procedure}'",
            remedy="Send it from the work page of its procedure",
            file=file,
        )
    followed, whole = find_followed(shop, record, published, file)
    faults = []
    for fault in faults_of(record, whole):
        line, column = tree.place(fault.path)
        faults.append(
            InputError(fault.problem, remedy=fault.remedy, file=file, line=line, column=column)
        )
    if faults:
        raise FileErrors(faults)
    with writing(shop):
        try:
            return _put(shop, record, data, followed, by, now)
        except OSError as error:
            raise file_error(error, error.filename or shop.folder) from error


def _put(
    shop: Shop, record: JobRecord, data: bytes, followed: bytes, by: str, now: datetime | None
) -> Keeping:
    top = records_folder(shop)
    slug, key = unit_slug(record.unit, record.serial), record_key(record)
    unit = top / slug
    make_folder(top)
    make_folder(unit)
    if (unit / key).exists():
        return Keeping(read_kept(shop, slug, key), "had")
    _keep_followed(top, record.content, followed)
    number = 1 + sum(bool(KEY.fullmatch(one.name)) for one in unit.iterdir())
    digest = hashlib.sha256(data).hexdigest()
    sent = Sent(form="sent-record/1", sent_by=by, sent_at=moment(now), number=number, sha256=digest)
    built = unit / f".{key}.new-{secrets.token_hex(4)}"
    before_step("make", built)
    built.mkdir()
    try:
        write_file(built / RECORD_FILES[0 if _is_json(data) else 1], data)
        write_file(built / SENT_FILE, canonical_file(sent))
        flush_folder(built)
        before_step("rename", unit / key)
        built.rename(unit / key)
        before_step("renamed", unit / key)
        flush_folder(unit)
    finally:
        shutil.rmtree(built, ignore_errors=True)
    return Keeping(read_kept(shop, slug, key), "new")


def make_folder(folder: Path) -> None:
    """Make a folder of the records, or take out what killed runs left half-written in it.

    The lock of the library is held, so that no such run is alive.

    Raises:
        InputError: if a link stands in its place.
        OSError: if it cannot be made.
    """
    if folder.is_symlink():
        raise InputError("this is a link, not a folder", remedy="Put the folder there", file=folder)
    if not folder.is_dir():
        before_step("make", folder)
        folder.mkdir()
        flush_folder(folder.parent)
    for left in folder.glob(".*.part"):
        left.unlink(missing_ok=True)
    for left in folder.glob(".*.new-????????"):
        shutil.rmtree(left, ignore_errors=True)


def _keep_followed(top: Path, content: str, data: bytes) -> None:
    place = top / FOLLOWED / f"{content}.yaml"
    make_folder(place.parent)
    if not place.exists() or read_bytes(place) != data:
        replace_file(place, data)


def _is_json(data: bytes) -> bool:
    try:
        json.loads(data)
    except (ValueError, RecursionError):
        return False
    return True


def read_kept(shop: Shop, slug: str, key: str) -> KeptRecord:
    """Read a record of the library.

    Args:
        shop: the library.
        slug: name of the folder of its unit.
        key: name of its folder.

    Raises:
        InputError: if there is none, or it is not as it was sent.
        MachineError: if it cannot be read.
    """
    folder = records_folder(shop) / slug / key
    if not (SLUG.fullmatch(slug) and KEY.fullmatch(key) and folder.is_dir()):
        raise InputError(
            "there is no such record",
            remedy="Look for it among the records of its unit",
            file=f"{RECORDS}/{slug[:80]}/{key[:80]}",
        )
    sent = read_note(folder / SENT_FILE, Sent)
    file = next((one for name in RECORD_FILES if (one := folder / name).exists()), folder)
    data = read_bytes(file)
    if file.is_symlink() or hashlib.sha256(data).hexdigest() != sent.sha256:
        raise InputError(
            "this is not the record that was sent", remedy="Bring it back from a copy", file=file
        )
    record, _ = read_model(data, file, JobRecord, RECORD_SCHEMA)
    place = records_folder(shop) / FOLLOWED / f"{record.content}.yaml"
    followed = read_bytes(place)
    if hashlib.sha256(followed).hexdigest() != record.content:
        raise InputError(
            "this is not the procedure file that was followed",
            remedy="Bring it back from a copy",
            file=place,
        )
    return KeptRecord(slug, key, record, read_document(followed, place), sent, file)
