"""Find procedures, follow a part, see which reviews have fallen due."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any
from urllib.parse import urlencode

from starlette.datastructures import QueryParams
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from author.errors import InputError
from author.library.asking.finding import Answer, FoundSpec, find
from author.library.asking.forgotten_units import forgotten_units, taken_values
from author.library.asking.listing import FileProblem, reviews_due
from author.library.asking.query import Asked, Filters, read_query, read_range
from author.library.asking.where_used import where_used
from author.library.index.stems import stems_of
from author.library.index.words import SHORTEST_CORRECTED, folded, words_in
from author.library.signing.states import SETTLED, STATES
from author.procedure.quantities import Limits, range_text
from author.procedure.units import all_units
from author.serve.rendering import NavEntry, kept_page, page
from author.serve.rights import open_to
from author.serve.standing_index import StandingIndex

_STEP = 25
_MOST = 500
_MOST_USES = 200
_LONGEST = 400
_FIELDS = (
    "unit", "part", "tool", "supply", "spec", "hazard", "author", "since", "before", "older",
)  # fmt: skip
ROLES = {
    "own": "",
    "older": "as a number it has taken the place of",
    "instead": "as an alternative",
    "before": "has to be done before it",
    "after": "has to be done after it",
    "finding": "deals with a finding of it",
    "branch": "a decision of it leads there",
}


@dataclass(frozen=True, slots=True)
class Form:
    """What somebody filled in.

    Attributes:
        words: what is looked for.
        fields: the filters as they were typed, by name.
        states: states that were ticked.
        hold: ``yes``, ``no`` or empty.
        revisions: whether older revisions are looked through too.
        most: how many are shown.
    """

    words: str
    fields: dict[str, str]
    states: tuple[str, ...]
    hold: str
    revisions: bool
    most: int

    @property
    def narrowed(self) -> int:
        """Number of filters that are set."""
        typed = sum(1 for text in self.fields.values() if text)
        return typed + bool(self.states) + bool(self.hold) + self.revisions

    @property
    def key(self) -> tuple[object, ...]:
        """All that was filled in."""
        fields = tuple(self.fields.items())
        return self.words, fields, self.states, self.hold, self.revisions, self.most

    def more(self) -> str:
        """Return the address at which more of the same is shown."""
        pairs = [("q", self.words), *self.fields.items(), ("hold", self.hold)]
        pairs += [("state", state) for state in self.states]
        pairs += [("revisions", "yes" if self.revisions else ""), ("most", str(self.most + _STEP))]
        return "/?" + urlencode([(name, text) for name, text in pairs if text])


def _form_of(asked: QueryParams) -> Form:
    most = asked.get("most", "")
    number = int(most) if most.isascii() and most.isdecimal() and len(most) < 5 else _STEP
    return Form(
        words=asked.get("q", "").strip(),
        fields={name: asked.get(name, "").strip()[:_LONGEST] for name in _FIELDS},
        states=tuple(state for state in STATES if state in asked.getlist("state")),
        hold=asked.get("hold", "") if asked.get("hold") in {"yes", "no"} else "",
        revisions=asked.get("revisions") == "yes",
        most=min(max(number, 1), _MOST),
    )


def _filters(form: Form) -> Filters:
    """Return the filters that were set.

    Raises:
        InputError: if one of them cannot be read.
    """
    typed = form.fields

    def some(name: str) -> tuple[str, ...]:
        return (typed[name],) if typed[name] else ()

    filters = Filters(
        unit=typed["unit"],
        states=form.states,
        parts=some("part"),
        tools=some("tool"),
        supplies=some("supply"),
        specs=tuple(read_range(text) for text in some("spec")),
        hazards=some("hazard"),
        hold={"yes": True, "no": False}.get(form.hold),
        author=typed["author"],
        changed_since=_day(typed["since"]),
        changed_before=_day(typed["before"]),
        older=form.revisions,
    )
    if typed["older"]:
        before = _days_ago(typed["older"])
        filters = replace(filters, changed_before=min(filters.changed_before or before, before))
    return filters


def _day(text: str) -> str:
    if not text:
        return ""
    try:
        if date.fromisoformat(text).isoformat() == text:
            return text
    except ValueError:
        pass
    raise InputError(f"'{text[:40]}' is not a day of the calendar", remedy="Write 2026-03-31")


def _days_ago(text: str) -> str:
    if text.isascii() and text.isdecimal() and len(text) < 6 and int(text) <= 40_000:
        return (date.today() - timedelta(days=int(text))).isoformat()
    raise InputError(f"'{text[:40]}' is no number of days", remedy="Write it like 365")


@open_to("reader")
def find_page(request: Request) -> Response:
    """Show what words and filters find; all procedures where neither is given."""
    form = _form_of(request.query_params)
    index: StandingIndex = request.app.state.index
    faulty, notes = index.faulty, tuple(_notes(request))
    try:
        asked, filters = read_query(form.words), _filters(form)
        generation, answer = index.kept(
            ("find", asked, filters, form.most), lambda rows: find(rows, asked, filters, form.most)
        )
    except InputError as error:
        values = _shown(form, Answer(()), {}, said=error, faulty=faulty, notes=notes)
        return page(request, "find.html.jinja", 400, **values)
    stands = standing_of(request, answer.results)
    return kept_page(
        request,
        "find.html.jinja",
        (generation, form.key, filters, tuple(sorted(stands.items())), faulty, notes),
        lambda: _shown(form, answer, stands, faulty=faulty, notes=notes, asked=asked),
    )


def _shown(
    form: Form,
    answer: Answer,
    stands: Mapping[tuple[str, int], str],
    *,
    faulty: Sequence[FileProblem],
    notes: Sequence[str],
    said: InputError | None = None,
    asked: Asked | None = None,
) -> dict[str, Any]:
    """Return what the page of what was found shows."""
    return {
        "form": form,
        "said": said,
        "answer": answer,
        "results": [_result(one) for one in answer.results],
        "stands": stands,
        "taken": _taken(form.words, answer),
        "forgotten": () if asked is None else forgotten_units(form.words, asked),
        "values": () if asked is None else taken_values(form.words, asked),
        "states": STATES,
        "faulty": faulty,
        "notes": notes,
    }


def _taken(typed: str, answer: Answer) -> dict[str, tuple[str, ...]]:
    """Return the words that were found as others: slips of the keys, and those cut off short.

    A word with a letter left out may be the beginning of a stem: ``torqe`` of ``torque``.
    """
    taken = dict(answer.taken_as)
    marked = {
        one
        for found in answer.results
        if found.hit is not None
        for start, end in found.hit.found
        for one in words_in(folded(found.hit.text[start:end]))
    }
    for word in map(folded, typed.split()):
        if not word.isalpha() or word in taken or len(word) < SHORTEST_CORRECTED:
            continue
        (stem,) = stems_of([word])
        near = {one for one in marked if stems_of([one])[0].startswith(stem)}
        if near and not any(one.startswith(word) or stems_of([one]) == [stem] for one in near):
            taken[word] = tuple(sorted(near))
    return taken


def standing_of(request: Request, rows: Iterable[Any]) -> dict[tuple[str, int], str]:
    """Return how those of some rows stand that are held against their signatures already.

    Args:
        request: the request.
        rows: each with the attributes ``procedure``, ``revision`` and ``state``.

    Returns:
        ``signed``, ``unsigned`` or ``wrong`` by procedure and revision.
    """
    shown = [(one.procedure, one.revision) for one in rows if one.state in SETTLED]
    held = request.app.state.audit.kinds(procedure for procedure, _ in shown)
    return {(name, n): held[name].kind(n) for name, n in shown if name in held}


def _notes(request: Request) -> Iterator[str]:
    index = request.app.state.index
    if index.trouble:
        yield f"What is found may be older than the files: {index.trouble}"


def _result(one: Any) -> dict[str, Any]:
    return {
        "about": one,
        "href": procedure_path(one.procedure, None if one.in_force else one.revision),
        "hit": None if one.hit is None else _pieces(one.hit.text, one.hit.found),
        "where": None if one.hit is None else one.hit.place,
        "specs": [(spec, _range(spec)) for spec in one.specs],
    }


def procedure_path(procedure: str, revision: int | None = None) -> str:
    """Return the address of a procedure, or of one revision of it by its number."""
    own = "" if revision is None else f"/revisions/{revision}"
    return f"/procedures/{procedure}{own}"


def _pieces(text: str, found: tuple[tuple[int, int], ...]) -> list[tuple[str, bool]]:
    """Return a text in pieces, each with whether it was looked for."""
    pieces, at = [], 0
    for start, end in found:
        pieces += [(text[at:start], False), (text[start:end], True)]
        at = end
    return [piece for piece in (*pieces, (text[at:], False)) if piece[0]]


def _range(spec: FoundSpec) -> str:
    low, middle, high = (
        None if value is None else Decimal(value)
        for value in (spec.lower, spec.nominal, spec.upper)
    )
    return range_text(Limits(low, middle, high, all_units()[spec.unit]))


@open_to("reader")
def where_used_page(request: Request) -> Response:
    """Show which procedures use a part, a tool, a supply or a procedure."""
    what = request.query_params.get("what", "").strip()[:_LONGEST]
    older = request.query_params.get("revisions") == "yes"
    uses, generation, stands = None, "", {}
    if what:
        index: StandingIndex = request.app.state.index
        generation, uses = index.kept(
            ("where used", what, older),
            lambda rows: where_used(rows, what, older_revisions=older, most=_MOST_USES),
        )
        stands = standing_of(request, uses.results)
    return kept_page(
        request,
        "where_used.html.jinja",
        (generation, what, older, tuple(sorted(stands.items()))),
        lambda: {
            "what": what,
            "revisions": older,
            "uses": uses,
            "most": _MOST_USES,
            "stands": stands,
            "roles": ROLES,
        },
    )


@open_to("reader")
def due_page(request: Request) -> Response:
    """Show the procedures whose review has fallen due."""
    by = date.today().isoformat()
    index: StandingIndex = request.app.state.index
    generation, found = index.kept(("due", by), lambda rows: reviews_due(rows, by))
    stands = standing_of(request, found)
    return kept_page(
        request,
        "due.html.jinja",
        (generation, by, tuple(sorted(stands.items()))),
        lambda: {"due": found, "by": by, "stands": stands},
    )


ROUTES = [
    Route("/", find_page),
    Route("/where-used", where_used_page),
    Route("/due", due_page),
]
NAV = [
    NavEntry("/", "Find"),
    NavEntry("/where-used", "Where used"),
    NavEntry("/due", "Reviews due"),
]
