"""The orders of a talk, sentence by sentence: what is done, what only if, and what instead."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Literal

from author.checks.verbs import words
from author.proposals.kinds.marks import Marked
from author.proposals.language.verbs import is_work
from author.proposals.orders.antecedents import (
    antecedent,
    handled,
    names_it,
    with_yours_named,
)
from author.proposals.orders.lists import list_end
from author.proposals.orders.ways import way_end
from author.proposals.orders.wording import Order, imperatives, phase_behind
from author.proposals.orders.words import lower_first
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.done_first import told_to_be_first
from author.proposals.steps.later_jobs import ANOTHER_DAY
from author.proposals.steps.made_safe import is_lock
from author.proposals.steps.mistakes import WILL, comes_of_it, is_purpose
from author.proposals.steps.not_done import is_not_done, new_instead, what_holds
from author.proposals.steps.plans_dropped import is_only_thought_of
from author.proposals.steps.put_right import put_order_right, put_right_within, rather
from author.proposals.steps.said_again import said_again
from author.proposals.steps.sections import Phase
from author.proposals.steps.verdicts import tells_case
from author.proposals.steps.ways_noted import with_way_noted
from author.proposals.steps.widened import (
    named_anew,
    only_names,
    with_object_ahead,
    with_proof,
    with_second,
    with_subject,
)
from author.proposals.things.finding import Thing

_WORDING: Mapping[Phase, Literal["removal", "fitting", "inspection"]] = {
    "make_safe": "removal", "removal": "removal", "inspection": "inspection",
    "fitting": "fitting", "closing": "fitting",
}  # fmt: skip
# "Six nuts hold the casing on" tells how many, and what is undone.
_HELD = re.compile(r"\b(?:held|hold|holds|holding|secured?|secures)\b", re.IGNORECASE)
_THEN = re.compile(r"(?:and )?then\b(?!.*\b(?:new|fresh)\b)", re.IGNORECASE)
_IF = re.compile(r"(?:and |but |so |then )*(?:if|unless)\b", re.IGNORECASE)
_EITHER = re.compile(r"(?:and |but |so |then )*(?:you )?either (.+)", re.IGNORECASE)
_OR = re.compile(r"\W*or(?: else)?\W*", re.IGNORECASE)
# "The key comes out": what comes stands before the words that were found to be an order.
_COMES = re.compile(
    r"(?:just |then |also )*(?:(?:comes?|lifts?|drops?|slides?|pops?|pulls|slips|unscrews) \w+"
    r"|gets? \w+ed\b"
    # "The clip has to go back on"; "the door has to go back up" by itself
    r"|(?:(?:has|have|needs?) to|must) (?:be (?!(?:re|ex)?(?:placed|newed|changed)|swapped|done"
    # "The door must be closed before you start" is asked for beforehand
    r"|closed|shut|locked|isolated|switched|disconnected|unplugged|parked)"
    r"|(?:go|come) (?!(?:back |all the way )?(?:up|down|round|over|to)\b)))",
    re.I,
)
# "The gas has to be turned off" warns, and orders it as well.
_SHUT_OFF = re.compile(r"(?:(?:has|have|needs?) to|must) be (?:turned|shut|switched) off\b", re.I)
_RATHER = re.compile(
    r"\b(?:i mean|scratch that|no,? wait|wait,? no|no,? sorry|or rather)\b[, ]*", re.IGNORECASE
)
# "Chuck it under three seventy-eight", "over twenty-five you change it": only in that case.
_BOUND = r"(?:under|below|over|above|past|beyond|more than|less than)"
_IN_THAT_CASE = re.compile(rf"^(\w+ .+?) ({_BOUND} .+)\.$", re.IGNORECASE)
_BOUND_FIRST = re.compile(
    rf"(?:and |but |so )*(?:anything )?({_BOUND} [^,]{{2,40}}?)"
    r"(?:,|\s+(?=(?:you|we|i|it|they|the)\b))",
    re.IGNORECASE,
)
_FORBIDS = re.compile(
    r"(?:and |so |but )*(?:whatever you do,? )?(?:never|don't|do not|mustn't|no)\b", re.IGNORECASE
)
_RELATED = re.compile(r"(?:you could|you'll get|you get)\b", re.IGNORECASE)
_TALK = frozenset({"chatter", "preview"})
_RENEWING = words("bin chuck toss scrap discard replace change renew throw swap trash")
_LONGEST_DECISION, _LONGEST = 30, 20


def only_if(text: str) -> bool:
    """Whether words tell what is done only in a case: they begin with "if" or "unless"."""
    return _IF.match(text) is not None


def decision_end(said: Sequence[Sentence], marks: Sequence[Marked], mark: Marked) -> int:
    """Return where a decision ends with what is then done, which may be clauses of its own.

    Args:
        said: what was said.
        marks: kinds of its clauses.
        mark: the decision.
    """
    others = [
        one.begin
        for one in marks
        if one.sentence == mark.sentence and one.kind == "decision" and one.begin > mark.begin
    ]
    text = said[mark.sentence].text[mark.begin : min(others, default=None)].rstrip(" ,;.")
    if len(text.split()) > _LONGEST_DECISION or len(text) <= len(mark.text):
        return mark.end
    return mark.begin + len(text)


def orders_told(
    said: Sequence[Sentence],
    marks: Sequence[Marked],
    things: Sequence[Thing],
    phases: Sequence[Phase],
) -> dict[int, tuple[Order, ...]]:
    """Return what is done, by sentence.

    What is done only if something is found stands with its condition; ways of which one is chosen
    are one order.

    Args:
        said: what was said.
        marks: kinds of its clauses, in the order of the sentences.
        things: parts, tools and supplies in it.
        phases: part of the job, by sentence.
    """
    told: dict[int, list[Marked]] = {}
    for mark in marks:
        told.setdefault(mark.sentence, []).append(mark)
    named: dict[int, list[Thing]] = {}
    for thing in things:
        if thing.kind in {"part", "supply"} and not _is_put_off(thing, told):
            named.setdefault(thing.sentence, []).append(thing)
    orders: dict[int, tuple[Order, ...]] = {}
    for index in range(len(said)):
        same_film = index > 0 and said[index].recording == said[index - 1].recording
        if same_film:
            put_order_right(orders, index, said[index].text)
        ours = told.get(index, [])
        phase = _WORDING.get(phases[index])
        found: list[Order] = []
        last: Marked | None = None
        unnamed = set[str]()  # "take them out", told before with what they are
        acts = _actions(said, ours)
        for mark in acts:
            it = None if names_it(handled(found, mark), mark) else antecedent(said, named, mark)
            known = {order.action for order in found} | unnamed
            lead = said[index].text[_clause_begin(said[index].text, mark.begin) : mark.begin]
            behind = found and _THEN.search(f"{lead}{mark.text}", max(0, len(lead) - len("then ")))
            own = phase_behind(found[-1].act, phase) if behind else phase
            # "Over six and an eighth, it's stretched and it gets replaced"
            bound = _BOUND_FIRST.match(said[index].text) is not None
            new = _orders_of(mark, it, own, said[index].text[: mark.begin] if bound else lead)
            if it is not None and new and _told_again(acts, mark):
                unnamed |= {one.action for one in _orders_of(mark, None, own, lead)}
            if new and said[index].text[mark.end : mark.end + 1] == ":":
                new = [one for one in new if one.verb in mark.text.lower()]  # a heading
            if behind:
                new[:1] = _done_alike(new[0] if new else None, mark.text, found[-1], phase)
            new = [
                order
                for order in new
                if order.action not in known and not _ORDERS_NOTHING.match(order.action)
            ]
            new = with_way_noted(new, [*orders.get(index - 1, ()), *found], mark.text, it)
            if last is not None and new:
                new = rather(found, new, mark, said[index].text[last.begin : mark.begin])
            instead = last is not None and _OR.fullmatch(said[index].text, last.end, mark.begin)
            if instead and new and found:
                found[-1:] = _one_of(found[-1], new.pop(0))
            last = mark if new or instead else None
            found.extend(
                replace(order, action=with_yours_named(told_right, said, named, index))
                for order in new
                if (
                    told_right := told_to_be_first(
                        put_right_within(said[index].text, order.action), said[index].text
                    )
                )
            )
        before = orders.get(index - 1, ())
        # "If it sticks, wind the jacking screws in" tells already what is done in that case.
        done = any(mark.kind == "action" for mark in told.get(index - 1, ()))
        on = bool(found) and not done and _goes_on(said, index, found[0])
        if on and all(_FORBIDDEN.match(o.action) for o in before):
            case = _case_of(said[index - 1].text)
            first = found[0]
            fits = any(order.act in {"refits", "replaces"} for order in found)
            if case and not fits and not only_if(first.action):
                found[0] = replace(first, action=f"{case}, {lower_first(first.action)}")
        if found:
            orders[index] = tuple(found)
    talk = {i for i, ours in told.items() if {mark.kind for mark in ours} <= _TALK}
    return said_again(said, orders, talk)


def _told_again(acts: Sequence[Marked], mark: Marked) -> bool:
    """Whether a longer clause tells an action again: "take them out", "… and lift the lid off"."""
    return any(one is not mark and one.begin <= mark.begin < one.end for one in acts)


def _is_put_off(thing: Thing, told: Mapping[int, Sequence[Marked]]) -> bool:
    """Whether a thing is only named as what is left: "the pin's a bit worn, we leave it for now".

    "Wipe it down" behind that wipes no pin.
    """
    return any(
        mark.kind == "deferred" and thing.begin < mark.end for mark in told.get(thing.sentence, ())
    )


def _goes_on(said: Sequence[Sentence], index: int, first: Order) -> bool:
    """Whether a sentence begins with its first order, which the case before it may be for.

    "Release valve open two turns" begins with a name.
    """
    if not index or said[index].recording != said[index - 1].recording:
        return False
    ordered = said[index].text.lower().startswith(f"{first.verb} ")
    return said[index].pause_before <= _SAME_BREATH and ordered


def _case_of(text: str) -> str | None:
    """Return the case in "if it walks off to one side, the rollers aren't seated", or None."""
    found = _CASE.match(text)
    return f"If {found[1]}" if found and len(found[1].split()) <= _LONGEST_CASE else None


_FORBIDDEN = re.compile(r"If [^,]+, (?:do not|never)\b")
_CASE = re.compile(
    r"(?:and |but |so |now )*if ([^,.]+), (?=.*\b(?:not|no|never|don't|isn't|aren't|wrong|"
    r"doesn't|won't)\b)(?!.*\b(?:fine|good|okay|alright)\b)"
    # "If you can't get it right, the bar is bent and it's not worth going on": nothing follows.
    r"(?!.*\b(?:worth|scrap|finished|done for|bin|give up|stop|for nothing|that's it)\b)",
    re.IGNORECASE,
)
# "One drop a minute is okay": how fast it drips. "Step one" and "putting it back together" are
# headings.
_ORDERS_NOTHING = re.compile(
    r"Put (?:it|this|that|them|everything|the [\w -]+|all this)(?: all)? back together\.$"
    r"|(?:Drop|Drip|Turn|Click) an? (?:second|minute|hour|day|shift|week)\b"
    r"|Step (?:one|two|three|four|five|six|seven|eight|nine|ten|number|\d+)\b"
)
_SAME_BREATH, _LONGEST_CASE = 2, 9


def _actions(said: Sequence[Sentence], marks: Sequence[Marked]) -> list[Marked]:
    """Return what tells what is done in a sentence, without what a decision tells as well."""
    decisions = [
        (mark.begin, decision_end(said, marks, mark)) for mark in marks if mark.kind == "decision"
    ]
    conditional = [
        (begin, end)
        for begin, end in decisions
        if _IF.match(told := said[marks[0].sentence].text[begin:end]) or tells_case(told)
    ]
    chosen = [mark for mark in marks if mark.kind == "decision" and _EITHER.match(mark.text)]
    harms = [mark for mark in marks if mark.kind in {"hazard", "damage"}]
    # "If water comes out of it, the membrane's gone and you change the vessel"
    conditional += [
        (one.begin, one.end) for one in harms if _IF.match(one.text) and _GONE.search(one.text)
    ]
    later = [mark for mark in marks if mark.kind == "deferred" and ANOTHER_DAY.search(mark.text)]
    forbidden = [mark for mark in harms if _FORBIDS.match(mark.text)]
    found = list(chosen)
    for mark in marks:
        if mark.kind != "action" and (mark.kind != "count" or not _HELD.search(mark.text)):
            continue
        if any(begin < mark.begin < end for begin, end in conditional):
            continue  # done only in that case
        if any(one.begin <= mark.begin < one.end for one in (*chosen, *later)):
            continue  # told as one of two ways; "order them, change them at the service"
        if any(one.begin < mark.begin < one.end for one in forbidden) or _RELATED.match(mark.text):
            continue  # "never put the old bolts back in", "a spot you could park a truck on"
        if WILL.match(mark.text) and mark.sentence and _FORBIDS.match(said[mark.sentence - 1].text):
            continue  # "never lever it. You'll nick the pulley"
        text = said[mark.sentence].text
        none = comes_of_it(text, mark, harms) or is_purpose(text, mark, marks)
        if none or (is_only_thought_of(said, mark) and not is_not_done(text, mark)):
            continue
        if is_not_done(text, mark):
            renewed = new_instead(text, mark)
            found += [replace(mark, text=renewed)] if renewed else []
            continue
        if held := what_holds(text, mark):
            found.append(replace(mark, text=held))
            continue
        mark = with_proof(text, mark)  # noqa: PLW2901
        if _NEW_ONE.search(mark.text) and _SCRAPPED.search(text[: mark.begin]):
            continue  # "that goes in the scrap and we fit a new one": when it goes together
        if _COMES.match(mark.text):
            harmed = any(one.begin < mark.begin and mark.end <= one.end for one in harms)
            if harmed and not _SHUT_OFF.match(mark.text):
                continue  # "it comes off at speed and somebody's in hospital"
            mark = with_subject(text, mark)  # noqa: PLW2901
        anew = named_anew(text, with_object_ahead(text, mark))
        found = [one for one in found if not only_names(text, one, anew)]
        mark = with_second(text, anew, marks)  # noqa: PLW2901
        if (end := list_end(text, mark.begin, mark.end)) > mark.end:
            mark = replace(mark, end=end, text=text[mark.begin : end])  # noqa: PLW2901
        if (end := way_end(text, mark.end)) > mark.end and mark.kind == "action":
            mark = replace(mark, end=end, text=text[mark.begin : end])  # noqa: PLW2901
        found.append(mark)
    return sorted(
        (one for one in found if not any(o.begin < one.begin < o.end for o in found)),
        key=lambda mark: (mark.begin, mark.end),
    )


_GONE = re.compile(r"(?:'s|'re| is| are) (?:gone|shot|dead|scrap|finished|done|worn out)\b", re.I)
_NEW_ONE = re.compile(r"\b(?:a new one|new ones)\W*$", re.IGNORECASE)
_SCRAPPED = re.compile(r"\b(?:scrap|bin|skip|trash|rubbish|dumpster)\b", re.IGNORECASE)


def _clause_begin(text: str, at: int) -> int:
    """Return where the clause begins that a place of a sentence belongs to."""
    ends = [found.end() for found in _CLAUSE_END.finditer(text, 0, at)]
    return ends[-1] if ends else 0


_CLAUSE_END = re.compile(r"[,;:.](?!\d)")


def _orders_of(
    mark: Marked,
    it: str | None,
    phase: Literal["removal", "fitting", "inspection"] | None,
    lead: str,
) -> list[Order]:
    either = _EITHER.match(mark.text) if mark.kind == "decision" else None
    if either is None:
        text = _meant(mark.text, phase)
        found = list(imperatives(text, it=it, phase=phase))
        if _IF.match(text):
            # What stands without its condition is told by the decision.
            found = [o for o in found if o.action.startswith(("If ", "Unless "))]
        return [_in_that_case(order, f"{lead}{text}") for order in found]
    texts = re.split(r"\bor\b", either[1])
    ways = [imperatives(way, it=it) for way in texts]
    if len(texts) > 1 and ways[0] and not ways[1]:  # "either use a block or a strap"
        first = ways[0][0]
        both = f"{lower_first(first.action).rstrip('.')} or {texts[1].strip(' ,;.')}."
        return [replace(first, action=f"Either {both}", act=None)]
    if len(ways) != 2 or not all(ways):
        return []
    joined = _one_of(ways[0][0], ways[1][0])
    return [replace(o, action=f"Either {lower_first(o.action)}") for o in joined[:1]]


def _meant(text: str, phase: Literal["removal", "fitting", "inspection"] | None) -> str:
    """Return what is said last where an order is put right: "push that, I mean, slide this"."""
    last = _RATHER.split(text)[-1]
    return last if last != text and imperatives(last, phase=phase) else text


def _in_that_case(order: Order, text: str) -> Order:
    """Return an order to renew something with the bound beyond which that is done."""
    if order.verb not in _RENEWING or order.action.startswith("If "):
        return order
    behind, ahead = _IN_THAT_CASE.match(order.action), _BOUND_FIRST.match(text.strip())
    if behind is not None:
        action = f"If it is {behind[2]}, {lower_first(behind[1])}."
    elif ahead is not None:
        action = f"If it is {ahead[1].lower()}, {lower_first(order.action)}"
    else:
        return order
    return replace(order, action=action)


def _done_alike(
    order: Order | None,
    text: str,
    before: Order,
    phase: Literal["removal", "fitting", "inspection"] | None,
) -> list[Order]:
    """Return an order that has its verb from the one before: "check the oil, then the filter"."""
    own = [order] if order else []
    verbless = order is None or not re.search(rf"\b{order.verb}", text, re.IGNORECASE)
    if before.act or before.object is None or not verbless or _WAY_LAST.search(text):
        return own
    alone = _THEN_WORD.sub("", text).strip(" ,.")
    if order is None and is_work(alone.lower()):
        return []  # "take a photograph of the terminals, then disconnect"
    if is_lock(text):  # "isolator off, then my own lock on it" turns no lock off
        return []
    head, _, behind = before.action.partition(f" {before.object}")
    way = _WAY.match(behind)
    verb = _ARTICLE_LAST.sub("", head)
    said = f"{verb}{way[0].rstrip() if way else ''} {_THEN_WORD.sub('', text)}"
    return [*imperatives(said, phase=phase)[:1]] or own


_WAY = re.compile(r" (?:off|on|out|up|down|in|back|open|shut)\b")
_WAY_LAST = re.compile(r" (?:off|on|out|up|down|in|back|open|shut)(?:\W*$| and\b)")
_ARTICLE_LAST = re.compile(r"\s+(?:the|a|an|both|all|its|your|this|that)$", re.IGNORECASE)
_THEN_WORD = re.compile(r"^(?:and )?then ", re.IGNORECASE)


def _one_of(one: Order, two: Order) -> list[Order]:
    """Return two ways of which one is taken as one order; what becomes of parts stays open."""
    text = f"{one.action.rstrip('.')}, or {lower_first(two.action)}"
    if len(text.split()) > _LONGEST or text.startswith("If "):
        return [one, two]
    same = one.act == two.act and one.object == two.object
    return [replace(one, action=text, act=one.act if same else None)]
