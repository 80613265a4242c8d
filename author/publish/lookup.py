"""Names behind the ids of a procedure, and references that can be printed and followed.

A draft may name what is not there; then the id itself is printed and said to be missing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from author.procedure.document import PlacedStep, Procedure
from author.procedure.items import Part, Supply, Tool
from author.procedure.lists import ProcedureRef, Source
from author.procedure.specs import LimitSpec

Data = dict[str, Any]


@dataclass(frozen=True)
class Lookup:
    """Everything a page may refer to.

    Attributes:
        parts: parts by id.
        tools: tools by id.
        supplies: supplies by id.
        sources: number in the list of sources and source, by id.
        roles: words for a role by its id.
        films: file name of a recording by its id.
        steps: placed step by id; the first where an id is used twice.
        sections: title and number of a section, from 1, by id.
        specs: placed step and spec by the spec's id.
    """

    parts: dict[str, Part]
    tools: dict[str, Tool]
    supplies: dict[str, Supply]
    sources: dict[str, tuple[int, Source]]
    roles: dict[str, str]
    films: dict[str, str]
    steps: dict[str, PlacedStep]
    sections: dict[str, tuple[str, int]]
    specs: dict[str, tuple[PlacedStep, LimitSpec]]

    @classmethod
    def of(cls, procedure: Procedure) -> Lookup:
        """Return the lookup of a procedure; the first of two equal ids counts."""
        steps: dict[str, PlacedStep] = {}
        specs: dict[str, tuple[PlacedStep, LimitSpec]] = {}
        for placed in procedure.placed_steps():
            steps.setdefault(placed.step.id, placed)
            for spec in placed.step.all_specs():
                specs.setdefault(spec.id, (placed, spec))
        sections: dict[str, tuple[str, int]] = {}
        for number, section in enumerate(procedure.sections, 1):
            sections.setdefault(section.id, (section.title, number))
        return cls(
            parts={p.id: p for p in reversed(procedure.parts)},
            tools={t.id: t for t in reversed(procedure.tools)},
            supplies={s.id: s for s in reversed(procedure.supplies)},
            sources={s.id: (n, s) for n, s in reversed([*enumerate(procedure.sources, 1)])},
            roles={p.id: p.role for p in reversed(procedure.people)},
            films={r.id: r.file for r in reversed(procedure.recordings)},
            steps=steps,
            sections=sections,
            specs=specs,
        )

    def part(self, key: str) -> str:
        """Return the name of a part."""
        return self.parts[key].name if key in self.parts else _missing(key)

    def tool(self, key: str) -> str:
        """Return the name of a tool."""
        return self.tools[key].name if key in self.tools else _missing(key)

    def supply(self, key: str) -> str:
        """Return the name of a supply."""
        return self.supplies[key].name if key in self.supplies else _missing(key)

    def role(self, key: str | None) -> str | None:
        """Return a role in words."""
        return None if key is None else self.roles.get(key, _missing(key))

    def film(self, key: str) -> str:
        """Return the file name of a recording."""
        return self.films.get(key, _missing(key))

    def source(self, key: str | None) -> Data | None:
        """Return a reference to an entry of the list of sources."""
        if key is None:
            return None
        if key not in self.sources:
            return _reference(f"source {_missing(key)}", None)
        number = self.sources[key][0]
        return _reference(f"source {number}", f"source-{number}", paged=False)

    def is_reading(self, key: str | None) -> bool:
        """Whether a source is what was read on the unit that was filmed."""
        return key in self.sources and self.sources[key][1].kind == "measured"

    def step(self, key: str | None) -> Data | None:
        """Return a reference to a step."""
        if key is None:
            return None
        if key not in self.steps:
            return _reference(f"step {_missing(key)}", None)
        number = self.steps[key].number
        return _reference(f"step {number}", f"step-{number}")

    def section(self, key: str) -> Data:
        """Return a reference to a section."""
        if key not in self.sections:
            return _reference(f"section {_missing(key)}", None)
        title, number = self.sections[key]
        return _reference(f"section {number}, {title}", f"section-{number}")


def procedure_text(reference: ProcedureRef | None) -> str | None:
    """Return another procedure and its revision in words."""
    if reference is None:
        return None
    revision = f", revision {reference.revision}" if reference.revision else ""
    return f"procedure {reference.id}{revision}"


def shortened(text: str, letters: int) -> str:
    """Return text cut to a number of letters, with an ellipsis where something is cut."""
    return text if len(text) <= letters else f"{text[: letters - 1].rstrip()}…"


def step_reference(placed: PlacedStep) -> Data:
    """Return a reference to a placed step."""
    return _reference(f"step {placed.number}", f"step-{placed.number}")


def _reference(text: str, to: str | None, *, paged: bool = True) -> Data:
    return {"text": text, "to": to, "paged": paged and to is not None}


def _missing(key: str) -> str:
    return f"“{key}” (not in this procedure)"
