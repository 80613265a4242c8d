"""The work page in real Chromium sends its record to the library it was served from."""

from __future__ import annotations

import hashlib
import re
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from library.record_samples import NAME, content_of, job, lid, reading, sent
from library.shops import put
from library.test_records_open import worn
from page import small_page
from page.axe_faults import axe_faults
from page.test_page_browser import Tab
from playwright.sync_api import Browser, BrowserContext, expect
from publish import sample

from author.contract import read_procedure
from author.library.shop import open_shop
from author.publish.page import PagePicture, work_page
from author.publish.published_yaml import published_yaml
from author.serve.application import create_app
from author.serve.settings import Settings
from author.storage import new_generation
from author.tasks.library_records import readings, unit_list, unit_report

from .conftest import PASSWORD

PATIENCE = 20_000
ID = "upper-wheel-bearings"


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    made = browser.new_context(viewport={"width": 820, "height": 1180})
    made.set_default_timeout(PATIENCE)
    yield made
    made.close()


@pytest.fixture
def served(shop: Path) -> Iterator[str]:
    """Publish the small job in the library and serve it; give the server's address."""
    plain = small_page.document()
    file = put(shop / "procedures" / ID, plain)
    content = hashlib.sha256(published_yaml(read_procedure(file).procedure)).hexdigest()
    pictures = {"guard-off": PagePicture("stills/01-guard-off.jpg", 640, 360)}
    with new_generation(shop / "procedures" / ID / "published") as made:
        for name, data in work_page(small_page.draft(), pictures, {}, content=content).items():
            made.write(f"page/{name}", data)
        made.write("page/stills/01-guard-off.jpg", sample.picture((640, 360), 1).jpeg)
        made.commit(
            {"procedure": ID, "revision": plain["revision"], "state": plain["state"], "draft": True}
        )
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    app = create_app(shop, Settings())
    config = uvicorn.Config(app, host="127.0.0.1", port=port, log_level="warning")
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join()


def faults(tab: Tab) -> list[str]:
    """Return what went wrong on a page, but for what was done to it on purpose."""
    expected = (
        "ERR_INTERNET_DISCONNECTED", f"/procedures/{ID}/records", "/static/bench.js", "/standing?"
    )  # fmt: skip
    return [one for one in tab.faults if not any(words in one for words in expected)]


def sign_in(context: BrowserContext, root: str, to: str) -> None:
    page = context.new_page()
    page.goto(f"{root}/sign-in?to={to}")
    page.fill("[name=name]", "R. Reader")
    page.fill("[name=password]", PASSWORD)
    page.click("main button[type=submit]")
    page.wait_for_url(f"{root}{to}")
    page.close()


WORK = f"/procedures/{ID}/page/index.html"


def opened(context: BrowserContext, root: str) -> Tab:
    sign_in(context, root, "/units")
    return Tab(context, f"{root}{WORK}")


def measured_and_stopped(tab: Any, *values: str) -> None:
    """Work to the second step, read the bore, and stop the job there."""
    tab.page.fill("#who-serial", "BS-350 7")
    tab.work_on_to_step_2()
    tab.page.fill("#step-2-spec-1-number", "G-7")
    tab.page.keyboard.press("Enter")
    for n, value in enumerate(values, 1):
        tab.page.fill(f"#step-2-spec-1-box-{n}", value)
        tab.page.keyboard.press("Enter")
    tab.go("other")
    tab.page.fill("#finding", "A crack in the frame")
    tab.page.check("#finding-holds")
    tab.page.click("[data-note=finding]")
    tab.page.click("[data-act=halt]")
    expect(tab.page.locator("#stop")).to_be_visible()


