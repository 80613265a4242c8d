"""What the head of a page says first: what is not fit, on hold, out of use, or damaged."""

from __future__ import annotations

import hashlib
import re
from datetime import timedelta
from pathlib import Path

import pytest
from library.record_samples import NAME, content_of, job, lid, sent
from library.shops import procedure, put
from library.test_records_open import CRACKED, worn
from library_signing.bench_shop import ID, REVIEWER, START, BenchShop

from author.library.shelves.withdrawing import withdraw
from author.library.shop import open_shop
from author.tasks.library_keys import usable_keyring
from author.tasks.library_records import unit_report

from .conftest import Desk, Open
from .test_in_force import later as later  # noqa: PLC0414 - a fixture of that module
from .test_in_force import plain, publish

PATH = f"/procedures/{ID}"
KEPT = Path("procedures", ID, "revisions", "2")


@pytest.fixture
def here(opened: Open) -> Desk:
    desk = opened()
    desk.sign_in("K. Keeper")
    return desk


def head(desk: Desk, path: str) -> str:
    """Return the words of a page above what the procedure is."""
    return plain(desk.get(path).text.partition('<h2 id="what">')[0])


def test_what_comes_before_and_is_not_fit_is_said_at_the_head(here: Desk) -> None:
    before = [
        {"id": f"b{n}", "what": "Do it", "procedure": {"id": one}}
        for n, one in enumerate((ID, "gone", "old"))
    ]
    put(here.folder / "procedures" / "old", procedure("old", "Old one", state="withdrawn"))
    put(here.folder / "procedures" / NAME, lid(prerequisites=before))
    here.client.app.state.index.look_now()  # type: ignore[attr-defined]
    fit = head(here, f"/procedures/{NAME}")
    assert "gone : the library does not hold it." in fit
    assert "Old one : it is withdrawn." in fit
    assert "drive belt" not in fit
    still = here.folder / "procedures" / ID / "published" / "stills" / "01-unplug.jpg"
    still.write_bytes(b"another")
    here.client.app.state.audit._looked.clear()  # type: ignore[attr-defined]
    assert "drive belt of a bench drill : it is not as signed." in head(here, f"/procedures/{NAME}")


def test_the_bench_page_says_what_is_not_fit_and_which_units_are_on_hold(here: Desk) -> None:
    before = [{"id": "b", "what": "Do it", "procedure": {"id": "old"}}]
    put(here.folder / "procedures" / "old", procedure("old", "Old one", state="withdrawn"))
    after = [{"id": "a", "what": "Do it", "procedure": {"id": "old"}}]
    put(here.folder / "procedures" / NAME, lid(worn, prerequisites=before, close_outs=after))
    publish(here.folder / "procedures" / NAME, NAME, 1, "approved")
    shop = open_shop(here.folder)
    sent(shop, job(content_of(shop), findings=[CRACKED]))
    here.client.app.state.index.look_now()  # type: ignore[attr-defined]
    here.client.app.state.on_hold.forget()  # type: ignore[attr-defined]
    page = here.get(f"/procedures/{NAME}/page/index.html").text
    assert "Not fit, and to be done before this: Old one: it is withdrawn" in page
    assert "Not fit, and to be done after this: Old one: it is withdrawn" in page
    asked = here.get(f"/procedures/{NAME}/standing?revision=1").json()
    assert asked["unfit"] == "Old one: it is withdrawn"  # the page asks before a job is begun
    said = head(here, f"/procedures/{NAME}")
    assert "What has to be done after it is not fit to work by: ask before you begin." in said
    assert re.search(r"On hold, not to be used: [^<]+</strong>", page)


def test_a_unit_whose_last_job_was_stopped_is_told_and_asked_about(here: Desk) -> None:
    put(here.folder / "procedures" / NAME, lid())
    publish(here.folder / "procedures" / NAME, NAME, 1, "approved")
    shop = open_shop(here.folder)
    slug = sent(shop, job(content_of(shop), outcome="stopped")).kept.slug
    here.client.app.state.on_hold.forget()  # type: ignore[attr-defined]
    ask = f"/procedures/{NAME}/standing?revision=1"
    title = "Bench drill BD-2, 7 (its last job was stopped)"
    held = [{"title": title, "serial": "7"}]
    assert here.get(ask).json() == {"closed": None, "held": held, "unfit": ""}
    assert "was stopped before its end" in plain(here.get(f"/units/{slug}").text)
    for path in ("/units", f"/units/{slug}"):
        assert re.search("HOLD Not to be used: its last job", plain(here.get(path).text))
    sent(shop, job(content_of(shop), 2))
    here.client.app.state.on_hold.forget()  # type: ignore[attr-defined]
    assert here.get(ask).json()["held"] == []
    here.client.app.state.on_hold._found = None  # type: ignore[attr-defined]
    assert here.get(ask).json()["held"] is None  # nobody can tell: the page asks
    put(here.folder / "procedures" / NAME, lid(state="withdrawn"))
    assert here.get(ask).json()["closed"] == "It is not as signed."


def test_a_job_that_ended_by_what_was_withdrawn_meanwhile_says_so(later: Path, here: Desk) -> None:
    shop = open_shop(later)
    revision = {"id": ID, "revision": 2}
    text = (later / "procedures" / ID / "revisions" / "2" / "procedure.yaml").read_bytes()
    made = job(hashlib.sha256(text).hexdigest(), procedure=revision, readings="none")
    made |= {"began": "2030-01-01T08:00:00Z", "ended": "2030-01-01T09:00:00Z"}
    made["workers"] = [{"name": "K. O.", "role": "technician"}]
    now = START + timedelta(days=1)
    withdraw(later, ID, REVIEWER, usable_keyring, revision=2, now=now)
    kept = sent(shop, made).kept
    said = plain(here.get(f"/units/{kept.slug}/records/{kept.key}").text)
    assert "Revision 2 was withdrawn by" in said
    assert "before this job was begun." in said


