"""How a server is run: who may reach it, and how long people stay signed in."""

from __future__ import annotations

import ipaddress
import time
from collections.abc import Callable
from dataclasses import dataclass

FORM_LIMIT = 64 * 1024
"""Bytes of a form that is sent."""
RECORD_LIMIT = 2 * 1024 * 1024
"""Bytes of a job record that is sent."""


@dataclass(frozen=True, slots=True)
class Settings:
    """How a server is run.

    Attributes:
        accounts_needed: whether nobody gets in without an account, even while there is none;
            so on every address that others can reach.
        proxies: addresses and networks of proxies whose word for the address of a reader and
            for https is taken.
        idle: seconds after which somebody who does nothing is signed out.
        longest: seconds after which everybody is signed out.
        body_time: seconds in which what a reader sends has to be here.
        look_every: seconds between two looks for procedures that have changed.
        audit_age: seconds after which all files of a procedure are read and held against its
            signatures again, though none seems changed.
        ahead: whether a process of its own makes pages, those nobody asked for too.
        clock: seconds that only run forward.
    """

    accounts_needed: bool = False
    proxies: tuple[str, ...] = ()
    idle: float = 10 * 3600
    longest: float = 24 * 3600
    body_time: float = 60
    look_every: float = 3
    audit_age: float = 600
    ahead: bool = False
    clock: Callable[[], float] = time.monotonic


def is_loopback(host: str) -> bool:
    """Whether an address is reached from this machine alone."""
    if host.casefold() == "localhost":
        return True
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False
