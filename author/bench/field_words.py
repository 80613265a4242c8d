"""What the window calls the fields of the document: the one table, for remarks and places.

The rules name fields as the file has them; in the window a person knows them by the words
that stand beside them in its forms.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from PyQt6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication

FIELD_WORDS = {
    # As a block has it, where blocks call a key differently; else by the key alone.
    "callouts.at": QT_TRANSLATE_NOOP("Fields", "Place in the picture"),
    "callouts.text": QT_TRANSLATE_NOOP("Fields", "Words"),
    "chains.closes": QT_TRANSLATE_NOOP("Fields", "Leaves over"),
    "chains.method": QT_TRANSLATE_NOOP("Fields", "Reckoned as"),
    "chains.name": QT_TRANSLATE_NOOP("Fields", "Name"),
    "chains.unit": QT_TRANSLATE_NOOP("Fields", "Unit"),
    "changes.by": QT_TRANSLATE_NOOP("Fields", "By"),
    "changes.date": QT_TRANSLATE_NOOP("Fields", "Date"),
    "changes.what": QT_TRANSLATE_NOOP("Fields", "What changed"),
    "close_outs.role": QT_TRANSLATE_NOOP("Fields", "Who does it"),
    "close_outs.what": QT_TRANSLATE_NOOP("Fields", "After the job"),
    "concessions.at": QT_TRANSLATE_NOOP("Fields", "About"),
    "concessions.reason": QT_TRANSLATE_NOOP("Fields", "Why it may stand"),
    "concessions.role": QT_TRANSLATE_NOOP("Fields", "Answered for by"),
    "concessions.rule": QT_TRANSLATE_NOOP("Fields", "Rule"),
    "criteria.accept": QT_TRANSLATE_NOOP("Fields", "Accepted if"),
    "criteria.if_not": QT_TRANSLATE_NOOP("Fields", "If not met"),
    "criteria.look_for": QT_TRANSLATE_NOOP("Fields", "Look for"),
    "criteria.otherwise": QT_TRANSLATE_NOOP("Fields", "Otherwise"),
    "critical_points.kind": QT_TRANSLATE_NOOP("Fields", "Kind"),
    "critical_points.what": QT_TRANSLATE_NOOP("Fields", "What must be right"),
    "decision.question": QT_TRANSLATE_NOOP("Fields", "Question"),
    "decision.spec": QT_TRANSLATE_NOOP("Fields", "Decided by"),
    "discharges.places": QT_TRANSLATE_NOOP("Fields", "At places"),
    "findings.holds": QT_TRANSLATE_NOOP("Fields", "Holds the unit"),
    "findings.state": QT_TRANSLATE_NOOP("Fields", "State"),
    "findings.step": QT_TRANSLATE_NOOP("Fields", "Seen at"),
    "findings.what": QT_TRANSLATE_NOOP("Fields", "What is wrong"),
    "general_hazards.avoid": QT_TRANSLATE_NOOP("Fields", "How to avoid it"),
    "general_hazards.consequence": QT_TRANSLATE_NOOP("Fields", "What it does"),
    "general_hazards.hazard": QT_TRANSLATE_NOOP("Fields", "What can do harm"),
    "general_hazards.signal": QT_TRANSLATE_NOOP("Fields", "Signal word"),
    "hands_over.places": QT_TRANSLATE_NOOP("Fields", "At places"),
    "hazards.avoid": QT_TRANSLATE_NOOP("Fields", "How to avoid it"),
    "hazards.consequence": QT_TRANSLATE_NOOP("Fields", "What it does"),
    "hazards.hazard": QT_TRANSLATE_NOOP("Fields", "What can do harm"),
    "hazards.signal": QT_TRANSLATE_NOOP("Fields", "Signal word"),
    "ladder.allowed_because": QT_TRANSLATE_NOOP("Fields", "Allowed because"),
    "ladder.give_up_when": QT_TRANSLATE_NOOP("Fields", "Give up when"),
    "ladder.how": QT_TRANSLATE_NOOP("Fields", "How"),
    "ladder.may_damage": QT_TRANSLATE_NOOP("Fields", "May damage"),
    "ladder.no_return": QT_TRANSLATE_NOOP("Fields", "In hand before"),
    "ledger.act": QT_TRANSLATE_NOOP("Fields", "What is done"),
    "ledger.orientation": QT_TRANSLATE_NOOP("Fields", "Which way round"),
    "ledger.part": QT_TRANSLATE_NOOP("Fields", "Part"),
    "ledger.places": QT_TRANSLATE_NOOP("Fields", "At which places"),
    "ledger.quantity": QT_TRANSLATE_NOOP("Fields", "How many"),
    "links.direction": QT_TRANSLATE_NOOP("Fields", "It"),
    "links.lower": QT_TRANSLATE_NOOP("Fields", "Smallest"),
    "links.spec": QT_TRANSLATE_NOOP("Fields", "Limited by"),
    "links.upper": QT_TRANSLATE_NOOP("Fields", "Largest"),
    "links.what": QT_TRANSLATE_NOOP("Fields", "Dimension"),
    "parts.name": QT_TRANSLATE_NOOP("Fields", "Name"),
    "parts.number": QT_TRANSLATE_NOOP("Fields", "Number"),
    "parts.pack_size": QT_TRANSLATE_NOOP("Fields", "In a pack"),
    "parts.places": QT_TRANSLATE_NOOP("Fields", "Places"),
    "parts.quantity": QT_TRANSLATE_NOOP("Fields", "How many"),
    "parts.single_use": QT_TRANSLATE_NOOP("Fields", "Second use"),
    "people.count": QT_TRANSLATE_NOOP("Fields", "How many"),
    "people.role": QT_TRANSLATE_NOOP("Fields", "Role"),
    "people.skill": QT_TRANSLATE_NOOP("Fields", "Trained for"),
    "people.time": QT_TRANSLATE_NOOP("Fields", "Time"),
    "prerequisites.what": QT_TRANSLATE_NOOP("Fields", "Before the job"),
    "review.authors": QT_TRANSLATE_NOOP("Fields", "Written by"),
    "review.due": QT_TRANSLATE_NOOP("Fields", "Review due"),
    "sections.title": QT_TRANSLATE_NOOP("Fields", "Title of the section"),
    "serials.from": QT_TRANSLATE_NOOP("Fields", "From number"),
    "serials.to": QT_TRANSLATE_NOOP("Fields", "To number"),
    "sources.kind": QT_TRANSLATE_NOOP("Fields", "Kind"),
    "sources.title": QT_TRANSLATE_NOOP("Fields", "Title"),
    "specs.characteristic": QT_TRANSLATE_NOOP("Fields", "What"),
    "specs.where": QT_TRANSLATE_NOOP("Fields", "Where"),
    "stacks.inside_out": QT_TRANSLATE_NOOP("Fields", "From the inside out"),
    "stacks.name": QT_TRANSLATE_NOOP("Fields", "Name"),
    "still.alt": QT_TRANSLATE_NOOP("Fields", "What it shows"),
    "supplies.amount": QT_TRANSLATE_NOOP("Fields", "How much"),
    "supplies.grade": QT_TRANSLATE_NOOP("Fields", "Grade"),
    "supplies.name": QT_TRANSLATE_NOOP("Fields", "Name"),
    "supplies.number": QT_TRANSLATE_NOOP("Fields", "Number"),
    "supplies.recommended_by": QT_TRANSLATE_NOOP("Fields", "Asked for by"),
    "supplies.supply": QT_TRANSLATE_NOOP("Fields", "Supply"),
    "supplies.where": QT_TRANSLATE_NOOP("Fields", "Where"),
    "tools.bears_on": QT_TRANSLATE_NOOP("Fields", "May bear on"),
    "tools.measures": QT_TRANSLATE_NOOP("Fields", "Its scale is in"),
    "tools.name": QT_TRANSLATE_NOOP("Fields", "Name, with size"),
    "tools.range_from": QT_TRANSLATE_NOOP("Fields", "Range from"),
    "tools.range_to": QT_TRANSLATE_NOOP("Fields", "Range to"),
    "tools.resolution": QT_TRANSLATE_NOOP("Fields", "Smallest step"),
    "torques.characteristic": QT_TRANSLATE_NOOP("Fields", "What"),
    "torques.order": QT_TRANSLATE_NOOP("Fields", "Bolts"),
    "torques.where": QT_TRANSLATE_NOOP("Fields", "Where"),
    "unit.applies_to": QT_TRANSLATE_NOOP("Fields", "Applies to"),
    "unit.name": QT_TRANSLATE_NOOP("Fields", "Machine"),
    "unit.not_for": QT_TRANSLATE_NOOP("Fields", "Not for"),
    "unit.number": QT_TRANSLATE_NOOP("Fields", "Its number"),
    "ways.at_most": QT_TRANSLATE_NOOP("Fields", "At most"),
    "ways.stop": QT_TRANSLATE_NOOP("Fields", "Why, and then"),
    "ways.when": QT_TRANSLATE_NOOP("Fields", "When"),
    "witness.before": QT_TRANSLATE_NOOP("Fields", "Before step"),
    "witness.role": QT_TRANSLATE_NOOP("Fields", "Who sees it"),
    "witness.what": QT_TRANSLATE_NOOP("Fields", "What is seen"),
    "above": QT_TRANSLATE_NOOP("Fields", "If above"),
    "accept": QT_TRANSLATE_NOOP("Fields", "Accepted if"),
    "action": QT_TRANSLATE_NOOP("Fields", "Action"),
    "alt": QT_TRANSLATE_NOOP("Fields", "What it shows"),
    "at": QT_TRANSLATE_NOOP("Fields", "Moment of the still"),
    "at_most": QT_TRANSLATE_NOOP("Fields", "At most"),
    "avoid": QT_TRANSLATE_NOOP("Fields", "How to avoid it"),
    "before": QT_TRANSLATE_NOOP("Fields", "Before step"),
    "below": QT_TRANSLATE_NOOP("Fields", "If below"),
    "chains": QT_TRANSLATE_NOOP("Fields", "Chains"),
    "changes": QT_TRANSLATE_NOOP("Fields", "Changes"),
    "characteristic": QT_TRANSLATE_NOOP("Fields", "What"),
    "close_outs": QT_TRANSLATE_NOOP("Fields", "After"),
    "concessions": QT_TRANSLATE_NOOP("Fields", "Concessions"),
    "consequence": QT_TRANSLATE_NOOP("Fields", "What it does"),
    "contains": QT_TRANSLATE_NOOP("Fields", "Contains"),
    "criteria": QT_TRANSLATE_NOOP("Fields", "Criteria"),
    "critical_points": QT_TRANSLATE_NOOP("Fields", "Critical points"),
    "datum": QT_TRANSLATE_NOOP("Fields", "From"),
    "decision_rule": QT_TRANSLATE_NOOP("Fields", "Accept"),
    "discharges": QT_TRANSLATE_NOOP("Fields", "Part left off"),
    "do": QT_TRANSLATE_NOOP("Fields", "How, in one sentence"),
    "extension": QT_TRANSLATE_NOOP("Fields", "Adapter"),
    "findings": QT_TRANSLATE_NOOP("Fields", "Findings"),
    "due": QT_TRANSLATE_NOOP("Fields", "Due"),
    "follow_on": QT_TRANSLATE_NOOP("Fields", "What has to happen"),
    "from": QT_TRANSLATE_NOOP("Fields", "Begin of the step"),
    "general_hazards": QT_TRANSLATE_NOOP("Fields", "Hazards of the whole job"),
    "goes_to": QT_TRANSLATE_NOOP("Fields", "Goes on at"),
    "grade_reason": QT_TRANSLATE_NOOP("Fields", "Why the clip is graded so"),
    "hands_over": QT_TRANSLATE_NOOP("Fields", "Part handed over"),
    "hazard": QT_TRANSLATE_NOOP("Fields", "What can do harm"),
    "instrument": QT_TRANSLATE_NOOP("Fields", "With"),
    "labour_time": QT_TRANSLATE_NOOP("Fields", "Labour time"),
    "language": QT_TRANSLATE_NOOP("Fields", "Language"),
    "limits_of_use": QT_TRANSLATE_NOOP("Fields", "Limits of use"),
    "look_for": QT_TRANSLATE_NOOP("Fields", "Look for"),
    "lower": QT_TRANSLATE_NOOP("Fields", "Limits"),
    "name": QT_TRANSLATE_NOOP("Fields", "Name"),
    "nominal": QT_TRANSLATE_NOOP("Fields", "Limits"),
    "not_filmed": QT_TRANSLATE_NOOP("Fields", "Not filmed"),
    "note": QT_TRANSLATE_NOOP("Fields", "Note"),
    "notice": QT_TRANSLATE_NOOP("Fields", "Notice"),
    "number": QT_TRANSLATE_NOOP("Fields", "Number"),
    "nut_factor": QT_TRANSLATE_NOOP("Fields", "Nut factor K"),
    "order": QT_TRANSLATE_NOOP("Fields", "Order"),
    "order_if": QT_TRANSLATE_NOOP("Fields", "Order if"),
    "orientation": QT_TRANSLATE_NOOP("Fields", "Which way round"),
    "otherwise": QT_TRANSLATE_NOOP("Fields", "Otherwise"),
    "parts": QT_TRANSLATE_NOOP("Fields", "Parts"),
    "passes": QT_TRANSLATE_NOOP("Fields", "Rounds"),
    "people": QT_TRANSLATE_NOOP("Fields", "People"),
    "places": QT_TRANSLATE_NOOP("Fields", "At which places"),
    "positions": QT_TRANSLATE_NOOP("Fields", "Readings at"),
    "prerequisites": QT_TRANSLATE_NOOP("Fields", "Before"),
    "procedure": QT_TRANSLATE_NOOP("Fields", "Procedure"),
    "property_class": QT_TRANSLATE_NOOP("Fields", "Class"),
    "purpose": QT_TRANSLATE_NOOP("Fields", "Purpose"),
    "question": QT_TRANSLATE_NOOP("Fields", "Question"),
    "reason": QT_TRANSLATE_NOOP("Fields", "Reason"),
    "recordings": QT_TRANSLATE_NOOP("Fields", "Recordings"),
    "released_by": QT_TRANSLATE_NOOP("Fields", "Released by"),
    "replace": QT_TRANSLATE_NOOP("Fields", "New one"),
    "review": QT_TRANSLATE_NOOP("Fields", "Written by"),
    "revision": QT_TRANSLATE_NOOP("Fields", "Revision"),
    "role": QT_TRANSLATE_NOOP("Fields", "Role"),
    "rule": QT_TRANSLATE_NOOP("Fields", "Rule"),
    "sections": QT_TRANSLATE_NOOP("Fields", "Sections"),
    "si": QT_TRANSLATE_NOOP("Fields", "Values in SI units"),
    "size": QT_TRANSLATE_NOOP("Fields", "Size of the callout"),
    "source": QT_TRANSLATE_NOOP("Fields", "Source"),
    "sources": QT_TRANSLATE_NOOP("Fields", "Sources"),
    "spread_of": QT_TRANSLATE_NOOP("Fields", "Spread of"),
    "stacks": QT_TRANSLATE_NOOP("Fields", "Stacks"),
    "stop": QT_TRANSLATE_NOOP("Fields", "Why, and then"),
    "supplied": QT_TRANSLATE_NOOP("Fields", "Supplied"),
    "supplies": QT_TRANSLATE_NOOP("Fields", "Supplies"),
    "tail": QT_TRANSLATE_NOOP("Fields", "Where its words stand"),
    "text": QT_TRANSLATE_NOOP("Fields", "Words"),
    "thread": QT_TRANSLATE_NOOP("Fields", "Thread"),
    "threads": QT_TRANSLATE_NOOP("Fields", "Threads are"),
    "title": QT_TRANSLATE_NOOP("Fields", "Title"),
    "to": QT_TRANSLATE_NOOP("Fields", "End of the step"),
    "tools": QT_TRANSLATE_NOOP("Fields", "Tools"),
    "uncertainty": QT_TRANSLATE_NOOP("Fields", "Uncertainty (k = 2)"),
    "undecided": QT_TRANSLATE_NOOP("Fields", "If not sure"),
    "unit": QT_TRANSLATE_NOOP("Fields", "Machine"),
    "upper": QT_TRANSLATE_NOOP("Fields", "Limits"),
    "what": QT_TRANSLATE_NOOP("Fields", "What is meant"),
    "when": QT_TRANSLATE_NOOP("Fields", "When"),
    "where": QT_TRANSLATE_NOOP("Fields", "Where"),
}
VALUE_WORDS = {
    "in_review": QT_TRANSLATE_NOOP("Fields", "in review"),
    "never": QT_TRANSLATE_NOOP("Fields", "never"),
    "none": QT_TRANSLATE_NOOP("Fields", "nothing"),
    "reference": QT_TRANSLATE_NOOP("Fields", "for information only"),
    "simple_acceptance": QT_TRANSLATE_NOOP("Fields", "every reading inside the limits"),
    "true": QT_TRANSLATE_NOOP("Fields", "yes"),
    "complete": QT_TRANSLATE_NOOP("Fields", "with its contents"),
    "bare": QT_TRANSLATE_NOOP("Fields", "bare"),
}
REMEDY_WORDS = {
    "ids.reference": QT_TRANSLATE_NOOP("Fields", "Choose one that is listed, or list it"),
    "instruments.none": QT_TRANSLATE_NOOP("Fields", "Choose the instrument beside “With”"),
    "instruments.guard_band": QT_TRANSLATE_NOOP(
        "Fields",
        "Give the instrument an “Uncertainty (k = 2)” less than half the tolerance, or choose "
        "“every reading inside the limits” beside “Accept”",
    ),
    "fasteners.order": QT_TRANSLATE_NOOP("Fields", "Give each bolt its turn once, beside “Bolts”"),
    "ledger.nothing_listed": QT_TRANSLATE_NOOP("Fields", "List what the job takes"),
    "limits.no_limits": QT_TRANSLATE_NOOP(
        "Fields", "Give a lower or an upper limit, or write “ref” before the number"
    ),
    "limits.no_reaction": QT_TRANSLATE_NOOP(
        "Fields", "Say it beside “If below”, “If above” or “If not sure”"
    ),
    "limits.no_source": QT_TRANSLATE_NOOP("Fields", "Choose where it is from beside “Source”"),
    "limits.si_value": QT_TRANSLATE_NOOP(
        "Fields", "Take the SI values out of the file; publishing writes them anew"
    ),
    "links.endless": QT_TRANSLATE_NOOP("Fields", "Say how often beside “At most”"),
    "links.hold": QT_TRANSLATE_NOOP("Fields", "Fill in “Released by” and “What has to happen”"),
    "pictures.callout": QT_TRANSLATE_NOOP(
        "Fields", "Write its words, or draw it again with its size or the place of its words"
    ),
    "review.no_source": QT_TRANSLATE_NOOP("Fields", "Choose where it is from beside “Source”"),
}
"""Remedies that speak of the file, as they are in the window: by rule."""
_QUOTED = re.compile(r"(step )?'([^']+)'")
_PAIR = re.compile(r"([a-z_]+): ([a-z_]+)")
_PLAIN = (
    (re.compile(r"\btorque spec(s?)\b"), r"torque\1"),
    (re.compile(r"\bspec(s?)\b"), r"measurement\1"),
    (re.compile(r"\bthe passes of\b"), "the rounds of"),
)


def field_words(key: str, blocks: Sequence[str] = ()) -> str:
    """Return what the window calls a field; its name with spaces where it has no words.

    Args:
        key: as the file has it.
        blocks: keys on the way to it; the last one that has words of its own for it counts.
    """
    named = (f"{block}.{key}" for block in reversed(blocks))
    words = next((FIELD_WORDS[name] for name in named if name in FIELD_WORDS), None)
    words = words or FIELD_WORDS.get(key) or VALUE_WORDS.get(key)
    return key.replace("_", " ") if words is None else QCoreApplication.translate("Fields", words)


def remedy_words(rule: str) -> str | None:
    """Return what to do about a rule's remarks in the window; None where the rule says it well."""
    words = REMEDY_WORDS.get(rule)
    return None if words is None else QCoreApplication.translate("Fields", words)


