"""Steps of the sample job: between them they have every feature."""

from __future__ import annotations

from typing import Any

from publish.sample_lists import hazard

TAKE_OFF: list[dict[str, Any]] = [
    {
        "id": "guard-off",
        "action": "Take out the four guard screws and lift off the guard door.",
        "reason": "One screw is hidden behind the dust chute.",
        "note": "Keep the screws in the tray; they go back.",
        "hazards": [
            hazard(
                "WARNING",
                "The edge of the guard door is sharp.",
                "It can cut a tendon.",
                "Wear cut-resistant gloves and lift with two hands.",
            )
        ],
        "clip": {"recording": "saw", "from": "12.500000", "to": "20.000000"},
        "still": {
            "recording": "saw",
            "at": "14.000000",
            "alt": "The closed guard door with its four screws",
            "callouts": [
                {
                    "shape": "leader",
                    "at": ["0.22", "0.25"],
                    "tail": ["0.10", "0.12"],
                    "text": "screws in sight",
                },
                {
                    "shape": "leader",
                    "at": ["0.78", "0.72"],
                    "tail": ["0.90", "0.55"],
                    "text": "hidden screw, behind the dust chute",
                },
                {
                    "shape": "box",
                    "at": ["0.74", "0.76"],
                    "size": ["0.20", "0.24"],
                    "text": "dust chute",
                },
            ],
        },
        "ledger": [{"act": "removes", "part": "guard-screw", "quantity": 4}],
    },
    {
        "id": "wheel-off",
        "action": "Undo the axle nut and slide off nut, tab washer and sleeve.",
        "hazards": [
            hazard(
                "CAUTION",
                "The wheel weighs 9 kg and slides off with the nut.",
                "It bruises hands and feet.",
                "Hold the wheel with a strap before the nut is off.",
            )
        ],
        "clip": {
            "recording": "phone",
            "from": "3.000000",
            "to": "9.500000",
            "grade": "do_not_copy",
            "grade_reason": "the wheel is not strapped in this take",
        },
        "still": {
            "recording": "phone",
            "at": "5.000000",
            "alt": "Axle end with nut, washer and sleeve",
            "callouts": [
                {
                    "shape": "ring",
                    "at": ["0.5", "0.35"],
                    "size": ["0.36", "0.2"],
                    "text": "axle nut",
                },
                {
                    "shape": "arrow",
                    "at": ["0.52", "0.62"],
                    "tail": ["0.2", "0.82"],
                    "text": "sleeve stays in order",
                },
            ],
        },
        "tools": ["socket"],
        "ledger": [
            {"act": "removes", "part": "axle-nut"},
            {"act": "destroys", "part": "tab-washer"},
            {"act": "removes", "part": "sleeve"},
        ],
        "critical_points": [
            {
                "id": "sleeve-way",
                "kind": "orientation",
                "what": "The chamfer of the sleeve points to the machine frame.",
                "source": "demo",
            },
            {
                "id": "stack-order",
                "kind": "order",
                "what": "Parts lie on the cloth in the order they come off.",
            },
        ],
    },
]

BEARINGS_OUT: list[dict[str, Any]] = [
    {
        "id": "bearings-out",
        "action": "Drive out both bearings, each from the far side by its outer ring.",
        "reason": "A blow on the inner ring leaves marks in the bore.",
        "hazards": [
            hazard(
                "NOTICE",
                "The rim is thin and cracks.",
                None,
                "Support the hub on the ring block, never the rim.",
            )
        ],
        "still": {
            "recording": "saw",
            "at": "40.000000",
            "alt": "Wheel on the ring block with a drift in the bore",
            "callouts": [
                {"shape": "label", "at": ["0.5", "0.12"], "text": "hub rests on the ring block"}
            ],
        },
        "clip": {
            "recording": "saw",
            "from": "36.000000",
            "to": "48.000000",
            "grade": "tolerated_here",
            "grade_reason": "no second pair of hands was there",
        },
        "tools": ["drift", "puller"],
        "ledger": [
            {"act": "removes", "part": "ring"},
            {"act": "destroys", "part": "bearing", "quantity": 2},
        ],
        "ladder": [
            {
                "how": "Tap the outer ring round and round with the drift.",
                "tools": ["drift"],
                "give_up_when": "it has not moved after twenty blows",
            },
            {
                "how": "Draw it with the puller.",
                "tools": ["puller"],
                "give_up_when": "a leg slips or the screw binds",
                "may_damage": "the bearing",
                "allowed_because": "it is scrap in any case",
                "no_return": "two new bearings BW-101",
            },
            {"how": "Stop and send the wheel away.", "may_damage": "nothing here"},
        ],
    },
]

