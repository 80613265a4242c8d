"""Each test keeps its journals apart; property tests are not timed."""

from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")


@pytest.fixture(autouse=True)
def own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "state"
    monkeypatch.setenv("REELWRIGHT_STATE", str(folder))
    return folder