def test_a_record_goes_to_the_shop_and_is_on_the_units_page_and_in_the_plot(
    context: BrowserContext, served: str, shop: Path
) -> None:
    tab = opened(context, served)
    expect(tab.page.locator("#start .sending")).to_be_hidden()
    measured_and_stopped(tab, "39.990", "39.986")
    place = tab.page.locator("#stop .sending")
    place.locator("button").click()
    expect(place.locator("p")).to_contain_text("Kept by the shop")
    expect(place.locator("p a")).to_have_attribute("href", re.compile("^/units/.+/records/"))
    assert axe_faults(tab.page) == []
    # It is kept once; and what comes later is another state of the same job.
    place.locator("button").click()
    expect(place.locator("p")).to_contain_text("The shop had it already")
    tab.go("finish")
    place = tab.page.locator("#finish .sending")
    expect(place.locator("p")).to_contain_text("had it already")
    tab.page.fill("#hours-0", "1.5")
    tab.page.keyboard.press("Tab")
    expect(place.locator("p")).to_have_text("Changed since it was sent. Send it again.")
    place.locator("button").click()
    expect(place.locator("p")).to_contain_text("Kept by the shop")
    assert faults(tab) == []

    (unit,) = unit_list(shop).value
    report = unit_report(shop, unit.slug).value
    assert sorted(one.latest for one in report.jobs) == [False, True]
    assert "A crack in the frame" in {one.what for one in report.open}
    page = context.new_page()
    page.goto(f"{served}/units/{unit.slug}")
    expect(page.locator("main")).to_contain_text("A crack in the frame")
    page.click("#jobs ~ ul a >> nth=0")
    expect(page.locator("main")).to_contain_text("39.986 mm")
    page.click("text=Bore diameter, across")
    chart = page.locator(".chart img")
    assert chart.evaluate("(image) => image.decode().then(() => image.naturalWidth)") > 300
    expect(chart).to_have_attribute("alt", "Run chart of Bore diameter: 0 readings of 1 job, 0 re"
                                    "jected. 2 readings not counted: taken again, taken back, or "
                                    "of a job that is not done. No sign of a drift.")  # fmt: skip
    drawn = page.request.get(f"{served}{chart.get_attribute('src')}").text()
    assert "upper limit 40.007" in drawn
    assert axe_faults(page) == []
    series = readings(shop, ID, "bore").value
    assert [str(one.shown) for one in series.points] == ["39.990", "39.986"]


def test_without_a_network_the_record_waits_on_the_device_and_outlives_its_job(
    context: BrowserContext, served: str, shop: Path
) -> None:
    tab = opened(context, served)
    measured_and_stopped(tab, "39.990", "39.986")
    context.set_offline(True)
    place = tab.page.locator("#stop .sending")
    place.locator("button").click()
    expect(place.locator("p")).to_contain_text("cannot be reached. It is kept on this")
    context.set_offline(False)
    expect(place.locator("p")).to_contain_text("The network is back")
    assert faults(tab) == []
    # The job is put away, its record is not.
    tab.go("start")
    tab.page.click("#kept [data-act=putAway]")
    tab.page.reload()
    waiting = tab.page.locator("#start .sending")
    expect(waiting.locator("p")).to_contain_text("was not sent yet: BS-350 7")
    # Nor does the record of another job take its place.
    measured_and_stopped(tab, "39.991")
    place.locator("button").click()
    expect(place.locator("p")).to_contain_text("Kept by the shop")
    assert [one.jobs for one in unit_list(shop).value] == [1]
    tab.go("start")
    waiting.locator("button").click()
    expect(waiting.locator("button")).to_be_hidden()
    expect(waiting.locator("p")).to_contain_text("Kept by the shop")
    tab.page.reload()
    expect(waiting).to_be_hidden()
    (unit,) = unit_list(shop).value
    assert (unit.serial, unit.jobs, unit.holds) == ("BS-350 7", 2, 2)


def test_a_job_that_is_sent_unfinished_is_said_to_be_open_still(
    context: BrowserContext, served: str, shop: Path
) -> None:
    tab = opened(context, served)
    tab.begin()
    tab.go("finish")
    expect(tab.page.locator("#record-words")).to_contain_text("Send it to the shop first.")
    place = tab.page.locator("#finish .sending")
    place.locator("button").click()
    expect(place.locator("p")).to_contain_text("UTC. The job is still open.")
    tab.page.reload()
    expect(place.locator("p")).to_have_text("The shop keeps this record. The job is still open.")
    # Once it is stopped, sending stands first and has the focus.
    tab.page.fill("#handover", "The next shift goes on")
    tab.page.click("[data-act=finishJob]")
    expect(place.locator("button")).to_be_focused()
    place.locator("button").click()
    expect(place.locator("p")).to_contain_text("UTC.")
    expect(place.locator("p")).not_to_contain_text("still open")
    assert faults(tab) == []
    assert axe_faults(tab.page) == []


