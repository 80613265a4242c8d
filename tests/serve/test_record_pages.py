"""Pages of records: who may see, release and answer what; what is sent comes in whole or not."""

from __future__ import annotations

import hashlib
import html
import json
import re
from pathlib import Path
from typing import Any

import pytest
from document.examples import read_job_record
from library.record_samples import NAME, as_bytes, content_of, job, lid, lid_shop, reading, sent
from library.shops import put
from library.test_records_open import CRACKED, worn

from author.library.records.keeping import records_folder
from author.library.shop import Shop, open_shop
from author.resources import schema_folder
from author.serve.record_pages import ROUTES
from author.serve.record_view import job_sheet
from author.serve.settings import RECORD_LIMIT
from author.tasks.library_records import keep, questions, unit_list, unit_report

from .conftest import Desk, Open

RECORDS = f"/procedures/{NAME}/records"
HOSTILE = "</title><script>alert(1)</script><img src=x onerror=alert(1)>{{ 271 * 3889 }}"


@pytest.fixture
def shop_with_lid(shop: Path) -> Shop:
    put(shop / "procedures" / NAME, lid(worn))
    return open_shop(shop)


def kept(shop: Shop, **other: Any) -> str:
    """Send a record with a finding and a question; return the address of its unit."""
    more = {"findings": [CRACKED], "questions": [{"text": "Which way round?"}]} | other
    done = sent(shop, job(content_of(shop), **more))
    return f"/units/{done.kept.slug}"


def send(desk: Desk, data: Any, path: str = RECORDS, **headers: str) -> Any:
    token = desk.client.get("/session").json()["token"]
    given = {"Content-Type": "application/json", "X-Form-Token": token} | headers
    return desk.client.post(path, content=data, headers=given)


def test_every_page_shows_what_the_records_say(shop_with_lid: Shop, reader: Desk) -> None:
    unit = kept(shop_with_lid)
    told = {
        "/units": "Bench drill BD-2, 7",
        unit: "The lid is cracked",
        "/readings": "Gap to the pulley",
        f"/readings/{NAME}/gap": "5.00",
        f"/readings/{NAME}/gap?phase=as_found": "There is no such reading",
        f"/readings/{NAME}/gap?unit={unit.rpartition('/')[2]}": "alone",
        "/questions": "Which way round?",
        "/hours": "1 h",
    }
    for path, words in told.items():
        page = reader.get(path)
        assert page.status_code == 200, path
        assert words in page.text, path
    link = re.search(rf'href="({unit}/records/[^"]+)"', reader.get(unit).text)
    assert link
    assert "Gap to the pulley" in reader.get(link[1]).text
    file = reader.get(f"{link[1]}/file")
    assert file.headers["content-disposition"].startswith("attachment")
    assert json.loads(file.content)["procedure"]["id"] == NAME
    chart = reader.get(f"/readings/{NAME}/gap/chart.svg")
    assert chart.headers["content-type"] == "image/svg+xml"
    assert "script" not in chart.headers["content-security-policy"]
    assert "upper limit 6.00" in chart.text
    upright = re.search(r'srcset="([^"]+)"', reader.get(f"/readings/{NAME}/gap").text)
    assert upright
    narrow = html.unescape(upright[1])
    assert _shape(reader.get(narrow).text) < 1 < _shape(chart.text)
    assert "demo data" in _words(reader, narrow)


def _shape(chart: str) -> float:
    """Return how wide a chart is against its height."""
    box = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', chart)
    assert box
    return float(box[1]) / float(box[2])


