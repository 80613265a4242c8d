"""What belongs together stands together, and what does not stands apart: keys, lists, labels."""

import copy

import pytest

from author.publish.content import page_data
from author.publish.pdf import make_pdf
from author.publish.record_sheet import record_pdf
from publish import sample
from publish.pdf_reading import words
from publish.test_pdf_pages import between_full_pages

STILL = {"recording": "saw", "at": "1.000000", "alt": "A wheel"}


def section(*steps):
    return [{"id": "work", "title": "Work", "steps": [*steps]}]


def one(spots, mark):
    (spot,) = spots[mark]
    return spot


def test_a_key_text_of_two_lines_keeps_off_the_next():
    callouts = [
        {
            "shape": "leader",
            "at": ["0.5", "0.5"],
            "tail": [f"0.{n}", "0.2"],
            "text": f"qk{n}ax stays where the cover was lifted off, for the qk{n}bx",
        }
        for n in (2, 5, 8)
    ]
    step = {"id": "s", "action": "Lift.", "still": {**STILL, "callouts": callouts}}
    shown = {"s": sample.picture(sample.LANDSCAPE, 1)}
    judged = sample.draft(sections=section(step), findings="none")
    spots = words(make_pdf(judged, shown, yaml=b"", clips={}), r"\bqk\d[ab]x\b")
    for number, after in ((2, 5), (5, 8)):
        first, last = one(spots, f"qk{number}ax"), one(spots, f"qk{number}bx")
        within = first.bottom - last.top
        assert 0 < within < 6  # the text takes two lines
        assert last.bottom - one(spots, f"qk{after}ax").top > 1.6 * within


@pytest.mark.parametrize(
    ("size", "above"), [((640, 360), True), (sample.PORTRAIT, False)], ids=["narrow", "wide"]
)
def test_labels_stand_over_what_they_name_where_it_would_be_narrow(size, above):
    step = {"id": "s-1", "action": "Lift.", "still": STILL, "tools": ["torque-wrench"]}
    pdf = between_full_pages([step], {"s-1": sample.picture(size, 1)})
    page = words(pdf, "Lift")["Lift"][-1].page
    spots = words(pdf, "Torque wrench|Tools")
    label, tool = (
        next(spot for spot in spots[mark] if spot.page == page)
        for mark in ("Tools", "Torque wrench")
    )
    assert (label.bottom >= tool.top) is above


def test_the_number_of_a_source_is_not_torn_from_its_word():
    steps = [
        {
            "id": f"s-{n}",
            "action": "Look.",
            "criteria": [
                {
                    "id": f"c-{n}",
                    "look_for": "m" * n + " and it",
                    "accept": "None",
                    "otherwise": "Stop.",
                    "source": "demo",
                }
            ],
        }
        for n in range(1, 24)
    ]
    judged = sample.draft(sections=section(*steps), findings="none")
    whole = words(make_pdf(judged, {}, yaml=b"", clips={}), r"\(source \d+\)")
    assert sum(map(len, whole.values())) == len(steps)


def test_a_spread_names_the_step_of_its_readings_only_if_that_is_another():
    def told(*steps):
        data = page_data(sample.draft(sections=section(*steps)), {})
        return data["sections"][0]["steps"][-1]["specs"][-1]["spread"]

    size = {"id": "size", "characteristic": "Size", "quantity": "length", "unit": "mm"}
    read = {**size, "upper": "2.0", "positions": ["a", "b"]}
    spread = {**size, "id": "spread", "upper": "0.1", "spread_of": "size"}
    here = {"id": "s", "action": "Measure.", "specs": [read, spread]}
    assert told(here) == {"of": "Size", "step": None}
    apart = [{**here, "specs": [read]}, {**here, "id": "t", "specs": [spread]}]
    assert told(*apart)["step"]["text"] == "step 1"


def test_what_is_done_after_the_work_is_not_parted():
    pdf = make_pdf(sample.checked(), sample.stills(), yaml=b"", clips={}, paper="us-letter")
    spots = words(pdf, "After the work|To do before the unit is used again|Other findings")
    assert len({spot.page for found in spots.values() for spot in found[-1:]}) == 1


@pytest.mark.parametrize("steps", range(1, 12, 2))
def test_short_lists_of_the_record_sheet_are_not_parted(steps):
    part = next(p for p in sample.document()["parts"] if p["replace"] == "always")
    parts = [{**part, "id": f"p-{n}", "name": f"qp{n}x"} for n in range(8)]
    replaced = [{"act": "replaces", "part": p["id"]} for p in parts]
    criterion = {"look_for": "A gap", "accept": "None", "otherwise": "Fit it again."}
    looked = [
        {"id": f"s-{n}", "action": "Look.", "criteria": [{**criterion, "id": f"c-{n}"}]}
        for n in range(steps)
    ]
    fit = {"id": "fit", "action": "Fit.", "ledger": replaced}
    judged = sample.draft(
        sections=section(*looked, fit), parts=parts, stacks="none", findings="none"
    )
    spots = words(record_pdf(judged), r"\bqp\d+x\b|Parts that went in|Before the work|Supplies lie")
    assert {s.page for n in range(8) for s in spots[f"qp{n}x"]} == {
        one(spots, "Parts that went in").page
    }
    assert one(spots, "Before the work").page == one(spots, "Supplies lie").page


def test_who_signs_has_room_for_a_long_name():
    people = copy.deepcopy(sample.FRONT["people"])
    held = {"what": "It is worn.", "state": "deferred", "holds": True, "follow_on": "Mend it."}
    findings = []
    for n in range(3):
        people.append(
            {"id": f"k-{n}", "role": f"qr{n}ax keeper of " + "tools and " * 9 + f"qr{n}bx"}
        )
        findings.append({**held, "id": f"f-{n}", "released_by": f"k-{n}"})
    judged = sample.draft(sections=section({"id": "s", "action": "Go."}), people=people,
                          findings=findings)  # fmt: skip
    spots = words(record_pdf(judged), r"\bqr\d[ab]x\b|Checked by")
    for n in (0, 1):
        last, after = spots[f"qr{n}bx"][-1], spots[f"qr{n + 1}ax"][-1]
        assert last.page == after.page
        assert last.bottom > after.top + 5
