"""Starts the server and ends it: where it listens, and whether it may."""

from __future__ import annotations

import contextlib
import errno
import gc
import ipaddress
import logging
import socket
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import uvicorn

from author.errors import InputError, MachineError, in_command
from author.library.shop import Shop, open_shop
from author.library.signing.accounts import read_accounts
from author.progress import Cancel, Progress
from author.serve.application import create_app
from author.serve.settings import Settings, is_loopback
from author.tasks.library_shelves import reindex

_WAITING = 128
_KEPT_OPEN = 20
_LEAVE_TIME = 1
_MOST_AT_ONCE = 500
_LONGEST_HEAD = 32 * 1024
_TAKEN = "another program listens at this port"

_TURN = 0.001
"""Seconds a thread goes on before another has its turn."""


class _Server(uvicorn.Server):
    """A server that ends without a word about those it cuts off."""

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Let go of everybody."""
        logging.getLogger("uvicorn.error").setLevel(logging.CRITICAL)
        await super().shutdown(sockets)


@dataclass(frozen=True, slots=True)
class Serving:
    """A server that listens and has not begun to answer.

    Attributes:
        shop: the library.
        settings: how it is run.
        address: where it is reached.
        loopback: whether from this machine alone.
        listening: its socket.
    """

    shop: Shop
    settings: Settings
    address: str
    loopback: bool
    listening: socket.socket

    def told(self) -> Iterator[str]:
        """Yield what whoever started it should know, a line each."""
        yield f"The library '{self.shop.sheet.name}' is open at {self.address} (Ctrl+C ends it)"
        if not read_accounts(self.shop.folder).people:
            yield (
                "There are no accounts: whoever uses this machine may do everything in it, save "
                "release findings where the library knows its people"
            )
        if not self.loopback and not self.settings.proxies:
            yield (
                "Passwords cross the network as they are: let a proxy that speaks TLS stand "
                "before it, and name it with --proxy"
            )

    def run(self, cancel: Cancel) -> None:
        """Answer until somebody asks to stop; what is answered within a second is answered first.

        Args:
            cancel: ends it before it begins.
        """
        if cancel.requested:
            self.listening.close()
            cancel.check()
        # A short answer waits for its turn among threads that make long ones.
        sys.setswitchinterval(_TURN)
        config = uvicorn.Config(
            create_app(self.shop.folder, self.settings),
            http="h11",
            ws="none",
            loop="asyncio",
            lifespan="on",
            log_config=None,
            access_log=False,
            proxy_headers=False,  # taken by the application, from those named alone
            server_header=False,
            limit_concurrency=_MOST_AT_ONCE,
            backlog=_WAITING,
            timeout_keep_alive=_KEPT_OPEN,
            timeout_graceful_shutdown=_LEAVE_TIME,
            h11_max_incomplete_event_size=_LONGEST_HEAD,
        )
        # What is loaded by now stays, and pages leave nothing in circles: Python need not
        # look for it after every few hundred objects.
        gc.freeze()
        gc.set_threshold(50_000, 20, 50)
        with contextlib.closing(self.listening):
            _Server(config).run(sockets=[self.listening])


def serve(
    folder: Path,
    host: str,
    port: int,
    proxies: Sequence[str],
    progress: Progress,
    cancel: Cancel,
) -> Serving:
    """Make everything ready to serve a library, and begin to listen.

    Args:
        folder: the library.
        host: address or name to listen at.
        port: port to listen at, 0 for a free one.
        proxies: addresses or networks of proxies before it.
        progress: told how far the index is.
        cancel: looked at while the index is brought up to date.

    Raises:
        InputError: if there is no library, others can reach it and there is no account, or
            nobody can listen there.
        MachineError: if the machine fails.
        Cancelled: on request.
    """
    shop = open_shop(folder)
    trusted = tuple(map(_proxy, proxies))
    family, address = _address(host, port)
    loopback = is_loopback(address)
    needed = bool(trusted) or not loopback
    if needed and not any(not one.disabled for one in read_accounts(shop.folder).people):
        where = f"at {host}" if not loopback else "behind a proxy"
        raise InputError(
            f"{where} others can reach the library, and it has no accounts",
            remedy="Add one with 'reelwright library account add "
            f"{in_command(folder)} NAME --role keeper'",
            file=shop.folder,
        )
    listening = _listen(family, address, port, host)
    try:
        reindex(shop.folder, thorough=False, progress=progress, cancel=cancel)
    except BaseException:
        listening.close()
        raise
    chosen = listening.getsockname()[1]
    reached = _reached(family, address, host)
    shown = f"[{reached}]" if ":" in reached else reached
    settings = Settings(accounts_needed=needed, proxies=trusted, ahead=True)
    return Serving(shop, settings, f"http://{shown}:{chosen}/", loopback, listening)


def _reached(family: socket.AddressFamily, address: str, host: str) -> str:
    """Return by what the library is reached: where it listens everywhere, this machine's address.

    Nothing is sent: the system is asked which of its addresses leads into the network. Where
    none does, the machine's name is told.
    """
    if not ipaddress.ip_address(address.partition("%")[0]).is_unspecified:
        return address if family == socket.AF_INET6 else host
    away = "192.0.2.1" if family == socket.AF_INET else "2001:db8::1"  # RFC 5737, RFC 3849
    try:
        with socket.socket(family, socket.SOCK_DGRAM) as asked:
            asked.connect((away, 9))
            return str(asked.getsockname()[0])
    except OSError:
        return socket.gethostname()


def _proxy(text: str) -> str:
    try:
        network = ipaddress.ip_network(text, strict=False)
    except ValueError:
        raise InputError(
            f"--proxy is '{text[:60]}', which is no address",
            remedy="Name the address of the proxy, such as 127.0.0.1 or 192.168.7.0/24",
        ) from None
    if network.prefixlen == 0:
        raise InputError(
            "this would take everybody's word for who they are",
            remedy="Name the address of the proxy alone",
        )
    return text


def _address(host: str, port: int) -> tuple[socket.AddressFamily, str]:
    """Return the address a name stands for, and of which family it is."""
    try:
        # An empty name would mean all addresses, and comes of a variable that is not set.
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM) if host else []
    except (OSError, UnicodeError):
        found = []
    if not found:
        raise InputError(
            f"'{host[:80]}' is no address of this machine",
            remedy="Name one of its addresses, or 0.0.0.0 for all of them",
        )
    family, _, _, _, address = found[0]
    return family, str(address[0])


def _listen(family: socket.AddressFamily, address: str, port: int, host: str) -> socket.socket:
    listening = socket.socket(family, socket.SOCK_STREAM)
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((address, port))
        listening.listen(_WAITING)
    except OSError as error:
        listening.close()
        if error.errno == errno.EADDRINUSE:
            raise InputError(f"{_TAKEN}: {port}", remedy="Name another with --port") from error
        if error.errno in {errno.EACCES, errno.EPERM, errno.EADDRNOTAVAIL}:
            raise InputError(
                f"nobody can listen at {host}, port {port}, here: {error.strerror}",
                remedy="Name an address of this machine, and a port above 1023",
            ) from error
        raise MachineError(
            f"the network failed: {error.strerror or error}", remedy="Look at the network"
        ) from error
    return listening
