"""Withdrawing where a draft lies above the revision that work goes by."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from library_signing.bench_shop import AUTHOR, EXAMPLES, ID, KEEPER, REVIEWER, BenchShop, copy, make

from author.cli import library_signing
from author.errors import InputError
from author.library.shelves import withdrawing
from author.library.shelves.shelving import shelve
from author.library.shelves.withdrawing import changed_notes, withdraw
from author.library.shop import open_shop
from author.library.signing.signatures import Signing
from author.tasks.library_audit import verify
from author.tasks.library_finding import order_from
from author.tasks.library_keys import usable_keyring

from .shops import found
from .test_command import call


def written(folder: Path, revision: int) -> Path:
    """Return an author's folder with a draft."""
    desk = folder / "desk"
    desk.mkdir()
    text = (EXAMPLES / f"{ID}.yaml").read_text(encoding="utf-8")
    text = text.replace("\nrevision: 2\n", f"\nrevision: {revision}\n")
    text = text.replace("\nstate: approved\n", "\nstate: draft\n")
    (desk / "procedure.yaml").write_text(text, encoding="utf-8")
    return desk


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> BenchShop:
    """Revision 2 is approved and kept, and revision 3 is a draft on the shelf."""
    shop = make(tmp_path_factory.mktemp("made") / "shop")
    shelve(open_shop(shop.folder), written(shop.folder.parent, 3))
    shop.sign("authored", AUTHOR)
    return shop


@pytest.fixture
def shop(made: BenchShop, tmp_path: Path) -> BenchShop:
    return copy(made, tmp_path / "shop")


def withdrawn(shop: BenchShop, revision: int | None) -> Signing | None:
    return withdraw(shop.folder, ID, KEEPER, usable_keyring, revision=revision, now=shop.tick())


def stands(shop: BenchShop) -> dict[int, tuple[str, bool]]:
    results = found(open_shop(shop.folder), "belt", older=True).results
    return {one.revision: (one.state, one.in_force) for one in results}


def problems(shop: BenchShop) -> list[str]:
    return [one.said for one in verify(shop.folder).all_problems]


def test_the_command_says_which_revision_and_what_stays(
    shop: BenchShop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(library_signing, "signer_of", lambda *_: KEEPER)
    asked = ("state", shop.folder, ID, "withdrawn", "--key", "K. Keeper")
    with pytest.raises(InputError, match="withdrawing asks for a reason"):
        call(*asked)
    asked = (*asked, "--reason", "The drill is scrapped")
    with pytest.raises(InputError, match="Say --revision 3"):
        call(*asked)
    said = call(*asked, "--revision", 3).out
    assert "belt-change, revision 3: withdrawn by K. Keeper, keeper" in said
    assert "Revision 2 stays in force and is back in its place." in said
    assert "revision 3  withdrawn" in call("history", shop.folder, ID).out
    assert call("verify", shop.folder).code == 0
    shop.edit("title: Change", "title:  Change")
    said = call(*asked, "--revision", 2).out
    assert "belt-change, revision 2: withdrawn by K. Keeper, keeper" in said
    assert "It is withdrawn as it is stored, and that is not as signed: procedure.yaml" in said


@pytest.mark.parametrize("revision", [None, 1, 5])
def test_one_of_the_two_has_to_be_named(shop: BenchShop, revision: int | None) -> None:
    with pytest.raises(InputError, match=r"--revision 3.*--revision 2"):
        withdrawn(shop, revision)
    assert stands(shop) == {2: ("approved", True), 3: ("draft", False)}


def test_a_draft_is_put_aside_and_what_is_approved_stays_in_force(shop: BenchShop) -> None:
    stands(shop)
    done = withdrawn(shop, 3)
    assert done is not None
    assert (done.entry.act.revision, done.entry.act.stays) == (3, 2)
    assert stands(shop) == {2: ("approved", True), 3: ("withdrawn", False)}
    assert problems(shop) == []
    assert (shop.procedure / "published" / "procedure.pdf").exists()
    with pytest.raises(InputError, match=r"put aside.*Count the revision up"):
        shelve(open_shop(shop.folder), written(shop.folder.parent, 3))
    (shop.folder.parent / "desk" / "procedure.yaml").unlink()
    (shop.folder.parent / "desk").rmdir()
    shelve(open_shop(shop.folder), written(shop.folder.parent, 4))
    assert stands(shop) == {
        2: ("approved", True), 3: ("withdrawn", False), 4: ("draft", False)
    }  # fmt: skip
    shop.sign("authored", AUTHOR)
    assert withdrawn(shop, 2) is not None
    assert stands(shop)[2] == ("withdrawn", True)
    assert problems(shop) == []


def test_what_is_in_force_is_taken_out_of_use_and_the_draft_goes_on(shop: BenchShop) -> None:
    stands(shop)
    kept = shop.procedure / "revisions" / "2"
    (kept / "review.yaml").write_bytes((kept / "review.yaml").read_bytes() + b"# edited\n")
    done = withdrawn(shop, 2)
    assert done is not None
    assert (done.entry.act.revision, done.entry.act.stays) == (2, None)
    assert "that is not as signed: review.yaml was changed" in done.notes[0]
    assert stands(shop) == {2: ("withdrawn", True), 3: ("draft", False)}
    with pytest.raises(InputError, match="'belt-change' is withdrawn"):
        order_from(shop.folder, (ID,))
    shop.sign("in_review", AUTHOR)
    shop.accept()
    shop.sign("approved", REVIEWER)
    assert stands(shop) == {2: ("withdrawn", False), 3: ("approved", True)}


def test_a_changed_page_of_a_kept_revision_is_told(shop: BenchShop) -> None:
    assert problems(shop) == []
    (shop.procedure / "revisions" / "2" / "published" / "page" / "index.html").write_bytes(b"no")
    report = verify(shop.folder)
    (told,) = report.all_problems
    assert told.said == "this is not what was published"
    assert told.file == f"procedures/{ID}/revisions/2/published/page/index.html"
    (kept,) = report.procedures[0].revisions
    assert kept.wrong == "this is not what was published (published/page/index.html)"


def test_nobody_else_lets_an_older_revision_stay(shop: BenchShop) -> None:
    kept = {"revision": 3, "purpose": "withdrawn", "state": "withdrawn", "role": "keeper"}
    shop.forge(KEEPER, name="K. Keeper", **kept, stays=1)
    assert any("which it may not" in said for said in problems(shop))


def test_where_there_is_no_choice_the_signer_is_told_of_edited_files(shop: BenchShop) -> None:
    withdrawn(shop, 3)
    shop.edit("title: Change", "title:  Change")
    assert withdrawn(shop, None) is None
    (said,) = changed_notes(shop.folder, ID, usable_keyring)
    assert "procedure.yaml was changed after" in said


def test_what_is_missing_and_what_is_stale_is_told_when_it_is_shelved(
    shop: BenchShop, tmp_path: Path
) -> None:
    desk = written(tmp_path, 4)
    file = desk / "procedure.yaml"
    wait = [{"id": "off", "what": "It is off", "procedure": {"id": "not-there"}}]
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("prerequisites: none", f"prerequisites: {json.dumps(wait)}"))
    kept = shop.procedure / "revisions" / "2" / "review.yaml"
    (desk / "review.yaml").write_bytes(kept.read_bytes())
    notes = shelve(open_shop(shop.folder), desk).notes
    assert "It waits for 'not-there', which the library does not hold" in notes
    assert any(
        one.startswith("Sign-offs do not count any more: the sign-offs are of 'belt-change', rev")
        for one in notes
    )


