"""Orders that nobody says and that are meant: a number is told, so something was measured.

They make a step only where the film or a long pause shows that one begins, and with low
confidence: the technician says what is really done.
"""

from __future__ import annotations

from collections.abc import Sequence

from author.proposals.kinds.marks import Marked
from author.proposals.orders.wording import Order
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.implied_checks import order_of_check
from author.proposals.steps.implied_numbers import Around, order_of_number
from author.proposals.steps.sections import Phase
from author.proposals.things.finding import Thing


def implied_orders(
    said: Sequence[Sentence],
    quantities: Sequence[SpokenQuantity],
    marks: Sequence[Marked],
    things: Sequence[Thing],
    phases: Sequence[Phase],
) -> dict[int, Order]:
    """Return what is meant to be done, by the index of the sentence that tells its outcome.

    Args:
        said: what was said.
        quantities: the numbers in it.
        marks: kinds of its clauses.
        things: parts, tools and supplies in it.
        phases: the part of the job each sentence belongs to.
    """
    found: dict[int, Order] = {}
    named: dict[int, list[Thing]] = {}
    for thing in sorted(things, key=lambda one: (one.sentence, one.begin)):
        named.setdefault(thing.sentence, []).append(thing)
    read = {each.sentence for each in quantities if each.role == "measured"}
    numbers: dict[int, list[SpokenQuantity]] = {}
    for each in quantities:
        index = each.sentence
        numbers.setdefault(index, []).append(each)
        if index not in found:
            around = Around(
                said[index].text,
                named.get(index, ()),
                named.get(index - 1, ()),
                index in read,
                phases[index] in {"fitting", "closing"},
                phases[index] == "make_safe",
            )
            order = order_of_number(each, around)
            if order is not None:
                found[index] = order
    for mark in marks:
        if mark.kind == "inspection" and mark.sentence not in found:
            here = named.get(mark.sentence, ())
            inside = [one for one in here if mark.begin <= one.begin < mark.end]
            numbered = any(mark.begin <= n.begin < mark.end for n in numbers.get(mark.sentence, ()))
            if numbered:  # "seven kilos, and we're doing the bearings" weighs no bearing
                here = [one for one in here if one.begin < mark.begin]
            near = [*inside, *here, *named.get(mark.sentence - 1, ())]
            order = order_of_check(mark.text, near, numbered=numbered)
            if order is not None:
                found[mark.sentence] = order
    return {index: order for index, order in found.items() if index < len(said)}
