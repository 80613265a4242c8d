"""Job records in a browser: units and their findings, records, readings, questions, hours."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, TypeVar, cast
from urllib.parse import quote, urlencode

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from author.errors import FileErrors, InputError, MachineError
from author.library.records.keeping import RECORD_FILES, Keeping
from author.library.records.lists import OUTCOMES, UnitFinding
from author.library.records.releases import Releaser
from author.library.records.run_rules import TREND
from author.library.records.run_series import Phase, Series
from author.library.shop import open_shop
from author.library.signing.known_people import people_of
from author.procedure.review import same_name
from author.publish.content import labour_text
from author.serve.at_hand import folder_of
from author.serve.one_rule import same_digits
from author.serve.problems import problem
from author.serve.record_view import job_sheet
from author.serve.record_words import job_words, taken_out, unit_words
from author.serve.rendering import NavEntry, NotHereError, page
from author.serve.rights import open_to
from author.serve.settings import RECORD_LIMIT
from author.tasks.library_records import (
    answer_question,
    hours,
    keep,
    look,
    questions,
    readings,
    record_report,
    release_finding,
    spec_list,
    unit_list,
    unit_report,
    with_surroundings,
)
from author.tasks.run_chart import chart_words, run_chart

Value = TypeVar("Value")
_CHART_POLICY = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'"
_PHASES = ("as_left", "as_found")
_MOST_FAULTS = 20
_MOST_JOBS = 100
"""So many jobs are drawn and listed at once; the command lists all."""


def unit_path(slug: str) -> str:
    """Return the address of a unit, by the name of its folder."""
    return f"/units/{slug}"


def record_path(slug: str, key: str) -> str:
    """Return the address of a record."""
    return f"/units/{slug}/records/{key}"


def readings_path(procedure: str, spec: str) -> str:
    """Return the address of the readings of a requirement."""
    return f"/readings/{procedure}/{spec}"


def _here(remedy: str, job: Callable[[], Value]) -> Value:
    """Do what an address asks for; what it names and is not there is answered so."""
    try:
        return job()
    except InputError as error:
        raise NotHereError(error.problem, remedy=remedy) from error


def _nameless(request: Request) -> bool:
    """Whether nobody can say who is at this machine, in a library that knows its people."""
    if not request.state.no_accounts:
        return False
    try:
        return people_of(open_shop(folder_of(request))).any
    except InputError:  # damaged keys: an audit tells of them, and they are somebody's
        return True


def _releaser(request: Request, *, nameless: bool) -> Releaser:
    person = request.state.person
    if nameless:
        return Releaser(person.name)
    trades = tuple(getattr(person, "trades", ()))
    return Releaser(person.name, tuple(person.roles), trades)


@open_to("reader")
def units_page(request: Request) -> Response:
    """Show the units that were worked on, those on hold first."""
    found = unit_list(folder_of(request))
    said = look(folder_of(request), unit_words).value
    return page(
        request, "record_units.html.jinja", units=found.value, problems=found.problems,
        unit_path=unit_path, said=said,
    )  # fmt: skip


@open_to("reader")
def unit_page(request: Request) -> Response:
    """Show a unit: what holds it, its jobs, and what was released."""
    slug = request.path_params["slug"]
    found = _here("Look for it among the units", lambda: unit_report(folder_of(request), slug))
    nameless = _nameless(request)
    releaser = _releaser(request, nameless=nameless)
    said = look(folder_of(request), lambda rows: job_words(rows, found.value.unit.slug)).value

    def may_release(one: UnitFinding) -> str | None:
        return releaser.role_for(one.role)

    return page(
        request, "record_unit.html.jinja", report=found.value, problems=found.problems,
        may_release=may_release, is_among=_is_among, unit_path=unit_path, record_path=record_path,
        readings_path=readings_path, nameless=nameless, said=said, outcomes=OUTCOMES,
        released=request.query_params.get("released") == "yes",
    )  # fmt: skip


@open_to("reader")
def release_one(request: Request) -> Response:
    """Release a finding of a unit, if the role of whoever asks may."""
    slug, finding = request.path_params["slug"], request.path_params["finding"]
    why = str(request.state.form.get("why") or "").strip()
    report = _here(
        "Look for it among the units", lambda: unit_report(folder_of(request), slug)
    ).value
    found = next((one for one in report.open if one.id == finding), None)
    if found is None:
        return problem(
            request, 404, "this finding is not open, or not of this unit",
            "Load the page of the unit again",
        )  # fmt: skip
    nameless = _nameless(request)
    releaser = _releaser(request, nameless=nameless)
    if nameless:
        return problem(
            request, 403, "the library knows its people, and not who is at this machine",
            f"Release it with 'reelwright library release SHOP {slug} {found.id[:8]} --by NAME "
            "--why REASON', or here after an account is added",
        )  # fmt: skip
    if releaser.role_for(found.role) is None:
        named = f"{found.role}, or a keeper" if found.role else "a keeper"
        return problem(request, 403, f"only {named} releases this", f"Ask {named}")
    release_finding(folder_of(request), slug, finding, releaser, why)
    request.app.state.on_hold.forget()
    return RedirectResponse(f"{unit_path(slug)}?released=yes", 303)


@open_to("reader")
def record_page(request: Request) -> Response:
    """Show a record with what has to be told beside it."""
    slug, key = request.path_params["slug"], request.path_params["key"]
    remedy = "Look for it among the records of its unit"
    report = _here(remedy, lambda: record_report(folder_of(request), slug, key))
    named = [one.name for one in report.kept.record.workers]
    return page(
        request, "record_job.html.jinja", report=report, sheet=job_sheet(report.kept),
        notes=(*taken_out(request.app.state.audit, report.kept), *report.notes),
        outcomes=OUTCOMES, sent_for_others=not _is_among(report.kept.sent.sent_by, named),
        unit_path=unit_path, record_path=record_path, readings_path=readings_path,
    )  # fmt: skip


def _is_among(name: str, others: Iterable[str]) -> bool:
    """Whether whoever sent a record is one of those it names."""
    return same_name(name) in map(same_name, others)


@open_to("reader")
def record_file(request: Request) -> Response:
    """Give a record byte for byte as it was sent."""
    slug, key = request.path_params["slug"], request.path_params["key"]
    remedy = "Look for it among the records of its unit"
    kept = _here(remedy, lambda: record_report(folder_of(request), slug, key)).kept
    data = kept.file.read_bytes()
    name = f"{kept.record.procedure.id}-{key[:10]}{kept.file.suffix}"
    kind = "application/json" if kept.file.name == RECORD_FILES[0] else "application/yaml"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(data, headers=headers, media_type=kind)


@open_to("reader", most=RECORD_LIMIT)
async def take_record(request: Request) -> Response:
    """Keep a record that a work page sends; answered in JSON."""
    data = await request.body()
    return await run_in_threadpool(_taken, request, data)


def _taken(request: Request, data: bytes) -> Response:
    procedure = request.path_params["procedure"]
    try:
        done = keep(
            folder_of(request), data, name="record", by=request.state.person.name,
            procedure=procedure,
        )  # fmt: skip
    except FileErrors as error:
        said = {
            "problem": error.problem,
            "remedy": error.remedy,
            "faults": [str(one) for one in error.faults[:_MOST_FAULTS]],
        }
        return JSONResponse(said, 400)
    except InputError as error:
        return JSONResponse({"problem": error.problem, "remedy": error.remedy}, 400)
    request.app.state.on_hold.forget()
    kept = done.kept
    unit = kept.record.unit if kept.record.serial is None else (
        f"{kept.record.unit}, {kept.record.serial}"
    )  # fmt: skip
    told = {
        "did": done.did,
        "at": kept.sent.sent_at,
        "by": kept.sent.sent_by,
        "unit": unit,
        "record": record_path(kept.slug, kept.key),
        "notes": list(_with_surroundings(request, done).notes),
    }
    return JSONResponse(told, 201 if done.did == "new" else 200)


def _with_surroundings(request: Request, done: Keeping) -> Keeping:
    """Return what became of a record with what the library has beside it."""
    try:
        return look(folder_of(request), lambda rows: with_surroundings(rows, done)).value
    except (InputError, MachineError):
        return done  # it is kept: an index that cannot be asked must not deny that


@open_to("reader")
def specs_page(request: Request) -> Response:
    """Show every requirement that was read in a job."""
    found = spec_list(folder_of(request))
    return page(
        request, "record_specs.html.jinja", specs=found.value, problems=found.problems,
        readings_path=readings_path,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Choice:
    """Which readings of a requirement are looked at.

    Attributes:
        procedure: id of the procedure.
        spec: id of the requirement.
        phase: before the work or after it, None as the records have it.
        position: one of several places, None for all.
        unit: name of the folder of one unit, None for all.
    """

    procedure: str
    spec: str
    phase: Phase | None
    position: str | None
    unit: str | None

    def address(self, ending: str = "", **other: str | None) -> str:
        """Return the address of these readings, or of others."""
        asked = {"phase": self.phase, "position": self.position, "unit": self.unit, **other}
        query = urlencode({key: value for key, value in asked.items() if value})
        path = readings_path(quote(self.procedure), quote(self.spec))
        return f"{path}{ending}{'?' if query else ''}{query}"


def _chosen(request: Request) -> tuple[Choice, Series]:
    asked = request.query_params
    phase = asked.get("phase")
    position = asked.get("position") or None
    choice = Choice(
        request.path_params["procedure"],
        request.path_params["spec"],
        cast("Phase", phase) if phase in _PHASES else None,
        position,
        asked.get("unit") or None,
    )
    found = _here(
        "Look for it among the readings",
        lambda: readings(
            folder_of(request), choice.procedure, choice.spec, phase=choice.phase,
            position=position, unit=choice.unit, most=_MOST_JOBS,
        ),
    )  # fmt: skip
    return choice, same_digits(found.value)


@open_to("reader")
def spec_page(request: Request) -> Response:
    """Show the readings of a requirement: the run chart, and a table of all of them."""
    choice, series = _chosen(request)
    positions = sorted({one.position for one in series.points if one.position})
    rows = [
        (job, [one for one in series.points if one.job == n]) for n, job in enumerate(series.jobs)
    ]
    return page(
        request, "record_spec.html.jinja", series=series, choice=choice, positions=positions,
        few=TREND, rows=rows[::-1], words=chart_words(series), record_path=record_path,
        unit_path=unit_path,
    )  # fmt: skip


@open_to("reader")
def chart_file(request: Request) -> Response:
    """Give the run chart of a requirement as SVG."""
    _, series = _chosen(request)
    narrow = request.query_params.get("narrow") == "yes"
    headers = {"Content-Security-Policy": _CHART_POLICY}
    return Response(_chart(series, narrow), headers=headers, media_type="image/svg+xml")


@lru_cache(maxsize=100)
def _chart(series: Series, narrow: bool) -> bytes:
    return run_chart(series, narrow=narrow)


@open_to("reader")
def questions_page(request: Request) -> Response:
    """Show the questions from the work with their answers, or those about one procedure."""
    about = request.query_params.get("procedure") or None
    found = questions(folder_of(request), procedure=about)
    return page(
        request, "record_questions.html.jinja", questions=found.value, problems=found.problems,
        about=about, record_path=record_path,
    )  # fmt: skip


@open_to("author", "reviewer")
def answer_one(request: Request) -> Response:
    """Answer a question from the work."""
    question = request.path_params["question"]
    text = " ".join(str(request.state.form.get("answer") or "").split())
    asked = questions(folder_of(request)).value
    if all(one.id != question for one in asked):
        return problem(request, 404, "there is no such question", "Load the questions again")
    answer_question(folder_of(request), question, text, request.state.person.name)
    return RedirectResponse(f"/questions#q-{question}", 303)


@open_to("reader")
def hours_page(request: Request) -> Response:
    """Show what finished jobs took against the labour time of their procedure."""
    found = hours(folder_of(request))
    return page(
        request, "record_hours.html.jinja", rows=found.value, problems=found.problems,
        labour=labour_text,
    )  # fmt: skip


def _route(path: str, handler: Any, method: str = "GET") -> Route:
    return Route(path, handler, methods=[method])


ROUTES = [
    _route("/units", units_page),
    _route("/units/{slug}", unit_page),
    _route("/units/{slug}/release/{finding}", release_one, "POST"),
    _route("/units/{slug}/records/{key}", record_page),
    _route("/units/{slug}/records/{key}/file", record_file),
    _route("/readings", specs_page),
    _route("/readings/{procedure}/{spec}", spec_page),
    _route("/readings/{procedure}/{spec}/chart.svg", chart_file),
    _route("/questions", questions_page),
    _route("/questions/{question}/answer", answer_one, "POST"),
    _route("/hours", hours_page),
    _route("/procedures/{procedure}/records", take_record, "POST"),
]
NAV = [
    NavEntry("/units", "Units"),
    NavEntry("/readings", "Readings"),
    NavEntry("/questions", "Questions"),
    NavEntry("/hours", "Hours"),
]
