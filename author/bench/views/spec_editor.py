"""One requirement of a step: what is measured, its limits, with what, and what follows."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from PyQt6.QtCore import Qt, pyqtSignal
from PyQt6.QtWidgets import QFormLayout, QLabel, QWidget

from author.bench.actions import Actions
from author.bench.fields import ChoiceField, Option, TextField, under
from author.bench.places import Address, read, sentence
from author.bench.steady import add_requirement
from author.bench.unfinished import Left
from author.bench.views.reaction_editor import ReactionEditor
from author.bench.views.sheet.named import NamedChoice
from author.bench.views.spec_fields import (
    EntryBox,
    EntryField,
    InstrumentChoice,
    NoteLabel,
    names_in,
    numbers_as_typed,
    zone_note,
)
from author.bench.views.spec_words import instruments_for, verdict_text
from author.errors import ReelwrightError
from author.procedure.document import Procedure
from author.procedure.items import Tool
from author.procedure.quantities import range_text
from author.procedure.specs import LimitSpec
from author.tasks.spec_judgements import adequacy, zone_of

if TYPE_CHECKING:
    from author.bench.session import Session

_SEVERITY = {"adequate": "good", "not adequate": "warning", "not judged": "advice"}


class SpecEditor(QWidget):
    """Edits one limit spec; a new one is in the document once it says what, and its limits.

    Args:
        session: whose document.
        deeds: what the window can do.
    """

    added = pyqtSignal(object)
    """A new requirement stands in the document: its address."""
    list_key = "specs"
    quantity: str | None = None

    def __init__(self, session: Session, deeds: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.deeds = deeds
        self._at: Address | None = None
        self._step = ""
        self._said: LimitSpec | None = None
        self._said_tools: tuple[Tool, ...] = ()
        self._drafts: dict[str, list[str]] = {}
        session.unfinished.watch(self)
        self._optional: list[QWidget] = []
        self.form = QFormLayout(self)
        self.form.setContentsMargins(0, 0, 0, 0)
        self.form.setVerticalSpacing(5)
        self.form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.DontWrapRows)
        self.form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        self._build()
        session.changed.connect(self._follow)
        self.edit(None)

    # --- which requirement ---

    @property
    def at(self) -> Address | None:
        """Address of the requirement; None while a new one is begun, or none is shown."""
        return self._at

    @property
    def spec(self) -> LimitSpec | None:
        """The requirement as the document has it."""
        found = None if self._at is None else read(self.session.procedure, self._at)
        return found if isinstance(found, LimitSpec) else None

    def edit(self, at: Address | None) -> None:
        """Show a requirement: ``("steps", step, "specs", spec)``."""
        self._keep_typed()
        self._at = at
        self._step = "" if at is None else str(at[1])
        self.setEnabled(at is not None)
        self._bind()
        self._fit_rows()

    def begin(self, step: str, *, keys: bool = True) -> None:
        """Begin a new requirement of a step, or go on with what was typed of it.

        Args:
            step: id of the step.
            keys: whether its first field takes the keys.
        """
        if self._at is not None or self._step != step:
            self.edit(None)
            self._step = step
            self.setEnabled(True)
            self._fit_rows()
            lines = self._draft_lines()
            for line, text in zip(lines, self._drafts.pop(step, [""] * len(lines)), strict=True):
                line.setText(text)
                if text:
                    line.textEdited.emit(text)
            self.limit_box.fit_soon()
        if keys:
            self.what.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def has_draft(self, step: str) -> bool:
        """Whether a new requirement of a step was begun that is not in the document."""
        return any(one == step for one, _ in self._begun())

    def left(self) -> Iterator[Left]:
        """Yield what was typed of new requirements that are not in the document."""
        for step, lines in self._begun():
            yield Left(("steps", step, self.list_key), ", ".join(filter(None, lines)))

    def _begun(self) -> Iterator[tuple[str, list[str]]]:
        yield from self._drafts.items()
        if self._at is None and self._step:
            lines = [line.text().strip() for line in self._draft_lines()]
            if any(lines):
                yield self._step, lines

    def _keep_typed(self) -> None:
        """Keep what was typed of a new one, until one of its step is begun again."""
        if self._at is None and self._step and self.has_draft(self._step):
            lines = self._drafts[self._step] = [line.text() for line in self._draft_lines()]
            kept = self.tr("Kept at its step, and not in the procedure yet: %1")
            words = ", ".join(filter(None, map(str.strip, lines)))
            self.session.tell("warning", kept.replace("%1", words))

    def focus_field(self, key: str) -> bool:
        """Give the keys to the field of a key of the file; False if there is none."""
        field = self.fields().get(key)
        if field is None:
            return False
        field.setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def fields(self) -> dict[str, QWidget]:
        """Return the fields by the keys of the file."""
        numbers = dict.fromkeys(("lower", "nominal", "upper", "unit", "quantity"), self.limits)
        return {
            "characteristic": self.what, **numbers, "where": self.where,
            "positions": self.positions, "spread_of": self.spread, "datum": self.datum,
            "instrument": self.instrument,
            "source": self.source, "decision_rule": self.rule, "note": self.note,
            **self.reactions,
        }  # fmt: skip

    # --- its fields ---

    def _build(self) -> None:
        self.what = self._line(self.tr("What is measured"))
        self.limits = EntryField(self.session, self.tr("Limits, with their unit"), self.quantity)
        self.limits.done.connect(self._enter)
        self.limit_box = EntryBox(self.limits)
        self._row(self.tr("What"), self.what, "characteristic", optional=False)
        self.form.addRow(self._label(self.tr("Limits"), self.limits), self.limit_box)
        self._build_more()
        self.instrument = InstrumentChoice(
            self.session, self._instruments, self.tr("Instrument"), none=self.tr("none named")
        )
        self.verdict = NoteLabel()
        self._row(self.tr("With"), self.instrument, "instrument", self.verdict)
        self.source = NamedChoice(
            self.session,
            "sources",
            self.tr("Source of the numbers"),
            none=self.tr("none named"),
            new=self.tr("New source …"),
        )
        self._row(self.tr("Source"), self.source, "source")
        self.where = self._line(self.tr("Where it is measured"))
        self._row(self.tr("Where"), self.where, "where")
        self.positions = self._line(
            self.tr("Names of the readings, commas between them"), read_as=names_in
        )
        self.positions.setPlaceholderText(self.tr("top, bottom"))
        self._row(self.tr("Readings at"), self.positions, "positions")
        self.spread = ChoiceField(
            self.session,
            self._spreads,
            None,
            self.tr("Spread of the readings of"),
            none=self.tr("nothing"),
        )
        self.spread_box = self._row(self.tr("Spread of"), self.spread, "spread_of")
        self.datum = self._line(self.tr("Measured from"))
        self._row(self.tr("From"), self.datum, "datum")
        self.rule = ChoiceField(self.session, self._rules, None, self.tr("What is accepted"))
        self.zone = NoteLabel()
        self._row(self.tr("Accept"), self.rule, "decision_rule", self.zone)
        self.reactions: dict[str, ReactionEditor] = {}
        for side, short, words in (
            ("below", self.tr("If below"), self.tr("Below the limits")),
            ("above", self.tr("If above"), self.tr("Above the limits")),
            ("undecided", self.tr("If not sure"), self.tr("Too near a limit to tell")),
        ):
            editor = ReactionEditor(self.session, words)
            self.reactions[side] = editor
            self.form.addRow(self._label(short, editor), editor)
            self._optional.append(editor)
        self.note = self._line(self.tr("Note"))
        self._row(self.tr("Note"), self.note, "note")
        self.hint = QLabel(
            self.tr("Enter goes on. Behind the last field it adds this to the step.")
        )
        self.hint.setProperty("quiet", True)
        self.hint.setWordWrap(True)
        self.form.addRow(self.hint)

    def _build_more(self) -> None:
        """Add what a kind of requirement has besides, below its limits."""

    def _line(self, name: str, **how: Any) -> TextField:
        line = TextField(self.session, None, name, **how)
        line.done.connect(self._enter)
        return line

    def _label(self, words: str, buddy: QWidget) -> QLabel:
        label = QLabel(words)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setProperty("quiet", True)
        label.setBuddy(buddy)
        return label

    def _row(
        self,
        words: str,
        field: TextField | ChoiceField,
        key: str,
        *notes: NoteLabel,
        optional: bool = True,
    ) -> QWidget:
        field.setObjectName(key)
        box = under(field)
        column = box.layout()
        for note in notes:
            assert column is not None  # noqa: S101 - it has just been made
            column.addWidget(note)
        self.form.addRow(self._label(words, field), box)
        if optional:
            self._optional.append(box)
        return box

    def _bound(self) -> dict[str, TextField | ChoiceField]:
        return {
            "characteristic": self.what, "where": self.where, "positions": self.positions,
            "spread_of": self.spread, "datum": self.datum, "instrument": self.instrument,
            "source": self.source, "decision_rule": self.rule, "note": self.note,
        }  # fmt: skip

    def _bind(self) -> None:
        self.limits.place.bind(self._at)
        for key, field in self._bound().items():
            field.place.bind(None if self._at is None else (*self._at, key))
        for side, editor in self.reactions.items():
            editor.bind(None if self._at is None else (*self._at, side))
        self._said = None
        self._judge()

    # --- a new one ---

    def _draft_lines(self) -> tuple[TextField, ...]:
        return self.what, self.limits

    def _enter(self) -> None:
        """Go on to the next field; behind the last one of a new requirement, add it."""
        if self._at is not None or not self._step:
            self.focusNextChild()
            return
        for line in self._draft_lines():
            if not line.text().strip() or line.place.problem:
                if line is self.limits and line.text().strip():
                    self.limits.textEdited.emit(line.text())
                line.setFocus(Qt.FocusReason.TabFocusReason)
                return
        self._add()

    def _draft(self) -> dict[str, Any] | None:
        entry = self.limits.entry()
        if entry is None:
            self.limits.textEdited.emit(self.limits.text())
            return None
        what = " ".join(self.what.text().split())
        return {"characteristic": what, **numbers_as_typed(entry), **zone_note(entry)}

    def _add(self) -> None:
        draft = self._draft()
        if draft is None:
            return
        into = ("steps", self._step, self.list_key)
        try:
            change = add_requirement(self.session, into, draft)
        except ReelwrightError as error:
            self.what.place.refuse(sentence(error))
            return
        self._step = ""
        self.edit(change.place)
        self.added.emit(change.place)
        self._draft_lines()[-1].setFocus(Qt.FocusReason.TabFocusReason)
        self.focusNextChild()

    # --- what is said of it ---

    def _follow(self, _before: Procedure, _after: Procedure) -> None:
        if self._at is not None and self.spec is None:
            self.edit(None)
        elif self.spec is not self._said:
            self._judge()
            self._fit_rows()
        else:
            self._judge()

    def _tools(self) -> dict[str, Tool]:
        return {tool.id: tool for tool in reversed(self.session.procedure.tools)}

    def _specs(self) -> dict[str, LimitSpec]:
        return {spec.id: spec for _, _, spec in self.session.procedure.placed_specs()}

    def _judge(self) -> None:
        spec, tools = self.spec, self.session.procedure.tools
        same = spec is self._said and tools is self._said_tools
        if spec is None or (same and spec.spread_of is None):
            return
        self._said, self._said_tools = spec, tools
        others = self._specs() if spec.spread_of is not None else {}
        judged = adequacy(spec, self._tools(), others)
        self.verdict.say(verdict_text(judged), _SEVERITY[judged.verdict])
        zone = zone_of(spec, self._tools(), others)
        if zone is None:
            self.zone.say("")
        elif zone.limits is None:
            self.zone.say(
                self.tr("Nothing can be accepted: %1").replace("%1", zone.why or ""), "warning"
            )
        else:
            said = self.tr("Accepted: %1").replace("%1", range_text(zone.limits))
            self.zone.say(said, "good")
        self._judge_more(spec)

    def _judge_more(self, spec: LimitSpec) -> None:
        """Say what else there is to say of a kind of requirement."""

    def _instruments(self) -> list[Option]:
        return instruments_for(self.session.procedure.tools, self.spec)

    def _spreads(self) -> list[Option]:
        """Return the requirements that are read at several places; no torque is a spread."""
        if self.quantity is not None:
            return []
        return [
            (spec.id, spec.characteristic)
            for _, _, spec in self.session.procedure.placed_specs()
            if len(spec.positions or ()) > 1 and (self._at is None or spec.id != self._at[-1])
        ]

    def _rules(self) -> list[Option]:
        return [
            ("simple_acceptance", self.tr("every reading inside the limits")),
            ("guard_band", self.tr("only what the instrument is sure of")),
        ]

    def _see(self, widget: QWidget, on: bool) -> None:
        """Show the row of a widget or not; what stays as it is costs no layout."""
        if self.form.isRowVisible(widget) != on:
            self.form.setRowVisible(widget, on)

    def _fit_rows(self) -> None:
        """Show the fields that a requirement can have as it stands."""
        spec = self.spec
        for widget in self._optional:
            self._see(widget, spec is not None)
        self._see(self.hint, spec is None and bool(self._step))
        if spec is None:
            return
        guarded = spec.decision_rule == "guard_band"
        possible = {
            "below": spec.lower is not None,
            "above": spec.upper is not None,
            "undecided": guarded,
        }
        is_spread = spec.spread_of is not None or self.spread.count() > 1
        self._see(self.spread_box, is_spread and self.quantity is None)
        for side, editor in self.reactions.items():
            shown = possible[side] or getattr(spec, side) is not None
            self._see(editor, shown)
