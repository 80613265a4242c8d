"""Work goes by the revision in force, whatever lies over it; what is not for work begins no job."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from library.shops import procedure, put
from library_signing.bench_shop import ID, REVIEWER, START, BenchShop

from author.library.shop import new_shop
from author.storage import new_generation
from author.tasks.library_shelves import shelve_folders

from .conftest import PAGE, Desk, Open

PATH = f"/procedures/{ID}"


def plain(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def publish(folder: Path, name: str, revision: int, state: str) -> None:
    with new_generation(folder / "published") as made:
        made.write("page/index.html", PAGE.replace(b"demo data", b"demo data %d" % revision))
        made.commit({"procedure": name, "revision": revision, "state": state, "draft": False})


@pytest.fixture
def here(opened: Open) -> Desk:
    desk = opened()
    desk.sign_in("R. Reader")
    return desk


@pytest.fixture
def later(shop: Path, tmp_path: Path) -> Path:
    """A library where a draft lies over what is approved and signed."""
    text = (shop / "procedures" / ID / "procedure.yaml").read_text(encoding="utf-8")
    text = text.replace("state: approved", "state: draft").replace("revision: 2", "revision: 3")
    desk = tmp_path / "desk"
    desk.mkdir()
    (desk / "procedure.yaml").write_text(text, encoding="utf-8")
    publish(desk, ID, 3, "draft")
    assert [one.did for one in shelve_folders(shop, [desk])] == ["next"]
    return shop


def test_the_approved_revision_is_shown_and_followed_while_a_draft_lies_over_it(
    later: Path, here: Desk
) -> None:
    said = here.get(PATH).text
    assert "This revision is in force. Revision 3 is being written." in plain(said)
    assert f'class="act" href="{PATH}/page/index.html">Follow revision 2' in said
    assert "As signed." in plain(said)
    assert "demo data 3" not in here.get(f"{PATH}/page/index.html").text
    assert here.get(f"{PATH}/files/procedure.pdf").status_code == 200
    assert here.get(f"{PATH}/revisions/2/files/stills/01-unplug.jpg").status_code == 200


def test_a_draft_over_what_is_withdrawn_is_not_worked_by_either(later: Path, here: Desk) -> None:
    kept = later / "procedures" / ID / "revisions" / "2" / "procedure.yaml"
    kept.write_bytes(kept.read_bytes().replace(b"state: approved", b"state: withdrawn"))
    said = plain(here.get(PATH).text)
    assert "Do not work by it" in said
    assert "This revision is in force" not in said
    draft = here.get(f"{PATH}/revisions/3")
    assert "Revision 3 is being written, and revision 2 is withdrawn" in plain(draft.text)
    refused = here.get(f"{PATH}/revisions/3/page/index.html")
    assert refused.status_code == 409
    assert "Revision 2 is withdrawn, and nothing after it is approved." in plain(refused.text)


def test_no_job_is_begun_by_a_draft_over_what_is_in_force(later: Path, here: Desk) -> None:
    own = f"{PATH}/revisions/3"
    said = plain(here.get(own).text)
    assert "Revision 3 is being written: work goes by revision 2." in said
    refused = here.get(f"{own}/page/index.html")
    assert refused.status_code == 409
    assert "Revision 2 is in force, not this one." in plain(refused.text)
    assert f'href="{PATH}/page/index.html"' in refused.text
    under_way = here.get(f"{own}/page/index.html?all-the-same=yes")
    assert under_way.status_code == 200
    assert "demo data 3" in under_way.text


def test_a_newer_file_that_cannot_be_read_leaves_the_older_in_force(
    later: Path, here: Desk
) -> None:
    (later / "procedures" / ID / "procedure.yaml").write_text("format: [", encoding="utf-8")
    answer = here.get(PATH)
    assert answer.status_code == 200
    assert "The newer file of this procedure cannot be read." in plain(answer.text)
    assert "revision 2" in plain(answer.text)


def test_what_was_changed_below_a_draft_begins_no_job(later: Path, here: Desk) -> None:
    file = later / "procedures" / ID / "revisions" / "2" / "procedure.yaml"
    file.write_bytes(file.read_bytes() + b"# another byte\n")
    refused = here.get(f"{PATH}/page/index.html")
    assert refused.status_code == 409
    assert "It is not as signed." in plain(refused.text)


@pytest.mark.parametrize("state", ["superseded", "withdrawn"])
def test_what_is_out_of_use_leads_on_only_to_end_a_job(here: Desk, state: str) -> None:
    BenchShop(here.folder, START.replace(year=2027)).sign(state, REVIEWER)
    refused = here.get(f"{PATH}/page/index.html")
    assert refused.status_code == 409
    assert f"It is {state}." in plain(refused.text)
    on = re.search(r'href="([^"]+all-the-same=yes)"', refused.text)
    assert on is not None
    page = here.get(on[1])
    assert page.status_code == 200
    assert f"It is {state}. Here only to end a job that is under way" in plain(page.text)
    assert "Begin the job" in page.text
    assert "beginJob" not in page.text


def test_a_print_of_what_is_withdrawn_says_so_first(here: Desk) -> None:
    shop = BenchShop(here.folder, START.replace(year=2027))
    assert here.get(f"{PATH}/files/procedure.pdf").status_code == 200
    shop.sign("withdrawn", REVIEWER, reason="The drill is scrapped")
    refused = here.get(f"{PATH}/files/procedure.pdf")
    assert refused.status_code == 409
    assert "It is withdrawn: The drill is scrapped. Do not work by" in plain(refused.text)
    on = re.search(r'href="([^"]+all-the-same=yes)"', refused.text)
    assert on is not None
    assert here.get(on[1]).headers["content-type"] == "application/pdf"
    assert ": not for use" in plain(here.get(PATH).text)
    assert here.get(f"{PATH}/files/nothing.pdf").status_code == 404


def test_approved_is_to_be_signed_where_there_are_keys(
    opened: Open, tmp_path: Path, here: Desk
) -> None:
    file = procedure("tank-lid", "Seal the tank lid", state="approved")
    keyless = tmp_path / "keyless"
    new_shop(keyless, "Alder Row, demo")
    for folder in (keyless, here.folder):
        put(folder / "procedures" / "tank-lid", file)
        publish(folder / "procedures" / "tank-lid", "tank-lid", 1, "approved")
    page = "/procedures/tank-lid/page/index.html"
    assert opened(keyless).get(page).status_code == 200
    refused = here.get(page)
    assert refused.status_code == 409
    assert "It is not as signed." in plain(refused.text)


def test_what_is_published_of_another_revision_begins_no_job(here: Desk) -> None:
    folder = here.folder / "procedures" / "guard-clips"
    put(folder, procedure("guard-clips", "Renew the guard clips", revision=2))
    publish(folder, "guard-clips", 1, "draft")
    refused = here.get("/procedures/guard-clips/page/index.html")
    assert refused.status_code == 409
    assert "What is published is revision 1: publish this one." in plain(refused.text)


def test_what_is_not_published_begins_no_job(here: Desk) -> None:
    folder = here.folder / "procedures" / "guard-clips"
    put(folder, procedure("guard-clips", "Renew the guard clips"))
    refused = here.get("/procedures/guard-clips/page/index.html")
    assert refused.status_code == 409
    assert "Nothing to follow at the bench is published of it" in plain(refused.text)
    assert "all-the-same" not in refused.text


def test_a_list_leads_to_the_revision_it_names(later: Path, here: Desk) -> None:
    found = here.get("/?q=belt").text
    rows = re.findall(r'href="(/procedures/[^"]+)".*?, revision ([0-9]+)', found, re.DOTALL)
    assert set(rows) == {(PATH, "2"), (f"{PATH}/revisions/3", "3")}
    for path, number in rows:
        assert f"{ID}, revision {number}" in here.get(path).text


def test_what_is_asked_for_before_stands_by_its_revision_in_force(
    later: Path, opened: Open
) -> None:
    belt = {"id": "belt", "what": "Change the belt", "procedure": {"id": ID}}
    lid = procedure("tank-lid", "Seal the tank lid", prerequisites=[belt])
    put(later / "procedures" / "tank-lid", lid)
    desk = opened()
    desk.sign_in("R. Reader")
    desk.get(PATH)  # holds it against its signatures
    said = plain(desk.get("/procedures/tank-lid").text)
    assert "Change the drive belt of a bench drill approved before this one" in said
