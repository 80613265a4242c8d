"""A job record is in the library whole, once, held against the very procedure it names."""

from __future__ import annotations

import errno
import hashlib
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from author import storage
from author.contract import read_procedure
from author.contract.procedure_file import PROCEDURE_FILE
from author.errors import FileErrors, InputError, MachineError
from author.library.index.database import Index
from author.library.index.indexing import refresh
from author.library.records import index as record_index
from author.library.records import keeping as records
from author.library.records.index import places_in, refresh_records
from author.library.records.keeping import (
    KEY,
    SLUG,
    read_kept,
    record_key,
    records_folder,
    unit_slug,
)
from author.library.records.releases import Releaser
from author.library.records.tables import RECORD_DETAILS, record_files
from author.library.shop import Shop
from author.library.signing import accounts
from author.library.signing.manifest import with_state
from author.publish.published_yaml import published_yaml
from author.tasks.library_records import (
    answer_question,
    keep,
    keep_files,
    questions,
    record_report,
    release_finding,
    unit_list,
    unit_report,
)

from .killing import killed
from .record_samples import (
    DAY,
    NAME,
    as_bytes,
    content_of,
    job,
    lid,
    lid_shop,
    next_revision,
    reading,
    sent,
)
from .shops import Plain, put, spec, take_up

SEAMS = (storage, records, record_index)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return lid_shop(tmp_path / "shop")


def rows(shop: Shop) -> dict[str, list[str]]:
    """Return all the index holds of records, whatever ids its rows have."""
    take_up(shop.folder)
    with Index(shop).reading() as connection:
        places = {one.id: one.place for one in connection.execute(select(record_files))}
        held = {"places": sorted(places.values())}
        for table in RECORD_DETAILS:
            lines = connection.execute(select(table))
            held[table.name] = sorted(repr((places[row[0]], *tuple(row)[1:])) for row in lines)
    return held


def entries(shop: Shop) -> list[str]:
    """Return the places of all files below the folder of records, hidden ones too."""
    top = records_folder(shop)
    return sorted(one.relative_to(top).as_posix() for one in top.rglob("*") if one.is_file())


def test_a_record_is_kept_to_the_byte_with_who_sent_it(shop: Shop) -> None:
    plain = job(content_of(shop))
    data = as_bytes(plain)
    done = sent(shop, plain, by="M. P.")
    assert done.did == "new"
    assert done.kept.file.read_bytes() == data
    folder = done.kept.file.parent
    assert (SLUG.fullmatch(folder.parent.name), KEY.fullmatch(folder.name)) != (None, None)
    note = json.loads((folder / "sent.json").read_bytes())
    assert note["sent_by"] == "M. P."
    assert note["sha256"] == hashlib.sha256(data).hexdigest()
    assert {one.name for one in folder.iterdir()} == {"record.json", "sent.json"}
    # Once more, and with other spaces: the same record.
    assert sent(shop, plain).did == "had"
    again = keep(shop.folder, json.dumps(plain).encode(), name="x", by="Somebody")
    assert (again.did, again.kept.sent.sent_by) == ("had", "M. P.")
    assert len(unit_report(shop.folder, "Bench drill BD-2").value.jobs) == 1


def _states(shop: Shop) -> list[tuple[str, bool, int]]:
    """Return outcome, whether it is gone by, and things to look at, in the order they came."""
    jobs = unit_report(shop.folder, "Bench drill BD-2").value.jobs
    return [(one.outcome, one.latest, one.notes) for one in reversed(jobs)]


