"""A job is kept on the device; what stands against that is said at once, and nothing is mixed."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest

from page.jobs import Job, Plain, facts_of, procedure_named
from page.node_page import REF, NodePage

FACTS = facts_of(procedure_named("coolant-pump-seal"))
OTHER = facts_of(procedure_named("coolant-pump-seal"), content="0" * 64)
TICKS = [key for key in FACTS["ticks"] if key.startswith("tool:")]
READ = ("find", {"what": "1.38"})


@pytest.fixture
def node() -> Iterator[NodePage]:
    with NodePage() as opened:
        yield opened


def kept(node: NodePage, facts: Plain = FACTS, page: str = "main") -> Any:
    node.ask(page=page, hold={"facts": facts})
    return node.call("kept", REF("facts"), page=page)


def stored(node: NodePage, name: str) -> Any:
    key = f"reelwright/coolant-pump-seal/{FACTS['procedure']['revision']}/{name}"
    text = node.ask(stored=True).get(key)
    return None if text is None else json.loads(text)


def test_a_reload_finds_the_job_as_it_was(node: NodePage) -> None:
    job = Job(node, FACTS)
    assert job.found == {"job": None, "problem": None, "kind": None, "other": None}
    job.well(*READ)
    before = job.plain()
    node.ask(close=True)
    assert kept(node)["job"] == before
    assert kept(node, page="second")["kind"] == "elsewhere"


def test_another_procedure_or_revision_is_another_job(node: NodePage) -> None:
    Job(node, FACTS)
    next_revision = {**FACTS, "procedure": {**FACTS["procedure"], "revision": 2}}
    assert kept(node, next_revision, "b")["job"] is None
    assert kept(node, facts_of(procedure_named("vice-jaws")), "c")["job"] is None


def test_text_not_yet_taken_is_there_again(node: NodePage) -> None:
    job = Job(node, FACTS)
    assert job.node.call("keepDraft", "finding", "The face is wo") == {"ok": True}
    node.call("keepDraft", "__proto__", "x" * 5000)
    node.ask(close=True)
    kept(node)
    assert node.call("draftOf", "finding") == "The face is wo"
    assert node.call("draftOf", "__proto__") == "x" * 1000
    assert node.call("draftOf", "constructor") == ""
    node.call("keepDraft", "finding", "")
    node.call("forget")
    assert node.ask(stored=True).keys() == {"reelwright/coolant-pump-seal/1/open"}
    assert node.call("draftOf", "__proto__") == ""


@pytest.mark.parametrize(
    ("mode", "kind"),
    [("full", "full"), ("denied", "denied"), ("none", "denied"), ("read_only", "denied")],
)
def test_what_cannot_be_kept_is_said_at_once_and_not_lost(
    node: NodePage, mode: str, kind: str
) -> None:
    job = Job(node, FACTS)
    node.ask(mode=mode)
    found = job.do(*READ)
    assert found["ok"]
    assert "save the record as a file" in found["unkept"]
    assert job.do("recordOf")["findings"][0]["what"] == "1.38"
    assert node.call("keepDraft", "x", "y")["kind"] == kind
    node.ask(mode="open")
    job.well("find", {"what": "1.40"})
    assert [r["what"] for r in stored(node, "job")["job"]["findings"]] == ["1.38", "1.40"]


def test_a_full_storage_still_gives_back_what_is_in_it(node: NodePage) -> None:
    before = Job(node, FACTS).plain()
    node.ask(crash=True)
    node.ask(ahead=200_000, mode="full")
    found = kept(node)
    assert (found["job"], found["kind"]) == (before, "full")
    assert "save the record" in found["problem"]


@pytest.mark.parametrize("mode", ["full", "denied", "none"])
def test_a_job_can_be_begun_where_nothing_is_kept(node: NodePage, mode: str) -> None:
    node.ask(mode=mode)
    job = Job(node, FACTS)
    assert job.found["kind"] in {"full", "denied"}
    assert job.made["ok"]
    assert job.made["unkept"] == job.found["problem"]
    assert job.do(*READ)["ok"]


@pytest.mark.parametrize(
    "text",
    ["{", "null", "[]", '"x"', "{}", '{"form": 1}', '{"form": 1, "job": {"workers": [1]}}', ""],
)
def test_what_cannot_be_read_is_told_and_stays_till_it_is_put_away(
    node: NodePage, text: str
) -> None:
    key = "reelwright/coolant-pump-seal/1/job"
    node.ask(store={key: text})
    job = Job(node, FACTS)
    assert (job.found["kind"], job.found["job"], job.found["other"]) == ("broken", None, None)
    assert "cannot be read" in job.made["unkept"]
    assert node.ask(stored=True)[key] == text
    assert node.call("forget") == {"ok": True}
    job.well(*READ)
    assert stored(node, "job")["form"] == 1


def test_a_job_of_another_version_of_the_page_is_not_taken(node: NodePage) -> None:
    Job(node, FACTS)
    form = {**stored(node, "job"), "form": 2}
    node.ask(close=True)
    node.ask(store={"reelwright/coolant-pump-seal/1/job": json.dumps(form)})
    assert kept(node)["kind"] == "broken"


def test_a_job_of_another_content_is_told_and_never_mixed(node: NodePage) -> None:
    old = Job(node, FACTS)
    old.well(*READ)
    node.call("keepDraft", "finding", "old")
    node.ask(close=True)
    job = Job(node, OTHER)
    assert (job.found["kind"], job.found["job"]) == ("other_content", None)
    node.ask(hold={"other": job.found["other"]})
    assert '"1.38"' in node.call("recordText", REF("other"))
    assert job.made["unkept"] == job.found["problem"]
    assert node.call("draftOf", "finding") == ""
    assert node.call("keepDraft", "finding", "new")["kind"] == "other_content"
    assert stored(node, "job")["content"] == FACTS["content"]
    node.call("forget")
    job.well(*READ)
    assert stored(node, "job")["content"] == OTHER["content"]


def test_a_job_is_not_begun_over_another(node: NodePage) -> None:
    job = Job(node, FACTS)
    given = {"name": "M. P.", "role": FACTS["roles"][0]["id"]}
    found = node.call("newJob", REF("facts"), given)
    assert "kept here" in found["problem"]
    assert stored(node, "job")["job"]["workers"][0]["name"] == "K. O."
    node.call("forget")
    assert node.call("newJob", REF("facts"), given)["unkept"] is None
    assert "put it away" in job.do(*READ)["unkept"]


def test_a_loaded_record_is_kept_when_asked(node: NodePage) -> None:
    text = Job(node, FACTS).do("recordText")
    node.call("forget")
    node.call("loadRecordFile", text, REF("facts"), hold="loaded")
    assert stored(node, "job") is None
    assert node.call("keep", REF("loaded.job")) == {"ok": True}
    assert stored(node, "job")["job"]["workers"][0]["name"] == "K. O."


# --- two tabs ---


def test_the_second_tab_is_told_and_may_take_over(node: NodePage) -> None:
    first = Job(node, FACTS, page="first")
    found = kept(node, page="second")
    assert (found["kind"], found["job"]) == ("elsewhere", None)
    assert "another tab" in found["problem"]
    assert node.call("keepDraft", "x", "y", page="second")["kind"] == "elsewhere"
    first.well(*READ)
    assert node.call("takeOver", page="second") == {"ok": True}
    assert [one["kind"] for one in node.ask(page="first", see="told")] == ["elsewhere"]
    again = node.call("kept", REF("facts"), page="second", hold="kept")
    assert again["job"]["findings"][0]["what"] == "1.38"
    given = {"what": "1.41"}
    taken = node.call("find", REF("kept.job"), REF("facts"), given, page="second")
    assert taken["unkept"] is None
    lost = first.do("find", {"what": "1.50"})
    assert "another tab" in lost["unkept"]
    assert [r["what"] for r in stored(node, "job")["job"]["findings"]] == ["1.38", "1.41"]


def test_a_tab_that_was_closed_or_fell_silent_holds_nothing(node: NodePage) -> None:
    Job(node, FACTS, page="first")
    node.ask(page="first", close=True)
    assert kept(node, page="second")["job"] is not None
    node.ask(page="second", crash=True)
    node.ask(ahead=60_000)
    assert kept(node, page="third")["kind"] == "elsewhere"
    node.ask(ahead=91_000)
    assert kept(node, page="fourth")["job"] is not None


def test_a_tab_that_lost_the_job_closes_without_a_word(node: NodePage) -> None:
    Job(node, FACTS, page="first")
    kept(node, page="second")
    node.call("takeOver", page="second")
    node.ask(page="first", close=True)
    assert kept(node, page="third")["kind"] == "elsewhere"


def test_a_tab_in_the_background_stays_the_one(node: NodePage) -> None:
    Job(node, FACTS, page="first")
    node.ask(page="first", ahead=60_000, tick=True)
    node.ask(page="first", ahead=120_000, tick=True)
    assert kept(node, page="second")["kind"] == "elsewhere"


def test_a_tab_that_slept_does_not_write_over_what_came_after(node: NodePage) -> None:
    first = Job(node, FACTS, page="first")
    node.ask(ahead=200_000)
    kept(node, page="second")
    node.call("kept", REF("facts"), page="second", hold="kept")
    found = node.call("tick", REF("kept.job"), REF("facts"), TICKS[1], True, page="second")
    assert found["unkept"] is None
    node.ask(ahead=400_000)
    assert "another tab" in first.do("tick", TICKS[0], True)["unkept"]
    ticks = stored(node, "job")["job"]["made_ready"]
    assert [f"{one['kind']}:{one['item']}" for one in ticks] == [TICKS[1]]
