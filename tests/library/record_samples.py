"""Records of small invented jobs, and a library that knows their procedure."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from author.contract.procedure_file import PROCEDURE_FILE
from author.library.records.keeping import Keeping
from author.library.shop import Shop
from author.tasks.library_records import keep

from .shops import Plain, procedure, put, shop_of

NAME = "tank-lid"
DAY = "2026-03-{:02}T08:00:00Z"
LISTS = (
    "instruments", "hazards_read", "made_ready", "readings", "rounds_tightened", "observations",
    "witnessed", "ways_taken", "parts_used", "deviations", "findings", "tags_hung", "close_outs",
    "questions",
)  # fmt: skip


def lid(*changes: Callable[[Plain], Any], **keys: Any) -> Plain:
    """Return the procedure the jobs are done by."""
    return procedure(NAME, "Refit the tank lid", *changes, **keys)


def content_of(shop: Shop, name: str = NAME) -> str:
    """Return the fingerprint of a procedure file as it lies in a library."""
    return hashlib.sha256((shop.place_of(name) / PROCEDURE_FILE).read_bytes()).hexdigest()


def reading(value: str, verdict: str = "accept", **other: Any) -> Plain:
    """Return a reading of the one number the procedure has: 4.50 to 6.00 mm."""
    return {"spec": "gap", "value": value, "unit": "mm", "verdict": verdict, **other}


def job(content: str, day: int = 1, **other: Any) -> Plain:
    """Return the record of a finished job with a reading of 5.00 mm."""
    plain: Plain = {
        "schema": "job_record/1",
        "procedure": {"id": NAME, "revision": 1},
        "content": content,
        "data": "demo",
        "unit": "Bench drill BD-2",
        "serial": "7",
        "began": DAY.format(day),
        "ended": DAY.format(day).replace("08:", "09:"),
        "outcome": "done",
        "workers": [{"name": "K. O.", "role": "technician", "hours": "1.5"}],
        **dict.fromkeys(LISTS, "none"),
        "readings": [reading("5.00")],
    }
    plain |= other
    return {key: value for key, value in plain.items() if value is not None}


def as_bytes(plain: Plain) -> bytes:
    return f"{json.dumps(plain, indent=1, ensure_ascii=False)}\n".encode()


def lid_shop(folder: Path, *plains: Plain) -> Shop:
    return shop_of(folder, *(plains or (lid(),)))


def sent(shop: Shop, plain: Plain, by: str = "K. O.") -> Keeping:
    """Send a record to a library."""
    return keep(shop.folder, as_bytes(plain), name="record.json", by=by)


def next_revision(shop: Shop, plain: Plain) -> None:
    """Let another revision follow, as shelving does."""
    place = shop.place_of(plain["id"])
    data = (place / PROCEDURE_FILE).read_bytes()
    older = place / "revisions" / "1"
    older.mkdir(parents=True)
    (older / PROCEDURE_FILE).write_bytes(data)
    put(place, plain)