def test_a_finished_record_gives_way_only_to_one_that_has_all_of_its_readings(shop: Shop) -> None:
    content = content_of(shop)
    half = job(content, outcome="open", ended=None, readings="none")
    done = job(content, readings=[reading("5.00")])
    other = job(content, readings=[reading("5.90"), reading("5.90")])
    more = job(content, readings=[reading("5.00"), reading("5.10")])
    assert keep_files(shop.folder, [_saved(shop, half)], "M. P.")[0].otherwise == ()
    keep_files(shop.folder, [_saved(shop, done)], "M. P.")
    assert _states(shop) == [("open", False, 0), ("done", True, 0)]
    # A copy of the half-done job that was gone on with elsewhere, with more in it than the whole.
    gone_on = half | {"readings": [reading("5.20"), reading("5.30")]}
    said = keep_files(shop.folder, [_saved(shop, gone_on)], "K. O.")[0].notes
    assert any("The record of this job that counts was sent by M. P." in one for one in said)
    assert [one[:2] for one in _states(shop)] == [("open", False), ("done", True), ("open", False)]
    # Other numbers, said to be finished: the first stays, and both say so.
    said = keep_files(shop.folder, [_saved(shop, other)], "K. O.")[0].notes
    assert any("that one counts, not this" in one for one in said)
    assert _states(shop)[1] == ("done", True, 1)
    assert _states(shop)[3] == ("done", False, 1)
    first = unit_report(shop.folder, "Bench drill BD-2").value.jobs[2]
    told = record_report(shop.folder, first.slug, first.key).notes
    assert any("Another finished record of this job has other readings" in one for one in told)
    # What was added to the finished one takes its place.
    keep_files(shop.folder, [_saved(shop, more)], "M. P.")
    assert [one[1] for one in _states(shop)] == [False, False, False, False, True]
    before = rows(shop)
    take_up(shop.folder, anew=True)
    assert rows(shop) == before


def _saved(shop: Shop, plain: Plain) -> Path:
    file = shop.folder.parent / "record.json"
    file.write_bytes(as_bytes(plain))
    return file


def test_whoever_allowed_something_and_is_unknown_is_told(shop: Shop) -> None:
    passed = {
        "step": "fit", "what": "The saw was not locked out", "reason": "In a hurry",
        "approved_by": "Zz",
    }  # fmt: skip
    own = read_procedure(shop.place_of(NAME)).procedure
    passed["step"] = next(own.placed_steps()).step.id
    kept = sent(shop, job(content_of(shop), deviations=[passed])).kept
    report = record_report(shop.folder, kept.slug, kept.key)
    assert not any("nobody the library knows" in one for one in report.notes)
    accounts.add(shop, "K. Keeper", ("keeper",), "plane spruce kettle nine")
    report = record_report(shop.folder, kept.slug, kept.key)
    assert "“Zz”, who allowed something, is nobody the library knows" in report.notes
    accounts.accounts_file(shop.folder).write_text("torn")  # the record is shown all the same
    report = record_report(shop.folder, kept.slug, kept.key)
    assert any("cannot be told" in one for one in report.notes)


def test_yaml_records_are_kept_too(shop: Shop) -> None:
    from author.contract import write_yaml

    data = write_yaml(job(content_of(shop))).encode()
    done = keep(shop.folder, data, name="record.yaml", by="K. O.")
    assert done.kept.file.name == "record.yaml"
    assert done.kept.file.read_bytes() == data
    assert sent(shop, job(content_of(shop))).did == "had"


def _published(shop: Shop) -> bytes:
    return published_yaml(read_procedure(shop.place_of(NAME)).procedure)


def test_every_content_the_library_knows_is_known_and_no_other(shop: Shop) -> None:
    file = shop.place_of(NAME) / PROCEDURE_FILE
    first, made = file.read_bytes(), _published(shop)
    approved = with_state(first, "approved") or b""
    folder = shop.place_of(NAME) / "published"
    folder.mkdir()
    (folder / PROCEDURE_FILE).write_bytes(made + b"# as an older program published it\n")
    next_revision(shop, lid(revision=2))
    known = [first, made, approved, with_state(made, "withdrawn") or b""]
    known.append((folder / PROCEDURE_FILE).read_bytes())
    aside = put(shop.place_of(NAME) / "revisions" / "1-replaced-1", lid() | {"title": "Put aside"})
    known += [aside.read_bytes(), published_yaml(read_procedure(aside).procedure)]
    for day, data in enumerate(known, 1):
        content = hashlib.sha256(data).hexdigest()
        assert sent(shop, job(content, day)).did == "new", day
        place = records_folder(shop) / "followed" / f"{content}.yaml"
        assert place.read_bytes() == data
    second = job(content_of(shop), 11, procedure={"id": NAME, "revision": 2})
    assert sent(shop, second).kept.procedure.revision == 2
    before = entries(shop)
    with pytest.raises(InputError, match="does not know the file") as told:
        sent(shop, job("5b" * 32, 12))
    assert told.value.remedy.startswith("Shelve the procedure as it was followed")
    assert "procedures/tank-lid/revisions/1-replaced-2;" in told.value.remedy
    with pytest.raises(InputError, match="holds no procedure 'wash-pump'"):
        sent(shop, job("5b" * 32, 13, procedure={"id": "wash-pump", "revision": 1}))
    with pytest.raises(InputError, match="revision 2, not of"):
        sent(
            shop, job(hashlib.sha256(first).hexdigest(), 14, procedure={"id": NAME, "revision": 2})
        )
    assert entries(shop) == before


