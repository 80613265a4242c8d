"""Proposals as rows: every proposed step with what is said about it under it.

A change takes out, puts in and paints the rows it is about, and no others.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from PyQt6.QtCore import QT_TRANSLATE_NOOP, QAbstractListModel, QCoreApplication, QModelIndex, Qt

from author.bench.proposal_words import kind_words
from author.bench.views.stretches import unlike
from author.bench.words import capital
from author.procedure.times import clock_text
from author.proposals.draft.answers import Say
from author.proposals.draft.entries import NOTHING
from author.proposals.proposal import Proposal, Question
from author.tasks.proposal_sheet import Decision

ROW = Qt.ItemDataRole.UserRole
SIGNS: Mapping[Say, str] = {"open": "", "accept": "✓", "change": "✓", "refuse": "✗"}


@dataclass(frozen=True, slots=True)
class ProposalRow:
    """A proposal as a line.

    Attributes:
        proposal: what is proposed, as it was changed.
        decision: what was answered, and by whom.
        under: whether it stands under a step.
    """

    proposal: Proposal
    decision: Decision
    under: bool = False

    @property
    def id(self) -> str:
        """Name of the line: that of the proposal."""
        return self.proposal.id

    @property
    def say(self) -> Say:
        """What was answered."""
        return self.decision.say

    @property
    def heading(self) -> bool:
        """Whether it is a step, with what belongs to it under it."""
        return self.proposal.kind == "step"


@dataclass(frozen=True, slots=True)
class QuestionRow:
    """A question as a line.

    Attributes:
        question: what the film leaves out.
    """

    question: Question

    @property
    def id(self) -> str:
        """Name of the line: its words."""
        return self.question.text


Row = ProposalRow | QuestionRow


def arranged(
    proposals: Sequence[Proposal],
    decision_of: Callable[[str], Decision],
    wanted: Callable[[Proposal], bool],
) -> list[Row]:
    """Return the lines: in the order said, with what belongs to a step under it.

    Args:
        proposals: in the order said.
        decision_of: what was answered to a proposal, by its id.
        wanted: which are shown; a step is too where one under it is.
    """
    steps = {p.id for p in proposals if p.kind == "step"}
    under: dict[str, list[Proposal]] = {}
    for p in proposals:
        if p.kind != "step" and p.steps and p.steps[0] in steps and wanted(p):
            under.setdefault(p.steps[0], []).append(p)
    rows: list[Row] = []
    for p in proposals:
        if p.kind == "step":
            if p.id in under or wanted(p):
                rows.append(ProposalRow(p, decision_of(p.id)))
                rows += [ProposalRow(one, decision_of(one.id), True) for one in under.get(p.id, ())]
        elif not (p.steps and p.steps[0] in steps) and wanted(p):
            rows.append(ProposalRow(p, decision_of(p.id)))
    return rows


def say_words(say: Say) -> str:
    """Return an answer in words."""
    words = {
        "open": _say(QT_TRANSLATE_NOOP("ProposalRows", "open")),
        "accept": _say(QT_TRANSLATE_NOOP("ProposalRows", "accepted")),
        "change": _say(QT_TRANSLATE_NOOP("ProposalRows", "accepted with a change")),
        "refuse": _say(QT_TRANSLATE_NOOP("ProposalRows", "refused")),
    }
    return words[say]


def confidence_words(share: Decimal) -> str:
    """Return a confidence in words and figure: of so many like it, how many are right."""
    if share >= Decimal("0.9"):
        words = _say(QT_TRANSLATE_NOOP("ProposalRows", "nearly sure"))
    elif share >= Decimal("0.75"):
        words = _say(QT_TRANSLATE_NOOP("ProposalRows", "likely"))
    elif share >= Decimal("0.5"):
        words = _say(QT_TRANSLATE_NOOP("ProposalRows", "uncertain"))
    else:
        words = _say(QT_TRANSLATE_NOOP("ProposalRows", "doubtful"))
    return f"{words} {share:.2f}"


def row_words(row: Row) -> list[str]:
    """Return all that a line says, in words."""
    if isinstance(row, QuestionRow):
        return [row.question.with_answer]
    p = row.proposal
    right = _say(QT_TRANSLATE_NOOP("ProposalRows", "%1: of 100 like it, %2 are right"))
    right = right.replace("%1", confidence_words(p.confidence))
    return [
        f"{clock_text(p.start)}  {kind_words()[p.kind]}: {p.text}",
        *([] if _bare(p.said) == _bare(p.text) else [f"“{p.said}”"]),
        f"{right.replace('%2', f'{p.confidence * 100:.0f}')}. {_sentence(_reason(p))}",
        *([_left_out()] if p.kind in NOTHING else []),
        *([capital(_decision_words(row.decision))] if row.say != "open" else []),
    ]


def _decision_words(decision: Decision) -> str:
    if decision.by is None:
        return say_words(decision.say)
    by = _say(QT_TRANSLATE_NOOP("ProposalRows", "%1 by %2"))
    return by.replace("%1", say_words(decision.say)).replace("%2", decision.by)


def _say(text: str) -> str:
    return QCoreApplication.translate("ProposalRows", text)


def _left_out() -> str:
    return _say(
        QT_TRANSLATE_NOOP("ProposalRows", "Accepted or refused, it is not put into the procedure.")
    )


def _bare(text: str) -> str:
    """Return words without what only sets them as a sentence."""
    return " ".join(text.split()).rstrip(".").casefold()


def _reason(p: Proposal) -> str:
    """Return why something is proposed, without saying the whole of it once more."""
    why, quoted, rest = p.reason.partition(": '")
    again = quoted and _bare(rest.rstrip(".").rstrip("'")) in {_bare(p.text), _bare(p.said)}
    return why if again else p.reason


def _sentence(text: str) -> str:
    words = capital(text)
    return words if words.endswith((".", "?", "!")) else f"{words}."


class RowsModel(QAbstractListModel):
    """Lines of a list."""

    def __init__(self) -> None:
        super().__init__()
        self._rows: list[Row] = []

    @property
    def rows(self) -> Sequence[Row]:
        """The lines, from the top."""
        return self._rows

    def row_of(self, name: str) -> int:
        """Return where a line stands; -1 if it does not."""
        return next((at for at, row in enumerate(self._rows) if row.id == name), -1)

    def become(self, rows: list[Row]) -> None:
        """Show other lines: between those at the top and at the bottom that stay."""
        old, new = [row.id for row in self._rows], [row.id for row in rows]
        top, gone, come = unlike(old, new)
        if gone > top:
            self.beginRemoveRows(QModelIndex(), top, gone - 1)
            del self._rows[top:gone]
            self.endRemoveRows()
        if come > top:
            self.beginInsertRows(QModelIndex(), top, come - 1)
            self._rows[top:top] = rows[top:come]
            self.endInsertRows()
        changed = [at for at, row in enumerate(rows) if row != self._rows[at]]
        self._rows = rows
        if changed:
            self.dataChanged.emit(self.index(changed[0]), self.index(changed[-1]))

    def rowCount(self, parent: QModelIndex | None = None) -> int:
        """Return how many lines there are."""
        return 0 if parent is not None and parent.isValid() else len(self._rows)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a line shows or says."""
        row = self._rows[index.row()]
        if role == ROW:
            return row
        if role in {Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole}:
            return row.question.with_answer if isinstance(row, QuestionRow) else row.proposal.text
        if role == Qt.ItemDataRole.ToolTipRole:
            return "\n".join(row_words(row))
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return " ".join(row_words(row))
        return None

    def flags(self, index: QModelIndex) -> Qt.ItemFlag:
        """Say what can be done with a line."""
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        if isinstance(self._rows[index.row()], ProposalRow):
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags | Qt.ItemFlag.ItemNeverHasChildren