@pytest.mark.parametrize(("revision", "name"), [(3, "procedure.yaml"), (2, "review.yaml")])
def test_what_changes_while_it_is_withdrawn_is_not_signed(
    shop: BenchShop, monkeypatch: pytest.MonkeyPatch, revision: int, name: str
) -> None:
    place = shop.procedure if revision == 3 else shop.procedure / "revisions" / "2"
    before = stands(shop)
    link = withdrawing.link_file

    def edited(path: Path, to: Path) -> None:
        link(path, to)
        file = place / name
        file.write_bytes(file.read_bytes().removesuffix(b"# more\n") + b"# more\n")

    monkeypatch.setattr(withdrawing, "link_file", edited)
    with pytest.raises(InputError, match=f"{name}: this was changed meanwhile"):
        withdrawn(shop, revision)
    assert stands(shop) == before
    assert len(shop.acts()) == 5
    assert not list(shop.procedure.parent.glob(".*new*"))


def test_another_procedure_in_the_folder_is_not_withdrawn(shop: BenchShop) -> None:
    kept = shop.procedure / "revisions" / "2" / "procedure.yaml"
    text = kept.read_text(encoding="utf-8")
    kept.unlink()
    kept.write_text(text.replace(f"\nid: {ID}\n", "\nid: chain-change\n"), encoding="utf-8")
    with pytest.raises(InputError, match="'chain-change' in the folder of 'belt-change'"):
        withdrawn(shop, 2)
    shop.edit(f"\nid: {ID}\n", "\nid: chain-change\n")
    with pytest.raises(InputError, match="'chain-change' in the folder of 'belt-change'"):
        withdrawn(shop, 3)


def test_a_killed_run_is_finished_before_the_older_revision_is_withdrawn(shop: BenchShop) -> None:
    draft = shop.file.read_bytes()
    shop.sign("in_review", AUTHOR)
    written = shop.file.read_bytes()
    shop.file.unlink()
    shop.file.write_bytes(draft)  # killed between the act and the file
    assert withdrawn(shop, 2) is not None
    assert shop.file.read_bytes() == written
    assert problems(shop) == []
