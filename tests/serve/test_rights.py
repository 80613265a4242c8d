"""Each role at each route, as the application itself lists its routes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from author.library.shop import open_shop
from author.library.signing import accounts
from author.serve import find_pages
from author.serve.application import create_app, rules
from author.serve.rights import ALL_ROLES, Person, Rule, open_to, rule_of
from author.serve.settings import Settings

from .conftest import PASSWORD, PEOPLE, Desk, Open

# Who may use each route. A route that is not here fails the test: say who may use it.
EVERYBODY = {"nobody", "reader", "author", "reviewer", "keeper"}
WITH_ACCOUNT = EVERYBODY - {"nobody"}
WHO = {
    ("GET", "/sign-in"): EVERYBODY,
    ("POST", "/sign-in"): EVERYBODY,
    ("GET", "/static/{version}/shop.css"): EVERYBODY,
    ("GET", "/icon.svg"): EVERYBODY,
    ("GET", "/static/bench.js"): EVERYBODY,
    ("GET", "/procedures/{procedure}/standing"): WITH_ACCOUNT,
    ("GET", "/{rest:path}"): EVERYBODY,
    ("POST", "/sign-out"): WITH_ACCOUNT,
    ("GET", "/session"): WITH_ACCOUNT,
    ("GET", "/"): WITH_ACCOUNT,
    ("GET", "/where-used"): WITH_ACCOUNT,
    ("GET", "/due"): WITH_ACCOUNT,
    ("GET", "/procedures/{procedure}"): WITH_ACCOUNT,
    ("GET", "/procedures/{procedure}/revisions/{revision}"): WITH_ACCOUNT,
    ("GET", "/procedures/{procedure}/before.svg"): WITH_ACCOUNT,
    ("GET", "/procedures/{procedure}/order"): WITH_ACCOUNT,
    ("GET", "/procedures/{procedure}/page"): WITH_ACCOUNT,
    ("GET", "/procedures/{procedure}/page/{name:path}"): WITH_ACCOUNT,
    ("GET", "/procedures/{procedure}/files/{name:path}"): WITH_ACCOUNT,
    ("GET", "/procedures/{procedure}/revisions/{revision}/page"): WITH_ACCOUNT,
    ("GET", "/procedures/{procedure}/revisions/{revision}/page/{name:path}"): WITH_ACCOUNT,
    ("GET", "/procedures/{procedure}/revisions/{revision}/files/{name:path}"): WITH_ACCOUNT,
    ("GET", "/people"): {"keeper"},
    ("POST", "/people"): {"keeper"},
    ("GET", "/units"): WITH_ACCOUNT,
    ("GET", "/units/{slug}"): WITH_ACCOUNT,
    # The finding names the role that releases it: which one that is, the handler looks at.
    ("POST", "/units/{slug}/release/{finding}"): WITH_ACCOUNT,
    ("GET", "/units/{slug}/records/{key}"): WITH_ACCOUNT,
    ("GET", "/units/{slug}/records/{key}/file"): WITH_ACCOUNT,
    ("GET", "/readings"): WITH_ACCOUNT,
    ("GET", "/readings/{procedure}/{spec}"): WITH_ACCOUNT,
    ("GET", "/readings/{procedure}/{spec}/chart.svg"): WITH_ACCOUNT,
    ("GET", "/questions"): WITH_ACCOUNT,
    ("POST", "/questions/{question}/answer"): {"author", "reviewer", "keeper"},
    ("GET", "/hours"): WITH_ACCOUNT,
    ("POST", "/procedures/{procedure}/records"): WITH_ACCOUNT,
}
FILLED = {
    "{version}": "0",
    "{procedure}": "belt-change",
    "{revision}": "1",
    "{name:path}": "procedure.pdf",
    "{rest:path}": "nowhere",
    "{slug}": "no-unit",
    "{finding}": "no-finding",
    "{key}": "0",
    "{spec}": "no-spec",
    "{question}": "0",
}
NAMES = {roles[0]: name for name, roles in PEOPLE.items()}


@pytest.fixture(scope="module")
def routes(whole: Path) -> list[tuple[str, str]]:
    return sorted(rules(create_app(whole, Settings())))


@pytest.fixture
def browsers(opened: Open) -> Iterator[dict[str, Desk]]:
    desk = opened()
    found = {"nobody": desk}
    for role, name in NAMES.items():
        one = Desk(desk.client.__class__(
            desk.client.app, desk.client.base_url, client=("127.0.0.1", 5000),
            follow_redirects=False,
        ), desk.folder)  # fmt: skip
        assert one.sign_in(name).status_code == 303
        found[role] = one
    yield found
    for role in NAMES:
        found[role].client.close()


def test_every_route_says_who_may_use_it(routes: list[tuple[str, str]]) -> None:
    assert set(routes) == set(WHO)


def test_each_role_gets_what_it_may_and_nothing_else(
    routes: list[tuple[str, str]], browsers: dict[str, Desk]
) -> None:
    wrong = []
    for method, path in routes:
        filled = path
        for hole, value in FILLED.items():
            filled = filled.replace(hole, value)
        assert "{" not in filled, f"say in FILLED what stands for the hole of {path}"
        for role, desk in browsers.items():
            if (method, path) == ("POST", "/sign-out"):
                continue  # it would end what the others are tried with; tested at signing in
            allowed = role in WHO[method, path]
            if method == "GET":
                status = desk.get(filled).status_code
            else:
                status = desk.post(filled).status_code
            refused = status == 403 or (role == "nobody" and status in {303, 401})
            if path == "/sign-in" and status in {303, 401}:
                refused = False  # sent on as signed in already, or told that nothing fits
            if refused == allowed:
                wrong.append((role, method, path, status))
    assert not wrong


def test_a_route_without_a_rule_keeps_the_server_shut(
    whole: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def forgotten(request: Request) -> Response:
        return Response(request.url.path)

    monkeypatch.setattr(find_pages, "ROUTES", [*find_pages.ROUTES, Route("/open", forgotten)])
    with pytest.raises(RuntimeError, match="/open"):
        create_app(whole, Settings())


def test_rules() -> None:
    for roles in ((), ("boss",)):
        with pytest.raises(ValueError, match=r"\(|boss"):
            open_to(*roles)  # type: ignore[arg-type]
    everybody = Rule(None)
    assert everybody.allows(None)
    for role in ALL_ROLES:
        person = Person("P.", (role,))
        assert Rule(("reader",)).allows(person)
        assert Rule(("author", "reviewer")).allows(person) == (role != "reader")
        assert Rule(("keeper",)).allows(person) == (role == "keeper")
        assert not Rule((role,)).allows(None)
        assert not Rule((role,)).allows(Person("P.", ()))
    marked = open_to("author")(lambda _: Response())
    assert rule_of(Route("/x", marked)).roles == ("author",)


def test_the_keeper_reads_of_each_role_what_the_readme_says(keeper: Desk) -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    shown = keeper.get("/people").text
    for role in ("reader", "author", "reviewer"):
        (may,) = re.findall(rf"^\| {role} \| (.*) \|$", readme, re.MULTILINE)
        (told,) = set(re.findall(rf"<strong>{role}</strong> <small>([^<]*)<", shown))
        # "They may release" there, "releases" here.
        assert re.sub(r"s\b", "", told) == re.sub(r"s\b", "", may)


def test_whoever_has_a_trade_is_known_by_it(reader: Desk) -> None:
    accounts.change(open_shop(reader.folder), "R. Reader", trades=("Supervisor",))
    sessions = reader.client.app.state.sessions  # type: ignore[attr-defined]
    found = sessions.standing(reader.client.cookies["shop-session"], None).person
    assert found == Person("R. Reader", ("reader",), ("Supervisor",))


def test_the_menu_shows_what_somebody_may_open(browsers: dict[str, Desk]) -> None:
    assert 'href="/people"' in browsers["keeper"].get("/").text
    assert 'href="/people"' not in browsers["reader"].get("/").text
    assert 'href="/where-used"' not in browsers["nobody"].get("/sign-in").text


def test_a_keeper_looks_after_accounts(keeper: Desk) -> None:
    fields = {"password": "grey heron walks upstream", "again": "grey heron walks upstream"}
    new = {"deed": "add", "name": "N. New", "role": ["reader", "author"], **fields}
    assert keeper.post("/people", new).status_code == 303
    shown = keeper.get("/people").text
    assert "N. New" in shown
    for deed, marks in (("shut", 1), ("open", 0)):
        assert keeper.post("/people", {"deed": deed, "name": "N. New"}).status_code == 303
        assert keeper.get("/people").text.count('<span class="chip">shut') == marks
    roles = {"deed": "roles", "name": "N. New", "role": "reviewer", "trades": "Fitter,  Supervisor"}
    assert keeper.post("/people", roles).status_code == 303
    assert "in the shop: Fitter, Supervisor" in keeper.get("/people").text
    bad = {**roles, "trades": "x" * 900}
    assert keeper.post("/people", bad).status_code == 400
    other = {"deed": "password", "name": "N. New", "password": "a b c d e f g h", "again": "x"}
    assert keeper.post("/people", other).status_code == 400
    for wrong in (
        new,
        {"deed": "shut", "name": "K. Keeper"},
        {"deed": "roles", "name": "K. Keeper", "role": "reader"},
        {"deed": "roles", "name": "N. New"},
        {"deed": "other"},
        {},
    ):
        answer = keeper.post("/people", wrong)
        assert answer.status_code == 400
        assert 'class="problem"' in answer.text


def test_what_goes_wrong_in_a_deed_is_not_told_as_no_deed(
    keeper: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise KeyError("a fault of the program")

    monkeypatch.setattr(accounts, "set_disabled", broken)
    answer = keeper.post("/people", {"deed": "shut", "name": "R. Reader"})
    assert answer.status_code == 500
    assert "nothing was asked for" not in answer.text


def test_roles_and_trades_are_changed_in_one_step(
    keeper: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    written: list[object] = []
    write = accounts._write
    monkeypatch.setattr(accounts, "_write", lambda *all_: (written.append(all_), write(*all_)))
    roles = {"deed": "roles", "name": "R. Reader", "role": "author", "trades": "Fitter"}
    before = accounts.read_accounts(keeper.folder)
    assert keeper.post("/people", {**roles, "trades": "x" * 900}).status_code == 400
    assert (accounts.read_accounts(keeper.folder), written) == (before, [])
    assert keeper.post("/people", roles).status_code == 303
    found = accounts.read_accounts(keeper.folder).of("R. Reader")
    assert found is not None
    assert (found.roles, found.trades, len(written)) == (("author",), ("Fitter",), 1)


def test_the_first_account_ends_the_time_without(here: Desk) -> None:
    fields = {"deed": "add", "name": "K. First", "password": PASSWORD, "again": PASSWORD}
    assert here.post("/people", {**fields, "role": "reader"}).status_code == 400
    assert here.post("/people", {**fields, "role": "keeper"}).status_code == 303
    assert here.get("/people").status_code == 303
    assert here.sign_in("K. First").status_code == 303
    assert here.get("/people").status_code == 200
