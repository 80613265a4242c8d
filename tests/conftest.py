"""What every test needs: no screen, and caches apart from the user's own."""

import compileall
import gc
import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import HealthCheck, settings
from recording.warm import warm_decoders

if TYPE_CHECKING:
    from playwright.sync_api import Browser

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
# Property tests are not timed: a slow machine is not a fault.
settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")

TESTS = Path(__file__).resolve().parent
PROGRAM = TESTS.parent / "author"
# Folders whose tests take longest, the longest first; the rest is short and fills the end.
LONG_FIRST = (
    "sample", "command", "recording", "page", "bench", "library", "serve", "publish", "proposals",
)  # fmt: skip


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
        patch.delenv("REELWRIGHT_INDEX", raising=False)
        yield folder


@pytest.fixture(scope="session", autouse=True)
def decoders_begin_warm(own_cache: Path) -> Iterator[None]:
    """Have decoders begin with the media libraries loaded."""
    with warm_decoders():
        yield


def pytest_collection(session: pytest.Session) -> None:
    """Load a share of the test modules on each worker: rewriting what they assert takes longest
    of all before the first test, and what one worker has rewritten the others need not."""
    given = getattr(session.config, "workerinput", None)
    if given is None or sys.dont_write_bytecode:
        return
    folders = [Path(one) for one in session.config.args if Path(one).is_dir()]
    files = sorted(file.resolve() for one in folders for file in one.rglob("test_*.py"))
    for file in files[int(given["workerid"].removeprefix("gw")) :: given["workercount"]]:
        with suppress(Exception):  # told when it is collected
            import_module(".".join(file.relative_to(TESTS).with_suffix("").parts))


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


PROGRAMS = ("chromium", "google-chrome", "chrome")
# Without these it looks for its maker's servers at every start.
OPTIONS = (
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
# Two pages of Chromium's own, for what is typed into an address bar that nobody sees, are loaded
# with each window and cost three times what the work page does.
ADDRESS_BAR = ("WebUIOmniboxPopup", "WebUIOmniboxAimPopup", "WebUIOmniboxFullPopup")
# Only the last list of this kind counts, so that those which Playwright gives are told again.
OF_PLAYWRIGHT = (
    "AimEnabled",
    "AvoidCorsURLLoaderRestartOnRedirect",
    "AvoidUnnecessaryBeforeUnloadCheckSync",
    "DestroyProfileOnBrowserClose",
    "HttpsFirstBalancedModeAutoEnable",
    "HttpsUpgrades",
    "LensOverlay",
    "MediaRouter",
    "NetworkTimeServiceQuerying",
    "OptimizationHints",
    "PaintHolding",
    "PreconnectToSearch",
    "ThirdPartyStoragePartitioning",
)
WITHOUT = f"--disable-features={','.join(ADDRESS_BAR + OF_PLAYWRIGHT)}"


@pytest.fixture(scope="session")
def browser() -> Iterator["Browser"]:
    """Chromium without a screen; a new context is a user with empty storage."""
    from playwright.sync_api import expect, sync_playwright

    program = next(filter(None, map(shutil.which, PROGRAMS)), None)
    assert program, "no Chromium: tests/run installs it"
    expect.set_options(timeout=60_000)  # what an idle machine does at once takes a loaded one long
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=program, args=[*OPTIONS, WITHOUT])
        yield started
        started.close()
