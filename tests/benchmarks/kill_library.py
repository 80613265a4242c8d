"""Kills what writes to a library at chance moments, and looks whether all is there.

``python tests/benchmarks/kill_library.py [TIMES] [--only JOB]``: 50 times each, of shelving,
signing, keeping records, making the index anew, and a server that is being sent records. A
child does one thing after another and says each it was told is done; it is killed (SIGKILL)
at a moment drawn by chance. Then the library has to open, everything said to be done has to
be there, no file may be half-written, and the next run has to go through. Prints how much
was said to be done and how often the kill came in the middle; exit code 1 if anything is lost.
"""

from __future__ import annotations

import argparse
import os
import random
import re
import signal
import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import httpx2 as httpx
from library.record_samples import NAME, as_bytes, content_of, job, lid_shop
from library.shops import procedure, put
from library_signing.bench_shop import AUTHOR, ID, make
from serve.test_running import served

from author.library.asking.query import Filters
from author.library.records.keeping import read_kept
from author.library.shop import new_shop, open_shop, revision_files
from author.library.signing.audit import audit
from author.tasks.library_finding import find_in
from author.tasks.library_records import keep
from author.tasks.library_shelves import reindex, shelve_folders
from author.tasks.library_signing import sign

LONGEST = 0.6
"""Seconds within which the kill comes, in most jobs many times what one deed takes."""
Say = Callable[[str], None]


def killed(deeds: Callable[[Say], None], chance: random.Random, longest: float) -> list[str]:
    """Let a child do its deeds, kill it at a moment, and return what it said it had done."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        try:
            deeds(lambda done: _tell(writing, done))
        except BaseException:
            traceback.print_exc()
        os._exit(1)
    os.close(writing)
    time.sleep(chance.random() * longest)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), "it ended by itself"
    with os.fdopen(reading) as said:
        return [line.strip() for line in said if line.endswith("\n")]


def _tell(writing: int, done: str) -> None:
    os.write(writing, f"{done}\n".encode())


def shelving(folder: Path, chance: random.Random) -> Iterator[list[str]]:
    """Shelve revision after revision of one procedure."""
    shop = new_shop(folder / "shop", "Demo shop")
    source, last = folder / "pump", 0

    def deeds(say: Say) -> None:
        for number in range(last + 1, last + 500):
            put(source, procedure("pump", revision=number))
            list(shelve_folders(shop.folder, [source], replace=True))
            say(str(number))

    while True:
        done = killed(deeds, chance, LONGEST)
        answer = find_in(shop.folder, "pump", Filters(), 5).value if last or done else None
        place = shop.place_of("pump")
        kept = {number for number, _ in revision_files(place)} if place.exists() else set()
        if answer is not None:
            (hit,) = answer.results
            last = hit.revision
            assert last >= max(map(int, done), default=0), "an acknowledged revision is lost"
            assert {int(one) for one in done} <= kept | {last}, "an older revision is lost"
        yield done


def signing(folder: Path, chance: random.Random) -> Iterator[list[str]]:
    """Sign a procedure as its author, again and again."""
    shop = make(folder / "shop", approved=False)
    now = shop.now

    def deeds(say: Say) -> None:
        at = now
        for _ in range(500):
            at += timedelta(seconds=1)
            say(str(sign(shop.folder, ID, "authored", AUTHOR, now=at).entry.act.number))

    while True:
        done = killed(deeds, chance, LONGEST)
        acts = [one.act for one in shop.acts()]
        assert {int(one) for one in done} <= {act.number for act in acts}, "a signature is lost"
        found = audit(open_shop(shop.folder))
        assert not found.all_problems, found.all_problems
        if acts:
            now = datetime.fromisoformat(acts[-1].time)
        yield done


def records(folder: Path, chance: random.Random) -> Iterator[list[str]]:
    """Keep one record after another."""
    shop = lid_shop(folder / "shop")
    content, rounds = content_of(shop), 0

    def deeds(say: Say) -> None:
        for number in range(500):
            data = as_bytes(job(content, serial=f"{rounds}-{number}"))
            done = keep(shop.folder, data, name="record.json", by="K. O.")
            say(f"{done.kept.slug} {done.kept.key}")

    while True:
        done = killed(deeds, chance, LONGEST)
        for line in done:
            read_kept(shop, *line.split())
        rounds += 1
        yield done


def index(folder: Path, chance: random.Random) -> Iterator[list[str]]:
    """Make the index anew, and find by it."""
    shop = new_shop(folder / "shop", "Demo shop")
    for number in range(40):
        put(shop.place_of(f"pump-{number}"), procedure(f"pump-{number}"))

    def deeds(say: Say) -> None:
        for number in range(500):
            reindex(shop.folder, anew=True)
            say(str(number))

    while True:
        done = killed(deeds, chance, 4 * LONGEST)
        found = find_in(shop.folder, "pump", Filters(), 99).value.results
        assert len(found) == 40, "not all are found"
        yield done


def server(folder: Path, chance: random.Random) -> Iterator[list[str]]:
    """Send records to a server that is killed."""
    shop = lid_shop(folder / "shop")
    content, rounds = content_of(shop), 0
    while True:
        done: list[str] = []
        with served(shop.folder) as (process, address), httpx.Client(base_url=address) as desk:
            headers = {"X-Form-Token": desk.get("/session").json()["token"]}
            headers["Content-Type"] = "application/json"
            until = time.monotonic() + chance.random() * 2 * LONGEST
            killer = os.fork()
            if killer == 0:
                time.sleep(max(until - time.monotonic(), 0))
                os.kill(process.pid, signal.SIGKILL)
                os._exit(0)
            try:
                for number in range(500):
                    data = as_bytes(job(content, serial=f"{rounds}-{number}"))
                    told = desk.post(f"/procedures/{NAME}/records", content=data, headers=headers)
                    assert told.status_code == 201, told.text
                    done.append(told.json()["record"])
            except httpx.TransportError:
                os.waitpid(killer, 0)
        for place in done:
            found = re.fullmatch(r"/units/([^/]+)/records/([^/]+)", place)
            assert found is not None, place
            read_kept(shop, *found.groups())
        rounds += 1
        yield done


JOBS = {
    "shelving": shelving,
    "signing": signing,
    "records": records,
    "index": index,
    "server": server,
}


def torn(shop: Path) -> list[str]:
    """Return half-written files; what a killed run was still building is hidden and swept later."""
    seen = (file for file in shop.rglob("*.yaml") if "/." not in str(file.relative_to(shop.parent)))
    return [str(file) for file in seen if not file.read_bytes().endswith(b"\n")]


def main() -> int:
    """Kill, look, and say what was found."""
    told = argparse.ArgumentParser(description=__doc__)
    told.add_argument("times", type=int, nargs="?", default=50)
    told.add_argument("--only", choices=JOBS)
    asked = told.parse_args()
    for name, run in JOBS.items():
        if asked.only not in {None, name}:
            continue
        with tempfile.TemporaryDirectory() as folder:
            os.environ["REELWRIGHT_STATE"] = f"{folder}/state"
            said = busy = 0
            rounds = run(Path(folder), random.Random(7))
            for _ in range(asked.times):
                done = next(rounds)
                said += len(done)
                busy += bool(done)
                assert not torn(Path(folder) / "shop"), torn(Path(folder) / "shop")
        told_of = f"{busy} of them after something was done; {said} said to be done, all there"
        print(f"{name:9} killed {asked.times} times, {told_of}", flush=True)  # noqa: T201
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
