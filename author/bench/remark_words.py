"""What a remark says in the window: its fields by their labels, its entries by their names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

from author.bench.field_words import FIELD_WORDS, field_words, in_window_words, remedy_words
from author.bench.words import translate
from author.checks import Remark, all_rules
from author.checks.wording import UNWRITTEN
from author.procedure.document import Procedure
from author.procedure.references import names_in

_OF_FIELDS = {"wording.unwritten", "pictures.empty_span", "pictures.outside", "review.changes"}
"""Rules whose problems name a field of the file."""
_OF_IDS = {"ids.reference"}
"""Rules whose remedies name an id."""
_BY_RULE = {
    "ledger": ("parts", "stacks", "tools", "supplies"),
    "fasteners": ("points", "parts"),
    "links": ("steps", "findings", "prerequisites", "close_outs"),
}
_LISTS = (
    "points", "tools", "parts", "supplies", "sources", "stacks", "chains", "people", "findings",
    "prerequisites", "close_outs", "recordings",
)  # fmt: skip
_KEPT = 10_000
_LONGEST = 60
"""Letters of a name that a remark shows."""


class RemarkWords:
    """Says the remarks on one snapshot.

    Args:
        procedure: the document the remarks are on.
        before: what said those on an older snapshot; what is called the same need not be
            said anew.
    """

    _before: RemarkWords | None

    def __init__(self, procedure: Procedure, before: RemarkWords | None = None) -> None:
        self.procedure = procedure
        # Only one that has said something: a row of silent ones would never be let go.
        self._before = before._before if before is not None and before._said is None else before
        self._called: dict[str, dict[str, str]] = {}
        self._said: dict[tuple[str, str, tuple[str, ...], bool], str] | None = None

    @cached_property
    def _steps(self) -> dict[str, str]:
        return {
            placed.step.id: translate("Remarks", "step {0}").format(placed.number)
            for placed in self.procedure.placed_steps()
        }

    @cached_property
    def _names(self) -> dict[str, dict[str, str]]:
        return names_in(self.procedure)

    def _kept(self) -> dict[tuple[str, str, tuple[str, ...], bool], str]:
        """Return what was said, at the first time also what was said before and still holds."""
        if self._said is None:
            before, self._before = self._before, None
            self._said = {}
            if before is not None and before._holds_for(self):
                self._called, self._said = before._called, before._said or {}
        return self._said

    def _holds_for(self, later: RemarkWords) -> bool:
        """Whether what was said can be said of a later snapshot."""
        return (
            bool(self._said)
            and len(self._said or ()) < _KEPT
            and (self._names, self._steps) == (later._names, later._steps)
        )

    def problem(self, remark: Remark) -> str:
        """Return what is wrong."""
        text, rule = remark.problem, remark.rule.id
        if rule == "ids.unique":
            return text.replace("'", "“", 1).replace("'", "”", 1)
        if rule.startswith("concessions."):
            text = _without_rules(text)
        return self._in_words(remark, text, fields_first=rule in _OF_FIELDS)

    def remedy(self, remark: Remark) -> str:
        """Return what to do about it."""
        own = remedy_words(remark.rule.id) if remark.remedy == remark.rule.remedy else None
        if own is not None:
            return own
        return self._in_words(remark, remark.remedy, fields_first=remark.rule.id not in _OF_IDS)

    def _in_words(self, remark: Remark, text: str, *, fields_first: bool) -> str:
        if "'" not in text and "spec" not in text and "passes" not in text:
            return text
        blocks = tuple(part for part in remark.path if isinstance(part, str))
        key = (remark.rule.id.partition(".")[0], text, blocks, fields_first)
        said = self._kept()
        if key not in said:
            named = self._entries(key[0])
            said[key] = in_window_words(text, blocks, named, fields_first=fields_first)
        return said[key]

    def _entries(self, family: str) -> Mapping[str, str]:
        """Return what each id is called, where several things share one the likeliest of them."""
        if family not in self._called:
            found: dict[str, str] = {}
            for key in (*_BY_RULE.get(family, ()), *_LISTS, "steps", "sections"):
                for name, words in self._names[key].items():
                    if key == "steps":
                        found.setdefault(name, self._steps[name])
                    else:
                        found.setdefault(name, self._named(key, name, words))
            self._called[family] = found
        return self._called[family]

    def _named(self, key: str, name: str, words: str) -> str:
        if words and not words.startswith(UNWRITTEN):
            short = words if len(words) <= _LONGEST else f"{words[:_LONGEST].rstrip()} …"
            return f"“{short}”"
        if key != "points":
            return translate("Remarks", "an entry of “{0}”").format(field_words(key))
        found = (path for _, path, point in self.procedure.placed_points() if point.id == name)
        kinds = {
            "specs": translate("Remarks", "this measurement"),
            "torques": translate("Remarks", "this torque"),
            "critical_points": translate("Remarks", "this critical point"),
            "criteria": translate("Remarks", "this criterion"),
        }
        return kinds[next(str(path[-2]) for path in found)]


def _without_rules(text: str) -> str:
    """Return a text with what a rule is for in place of its id."""
    for name, rule in all_rules().items():
        if name in text.split():
            text = text.replace(name, f"“{rule.why.rstrip('.')}”")
    return text


def place_words(procedure: Procedure, path: Sequence[str | int]) -> str:
    """Return where a path leads, short: ``Step 4``, ``Section 2``, or the name of a page."""
    if len(path) >= 4 and path[0] == "sections" and path[2] == "steps":
        before = sum(len(one.steps) for one in procedure.sections[: int(path[1])])
        number = before + int(path[3]) + 1
        return translate("Remarks", "Step {0}").format(number)
    if len(path) >= 2 and path[0] == "sections":
        return translate("Remarks", "Section {0}").format(int(path[1]) + 1)
    if not path or (len(path) <= 2 and path[0] not in FIELD_WORDS) or path[0] in _OF_THE_JOB:
        return translate("Remarks", "The job")
    return field_words(str(path[0]))


_OF_THE_JOB = frozenset(
    {
        "title", "revision", "language", "data", "notice", "purpose", "unit", "labour_time",
        "limits_of_use", "note", "id", "state", "schema",
    }
)  # fmt: skip
