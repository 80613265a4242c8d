"""What the sheet of a shop library says: the shop's name for it, and its people."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from author.procedure.values import SOME, STATED, Fingerprint, Line, Node

SHOP_SCHEMA = "library/1"

Role = Literal["reader", "author", "reviewer", "keeper"]


class Member(Node):
    """Somebody who works with the library.

    Attributes:
        name: name or initials, as procedures and sign-offs have it.
        roles: what they may do: read, write procedures, review them, keep the library.
        key: public key (Ed25519) their signatures are checked with, if they sign.
    """

    name: Line
    roles: Annotated[tuple[Role, ...], *SOME]
    key: Fingerprint | None = None


class ShopSheet(Node):
    """What ``library.yaml`` says.

    Attributes:
        schema_name: ``library/1``; written as ``schema``, always first.
        name: what the shop calls the library.
        people: those who work with it.
    """

    schema_name: Annotated[Literal["library/1"], Field(alias="schema")]
    name: Line
    people: Annotated[tuple[Member, ...], STATED]
