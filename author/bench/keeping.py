"""Keeps the work: saves it, offers back what a crash left, and notices another's change.

The file is never written over when somebody else has changed it: what both did is merged,
or the person is asked for each place where both wrote.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PyQt6.QtCore import QObject, QTimer
from PyQt6.QtWidgets import QFileDialog, QMessageBox, QWidget

from author.bench.actions import Actions
from author.bench.left_over import not_taken
from author.bench.session import Session
from author.bench.views.step_marks import film_to_step
from author.editing import Changed, Conflict, Saved, SaveResult, WouldDrop
from author.editing.merging import Side
from author.editing.recovery import ASIDE_DAYS
from author.errors import ReelwrightError, one_line

_LOOK_EVERY = 2000
_MOST_TOLD = 8
_WRITING = ("save", "sign", "publish")
"""Jobs that write the file."""


class Keeper(QObject):
    """Does what the menu says of saving, and asks what only a person can decide."""

    def __init__(self, session: Session, deeds: Actions, window: QWidget) -> None:
        super().__init__(window)
        self._session = session
        self._window = window
        self._deeds = deeds
        self._look = QTimer(self)
        self._look.setInterval(_LOOK_EVERY)
        self._look.timeout.connect(self._look_at_file)
        self._asking = False
        self._put_off = ""
        self._told_saved = ""
        session.said.connect(self._hear)
        session.changed.connect(self._no_longer_saved)
        deeds["save"].triggered.connect(self.save)
        deeds["save_as"].triggered.connect(self.save_as)
        session.changed.connect(self._words_of_undo)
        session.title_changed.connect(self._words_of_undo)
        self._words_of_undo()
        self._look.start()
        QTimer.singleShot(0, self._begin)

    def close(self) -> None:
        """Stop looking at the file."""
        self._look.stop()

    def save(self, *, drop_comments: bool = False) -> None:
        """Save beside the window's thread; what stands in the way is asked about."""
        document = self._session.document
        if document.read_only:
            self._session.tell("error", self._held())
            return
        job = document.saving(drop_comments=drop_comments)
        self._session.jobs.run("save", lambda _p, _c: job.run(), self._saved, self._failed)

    def save_as(self) -> None:
        """Write a copy into another folder; the work goes on with the file that is open."""
        start = str(self._session.document.file.parent.parent)
        folder = QFileDialog.getExistingDirectory(self._window, self.tr("Folder"), start)
        if folder:
            path = Path(folder) / self._session.document.file.name
            if path.exists():
                self._session.tell("error", self.tr("There is a procedure in this folder already."))
                return
            document = self._session.document
            self._session.jobs.run(
                "copy",
                lambda _p, _c: document.save_copy(path),
                lambda _: self._session.tell(
                    "good", self.tr("A copy is in %1").replace("%1", folder)
                ),
                self._failed,
            )

    def _begin(self) -> None:
        """Say who else has the file, and offer what a crash left."""
        document = self._session.document
        if document.read_only:
            self._session.tell("warning", self._held())
        if document.journal_problem:
            self._session.tell("warning", document.journal_problem)
        recovery = document.recovery
        if recovery is None:
            return
        if recovery.problem:
            self._session.tell("warning", recovery.problem)
            document.decline_recovery()
            return
        box = QMessageBox(self._window)
        undone = [self.tr("Undone: %1").replace("%1", label) for label in recovery.undone]
        lines = [*undone, *recovery.labels[::-1]]
        words = (
            self.tr("Work was left that is not in the file: one change.")
            if len(lines) == 1
            else self.tr("Work was left that is not in the file: %n changes.", "", len(lines))
        )
        if recovery.last is not None:
            when = recovery.last.astimezone().strftime("%Y-%m-%d %H:%M")
            words = f"{words} {self.tr('The last: %1.').replace('%1', when)}"
        box.setText(words)
        if lines:
            box.setInformativeText(f"{self.tr('The newest first:')}\n{_told(lines)}")
        take = box.addButton(self.tr("&Take it up"), QMessageBox.ButtonRole.AcceptRole)
        box.addButton(self.tr("&Leave it aside"), QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(take)
        box.setEscapeButton(take)  # it can be undone; what is left aside is not offered again
        box.exec()
        if box.clickedButton() is not take:
            document.decline_recovery()
            words = self.tr("The work is left aside, for %1 days, in %2")
            words = words.replace("%1", str(ASIDE_DAYS))
            self._session.tell("advice", words.replace("%2", str(recovery.journal.parent)))
            return
        merge = document.accept_recovery()
        if merge is not None and merge.procedure is None:
            prefer = self._ask_whose(merge.conflicts)
            if prefer is not None:
                document.accept_recovery(prefer=prefer)
        film_to_step(self._session)

    def _saved(self, result: SaveResult) -> None:
        document = self._session.document
        document.saved(result)
        if isinstance(result, Saved):
            self._session.title_changed.emit()
            words = self.tr("Saved in %1").replace("%1", str(document.file))
            left = not_taken(self._session)
            self._session.tell("warning" if left else "good", f"{words}. {left}" if left else words)
            self._told_saved = words
        else:
            self._saved_otherwise(result)

    def _hear(self, _severity: str, _words: str) -> None:
        self._told_saved = ""

    def _no_longer_saved(self, *_: object) -> None:
        """Take back that all is saved, however short a time ago it was said."""
        if self._told_saved and self._session.document.dirty:
            self._session.tell("advice", "")

    def _saved_otherwise(self, result: SaveResult) -> None:
        if isinstance(result, WouldDrop):
            box = QMessageBox(self._window)
            box.setText(self.tr("Saving drops comments of the file that have no place any more."))
            lines = ", ".join(str(line) for line in result.lines)
            box.setInformativeText(self.tr("Lines of the file: %1").replace("%1", lines))
            drop = box.addButton(self.tr("&Drop them and save"), QMessageBox.ButtonRole.AcceptRole)
            box.addButton(self.tr("Do &not save"), QMessageBox.ButtonRole.RejectRole)
            box.exec()
            if box.clickedButton() is drop:
                self.save(drop_comments=True)
        elif isinstance(result, Changed) and self._take_in(result):
            self.save()

    def _look_at_file(self) -> None:
        if self._asking or self._writes():
            return
        look = self._session.document.looking()
        self._session.jobs.run("look", lambda _p, _c: look.run(), self._looked)

    def _looked(self, changed: object) -> None:
        # What this window is just writing itself is nobody else's change.
        if not isinstance(changed, Changed) or self._writes():
            return
        # Whoever decides later is not asked again every two seconds, until they save.
        if not self._session.document.wrote(changed) and _found(changed) != self._put_off:
            self._take_in(changed)

    def _writes(self) -> bool:
        return any(self._session.jobs.is_running(name) for name in _WRITING)

    def _take_in(self, changed: Changed) -> bool:
        """Take another's change into the document; whether that was done."""
        document = self._session.document
        self._put_off = _found(changed)
        if changed.problem is not None:
            words = self.tr(
                "Somebody changed the file, and it cannot be read now; it is not written over."
                " Mend it, or save in another folder (%1). %2"
            )
            keys = self._deeds["save_as"].shortcut().toString()
            words = words.replace("%1", keys).replace("%2", one_line(str(changed.problem)))
            self._session.tell("error", words)
            return False
        prefer: Side | None = None
        if changed.merge.procedure is None:
            prefer = self._ask_whose(changed.merge.conflicts)
            if prefer is None:
                words = self.tr("Nothing is taken in or written over; saving asks again (%1).")
                keys = self._deeds["save"].shortcut().toString()
                self._session.tell("warning", words.replace("%1", keys))
                return False
        self._put_off = ""
        document.take_in(changed, prefer=prefer)
        self._session.tell("advice", self.tr("Somebody changed the file; that was taken in."))
        return True

    def _ask_whose(self, conflicts: Sequence[Conflict]) -> Side | None:
        """Ask whose words count where both wrote; None if neither is to be decided now."""
        self._asking = True
        try:
            box = QMessageBox(self._window)
            box.setText(self.tr("Somebody else changed the same places of this file."))
            box.setInformativeText(
                _told([f"{one.what}: “{one.mine}” – “{one.theirs}”" for one in conflicts])
            )
            mine = box.addButton(self.tr("&Mine there"), QMessageBox.ButtonRole.AcceptRole)
            theirs = box.addButton(self.tr("&Theirs there"), QMessageBox.ButtonRole.DestructiveRole)
            box.addButton(self.tr("Decide &later"), QMessageBox.ButtonRole.RejectRole)
            box.exec()
            pressed = box.clickedButton()
            if pressed is mine:
                return "mine"
            return "theirs" if pressed is theirs else None
        finally:
            self._asking = False

    def _held(self) -> str:
        holder = self._session.document.held_by
        who = f"{holder.user}, {holder.host}" if holder else self.tr("somebody")
        return self.tr("Open for reading only: %1 works on it.").replace("%1", who)

    def _failed(self, error: ReelwrightError) -> None:
        self._session.tell("error", str(error))

    def _words_of_undo(self, *_: object) -> None:
        session = self._session
        redo = session.redo_label
        for name, label, can in (
            ("undo", session.undo_label, session.can_undo),
            ("redo", redo, bool(redo)),
        ):
            action = self._deeds[name]
            action.setEnabled(can)
            plain = self.tr("&Undo") if name == "undo" else self.tr("&Redo")
            action.setText(f"{plain}: {label}" if label else plain)


def _found(changed: Changed) -> str:
    """Return what tells another's change from one that comes after it."""
    return f"{changed.stamp.sha256 if changed.stamp else ''} {changed.problem or ''}"


def _told(lines: Sequence[str]) -> str:
    more = len(lines) - _MOST_TOLD
    shown = list(lines[:_MOST_TOLD])
    return "\n".join([*shown, f"… {more}"] if more > 0 else shown)
