"""Readings as they are typed, lists that fold, and the record on paper, in a real browser."""

import json

import pytest
from playwright.sync_api import expect

from author.publish.page import work_page
from author.publish.signatures import Signature
from page import small_page
from page.axe_faults import axe_faults_in_both
from page.test_page_browser import PATIENCE, Tab

BOX = "#step-2-spec-1-box-"
# Longer than the hand has to rest, by far.
RESTED = 2_000


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("readings")
    small_page.write_page(made)
    return made


@pytest.fixture
def tab(browser, folder):
    context = browser.new_context(viewport={"width": 390, "height": 844}, reduced_motion="reduce")
    context.set_default_timeout(PATIENCE)
    opened = Tab(context, (folder / "index.html").as_uri())
    yield opened
    assert opened.faults == []
    context.close()


@pytest.fixture
def measuring(tab):
    """A job that stands at the step with the bore."""
    tab.begin()
    stand_at_bore(tab)
    return tab


def type_slowly(tab, number, text):
    tab.page.locator(f"{BOX}{number}").press_sequentially(text)


def enter(tab, number, text):
    tab.page.fill(f"{BOX}{number}", text)
    tab.page.press(f"{BOX}{number}", "Enter")


def pending(tab):
    return tab.page.locator("#step-2 .pending:visible")


def readings(tab):
    return tab.page.locator("#step-2 .reading .value")


# --- decided at once, recorded when it is whole ---


def test_a_verdict_is_shown_while_the_hand_rests_and_half_a_number_is_no_reading(measuring):
    type_slowly(measuring, 1, "39.9")
    expect(pending(measuring)).to_contain_text("Reject")
    expect(pending(measuring)).to_contain_text("Clean and measure again")
    expect(pending(measuring)).to_contain_text("Not in the record yet")
    expect(readings(measuring)).to_have_count(0)
    measuring.page.locator(f"{BOX}1").press("End")
    type_slowly(measuring, 1, "90")
    expect(pending(measuring)).to_contain_text("Accept")
    expect(readings(measuring)).to_have_count(0)
    measuring.page.press(f"{BOX}1", "Enter")
    expect(pending(measuring)).to_have_count(0)
    expect(readings(measuring)).to_have_text(["39.990 mm"])
    expect(measuring.page.locator(f"{BOX}2")).to_be_focused()


def test_the_verdict_is_said_once_and_politely(measuring):
    measuring.page.evaluate(
        """() => {
          window.heard = [];
          const note = (kind) => (changes) => changes.forEach(({ target }) =>
            target.textContent && heard.push([kind, target.textContent]));
          for (const kind of ["said", "shouted"]) {
            const place = document.getElementById(kind);
            new MutationObserver(note(kind)).observe(place, {childList: true});
          }
        }"""
    )
    type_slowly(measuring, 1, "39.97")
    measuring.until("heard.length > 0")
    measuring.page.wait_for_timeout(RESTED)
    ((kind, words),) = measuring.page.evaluate("heard")
    assert kind == "said"
    assert words.startswith("across, 39.97:")
    assert "Reject" in words
    assert "Not in the record yet" in words


def test_a_number_is_recorded_when_its_box_is_left_even_if_the_focus_stays(measuring):
    type_slowly(measuring, 1, "39.990")
    measuring.page.keyboard.press("Tab")
    expect(readings(measuring)).to_have_count(0)
    measuring.page.keyboard.press("Tab")
    expect(readings(measuring)).to_have_text(["39.990 mm"])
    type_slowly(measuring, 2, "39.991")
    # As some tablets do: a click without a change of focus.
    measuring.page.evaluate("document.getElementById('theme').click()")
    expect(readings(measuring)).to_contain_text(["39.990 mm", "39.991 mm"])


def test_what_was_typed_and_not_recorded_is_there_after_a_reload_and_still_no_reading(measuring):
    type_slowly(measuring, 1, "39.983")
    expect(pending(measuring)).to_contain_text("Cannot tell")
    measuring.page.reload()
    expect(measuring.page.locator(f"{BOX}1")).to_have_value("39.983")
    expect(pending(measuring)).to_contain_text("Cannot tell")
    expect(readings(measuring)).to_have_count(0)