def test_units_on_hold_are_said_at_the_head_until_released(here: Desk) -> None:
    put(here.folder / "procedures" / NAME, lid(worn))
    shop = open_shop(here.folder)
    assert "on hold" not in head(here, f"/procedures/{NAME}")
    here.client.app.state.on_hold.forget()  # type: ignore[attr-defined]
    unit = f"/units/{sent(shop, job(content_of(shop), findings=[CRACKED])).kept.slug}"
    page = here.get(f"/procedures/{NAME}").text
    assert "1 unit on hold : Bench drill BD-2, 7 ." in plain(page)
    assert f'href="{unit}"' in page
    assert "HOLD Not to be used." in plain(here.get(unit).text.partition("<h2")[0])
    for one in unit_report(shop.folder, unit.rpartition("/")[2]).value.open:
        done = here.post(f"{unit}/release/{one.id}", {"why": "Welded and looked at"})
        assert done.status_code == 303
    assert "on hold" not in head(here, f"/procedures/{NAME}")
    assert "Not to be used." not in plain(here.get(unit).text)


def test_a_record_says_who_sent_it_beside_the_names_written_at_the_bench(here: Desk) -> None:
    put(here.folder / "procedures" / NAME, lid())
    shop = open_shop(here.folder)
    said = "The record was sent by R. Reader, who is not named here."
    for day, by in enumerate(("K. O.", "R. Reader"), 1):
        kept = sent(shop, job(content_of(shop), day), by=by).kept
        page = plain(here.get(f"/units/{kept.slug}/records/{kept.key}").text)
        assert (said in page) == (by == "R. Reader")
        unit = plain(here.get(f"/units/{kept.slug}").text)
        assert ("Sent by R. Reader, none of those named" in unit) == (by == "R. Reader")


def test_what_is_withdrawn_offers_nothing(here: Desk) -> None:
    BenchShop(here.folder, START.replace(year=2027)).sign("withdrawn", REVIEWER)
    page = here.get(PATH).text
    said = head(here, PATH)
    assert "Withdrawn. Do not work by it. Withdrawn by R. Reviewer (reviewer) on" in said
    assert "As signed" not in said
    assert 'class="standing out"' in page
    deeds = page.partition('<p class="row deeds">')[2].partition("</p>")[0]
    assert re.findall(r"href=\"([^\"]+)\"", deeds) == [
        f"{PATH}/page/index.html?all-the-same=yes",
        "#steps",
    ]
    assert "This procedure is withdrawn: order nothing for it." in plain(
        here.get(f"{PATH}/order").text
    )


def test_what_is_not_as_signed_is_to_be_brought_back(here: Desk) -> None:
    file = here.folder / "procedures" / ID / "procedure.yaml"
    file.write_bytes(file.read_bytes() + b"# another byte\n")
    said = head(here, PATH)
    assert "Bring back the files as they were; reelwright library verify tells all." in said
    assert "publish again" not in said
    assert "What to order" not in said


def test_a_changed_file_of_what_is_kept_is_not_as_signed(later: Path, here: Desk) -> None:
    assert "As signed." in head(here, PATH)
    (later / KEPT / "published" / "procedure.pdf").write_bytes(b"another")
    said = head(here, PATH)
    assert "Not as signed." in said
    assert f"{KEPT.as_posix()}/published/procedure.pdf" in said


def test_a_draft_without_a_bench_page_leads_to_the_one_in_force(later: Path, here: Desk) -> None:
    published = later / "procedures" / ID / "published"
    published.rename(later / "elsewhere")
    page = here.get(f"{PATH}/revisions/3").text
    deeds = page.partition('<p class="row deeds">')[2].partition("</p>")[0]
    assert re.findall(r"href=\"([^\"]+)\"", deeds) == [PATH, "#steps"]
    assert "To revision 2, in force" in deeds
    assert "procedure.pdf" not in page


def test_a_damaged_newer_file_leaves_what_is_kept_in_use(later: Path, here: Desk) -> None:
    file = later / "procedures" / ID / "procedure.yaml"
    file.write_text("format: [", encoding="utf-8")
    said = head(here, PATH)
    assert "The newer file of this procedure cannot be read." in said
    assert "Work goes by revision 2. As signed." in said
    assert here.get(f"{PATH}/page/index.html").status_code == 200
    assert here.get(f"{PATH}/revisions/2").status_code == 200
    assert "no revision 3 of" in plain(here.get(f"{PATH}/revisions/3").text)
    kept = later / KEPT / "procedure.yaml"
    kept.write_bytes(kept.read_bytes() + b"# another byte\n")
    assert "Not as signed." in head(here, PATH)
    assert here.get(f"{PATH}/page/index.html").status_code == 409


def test_no_older_revision_steps_into_the_place_of_a_damaged_approved_one(
    later: Path, here: Desk
) -> None:
    """Where the damaged file is what was approved last, and an older approved one is kept."""
    folder = later / "procedures" / ID
    kept = later / KEPT
    older = folder / "revisions" / "1"
    kept.rename(older)
    text = (older / "procedure.yaml").read_text(encoding="utf-8")
    (older / "procedure.yaml").write_text(text.replace("revision: 2", "revision: 1"))
    (folder / "procedure.yaml").write_text("format: [", encoding="utf-8")
    assert "Not as signed." in head(here, PATH)
    assert here.get(f"{PATH}/page/index.html").status_code == 409
