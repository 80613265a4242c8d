"""What the work page tells at its head: how it stands, and jobs kept of other revisions."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from document.examples import facts_of
from playwright.sync_api import Browser, expect

from author.checks.verdict import check
from author.contract import read_procedure
from author.publish.page import PagePicture, work_page
from author.resources import schema_folder

from . import small_page
from .axe_faults import axe_faults
from .test_page_browser import PATIENCE, Tab

# The job of this page, as if another revision of it had been open when it was begun.
OF_ANOTHER = """() => {
  const own = Object.keys(localStorage).find((key) => key.endsWith("/job"));
  const kept = JSON.parse(localStorage.getItem(own));
  kept.job.procedure.revision = 2;
  localStorage.setItem(own.replace(/[^/]*.job$/, "2/job"), JSON.stringify(kept));
  localStorage.removeItem(own);
  // And what is no job: it is passed over.
  localStorage.setItem(own.replace(/[^/]*.job$/, "1/job"), '{"job": {"workers": [{"name": "A"}]}}');
}"""
KEPT = "() => Object.keys(localStorage).filter((key) => key.endsWith('/job')).length - 1"


def test_a_job_of_another_revision_stays_in_sight_till_it_is_put_away(
    browser: Browser, tmp_path: Path
) -> None:
    small_page.write_page(tmp_path)
    context = browser.new_context(viewport={"width": 390, "height": 844}, accept_downloads=True)
    context.set_default_timeout(PATIENCE)
    tab = Tab(context, (tmp_path / "index.html").as_uri())
    expect(tab.page.locator("#others")).to_be_hidden()
    tab.begin()
    tab.page.evaluate(OF_ANOTHER)
    tab.page.goto((tmp_path / "index.html").as_uri() + "#start")
    tab.page.reload()
    row = tab.page.locator("#others-list li")
    expect(row).to_have_count(1)
    expect(row).to_contain_text("Revision 2")
    expect(row).to_contain_text("by Ann Bee: open.")
    expect(tab.page.locator("#who")).to_be_visible()
    with tab.page.expect_download() as saved:
        row.get_by_text("Save its record as a file").click()
    record = json.loads(Path(saved.value.path()).read_text(encoding="utf-8"))
    assert record["procedure"]["revision"] == 2
    assert tab.faults == []  # later a checker asks for more than the page does
    assert axe_faults(tab.page) == []
    # Another job is begun beside it, and neither takes the place of the other.
    tab.begin()
    assert tab.page.evaluate(KEPT) == 2
    tab.go("start")
    row.get_by_text("Put it away").click()
    expect(tab.page.locator("#others")).to_be_hidden()
    expect(tab.page.locator("#kept")).to_be_visible()
    assert tab.page.evaluate(KEPT) == 1
    assert len(tab.asked) == 1
    context.close()


@pytest.mark.parametrize(
    ("state", "words"),
    [("draft", "Draft: nobody has approved it"), ("in_review", "In review: not approved yet")],
)
def test_a_page_says_that_nobody_has_approved_it_yet(state: str, words: str) -> None:
    read = read_procedure(schema_folder() / "examples" / "valid" / "everything-once.yaml")
    procedure = read.procedure.model_copy(update={"state": state})
    verdict = check(procedure, facts_of(procedure))
    assert verdict.checked is not None
    steps = [placed.step for placed in read.procedure.placed_steps()]
    pictures = {one.id: PagePicture(f"stills/{one.id}.jpg", 640, 360) for one in steps if one.still}
    page = work_page(verdict.checked, pictures, {}, content="0" * 64)["index.html"].decode()
    head = page[page.index('<header class="top">') : page.index("</header>")]
    assert f"<strong>{words}</strong>" in head
