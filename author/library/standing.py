"""How the revisions of a procedure stand beside one another in the index.

A new revision that is still being written takes the folder of the one before it. Until it is
approved, work, orders and prerequisites go by what is: the newest older one that is approved.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import Any

from sqlalchemy import Connection, Row, bindparam, select, update

from author.library.shop import REVISIONS
from author.library.states import WORKED_ON
from author.library.tables import files, procedures

_AT_ONCE = 400


def stand_beside_one_another(connection: Connection, names: Collection[str]) -> None:
    """Write down of some procedures which revision is in force, and the states of all.

    Args:
        connection: to the index.
        names: ids of the procedures whose files are new, changed or gone.
    """
    own = procedures.c
    wanted = sorted(names)
    for start in range(0, len(wanted), _AT_ONCE):
        rows = connection.execute(
            select(
                own.id, own.procedure, own.revision, own.current, own.in_force, own.written,
                own.state, files.c.place,
            )
            .join(files, files.c.id == own.id)
            .where(own.procedure.in_(wanted[start : start + _AT_ONCE]))
        )  # fmt: skip
        beside: dict[str, list[Row[Any]]] = {}
        for row in rows:
            beside.setdefault(row.procedure, []).append(row)
        changed = [one for some in beside.values() for one in _changed(some)]
        if changed:
            connection.execute(
                update(procedures)
                .where(own.id == bindparam("one"))
                .values(in_force=bindparam("holds_good"), state=bindparam("stands_as")),
                changed,
            )


def _changed(rows: Sequence[Row[Any]]) -> Iterable[dict[str, object]]:
    in_force = _in_force(rows)
    for row in rows:
        state = row.written
        if not row.current and row.id not in in_force and state != "withdrawn":
            state = "superseded"
        if (row.in_force, row.state) != (row.id in in_force, state):
            yield {"one": row.id, "holds_good": row.id in in_force, "stands_as": state}


def _in_force(rows: Sequence[Row[Any]]) -> set[int]:
    current = [row for row in rows if row.current]
    if all(row.written in WORKED_ON for row in current):
        # What was set aside for another content of the same revision is not gone by.
        older = [
            row
            for row in rows
            if row.written == "approved" and row.place.endswith(f"/{REVISIONS}/{row.revision}")
        ]
        if older:
            return {max(older, key=lambda row: row.revision).id}
    return {row.id for row in current}
