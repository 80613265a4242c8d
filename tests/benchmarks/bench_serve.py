"""Times the server under readers: pages of a generated library, over loopback.

Run by hand: ``python tests/benchmarks/bench_serve.py [--readers 50] [--seconds 60]
[--pause 1.0] [--wait 0] [--procedures 1000] [--folder FOLDER]``; never part of the tests. The
server
is a process of its own with accounts; every reader signs in before the time is taken, keeps
one connection, and goes from page to page: the first page, words, ranges and filters, a
procedure, where a part is used, what to order, a part of a published clip. ``--pause`` is
how long somebody looks at a page before the next (half to one and a half times that, by
chance); 0 lets each ask again at once, which no person does. ``--wait`` is how long everybody
waits before the time is taken, while the server makes pages ahead; without it the time begins
with a server that has made none. The processor's time is that of all processes of the server.

Bar, on two cores with the readers on the same ones: 95 of 100 pages in 150 ms, no error.
"""

from __future__ import annotations

import argparse
import asyncio
import itertools
import os
import random
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections import Counter
from contextlib import suppress
from html import unescape
from pathlib import Path
from urllib.parse import quote, urlencode

import bench_library
import psutil

from author.contract.procedure_file import PROCEDURE_FILE
from author.library.shop import Shop, new_shop, open_shop
from author.library.signing import accounts
from author.storage import new_generation

PASSWORD = "plane spruce kettle nine"  # noqa: S105 - of invented people
NAMES = tuple(f"Reader {number}" for number in range(5))
CLIP = bytes(range(256)) * 4096
PAGE_BYTES = b"<!doctype html><html><head></head><body>" + b"demo " * 40_000 + b"</body></html>"
WITH_FILES = 20
DEEP = 6
SLOWEST = 60.0
_TOKEN = re.compile(rb'name="token" value="([^"]+)"')
_HOLE = re.compile(r"@([a-z]+)([0-9]*)@")
_SERVE = (
    "import sys; from author.cli import running; sys.exit(running.run(['serve', *sys.argv[1:]]))"
)


def library(folder: Path, count: int) -> Shop:
    """Return a library of invented procedures, some with published files."""
    if (folder / "library.yaml").exists():
        return open_shop(folder)
    shop = new_shop(folder, "Demo shop")
    template = bench_library._template()
    for number in range(count):
        values = bench_library._values(number)
        first = bench_library._id(number - number % DEEP)
        text = _HOLE.sub(
            lambda hole: first if hole[1] == "before" else values(hole[1], hole[2]),  # noqa: B023
            template,
        )
        place = shop.place_of(bench_library._id(number))
        place.mkdir()
        (place / PROCEDURE_FILE).write_text(text, encoding="utf-8")
        if number < WITH_FILES:
            publish(place)
    for name in NAMES:
        accounts.add(shop, name, ("keeper",), PASSWORD)
    return shop


def publish(place: Path) -> None:
    """Put a page and a clip beside a procedure."""
    with new_generation(place / "published") as generation:
        generation.write("page/index.html", PAGE_BYTES)
        generation.write("page/clips/01-step.mp4", CLIP)
        generation.commit({"procedure": place.name, "revision": 1, "state": "draft"})


class Reader:
    """One browser with one connection."""

    def __init__(self, host: str, port: int) -> None:
        self.host, self.port = host, port
        self.cookies: dict[str, str] = {}
        self.line: tuple[asyncio.StreamReader, asyncio.StreamWriter] | None = None

    async def ask(
        self, method: str, path: str, body: bytes = b"", extra: str = ""
    ) -> tuple[int, bytes]:
        """Send a request; return status and body."""
        if self.line is None:
            self.line = await asyncio.open_connection(self.host, self.port)
        reader, writer = self.line
        held = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        head = f"{method} {path} HTTP/1.1\r\nHost: {self.host}:{self.port}\r\nAccept: text/html\r\n"
        head += f"Cookie: {held}\r\n" if held else ""
        if body:
            head += "Content-Type: application/x-www-form-urlencoded\r\n"
            head += f"Content-Length: {len(body)}\r\n"
        writer.write(f"{head}{extra}\r\n".encode() + body)
        await writer.drain()
        lines = (await reader.readuntil(b"\r\n\r\n")).decode("latin-1").split("\r\n")
        status, length, closes = int(lines[0].split()[1]), 0, False
        for line in lines[1:]:
            name, _, value = line.partition(": ")
            if name.lower() == "content-length":
                length = int(value)
            elif name.lower() == "set-cookie":
                pair, _, _ = value.partition(";")
                self.cookies[pair.partition("=")[0]] = pair.partition("=")[2]
            elif name.lower() == "connection" and value.lower() == "close":
                closes = True
        data = await reader.readexactly(length)
        if closes:
            writer.close()
            self.line = None
        return status, data

    async def get(self, path: str, extra: str) -> tuple[int, bytes]:
        """Ask for a page; where the server has let go of an idle connection, on a new one."""
        was_open = self.line is not None
        try:
            return await self.ask("GET", path, extra=extra)
        except asyncio.IncompleteReadError as error:
            self.line = None
            if not was_open or error.partial:
                raise
            return await self.ask("GET", path, extra=extra)

    async def sign_in(self, name: str) -> None:
        """Fill in the form."""
        _, form = await self.ask("GET", "/sign-in")
        found = _TOKEN.search(form)
        assert found
        fields = {"token": unescape(found[1].decode()), "name": name, "password": PASSWORD}
        status, _ = await self.ask("POST", "/sign-in", urlencode({**fields, "to": "/"}).encode())
        assert status == 303, status


