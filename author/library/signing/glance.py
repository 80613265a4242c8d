"""A glance at procedures that say they are approved: was the text changed since it was signed?

The newest act about the state of a revision is held against the stored bytes of its procedure
file and of its sign-offs, and no more. Whether the whole history holds, and stills and clips with
it, an audit says.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from pathlib import Path

from author.contract.procedure_file import PROCEDURE_FILE
from author.contract.reading import read_bytes
from author.contract.review_file import REVIEW_FILE
from author.errors import InputError
from author.library.shop import REVISIONS, Shop
from author.library.signing.history import HISTORY, SIGNATURES
from author.library.signing.manifest import ProcedureAct, digest_of, stated, with_state
from author.library.signing.people import Keyring, read_keyring
from author.library.signing.signatures import SignedAct, read_act, read_act_file
from author.library.signing.states import STATES, WORKED_ON, words

NOT_LOOKED_AT = (
    "Procedure file and sign-offs were held against the newest signature; stills, clips and "
    "earlier signatures were not: 'reelwright library audit' does that"
)
"""What somebody is to know who is shown a state without a doubt."""


def has_keys(shop: Shop) -> bool:
    """Whether a library has a history of keys, so that its states are held against signatures."""
    return any((shop.folder / HISTORY).glob("*.json"))


def doubts_about(shop: Shop, places: Iterable[tuple[str, int]]) -> dict[str, str]:
    """Return why the state that procedures say is not to be relied on, by their places.

    Those about which there is no doubt are left out; so are all in a library without keys, and
    drafts and what is in review, which may change.

    Args:
        shop: the library.
        places: place below the folder of procedures, and revision, of each.

    Raises:
        MachineError: if a file cannot be read.
    """
    try:
        keyring = read_keyring(shop.folder)
    except InputError as error:
        return {place: f"the keys cannot be read: {error.problem}" for place, _ in places}
    if not keyring.history.entries:
        return {}
    found = {}
    for place, revision in places:
        try:
            said = _doubt(shop.procedures.joinpath(*place.split("/")), revision, keyring)
        except InputError:
            said = "its signatures cannot be read"
        if said is not None:
            found[place] = said
    return found


def _doubt(folder: Path, revision: int, keyring: Keyring) -> str | None:
    data = read_bytes(folder / PROCEDURE_FILE)
    says = stated(data)
    if says is None or says in WORKED_ON:
        return None
    top = folder.parents[1] if folder.parent.name == REVISIONS else folder
    entry = _ruling(top / SIGNATURES, revision)
    if entry is None:
        return "nobody has signed that"
    act = entry.act
    admitted = any(act.key in holders for holders in keyring.after)
    if not (entry.genuine and admitted and act.library == keyring.founded):
        return "its signature does not hold"
    as_signed = with_state(data, act.state)
    if as_signed is None or (
        hashlib.sha256(as_signed).hexdigest() != act.files.get(PROCEDURE_FILE)
    ):
        return "changed since it was signed"
    if act.state != says:
        return f"by its history it is {words(act.state)}"
    if digest_of(folder, REVIEW_FILE) != act.files.get(REVIEW_FILE):
        return "its sign-offs were changed since it was signed"
    return None


def _ruling(folder: Path, revision: int) -> SignedAct[ProcedureAct] | None:
    """Return the newest act about the state of a revision, None if there is none."""
    if folder.is_symlink() or not folder.is_dir():
        return None
    names = [path for path in folder.iterdir() if path.suffix == ".json" and not path.is_symlink()]
    for path in sorted(names, key=lambda path: path.name, reverse=True):
        if path.stem.partition("-")[2] not in STATES:
            continue
        read = read_act(read_act_file(path), ProcedureAct)
        if read is not None and read.act.revision == revision and read.act.purpose in STATES:
            return read
    return None
