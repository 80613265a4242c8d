"""Tools and supplies that a step uses."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QVBoxLayout, QWidget

from author.bench.views.part_picker import Offer, Picker, fresh_offers, offers_of, picked
from author.bench.views.sheet.forms import EntryList, Form
from author.bench.views.sheet.group import Group
from author.bench.views.sheet.named import named_row, names_row
from author.bench.views.sheet.rows import Row, say
from author.editing import AddEntry

if TYPE_CHECKING:
    from author.bench.session import Session


def supply_row() -> Row:
    """Return the row of a supply as a step uses it."""
    rows = (
        named_row("supply", say("Supply"), "supplies"),
        Row("amount", say("How much")),
        Row("where", say("Where"), "long", hint=say("which surface or cavity")),
    )
    return Row("supplies", say("Supplies"), "entries", rows=rows, one=say("supply"))


class UsesGroup(Group):
    """Tools and supplies of a step."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, say("Tools and supplies"), ("tools", "supplies"))

    def make_body(self) -> QWidget:
        """Make the list of tools and the one of supplies."""
        box = QWidget()
        column = QVBoxLayout(box)
        column.setContentsMargins(0, 0, 0, 0)
        self._tools = Form(self.session, (names_row("tools", say("Tools"), "tools", say("tool")),))
        self._supplies = EntryList(self.session, supply_row())
        column.addWidget(self._tools)
        column.addWidget(self._supplies)
        return box

    def bind_body(self, step: str) -> None:
        """Let the lists be those of a step."""
        self._tools.bind(("steps", step) if step else None)
        self._supplies.bind(("steps", step, "supplies") if step else None)

    def add(self) -> None:
        """Ask what is used."""
        self.pick(self.window() or self)

    def pick(self, over: QWidget) -> Picker | None:
        """Ask which tool or supply is used."""
        if not self.step:
            return None
        procedure = self.session.procedure
        offers = [
            *offers_of(procedure, "tools", lambda tool: tool.bears_on or ""),
            *offers_of(procedure, "supplies", lambda supply: supply.grade or say("supply")),
        ]
        picker = Picker(over, say("What is used?"), offers, fresh_offers("tools", "supplies"))
        picker.taken.connect(self._take)
        return picker

    def _take(self, offer: Offer) -> None:
        with self.session.document.gesture(say("Say what is used")):
            found = picked(self.session, offer)
            if found is None:
                return
            key, name = found
            entry = name if key == "tools" else {"supply": name}
            if not self.session.do(AddEntry(self.address(key), entry)):
                return
        self.ask_for()
