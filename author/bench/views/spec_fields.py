"""The field a requirement is typed into, with its reading in both units under it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING, Any

from PyQt6.QtCore import Qt, QTimer, pyqtSignal
from PyQt6.QtGui import QFocusEvent
from PyQt6.QtWidgets import QLabel, QVBoxLayout, QWidget

from author.bench.fields import Option, TextField
from author.bench.places import read, sentence
from author.bench.views.offers import Offer
from author.bench.views.sheet.named import NamedChoice
from author.bench.words import translate
from author.errors import InputError
from author.procedure.quantities import Limits, number_text, with_unit
from author.procedure.spec_entry import (
    Entry,
    entry_text,
    read_entry,
    reading_text,
    text_of_spec,
)
from author.procedure.specs import LimitSpec
from author.procedure.units import Unit, all_units

if TYPE_CHECKING:
    from author.bench.session import Session

_OF_A_ZONE = "Limits of "


def names_in(text: str) -> tuple[str, ...] | None:
    """Read names between commas or semicolons."""
    parts = [" ".join(part.split()) for part in text.replace(";", ",").split(",")]
    return tuple(part for part in parts if part) or None


class NoteLabel(QLabel):
    """A sentence under a field, in the colour and with the word of its weight."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.say("")

    def say(self, words: str, severity: str = "") -> None:
        """Show a sentence; an empty one takes no room."""
        if (words, severity) == (self.text(), self.property("severity")) and words:
            return
        self.setText(words)
        self.setProperty("severity", severity)
        style = self.style()
        if style is not None:
            style.unpolish(self)
            style.polish(self)
        self.setVisible(bool(words))


class EntryField(TextField):
    """The numbers of a requirement as a technician types them.

    Bound to the requirement itself: unit, quantity and all numbers are written together.

    Args:
        session: whose document.
        name: what assistive technology calls it.
        quantity: the only kind of quantity it takes, None for any.
    """

    was_read = pyqtSignal(object)
    """What the text means: an ``Entry``, or None."""

    def __init__(self, session: Session, name: str, quantity: str | None = None) -> None:
        self._quantity = quantity
        self._unit: Unit | None = None
        super().__init__(session, None, name)

    def forms(self) -> str:
        """Return the forms that can be typed, for a person who has typed none yet."""
        if self._quantity == "torque":
            return self.tr("22 ±2 N·m · 20..24 lbf·ft · 22 N·m ±10 % · max 25 N·m")
        return self.tr("9.80..10.20 mm · 10 ±0.2 mm · max 0.10 mm · min 5 mm · 40 N7 · ref 3 mm")

    def entry(self) -> Entry | None:
        """Return what the text means, or None."""
        try:
            return read_entry(self.text(), self._unit, self._quantity)
        except InputError:
            return None

    def _write(self, text: str) -> None:
        try:
            entry = read_entry(text, self._unit, self._quantity)
        except InputError as error:
            self.place.refuse(self._why_not(text) or sentence(error))
            self.was_read.emit(None)
            return
        spec = self.place.value
        if isinstance(spec, LimitSpec):
            self.place.write(spec_as_typed(spec, entry))
        else:
            self.place.refuse("")
        self.was_read.emit(None if self.place.problem else entry)

    def _why_not(self, text: str) -> str:
        """Return why one torque alone is refused, with the forms wanted in the person's numbers."""
        if self._quantity != "torque":
            return ""
        default = self._unit or all_units()["N·m"]
        limits: Limits | None = None
        try:
            limits = read_entry(f"ref {text}", default).limits
            read_entry(f"ref {text}", default, self._quantity)
        except InputError as error:
            return sentence(error) if limits is not None else ""
        if limits.nominal is None or limits.nominal <= 0 or limits.values() != (limits.nominal,):
            return ""
        number, unit = number_text(limits.nominal), limits.unit
        part = _usual_part(limits.nominal)
        bounds = (number_text(limits.nominal - part), number_text(limits.nominal + part))
        words = self.tr(
            "%1 is one number, and no wrench meets one number: its limits are missing. "
            "Write it like %2 or %3, with the limits that your source gives."
        )
        for sign, said in (
            ("%1", with_unit(number, unit)),
            ("%2", with_unit(f"{number} ±{number_text(part)}", unit)),
            ("%3", with_unit(f"{bounds[0]}..{bounds[1]}", unit)),
        ):
            words = words.replace(sign, said)
        return words

    def _show(self, value: Any) -> None:
        spec = value if isinstance(value, LimitSpec) else None
        self._unit = None if spec is None else all_units()[spec.unit]
        text = "" if spec is None else text_of_spec(spec)
        if text != self.text() and not (self.hasFocus() and spec is not None and self._is(spec)):
            self.setText(text)
            self.setCursorPosition(len(text) if self.hasFocus() else 0)
        self.was_read.emit(None if spec is None else Entry(spec.limits(), spec.reference))

    def _is(self, spec: LimitSpec) -> bool:
        """Whether the text means what the requirement says already."""
        entry = self.entry()
        return entry is not None and text_of_spec(spec) == text_of(entry)

    def focusOutEvent(self, event: QFocusEvent | None) -> None:
        """Show what was read in the form the program writes."""
        super().focusOutEvent(event)
        spec = self.place.value
        if isinstance(spec, LimitSpec) and not self.place.problem:
            self._show(spec)


