"""What stands around the work: title, machine, people, before and after, findings, changes."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from PyQt6.QtWidgets import QLabel, QPushButton, QWidget

from author.bench.fields import TextField, one_spaced, step_options, whole_number
from author.bench.views.hazard_picker import HazardPicker
from author.bench.views.offers import Offer
from author.bench.views.paper import Page, Paper, form_page, list_page, scrolled
from author.bench.views.sheet.forms import EntryList
from author.bench.views.sheet.hazards import hazard_row
from author.bench.views.sheet.named import named_row
from author.bench.views.sheet.rows import Row, choices, unwritten
from author.bench.views.sheet.typed import time_row
from author.bench.words import translate
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
            Page(
                translate("Sheet", "The &job"), _JOB_KEYS, lambda: form_page(session, *_job_rows())
            ),
            Page(
                translate("Sheet", "&People"),
                ("people",),
                lambda: list_page(session, _people_row()),
            ),
            Page(
                translate("Sheet", "Be&fore and after"),
                ("prerequisites", "close_outs"),
                lambda: _before_and_after(session),
            ),
            Page(translate("Sheet", "Ha&zards"), ("general_hazards",), lambda: _hazards(session)),
            Page(
                translate("Sheet", "F&indings"),
                ("findings",),
                lambda: list_page(session, _findings_row()),
            ),
            Page(
                translate("Sheet", "Con&cessions"), ("concessions",), lambda: _concessions(session)
            ),
            Page(
                translate("Sheet", "C&hanges"),
                ("changes", "review"),
                lambda: _changes(session),
            ),
        )
        super().__init__(
            session, translate("Sheet", "Title, machine, limits of use"), pages, parent
        )
        self.resize(700, 560)


_JOB_KEYS = (
    "title", "revision", "language", "data", "notice", "purpose", "unit", "labour_time",
    "limits_of_use", "note", "id", "state", "schema",
)  # fmt: skip


def _job_rows() -> tuple[Row, ...]:
    serials = (
        Row("from", translate("Sheet", "From number")),
        Row("to", translate("Sheet", "To number"), hint=translate("Sheet", "all later ones")),
    )
    return (
        Row("title", translate("Sheet", "Title"), "long", blank=unwritten("the title")),
        Row(
            "purpose",
            translate("Sheet", "Purpose"),
            "long",
            blank=unwritten("what the job achieves"),
        ),
        Row("unit.name", translate("Sheet", "Machine"), "long", blank=unwritten("the machine")),
        Row("unit.number", translate("Sheet", "Its number")),
        Row("unit.applies_to", translate("Sheet", "Applies to"), "long"),
        Row("unit.not_for", translate("Sheet", "Not for"), "long"),
        Row(
            "unit.serials",
            translate("Sheet", "Serial numbers"),
            "entries",
            rows=serials,
            entry=lambda _: {"from": unwritten("first number")},
            one=translate("Sheet", "range of serial numbers"),
        ),
        Row(
            "limits_of_use",
            translate("Sheet", "Limits of use"),
            "lines",
            blank=(),
            hint=translate("Sheet", "one on each line"),
        ),
        time_row(
            "labour_time", translate("Sheet", "Labour time"), translate("Sheet", "2 h 30 min")
        ),
        Row(
            "notice",
            translate("Sheet", "Notice"),
            "long",
            hint=translate("Sheet", "printed with the title"),
        ),
        Row("revision", translate("Sheet", "Revision"), "count"),
        Row("language", translate("Sheet", "Language"), hint="en"),
        Row(
            "data",
            translate("Sheet", "Data"),
            "choice",
            options=choices(
                ("shop", translate("Sheet", "real work")),
                ("demo", translate("Sheet", "demo data, printed as such")),
            ),
        ),
        Row("note", translate("Sheet", "Note"), "long"),
    )


def _people_row() -> Row:
    rows = (
        Row("role", translate("Sheet", "Role"), "long", blank=unwritten("the role")),
        Row("count", translate("Sheet", "How many"), "count"),
        Row("skill", translate("Sheet", "Trained for"), "long"),
        time_row("time", translate("Sheet", "Time"), translate("Sheet", "45 min")),
    )
    return Row(
        "people",
        translate("Sheet", "People"),
        "entries",
        rows=rows,
        entry=lambda _: {"role": unwritten("the role")},
        one=translate("Sheet", "role"),
    )


def ref_of(text: str) -> dict[str, Any]:
    """Read the name of a procedure, with its revision behind it."""
    name, _, revision = text.partition(" ")
    number = revision.removeprefix(translate("Sheet", "revision")).strip()
    return {"id": name, "revision": whole_number(number) if number else None}


def ref_text(value: Any) -> str:
    """Return the name of a procedure as it is typed."""
    if not isinstance(value, ProcedureRef):
        return ""
    return value.id if value.revision is None else f"{value.id} {value.revision}"


def _procedure_row() -> Row:
    return Row(
        "procedure",
        translate("Sheet", "Procedure"),
        read_as=ref_of,
        show_as=ref_text,
        hint=translate("Sheet", "its id and revision, such as guide-block 2"),
    )


def _left_off_row(key: str, one: str) -> Row:
    rows = (
        named_row("part", translate("Sheet", "Part"), "parts"),
        Row("quantity", translate("Sheet", "How many"), "count"),
        Row(
            "places",
            translate("Sheet", "At places"),
            "lines",
            hint=translate("Sheet", "one on each line"),
        ),
        Row(
            "state",
            translate("Sheet", "State"),
            "choice",
            options=choices(
                ("kept", translate("Sheet", "kept, goes back")),
                ("scrapped", translate("Sheet", "scrapped")),
            ),
        ),
    )
    return Row(key, one, "entries", rows=rows, entry=_left_off, one=one)


def _left_off(procedure: Procedure) -> dict[str, Any]:
    """Return an entry for the first part; a list without parts has none to leave off."""
    return {"part": procedure.parts[0].id if procedure.parts else "part"}


def _before_and_after(session: Session) -> QWidget:
    before = Row(
        "prerequisites",
        translate("Sheet", "Before"),
        "entries",
        rows=(
            Row(
                "what",
                translate("Sheet", "Before the job"),
                "long",
                blank=unwritten("what must be done"),
            ),
            _procedure_row(),
            _left_off_row("hands_over", translate("Sheet", "part handed over")),
        ),
        entry=lambda _: {"what": unwritten("what must be done before")},
        one=translate("Sheet", "prerequisite"),
    )
    after = Row(
        "close_outs",
        translate("Sheet", "After"),
        "entries",
        rows=(
            Row(
                "what",
                translate("Sheet", "After the job"),
                "long",
                blank=unwritten("what must be done"),
            ),
            named_row(
                "role",
                translate("Sheet", "Who does it"),
                "people",
                none=translate("Sheet", "not said"),
            ),
            _procedure_row(),
            _left_off_row("discharges", translate("Sheet", "part left off")),
        ),
        entry=lambda _: {"what": unwritten("what must be done after")},
        one=translate("Sheet", "close-out"),
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
    common = QPushButton(translate("Sheet", "Add a co&mmon one …"))

    def pick() -> None:
        picker = HazardPicker(entries)
        picker.taken.connect(take)

    def take(offer: Offer) -> None:
        entries.add(offer.what)

    common.clicked.connect(lambda _=False: pick())
    return scrolled(entries, common)


def _findings_row() -> Row:
    rows = (
        Row("what", translate("Sheet", "What is wrong"), "long", blank=unwritten("what is wrong")),
        Row(
            "step",
            translate("Sheet", "Seen at"),
            "choice",
            options=step_options,
            none=translate("Sheet", "no step named"),
        ),
        Row(
            "state",
            translate("Sheet", "State"),
            "choice",
            options=choices(
                ("dealt_with", translate("Sheet", "dealt with here")),
                ("inherited", translate("Sheet", "from an earlier job")),
                ("deferred", translate("Sheet", "left for another job")),
            ),
        ),
        Row(
            "holds",
            translate("Sheet", "Holds the unit"),
            "choice",
            options=choices(
                (False, translate("Sheet", "no")),
                (True, translate("Sheet", "yes, it must not be used until released")),
            ),
        ),
        named_row(
            "released_by",
            translate("Sheet", "Released by"),
            "people",
            none=translate("Sheet", "nobody named"),
        ),
        Row("follow_on", translate("Sheet", "What has to happen"), "long"),
        Row(
            "due",
            translate("Sheet", "Due"),
            hint=translate("Sheet", "2027-03-31, or: at the next service"),
        ),
        _procedure_row(),
    )
    return Row(
        "findings",
        translate("Sheet", "Findings"),
        "entries",
        rows=rows,
        entry=lambda _: {"what": unwritten("what is wrong"), "state": "dealt_with"},
        one=translate("Sheet", "finding"),
    )


def _let_row() -> Row:
    """Return the row of a concession; it is made where its remark is."""
    rows = (
        Row("rule", translate("Sheet", "Rule")),
        Row("at", translate("Sheet", "About")),
        Row("reason", translate("Sheet", "Why it may stand"), "long"),
        named_row("role", translate("Sheet", "Answered for by"), "people"),
    )
    return Row(
        "concessions",
        translate("Sheet", "Concessions"),
        "entries",
        rows=rows,
        one=translate("Sheet", "concession"),
    )


def _concessions(session: Session) -> QWidget:
    about = QLabel(
        translate(
            "Sheet",
            "What a rule remarks and a person answers for. Each stands for one remark, with why.",
        )
    )
    about.setWordWrap(True)
    about.setProperty("quiet", True)
    entries = EntryList(session, _let_row())
    entries.bind(("concessions",))
    return scrolled(about, entries)


class AuthorsField(TextField):
    """Names or initials of those who wrote the procedure, commas between them."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, name=translate("Sheet", "Written by"), show_as=_authors)

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
        Row("what", translate("Sheet", "What changed"), "long", blank=unwritten("what changed")),
        Row("revision", translate("Sheet", "Revision"), "count"),
        Row("date", translate("Sheet", "Date"), hint="2026-03-31"),
        Row("by", translate("Sheet", "By")),
    )
    row = Row(
        "changes",
        translate("Sheet", "Changes"),
        "entries",
        rows=rows,
        entry=lambda procedure: {
            "revision": procedure.revision,
            "date": date.today().isoformat(),
            "what": unwritten("what changed"),
        },
        one=translate("Sheet", "change"),
    )
    entries = EntryList(session, row)
    entries.bind(("changes",))
    review = form_page(
        session,
        Row("review", translate("Sheet", "Written by"), "own", make=AuthorsField),
        Row("review.due", translate("Sheet", "Review due"), hint="2027-03-31", when_there=True),
    )
    return scrolled(entries, review)
