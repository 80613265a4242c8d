"""What records leave open: findings until their role releases them, questions, hours; and the
commands that say so."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import click
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from author.cli.library_records import COMMANDS
from author.contract.yaml_writer import write_yaml
from author.errors import InputError
from author.library.records.hours import labour_time
from author.library.records.keeping import records_folder
from author.library.records.releases import Releaser
from author.library.shop import SHOP_FILE, Shop
from author.procedure.times import read_duration
from author.progress import Cancel
from author.tasks.library_records import (
    answer_question,
    hours,
    questions,
    record_report,
    release_finding,
    unit_report,
)

from .record_samples import DAY, NAME, as_bytes, content_of, job, lid, lid_shop, reading, sent
from .shops import Plain

UNIT = "Bench drill BD-2"
CRACKED = {"what": "The lid is cracked", "holds": True, "step": "guard-on"}
KEEPER = Releaser("M. P.", ("keeper",))
SUPERVISOR = Releaser("S. V.", ("reader",), ("supervisor of the Tool Room",))


def worn(plain: Plain) -> None:
    """Let the procedure tell of a defect that holds the unit, and of one that does not."""
    plain["people"].append({"id": "supervisor", "role": "Supervisor of the tool room"})
    plain["labour_time"] = "PT1H"
    plain["findings"] = [
        {"id": "guide", "what": "The guide block is worn", "state": "deferred", "holds": True,
         "released_by": "supervisor", "follow_on": "Renew the guide block"},
        {"id": "paint", "what": "The paint is chipped", "state": "inherited"},
        {"id": "screw", "what": "A screw was loose", "state": "dealt_with"},
    ]  # fmt: skip


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return lid_shop(tmp_path / "shop", lid(worn))


def open_ones(shop: Shop) -> list[tuple[str, bool]]:
    return [(one.what, one.holds) for one in unit_report(shop.folder, UNIT).value.open]


def tag(day: int) -> Plain:
    return {"tags_hung": [{"finding": "guide", "by": "K. O.", "at": DAY.format(day)}]}


def test_findings_stay_open_until_the_named_role_or_a_keeper_releases_them(shop: Shop) -> None:
    content = content_of(shop)
    sent(shop, job(content, 1, **tag(1)))
    sent(shop, job(content, 2, findings=[CRACKED]))
    assert open_ones(shop) == [
        ("The guide block is worn", True), ("The lid is cracked", True),
        ("The paint is chipped", False),
    ] or open_ones(shop) == [
        ("The lid is cracked", True), ("The guide block is worn", True),
        ("The paint is chipped", False),
    ]  # fmt: skip
    found = {one.what: one for one in unit_report(shop.folder, UNIT).value.open}
    guide, cracked = found["The guide block is worn"], found["The lid is cracked"]
    assert (guide.role, guide.tagged_by, len(guide.alike)) == (
        "Supervisor of the tool room", "K. O.", 2,
    )  # fmt: skip
    assert (cracked.role, cracked.step) == (None, 2)
    for releaser in (
        Releaser("K. O.", ("author", "reviewer", "reader")),
        Releaser("X.", (), ("",)),
    ):
        for one in (guide, cracked):
            with pytest.raises(InputError, match="may not release"):
                release_finding(shop.folder, UNIT, one.id, releaser, "It looks fine")
    with pytest.raises(InputError, match="it takes a keeper"):
        release_finding(shop.folder, UNIT, cracked.id, SUPERVISOR, "Welded")
    _, done = release_finding(shop.folder, UNIT, guide.id, SUPERVISOR, "Guide block renewed")
    assert (done.by, done.role) == ("S. V.", "supervisor of the Tool Room")
    assert open_ones(shop) == [("The lid is cracked", True), ("The paint is chipped", False)]
    release_finding(shop.folder, UNIT, cracked.id[:9], KEEPER, "Welded")
    assert open_ones(shop) == [("The paint is chipped", False)]
    kept = {one.what: one.released for one in unit_report(shop.folder, UNIT).value.released}
    assert {what: (one.by, one.why) for what, one in kept.items() if one} == {
        "The guide block is worn": ("S. V.", "Guide block renewed"),
        "The lid is cracked": ("M. P.", "Welded"),
    }
    first = unit_report(shop.folder, UNIT).value.jobs[-1]
    told = record_report(shop.folder, first.slug, first.key).findings
    assert [(one.what, one.released and one.released.by) for one in told if one.holds] == [
        ("The guide block is worn", "S. V.")
    ]
    # Seen again in the next job it holds the unit again.
    sent(shop, job(content, 3, **tag(3)))
    assert ("The guide block is worn", True) in open_ones(shop)


def test_a_hold_that_came_once_stays_though_a_later_state_has_it_no_more(shop: Shop) -> None:
    content = content_of(shop)
    sent(shop, job(content, outcome="open", ended=None, findings=[CRACKED]))
    sent(shop, job(content, findings="none"))
    assert ("The lid is cracked", True) in open_ones(shop)
    sent(shop, job(content, findings=[CRACKED | {"holds": False}], handover="Not so bad"))
    assert open_ones(shop).count(("The lid is cracked", True)) == 1


def test_a_hold_of_one_unit_is_none_of_another(shop: Shop) -> None:
    content = content_of(shop)
    sent(shop, job(content, 1, findings=[CRACKED]))
    sent(shop, job(content, 2, serial="8", findings=[CRACKED]))
    with pytest.raises(InputError, match="may be one of 2 units"):
        unit_report(shop.folder, UNIT)
    first = unit_report(shop.folder, f"{UNIT}, 7").value
    cracked = next(one for one in first.open if one.what == CRACKED["what"])
    release_finding(shop.folder, first.unit.slug, cracked.id, KEEPER, "Welded")
    other = unit_report(shop.folder, f"{UNIT}, 8").value
    assert CRACKED["what"] in {one.what for one in other.open}
    with pytest.raises(InputError, match="begins the id of 0 open findings"):
        release_finding(shop.folder, other.unit.slug, cracked.id, KEEPER, "Welded")


def test_a_forged_or_changed_release_releases_nothing(shop: Shop) -> None:
    sent(shop, job(content_of(shop), findings=[CRACKED]))
    report = unit_report(shop.folder, UNIT).value
    cracked = next(one for one in report.open if one.what == CRACKED["what"])
    folder = records_folder(shop) / report.unit.slug / "released"
    folder.mkdir()
    (folder / f"{cracked.id}.json").write_text('{"by": "nobody"}')
    found = unit_report(shop.folder, UNIT)
    assert (CRACKED["what"], True) in open_ones(shop)
    assert [one.problem for one in found.problems] == [
        "this file was changed, or is none of the program's"
    ]


def test_a_question_reaches_the_author_and_its_answer_the_record(shop: Shop) -> None:
    asked = {"questions": [{"step": "guard-on", "text": "Which way round?"}]}
    first = sent(shop, job(content_of(shop), outcome="open", ended=None, **asked)).kept
    latest = sent(shop, job(content_of(shop), **asked)).kept
    open_now = questions(shop.folder, answered=False).value
    assert [(one.text, one.step, one.key) for one in open_now] == [
        ("Which way round?", 2, latest.key)
    ]
    for text in ("The arrow up", "The arrow up", "The arrow up, and the seam behind"):
        answer_question(shop.folder, open_now[0].id[:8], text, "A. R.")
    (told,) = questions(shop.folder).value
    assert [one.answer for one in told.answers] == [
        "The arrow up", "The arrow up, and the seam behind",
    ]  # fmt: skip
    assert questions(shop.folder, answered=False).value == []
    assert questions(shop.folder, procedure="lock-out").value == []
    assert questions(shop.folder, procedure=NAME).value == [told]
    assert record_report(shop.folder, latest.slug, latest.key).questions == (told,)
    assert first.key != latest.key
    for wrong in ("", " ", "a\nb", "x" * 2001, "\u202eup"):
        with pytest.raises(InputError, match="answer"):
            answer_question(shop.folder, told.id, wrong, "A. R.")


def test_hours_are_told_against_the_labour_time_and_never_written(shop: Shop) -> None:
    file = shop.place_of(NAME) / "procedure.yaml"
    before = file.read_bytes()
    content = content_of(shop)
    two = [{"name": "K. O.", "role": "technician", "hours": "1.25"},
           {"name": "M. P.", "role": "technician", "hours": "0.50"}]  # fmt: skip
    for day, workers in ((1, two), (2, [two[0]])):
        sent(shop, job(content, day, workers=workers))
    (seen,) = hours(shop.folder).value
    assert (seen.count, seen.proposal) == (2, None)  # too few
    sent(shop, job(content, 3, workers=[two[0] | {"hours": "2"}]))
    sent(shop, job(content, 4, outcome="stopped", workers=[two[0] | {"hours": "9"}]))
    sent(shop, job(content, 5, data="shop", workers=[two[0] | {"hours": "9"}]))
    (seen,) = hours(shop.folder).value
    assert (seen.count, str(seen.middle), str(seen.least), str(seen.most)) == (
        3, "1.75", "1.25", "2",
    )  # fmt: skip
    assert (seen.labour_time, seen.said, seen.proposal) == ("PT1H", 1, "PT1H45M")
    assert file.read_bytes() == before


@given(st.fractions(0, 9999))
def test_a_proposed_labour_time_is_one_and_never_less(given_hours: Fraction) -> None:
    text = labour_time(given_hours)
    if given_hours == 0:
        assert text is None
    else:
        assert text is not None
        over = read_duration(text) - given_hours * 60
        assert 0 <= over < 5


# --- the commands ---


GROUP = click.Group("library", {one.name or "": one for one in COMMANDS})


def call(*arguments: object) -> Any:
    done = CliRunner().invoke(
        GROUP, [str(one) for one in arguments], obj=Cancel(), standalone_mode=False
    )
    if done.exception is not None:
        raise done.exception
    return done


@pytest.fixture
def sent_shop(shop: Shop, tmp_path: Path) -> Shop:
    for day in (1, 2):
        file = tmp_path / f"{day}.json"
        plain = job(
            content_of(shop), day, findings=[CRACKED], questions=[{"text": "Which way round?"}],
            readings=[reading("6.20", "accept")],
        )  # fmt: skip
        file.write_bytes(as_bytes(plain))
    done = call("record", shop.folder, tmp_path / "1.json", tmp_path / "2.json", "--by", "K. O.")
    assert done.stdout.count(": kept (tank-lid, Bench drill BD-2)") == 2
    assert "by the procedure: rejected, above the limits" in done.stdout
    again = call("record", shop.folder, tmp_path / "1.json", "--by", "K. O.")
    assert "the library had it already" in again.stdout
    return shop


def test_every_command_gives_programs_a_list_of_results(sent_shop: Shop, tmp_path: Path) -> None:
    shop = sent_shop.folder
    finding = unit_report(shop, UNIT).value.open[0].id
    question = questions(shop).value[0].id
    more = {
        "record": (tmp_path / "1.json", "--by", "K. O."),
        "records": ("--unit", UNIT),
        "readings": (NAME, "gap", "--unit", UNIT, "--phase", "as_left",
                     "--chart", tmp_path / "c.svg"),
        "answer": (question, "The arrow up", "--by", "A. R."),
        "release": (UNIT, finding, "--by", "S. V.", "--why", "Mended",
                    "--role", "Supervisor of the tool room"),
    }  # fmt: skip
    (shop / SHOP_FILE).write_text(
        write_yaml(
            {
                "schema": "library/1",
                "name": "Demo shop",
                "people": [
                    {"name": "S. V.", "roles": ["keeper"]},
                    {"name": "A. R.", "roles": ["author"]},
                ],
            }
        )
    )
    for command in COMMANDS:
        name = command.name or ""
        plain = json.loads(call(name, shop, *more.get(name, ()), "--json").stdout)
        assert isinstance(plain["results"], list), name
        assert plain["results"], name
    assert (tmp_path / "c.svg").read_bytes().startswith(b"<?xml")


def test_the_commands_read_as_sentences(sent_shop: Shop) -> None:
    shop = sent_shop.folder
    assert (
        "Bench drill BD-2, 7: ON HOLD (3), 2 jobs, the last 2026-03-02"
        in call("records", shop).stdout
    )
    unit = call("records", shop, "--unit", UNIT).stdout
    assert "ON HOLD: The guide block is worn; Renew the guide block (released by Super" in unit
    told = call("readings", shop, NAME, "gap").stdout
    assert "2026-03-01  Bench drill BD-2, 7, revision 1: 4.50 to 6.00 mm" in told
    assert "    6.20 mm, reject" in told
    assert (
        "tank-lid gap: step 2, Gap to the pulley, 2 readings, 2 rejected"
        in call("readings", shop).stdout
    )
    asked = call("questions", shop, "--open").stdout
    number = asked.partition("]")[0].strip("[")
    said = call("answer", shop, number, "The arrow up", "--by", "A. R.").stdout.splitlines()
    assert said[1].endswith(": The arrow up")
    assert said[2].startswith("The library knows nobody yet")
    assert "tank-lid: 1 h; 2 jobs, median 1.5 h (1.5 to 1.5)" in call("hours", shop).stdout
    finding = unit.split("The lid is cracked")[1].split("[")[1][:8]
    with pytest.raises(InputError, match="it takes a keeper"):
        call("release", shop, UNIT, finding, "--by", "S. V.", "--why", "Welded", "--role", "Cook")
    for wrong in (("--chart", "x.svg"), (NAME, "gap", "--chart", "x.png")):
        with pytest.raises(InputError):
            call("readings", shop, *wrong)
