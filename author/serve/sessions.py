"""Who is signed in: kept in memory alone, and gone when the server ends."""

from __future__ import annotations

import hashlib
import hmac
import secrets
import threading
from dataclasses import dataclass

from author.library.shop import Shop
from author.library.signing.accounts import Account, Accounts, Stamp, read_accounts, stamp_of
from author.procedure.review import same_name
from author.serve.rights import ALL_ROLES, Person
from author.serve.settings import Settings

_MOST = 5_000
_MOST_OF_ONE = 50
_TRIES_OF_ONE = 8
_TRIES_FROM_ONE = 40
_WITHIN = 600.0
THIS_MACHINE = Person("this machine", ALL_ROLES)
"""Whoever sits at the machine itself, where there are no accounts."""


@dataclass(slots=True)
class Session:
    """Somebody who is signed in at one browser.

    Attributes:
        name: name of the account.
        password: its hash when they signed in: with another one they are signed out.
        token: what the forms of this browser carry.
        begun: when they signed in.
        last: when they were last here.
    """

    name: str
    password: str
    token: str
    begun: float
    last: float


@dataclass(frozen=True, slots=True)
class Standing:
    """How somebody stands at the door.

    Attributes:
        person: who it is; None if nobody is signed in.
        token: what their forms have to carry.
        no_accounts: whether there are no accounts, and this machine may do everything.
    """

    person: Person | None
    token: str
    no_accounts: bool = False


class Sessions:
    """All who are signed in. Used by many threads at once.

    Attributes:
        by_name: who tried to sign in, counted by account.
        by_address: the same, counted by address.
    """

    def __init__(self, shop: Shop, settings: Settings) -> None:
        self._shop = shop
        self._settings = settings
        self._lock = threading.Lock()
        self._open: dict[bytes, Session] = {}
        self._secret = secrets.token_bytes(32)
        self._known: tuple[Stamp | None, Accounts] | None = None
        self.by_name = Throttle(_TRIES_OF_ONE, _WITHIN)
        self.by_address = Throttle(_TRIES_FROM_ONE, _WITHIN)

    def accounts(self) -> Accounts:
        """Return the accounts as they are now.

        Raises:
            InputError, MachineError: if they cannot be read.
        """
        stamp = stamp_of(self._shop.folder)
        known = self._known
        if known is None or known[0] != stamp:
            known = (stamp, read_accounts(self._shop.folder))
            self._known = known
        return known[1]

    def standing(self, session: str | None, visit: str | None) -> Standing:
        """Return who somebody is.

        Args:
            session: what their browser holds of a session.
            visit: what it was given before they signed in.

        Raises:
            InputError, MachineError: if the accounts cannot be read.
        """
        accounts = self.accounts()
        if not accounts.people and not self._settings.accounts_needed:
            return Standing(THIS_MACHINE, self._sealed("this machine"), no_accounts=True)
        found = self._find(session, accounts) if session else None
        if found is not None:
            account, token = found
            return Standing(Person(account.name, account.roles, account.trades), token)
        return Standing(None, self._sealed(f"visit {visit}") if visit else "")

    def begin(self, account: Account, before: str | None) -> str:
        """Sign somebody in; the session they had before ends.

        Returns:
            The id of the new session; only its hash is kept here.
        """
        fresh = secrets.token_urlsafe(32)
        now = self._settings.clock()
        self.end(before)
        with self._lock:
            own = [key for key, one in self._open.items() if one.name == account.name]
            for key in own[: max(0, len(own) - _MOST_OF_ONE + 1)]:
                del self._open[key]
            while len(self._open) >= _MOST:
                del self._open[next(iter(self._open))]
            self._open[_key(fresh)] = Session(
                account.name, account.password, secrets.token_urlsafe(32), now, now
            )
        return fresh

    def end(self, session: str | None) -> None:
        """Sign somebody out."""
        if session:
            with self._lock:
                self._open.pop(_key(session), None)

    def _find(self, session: str, accounts: Accounts) -> tuple[Account, str] | None:
        now = self._settings.clock()
        key = _key(session)
        with self._lock:
            found = self._open.get(key)
            if found is None:
                return None
            account = accounts.of(found.name)
            if (
                now - found.last > self._settings.idle
                or now - found.begun > self._settings.longest
                or account is None
                or account.disabled
                or account.password != found.password
            ):
                del self._open[key]
                return None
            found.last = now
            return account, found.token

    def _sealed(self, text: str) -> str:
        return hmac.new(self._secret, text.encode(), hashlib.sha256).hexdigest()


def _key(session: str) -> bytes:
    return hashlib.sha256(session.encode("utf-8", "replace")).digest()


class Throttle:
    """Counts who tries to sign in, by account and by address.

    A try counts from its beginning, so that many at once gain nothing. Somebody who knows
    nothing but a name can keep its owner out for a while; that is the price of not letting
    them guess.
    """

    def __init__(self, most: int, within: float) -> None:
        self._most = most
        self._within = within
        self._lock = threading.Lock()
        self._tried: dict[str, list[float]] = {}

    def begin(self, key: str, now: float) -> float:
        """Count a try; return for how many seconds none is allowed, 0 if this one is."""
        with self._lock:
            tried = [at for at in self._tried.pop(key, ()) if now - at < self._within]
            wait = tried[0] + self._within - now if len(tried) >= self._most else 0.0
            self._tried[key] = tried if wait else [*tried, now]
            while len(self._tried) > _MOST:
                del self._tried[next(iter(self._tried))]
            return wait

    def take_back(self, key: str) -> None:
        """Let the last try not count: it was right, or never made."""
        with self._lock:
            if self._tried.get(key):
                self._tried[key].pop()

    def forget(self, key: str) -> None:
        """Let no try with a key count any more."""
        with self._lock:
            self._tried.pop(key, None)


def throttle_key(name: str) -> str:
    """Return what a name is counted under, of one length for all."""
    return hashlib.sha256(same_name(name).encode("utf-8", "replace")).hexdigest()
