"""The page of a procedure: what it is, how it stands, its steps, where used, what to order."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from datetime import date
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from author.errors import InputError, ReelwrightError
from author.library.asking.graph import Graph
from author.library.asking.graph_drawing import draw
from author.library.shop import Shop
from author.library.signing.audit import ActReport
from author.library.signing.states import OUT_OF_USE, words
from author.procedure.order_lines import RULES
from author.procedure.orders import Job, order_sheet
from author.serve.at_hand import shop_of
from author.serve.find_pages import procedure_path
from author.serve.in_force import InForce, in_force, older_revisions, revision_view, why_no_job
from author.serve.near_graph import Before, Naming, after_unfit, demands_of, graph_before, naming
from author.serve.page_maker import prepare
from author.serve.procedure_view import (
    Head,
    View,
    has_page,
    head_of,
    known_as,
    load,
    revision_path,
    sheets_of,
    view_of,
)
from author.serve.rendering import BODY, kept_page
from author.serve.rights import open_to
from author.serve.standing_audit import Held, StandingAudit
from author.serve.standing_index import StandingIndex

_NEAR = 40
_MOST_JOBS = 100
_MOST_OLDER = 10
_MOST_ASKED = 10
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
    """Show the revision of a procedure that is in force."""
    shop, name = shop_of(request), request.path_params["procedure"]
    prepare(request)
    force = in_force(shop, name)
    return _shown(request, force, view_of(shop, name, force.place))


@open_to("reader")
def revision_page(request: Request) -> Response:
    """Show a revision: one that is worked on, in force, or an older one."""
    shop, name = shop_of(request), request.path_params["procedure"]
    prepare(request)
    view = revision_view(shop, name, request.path_params["revision"])
    return _shown(request, in_force(shop, name), view)


def _shown(request: Request, force: InForce, view: View) -> Response:
    """Return the page of a revision; what stands around it is told of the one in force."""
    shop, name, one = shop_of(request), request.path_params["procedure"], view.head
    here = view.place == force.place
    generation, demands, more, uses = around(request, name) if here else (None, [], False, [])
    held = request.app.state.audit.of(name)
    stands = stands_of(request, name, demands, uses)
    revisions = _revisions(shop, name, force)
    overdue = _overdue(one) if here else None
    on_hold = request.app.state.on_hold.of(name, one.unit)
    beside = (tuple(revisions), force, overdue, on_hold, *sorted(stands.items()))
    state = _state(force, view)
    own = f"/procedures/{name}" if here else revision_path(name, one.revision)
    return kept_page(
        request,
        "procedure.html.jinja",
        (own, view.key, view.place, generation, held.at, beside),
        lambda: {
            "one": one,
            "name": name,
            "body": BODY,
            "here": here,
            "force": force,
            "own": own,
            "revisions": revisions,
            "state": state,
            "out_of_use": state in OUT_OF_USE,
            "standing": _standing(held, one.revision),
            "warning": _warning(force, view),
            "overdue": overdue,
            "on_hold": on_hold,
            "follow": has_page(view.published),
            "own_page": _is_own(view),
            "no_job": why_no_job(force, view, held),
            "behind": view.behind,
            "published": view.published,
            "sheets": sheets_of(view.published, f"{own}/files"),
            "before": demands,
            "unfit": unfit_of(demands, stands),
            "unfit_after": after_of(request, name) if here else [],
            "stands": stands,
            "more_before": more,
            "uses": uses,
            "said_of": _SAID_OF,
        },
        view.body,
    )


def after_of(request: Request, name: str) -> list[tuple[str, str, str]]:
    """Return what has to be done after a procedure and is not fit, with its title and why."""
    index: StandingIndex = request.app.state.index
    found: list[tuple[str, str, str]] = index.kept(
        ("after", name), lambda rows: after_unfit(rows, name)
    )[1]
    return found


def around(request: Request, name: str) -> tuple[object, list[Before], bool, list[Naming]]:
    """Return the state of the index, what comes before, whether there is more, and who names it."""
    index: StandingIndex = request.app.state.index
    generation, ((graph, more), uses) = index.kept(
        ("around", name),
        lambda rows: (graph_before(rows, name, _NEAR), naming(rows, name, _NEAR)),
    )
    return generation, demands_of(graph), more, uses


def _state(force: InForce, view: View) -> str:
    """Return the state a revision has beside the others: an older one is not approved any more."""
    older = view.place is not None and view.place != force.place
    return "superseded" if older and view.head.state != "withdrawn" else view.head.state


def _is_own(view: View) -> bool:
    """Whether what is published is of this revision, and not of another."""
    return view.published is not None and view.published.revision == view.head.revision


def unfit_of(demands: Sequence[Before], stands: dict[str, str]) -> list[tuple[Before, str]]:
    """Return what has to be done before and cannot be relied on, and why, the nearest first."""
    found: dict[tuple[str, str], tuple[Before, str]] = {}
    for one in demands:
        wrong = one.wrong or ("it is not as signed" if stands.get(one.first.id) == "wrong" else "")
        if wrong:
            found.setdefault((one.first.id, wrong), (one, wrong))
    return [*found.values()]


def _warning(force: InForce, view: View) -> str | None:
    """Return what has to be said first of a revision that is not for use."""
    if view.place == force.place or view.head.state == "withdrawn":
        return _NOT_FOR_USE.get(view.head.state)
    newest = force.newest.revision if force.newest else None
    if view.place is not None:
        taken = force.head.revision
        return f"This is an older revision. Revision {taken} has taken its place."
    state = "in review" if view.head.state == "in_review" else "being written"
    if force.head.state in OUT_OF_USE:
        out = f"revision {force.head.revision} is {words(force.head.state)}"
        return f"Revision {newest} is {state}, and {out}: work goes by neither."
    return f"Revision {newest} is {state}: work goes by revision {force.head.revision}."


def _revisions(shop: Shop, name: str, force: InForce) -> list[tuple[int, str]]:
    """Return number and state of each revision there is, in words, the newest first."""
    found: list[tuple[int, str | None]] = []
    if force.newest is not None:
        found.append((force.newest.revision, None))
    found += [(number, str(number)) for number in older_revisions(shop, name)]
    said = []
    for number, place in found[:_MOST_OLDER]:
        try:
            state = words(head_of(shop, name, place).state)
        except InputError:
            state = "cannot be read"
        if state == "approved":
            state = "in force" if place == force.place and force.is_ruled else "superseded"
        said.append((number, state))
    return said


def stands_of(
    request: Request, name: str, demands: Sequence[Before], uses: Sequence[Naming]
) -> dict[str, str]:
    """Return how approved procedures around one stand, by their ids.

    What has to be done right before it is read if it has to be; of the others that which is known.
    """
    audit: StandingAudit = request.app.state.audit
    firsts = [one.first for one in demands]
    near = {one.id: one.revision or 0 for one in firsts if one.state == "approved"}
    near |= {one.procedure: one.revision for one in uses if one.state == "approved"}
    held = audit.kinds(near)
    right_before = (one.first.id for one in demands if one.order.then == name)
    unknown = [one for one in right_before if one in near and one not in held]
    for one in unknown[:_MOST_ASKED]:
        with contextlib.suppress(ReelwrightError):  # its own page tells it
            held[one] = audit.of(one)
    return {name: one.kind(near[name]) for name, one in held.items()}


def _overdue(one: Head) -> str | None:
    """Return the day by which a procedure in force should have been looked over."""
    late = one.due is not None and one.due <= date.today().isoformat()
    return one.due if late and one.state not in OUT_OF_USE else None


def _standing(held: Held, revision: int) -> dict[str, Any]:
    """Return how a revision stands by its signatures, in words."""
    acts = [one for one in held.audit.acts if one.entry.act.revision == revision]
    problems = held.problems(revision)
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
    known_as(shop_of(request), name)
    index: StandingIndex = request.app.state.index
    _, svg = index.kept(
        ("drawing", name),
        lambda rows: draw(graph_before(rows, name, _NEAR)[0], f"What has to be done before {name}"),
    )
    return Response(svg, media_type="image/svg+xml")


@open_to("reader")
def order_page(request: Request) -> Response:
    """Show what to order for a procedure and for all that has to be done before it."""
    shop, name = shop_of(request), request.path_params["procedure"]
    alone = request.query_params.get("alone") == "yes"
    own = _known(shop, name)
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
    held = request.app.state.audit.of(name)
    return kept_page(
        request,
        "order.html.jinja",
        (name, alone, generation, own, files, held.at),
        lambda: _order(shop, name, others, graph, held, alone=alone, more=more),
    )


def _known(shop: Shop, procedure: str) -> tuple[object, ...]:
    """Return by what the file of the revision in force is known."""
    return known_as(shop, procedure, in_force(shop, procedure).place)


def _known_or_not(shop: Shop, procedure: str) -> tuple[object, ...] | None:
    try:
        return _known(shop, procedure)
    except InputError:
        return None


def _order(
    shop: Shop,
    name: str,
    others: Sequence[str],
    graph: Graph,
    held: Held,
    *,
    alone: bool,
    more: bool,
) -> dict[str, Any]:
    """Return what the page of what to order shows."""
    one = load(shop, name, in_force(shop, name).place)
    jobs = [Job(one)]
    remarks = [f"{before.first.id}: {before.wrong}" for before in demands_of(graph) if before.wrong]
    for other in others:
        try:
            jobs.append(Job(load(shop, other, in_force(shop, other).place)))
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
        "out_of_use": words(one.state) if one.state in OUT_OF_USE else None,
        "wrong": held.kind(one.revision) == "wrong",
        "remarks": [] if alone else remarks,
        "path": procedure_path(name),
    }


ROUTES = [
    Route("/procedures/{procedure}", procedure_page),
    Route("/procedures/{procedure}/revisions/{revision}", revision_page),
    Route("/procedures/{procedure}/before.svg", drawing),
    Route("/procedures/{procedure}/order", order_page),
]
