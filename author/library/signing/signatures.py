"""The file of one signed act: canonical JSON (RFC 8785), Ed25519 (RFC 8032).

``{"signature": …, "signed": {…}}`` and a line end. What is signed is the canonical JSON
of ``signed`` after the name of its form, so that an act of one form is never taken for
one of another. A file that is not exactly these bytes is not accepted.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Generic, TypeVar

from pydantic import Field, ValidationError

from author.contract.canonical_json import canonical
from author.errors import InputError
from author.library.signing.keys import PublicKey, Signer, signed_by
from author.library.signing.manifest import KeyAct, ProcedureAct
from author.procedure.values import Node
from author.storage import file_error

AnyAct = TypeVar("AnyAct", KeyAct, ProcedureAct)
_MOST_BYTES = 8 * 1024 * 1024
Signature = Annotated[str, Field(pattern=r"^[0-9a-f]{128}$")]


@dataclass(frozen=True, slots=True)
class SignedAct(Generic[AnyAct]):
    """An act with its signature, as it lies in a file.

    Attributes:
        act: what was signed.
        sha256: SHA-256 of the whole file, by which the next act names it.
        genuine: whether the signature is by the key that the act names.
    """

    act: AnyAct
    sha256: str
    genuine: bool


@dataclass(frozen=True, slots=True)
class Signing:
    """What was signed.

    Attributes:
        entry: the act.
        file: its file.
        notes: what the signer should know, one sentence each.
    """

    entry: SignedAct[ProcedureAct]
    file: Path
    notes: tuple[str, ...]


class _KeyFile(Node):
    signature: Signature
    signed: KeyAct


class _ProcedureFile(Node):
    signature: Signature
    signed: ProcedureAct


def act_file(act: KeyAct | ProcedureAct) -> str:
    """Return what the file of an act is called: ``0003-approved.json``."""
    return f"{act.number:04d}-{act.purpose}.json"


def signed_bytes(act: KeyAct | ProcedureAct, signer: Signer) -> bytes:
    """Return the file of an act, signed.

    Raises:
        InputError: if a text in it has a code point that is no character.
    """
    signature = signer.sign(_to_sign(act)).hex()
    return _file_bytes(act, signature)


def read_act(data: bytes, model: type[AnyAct]) -> SignedAct[AnyAct] | None:
    """Read the bytes of an act's file.

    Args:
        data: the file.
        model: the form it has to be of.

    Returns:
        None if it is not exactly what the program would have written.
    """
    holder = _KeyFile if model is KeyAct else _ProcedureFile
    try:
        read = holder.model_validate_json(data)
        same = _file_bytes(read.signed, read.signature) == data
    except (ValidationError, InputError):
        return None
    if not same or not isinstance(read.signed, model):
        return None
    key = PublicKey(bytes.fromhex(read.signed.key))
    genuine = signed_by(key, bytes.fromhex(read.signature), _to_sign(read.signed))
    return SignedAct(read.signed, hashlib.sha256(data).hexdigest(), genuine)


def read_act_file(file: Path) -> bytes:
    """Return the bytes of an act's file; too long a one is cut, and then no act.

    Raises:
        InputError, MachineError: if it cannot be read.
    """
    try:
        with file.open("rb") as stream:
            return stream.read(_MOST_BYTES)
    except OSError as error:
        raise file_error(error, file) from error


def _to_sign(act: KeyAct | ProcedureAct) -> bytes:
    return f"reelwright {act.form}\n".encode() + canonical(_plain(act))


def _file_bytes(act: KeyAct | ProcedureAct, signature: str) -> bytes:
    return canonical({"signature": signature, "signed": _plain(act)}) + b"\n"


def _plain(act: KeyAct | ProcedureAct) -> dict[str, object]:
    return act.model_dump(mode="json", exclude_none=True)