def pages(count: int, chance: random.Random) -> tuple[str, str, str]:
    """Return what a reader asks for next: its kind, the path, more headers."""
    name = bench_library._id(chance.randrange(count))
    filed = bench_library._id(chance.randrange(min(count, WITH_FILES)))
    kind = chance.choices(
        ("first", "find", "procedure", "used", "order", "clip", "page"), (1, 6, 7, 1, 1, 2, 1)
    )[0]
    if kind == "first":
        return kind, "/", ""
    if kind == "find":
        return kind, f"/?q={quote(chance.choice(WORDS))}", ""
    if kind == "procedure":
        return kind, f"/procedures/{name}", ""
    if kind == "used":
        return kind, f"/where-used?what={quote(chance.choice(bench_library.THINGS))}", ""
    if kind == "order":
        return kind, f"/procedures/{name}/order", ""
    if kind == "clip":
        start = chance.randrange(0, len(CLIP) - 300_000)
        path = f"/procedures/{filed}/page/clips/01-step.mp4"
        return kind, path, f"Range: bytes={start}-{start + 262_143}\r\n"
    return kind, f"/procedures/{filed}/page/index.html?all-the-same=yes", ""


WORDS: list[str] = []


async def read(
    reader: Reader, number: int, count: int, until: float, pause: float
) -> list[tuple[str, float, int]]:
    """Go from page to page till the end; return kind, seconds and status of each."""
    chance = random.Random(number)
    taken = []
    await asyncio.sleep(chance.random() * max(pause, 0.2))
    while time.perf_counter() < until:
        kind, path, extra = pages(count, chance)
        began = time.perf_counter()
        try:
            status, _ = await asyncio.wait_for(reader.get(path, extra), SLOWEST)
        except (OSError, asyncio.IncompleteReadError, TimeoutError) as error:
            sys.stderr.write(f"{kind} {path}: {error!r}\n")
            status, reader.line = 0, None
        taken.append((kind, time.perf_counter() - began, status))
        if pause:
            await asyncio.sleep(pause * (0.5 + chance.random()))
    return taken


async def measure(
    address: str, server: psutil.Process, options: argparse.Namespace
) -> tuple[list[tuple[str, float, int]], float]:
    """Let all readers in, then let them read; return what they got, and the processor's time."""
    host, port = address.removeprefix("http://").strip("/").split(":")
    readers = [Reader(host, int(port)) for _ in range(options.readers)]
    for reader, name in zip(readers, itertools.cycle(NAMES), strict=False):
        await reader.sign_in(name)
    await asyncio.sleep(options.wait)
    used = processor(server)
    until = time.perf_counter() + options.seconds
    jobs = (
        read(reader, number, options.procedures, until, options.pause)
        for number, reader in enumerate(readers)
    )
    taken = [one for some in await asyncio.gather(*jobs) for one in some]
    return taken, processor(server) - used


def processor(server: psutil.Process) -> float:
    """Return the seconds of processor time of the server and of all processes it began."""
    times = server.cpu_times()
    used = times.user + times.system + times.children_user + times.children_system
    for child in server.children(recursive=True):
        with suppress(psutil.Error):
            used += sum(child.cpu_times()[:2])
    return float(used)


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def tell(taken: list[tuple[str, float, int]], used: float, seconds: float) -> None:
    """Print what was measured."""
    wrong = Counter(status for _, _, status in taken if status not in {200, 206})
    _say(f"{len(taken)} answers, {len(taken) / seconds:.0f} in a second; wrong: {dict(wrong)}")
    _say(
        f"the server used {used:.0f} s of a processor, {used / len(taken) * 1000:.1f} ms each; "
        f"{os.getloadavg()[0]:.1f} programs wanted one"
    )
    for kind in ("", *sorted({kind for kind, _, _ in taken})):
        some = sorted(took * 1000 for one, took, _ in taken if kind in {"", one})
        cuts = statistics.quantiles(some, n=100)
        _say(
            f"  {kind or 'all':10} {len(some):6}  median {statistics.median(some):6.0f} ms"
            f"  95 of 100 in {cuts[94]:6.0f} ms  99 in {cuts[98]:6.0f} ms  most {some[-1]:6.0f} ms"
        )


def main() -> None:
    """Measure once."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("--readers", type=int, default=50)
    asked.add_argument("--seconds", type=float, default=60)
    asked.add_argument("--pause", type=float, default=1.0)
    asked.add_argument("--wait", type=float, default=0.0)
    asked.add_argument("--procedures", type=int, default=1000)
    asked.add_argument("--folder", type=Path)
    options = asked.parse_args()
    with tempfile.TemporaryDirectory() as own:
        shop = library(options.folder or Path(own) / "shop", options.procedures)
        WORDS.extend(itertools.islice(bench_library.queries(options.procedures), 400))
        process = subprocess.Popen(
            [sys.executable, "-c", _SERVE, str(shop.folder), "--port", "0"],
            stderr=subprocess.PIPE,
            text=True,
        )
        try:
            assert process.stderr is not None
            said = next(line for line in process.stderr if " is open at " in line)
            address = said.split(" is open at ")[1].split(" (")[0]
            _say(f"{options.procedures} procedures, {options.readers} readers")
            tell(
                *asyncio.run(measure(address, psutil.Process(process.pid), options)),
                options.seconds,
            )
        finally:
            process.terminate()
            process.wait(30)


if __name__ == "__main__":
    main()
