"""The pages in a real browser: signing in, following a job, keyboard, accessibility, narrow."""

from __future__ import annotations

import shutil
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import uvicorn
from library.record_samples import NAME, content_of, job, lid, sent
from library.shops import part, procedure, put
from library.test_records_open import CRACKED, worn
from page.axe_faults import axe_faults
from playwright.sync_api import Browser, BrowserContext, Page, expect

from author.library.shop import open_shop
from author.serve.application import create_app
from author.serve.settings import Settings
from author.storage import new_generation

from .conftest import PASSWORD

PATIENCE = 20_000
BAD = ("error", "warning")
WORK = b"""<!doctype html>
<html lang="en"><head><title>Demo</title>
<meta name="referrer" content="no-referrer">
</head><body><p>demo data</p>
<header class="top">Demo</header><label>Serial number <input id="who-serial"></label>
<label>Defect <input id="finding"></label>
<button type="button" data-act="finishJob">Finish the job</button>
<button type="button" data-act="beginJob">Begin the job</button></body></html>
"""
READ = (
    "/", "/?q=guard+clip&state=draft", "/?spec=wide", "/where-used?what=BW-207", "/due",
    "/procedures/guard-clips", "/procedures/belt-change", "/procedures/guard-clips/order",
    "/procedures/long-one", "/procedures/nothing",
)  # fmt: skip


