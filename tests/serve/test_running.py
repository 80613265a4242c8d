"""Starting and ending: where it may listen, what it tells, a stop, a kill."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import httpx2 as httpx
import pytest
from click.testing import CliRunner

from author.cli.library_accounts import account_command
from author.cli.serving import serve_command
from author.errors import InputError
from author.library.shop import open_shop
from author.library.signing import accounts
from author.progress import SILENT, Cancel
from author.serve.running import serve

EVERYWHERE = "0.0.0.0"  # noqa: S104 - what is tested here
START = """
import sys
from author.cli import running
running.COMMANDS["serve"] = ("serving", "")
sys.exit(running.run(["serve", *sys.argv[1:]]))
"""


@contextlib.contextmanager
def served(folder: Path, *options: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """Run the server as a process of its own; give it and its address."""
    process = subprocess.Popen(
        [sys.executable, "-c", START, str(folder), "--port", "0", *options],
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONUNBUFFERED": "1"},
    )
    try:
        assert process.stderr is not None
        address = next(line for line in process.stderr if "is open at" in line)
        yield process, address.split(" is open at ")[1].split(" (")[0]
    finally:
        process.kill()
        process.communicate()


def status(address: str) -> int:
    return httpx.get(address, timeout=20).status_code


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_it_answers_and_stops_when_asked_to(bare: Path, number: int) -> None:
    with served(bare) as (process, address):
        assert address.startswith("http://127.0.0.1:")
        assert status(address) == 200
        process.send_signal(number)
        assert process.wait(30) == 0
        assert process.stderr is not None
        assert "Traceback" not in process.stderr.read()


def test_who_sends_half_a_form_does_not_keep_it_from_stopping(bare: Path) -> None:
    with served(bare) as (process, address):
        host, port = address.removeprefix("http://").strip("/").split(":")
        with socket.create_connection((host, int(port))) as half:
            half.sendall(
                f"POST /people HTTP/1.1\r\nHost: {host}:{port}\r\nContent-Length: 99\r\n"
                "Content-Type: application/x-www-form-urlencoded\r\n\r\nname=".encode()
            )
            assert status(address) == 200
            process.send_signal(signal.SIGINT)
            assert process.wait(8) == 0
            assert process.stderr is not None
            assert "Traceback" not in process.stderr.read()


def test_a_kill_loses_nothing_and_it_starts_again(bare: Path) -> None:
    before = {file: file.read_bytes() for file in bare.rglob("*.yaml")}
    for _ in range(2):
        with served(bare) as (process, address):
            assert status(address) == 200
            process.kill()
            process.wait()
    assert {file: file.read_bytes() for file in bare.rglob("*.yaml")} == before


@pytest.mark.parametrize("host", [EVERYWHERE, "::"])
def test_others_get_in_by_accounts_alone(bare: Path, shop: Path, host: str) -> None:
    assert not (bare / ".accounts").exists()
    with pytest.raises(InputError, match="no accounts") as told:
        serve(bare, host, 0, (), SILENT, Cancel())
    assert "account add" in told.value.remedy
    assert told.value.exit_code == 2


def test_a_proxy_brings_others(bare: Path) -> None:
    with pytest.raises(InputError, match="behind a proxy"):
        serve(bare, "127.0.0.1", 0, ("127.0.0.1",), SILENT, Cancel())


def test_accounts_that_are_all_shut_are_none(shop: Path) -> None:
    kept = accounts.read_accounts(shop)
    shut = [one.model_copy(update={"disabled": True}) for one in kept.people]
    accounts._write(shop, kept.model_copy(update={"people": tuple(shut)}))
    with pytest.raises(InputError, match="no accounts"):
        serve(shop, EVERYWHERE, 0, (), SILENT, Cancel())


def test_it_tells_what_is_open_to_whom(shop: Path) -> None:
    made = serve(shop, EVERYWHERE, 0, (), SILENT, Cancel())
    made.listening.close()
    told = list(made.told())
    assert made.settings.accounts_needed
    assert len(told) == 2
    assert "TLS" in told[1]
    assert EVERYWHERE not in told[0]
    proxied = serve(shop, EVERYWHERE, 0, ("192.168.7.2",), SILENT, Cancel())
    proxied.listening.close()
    assert len(list(proxied.told())) == 1


@pytest.mark.parametrize("proxy", ["*", "0.0.0.0/0", "::/0", "proxy.shop.test", "", "127.0.0.1;"])
def test_not_everybody_is_a_proxy(shop: Path, proxy: str) -> None:
    with pytest.raises(InputError):
        serve(shop, "127.0.0.1", 0, (proxy,), SILENT, Cancel())


def test_an_address_or_port_that_cannot_be_had_is_told(bare: Path) -> None:
    for host in ("no.such.host.invalid", "1.2.3", "203.0.113.7", "ü" * 300):
        with pytest.raises(InputError):
            serve(bare, host, 0, (), SILENT, Cancel())
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(InputError, match=str(port)):
            serve(bare, "127.0.0.1", port, (), SILENT, Cancel())


def test_no_address_is_not_all_addresses(shop: Path) -> None:
    with pytest.raises(InputError, match="'' is no address"):
        serve(shop, "", 0, (), SILENT, Cancel())


def test_what_is_no_library_is_not_served(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no library"):
        serve(tmp_path, "127.0.0.1", 0, (), SILENT, Cancel())
    assert {one.name for one in serve_command.params} == {"library", "host", "port", "proxies"}


def test_accounts_by_command(bare: Path, tmp_path: Path) -> None:
    secret = tmp_path / "secret"
    secret.write_text("plane spruce kettle nine\nnot this\n", encoding="utf-8")

    def run(*arguments: str) -> tuple[object, str]:
        done = CliRunner().invoke(account_command, list(arguments), standalone_mode=False)
        return done.exception or done.return_value, done.output

    given = ("--passphrase-file", str(secret))
    old = ("--password-file", str(secret))
    assert isinstance(run("add", str(bare), "R. R.", "--role", "reader", *given)[0], InputError)
    assert run("add", str(bare), "K. K.", "--role", "keeper", *given)[0] == 0
    assert run("add", str(bare), "R. R.", "--role", "reader", *old)[0] == 0
    assert run("disable", str(bare), "rr")[1] == "R. R.: reader, shut\n"
    assert run("disable", str(bare), "rr", "--undo")[1] == "R. R.: reader\n"
    assert run("roles", str(bare), "rr", "--role", "author")[1] == "R. R.: author\n"
    assert (
        run("roles", str(bare), "rr", "--trade", "Supervisor")[1] == "R. R.: author (Supervisor)\n"
    )
    assert isinstance(run("roles", str(bare), "rr")[0], InputError)
    listed = json.loads(run("list", str(bare), "--json")[1])["results"]
    assert listed[1] == {
        "name": "R. R.",
        "roles": ["author"],
        "trades": ["Supervisor"],
        "disabled": False,
    }
    secret.write_text("another kettle of spruce", encoding="utf-8")
    assert run("password", str(bare), "rr", *given)[0] == 0
    found = accounts.read_accounts(bare)
    assert accounts.sign_in(found, "R. R.", "another kettle of spruce") is not None
    for wrong in (
        ("password", str(bare), "N. N.", *given),
        ("password", str(bare), "rr"),
        ("disable", str(bare), "kk"),
        ("add", str(bare), "X.", "--role", "reader"),
    ):
        assert isinstance(run(*wrong)[0], InputError)  # fmt: skip


def test_accounts_are_written_whole_or_not_at_all(
    bare: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = open_shop(bare)
    accounts.add(shop, "K. K.", ("keeper",), "plane spruce kettle nine")
    moments = 0
    for stop in range(20):
        left = [stop]

        def fault(what: str, path: Path, left: list[int] = left) -> None:
            if not left[0]:
                raise KeyboardInterrupt  # as a kill, nothing catches it
            left[0] -= 1

        name = f"N. {stop}"
        with monkeypatch.context() as patch:
            patch.setattr("author.storage.before_step", fault)
            done = False
            with contextlib.suppress(KeyboardInterrupt):
                accounts.add(shop, name, ("reader",), "plane spruce kettle nine")
                done = True
        found = accounts.read_accounts(bare)
        assert found.of("K. K.") is not None
        assert (found.of(name) is not None) == done
        moments += not done
        if done:
            break
    assert moments >= 3
