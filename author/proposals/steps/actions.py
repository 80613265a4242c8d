"""The one sentence of a step, made of the orders that are said in it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace
from decimal import Decimal

from author.checks.verbs import words
from author.proposals.kinds.marks import Marked
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.word_forms import singular
from author.proposals.orders.ends import stays_put
from author.proposals.orders.wording import Order
from author.proposals.orders.words import holds_on, lower_first
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.action_points import Candidate, StepTalk, chances, only_helps
from author.proposals.steps.done_first import before_what
from author.proposals.steps.guarded import worn_first
from author.proposals.steps.made_safe import is_safe_act, surely_safe
from author.proposals.steps.sections import Phase
from author.proposals.steps.spans import SpokenStep
from author.proposals.steps.told_orders import decision_end

_WORDS_AT_MOST = 20


@dataclass(frozen=True, slots=True)
class Called:
    """What a step is called.

    Attributes:
        action: its one sentence.
        order: what is done, the first of it.
        meant: what of it nobody says in words.
        before, between, after: what else is done that finds no room in it, before it, between the
            two things it tells, and after it.
        phase: the part of the job it belongs to.
    """

    action: str
    order: Order
    meant: tuple[Order, ...]
    before: tuple[Order, ...]
    between: tuple[Order, ...]
    after: tuple[Order, ...]
    phase: Phase


@dataclass(frozen=True)
class Naming:
    """Names the steps of a talk.

    Attributes:
        said: what was said.
        marks: kinds of its clauses.
        orders: what is done, by sentence.
        implied: what is meant by a number or a check, by sentence.
        topics: what is meant by a thing named first, by sentence.
        things: names of parts, tools and supplies, by sentence.
        phases: the part of the job each sentence belongs to.
    """

    said: Sequence[Sentence]
    marks: Mapping[int, Sequence[Marked]]
    orders: Mapping[int, Sequence[Order]]
    implied: Mapping[int, Order]
    topics: Mapping[int, Order]
    things: Mapping[int, frozenset[str]]
    phases: Sequence[Phase]

    def of(self, step: SpokenStep) -> Called:
        """Return what a step is called."""
        return called(self._candidates(step), self._talk_of(step))

    def _talk_of(self, step: SpokenStep) -> StepTalk:
        kinds = (frozenset(m.kind for m in self.marks.get(i, ())) for i in step.sentences)
        return StepTalk(
            step.sentences,
            tuple(self.said[i].text for i in step.sentences),
            tuple(kinds),
            tuple(self.things.get(i, frozenset()) for i in step.sentences),
            Counter(self.phases[i] for i in step.sentences).most_common(1)[0][0],
        )

    def _candidates(self, step: SpokenStep) -> list[Candidate]:
        """Return the orders a step may be called by, in the order they were said."""
        done = self._not_decided(step) or list(step.orders)
        found: list[Candidate] = []
        for index in step.sentences:
            told = [order for order in self.orders.get(index, ()) if order in done]
            topic = self.topics.get(index)
            first = topic is not None and holds_on((topic.object or "a").split()[-1])
            if topic is not None and first:  # "two hose clips, inlet hose off, then the outlet"
                found.append(Candidate(topic, index, "topic"))
            found += [Candidate(self._with_value(order, index), index) for order in told]
            if index in self.implied:
                found.append(Candidate(self.implied[index], index, "implied"))
            if topic is not None and not first:
                found.append(Candidate(topic, index, "topic"))
        said = {_says(one.order) for one in found if one.origin == "told"}
        # "Lock nuts, thirty-five foot pounds": they are tightened, and not fitted too.
        meant = {_says(one.order) for one in found if one.origin == "implied"}
        known = {"implied": said, "topic": said | meant}
        return [o for o in found if o.origin == "told" or not _is_told(o, known[o.origin])]

    def _with_value(self, order: Order, index: int) -> Order:
        """Return "measure it again" as an order that says what was measured."""
        found = _MEASURED_AGAIN.fullmatch(order.action)
        if found is None:
            return order
        if _THEM.search(order.action) and (tight := self._tightened(order, index)) is not None:
            return tight
        for back in range(index, max(-1, index - 1 - _AGAIN_WITHIN), -1):
            value = self.implied.get(back)
            if self.said[back].recording != self.said[index].recording:
                break
            if value is not None and value.verb == "measure":
                action = f"{value.action.rstrip('.')}{found[1] or found[2] or ''}."
                return replace(order, action=action, object=value.object)
        return order

    def _tightened(self, order: Order, index: int) -> Order | None:
        """Return "check them again" with the fasteners that were tightened before, or None.

        "Nuts to ninety, and check them again" measures no end float that was told between.
        """
        for back in range(index, max(-1, index - 1 - _AGAIN_WITHIN), -1):
            if self.said[back].recording != self.said[index].recording:
                break
            value = self.implied.get(back)
            if value is not None and _is_plural(value.object):
                break
            for one in reversed(self.orders.get(back, ())):
                if one is not order and _is_plural(one.object) and is_fastener(str(one.object)):
                    action = _THEM.sub(f"the {one.object}", order.action, count=1)
                    return replace(order, action=action, object=one.object)
        return None

    def _not_decided(self, step: SpokenStep) -> list[Order]:
        """Return what is done without what a decision of the step tells: "if it drips, stop it".

        What is done only if something fails is proposed as a decision.
        """
        decided = {
            word
            for index in step.sentences
            for mark in self.marks.get(index, ())
            if mark.kind == "decision"
            for word in re.findall(r"\w+", self._decision(mark).lower())
        }
        return [
            order
            for order in step.orders
            if not order.action.startswith("When ")
            and (not order.action.startswith("If ") or order.verb not in decided)
        ]

    def _decision(self, mark: Marked) -> str:
        end = decision_end(self.said, self.marks[mark.sentence], mark)
        return self.said[mark.sentence].text[mark.begin : end]


_MEASURED_AGAIN = re.compile(
    r"Measure (?:it|them|that)( again| once more)?\.|Check (?:it|them|that)( again| once more)\."
)
_THEM = re.compile(r"\b(?:them|those)\b")
_AGAIN_WITHIN = 6
"""Sentences before "measure it again" in which the value may have been told."""


def _is_plural(name: str | None) -> bool:
    """Whether a name is of several things."""
    head = (name or "").split(" ")[-1].lower()
    return bool(head) and singular(head) != head


def _is_told(one: Candidate, told: Set[tuple[str, str]]) -> bool:
    """Whether somebody says what is only meant: the same, or anything of a thing named first."""
    verb, thing = _says(one.order)
    if one.origin == "topic":
        return any(thing == other for _, other in told)
    return (verb, thing) in told


def _says(order: Order) -> tuple[str, str]:
    """Return verb and thing of an order, by which two that say the same are known."""
    words = (order.object or order.action).lower().split()
    return order.verb, singular(words[-1].rstrip("."))


def called(candidates: Sequence[Candidate], talk: StepTalk) -> Called:
    """Return what a step is called: by the order likeliest to stand over it, or by two.

    Args:
        candidates: what may be done in it, in the order it was said; at least one. What nobody
            said stands over the step or nowhere.
        talk: what is said in it.
    """
    kept = [one for one in candidates if not _is_broken(one.order)] or list(candidates)
    by_order = {one.order: one for one in kept}
    whole = in_order(list(by_order))
    likely = dict(zip(whole, chances([by_order[one] for one in whole], talk), strict=True))
    ranked = sorted(_worth_it(whole), key=lambda one: -likely[one])
    chosen = ranked[:1]
    others = [
        one
        for one in ranked[1:]
        if by_order[one].origin != "implied"
        and not _same_thing(one, ranked[0])
        and not _points_elsewhere(one, ranked[0], whole)
        and not _BEFORE_IT.match(one.action)
    ]
    spoken = [one for one in whole if by_order[one].origin == "told"]
    safe = [one for one in spoken if is_safe_act(one)]
    told_safe = len(safe) == len(whole) or all(one.safe for one in spoken)
    if 1 < len(safe) == len(spoken) and told_safe and any(map(surely_safe, safe)):
        # A machine is made safe in the order told: the first two stand over the step.
        chosen, others = safe[:2], []
    # Where only two things are done, both stand over the step.
    if others and (len(ranked) == 2 or likely[others[0]] >= _AS_WELL * likely[ranked[0]]):
        chosen = sorted((ranked[0], others[0]), key=whole.index)
    action = _joined(chosen)
    if len(action.split()) > _WORDS_AT_MOST:
        chosen = ranked[:1]
        action = chosen[0].action
    told = [one for one in whole if one in chosen or by_order[one].origin == "told"]
    first, last = told.index(chosen[0]), told.index(chosen[-1])
    return Called(
        action,
        chosen[0],
        tuple(one for one in chosen if by_order[one].origin != "told"),
        *worn_first(told[:first], told[first + 1 : last], told[last + 1 :]),
        "make_safe" if told and all(one.safe for one in told) else talk.phase,
    )


_AS_WELL = 0.5
"""How likely a second order has to be, of how likely the first is, to stand over a step with it."""


def _points_elsewhere(one: Order, other: Order, whole: Sequence[Order]) -> bool:
    """Whether "bin it" is told of what is done between: "undo the cover, hook the seal out"."""
    one, later = sorted((one, other), key=whole.index)
    return whole.index(later) > whole.index(one) + 1 and _POINTS.match(later.action) is not None


# "Before you pull it, unhook the link" is done first, and stands behind nothing.
_BEFORE_IT = re.compile(r"Before \w+", re.IGNORECASE)
_POINTS = re.compile(r"\w+ (?:(?:off|out|up|down|back|in) )?(?:it|them|'em)\b", re.IGNORECASE)


def _same_thing(one: Order, other: Order) -> bool:
    """Whether the same is done to the same thing, only told otherwise."""
    return one.verb == other.verb and (one.object or "") == (other.object or "")


def _worth_it(orders: Sequence[Order]) -> Sequence[Order]:
    """Return the orders a step may be called by.

    None is called by what is done only in a case or only fetched, where anything else is done.
    """
    always = [one for one in orders if not one.action.startswith("If ")] or orders
    return [one for one in always if not only_helps(one)] or always


def _joined(orders: Sequence[Order]) -> str:
    """Return one sentence for one order or two: "fit the drum, and tighten the nut"."""
    first, *more = [one.action.rstrip(".") for one in orders]
    if more and orders[0].verb == orders[1].verb and _ends_with_object(orders[0]):
        verb, _, rest = more[0].partition(" ")
        if verb.lower() == orders[0].verb and rest.split(" ")[0] in _ARTICLES:
            return f"{first} and {rest}."
    return ", and ".join([first, *map(lower_first, more)]) + "."


_ARTICLES = words("the a an all both new")


def _ends_with_object(order: Order) -> bool:
    """Whether nothing comes behind the thing in an order: "Fit the rotor."."""
    said = order.action.rstrip(".").lower()
    return order.object is not None and said.endswith(order.object.lower()) and "," not in said


def in_order(orders: Sequence[Order]) -> list[Order]:
    """Return the orders of a step as they are done, where that is not as they were told.

    "Then the axle. Slacken the pinch bolts" takes the axle out last; "mark it first" and "do the
    screw before you spin the impeller" come before what was told before them.
    """
    # Of what is told twice in a step the last counts: "the spring first, no, it goes after".
    last = {order.action: n for n, order in enumerate(orders)}
    found = [order for n, order in enumerate(orders) if last[order.action] == n]
    for order in list(found):
        at = found.index(order)
        to = before_what(order, found[:at])
        if to is not None:
            found.insert(to, found.pop(at))
    topic = found[0]
    if topic.verb == "remove" and topic.confidence < _TOLD:
        until = 1
        while until < len(found) and found[until].verb in _LOOSENING:
            until += 1
        found.insert(until - 1, found.pop(0))
    return found


_TOLD = Decimal("0.9")
_LOOSENING = words("undo slacken loosen unscrew crack unbolt release")


def _is_broken(order: Order) -> bool:
    """Whether an order breaks off before it says anything: "Leave.", "Take the has to"."""
    said = order.action.rstrip(".").lower().split()
    return not stays_put(said) and (
        said[-1] in _LEADS_ON or "has to" in order.action or (len(said) == 1 and said[0] in _WEAK)
    )


_WEAK = words(
    "give go wait look leave come stop try keep let do tune double watch hang bear mind write note"
)
_LEADS_ON = words("the a an and or of to for with by from at than until if was is are has its")