def test_a_job_is_told_with_how_it_ended_and_what_was_rejected(
    shop_with_lid: Shop, reader: Desk
) -> None:
    refused = reading("6.50", "reject", reaction="Shimmed")
    found = reading("4.10", "reject", phase="as_found", reaction="Shimmed")
    unit = kept(shop_with_lid, readings=[found, refused])
    kept(
        shop_with_lid, readings=[refused, reading("5.00")], outcome="stopped", ended=None,
        handover="The lid is off", began="2026-03-02T08:00:00Z",
    )  # fmt: skip
    kept(
        shop_with_lid, readings="none", outcome="open", ended=None, handover="The lid is off",
        began="2026-03-03T08:00:00Z",
    )  # fmt: skip
    open_still, stopped, done = _words(reader, unit).split(": Refit the tank lid")[-3:]
    assert open_still.startswith(" still open Demo data No readings.")
    assert stopped.startswith(
        " stopped before its end Demo data 1 rejected, then taken again or taken back."
    )
    assert done.startswith(" finished Demo data 1 reading rejected, 1 rejected as found.")
    said = "1 finished, 1 stopped before its end, 1 still open; a reading rejected in 1; "
    assert f"08:00 : {said}a reading rejected as found in 1; something to look at in 1." in _words(
        reader, "/units"
    )


def test_a_list_says_more_findings_only_beside_those_that_hold(shop: Path, reader: Desk) -> None:
    put(shop / "procedures" / NAME, lid())
    chipped = {"what": "The paint is chipped"}
    kept(open_shop(shop), serial="8", findings=[chipped])
    kept(open_shop(shop), findings=[CRACKED, chipped])
    listed = _words(reader, "/units")
    assert "Bench drill BD-2, 8 1 finding open. 1 job" in listed
    assert "1 finding holds it. 1 more finding open. 1 job" in listed


