"""Texts of differences: a value, an entry of a list, and what was reworded in a sentence."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any

from author.procedure.items import Content
from author.procedure.lists import (
    Change,
    Concession,
    LeftOff,
    ProcedureRef,
    ReviewPlan,
    SerialRange,
)
from author.procedure.quantities import number_text
from author.procedure.references import words_for
from author.procedure.specs import ChainLink, Fastener, Pass, Reaction, SiValues, WrenchExtension
from author.procedure.steps import (
    Branch,
    Callout,
    Clip,
    Decision,
    Hazard,
    Mask,
    Movement,
    Still,
    SupplyUse,
    Way,
)
from author.procedure.values import Node

LEAVES = (ProcedureRef, SiValues)
"""Blocks that are told as one value."""
# Words left and right of what has changed in a sentence.
_CONTEXT = 3
_SHORT = 48
_FORM = re.compile(r"[.,;:!?](?=\s|$)")


def shown(value: Any) -> str:
    """Return a value as a person reads it, whole."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Decimal):
        return number_text(value)
    if isinstance(value, ProcedureRef):
        return value.id if value.revision is None else f"{value.id}, revision {value.revision}"
    if isinstance(value, Node):
        return summary(value)
    if isinstance(value, tuple):
        return ", ".join(shown(entry) for entry in value)
    text = str(value)
    return f"“{text}”" if " " in text else text.replace("_", " ")


def listed(lines: Sequence[str]) -> str:
    """Return the entries of a list in their order, with a mark between that none of them has."""
    return ("; " if any("," in line for line in lines) else ", ").join(lines) or "none"


def changed_text(name: str, old: Any, new: Any) -> str:
    """Return what has become of a value; of a sentence, the part that differs."""
    if isinstance(old, str) and isinstance(new, str) and (" " in old or " " in new):
        before, now = reworded(old, new)
        return f"{name} “{before}” → “{now}”"
    return f"{name} {shown(old)} → {shown(new)}"


def reworded(old: str, new: str) -> tuple[str, str]:
    """Return the parts of two sentences that differ, with a few words around them.

    Words that are the same and lie further off are left out, with … in their place; short
    sentences are whole.
    """
    if max(len(old), len(new)) <= _SHORT:
        return old, new
    before, now = old.split(), new.split()
    shorter = min(len(before), len(now))
    head = next((i for i in range(shorter) if before[i] != now[i]), shorter)
    tail = next((i for i in range(shorter - head) if before[-1 - i] != now[-1 - i]), shorter - head)
    first, last = max(0, head - _CONTEXT), max(0, tail - _CONTEXT)

    def part(words: list[str]) -> str:
        end = len(words) - last
        text = " ".join(words[first:end])
        return f"{'… ' if first else ''}{text}{' …' if last else ''}"

    return part(before), part(now)


def same_words(old: str, new: str) -> bool:
    """Whether two sentences differ in capitals, spaces and marks between words alone."""
    return _bare(old) == _bare(new)


def _bare(text: str) -> str:
    return " ".join(_FORM.sub(" ", text).casefold().split())


_SUMMARIES: dict[type[Node], Callable[[Any], str]] = {
    Hazard: lambda n: f"{n.signal}: {n.hazard}",
    Movement: lambda n: f"{n.act} {n.quantity} × {n.part}{_in_brackets(n.places)}",
    SupplyUse: lambda n: ", ".join(v for v in (n.supply, n.amount, n.where) if v),
    Branch: lambda n: f"when {n.when}: {target(n)}",
    Way: lambda n: n.how,
    Reaction: lambda n: f"{n.do}: {n.how}",
    Decision: lambda n: n.question,
    Clip: lambda n: f"{seconds(n.start)} to {seconds(n.end)} s of {n.recording}",
    Still: lambda n: f"{seconds(n.at)} s of {n.recording}",
    Callout: lambda n: f"{n.shape} “{n.text}”" if n.text else n.shape,
    Mask: lambda n: f"at {shown(n.at)}",
    Pass: lambda n: f"{n.percent} %",
    Fastener: lambda n: n.name,
    WrenchExtension: lambda n: f"{number_text(n.adds)} {n.unit} on {number_text(n.wrench)}",
    SiValues: lambda n: f"{shown(_present(n.lower, n.nominal, n.upper))} {n.unit}",
    Concession: lambda n: f"{n.rule} at {n.at}: {n.reason}",
    Change: lambda n: f"revision {n.revision}, {n.date}: {n.what}",
    Content: lambda n: f"{n.quantity} × {n.part}",
    LeftOff: lambda n: f"{n.quantity} × {n.part}, {n.state}",
    SerialRange: lambda n: f"{n.start} to {n.end}" if n.end else f"from {n.start}",
    ReviewPlan: lambda n: shown(n.authors),
}
_NAMES: dict[type[Node], Callable[[Any], str]] = {
    Hazard: lambda n: f" “{n.hazard}”",
    Movement: lambda n: f", {n.part}",
    SupplyUse: lambda n: f" {n.supply}",
    ChainLink: lambda n: f" “{n.what}”",
    Fastener: lambda n: f" {n.name}",
    Branch: lambda n: f" when {n.when}",
    Concession: lambda n: f" {n.rule} at {n.at}",
    Change: lambda n: f" at revision {n.revision}",
    Content: lambda n: f" {n.part}",
    LeftOff: lambda n: f" {n.part}",
}


def summary(node: Node) -> str:
    """Return an entry of a list in one line."""
    said = _SUMMARIES.get(type(node), words_for)
    return said(node)


def named(name: str, node: Node, number: int) -> str:
    """Return how an entry is called in front of what has changed in it.

    Args:
        name: what an entry of its list is called.
        node: the entry.
        number: its number in the list, from 1.
    """
    known = _NAMES.get(type(node))
    return f"{name} {getattr(node, 'id', number)}" if known is None else f"{name}{known(node)}"


def _in_brackets(words: tuple[str, ...] | None) -> str:
    return f" ({', '.join(words)})" if words else ""


def _present(*values: Decimal | None) -> tuple[Decimal, ...]:
    return tuple(value for value in values if value is not None)


def target(way: Branch) -> str:
    """Return where a way on leads, in words."""
    found = [
        f"{kind} {shown(value)}"
        for kind, value in (
            ("step", way.step),
            ("section", way.section),
            ("procedure", way.procedure),
            ("stop,", way.stop),
        )
        if value is not None
    ]
    return " and ".join(found) or "nowhere"


def seconds(mark: Decimal) -> str:
    """Return a mark with three decimals at least, and with six where they count."""
    text = format(mark, ".6f")
    return text[:-3] if text.endswith("000") else text
