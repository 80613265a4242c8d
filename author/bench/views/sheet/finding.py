"""Finds the field that stands for a place of the document."""

from __future__ import annotations

from itertools import takewhile
from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QWidget

from author.bench.fields import Address
from author.bench.places import read
from author.bench.views.sheet.forms import places_in
from author.editing import path_of
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.steps import Hazard

if TYPE_CHECKING:
    from author.bench.session import Session


def nearest_field(session: Session, root: QWidget, at: Address) -> QWidget | None:
    """Return the field below a widget that stands for a place, or for the most of its address.

    Args:
        session: whose document.
        root: where to look.
        at: path or address of the place; it need not be there.
    """
    wanted = _with_gap(session.procedure, _path(session.procedure, at))
    best: QWidget | None = None
    most = -1
    for place, found in places_in(root):
        if place.at is None:
            continue
        shared = _shared(_path(session.procedure, place.at), wanted)
        if shared > most:
            best, most = found, shared
    return best


def _with_gap(procedure: Procedure, path: Address) -> Address:
    """Return the path of what is missing in a hazard message, where it is the message's own."""
    found = read(procedure, path)
    if isinstance(found, Hazard) and found.consequence is None and found.signal != "NOTICE":
        return (*path, "consequence")
    return path


def _path(procedure: Procedure, at: Address) -> Address:
    """Return the path of an address, as far as there is one."""
    for length in range(len(at), 0, -1):
        try:
            return (*path_of(procedure, at[:length]), *at[length:])
        except InputError:
            continue
    return at


def _shared(one: Address, other: Address) -> int:
    pairs = zip(one, other, strict=False)
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], pairs))
