"""Fields that name an entry of a list of the document; a new entry is made at once."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from author.bench.fields import Address, ChoiceField, Keys, Option, Place, options_of
from author.bench.views.offers import Offer
from author.bench.views.part_picker import Picker, fresh_offers, offers_of, picked
from author.bench.views.sheet.rows import Row, flat, sign_button
from author.bench.words import translate
from author.editing import AddEntry, MoveEntry, RemoveEntry, SetField
from author.procedure.document import Procedure
from author.procedure.references import names_in

if TYPE_CHECKING:
    from author.bench.session import Session

_NEW = "\0new"
_MADE_AT_ONCE = ("parts", "tools", "supplies", "sources", "people")


class NamedChoice(ChoiceField):
    """An entry of a list by its name, or a new one.

    Args:
        session: whose document.
        key: key of the list.
        name: what assistive technology calls the field.
        none: words for no entry, where it may be absent.
        new: words for a new entry.
    """

    def __init__(
        self,
        session: Session,
        key: str,
        name: str = "",
        *,
        none: str | None = None,
        new: str | None = None,
    ) -> None:
        self._key = key
        self._new = new or translate("Sheet", "New …")
        super().__init__(session, self._with_new, name=name, none=none)
        session.changed.connect(self._look)
        lines = self.view()
        if key == "sources" and lines is not None:
            # Their kind stands behind their names, and has to be seen.
            lines.setTextElideMode(Qt.TextElideMode.ElideMiddle)

    def _look(self, before: Procedure, after: Procedure) -> None:
        """Show what is named by its new words."""
        if getattr(before, self._key) is not getattr(after, self._key):
            self._show(self.place.value)

    def _with_new(self) -> Sequence[Option]:
        return [*self.named(), (_NEW, self._new)]

    def named(self) -> Sequence[Option]:
        """Return the entries that can be chosen."""
        return options_of(self.place.session.procedure, self._key)

    def fresh(self, text: str) -> Sequence[Offer]:
        """Return the offers of a new entry of a name."""
        return fresh_offers(self._key)(text)

    def chosen(self) -> None:
        """Do what else follows of a choice, in the same gesture."""

    def _label(self) -> str:
        return translate("Sheet", "Choose {0}").format(self.accessibleName())

    def _take(self, row: int) -> None:
        if self.itemData(row) != _NEW:
            with self.place.session.document.gesture(self._label()):
                super()._take(row)
                self.chosen()
            return
        self._show(self.place.value)
        session = self.place.session
        offers = offers_of(session.procedure, self._key)
        at = self.place.at
        picker = Picker(self, self.accessibleName(), offers, self.fresh)
        picker.taken.connect(lambda offer: self._take_offer(offer, at))

    def _take_offer(self, offer: Offer, at: Address | None) -> None:
        session = self.place.session
        if at is None:
            return
        with session.document.gesture(self._label()):
            found = picked(session, offer)
            if found is not None and at == self.place.at:
                self.place.write(found[1])
                self.chosen()
            elif found is not None:
                session.do(SetField(at, found[1]))  # it belongs where it was asked for
        self.place.end_visit()
        self._show(self.place.value)
        self.setFocus(Qt.FocusReason.OtherFocusReason)


def named_row(key: str, words: str, into: str, none: str | None = None) -> Row:
    """Return the row of a form that names an entry of a list.

    Args:
        key: key in the block.
        words: what it is called.
        into: key of the list.
        none: words for no entry, where it may be absent.
    """
    if into in _MADE_AT_ONCE:
        return Row(
            key, words, "own", make=lambda session: NamedChoice(session, into, words, none=none)
        )
    return Row(key, words, "choice", none=none, options=lambda p: list(names_in(p)[into].items()))


class NamesList(QWidget):
    """Entries of a list by their names, each to be taken out; another is added by typing.

    Args:
        session: whose document.
        key: key of the list the names stand in.
        one: what one of them is called.
        ordered: whether their order counts, so that they can be moved.
    """

    def __init__(
        self,
        session: Session,
        key: str,
        one: str,
        parent: QWidget | None = None,
        *,
        ordered: bool = False,
    ) -> None:
        super().__init__(parent)
        self._key = key
        self._one = one
        self._ordered = ordered
        self._rows: list[tuple[QWidget, QLabel, QToolButton]] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(1)
        self._add_button = flat(QToolButton())
        self._add_button.setText(translate("Sheet", "Add {0} …").format(one))
        self._add_button.clicked.connect(lambda _=False: self.add())
        Keys(session, self._add_button)
        self._column.addWidget(self._add_button)
        self.setFocusProxy(self._add_button)
        self.setAccessibleName(one)
        self.place = Place(session, self, None, self._show)
        session.changed.connect(self._look)

    def add(self) -> None:
        """Ask for another."""
        session = self.place.session
        offers = offers_of(session.procedure, self._key)
        picker = Picker(
            self,
            translate("Sheet", "Which {0}?").format(self._one),
            offers,
            fresh_offers(self._key),
        )
        at = self.place.at
        picker.taken.connect(lambda offer: self._take(offer, at))

    def _take(self, offer: Offer, at: Address | None) -> None:
        session = self.place.session
        if at is None:
            return
        with session.document.gesture(translate("Sheet", "Add {0}").format(self._one)):
            found = picked(session, offer)
            if found is not None:
                session.do(AddEntry(at, found[1]))

    def _remove(self, index: int) -> None:
        if self.place.at is not None:
            self.place.session.do(RemoveEntry((*self.place.at, index)))

    def _up(self, index: int) -> None:
        if self.place.at is not None and index > 0:
            self.place.session.do(MoveEntry((*self.place.at, index), index - 1))

    def _look(self, before: Procedure, after: Procedure) -> None:
        if getattr(before, self._key) is not getattr(after, self._key):
            self._show(self.place.value)

    def _show(self, value: Any) -> None:
        names = tuple(value or ())
        known = dict(options_of(self.place.session.procedure, self._key)) if names else {}
        while len(self._rows) < len(names):
            self._rows.append(self._row(len(self._rows)))
        for index, (box, label, button) in enumerate(self._rows):
            box.setVisible(index < len(names))
            if index < len(names):
                words = known.get(names[index], names[index])
                label.setText(words)
                button.setAccessibleName(translate("Sheet", "Remove {0}").format(words))
                button.setToolTip(button.accessibleName())

    def _row(self, index: int) -> tuple[QWidget, QLabel, QToolButton]:
        box, label = QWidget(), QLabel()
        button = sign_button(self.place.session, "×", "")
        line = QHBoxLayout(box)
        line.setContentsMargins(0, 0, 0, 0)
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        button.clicked.connect(lambda _=False: self._remove(index))
        line.addWidget(label, 1)
        if self._ordered:
            up = sign_button(
                self.place.session, "↑", translate("Sheet", "Move {0} up").format(self._one)
            )
            up.clicked.connect(lambda _=False: self._up(index))
            line.addWidget(up)
        line.addWidget(button)
        self._column.insertWidget(index, box)
        return box, label, button


def names_row(key: str, words: str, into: str, one: str, *, ordered: bool = False) -> Row:
    """Return the row of a form that names several entries of a list."""
    return Row(
        key, words, "own", make=lambda session: NamesList(session, into, one, ordered=ordered)
    )