MEASURE: list[dict[str, Any]] = [
    {
        "id": "measure-bore",
        "action": "Measure the bore in two planes, twice in each.",
        "still": {
            "recording": "saw",
            "at": "60.000000",
            "alt": "Bore gauge in the hub reading 39.981",
            "callouts": [
                {
                    "shape": "arrow",
                    "at": ["0.6", "0.5"],
                    "tail": ["0.85", "0.25"],
                    "text": "39.981 mm",
                }
            ],
        },
        "clip": {"recording": "saw", "from": "55.000000", "to": "65.000000"},
        "tools": ["bore-gauge"],
        "supplies": [{"supply": "cleaner", "amount": "two short sprays", "where": "in the bore"}],
        "criteria": [
            {
                "id": "bore-scores",
                "look_for": "Scores that a fingernail catches",
                "accept": "None",
                "otherwise": "Stop and ask the supervisor.",
                "source": "shop",
            }
        ],
        "specs": [
            {
                "id": "bore",
                "characteristic": "Bore diameter",
                "where": "bearing seat",
                "positions": [
                    "outer, 12 o'clock",
                    "outer, 3 o'clock",
                    "inner, 12 o'clock",
                    "inner, 3 o'clock",
                ],
                "quantity": "length",
                "unit": "mm",
                "lower": "39.982",
                "nominal": "40.000",
                "upper": "40.007",
                "instrument": "bore-gauge",
                "source": "iso-286",
                "below": {"do": "repeat", "how": "Clean the bore and measure again."},
                "above": {"do": "stop", "how": "Send the wheel away to be sleeved."},
                "undecided": {
                    "do": "recover",
                    "how": "Let wheel and gauge come to 20 °C.",
                    "step": "measure-bore",
                },
            },
            {
                "id": "bore-spread",
                "characteristic": "Out of round",
                "quantity": "length",
                "unit": "mm",
                "upper": "0.010",
                "spread_of": "bore",
                "source": "demo",
                "above": {"do": "stop", "how": "Send the wheel away to be sleeved."},
            },
            {
                "id": "bearing-width",
                "characteristic": "Bearing width",
                "quantity": "length",
                "unit": "mm",
                "nominal": "12",
                "reference": True,
                "source": "demo",
            },
        ],
        "decision": {
            "question": "Is the bore inside its limits?",
            "spec": "bore",
            "ways": [
                {"when": "all four readings are inside", "step": "press-in"},
                {"when": "one reading is below", "step": "measure-bore"},
                {"when": "the sleeve seat is worn too", "procedure": {"id": "sleeve-the-hub"}},
                {
                    "when": "one reading is above",
                    "stop": "Tag the wheel and send it away to be sleeved.",
                },
            ],
        },
    },
]

