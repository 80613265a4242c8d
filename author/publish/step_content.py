"""One step as plain page data."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from author.checks.instruments import uncertainty_in
from author.checks.joints import settings_of
from author.procedure.document import PlacedStep
from author.procedure.quantities import Limits, decimals_of, round_fraction
from author.procedure.specs import LimitSpec, Pass, Reaction, TorqueSpec
from author.procedure.steps import Branch, Callout, Clip, Hazard, Movement, Step, Still, Way
from author.procedure.times import clock_text
from author.procedure.units import all_units
from author.publish import number_texts
from author.publish.lookup import Data, Lookup, procedure_text, shortened, step_reference
from author.publish.skipping import skip_data

GRADES = {
    "as_recommended": "",
    "tolerated_here": "Tolerated here",
    "do_not_copy": "Do not copy",
}
_ACTS = {
    "removes": "Take off",
    "refits": "Refit",
    "replaces": "Fit new",
    "discards": "Scrap",
    "destroys": "Take off and scrap",
}
_NAME_LETTERS = 24
_DOES = {"repeat": "Repeat", "recover": "Put right", "stop": "STOP"}
_KINDS = {
    "orientation": "Orientation",
    "order": "Order",
    "supply": "Supply",
    "criterion": "Condition",
}


def step_data(placed: PlacedStep, lookup: Lookup, clips: Mapping[str, str]) -> Data:
    """Return everything printed of one step.

    Args:
        placed: the step and its number.
        lookup: names behind ids.
        clips: relative path of the clip by step id.
    """
    step = placed.step
    return {
        "number": placed.number,
        "id": step.id,
        "trial": False,
        "label": f"step-{placed.number}",
        "skip": skip_data(placed, lookup),
        "action": step.action,
        "reason": step.reason,
        "note": step.note,
        "hazards": [hazard_data(h) for h in step.hazards or ()],
        "still": None,
        "alt": None if step.still is None else alt_text(step.still),
        "callouts": [] if step.still is None else callout_data(step.still.callouts or ()),
        "clip": None if step.clip is None else _clip(step.clip, lookup, clips.get(step.id)),
        "not_filmed": step.not_filmed,
        "uses": _uses(step, lookup),
        "specs": [spec_data(spec, lookup) for spec in step.all_specs()],
        "critical_points": [
            {"kind": _KINDS[c.kind], "what": c.what, "source": lookup.source(c.source)}
            for c in step.critical_points or ()
        ],
        "criteria": [
            {**c.model_dump(exclude={"source"}), "source": lookup.source(c.source)}
            for c in step.criteria or ()
        ],
        "witness": _witness(step, lookup),
        "ladder": [_way(way, lookup) for way in step.ladder or ()],
        "decision": _decision(step, lookup),
        "goes_to": lookup.step(step.goes_to),
    }


def hazard_data(hazard: Hazard) -> Data:
    """Return a hazard message: signal word, hazard, consequence, avoidance."""
    return {
        "signal": hazard.signal,
        "hazard": hazard.hazard,
        "consequence": hazard.consequence,
        "avoid": hazard.avoid,
    }


def alt_text(still: Still) -> str:
    """Return what a still shows in words, with the words of its callouts."""
    texts = [f"{c.text}" for c in still.callouts or () if c.text]
    alt = still.alt if still.alt.endswith((".", "!", "?")) else f"{still.alt}."
    return f"{alt} Marked on it: {'; '.join(texts)}." if texts else alt


def callout_data(callouts: tuple[Callout, ...]) -> list[Data]:
    """Return callouts with places as shares of the picture, leaders numbered from 1."""
    found: list[Data] = []
    leaders = 0
    for callout in callouts:
        leaders += callout.shape == "leader"
        found.append(
            {
                "shape": callout.shape,
                "at": [float(v) for v in callout.at],
                "tail": None if callout.tail is None else [float(v) for v in callout.tail],
                "size": None if callout.size is None else [float(v) for v in callout.size],
                "text": callout.text,
                "number": leaders if callout.shape == "leader" else None,
            }
        )
    return found


def _clip(clip: Clip, lookup: Lookup, path: str | None) -> Data:
    return {
        "path": path,
        "shown": path,
        "recording": clip.recording,
        "film": lookup.film(clip.recording),
        "span": f"{clock_text(clip.start)} to {clock_text(clip.end)}",
        "grade": clip.grade,
        "grade_words": grade_words(clip.grade, clip.grade_reason),
    }


def grade_words(grade: str, reason: str | None) -> str:
    """Return the words of a grade, such as ``Do not copy: no glove on this hand``."""
    words = GRADES[grade]
    return f"{words}: {reason}" if words and reason else words


def _uses(step: Step, lookup: Lookup) -> list[Data]:
    """Return tools, supplies and moves of parts, each as a label and its lines."""
    rows: dict[str, list[str]] = {}
    if step.people:
        rows["Who"] = [lookup.role(role) or "" for role in step.people]
    if step.tools:
        rows["Tools"] = [lookup.tool(t) for t in step.tools]
    for use in step.supplies or ():
        parts = [lookup.supply(use.supply), use.amount, use.where]
        rows.setdefault("Supplies", []).append(", ".join(p for p in parts if p))
    for move in step.ledger or ():
        rows.setdefault(_ACTS[move.act], []).append(_moved(move, lookup))
    return [{"label": label, "items": items} for label, items in rows.items()]


def _moved(move: Movement, lookup: Lookup) -> str:
    part = lookup.parts.get(move.part)
    number = f" ({part.number})" if part and part.number and move.act == "replaces" else ""
    where = f", {', '.join(move.places)}" if move.places else ""
    turned = f" – {move.orientation}" if move.orientation else ""
    return f"{move.quantity}\u00a0× {lookup.part(move.part)}{number}{where}{turned}"


def spec_data(spec: LimitSpec, lookup: Lookup) -> Data:
    """Return one requirement: texts in both units, boxes to fill, reactions."""
    limits = spec.limits()
    return {
        "characteristic": spec.characteristic,
        "where": spec.where,
        "range": number_texts.range_text(limits),
        "nominal": number_texts.nominal_text(limits),
        "second": number_texts.second_text(limits),
        "guarded": _guarded(spec, lookup),
        "reference": spec.reference,
        "was_read": spec.reference and lookup.is_reading(spec.source),
        "unit": spec.unit,
        "datum": spec.datum,
        "instrument": None if spec.instrument is None else _instrument(spec.instrument, lookup),
        "spread": _spread(spec, lookup),
        "source": lookup.source(spec.source),
        "boxes": _boxes(spec),
        "reactions": [
            _reaction(when, reaction, lookup)
            for when, reaction in (
                ("Below", spec.below),
                ("Above", spec.above),
                ("Cannot tell", spec.undecided),
            )
            if reaction is not None
        ],
        "note": spec.note,
        "torque": _torque(spec) if isinstance(spec, TorqueSpec) else None,
    }


def _instrument(key: str, lookup: Lookup) -> str:
    tool = lookup.tools.get(key)
    if tool is None:
        return lookup.tool(key)
    resolution = number_texts.value_text(tool.measures, tool.resolution)
    return f"{tool.name}, reads {resolution}" if resolution else tool.name


def _guarded(spec: LimitSpec, lookup: Lookup) -> str | None:
    """Return the readings accepted where the instrument's uncertainty is kept off the limits."""
    tool = lookup.tools.get(spec.instrument or "")
    band = None if tool is None else uncertainty_in(tool, all_units()[spec.unit])
    if spec.decision_rule != "guard_band" or band is None:
        return None
    limits = spec.limits()
    inner = Limits(
        None if limits.lower is None else limits.lower + band,
        None,
        None if limits.upper is None else limits.upper - band,
        limits.unit,
    )
    return number_texts.range_text(inner)


