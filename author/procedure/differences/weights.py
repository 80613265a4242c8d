"""How much a difference weighs: whether somebody can be hurt by it, or the machine fail."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

Severity = Literal["safety", "work", "words"]
Weigh = Callable[[Any, Any], Severity]
SEVERITIES: tuple[Severity, ...] = ("safety", "work", "words")

# What takes energy away and keeps it away, and what protects a body. English only: in other
# languages these weigh as other work does.
_ISOLATES = re.compile(
    r"\b(isolat\w*|lock(s|ed|ing)?([ -]?out)?(?!\w|[ -]?(nut|washer|ring|wire|screw|bolt|plate))"
    r"|padlock\w*|tag|tagged|unplug\w*|de-?energi\w+|depressuri\w+|disconnect\w*"
    r"|switch\w* (\S+ ){0,2}off|discharg\w*|releas\w*|drain\w*|vent|bleed|chock\w*"
    r"|support\w*|press start|start button)\b",
    re.IGNORECASE,
)
_PROTECTS = re.compile(
    r"\b(glasses|goggles|gloves?|visor|face shield|helmet|respirator|ear ?(muffs|plugs|defenders)"
    r"|hearing|apron|safety|protect\w*|padlock|lock|tag|extinguisher|stands?|chocks?)\b",
    re.IGNORECASE,
)
_GRAVE_RULES = ("fasteners", "hazards", "instruments", "ledger", "limits")


@dataclass(frozen=True, slots=True)
class Told:
    """How a difference in one field is told.

    Attributes:
        name: what the field, or one entry of its list, is called.
        changed: weight of a change, or what weighs it by the old and the new value.
        added: weight of what is new; that of a change if None.
        removed: weight of what is gone; that of a change if None.
        moved: weight of another order of the list.
        whole: true where a list is told as one, since its order is what it says.
        unit: the field beside it that has the unit of its numbers.
        on: what is told where a yes-or-no has become yes.
        off: what is told where it has become no.
        kind: block and field for programs, e.g. ``step.hazards``.
    """

    name: str
    changed: Severity | Weigh = "work"
    added: Severity | Weigh | None = None
    removed: Severity | Weigh | None = None
    moved: Severity = "words"
    whole: bool = False
    unit: str | None = None
    on: str = ""
    off: str = ""
    kind: str = ""

    def weigh(self, old: Any, new: Any) -> Severity:
        """Return the weight of a difference; None stands for what is not there."""
        rule: Severity | Weigh | None = self.changed
        if old is None and self.added is not None:
            rule = self.added
        elif new is None and self.removed is not None:
            rule = self.removed
        return rule(old, new) if callable(rule) else rule or "work"


def isolates(text: str) -> bool:
    """Whether a sentence tells of taking energy away, or of keeping it away."""
    return _ISOLATES.search(text) is not None


def weaker(*strict_to_lax: object) -> Weigh:
    """Weigh a change along an order: what is laxer now is a matter of safety."""

    def weigh(old: Any, new: Any) -> Severity:
        if old not in strict_to_lax or new not in strict_to_lax:
            return "work"
        return "safety" if strict_to_lax.index(new) > strict_to_lax.index(old) else "work"

    return weigh


def fewer(old: Any, new: Any) -> Severity:
    """Weigh a list: fewer entries are a matter of safety."""
    return "safety" if len(new or ()) < len(old or ()) else "work"


def less(old: Any, new: Any) -> Severity:
    """Weigh a number: a smaller one is a matter of safety."""
    return "safety" if new < old else "work"


def if_isolating(old: Any, new: Any) -> Severity:
    """Weigh a sentence by whether it takes energy away, or did."""
    return "safety" if isolates(f"{old or ''} {new or ''}") else "work"


def if_protecting(old: Any, _new: Any) -> Severity:
    """Weigh what is gone by whether it protected a body."""
    return "safety" if old is not None and _PROTECTS.search(str(old)) else "work"


def if_stopping(old: Any, new: Any) -> Severity:
    """Weigh a reaction: one that stopped the job, and does no more, is a matter of safety."""
    was = old if isinstance(old, str) or old is None else old.do
    now = new if isinstance(new, str) or new is None else new.do
    return "safety" if was == "stop" != now else "work"


def if_leading_to_stop(old: Any, _new: Any) -> Severity:
    """Weigh a way on that is gone by whether it stopped the job."""
    return "safety" if old is not None and old.stop is not None else "work"


def if_holding(old: Any, _new: Any) -> Severity:
    """Weigh a finding that is gone by whether it held the unit."""
    return "safety" if old is not None and old.holds else "work"


def by_rule(_old: Any, new: Any) -> Severity:
    """Weigh a concession by the family of the rule whose remark it lets stand."""
    return "safety" if new.rule.startswith(_GRAVE_RULES) else "work"
