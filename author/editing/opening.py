"""Opening a procedure to edit it."""

from __future__ import annotations

from pathlib import Path

from author.contract.procedure_file import find_procedure_file, parse_procedure
from author.editing.document import OpenDocument
from author.editing.history import BOUND
from author.editing.holding import Hold
from author.editing.ids import all_uses, ids_in
from author.editing.recovery import find_recovery
from author.editing.replacing import make_ready
from author.editing.saving import read_stamped


def open_document(path: Path, *, bound: int = BOUND) -> OpenDocument:
    """Open a procedure to edit it; takes a while for a long one, so do it in a worker.

    Where another window has it open, the document can only be read, and ``held_by`` says
    who has. Unsaved work of an earlier run is offered as ``recovery``.

    Args:
        path: the procedure's folder or file.
        bound: how many entries can be undone.

    Raises:
        InputError: if it is no procedure.
        MachineError: if it cannot be read.
    """
    file = find_procedure_file(path).resolve()
    hold = Hold(file)
    held = hold.take()
    try:
        data, stamp = read_stamped(file)
        loaded = parse_procedure(data, file)
        recovery = find_recovery(loaded, stamp.sha256) if held else None
        # Looked up once, so that no command has to wait for it.
        make_ready()
        ids_in(loaded.procedure)
        list(all_uses(loaded.procedure))
        return OpenDocument(loaded, data, stamp, hold, recovery, bound)
    except BaseException:
        hold.release()
        raise
