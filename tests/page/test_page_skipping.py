"""Who looks at a step that a decision passes by is told so; who was sent there is not held up."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, expect
from publish import sample

from . import small_page
from .axe_faults import axe_faults
from .test_page_browser import PATIENCE, Tab

LOOK = {
    "question": "Is it worn?",
    "ways": [{"when": "it is sound", "step": "fit"}, {"when": "it is worn", "step": "mend"}],
}


def steps(*keys: str, **more: Any) -> list[dict[str, Any]]:
    return [{"id": key, "action": f"Do {key}.", **more} for key in keys]


def write(folder: Path, *decided: dict[str, Any]) -> str:
    """Write a page whose first step is a decision and return its address."""
    sections = [{"id": "work", "title": "Work", "steps": [*decided]}]
    for name, content in small_page.page_files(
        sample.draft(sections=sections, findings="none", stacks="none", general_hazards="none")
    ).items():
        (folder / name).write_bytes(content)
    return (folder / "index.html").as_uri()


@pytest.fixture(params=[(390, 844), (820, 1180)], ids=["phone", "tablet"])
def context(browser: Browser, request: pytest.FixtureRequest) -> Iterator[BrowserContext]:
    width, height = request.param
    made = browser.new_context(viewport={"width": width, "height": height})
    made.set_default_timeout(PATIENCE)
    yield made
    made.close()


def test_a_step_that_is_passed_by_says_who_sends_there(
    context: BrowserContext, tmp_path: Path
) -> None:
    address = write(tmp_path, *steps("look", decision=LOOK), *steps("mend", "fit"))
    tab = Tab(context, address)
    told = tab.page.locator("#step-2 .passed")
    tab.go("step-2")
    expect(told).to_have_text(
        "Skip step 2 unless step 1 sends you here. If it is sound: Go to step 3.",
        use_inner_text=True,
    )
    # Above what is done there, and within the screen.
    box, action = told.bounding_box(), tab.page.locator("#step-2 .action").bounding_box()
    assert box is not None
    assert action is not None
    assert box["y"] + box["height"] <= action["y"]
    assert 0 <= box["x"] <= box["x"] + box["width"] <= context.pages[0].viewport_size["width"]
    assert tab.page.locator("#step-1 .passed, #step-3 .passed").count() == 0
    told.get_by_role("link", name="step 3").click()
    expect(tab.page.locator("#step-3.shown")).to_have_count(1)
    # The job was sent there: the step is to be done, and only a quiet line says when it is.
    tab.go("start")
    tab.begin()
    tab.go("step-1")
    tab.page.click("#step-1 .way >> nth=1")
    expect(tab.page.locator("#step-2.shown")).to_have_count(1)
    expect(told).to_have_text("Done only when step 1 sends you here.", use_inner_text=True)
    assert tab.faults == []  # later a checker asks for more than the page does
    assert axe_faults(tab.page) == []
    # On paper nobody is led on.
    tab.page.emulate_media(media="print")
    expect(told).to_contain_text("Skip step 2 unless step 1 sends you here.", use_inner_text=True)
    expect(told.locator(".sent")).to_be_hidden()


def test_where_nobody_sends_a_job_it_is_told_to_skip_the_step_there_too(
    context: BrowserContext, tmp_path: Path
) -> None:
    ways = [{"when": "it is sound", "step": "fit"}, {"when": "it is worn", "stop": "Tag it."}]
    decided = steps("look", decision={**LOOK, "ways": ways})
    tab = Tab(context, write(tmp_path, *decided, *steps("mend", "fit")))
    tab.begin()
    tab.go("step-2")
    told = tab.page.locator("#step-2 .passed")
    words = "Skip step 2. If it is sound: Go to step 3."
    expect(told).to_have_text(words, use_inner_text=True)
    tab.move_here()
    expect(tab.page.locator("#step-2 .looking")).to_be_hidden()
    expect(told).to_have_text(words, use_inner_text=True)


def test_several_who_send_a_job_are_all_named(context: BrowserContext, tmp_path: Path) -> None:
    more = steps("again", "once-more", goes_to="mend")
    tab = Tab(context, write(tmp_path, *steps("look", decision=LOOK), *steps("mend", "fit"), *more))
    tab.go("step-2")
    expect(tab.page.locator("#step-2 .passed")).to_contain_text(
        "Skip step 2 unless step 1, step 4 or step 5 sends you here.", use_inner_text=True
    )
