"""What is said to the chosen proposal, or to all of its kind: the deeds of the menu."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PyQt6.QtCore import QObject

from author.bench.proposal_words import called
from author.bench.proposing import Proposing
from author.bench.session import Session
from author.bench.taking_in import TakingIn
from author.bench.views.proposal_list import put_in, step_wanted_too, with_their_steps
from author.bench.views.proposal_paper import ProposalPaper
from author.proposals.draft.changes import Changed
from author.proposals.draft.entries import NOTHING
from author.proposals.proposal import Proposal
from author.tasks.proposal_sheet import change_of

_FORMS = "12.0..12.5 mm, 12 ±0.2 mm, max 8 kN, min 3 mm, ref 6 kg"
"""How limits are typed, the last one for information only."""


class Deciding(QObject):
    """Accepts, changes and refuses; asks first where a step has to go in too, or overlaps.

    Args:
        session: whose document.
        proposing: what is proposed.
        taking_in: puts it into the document.
        paper: where one is chosen; the questions are laid over it.
    """

    def __init__(
        self, session: Session, proposing: Proposing, taking_in: TakingIn, paper: ProposalPaper
    ) -> None:
        super().__init__(paper)
        self._session = session
        self._proposing = proposing
        self._taking_in = taking_in
        self._paper = paper
        paper.written.connect(self._take_change)

    def accept(self) -> None:
        """Put the chosen proposal into the procedure, with its step where that is not there.

        While it is written anew, what is written is what is put in.
        """
        if self._paper.is_changing:
            self._paper.take_written()
            return
        p = self._paper.chosen()
        if p is not None and (names := self._with_step(p)):
            self._accept(names)

    def _accept(self, names: Sequence[str], changes: Mapping[str, Changed] | None = None) -> None:
        """Put proposals in; of steps that show what others show already, ask how."""
        self._taking_in.find_overlaps(
            names,
            lambda found: put_in(
                self._paper, self._proposing, self._taking_in, names, changes, found
            ),
        )

    def change(self) -> None:
        """Let the chosen proposal be written anew in its place."""
        p = self._paper.chosen()
        if p is None or self._paper.is_changing:
            return
        if self._proposing.decision(p.id).say in {"accept", "change"}:
            self._session.tell(
                "advice", self.tr("It stands in the procedure by now: change it there.")
            )
            return
        self._paper.change()
        words = self.tr("Enter accepts what is written, Esc leaves it.")
        if p.values is not None:
            forms = self.tr("Limits are written as %1.")
            words = f"{words} {forms.replace('%1', _FORMS)}"
        self._session.tell("advice", words)

    def refuse(self) -> None:
        """Refuse the chosen proposal, or open it again if that or its leaving out was said.

        One that was accepted is taken out of the procedure.
        """
        self._paper.leave_written()
        p = self._paper.chosen()
        if p is None:
            return
        say = self._proposing.decision(p.id).say
        if say == "refuse" or (say != "open" and p.kind in NOTHING):
            self._proposing.open_again((p.id,))
            self._session.tell("good", self.tr("Open again: %1.").replace("%1", called(p)))
        else:
            self._taking_in.refuse((p.id,))

    def accept_kind(self) -> None:
        """Accept all open proposals of the kind of the chosen one that are shown."""
        if names := with_their_steps(self._paper, self._proposing, self._paper.all_of_kind()):
            self._accept(names)

    def refuse_kind(self) -> None:
        """Refuse all open proposals of the kind of the chosen one that are shown."""
        if names := self._paper.all_of_kind():
            self._taking_in.refuse(names)

    def _take_change(self, name: str, text: str) -> None:
        p = self._proposing.proposal(name)
        change: Changed | None = change_of(p, text)
        was = self._proposing.decision(name).change
        if change is not None and was is not None:  # no field stands here for the note of a step
            change = change.model_copy(update={"note": was.note})
        names = self._with_step(p)
        if names:
            changes = {} if change is None else {name: change}
            self._accept(names, changes)

    def _with_step(self, p: Proposal) -> tuple[str, ...]:
        """Return what is accepted with a proposal: its step too, if the person says so."""
        step = self._proposing.waits_for(p.id)
        if step is None:
            return (p.id,)
        refused = self._proposing.decision(step.id).say == "refuse"
        wanted = step_wanted_too(self._paper, p, step, refused=refused)
        return (step.id, p.id) if wanted else ()
