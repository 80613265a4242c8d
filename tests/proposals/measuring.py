"""What a run over a narration found, counted against its gold marks."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from author.procedure.units import find_unit
from author.proposals.claims import Proposed
from author.proposals.proposal import Proposal
from proposals.narrating import Narration
from proposals.same_names import alike, equal, name_of

_LEFT_OUT = {"chatter", "preview"}
NEAR = Decimal(2)
# A mark with so many decimals may be rounded.
_PLACES = 3


@dataclass
class Count:
    """Found and right, found, and wanted."""

    right: int = 0
    found: int = 0
    wanted: int = 0

    def add(self, other: Count) -> None:
        self.right += other.right
        self.found += other.found
        self.wanted += other.wanted

    @property
    def precision(self) -> float:
        return self.right / self.found if self.found else 1.0

    @property
    def recall(self) -> float:
        return self.right / self.wanted if self.wanted else 1.0

    @property
    def f1(self) -> float:
        both = self.precision + self.recall
        return 2 * self.precision * self.recall / both if both else 0.0


@dataclass
class Tally:
    """Counts by name of the measure, mistakes in words, and what was right by confidence."""

    counts: dict[str, Count] = field(default_factory=dict)
    mistakes: list[str] = field(default_factory=list)
    judged: list[tuple[str, float, bool]] = field(default_factory=list)

    def count(self, name: str, right: int, found: int, wanted: int) -> None:
        self.counts.setdefault(name, Count()).add(Count(right, found, wanted))


def measure(narration: Narration, proposed: Proposed, tally: Tally) -> None:
    """Count one narration into a tally."""
    by_kind: dict[str, list[Proposal]] = {}
    for proposal in proposed.proposals:
        by_kind.setdefault(proposal.kind, []).append(proposal)
    _quantities(narration, by_kind.get("measurement", []), tally)
    _hazards(narration, by_kind.get("hazard", []), tally)
    for kind, key in (("part", "parts"), ("tool", "tools"), ("supply", "supplies")):
        _things(narration, by_kind.get(kind, []), key, tally)
    steps = by_kind.get("step", [])
    _boundaries(narration, steps, tally)
    _chatter(narration, steps, proposed.proposals, tally)


def _quantities(narration: Narration, found: Sequence[Proposal], tally: Tally) -> None:
    """Count the numbers, and apart from that those that are marked in just that way.

    A value and a limit of it ("five millimetres new, scrap below three and a half") are one mark
    to some and two to others, and a procedure carries the same either way: told as one they count
    as the two that are marked, and told as two as the one.
    """
    # Plain timed text has a time for a paragraph only.
    slack = Decimal(15) if narration.data["format"] == "timed" else Decimal(1)
    marks = [(s, gold) for s in narration.sentences for gold in s.get("quantities") or ()]
    left, missed = list(found), []
    for sentence, gold in marks:
        near = [p for p in left if _touches(p, sentence, slack)]
        hit = next((p for p in near if _same_numbers(p, gold)), None)
        if hit is None:
            missed.append((sentence, gold))
            continue
        left.remove(hit)
        tally.judged.append(("measurement", float(hit.confidence), True))
    right = len(marks) - len(missed)
    tally.count("quantities to the mark", right, len(found), len(marks))
    in_one, in_two = _told_in_one(left, missed, slack), _told_in_two(left, missed, slack)
    tally.judged += [("measurement", float(p.confidence), True) for p in (*in_one, *in_two)]
    right += 2 * len(in_one) + len(in_two) // 2
    for p in left:
        tally.judged.append(("measurement", float(p.confidence), False))
        tally.mistakes.append(f"{narration.name}: number too many at {p.start}: {_shown(p)}")
    for sentence, gold in missed:
        seen = [_shown(p) for p in left if _touches(p, sentence, slack)]
        tally.mistakes.append(
            f"{narration.name}: number missed: {gold['said']!r} {_gold(gold)}; near: {seen}"
        )
    tally.count("quantities", right, len(found) + len(in_one) - len(in_two) // 2, len(marks))


_Mark = tuple[dict[str, Any], dict[str, Any]]
"""A sentence of a narration and one of its marks."""


def _told_in_one(left: list[Proposal], missed: list[_Mark], slack: Decimal) -> list[Proposal]:
    """Take out those that are value and limit of two marks, and these marks."""
    taken = []
    for p in list(left):
        near = [one for one in missed if _touches(p, one[0], slack)]
        for values in _parts(p):
            pair = [next((m for m in near if _all_same(p, part, m[1])), None) for part in values]
            if pair[0] and pair[1]:
                left.remove(p)
                taken.append(p)
                missed.remove(pair[0])
                missed.remove(pair[1])
    return taken


def _told_in_two(left: list[Proposal], missed: list[_Mark], slack: Decimal) -> list[Proposal]:
    """Take out those that are together value and limit of one mark, and this mark."""
    taken = []
    for mark in list(missed):
        near = [p for p in left if _touches(p, mark[0], slack) and p.values]
        for parts in _parts_marked(mark[1]):
            pair = [next((p for p in near if _same_numbers(p, part)), None) for part in parts]
            if pair[0] and pair[1]:
                missed.remove(mark)
                left[:] = [p for p in left if p not in pair]
                taken += [one for one in pair if one]
    return taken


def _parts(p: Proposal) -> Iterator[tuple[_Values, _Values]]:
    """Yield value and limits of what has both, each as an amount."""
    values = p.values
    if values and values.nominal is not None and (values.lower, values.upper) != (None, None):
        yield (None, values.nominal, None), (values.lower, None, values.upper)


def _parts_marked(gold: dict[str, Any]) -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    """Yield value and limits of a mark that has both, each as a mark."""
    limits = gold.get("lower"), gold.get("upper")
    if gold.get("nominal") is not None and limits != (None, None):
        yield {**gold, "lower": None, "upper": None}, {**gold, "nominal": None}


def _same_numbers(proposal: Proposal, gold: dict[str, Any]) -> bool:
    values = proposal.values
    if values is None:
        return False
    role = proposal.detail("role")
    if gold["role"] in {"thread", "size"} and gold.get("numbers"):
        if len(gold["numbers"]) == 1 and role not in {"thread", "size"}:
            # Of one number a size is a value.
            gold = {"nominal": gold["numbers"][0], "unit": gold.get("unit")}
            return _all_same(proposal, (values.lower, values.nominal, values.upper), gold)
        own = [Decimal(n) for n in (proposal.detail("numbers") or "").split()]
        return role == gold["role"] and own == [Decimal(str(n)) for n in gold["numbers"]]
    if role in {"thread", "size"}:
        return False
    return _all_same(proposal, (values.lower, values.nominal, values.upper), gold)


_Values = tuple[Decimal | None, ...]


def _all_same(proposal: Proposal, mine: _Values, gold: dict[str, Any]) -> bool:
    """Whether values of a proposal, in its unit, are those of a mark."""
    theirs = tuple(
        None if gold.get(k) is None else Decimal(str(gold[k]))
        for k in ("lower", "nominal", "upper")
    )
    unit = proposal.values.unit if proposal.values else None
    return _all_alike(mine, unit or None, theirs, gold.get("unit") or None)


def _all_alike(mine: _Values, unit: str | None, theirs: _Values, told: str | None) -> bool:
    """Whether two amounts are the same, each in its own unit: 0.25 h is 15 min."""
    if any((one is None) is not (other is None) for one, other in zip(mine, theirs, strict=True)):
        return False
    own, other = find_unit(unit or ""), find_unit(told or "")
    if unit == told or own is None or other is None:
        return unit == told and mine == _rounded_alike(mine, theirs)
    if own.quantity != other.quantity:
        return False
    pairs = [(a, b) for a, b in zip(mine, theirs, strict=True) if a is not None and b is not None]
    return all(own.to_si(one) == other.to_si(two) for one, two in pairs)


def _rounded_alike(mine: _Values, theirs: _Values) -> _Values:
    """Return the marked values, with ours where the mark only rounds it: 0.333 for a third."""
    return tuple(
        one if one is not None and other is not None and _rounds_to(one, other) else other
        for one, other in zip(mine, theirs, strict=True)
    )


def _rounds_to(value: Decimal, mark: Decimal) -> bool:
    places = -int(mark.as_tuple().exponent)
    finer = -int(value.as_tuple().exponent) > places
    return finer and places >= _PLACES and round(value, places) == mark


def _gold(gold: dict[str, Any]) -> str:
    numbers = [str(gold.get(k)) for k in ("lower", "nominal", "upper")]
    return f"{gold['role']} {numbers} {gold.get('numbers', '')} {gold.get('unit')}"


def _shown(p: Proposal) -> str:
    v = p.values
    numbers = [str(n) for n in (v.lower, v.nominal, v.upper)] if v else []
    return f"{p.said!r} {p.detail('role')} {numbers} {v.unit if v else ''}"


def _hazards(narration: Narration, found: Sequence[Proposal], tally: Tally) -> None:
    wanted = [s for s in narration.sentences if {"hazard", "damage"} & set(s["kinds"])]
    met = [s for s in wanted if any(_touches(p, s, Decimal(0)) for p in found)]
    tally.count("hazard recall", len(met), len(met), len(wanted))
    good = [p for p in found if any(_touches(p, s, Decimal(0)) for s in wanted)]
    tally.count("hazard precision", len(good), len(found), len(good))
    for s in wanted:
        if s not in met:
            tally.mistakes.append(f"{narration.name}: warning missed: {s['say']!r}")
    for p in found:
        tally.judged.append(("hazard", float(p.confidence), p in good))
        if p not in good:
            tally.mistakes.append(f"{narration.name}: no warning: {p.said!r}")


def _things(narration: Narration, found: Sequence[Proposal], key: str, tally: Tally) -> None:
    wanted = {name for s in narration.sentences for name in s.get(key) or ()}
    left = {name: name_of(name) for name in sorted(wanted)}
    right = 0
    for proposal in found:
        own = name_of(proposal.text)
        hit = next((n for n, words in left.items() if equal(own, words)), None)
        hit = hit or next((n for n, words in left.items() if alike(own, words)), None)
        tally.judged.append((proposal.kind, float(proposal.confidence), hit is not None))
        if hit is None:
            tally.mistakes.append(f"{narration.name}: no {proposal.kind}: {proposal.text!r}")
        else:
            del left[hit]
            right += 1
    tally.mistakes += [f"{narration.name}: {key} missed: {name!r}" for name in sorted(left)]
    tally.count(key, right, len(found), len(wanted))
    if key != "supplies":
        tally.count("parts and tools", right, len(found), len(wanted))


def gold_starts(narration: Narration) -> list[Decimal]:
    """Return when each gold step begins: where its id is first said."""
    seen: dict[str, Decimal] = {}
    for sentence in narration.sentences:
        if step := sentence.get("step"):
            seen.setdefault(step, Decimal(sentence["from"]))
    return sorted(seen.values())


def _boundaries(narration: Narration, steps: Sequence[Proposal], tally: Tally) -> None:
    gold = gold_starts(narration)
    left, right = list(gold), 0
    for step in steps:
        near = [g for g in left if abs(g - step.start) <= NEAR]
        tally.judged.append(("step", float(step.confidence), bool(near)))
        if near:
            left.remove(min(near, key=lambda g: abs(g - step.start)))
            right += 1
        else:
            tally.mistakes.append(f"{narration.name}: no step at {step.start}: {step.text!r}")
    for missed in left:
        said = next(s for s in narration.sentences if Decimal(s["from"]) == missed)
        tally.mistakes.append(f"{narration.name}: step missed at {missed}: {said['say']!r}")
    tally.count("step boundaries", right, len(steps), len(gold))


def _chatter(
    narration: Narration, steps: Sequence[Proposal], every: Iterable[Proposal], tally: Tally
) -> None:
    out = [p for p in every if p.kind in _LEFT_OUT]
    said = " ".join(_letters(step.said) for step in steps)
    for sentence in narration.sentences:
        kinds = set(sentence["kinds"])
        words = _letters(narration.text_of(sentence))
        in_step = _mostly_in(words, said)
        covered = any(_covers(p, sentence) for p in out)
        if kinds and kinds <= _LEFT_OUT:
            gone = covered or not in_step
            tally.count("chatter removed", int(gone), int(gone), 1)
            if not gone:
                tally.mistakes.append(f"{narration.name}: chatter kept: {sentence['say']!r}")
        elif "action" in kinds and sentence.get("step"):
            kept = in_step
            tally.count("instructions kept", int(kept), int(kept), 1)
            if not kept:
                tally.mistakes.append(f"{narration.name}: instruction lost: {sentence['say']!r}")


def _mostly_in(words: str, said: str) -> bool:
    """Whether most runs of four words of a sentence stand in what the steps say."""
    parts = words.split()
    if len(parts) < 4:
        return f" {words} " in f" {said} "
    runs = [" ".join(parts[i : i + 4]) for i in range(len(parts) - 3)]
    return sum(run in said for run in runs) * 2 >= len(runs)


def _letters(text: str) -> str:
    return " ".join(re.findall(r"[a-z0-9]+", text.lower()))


def _touches(p: Proposal, sentence: dict[str, Any], slack: Decimal = Decimal(1)) -> bool:
    middle = (p.start + p.end) / 2
    return Decimal(sentence["from"]) - slack <= middle <= Decimal(sentence["to"]) + slack


def _covers(p: Proposal, sentence: dict[str, Any]) -> bool:
    start, end = Decimal(sentence["from"]), Decimal(sentence["to"])
    shared = min(p.end, end) - max(p.start, start)
    return shared * 10 >= (end - start) * 6


def calibration(judged: Sequence[tuple[str, float, bool]]) -> list[tuple[float, float, int]]:
    """Return confidence, share that is right, and how many, by tenths of confidence."""
    bins: Counter[int] = Counter()
    right: Counter[int] = Counter()
    total: Counter[int] = Counter()
    for _, confidence, good in judged:
        tenth = min(int(confidence * 10), 9)
        bins[tenth] += 1
        right[tenth] += good
        total[tenth] += round(confidence * 100)
    return [(total[t] / bins[t] / 100, right[t] / bins[t], bins[t]) for t in sorted(bins)]
