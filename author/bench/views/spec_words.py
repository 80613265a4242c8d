"""What is said of an instrument for a requirement, in words."""

from __future__ import annotations

from collections.abc import Sequence

from author.bench.fields import Option
from author.bench.words import translate
from author.procedure.items import Tool
from author.procedure.specs import LimitSpec
from author.procedure.units import all_units
from author.tasks.spec_judgements import Adequacy, adequacy


def verdict_text(judged: Adequacy) -> str:
    """Return whether an instrument is fine enough, and why."""
    words = {
        "adequate": translate("SpecEditor", "Fine enough"),
        "not adequate": translate("SpecEditor", "Not good enough"),
        "not judged": translate("SpecEditor", "Not judged"),
    }[judged.verdict]
    figures = []
    if judged.share is not None:
        share = translate("SpecEditor", "step %1 of the tolerance")
        figures.append(share.replace("%1", judged.share_text() or ""))
    if judged.ratio is not None:
        ratio = translate("SpecEditor", "ratio %1")
        figures.append(ratio.replace("%1", judged.ratio_text() or ""))
    said = "; ".join((*judged.reasons, *figures))
    return f"{words}: {said}" if said else words


def instruments_for(tools: Sequence[Tool], spec: LimitSpec | None) -> list[Option]:
    """Return the instruments, those that measure a requirement first, each with its verdict.

    Args:
        tools: tools and instruments of the document.
        spec: the requirement; None while there is none yet.
    """
    found: list[tuple[int, Option]] = []
    for tool in tools:
        scale = all_units().get(tool.measures or "")
        if scale is None:
            continue
        words, rank = tool.name, 2
        if spec is not None and scale.quantity == spec.quantity:
            trial = spec.model_copy(update={"instrument": tool.id})
            said, rank = {
                "adequate": (translate("SpecEditor", "fine enough"), 0),
                "not judged": (translate("SpecEditor", "not judged"), 0),
                "not adequate": (translate("SpecEditor", "not good enough"), 1),
            }[adequacy(trial, {tool.id: tool}, {}).verdict]
            words = f"{said}: {words}"
        found.append((rank, (tool.id, words)))
    return [option for _, option in sorted(found, key=lambda one: one[0])]
