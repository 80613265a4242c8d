"""The bolts of a joint: how many, in which pattern, what they are called, and their order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PyQt6.QtCore import Qt, pyqtSignal
from PyQt6.QtGui import QWheelEvent
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSpinBox, QVBoxLayout, QWidget

from author.bench.dropdown import Dropdown
from author.bench.fields import TEXT_KEYS, TextField, under
from author.bench.places import Address, Keys, attempt, read
from author.bench.views.bolt_pattern_view import BoltPatternView
from author.bench.views.reaction_editor import CHOICE_KEYS
from author.bench.views.spec_fields import NoteLabel, names_in
from author.editing import SetField
from author.errors import InputError
from author.procedure.bolt_counts import bolts_named
from author.procedure.bolt_patterns import LEAST, MOST_BOLTS, Place, pattern_of, proposed_order
from author.procedure.specs import TorqueSpec

if TYPE_CHECKING:
    from author.bench.session import Session

_DRAWN = "drawn"
_NOT_SAID = "not said"


def with_reservation(note: str | None, said: str) -> str:
    """Return a note that says of the order that nobody but common practice stands behind it."""
    return note if note and said in note else " ".join(filter(None, (note, said)))


def without_reservation(note: str | None, said: str) -> str | None:
    """Return a note without exactly those words; what a person wrote around them stays."""
    if not note or said not in note:
        return note
    before, _, behind = note.partition(said)
    return " ".join(filter(None, (before.rstrip(), behind.lstrip()))) or None


def _as_in_file(spec: TorqueSpec, **changes: Any) -> dict[str, Any]:
    """Return a requirement as the file has it, with some of its values changed."""
    found = spec.model_dump(mode="json", by_alias=True, exclude_defaults=True) | changes
    return {key: value for key, value in found.items() if value}


class _NamesField(TextField):
    """The names of the bolts, those of the order with them; bound to the torque itself."""

    def __init__(self, session: Session, name: str) -> None:
        super().__init__(session, None, name, read_as=self._renamed)

    def _renamed(self, text: str) -> Any:
        spec = self.place.value
        if not isinstance(spec, TorqueSpec) or not spec.fasteners:
            return spec
        names = names_in(text) or ()
        if len(names) != len(spec.fasteners) or len(set(names)) != len(names):
            raise InputError(
                f"there are {len(spec.fasteners)} bolts, and {len(set(names))} different names",
                remedy="Give each bolt a name of its own, with commas between",
            )
        new = dict(zip((one.name for one in spec.fasteners), names, strict=True))
        fasteners = _as_in_file(spec)["fasteners"]
        return _as_in_file(
            spec,
            fasteners=[{**one, "name": new[one["name"]]} for one in fasteners],
            order=[new.get(name, name) for name in spec.order or ()],
        )

    def _show(self, value: Any) -> None:
        bolts = value.fasteners if isinstance(value, TorqueSpec) else None
        super()._show(tuple(bolt.name for bolt in bolts or ()) or None)


class _Count(QSpinBox):
    def wheelEvent(self, event: QWheelEvent | None) -> None:
        """Leave the wheel to the page: it must not draw other bolts in passing."""
        if event is not None:
            event.ignore()


class BoltsEditor(QWidget):
    """Edits the bolts of one torque: a common pattern, the order, the names.

    Args:
        session: whose document.
    """

    done = pyqtSignal()
    """Enter was pressed in the last field."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self._at: Address | None = None
        self._alone: set[Address] = set()
        """Torques of which a person said that one bolt is meant, whatever the words name."""
        self._build()
        self._lay_out()
        self._connect()

    def bind(self, at: Address | None) -> None:
        """Stand for the torque at an address from now on."""
        self._at = at
        self.names.place.bind(at)

    @property
    def spec(self) -> TorqueSpec | None:
        """The torque as the document has it."""
        found = None if self._at is None else read(self.session.procedure, self._at)
        return found if isinstance(found, TorqueSpec) else None

    def _build(self) -> None:
        self.shape = Dropdown()
        self.shape.setAccessibleName(self.tr("Pattern of the bolts"))
        for shape, words in (
            ("", self.tr("one bolt")),
            ("circle", self.tr("circle of")),
            ("rectangle", self.tr("two rows of, in all")),
            ("line", self.tr("line of")),
            (_DRAWN, self.tr("as drawn:")),
        ):
            self.shape.addItem(words, shape)
        self.shape.setSizeAdjustPolicy(Dropdown.SizeAdjustPolicy.AdjustToContents)
        self.count = _Count()
        self.count.setAccessibleName(self.tr("How many bolts"))
        self.count.setRange(2, MOST_BOLTS)
        self.count.setValue(4)
        self.count.setKeyboardTracking(False)
        self.count.setButtonSymbols(QSpinBox.ButtonSymbols.NoButtons)
        Keys(self.session, self.shape, CHOICE_KEYS, letters=True)
        Keys(self.session, self.count, TEXT_KEYS, letters=True)
        self.crosswise = QPushButton(self.tr("Propose crosswise (C)"))
        self.anew = QPushButton(self.tr("Number anew"))
        for button in (self.crosswise, self.anew):
            Keys(self.session, button)
            button.setAutoDefault(False)
        self.pattern = BoltPatternView(self.session)
        self.names = _NamesField(self.session, self.tr("Names of the bolts, commas between them"))
        self.names_label = QLabel(self.tr("Names of the bolts"))
        self.names_label.setProperty("quiet", True)
        self.names_label.setBuddy(self.names)
        self.said_of_order = NoteLabel()
        self._parts_of_pattern = (
            self.pattern, self.names_label, self.names, self.crosswise, self.anew
        )  # fmt: skip

    def _lay_out(self) -> None:
        top, below = QHBoxLayout(), QHBoxLayout()
        top.addWidget(self.shape)
        top.addWidget(self.count)
        top.addStretch(1)
        below.addWidget(self.crosswise)
        below.addWidget(self.anew)
        below.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        # What proposes an order and what is said of it stand where they are seen with the pattern.
        column.addLayout(top)
        column.addLayout(below)
        column.addWidget(self.said_of_order)
        column.addWidget(self.pattern)
        named = QHBoxLayout()
        named.addWidget(self.names_label)
        named.addWidget(under(self.names), 1)
        column.addLayout(named)
        self.setFocusProxy(self.shape)
        self.setProperty("whole", True)

    def _connect(self) -> None:
        self.names.done.connect(self.done)
        self.shape.activated.connect(lambda _: self._draw())
        self.count.valueChanged.connect(lambda _: self._draw())
        self.crosswise.clicked.connect(self.propose)
        self.anew.clicked.connect(lambda: self._set_order(()))
        self.pattern.order_wanted.connect(self._set_order)
        self.pattern.place_wanted.connect(self._move)
        self.pattern.proposal_wanted.connect(self.propose)
        line = self.count.lineEdit()
        if line is not None:
            line.returnPressed.connect(self.pattern.setFocus)

    def propose(self) -> None:
        """Number the bolts crosswise, or from the middle outwards."""
        spec = self.spec
        if spec is not None and spec.fasteners:
            order = proposed_order([bolt.at for bolt in spec.fasteners])
            names = [spec.fasteners[index].name for index in order]
            note = with_reservation(spec.note, self._reservation())
            self._write(spec, None, order=names, note=note)
            self.pattern.setFocus(Qt.FocusReason.OtherFocusReason)

    def _reservation(self) -> str:
        """Return what the note says of an order that was proposed, for every later reader."""
        return self.tr("Order: common practice, no source.")

    def _draw(self) -> None:
        """Draw the pattern that is chosen, without an order."""
        spec, shape = self.spec, self.shape.currentData()
        if spec is None or shape in {_DRAWN, _NOT_SAID}:
            return
        if not shape:
            self._alone.add(self._at or ())
            self._ask(None)
            self._write(spec, "pattern", fasteners=None, order=None, note=self._own_note(spec))
            return
        if self.count.value() < LEAST[shape]:
            self.count.blockSignals(True)
            self.count.setValue(LEAST[shape])
            self.count.blockSignals(False)
        made = pattern_of(shape, self.count.value())
        fasteners = [
            {"name": name, "at": [f"{x:f}", f"{y:f}"]}
            for name, (x, y) in zip(made.names, made.places, strict=True)
        ]
        self._write(spec, "pattern", fasteners=fasteners, order=None, note=self._own_note(spec))

    def _set_order(self, order: Sequence[str]) -> None:
        spec = self.spec
        if spec is not None:
            self._write(spec, None, order=list(order), note=self._own_note(spec))

    def _own_note(self, spec: TorqueSpec) -> str | None:
        """Return the note of a torque whose order is not the proposed one any more."""
        return without_reservation(spec.note, self._reservation())

    def _move(self, name: str, at: Place) -> None:
        spec = self.spec
        if spec is not None and spec.fasteners:
            fasteners = _as_in_file(spec)["fasteners"]
            for one in fasteners:
                if one["name"] == name:
                    one["at"] = [f"{at[0]:f}", f"{at[1]:f}"]
            self._write(spec, f"move {name}", fasteners=fasteners)

    def _write(self, spec: TorqueSpec, merge: str | None, **changes: Any) -> None:
        if self._at is None:
            return
        key = None if merge is None else "/".join(map(str, (*self._at, merge)))
        if said := attempt(self.session, SetField(self._at, _as_in_file(spec, **changes)), key):
            self.said_of_order.say(said, "error")

    def show_spec(self, spec: TorqueSpec) -> None:
        """Show the bolts of a torque."""
        bolts, order = spec.fasteners or (), spec.order or ()
        self.pattern.show_pattern([(bolt.name, bolt.at) for bolt in bolts], order)
        places = [bolt.at for bolt in bolts]
        shape = _shape_of(places)
        if self._ask(None if bolts else self._named(spec)):
            shape = _NOT_SAID
        self.shape.setCurrentIndex(self.shape.findData(shape))
        if bolts and self.count.value() != len(bolts):
            self.count.blockSignals(True)
            self.count.setValue(len(bolts))
            self.count.blockSignals(False)
        self.count.setEnabled(bool(bolts) and shape != _DRAWN)
        for part in self._parts_of_pattern:
            part.setVisible(bool(bolts))
        if bolts:
            self._say_order([bolt.name for bolt in bolts], order, places)

    def _named(self, spec: TorqueSpec) -> int | None:
        """Return how many bolts the words of the torque or of its step name."""
        placed = None if self._at is None else self.session.placed(str(self._at[1]))
        if placed is None or self._at in self._alone:
            return None
        return bolts_named(spec.characteristic) or bolts_named(placed.step.action)

    def _ask(self, count: int | None) -> bool:
        """Ask how the bolts lie that the words name, until somebody says it.

        Returns:
            Whether it is asked.
        """
        at = self.shape.findData(_NOT_SAID)
        if count is None:
            if at >= 0:
                self.shape.removeItem(at)
            self.said_of_order.say("")
            return False
        if at < 0:
            self.shape.addItem(self.tr("not said yet"), _NOT_SAID)
        self.count.blockSignals(True)
        self.count.setValue(count)
        self.count.blockSignals(False)
        words = self.tr("The words name %1 bolts: choose how they lie, or that it is one bolt.")
        self.said_of_order.say(words.replace("%1", f"{count}"), "warning")
        return True

    def _say_order(
        self, names: Sequence[str], order: Sequence[str], places: Sequence[Place]
    ) -> None:
        proposed = [names[index] for index in proposed_order(places)]
        left = [name for name in names if name not in order]
        if list(order) == proposed:
            words = self.tr(
                "Order as common practice proposes it, no source: the maker's manual decides."
            )
            self.said_of_order.say(words, "advice")
        elif left:
            words = self.tr("No turn yet: %1. Arrow keys choose a bolt, Enter gives it its turn.")
            self.said_of_order.say(words.replace("%1", ", ".join(left)), "warning")
        else:
            words = self.tr("Every bolt has its turn: %1")
            self.said_of_order.say(words.replace("%1", " → ".join(order)), "good")


def _shape_of(places: Sequence[Place]) -> str:
    """Return the shape that draws bolts where they are; empty for one bolt."""
    if not places:
        return ""
    for shape, least in LEAST.items():
        if least <= len(places) <= MOST_BOLTS and pattern_of(shape, len(places)).places == tuple(
            places
        ):
            return shape
    return _DRAWN