def _spread(spec: LimitSpec, lookup: Lookup) -> Data | None:
    if spec.spread_of is None:
        return None
    if spec.spread_of not in lookup.specs:
        return {"of": f"“{spec.spread_of}” (not in this procedure)", "step": None}
    placed, other = lookup.specs[spec.spread_of]
    here = spec in placed.step.all_specs()
    return {"of": other.characteristic, "step": None if here else step_reference(placed)}


def _boxes(spec: LimitSpec) -> list[str]:
    if spec.reference:
        return []
    if spec.positions:
        return [*spec.positions]
    if isinstance(spec, TorqueSpec) and spec.fasteners and len(spec.fasteners) > 1:
        return [*(spec.order or (f.name for f in spec.fasteners))]
    return [""]


def _reaction(when: str, reaction: Reaction, lookup: Lookup) -> Data:
    return {
        "when": when,
        "do": _DOES[reaction.do],
        "stop": reaction.do == "stop",
        "how": f"{reaction.how}{_at_most(reaction.at_most)}",
        "step": lookup.step(reaction.step),
    }


def _at_most(times: int | None) -> str:
    if times is None:
        return ""
    return " (once)" if times == 1 else f" (at most {times} times)"


def _torque(spec: TorqueSpec) -> Data:
    limits = spec.limits()
    order = {name: rank for rank, name in reversed([*enumerate(spec.order or (), 1)])}
    return {
        "thread": spec.thread,
        "property_class": spec.property_class,
        "threads": spec.threads,
        "setting": _setting(spec),
        "order": [*(spec.order or ())],
        "pattern": [
            {
                "shown": shortened(f.name, _NAME_LETTERS),
                "at": [float(v) for v in f.at],
                "rank": order.get(f.name),
            }
            for f in spec.fasteners or ()
        ],
        "passes": [_round(p, limits) for p in spec.passes or ()],
    }


