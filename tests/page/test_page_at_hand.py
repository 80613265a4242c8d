"""What is at hand on a small screen: the way on, what to fetch, and what a second Enter does."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, expect

from . import small_page
from .test_page_browser import PATIENCE, Tab

Opened = Callable[[int, int], Tab]


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    return small_page.write_page(tmp_path_factory.mktemp("page")).as_uri()


@pytest.fixture
def opened(browser: Browser, address: str) -> Iterator[Opened]:
    """Open the page at a width and height."""
    tabs: list[Tab] = []

    def opened(width: int, height: int) -> Tab:
        context = browser.new_context(viewport={"width": width, "height": height})
        context.set_default_timeout(PATIENCE)
        tabs.append(Tab(context, address))
        return tabs[-1]

    yield opened
    for tab in tabs:
        assert tab.faults == []
        tab.page.context.close()


def box(place: Locator) -> dict[str, Any]:
    found = place.bounding_box()
    assert found is not None
    return {**found, "end": found["y"] + found["height"]}


@pytest.mark.parametrize("width", [320, 390, 820])
def test_the_arrow_of_the_way_on_stays_beside_its_words(opened: Opened, width: int) -> None:
    tab = opened(width, 844)
    tab.work_on_to_step_2()
    press = tab.page.locator("#go-on")
    tab.page.locator("#look-back > span").last.evaluate("(one) => { one.textContent = '26'; }")
    # The longest words there are, with something open and without.
    for words, more in (("Choose the way on", "5 still open"), ("Go on to step 312", "")):
        tab.page.locator("#go-on > span").evaluate(
            "(one, words) => { one.textContent = words; }", words
        )
        tab.page.locator("#go-on > small").evaluate(
            "(one, more) => { one.textContent = more; }", more
        )
        text, arrow, whole = box(press.locator("> span")), box(press.locator("svg")), box(press)
        assert arrow["y"] < text["end"]
        assert arrow["end"] > text["y"]
        assert arrow["x"] > text["x"]
        assert arrow["x"] + arrow["width"] < whole["x"] + whole["width"]
        if more and width < 820:
            assert box(press.locator("small"))["y"] >= text["end"] - 1
        if width >= 390:
            assert text["height"] < 40  # on one line


@pytest.mark.parametrize("width", [390, 820, 1440])
def test_what_to_fetch_and_what_has_to_be_right_is_seen_before_the_film(
    opened: Opened, width: int
) -> None:
    tab = opened(width, 900)
    tab.go("step-1")
    ahead, film = tab.page.locator("#step-1 .ahead"), box(tab.page.locator("#step-1 .film"))
    if width < 1080:
        assert box(ahead)["end"] <= film["y"]
    else:
        expect(ahead).to_be_hidden()
        assert box(tab.page.locator("#step-1 .doing"))["x"] > film["x"] + film["width"]


def test_a_second_enter_after_the_last_reading_begins_no_new_one(opened: Opened) -> None:
    tab = opened(820, 1180)
    tab.work_on_to_step_2()
    tab.page.fill("#step-2-spec-1-number", "G-1")
    tab.page.click("#step-2-spec-1 [data-act=useInstrument]")
    for place in (1, 2):
        tab.page.fill(f"#step-2-spec-1-box-{place}", "39.990")
        tab.page.press(f"#step-2-spec-1-box-{place}", "Enter")
    last = tab.page.locator("#step-2-spec-1 .box").nth(1)
    expect(last.locator(".taken")).to_be_focused()
    tab.page.keyboard.press("Enter")
    expect(last).to_have_class("box done")
    expect(last.locator("input")).to_be_hidden()
    # Whoever wants to measure again can.
    last.locator("[data-act=measureAgain]").click()
    expect(last.locator("input")).to_be_focused()


def test_lines_of_a_caption_are_broken_for_the_screen(opened: Opened) -> None:
    for width, kept in ((390, "normal"), (820, "pre-line")):
        tab = opened(width, 844)
        tab.go("step-1")
        shown = tab.page.locator("#step-1 .caption").evaluate(
            "one => getComputedStyle(one).whiteSpace"
        )
        assert shown == kept


def test_the_sign_of_a_second_person_is_a_tick(opened: Opened) -> None:
    tab = opened(390, 844)
    sign = tab.page.locator("#step-3 .seen-by").first
    hole, ground = sign.evaluate(
        "one => ['--hole', '--paper'].map((name) => getComputedStyle(one).getPropertyValue(name))"
    )
    assert hole == ground
