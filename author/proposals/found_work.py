"""The proposals made of what was found in the talk, each with its reason and its moment."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from author.proposals.confidence import calibrated
from author.proposals.kinds.marks import Marked, by_sentence
from author.proposals.kinds.readings import only_reads
from author.proposals.language.loose_words import read
from author.proposals.orders.antecedents import antecedent
from author.proposals.proposal import Names, Proposal, ProposalKind, Values
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.quantities.text import quantity_text
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.actions import Naming
from author.proposals.steps.as_said import left_as_said
from author.proposals.steps.cases_before import case_before
from author.proposals.steps.counts import count_in, is_withdrawn
from author.proposals.steps.findings import whole_findings
from author.proposals.steps.in_full import ONLY_WHEN, as_reason, in_full
from author.proposals.steps.later_jobs import holds_unit
from author.proposals.steps.mistakes import only_tells_mistake
from author.proposals.steps.moves import moves_of
from author.proposals.steps.parts_told import Move, Told
from author.proposals.steps.put_right import put_number_right
from author.proposals.steps.renewed_orders import by_name, renewing
from author.proposals.steps.sections import Phase
from author.proposals.steps.spans import SpokenStep
from author.proposals.things.finding import Thing
from author.proposals.things.gathering import Item
from author.proposals.things.named_measures import names_in_full
from author.proposals.things.signs import LEFT_OUT
from author.proposals.things.supply import Supply

# Kinds of sentence that become a proposal of their own beside the step; the rest tell
# which sentences make a step at all.
_OF_A_STEP: Mapping[str, ProposalKind] = {
    "hazard": "hazard",
    "damage": "hazard",
    "inspection": "inspection",
    "decision": "decision",
    "orientation": "orientation",
    "order": "order",
    "count": "count",
    "hidden": "hidden",
    "reason": "reason",
    "off_camera": "off_camera",
}
_OF_THE_JOB: Mapping[str, ProposalKind] = {
    "prerequisite": "prerequisite",
    "follow_on": "follow_on",
    "deferred": "deferred",
    "preview": "preview",
    "chatter": "chatter",
}
_FEW = 4
# "Cap before the bolt, otherwise the clamp squeezes the threads."
# "Don't just switch it off" forbids no switching, "never work under it on just the jack" no work.
_NOT_JUST = re.compile(
    r"\b(?:don't|do not|never)\b(?: (?:just|only)\b|.*\b(?:on|with|by|in|from|under|off|using|to|"
    r"of|at|for) just (?:the|a|an|one|your|that|its|this|two)\b)",
    re.IGNORECASE,
)
# "No petrol, petrol swells the rubber": what is named again is no slip of the tongue.
_AGAIN = re.compile(
    r"\b(?:no|not|never|without) (?:[\w-]+ )?([\w-]+), \1(?:'ll\b| [\w-]+)",
    re.IGNORECASE,
)
# "Don't bend it, it goes back as it came", "get the hoist on it, it weighs a ton"
_TWO_ITS = re.compile(
    r"\b(?:(?:don't|do not|never) [\w-]+|on|in|under|to|of|off|at|with|round|over|from) "
    r"(?P<first>it|them), (?=(?:it|they|them)\b)",
    re.IGNORECASE,
)
_JUST_A = re.compile(r"(?:just|only) an? [\w-]+,? (?:because|or|otherwise)\b", re.IGNORECASE)
_CAUSE = re.compile(r"^(?:'?cause|cos|cuz|coz|because)\b,? ", re.IGNORECASE)
_PRONOUN = re.compile(r"\b(?:it|they|them|'em)\b(?!')", re.IGNORECASE)
_MAKES_SURE = re.compile(r"(?:and |then |just )*make sure\b", re.IGNORECASE)
_THEY = re.compile(r"\bthey\b(?!')", re.IGNORECASE)
_WORDS = re.compile(r"[a-z0-9][\w'-]*(?:\.\d+)?")
_SAYS_NO_MORE = re.compile(r"it|they|them|you|we|i|the|a|an|and|then|now|so|just")
_TOLD_NEAR = 4
"""Sentences back of a reading in which what it is held against may be told."""
BESIDE_THE_JOB = frozenset({"chatter", "preview"})


class FoundWork:
    """What was found, and the proposals made of it."""

    def __init__(
        self,
        said: Sequence[Sentence],
        quantities: Sequence[SpokenQuantity],
        marks: Sequence[Marked],
        things: Sequence[Thing],
        items: Sequence[Item],
        steps: Sequence[SpokenStep],
        phases: Sequence[Phase],
        naming: Naming,
    ) -> None:
        self._said = said
        self._naming = naming
        self._quantities = quantities
        self._marks = marks
        self._things = things
        self._items = items
        self._steps = steps
        self._phases = phases
        self._marks_of = by_sentence(marks)
        self._named: dict[int, list[Thing]] = {}
        for thing in things:
            self._named.setdefault(thing.sentence, []).append(thing)
        self._names = Names()
        self._step_ids = [self._id("step", s.recording, s.start) for s in steps]
        self._step_of = {
            index: self._step_ids[number]
            for number, step in enumerate(steps)
            for index in step.sentences
        }
        self._item_ids = [self._item_id(item) for item in items]
        self._item_names = {
            name: item.name for name, item in zip(self._item_ids, items, strict=True)
        }
        self._supply = Supply([one.text for one in said], things, items)
        self._item_of = {m: self._item_ids[n] for n, i in enumerate(items) for m in i.mentions}

    def steps(self) -> Iterator[Proposal]:
        """Yield the steps, with what they do to parts."""
        told = Told(
            self._said, self._things, self._item_of, self._quantities, self._marks, self._phases
        )
        moves = moves_of(self._steps, told)
        ordered = {*self._naming.implied, *self._naming.orders}
        numbered = {each.sentence for each in self._quantities}
        for name, step, moved in zip(self._step_ids, self._steps, moves, strict=True):
            whole = self._naming.of(step)
            how = "is said to be done"
            if whole.meant:
                first = whole.order in whole.meant
                how = "is meant, though nobody says it" if first else f"{how}, the rest is meant"
            left = left_as_said(step, self._said, self._marks_of, ordered, numbered)
            text = by_name(whole.action, moved, self._item_names)
            before, amid, after = (
                " ".join(by_name(order.action, moved, self._item_names) for order in orders)
                for orders in (whole.before, whole.between, whole.after)
            )
            renewed = self._renewing(step, f"{text} {before} {amid} {after}", moved)
            details = {
                "verb": whole.order.verb,
                "object": whole.order.object or "",
                "first": before,
                "between": amid,
                "also": " ".join(filter(None, (after, *renewed))),
                "as_said": " ".join(f"“{text}”" for text in left),
                "section": whole.phase,
                "meant": "yes" if whole.meant else "",
            }
            yield Proposal(
                id=name,
                kind="step",
                text=text,
                said=" ".join(self._said[i].text for i in step.sentences),
                recording=step.recording,
                start=step.start,
                end=step.end,
                confidence=calibrated("step", min(step.confidence, whole.order.confidence)),
                reason=f"{whole.order.verb.capitalize()!r} {how}; {step.reason}",
                steps=(name,),
                moves=moved,
                details=_told(details),
            )

    def _renewing(self, step: SpokenStep, said: str, moves: Sequence[Move]) -> Iterator[str]:
        """Yield an order for what is renewed and no order of the step says so: "that goes too"."""
        # "That gets replaced" may be told behind the last sentence that is work.
        end = min(step.sentences[-1] + 2, len(self._said))
        told = [one.text for one in self._said[step.sentences[0] : end]]
        return renewing(said, told, moves, self._item_names)

    def measurements(self) -> Iterator[Proposal]:
        """Yield the numbers."""
        names = names_in_full(self._quantities, self._things, self._said)
        for each, name in zip(self._quantities, names, strict=True):
            if self._is_talk(each):
                continue
            start, end = self._said[each.sentence].span_of(each.begin, each.end)
            details = {
                "role": each.role,
                "quantity": each.quantity or "",
                "characteristic": name,
                "datum": each.datum or "",
                "positions": each.positions or "",
                "designation": each.designation or "",
                "numbers": " ".join(f"{n:f}" for n in each.numbers),
                "unit_from_elsewhere": "yes" if each.carried_unit else "",
            }
            yield self._proposal(
                "measurement", each.sentence, (start, end), quantity_text(each, name), each.text,
                each.confidence, each.reason, details,
                Values(each.lower, each.nominal, each.upper, each.unit),
            )  # fmt: skip

    def _counts_nothing(self, mark: Marked) -> bool:
        """Whether a count is a reading, "that's sixteen", or was taken back, "four, no, three"."""
        if is_withdrawn(self._said[mark.sentence].text, mark.end):
            return True
        return len(mark.text.split()) < _FEW and any(
            one.sentence == mark.sentence and mark.begin <= one.begin < mark.end
            for one in self._quantities
        )

    def _is_talk(self, each: SpokenQuantity) -> bool:
        """Whether a number stands in talk beside the job: "eight ninety-nine a tub".

        "This one's carrying four, lovely" is read off, where limits were told just before.
        """
        near = range(each.sentence - _TOLD_NEAR, each.sentence + 1)
        if each.role == "measured" and any(
            one.role == "limits" and one.sentence in near and one.unit == each.unit is not None
            for one in self._quantities
        ):
            return False
        return any(
            mark.kind in BESIDE_THE_JOB and mark.begin <= each.begin and each.end <= mark.end
            for mark in self._marks_of.get(each.sentence, ())
        )

    def items(self) -> Iterator[Proposal]:
        """Yield parts, tools and supplies, each once."""
        for name, item in zip(self._item_ids, self._items, strict=True):
            first = self._things[item.mentions[0]]
            sentence = self._said[first.sentence]
            start, end = sentence.span_of(first.begin, first.end)
            # "Don't grease them": no grease stands in that step, and in the list it may.
            used = [m for m in item.mentions if LEFT_OUT not in self._things[m].signs]
            mentioned = (self._step_of.get(self._things[m].sentence) for m in used)
            wheres = [w for m in used if (w := self._things[m].where)]
            put = [self._step_of.get(self._things[m].sentence) for m in used
                   if self._things[m].where in wheres[:1]]  # fmt: skip
            details = {
                "number": item.number or "",
                "count": str(item.count) if item.count else "",
                "where": wheres[0] if any(put) else "",
                # "Grease on the threads … grease in the cups": each where it was said.
                "where_in": " ".join(dict.fromkeys(filter(None, put))),
                "mentions": str(len(item.mentions)),
                "left_out": "" if used or item.kind == "part" else "yes",
                "ordered": self._supply.ordered(item),
                "kit": self._supply.kit_of(item),
            }
            yield Proposal(
                id=name,
                kind=item.kind,
                text=item.name,
                said=sentence.text[first.begin : first.end],
                recording=sentence.recording,
                start=start,
                end=end,
                confidence=calibrated(item.kind, item.confidence),
                reason=item.reason,
                steps=tuple(dict.fromkeys(step for step in mentioned if step)),
                details=_told(details),
            )

    def marked(self) -> Iterator[Proposal]:
        """Yield warnings, inspections and all else that is said about steps and the job."""
        findings, taken = whole_findings(self._said, self._marks)
        for told in self._marks:
            text = self._said[told.sentence].text
            if told in taken or only_tells_mistake(text, told, self._marks_of[told.sentence]):
                continue
            if ONLY_WHEN.fullmatch(told.text) and told.sentence in self._step_of:
                continue
            mark = in_full(told, self._said, self._marks_of[told.sentence])
            kind = _OF_A_STEP.get(mark.kind) or _OF_THE_JOB.get(mark.kind)
            if kind is None or (kind == "count" and self._counts_nothing(mark)):
                continue
            if kind == "inspection" and told not in findings and only_reads(mark, self._quantities):
                continue
            signal = "NOTICE" if mark.kind == "damage" else "WARNING"
            details = {"signal": signal} if kind == "hazard" else {}
            if kind == "deferred" and holds_unit(mark.text):
                details["holds"] = "yes"
            if kind == "count":
                details["count"] = str(count_in(mark.text) or "")
            span = self._said[mark.sentence].span_of(mark.begin, mark.end)
            text = mark.text if kind in {"chatter", "preview"} else _plainly(mark.text)
            if kind in {"order", "orientation"} or _MAKES_SURE.match(text):
                text = self._with_name(mark, text)
                text = put_number_right(text, self._said, mark.sentence)
            if (
                kind == "decision"
                and (cased := case_before(text, self._said, mark.sentence)) != text
            ):
                text = details["cased"] = cased
            if kind == "reason":
                text = as_reason(text, self._said[mark.sentence].text[: mark.end])
            words, found = mark.text, findings.get(told)
            if found is not None:
                words, text = found.text, _plainly(found.text)
                began = self._said[found.sentence].span_of(found.begin, found.begin + 1)[0]
                span = (began, span[1])
            yield self._proposal(
                kind, mark.sentence, span, text, words,
                mark.confidence, mark.reason, details, None,
            )  # fmt: skip

    def _with_name(self, mark: Marked, text: str) -> str:
        """Return a point with the name of what it is about, where it is found.

        "The gland bolts, nip them up evenly" is one order, and its point says which bolts too.
        """
        if not _PRONOUN.search(text):
            return text
        own = {word for word in _WORDS.findall(text.lower()) if not _SAYS_NO_MORE.fullmatch(word)}
        for order in self._naming.orders.get(mark.sentence, ()):
            words = set(_WORDS.findall(order.action.lower()))
            if not _PRONOUN.search(order.action) and own <= words:
                return order.action.rstrip(".")
        meant = replace(mark, text=_THEY.sub("them", mark.text))
        name = antecedent(self._said, self._named, meant)
        if name is None or name.removeprefix("the ") in text.lower():
            return text
        text = _PRONOUN.sub(name, text, count=1)
        return text[:1].upper() + text[1:]

    def _proposal(
        self,
        kind: ProposalKind,
        sentence: int,
        span: tuple[Decimal, Decimal],
        text: str,
        words: str,
        confidence: Decimal,
        reason: str,
        details: Mapping[str, str],
        values: Values | None,
    ) -> Proposal:
        recording = self._said[sentence].recording
        step = self._step_of.get(sentence)
        if step is None and kind == "measurement":
            # "After ten minutes look at the gauge, it should show three bar" behind the last step,
            # "the boiler's at a hundred degrees" before the first: what was heard stands somewhere.
            step = self._step_before(sentence) or self._first_step(sentence)
        return Proposal(
            id=self._id(kind.replace("_", "-"), recording, span[0]),
            kind=kind,
            text=text,
            said=words,
            recording=recording,
            start=span[0],
            end=span[1],
            confidence=calibrated(kind, confidence),
            reason=reason,
            values=values,
            steps=(step,) if step else (),
            details=_told(details),
        )

    def _step_before(self, sentence: int) -> str | None:
        """Return the step told last before a sentence of the same recording, or None."""
        recording = self._said[sentence].recording
        before = (self._step_of[i] for i in range(sentence, -1, -1) if i in self._step_of
                  and self._said[i].recording == recording)  # fmt: skip
        return next(before, None)

    def _first_step(self, sentence: int) -> str | None:
        """Return the first step told behind a sentence of the same recording, or None."""
        recording = self._said[sentence].recording
        behind = (i for i in sorted(self._step_of) if i > sentence)
        return next(
            (self._step_of[i] for i in behind if self._said[i].recording == recording), None
        )

    def _id(self, what: str, recording: str, at: Decimal) -> str:
        """Return a name made from the moment: ``saw-step-0123`` is at 1 min 23 s of saw."""
        return self._names.free(recording, f"-{what}-{int(at) // 60:02d}{int(at) % 60:02d}")

    def _item_id(self, item: Item) -> str:
        words = re.findall(r"[a-z0-9]+", item.name.lower())[:5]
        return self._names.free("-".join((item.kind, *words)))


def _told(details: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    return tuple((name, value) for name, value in details.items() if value)


def _plainly(text: str) -> str:
    """Return words without fillers, repeats and what was taken back; one line."""
    if two := _TWO_ITS.search(text):
        behind = _plainly(text[two.end() :])
        return f"{_plainly(text[: two.end('first')])}, {behind[:1].lower()}{behind[1:]}"
    if _NOT_JUST.search(text) or _AGAIN.search(text) or _JUST_A.match(text):
        return text[:1].upper() + text[1:]
    words: str = " ".join(word.shown + word.mark for word in read(text)).strip(" ,;:-–—")
    words = re.sub(r"\bi\b(?!\.)", "I", words).replace(" 'll ", "'ll ")
    words = _CAUSE.sub("because ", re.sub(r",(?:\s*,)+", ",", words))
    return words[:1].upper() + words[1:] if words else text
