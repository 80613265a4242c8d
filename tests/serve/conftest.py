"""A library with people, a signed procedure and its published files, and browsers at it."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from html import unescape
from pathlib import Path
from typing import Any

import httpx2 as httpx
import pytest
from argon2 import PasswordHasher
from library.shops import part, procedure, put
from library_signing.bench_shop import ID, BenchShop, make
from starlette.testclient import TestClient

from author.library.shop import Role, open_shop
from author.library.signing import accounts
from author.serve.application import create_app
from author.serve.settings import Settings
from author.storage import new_generation

PASSWORD = "plane spruce kettle nine"  # noqa: S105 - of invented people
PEOPLE: dict[str, tuple[Role, ...]] = {
    "K. Keeper": ("keeper",),
    "R. Reader": ("reader",),
    "A. Author": ("author",),
    "V. Reviewer": ("reviewer",),
}
PAGE = (
    b"<!doctype html>\n<html><head>\n<title>Demo</title>\n</head>\n<body>demo data"
    b'<button data-act="beginJob">Begin the job</button></body></html>\n'
)
CLIP = bytes(range(256)) * 8
_TOKEN = re.compile(r'name="token" value="([^"]+)"')


@dataclass
class Desk:
    """A browser at the server.

    Attributes:
        client: what it sends with.
        folder: the library.
    """

    client: TestClient
    folder: Path

    def get(self, path: str, **headers: str) -> httpx.Response:
        """Ask for a page as a browser does."""
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        return self.client.get(path, headers={"Accept": "text/html"} | named)

    def token(self) -> str:
        """Return the token of this browser's forms."""
        told = self.client.get("/session")
        if told.status_code == 200:
            return str(told.json()["token"])
        found = _TOKEN.search(self.get("/sign-in").text)
        assert found
        return unescape(found[1])

    def post(self, path: str, data: dict[str, Any] | None = None, **more: Any) -> httpx.Response:
        """Send a form of this browser."""
        fields = {"token": self.token()} | (data or {})
        return self.client.post(path, data=fields, headers={"Accept": "text/html"}, **more)

    def sign_in(self, name: str, password: str = PASSWORD, to: str = "/") -> httpx.Response:
        """Fill in the form."""
        return self.post("/sign-in", {"name": name, "password": password, "to": to})


Open = Callable[..., Desk]


def publish(shop: BenchShop) -> None:
    """Publish a page, a clip and a print beside the procedure."""
    with new_generation(shop.procedure / "published") as generation:
        for name in ("stills/01-unplug.jpg", "page/stills/01-unplug.jpg"):
            generation.write(name, b"a still " * 8)
        for name in ("clips/01-unplug.mp4", "page/clips/01-unplug.mp4"):
            generation.write(name, CLIP)
        generation.write("page/index.html", PAGE)
        generation.write("page/page.js", b'"use strict";\n')
        generation.write("procedure.pdf", b"a print " * 8)
        generation.commit({"procedure": ID, "revision": 2, "state": "approved", "draft": False})


@pytest.fixture(scope="session")
def real_hasher() -> PasswordHasher:
    """What passwords are hashed with outside the tests."""
    return accounts._hasher.__wrapped__()


@pytest.fixture(scope="session", autouse=True)
def cheap_hashes(real_hasher: PasswordHasher) -> Iterator[None]:
    """Let a hash cost next to nothing: a hundred of them are made here."""
    cheap = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(accounts, "_hasher", lambda: cheap)
        accounts._nobody.cache_clear()
        yield
    accounts._nobody.cache_clear()


@pytest.fixture(scope="session")
def whole(cheap_hashes: None, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A library made once; only to be copied."""
    folder = tmp_path_factory.mktemp("served") / "shop"
    shop = make(folder, approved=False)
    publish(shop)
    shop.approve()
    safe = {"id": "safe", "what": "Make safe", "procedure": {"id": "lock-out"}}
    clip = part("Guard clip", "BW-207")
    put(folder / "procedures" / "lock-out", procedure("lock-out", "Lock out the drill"))
    put(
        folder / "procedures" / "guard-clips",
        procedure("guard-clips", "Renew the guard clips", parts=[clip], prerequisites=[safe]),
    )
    opened = open_shop(folder)
    for name, roles in PEOPLE.items():
        accounts.add(opened, name, roles, PASSWORD)
    return folder


@pytest.fixture
def shop(whole: Path, tmp_path: Path) -> Path:
    """A library with accounts."""
    return Path(shutil.copytree(whole, tmp_path / "shop"))


@pytest.fixture
def bare(shop: Path) -> Path:
    """A library without accounts."""
    shutil.rmtree(shop / ".accounts")
    return shop


@pytest.fixture
def opened(shop: Path) -> Iterator[Open]:
    """Open the library with other settings; each call is a server with one browser at it."""
    with ExitStack() as stack:

        def start(
            folder: Path = shop,
            *,
            base: str = "http://127.0.0.1:8420",
            client: tuple[str, int] = ("127.0.0.1", 5000),
            **settings: Any,
        ) -> Desk:
            app = create_app(folder, Settings(**{"look_every": 0.1, **settings}))
            desk = TestClient(app, base, client=client, follow_redirects=False)
            begun = stack.enter_context(desk)
            app.state.index.look_now()
            return Desk(begun, folder)

        yield start


@pytest.fixture
def desk(opened: Open) -> Desk:
    """A browser at a library with accounts, nobody signed in."""
    return opened()


@pytest.fixture
def keeper(desk: Desk) -> Desk:
    """A browser at which the keeper has signed in."""
    assert desk.sign_in("K. Keeper").status_code == 303
    return desk


@pytest.fixture
def reader(desk: Desk) -> Desk:
    """A browser at which a reader has signed in."""
    assert desk.sign_in("R. Reader").status_code == 303
    return desk


@pytest.fixture
def here(bare: Path, opened: Open) -> Desk:
    """A browser at this machine, at a library without accounts."""
    return opened(bare)