# --- the digits of a reading ---


def test_digits_the_instrument_does_not_show_are_asked_about_and_noted(measuring):
    enter(measuring, 1, "39.9873")
    problem = measuring.page.locator("#step-2 .problem:visible")
    expect(problem).to_contain_text(
        "Bore gauge 35 to 60 mm reads in steps of 0.001 mm: 39.9873 cannot be read from it."
    )
    expect(readings(measuring)).to_have_count(0)
    measuring.page.locator(f"{BOX}1").press("Backspace")
    expect(problem).to_have_count(0)
    type_slowly(measuring, 1, "9")
    measuring.page.press(f"{BOX}1", "Enter")
    problem.get_by_role("button", name="It was read so: 39.9879").click()
    expect(readings(measuring)).to_have_text(["39.9879 mm"])
    kept = measuring.page.evaluate("Object.entries(localStorage)")
    (job,) = (json.loads(text)["job"] for key, text in kept if key.endswith("/job"))
    assert "39.9879 cannot be read from it" in job["readings"][0]["note"]


def test_digits_left_out_are_hinted_at_and_the_question_has_an_answer(measuring):
    type_slowly(measuring, 1, "39.99")
    expect(pending(measuring)).to_contain_text("was 39.99 all that it showed?")
    measuring.page.press(f"{BOX}1", "Enter")
    expect(readings(measuring)).to_have_text(["39.99 mm"])
    box = measuring.page.locator("#step-2 .box").first
    expect(box).to_contain_text("was 39.99 all that it showed?")
    box.get_by_role("button", name="Yes, all of it").click()
    expect(box.locator(".taken")).not_to_contain_text("?")
    expect(box).to_contain_text("39.99 was all that it showed")
    measuring.page.reload()
    expect(box).to_contain_text("39.99 was all that it showed")
    expect(box.get_by_role("button", name="Yes, all of it")).to_have_count(0)


def test_a_comma_is_asked_about_once_and_the_answer_is_remembered_and_can_be_taken_back(measuring):
    page, problem = measuring.page, measuring.page.locator("#step-2 .problem:visible")
    enter(measuring, 1, "39,990")
    expect(problem).to_contain_text("can mean two things")
    expect(problem.locator("button")).to_have_text(["39990", "39.990"])
    problem.locator("button").last.click()
    enter(measuring, 2, "39,991")
    expect(readings(measuring)).to_contain_text(["39.990 mm", "39.991 mm"])
    page.reload()
    page.locator("#step-2 [data-act=measureAgain]:visible").last.click()
    type_slowly(measuring, 2, "39,992")
    expect(pending(measuring)).to_contain_text("Accept")
    page.fill(f"{BOX}2", "")
    comma = page.locator("#step-2 .comma:visible").first
    expect(comma).to_contain_text("Your comma stands for the point")
    comma.get_by_role("button", name="Ask me again").click()
    expect(page.locator("#step-2 .comma:visible")).to_have_count(0)
    enter(measuring, 2, "39,992")
    expect(problem).to_contain_text("can mean two things")


@pytest.mark.parametrize("height", [844, 500])  # of a phone, and of what its keyboard leaves
def test_what_is_asked_about_a_number_is_in_sight_where_it_was_typed(measuring, height):
    page = measuring.page
    page.set_viewport_size({"width": 390, "height": height})
    box = page.locator(f"{BOX}1")
    # The number stands as low as it can be and still be seen.
    box.evaluate(
        """one => { const bar = document.querySelector(".onward-bar").getBoundingClientRect().top;
        one.focus(); scrollBy(0, one.getBoundingClientRect().bottom - bar + 4); }"""
    )
    enter(measuring, 1, "39,990")
    asked = page.locator("#step-2 .problem:visible")
    expect(asked).to_contain_text("can mean two things")
    bar = page.locator(".onward-bar").bounding_box()
    for one in (asked, asked.locator("button").last, box):
        place = one.bounding_box()
        assert place["y"] > 0
        assert place["y"] + place["height"] <= bar["y"]
    expect(box).to_be_focused()


