"""What each field of a document is called in the trade, and how much a change of it weighs.

``safety``: somebody can be hurt, or the machine fail. ``work``: what is done or ordered
changes. ``words``: text, pictures and notes alone. Where a program cannot tell whether a
sentence still asks the same, the heavier word stands.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from typing import Any

from author.procedure import document, items, lists, specs, steps
from author.procedure.differences.weights import (
    Told,
    by_rule,
    fewer,
    if_holding,
    if_isolating,
    if_leading_to_stop,
    if_protecting,
    if_stopping,
    less,
    weaker,
)
from author.procedure.values import Node


def _must(name: str) -> Told:
    """What was asked for and is asked no more, or otherwise, is a matter of safety."""
    return Told(name, "safety", added="work")


_SOURCE = Told("source")
_ROLE = Told("role")
_NOTE = Told("note", "words")
_MASKS = Told("mask", "words")
_DO = "what to do"
_KEPT = "must not be fitted a second time"
_PLACE = {"at": Told("place in the picture", "words"), "size": Told("size", "words")}

FIELDS: dict[type[Node], dict[str, Told]] = {
    document.Procedure: {
        "id": Told("id of the procedure"),
        "title": Told("title", "words"),
        "revision": Told("revision", "words"),
        "state": Told("state"),
        "language": Told("language", "words"),
        "data": Told("data", weaker("demo", "shop")),
        "notice": Told("notice", "words"),
        "purpose": Told("purpose", "words"),
        "unit": Told("unit"),
        "labour_time": Told("labour time"),
        "limits_of_use": _must("limit of use"),
        "people": Told("role", added="work", removed="safety"),
        "recordings": Told("recording", "words"),
        "sources": Told("source", added="words", removed="words"),
        "prerequisites": Told("prerequisite", added="work", removed="safety"),
        "parts": Told("part"),
        "tools": Told("tool", added="work", removed=if_protecting),
        "supplies": Told("supply"),
        "stacks": Told("stack"),
        "general_hazards": Told("hazard message", added="work", removed="safety"),
        "sections": Told("section"),
        "chains": Told("dimension chain", added="work", removed="safety"),
        "close_outs": Told("close-out", added="work", removed="safety"),
        "findings": Told("finding", added="work", removed=if_holding),
        "concessions": Told("concession", added=by_rule, removed="work"),
        "changes": Told("entry of the changes", "words"),
        "review": Told("review plan", "words"),
        "note": _NOTE,
    },
    lists.Machine: {
        "name": Told("name of the unit"),
        "number": Told("number of the unit"),
        "applies_to": Told("applicability"),
        "serials": Told("serial numbers"),
        "not_for": _must("what it must not be used on"),
    },
    lists.SerialRange: {"start": Told("first serial number"), "end": Told("last serial number")},
    lists.Person: {
        "role": Told("role in words", "words"),
        "count": Told("how many people", less),
        "skill": _must("skill"),
        "time": Told("time needed"),
    },
    lists.RecordingRef: {
        **dict.fromkeys(("file", "size", "duration", "sha256"), Told("film", "words")),
        "shows": Told("what it shows", "words"),
    },
    lists.Source: {"kind": Told("kind"), "title": Told("title")},
    lists.LeftOff: {
        "part": Told("part"),
        "quantity": Told("quantity"),
        "state": Told("state"),
        "places": Told("place"),
    },
    lists.Prerequisite: {
        "what": Told("sentence", "safety"),
        "procedure": Told("procedure that does it"),
        "hands_over": Told("part handed over"),
    },
    lists.CloseOut: {
        "what": Told("sentence", "safety"),
        "role": _ROLE,
        "procedure": Told("procedure that does it"),
        "discharges": Told("part discharged"),
    },
    lists.Finding: {
        "what": Told("what is wrong"),
        "step": Told("step it is seen at"),
        "state": Told("state"),
        "holds": Told(
            "hold", weaker(True, False), on="holds the unit", off="hold released: holds no longer"
        ),
        "released_by": Told("who may release the hold", "safety"),
        "follow_on": Told("what has to happen"),
        "due": Told("when it is due"),
        "procedure": Told("procedure that deals with it"),
    },
    lists.Concession: {
        "rule": Told("rule"),
        "at": Told("thing it is about"),
        "reason": Told("reason"),
        "role": Told("role that answers for it"),
    },
    lists.Change: {
        "revision": Told("revision", "words"),
        "date": Told("date", "words"),
        "what": Told("what changed", "words"),
        "by": Told("writer", "words"),
    },
    lists.ReviewPlan: {"authors": Told("author", "words"), "due": Told("next review", "words")},
    items.Content: {"part": Told("part"), "quantity": Told("quantity")},
    items.Part: {
        "name": Told("name"),
        "number": Told("number"),
        "supersedes": Told("superseded number"),
        "alternatives": Told("alternative number"),
        "quantity": Told("quantity"),
        "places": Told("place"),
        "contains": Told("contained part"),
        "supplied": Told("supplied"),
        "replace": Told("replaced", weaker("always", "if_worn", "never")),
        "order": Told("ordered"),
        "order_if": Told("condition to order it"),
        "pack_size": Told("pack size"),
        "single_use": Told("single use", weaker(True, False), on=_KEPT, off=f"no longer {_KEPT}"),
        "note": _NOTE,
    },
    items.Tool: {
        "name": Told("name"),
        "bears_on": _must("surface it may bear on"),
        "measures": Told("unit of its scale"),
        "range_from": Told("lower end of its range", unit="measures"),
        "range_to": Told("upper end of its range", unit="measures"),
        "resolution": Told("resolution", unit="measures"),
        "uncertainty": Told("uncertainty", unit="measures"),
        "note": _NOTE,
    },
    items.Supply: {
        "name": Told("name"),
        "grade": Told("grade"),
        "number": Told("number"),
        "recommended_by": Told("source that recommends it"),
        "note": _NOTE,
    },
    items.Stack: {
        "name": Told("name", "words"),
        "inside_out": Told("order from the inside out", whole=True),
    },
    steps.Section: {"title": Told("title", "words"), "steps": Told("step")},
    steps.Step: {
        "action": Told("action", if_isolating),
        "reason": Told("reason", "words"),
        "people": Told("role", added="work", removed="safety"),
        "hazards": Told("hazard message", added="work", removed="safety"),
        "clip": Told("clip", "words"),
        "still": Told("still", "words"),
        "not_filmed": Told("why it is not filmed", "words"),
        "tools": Told("tool", added="work", removed=if_protecting),
        "supplies": Told("supply"),
        "ledger": Told("ledger entry", moved="work"),
        "specs": Told("limit spec", added="work", removed="safety"),
        "torques": Told("torque spec", added="work", removed="safety"),
        "critical_points": Told("critical point", added="work", removed="safety"),
        "criteria": Told("criterion", added="work", removed="safety"),
        "witness": Told("witness point", added="work", removed="safety"),
        "ladder": Told("way", moved="work"),
        "decision": Told("decision"),
        "goes_to": Told("step it goes on at"),
        "note": _NOTE,
    },
    steps.Hazard: {
        "signal": Told("signal word", weaker("DANGER", "WARNING", "CAUTION", "NOTICE")),
        "hazard": Told("hazard", "words"),
        "consequence": Told("consequence", "words", removed="work"),
        "avoid": Told("how to avoid it", "safety"),
    },
    steps.Mask: _PLACE,
    steps.Callout: {
        **_PLACE,
        "tail": Told("place of its tail", "words"),
        "shape": Told("shape", "words"),
        "text": Told("text", "words"),
    },
    steps.Clip: {
        **dict.fromkeys(("recording", "start", "end"), Told("clip", "words")),
        "grade": Told("grade", weaker("do_not_copy", "tolerated_here", "as_recommended")),
        "grade_reason": Told("reason of its grade", "words"),
        "masks": _MASKS,
    },
    steps.Still: {
        **dict.fromkeys(("recording", "at"), Told("still", "words")),
        "alt": Told("words for the picture", "words"),
        "callouts": Told("callout", "words"),
        "masks": _MASKS,
    },
    steps.SupplyUse: {
        "supply": Told("supply"),
        "amount": Told("amount"),
        "where": Told("where it goes"),
    },
    steps.Movement: {
        "act": Told("act"),
        "part": Told("part"),
        "quantity": Told("quantity"),
        "places": Told("place"),
        "orientation": _must("orientation"),
    },
    steps.CriticalPoint: {
        "kind": Told("kind", "safety"),
        "what": Told("what must be right", "safety"),
        "source": _SOURCE,
    },
    steps.WitnessPoint: {
        "what": Told("what is seen", "safety"),
        "role": Told("who sees it"),
        "before": Told("step that covers it"),
    },
    steps.Way: {
        "how": Told("what is done"),
        "tools": Told("tool", added="work", removed=if_protecting),
        "give_up_when": Told("sign to give up"),
        "may_damage": Told("what it may damage"),
        "allowed_because": Told("why that is allowed"),
        "no_return": _must("what must be in hand before it"),
    },
    steps.Criterion: {
        "look_for": Told("what to look for"),
        "accept": Told("what is accepted", "safety"),
        "otherwise": Told("what to do otherwise"),
        "if_not": Told("whether the job stops if it is not met", "safety"),
        "source": _SOURCE,
    },
    steps.Branch: {
        "when": Told("condition"),
        **dict.fromkeys(("step", "section", "procedure", "stop"), Told("where it leads")),
        "at_most": Told("how often at most"),
    },
    steps.Decision: {
        "question": Told("question", "words"),
        "spec": Told("number that decides"),
        "ways": Told("way on", added="work", removed=if_leading_to_stop),
    },
    specs.Reaction: {
        "do": Told(_DO, if_stopping),
        "how": Told("how"),
        "step": Told("step to go back to"),
        "at_most": Told("how often at most"),
    },
    specs.LimitSpec: {
        "quantity": Told("kind of quantity", "safety"),
        **dict.fromkeys(("unit", "lower", "nominal", "upper"), Told("limits")),
        "characteristic": Told("characteristic"),
        "where": Told("where"),
        "positions": Told("positions", fewer, whole=True),
        "reference": Told(
            "reference",
            weaker(False, True),
            on="for reference only now: nothing is refused by it",
            off="no longer for reference only: its limits count",
        ),
        "datum": Told("datum"),
        "instrument": Told("instrument"),
        "spread_of": Told("readings it is the spread of"),
        "source": _SOURCE,
        "decision_rule": Told("decision rule", weaker("guard_band", "simple_acceptance")),
        "below": Told(f"{_DO} below", added="work", removed=if_stopping),
        "above": Told(f"{_DO} above", added="work", removed=if_stopping),
        "undecided": Told(f"{_DO} if undecided", added="work", removed=if_stopping),
        "si": Told("derived SI values", "words"),
        "note": _NOTE,
    },
    specs.TorqueSpec: {
        "thread": Told("thread", "safety"),
        "property_class": Told("property class", "safety"),
        "threads": Told("condition of the threads", "safety"),
        "nut_factor": Told("nut factor", "safety"),
        "extension": Told("wrench adapter", "safety"),
        "fasteners": Told("fastener", "safety"),
        "order": Told("tightening order", "safety", whole=True),
        "passes": Told("pass", "safety"),
    },
    specs.WrenchExtension: {
        "unit": Told("unit of its lengths", "safety"),
        "wrench": Told("length of the wrench", "safety", unit="unit"),
        "adds": Told("length it adds", "safety", unit="unit"),
        "angle": Told("angle in degrees", "safety"),
    },
    specs.Fastener: {
        "name": Told("name", "safety"),
        "at": Told("place in the drawing", "words"),
    },
    specs.Pass: {"percent": Told("share in per cent", "safety"), "note": _NOTE},
    specs.Chain: {
        "name": Told("name", "words"),
        "unit": Told("unit"),
        "method": Told("method", weaker("worst_case", "root_sum_square")),
        "closes": Told("number it closes"),
        "links": Told("link", "safety"),
    },
    specs.ChainLink: {
        "what": Told("what it is"),
        "spec": Told("number that limits it"),
        **dict.fromkeys(("lower", "upper"), Told("limits")),
        "direction": Told("direction", "safety"),
    },
}


@cache
def told_as(kind: type[Any], field: str) -> Told:
    """Return how a difference in a field is told; by its name where nobody has said it."""
    bases = [base for base in kind.__mro__ if field in FIELDS.get(base, {})] or [kind]
    told = FIELDS.get(bases[0], {}).get(field) or Told(field.replace("_", " "))
    block = re.sub(r"(?<!^)(?=[A-Z])", "_", bases[0].__name__).lower()
    return replace(told, kind=f"{block}.{field}")
