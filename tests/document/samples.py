"""A small procedure as plain values, and ways to change it for one test."""

import pickle
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

from author.checks import Verdict, check
from author.contract import LoadedProcedure, parse_procedure, write_yaml
from author.procedure.facts import RecordingFacts

Plain = dict[str, Any]
SHA = "0123456789abcdef" * 4

_BASE: Plain = {
    "schema": "procedure/1",
    "id": "belt-guard",
    "title": "Refit a belt guard",
    "revision": 1,
    "state": "draft",
    "language": "en",
    "data": "demo",
    "purpose": "Put the guard of the bench drill back",
    "unit": {"name": "Bench drill BD-2"},
    "limits_of_use": "none",
    "people": [{"id": "technician", "role": "Technician"}],
    "recordings": "none",
    "sources": [{"id": "card", "kind": "demo", "title": "Shop card BD-2, invented"}],
    "prerequisites": "none",
    "parts": [
        {"id": "clip", "name": "Guard clip", "quantity": 2, "replace": "never", "order": "never"}
    ],
    "tools": [
        {
            "id": "caliper",
            "name": "Caliper 150 mm",
            "measures": "mm",
            "range_from": "0",
            "range_to": "150",
            "resolution": "0.01",
        }
    ],
    "supplies": [{"id": "cloth", "name": "Cloth, lint free"}],
    "stacks": "none",
    "general_hazards": [
        {
            "signal": "CAUTION",
            "hazard": "Sharp edges of the guard",
            "consequence": "Fingers are cut",
            "avoid": "Wear gloves",
        }
    ],
    "sections": [
        {
            "id": "work",
            "title": "Work",
            "steps": [
                {
                    "id": "guard-off",
                    "action": "Unclip the guard.",
                    "not_filmed": "Nothing to be seen",
                    "supplies": [{"supply": "cloth"}],
                    "ledger": [{"act": "removes", "part": "clip", "quantity": 2}],
                },
                {
                    "id": "guard-on",
                    "action": "Clip the guard on and measure the gap.",
                    "not_filmed": "Nothing to be seen",
                    "ledger": [{"act": "refits", "part": "clip", "quantity": 2}],
                    "specs": [
                        {
                            "id": "gap",
                            "characteristic": "Gap to the pulley",
                            "quantity": "length",
                            "unit": "mm",
                            "lower": "4.50",
                            "upper": "6.00",
                            "instrument": "caliper",
                            "source": "card",
                            "below": {"do": "recover", "how": "Move the guard out"},
                            "above": {"do": "recover", "how": "Move the guard in"},
                        }
                    ],
                },
            ],
        }
    ],
    "chains": "none",
    "close_outs": "none",
    "findings": "none",
    "concessions": "none",
    "changes": "none",
}


_PICKLED = pickle.dumps(_BASE)  # thousands are made of it, and ``deepcopy`` is slow


def base() -> Plain:
    found: Plain = pickle.loads(_PICKLED)  # noqa: S301 - our own
    return found


def step(plain: Plain, index: int) -> Plain:
    found: Plain = plain["sections"][0]["steps"][index]
    return found


def spec(plain: Plain) -> Plain:
    found: Plain = step(plain, 1)["specs"][0]
    return found


def load(plain: Plain) -> LoadedProcedure:
    return parse_procedure(write_yaml(plain).encode(), Path("procedure.yaml"))


def judge(plain: Plain, facts: dict[str, RecordingFacts | None] | None = None) -> Verdict:
    return check(load(plain).procedure, {} if facts is None else facts)


def rules(plain: Plain, facts: dict[str, RecordingFacts | None] | None = None) -> list[str]:
    return [remark.rule.id for remark in judge(plain, facts).remarks]


def changed(*changes: Callable[[Plain], Any]) -> Plain:
    plain = base()
    for change in changes:
        change(plain)
    return plain


def filmed(plain: Plain) -> None:
    """Let both steps be shown on a film of 20 s."""
    plain["recordings"] = [
        {"id": "film", "file": "guard.mp4", "size": 1000, "duration": "20.000000", "sha256": SHA}
    ]
    for index in (0, 1):
        del step(plain, index)["not_filmed"]
        step(plain, index)["still"] = {"recording": "film", "at": "1.500000", "alt": "The guard"}
        step(plain, index)["clip"] = {"recording": "film", "from": "1.000000", "to": "2.000000"}


def film_facts(**other: Any) -> RecordingFacts:
    """Facts of that film: 25 frames a second."""
    known: Plain = {
        "file": "guard.mp4",
        "size": 1000,
        "sha256": SHA,
        "width": 640,
        "height": 360,
        "frame_starts": tuple(Decimal(n) / 25 for n in range(500)),
        "duration": Decimal("20.000000"),
    }
    return RecordingFacts(**(known | other))
