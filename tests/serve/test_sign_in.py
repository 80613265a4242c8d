"""Signing in: sessions, their limits, guessing, forms from elsewhere, what a name gives away."""

from __future__ import annotations

import json
import time
from pathlib import Path

import pytest
from argon2 import PasswordHasher

from author.errors import InputError
from author.library.shop import open_shop
from author.library.signing import accounts
from author.serve.problems import local_path
from author.serve.sessions import Throttle

from .conftest import PASSWORD, Desk, Open


class Clock:
    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


def cookie(answer: object, name: str) -> str:
    found = [
        line
        for line in answer.headers.get_list("set-cookie")  # type: ignore[attr-defined]
        if line.startswith(name)
    ]
    assert len(found) == 1
    return found[0]


def test_a_page_leads_to_the_form_and_back(desk: Desk) -> None:
    asked = desk.get("/procedures/lock-out?a=1&b=2")
    assert asked.status_code == 303
    assert asked.headers["location"] == "/sign-in?to=%2Fprocedures%2Flock-out%3Fa%3D1%26b%3D2"
    assert 'value="/procedures/lock-out?a=1&amp;b=2"' in desk.get(asked.headers["location"]).text
    done = desk.sign_in("R. Reader", to="/procedures/lock-out?a=1&b=2")
    assert (done.status_code, done.headers["location"]) == (303, "/procedures/lock-out?a=1&b=2")
    assert desk.get("/procedures/lock-out").status_code == 200


def test_a_program_without_a_session_is_told_so(desk: Desk) -> None:
    for answer in (
        desk.client.get("/procedures/lock-out", headers={"Accept": "application/json"}),
        desk.client.post("/people", json={}),
    ):
        assert answer.status_code == 401
        assert answer.json()["remedy"]


def test_the_cookie_is_kept_from_scripts_and_other_sites(desk: Desk, opened: Open) -> None:
    plain = cookie(desk.sign_in("R. Reader"), "shop-session=")
    assert "HttpOnly" in plain
    assert "samesite=lax" in plain.casefold()
    assert "Secure" not in plain
    secure = cookie(opened(base="https://shop.test").sign_in("R. Reader"), "__Host-shop-session=")
    assert "Secure" in secure
    assert "Path=/" in secure


def test_signing_in_gives_a_new_id_and_ends_the_old_one(desk: Desk) -> None:
    desk.sign_in("R. Reader")
    first = desk.client.cookies["shop-session"]
    desk.sign_in("R. Reader")
    second = desk.client.cookies["shop-session"]
    assert first != second
    desk.client.cookies.set("shop-session", first, domain="127.0.0.1", path="/")
    assert desk.client.get("/session").status_code in {200, 401}
    stale = desk.client.get("/session", headers={"Cookie": f"shop-session={first}"})
    assert first not in json.dumps(dict(stale.headers))
    sessions = desk.client.app.state.sessions  # type: ignore[attr-defined]
    assert sessions.standing(first, None).person is None
    assert sessions.standing(second, None).person is not None


def test_an_id_chosen_by_somebody_else_opens_nothing(desk: Desk) -> None:
    desk.client.cookies.set("shop-session", "chosen", domain="127.0.0.1", path="/")
    desk.sign_in("R. Reader")
    sessions = desk.client.app.state.sessions  # type: ignore[attr-defined]
    assert sessions.standing("chosen", None).person is None


def test_signing_out_ends_the_session(reader: Desk) -> None:
    kept = reader.client.cookies["shop-session"]
    assert reader.post("/sign-out").headers["location"] == "/sign-in"
    sessions = reader.client.app.state.sessions  # type: ignore[attr-defined]
    assert sessions.standing(kept, None).person is None
    assert reader.get("/").status_code == 303


@pytest.mark.parametrize(
    ("steps", "ends"), [((90, 90, 90), False), ((101,), True), ((90,) * 6, True)]
)
def test_a_session_ends_idle_and_in_any_case(
    opened: Open, steps: tuple[int, ...], ends: bool
) -> None:
    clock = Clock()
    desk = opened(clock=clock, idle=100, longest=500)
    desk.sign_in("R. Reader")
    answers = []
    for step in steps:
        clock.now += step
        answers.append(desk.get("/").status_code)
    assert answers[-1] == (303 if ends else 200)
    assert set(answers[:-1]) <= {200}


@pytest.mark.parametrize(
    "change",
    [
        lambda shop: accounts.set_disabled(shop, "R. Reader", disabled=True),
        lambda shop: accounts.set_password(shop, "R. Reader", "another long secret 7"),
    ],
)
def test_a_change_of_the_account_takes_effect_at_once(reader: Desk, change: object) -> None:
    assert reader.get("/").status_code == 200
    change(open_shop(reader.folder))  # type: ignore[operator]
    assert reader.get("/").status_code == 303


