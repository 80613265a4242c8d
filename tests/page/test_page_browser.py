"""The work page in a real browser: from disk and from a server, by keyboard alone."""

import io
import json
import re
import shutil

import jsonschema
import numpy as np
import pytest
from generate import pixel_code
from PIL import Image
from playwright.sync_api import expect

from author.checks.verdict import check
from author.procedure.document import Procedure
from author.resources import schema_folder
from page import small_page
from page.axe_faults import axe_faults_in_both

# Seconds a loaded machine may take for what an idle one does at once.
PATIENCE = 60_000
LAST = len(small_page.TICKS) - 1


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("page")
    small_page.write_page(made)
    return made


@pytest.fixture
def context(browser):
    made = browser.new_context(viewport={"width": 820, "height": 1180}, accept_downloads=True)
    made.set_default_timeout(PATIENCE)
    yield made
    made.close()


class Tab:
    """A tab that fails on errors of the page and on requests that leave the folder."""

    def __init__(self, context, address):
        self.page = context.new_page()
        self.root = address.rpartition("/")[0]
        self.faults = []
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))
        self.asked = []
        self.page.on("dialog", self._answer)
        self.page.on("console", lambda m: m.type == "error" and self.faults.append(m.text))
        self.page.on("request", self._looked_at)
        self.page.goto(address)

    def _looked_at(self, request):
        if not request.url.startswith((self.root, "data:", "blob:")):
            self.faults.append(f"asks for {request.url}")

    def _answer(self, dialog):
        self.asked.append(dialog.message)
        dialog.accept()

    def take_back(self, name=None):
        """Take the reading back that is shown first; one that stops the job with a name."""
        self.page.locator("#step-2 [data-act=takeBack]:visible").first.click()
        if name is None:
            self.page.click("#mistyped")
            return
        self.page.fill("#retake-why", "Mistyped")
        self.page.fill("#retake-by", name)
        self.page.locator("#retake .entry [data-act=retake]").click()

    def begin(self):
        self.page.fill("#who-name", "Ann Bee")
        self.page.click("[data-act=beginJob]")
        expect(self.page.locator("#ready-title")).to_be_focused()

    def go(self, label):
        self.page.evaluate("(label) => { location.hash = label; }", label)
        expect(self.page.locator(f"#{label}.shown")).to_have_count(1)

    def read_hazards(self):
        for _ in range(2):
            self.page.locator("#step-1 [data-act=pressRead]:visible").first.click()

    def work_on_to_step_2(self):
        self.begin()
        self.go("step-1")
        self.read_hazards()
        self.page.click("#step-1 [data-met=yes]")
        self.page.click("#go-on")
        expect(self.page.locator("#step-2-title")).to_be_focused()

    def move_here(self):
        """Move the job to the step that is looked at, by a deviation."""
        self.page.click(".step.shown [data-act=askJump]")
        for name in ("what", "why", "by"):
            self.page.fill(f"#deviation-{name}", f"words for {name}")
        self.page.click("[data-act=goDeviating]")

    def until(self, expression):
        """Wait for something on the page, which may not run words of ours itself."""
        for _ in range(PATIENCE // 20):
            if self.page.evaluate(expression):
                return
            self.page.wait_for_timeout(20)
        raise AssertionError(f"never came true: {expression}")

    def until_shown(self, number):
        """Wait until the picture of the clip carries a number in its pixels.

        What is sought is there before it is painted: a loaded machine takes its time.
        """
        for _ in range(PATIENCE // 100):
            shown = self.number_shown()
            if shown == number:
                return
            self.page.wait_for_timeout(50)
        raise AssertionError(f"shows {shown}, not {number}")

    def number_shown(self):
        """Return the number that the picture of the clip carries in its pixels."""
        data = self.page.locator("#step-1 video").screenshot()
        shown = Image.open(io.BytesIO(data)).convert("RGB").resize(small_page.SIZE)
        return pixel_code.read(np.asarray(shown))


@pytest.fixture
def tab(context, folder):
    opened = Tab(context, (folder / "index.html").as_uri())
    yield opened
    assert opened.faults == []


def video(tab, what):
    return tab.page.evaluate(f"document.querySelector('#step-1 video').{what}")


def test_hazards_hold_the_clip_until_they_are_read(tab):
    tab.begin()
    tab.go("step-1")
    cover = tab.page.locator("#step-1 .cover")
    expect(cover).to_be_visible()
    assert tab.page.locator("#step-1 [data-do=play]").is_disabled()
    tab.page.locator("#step-1 [data-act=pressRead]").first.click()
    expect(cover).to_be_visible()
    assert video(tab, "paused")
    tab.page.locator("#step-1 [data-act=pressRead]:visible").click()
    expect(cover).to_be_hidden()
    tab.until("!document.querySelector('#step-1 video').paused")
    assert video(tab, "muted")


def test_a_job_without_a_name_is_not_begun_and_the_field_says_so(tab):
    tab.page.click("[data-act=beginJob]")
    expect(tab.page.locator("#who-problem")).to_be_visible()
    expect(tab.page.locator("#who-name")).to_be_focused()
    tab.begin()


def test_what_another_role_answers_for_is_ticked_by_somebody_of_that_role(tab):
    tab.begin()
    tab.go("finish")
    own, others = (tab.page.locator(f"#after-{n}") for n in (1, 2))
    own.check()
    expect(own).to_be_checked()
    others.click()
    expect(others).not_to_be_checked()
    expect(tab.page.locator("#trouble-words")).to_contain_text("Tool room supervisor")


def opened_clip(tab):
    tab.begin()
    tab.go("step-1")
    tab.read_hazards()
    tab.until("!document.querySelector('#step-1 video').paused")


def test_the_clip_loops_without_sound_and_its_captions_come_and_go(tab):
    opened_clip(tab)
    tab.page.evaluate(
        """() => {
          const video = document.querySelector("#step-1 video");
          const line = document.querySelector("#step-1 .caption");
          [window.turns, window.said, window.before] = [0, new Set(), 0];
          video.addEventListener("timeupdate", () => {
            if (video.currentTime < before) turns += 1;
            before = video.currentTime;
          });
          new MutationObserver(() => said.add(line.textContent)).observe(line, {childList: true});
        }"""
    )
    tab.until("turns >= 2 && said.size >= 2")
    assert set(tab.page.evaluate("[...said]")) <= {"", "First the guard.", "Mind <the> edge."}
    tab.page.click("#step-1 [data-do=captions]")
    expect(tab.page.locator("#step-1 .caption")).to_be_hidden()
    tab.page.click("#step-1 [data-do=slow]")
    assert video(tab, "playbackRate") == 0.5
    tab.page.click("#step-1 [data-do=sound]")
    assert not video(tab, "muted")


def test_pictures_are_picked_one_by_one_exactly(tab):
    """Each picture carries its own number in its pixels; the first follows the last."""
    opened_clip(tab)
    tab.page.click("#step-1 [data-do=play]")
    tab.page.evaluate("document.querySelector('#step-1 video').currentTime = 0.001")
    place = tab.page.locator("#step-1 .at-picture")
    expect(place).to_have_text(f"Picture 1 of {LAST + 1}. ")
    for name, numbers in (("on", range(1, 7)), ("back", (5, 4, 3, 2, 1, 0, LAST, LAST - 1))):
        for number in numbers:
            tab.page.click(f"#step-1 [data-do={name}]")
            expect(place).to_have_text(f"Picture {number + 1} of {LAST + 1}. ")
            tab.until("!document.querySelector('#step-1 video').seeking")
            tab.until_shown(number)


def test_clips_stay_still_where_motion_is_to_be_reduced(browser, folder):
    context = browser.new_context(reduced_motion="reduce")
    tab = Tab(context, (folder / "index.html").as_uri())
    tab.begin()
    tab.go("step-1")
    tab.read_hazards()
    expect(tab.page.locator("#step-1 .cover")).to_be_hidden()
    assert video(tab, "paused")
    context.close()


def test_from_a_server_the_clip_plays_and_loops(context, folder, served):
    tab = Tab(context, f"{served(folder)}/index.html")
    opened_clip(tab)
    tab.page.evaluate(
        """() => {
          const video = document.querySelector("#step-1 video");
          [window.turns, window.before] = [0, 0];
          video.addEventListener("timeupdate", () => {
            if (video.currentTime < before) turns += 1;
            before = video.currentTime;
          });
        }"""
    )
    tab.until("turns >= 1")
    assert tab.faults == []


def test_pictures_are_picked_even_where_a_server_sends_no_parts_of_files(context, folder, served):
    tab = Tab(context, f"{served(folder)}/index.html")
    opened_clip(tab)
    tab.page.click("#step-1 [data-do=play]")
    tab.page.click("#step-1 [data-do=on]")
    tab.until("document.querySelector('#step-1 video').currentSrc.startsWith('blob:')")
    place = tab.page.locator("#step-1 .at-picture")
    for _ in range(3):
        tab.page.click("#step-1 [data-do=on]")
        tab.until("!document.querySelector('#step-1 video').seeking")
    told = place.text_content()
    assert told.endswith(f" of {LAST + 1}. ")
    tab.until_shown(int(told.split()[1]) - 1)
    expect(tab.page.locator("#step-1 .whole")).to_be_hidden()
    assert tab.faults == []


def test_stills_of_all_steps_are_there_once_the_job_has_begun(context, folder, served):
    tab = Tab(context, f"{served(folder)}/index.html")
    assert tab.page.evaluate("document.querySelector('#step-1 .still img').naturalWidth") == 0
    tab.begin()
    tab.until("document.querySelector('#step-1 .still img').naturalWidth > 0")
    context.set_offline(True)
    expect(tab.page.locator("#offline")).to_be_visible()
    tab.go("step-1")
    tab.read_hazards()
    assert tab.page.locator("#step-1 .still .frame").is_visible()
    assert tab.page.locator("#step-1 .lost").is_hidden()
    context.set_offline(False)
    expect(tab.page.locator("#offline")).to_be_hidden()


def test_words_do_not_send_to_a_picture_that_is_missing(context, folder, served):
    context.route(re.compile(r"/(stills|clips)/"), lambda route: route.abort())
    tab = Tab(context, f"{served(folder)}/index.html")
    tab.begin()
    tab.go("step-1")
    tab.read_hazards()
    expect(tab.page.locator("#step-1 .lost")).to_be_visible()
    tab.page.locator("#step-1 [data-do=play]").click()
    broken = tab.page.locator("#step-1 .broken")
    expect(broken).to_be_visible()
    assert "picture" not in broken.inner_text()
    context.unroute_all()
    tab.page.evaluate("dispatchEvent(new Event('online'))")
    expect(tab.page.locator("#step-1 .lost")).to_be_hidden()
    expect(tab.page.locator("#step-1 .still .frame")).to_be_visible()


def test_adding_somebody_who_allowed_something_is_asked(context, folder):
    tab = Tab(context, (folder / "index.html").as_uri())
    tab.begin()
    tab.go("step-1")
    tab.read_hazards()
    tab.page.click("#go-on")
    for name, words in (("what", "Went on"), ("why", "No tray"), ("by", "Kim Olsen")):
        tab.page.fill(f"#deviation-{name}", words)
    tab.page.click("[data-act=goDeviating]")
    tab.go("ready")
    tab.page.locator("#hands summary").click()
    tab.page.fill("#more-name", "K. O.")
    tab.page.click("[data-act=addHand]")
    expect(tab.page.locator("#more-problem")).to_contain_text("allowed a deviation at step 1")
    expect(tab.page.locator("#worker-list")).not_to_contain_text("K. O.")
    tab.page.click("#more-problem button")
    row = tab.page.locator("#worker-list li").last
    expect(row).to_contain_text("(allowed a deviation at step 1)")
    expect(tab.page.locator("#more-problem")).to_be_hidden()


# --- a whole job by keyboard ---


class Keys:
    """Hands that have a keyboard and nothing else."""

    def __init__(self, tab):
        self.page = tab.page

    def focused(self):
        return self.page.evaluate(
            """() => {
              const one = document.activeElement;
              const label = one.id && document.querySelector(`label[for="${one.id}"]`);
              return (label || one).textContent.trim().replace(/\\s+/g, " ");
            }"""
        )

    def to(self, words, most=80):
        """Go on by Tab until the focus is on what is called by these words."""
        for _ in range(most):
            self.page.keyboard.press("Tab")
            if self.focused().startswith(words):
                return self
        raise AssertionError(f"{words!r} is not reached by Tab; at {self.focused()!r}")

    def type(self, words):
        self.page.keyboard.type(words)
        return self

    def enter(self):
        self.page.keyboard.press("Enter")
        return self

    def space(self):
        self.page.keyboard.press("Space")
        return self


def test_a_whole_job_by_keyboard_gives_a_record_that_validates(tab):
    page, keys = tab.page, Keys(tab)
    keys.to("Your name").type("Ann Bee").enter()
    expect(page.locator("#ready-title")).to_be_focused()
    for words in ("Those who use", "The saw is isolated", "The blade is off"):
        keys.to(words).space()
    for _ in range(2):
        keys.to("I have read this").enter()
    keys.to("Go to step 1").enter()
    expect(page.locator("#step-1-title")).to_be_focused()
    keys.to("I have read this").enter().enter()
    # A second press marks nothing: the focus is on the words of the next.
    expect(page.locator("#step-1 .hazard.done")).to_have_count(1)
    keys.to("I have read this").enter()
    keys.to("Yes, it is so").enter()
    keys.to("Go on to step 2").enter()
    expect(page.locator("#step-2-title")).to_be_focused()
    keys.to("Serial or inventory number of the bore gauge").type("G-7").enter()
    expect(page.locator("#step-2-spec-1-box-1")).to_be_focused()
    keys.type("39,97").enter()
    expect(page.locator("#step-2 .reaction:focus")).to_contain_text("Clean and measure again")
    keys.to("Done: measure again").enter().type("39.990").enter()
    expect(page.locator("#step-2-spec-1-box-2")).to_be_focused()
    keys.type("39.986").enter()
    expect(page.locator("#step-2 .reading.accept")).to_have_count(3)
    keys.to("If both readings are inside").enter()
    expect(page.locator("#step-3-title")).to_be_focused()
    finish_last_step(page, keys)
    expect(page.locator("#finish-title")).to_be_focused()
    keys.to("What the next person").type("Guide blocks are next.")
    keys.to("Finish the job").enter()
    expect(page.locator("#save")).to_be_focused()
    with page.expect_download() as saved:
        keys.enter()
    record = json.loads(saved.value.path().read_text(encoding="utf-8"))
    schema = json.loads((schema_folder() / "job_record.v1.schema.json").read_text())
    jsonschema.Draft202012Validator(schema).validate(record)
    assert record["outcome"] == "done"
    assert [r["verdict"] for r in record["readings"] if r["spec"] == "bore"] == [
        "reject", "accept", "accept",
    ]  # fmt: skip
    assert record["witnessed"][0]["by"] == "C D"
    assert record["handover"] == "Guide blocks are next."


def finish_last_step(page, keys):
    keys.to("Round 1").space()
    keys.to("Round 2").space()
    keys.to("Serial or inventory number of the torque wrench").type("W1").enter()
    keys.type("9.5").enter().type("9,6").enter()
    keys.to("As it must be").enter()
    keys.to("Number on the part").type("TW-16")
    keys.to("Fitted").enter()
    keys.to("Initials").type("a.b.").enter()
    expect(page.locator("#step-3-witness-problem")).to_be_visible()
    page.keyboard.press("Control+A")
    keys.type("C D").enter()
    expect(page.locator("#step-3 .seen-by")).to_contain_text("C D")
    keys.to("Go on to the end").enter()


# --- what is kept, and where one is led ---


def test_nothing_typed_is_lost_on_reload(tab):
    tab.work_on_to_step_2()
    tab.go("ready")
    tab.page.check("#before-2")
    tab.go("step-2")
    tab.page.fill("#step-2-spec-1-box-1", "39.990")
    tab.page.press("#step-2-spec-1-box-1", "Enter")
    tab.page.locator("#step-2-spec-1-number").press_sequentially("G-")
    tab.page.reload()
    expect(tab.page.locator("#step-2-spec-1-number")).to_have_value("G-")
    expect(tab.page.locator("#step-2 .reading.accept .value")).to_have_text("39.990 mm")
    tab.go("ready")
    expect(tab.page.locator("#before-2")).to_be_checked()
    expect(tab.page.locator("#before-1")).not_to_be_checked()


def test_a_number_with_two_meanings_is_asked_about_and_one_left_is_decided(tab):
    tab.work_on_to_step_2()
    tab.page.fill("#step-2-spec-1-box-1", "39,990")
    tab.page.press("#step-2-spec-1-box-1", "Enter")
    tab.page.locator("#step-2 .problem button", has_text="39.990").click()
    expect(tab.page.locator("#step-2 .reading .value")).to_have_text("39.990 mm")
    tab.page.locator("#step-2-spec-1-box-2").press_sequentially("40.5")
    tab.page.locator("#step-2-title").click()
    reaction = tab.page.locator("#step-2 .reaction:visible")
    expect(reaction).to_contain_text("STOP: Send the wheel away.")
    expect(tab.page.locator("#shouted")).to_contain_text("along: 40.5 mm. Reject.")


def test_a_stop_leads_to_the_record(tab):
    tab.begin()
    tab.page.locator("#ready [data-act=pressRead]").first.click()
    tab.go("step-1")
    tab.page.click("#step-1 [data-other]")
    tab.page.fill("#finding", "A crack in the frame")
    tab.page.check("#finding-holds")
    tab.page.click("[data-note=finding]")
    tab.page.click("[data-act=halt]")
    expect(tab.page.locator("#stop-title")).to_be_focused()
    expect(tab.page.locator("#standing")).to_have_text("Job stopped")
    tab.page.click("#stop a.act")
    expect(tab.page.locator("#written")).to_contain_text("holds the unit: A crack in the frame")
    # What was typed before it is taken in first, and makes the list anew under the press.
    tab.page.fill("#handover", "Locked and tagged")
    tab.page.locator("#written button", has_text="HOLD tag").click()
    expect(tab.page.locator("#written")).to_contain_text("HOLD tag hung by Ann Bee.")


def test_what_is_open_is_listed_and_only_a_deviation_leads_past_it(tab):
    opened_clip(tab)
    tab.page.click("#go-on")
    expect(tab.page.locator("#open-list li")).to_have_count(1)
    tab.page.locator("#open-list button").click()
    assert tab.page.evaluate("document.activeElement.closest('.point') !== null")
    tab.page.click("[data-act=goDeviating]")
    expect(tab.page.locator("#deviation-problem")).to_be_visible()
    for name in ("what", "why", "by"):
        tab.page.fill(f"#deviation-{name}", f"words for {name}")
    tab.page.click("[data-act=goDeviating]")
    expect(tab.page.locator("#step-2-title")).to_be_focused()
    tab.go("finish")
    point = tab.page.locator("#step-1 .point legend").first.text_content()
    expect(tab.page.locator("#written")).to_contain_text(f"Passed over: “{point}”: not as it has")


def test_addresses_of_steps_and_the_browser_s_back_and_forward_work(context, folder):
    tab = Tab(context, (folder / "index.html").as_uri() + "#step-3")
    expect(tab.page.locator("#step-3.shown")).to_be_visible()
    tab.go("step-1")
    tab.page.go_back()
    expect(tab.page.locator("#step-3-title")).to_be_focused()
    tab.page.go_forward()
    expect(tab.page.locator("#step-1-title")).to_be_focused()
    assert tab.page.title().startswith("Step 1 of 3")


@pytest.mark.parametrize("width", [320, 390, 820, 1440])
def test_no_screen_is_wider_than_the_window(browser, folder, width):
    context = browser.new_context(viewport={"width": width, "height": 640})
    tab = Tab(context, (folder / "index.html").as_uri())
    tab.begin()
    for screen in (
        "start",
        "ready",
        "steps",
        "step-1",
        "step-2",
        "step-3",
        "finish",
        "about",
        "other",
    ):
        tab.go(screen)
        wide, small = tab.page.evaluate(
            """() => [
              document.documentElement.scrollWidth,
              [...document.querySelectorAll("a, button, input, select, textarea, summary")]
                .filter((one) => one.offsetParent && !one.matches(".skip"))
                .map((one) => [one.textContent, one.getBoundingClientRect()])
                .filter(([, box]) => box.width < 48 || box.height < 48).map(([words]) => words),
            ]"""
        )
        assert wide <= width, screen
        assert small == [], screen
    context.close()


# --- for those who do not see it, or see it otherwise ---


def test_no_screen_or_state_has_a_fault_that_axe_finds_by_light_or_dark(browser, folder):
    context = browser.new_context(
        viewport={"width": 390, "height": 844},
        reduced_motion="reduce",
        bypass_csp=True,
    )
    tab = Tab(context, (folder / "index.html").as_uri())
    found = {"start": axe_faults_in_both(tab.page)}
    tab.begin()
    for screen in ("ready", "steps", "step-1", "other", "about", "finish"):
        tab.go(screen)
        found[screen] = axe_faults_in_both(tab.page)
    tab.go("step-2")
    found["looked at"] = axe_faults_in_both(tab.page)
    tab.page.click("#step-2 [data-act=askJump]")
    found["not moved"] = axe_faults_in_both(tab.page)
    tab.go("step-1")
    tab.read_hazards()
    tab.go("step-2")
    tab.move_here()
    for value in ("39.97", "39.983", "40.5", "39.99"):
        tab.page.locator("#step-2 .entry input[inputmode]:visible").first.fill(value)
        tab.page.locator("#step-2 [data-act=decide]:visible").first.click()
        found[value] = axe_faults_in_both(tab.page)
        tab.page.locator("#step-2 [data-act=takeBack]:visible").first.click()
        found[f"{value} taken back"] = axe_faults_in_both(tab.page)
        tab.page.click("#retake [data-act=leaveRetake]")
        tab.take_back("The keeper" if value == "40.5" else None)
    tab.page.locator("#step-2 [data-act=way]").first.click()
    found["open"] = axe_faults_in_both(tab.page)
    tab.go("step-3")
    tab.move_here()
    tab.page.click("#step-3 [data-met=no]")
    found["not as asked"] = axe_faults_in_both(tab.page)
    tab.go("finish")
    tab.page.fill("#hours-0", "forty")
    tab.page.keyboard.press("Tab")
    found["hours that cannot be read"] = axe_faults_in_both(tab.page)
    tab.go("other")
    tab.page.fill("#question", "Which driver?")
    tab.page.click("[data-note=question]")
    found["receipt"] = axe_faults_in_both(tab.page)
    tab.page.click("[data-act=halt]")
    expect(tab.page.locator("#stop.shown")).to_have_count(1)
    found["stop"] = axe_faults_in_both(tab.page)
    tab.go("step-3")
    found["ended"] = axe_faults_in_both(tab.page)
    assert {name: faults for name, faults in found.items() if faults} == {}
    context.close()


def test_dark_colours_can_be_chosen_and_stay_chosen(tab):
    ground = "getComputedStyle(document.body).backgroundColor"
    before = tab.page.evaluate(ground)
    tab.page.click("#theme")
    assert tab.page.evaluate(ground) != before
    dark = tab.page.evaluate(ground)
    tab.page.reload()
    assert tab.page.evaluate(ground) == dark
    expect(tab.page.locator("#theme")).to_have_attribute("aria-pressed", "true")


def test_paper_shows_the_record_and_every_step_in_order(tab):
    tab.begin()
    tab.page.evaluate("() => { window.print = () => { window.printed = true; }; }")
    tab.go("finish")
    tab.page.click("[data-act=printAll]")
    tab.until("window.printed === true")
    tab.page.emulate_media(media="print")
    shown = tab.page.evaluate(
        """() => ["paper", "start", "step-1", "step-2", "step-3", "finish"]
          .map((id) => document.getElementById(id).getBoundingClientRect())
          .map((box) => box.height > 0 ? box.top + scrollY : -1)"""
    )
    assert min(shown) >= 0
    assert shown == sorted(shown)
    assert "Ann Bee" in tab.page.inner_text("#paper")
    assert video(tab, "paused")


def test_without_script_all_steps_are_read_one_after_another(browser, folder):
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((folder / "index.html").as_uri())
    expect(page.locator(".no-script")).to_be_visible()
    for number in (1, 2, 3):
        expect(page.locator(f"#step-{number} .action")).to_be_visible()
    expect(page.locator("#step-1 .plate-words").first).to_be_visible()
    expect(page.locator("[data-act=decide]").first).to_be_hidden()
    context.close()


def test_on_a_small_page_numbers_stand_for_words_that_would_cover_the_picture(tab):
    tab.go("step-1")
    plate = tab.page.locator("#step-1 .plate-words").first
    row = tab.page.locator("#step-1 .key .spoken").first
    for width, small in ((390, True), (820, False)):
        tab.page.set_viewport_size({"width": width, "height": 844})
        assert plate.locator("span").is_hidden() is small
        assert plate.locator("b").is_visible() is small
        assert row.is_visible() is small
        frame, box = (
            one.bounding_box() for one in (tab.page.locator("#step-1 .still .frame"), plate)
        )
        assert frame["x"] <= box["x"]
        assert box["x"] + box["width"] <= frame["x"] + frame["width"]
        if small:
            assert box["width"] < frame["width"] / 8
            assert row.inner_text().split()[0] == plate.inner_text().strip()


# --- where the job stands, and what stops it ---


def test_a_step_that_is_only_looked_at_is_read_and_not_written(tab):
    tab.work_on_to_step_2()
    tab.go("step-3")
    line = tab.page.locator("#step-3 .looking")
    expect(line).to_contain_text("You are looking at step 3. The job stands at step 2.")
    written = tab.page.locator("#step-3 .doing :is(input, button)")
    assert written.count() > 6
    assert all(one.is_disabled() for one in written.all())
    tab.go("step-1")
    expect(tab.page.locator("#step-1 [data-met=yes]")).to_have_attribute("aria-pressed", "true")
    assert tab.page.locator("#step-1 [data-met=no]").is_disabled()
    expect(tab.page.locator("#step-1 .looking")).to_be_visible()
    tab.page.click("#step-1 .looking a")
    expect(tab.page.locator("#step-2-title")).to_be_focused()
    expect(tab.page.locator("#step-2 .looking")).to_be_hidden()
    assert tab.page.locator("#step-2-spec-1-box-1").is_enabled()


def test_a_job_is_moved_to_another_step_by_a_deviation_and_then_written_there(tab):
    tab.begin()
    tab.go("step-3")
    tab.page.click("#step-3 [data-act=askJump]")
    expect(tab.page.locator("#open-list li")).to_have_count(2)
    expect(tab.page.locator("#open-list li").first).to_contain_text("Step 1 has a hazard message")
    expect(tab.page.locator("#deviation")).to_be_hidden()
    tab.page.locator("#open-list button").first.click()
    tab.read_hazards()
    tab.go("step-3")
    tab.move_here()
    expect(tab.page.locator("#standing")).to_have_text("Job at step 3 of 3")
    tab.page.fill("#step-3-witness", "C D")
    tab.page.press("#step-3-witness", "Enter")
    expect(tab.page.locator("#step-3 .seen-by")).to_contain_text("C D")


def test_once_a_job_has_ended_nothing_writes_but_its_clips_can_be_looked_at(tab):
    tab.begin()
    tab.go("other")
    tab.page.click("[data-act=halt]")
    expect(tab.page.locator("#stop-title")).to_be_focused()
    before = kept_job(tab)
    tab.go("step-1")
    tab.read_hazards()
    expect(tab.page.locator("#step-1 .cover")).to_be_hidden()
    expect(tab.page.locator("#step-1 .looking")).to_contain_text("Nothing is written here")
    for screen in ("ready", "step-1", "step-2", "step-3", "other"):
        tab.go(screen)
        within = f"#{screen} :is(.doing, .form, .ticks) :is(input, textarea)"
        assert all(one.is_disabled() for one in tab.page.locator(within).all()), screen
    assert kept_job(tab) == before


def test_after_a_stop_the_end_is_written_and_going_on_takes_another_person(tab):
    tab.begin()
    tab.go("other")
    tab.page.click("[data-act=halt]")
    tab.page.click("#stop a.act")
    tab.page.fill("#handover", "Locked and tagged")
    tab.page.fill("#hours-0", "1.5")
    tab.page.check("#after-1")
    tab.page.reload()
    expect(tab.page.locator("#handover")).to_have_value("Locked and tagged")
    expect(tab.page.locator("#hours-0")).to_have_value("1.5")
    expect(tab.page.locator("#after-1")).to_be_checked()
    with tab.page.expect_download():
        tab.page.click("#save")
    expect(tab.page.locator("#saved")).to_contain_text("Saved as ")
    tab.page.click("#reopen")
    tab.page.fill("#resume-why", "A slip of the hand")
    tab.page.fill("#resume-by", "Ann Bee")
    tab.page.click("#stop [data-act=goOnAgain]")
    expect(tab.page.locator("#resume-problem")).to_contain_text("Somebody else")
    tab.page.fill("#resume-by", "C D")
    tab.page.click("#stop [data-act=goOnAgain]")
    expect(tab.page.locator("#standing")).to_have_text("Job at step 1 of 3")
    assert "A slip of the hand" in kept_job(tab)[1]


def test_a_record_changed_since_it_was_saved_is_no_longer_told_as_saved(tab):
    at_the_end(tab)
    tab.page.fill("#handover", "Bleed it")
    tab.page.click("[data-act=finishJob]")
    saved = tab.page.locator("#saved")
    for handover in ("Bleed it twice", "Wipe it"):
        with tab.page.expect_download():
            tab.page.click("#save")
        expect(saved).to_contain_text("Saved as ")
        tab.page.fill("#handover", handover)
        tab.page.press("#handover", "Tab")
        expect(saved).to_contain_text("Changed since it was saved")


def pressed_where_it_stands(tab, button):
    """Press with the mouse where a button stands now, wherever it is once the mouse comes up."""
    button.scroll_into_view_if_needed()
    box = button.bounding_box()
    tab.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    tab.page.mouse.down()
    tab.page.mouse.up()


def at_the_end(tab):
    tab.begin()
    tab.go("step-1")
    tab.read_hazards()
    tab.go("finish")


def test_hours_that_cannot_be_read_hold_the_finish_and_say_so_at_their_field(tab):
    at_the_end(tab)
    hours, note = tab.page.locator("#hours-0"), tab.page.locator("#hours-0-note")
    tab.page.fill("#handover", "Bleed it")
    hours.fill("forty")
    pressed_where_it_stands(tab, tab.page.locator("[data-act=finishJob]"))
    expect(hours).to_be_focused()
    expect(hours).to_have_value("forty")
    expect(note).to_contain_text("Write hours such as")
    expect(tab.page.locator("#close-problem")).to_be_hidden()
    expect(tab.page.locator("html")).to_have_attribute("data-job", "open")
    tab.page.reload()
    expect(hours).to_have_value("forty")
    hours.fill("40 min")
    hours.press("Tab")
    expect(hours).to_have_value("0.67")
    expect(note).to_have_text("“40 min” is 0.67 h.")
    hours.fill("1 h 20")
    pressed_where_it_stands(tab, tab.page.locator("[data-act=finishJob]"))
    expect(tab.page.locator("#save")).to_be_focused()
    assert '"hours":"1.33"' in kept_job(tab)[1]


def test_a_press_counts_though_the_button_moves_away_under_it(tab):
    at_the_end(tab)
    button = tab.page.locator("[data-act=finishJob]")
    button.click()
    problem = tab.page.locator("#close-problem")
    expect(problem).to_contain_text("not ticked")
    tab.page.fill("#handover", "The next shift ticks them")
    high = problem.bounding_box()["height"]
    assert (
        high > button.bounding_box()["height"] / 2
    )  # so far the button jumps as the field is left
    pressed_where_it_stands(tab, button)
    expect(tab.page.locator("#save")).to_be_focused()
    expect(tab.page.locator("html")).to_have_attribute("data-job", "stopped")


def test_what_is_written_down_gives_a_receipt(tab):
    tab.begin()
    tab.go("other")
    listed = tab.page.locator("#other-written-title")
    expect(listed).to_be_hidden()
    for what, words in (("question", "Which driver?"), ("finding", "A crack")):
        tab.page.fill(f"#{what}", words)
        tab.page.click(f"[data-note={what}]")
        expect(tab.page.locator(f"#{what}-kept")).to_have_text(f"Kept with this job: “{words}”")
        expect(tab.page.locator("#other-written")).to_contain_text(words)
    expect(listed).to_have_text("Kept with this job")
    expect(tab.page.locator("#question-kept")).to_be_hidden()


def test_wide_screens_use_their_width_and_the_buttons_of_a_film_stand_clear(tab):
    tab.page.set_viewport_size({"width": 1280, "height": 850})
    tab.begin()
    tab.go("step-1")
    tab.read_hazards()
    whole = tab.page.locator("#step-1 .columns").bounding_box()["width"]
    assert tab.page.locator("#step-1 .doing").bounding_box()["width"] < whole / 2
    # As a step without hazard messages is come upon.
    tab.page.locator("#step-1 .hazards").evaluate("(one) => { one.hidden = true; }")
    tab.page.locator("#step-1-title").evaluate("(title) => title.scrollIntoView()")
    controls = tab.page.locator("#step-1 .controls").bounding_box()
    assert controls["y"] + controls["height"] <= tab.page.locator("#onward").bounding_box()["y"]
    tab.go("step-2")
    assert tab.page.locator("#step-2 .doing").bounding_box()["width"] == whole


def test_on_a_phone_what_to_fetch_stands_before_the_film(tab):
    tab.page.set_viewport_size({"width": 390, "height": 844})
    tab.begin()
    tab.go("step-1")
    tab.read_hazards()
    # As in a step with tools.
    words = '<dl class="facts uses"><div><dt>Tools</dt><dd>Mallet</dd></div></dl>'
    tab.page.locator("#step-1 .doing").evaluate(
        "(one, words) => one.insertAdjacentHTML('afterbegin', words)", words
    )
    uses, film = (tab.page.locator(f"#step-1 {one}").bounding_box() for one in (".uses", ".film"))
    assert uses["y"] + uses["height"] < film["y"]
    tab.page.set_viewport_size({"width": 1280, "height": 850})
    uses, film = (tab.page.locator(f"#step-1 {one}").bounding_box() for one in (".uses", ".film"))
    assert uses["x"] > film["x"] + film["width"]


def test_on_a_phone_the_limits_stand_before_the_film_and_lead_to_their_boxes(tab):
    tab.page.set_viewport_size({"width": 390, "height": 844})
    tab.work_on_to_step_2()
    step = tab.page.locator("#step-2")
    limits, ahead = step.locator("#step-2-spec-1-limits strong"), step.locator(".ahead a").first
    words = limits.text_content().removeprefix("accept a reading of ")
    assert words in ahead.text_content()
    # As in a step with a film.
    step.locator(".pictures").evaluate("one => one.append(document.createElement('figure'))")
    places = [one.bounding_box()["y"] for one in (ahead, step.locator(".pictures"), limits)]
    assert places == sorted(places)
    ahead.click()
    expect(limits).to_be_in_viewport()
    tab.page.set_viewport_size({"width": 1280, "height": 850})
    expect(ahead).to_be_hidden()


def test_after_an_allowed_going_on_it_is_measured_again(tab):
    tab.work_on_to_step_2()
    field = tab.page.locator("#step-2-spec-1-box-1")
    field.fill("45")
    field.press("Enter")
    tab.page.locator("#step-2 [data-act=doReaction]:visible").first.click()
    tab.page.fill("#resume-why", "Tightened the lug")
    tab.page.fill("#resume-by", "Kai Keeper")
    tab.page.click("#stop [data-act=goOnAgain]")
    reaction = tab.page.locator("#step-2 .reaction:visible").first
    expect(reaction).to_contain_text("Kai Keeper allowed to go on: measure again.")
    reaction.get_by_role("button", name="Measure again").click()
    field.fill("40.000")
    field.press("Enter")
    rows = tab.page.locator("#step-2 .box").first.locator(".reading")
    assert [row.inner_text().split()[0] for row in rows.all()][:2] == ["Reject", "Accept"]
    expect(tab.page.locator("#step-2 .reaction:visible")).to_have_count(0)


def test_where_somebody_is_signed_in_the_other_name_is_told_as_typed(context, folder, tmp_path):
    for name in ("page.css", "page.js"):
        (tmp_path / name).write_bytes((folder / name).read_bytes())
    meta = '<meta name="shop-library" content="/records" data-token="t" data-person="Nina Neu">'
    page = (folder / "index.html").read_text(encoding="utf-8")
    served = page.replace("</head>", f"{meta}</head>")
    (tmp_path / "index.html").write_text(served, encoding="utf-8")
    tab = Tab(context, (tmp_path / "index.html").as_uri())
    for name in ("resume-by", "deviation-by", "retake-by", "step-3-witness"):
        note = tab.page.locator(f"#{name}-note")
        expect(note).to_contain_text("Signed in here is Nina Neu. The other person's name")


def test_parts_that_go_back_are_not_laid_out_and_nothing_laid_out_is_asked_once(tab):
    tab.begin()
    folds = tab.page.locator("#ready .fold")
    new = folds.filter(has_text="New parts")
    expect(new).not_to_contain_text("Axle nut")
    stay = folds.filter(has_text="Parts on the machine that go back")
    expect(stay).to_contain_text("Axle nut M16 × 1.5")
    expect(stay.locator("input")).to_have_count(0)
    tab.page.click("[data-act=leaveReady]")
    assert tab.asked == ["Nothing is ticked as laid out. Go to step 1 all the same?"]
    tab.page.locator("#ready summary", has_text="Tools").click()
    tab.page.check("#tool-1")
    tab.page.click("[data-act=leaveReady]")
    assert len(tab.asked) == 1


# Letters of half again the size are those of somebody who sees little.
@pytest.mark.parametrize(("width", "letters", "most"), [(390, 1, 2), (320, 1.5, 5), (820, 1, 1)])
def test_titles_of_folds_stand_beside_their_arrows(tab, width, letters, most):
    tab.page.set_viewport_size({"width": width, "height": 844})
    tab.begin()
    size = f"{letters * 112.5}%"
    tab.page.evaluate("(size) => { document.documentElement.style.fontSize = size; }", size)
    folds = tab.page.locator("#ready .fold > summary")
    assert folds.count() > 5
    for fold in folds.all():
        arrow, title = fold.locator("> .icon").first.bounding_box(), fold.locator("h3")
        box, words = title.bounding_box(), title.inner_text()
        line = title.evaluate("(h3) => parseFloat(getComputedStyle(h3).lineHeight)")
        assert arrow["x"] + arrow["width"] < box["x"], words
        assert box["y"] < arrow["y"] + arrow["height"] / 2 < box["y"] + box["height"], words
        assert box["height"] < (most + 0.5) * line, words
    if letters == 1:  # a count as short as this one stands in the line of the title
        stay = folds.filter(has_text="Parts on the machine that go back")
        title, count = (stay.locator(part).bounding_box() for part in ("h3", ".laid"))
        assert count["x"] >= title["x"] + title["width"]
        assert title["y"] < count["y"] + count["height"] / 2 < title["y"] + title["height"]


def test_the_printed_record_stands_alone(tab):
    tab.work_on_to_step_2()
    for value in ("39.970", "40.500"):
        tab.page.fill("#step-2-spec-1-box-1", value)
        tab.page.press("#step-2-spec-1-box-1", "Enter")
        if value == "39.970":
            tab.page.locator("#step-2 [data-act=doReaction]:visible").first.click()
    tab.page.evaluate("window.print = () => {}")
    tab.go("finish")
    tab.page.click("[data-act=printRecord]")
    tab.page.emulate_media(media="print")
    paper = tab.page.locator("#paper")
    expect(paper).to_contain_text("Not finished. Job at step 2 of 3.")
    rows = paper.locator("tbody tr", has_text="Bore diameter")
    expect(rows.nth(1)).to_contain_text("40.500 mm")
    limits = tab.page.locator("#step-2-spec-1-limits strong").text_content()
    expect(rows.nth(1)).to_contain_text(limits.strip())
    expect(rows.nth(1)).to_contain_text("STOP Reject")
    expect(rows.nth(1)).to_contain_text(re.compile(r"20\d\d-\d\d-\d\d \d\d:\d\d"))
    expect(rows.nth(0)).not_to_contain_text("STOP")
    expect(paper).to_contain_text("Nothing was ticked as true or laid out before the work.")
    assert "none" not in paper.inner_text().lower().split()
    assert paper.locator(".sign").all_inner_texts() == [
        "Done by Ann Bee: name, signature, date",
        "Checked by: name, signature, date",
    ]


def test_another_part_than_called_for_is_written_into_the_deviation(tab):
    tab.begin()
    tab.go("step-1")
    tab.read_hazards()
    tab.go("step-3")
    tab.move_here()
    tab.page.click("#step-3 [data-act=fitPart]")
    asked = tab.page.locator("#step-3 .new-part .problem")
    expect(asked).to_contain_text("TW-16 is called for. Type it, or:")
    expect(tab.page.locator("#step-3 .new-part .reading")).to_have_count(0)
    asked.get_by_role("button", name="There is no number on it").click()
    expect(tab.page.locator("#step-3 .new-part .reading")).to_contain_text("1 × no number on it")
    expect(asked).to_be_hidden()
    tab.page.wait_for_timeout(800)
    tab.page.click("#step-3 .new-part .reading button")
    tab.page.fill("#step-3-part-1", "TW-17")
    tab.page.wait_for_timeout(800)
    tab.page.click("#step-3 [data-act=fitPart]")
    tab.page.fill("#step-3-witness", "S. V.")
    tab.page.click("#step-3 [data-act=signWitness]")
    tab.page.click("#go-on")
    fitted = "Tab washer: TW-17 fitted instead of TW-16."
    expect(tab.page.locator("#deviation-given")).to_have_text(fitted)
    tab.page.fill("#deviation-why", "None left")
    tab.page.fill("#deviation-by", "Kim Olsen")
    tab.page.click("[data-act=goDeviating]")
    expect(tab.page.locator("#finish.shown")).to_have_count(1)
    expect(tab.page.locator("#written")).to_contain_text(fitted)
    expect(tab.page.locator("#written")).to_contain_text("not all fitted, or another")
    tab.page.evaluate("window.print = () => {}")
    tab.page.click("[data-act=printRecord]")
    tab.page.emulate_media(media="print")
    deviation = tab.page.locator("#paper tr", has_text=fitted)
    expect(deviation).to_contain_text("Kim Olsen (name typed, not proved)")
    expect(tab.page.locator("#paper")).to_contain_text("by S. V. (name typed, not proved)")
    expect(deviation).to_contain_text("Guard screws, A: not measured")
    expect(deviation).to_contain_text("Tab washer: not all fitted, or another than called for")


def test_a_stop_leaves_no_way_but_the_stop_or_another_person(tab):
    tab.work_on_to_step_2()
    tab.page.fill("#step-2-spec-1-box-2", "39.983")
    tab.page.press("#step-2-spec-1-box-2", "Enter")
    # Nobody types on before the focus has gone where the first reading sends it.
    expect(tab.page.locator("#step-2-spec-1-box-2")).not_to_be_focused()
    tab.page.fill("#step-2-spec-1-box-1", "40.5")
    # Left for the other box, the focus goes to what the reading asks for all the same.
    tab.page.locator("#step-2-spec-2-name").click()
    expect(tab.page.locator("#step-2 .reaction.stop:visible")).to_be_focused()
    ways = tab.page.locator("#step-2 .way")
    assert [way.is_disabled() for way in ways.all()] == [True, True, False]
    expect(ways.nth(1)).to_contain_text("No way leads on but to stop the job")
    tab.page.locator("#step-2 .box").first.locator("[data-act=takeBack]").click()
    tab.page.fill("#retake-why", "Mistyped")
    tab.page.locator("#retake .entry [data-act=retake]").click()
    expect(tab.page.locator("#retake-problem")).to_have_text("Say who allowed it.")
    tab.page.fill("#retake-by", "C D")
    tab.page.locator("#retake .entry [data-act=retake]").click()
    expect(tab.page.locator("#step-2-spec-1-box-1")).to_be_focused()
    assert [way.is_disabled() for way in ways.all()] == [False, False, False]
    ways.nth(1).click()
    expect(tab.page.locator("#step-1-title")).to_be_focused()
    assert tab.asked[0].startswith("This takes back the readings of steps 1 to 2")


def test_ways_for_what_is_not_accepted_are_shut_and_say_why(tab):
    tab.work_on_to_step_2()
    for box in (1, 2):
        tab.page.fill(f"#step-2-spec-1-box-{box}", "39.990")
        tab.page.press(f"#step-2-spec-1-box-{box}", "Enter")
    ways = tab.page.locator("#step-2 .way")
    expect(ways.nth(1)).to_contain_text("All readings are accepted")
    assert [way.is_disabled() for way in ways.all()] == [False, True, True]


def test_the_good_way_says_that_a_reading_is_not_accepted_before_it_is_pressed(tab):
    tab.work_on_to_step_2()
    for box, value in ((1, "39.900"), (2, "39.990")):
        tab.page.fill(f"#step-2-spec-1-box-{box}", value)
        tab.page.press(f"#step-2-spec-1-box-{box}", "Enter")
    ways = tab.page.locator("#step-2 .way")
    expect(ways.nth(0)).to_contain_text("Not accepted: ")
    expect(ways.nth(0)).to_have_class("way not-yet")
    expect(ways.nth(1)).to_have_class("way")
    ways.nth(0).click()  # a deviation may allow it
    expect(tab.page.locator("#open")).to_be_visible()


def test_a_way_is_told_as_a_sentence_also_where_it_is_read_out(tab):
    tab.go("step-2")
    ways = tab.page.get_by_role("region", name="Is the bore inside its limits?").get_by_role(
        "listitem"
    )
    told = [
        "If both readings are inside: Go to step 3.",
        "If one reading is below (once): Go to step 1.",
        "If one reading is above: STOP Send the wheel away.",
    ]
    for way, words in zip(ways.all(), told, strict=True):
        expect(way.get_by_role("button")).to_have_accessible_name(words)
        expect(way).to_have_text(words, use_inner_text=True)


def test_a_double_tap_fits_one_part_and_its_number_is_typed(tab):
    tab.begin()
    tab.go("step-1")
    tab.read_hazards()
    tab.go("step-3")
    tab.move_here()
    place = tab.page.locator("#step-3 .new-part")
    expect(place.locator(".fitted")).to_have_text("Fitted: 0 of 1")
    expect(place.locator("input")).to_have_value("")
    place.locator("input").fill("TW-16")
    place.locator("[data-act=fitPart]").dblclick(force=True)
    expect(place.locator(".fitted")).to_have_text("Fitted: 1 of 1")
    expect(place.locator(".taken li")).to_have_count(1)
    tab.page.wait_for_timeout(1_000)
    place.locator(".taken button").click()
    expect(place.locator(".fitted")).to_have_text("Fitted: 0 of 1")
    tab.page.wait_for_timeout(1_000)  # what follows sooner is the same tap
    place.locator("input").fill("CP-99")
    place.locator("[data-act=fitPart]").click()
    row = place.locator(".taken li.reading.reject")
    expect(row).to_contain_text("1 × CP-99Wrong part: TW-16 is called for, you typed CP-99.")
    expect(row.locator("use")).to_have_attribute("href", "#i-reject")
    expect(place.locator(".fitted")).to_have_text("Fitted: 0 of 1")
    expect(tab.page.locator("#said")).to_have_text(re.compile("^Wrong part: TW-16 "))
    tab.page.wait_for_timeout(1_000)
    row.locator("button").click()
    place.locator("input").fill("tw 16")
    tab.page.wait_for_timeout(1_000)
    place.locator("[data-act=fitPart]").click()
    expect(place.locator(".taken li")).to_contain_text("1 × tw 16")
    expect(place.locator(".taken li.reject")).to_have_count(0)
    expect(place.locator(".fitted")).to_have_text("Fitted: 1 of 1")


def kept_job(tab):
    return tab.page.evaluate("Object.entries(localStorage).find(([key]) => key.endsWith('/job'))")


@pytest.fixture(scope="module")
def stopping(tmp_path_factory):
    """The small page, whose first step must not be left before its check is met."""
    made = tmp_path_factory.mktemp("stopping")
    plain = small_page.document()
    plain["sections"][0]["steps"][0]["criteria"] = [
        {
            "id": "dead",
            "look_for": "Movement when the start button is pressed",
            "accept": "Nothing moves",
            "otherwise": "Step back and find the isolator that is still on.",
            "if_not": "stop",
        }
    ]
    small_page.write_page(made, check(Procedure.model_validate(plain)).draft)
    return made


def test_no_deviation_leads_past_a_check_that_stops_the_job(context, stopping):
    tab = Tab(context, (stopping / "index.html").as_uri())
    tab.begin()
    tab.go("step-1")
    tab.read_hazards()
    tab.page.locator("#step-1 [data-met=yes]").first.click()
    criterion = tab.page.locator("#step-1-criterion-1")
    criterion.locator("[data-met=no]").click()
    expect(criterion.locator(".octagon")).to_be_visible()
    tab.page.click("#go-on")
    expect(tab.page.locator("#open-list li")).to_have_text(["STOP: it is not as it has to be."])
    expect(tab.page.locator("#no-deviation")).to_be_visible()
    expect(tab.page.locator("#deviation")).to_be_hidden()
    tab.go("step-3")
    tab.page.click("#step-3 [data-act=askJump]")
    expect(tab.page.locator("#open-list")).to_contain_text("Step 1 says STOP")
    expect(tab.page.locator("#deviation")).to_be_hidden()
    expect(tab.page.locator("#standing")).to_have_text("Job at step 1 of 3")
    tab.page.click("#go-back")
    criterion.locator("[data-act=stopPoint]").click()
    expect(tab.page.locator("#stop-why")).to_have_text(
        "Step back and find the isolator that is still on."
    )
    assert tab.faults == []


def test_where_repeats_are_used_up_it_is_said_what_happened_and_whom_to_ask(tab):
    tab.work_on_to_step_2()
    for again in (False, True):
        if again:
            tab.page.locator("#step-2 [data-act=doReaction]:visible").click()
        tab.page.fill("#step-2-spec-1-box-1", "39.970")
        tab.page.press("#step-2-spec-1-box-1", "Enter")
    words = tab.page.locator("#step-2 .does:visible")
    expect(words).to_contain_text(
        "“Clean and measure again” was done once, as often as it may be, and the reading is still "
        "not accepted. The job stops here."
    )
    expect(words).to_contain_text("ask whoever answers for this procedure")
    tab.page.locator("#step-2 [data-act=doReaction]:visible").click()
    expect(tab.page.locator("#stop-why")).to_contain_text("the reading is still not accepted")


# --- two tabs, and another tablet ---


def test_a_second_tab_says_what_the_first_one_does_and_may_take_over(context, folder, served):
    address = f"{served(folder)}/index.html"
    first, second = Tab(context, address), Tab(context, address)
    standing = second.page.locator("#standing")
    expect(standing).to_contain_text("Not begun")
    here = second.page.locator("#scale .here")
    expect(here).to_have_attribute("width", "0")  # no step is marked before the job begins
    first.begin()
    expect(standing).to_have_text("Job at step 1 of 3, in another tab")
    expect(here).to_have_attribute("width", "1")
    expect(second.page.locator("#who")).to_be_hidden()
    first.go("step-1")
    first.read_hazards()
    first.page.click("#step-1 [data-met=yes]")
    first.page.click("#go-on")
    expect(standing).to_have_text("Job at step 2 of 3, in another tab")
    second.go("step-2")
    assert second.page.locator("#step-2-spec-1-box-1").is_disabled()
    second.page.locator("#trouble-more button", has_text="Work here").click()
    expect(standing).to_have_text("Job at step 2 of 3")
    expect(first.page.locator("#trouble-words")).to_contain_text("another tab")
    expect(first.page.locator("#standing")).to_have_text("Job at step 2 of 3, in another tab")
    assert first.page.locator("#step-2-spec-1-box-1").is_disabled()
    second.page.fill("#step-2-spec-1-number", "G-7")
    second.page.press("#step-2-spec-1-number", "Enter")
    expect(second.page.locator("#step-2 .instrument.done")).to_have_count(1)
    second.page.close()
    first.page.evaluate("() => { dispatchEvent(new Event('focus')); }")
    expect(first.page.locator("#standing")).to_have_text("Job at step 2 of 3")
    expect(first.page.locator("#step-2 .instrument.done")).to_have_count(1)
    assert first.faults == second.faults == []


def test_another_tablet_goes_on_from_a_saved_file(browser, context, folder, tmp_path):
    tab = Tab(context, (folder / "index.html").as_uri())
    tab.begin()
    tab.page.check("#before-1")
    tab.page.locator("#ready [data-act=pressRead]").first.click()
    tab.go("finish")
    tab.page.check("#after-1")
    tab.go("step-1")
    tab.read_hazards()
    tab.page.click("#step-1 [data-met=yes]")
    tab.page.click("#go-on")
    tab.go("finish")
    with tab.page.expect_download() as saved:
        tab.page.click("#save")
    file = tmp_path / "record.json"
    saved.value.save_as(file)
    other = browser.new_context()
    there = Tab(other, (folder / "index.html").as_uri())
    there.page.set_input_files("#load-file", file)
    expect(there.page.locator("#step-2-title")).to_be_focused()
    expect(there.page.locator("#standing")).to_have_text("Job at step 2 of 3")
    assert kept_job(there) == kept_job(tab)
    there.go("step-1")
    expect(there.page.locator("#step-1 .cover")).to_be_hidden()
    there.go("ready")
    expect(there.page.locator("#before-1")).to_be_checked()
    expect(there.page.locator("#ready .hazard").first).to_contain_text("Read")
    there.go("finish")
    expect(there.page.locator("#after-1")).to_be_checked()
    assert there.faults == []
    other.close()


def test_a_part_fitted_before_the_work_went_back_is_said_to_be_in_yet(tab):
    tab.begin()
    tab.go("step-1")
    tab.read_hazards()
    tab.go("step-3")
    tab.move_here()
    place = tab.page.locator("#step-3 .new-part")
    place.locator("input").fill("TW-16")
    place.locator("[data-act=fitPart]").click()
    for step in ("step-1", "step-3"):
        tab.go(step)
        tab.move_here()
    row = place.locator(".taken li")
    expect(row).to_contain_text("1 × TW-16")
    expect(row).to_contain_text("Is it still in?")
    expect(place.locator(".fitted")).to_have_text("Fitted: 0 of 1")
    stays, out = (row.get_by_role("button", name=name) for name in ("It is still in", "Take out"))
    upper, lower = stays.bounding_box(), out.bounding_box()
    apart = max(lower["x"] - upper["x"] - upper["width"], lower["y"] - upper["y"] - upper["height"])
    assert apart >= 8
    tab.page.wait_for_timeout(1_000)
    stays.click()
    expect(place.locator(".fitted")).to_have_text("Fitted: 1 of 1")
    expect(row).not_to_contain_text("Is it still in?")


def test_a_second_person_s_name_is_taken_back_where_the_job_stands(tab):
    tab.begin()
    tab.go("step-1")
    tab.read_hazards()
    tab.go("step-3")
    tab.move_here()
    place = tab.page.locator("#step-3 .witness")
    tab.page.fill("#step-3-witness", "S. W.")
    place.locator("[data-act=signWitness]").click()
    expect(place).to_contain_text("Seen by S. W.")
    place.get_by_role("button", name="Take this name back").click()
    expect(place.locator(".seen-by")).to_be_hidden()
    expect(tab.page.locator("#step-3-witness")).to_be_visible()


def test_one_long_word_pushes_no_column_off_the_paper(tab):
    tab.work_on_to_step_2()
    tab.page.fill("#step-2-spec-1-number", "G-" + "0123456789" * 12)
    tab.page.press("#step-2-spec-1-number", "Enter")
    for value in ("39.970", "40.500"):
        tab.page.fill("#step-2-spec-1-box-1", value)
        tab.page.press("#step-2-spec-1-box-1", "Enter")
        if value == "39.970":
            tab.page.locator("#step-2 [data-act=doReaction]:visible").first.click()
    tab.go("other")
    for place in ("finding", "question"):
        tab.page.fill(f"#{place}", "W" * 120)
        tab.page.click(f"[data-note={place}]")
    tab.page.evaluate("window.print = () => {}")
    tab.go("finish")
    tab.page.click("[data-act=printRecord]")
    tab.page.emulate_media(media="print")
    tab.page.set_viewport_size({"width": 688, "height": 970})  # an A4 sheet within its margins
    assert tab.page.evaluate("document.documentElement.scrollWidth") <= 688
    for table in tab.page.locator("#paper table").all():
        box = table.bounding_box()
        assert box["x"] + box["width"] <= 688
    step = tab.page.locator("#paper td.is-step", has_text="Step 2").first
    assert step.bounding_box()["width"] > 40, "short words are not torn for it"
    stop = tab.page.locator("#paper td .stop-word")
    assert stop.bounding_box()["height"] < 2 * float(
        stop.evaluate("(word) => parseFloat(getComputedStyle(word).fontSize)")
    )
    tape, title = (tab.page.locator(part).bounding_box() for part in (".tape", "h1"))
    words = tab.page.evaluate(
        "(() => { const r = document.createRange(); r.selectNodeContents("
        "document.querySelector('h1')); return r.getBoundingClientRect().top; })()"
    )
    assert words >= tape["y"] + tape["height"]
    assert title["x"] == tab.page.locator("#paper h2").bounding_box()["x"]


def test_a_printed_record_with_nothing_empty_names_no_empty_list(context, folder, tmp_path):
    copy = tmp_path / "page"
    shutil.copytree(folder, copy)
    index = copy / "index.html"
    # Nothing of this procedure can be hung: its list would stay empty.
    index.write_text(re.sub(r'"tags_hung":"[^"]*",?', "", index.read_text("utf-8")), "utf-8")
    tab = Tab(context, index.as_uri())
    tab.begin()
    tab.go("finish")
    with tab.page.expect_download() as saved:
        tab.page.click("#save")
    record = json.loads(saved.value.path().read_text("utf-8"))
    who = {"by": "Ann Bee", "at": "2026-12-01T10:00:00+00:00"}
    reading = {"spec": "bore", "position": "across", "value": "40.000", "unit": "mm", **who}
    record |= {
        "instruments": [{"tool": "bore-gauge", "number": "G-7"}],
        "hazards_read": [{"message": 0, **who}],
        "made_ready": [{"kind": "tool", "item": "drift", **who}],
        "readings": [reading | {"verdict": "not_judged", "instrument": 0}],
        "rounds_tightened": [{"spec": "guard-torque", "round": 0, **who}],
        "observations": [{"point": "flat", "met": True, "by": "Ann Bee"}],
        "witnessed": [{"step": "fit-guard", "proof": "typed", **who, "by": "S. V."}],
        "ways_taken": [{"step": "measure-bore", "branch": 0, **who}],
        "parts_used": [{"part": "tab-washer", "step": "fit-guard"}],
        "deviations": [{"step": "fit-guard", "what": "Later", "reason": "Rain"}],
        "findings": [{"what": "Worn", "holds": True, "tagged_by": "Ann Bee"}],
        "close_outs": [{"close_out": "guides", **who}],
        "questions": [{"text": "Why?"}],
    }
    full = tmp_path / "record.json"
    full.write_text(json.dumps(record), "utf-8")
    tab.page.set_input_files("#load-file", full)
    expect(tab.page.locator("#load-problem")).to_be_hidden()
    tab.page.evaluate("window.print = () => {}")
    tab.go("finish")
    tab.page.click("[data-act=printRecord]")
    tab.page.emulate_media(media="print")
    expect(tab.page.locator("#paper")).to_contain_text("Rain")
    expect(tab.page.locator("#paper")).not_to_contain_text("Nothing is written down under")
    expect(tab.page.locator("#paper dd").nth(3)).to_have_text(
        re.compile(r"^20\d\d-\d\d-\d\d \d\d:\d\d$")
    )
    assert tab.faults == []


def test_a_defect_that_holds_the_unit_is_told_at_every_step_that_follows(tab):
    tab.work_on_to_step_2()
    held = tab.page.locator(".step.shown .held")
    expect(held).to_be_hidden()
    tab.go("other")
    tab.page.fill("#finding", "Crack in the hinge")
    tab.page.check("#finding-holds")
    tab.page.click("[data-note=finding]")
    for step in ("step-2", "step-3"):
        tab.go(step)
        expect(held).to_contain_text("HOLD: the unit stays out of use")
        expect(held).to_contain_text("take no lock off")
        expect(held).to_contain_text("Found: Crack in the hinge")


def test_paper_says_what_struck_out_means_where_something_is(tab):
    tab.work_on_to_step_2()
    tab.page.evaluate("window.print = () => {}")
    for back, shown in ((False, 0), (True, 1)):
        if back:
            tab.page.emulate_media(media="screen")
            tab.go("step-1")
            tab.move_here()
        tab.go("finish")
        tab.page.click("[data-act=printRecord]")
        tab.page.emulate_media(media="print")
        expect(tab.page.locator("#paper .struck:visible")).to_have_count(shown)
