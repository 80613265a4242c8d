"""Published files: the work page with its pictures and clips, prints, sheets."""

from __future__ import annotations

import json
import os
import re
from io import BufferedReader

from markupsafe import escape
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route
from starlette.types import Receive, Scope, Send

from author.serve.at_hand import shop_of
from author.serve.bench_bands import first_of, unfit_before, with_bands
from author.serve.in_force import InForce, in_force, revision_view, why_no_job
from author.serve.page_maker import prepare
from author.serve.problems import problem
from author.serve.procedure_view import View, has_page, view_of
from author.serve.published import PAGE_FILE, Publication, open_published
from author.serve.rendering import BENCH_SCRIPT, NotHereError, page
from author.serve.rights import open_to

_CHUNK = 256 * 1024
_RANGE = re.compile(r"bytes=(?:([0-9]{1,15})-([0-9]{1,15})?|-([0-9]{1,15}))")
_KINDS = {
    "html": "text/html; charset=utf-8",
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "json": "application/json",
    "jsonld": "application/ld+json",
    "yaml": "text/plain; charset=utf-8",
    "csv": "text/csv; charset=utf-8",
    "vtt": "text/vtt; charset=utf-8",
    "pdf": "application/pdf",
    "jpg": "image/jpeg",
    "png": "image/png",
    "svg": "image/svg+xml",
    "mp4": "video/mp4",
}
# Whoever can write to the library can put a script beside a procedure: what it sends reaches
# no more than what a bench page needs, whoever has it open.
WORK_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "media-src 'self' blob:; connect-src {records} {session} {standing} {clips}; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'"
)
_FILE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'"


class FilePart(Response):
    """A file, or a part of it, sent piece by piece while it stays open."""

    def __init__(
        self, stream: BufferedReader, start: int, length: int, status: int, headers: dict[str, str]
    ) -> None:
        super().__init__(None, status, headers)
        self.headers["content-length"] = str(length)
        self._stream, self._start, self._length = stream, start, length

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:  # noqa: ARG002
        """Send it."""
        try:
            await send(
                {
                    "type": "http.response.start",
                    "status": self.status_code,
                    "headers": self.raw_headers,
                }
            )
            left = self._length if scope["method"] != "HEAD" else 0
            self._stream.seek(self._start)
            while left:
                data = await run_in_threadpool(self._stream.read, min(left, _CHUNK))
                left -= len(data)
                more = bool(left and data)
                await send({"type": "http.response.body", "body": data, "more_body": more})
                if not data:  # cut short on the disk: the reader sees that bytes are missing
                    return
            if not self._length or scope["method"] == "HEAD":
                await send({"type": "http.response.body", "body": b"", "more_body": False})
        finally:
            self._stream.close()


@open_to("reader")
def published_file(request: Request) -> Response:
    """Give a published file; of a print that is not to be worked by, say so first."""
    view = _view(request)
    published = _published(view)
    name = request.path_params["name"]
    if name.endswith(".pdf") and published.has(name) and not _all_the_same(request):
        procedure = request.path_params["procedure"]
        force = in_force(shop_of(request), procedure)
        closed = why_no_job(force, view, request.app.state.audit.of(procedure))
        if closed is not None:
            return _not_for_use(request, view, force, closed)
    return file_answer(request, open_published(shop_of(request), published, name), published, name)


@open_to("reader")
def work_page(request: Request) -> Response:
    """Lead to the work page, whose own links need the folder it stands in."""
    return RedirectResponse(f"{request.url.path}/index.html", 308)


@open_to("reader")
def work_file(request: Request) -> Response:
    """Give a file of the work page; the page itself learns where the library takes records."""
    view = _view(request)
    shop, name = shop_of(request), f"page/{request.path_params['name'] or 'index.html'}"
    if name != PAGE_FILE:
        published = _published(view)
        return file_answer(request, open_published(shop, published, name), published, name)
    procedure = request.path_params["procedure"]
    force = in_force(shop, procedure)
    closed = why_no_job(force, view, request.app.state.audit.of(procedure))
    if not has_page(view.published) or (closed is not None and not _all_the_same(request)):
        return _no_job(request, view, force, closed)
    published = _published(view)
    with open_published(shop, published, name) as stream:
        data = stream.read()
    ask = f"/procedures/{procedure}/standing?revision={view.head.revision}"
    who = "" if request.state.no_accounts else request.state.person.name
    told = (
        f'<meta name="shop-library" content="/procedures/{escape(published.procedure)}/records" '
        f'data-token="{escape(request.state.token)}" data-ask="{escape(ask)}" '
        f'data-person="{escape(who)}" '
        f'data-standing="{escape(json.dumps(_told(request, view, closed)))}">\n'
        f'<script src="/static/{BENCH_SCRIPT}"></script>\n'
    )
    data = data.replace(b"</head>", told.encode() + b"</head>", 1)
    data = with_bands(request, data, view, force, closed)
    here = str(request.base_url).rstrip("/")
    policy = WORK_POLICY.format(
        records=f"{here}/procedures/{published.procedure}/records",
        session=f"{here}/session",
        standing=f"{here}/procedures/{procedure}/standing",
        clips=f"{here}{request.url.path.rpartition('/')[0]}/clips/",
    )
    headers = {
        "Content-Security-Policy": policy,
        "Cache-Control": "no-store",
        # Other than our pages have it, so that a window it opens on one is out of its reach.
        "Cross-Origin-Opener-Policy": "unsafe-none",
    }
    return Response(data, headers=headers, media_type="text/html")


