"""Published files: ranges, what is not published, links, paths out, what is too large or odd."""

from __future__ import annotations

import json
import os
import shutil
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import uvicorn
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from author.serve.application import create_app
from author.serve.guards import PAGE_POLICY
from author.serve.procedure_files import WORK_POLICY
from author.serve.published import is_plain
from author.serve.settings import Settings
from author.storage import MANIFEST, file_sha256

from .conftest import CLIP, PAGE, PASSWORD, Desk, Open

BASE = "/procedures/belt-change"
FILM = f"{BASE}/page/clips/01-unplug.mp4"
HASH = "$argon2id$"


@pytest.fixture(scope="module")
def shelf(whole: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """One browser of this machine for the tests that change nothing."""
    folder = Path(shutil.copytree(whole, tmp_path_factory.mktemp("files") / "shop"))
    shutil.move(folder / ".accounts", folder.parent / "accounts")
    app = create_app(folder, Settings())
    client = TestClient(
        app, "http://127.0.0.1:8420", client=("127.0.0.1", 5000), follow_redirects=False
    )
    with client:
        app.state.index.look_now()
        yield Desk(client, folder)


def published(desk: Desk) -> Path:
    return desk.folder / "procedures" / "belt-change" / "published"


def test_a_whole_file(shelf: Desk) -> None:
    answer = shelf.get(FILM)
    assert answer.content == CLIP
    assert answer.headers["content-type"] == "video/mp4"
    assert answer.headers["accept-ranges"] == "bytes"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["cache-control"] == "private, no-cache"
    head = shelf.client.head(FILM)
    assert (head.status_code, head.content) == (200, b"")
    assert head.headers["content-length"] == str(len(CLIP))


# Source of the cases: RFC 9110, 14.1.2 and 14.2.
@pytest.mark.parametrize(
    ("asked", "start", "end"),
    [
        ("bytes=0-0", 0, 1),
        ("bytes=0-", 0, len(CLIP)),
        ("bytes=100-199", 100, 200),
        ("bytes=2000-999999", 2000, len(CLIP)),
        ("bytes=-1", len(CLIP) - 1, len(CLIP)),
        ("bytes=-999999", 0, len(CLIP)),
    ],
)
def test_a_part_of_a_file(shelf: Desk, asked: str, start: int, end: int) -> None:
    answer = shelf.get(FILM, Range=asked)
    assert answer.status_code == 206
    assert answer.content == CLIP[start:end]
    assert answer.headers["content-range"] == f"bytes {start}-{end - 1}/{len(CLIP)}"
    assert answer.headers["content-length"] == str(end - start)


@pytest.mark.parametrize("asked", [f"bytes={len(CLIP)}-", "bytes=99999999-", "bytes=-0"])
def test_a_part_the_file_does_not_have(shelf: Desk, asked: str) -> None:
    answer = shelf.get(FILM, Range=asked)
    assert answer.status_code == 416
    assert answer.headers["content-range"] == f"bytes */{len(CLIP)}"


@pytest.mark.parametrize(
    "asked",
    ["bytes=5-1", "bytes=a-b", "bytes=0-1,5-6", "lines=0-5", "bytes=--1", "bytes=", "bytes=1 - 2",
     "bytes=" + "0-0," * 5000, "bytes=" + "9" * 400 + "-"],
)  # fmt: skip
def test_a_range_that_is_none_gives_the_whole(shelf: Desk, asked: str) -> None:
    answer = shelf.get(FILM, Range=asked)
    assert (answer.status_code, len(answer.content)) == (200, len(CLIP))


def test_what_has_not_changed_is_not_sent_again(shelf: Desk) -> None:
    tag = shelf.get(FILM).headers["etag"]
    assert shelf.get(FILM, If_None_Match=tag).status_code == 304
    assert shelf.get(FILM, If_None_Match=f'"other", W/{tag}').status_code == 304
    assert shelf.get(FILM, If_None_Match='"other"').status_code == 200
    assert shelf.get(FILM, Range="bytes=0-9", If_Range=tag).status_code == 206
    assert shelf.get(FILM, Range="bytes=0-9", If_Range='"other"').status_code == 200


def test_the_work_page_learns_where_records_go(reader: Desk) -> None:
    assert reader.get(f"{BASE}/page").headers["location"].endswith("/page/index.html")
    answer = reader.get(f"{BASE}/page/index.html")
    standing = "{&#34;closed&#34;: null, &#34;held&#34;: [], &#34;unfit&#34;: &#34;&#34;}"
    place = (
        f'content="{BASE}/records" data-token="{reader.token()}" '
        f'data-ask="{BASE}/standing?revision=2" data-person="R. Reader" data-standing="{standing}"'
    )
    script = '<script src="/static/bench.js"></script>'
    meta = f'<meta name="shop-library" {place}>\n{script}\n</head>'
    back = f'<body>\n  <p class="note live"><a href="{BASE}">This procedure in the library</a></p>'
    assert answer.text == PAGE.decode().replace("</head>", meta).replace("<body>", back)
    here = "http://127.0.0.1:8420"
    policy = WORK_POLICY.format(
        records=f"{here}{BASE}/records",
        session=f"{here}/session",
        standing=f"{here}{BASE}/standing",
        clips=f"{here}{BASE}/page/clips/",
    )
    assert answer.headers["content-security-policy"] == policy
    assert "'self'" not in policy.partition("connect-src")[2]
    assert answer.headers["cache-control"] == "no-store"
    assert reader.get(f"{BASE}/page/").text == answer.text
    script = reader.get(f"{BASE}/page/page.js")
    assert script.headers["content-type"].startswith("text/javascript")


def test_pages_run_nothing_and_stand_in_no_frame(shelf: Desk) -> None:
    for path in ("/", BASE, "/nowhere", f"{BASE}/before.svg", f"{BASE}/files/nothing.pdf"):
        headers = shelf.get(path).headers
        assert headers["content-security-policy"] == PAGE_POLICY
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "same-origin"
        assert headers["cache-control"] == "no-store"
    assert "script" not in PAGE_POLICY
    assert "'unsafe" not in PAGE_POLICY + WORK_POLICY


OUT = [
    "../procedure.yaml",
    "..%2fprocedure.yaml",
    "%2e%2e/%2e%2e/%2e%2e/.accounts/accounts.json",
    "..%5c..%5c..%5c.accounts%5caccounts.json",
    "....//....//.accounts/accounts.json",
    "%252e%252e/procedure.yaml",
    "page/../../../../.accounts/accounts.json",
    "page/%2e%2e/procedure.pdf",
    "/etc/passwd",
    "//etc/passwd",
    "%2fetc%2fpasswd",
    "publication.json",
    "../signatures/0001-authored.json",
    "signatures/0001-authored.json",
    ".scratch/x",
    "page/index.html%00.mp4",
    "page",
    "page/",
    "procedure.pdf/",
    "PROCEDURE.PDF",
    "procedure.pdf%20",
    "C:/windows/win.ini",
    "procedure.pdf::$DATA",
    "\u2024\u2024/procedure.yaml",
    "x" * 3000,
]


@pytest.mark.parametrize("path", OUT)
@pytest.mark.parametrize("route", ["files", "page"])
def test_no_path_leads_out(shelf: Desk, route: str, path: str) -> None:
    answer = shelf.get(f"{BASE}/{route}/{path}")
    assert answer.status_code in {200, 404}
    if answer.status_code == 200:  # the client itself has taken the dots out
        assert answer.content in {PAGE, b"a print " * 8} or b"shop-library" in answer.content
    assert HASH not in answer.text


@pytest.mark.parametrize(
    "name",
    ["..", ".", "%2e%2e", ".accounts", ".index", "belt-change%2f..", "BELT-CHANGE", "a/b",
     "x" * 500, "belt-change%00", "-", ".hidden"],
)  # fmt: skip
@pytest.mark.parametrize("rest", ["", "/files/procedure.pdf", "/order", "/revisions/1"])
def test_no_name_of_a_procedure_leads_out(shelf: Desk, name: str, rest: str) -> None:
    answer = shelf.get(f"/procedures/{name}{rest}")
    assert answer.status_code in {200, 404}
    assert HASH not in answer.text
    if answer.status_code == 200:
        assert "Find a procedure" in answer.text  # the client has taken the dots out


def list_file(desk: Desk, name: str) -> None:
    """Let the manifest list a file, as somebody would who can write to the share."""
    manifest = published(desk) / MANIFEST
    plain = json.loads(manifest.read_text(encoding="utf-8"))
    target = published(desk) / name
    plain["files"][name] = file_sha256(target) if target.is_file() else "0" * 64
    manifest.write_text(json.dumps(plain), encoding="utf-8")


@pytest.mark.parametrize(
    "name", ["../../../.accounts/accounts.json", "../procedure.yaml", ".hidden/x.txt", "page/.x"]
)
def test_a_manifest_that_lists_a_way_out_gives_nothing(shop: Path, reader: Desk, name: str) -> None:
    (published(reader) / ".hidden").mkdir()
    (published(reader) / ".hidden" / "x.txt").write_text("x", encoding="ascii")
    (published(reader) / "page" / ".x").write_text("x", encoding="ascii")
    list_file(reader, name)
    raw = name.replace("../", "%2e%2e%2f")
    assert reader.get(f"{BASE}/files/{raw}").status_code == 404


def test_links_are_not_followed(reader: Desk) -> None:
    inside = published(reader)
    (inside / "link.txt").symlink_to(reader.folder / ".accounts" / "accounts.json")
    (inside / "away").symlink_to(reader.folder / ".accounts", target_is_directory=True)
    os.mkfifo(inside / "pipe.txt")
    for name in ("link.txt", "away/accounts.json", "pipe.txt"):
        list_file(reader, name)
        assert reader.get(f"{BASE}/files/{name}").status_code == 404
    (inside / "pipe.txt").unlink()
    outside = reader.folder.parent / "outside"
    shutil.copytree(reader.folder / "procedures" / "belt-change", outside / "belt-change")
    (reader.folder / "procedures" / "linked").symlink_to(outside / "belt-change")
    for rest in ("", "/files/procedure.pdf", "/order", "/before.svg"):
        assert reader.get(f"/procedures/linked{rest}").status_code == 404
    shutil.rmtree(inside)
    inside.symlink_to(outside / "belt-change" / "published", target_is_directory=True)
    assert reader.get(f"{BASE}/files/procedure.pdf").status_code == 404


def test_a_file_that_was_changed_is_not_shown(reader: Desk) -> None:
    assert reader.get(FILM).status_code == 200
    film = published(reader) / "page" / "clips" / "01-unplug.mp4"
    film.write_bytes(CLIP[::-1])
    answer = reader.get(FILM)
    assert answer.status_code == 400
    assert "not what was published" in answer.text
    film.unlink()
    assert reader.get(FILM).status_code == 404


def test_what_is_published_of_another_procedure_is_not_shown(reader: Desk) -> None:
    shutil.copytree(published(reader), reader.folder / "procedures" / "lock-out" / "published")
    assert reader.get("/procedures/lock-out/files/procedure.pdf").status_code == 404


@given(st.text(max_size=40))
@settings(deadline=None, max_examples=200)
def test_a_plain_name_stays_below_its_folder(name: str) -> None:
    if is_plain(name):
        base = Path("/base/folder")
        found = Path(os.path.normpath(base / name))
        assert found.is_relative_to(base)
        assert found != base


@given(st.binary(max_size=60))
@settings(
    deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_no_address_makes_it_fail(shelf: Desk, data: bytes) -> None:
    path = "".join(f"%{byte:02x}" for byte in data)
    for before in ("/", f"{BASE}/files/", "/procedures/", "/?q=", "/where-used?what=", "/?spec="):
        assert shelf.get(before + path).status_code in {200, 303, 308, 400, 404}


def test_too_much_is_refused(reader: Desk) -> None:
    token = reader.token()
    form = {"token": token, "deed": "x" * 70_000}
    assert reader.client.post("/sign-out", data=form).status_code == 413

    def endless() -> Iterator[bytes]:
        yield f"token={token}&x=".encode()
        for _ in range(200):
            yield b"x" * 1000

    kind = {"Content-Type": "application/x-www-form-urlencoded"}
    assert reader.client.post("/sign-out", content=endless(), headers=kind).status_code == 413
    for length in ("-5", "1e9", "x", ""):
        head = {**kind, "Content-Length": length}
        assert reader.client.post("/sign-out", content=b"", headers=head).status_code in {
            400,
            403,
            413,
        }
    assert reader.get("/").status_code == 200


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("multipart/form-data", b"no boundary"),
        ("multipart/form-data; boundary=x", b"--x\r\nbroken"),
        (
            "multipart/form-data; boundary=x",
            b"--x\r\nContent-Disposition: form-data\r\n\r\n1\r\n--x--",
        ),
        ("application/x-www-form-urlencoded", b"token=%ff%fe&&&==%"),
        ("application/x-www-form-urlencoded", b"&".join(b"a=1" for _ in range(5000))),
        ("application/json", b"{"),
        ("\xff", b"\x00"),
    ],
)
def test_a_form_that_is_none_is_refused(reader: Desk, kind: str, body: bytes) -> None:
    headers = {"Content-Type": kind.encode("latin-1")}
    answer = reader.client.post("/sign-out", content=body, headers=headers)
    assert answer.status_code in {400, 403}
    assert reader.get("/").status_code == 200


