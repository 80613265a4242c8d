"""What the library has to say at the head of a bench page, whichever screen is open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from markupsafe import escape
from starlette.requests import Request

from author.serve.in_force import InForce
from author.serve.procedure_pages import after_of, around, stands_of, unfit_of
from author.serve.procedure_view import View

_HEAD = b'<header class="top">'
_BEGIN = b'data-act="beginJob"'
_MOST = 3


def with_bands(
    request: Request, page: bytes, view: View, force: InForce, closed: str | None
) -> bytes:
    """Return a bench page with bands at its head, and no way to begin a job where it is closed.

    Args:
        request: the request it answers.
        page: the published page.
        view: the revision it is of.
        force: the revision in force.
        closed: why no job is begun by it, as a sentence; None if one may be.
    """
    said = list(_bands(request, view, force, closed))
    head = _HEAD if _HEAD in page else b"<body>"
    path = escape(f"/procedures/{request.path_params['procedure']}")
    bands = f'\n  <p class="note live"><a href="{path}">This procedure in the library</a></p>'
    bands += "".join(f'\n  <p class="tape"><strong>{escape(one)}</strong></p>' for one in said)
    page = page.replace(head, head + bands.encode(), 1)
    return page if closed is None else page.replace(_BEGIN, b"disabled")


def _bands(request: Request, view: View, force: InForce, closed: str | None) -> Iterator[str]:
    name = request.path_params["procedure"]
    if closed is not None:
        yield f"{closed} Here only to end a job that is under way"
    if view.place != force.place:
        return
    if force.unread:
        said = ": work goes by this revision" if force.is_ruled else ""
        yield f"The newer file of this procedure cannot be read{said}"
    before = unfit_before(request)
    if before:
        yield f"Not fit, and to be done before this: {first_of(before)}"
    after = [f"{title or id_}: {why}" for id_, title, why in after_of(request, name)]
    if after:
        yield f"Not fit, and to be done after this: {first_of(after)}"
    on_hold = request.app.state.on_hold.of(name, view.head.unit)
    if on_hold is None:
        yield "Whether units are on hold cannot be told now: ask before a unit is used"
    elif on_hold:
        yield f"On hold, not to be used: {first_of([one.title for one in on_hold])}"


def unfit_before(request: Request) -> list[str]:
    """Return what has to be done before the procedure of a path and is not fit, and why."""
    name = request.path_params["procedure"]
    _, demands, _, uses = around(request, name)
    unfit = unfit_of(demands, stands_of(request, name, demands, uses))
    return [f"{one.first.title or one.first.id}: {why}" for one, why in unfit]


def first_of(some: Sequence[str]) -> str:
    """Return the first of some words in one line, and how many more there are."""
    more = len(some) - _MOST
    return "; ".join(some[:_MOST]) + (f"; and {more} more" if more > 0 else "")
