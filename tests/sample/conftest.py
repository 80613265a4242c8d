"""The sample procedure, published once for all tests of this folder."""

from __future__ import annotations

from pathlib import Path

import pytest

from author.tasks.checking import CheckReport, check_procedure
from author.tasks.publishing import Published, publish

MEDIA = Path(__file__).resolve().parents[2] / "sample_media"
SAMPLE = MEDIA / "upper-wheel-bearings"


@pytest.fixture(scope="session")
def report() -> CheckReport:
    """The check of the sample procedure."""
    return check_procedure(SAMPLE)


@pytest.fixture(scope="session")
def published(tmp_path_factory: pytest.TempPathFactory) -> Published:
    """All outputs of the sample procedure."""
    result = publish(SAMPLE, tmp_path_factory.mktemp("published") / "demo")
    assert isinstance(result, Published)
    return result
