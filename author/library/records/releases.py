"""Releases: who let a unit go back into use, in which role, when and why.

``SHOP/records/<unit>/released/<finding>.json`` is written once and never changed. While it is
not there, the finding is open.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from author.contract.canonical_json import canonical_file
from author.errors import InputError
from author.library.locking import writing
from author.library.records.keeping import RELEASED, make_folder, records_folder
from author.library.records.notes import read_note
from author.library.shop import Shop
from author.library.signing.history import moment
from author.library.signing.known_people import KEEPER
from author.procedure.review import same_name
from author.procedure.values import Line, Moment, Node
from author.storage import file_error, replace_file

FINDING = re.compile(r"[0-9a-f]{24}")
_REVIEWER = "reviewer"
_AS_STATED = " (as stated)"
FindingId = Annotated[str, Field(pattern=r"^[0-9a-f]{24}$")]


class Release(Node):
    """A finding that somebody has released.

    Attributes:
        form: ``release/1``.
        finding: which finding, by its id.
        what: what was wrong.
        by: who released it.
        role: in which role; ``(as stated)`` behind it where the library knew nobody.
        at: when, by the clock of the library's machine.
        why: why the unit may be used again.
    """

    form: Literal["release/1"]
    finding: FindingId
    what: Line
    by: Line
    role: Line
    at: Moment
    why: Line


@dataclass(frozen=True, slots=True)
class Releaser:
    """Somebody who wants to release a finding.

    Attributes:
        name: who they are.
        roles: what they are in the library.
        trades: what they are in the shop, as procedures name roles: ``Supervisor``.
        as_stated: whether the trades are their own word, because the library knows nobody.
    """

    name: str
    roles: Sequence[str] = ()
    trades: Sequence[str] = ()
    as_stated: bool = False

    def role_for(self, named: str | None) -> str | None:
        """Return in which role they may release a finding, None if they may not.

        Args:
            named: the role that the procedure names, in words; None if it names none, so that
                only a keeper may.
        """
        if named is not None:
            wanted = same_name(named) or named
            ways = (*self.trades, *(one for one in self.roles if one == _REVIEWER))
            fitting = (one for one in ways if (same_name(one) or one) == wanted)
            found = next(fitting, None)
            if found is not None:
                return f"{found}{_AS_STATED if self.as_stated else ''}"
        return KEEPER if KEEPER in self.roles else None


def release(
    shop: Shop,
    slug: str,
    findings: Sequence[tuple[str, str]],
    releaser: Releaser,
    named: str | None,
    why: str,
    now: datetime | None = None,
) -> tuple[Release, ...]:
    """Release findings of a unit that are the same defect, seen in one job after another.

    The newest comes last, so that a run that is killed leaves the defect open.

    Args:
        shop: the library.
        slug: name of the folder of the unit.
        findings: id and words of each, the oldest first.
        releaser: who releases.
        named: the role that may, by the procedure, in words.
        why: why the unit may be used again.
        now: the time; the clock's if None.

    Returns:
        The releases; those that were there already as they were.

    Raises:
        InputError: if they may not, or the library cannot be written.
        MachineError: if the machine fails.
    """
    role = releaser.role_for(named)
    if role is None:
        wanted = f"{named}, or a keeper" if named else "a keeper"
        remedy = f"Ask {wanted}"
        if releaser.as_stated and named:
            remedy = f"Ask {wanted}; say with --role in which role you release"
        elif releaser.as_stated:
            remedy = "Name a keeper under 'people' in library.yaml, and ask them"
        raise InputError(
            f"'{releaser.name}' may not release this: it takes {wanted}", remedy=remedy
        )
    at = moment(now)
    folder = records_folder(shop) / slug / RELEASED
    done = []
    with writing(shop):
        try:
            make_folder(folder)
        except OSError as error:
            raise file_error(error, folder) from error
        for finding, what in findings:
            file = folder / f"{finding}.json"
            if not file.exists():
                one = Release(
                    form="release/1", finding=finding, what=what, by=releaser.name,
                    role=role, at=at, why=why,
                )  # fmt: skip
                replace_file(file, canonical_file(one))
            done.append(read_note(file, Release))
    return tuple(done)


def read_release(file: Path) -> Release:
    """Read a release.

    Raises:
        InputError: if it is not as it was written, or of another finding than its name says.
        MachineError: if it cannot be read.
    """
    one = read_note(file, Release)
    if one.finding != file.stem:
        raise InputError(
            "this is the release of another finding", remedy="Bring it back from a copy", file=file
        )
    return one
