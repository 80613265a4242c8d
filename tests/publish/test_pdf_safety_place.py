"""Where the steps begin after lists and hazards that run over more than one page."""

import pytest

from author.publish.pdf import make_pdf
from publish import sample
from publish.pdf_reading import words
from publish.sample_lists import hazard


def pictured(number, **more):
    """Return a step with a still that takes about a third of a page."""
    still = {"recording": "saw", "at": "1.000000", "alt": "A wheel"}
    return {"id": f"s-{number}", "action": f"Turn qa{number}x.", "still": still, **more}


def pages(steps, paper="a4", **changes):
    """Return the page of each marked text: of actions, hazards and tools by their numbers."""
    shown = {
        s["id"]: sample.picture(sample.LANDSCAPE, n)
        for n, s in enumerate(s for s in steps if "still" in s)
    }
    sections = [{"id": "all", "title": "All", "steps": steps}]
    judged = sample.draft(sections=sections, findings="none", **changes)
    pdf = make_pdf(judged, shown, yaml=b"", clips={}, paper=paper)
    return {mark: spots[0].page for mark, spots in words(pdf, r"\bq[aht]\d+x\b").items()}


@pytest.mark.parametrize(
    ("count", "paper", "over"),
    [(48, "a4", 2), (80, "a4", 3), (44, "us-letter", 2), (72, "us-letter", 3)],
)
def test_step_1_does_not_stand_alone_after_a_safety_table_that_runs_over_pages(count, paper, over):
    """Each page of the table repeats its head, so that it ends lower than its rows add up to."""
    hazards = [hazard("WARNING", f"It qh{n}x falls", None, "Keep off.") for n in range(count)]
    warned = [
        {"id": f"w-{n}", "action": "Go.", "hazards": hazards[n : n + 6]} for n in range(0, count, 6)
    ]
    page = pages([*map(pictured, range(3)), *warned], paper, general_hazards="none")
    assert page[f"qh{count - 1}x"] - page["qh0x"] == over - 1
    assert page["qa0x"] in {page[f"qh{count - 1}x"], page["qa1x"]}


@pytest.mark.parametrize("count", [92, 106, 110, 150])
def test_safety_follows_lists_that_run_over_pages_and_is_not_torn(count):
    tools = [{"id": f"t-{n}", "name": f"Tool qt{n}x", "note": "a note"} for n in range(count)]
    steps = [pictured(n, hazards=[hazard("NOTICE", f"It qh{n}x", None, "Do.")]) for n in range(3)]
    empty = dict.fromkeys(("parts", "supplies", "sources", "stacks", "general_hazards"), "none")
    page = pages(steps, tools=tools, **empty)
    assert page["qt0x"] < page[f"qt{count - 1}x"]
    assert page["qh0x"] == page["qh2x"] <= page[f"qt{count - 1}x"] + 1
    assert page["qa0x"] == page["qa1x"] == page["qh0x"]


def long_safety(tools, hazards):
    """Return the pages of marks of lists so long, and of so many hazards of single steps."""
    listed = [{"id": f"t-{n}", "name": f"Tool qt{n}x", "note": "a note"} for n in range(tools)]
    table = [hazard("WARNING", f"It qh{n}x falls", None, "Keep off.") for n in range(hazards)]
    warned = [
        {"id": f"w-{n}", "action": "Go.", "hazards": table[n : n + 6]} for n in range(0, hazards, 6)
    ]
    # The marks of messages for the whole job stand above those of the table.
    job = [hazard("WARNING", f"It qh{900 + n}x", None, "Keep off.") for n in range(2)]
    empty = dict.fromkeys(("parts", "supplies", "sources", "stacks"), "none")
    steps = [pictured(0), *warned]
    page = pages(steps, tools=listed, general_hazards=job, **empty)
    return page, page[f"qt{tools - 1}x"], page[f"qh{hazards - 1}x"]


def test_a_long_safety_table_begins_where_lists_leave_much_empty_and_step_1_where_it_ends():
    page, lists_end, table_end = long_safety(56, 20)
    assert page["qh900x"] == page["qh901x"] == page["qh0x"] == page["qh3x"] == lists_end
    assert page["qa0x"] == table_end == lists_end + 1


@pytest.mark.parametrize(("tools", "hazards"), [(56, 6), (90, 20)])
def test_safety_is_not_torn_where_it_is_short_or_little_would_stay_empty(tools, hazards):
    page, lists_end, table_end = long_safety(tools, hazards)
    assert page["qh900x"] == page["qh901x"] == page["qh0x"] == table_end
    assert lists_end in {table_end, table_end - 1}