@open_to("reader")
def standing(request: Request) -> Response:
    """Tell a bench page that has been open for long how its revision stands by now."""
    shop, name = shop_of(request), request.path_params["procedure"]
    force = in_force(shop, name)
    number = request.query_params.get("revision", str(force.head.revision))
    view = revision_view(shop, name, number)
    closed = why_no_job(force, view, request.app.state.audit.of(name))
    return JSONResponse(_told(request, view, closed), headers={"Cache-Control": "no-store"})


def _told(request: Request, view: View, closed: str | None) -> dict[str, object]:
    """Return what keeps a job from being begun by a revision, or is asked about before.

    ``closed`` is why none is begun, ``held`` the units on hold (None if that cannot be told),
    ``unfit`` what has to be done before and is not fit.
    """
    name = request.path_params["procedure"]
    on_hold = request.app.state.on_hold.of(name, view.head.unit)
    held = [{"title": one.title, "serial": one.serial} for one in on_hold or ()]
    return {
        "closed": closed,
        "held": None if on_hold is None else held,
        "unfit": first_of(unfit_before(request)),
    }


def _view(request: Request) -> View:
    """Return the revision an address is of: by its number, or the one in force."""
    shop, name = shop_of(request), request.path_params["procedure"]
    prepare(request)
    number = request.path_params.get("revision")
    if number is not None:
        return revision_view(shop, name, number)
    return view_of(shop, name, in_force(shop, name).place)


def _published(view: View) -> Publication:
    if view.published is None:
        raise NotHereError(
            "nothing of this procedure is published", remedy="Publish it beside procedure.yaml"
        )
    return view.published


def _no_job(request: Request, view: View, force: InForce, why: str | None) -> Response:
    """Return the page that says why no job is begun by a revision.

    Whoever has a job under way gets on to it by what the page leads to.
    """
    other = force.head.revision if force.head.revision != view.head.revision else None
    on = f"{request.url.path}?all-the-same=yes" if has_page(view.published) else None
    return page(
        request, "no_job.html.jinja", 409, one=view.head, name=request.path_params["procedure"],
        why=why or "Nothing to follow at the bench is published of it: publish it.",
        other=other, ruled=force.is_ruled, on=on,
    )  # fmt: skip


def _all_the_same(request: Request) -> bool:
    """Whether somebody was told that this is not to be used, and wants it all the same."""
    return request.query_params.get("all-the-same") == "yes"


def _not_for_use(request: Request, view: View, force: InForce, why: str) -> Response:
    """Return the page that says why a print is not to be worked by, before it is shown."""
    other = force.head.revision if force.head.revision != view.head.revision else None
    return page(
        request, "not_for_use.html.jinja", 409, one=view.head,
        name=request.path_params["procedure"], why=why, other=other, ruled=force.is_ruled,
        on=f"{request.url.path}?all-the-same=yes",
    )  # fmt: skip


def file_answer(
    request: Request, stream: BufferedReader, published: Publication, name: str
) -> Response:
    """Return a file, the part of it that was asked for, or that it has not changed.

    One range is answered with that part, several with the whole file. Source: RFC 9110,
    13.1.2, 13.1.5 and 14.

    Args:
        request: the request it answers.
        stream: the open file, closed at the end.
        published: what it is published with.
        name: its name there.
    """
    size = os.fstat(stream.fileno()).st_size
    tag = f'"{published.files[name][:32]}"'
    kind = _KINDS.get(name.rpartition(".")[2].casefold())
    headers = {
        "ETag": tag,
        "Accept-Ranges": "bytes",
        "Cache-Control": "private, no-cache",
        "Content-Type": kind or "application/octet-stream",
        "Content-Security-Policy": _FILE_POLICY,
    }
    if kind is None or kind.startswith("text/html"):
        headers["Content-Disposition"] = "attachment"
    if _is_known(request.headers.get("if-none-match"), tag):
        stream.close()
        return Response(None, 304, headers)
    asked = request.headers.get("range", "")
    if request.headers.get("if-range", tag) != tag or request.method != "GET":
        asked = ""
    part = _part(asked, size)
    if part is None:
        return FilePart(stream, 0, size, 200, headers)
    start, end = part
    if start >= end:
        stream.close()
        said = ("the file has no such part", "Load the page again")
        return problem(request, 416, *said, {"Content-Range": f"bytes */{size}"})
    headers["Content-Range"] = f"bytes {start}-{end - 1}/{size}"
    return FilePart(stream, start, end - start, 206, headers)


def _is_known(tags: str | None, tag: str) -> bool:
    known = [one.strip().removeprefix("W/") for one in (tags or "").split(",")]
    return tag in known or known == ["*"]


def _part(asked: str, size: int) -> tuple[int, int] | None:
    """Return where a range begins and ends, empty where the file has none of it.

    Returns:
        None where the whole file is meant: no range, several, or one nobody can read.
    """
    found = _RANGE.fullmatch(asked.strip())
    if found is None:
        return None
    first, last, from_end = found.groups()
    if from_end is not None:
        return (max(0, size - int(from_end)), size)
    end = size if last is None else min(size, int(last) + 1)
    if last is not None and int(last) < int(first):
        return None
    return int(first), max(end, 0)


ROUTES = [
    Route("/procedures/{procedure}/standing", standing),
    Route("/procedures/{procedure}/page", work_page),
    Route("/procedures/{procedure}/page/{name:path}", work_file),
    Route("/procedures/{procedure}/files/{name:path}", published_file),
    Route("/procedures/{procedure}/revisions/{revision}/page", work_page),
    Route("/procedures/{procedure}/revisions/{revision}/page/{name:path}", work_file),
    Route("/procedures/{procedure}/revisions/{revision}/files/{name:path}", published_file),
]
