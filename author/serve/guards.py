"""What stands before every page: who it is, what they send, where it comes from, how much."""

from __future__ import annotations

import hmac
import re
from typing import Any
from urllib.parse import urlsplit

import anyio
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, MutableHeaders
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send
from uvicorn.middleware.proxy_headers import ProxyHeadersMiddleware

from author.serve.problems import not_signed_in, problem
from author.serve.rights import Rule
from author.serve.settings import Settings, is_loopback

SESSION = "shop-session"
VISIT = "shop-visit"
TOKEN_HEADER = "X-Form-Token"  # noqa: S105 - the name of a header
SAFE = frozenset({"GET", "HEAD"})
PAGE_POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)
_HEADERS = {
    "Content-Security-Policy": PAGE_POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
_HOST = re.compile(r"(\[[0-9a-fA-F:.]+\]|[A-Za-z0-9._-]+)(?::[0-9]{1,5})?")
_PORTS = {"http": 80, "https": 443}


class TooMuchError(Exception):
    """A request brings more than its route takes, or takes too long about it."""

    def __init__(self, status: int) -> None:
        super().__init__(status)
        self.status = status


def with_proxies(settings: Settings) -> list[Middleware]:
    """Return what takes the word of proxies for a reader's address and for https."""
    if not settings.proxies:
        return []
    return [Middleware(ProxyHeadersMiddleware, trusted_hosts=list(settings.proxies))]


class Doorway:
    """Gives every answer its headers, and turns away requests that name no proper host."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def headed(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in _HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        hosts = [value for name, value in scope["headers"] if name == b"host"]
        host = hosts[0].decode("latin-1") if len(hosts) == 1 else ""
        if not _HOST.fullmatch(host):
            refusal = PlainTextResponse("The request names no proper host.\n", 400)
            await refusal(scope, receive, headed)
            return
        await self.app(scope, receive, headed)


def bounded(receive: Receive, most: int, seconds: float) -> Receive:
    """Return a way to receive a body that ends where it grows too large or too slow.

    Args:
        receive: the way it comes.
        most: bytes it may have.
        seconds: time in which it has to be here, from its first byte asked for.
    """
    seen = 0
    until: float | None = None

    async def received() -> Message:
        nonlocal seen, until
        if until is None:
            until = anyio.current_time() + seconds
        with anyio.CancelScope(deadline=until) as scope:
            message = await receive()
        if scope.cancelled_caught:
            raise TooMuchError(408)
        if message["type"] == "http.request":
            seen += len(message.get("body", b""))
            if seen > most:
                raise TooMuchError(413)
        return message

    return received


async def guard(request: Request, rule: Rule) -> Response | None:
    """Find out who somebody is, and refuse what they may not do.

    Args:
        request: the request; its state gets ``person``, ``token``, ``no_accounts`` and, where
            a form was sent, ``form``.
        rule: who may use the route.

    Returns:
        The refusal, None if they may.
    """
    sessions = request.app.state.sessions
    secure = request.url.scheme == "https"
    standing = await run_in_threadpool(
        sessions.standing,
        request.cookies.get(cookie_name(SESSION, secure)),
        request.cookies.get(cookie_name(VISIT, secure)),
    )
    request.state.person = standing.person
    request.state.token = standing.token
    request.state.no_accounts = standing.no_accounts
    if standing.no_accounts:
        refused = _not_of_this_machine(request)
        if refused is not None:
            return refused
    declared = request.headers.get("content-length", "0")
    if not declared.isdecimal() or int(declared) > rule.most:
        return too_much(request, rule, 413)
    if rule.roles is not None and standing.person is None:
        return not_signed_in(request)
    if not rule.allows(standing.person):
        return problem(
            request,
            403,
            f"this is for {_a(*dict.fromkeys((*(rule.roles or ()), 'keeper')))}",
            "Ask somebody who has that role",
        )
    if request.method in SAFE:
        return None
    return await _unsafe(request, rule)


def cookie_name(name: str, secure: bool) -> str:
    """Return what a cookie is called; on https so that nobody else can have set it."""
    return f"__Host-{name}" if secure else name


def _a(*roles: str) -> str:
    """Return roles as they are spoken of: ``an author, a reviewer or a keeper``."""
    said = [f"{'an' if role[0] in 'aeiou' else 'a'} {role}" for role in roles]
    return " or ".join(filter(None, (", ".join(said[:-1]), said[-1])))


def too_much(request: Request, rule: Rule, status: int) -> Response:
    """Return the answer to a request that brings too much or takes too long."""
    if status == 408:
        return problem(request, 408, "this took too long to arrive", "Send it again")
    most = f"{rule.most // 1024} kB" if rule.most < 2**20 else f"{rule.most // 2**20} MB"
    return problem(request, 413, f"this is more than {most}", "Send less", {"Connection": "close"})


def _not_of_this_machine(request: Request) -> Response | None:
    """Refuse, where nobody has to sign in, what does not come from this machine itself.

    A page elsewhere can lead a browser here under a name of its own; a proxy brings readers
    of a whole network.
    """
    forwarded = {"forwarded", "x-forwarded-for", "x-forwarded-host", "via"} & set(request.headers)
    client = request.client.host if request.client else ""
    if is_loopback(request.url.hostname or "") and not forwarded and is_loopback(client):
        return None
    return problem(
        request,
        403,
        "without accounts the library is open to this machine alone",
        "Add an account with 'reelwright library account add', or use http://127.0.0.1",
    )


async def _unsafe(request: Request, rule: Rule) -> Response | None:
    """Refuse what comes from elsewhere, or without the token of a form that is of here."""
    origin = request.headers.get("origin")
    if origin is not None and _place(origin) != _place(str(request.base_url)):
        return problem(
            request,
            403,
            f"this was sent from {origin[:100]}, and this server is {request.base_url}",
            "Use the pages of this server; name a proxy before it with --proxy",
        )
    if request.headers.get("sec-fetch-site", "same-origin") not in {"same-origin", "none"}:
        return problem(request, 403, "this was sent from elsewhere", "Use the pages of this server")
    given: Any = request.headers.get(TOKEN_HEADER)
    request.state.form = FormData()
    kind = request.headers.get("content-type", "").partition(";")[0].strip().casefold()
    if kind in {"application/x-www-form-urlencoded", "multipart/form-data"}:
        await request.body()  # so that whoever wants the bytes themselves has them too
        request.state.form = await request.form(
            max_files=1, max_fields=200, max_part_size=rule.most
        )
        given = given or request.state.form.get("token")
    expected = request.state.token
    if not (isinstance(given, str) and expected and _same(given, expected)):
        return problem(
            request,
            403,
            "this form is old, or it was not made here",
            "Load the page again, and send it once more",
        )
    return None


def _same(one: str, other: str) -> bool:
    return hmac.compare_digest(one.encode("utf-8", "replace"), other.encode())


def _place(url: str) -> tuple[str, str, int | None]:
    """Return scheme, host and port of an address; nothing comes from an unreadable one."""
    try:
        parts = urlsplit(url)
        return parts.scheme, parts.hostname or "?", parts.port or _PORTS.get(parts.scheme)
    except ValueError:
        return "", "", None
