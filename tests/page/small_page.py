"""A small job with everything that is done on a work page, and the page made of it."""

from __future__ import annotations

import copy
import hashlib
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import numpy as np
from generate import pixel_code
from publish import sample
from publish.sample_lists import hazard

from author.checks.verdict import DraftProcedure, check
from author.procedure.cues import Cue
from author.procedure.document import Procedure
from author.publish.page import PageClip, PagePicture, work_page

CONTENT = hashlib.sha256(b"small page").hexdigest()
SIZE = (320, 180)
# Uneven on purpose: phones record variable rates.
TICKS = (0, 33, 67, 100, 150, 200, 233, 267, 300, 350, 400, 433, 467, 500, 550)
END = 600

STEPS: list[dict[str, Any]] = [
    {
        "id": "guard-off",
        "action": "Take off the guard.",
        "hazards": [
            hazard("WARNING", "The edge is sharp.", "It cuts.", "Wear gloves."),
            hazard("NOTICE", "The paint scratches.", None, "Lay it on a cloth."),
        ],
        "clip": {"recording": "saw", "from": "12.500000", "to": "20.000000"},
        "still": {
            "recording": "saw",
            "at": "14.000000",
            "alt": "The closed guard",
            "callouts": [
                {"shape": "leader", "at": ["0.2", "0.3"], "tail": ["0.5", "0.5"], "text": "screw"},
                {"shape": "ring", "at": ["0.7", "0.6"], "size": ["0.2", "0.2"], "text": "hook"},
                {"shape": "arrow", "at": ["0.1", "0.9"], "tail": ["0.4", "0.8"], "text": "edge"},
            ],
        },
        "critical_points": [
            {"id": "screws-kept", "kind": "order", "what": "The screws lie in the tray."}
        ],
    },
    {
        "id": "measure-bore",
        "action": "Measure the bore.",
        "not_filmed": "no camera",
        "specs": [
            {
                "id": "bore",
                "characteristic": "Bore diameter",
                "positions": ["across", "along"],
                "quantity": "length",
                "unit": "mm",
                "lower": "39.982",
                "nominal": "40.000",
                "upper": "40.007",
                "instrument": "bore-gauge",
                "source": "iso-286",
                "decision_rule": "guard_band",
                "below": {"do": "repeat", "how": "Clean and measure again.", "at_most": 1},
                "above": {"do": "stop", "how": "Send the wheel away."},
                "undecided": {"do": "repeat", "how": "Set the gauge anew."},
            },
            {
                "id": "bore-spread",
                "characteristic": "Out of round",
                "quantity": "length",
                "unit": "mm",
                "upper": "0.010",
                "spread_of": "bore",
                "source": "demo",
                "above": {"do": "stop", "how": "Send the wheel away."},
            },
        ],
        "decision": {
            "question": "Is the bore inside its limits?",
            "spec": "bore",
            "ways": [
                {"when": "both readings are inside", "step": "fit-guard"},
                {"when": "one reading is below", "step": "guard-off", "at_most": 1},
                {"when": "one reading is above", "stop": "Send the wheel away."},
            ],
        },
    },
    {
        "id": "fit-guard",
        "action": "Fit the guard and tighten its screws.",
        "not_filmed": "no camera",
        "ledger": [{"act": "replaces", "part": "tab-washer"}],
        "witness": {"what": "The guard sits flat.", "role": "supervisor"},
        "criteria": [
            {"id": "flat", "look_for": "A gap", "accept": "No gap", "otherwise": "Fit it again."}
        ],
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
                "threads": "dry",
                "fasteners": [
                    {"name": "A", "at": ["0.2", "0.2"]},
                    {"name": "B", "at": ["0.8", "0.8"]},
                ],
                "order": ["A", "B"],
                "passes": [{"percent": 50}, {"percent": 100}],
            }
        ],
    },
]


def document(**changes: Any) -> dict[str, Any]:
    """Return the small job as plain data, with top-level keys changed."""
    sections = [{"id": "work", "title": "The work", "steps": copy.deepcopy(STEPS)}]
    return sample.document(sections=sections, findings="none", **changes)


def draft(**changes: Any) -> DraftProcedure:
    """Return the small job as a draft."""
    return check(Procedure.model_validate(document(**changes))).draft


def write_clip(path: Path) -> PageClip:
    """Write a clip whose frames carry their own number, and return what is known of it."""
    path.parent.mkdir(parents=True, exist_ok=True)
    base = Fraction(1, 1000)
    with av.open(str(path), "w", options={"movflags": "faststart"}) as film:
        stream = film.add_stream("libx264", rate=30, options={"g": "8", "bf": "2", "crf": "16"})
        stream.width, stream.height = SIZE
        stream.pix_fmt = "yuv420p"
        stream.codec_context.time_base = base
        for number, tick in enumerate(TICKS):
            shown = np.full((SIZE[1], SIZE[0], 3), 40 + 12 * number, np.uint8)
            pixel_code.draw(shown, number)
            frame = av.VideoFrame.from_ndarray(shown, format="rgb24")
            frame.pts, frame.time_base = tick, base
            frame.duration = (*TICKS, END)[number + 1] - tick
            film.mux(stream.encode(frame))
        film.mux(stream.encode())
    return PageClip(
        file=f"clips/{path.name}",
        width=SIZE[0],
        height=SIZE[1],
        frame_starts=tuple(Decimal(tick) / 1000 for tick in TICKS),
        duration=Decimal(END) / 1000,
        cues=(
            Cue(Decimal("0"), Decimal("0.1"), "First the guard."),
            Cue(Decimal("0.2"), Decimal("0.6"), "Mind <the> edge."),
        ),
    )


def write_page(folder: Path, judged: DraftProcedure | None = None) -> Path:
    """Write the whole work page into a folder and return its document."""
    clip = write_clip(folder / "clips" / "01-guard-off.mp4")
    still = sample.picture((640, 360), 1)
    (folder / "stills").mkdir()
    (folder / "stills" / "01-guard-off.jpg").write_bytes(still.jpeg)
    files = page_files(judged or draft(), {"guard-off": clip})
    for name, content in files.items():
        (folder / name).write_bytes(content)
    return folder / "index.html"


def page_files(
    judged: DraftProcedure, clips: Mapping[str, PageClip] | None = None
) -> dict[str, bytes]:
    """Return the files of the page of a job, with a still for its first step."""
    pictures = {"guard-off": PagePicture("stills/01-guard-off.jpg", 640, 360)}
    return work_page(judged, pictures, clips or {}, content=CONTENT)
