"""What stands around the work: title, machine, people, before and after, findings, changes."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from PyQt6.QtWidgets import QLabel, QPushButton, QWidget

from author.bench.fields import TextField, one_spaced, step_options, whole_number
from author.bench.views.hazard_picker import HazardPicker
from author.bench.views.paper import Page, Paper, form_page, list_page, scrolled
from author.bench.views.part_picker import Offer
from author.bench.views.sheet.forms import EntryList
from author.bench.views.sheet.hazards import hazard_row
from author.bench.views.sheet.named import named_row
from author.bench.views.sheet.rows import Row, choices, say, unwritten
from author.bench.views.sheet.typed import time_row
from author.procedure.document import Procedure
from author.procedure.lists import ProcedureRef, ReviewPlan

if TYPE_CHECKING:
    from author.bench.session import Session


class FrontMatter(Paper):
    """The window for all that is no step and no list of things.

    Args:
        session: whose document.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        pages = (
            Page(say("The &job"), _JOB_KEYS, lambda: form_page(session, *_job_rows())),
            Page(say("&People"), ("people",), lambda: list_page(session, _people_row())),
            Page(
                say("Be&fore and after"),
                ("prerequisites", "close_outs"),
                lambda: _before_and_after(session),
            ),
            Page(say("Ha&zards"), ("general_hazards",), lambda: _hazards(session)),
            Page(say("F&indings"), ("findings",), lambda: list_page(session, _findings_row())),
            Page(say("Con&cessions"), ("concessions",), lambda: _concessions(session)),
            Page(
                say("C&hanges"),
                ("changes", "review"),
                lambda: _changes(session),
            ),
        )
        super().__init__(session, say("Title, machine, limits of use"), pages, parent)
        self.resize(700, 560)


_JOB_KEYS = (
    "title", "revision", "language", "data", "notice", "purpose", "unit", "labour_time",
    "limits_of_use", "note", "id", "state", "schema",
)  # fmt: skip


def _job_rows() -> tuple[Row, ...]:
    serials = (
        Row("from", say("From number")),
        Row("to", say("To number"), hint=say("all later ones")),
    )
    return (
        Row("title", say("Title"), "long", blank=unwritten("the title")),
        Row("purpose", say("Purpose"), "long", blank=unwritten("what the job achieves")),
        Row("unit.name", say("Machine"), "long", blank=unwritten("the machine")),
        Row("unit.number", say("Its number")),
        Row("unit.applies_to", say("Applies to"), "long"),
        Row("unit.not_for", say("Not for"), "long"),
        Row(
            "unit.serials",
            say("Serial numbers"),
            "entries",
            rows=serials,
            entry=lambda _: {"from": unwritten("first number")},
            one=say("range of serial numbers"),
        ),
        Row("limits_of_use", say("Limits of use"), "lines", blank=(), hint=say("one on each line")),
        time_row("labour_time", say("Labour time"), say("2 h 30 min")),
        Row("notice", say("Notice"), "long", hint=say("printed with the title")),
        Row("revision", say("Revision"), "count"),
        Row("language", say("Language"), hint="en"),
        Row(
            "data",
            say("Data"),
            "choice",
            options=choices(
                ("shop", say("real work")), ("demo", say("demo data, printed as such"))
            ),
        ),
        Row("note", say("Note"), "long"),
    )


def _people_row() -> Row:
    rows = (
        Row("role", say("Role"), "long", blank=unwritten("the role")),
        Row("count", say("How many"), "count"),
        Row("skill", say("Trained for"), "long"),
        time_row("time", say("Time"), say("45 min")),
    )
    return Row(
        "people",
        say("People"),
        "entries",
        rows=rows,
        entry=lambda _: {"role": unwritten("the role")},
        one=say("role"),
    )


def ref_of(text: str) -> dict[str, Any]:
    """Read the name of a procedure, with its revision behind it."""
    name, _, revision = text.partition(" ")
    number = revision.removeprefix(say("revision")).strip()
    return {"id": name, "revision": whole_number(number) if number else None}


def ref_text(value: Any) -> str:
    """Return the name of a procedure as it is typed."""
    if not isinstance(value, ProcedureRef):
        return ""
    return value.id if value.revision is None else f"{value.id} {value.revision}"


def _procedure_row() -> Row:
    return Row(
        "procedure",
        say("Procedure"),
        read_as=ref_of,
        show_as=ref_text,
        hint=say("its id and revision, such as guide-block 2"),
    )


def _left_off_row(key: str, one: str) -> Row:
    rows = (
        named_row("part", say("Part"), "parts"),
        Row("quantity", say("How many"), "count"),
        Row("places", say("At places"), "lines", hint=say("one on each line")),
        Row(
            "state",
            say("State"),
            "choice",
            options=choices(("kept", say("kept, goes back")), ("scrapped", say("scrapped"))),
        ),
    )
    return Row(key, one, "entries", rows=rows, entry=_left_off, one=one)


