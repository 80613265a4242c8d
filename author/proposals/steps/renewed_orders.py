"""What is renewed as the orders of a step tell it: by name, and where no order says so at all."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from author.proposals.language.closed_words import COUNTS
from author.proposals.language.word_forms import plural, singular
from author.proposals.steps.parts_told import Move
from author.proposals.things.renewed_forms import FORMS, may_renew

_ALSO_SO = re.compile(r"\b(?:gets?|be|being|getting) (?:binned|scrapped|thrown)\b", re.IGNORECASE)
_PUT_IN = r"\b(?:press|put|push|slide|drop|tap|knock|screw|install|set|work|ease|roll|insert)\b"
_RENEWS = re.compile(r"\b(?:replac|renew|chang|swap|fit|new\b|fresh)", re.IGNORECASE)
_A_NEW_ONE = re.compile(r"\b(?:a|the) new one\b", re.IGNORECASE)
_NEW_ONES = re.compile(
    r"\b(?:the )?new ones\b|\ban? (?:new|fresh) (?:pair|set|lot)\b(?! of\b)", re.IGNORECASE
)
# "Change both while you're in there"; not "change both bearings".
_ALL_OF_THEM = re.compile(
    r"\b((?:change|replace|renew) (?:both|all (?:two|three|four|five|six|eight|ten|twelve)))"
    r"(?= (?:while|so|and|then|now)\b|[,.])",
    re.IGNORECASE,
)
_IN_WORDS = {count: word for word, count in COUNTS.items() if word.isalpha()}


def renewing(
    said: str, told: Sequence[str], moves: Sequence[Move], names: Mapping[str, str]
) -> Iterator[str]:
    """Yield an order for what is renewed and no order of the step says so: "that goes too".

    Args:
        said: the orders of the step.
        told: the sentences of the step and right behind it.
        moves: what the step does with parts.
        names: of the parts, by their id.
    """
    if not any(move.act == "replaces" and move.certain for move in moves):
        return
    some = [text for text in told if may_renew(text)]
    if not any(form.search(text) for text in some for form in (_ALSO_SO, *FORMS)):
        return
    low = said.lower()
    for move in moves:
        name = names.get(move.part)
        if move.act != "replaces" or not move.certain or name is None:
            continue
        head = singular(name.lower().split()[-1])
        named = rf"[^.]*\b{re.escape(head)}"
        if not (_RENEWS.search(low) and re.search(named, low)) and not re.search(
            rf"{_PUT_IN}{named}", low
        ):
            yield f"Replace {_several(name, move.count) if move.count > 1 else f'the {name}'}."


def by_name(order: str, moves: Sequence[Move], names: Mapping[str, str]) -> str:
    """Return an order with the name of "a new one": "put a new belt", not "put a new one".

    Args:
        order: one or more orders of a step.
        moves: what the step does with parts.
        names: of the parts, by their id.
    """
    new = dict.fromkeys(move.part for move in moves if move.act == "replaces" and move.certain)
    meant = [names[part] for part in new if part in names]
    meant = [name for name in meant if name.lower().split()[-1] not in order.lower()]
    if len(meant) != 1:
        return order
    order = _A_NEW_ONE.sub(lambda one: f"{one[0][:-3]}{meant[0]}", order, count=1)
    order = _ALL_OF_THEM.sub(lambda one: f"{one[1]} {plural(meant[0])}", order, count=1)
    return _NEW_ONES.sub(f"new {plural(meant[0])}", order, count=1)


def _several(name: str, count: int) -> str:
    return f"the {_IN_WORDS.get(count, str(count))} {plural(name)}"
