"""Errors as answers: a page for a person, a line of JSON for a program, never a trace."""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping
from typing import Any
from urllib.parse import quote

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response

from author.errors import InputError, MachineError, ReelwrightError, one_line
from author.serve.rendering import NotHereError, page

_LOG = logging.getLogger("reelwright.serve")
_STATUS = {
    400: ("this cannot be understood", "Go back, and try it another way"),
    404: ("there is no such page", "Look for it with Find"),
    405: ("this cannot be done here", "Go back, and try it another way"),
    416: ("the file has no such part", "Load the page again"),
}


def wants_page(request: Request) -> bool:
    """Whether a person waits for a page, and not a program for data or a page for a picture."""
    return "text/html" in request.headers.get("accept", "")


def problem(
    request: Request,
    status: int,
    problem: str,
    remedy: str,
    headers: Mapping[str, str] | None = None,
) -> Response:
    """Return an answer that says what is wrong and what to do about it.

    Args:
        request: the request it answers.
        status: status of the answer.
        problem: what is wrong, without a full stop.
        remedy: what to do about it, without a full stop.
        headers: more of its headers.
    """
    said = {"problem": one_line(problem), "remedy": one_line(remedy)}
    if wants_page(request):
        answer: Response = page(request, "problem.html.jinja", status, **said)
    else:
        answer = JSONResponse(said, status, {"Cache-Control": "no-store"})
    answer.headers.update(headers or {})
    return answer


def not_signed_in(request: Request) -> Response:
    """Return the answer to somebody who has to sign in first: the way there, and back."""
    if request.method in {"GET", "HEAD"} and wants_page(request):
        whole = request.url.path + (f"?{request.url.query}" if request.url.query else "")
        return RedirectResponse(f"/sign-in?to={quote(whole, safe='')}", 303)
    return problem(request, 401, "you are not signed in", "Sign in, and do it once more")


def local_path(text: str | None) -> str:
    """Return a path to go on to, if it leads nowhere but to this server; else the first page."""
    plain = text or "/"
    inside = plain.startswith("/") and not plain.startswith(("//", "/\\"))
    clean = plain.isprintable() and "\\" not in plain and len(plain) < 2_000
    return plain if inside and clean and plain.isascii() else "/"


async def _ours(request: Request, error: Exception) -> Response:
    assert isinstance(error, ReelwrightError)  # noqa: S101 - registered for these alone
    status = 503
    if isinstance(error, InputError):
        status = 404 if isinstance(error, NotHereError) else 400
    if isinstance(error, MachineError):
        _LOG.error("%s", error)
    return problem(request, status, error.problem, error.remedy)


async def _theirs(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)  # noqa: S101 - registered for these alone
    said, remedy = _STATUS.get(error.status_code, _STATUS[400])
    return problem(request, error.status_code, said, remedy, error.headers)


def fault(request: Request, error: Exception) -> Response:
    """Return the answer to a request at which the program itself failed; the log has the rest."""
    _LOG.error("a fault of the program at %s", one_line(request.url.path), exc_info=error)
    return problem(
        request,
        500,
        "the server met a fault of its own",
        "Try it again; if it stays, tell whoever keeps the library",
    )


HANDLERS: dict[Any, Callable[[Request, Exception], Any]] = {
    ReelwrightError: _ours,
    HTTPException: _theirs,
}
