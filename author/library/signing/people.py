"""Whose signatures count: the library's own history, played through.

``library.yaml`` shows the same names and keys for people to read; it is held against the
history and never believed in its place.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from author.library.shop import SHOP_FILE, Member, ShopSheet
from author.library.signing.history import HISTORY, History, Problem, library_history
from author.library.signing.manifest import NOTHING_BEFORE, KeyAct, KeyHolder, ProcedureAct
from author.library.signing.signatures import act_file


@dataclass(frozen=True, slots=True)
class Keyring:
    """The keys of a library through its history.

    Attributes:
        history: the acts.
        after: after each act, who may sign, by public key.
        problems: what is wrong with the chain or with the right to admit and revoke.
    """

    history: History[KeyAct]
    after: tuple[dict[str, KeyHolder], ...]
    problems: tuple[Problem, ...]

    @property
    def founded(self) -> str:
        """SHA-256 of the founding act: what the library is known by."""
        return self.history.entries[0].sha256 if self.history.entries else NOTHING_BEFORE

    @property
    def now(self) -> dict[str, KeyHolder]:
        """Who may sign now, by public key."""
        return self.after[-1] if self.after else {}

    def index_of(self, sha256: str) -> int | None:
        """Return which act has a SHA-256, counted from 0."""
        for index, entry in enumerate(self.history.entries):
            if entry.sha256 == sha256:
                return index
        return None

    def revoked(self, key: str) -> KeyAct | None:
        """Return the act that revoked a key, None if none did."""
        for entry in self.history.entries:
            if entry.act.purpose == "revoked" and entry.act.holder.key == key:
                return entry.act
        return None

    def after_revoking(self, act: ProcedureAct) -> bool:
        """Whether an act came after its key was revoked, whatever time it claims."""
        revoking = self.revoked(act.key)
        return revoking is not None and act.number > (revoking.known or {}).get(act.procedure, 0)

    def fell(self, act: ProcedureAct) -> str | None:
        """Return why an act does not count any more that once did, None if it counts."""
        revoking = self.revoked(act.key)
        if revoking is None or revoking.since is None or self.after_revoking(act):
            return None
        if day_of(act.time) < revoking.since:
            return None
        return f"the key of '{act.name}' is revoked from {revoking.since} on, and this is later"


def read_keyring(shop: Path) -> Keyring:
    """Read the library's history and play it through.

    Raises:
        InputError, MachineError: if it cannot be read.
    """
    history = library_history(shop)
    problems = list(history.problems)
    after: list[dict[str, KeyHolder]] = []
    gone: set[str] = set()
    for entry in history.entries:
        act = entry.act
        holders = dict(after[-1]) if after else {}
        wrong = _unlawful(act, holders, gone)
        if wrong is not None:
            problems.append(Problem(wrong, f"{HISTORY}/{act_file(act)}"))
        elif act.purpose == "revoked":
            holders.pop(act.holder.key, None)
            gone.add(act.holder.key)
        else:
            holders[act.holder.key] = act.holder
        after.append(holders)
    return Keyring(history, tuple(after), tuple(problems))


def _unlawful(act: KeyAct, holders: dict[str, KeyHolder], gone: set[str]) -> str | None:
    """Return what is wrong with an act of the library's history, None if it may stand."""
    if act.number == 1:
        own = act.holder.key == act.key and act.holder.name == act.name
        fine = act.purpose == "founded" and own and "keeper" in act.holder.roles and act.seed
        return None if fine else "a history begins with a keeper who founds the library"
    if act.purpose == "founded":
        return "a library is founded once"
    signer = holders.get(act.key)
    if signer is None:
        return f"signed by a key of '{act.name}' that is not admitted, or no longer"
    if signer.name != act.name or act.role != "keeper" or "keeper" not in signer.roles:
        return f"only a keeper admits and revokes keys, and '{act.name}' is none"
    if act.purpose == "revoked":
        return None if act.holder.key in holders else "this revokes a key that was not admitted"
    if act.holder.key in gone:
        return "a revoked key cannot be admitted again"
    return None


def with_keys(sheet: ShopSheet, holders: dict[str, KeyHolder]) -> ShopSheet:
    """Return what ``library.yaml`` has to say where these people may sign.

    People without a key stay as they are.
    """
    by_name = {holder.name: holder for holder in holders.values()}
    members = []
    for member in sheet.people:
        holder = by_name.pop(member.name, None)
        if holder is not None:
            members.append(Member(name=member.name, roles=holder.roles, key=holder.key))
        else:
            members.append(member.model_copy(update={"key": None}))
    members += [Member(name=h.name, roles=h.roles, key=h.key) for h in by_name.values()]
    return sheet.model_copy(update={"people": tuple(members)})


def sheet_problems(sheet: ShopSheet, keyring: Keyring) -> Iterator[Problem]:
    """Yield where ``library.yaml`` and the history do not agree about keys."""
    shown = {member.key: member for member in sheet.people if member.key is not None}
    if lags(sheet, keyring):
        said = "the newest act of the history is not shown here yet: the run was cut short"
        yield Problem(said, SHOP_FILE)
        return
    for key, member in shown.items():
        holder = keyring.now.get(key)
        if holder is None:
            said = f"the key of '{member.name}' is not one that the history admits"
            yield Problem(said, SHOP_FILE)
        elif (holder.name, holder.roles) != (member.name, member.roles):
            said = f"'{member.name}' has another name or other roles than the history says"
            yield Problem(said, SHOP_FILE)
    for holder in keyring.now.values():
        if holder.key not in shown:
            yield Problem(f"the key of '{holder.name}' is missing here", SHOP_FILE)


def lags(sheet: ShopSheet, keyring: Keyring) -> bool:
    """Whether ``library.yaml`` is as it was just before the newest act."""
    if not keyring.after or with_keys(sheet, keyring.now) == sheet:
        return False
    earlier = keyring.after[-2] if len(keyring.after) > 1 else {}
    return with_keys(sheet, earlier) == sheet


def day_of(time: str) -> str:
    """Return the day of a moment, in UTC."""
    return datetime.fromisoformat(time).date().isoformat()
