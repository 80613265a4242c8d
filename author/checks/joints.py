"""Torque against what the screw bears, and the wrench it is tightened with."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from author.checks.remarks import Path, Remark, Subject, remark
from author.checks.wording import UNWRITTEN
from author.procedure.items import Tool
from author.procedure.joints import nut_factor_for, utilisation, wrench_setting
from author.procedure.specs import TorqueSpec
from author.procedure.threads import Thread, proof_strength, read_thread
from author.procedure.units import all_units

# Shigley on preload: nine tenths of the proof load is for joints that are never undone.
_MOST_SHARE = Fraction(9, 10)
# Pipe, trapezoidal and other threads that no table of screws is about: ISO 228-1, ISO 7-1,
# ASME B1.20.1, ISO 2904 (from memory).
_OTHER_THREADS = re.compile(r"^(G|R|Rp|Rc|Rs|Tr|Pg|Rd)\s?\d|\b(NPT|NPTF|NPS|BSP\w*|BSW|BSF|BA)\b")


@dataclass(frozen=True, slots=True)
class Load:
    """How much of its proof load a torque puts on a screw.

    Attributes:
        share: at the upper limit of the torque; 1 is all of it.
        nut_factor: K it was worked out with.
        given: whether the document gives K, or it is taken from the condition of the
            threads.
    """

    share: Fraction
    nut_factor: Decimal
    given: bool


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on the load of threaded joints and their wrenches."""
    tools = {tool.id: tool for tool in subject.procedure.tools}
    for placed in subject.procedure.placed_steps():
        for index, spec in enumerate(placed.step.torques or ()):
            path = (*placed.path, "torques", index)
            yield from _strength(spec, path)
            yield from _wrench(spec, tools.get(spec.instrument or ""), path)


def load_of(spec: TorqueSpec) -> Load | None:
    """Return what a torque does to its screw, or None where too little is known.

    Source: T = K·d·F and the proof load of thread and class, as in
    ``author.procedure.joints``.
    """
    unit = all_units()[spec.unit]
    torque = max(spec.limits().values(), default=None)
    factor = spec.nut_factor or nut_factor_for(spec.threads)
    thread = _thread(spec)
    if None in (torque, factor, thread, spec.property_class) or unit.quantity != "torque":
        return None
    assert torque is not None and factor is not None and thread is not None  # noqa: S101
    try:
        share = utilisation(unit.to_si(torque), thread, spec.property_class or "", factor)
    except ValueError:
        return None
    return Load(share, factor, spec.nut_factor is not None)


def _thread(spec: TorqueSpec) -> Thread | None:
    try:
        return read_thread(spec.thread)
    except ValueError:
        return None


def _strength(spec: TorqueSpec, path: Path) -> Iterator[Remark]:
    thread = _thread(spec)
    unwritten = spec.thread.startswith(UNWRITTEN)
    if thread is None and not unwritten and not _OTHER_THREADS.search(spec.thread):
        yield remark(
            "fasteners.thread",
            f"'{spec.thread}' is not read as a thread, so the load of the screw is not known",
            (*path, "thread"),
        )
    elif thread is not None and spec.property_class is not None:
        try:
            proof_strength(thread, spec.property_class)
        except ValueError as error:
            yield remark("fasteners.class", str(error), (*path, "property_class"))
    load = load_of(spec)
    if load is None or load.share <= _MOST_SHARE:
        return
    percent = math.ceil(load.share * 100)
    said = f"K {load.nut_factor:f}{'' if load.given else ' for such threads'}"
    yield remark(
        "fasteners.over_proof" if load.share > 1 else "fasteners.utilisation",
        f"the upper limit of '{spec.id}' puts {percent} % of its proof load on the screw, {said}",
        path,
    )


def _wrench(spec: TorqueSpec, tool: Tool | None, path: Path) -> Iterator[Remark]:
    if spec.extension is None:
        return
    place = (*path, "extension")
    if all_units()[spec.extension.unit].quantity != "length":
        said = f"{spec.extension.unit} is no unit of length"
        yield remark("fasteners.wrench", said, (*place, "unit"))
        return
    settings = [settings_of(spec, value) for value in spec.limits().values()]
    if None in settings:
        yield remark("fasteners.wrench", f"with the adapter of '{spec.id}' no wrench turns", place)
        return
    scale = all_units().get(tool.measures or "") if tool is not None else None
    if tool is None or scale is None or scale.quantity != "torque":
        return
    ends = [None if e is None else scale.to_si(e) for e in (tool.range_from, tool.range_to)]
    si = [all_units()[spec.unit].factor * value for value in settings if value is not None]
    if any(
        (ends[0] is not None and v < ends[0]) or (ends[1] is not None and v > ends[1]) for v in si
    ):
        said = f"with its adapter '{spec.id}' is set outside the range of '{tool.id}'"
        yield remark("fasteners.wrench", said, place)


def settings_of(spec: TorqueSpec, torque: Decimal) -> Fraction | None:
    """Return what the wrench of a spec is set to for a torque, in the unit of the spec.

    Returns:
        The torque itself where there is no adapter; None where no wrench turns with it.
    """
    adapter = spec.extension
    if adapter is None:
        return Fraction(torque)
    try:
        return wrench_setting(torque, adapter.wrench, adapter.adds, adapter.angle or 0)
    except ValueError:
        return None
