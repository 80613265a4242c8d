"""Makes the field for a row of a form."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from author.bench.fields import (
    ChoiceField,
    LinesField,
    LongField,
    Option,
    TextField,
    TicksField,
    whole_number,
)
from author.bench.views.sheet.rows import Row

if TYPE_CHECKING:
    from author.bench.session import Session


def make_field(session: Session, row: Row) -> Any:
    """Return the field for a row."""

    def offered() -> Sequence[Option]:
        return row.options(session.procedure) if row.options is not None else ()

    made: Any
    if row.make is not None:
        made = row.make(session)
    elif row.kind == "long":
        made = LongField(session, name=row.words, blank=row.blank)
    elif row.kind == "lines":
        made = LinesField(session, name=row.words, blank=row.blank)
    elif row.kind == "choice":
        made = ChoiceField(session, offered, name=row.words, none=row.none)
    elif row.kind == "ticks":
        made = TicksField(session, offered, name=row.words)
    elif row.kind == "count":
        made = TextField(session, name=row.words, read_as=whole_number)
    else:
        made = TextField(
            session, name=row.words, blank=row.blank, read_as=row.read_as, show_as=row.show_as
        )
    if row.hint and hasattr(made, "setPlaceholderText"):
        made.setPlaceholderText(row.hint)
    return made
