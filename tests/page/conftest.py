"""A plain web server for the work page."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest


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
