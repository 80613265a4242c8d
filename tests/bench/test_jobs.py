"""Jobs beside the window's thread: whoever closes them has none left."""

from __future__ import annotations

import threading
from typing import Any

from pytestqt.qtbot import QtBot

from author.bench.jobs import JobRunner


class Lingering(JobRunner):
    """A runner on a machine so busy that a job's thread ends long after its answer."""

    def __init__(self) -> None:
        super().__init__()
        self.may_end = threading.Event()

    def _work(self, job: Any, work: Any) -> None:
        super()._work(job, work)
        self.may_end.wait()


def test_closing_waits_for_a_thread_whose_answer_was_taken_already(qtbot: QtBot) -> None:
    runner, taken = Lingering(), []
    runner.run("check", lambda _progress, _cancel: "the answer", taken.append)
    qtbot.waitUntil(lambda: taken == ["the answer"])
    threading.Timer(0.05, runner.may_end.set).start()
    runner.close()
    assert "reelwright-check" not in {thread.name for thread in threading.enumerate()}
