"""A torque of a step: joint, thread, what it does to the screw, and the order of the bolts."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from PyQt6.QtWidgets import QWidget

from author.bench.fields import ChoiceField, TextField
from author.bench.views.bolts_editor import BoltsEditor
from author.bench.views.sheet.typed import number_typed
from author.bench.views.spec_editor import SpecEditor
from author.bench.views.spec_fields import NoteLabel
from author.errors import InputError
from author.procedure.joints import nut_factor_for
from author.procedure.quantities import read_number
from author.procedure.spec_entry import reading_text
from author.procedure.specs import LimitSpec, Pass, TorqueSpec, WrenchExtension
from author.tasks.spec_judgements import Joint, joint_of

if TYPE_CHECKING:
    from author.bench.session import Session

_CONDITIONS = ("dry", "lightly oiled", "greased", "zinc plated, dry", "with threadlocker")
_CLASSES = ("8.8", "10.9", "12.9", "grade 5", "grade 8")
_EXTENSION = re.compile(
    r"(?P<wrench>[0-9.]+)\s*(?:mm|in)?\s*[+,;]\s*(?P<adds>-?[0-9.]+)\s*(?P<unit>mm|in)"
    r"(?:\s*(?:at|,|;)\s*(?P<angle>[0-9.]+)\s*(?:°|deg(?:rees)?)?)?"
)
# Shigley on preload: three quarters of the proof load for joints that are undone.
_USUAL_SHARE, _MOST_SHARE = Fraction(3, 4), Fraction(9, 10)


def _passes(text: str) -> list[dict[str, Any]] | None:
    """Read rounds of tightening: ``50 100`` or ``50 %, 100 %``."""
    found = re.findall(r"[^\s,;%]+", text)
    if any(not part.isascii() or not part.isdecimal() for part in found):
        raise InputError("a round is a share in per cent", remedy="Write them like 50, 100")
    return [{"percent": int(part)} for part in found] or None


def _extension(text: str) -> dict[str, Any] | None:
    """Read an adapter: ``300 + 50 mm`` in line, ``300 + 50 mm at 45°`` at an angle."""
    found = _EXTENSION.fullmatch(text.replace("−", "-"))
    if found is None:
        raise InputError(
            "an adapter is the length of the wrench, and what the adapter adds to it",
            remedy="Write it like 300 + 50 mm, or 300 + 50 mm at 45°",
        )
    said = {key: found[key] for key in ("unit", "wrench", "adds", "angle") if found[key]}
    for key in ("wrench", "adds", "angle"):
        try:
            if key in said:
                read_number(said[key])
        except ValueError as error:
            raise InputError(str(error), remedy="Write it like 300 + 50 mm") from None
    return said


class _PassesField(TextField):
    """Rounds of tightening; what is noted of a round stays with it."""

    def __init__(self, session: Session, name: str) -> None:
        super().__init__(session, None, name, read_as=self._with_notes)

    def _with_notes(self, text: str) -> list[dict[str, Any]] | None:
        notes = {one.percent: one.note for one in self.place.value or () if one.note}
        rounds = _passes(text) or []
        return [
            {**one, **({"note": notes[one["percent"]]} if one["percent"] in notes else {})}
            for one in rounds
        ] or None

    def _show(self, value: Any) -> None:
        rounds: Sequence[Pass] = value or ()
        super()._show(", ".join(f"{one.percent} %" for one in rounds) or None)


class _ExtensionField(TextField):
    def _show(self, value: Any) -> None:
        adapter: WrenchExtension | None = value
        if adapter is None:
            super()._show(None)
            return
        angle = f" at {adapter.angle:f}°" if adapter.angle else ""
        super()._show(f"{adapter.wrench:f} + {adapter.adds:f} {adapter.unit}{angle}")


class TorqueEditor(SpecEditor):
    """Edits one torque spec, its bolts and the order they are tightened in."""

    list_key = "torques"
    quantity = "torque"

    def fields(self) -> dict[str, QWidget]:
        """Return the fields by the keys of the file."""
        return {
            **super().fields(),
            "thread": self.thread_field, "property_class": self.strength, "threads": self.state,
            "nut_factor": self.factor, "passes": self.rounds, "extension": self.adapter,
            "fasteners": self.bolts.shape, "order": self.bolts.pattern,
        }  # fmt: skip

    def _build_more(self) -> None:
        self.limits.setAccessibleName(self.tr("Torque, with its unit"))
        self.what.setAccessibleName(self.tr("What is tightened"))
        self.thread_field = self._line(self.tr("Thread"))
        self.thread_field.setPlaceholderText("M8, M16 × 1.5, 1/4-20 UNC")
        self._row(self.tr("Thread"), self.thread_field, "thread", optional=False)
        self.state = self._line(
            self.tr("Threads when tightened"), completions=lambda: list(_CONDITIONS)
        )
        self.state.setPlaceholderText(self.tr("dry, oiled, with threadlocker"))
        self._row(self.tr("Threads are"), self.state, "threads", optional=False)
        self.bolts = BoltsEditor(self.session)
        self.bolts.done.connect(self._enter)
        self.form.addRow(self._label(self.tr("Bolts"), self.bolts), self.bolts)
        self._optional.append(self.bolts)
        self.strength = self._line(
            self.tr("Property class or grade"), completions=lambda: list(_CLASSES)
        )
        self.strength.setPlaceholderText("8.8, grade 5")
        self._row(self.tr("Class"), self.strength, "property_class")
        self.factor = self._line(
            self.tr("Nut factor K, if the source gives it"), read_as=number_typed
        )
        self.load = NoteLabel()
        self._row(self.tr("Nut factor K"), self.factor, "nut_factor", self.load)
        self.rounds = _PassesField(self.session, self.tr("Rounds in per cent of the torque"))
        self.rounds.setPlaceholderText("50, 100")
        self.rounds.done.connect(self._enter)
        self._row(self.tr("Rounds"), self.rounds, "passes")
        self.adapter = _ExtensionField(
            self.session, None, self.tr("Adapter on the wrench"), read_as=_extension
        )
        self.adapter.setPlaceholderText(self.tr("none; else wrench + adapter: 300 + 50 mm"))
        self.adapter.done.connect(self._enter)
        self.setting = NoteLabel()
        self._row(self.tr("Adapter"), self.adapter, "extension", self.setting)

    def _bound(self) -> dict[str, TextField | ChoiceField]:
        return {
            **super()._bound(),
            "thread": self.thread_field, "property_class": self.strength, "threads": self.state,
            "nut_factor": self.factor, "passes": self.rounds, "extension": self.adapter,
        }  # fmt: skip

    def _bind(self) -> None:
        self.bolts.bind(self._at)
        super()._bind()

    # --- a new one ---

    def _draft_lines(self) -> tuple[TextField, ...]:
        return self.what, self.limits, self.thread_field, self.state

    def _draft(self) -> dict[str, Any] | None:
        found = super()._draft()
        if found is None:
            return None
        joint = {"thread": self.thread_field, "threads": self.state}
        return {**found, **{key: " ".join(line.text().split()) for key, line in joint.items()}}

    # --- what is said of it ---

    def _judge_more(self, spec: LimitSpec) -> None:
        if not isinstance(spec, TorqueSpec):
            return
        joint = joint_of(spec)
        self._say_load(spec, joint)
        self._say_setting(joint)
        taken = None if spec.nut_factor else nut_factor_for(spec.threads)
        hint = self.tr("%1 taken for such threads")
        self.factor.setPlaceholderText("" if taken is None else hint.replace("%1", f"{taken:f}"))
        self.bolts.show_spec(spec)

    def _say_load(self, spec: TorqueSpec, joint: Joint | None) -> None:
        if joint is None:
            self.load.say("")
            return
        if joint.load is None or joint.at is None:
            why = joint.why or ""
            self.load.say(self.tr("Load of the screw not known: %1").replace("%1", why), "advice")
            return
        share = joint.load.share
        words = self.tr("%1 of the proof load at %2, K %3, %4")
        for key, value in (
            ("%1", joint.percent_text() or ""), ("%2", f"{joint.at:f} {spec.unit}"),
            ("%3", f"{joint.load.nut_factor:f}"), ("%4", joint.basis or ""),
        ):  # fmt: skip
            words = words.replace(key, value, 1)
        severity, more = "good", self.tr("Usual for a joint that is undone: up to 75 %.")
        if share > 1:
            severity, more = "error", self.tr("Too much: the screw stretches for good.")
        elif share > _MOST_SHARE:
            severity, more = "warning", self.tr("Too much: 90 % is for joints never undone.")
        elif share > _USUAL_SHARE:
            severity = "advice"
            more = self.tr("High: 75 % is usual for a joint that is undone.")
        self.load.say(f"{words}. {more}", severity)

    def _say_setting(self, joint: Joint | None) -> None:
        if joint is None or (joint.setting is None and joint.setting_why is None):
            self.setting.say("")
        elif joint.setting is None:
            said = self.tr("The wrench cannot be set: %1").replace("%1", joint.setting_why or "")
            self.setting.say(said, "error")
        else:
            said = self.tr("Set the wrench to %1").replace("%1", reading_text(joint.setting))
            self.setting.say(said, "good")
