"""Signing is whole or not at all, at whatever moment the program is killed or fails."""

from __future__ import annotations

import errno
import json
import os
import subprocess
import sys
import textwrap
from collections.abc import Callable
from pathlib import Path

import pytest

from author import storage
from author.errors import MachineError, ReelwrightError
from author.library.signing.keys import Signer
from author.tasks.library_audit import verify
from author.tasks.library_keys import admit, revoke

from .bench_shop import AUTHOR, ID, KEEPER, REVIEWER, STRANGER, BenchShop, copy

ROOT = Path(__file__).resolve().parents[2]

# Does each act on copies of a library, each time in a process of its own that kills itself
# without warning at the next step; tells for each whether the act was acknowledged.
KILLED_RUNS = textwrap.dedent("""
    import json, os, shutil, signal, sys
    from datetime import datetime
    from pathlib import Path
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from author import storage
    from author.library.signing.keys import Signer
    from author.tasks.library_keys import admit, revoke
    from author.tasks.library_signing import sign

    shop, to, now = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3]
    now = datetime.fromisoformat(now)
    signer, keeper, stranger = (
        Signer(Ed25519PrivateKey.from_private_bytes(bytes.fromhex(key)))
        for key in os.environ["TEST_KEYS"].split()
    )
    jobs = {
        "state": lambda place: sign(place, "belt-change", "approved", signer, now=now),
        "sign": lambda place: sign(place, "belt-change", "reviewed", signer, now=now),
        "admit": lambda place: admit(place, stranger.public, "N", ["author"], keeper, now=now),
        "revoke": lambda place: revoke(place, "A. Author", keeper, now=now),
    }
    told = {}
    for job, act in jobs.items():
        acknowledged = told[job] = []
        for fatal in range(1, 100):
            place = to / job / str(fatal)
            shutil.copytree(shop, place, symlinks=True)
            child = os.fork()
            if child == 0:
                steps = 0

                def killer(what, path):
                    global steps
                    steps += 1
                    if steps == fatal:
                        os.kill(os.getpid(), signal.SIGKILL)

                storage.before_step = killer
                act(place)
                os._exit(0)
            _, status = os.waitpid(child, 0)
            assert os.WIFSIGNALED(status) or os.WEXITSTATUS(status) == 0, status
            acknowledged.append(not os.WIFSIGNALED(status))
            if acknowledged[-1]:
                break
    print(json.dumps(told))
""")


def _raw(signer: Signer) -> str:
    return signer._private.private_bytes_raw().hex()


@pytest.fixture(scope="module")
def killed(
    made: tuple[BenchShop, BenchShop], tmp_path_factory: pytest.TempPathFactory
) -> tuple[BenchShop, dict[str, list[bool]]]:
    """A library that is ready to be approved, and what the killed runs on copies of it told."""
    folder = tmp_path_factory.mktemp("killed")
    shop = copy(made[0], folder / "shop")
    shop.sign("in_review", AUTHOR)
    shop.accept()
    keys = " ".join(map(_raw, (REVIEWER, KEEPER, STRANGER)))
    done = subprocess.run(
        [sys.executable, "-c", KILLED_RUNS, shop.folder, folder, shop.tick().isoformat()],
        cwd=ROOT,
        check=False,
        capture_output=True,
        text=True,
        env={**os.environ, "TEST_KEYS": keys},
    )
    assert done.returncode == 0, done.stderr
    return shop, json.loads(done.stdout)


def _again(shop: BenchShop, job: str) -> None:
    """Do the act once more, and whatever else mends what was left."""
    jobs: dict[str, Callable[[], object]] = {
        "state": lambda: shop.sign("approved", REVIEWER),
        "sign": lambda: shop.sign("reviewed", REVIEWER),
        "admit": lambda: admit(
            shop.folder, STRANGER.public, "N", ["author"], KEEPER, now=shop.tick()
        ),
        "revoke": lambda: revoke(shop.folder, "A. Author", KEEPER, now=shop.tick()),
    }
    try:
        jobs[job]()
    except ReelwrightError as error:
        # The act was there already.
        assert "already" in str(error) or "has no key here" in str(error), error


@pytest.mark.skipif(not hasattr(os, "fork"), reason="kills processes it has forked")
@pytest.mark.parametrize("job", ["state", "sign", "admit", "revoke"])
def test_killed_at_every_write(killed: tuple[BenchShop, dict[str, list[bool]]], job: str) -> None:
    ready, runs = killed
    told = runs[job]
    before = _acts(ready)
    assert told[-1] and not any(told[:-1])
    assert len(told) > (3 if job == "sign" else 6)
    outcomes = set()
    for number in range(1, len(told) + 1):
        shop = BenchShop(ready.folder.parent / job / str(number), ready.now)
        after = _acts(shop)
        assert before.items() <= after.items(), "no act that was there is lost or changed"
        outcomes.add(len(after) - len(before))
        if told[number - 1]:
            assert len(after) == len(before) + 1, "what was acknowledged is there"
        unfinished = [one.said for one in verify(shop.folder).all_problems]
        assert len(unfinished) <= 1, unfinished
        assert all("is not shown here yet" in s or "by its history" in s for s in unfinished)
        _again(shop, job)
        assert verify(shop.folder).all_problems == (), number
        assert after.items() <= _acts(shop).items()
        assert not [
            path for path in shop.folder.rglob("*.part") if path.parent.name == "signatures"
        ]
    assert outcomes == {0, 1}


def _acts(shop: BenchShop) -> dict[str, bytes]:
    return {
        path.relative_to(shop.folder).as_posix(): path.read_bytes()
        for folder in (shop.folder / "history", shop.signatures)
        for path in sorted(folder.glob("[!.]*"))
    }


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO])
def test_a_failing_disk(draft: BenchShop, tmp_path: Path, number: int) -> None:
    draft.sign("in_review", AUTHOR)
    draft.accept()
    for fatal in range(1, 100):
        shop = copy(draft, tmp_path / f"{number}-{fatal}")
        with pytest.MonkeyPatch.context() as patch:
            steps = 0

            def fail(what: str, path: Path) -> None:
                nonlocal steps
                steps += 1
                if steps == fatal:  # noqa: B023 - called within the round
                    raise OSError(number, os.strerror(number), str(path))

            patch.setattr(storage, "before_step", fail)
            try:
                shop.sign("approved", REVIEWER)
                break
            except MachineError as error:
                assert error.exit_code == 3
        _again(shop, "state")
        assert verify(shop.folder).all_problems == ()
    assert fatal > 6


def test_two_who_sign_at_once(draft: BenchShop, tmp_path: Path) -> None:
    """The second waits for the first, and signs after it."""
    from filelock import FileLock

    from author.errors import InputError
    from author.library import locking

    with FileLock(draft.folder / ".lock"), pytest.MonkeyPatch.context() as patch:
        patch.setattr(locking, "WAIT", 0.05)
        patch.setattr(locking.one_writer.__wrapped__, "__defaults__", (0.05,))
        with pytest.raises(InputError, match="another run is writing there"):
            draft.sign("in_review", AUTHOR)
    draft.sign("in_review", AUTHOR)
    assert verify(draft.folder).procedures[0].procedure == ID


def test_verify_writes_nothing(approved: BenchShop) -> None:
    def everything() -> dict[str, tuple[int, int]]:
        return {
            path.relative_to(approved.folder).as_posix(): (
                path.stat().st_mtime_ns,
                path.stat().st_size,
            )
            for path in approved.folder.rglob("*")
        }

    before = everything()
    verify(approved.folder)
    assert everything() == before