def _left_off(procedure: Procedure) -> dict[str, Any]:
    """Return an entry for the first part; a list without parts has none to leave off."""
    return {"part": procedure.parts[0].id if procedure.parts else "part"}


def _before_and_after(session: Session) -> QWidget:
    before = Row(
        "prerequisites",
        say("Before"),
        "entries",
        rows=(
            Row("what", say("Before the job"), "long", blank=unwritten("what must be done")),
            _procedure_row(),
            _left_off_row("hands_over", say("part handed over")),
        ),
        entry=lambda _: {"what": unwritten("what must be done before")},
        one=say("prerequisite"),
    )
    after = Row(
        "close_outs",
        say("After"),
        "entries",
        rows=(
            Row("what", say("After the job"), "long", blank=unwritten("what must be done")),
            named_row("role", say("Who does it"), "people", none=say("not said")),
            _procedure_row(),
            _left_off_row("discharges", say("part left off")),
        ),
        entry=lambda _: {"what": unwritten("what must be done after")},
        one=say("close-out"),
    )
    parts = []
    for row in (before, after):
        entries = EntryList(session, row)
        entries.bind((row.key,))
        parts.append(entries)
    return scrolled(*parts)


def _hazards(session: Session) -> QWidget:
    row = hazard_row()
    entries = EntryList(session, row)
    entries.bind(("general_hazards",))
    common = QPushButton(say("Add a co&mmon one …"))

    def pick() -> None:
        picker = HazardPicker(entries)
        picker.taken.connect(take)

    def take(offer: Offer) -> None:
        entries.add(offer.what)

    common.clicked.connect(lambda _=False: pick())
    return scrolled(entries, common)


def _findings_row() -> Row:
    rows = (
        Row("what", say("What is wrong"), "long", blank=unwritten("what is wrong")),
        Row("step", say("Seen at"), "choice", options=step_options, none=say("no step named")),
        Row(
            "state",
            say("State"),
            "choice",
            options=choices(
                ("dealt_with", say("dealt with here")),
                ("inherited", say("from an earlier job")),
                ("deferred", say("left for another job")),
            ),
        ),
        Row(
            "holds",
            say("Holds the unit"),
            "choice",
            options=choices(
                (False, say("no")), (True, say("yes, it must not be used until released"))
            ),
        ),
        named_row("released_by", say("Released by"), "people", none=say("nobody named")),
        Row("follow_on", say("What has to happen"), "long"),
        _procedure_row(),
    )
    return Row(
        "findings",
        say("Findings"),
        "entries",
        rows=rows,
        entry=lambda _: {"what": unwritten("what is wrong"), "state": "dealt_with"},
        one=say("finding"),
    )


def _let_row() -> Row:
    """Return the row of a concession; it is made where its remark is."""
    rows = (
        Row("rule", say("Rule")),
        Row("at", say("About")),
        Row("reason", say("Why it may stand"), "long"),
        named_row("role", say("Answered for by"), "people"),
    )
    return Row("concessions", say("Concessions"), "entries", rows=rows, one=say("concession"))


def _concessions(session: Session) -> QWidget:
    about = QLabel(
        say("What a rule remarks and a person answers for. Each stands for one remark, with why.")
    )
    about.setWordWrap(True)
    about.setProperty("quiet", True)
    entries = EntryList(session, _let_row())
    entries.bind(("concessions",))
    return scrolled(about, entries)


class AuthorsField(TextField):
    """Names or initials of those who wrote the procedure, commas between them."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, name=say("Written by"), show_as=_authors)

    def _write(self, text: str) -> None:
        names = [one_spaced(part) for part in text.split(",")]
        plan = self.place.value
        due = plan.due if isinstance(plan, ReviewPlan) else None
        authors = [name for name in names if name]
        self.place.write({"authors": authors, "due": due} if authors else None)


def _authors(value: Any) -> str:
    return ", ".join(value.authors) if isinstance(value, ReviewPlan) else ""


def _changes(session: Session) -> QWidget:
    rows = (
        Row("what", say("What changed"), "long", blank=unwritten("what changed")),
        Row("revision", say("Revision"), "count"),
        Row("date", say("Date"), hint="2026-03-31"),
        Row("by", say("By")),
    )
    row = Row(
        "changes",
        say("Changes"),
        "entries",
        rows=rows,
        entry=lambda procedure: {
            "revision": procedure.revision,
            "date": date.today().isoformat(),
            "what": unwritten("what changed"),
        },
        one=say("change"),
    )
    entries = EntryList(session, row)
    entries.bind(("changes",))
    review = form_page(
        session,
        Row("review", say("Written by"), "own", make=AuthorsField),
        Row("review.due", say("Review due"), hint="2027-03-31", when_there=True),
    )
    return scrolled(entries, review)