def test_a_kept_record_stays_readable_when_its_procedure_changes_or_goes(shop: Shop) -> None:
    sent(shop, job(content_of(shop)))
    held = rows(shop)
    (shop.place_of(NAME) / PROCEDURE_FILE).write_text("gone")
    take_up(shop.folder, anew=True)
    assert rows(shop) == held


FAULTS: list[tuple[str, Plain, str]] = [
    ("no schema", {"schema": "job_record/9"}, "this program reads"),
    ("unknown key", {"colour": "red"}, "unknown key 'colour'"),
    (
        "no such spec",
        {"readings": [reading("5.00") | {"spec": "bore"}]},
        "numbers of the procedure",
    ),
    ("no such unit", {"readings": [reading("5.00") | {"unit": "kPa"}]}, "limits are in mm"),
    ("number in words", {"readings": [reading("five")]}, "not a plain decimal number"),
    ("control sign", {"unit": "Bench\u202edrill"}, "hidden direction mark"),
]


@pytest.mark.parametrize("name, change, told", FAULTS, ids=[one[0] for one in FAULTS])
def test_what_is_wrong_is_said_with_its_line_and_nothing_is_kept(
    shop: Shop, name: str, change: Plain, told: str
) -> None:
    with pytest.raises(InputError) as raised:
        sent(shop, job(content_of(shop)) | change)
    assert told in str(raised.value)
    assert raised.value.line or isinstance(raised.value, FileErrors)
    assert not records_folder(shop).exists() or entries(shop) == []


@pytest.mark.parametrize(
    "data",
    [b"", b"[]", b"{", b"\xff\xfe", b'{"a":' * 20_000, b"null", b"x" * (3 << 20), b"- &a [*a]"],
    ids=["empty", "list", "cut", "no text", "deep", "null", "huge", "alias"],
)
def test_what_is_no_record_at_all_is_refused(shop: Shop, data: bytes) -> None:
    with pytest.raises(InputError) as told:
        keep(shop.folder, data, name="record.json", by="K. O.")
    assert told.value.remedy


def test_a_later_state_of_a_job_takes_the_place_of_the_earlier(shop: Shop) -> None:
    content = content_of(shop)
    early = job(content, outcome="open", ended=None, readings="none")
    late = job(content, readings=[reading("4.40", "reject", reaction="Moved"), reading("5.00")])
    for one in (late, early):  # the later one comes first
        sent(shop, one)
    jobs = unit_report(shop.folder, "Bench drill BD-2").value.jobs
    assert sorted((one.outcome, one.latest) for one in jobs) == [("done", True), ("open", False)]
    report = record_report(shop.folder, jobs[0].slug, jobs[0].key)
    assert {report.latest} == {one.key for one in jobs if one.latest}
    # The same entries once more, another handover: what comes last counts.
    sent(shop, late | {"handover": "The lid is on"})
    jobs = unit_report(shop.folder, "Bench drill BD-2").value.jobs
    newest = next(one for one in jobs if one.latest)
    kept = read_kept(shop, newest.slug, newest.key)
    assert kept.record.handover == "The lid is on"
    assert [one.latest for one in jobs].count(True) == 1


# No controls and no code points without a character: U+FDD0 is one no file may hold.
NOT_IN_NAMES = ("Cc", "Cn", "Cs", "Cf", "Zl", "Zp")
NAMES = st.text(st.characters(codec="utf-8", exclude_categories=NOT_IN_NAMES), min_size=1)


@given(st.lists(st.tuples(NAMES, st.none() | NAMES), min_size=2, max_size=6, unique=True))
def test_no_two_units_share_a_folder_on_any_disk(units: list[tuple[str, str | None]]) -> None:
    slugs = [unit_slug(name, serial) for name, serial in units]
    assert len({one.casefold() for one in slugs}) == len(units)
    assert all(SLUG.fullmatch(one) and len(one) < 64 for one in slugs)


