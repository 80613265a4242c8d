"""The still of a measuring step is the reading: a sharp frame of the longest rest."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest

from author.bench.session import Session
from author.bench.steady import add_requirement, steady_frame, with_readings
from author.bench.views.step_marks import move_end
from author.editing import AddStep, SetField, Span
from author.proposals.proposal import Proposal
from author.recording import facts_of
from author.recording.shots import MotionSpan
from author.tasks.proposal_places import ShownBy
from author.tasks.proposal_sheet import OpenFilm, Sheet

SPEC = {"characteristic": "Runout", "quantity": "length", "unit": "mm", "upper": "0.05"}


@dataclass
class Choice:
    index: int


@dataclass
class Seen:
    """What is seen in 150 frames of 25 a second: work, a short rest, work, a long one, work."""

    sharpest: int = 90
    times: np.ndarray = field(default_factory=lambda: np.arange(150) / 25)
    motion: tuple[MotionSpan, ...] = tuple(
        MotionSpan(first, end, kind)
        for first, end, kind in (
            (0, 20, "working"), (20, 40, "still"), (40, 80, "working"), (80, 130, "still"),
            (130, 150, "working"),
        )
    )  # fmt: skip

    def best_still(self, at: int, within: float) -> Choice:
        frames = round(within * 25)
        return Choice(min(max(self.sharpest, at - frames), at + frames))


@pytest.mark.parametrize(
    ("span", "frame"),
    [((0, 150), 90), ((0, 85), 39), ((0, 20), None), ((100, 150), 100), ((25, 60), 39)],
)
def test_it_is_a_frame_of_the_longest_rest_inside_the_span(
    span: tuple[int, int], frame: int | None
) -> None:
    assert steady_frame(Seen(), *span) == frame  # type: ignore[arg-type]


@pytest.fixture
def measured(session: Session, qtbot, monkeypatch) -> tuple[Session, str]:
    """A session on a film of 150 frames with a step that shows frames 10 to 140."""
    films = session.films
    qtbot.waitUntil(lambda: films.is_exact() and films.count() == 150, timeout=20_000)
    monkeypatch.setattr(films, "analyses", lambda _=None: Seen())
    span = Span(films.front, films.start_of(10), films.start_of(140))
    change = session.document.do(AddStep("Measure the runout.", span=span))
    return session, str(change.place[1])


def still_frame(session: Session, step: str) -> int:
    placed = session.placed(step)
    assert placed is not None and placed.step.still is not None
    return session.films.frame_at(placed.step.still.at)


def test_a_first_measurement_takes_the_still_to_the_reading_in_one_entry(
    measured: tuple[Session, str],
) -> None:
    session, step = measured
    entries = len(session.document.history)
    add_requirement(session, ("steps", step, "specs"), SPEC)
    assert still_frame(session, step) == 90
    assert len(session.document.history) == entries + 1
    session.undo()
    assert still_frame(session, step) == 75


def test_a_still_that_somebody_chose_stays(measured: tuple[Session, str]) -> None:
    session, step = measured
    for at in (session.films.start_of(50), None):
        if at is None:
            session.undo()
            session.do(SetField(("steps", step, "still", "alt"), "The dial"))
        else:
            session.do(SetField(("steps", step, "still", "at"), at))
        before = still_frame(session, step)
        add_requirement(session, ("steps", step, "specs"), SPEC)
        assert still_frame(session, step) == before
        session.undo()


def test_a_proposed_step_that_measures_is_shown_by_its_reading(bench_film: Path) -> None:
    facts = facts_of(bench_film)
    said = {"recording": "bench", "start": Decimal(1), "end": Decimal(5), "reason": "It is said",
            "confidence": Decimal("0.9")}  # fmt: skip
    steps = [
        Proposal(name, "step", "Look.", "look", **said)  # type: ignore[arg-type]
        for name in ("measures", "looks")
    ]
    number = Proposal("number", "measurement", "3", "three", steps=("measures",), **said)  # type: ignore[arg-type]
    shown = {step.id: ShownBy(facts.boundary(10), facts.boundary(140)) for step in steps}
    film = OpenFilm("bench", bench_film, facts=facts, analyses=Seen())  # type: ignore[arg-type]
    found = with_readings(Sheet((*steps, number), {}, shown), [film])
    assert found.shown["measures"].still == facts.boundary(90)
    assert found.shown["looks"].still is None
    unread = OpenFilm("bench", bench_film)
    assert with_readings(Sheet((*steps, number), {}, shown), [unread]).shown == shown


def test_a_still_left_outside_goes_to_the_reading(measured: tuple[Session, str]) -> None:
    session, step = measured
    session.do(SetField(("steps", step, "still", "at"), session.films.start_of(20)))
    session.do(SetField(("steps", step, "specs"), [SPEC | {"id": "runout"}]))
    move_end(session, step, "from", Decimal(session.films.start_of(60)))
    assert still_frame(session, step) == 90
