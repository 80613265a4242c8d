"""Ways on: decisions lead somewhere, and a held machine has somebody to release it."""

from __future__ import annotations

from collections.abc import Iterator

from author.checks.remarks import Remark, Subject, remark


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on decisions and holds."""
    for placed in subject.procedure.placed_steps():
        decision = placed.step.decision
        if decision and all(way.step == placed.step.id for way in decision.ways):
            yield remark(
                "links.no_way_on",
                f"every way from '{placed.step.id}' leads back to it",
                (*placed.path, "decision"),
            )
        for index, way in enumerate(decision.ways if decision else ()):
            ways = [way.step, way.section, way.procedure, way.stop]
            count = sum(w is not None for w in ways)
            if count != 1:
                yield remark(
                    "links.branch",
                    f"the way '{way.when}' leads to {count or 'no'} place{'s' * (count > 1)}",
                    (*placed.path, "decision", "ways", index),
                )
    for index, finding in enumerate(subject.procedure.findings):
        if finding.holds and (finding.released_by is None or finding.follow_on is None):
            yield remark(
                "links.hold",
                f"'{finding.id}' holds the machine, but nobody can release it",
                ("findings", index),
            )