@pytest.mark.parametrize("named", ["drill BD", "Bench dril BD-2", "bench"])
def test_units_near_to_a_wrong_name_are_told(shop: Shop, named: str) -> None:
    sent(shop, job(content_of(shop), 1))
    with pytest.raises(InputError) as caught:
        unit_report(shop.folder, named)
    (one,) = unit_list(shop.folder).value
    assert f"{one.title} ({one.slug})" in caught.value.remedy
    with pytest.raises(InputError) as caught:
        unit_report(shop.folder, "Lathe")
    assert "library records SHOP" in caught.value.remedy


def test_units_that_differ_in_case_alone_are_apart_and_told_of(shop: Shop) -> None:
    content = content_of(shop)
    sent(shop, job(content, 1, findings=[{"what": "The lid is cracked", "holds": True}]))
    sent(shop, job(content, 2, unit="bench drill bd-2"))
    sent(shop, job(content, 3, unit="Bench drill", serial="BD-2 7"))
    units = unit_list(shop.folder).value
    told = {(one.name, one.serial): (one.holds, len(one.alike)) for one in units}
    assert told == {
        ("Bench drill BD-2", "7"): (1, 2),
        ("bench drill bd-2", "7"): (0, 2),
        ("Bench drill", "BD-2 7"): (0, 2),
    }
    assert units[0].holds == 1  # what is on hold comes first
    report = unit_report(shop.folder, units[1].slug).value
    assert units[0].slug in {one.slug for one in report.alike}
    assert max(one.holds for one in report.alike) == 1


NEAR = [
    ("Bench dril BD-2", "7", True),
    ("bench-drill bd 2", "7", True),
    ("Bench drill BD-2", None, True),
    ("Bench drill BD-2", "8", False),
    ("Bench drill BD-3", "7", False),
    ("Bench saw BD-2", "7", False),
]


def test_a_record_of_a_unit_almost_like_another_or_of_an_odd_day_is_kept_and_told(
    shop: Shop, tmp_path: Path
) -> None:
    written = [{"revision": 1, "date": "2026-03-02", "what": "Written"}]
    put(shop.place_of(NAME), lid(changes=written))
    content = content_of(shop)
    early = sent(shop, job(content)).notes
    assert early == (
        "The work is said to have begun on 2026-03-01, and revision 1 was written after that, on "
        "2026-03-02",
    )
    for day, (unit, serial, near) in enumerate(NEAR, 2):
        file = tmp_path / f"{day}.json"
        file.write_bytes(as_bytes(job(content, day, unit=unit, serial=serial)))
        (done,) = keep_files(shop.folder, [file], "K. O.")
        assert ("Bench drill BD-2, 7" in done.near) == near, unit
        assert any("spelled almost like" in one for one in done.notes) == bool(done.near)


# --- laws ---

STATES = st.lists(
    st.tuples(
        st.integers(1, 3),  # day: which job
        st.integers(0, 3),  # how many readings it has by now
        st.sampled_from(["7", "8", None]),
        st.booleans(),
    ),
    max_size=6,
)


def _state(content: str, day: int, count: int, serial: str | None, held: bool) -> Plain:
    return job(
        content,
        day,
        serial=serial,
        readings=[reading(f"5.0{n}") for n in range(count)] or "none",
        findings=[{"what": "The lid is cracked", "holds": True}] if held else "none",
        questions=[{"text": "Which way round?", "step": "guard-on"}] if count else "none",
    )


