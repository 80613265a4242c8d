"""A throwaway PostgreSQL server for the tests, on a socket in a folder of its own.

``python tests/library/postgres.py start`` prints the folder it lies in and its address,
``stop FOLDER`` ends it and deletes the folder, and ``find`` says whether there can be one.
"""

from __future__ import annotations

import os
import pwd
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

VARIABLE = "REELWRIGHT_TEST_POSTGRES"
NEEDED = (
    "the tests of the index need PostgreSQL's server, 13 or newer: install Debian's package "
    "postgresql, or set PATH to its initdb and pg_ctl"
)
_USERS = ("postgres", "nobody")
_SETTINGS = {
    "listen_addresses": "''",
    "fsync": "off",
    "full_page_writes": "off",
    "synchronous_commit": "off",
    "shared_buffers": "32MB",
    "max_connections": "200",
    "autovacuum_naptime": "1h",
}


class NoServer(RuntimeError):
    """There is no PostgreSQL server to be had."""


def programs() -> Path:
    """Return the folder of the newest server that is installed.

    Raises:
        NoServer: if there is none.
    """
    debian = Path("/usr/lib/postgresql").glob("*/bin/initdb")
    versions = sorted(debian, key=lambda one: float(one.parent.parent.name))
    if versions:
        return versions[-1].parent
    named = shutil.which("initdb")
    if named is None:
        raise NoServer(NEEDED)
    return Path(named).resolve().parent


def start(folder: Path) -> str:
    """Make a server in a new folder and start it.

    Args:
        folder: missing; its path has to be short, for it holds the socket.

    Returns:
        The address of its database.

    Raises:
        NoServer: if there is none, or it does not start.
    """
    bin_ = programs()
    folder.mkdir(mode=0o700)
    if os.getuid() == 0:  # initdb refuses root
        known = {one.pw_name: one for one in pwd.getpwall()}
        user = next(known[name] for name in _USERS if name in known)
        os.chown(folder, user.pw_uid, user.pw_gid)
    data = folder / "data"
    # An order of letters unlike the index's own, so that none relies on the database's.
    order = ["--locale-provider=icu", "--icu-locale=en"] if _version(bin_) >= 15 else []
    _run(
        folder, bin_ / "initdb", "--pgdata", data, "--auth=trust", "--username=reelwright",
        "--encoding=UTF8", "--locale=C.UTF-8", "--no-sync", *order,
    )  # fmt: skip
    settings = "".join(f"{name} = {value}\n" for name, value in _SETTINGS.items())
    with (data / "postgresql.conf").open("a", encoding="ascii") as stream:
        stream.write(f"{settings}unix_socket_directories = '{folder}'\n")
    _run(
        folder, bin_ / "pg_ctl", "--pgdata", data, "--log", folder / "log", "--wait", "--silent",
        "start",
    )  # fmt: skip
    return f"postgresql://reelwright@/postgres?host={folder}"


def stop(folder: Path) -> None:
    """End the server in a folder, and delete the folder."""
    try:
        _run(
            folder, programs() / "pg_ctl", "--pgdata", folder / "data", "--mode", "immediate",
            "--silent", "stop",
        )  # fmt: skip
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def new_folder() -> Path:
    """Return a folder that is not there yet, with a short path."""
    made = Path(tempfile.mkdtemp(prefix="rwpg", dir="/tmp"))
    made.rmdir()
    return made


def _version(bin_: Path) -> int:
    told = subprocess.run(
        [bin_ / "initdb", "--version"], capture_output=True, text=True, check=True
    )
    found = re.search(r"\) (\d+)", told.stdout)
    return int(found[1]) if found else 0


def _run(folder: Path, *arguments: str | Path) -> None:
    """Run a program as the owner of a folder."""
    owner = folder.stat()
    other = {"user": owner.st_uid, "group": owner.st_gid, "extra_groups": []}
    done = subprocess.run(
        arguments,
        cwd="/",
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
        **(other if os.getuid() == 0 else {}),  # type: ignore[call-overload]
    )
    if done.returncode:
        raise NoServer(f"{Path(arguments[0]).name} failed: {done.stderr.strip()}")


def main() -> None:
    """Find, start or stop a server for whoever runs the tests."""
    what, *rest = sys.argv[1:]
    folder = Path(rest[0]) if rest else new_folder()
    try:
        if what == "find":
            programs()
        elif what == "start":
            sys.stdout.write(f"{folder} {start(folder)}\n")
        else:
            stop(folder)
    except NoServer as error:
        shutil.rmtree(folder, ignore_errors=True)
        sys.exit(f"tests/run: {error}")


if __name__ == "__main__":
    main()
