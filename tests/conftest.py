"""What every test needs: no screen, and caches apart from the user's own."""

import compileall
import gc
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from recording.warm import warm_decoders

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

PROGRAM = Path(__file__).resolve().parents[1] / "author"
# Folders whose tests take longest, the longest first; the rest is short and fills the end.
LONG_FIRST = ("sample", "command", "recording", "page", "bench", "publish")


def pytest_configure(config: pytest.Config) -> None:
    """Compile the program once: else, where Python is told to write no bytecode, each of the
    thousand processes that the tests start would do so anew."""
    if not hasattr(config, "workerinput"):
        compileall.compile_dir(PROGRAM, quiet=2, workers=0)


@pytest.fixture(scope="session", autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Give the tests a cache folder of their own, and the programs they start as well."""
    folder = tmp_path_factory.mktemp("cache")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("REELWRIGHT_CACHE", str(folder))
        patch.setenv("REELWRIGHT_LOG", str(folder / "log"))
        patch.setenv("REELWRIGHT_STATE", str(folder / "state"))
        patch.setenv("REELWRIGHT_KEYS", str(folder / "keys"))
        yield folder


@pytest.fixture(scope="session", autouse=True)
def decoders_begin_warm(own_cache: Path) -> Iterator[None]:
    """Have decoders begin with the media libraries loaded."""
    with warm_decoders():
        yield


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the longest first: no worker may begin one when the others are nearly done."""
    rank = {name: place for place, name in enumerate(LONG_FIRST)}
    items.sort(key=lambda item: rank.get(item.path.parent.name, len(rank)))


def pytest_collection_finish() -> None:
    """What was loaded by now stays: the searches for what nobody refers to any more, of which
    the tests of the window make many, need not go over it."""
    gc.collect()
    gc.freeze()


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Give the workers whole files in the order above, so that what a file makes is made once."""
    from xdist.scheduler import LoadFileScheduling

    if config.getvalue("dist") != "load":
        return None  # asked for otherwise
    config.option.loadscopereorder = False
    return LoadFileScheduling(config, log)
