"""The databases an index may lie in."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest

from author.library.index.address import VARIABLE

from . import postgres


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    """The address of a PostgreSQL server: the one that is told, or one of the tests' own."""
    told = os.environ.get(postgres.VARIABLE)
    if told:
        yield told
        return
    folder = postgres.new_folder()
    address = postgres.start(folder)
    yield address
    postgres.stop(folder)


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def database(request: pytest.FixtureRequest) -> Iterator[str]:
    """Have the indexes of a module's tests in each of the databases, one after the other."""
    name: str = request.param
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(VARIABLE, "sqlite" if name == "sqlite" else request.getfixturevalue("server"))
        yield name
