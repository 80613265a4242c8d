"""The change that accepting proposals makes of an open document."""

from __future__ import annotations

from dataclasses import dataclass

from author.editing import Address, Command, Outcome
from author.errors import InputError
from author.procedure.document import Procedure


@dataclass(frozen=True, slots=True)
class TakeIn(Command):
    """A change that was worked out for one snapshot of the document.

    Attributes:
        before: the snapshot.
        after: what it becomes.
        words: what is done.
        was: address, in the snapshot, of what it is about.
        now: the same afterwards.
    """

    before: Procedure
    after: Procedure
    words: str
    was: Address
    now: Address

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of the document it was worked out for.

        Raises:
            InputError: if it is another document by now.
        """
        if procedure is not self.before:
            raise InputError("the document was changed meanwhile", remedy="Accept it once more")
        return Outcome(self.after, self.words, self.was, self.now)
