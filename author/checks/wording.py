"""Sentences a person takes in at one reading."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from pydantic import BaseModel

from author.checks.remarks import Path, Remark, Subject, remark
from author.procedure.units import all_units

_MOST_WORDS = 20
# What `reelwright new` writes where only a person knows the words.
UNWRITTEN = "(to be written)"
# Letters or digits begin a word; a number with its unit counts as one, a lone sign as none.
_WORD = re.compile(r"[^\W_][\w'’\-./·]*")


@cache
def _with_unit() -> re.Pattern[str]:
    units = "|".join(re.escape(symbol) for symbol in sorted(all_units(), key=len, reverse=True))
    return re.compile(rf"([0-9])\s+({units})(?!\w)")


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on the words of a procedure."""
    yield from _unwritten(subject.procedure, ())
    for placed in subject.procedure.placed_steps():
        count = len(_WORD.findall(_with_unit().sub(r"\1", placed.step.action)))
        if count > _MOST_WORDS:
            yield remark(
                "wording.length", f"the action has {count} words", (*placed.path, "action")
            )


def _unwritten(value: object, path: Path) -> Iterator[Remark]:
    if isinstance(value, str):
        if value.startswith(UNWRITTEN):
            key = next((part for part in reversed(path) if isinstance(part, str)), "")
            yield remark("wording.unwritten", f"'{key}' is still to be written", path)
    elif isinstance(value, tuple):
        for index, entry in enumerate(value):
            yield from _unwritten(entry, (*path, index))
    elif isinstance(value, BaseModel):
        for name, field in type(value).model_fields.items():
            yield from _unwritten(getattr(value, name), (*path, field.alias or name))
