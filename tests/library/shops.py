"""Small libraries of invented procedures, and a look at what an index holds."""

from __future__ import annotations

import copy
import secrets
from collections.abc import Callable
from pathlib import Path
from typing import Any

from document.samples import base, spec, step
from sqlalchemy import select, text

from author.contract import write_yaml
from author.contract.procedure_file import PROCEDURE_FILE
from author.library.asking.finding import Answer, find
from author.library.asking.query import Filters, read_query
from author.library.index.damage import with_mending
from author.library.index.database import Index
from author.library.index.indexing import Refreshed, mend, refresh
from author.library.index.tables import DETAILS, files, passages, procedures, words
from author.library.records.index import TakenUp, refresh_records
from author.library.shop import Shop, new_shop, open_shop

Plain = dict[str, Any]


def procedure(name: str, title: str = "", *changes: Callable[[Plain], Any], **keys: Any) -> Plain:
    """Return a small procedure with an id of its own, changed and given other keys."""
    plain = base()
    plain["id"] = name
    plain["title"] = title or f"Refit the {name.replace('-', ' ')}"
    for change in changes:
        change(plain)
    return plain | copy.deepcopy(keys)


def part(name: str, number: str | None = None, **other: Any) -> Plain:
    found: Plain = {"id": "clip", "name": name, "quantity": 2, "replace": "always"}
    return found | ({"number": number} if number else {}) | {"order": "always"} | other


def torque(lower: str | None, upper: str | None, unit: str) -> Callable[[Plain], None]:
    """Let the second step have a limit of torque, as a plain requirement."""

    def change(plain: Plain) -> None:
        one = spec(plain)
        for key in ("lower", "upper", "instrument"):
            one.pop(key)
        one.update({"characteristic": "Torque of the screws", "quantity": "torque", "unit": unit})
        one.update({k: v for k, v in (("lower", lower), ("upper", upper)) if v is not None})

    return change


def action(text: str) -> Callable[[Plain], None]:
    return lambda plain: step(plain, 0).update(action=text)


def put(folder: Path, plain: Plain) -> Path:
    """Write a procedure folder as an author has it."""
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / PROCEDURE_FILE
    file.write_text(write_yaml(plain), encoding="utf-8")
    return file


def empty_shop(folder: Path) -> Shop:
    """Make an empty library; in a database that is shared, its name gives it its own schema."""
    return new_shop(folder, f"Demo shop {secrets.token_hex(4)}")


def shop_of(folder: Path, *plains: Plain) -> Shop:
    """Make a library that holds procedures, without going through shelving."""
    shop = empty_shop(folder)
    for plain in plains:
        put(shop.place_of(plain["id"]), plain)
    return shop


def looked_over(shop: Shop, **options: Any) -> tuple[Index, Refreshed]:
    index = Index(shop)
    return index, refresh(shop, index, workers=1, **options)


def found(shop: Shop, typed: str = "", most: int = 50, **filters: Any) -> Answer:
    index, _ = looked_over(shop)
    with index.reading() as connection:
        return find(connection, read_query(typed), Filters(**filters), most)


def ids(answer: Answer) -> list[str]:
    return [one.procedure for one in answer.results]


def run_sql(index: Index, statement: str) -> None:
    """Change an index behind its back."""
    with index.lock(5), index.writing() as connection:
        connection.execute(text(statement))
        connection.commit()


def content(index: Index) -> dict[str, list[Any]]:
    """Return all an index holds, whatever ids its rows have and when files were read."""
    with index.reading() as connection:
        names = {row.id: row.place for row in connection.execute(select(files.c.id, files.c.place))}
        rows = connection.execute(
            select(files.c.place, files.c.digest, files.c.problem, files.c.line)
        )
        held = {"files": sorted(map(repr, rows))}
        for table in (procedures, passages, *DETAILS.values()):
            lines = connection.execute(select(table))
            held[table.name] = sorted(repr((names[row[0]], *tuple(row)[1:])) for row in lines)
        held["words"] = sorted(map(repr, connection.execute(select(words))))
        for typed in ("guard", "seal drum", "clip", "BW-101"):
            answer = find(connection, read_query(typed), Filters(older=True), 50)
            held[typed] = [(one.place, round(one.weight, 9)) for one in answer.results]
    return held


def take_up(folder: Path, *, anew: bool = False) -> TakenUp:
    """Bring the index of records up to what lies in a library, and ask nothing of it."""
    shop = open_shop(folder)
    index = Index(shop)
    try:
        return with_mending(
            lambda: refresh_records(shop, index, anew=anew, wait=2.0),
            lambda again: mend(shop, index, again),
        )
    finally:
        index.close()
