"""A real browser for the work page, from disk and from a plain web server."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Callable, Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

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


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium without a screen; a new context is a user with empty storage."""
    program = next(filter(None, map(shutil.which, PROGRAMS)), None)
    assert program, "no Chromium: tests/run installs it"
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=program, args=list(OPTIONS))
        yield started
        started.close()


class _Silent(SimpleHTTPRequestHandler):
    """A server of the plainest kind: no ranges, so that a film cannot be asked for in parts."""

    def log_message(self, *_: object) -> None:
        pass


@pytest.fixture
def served() -> Iterator[Callable[[Path], str]]:
    """Serve a folder by HTTP and return its address."""
    servers: list[ThreadingHTTPServer] = []

    def serve(folder: Path) -> str:
        handler = partial(_Silent, directory=str(folder))
        server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
        servers.append(server)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        return f"http://127.0.0.1:{server.server_address[1]}"

    yield serve
    for server in servers:
        server.shutdown()
        server.server_close()