def test_a_page_loaded_again_stays_where_it_was_read(measuring):
    page = measuring.page
    page.locator(f"{BOX}2").evaluate("one => one.scrollIntoView({ block: 'center' })")
    place = page.evaluate("scrollY")
    assert place > 300
    page.reload()
    page.wait_for_function(f"Math.abs(scrollY - {place}) < 40")
    measuring.go("step-3")
    assert page.evaluate("scrollY") == 0


def test_answers_that_mean_the_opposite_stand_a_thumb_apart(measuring):
    """A gloved thumb that slips off one does not land on the other."""
    measuring.go("step-1")
    places = measuring.page.locator(".answers:visible").all()
    assert places
    for place in places:
        one, other = (each.bounding_box() for each in place.locator("button").all())
        assert other["x"] - (one["x"] + one["width"]) >= 20
        assert min(one["height"], other["height"]) >= 60


def test_fields_of_a_joint_stand_in_their_order_with_the_names_of_the_drawing(tab):
    labels = tab.page.locator("#step-3 .box label")
    expect(labels).to_contain_text(["A 1st in the order", "B 2nd in the order"])
    drawn = tab.page.locator("#step-3 .pattern text").evaluate_all(
        "(texts) => texts.map((one) => one.textContent)"
    )
    assert drawn == ["A", "1st", "B", "2nd"]


# --- getting ready, and paper ---


def test_lists_fold_one_is_open_and_each_says_how_far_it_is(tab):
    tab.begin()
    opened = tab.page.locator("#ready .fold[open] h3")
    expect(opened).to_have_text("Before the start")
    tab.page.check("#before-1")
    laid = tab.page.locator("#ready .fold[open] .laid")
    expect(laid).to_have_text("1 of 3 done")
    tab.page.locator("#ready summary", has_text="Tools").click()
    expect(opened).to_have_text("Tools")
    tab.page.click("#ready .fold[open] [data-act=tickAll]")
    expect(laid).to_have_text("8 of 8 laid out")
    tab.page.click("[data-act=leaveReady]")
    tab.page.locator("#open-list button", has_text="Not ticked").first.click()
    expect(opened).to_have_text("Before the start")
    expect(tab.page.locator("#before-2")).to_be_focused()


def laid_out(tab, act):
    """Return the screens that paper shows once a button was pressed, with their pages' text."""
    tab.page.evaluate(
        """() => { window.print = () => {
          window.shown = [...document.querySelectorAll("main > .screen, main > .part, #paper")];
        }; }"""
    )
    tab.page.emulate_media(media="print")
    tab.page.evaluate(f"document.querySelector('[data-act={act}]').click()")
    tab.until("window.shown")
    return tab.page.evaluate("shown.filter((one) => one.offsetHeight).map((one) => one.id)")


def test_the_record_is_printed_alone_or_with_all_of_the_procedure_unfolded(measuring):
    enter(measuring, 1, "39.97")
    assert laid_out(measuring, "printRecord") == ["paper"]
    paper = measuring.page.inner_text("#paper")
    for words in ("Ann Bee", "Step 2: Bore diameter", "39.97 mm", "Reject", "Whole job"):
        assert words in paper
    measuring.page.evaluate("dispatchEvent(new Event('afterprint'))")
    everything = laid_out(measuring, "printAll")
    assert everything[0] == "paper"
    assert {"start", "ready", "finish", "about"} <= {*everything}
    closed = measuring.page.locator("#ready .fold:not([open])")
    expect(closed).to_have_count(0)
    measuring.page.evaluate("dispatchEvent(new Event('afterprint'))")
    expect(measuring.page.locator("#ready .fold[open]")).to_have_count(1)


def test_without_script_all_lists_are_open(browser, folder):
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((folder / "index.html").as_uri())
    expect(page.locator("#ready .fold:not([open])")).to_have_count(0)
    expect(page.locator("#before-3")).to_be_visible()
    expect(page.locator("#tool-1")).to_be_visible()
    context.close()


