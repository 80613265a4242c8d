"""What a step of a document says already of what a proposal would have it say."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from author.contract.procedure_file import as_plain
from author.errors import InputError
from author.procedure.spec_entry import entry_text
from author.procedure.steps import Step
from author.proposals.draft.lines import line
from author.proposals.proposal import Proposal

_NUMBERS = frozenset({"specs", "torques"})
_NEEDS_UNIT = {"limits", "aim", "about", "measured", "tolerance"}
_OF_ONE_NUMBER = ("characteristic", "quantity", "datum", "where")
"""What two numbers have in common that are about the same."""


def said_already(step: Step, key: str, entry: Mapping[str, Any]) -> bool:
    """Whether a step says the same, whatever it is called and wherever that is told.

    Args:
        step: the step.
        key: the list of the step that the entry would go to.
        entry: the entry, as the file has it.
    """
    told = {name: value for name, value in entry.items() if name not in {"id", "source"}}
    there = (as_plain(one) for one in getattr(step, key) or ())
    return any(all(str(one.get(n)) == str(value) for n, value in told.items()) for one in there)


def said_otherwise(step: Step, key: str, entry: Mapping[str, Any]) -> str | None:
    """Return how a step has a number of the same name with other limits; None if it has none.

    What is for information only contradicts nothing.

    Args:
        step: the step.
        key: the list of the step that the entry would go to.
        entry: the entry, as the file has it.
    """
    if key not in _NUMBERS or entry.get("reference"):
        return None
    for there in getattr(step, key) or ():
        told = as_plain(there)
        same = all(_bare(told.get(name)) == _bare(entry.get(name)) for name in _OF_ONE_NUMBER)
        if same and not told.get("reference") and _numbers(told) != _numbers(entry):
            return f"{there.characteristic}: {entry_text(there.limits())}"
    return None


def check_unit(p: Proposal) -> None:
    """Refuse a number that needs a unit and has none.

    Raises:
        InputError: if it has none.
    """
    values = p.values
    if values is None or values.unit is not None or not values.numbers():
        return
    if p.detail("role") in _NEEDS_UNIT:
        raise InputError(
            f"no unit was said with “{line(p.said, 80)}”",
            remedy="Change it: write the number with its unit",
        )


def _bare(value: object) -> str:
    return "" if value is None else str(value).casefold()


def _numbers(entry: Mapping[str, Any]) -> list[object]:
    """Return the unit and the numbers of an entry, however many digits they have."""
    numbers = [entry.get(key) for key in ("lower", "nominal", "upper")]
    return [entry["unit"], *(None if n is None else Decimal(str(n)) for n in numbers)]