def test_other_roles_take_effect_at_once(reader: Desk) -> None:
    assert reader.get("/people").status_code == 403
    accounts.change(open_shop(reader.folder), "R. Reader", roles=("keeper",))
    assert reader.get("/people").status_code == 200


def test_nothing_is_said_of_which_part_is_wrong(desk: Desk) -> None:
    accounts.set_disabled(open_shop(desk.folder), "A. Author", disabled=True)
    answers = [
        desk.sign_in("R. Reader", "not the password"),
        desk.sign_in("N. Nobody", "not the password"),
        desk.sign_in("A. Author"),
    ]
    assert {answer.status_code for answer in answers} == {401}
    said = {answer.text.replace(name, "") for answer, name in zip(
        answers, ("R. Reader", "N. Nobody", "A. Author"), strict=True
    )}  # fmt: skip
    assert len(said) == 1


def test_as_much_is_done_for_a_name_that_nobody_has(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    verified: list[str] = []
    hasher = accounts._hasher()

    class Counting:
        def verify(self, hashed: str, password: str) -> bool:
            verified.append(hashed.rsplit("$", 2)[0])
            return hasher.verify(hashed, password)

        def hash(self, password: str) -> str:
            return hasher.hash(password)

    accounts._nobody()
    monkeypatch.setattr(accounts, "_hasher", Counting)
    accounts.set_disabled(open_shop(desk.folder), "A. Author", disabled=True)
    for name in ("R. Reader", "N. Nobody", "A. Author"):
        desk.sign_in(name, "not the password")
    assert len(verified) == 3
    assert len(set(verified)) == 1  # the same parameters, so the same work


def test_guessing_is_slowed_by_account_whether_it_is_there_or_not(opened: Open) -> None:
    clock = Clock()
    for name in ("R. Reader", "N. Nobody"):
        desk = opened(clock=clock)
        codes = [desk.sign_in(name, f"guess number {n} of mine").status_code for n in range(9)]
        assert codes == [401] * 8 + [429]
        waiting = desk.sign_in(name.casefold().replace(".", ""))
        assert waiting.status_code == 429  # however it is written, and though it is right
        assert 0 < int(waiting.headers["retry-after"]) <= 601
        assert desk.sign_in("A. Author").status_code == 303
    clock.now += 601
    desk.client.cookies.clear()
    assert desk.sign_in("R. Reader").status_code == 303


def test_guessing_is_slowed_by_address(opened: Open, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("author.serve.signing_in.sign_in", lambda *_: None)
    one = opened(client=("2001:db8::1", 5000), clock=Clock())
    codes = [one.sign_in(f"N. Nobody {n}").status_code for n in range(41)]
    assert codes == [401] * 40 + [429]
    assert one.sign_in("R. Reader").status_code == 429


def test_a_right_password_is_no_try(opened: Open) -> None:
    desk = opened(clock=Clock())
    for _ in range(10):
        assert desk.sign_in("R. Reader").status_code == 303
        desk.client.cookies.clear()


def test_many_tries_at_once_gain_nothing() -> None:
    throttle = Throttle(3, 60)
    assert [throttle.begin("a", 0) > 0 for _ in range(5)] == [False] * 3 + [True] * 2
    assert throttle.begin("b", 0) == 0
    assert throttle.begin("a", 61) == 0


def test_a_form_without_its_token_is_refused(reader: Desk) -> None:
    for fields in ({}, {"token": "made up"}, {"token": ""}):
        assert reader.client.post("/sign-out", data=fields).status_code == 403
    assert reader.client.post("/sign-out", headers={"X-Form-Token": "made up"}).status_code == 403
    assert reader.get("/").status_code == 200
    right = reader.client.post("/sign-out", headers={"X-Form-Token": reader.token()})
    assert right.status_code == 303


def test_a_token_of_somebody_else_is_refused(opened: Open) -> None:
    one, other = opened(), opened()
    one.sign_in("R. Reader")
    other.sign_in("A. Author")
    answer = one.client.post("/sign-out", data={"token": other.token()})
    assert answer.status_code == 403


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://elsewhere.test"},
        {"Origin": "http://127.0.0.1:9999"},
        {"Origin": "https://127.0.0.1:8420"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1:port"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_a_form_from_elsewhere_is_refused(reader: Desk, headers: dict[str, str]) -> None:
    fields = {"token": reader.token()}
    assert reader.client.post("/sign-out", data=fields, headers=headers).status_code == 403
    own = {"Origin": "http://127.0.0.1:8420", "Sec-Fetch-Site": "same-origin"}
    assert reader.client.post("/sign-out", data=fields, headers=own).status_code == 303


def test_the_token_of_the_form_to_sign_in_belongs_to_the_browser(opened: Open) -> None:
    one, other = opened(), opened()
    fields = {"name": "R. Reader", "password": PASSWORD, "token": other.token()}
    one.get("/sign-in")
    assert one.client.post("/sign-in", data=fields).status_code == 403


@pytest.mark.parametrize(
    "to",
    [
        "//evil.test",
        "https://evil.test",
        "/\\evil.test",
        "evil",
        "/a\nb",
        "",
        None,
        "/" + "a" * 3000,
    ],
)
def test_the_way_back_stays_here(to: str | None) -> None:
    assert local_path(to) == "/"


def test_without_accounts_only_this_machine_gets_in(bare: Path, opened: Open) -> None:
    assert opened(bare).get("/").status_code == 200
    for base in ("http://shop.test:8420", "http://192.168.7.4:8420"):
        assert opened(bare, base=base).get("/").status_code == 403
    assert opened(bare, client=("192.168.7.4", 5000)).get("/").status_code == 403
    assert opened(bare).get("/", X_Forwarded_For="192.168.7.4").status_code == 403
    assert opened(bare, accounts_needed=True).get("/").status_code == 303


def test_damaged_accounts_let_nobody_in(desk: Desk) -> None:
    accounts.accounts_file(desk.folder).write_text("{}{", encoding="ascii")
    answer = desk.get("/")
    assert answer.status_code == 400
    assert "accounts cannot be read" in answer.text


def test_a_proxy_is_believed_only_where_it_is_named(opened: Open) -> None:
    told = {"X-Forwarded-For": "10.1.2.3", "X-Forwarded-Proto": "https"}
    for proxies, name in (((), "shop-session"), (("127.0.0.0/8",), "__Host-shop-session")):
        desk = opened(base="http://shop.test", proxies=proxies, accounts_needed=True)
        desk.client.headers.update(told)
        form = desk.get("/sign-in")
        token = form.text.split('name="token" value="')[1].split('"')[0]
        scheme = "https" if proxies else "http"
        visit = form.headers["set-cookie"].split(";")[0]
        done = desk.client.post(
            "/sign-in",
            data={"name": "R. Reader", "password": PASSWORD, "token": token, "to": "/"},
            headers={"Origin": f"{scheme}://shop.test", "Cookie": visit},
        )
        assert done.status_code == 303
        assert done.headers["set-cookie"].startswith(f"{name}=")


def test_a_password_is_kept_as_a_hash_that_only_the_owner_reads(shop: Path) -> None:
    file = accounts.accounts_file(shop)
    text = file.read_text(encoding="utf-8")
    assert PASSWORD not in text
    assert text.count("$argon2id$v=19$") == 4
    assert (file.stat().st_mode & 0o777, file.parent.stat().st_mode & 0o777) == (0o600, 0o700)
    assert (file.parent / ".gitignore").read_text(encoding="ascii") == "*\n"


def test_a_hash_costs_what_the_standard_asks_for(real_hasher: PasswordHasher) -> None:
    # RFC 9106, section 4, second recommended option: argon2id, t=3, p=4, m=64 MiB.
    hashed = real_hasher.hash(PASSWORD)
    assert hashed.startswith("$argon2id$v=19$m=65536,t=3,p=4$")
    assert real_hasher.verify(hashed, PASSWORD)


@pytest.mark.parametrize(
    ("name", "password"),
    [("N. New", "short"), ("N. New", "a" * 30), ("New Person", "newpersonnewperson"),
     ("", PASSWORD), ("\n", PASSWORD), ("r reader", PASSWORD), ("x" * 500, PASSWORD)],
)  # fmt: skip
def test_what_is_no_account_is_not_added(shop: Path, name: str, password: str) -> None:
    before = accounts.read_accounts(shop)
    with pytest.raises(InputError):
        accounts.add(open_shop(shop), name, ("reader",), password)
    assert accounts.read_accounts(shop) == before


def test_somebody_always_keeps_the_library(shop: Path, bare: Path) -> None:
    opened = open_shop(bare)
    with pytest.raises(InputError, match="first account"):
        accounts.add(opened, "R. Reader", ("reader",), PASSWORD)
    accounts.add(opened, "K. Keeper", ("keeper",), PASSWORD)
    for change in (
        lambda: accounts.set_disabled(opened, "K. Keeper", disabled=True),
        lambda: accounts.change(opened, "K. Keeper", roles=("reader",)),
    ):
        with pytest.raises(InputError, match="nobody would be left"):
            change()


def test_a_password_typed_on_another_keyboard_is_the_same(shop: Path) -> None:
    accounts.set_password(open_shop(shop), "R. Reader", "schlüssel für den hof")
    found = accounts.read_accounts(shop)
    assert accounts.sign_in(found, "R. Reader", "schlu\u0308ssel fu\u0308r den hof") is not None
    assert accounts.sign_in(found, "R. Reader", "schlussel fur den hof") is None


def test_the_clock_of_sessions_never_runs_back(opened: Open) -> None:
    desk = opened()
    clock = desk.client.app.state.settings.clock  # type: ignore[attr-defined]
    assert clock is time.monotonic