def test_who_signed_and_who_did_not_is_said_before_the_job(browser, tmp_path):
    judged = small_page.draft()
    signed = [
        Signature("Author", "A. Writer", "17 of 17 numbers and points accepted", "2026-03-31")
    ]
    files = work_page(judged, {}, {}, content=small_page.CONTENT, signatures=signed)
    for name, content in files.items():
        (tmp_path / name).write_bytes(content)
    page = browser.new_page(java_script_enabled=False)
    page.goto((tmp_path / "index.html").as_uri())
    start = page.locator("#start")
    expect(start).to_contain_text("A. Writer: 17 of 17 numbers and points accepted, 2026-03-31")
    expect(start.locator("dt:text-is('Reviewer') + dd")).to_have_text("not signed")
    page.close()


# --- for those who do not see it, or see it otherwise ---


def test_no_state_of_a_reading_has_a_fault_that_axe_finds_by_light_or_dark(browser, folder):
    context = browser.new_context(
        viewport={"width": 320, "height": 640},
        reduced_motion="reduce",
        bypass_csp=True,
    )
    tab, found = Tab(context, (folder / "index.html").as_uri()), {}
    tab.begin()
    tab.page.locator("#ready summary", has_text="Tools").click()
    found["list"] = faults(tab)
    stand_at_bore(tab)
    type_slowly(tab, 1, "39.983")
    expect(pending(tab)).to_contain_text("Cannot tell")
    found["at rest"] = faults(tab)
    enter(tab, 1, "39.9873")
    found["asked"] = faults(tab)
    enter(tab, 1, "39,990")
    tab.page.locator("#step-2 .problem:visible button").last.click()
    expect(tab.page.locator("#step-2 .comma:visible")).to_have_count(1)
    found["comma"] = faults(tab)
    assert {name: said for name, said in found.items() if said} == {}
    context.close()


def stand_at_bore(tab):
    if tab.page.locator("#step-2.shown").count():
        return
    while tab.page.locator("#ready [data-act=pressRead]:visible").count():
        tab.page.locator("#ready [data-act=pressRead]:visible").first.click()
    for number in (1, 2, 3):
        tab.page.check(f"#before-{number}")
    tab.page.click("[data-act=leaveReady]")
    tab.read_hazards()
    tab.page.click("#step-1 [data-met=yes]")
    tab.page.click("#go-on")
    expect(tab.page.locator("#step-2.shown")).to_have_count(1)


def faults(tab):
    """Return what axe finds, what is wider than the screen, and targets too small for a finger."""
    return axe_faults_in_both(tab.page) + tab.page.evaluate(
        """() => [...document.querySelectorAll("a, button, input, select, textarea, summary")]
          .filter((one) => one.offsetParent && !one.matches(".skip"))
          .map((one) => [one.textContent, one.getBoundingClientRect()])
          .filter(([, box]) => box.width < 48 || box.height < 48)
          .map(([words]) => `small: ${words}`)
          .concat(document.documentElement.scrollWidth > 320 ? ["wider than the screen"] : [])"""
    )


def test_a_day_of_calibration_typed_by_half_is_refused(measuring):
    place = measuring.page.locator("#step-2 .instrument").first
    if place.locator("[data-ask=other]").is_visible():
        place.locator("[data-ask=other]").click()
    place.locator("input[type=text]").fill("BG-7")
    day = place.locator("input[type=date]")
    day.focus()
    measuring.page.keyboard.type("03")
    place.locator("[data-act=useInstrument]").click()
    expect(place.locator(".problem")).to_contain_text("typed only by half")
    expect(place.locator(".instrument-is")).not_to_contain_text("BG-7")
    expect(day).to_be_focused()
    day.fill("2026-03-31")
    place.locator("[data-act=useInstrument]").click()
    expect(place.locator(".instrument-is")).to_contain_text("BG-7, calibrated 2026-03-31")


def test_what_was_read_and_what_undoes_it_do_not_touch(measuring):
    enter(measuring, 1, "40.000")
    box = measuring.page.locator("#step-2 .box").first
    read = box.locator(".reading").last.bounding_box()
    again = box.get_by_role("button", name="Measure again").bounding_box()
    assert again["y"] - read["y"] - read["height"] >= 8
