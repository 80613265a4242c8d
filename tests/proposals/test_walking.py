"""Proposing says how far it is, and stops when it is asked to."""

from __future__ import annotations

import pytest

from author.errors import Cancelled
from author.progress import Cancel
from author.proposals.claims import propose
from author.proposals.draft.gaps import questions
from author.proposals.speech.spoken import Sentence
from author.proposals.speech.walking import Walked
from proposals.said import told

TALK = (
    "Undo the four M8 bolts and lift the cover off.",
    "Check the gap is 0.2 to 0.3 millimetres.",
    "Careful, the spring is loaded.",
    "Fit the new gasket.",
)


class Told:
    def __init__(self, cancel: Cancel | None = None, at: str = "") -> None:
        self.reports: list[tuple[str, int, int | None]] = []
        self._cancel, self._at = cancel, at

    def report(self, job: str, done: int, total: int | None) -> None:
        self.reports.append((job, done, total))
        if self._cancel is not None and job == self._at:
            self._cancel.request()


def talk(times: int) -> tuple[Sentence, ...]:
    return told(*(TALK * times))


def test_how_far_it_is_changes_nothing_and_is_told_stage_by_stage() -> None:
    heard, sentences = Told(), talk(30)
    assert propose(Walked(sentences, heard, Cancel())) == propose(sentences)
    jobs = list(dict.fromkeys(job for job, _, _ in heard.reports))
    assert jobs[0] == "finding what is told"
    assert "finding steps" in jobs
    assert all(0 <= done <= total == len(sentences) for _, done, total in heard.reports)


@pytest.mark.parametrize(
    "stage", ["finding what is told", "finding numbers", "finding orders", "finding reasons"]
)
def test_it_stops_within_a_stage(stage: str) -> None:
    cancel = Cancel()
    heard = Told(cancel, stage)
    with pytest.raises(Cancelled):
        propose(Walked(talk(60), heard, cancel))
    assert heard.reports[-1][0] == stage


def test_nothing_said_is_told_and_proposes_nothing() -> None:
    heard = Told()
    assert propose(Walked((), heard, Cancel())).proposals == ()
    assert heard.reports[0] == ("finding what is told", 0, 0)


def test_nothing_is_read_once_it_was_stopped() -> None:
    cancel = Cancel()
    cancel.request()
    with pytest.raises(Cancelled):
        Walked(talk(1), Told(), cancel).to("numbers")


def test_it_looks_whenever_a_hundred_were_read() -> None:
    cancel = Cancel()
    walked = Walked(talk(100), Told(), cancel)
    read = 0
    with pytest.raises(Cancelled):
        for _ in walked:
            read += 1
            if read == 250:
                cancel.request()
    assert 250 <= read <= 350


def test_questions_take_no_look_at_every_proposal_for_every_step(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Twice the talk is about twice the looks: a step is not held against all that was said."""

    def looks(times: int) -> int:
        count = 0

        class Counted(tuple):  # type: ignore[type-arg]
            def __iter__(self):  # type: ignore[no-untyped-def]
                nonlocal count
                for one in super().__iter__():
                    count += 1
                    yield one

        found = Counted(propose(talk(times)).proposals)
        count = 0
        assert questions(found)
        return count / len(found)

    assert looks(40) == looks(20)