@settings(
    max_examples=8,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(states=STATES, twice=st.lists(st.integers(0, 5), max_size=3))
def test_sent_twice_is_once_and_a_rebuilt_index_is_the_one_kept_up(
    tmp_path_factory: pytest.TempPathFactory, states: list[Any], twice: list[int]
) -> None:
    shop = lid_shop(tmp_path_factory.mktemp("law") / "shop")
    content = content_of(shop)
    plains = [_state(content, *one) for one in states]
    again = [plains[n] for n in twice if n < len(plains)]
    keys = set()
    for plain in (*plains, *again):
        keys.add(sent(shop, plain).kept.file.parent)
        take_up(shop.folder)
    assert len(list(places_in(shop))) == len(keys) == len({as_bytes(one) for one in plains})
    for unit in unit_list(shop.folder).value:
        found = unit_report(shop.folder, unit.slug).value.open
        if found and unit.jobs > 1:
            release_finding(
                shop.folder, unit.slug, found[0].id, Releaser("M. P.", ("keeper",)), "Mended"
            )
    for one in questions(shop.folder).value[:1]:
        answer_question(shop.folder, one.id, "Arrow up", "A. R.")
    kept = rows(shop)
    take_up(shop.folder, anew=True)
    assert rows(shop) == kept


def test_many_who_send_at_once_each_keep_theirs_once(shop: Shop) -> None:
    from concurrent.futures import ThreadPoolExecutor

    content = content_of(shop)
    plains = [job(content, day) for day in (1, 2, 3, 4)] * 4
    with ThreadPoolExecutor(8) as pool:
        done = list(pool.map(lambda plain: sent(shop, plain), plains))
    assert sorted(one.did for one in done) == ["had"] * 12 + ["new"] * 4
    assert len(list(places_in(shop))) == 4
    numbers = [one.kept.sent.number for one in done if one.did == "new"]
    assert sorted(numbers) == [1, 2, 3, 4]


def test_a_record_taken_out_by_hand_leaves_the_index(shop: Shop) -> None:
    import shutil

    content = content_of(shop)
    early = sent(shop, job(content, outcome="open", ended=None, readings="none")).kept
    late = sent(shop, job(content)).kept
    rows(shop)
    shutil.rmtree(late.file.parent)
    jobs = unit_report(shop.folder, "Bench drill BD-2").value.jobs
    assert [(one.key, one.latest) for one in jobs] == [(early.key, True)]


# --- faults ---


@pytest.mark.parametrize("before", [0, 1])
def test_killed_at_any_step_a_record_is_there_whole_or_not_at_all(
    tmp_path: Path, before: int
) -> None:
    fatal, through, seen = 0, False, set()
    while not through:
        fatal += 1
        shop = lid_shop(tmp_path / f"shop{fatal}")
        refresh(shop, Index(shop), workers=1)
        content = content_of(shop)
        earlier = [sent(shop, job(content, 1)).kept for _ in range(before)]
        plain = job(content, 2)

        def both(shop: Shop = shop, plain: Plain = plain) -> None:
            sent(shop, plain)
            refresh_records(shop, Index(shop))

        through = killed(SEAMS, both, fatal)
        # What was acknowledged before is there, and what was not is whole or absent.
        for first in earlier:
            assert read_kept(shop, first.slug, first.key).record.began == DAY.format(1)
        for place in list(places_in(shop)):
            read_kept(shop, *place.split("/"))
        done = sent(shop, plain)
        seen.add(done.did)
        assert len(list(places_in(shop))) == before + 1
        assert not [one for one in entries(shop) if "/." in one or one.startswith(".")]
        kept = rows(shop)
        take_up(shop.folder, anew=True)
        assert rows(shop) == kept
    assert seen == {"new", "had"}
    assert fatal > (8 if before else 12)


def test_killed_at_any_step_a_release_or_an_answer_is_there_or_not(tmp_path: Path) -> None:
    fatal, through = 0, False
    while not through:
        fatal += 1
        shop = lid_shop(tmp_path / f"shop{fatal}")
        refresh(shop, Index(shop), workers=1)
        held = {"findings": [{"what": "Cracked", "holds": True}], "questions": [{"text": "Why?"}]}
        sent(shop, job(content_of(shop), **held))
        rows(shop)

        def both(shop: Shop = shop) -> None:
            _let(shop)
            answer_question(shop.folder, questions(shop.folder).value[0].id, "So", "A. R.")

        through = killed(SEAMS, both, fatal)
        report = unit_report(shop.folder, "Bench drill BD-2").value
        assert len(report.open) + len(report.released) == 1
        if report.open:
            _let(shop)
        answer_question(shop.folder, questions(shop.folder).value[0].id, "So", "A. R.")
        report = unit_report(shop.folder, "Bench drill BD-2").value
        assert [one.released.by for one in report.released if one.released] == ["M. P."]
        assert [len(one.answers) for one in questions(shop.folder).value] == [1]
        assert not [one for one in entries(shop) if ".part" in one]
    assert fatal > 6


def _let(shop: Shop) -> None:
    found = unit_report(shop.folder, "Bench drill BD-2").value.open[0]
    keeper = Releaser("M. P.", ("keeper",))
    release_finding(shop.folder, found.slug, found.id, keeper, "Welded")


def test_a_disk_that_fills_up_at_any_step_keeps_nothing_and_says_so(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = content_of(shop)
    sent(shop, job(content, 1))
    before = set(places_in(shop))
    for fatal in range(1, 50):
        left = fatal

        def full(_what: str, path: Path) -> None:
            nonlocal left
            left -= 1
            if not left:
                raise OSError(errno.ENOSPC, "No space left on device", str(path))

        for module in (storage, records):
            monkeypatch.setattr(module, "before_step", full)
        try:
            sent(shop, job(content, 2))
        except MachineError as error:
            assert error.exit_code == 3
            # Renamed already, but nobody was told: it may be there, then whole.
            assert set(places_in(shop)) - before <= {
                one for one in places_in(shop) if "2026-03-02" in one
            }
            for place in places_in(shop):
                read_kept(shop, *place.split("/"))
            if set(places_in(shop)) != before:
                break
        else:
            break
    assert fatal > 5
    monkeypatch.undo()
    assert sent(shop, job(content, 2)).did == "had"


def test_a_changed_file_is_named_and_the_rest_stays(shop: Shop) -> None:
    content = content_of(shop)
    kept = [sent(shop, job(content, day)).kept for day in (1, 2)]
    kept[0].file.write_bytes(kept[0].file.read_bytes().replace(b"5.00", b"5.50"))
    take_up(shop.folder, anew=True)
    told = unit_list(shop.folder)
    assert [one.problem for one in told.problems] == ["this is not the record that was sent"]
    assert told.problems[0].place == f"records/{kept[0].slug}/{kept[0].key}"
    assert told.value[0].jobs == 1
    kept[0].file.write_bytes(kept[0].file.read_bytes().replace(b"5.50", b"5.00"))
    assert unit_list(shop.folder).problems == ()


def test_a_damaged_copy_of_the_procedure_is_mended_by_the_next_record(shop: Shop) -> None:
    content = content_of(shop)
    first = sent(shop, job(content, 1)).kept
    copy = records_folder(shop) / "followed" / f"{content}.yaml"
    copy.write_bytes(b"cut off")
    take_up(shop.folder, anew=True)
    assert [one.problem for one in unit_list(shop.folder).problems] == [
        "this is not the procedure file that was followed"
    ]
    assert sent(shop, job(content, 2)).did == "new"
    assert read_kept(shop, first.slug, first.key).procedure.id == NAME
    assert unit_list(shop.folder).problems == ()


def test_links_in_the_place_of_folders_are_refused(shop: Shop, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    records_folder(shop).symlink_to(outside)
    with pytest.raises(InputError, match="a link, not a folder"):
        sent(shop, job(content_of(shop)))
    assert list(outside.iterdir()) == []


def test_names_that_lead_elsewhere_are_no_records(shop: Shop) -> None:
    sent(shop, job(content_of(shop)))
    for slug, key in (("..", "procedures"), ("followed", "x"), ("a/../..", "b"), ("", "")):
        with pytest.raises(InputError, match="no such record"):
            read_kept(shop, slug, key)


def test_a_clock_that_was_set_back_changes_nothing(shop: Shop) -> None:
    from datetime import UTC, datetime

    content = content_of(shop)
    first, second = job(content), job(content, handover="Later")
    for plain, year in ((first, 2030), (second, 2020)):
        keep(
            shop.folder, as_bytes(plain), name="r", by="K. O.", now=datetime(year, 1, 1, tzinfo=UTC)
        )
    jobs = unit_report(shop.folder, "Bench drill BD-2").value.jobs
    newest = next(one for one in jobs if one.latest)
    assert read_kept(shop, newest.slug, newest.key).record.handover == "Later"


def test_the_key_is_of_what_the_record_says(shop: Shop) -> None:
    one = sent(shop, job(content_of(shop))).kept
    assert one.key == record_key(one.record)
    other = job(content_of(shop), readings=[reading("5.000")])
    assert record_key(sent(shop, other).kept.record) != one.key  # digits as written


def test_what_the_program_judges_otherwise_is_told_and_stands(shop: Shop) -> None:
    plain = job(content_of(shop), readings=[reading("6.20", "accept")])
    kept = sent(shop, plain).kept
    assert any("6.20 mm is recorded as accepted; by the procedure" in one for one in kept.notes())
    assert spec(lid())["upper"] == "6.00"