@pytest.fixture(scope="module")
def root(whole: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Serve the library; give its address."""
    folder = Path(shutil.copytree(whole, tmp_path_factory.mktemp("chromium") / "shop"))
    long = procedure("long-one", "W" * 400, parts=[part("P" * 400, "N" * 400)])
    put(folder / "procedures" / "long-one", long)
    put(folder / "procedures" / NAME, lid(worn))
    with new_generation(folder / "procedures" / NAME / "published") as made:
        made.write("page/index.html", WORK)
        made.commit({"procedure": NAME, "revision": 1, "state": "approved", "draft": False})
    sent(open_shop(folder), job(content_of(open_shop(folder)), findings=[CRACKED]))
    app = create_app(folder, Settings())
    listening = socket.create_server(("127.0.0.1", 0))
    server = uvicorn.Server(uvicorn.Config(app, http="h11", ws="none", log_config=None))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
    thread.start()
    while not server.started:
        time.sleep(0.01)
    app.state.index.look_now()
    yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    server.should_exit = True
    thread.join()
    listening.close()


@pytest.fixture
def tab(browser: Browser) -> Iterator[Page]:
    """A tab whose console has to stay silent."""
    context = browser.new_context(viewport={"width": 390, "height": 844})
    context.set_default_timeout(PATIENCE)
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda one: said.append(one.text) if one.type in BAD else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    yield page
    context.close()
    asked_for = ("Failed to load resource", "/people")
    assert [one for one in said if not any(words in one for words in asked_for)] == []


def sign_in(page: Page, root: str, name: str, to: str = "/") -> None:
    page.goto(f"{root}{to}")
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(f"{root}{to}")


def test_from_signing_in_to_the_bench_page(tab: Page, root: str) -> None:
    sign_in(tab, root, "R. Reader")
    tab.get_by_role("searchbox").fill("change belt")
    tab.keyboard.press("Enter")
    tab.locator(".rows a").first.click()
    expect(tab.locator(".standing")).to_contain_text("As signed.")
    tab.get_by_role("link", name="Follow revision 2 at the bench").click()
    expect(tab.locator("body")).to_contain_text("demo data")
    meta = tab.locator("meta[name=shop-library]")
    assert meta.get_attribute("content") == "/procedures/belt-change/records"
    reached = "fetch('/people').then(() => 'reached', () => 'refused')"
    assert tab.evaluate(reached) == "refused"
    with tab.context.expect_page() as waited:
        tab.evaluate("void (window.other = window.open('/due'))")
    # a new tab begins as an empty page within reach, and is cut off when its answer arrives
    waited.value.wait_for_url(f"{root}/due")
    tab.wait_for_function("window.other.closed")  # it is open, and out of reach
    assert not waited.value.is_closed()
    assert waited.value.evaluate("window.opener") is None
    waited.value.close()
    told = tab.evaluate("fetch('/session').then((answer) => answer.json())")
    assert told == {"name": "R. Reader", "token": meta.get_attribute("data-token")}
    tab.go_back()
    tab.get_by_role("button", name="Sign out").click()
    expect(tab.get_by_role("heading", name="Sign in")).to_be_visible()
    tab.goto(f"{root}/procedures/belt-change/page/index.html")
    assert "/sign-in?to=" in tab.url


@pytest.mark.parametrize(
    ("serial", "asked"), [("7", True), (" 007.", True), ("", True), ("8", False)]
)
def test_a_job_on_a_unit_on_hold_is_asked_about(
    tab: Page, root: str, serial: str, asked: bool
) -> None:
    sign_in(tab, root, "R. Reader", f"/procedures/{NAME}/page/index.html")
    said: list[str] = []
    tab.on("dialog", lambda one: (said.append(one.message), one.dismiss()))
    tab.evaluate("void (window.begun = 0, document.addEventListener('click', () => begun++))")
    tab.get_by_label("Serial number").fill(serial)
    tab.get_by_role("button", name="Begin the job").click()
    tab.wait_for_function("expected => expected ? true : begun === 1", arg=asked)
    if asked:
        tab.wait_for_timeout(500)
        assert tab.evaluate("begun") == 0
    assert [one.partition(". ")[0] for one in said] == [
        "On hold, not to be used: Bench drill BD-2, 7"
    ] * asked


def test_a_defect_that_was_typed_and_not_written_down_is_asked_about(tab: Page, root: str) -> None:
    sign_in(tab, root, "R. Reader", f"/procedures/{NAME}/page/index.html")
    said: list[str] = []
    tab.on("dialog", lambda one: (said.append(one.message), one.dismiss()))
    tab.evaluate("void (window.ended = 0, document.addEventListener('click', () => ended++))")
    tab.get_by_label("Defect").fill("Guard screw missing")
    tab.get_by_role("button", name="Finish the job").click()
    assert tab.evaluate("ended") == 0
    assert said == [
        "You typed a defect (“Guard screw missing”) that is not in the record. Go on without it?"
    ]


@pytest.mark.parametrize("width", [390, 1200])
def test_the_head_is_two_rows(tab: Page, root: str, width: int) -> None:
    tab.set_viewport_size({"width": width, "height": 800})
    sign_in(tab, root, "K. Keeper")
    tops = tab.locator(".bar").evaluate(
        "bar => [...bar.children].map(one => Math.round(one.getBoundingClientRect().top))"
    )
    assert len(set(tops)) == 2
    tabs = tab.locator(".bar nav a")
    boxes = [one.bounding_box() for one in tabs.all()]
    assert len({box["y"] for box in boxes if box}) == 1
    out = tab.get_by_role("button", name="Sign out").bounding_box()
    assert out and out["x"] + out["width"] <= width
    assert tab.evaluate("document.documentElement.scrollWidth") <= width


def test_a_wrong_password_keeps_the_name(tab: Page, root: str) -> None:
    tab.goto(f"{root}/due")
    tab.get_by_label("Name").fill("R. Reader")
    tab.get_by_label("Password").fill("not the password")
    tab.keyboard.press("Enter")
    expect(tab.get_by_role("alert")).to_contain_text("do not fit together")
    assert tab.get_by_label("Name").input_value() == "R. Reader"
    assert tab.get_by_label("Password").input_value() == ""
    tab.get_by_label("Password").fill(PASSWORD)
    tab.keyboard.press("Enter")
    tab.wait_for_url(f"{root}/due")


def test_a_keeper_adds_somebody_who_then_signs_in(browser: Browser, tab: Page, root: str) -> None:
    sign_in(tab, root, "K. Keeper", "/people")
    form = tab.locator("form", has=tab.get_by_role("heading", name="Add somebody"))
    form.get_by_label("Name or initials").fill("N. New")
    for field in form.locator("input[type=password]").all():
        field.fill(PASSWORD)
    form.get_by_role("button", name="Add").click()
    expect(tab.get_by_role("heading", name="N. New")).to_be_visible()
    with browser.new_context() as other:
        page = other.new_page()
        sign_in(page, root, "N. New", "/")
        page.goto(f"{root}/people")
        expect(page.get_by_role("heading")).to_contain_text("This is for a keeper")
    changes = tab.locator("li", has=tab.get_by_role("heading", name="N. New"))
    changes.locator("summary").click()
    changes.get_by_role("button", name="Shut the account").click()
    expect(changes.get_by_text("shut", exact=True)).to_be_visible()


def test_all_is_reached_by_keys(tab: Page, root: str) -> None:
    sign_in(tab, root, "R. Reader")
    tab.keyboard.press("Tab")
    expect(tab.get_by_role("link", name="To the content")).to_be_focused()
    tab.keyboard.press("Enter")
    expect(tab.locator("main")).to_be_focused()
    tab.keyboard.press("Tab")
    expect(tab.get_by_role("searchbox")).to_be_focused()
    for _ in range(2):
        tab.keyboard.press("Tab")
    tab.keyboard.press("Enter")  # the filters unfold
    expect(tab.get_by_label("Part, by name or number")).to_be_visible()
    outline = tab.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert outline == "solid"


@pytest.fixture(scope="module")
def inside(browser: Browser, root: str) -> Iterator[BrowserContext]:
    """Somebody who is signed in."""
    context = browser.new_context(viewport={"width": 1100, "height": 900})
    context.set_default_timeout(PATIENCE)
    page = context.new_page()
    sign_in(page, root, "K. Keeper")
    page.close()
    yield context
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_checker_of_accessibility_finds_nothing(
    inside: BrowserContext, root: str, scheme: str
) -> None:
    page = inside.new_page()
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    found = {}
    # By dark the colours alone are others, and these pages have them all.
    for path in (*READ, "/people") if scheme == "light" else (*READ[1:3], READ[6], "/people"):
        page.goto(root + path)
        page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
        found[path] = axe_faults(page)
    page.close()
    assert [f"{path}: {one}" for path, faults in found.items() for one in faults] == []


def test_nothing_is_wider_than_a_narrow_screen(inside: BrowserContext, root: str) -> None:
    page = inside.new_page()
    page.set_viewport_size({"width": 320, "height": 640})
    wide = {}
    for path in (*READ, "/people", "/sign-in"):
        page.goto(root + path)
        page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
        width = page.evaluate("document.documentElement.scrollWidth")
        if width > 320:
            wide[path] = width
    page.close()
    assert wide == {}


def test_nothing_of_a_hostile_text_runs(inside: BrowserContext, root: str) -> None:
    page = inside.new_page()
    asked = []
    page.on("dialog", lambda one: (asked.append(one.message), one.dismiss()))
    for path in (
        "/?q=%3Cimg+src%3Dx+onerror%3Dalert(1)%3E",
        "/where-used?what=%22%3E%3Csvg+onload%3Dalert(1)%3E",
        "/procedures/%3Cscript%3Ealert(1)%3C%2Fscript%3E",
    ):
        page.goto(root + path)
    refused = page.evaluate(
        """() => new Promise((done) => {
          const tell = (one) => done(one.violatedDirective);
          document.addEventListener("securitypolicyviolation", tell);
          const made = document.createElement("script");
          made.textContent = "window.ran = true";
          document.body.append(made);
        })"""
    )
    assert refused.startswith("script-src")
    assert page.evaluate("window.ran") is None
    page.close()
    assert asked == []