def _setting(spec: TorqueSpec) -> str | None:
    """Return what the wrench is set to where an adapter makes it longer."""
    aim = spec.nominal or spec.upper or spec.lower
    setting = None if aim is None else settings_of(spec, aim)
    if spec.extension is None or aim is None or setting is None:
        return None
    value = round_fraction(setting, decimals_of(aim) + 1)
    only = Limits(None, value, None, all_units()[spec.unit])
    adds = number_texts.value_text(spec.extension.unit, spec.extension.adds)
    return f"with the {adds} adapter set the wrench to {number_texts.range_text(only)}"


def _round(entry: Pass, limits: Limits) -> Data:
    value, second = number_texts.pass_texts(entry.percent, limits)
    return {"percent": entry.percent, "value": value, "second": second, "note": entry.note}


def _witness(step: Step, lookup: Lookup) -> Data | None:
    if step.witness is None:
        return None
    return {
        "what": step.witness.what,
        "role": lookup.role(step.witness.role),
        "before": lookup.step(step.witness.before),
    }


def _way(way: Way, lookup: Lookup) -> Data:
    data: dict[str, Any] = way.model_dump(exclude={"tools"})
    return {**data, "tools": "; ".join(lookup.tool(t) for t in way.tools or ()) or None}


def _decision(step: Step, lookup: Lookup) -> Data | None:
    if step.decision is None:
        return None
    decided = None
    if step.decision.spec is not None:
        placed, spec = lookup.specs.get(step.decision.spec, (None, None))
        decided = {
            "text": spec.characteristic if spec else f"“{step.decision.spec}” (missing)",
            "step": None if placed is None else step_reference(placed),
            "here": placed is not None and placed.step.id == step.id,
        }
    return {
        "question": step.decision.question,
        "decided_by": decided,
        "ways": [_branch(way, lookup) for way in step.decision.ways],
    }


def _branch(way: Branch, lookup: Lookup) -> Data:
    if way.stop is not None:
        go: Data = {"kind": "stop", "text": way.stop, "reference": None}
    elif way.step is not None:
        go = {"kind": "go", "text": "", "reference": lookup.step(way.step)}
    elif way.section is not None:
        go = {"kind": "go", "text": "", "reference": lookup.section(way.section)}
    else:
        go = {"kind": "go", "text": procedure_text(way.procedure) or "", "reference": None}
    return {"when": f"{way.when}{_at_most(way.at_most)}", **go}
