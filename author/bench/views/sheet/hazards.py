"""Hazard messages of a step: the four parts of each, and the picker of common ones."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QWidget

from author.bench.views.hazard_picker import HazardPicker
from author.bench.views.part_picker import Offer
from author.bench.views.sheet.forms import give_keys
from author.bench.views.sheet.group import ListGroup
from author.bench.views.sheet.rows import Row, choices, say, unwritten
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
            say("Signal word"),
            "choice",
            options=choices(
                ("DANGER", say("DANGER – kills or maims if not avoided")),
                ("WARNING", say("WARNING – can kill or maim")),
                ("CAUTION", say("CAUTION – can hurt lightly")),
                ("NOTICE", say("NOTICE – damage to things alone")),
            ),
        ),
        Row("hazard", say("What can do harm"), "long", blank=unwritten("what can do harm")),
        Row("consequence", say("What it does"), "long"),
        Row("avoid", say("How to avoid it"), "long", blank=unwritten("how to avoid it")),
    )
    return Row("hazards", say("Hazards"), "entries", rows=rows, entry=_fresh, one=say("hazard"))


def _fresh(_procedure: Procedure) -> Hazard:
    return Hazard(
        signal="WARNING",
        hazard=unwritten("what can do harm"),
        avoid=unwritten("how to avoid it"),
    )


class HazardsGroup(ListGroup):
    """The hazard messages of a step."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, say("Hazards"), "hazards", hazard_row())

    def pick(self, over: QWidget) -> HazardPicker | None:
        """Ask which hazard; it is added where its signal word belongs."""
        if not self.step:
            return None
        picker = HazardPicker(over)
        picker.taken.connect(self._take)
        return picker

    def _take(self, offer: Offer) -> None:
        step = self.session_step()
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
            give_keys(self.entries.form(at).field("avoid"))