FIT: list[dict[str, Any]] = [
    {
        "id": "press-in",
        "action": "Press in each new bearing by its outer ring until it seats.",
        "hazards": [
            hazard(
                "WARNING",
                "A bearing under the press can burst.",
                "Splinters can blind.",
                "Close the press shield and stand beside it.",
            ),
            hazard(
                "NOTICE",
                "Force through the balls dents the races.",
                None,
                "Press on the outer ring only.",
            ),
        ],
        "still": {
            "recording": "saw",
            "at": "90.000000",
            "alt": "Bearing under the arbor press with its shield closed",
            "callouts": [
                {
                    "shape": "ring",
                    "at": ["0.5", "0.55"],
                    "size": ["0.22", "0.2"],
                    "text": "press here",
                },
                {
                    "shape": "leader",
                    "at": ["0.3", "0.6"],
                    "tail": ["0.12", "0.8"],
                    "text": "shield, closed",
                },
            ],
        },
        "tools": ["press", "depth-gauge"],
        "supplies": [{"supply": "oil", "amount": "one drop", "where": "on the outer ring"}],
        "ledger": [
            {"act": "replaces", "part": "bearing", "quantity": 2},
            {"act": "refits", "part": "ring"},
        ],
        "specs": [
            {
                "id": "press-force",
                "characteristic": "Press force",
                "quantity": "force",
                "unit": "kN",
                "upper": "8.0",
                "instrument": "press",
                "source": "demo",
                "above": {"do": "stop", "how": "Take the bearing out and look for a chip."},
            },
            {
                "id": "seat-depth",
                "characteristic": "Depth of the bearing",
                "where": "at three places",
                "positions": ["12 o'clock", "4 o'clock", "8 o'clock"],
                "quantity": "length",
                "unit": "mm",
                "lower": "4.45",
                "nominal": "4.50",
                "upper": "4.60",
                "datum": "the hub face",
                "instrument": "depth-gauge",
                "source": "demo",
                "below": {
                    "do": "recover",
                    "how": "Take it out, clean, fit a new one.",
                    "step": "bearings-out",
                },
                "above": {"do": "stop", "how": "The shoulder is damaged: ask the supervisor."},
            },
        ],
        "witness": {
            "what": "The retaining ring sits in its groove all round.",
            "role": "supervisor",
            "before": "tighten-nut",
        },
    },
    {
        "id": "tighten-nut",
        "action": "Fit a new tab washer and tighten the axle nut.",
        "not_filmed": "the camera was full",
        "tools": ["torque-wrench"],
        "ledger": [
            {"act": "refits", "part": "sleeve"},
            {"act": "replaces", "part": "tab-washer"},
            {"act": "refits", "part": "axle-nut"},
        ],
        "torques": [
            {
                "id": "nut-torque",
                "characteristic": "Axle nut",
                "quantity": "torque",
                "unit": "N·m",
                "lower": "72",
                "nominal": "80",
                "upper": "88",
                "instrument": "torque-wrench",
                "source": "demo",
                "thread": "M16 × 1.5",
                "property_class": "8",
                "threads": "dry",
            }
        ],
    },
    {
        "id": "fit-guard",
        "action": "Fit the guard door and tighten its four screws crosswise.",
        "still": {
            "recording": "saw",
            "at": "130.000000",
            "alt": "Guard door with four screws",
        },
        "tools": ["small-wrench"],
        "ledger": [{"act": "refits", "part": "guard-screw", "quantity": 4}],
        "torques": [
            {
                "id": "guard-torque",
                "characteristic": "Guard screws",
                "quantity": "torque",
                "unit": "N·m",
                "lower": "8.5",
                "nominal": "9.5",
                "upper": "10.5",
                "instrument": "small-wrench",
                "source": "demo",
                "thread": "M6",
                "property_class": "8.8",
                "threads": "dry and clean",
                "fasteners": [
                    {"name": "A", "at": ["0", "0"]},
                    {"name": "B", "at": ["1", "0"]},
                    {"name": "C", "at": ["1", "1"]},
                    {"name": "D, behind the chute", "at": ["0", "1"]},
                ],
                "order": ["A", "C", "B", "D, behind the chute"],
                "passes": [{"percent": 50}, {"percent": 100, "note": "same order"}],
            }
        ],
    },
]
