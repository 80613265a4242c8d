"""The open document: snapshots, commands, undo, its file, and the journal of unsaved work.

::

    document = open_document(folder)                     # in a worker: it parses the file
    document.on_change(lambda before, after, entry: ...)
    change = document.do(AddStep("Undo the axle nut.", span=Span("saw", start, end)))
    document.do(SetField((*change.place, "reason"), "The wheel can come off."))
    document.do(MoveMark("undo-axle-nut", "to", mark), merge="drag to")
    with document.gesture("Add a torque with its bolts"):
        document.do(AddEntry(("steps", "undo-axle-nut", "torques"), {...}))
        document.do(SetField(("steps", "undo-axle-nut", "note"), "Left-hand thread."))
    document.undo()                                      # the torque and the note at once
    result = document.save()                             # Saved, WouldDrop or Changed
    document.close()

A snapshot is a frozen ``Procedure`` that shares with the one before all that has not
changed: what is the identical object is the same. Rules need no file:
``check(document.procedure, facts)``; ``address_of(document.procedure, remark.path)`` is
the place of a remark that is found again after changes.
"""

from author.editing.addresses import (
    Address,
    address_of,
    exists,
    nearest,
    path_of,
    value_at,
)
from author.editing.commands import NO_ACTION, NO_ALT, Command, Outcome
from author.editing.document import OpenDocument
from author.editing.editor import Change
from author.editing.entries import AddEntry, MoveEntry, RemoveEntry, Rename, SetField
from author.editing.halving import JoinSteps, SplitStep
from author.editing.history import Entry
from author.editing.holding import Holder
from author.editing.ids import users_of
from author.editing.journal_file import state_folder
from author.editing.merging import Conflict, Merge, merge
from author.editing.opening import open_document
from author.editing.recovery import Recovery
from author.editing.replacing import replaced
from author.editing.saving import Changed, FileLook, Saved, SaveJob, SaveResult, WouldDrop
from author.editing.sections import AddSection, MoveSection, RemoveSection, SplitSection
from author.editing.steps import (
    AddStep,
    MoveMark,
    MoveSteps,
    RemoveSteps,
    SetSpan,
    Span,
    one_down,
    one_up,
)
from author.editing.words import name_of

__all__ = [
    "NO_ACTION",
    "NO_ALT",
    "AddEntry",
    "AddSection",
    "AddStep",
    "Address",
    "Change",
    "Changed",
    "Command",
    "Conflict",
    "Entry",
    "FileLook",
    "Holder",
    "JoinSteps",
    "Merge",
    "MoveEntry",
    "MoveMark",
    "MoveSection",
    "MoveSteps",
    "OpenDocument",
    "Outcome",
    "Recovery",
    "RemoveEntry",
    "RemoveSection",
    "RemoveSteps",
    "Rename",
    "SaveJob",
    "SaveResult",
    "Saved",
    "SetField",
    "SetSpan",
    "Span",
    "SplitSection",
    "SplitStep",
    "WouldDrop",
    "address_of",
    "exists",
    "merge",
    "name_of",
    "nearest",
    "one_down",
    "one_up",
    "open_document",
    "path_of",
    "replaced",
    "state_folder",
    "users_of",
    "value_at",
]
