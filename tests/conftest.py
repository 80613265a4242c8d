"""What every test needs: no screen, and caches apart from the user's own."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


@pytest.fixture(scope="session", autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Give the tests a cache folder of their own, and the programs they start as well."""
    folder = tmp_path_factory.mktemp("cache")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("REELWRIGHT_CACHE", str(folder))
        patch.setenv("REELWRIGHT_LOG", str(folder / "log"))
        patch.setenv("REELWRIGHT_STATE", str(folder / "state"))
        yield folder


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the sample's tests first: theirs is the longest file, and no worker may begin it last."""
    items.sort(key=lambda item: item.path.parent.name != "sample")