def test_who_is_signed_out_is_led_to_the_form_and_loses_nothing(
    context: BrowserContext, served: str, shop: Path
) -> None:
    tab = opened(context, served)
    measured_and_stopped(tab, "39.990")
    context.clear_cookies()
    place = tab.page.locator("#stop .sending")
    place.locator("button").click()
    expect(place.locator("p")).to_contain_text("you are not signed in")
    assert unit_list(shop).value == []
    place.locator("a").click()
    tab.page.fill("[name=name]", "R. Reader")
    tab.page.fill("[name=password]", PASSWORD)
    tab.page.click("main button[type=submit]")
    tab.go("stop")
    place.locator("button").click()
    expect(place.locator("p")).to_contain_text("Kept by the shop")
    assert len(unit_list(shop).value) == 1


def test_what_the_library_refuses_is_said_with_what_to_do(
    context: BrowserContext, served: str, shop: Path
) -> None:
    tab = opened(context, served)
    measured_and_stopped(tab, "39.990")
    put(shop / "procedures" / ID, small_page.document(revision=2))
    place = tab.page.locator("#stop .sending")
    place.locator("button").click()
    expect(place.locator("p")).to_contain_text("Shelve the procedure as it was followed")
    expect(tab.page.locator("#stop .sending button")).to_be_enabled()


def test_pages_of_records_fit_a_phone_and_are_free_of_faults(
    browser: Browser, served: str, shop: Path
) -> None:
    long = "W" * 400
    put(shop / "procedures" / NAME, lid(worn))
    opened_shop = open_shop(shop)
    plain = job(
        content_of(opened_shop), unit=long, serial=long, handover=long,
        workers=[{"name": long, "role": "technician", "hours": "1.5"}],
        readings=[reading("6.50", "reject", reaction=long, by=long), reading("5.00")],
        findings=[{"what": long, "holds": True}, {"what": "The paint is chipped"}],
        questions=[{"text": long}, {"text": "Which way round?", "step": "guard-on"}],
        deviations=[{"step": "guard-on", "what": long, "reason": long}],
    )  # fmt: skip
    kept = sent(opened_shop, plain).kept
    unit = f"/units/{kept.slug}"
    for scheme, width in (("dark", 320), ("light", 1280)):
        context = browser.new_context(
            viewport={"width": width, "height": 700},
            color_scheme=scheme,  # type: ignore[arg-type]
        )
        page = context.new_page()
        said: list[str] = []
        page.on("console", lambda m, said=said: said.append(m.text) if m.type == "error" else None)
        page.goto(f"{served}/sign-in?to=/units")
        page.fill("[name=name]", "K. Keeper")
        page.fill("[name=password]", PASSWORD)
        page.click("main button[type=submit]")
        page.wait_for_url(f"{served}/units")
        for path in (
            "/units", unit, f"{unit}/records/{kept.key}", "/readings", f"/readings/{NAME}/gap",
            "/questions", "/hours",
        ):  # fmt: skip
            page.goto(f"{served}{path}")
            page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
            assert page.evaluate("document.documentElement.scrollWidth") <= width, path
            assert axe_faults(page) == [], (path, scheme)
        assert said == []
        context.close()


def test_a_page_left_open_begins_no_job_by_what_went_out_of_use_meanwhile(
    context: BrowserContext, served: str, shop: Path
) -> None:
    tab = opened(context, served)
    file = shop / "procedures" / ID / "procedure.yaml"
    text = file.read_text(encoding="utf-8")
    file.write_text(re.sub("state: [a-z_]+", "state: withdrawn", text, count=1), encoding="utf-8")
    tab.page.fill("#who-name", "Ann Bee")
    tab.page.click("[data-act=beginJob]")
    band = tab.page.locator("#not-in-force")
    expect(band).to_contain_text("Stop, and ask before you go on.")
    expect(tab.page.locator("#start")).to_be_visible()
    assert [one for one in tab.asked if "No job is begun by it" in one]
    assert axe_faults(tab.page) == []
    file.write_text(text, encoding="utf-8")
    tab.page.click("[data-act=beginJob]")
    expect(tab.page.locator("#ready-title")).to_be_focused()
    expect(band).to_be_hidden()