def _usual_part(number: Decimal) -> Decimal:
    """Return a tenth of a number in one figure: only to show how a tolerance is written."""
    tenth = number / 10
    return tenth.quantize(Decimal(1).scaleb(tenth.adjusted()), ROUND_HALF_UP)


def text_of(entry: Entry) -> str:
    """Return an entry in the form the program writes."""
    return entry_text(entry.limits, reference=entry.reference)


def spec_as_typed(spec: LimitSpec, entry: Entry) -> dict[str, Any]:
    """Return a requirement with the numbers of an entry, as the file has it.

    What a zone of ISO 286 is called goes into the note, where none stands yet.
    """
    found: dict[str, Any] = spec.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    for key in ("lower", "nominal", "upper", "reference", "si"):
        found.pop(key, None)
    if str(found.get("note", "")).startswith(_OF_A_ZONE):
        found.pop("note")
    return {**found, **numbers_as_typed(entry), **({} if "note" in found else zone_note(entry))}


def numbers_as_typed(entry: Entry) -> dict[str, Any]:
    """Return quantity, unit and numbers of an entry as the file has them."""
    limits = entry.limits
    three = {"lower": limits.lower, "nominal": limits.nominal, "upper": limits.upper}
    return {
        "quantity": entry.quantity,
        "unit": limits.unit.symbol,
        **{key: format(value, "f") for key, value in three.items() if value is not None},
        **({"reference": True} if entry.reference else {}),
    }


def zone_note(entry: Entry) -> dict[str, str]:
    """Return the note that says which zone of ISO 286 the limits are of, if any."""
    is_zone = entry.explanation.startswith(_OF_A_ZONE)
    return {"note": entry.explanation} if is_zone else {}


class InstrumentChoice(NamedChoice):
    """The instrument of a requirement; a new one reads in the unit of what is measured.

    Args:
        session: whose document.
        options: the instruments with their words.
        name: what assistive technology calls the field.
        none: words for no instrument.
    """

    def __init__(
        self, session: Session, options: Callable[[], Sequence[Option]], name: str, *, none: str
    ) -> None:
        self._instruments = options
        super().__init__(
            session, "tools", name, none=none, new=translate("Sheet", "New instrument …")
        )

    def named(self) -> Sequence[Option]:
        """Return the instruments."""
        return self._instruments()

    def fresh(self, text: str) -> Sequence[Offer]:
        """Return the offer of a new instrument of a name."""
        at = self.place.at
        spec = None if at is None else read(self.place.session.procedure, at[:-1])
        scale = {"measures": spec.unit} if isinstance(spec, LimitSpec) else {}
        words = translate("Sheet", "New instrument “{0}”").format(text)
        return [Offer(("tools", None), words, entry=("tools", {"name": text, **scale}))]


class EntryBox(QWidget):
    """The field with its reading, or the sentence that says why it is not read."""

    def __init__(self, field: EntryField, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field = field
        self.reading = NoteLabel()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        column.addWidget(field)
        column.addWidget(self.reading)
        self.setFocusProxy(field)
        field.was_read.connect(self._tell)
        field.place.problem_changed.connect(lambda _: self._tell(None))

    def fit_soon(self) -> None:
        """Have the room reckoned again: Qt leaves it as it is while a page is not seen."""
        QTimer.singleShot(0, self._fit)

    def _fit(self) -> None:
        each: QWidget | None = self.reading
        while each is not None and not each.isWindow():
            each.updateGeometry()
            each = each.parentWidget()

    def _tell(self, entry: Entry | None) -> None:
        if self.field.place.problem:
            self.reading.say(self.field.place.problem, "error")
            return
        if entry is None:
            self.reading.say("" if self.field.text() else self.field.forms(), "advice")
            return
        words = reading_text(entry.limits)
        if words == self.tr("no number given"):
            self.reading.say(self.tr("No number yet."), "warning")
            return
        if entry.reference:
            words = self.tr("For information: %1").replace("%1", words)
        words += f". {entry.explanation}." if entry.explanation else ""
        self.reading.say(words, "good")
        self.field.setAccessibleDescription(words)
