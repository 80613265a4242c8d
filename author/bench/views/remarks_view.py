"""What the rules remark: grouped by how much it matters, one press to the place."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import QSignalBlocker, Qt
from PyQt6.QtWidgets import QLabel, QTreeWidget, QTreeWidgetItem, QVBoxLayout, QWidget

from author.bench.actions import Actions
from author.bench.field_words import field_words, in_window_words
from author.bench.session import Session
from author.checks import Remark, Verdict
from author.checks.verdict import forbids
from author.editing.ids import ids_in
from author.procedure.document import Procedure

# What a remark on a whole entry asks for.
_FIELDS = {"instruments.none": "instrument", "limits.no_source": "source"}
_REMARK = Qt.ItemDataRole.UserRole


class RemarksView(QWidget):
    """A list of remarks; under it why, where it comes from and what to do."""

    def __init__(self, session: Session, deeds: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._remarks: tuple[Remark, ...] = ()
        self._ids_of: Procedure | None = None
        self._ids: frozenset[str] = frozenset()
        self._list = QTreeWidget()
        self._list.setHeaderHidden(True)
        self._list.setRootIsDecorated(False)
        self._list.setUniformRowHeights(True)
        self._list.setIndentation(12)
        self._list.setAccessibleName(self.tr("Remarks"))
        self._remedy = QLabel()
        self._remedy.setWordWrap(True)
        self._remedy.setTextFormat(Qt.TextFormat.PlainText)
        self._remedy.setAccessibleName(self.tr("What to do"))
        self._remedy.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._list, 1)
        column.addWidget(self._remedy)
        self._list.currentItemChanged.connect(lambda item, _: self._tell(item))
        self._list.itemActivated.connect(lambda item, _: self._go(item))
        self._list.itemClicked.connect(lambda item, _: self._go(item))
        deeds["next_remark"].triggered.connect(lambda: self.step(1))
        deeds["previous_remark"].triggered.connect(lambda: self.step(-1))
        session.checked.connect(self._take)
        self._take_none()

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """The remarks shown, as they stand in the list."""
        return self._remarks

    def chosen(self) -> Remark | None:
        """Return the remark that is chosen."""
        item = self._list.currentItem()
        return None if item is None else item.data(0, _REMARK)

    def step(self, by: int) -> None:
        """Choose the next remark, or the one before, and go to its place."""
        items = self._items()
        if not items:
            self._session.tell("good", self.tr("There is nothing to remark."))
            return
        current = self._list.currentItem()
        at = items.index(current) + by if current in items else (0 if by > 0 else -1)
        item = items[at % len(items)]
        self._list.setCurrentItem(item)
        self._go(item)

    def _items(self) -> list[QTreeWidgetItem]:
        found = []
        for row in range(self._list.topLevelItemCount()):
            group = self._list.topLevelItem(row)
            if group is not None:
                found += [each for n in range(group.childCount()) if (each := group.child(n))]
        return found

    def _take_none(self) -> None:
        self._remedy.setText(self.tr("The rules are being asked …"))

    def _take(self, verdict: Verdict) -> None:
        if verdict.remarks == self._remarks and self._list.topLevelItemCount():
            return
        before = self.chosen()
        procedure = self._session.procedure
        groups = (
            (self.tr("Keeps it from being published"), [r for r in verdict.remarks if forbids(r)]),
            (self.tr("Worth mending"), [r for r in verdict.remarks if _of(r, "warning")]),
            (self.tr("Advice"), [r for r in verdict.remarks if _of(r, "advice")]),
        )
        with QSignalBlocker(self._list):
            self._list.clear()
            for words, remarks in groups:
                self._add_group(procedure, words, remarks, before)
            self._list.expandAll()
        self._remarks = tuple(remark for _, remarks in groups for remark in remarks)
        self._tell(self._list.currentItem())
        if not self._remarks:
            self._remedy.setText(self.tr("The rules have nothing to remark."))

    def _add_group(
        self,
        procedure: Procedure,
        words: str,
        remarks: Sequence[Remark],
        before: Remark | None,
    ) -> None:
        if not remarks:
            return
        group = QTreeWidgetItem([f"{words}: {len(remarks)}"])
        group.setFlags(Qt.ItemFlag.ItemIsEnabled)
        font = group.font(0)
        font.setBold(True)
        group.setFont(0, font)
        self._list.addTopLevelItem(group)
        for remark in remarks:
            item = QTreeWidgetItem(
                [f"{place_words(procedure, remark.path)}: {self._in_words(remark.problem)}"]
            )
            item.setData(0, _REMARK, remark)
            item.setToolTip(0, self._in_words(remark.problem))
            group.addChild(item)
            if remark == before:
                self._list.setCurrentItem(item)

    def _tell(self, item: QTreeWidgetItem | None) -> None:
        remark = None if item is None else item.data(0, _REMARK)
        if remark is None:
            self._remedy.setText(self.tr("Press Enter on a remark to go to its place."))
        else:
            self._remedy.setText(
                f"{_sentence(self._in_words(remark.remedy))}\n"
                f"{_sentence(remark.rule.why)} ({remark.rule.source})"
            )

    def _go(self, item: QTreeWidgetItem | None) -> None:
        remark = None if item is None else item.data(0, _REMARK)
        if remark is not None:
            self._tell(item)
            key = _FIELDS.get(remark.rule.id)
            self._session.go_to(remark.path if key is None else (*remark.path, key))
            # The place may lie where this list is covered.
            words = f"{_sentence(remark.problem)} {_sentence(remark.remedy)}"
            self._session.tell(remark.rule.severity, self._in_words(words))

    def _in_words(self, text: str) -> str:
        """Return what a rule says in the words of the window."""
        if self._ids_of is not self._session.procedure:
            self._ids_of = self._session.procedure
            named = ids_in(self._ids_of).values()
            self._ids = frozenset(name for names in named for name in names)
        return in_window_words(text, self._ids)


def place_words(procedure: Procedure, path: Sequence[str | int]) -> str:
    """Return where a path leads, short: ``Step 4``, ``Section 2``, or the block's name."""
    if len(path) >= 4 and path[0] == "sections" and path[2] == "steps":
        before = sum(len(one.steps) for one in procedure.sections[: int(path[1])])
        return f"Step {before + int(path[3]) + 1}"
    if len(path) >= 2 and path[0] == "sections":
        return f"Section {int(path[1]) + 1}"
    return _capital(field_words(str(path[0]))) if path else "Procedure"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _of(remark: Remark, severity: str) -> bool:
    return remark.rule.severity == severity and not forbids(remark)


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?", "!")) else f"{text}."
