"""Settles what a sentence is where its signs disagree, and reads it beside its neighbours."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from author.checks.verbs import FINITE, words
from author.proposals.kinds.alone import stands_alone
from author.proposals.kinds.instruction_words import BARE_NO
from author.proposals.kinds.marks import Found, Hit, Kind, act
from author.proposals.kinds.no_findings import FINDINGS, no_finding
from author.proposals.kinds.no_harm import no_harm
from author.proposals.kinds.no_points import no_point
from author.proposals.language.clause_cuts import SUBJECTS, Clause
from author.proposals.language.plain_words import NUMBER_WORDS, Plain
from author.proposals.language.trade_words import trade_words

_ALONE = frozenset({"chatter", "preview"})
_LATER = words("later minute moment shortly end video videos film episode part bit second while")
_HARM = frozenset({"hazard", "damage"})
_OF_HARM = frozenset({"outcome", "danger", "warning"})
_LEAST = 55
_ATTACHED = frozenset({"condition", "time"})
_ATTENTION = words("keep mind watch be careful stand beware stay don't never avoid")
# "I did that an hour ago, so …", "you see the click, so …" tell no reason.
_OF_WHO_IS_THERE = words("i i've i'd i'm we we've we're you you've you're you'll")
_FEW = 8
_SHORT_PUT_OFF = 12


def _clause_at(clauses: Sequence[Clause], word: int) -> int:
    for index, clause in enumerate(clauses):
        if word < clause.stop:
            return index
    return len(clauses) - 1


def _spread(clauses: Sequence[Clause], hit: Hit) -> Found:
    """Return a piece of evidence over the whole of its clauses."""
    first = clauses[_clause_at(clauses, hit.first)]
    last = clauses[_clause_at(clauses, hit.stop - 1)]
    begin = (
        first.head if first.head <= hit.first and first.role in {"main", "result"} else first.first
    )
    return Found(hit, min(begin, hit.first), max(last.stop, hit.stop))


def _with_conditions(clauses: Sequence[Clause], found: Found, taken: set[int]) -> Found:
    """Return an action together with "until …", "before …", "if …" beside it."""
    index = _clause_at(clauses, found.hit.first)
    first, stop = found.first, found.stop
    before = index - 1
    while before >= 0 and clauses[before].role in _ATTACHED and before not in taken:
        first = clauses[before].first
        taken.add(before)
        before -= 1
    after = _clause_at(clauses, stop - 1) + 1
    while after < len(clauses) and clauses[after].role in _ATTACHED and after not in taken:
        if after + 1 < len(clauses) and clauses[after].role == "condition":
            break
        stop = clauses[after].stop
        taken.add(after)
        after += 1
    return replace(found, first=first, stop=stop)


def _strongest(founds: Iterable[Found]) -> list[Found]:
    """Return one mark for each kind and stretch; more signs of one kind make it stronger."""
    kept: list[Found] = []
    for one in sorted(founds, key=lambda f: (f.hit.kind, f.first, -f.hit.weight)):
        last = kept[-1] if kept else None
        if last is None or last.hit.kind != one.hit.kind or one.first >= last.stop:
            kept.append(one)
            continue
        best = max(last.hit, one.hit, key=lambda hit: hit.weight)
        further = last.hit.reason != one.hit.reason or last.hit.first != one.hit.first
        weight = min(98, best.weight + (2 if further else 0))
        kept[-1] = Found(
            replace(best, weight=weight), min(last.first, one.first), max(last.stop, one.stop)
        )
    return kept


def _warns_only(said: Plain, action: Hit, harms: Sequence[Hit]) -> bool:
    """Whether an order only asks for care and is the warning itself: "keep your hands out"."""
    head = said.words[action.first]
    if said.word(action.first + 1).endswith("ing"):
        return False  # "keep going until it hangs slack"
    if said.words[action.first : action.first + 3] == ("don't", "forget", "to"):
        return False
    return head in _ATTENTION and any(
        harm.first < action.stop and harm.stop > action.first for harm in harms
    )


def _names_before(said: Plain, first: int, stop: int) -> bool:
    """Whether a part is named before talk begins: "then the nut, ask me how I know"."""
    known = trade_words()
    return any(known.kind_of(word) == "part" for word in said.words[first:stop])


def _without_talk(
    said: Plain, clauses: Sequence[Clause], actions: list[Hit], talk: Sequence[Hit]
) -> list[Hit]:
    """Return the actions that are no talk themselves: "let me move the camera"."""
    left = []
    for action in actions:
        clause = clauses[_clause_at(clauses, action.first)]
        inside = [
            hit for hit in talk
            if hit.first < max(action.stop, clause.stop)
            and hit.stop > min(action.first, clause.first)
            and hit.first - action.first < 4
            and not _names_before(said, action.first, hit.first)
        ]  # fmt: skip
        if not any(hit.weight >= action.weight - 8 or hit.weight > 85 for hit in inside):
            left.append(action)
    return left


def _names_and_counts(said: Plain, hits: Sequence[Hit]) -> bool:
    """Whether a sentence is no more than "Guard screws, four in all"."""
    return (
        any(hit.kind == "count" for hit in hits)
        and len(said.words) <= _FEW
        and said.words[0] not in NUMBER_WORDS
        and not said.words[0][0].isdigit()
        and not any(word in FINITE or word in BARE_NO or word in SUBJECTS for word in said.words)
    )


def settled(
    said: Plain,
    clauses: Sequence[Clause],
    hits: Sequence[Hit],
    actions: Sequence[Hit],
    measured: bool,
    opening: bool,
) -> tuple[list[Found], Hit | None]:
    """Return what a sentence is, taken for itself, and what speaks for leaving it out.

    Args:
        said: its words.
        clauses: its clauses.
        hits: the phrases found in it.
        actions: the signs of an action, one a clause at the most.
        measured: whether a quantity is spoken in it.
        opening: whether it is among the first of its film, where a job is announced.
    """
    if not said.words:
        return [], None
    talk = [hit for hit in hits if hit.kind == "chatter"]
    ahead = [hit for hit in hits if hit.kind == "preview"]
    if actions and not opening and _LATER.isdisjoint(said.words):
        ahead = []  # "first we'll pull the clip, then we'll slide it off" is done at once
    hits = [
        hit for hit in hits
        if not (no_harm(said, clauses, hit) or no_finding(said, clauses, hit))
    ]  # fmt: skip
    harms = [hit for hit in hits if hit.kind in _HARM]
    todo = [one for one in actions if not _warns_only(said, one, harms)]
    todo = _without_talk(said, clauses, todo, talk)
    if len({hit.first for hit in talk if hit.weight >= 95}) > 1 and not any(
        trade_words().kind_of(word) in {"part", "tool", "supply"}
        for one in todo for word in said.words[one.first : one.stop]
    ):  # fmt: skip
        todo = []
    if any(hit.weight > 95 for hit in talk):
        todo = [one for one in todo if one.weight >= 85]
    if any(hit.kind in {"follow_on", "deferred"} and hit.weight >= 90 for hit in hits):
        todo = _done_now(said, clauses, hits, todo)
    if any(hit.kind == "off_camera" for hit in hits):
        todo = [one for one in todo if one.weight >= 85 and one.sign == "order"]
    if ahead:
        begins = min(hit.first for hit in ahead if hit.weight == max(h.weight for h in ahead))
        sure = any(hit.weight >= 90 for hit in ahead)
        todo = [
            one for one in todo
            if one.weight >= 85 and one.sign == "order"
            and (one.first < begins or not sure)
        ]  # fmt: skip
    others = [hit for hit in hits if hit.kind not in _ALONE]
    if not todo and not talk and _names_and_counts(said, others):
        todo = [act(0, len(said.words), 60, "counted")]
    alone = stands_alone(said, talk, ahead, others, todo, measured)
    believed = _believed(said, others, todo)
    believed += _reasons(said, clauses, believed, todo)
    founds = [_spread(clauses, hit) for hit in believed]
    taken: set[int] = set()
    asked = any(clause.role == "condition" for clause in clauses) and any(
        hit.kind == "decision" for hit in believed
    )
    for one in todo:
        action = one
        if asked and not any(c.stop <= action.first for c in clauses if c.role != "condition"):
            # What is done only in that case is told by the decision; it may be no step.
            action = replace(action, weight=min(action.weight, 52))
        if action.weight >= _LEAST - 5:
            spread = replace(_spread(clauses, action), first=action.first)
            founds.append(_with_conditions(clauses, spread, taken))
    return _strongest(founds), alone


def _done_now(
    said: Plain, clauses: Sequence[Clause], hits: Sequence[Hit], todo: Sequence[Hit]
) -> list[Hit]:
    """Return what is done now of a sentence that tells what is done later as well."""
    orders = [one for one in todo if one.sign == "order"]
    late = _clause_at(
        clauses, min(hit.first for hit in hits if hit.kind in {"follow_on", "deferred"})
    )
    told_apart = orders and _clause_at(clauses, orders[0].first) + 1 < late
    left = orders if len(todo) > 1 or told_apart else []
    if any(_clause_at(clauses, one.first) == late for one in orders):
        # "Wheel on, nuts to ninety, and check them again after thirty miles"
        left = [
            one for one in todo
            if one in left or (one.sign == "part_to_be" and _clause_at(clauses, one.first) < late)
        ]  # fmt: skip
    # "I'm not doing that today, so put the cover back on"
    goes_on = [
        one for one in todo
        if one not in left and _clause_at(clauses, one.first) > late
        and clauses[_clause_at(clauses, one.first)].role == "result"
        and _NOT_OF_IT.isdisjoint(said.words[one.first : one.first + 3])
    ]  # fmt: skip
    return [*left, *goes_on]


_NOT_OF_IT = words("order tell note write book ask ring call leave keep bring get mention let make")


def _reasons(
    said: Plain, clauses: Sequence[Clause], hits: Sequence[Hit], todo: Sequence[Hit]
) -> list[Hit]:
    """Return what stands as a reason beside an order or a warning."""
    found = []
    acting = {_clause_at(clauses, one.first) for one in todo}
    forbids = {_clause_at(clauses, h.first) for h in hits if h.sign == "forbidden"}
    for index, clause in enumerate(clauses):
        if index in acting and index and clause.role == "result" and index - 1 not in acting:
            before = clauses[index - 1]
            seen = said.word(before.head) in _OF_WHO_IS_THERE
            if before.stop - before.head > 2 and before.role == "main" and not seen:
                why = "says why the next words are told: '{}'"
                found.append(Hit("reason", before.first, before.stop, 60, why))
        if clause.role == "else" and (acting or forbids) and clause.stop - clause.head > 2:
            why = "says what happens otherwise: '{}'"
            found.append(Hit("reason", clause.first, clause.stop, 70, why))
    for hit in hits:
        index = _clause_at(clauses, hit.first)
        told = acting | forbids | {
            _clause_at(clauses, h.first) for h in hits
            if h.kind == "hazard" and said.words[h.first] in _ATTENTION | {"don't", "never", "no"}
        }  # fmt: skip
        if (
            hit.kind in _HARM
            and index not in told
            and told
            and (hit.sign in _OF_HARM and clauses[index].role in {"main", "contrast"})
        ):
            why = "says what would come of it: '{}'"
            found.append(Hit("reason", clauses[index].first, clauses[index].stop, 60, why))
    return found


def _believed(said: Plain, hits: Sequence[Hit], actions: Sequence[Hit]) -> list[Hit]:
    """Return the signs that stand beside the others."""
    kinds = {hit.kind for hit in hits}
    believed = []
    for hit in hits:
        if (
            hit.kind == "damage"
            and _overlaps(hit, hits, "hazard", 88)
            and (not said.text.startswith("touch", said.places[hit.first]))
        ):
            continue
        if hit.kind == "decision" and hit.weight < 70 and kinds & _HARM and not actions:
            continue
        if hit.kind == "deferred" and "follow_on" in kinds and hit.weight < 92:
            continue
        if hit.weight >= _LEAST and not no_point(said, hit):
            believed.append(hit)
    return believed


def _overlaps(hit: Hit, hits: Sequence[Hit], kind: Kind, weight: int) -> bool:
    return any(
        one.kind == kind and one.weight >= weight
        and one.first < hit.stop and one.stop > hit.first
        for one in hits
    )  # fmt: skip


def put_off(read: Sequence[Plain], together: list[list[Found]]) -> None:
    """Where "that is another job" follows what was found, put off the finding with it.

    Args:
        read: the words of each sentence.
        together: what each sentence is; changed in place.
    """
    for index in range(1, len(read)):
        if not any(found.hit.kind == "deferred" for found in together[index]):
            continue
        said = read[index - 1]
        kinds = {found.hit.kind for found in together[index - 1]}
        if (
            len(read[index].words) < _SHORT_PUT_OFF
            and not kinds & {"deferred", "action"}
            and (not FINDINGS.isdisjoint(said.words))
        ):
            hit = Hit(
                "deferred", 0, len(said.words), 80, "tells what was found and is put off: '{}'"
            )
            kept = [f for f in together[index - 1] if f.hit.kind not in _ALONE]
            together[index - 1] = [*kept, Found(hit, 0, len(said.words))]
