"""Each test keeps its journals apart."""

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "state"
    monkeypatch.setenv("REELWRIGHT_STATE", str(folder))
    return folder
