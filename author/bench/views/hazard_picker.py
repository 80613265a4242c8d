"""Picks a hazard message from those that are common in the trade, to be adapted.

The texts are common practice, no source: they are a beginning. What holds for a machine is
said by its maker's manual, by local codes and by whoever is licensed for the work.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from PyQt6.QtWidgets import QWidget

from author.bench.views.offers import Offer
from author.bench.views.part_picker import Picker
from author.bench.views.sheet.rows import unwritten
from author.bench.words import translate
from author.procedure.steps import Hazard
from author.resources import load_own_table


@dataclass(frozen=True, slots=True)
class CommonHazard:
    """A hazard message as it is usual in the trade.

    Attributes:
        name: what it is about, by which it is found.
        found_by: other words by which it is found.
        message: the message.
    """

    name: str
    found_by: str
    message: Hazard


@cache
def common_hazards() -> tuple[CommonHazard, ...]:
    """Return the messages that can be picked, the most usual first."""
    table = load_own_table("common_hazards.yaml")
    return tuple(
        CommonHazard(
            name=entry["name"],
            found_by=entry.get("found_by", ""),
            message=Hazard(
                signal=entry["signal"],
                hazard=entry["hazard"],
                consequence=entry["consequence"],
                avoid=entry["avoid"],
            ),
        )
        for entry in table["hazards"]
    )


class HazardPicker(Picker):
    """The picker with common hazards; what is typed and not found begins a message of its own.

    Args:
        over: what it is laid over.
    """

    def __init__(self, over: QWidget) -> None:
        offers = [
            Offer(one.message, f"{one.message.signal} · {one.name}", _detail(one), one.found_by)
            for one in common_hazards()
        ]
        super().__init__(
            over,
            translate(
                "Picker",
                "Which hazard? Usual texts to adapt; the maker's manual, local codes and "
                "licensed practice decide",
            ),
            offers,
            lambda text: [
                Offer(
                    Hazard(signal=signal, hazard=text, avoid=unwritten("how to avoid it")),
                    f"{signal} · “{text}”",
                    translate("Picker", "A message of your own words"),
                )
                for signal in ("WARNING", "DANGER", "CAUTION", "NOTICE")
            ],
        )


def _detail(one: CommonHazard) -> str:
    return f"{one.message.hazard} {one.message.avoid}"
