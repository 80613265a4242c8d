"""The list that proposals and questions stand in, and what is asked about one of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QAbstractItemView, QListView, QMessageBox, QStyledItemDelegate, QWidget

from author.bench.actions import Actions
from author.bench.fields import TEXT_KEYS, Keys
from author.bench.overlaps import Overlap
from author.bench.proposing import Proposing
from author.bench.session import Session
from author.bench.steady import Marks
from author.bench.taking_in import TakingIn
from author.bench.views.proposal_rows import RowsModel
from author.bench.words import translate
from author.errors import InputError, one_line
from author.procedure.times import clock_text
from author.proposals.draft.changes import Changed
from author.proposals.proposal import Proposal
from author.tasks.proposal_sheet import change_of

_MOST_TOLD = 6

_KEYS = (TEXT_KEYS - {Qt.Key.Key_Left, Qt.Key.Key_Right}) | {
    Qt.Key.Key_Return,
    Qt.Key.Key_Enter,
}


class RowsList(QListView):
    """A list whose arrows up and down go from line to line; other keys are the window's.

    Args:
        session: whose document Ctrl+Z is for.
        model: the lines.
        delegate: draws them.
        name: what assistive technology calls it.
    """

    def __init__(
        self, session: Session, model: RowsModel, delegate: QStyledItemDelegate, name: str
    ) -> None:
        super().__init__()
        self.setModel(model)
        self.setItemDelegate(delegate)
        self.setAccessibleName(name)
        self.setUniformItemSizes(True)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setTabKeyNavigation(False)
        Keys(session, self, _KEYS)


def nothing_chosen(proposing: Proposing, deeds: Actions, busy: bool) -> str:
    """Return what is said while no proposal is chosen: what can be done then.

    Args:
        proposing: what is proposed.
        deeds: what the window can do.
        busy: whether it is being proposed.
    """
    if busy:
        return translate("ProposalList", "What is said is being read …")
    if not proposing.proposals:
        return translate(
            "ProposalList",
            "Nothing is proposed yet. Steps, numbers, warnings and parts are proposed from the "
            "captions beside the films; nothing is put into the procedure until you accept it.",
        )
    if any(proposing.is_open(p.id) for p in proposing.proposals):
        words = translate("ProposalList", "None of these is open. %1 shows the next kind.")
        return words.replace("%1", deeds["next_kind"].shortcut().toString())
    words = translate("ProposalList", "All are answered. What the film leaves out: %1")
    return words.replace("%1", deeds["answer_question"].shortcut().toString())


def problem_of(proposal: Proposal, text: str) -> str:
    """Return why a text cannot stand in place of a proposal; empty if it can."""
    try:
        change_of(proposal, text)
    except InputError as error:
        return one_line(str(error))
    return ""


def step_wanted_too(parent: QWidget, proposal: Proposal, step: Proposal, *, refused: bool) -> bool:
    """Ask whether the step that a proposal belongs to is accepted with it.

    Args:
        parent: what the question is laid over.
        proposal: the proposal.
        step: its step.
        refused: whether the step was refused.
    """
    words = translate("ProposalList", "“%1” belongs to a step that is not in the procedure:")
    if refused:
        words = translate("ProposalList", "“%1” belongs to a step that was refused:")
    box = _box(parent, words.replace("%1", proposal.text), step.text)
    too = translate("ProposalList", "&Accept the step too")
    leave = translate("ProposalList", "&Leave both open")
    both = box.addButton(too, QMessageBox.ButtonRole.AcceptRole)
    box.addButton(leave, QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(both)
    box.exec()
    return box.clickedButton() is both


def with_their_steps(
    parent: QWidget, proposing: Proposing, names: Sequence[str]
) -> tuple[str, ...]:
    """Return what is accepted of many proposals: the steps they belong to too, if that is wanted.

    Args:
        parent: what the question is laid over.
        proposing: what is proposed.
        names: ids of the proposals.

    Returns:
        Their ids, those of their steps first; without the steps, only those whose step is there.
    """
    waiting = {n: step.id for n in names if (step := proposing.waits_for(n)) is not None}
    if not waiting:
        return tuple(names)
    wanted = set(waiting.values())
    steps = [p.id for p in proposing.proposals if p.id in wanted]  # in the order said
    words = translate("ProposalList", "%1 of these belong to steps that are not in the procedure.")
    texts = [proposing.proposal(step).text for step in steps[:_MOST_TOLD]]
    more = "\n".join([*texts, *(["…"] if len(steps) > _MOST_TOLD else [])])
    box = _box(parent, words.replace("%1", str(len(waiting))), more)
    too = translate("ProposalList", "&Accept those steps too (%1)").replace("%1", str(len(steps)))
    leave = translate("ProposalList", "&Leave those open")
    both = box.addButton(too, QMessageBox.ButtonRole.AcceptRole)
    box.setEscapeButton(box.addButton(leave, QMessageBox.ButtonRole.RejectRole))
    box.setDefaultButton(both)
    box.exec()
    if box.clickedButton() is both:
        return (*steps, *names)
    return tuple(n for n in names if n not in waiting)


def step_wanted(parent: QWidget, step: Proposal) -> bool:
    """Ask whether the step that a question is about is accepted."""
    box = _box(
        parent,
        translate("ProposalList", "The question is about a step that is not in the procedure:"),
        step.text,
    )
    take = box.addButton(
        translate("ProposalList", "&Accept the step"), QMessageBox.ButtonRole.AcceptRole
    )
    leave = translate("ProposalList", "&Leave it open")
    box.addButton(leave, QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(take)
    box.exec()
    return box.clickedButton() is take


def put_in(
    parent: QWidget,
    proposing: Proposing,
    taking_in: TakingIn,
    names: Sequence[str],
    changes: Mapping[str, Changed] | None,
    found: Mapping[str, Overlap],
) -> None:
    """Accept proposals; where steps show what others show already, ask how.

    Args:
        parent: what the question is laid over.
        proposing: what is proposed.
        taking_in: puts it into the document.
        names: ids of the proposals.
        changes: what stands in their place, by their ids.
        found: which of them are steps over others, by their ids.
    """
    spans: dict[str, Marks] = {}
    if found:
        wanted = overlap_wanted(parent, [proposing.proposal(n) for n in found], found)
        if wanted == "trimmed":
            spans = {n: each.free for n, each in found.items() if each.free is not None}
            names = [n for n in names if n not in found or n in spans]
        elif wanted is None:  # steps that overlap nothing are put in all the same
            steps = (n for n in names if proposing.proposal(n).kind == "step")
            names = [n for n in steps if n not in found]
    if names:
        taking_in.accept(names, changes, spans)


def overlap_wanted(
    parent: QWidget, steps: Sequence[Proposal], found: Mapping[str, Overlap]
) -> Literal["as it is", "trimmed"] | None:
    """Say which accepted steps show what steps of the procedure show, and ask what to do.

    Args:
        parent: what the question is laid over.
        steps: the proposed steps.
        found: what steps of the procedure show of them already, by their ids.

    Returns:
        What is wanted; None leaves them open.
    """
    words, more, free = _told_overlap([step for step in steps if step.id in found], found)
    box = _box(parent, words, more)
    several = len(found) > 1
    whole = translate("ProposalList", "&Put in as it is")
    if several:
        whole = translate("ProposalList", "&Put in as they are")
    as_it_is = box.addButton(whole, QMessageBox.ButtonRole.ActionRole)
    trim = None
    if free:
        trim = box.addButton(free, QMessageBox.ButtonRole.AcceptRole)
    rest = translate("ProposalList", "&Leave it open")
    if several:
        rest = translate("ProposalList", "&Leave those open")
    leave = box.addButton(rest, QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(trim or as_it_is)
    box.setEscapeButton(leave)
    box.exec()
    pressed = box.clickedButton()
    if pressed is as_it_is:
        return "as it is"
    return "trimmed" if trim is not None and pressed is trim else None


def _told_overlap(steps: Sequence[Proposal], found: Mapping[str, Overlap]) -> tuple[str, str, str]:
    """Return what is said of an overlap, of which steps, and what trimming is called."""
    free = [found[step.id].free for step in steps]
    if len(steps) > 1:
        words = translate("ProposalList", "%1 of these steps show what other steps show already.")
        trim = translate("ProposalList", "&Trim each to what is free") if any(free) else ""
        texts = "\n".join(step.text for step in steps[:_MOST_TOLD])
        return words.replace("%1", str(len(steps))), texts, trim
    numbers = found[steps[0].id].numbers
    words = translate("ProposalList", "Step %1 shows a part of this already:")
    if len(numbers) > 1:
        words = translate("ProposalList", "Steps %1 show a part of this already:")
    words = words.replace("%1", ", ".join(map(str, numbers)))
    trim = ""
    if free[0] is not None:
        trim = translate("ProposalList", "&Trim to %1–%2")
        for sign, at in zip(("%1", "%2"), free[0], strict=True):
            trim = trim.replace(sign, clock_text(at))
    return words, steps[0].text, trim


def _box(parent: QWidget, words: str, more: str) -> QMessageBox:
    box = QMessageBox(parent)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(words)
    box.setInformativeText(more)
    return box
