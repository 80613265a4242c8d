"""Hazard messages of a step: the four parts of each, and the picker of common ones."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QWidget

from author.bench.views.hazard_picker import HazardPicker
from author.bench.views.offers import Offer
from author.bench.views.sheet.forms import give_keys
from author.bench.views.sheet.group import ListGroup
from author.bench.views.sheet.rows import Row, choices, unwritten
from author.bench.words import translate
from author.editing import AddEntry
from author.procedure.document import Procedure
from author.procedure.steps import Hazard

if TYPE_CHECKING:
    from author.bench.session import Session

_SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")


def hazard_row() -> Row:
    """Return the row of a hazard message."""
    rows = (
        Row(
            "signal",
            translate("Sheet", "Signal word"),
            "choice",
            options=choices(
                ("DANGER", translate("Sheet", "DANGER – kills or maims if not avoided")),
                ("WARNING", translate("Sheet", "WARNING – can kill or maim")),
                ("CAUTION", translate("Sheet", "CAUTION – can hurt lightly")),
                ("NOTICE", translate("Sheet", "NOTICE – damage to things alone")),
            ),
        ),
        Row(
            "hazard",
            translate("Sheet", "What can do harm"),
            "long",
            blank=unwritten("what can do harm"),
            leads_to="consequence",
        ),
        Row("consequence", translate("Sheet", "What it does"), "long", leads_to="avoid"),
        Row(
            "avoid",
            translate("Sheet", "How to avoid it"),
            "long",
            blank=unwritten("how to avoid it"),
        ),
    )
    return Row(
        "hazards",
        translate("Sheet", "Hazards"),
        "entries",
        rows=rows,
        entry=_fresh,
        one=translate("Sheet", "hazard"),
    )


def _fresh(_procedure: Procedure) -> Hazard:
    return Hazard(
        signal="WARNING",
        hazard=unwritten("what can do harm"),
        avoid=unwritten("how to avoid it"),
    )


class HazardsGroup(ListGroup):
    """The hazard messages of a step."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, translate("Sheet", "Hazards"), "hazards", hazard_row())

    def pick(self, over: QWidget) -> HazardPicker | None:
        """Ask which hazard; it is added where its signal word belongs."""
        if not self.step:
            return None
        step = self.step
        picker = HazardPicker(over)
        picker.taken.connect(lambda offer: self._take(offer, step))
        return picker

    def _take(self, offer: Offer, name: str) -> None:
        step = self.back_to(name)
        if step is None or not isinstance(offer.what, Hazard):
            return
        rank = _SIGNALS.index(offer.what.signal)
        there = [_SIGNALS.index(one.signal) for one in step.hazards or ()]
        at = next((index for index, each in enumerate(there) if each > rank), len(there))
        before = at if at < len(there) else None
        if not self.session.do(AddEntry(self.address("hazards"), offer.what, before)):
            return
        self.ask_for()
        if self.entries is not None:
            give_keys(self.entries.form(at).field("hazard"))
