"""How the revisions of a procedure stand beside one another in the index.

A new revision that is still being written takes the folder of the one before it. Until it is
approved, work, orders and prerequisites go by what was settled last: an approved one, or none
where that one is withdrawn or superseded.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import Any

from sqlalchemy import Connection, Row, bindparam, select, update

from author.library.index.tables import files, procedures
from author.library.shop import REVISIONS, Shop
from author.library.signing.given_states import aside_by_history
from author.library.signing.states import WORKED_ON, ruling

_AT_ONCE = 400


def stand_beside_one_another(connection: Connection, shop: Shop, names: Collection[str]) -> None:
    """Write down of some procedures which revision is in force, and the states of all.

    Args:
        connection: to the index.
        shop: the library.
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
        changed = [one for id_, some in beside.items() for one in _changed(shop, id_, some)]
        if changed:
            connection.execute(
                update(procedures)
                .where(own.id == bindparam("one"))
                .values(in_force=bindparam("holds_good"), state=bindparam("stands_as")),
                changed,
            )


def _changed(shop: Shop, procedure: str, rows: Sequence[Row[Any]]) -> Iterable[dict[str, object]]:
    in_force = _in_force(shop, procedure, rows)
    for row in rows:
        state = row.written
        if not row.current and row.id not in in_force and state != "withdrawn":
            state = "superseded"
        if (row.in_force, row.state) != (row.id in in_force, state):
            yield {"one": row.id, "holds_good": row.id in in_force, "stands_as": state}


def _in_force(shop: Shop, procedure: str, rows: Sequence[Row[Any]]) -> set[int]:
    current = [row for row in rows if row.current]
    if all(row.written in WORKED_ON for row in current):
        # What was set aside for another content of the same revision is not gone by.
        older = {
            row.revision: row
            for row in rows
            if not row.current and row.place.endswith(f"/{REVISIONS}/{row.revision}")
        }
        states = {number: row.written for number, row in older.items()}
        ruled = ruling(states, lambda: aside_by_history(shop, procedure))
        if ruled is not None:
            return {older[ruled].id}
    return {row.id for row in current}
