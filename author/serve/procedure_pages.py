"""The page of a procedure: what it is, how it stands, its steps, where used, what to order."""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import date
from typing import Any

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from author.errors import InputError
from author.library.audit import ActReport
from author.library.graph import Graph
from author.library.graph_drawing import draw
from author.library.shop import REVISIONS, Shop
from author.library.states import words
from author.procedure.order_lines import RULES
from author.procedure.orders import Job, order_sheet
from author.serve.find_pages import procedure_path
from author.serve.near_graph import Before, Naming, demands_of, graph_before, naming
from author.serve.procedure_view import (
    Head,
    View,
    has_page,
    known_as,
    load,
    sheets_of,
    view_of,
)
from author.serve.rendering import BODY, kept_page, page
from author.serve.rights import open_to
from author.serve.standing_audit import Held
from author.serve.standing_index import StandingIndex

_NEAR = 40
_MOST_JOBS = 100
_MOST_OLDER = 10
_NOT_FOR_USE = {
    "draft": "This is a draft: nobody has reviewed it.",
    "in_review": "This is in review: it is not approved yet.",
    "superseded": "Another procedure has taken the place of this one. Do not begin a job by it.",
    "withdrawn": "This is withdrawn. Do not work by it.",
}
_SAID_OF = {
    "before": "needs this one before it",
    "after": "needs this one after it",
    "finding": "leaves a finding to this one",
    "branch": "leads here by a decision",
}
_RULES = {
    "always": "To order",
    "in_case": "To have in case",
    "only_if": "Only if something is so",
}


@open_to("reader")
def procedure_page(request: Request) -> Response:
    """Show a procedure as it is in force."""
    shop = _shop(request)
    view = view_of(shop, request.path_params["procedure"])
    one = view.head
    name = request.path_params["procedure"]
    index: StandingIndex = request.app.state.index
    generation, ((graph, more), uses) = index.kept(
        ("around", name), lambda rows: (graph_before(rows, name, _NEAR), naming(rows, name, _NEAR))
    )
    demands = demands_of(graph)
    held = request.app.state.audit.of(name)
    stands = _stands(request, demands, uses)
    revisions, approved, overdue = _revisions(shop, name), _approved(shop, name, one), _overdue(one)
    beside = (*revisions, approved, overdue, *sorted(stands.items()))
    return kept_page(
        request,
        "procedure.html.jinja",
        (name, view.key, generation, held.at, beside),
        lambda: {
            "one": one,
            "name": name,
            "body": BODY,
            "older": None,
            "revisions": revisions,
            "standing": _standing(held, one.revision),
            "warning": _NOT_FOR_USE.get(one.state),
            "approved": approved,
            "overdue": overdue,
            "follow": has_page(view.published),
            "follow_words": _follow_words(view),
            "behind": view.behind,
            "published": view.published,
            "sheets": sheets_of(view.published),
            "before": demands,
            "stands": stands,
            "more_before": more,
            "uses": uses,
            "said_of": _SAID_OF,
            "newest": None,
        },
        view.body,
    )


@open_to("reader")
def revision_page(request: Request) -> Response:
    """Show an older revision."""
    shop, name = _shop(request), request.path_params["procedure"]
    view = view_of(shop, name, request.path_params["revision"])
    now = view_of(shop, name).head.revision
    held = request.app.state.audit.of(name)
    return page(
        request,
        "procedure.html.jinja",
        one=view.head,
        name=name,
        body=Markup(view.body),  # noqa: S704 - made by a template that escapes
        older=view.head.revision,
        revisions=_revisions(shop, name),
        standing=_standing(held, view.head.revision),
        warning=f"This is an older revision. Revision {now} has taken its place.",
        approved=None,
        overdue=None,
        follow=False,
        follow_words="",
        behind=False,
        published=None,
        sheets=[],
        before=[],
        stands={},
        more_before=False,
        uses=[],
        said_of=_SAID_OF,
        newest=now,
    )


def _shop(request: Request) -> Shop:
    shop: Shop = request.app.state.index.shop
    return shop


def _revisions(shop: Shop, name: str) -> list[int]:
    """Return the numbers of the older revisions, the newest first."""
    try:
        names = os.listdir(shop.place_of(name) / REVISIONS)  # noqa: PTH208 - names are enough
    except OSError:
        return []
    return sorted((int(one) for one in names if one.isdecimal() and len(one) < 8), reverse=True)


