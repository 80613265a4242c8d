"""A short invented job with every feature, and stills drawn for it."""

from __future__ import annotations

import copy
import io
from decimal import Decimal
from functools import cache
from typing import Any

from author.checks.verdict import CheckedProcedure, DraftProcedure, check
from author.procedure.document import Procedure
from author.procedure.facts import RecordingFacts
from author.publish.drawing import StillPicture
from publish.sample_lists import FRONT, LISTS
from publish.sample_steps import BEARINGS_OUT, FIT, MEASURE, TAKE_OFF

YAML = 'schema: procedure/1\nid: upper-wheel-bearings\ntitle: "µ ≤ 5"\n'.encode()
LANDSCAPE = (1280, 720)
PORTRAIT = (720, 1280)


SECTIONS: list[dict[str, Any]] = [
    {"id": "removal", "title": "Removal", "steps": TAKE_OFF + BEARINGS_OUT},
    {"id": "inspection", "title": "Inspection", "steps": MEASURE},
    {"id": "fitting", "title": "Fitting", "steps": FIT},
]


def document(**changes: Any) -> dict[str, Any]:
    """Return the sample as plain data, with top-level keys changed."""
    return copy.deepcopy({**FRONT, **LISTS, "sections": SECTIONS, **changes})


def draft(**changes: Any) -> DraftProcedure:
    """Return the sample as a draft, with top-level keys changed."""
    return check(Procedure.model_validate(document(**changes))).draft


def checked(**changes: Any) -> CheckedProcedure:
    """Return the sample checked against made-up recordings, with top-level keys changed."""
    procedure = Procedure.model_validate(document(**changes))
    facts = {
        r.id: RecordingFacts(
            file=r.file,
            size=r.size,
            sha256=r.sha256,
            width=1280,
            height=720,
            frame_starts=tuple(Decimal(n) / 2 for n in range(int(r.duration) * 2)),
            duration=r.duration,
        )
        for r in procedure.recordings
    }
    verdict = check(procedure, facts)
    errors = [f"{r.path}: {r.problem}" for r in verdict.remarks if r.rule.severity == "error"]
    assert verdict.checked is not None, errors
    return verdict.checked


@cache
def picture(size: tuple[int, int], seed: int = 0, bright: bool = False) -> StillPicture:
    """Return a drawn still: a wheel with a hub on a mottled ground."""
    import cv2
    import numpy as np

    width, height = size
    noise = np.random.default_rng(seed).normal(0, 14, (height // 4, width // 4, 3))
    ground = np.full((height // 4, width // 4, 3), 205 if bright else 72, float) + noise
    canvas = cv2.resize(ground.clip(0, 255).astype(np.uint8), size, interpolation=cv2.INTER_CUBIC)
    middle, short = (width // 2, height // 2), min(size)
    for radius, shade in ((0.42, 150), (0.36, 60), (0.16, 190), (0.07, 35)):
        cv2.circle(canvas, middle, int(short * radius), (shade, shade, shade - 20), -1, cv2.LINE_AA)
    for spoke in range(5):
        angle = spoke * 2 * np.pi / 5 + seed
        end = (
            int(middle[0] + short * 0.38 * np.cos(angle)),
            int(middle[1] + short * 0.38 * np.sin(angle)),
        )
        cv2.line(canvas, middle, end, (140, 150, 150), int(short * 0.04), cv2.LINE_AA)
    good, coded = cv2.imencode(".jpg", canvas, [cv2.IMWRITE_JPEG_QUALITY, 85])
    assert good
    return StillPicture(io.BytesIO(coded.tobytes()).getvalue(), width, height)


def stills() -> dict[str, StillPicture]:
    """Return a still for each step that has one; the second is upright."""
    return {
        "guard-off": picture(LANDSCAPE, 1),
        "wheel-off": picture(PORTRAIT, 2, bright=True),
        "bearings-out": picture(LANDSCAPE, 3, bright=True),
        "measure-bore": picture(LANDSCAPE, 4),
        "press-in": picture(LANDSCAPE, 5),
        "fit-guard": picture(LANDSCAPE, 6, bright=True),
    }


CLIPS = {
    "guard-off": "clips/01-guard-off.mp4",
    "wheel-off": "clips/02-wheel-off.mp4",
    "bearings-out": "clips/03-bearings-out.mp4",
    "measure-bore": "clips/04-measure-bore.mp4",
}


def many_steps(count: int) -> list[dict[str, Any]]:
    """Return one section of plain steps, each with a still."""
    steps = [
        {
            "id": f"turn-{n}",
            "action": f"Turn the wheel by hand to mark {n} and look at the rim.",
            "reason": "A crack shows first at a spoke.",
            "still": {
                "recording": "saw",
                "at": "14.000000",
                "alt": f"The rim at mark {n}",
                "callouts": [
                    {"shape": "arrow", "at": ["0.5", "0.5"], "tail": ["0.2", "0.3"], "text": "rim"}
                ],
            },
        }
        for n in range(1, count + 1)
    ]
    return [{"id": "rim", "title": "Look at the rim", "steps": steps}]
