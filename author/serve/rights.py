"""Who may do what: every route says so itself, and one that says nothing keeps a server shut."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar, get_args

from starlette.routing import Route

from author.library.shop import Role
from author.serve.settings import FORM_LIMIT

Handler = TypeVar("Handler", bound=Callable[..., Any])
ALL_ROLES: tuple[Role, ...] = get_args(Role)
_RULE = "rule_of_route"


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody at a browser.

    Attributes:
        name: as the accounts have it.
        roles: what they are in the library.
        trades: what they are in the shop, as procedures name it.
    """

    name: str
    roles: tuple[Role, ...]
    trades: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Rule:
    """Who may use a route.

    Attributes:
        roles: any of them will do; None where nobody has to be signed in.
        most: bytes a request may bring.
    """

    roles: tuple[Role, ...] | None
    most: int = FORM_LIMIT

    def allows(self, person: Person | None) -> bool:
        """Whether somebody may use the route; None is somebody who is not signed in.

        A keeper may do everything, and everybody with an account may do what readers may.
        """
        if self.roles is None:
            return True
        if person is None or not person.roles:
            return False
        if "keeper" in person.roles or "reader" in self.roles:
            return True
        return bool(set(self.roles) & set(person.roles))


def open_to(*roles: Role, most: int = FORM_LIMIT) -> Callable[[Handler], Handler]:
    """Let people with any of some roles use a route.

    Args:
        roles: the roles; ``reader`` is everybody with an account.
        most: bytes a request may bring.

    Raises:
        ValueError: if a role is none.
    """
    if not roles or not set(roles) <= set(ALL_ROLES):
        raise ValueError(roles)
    return _marker(Rule(roles, most))


def open_to_all(handler: Handler) -> Handler:
    """Let everybody use a route: for signing in, and for what it needs to be seen."""
    return _marker(Rule(None))(handler)


def _marker(rule: Rule) -> Callable[[Handler], Handler]:
    def mark(handler: Handler) -> Handler:
        setattr(handler, _RULE, rule)
        return handler

    return mark


def rule_of(route: Route) -> Rule:
    """Return who may use a route.

    Raises:
        RuntimeError: if the route does not say so; a fault of ours, found at the start.
    """
    rule = getattr(route.endpoint, _RULE, None)
    if not isinstance(rule, Rule):
        msg = f"the route {route.path} does not say who may use it"
        raise RuntimeError(msg)
    return rule
