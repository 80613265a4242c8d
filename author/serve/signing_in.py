"""Signing in and out, and what everybody may see: the style sheet."""

from __future__ import annotations

import ipaddress
import secrets
from importlib import resources

import anyio
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from author.library.signing.accounts import LONGEST, sign_in
from author.serve.guards import SESSION, VISIT, cookie_name
from author.serve.problems import local_path
from author.serve.rendering import BENCH_SCRIPT, STYLE, NotHereError, page, style
from author.serve.rights import open_to, open_to_all
from author.serve.sessions import throttle_key

_LONGEST_NAME = 400
_LONG_CACHE = "public, max-age=31536000, immutable"


@open_to_all
def sign_in_page(request: Request) -> Response:
    """Show the form to sign in with."""
    to = local_path(request.query_params.get("to"))
    if request.state.person is not None:
        return RedirectResponse(to, 303)
    return _form(request, to)


def _form(
    request: Request, to: str, status: int = 200, said: str = "", name: str = "", wait: int = 0
) -> Response:
    """Show the form; a browser that has none yet is given what its token is made from."""
    secure = request.url.scheme == "https"
    cookie = cookie_name(VISIT, secure)
    visit = request.cookies.get(cookie)
    fresh = not visit
    if visit is None or fresh:
        visit = secrets.token_urlsafe(24)
        request.state.token = request.app.state.sessions.standing(None, visit).token
    answer = page(request, "sign_in.html.jinja", status, to=to, said=said, name=name)
    if fresh:
        answer.set_cookie(cookie, visit, httponly=True, samesite="lax", secure=secure, path="/")
    if wait:
        answer.headers["Retry-After"] = str(wait)
    return answer


@open_to_all
async def sign_in_done(request: Request) -> Response:
    """Sign somebody in, if name and password are right and they have not tried too often."""
    form: FormData = request.state.form
    name, password = _text(form, "name", _LONGEST_NAME), _text(form, "password", LONGEST + 1)
    to = local_path(_text(form, "to", 2_000))
    sessions, now = request.app.state.sessions, request.app.state.settings.clock()
    by_name, by_address = sessions.by_name, sessions.by_address
    account_key, address = throttle_key(name), _address(request)
    wait = by_address.begin(address, now)
    if not wait:
        wait = by_name.begin(account_key, now)
        if wait:
            by_address.take_back(address)
    if wait:
        minutes = int(wait // 60) + 1
        said = f"Too many tries. Wait {minutes} minute{'s' if minutes > 1 else ''}, then try again."
        return _form(request, to, 429, said, name, int(wait) + 1)
    # Passwords have a queue of their own: whoever tries many keeps no page waiting.
    account = await anyio.to_thread.run_sync(
        sign_in, sessions.accounts(), name, password, limiter=request.app.state.hashing
    )
    if account is None:
        said = "Name and password do not fit together, or the account is shut."
        return _form(request, to, 401, said, name)
    by_name.forget(account_key)
    by_address.take_back(address)
    secure = request.url.scheme == "https"
    session = sessions.begin(account, request.cookies.get(cookie_name(SESSION, secure)))
    answer = RedirectResponse(to, 303)
    answer.set_cookie(
        cookie_name(SESSION, secure),
        session,
        httponly=True,
        samesite="lax",
        secure=secure,
        path="/",
    )
    answer.delete_cookie(cookie_name(VISIT, secure), path="/", secure=secure, httponly=True)
    return answer


def _text(form: FormData, field: str, longest: int) -> str:
    value = form.get(field)
    return value[:longest] if isinstance(value, str) else ""


def _address(request: Request) -> str:
    """Return what an address is counted under: of IPv6 the network, which one person has."""
    host = request.client.host if request.client else ""
    try:
        address = ipaddress.ip_address(host)
    except ValueError:
        return host
    if address.version == 4:
        return host
    if address.ipv4_mapped is not None:
        return str(address.ipv4_mapped)
    return str(ipaddress.ip_network((address, 64), strict=False))


@open_to("reader")
def sign_out(request: Request) -> Response:
    """Sign somebody out."""
    secure = request.url.scheme == "https"
    cookie = cookie_name(SESSION, secure)
    request.app.state.sessions.end(request.cookies.get(cookie))
    answer = RedirectResponse("/sign-in", 303)
    answer.delete_cookie(cookie, path="/", secure=secure, httponly=True)
    return answer


@open_to("reader")
def session(request: Request) -> Response:
    """Tell a page that has been open for long who is signed in, and the token of today."""
    said = {"name": request.state.person.name, "token": request.state.token}
    return JSONResponse(said, headers={"Cache-Control": "no-store"})


@open_to_all
def style_sheet(request: Request) -> Response:
    """Give the style sheet of all pages; another one has another address.

    Raises:
        NotHereError: if the address is of another one.
    """
    data, name = style()
    if request.path_params["version"] != name:
        raise NotHereError("there is no such style sheet", remedy="Load the page again")
    return Response(data, media_type="text/css", headers={"Cache-Control": _LONG_CACHE})


@open_to_all
def bench_script(_: Request) -> Response:
    """Give the script that the library adds to a bench page."""
    data = resources.files("author.serve").joinpath("static", BENCH_SCRIPT).read_bytes()
    return Response(data, media_type="text/javascript", headers={"Cache-Control": "no-cache"})


@open_to_all
def icon(_: Request) -> Response:
    """Give the sign of the pages."""
    data = resources.files("author.serve").joinpath("static", "icon.svg").read_bytes()
    headers = {"Cache-Control": "public, max-age=86400"}
    return Response(data, media_type="image/svg+xml", headers=headers)


@open_to_all
def nothing(_: Request) -> Response:
    """Answer whatever no other route takes.

    Raises:
        NotHereError: always.
    """
    raise NotHereError("there is no such page", remedy="Look for it with Find")


ROUTES = [
    Route("/sign-in", sign_in_page),
    Route("/sign-in", sign_in_done, methods=["POST"]),
    Route("/sign-out", sign_out, methods=["POST"]),
    Route("/session", session),
    Route(f"/static/{{version}}/{STYLE}", style_sheet),
    Route(f"/static/{BENCH_SCRIPT}", bench_script),
    Route("/icon.svg", icon),
    Route("/{rest:path}", nothing),
]
