"""Where the index of a library lies: in a file of its own, or in a PostgreSQL database.

``REELWRIGHT_INDEX`` tells it: an address such as ``postgresql://index.shop/reelwright``, or
``sqlite`` for a file on this machine.
"""

from __future__ import annotations

import hashlib
import os
import re
from dataclasses import dataclass

from sqlalchemy import URL, make_url
from sqlalchemy.exc import ArgumentError

from author.errors import InputError
from author.library.index.words import folded
from author.library.shop import Shop

VARIABLE = "REELWRIGHT_INDEX"
HERE = "sqlite"
"""The word for an index of this machine's own."""
_POSTGRES = ("postgresql", "postgres", "postgresql+psycopg")
_SCHEMA = re.compile(r"[a-z_][a-z0-9_]{0,62}")
_SHOWN = ("host", "port", "service")


@dataclass(frozen=True, slots=True)
class Address:
    """A place for an index in PostgreSQL.

    Attributes:
        url: the database, as SQLAlchemy takes it.
        schema: the schema of the library in it.
        told_by: what named it, for messages.
    """

    url: URL
    schema: str
    told_by: str

    @property
    def shown(self) -> str:
        """The address as it may be shown: without a password."""
        query = {key: value for key, value in self.url.query.items() if key in _SHOWN}
        plain = URL.create(
            "postgresql", self.url.username, None, self.url.host, self.url.port,
            self.url.database, query,
        )  # fmt: skip
        return f"{plain.render_as_string()}, schema {self.schema}"


def address_of(shop: Shop) -> Address | None:
    """Return where the index of a library lies; None for a file of this machine's own.

    Raises:
        InputError: if the address is none.
    """
    named = os.environ.get(VARIABLE, "").strip()
    return read_address(named, VARIABLE, shop.sheet.name) if named else None


def read_address(text: str, told_by: str, library: str) -> Address | None:
    """Read the address of an index.

    Args:
        text: as somebody wrote it.
        told_by: where it stands, for the messages.
        library: name of the library; it makes the schema where the address names none.

    Returns:
        The address; None for a file of this machine's own.

    Raises:
        InputError: if it is none, with a remedy.
    """
    if text == HERE:
        return None
    try:
        url = make_url(text)
    except (ArgumentError, ValueError):
        raise _not_one(told_by) from None
    if url.drivername not in _POSTGRES:
        raise _not_one(told_by)
    schema = url.query.get("schema", schema_for(library))
    if not isinstance(schema, str) or not _SCHEMA.fullmatch(schema) or schema.startswith("pg_"):
        raise InputError(
            f"the schema in {told_by} is no plain name",
            remedy="Take small letters, digits and '_', at most 63, a letter first",
        )
    url = url.difference_update_query(["schema"]).set(drivername="postgresql+psycopg")
    return Address(url, schema, told_by)


def schema_for(library: str) -> str:
    """Return the schema of a library whose address names none, made of the library's name."""
    plain = "_".join(re.findall(r"[a-z0-9]+", folded(library)))[:30].strip("_")
    mark = hashlib.sha256(library.encode()).hexdigest()[:8]
    return "_".join(part for part in ("reelwright", plain, mark) if part)


def _not_one(told_by: str) -> InputError:
    return InputError(
        f"{told_by} is no address of an index",
        remedy="Write it like postgresql://user@machine/database, or 'sqlite' for a file here",
    )