@pytest.fixture
def port(shop: Path) -> Iterator[int]:
    """The server itself behind a socket."""
    app = create_app(shop, Settings(body_time=0.4))
    listening = socket.create_server(("127.0.0.1", 0))
    config = uvicorn.Config(app, http="h11", ws="none", log_config=None, proxy_headers=False)
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield listening.getsockname()[1]
    server.should_exit = True
    thread.join()
    listening.close()


def sent(port: int, data: bytes) -> bytes:
    with socket.create_connection(("127.0.0.1", port), timeout=10) as line:
        line.sendall(data)
        got = b""
        while chunk := line.recv(65536):
            got += chunk
            if b"\r\n\r\n" in got and b"Connection: close" not in data:
                break
        return got


@pytest.mark.parametrize(
    "head",
    [
        b"GET / HTTP/1.1\r\nHost: a b\r\n",
        b"GET / HTTP/1.1\r\nHost: evil.test/x\r\n",
        b"GET / HTTP/1.1\r\nHost: a@b\r\n",
        b"GET / HTTP/1.0\r\n",
        b"GET /\xff HTTP/1.1\r\nHost: a\r\n",
        b"NONSENSE\r\n",
        b"GET / HTTP/1.1\r\nHost: a\r\nX: " + b"y" * 200_000 + b"\r\n",
        b"POST /sign-in HTTP/1.1\r\nHost: a\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n",
    ],
)
def test_a_request_that_is_none_is_refused(port: int, head: bytes) -> None:
    try:
        answer = sent(port, head + b"Connection: close\r\n\r\n")
    except ConnectionError:
        answer = b"HTTP/1.1 400"  # shut while the rest of it came
    assert answer.split(b"\r\n")[0].split()[1] in {b"400", b"403", b"431"}


def test_a_body_that_does_not_come_is_not_waited_for(port: int) -> None:
    head = (
        b"POST /sign-in HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 1000\r\n"
        b"Content-Type: application/x-www-form-urlencoded\r\n\r\ntoken="
    )
    assert sent(port, head).startswith(b"HTTP/1.1 408")


def test_no_answer_shows_a_trace(opened: Open, monkeypatch: pytest.MonkeyPatch) -> None:
    desk = opened()
    desk.sign_in("R. Reader", PASSWORD)

    def broken(*_: object) -> None:
        raise ZeroDivisionError(str(desk.folder))

    monkeypatch.setattr("author.serve.find_pages.where_used", broken)
    answer = desk.get("/where-used?what=x")
    assert answer.status_code == 500
    assert "fault of its own" in answer.text
    assert str(desk.folder) not in answer.text
    assert "Traceback" not in answer.text