def in_window_words(
    text: str,
    blocks: Sequence[str] = (),
    entries: Mapping[str, str] | None = None,
    *,
    fields_first: bool = True,
) -> str:
    """Return what a rule says in the words of the window.

    Args:
        text: a problem or a remedy; what is named stands in single quotes.
        blocks: keys on the way to the place it is about.
        entries: what each id of the document is called, quotes included.
        fields_first: whether a name that is both a field and an id means the field.
    """
    named = entries or {}

    def said(found: re.Match[str]) -> str:
        before, name = found[1] or "", found[2]
        pair = _PAIR.fullmatch(name)
        if pair is not None and pair[1] in FIELD_WORDS:
            return f"{before}“{field_words(pair[1], blocks)}: {field_words(pair[2])}”"
        if pair is not None and pair[1] in VALUE_WORDS:
            return f"{before}“{field_words(pair[1])}”"
        is_field = name in FIELD_WORDS or name in VALUE_WORDS
        if name in named and not (is_field and fields_first):
            words = named[name]
            return words if words.startswith(before.strip()) else f"{before}{words}"
        return f"{before}“{field_words(name, blocks) if is_field and fields_first else name}”"

    parts, end = [], 0
    for found in _QUOTED.finditer(text):
        parts += [_plain(text[end : found.start()]), said(found)]
        end = found.end()
    return "".join([*parts, _plain(text[end:])])


def _plain(text: str) -> str:
    for pattern, words in _PLAIN:
        text = pattern.sub(words, text)
    return text