def _words(desk: Desk, path: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", desk.get(path).text).split())


def test_what_is_not_there_is_said(shop_with_lid: Shop, reader: Desk) -> None:
    unit = kept(shop_with_lid)
    for path in (
        "/units/nothing-0123456789abcdef", f"{unit}/records/2026-01-01-{'0' * 32}",
        f"{unit}/records/...", "/readings/tank-lid/bore", "/readings/a/b/chart.svg",
        f"{unit}/records/..%2f..%2flibrary.yaml", "/units/%2e%2e",
        f"/readings/{NAME}/gap?unit=nobody",
    ):  # fmt: skip
        assert reader.get(path).status_code == 404, path
    assert reader.post(f"{unit}/release/{'0' * 24}", {"why": "x"}).status_code == 404


def test_a_record_sent_is_kept_and_answered(shop_with_lid: Shop, reader: Desk) -> None:
    data = as_bytes(job(content_of(shop_with_lid)))
    first = send(reader, data)
    assert first.status_code == 201
    told = first.json()
    assert (told["did"], told["by"], told["unit"]) == ("new", "R. Reader", "Bench drill BD-2, 7")
    assert reader.get(told["record"]).status_code == 200
    again = send(reader, data)
    assert (again.status_code, again.json()["did"]) == (200, "had")
    (unit,) = unit_list(shop_with_lid.folder).value
    assert unit.jobs == 1
    near = send(reader, as_bytes(job(content_of(shop_with_lid), unit="Bench dril BD-2")))
    assert "spelled almost like Bench drill BD-2, 7" in " ".join(near.json()["notes"])


def test_a_record_that_is_wrong_is_answered_with_what_to_do(
    shop_with_lid: Shop, reader: Desk
) -> None:
    content = content_of(shop_with_lid)
    wrong = {
        "does not know the file": as_bytes(job("5b" * 32)),
        "holds no keys": b"[]",
        "numbers of the procedure": as_bytes(job(content, readings=[reading("1") | {"spec": "x"}])),
        "not of 'lock-out'": as_bytes(job(content)),
    }
    for words, data in wrong.items():
        path = RECORDS if "lock-out" not in words else "/procedures/lock-out/records"
        answer = send(reader, data, path)
        assert answer.status_code == 400, words
        assert words in answer.json()["problem"]
        assert answer.json()["remedy"]
    assert not records_folder(shop_with_lid).exists()


def test_nothing_comes_in_from_elsewhere_unsigned_or_without_end(
    shop_with_lid: Shop, desk: Desk
) -> None:
    data = as_bytes(job(content_of(shop_with_lid)))
    refused = desk.client.post(RECORDS, content=data, headers={"Content-Type": "application/json"})
    assert (refused.status_code, bool(refused.json()["remedy"])) == (401, True)
    assert desk.sign_in("R. Reader").status_code == 303
    assert send(desk, data, **{"X-Form-Token": "other"}).status_code == 403
    assert send(desk, data, Origin="http://elsewhere.example").status_code == 403
    assert send(desk, b" " * (RECORD_LIMIT + 1)).status_code == 413

    # In pieces, without a length told before.
    pieces = (b" " * 65_536 for _ in range(RECORD_LIMIT // 65_536 + 1))
    assert send(desk, pieces).status_code == 413
    assert not records_folder(shop_with_lid).exists()
    assert send(desk, data).status_code == 201


def test_a_finding_is_released_by_a_keeper_and_by_nobody_else(
    shop_with_lid: Shop, opened: Open
) -> None:
    unit = kept(shop_with_lid)
    found = unit_report(shop_with_lid.folder, unit.rpartition("/")[2]).value.open
    cracked = next(one for one in found if one.what == CRACKED["what"])
    path = f"{unit}/release/{cracked.id}"
    for name in ("R. Reader", "A. Author", "V. Reviewer"):
        desk = opened()
        desk.sign_in(name)
        assert path not in desk.get(unit).text
        answer = desk.post(path, {"why": "It looks fine"})
        assert answer.status_code == 403
        assert "only a keeper releases this" in answer.text.casefold()
    desk = opened()
    desk.sign_in("K. Keeper")
    assert path in desk.get(unit).text
    for why in ("", " ", "x" * 401, "a\u202eb"):
        assert desk.post(path, {"why": why}).status_code == 400
    done = desk.post(path, {"why": "Welded and looked at"})
    assert (done.status_code, done.headers["location"]) == (303, f"{unit}?released=yes")
    page = desk.get(unit).text
    assert "Welded and looked at" in page
    assert path not in page
    assert desk.post(path, {"why": "Again"}).status_code == 404


def test_without_accounts_this_machine_releases_only_where_nobody_is_known(
    bare: Path, tmp_path: Path, opened: Open
) -> None:
    put(bare / "procedures" / NAME, lid(worn))
    unit = kept(open_shop(bare))
    (cracked,) = (o for o in unit_report(bare, unit.rpartition("/")[2]).value.open if o.step)
    path = f"{unit}/release/{cracked.id}"
    desk = opened(bare)
    assert path not in desk.get(unit).text
    assert "reelwright library release SHOP" in desk.get(unit).text
    answer = desk.post(path, {"why": "It looks fine"})
    assert answer.status_code == 403
    assert f"{cracked.id[:8]} --by NAME" in answer.text
    unknown = lid_shop(tmp_path / "unknown", lid(worn))
    unit, desk = kept(unknown), opened(unknown.folder)
    open_there = unit_report(unknown.folder, unit.rpartition("/")[2]).value.open
    assert "reelwright library release SHOP" not in desk.get(unit).text
    release = f"{unit}/release/{open_there[0].id}"
    assert desk.post(release, {"why": "Welded"}).status_code == 303


def test_questions_are_answered_by_authors(shop_with_lid: Shop, opened: Open) -> None:
    kept(shop_with_lid)
    (asked,) = questions(shop_with_lid.folder).value
    path = f"/questions/{asked.id}/answer"
    desk = opened()
    desk.sign_in("R. Reader")
    assert path not in desk.get("/questions").text
    assert desk.post(path, {"answer": "Up"}).status_code == 403
    desk = opened()
    desk.sign_in("A. Author")
    assert path in desk.get("/questions").text
    done = desk.post(path, {"answer": "The arrow up,\r\nthe seam behind"})
    assert (done.status_code, done.headers["location"]) == (303, f"/questions#q-{asked.id}")
    assert "The arrow up, the seam behind" in desk.get("/questions").text
    assert desk.post(path, {"answer": " \n"}).status_code == 400
    assert desk.post(f"/questions/{'0' * 24}/answer", {"answer": "x"}).status_code == 404


def test_what_people_wrote_stays_text(shop_with_lid: Shop, reader: Desk) -> None:
    plain = job(
        content_of(shop_with_lid), unit=HOSTILE, serial=HOSTILE,
        workers=[{"name": HOSTILE, "role": "technician"}], handover=HOSTILE, note=HOSTILE,
        readings=[reading("6.50", "reject", reaction=HOSTILE, note=HOSTILE, by=HOSTILE)],
        findings=[{"what": HOSTILE, "holds": True}], questions=[{"text": HOSTILE}],
        deviations=[{"step": "guard-on", "what": HOSTILE, "reason": HOSTILE}],
    )  # fmt: skip
    done = sent(shop_with_lid, plain, by=HOSTILE)
    unit = f"/units/{done.kept.slug}"
    for path in (
        "/units", unit, f"{unit}/records/{done.kept.key}", "/readings", f"/readings/{NAME}/gap",
        f"/readings/{NAME}/gap/chart.svg", "/questions", "/hours",
    ):  # fmt: skip
        page = reader.get(path)
        assert page.status_code == 200
        assert "<script>" not in page.text, path
        assert "<img src=x" not in page.text, path
        assert "1053919" not in page.text, path  # what a template would have made of it


EXAMPLES = sorted((schema_folder() / "examples" / "job_record" / "valid").glob("*.yaml"))


@pytest.mark.parametrize("file", EXAMPLES, ids=[one.stem for one in EXAMPLES])
def test_the_examples_are_kept_and_shown_whole(shop: Path, reader: Desk, file: Path) -> None:
    """With whatever a record can list, each entry in words of its procedure."""
    record = read_job_record(file)
    name = record.procedure.id
    data = (schema_folder() / "examples" / "valid" / f"{name}.yaml").read_bytes()
    place = shop / "procedures" / name
    place.mkdir(exist_ok=True)
    (place / "procedure.yaml").write_bytes(data)
    told = file.read_text().replace(record.content, hashlib.sha256(data).hexdigest())
    done = keep(shop, told.encode(), name=file.name, by="K. O.")
    page = reader.get(f"/units/{done.kept.slug}/records/{done.kept.key}")
    assert page.status_code == 200
    lists = [
        *record.deviations, *record.observations, *record.witnessed, *record.ways_taken,
        *record.rounds_tightened, *record.parts_used, *record.tags_hung, *record.close_outs,
        *record.instruments, *record.made_ready, *record.hazards_read,
        *(one for one in record.findings if one.tagged_by),
    ]  # fmt: skip
    sheet = job_sheet(done.kept)
    assert sum(len(lines) for _, lines in sheet.lists) == len(lists)
    assert len(sheet.readings) == len(record.readings)
    for _, lines in sheet.lists:
        for line in lines:
            assert (
                html.escape(line.text).replace("&#x27;", "&#39;").replace("&quot;", "&#34;")
                in page.text
            )
    series = {one.spec for one in record.readings}
    assert all(reader.get(f"/readings/{name}/{one}").status_code == 200 for one in series)
    assert all(reader.get(f"/readings/{name}/{one}/chart.svg").status_code == 200 for one in series)


def test_every_route_of_records_is_one_of_these() -> None:
    assert {next(iter(r.methods - {"HEAD"})) + " " + r.path for r in ROUTES if r.methods} == {
        "GET /units", "GET /units/{slug}", "POST /units/{slug}/release/{finding}",
        "GET /units/{slug}/records/{key}", "GET /units/{slug}/records/{key}/file",
        "GET /readings", "GET /readings/{procedure}/{spec}",
        "GET /readings/{procedure}/{spec}/chart.svg", "GET /questions",
        "POST /questions/{question}/answer", "GET /hours", "POST /procedures/{procedure}/records",
    }  # fmt: skip
