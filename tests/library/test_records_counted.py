"""What counts of a record: repeated readings, jobs not done, records changed by hand."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from author.library.records.keeping import records_folder
from author.library.records.releases import Releaser
from author.library.shop import Shop
from author.tasks.library_records import readings, release_finding, spec_list, unit_report
from author.tasks.run_chart import chart_words

from .record_samples import DAY, NAME, content_of, job, lid, lid_shop, reading, sent
from .shops import Plain, procedure, put
from .test_command import call

UNIT = "Bench drill BD-2"


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return lid_shop(tmp_path / "shop")


def test_a_refused_reading_that_was_taken_again_is_not_as_left(shop: Shop) -> None:
    content = content_of(shop)
    rows = [
        reading("6.40", "reject", phase="as_found", reaction="Shimmed"),
        reading("6.20", "reject", reaction="Shimmed again"),
        reading("5.00"),
    ]
    sent(shop, job(content, 1, readings=rows))
    sent(shop, job(content, 2, readings=[reading("6.30", "reject", reaction="Left so")]))
    series = readings(shop.folder, NAME, "gap").value
    told = [(str(one.shown), one.superseded) for one in series.points]
    assert told == [("6.20", True), ("5.00", False), ("6.30", False)]
    assert [str(one.mean) for one in series.jobs] == ["5", "63/10"]
    # As found it stays what it was, and counts.
    assert [(one.readings, one.rejected) for one in spec_list(shop.folder).value] == [(3, 2)]
    assert "2 readings of 2 jobs, 1 rejected" in chart_words(series)
    assert "6.20 mm, reject, superseded" in call("readings", shop.folder, NAME, "gap").out


def test_a_record_from_the_future_hides_no_later_stop(shop: Shop) -> None:
    content = content_of(shop)
    sent(shop, job(content, began="2999-03-01T08:00:00Z", ended="2999-03-01T09:00:00Z"))
    before = (datetime.now(UTC) - timedelta(hours=2)).isoformat(timespec="seconds")
    sent(shop, job(content, began=before, outcome="stopped", ended=None))
    assert "ON HOLD (its last job was stopped)" in call("records", shop.folder).out


def test_a_record_of_another_machine_is_told_beside_it(tmp_path: Path) -> None:
    def of_some(plain: Plain) -> None:
        plain["unit"]["serials"] = [{"from": "B9", "to": "B12"}]

    shop = lid_shop(tmp_path / "shop", lid(of_some))
    machine = lid(of_some)["unit"]["name"]
    content = content_of(shop)
    own = {"unit": f"{machine} by the door"}
    assert sent(shop, job(content, 1, **own, serial="B10")).kept.notes() == ()
    assert sent(shop, job(content, 2, **own, serial="bright yellow")).kept.notes() == ()
    assert sent(shop, job(content, 3, **own, serial="B13")).kept.notes() == (
        "The procedure is for serial numbers B9 to B12, and this unit is B13",
    )
    assert sent(shop, job(content, 4, **own, serial=None)).kept.notes() == (
        "The record names no serial number, and the procedure is for B9 to B12",
    )
    (note,) = sent(shop, job(content, 5, unit="Kettle 4", serial="B10")).kept.notes()
    assert note == f"The record is of 'Kettle 4', and the procedure is for '{machine}'"


@pytest.mark.parametrize("outcome", ["open", "stopped"])
def test_a_job_not_done_is_shown_and_enters_no_mean(shop: Shop, outcome: str) -> None:
    content = content_of(shop)
    for day in range(1, 6):
        sent(shop, job(content, day, readings=[reading(f"5.{day}0")]))
    before = readings(shop.folder, NAME, "gap").value
    sent(shop, job(content, 6, readings=[reading("5.60")], outcome=outcome, ended=None))
    series = readings(shop.folder, NAME, "gap").value
    assert (before.signs, series.signs) == ((), ())  # six rising would be a trend
    assert series.mean == before.mean
    assert (series.jobs[-1].outcome, series.points[-1].counts) == (outcome, False)
    assert series.left_out[0].startswith("1 job not done: ")
    out = call("readings", shop.folder, NAME, "gap").out
    assert {"open": "mm, still open\n", "stopped": "mm, stopped before its end\n"}[outcome] in out


def test_a_unit_stopped_by_its_last_job_is_on_hold_in_every_list(shop: Shop) -> None:
    content = content_of(shop)
    sent(shop, job(content, 1, outcome="stopped", ended=None))
    said = "its last job was stopped"
    assert f"ON HOLD ({said})" in call("records", shop.folder).out
    assert f"ON HOLD: {said}" in call("records", shop.folder, "--unit", "Bench drill BD-2, 7").out
    assert f"Bench drill BD-2, 7: ON HOLD: {said}" in call("holds", shop.folder).out
    (row,) = call("holds", shop.folder, "--json").plain["stopped"]
    assert (row["unit"], row["serial"]) == ("Bench drill BD-2", "7")
    sent(shop, job(content, 2))
    for command in ("records", "holds"):
        assert said not in call(command, shop.folder).out


def test_a_record_changed_by_hand_is_found(shop: Shop) -> None:
    kept = sent(shop, job(content_of(shop))).kept
    assert call("reindex", shop.folder).code == 0
    assert call("verify", shop.folder).code == 0
    data = kept.file.read_bytes()
    kept.file.write_bytes(data.replace(b"5.00", b"5.10"))
    place = f"records/{kept.slug}/{kept.key}"
    done = call("reindex", shop.folder)
    assert (done.code, done.err) == (
        1,
        f"{place}: this is not the record that was sent. Bring it back from a copy.\n",
    )
    (row,) = call("reindex", shop.folder, "--json").plain["records"]
    assert row["place"] == place
    for name in ("verify", "audit"):
        told = call(name, shop.folder)
        assert told.code == 1
        assert f"{place}: this is not the record that was sent." in told.out.splitlines()
    kept.file.write_bytes(data)
    assert [call(name, shop.folder).code for name in ("reindex", "audit")] == [0, 0]
    kept.file.unlink()
    assert "the record is gone" in call("verify", shop.folder).out
    (followed,) = (records_folder(shop) / "followed").iterdir()
    followed.write_bytes(b"{}")
    assert "not the procedure file that was followed" in call("verify", shop.folder).out


def test_a_record_from_the_future_gets_a_note(shop: Shop) -> None:
    content = content_of(shop)
    assert sent(shop, job(content)).kept.notes() == ()
    began = {"began": "2999-03-01T08:00:00Z", "ended": "2999-03-01T09:00:00Z"}
    (note,) = sent(shop, job(content, **began)).kept.notes()
    assert note.startswith("The work is said to have begun on 2999-03-01, and the record came")
    assert ", 1 thing to tell" in call("records", shop.folder, "--unit", UNIT).out


def test_jobs_of_one_day_show_the_time(shop: Shop) -> None:
    content = content_of(shop)
    sent(shop, job(content, 2))
    assert f"{UNIT}, 7: 1 job, the last" in call("records", shop.folder).out
    for hour in ("08", "13"):
        sent(shop, job(content, 1, began=DAY.format(1).replace("08:", f"{hour}:"), ended=None))
    for asked in (("records", shop.folder, "--unit", UNIT), ("readings", shop.folder, NAME, "gap")):
        lines = call(*asked).out.splitlines()
        days = [line.split("  ") for line in lines if "2026-03-" in line[:14]]
        told = sorted(next(part for part in parts if part).strip() for parts in days)
        assert told == ["2026-03-01 08:00", "2026-03-01 13:00", "2026-03-02"]


def test_hours_read_as_people_say_them(tmp_path: Path) -> None:
    shop = lid_shop(tmp_path / "short", lid(labour_time="PT30M"))
    sent(shop, job(content_of(shop)))
    assert "tank-lid: 30 min; 1 job, median" in call("hours", shop.folder).out


def test_holds_tell_procedures_from_units(tmp_path: Path) -> None:
    chafed = {"id": "cable", "what": "The cable is chafed", "state": "deferred", "holds": True}
    shop = lid_shop(tmp_path / "shop", lid(findings=[chafed]))
    for day in (1, 2):
        sent(shop, job(content_of(shop), day))
    before = call("holds", shop.folder).out
    assert "would hold each unit until released: The cable is chafed (tank-lid)" in before
    assert "  ON HOLD: The cable is chafed" in before
    (found,) = unit_report(shop.folder, UNIT).value.open
    keeper = Releaser("S. V.", ("keeper",))
    release_finding(shop.folder, UNIT, found.id, keeper, "New cable")
    after = call("holds", shop.folder)
    assert "ON HOLD" not in after.out
    assert after.out.count("  released: The cable is chafed (S. V., keeper, ") == 1
    plain = call("holds", shop.folder, "--json").plain
    assert (plain["from_records"], plain["results"][0]["would_hold"]) == ([], True)
    assert plain["released"][0]["released"]["why"] == "New cable"
    assert call("find", shop.folder, "lid", "--json").plain["results"][0]["holds"] is True


def test_no_double_stop(shop: Shop) -> None:
    from author.cli.library_records_said import counted, stopped

    assert [stopped(one) for one in ("seen by S. V.", "seen")] == ["seen by S. V.", "seen."]
    assert [counted(n, "job") for n in (0, 1, 2)] == ["0 jobs", "1 job", "2 jobs"]


def test_shelving_says_that_films_do_not_come_along(shop: Shop, tmp_path: Path) -> None:
    film = {"id": "cam", "file": "lid.mp4", "size": 4, "duration": "10.0", "sha256": "0" * 64}
    desk = tmp_path / "films" / "desk"
    plain: Plain = procedure("film-lid", recordings=[film])
    put(desk, plain)
    (desk.parent / "lid.mp4").write_bytes(b"film")
    out = call("shelve", shop.folder, desk).out.splitlines()
    assert out[1].startswith("  Films outside the folder do not come along (lid.mp4): publish with")
    (desk / "media").mkdir()
    (desk / "media" / "lid.mp4").write_bytes(b"film")
    assert len(call("shelve", shop.folder, desk).out.splitlines()) == 1
