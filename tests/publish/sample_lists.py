"""Front matter and lists of the sample job."""

from __future__ import annotations

from typing import Any


def hazard(signal: str, what: str, consequence: str | None, avoid: str) -> dict[str, Any]:
    """Return one hazard message."""
    found = {"signal": signal, "hazard": what, "avoid": avoid}
    return found if consequence is None else {**found, "consequence": consequence}


FRONT: dict[str, Any] = {
    "schema": "procedure/1",
    "id": "upper-wheel-bearings",
    "title": "Replace the upper wheel bearings of the 350 mm band saw",
    "revision": 3,
    "state": "in_review",
    "language": "en",
    "data": "demo",
    "notice": "Numbers are invented for the demonstration, but for the bearing sizes (ISO 15).",
    "purpose": "Gives the upper wheel new bearings when it rumbles or has play at the rim.",
    "unit": {
        "name": "Alder Row tool room band saw, 350 mm wheels",
        "applies_to": "Shop-built saws ART-07 to ART-11; not ART-06, whose axle turns.",
    },
    "labour_time": "PT2H30M",
    "limits_of_use": [
        "Not for the lower wheel, which is keyed to its shaft.",
        "Not where the axle seat is scored: send the axle away first.",
    ],
    "people": [
        {"id": "technician", "role": "Technician", "skill": "trained on the press"},
        {
            "id": "supervisor",
            "role": "Tool room supervisor",
            "skill": "may release locked machines",
        },
    ],
    "recordings": [
        {
            "id": "saw",
            "file": "saw.mp4",
            "size": 1000,
            "duration": "150.000000",
            "sha256": "3f" * 32,
            "shows": "the whole job at the bench",
        },
        {
            "id": "phone",
            "file": "phone.mp4",
            "size": 500,
            "duration": "40.000000",
            "sha256": "a1" * 32,
        },
    ],
    "sources": [
        {"id": "demo", "kind": "demo", "title": "Demo data of the Alder Row tool room"},
        {"id": "iso-286", "kind": "standard", "title": "ISO 286-2:2010, K7 for 30 to 50 mm"},
        {
            "id": "shop",
            "kind": "shop",
            "title": "Tool room rule 4: what covers a check is witnessed",
        },
    ],
    "prerequisites": [
        {"id": "told", "what": "Those who use the saw are told."},
        {
            "id": "locked",
            "what": "The saw is isolated, locked, tagged and tried.",
            "procedure": {"id": "isolate-band-saw", "revision": 2},
        },
        {"id": "blade-off", "what": "The blade is off and its tension released."},
    ],
}

LISTS: dict[str, Any] = {
    "parts": [
        {
            "id": "guard-screw",
            "name": "Guard screw M6 × 16",
            "number": "SC-0616",
            "quantity": 4,
            "replace": "if_worn",
            "order": "in_case",
            "pack_size": 50,
        },
        {"id": "axle-nut", "name": "Axle nut M16 × 1.5", "replace": "never", "order": "never"},
        {
            "id": "tab-washer",
            "name": "Tab washer",
            "number": "TW-16",
            "replace": "always",
            "order": "always",
            "single_use": True,
            "note": "its tab is bent over the nut",
        },
        {
            "id": "bearing",
            "name": "Ball bearing 6203, sealed both sides",
            "number": "BW-101",
            "quantity": 2,
            "replace": "always",
            "order": "always",
        },
        {
            "id": "ring",
            "name": "Retaining ring 40 × 1.75",
            "number": "RR-40",
            "replace": "if_worn",
            "order": "only_if",
            "order_if": "the old one is bent",
            "pack_size": 10,
        },
        {"id": "sleeve", "name": "Spacer sleeve", "replace": "never", "order": "never"},
    ],
    "tools": [
        {
            "id": "bore-gauge",
            "name": "Bore gauge 35 to 60 mm",
            "measures": "mm",
            "range_from": "35",
            "range_to": "60",
            "resolution": "0.001",
            "uncertainty": "0.003",
        },
        {
            "id": "depth-gauge",
            "name": "Depth gauge",
            "measures": "mm",
            "range_from": "0",
            "range_to": "150",
            "resolution": "0.01",
            "uncertainty": "0.02",
        },
        {
            "id": "torque-wrench",
            "name": "Torque wrench 10 to 100 N·m",
            "measures": "N·m",
            "range_from": "10",
            "range_to": "100",
            "resolution": "0.5",
            "uncertainty": "1.2",
        },
        {
            "id": "small-wrench",
            "name": "Torque wrench 2 to 20 N·m",
            "measures": "N·m",
            "range_from": "2",
            "range_to": "20",
            "resolution": "0.1",
            "uncertainty": "0.2",
        },
        {"id": "press", "name": "Arbor press with force gauge", "measures": "kN", "range_to": "20"},
        {"id": "puller", "name": "Two-leg bearing puller"},
        {"id": "drift", "name": "Brass drift and hammer", "note": "bears on the outer ring only"},
        {"id": "socket", "name": "Socket 24 mm"},
    ],
    "supplies": [
        {"id": "cleaner", "name": "Brake cleaner", "number": "CL-500", "recommended_by": "shop"},
        {"id": "oil", "name": "Thin machine oil"},
    ],
    "stacks": [
        {
            "id": "axle-stack",
            "name": "On the axle",
            "inside_out": ["sleeve", "tab-washer", "axle-nut"],
        }
    ],
    "general_hazards": [
        hazard(
            "DANGER",
            "The saw can start while hands are at the wheels.",
            "The blade cuts off fingers.",
            "Keep your own lock on the isolator and its key in your pocket.",
        ),
        hazard(
            "CAUTION",
            "Driven parts throw chips.",
            "Chips hurt the eyes.",
            "Wear eye protection from the first blow to the last.",
        ),
    ],
    "close_outs": [
        {
            "id": "guides",
            "what": "The worn guide block is replaced.",
            "role": "technician",
            "procedure": {"id": "replace-guide-blocks", "revision": 1},
        },
        {
            "id": "release",
            "what": "Lock and tag are taken off after the test run.",
            "role": "supervisor",
        },
    ],
    "findings": [
        {
            "id": "guide-worn",
            "what": "The upper guide block is worn to its clamp.",
            "step": "fit-guard",
            "state": "deferred",
            "holds": True,
            "released_by": "supervisor",
            "follow_on": "Replace the guide blocks before any test run.",
            "procedure": {"id": "replace-guide-blocks", "revision": 1},
        },
        {"id": "chute-dent", "what": "The dust chute is dented.", "state": "inherited"},
    ],
    "chains": "none",
    "concessions": "none",
    "changes": "none",
}