def _stands(request: Request, demands: Sequence[Before], uses: Sequence[Naming]) -> dict[str, str]:
    """Return how approved procedures around one stand, as far as that is known, by their ids."""
    around = [(one.first.id, one.first.state) for one in demands]
    around += [(one.procedure, one.state) for one in uses]
    held = request.app.state.audit.kinds(name for name, state in around if state == "approved")
    return {name: one.kind(one.audit.revision or 0) for name, one in held.items()}


def _approved(shop: Shop, name: str, one: Head) -> int | None:
    """Return the revision that is approved while a later one is worked on."""
    if one.state not in {"draft", "in_review"}:
        return None
    for number in _revisions(shop, name)[:_MOST_OLDER]:
        try:
            older = view_of(shop, name, str(number)).head
        except InputError:
            continue
        if older.state == "approved":
            return number
    return None


def _overdue(one: Head) -> str | None:
    """Return the day by which a procedure in force should have been looked over."""
    late = one.due is not None and one.due <= date.today().isoformat()
    return one.due if late and one.state not in {"superseded", "withdrawn"} else None


def _follow_words(view: View) -> str:
    shown = None if view.published is None else view.published.revision
    return "Follow it at the bench" if shown is None else f"Follow revision {shown} at the bench"


def _standing(held: Held, revision: int) -> dict[str, Any]:
    """Return how a revision stands by its signatures, in words."""
    acts = [one for one in held.audit.acts if one.entry.act.revision == revision]
    problems = [*held.audit.problems, *held.keys]
    return {
        "kind": held.kind(revision),
        "problems": problems,
        "acts": [_act(one) for one in acts],
        "last": _act(acts[-1]) if acts else None,
        "at": held.at.strftime("%H:%M"),
    }


def _act(report: ActReport) -> dict[str, Any]:
    act = report.entry.act
    return {
        "purpose": words(act.purpose),
        "name": act.name,
        "role": act.role,
        "day": act.time[:10],
        "reason": act.reason,
        "stands": report.stands,
        "why": report.why,
    }


@open_to("reader")
def drawing(request: Request) -> Response:
    """Draw what has to be done before a procedure."""
    name = request.path_params["procedure"]
    known_as(_shop(request), name)
    index: StandingIndex = request.app.state.index
    _, svg = index.kept(
        ("drawing", name),
        lambda rows: draw(graph_before(rows, name, _NEAR)[0], f"What has to be done before {name}"),
    )
    return Response(svg, media_type="image/svg+xml")


@open_to("reader")
def order_page(request: Request) -> Response:
    """Show what to order for a procedure and for all that has to be done before it."""
    shop, name = _shop(request), request.path_params["procedure"]
    alone = request.query_params.get("alone") == "yes"
    own = known_as(shop, name)
    index: StandingIndex = request.app.state.index
    generation, (graph, more) = index.kept(
        ("before", name), lambda rows: graph_before(rows, name, _MOST_JOBS)
    )
    others = [
        stop.id
        for stop in graph.stops
        if not alone and stop.id != name and stop.state not in {"missing", "withdrawn"}
    ]
    files = tuple(_known_or_not(shop, other) for other in others)
    return kept_page(
        request,
        "order.html.jinja",
        (name, alone, generation, own, files),
        lambda: _order(shop, name, others, graph, alone=alone, more=more),
    )


def _known_or_not(shop: Shop, procedure: str) -> tuple[object, ...] | None:
    try:
        return known_as(shop, procedure)
    except InputError:
        return None


def _order(
    shop: Shop, name: str, others: Sequence[str], graph: Graph, *, alone: bool, more: bool
) -> dict[str, Any]:
    """Return what the page of what to order shows."""
    one = load(shop, name)
    jobs = [Job(one)]
    remarks = [f"{before.first.id}: {before.wrong}" for before in demands_of(graph) if before.wrong]
    for other in others:
        try:
            jobs.append(Job(load(shop, other)))
        except InputError as error:
            remarks.append(f"{other}: {error.problem}")
    if more:
        remarks.append(f"only {_MOST_JOBS} procedures were looked at: more comes before them")
    sheet = order_sheet(jobs)
    lines = [*sheet.numbered, *sheet.unnumbered]
    return {
        "one": one,
        "name": name,
        "alone": alone,
        "sheet": sheet,
        "groups": [
            (rule, _RULES[rule], [line for line in lines if line.asked(rule)]) for rule in RULES
        ],
        "remarks": [] if alone else remarks,
        "path": procedure_path(name),
    }


ROUTES = [
    Route("/procedures/{procedure}", procedure_page),
    Route("/procedures/{procedure}/revisions/{revision}", revision_page),
    Route("/procedures/{procedure}/before.svg", drawing),
    Route("/procedures/{procedure}/order", order_page),
]
