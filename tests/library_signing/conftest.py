"""Libraries for the tests: one is made for all, each test works on a copy."""

from __future__ import annotations

from pathlib import Path

import pytest

from .bench_shop import BenchShop, copy, make


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[BenchShop, BenchShop]:
    """A library with a draft, and one with an approved procedure; only to be copied."""
    folder = tmp_path_factory.mktemp("shops")
    return make(folder / "draft", approved=False), make(folder / "approved")


@pytest.fixture
def draft(made: tuple[BenchShop, BenchShop], tmp_path: Path) -> BenchShop:
    return copy(made[0], tmp_path / "shop")


@pytest.fixture
def approved(made: tuple[BenchShop, BenchShop], tmp_path: Path) -> BenchShop:
    return copy(made[1], tmp_path / "shop")
