"""Tools and supplies that a step uses."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QVBoxLayout, QWidget

from author.bench.views.offers import Offer
from author.bench.views.part_picker import Picker, fresh_offers, offers_of, picked
from author.bench.views.sheet.forms import EntryList, Form
from author.bench.views.sheet.group import Group
from author.bench.views.sheet.named import named_row, names_row
from author.bench.views.sheet.rows import Row
from author.bench.words import translate
from author.editing import AddEntry

if TYPE_CHECKING:
    from author.bench.session import Session


def supply_row() -> Row:
    """Return the row of a supply as a step uses it."""
    rows = (
        named_row("supply", translate("Sheet", "Supply"), "supplies"),
        Row("amount", translate("Sheet", "How much")),
        Row(
            "where",
            translate("Sheet", "Where"),
            "long",
            hint=translate("Sheet", "which surface or cavity"),
        ),
    )
    return Row(
        "supplies",
        translate("Sheet", "Supplies"),
        "entries",
        rows=rows,
        one=translate("Sheet", "supply"),
    )


class UsesGroup(Group):
    """Tools and supplies of a step."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, translate("Sheet", "Tools and supplies"), ("tools", "supplies"))

    def make_body(self) -> QWidget:
        """Make the list of tools and the one of supplies."""
        box = QWidget()
        column = QVBoxLayout(box)
        column.setContentsMargins(0, 0, 0, 0)
        self._tools = Form(
            self.session,
            (names_row("tools", translate("Sheet", "Tools"), "tools", translate("Sheet", "tool")),),
        )
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
            *(
                replace(offer, kind=translate("Sheet", "supply"))
                for offer in offers_of(procedure, "supplies", lambda supply: supply.grade or "")
            ),
        ]
        picker = Picker(
            over, translate("Sheet", "What is used?"), offers, fresh_offers("tools", "supplies")
        )
        step = self.step
        picker.taken.connect(lambda offer: self._take(offer, step))
        return picker

    def _take(self, offer: Offer, step: str) -> None:
        if self.back_to(step) is None:
            return
        with self.session.document.gesture(translate("Sheet", "Say what is used")):
            found = picked(self.session, offer)
            if found is None:
                return
            key, name = found
            entry = name if key == "tools" else {"supply": name}
            if not self.session.do(AddEntry(self.address(key), entry)):
                return
        self.ask_for()
