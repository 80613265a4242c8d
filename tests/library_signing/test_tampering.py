"""Verify finds every tampering: with content, with acts, with keys, with whole histories."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
import rfc8785
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from author.contract.canonical_json import canonical
from author.contract.review_file import read_review
from author.errors import InputError
from author.library.signing.keys import Signer, new_signer
from author.library.signing.manifest import KeyAct, ProcedureAct
from author.library.signing.signatures import act_file, read_act, signed_bytes
from author.tasks.library_audit import keep_heads, verify
from author.tasks.library_keys import admit, revoke
from author.tasks.signing_off import sign_off, take_back_sign_offs

from .bench_shop import (
    AUTHOR,
    ID,
    KEEPER,
    REVIEWER,
    SECOND,
    STRANGER,
    BenchShop,
    make,
)

Tamper = Callable[[BenchShop], object]
SIGNED = f"procedures/{ID}/signatures"


def said(shop: BenchShop, kept: Path | None = None) -> list[str]:
    return [f"{one.file}: {one.said}" for one in verify(shop.folder, (), kept).all_problems]


def test_what_nobody_touched_is_as_signed(approved: BenchShop) -> None:
    report = verify(approved.folder)
    assert report.all_problems == ()
    assert [one.state for one in report.procedures] == ["approved"]
    assert report.procedures[0].acts[-1].stands
    # The earlier acts were over the same content with another state.
    assert [one.stands for one in report.procedures[0].acts] == [True] * 4


def _swap_still(shop: BenchShop) -> None:
    (shop.procedure / "published/stills/01-unplug.jpg").write_bytes(b"another still")


def _still_as_link(shop: BenchShop) -> None:
    still = shop.procedure / "published/stills/01-unplug.jpg"
    still.rename(still.with_name("away.jpg"))
    still.symlink_to("away.jpg")


def _move_still(shop: BenchShop) -> None:
    still = shop.procedure / "published/stills/01-unplug.jpg"
    still.rename(still.with_name("02-unplug.jpg"))


def _one_more_still(shop: BenchShop) -> None:
    """Show a still that nobody has signed, with a list of published files to match."""
    extra = shop.procedure / "published/stills/02-extra.jpg"
    extra.write_bytes(b"extra")
    listed = shop.procedure / "published/publication.json"
    plain = json.loads(listed.read_text())
    plain["files"]["stills/02-extra.jpg"] = "0" * 64
    listed.write_text(json.dumps(plain))


def _change_page(shop: BenchShop) -> None:
    (shop.procedure / "published/page/index.html").write_bytes(b"torque 95")


def _page_and_list(shop: BenchShop) -> None:
    """Change a page and the list of what was published with it."""
    _change_page(shop)
    listed = shop.procedure / "published/publication.json"
    plain = json.loads(listed.read_text())
    digest = hashlib.sha256(b"torque 95").hexdigest()
    plain["files"]["page/index.html"] = digest
    listed.write_text(json.dumps(plain))


def _drop_review(shop: BenchShop) -> None:
    (shop.procedure / "review.yaml").unlink()


@pytest.mark.parametrize(
    ("tamper", "expected"),
    [
        (lambda s: s.edit('upper: "45"', 'upper: "95"'), "procedure.yaml was changed"),
        (lambda s: s.edit("state: approved", "state: draft"), "by its history it is approved"),
        (lambda s: s.edit("revision: 2\nstate", "revision: 1\nstate"), "was put in its place"),
        (lambda s: s.edit("revision: 2\nstate", "revision: 3\nstate"), "approved"),
        (_swap_still, "stills/01-unplug.jpg was changed"),
        (_still_as_link, "stills/01-unplug.jpg is missing, moved, or a link"),
        (_move_still, "stills/01-unplug.jpg is missing, moved, or a link"),
        (_one_more_still, "stills/02-extra.jpg came after it was signed"),
        (_drop_review, "review.yaml is missing"),
        (_change_page, "page/index.html: this is not what was published"),
        (
            lambda s: (s.procedure / "published/publication.json").write_text("{}"),
            "the list of published files was changed",
        ),
        (lambda s: s.file.unlink(), "this cannot be read"),
        (lambda s: s.procedure.rename(s.procedure.with_name("belt-check")), "moved here"),
    ],
)
def test_changed_content(approved: BenchShop, tamper: Tamper, expected: str) -> None:
    tamper(approved)
    assert any(expected in one for one in said(approved)), said(approved)


@pytest.mark.parametrize(
    "name",
    ["stills/../../../x", "/etc/passwd", "stills/a\0b", "stills/\ud800", "a" * 5000, "stills/a:b"],
)
def test_a_list_of_files_that_names_anything(approved: BenchShop, name: str) -> None:
    listed = approved.procedure / "published/publication.json"
    plain = json.loads(listed.read_text())
    plain["files"][name] = "0" * 64
    listed.write_text(json.dumps(plain))
    assert any("this is not what was published" in one for one in said(approved))
    with pytest.raises(InputError):
        approved.sign("published", KEEPER)


def test_a_page_that_was_signed_as_published(approved: BenchShop) -> None:
    approved.sign("published", KEEPER)
    assert said(approved) == []
    _page_and_list(approved)
    assert any("publication.json was changed after K. Keeper" in one for one in said(approved))
    # Published anew, it is signed anew; until then it is told.
    approved.publish(approved.procedure)
    (approved.procedure / "published/procedure.pdf").unlink()
    with pytest.raises(InputError, match="this is not what was published"):
        approved.sign("published", KEEPER)
    approved.publish(approved.procedure, b"a page of another day ")
    assert any("publication.json was changed after K. Keeper" in one for one in said(approved))
    approved.sign("published", AUTHOR)
    assert said(approved) == []


def _act(shop: BenchShop, number: int) -> Path:
    return next(shop.signatures.glob(f"{number:04d}-*.json"))


def _rewritten(file: Path, **changes: object) -> None:
    """Change what an act says and leave its signature."""
    plain = json.loads(file.read_text())
    plain["signed"] |= changes
    file.write_bytes(canonical(plain) + b"\n")


def _reorder(shop: BenchShop) -> None:
    first, second = _act(shop, 1), _act(shop, 2)
    one, other = first.read_bytes(), second.read_bytes()
    first.write_bytes(other)
    second.write_bytes(one)


def _cut_middle(shop: BenchShop) -> None:
    _act(shop, 2).unlink()


def _renumbered(shop: BenchShop) -> None:
    """Take an act out and close the gap."""
    _act(shop, 3).unlink()
    _act(shop, 4).rename(shop.signatures / "0003-approved.json")


def _signed_again_later(shop: BenchShop) -> None:
    shop.forge(REVIEWER, purpose="approved", time="2026-09-14T07:00:00Z")


@pytest.mark.parametrize(
    ("tamper", "expected"),
    [
        (lambda s: _rewritten(_act(s, 1), name="R. Reviewer"), "not of what the act says"),
        (lambda s: _rewritten(_act(s, 4), revision=3), "not of what the act says"),
        (lambda s: _rewritten(_act(s, 4), role="keeper"), "not of what the act says"),
        (lambda s: _rewritten(_act(s, 4), key=STRANGER.public.text), "not of what the act says"),
        (lambda s: _act(s, 2).write_bytes(_act(s, 2).read_bytes()[:-1]), "no signed act"),
        (lambda s: _act(s, 2).write_text(json.dumps(json.loads(_act(s, 2).read_text()))), "no sig"),
        (_reorder, "under another name"),
        (_cut_middle, "act 2 before this one was taken out"),
        (_renumbered, "under another name"),
        (lambda s: _act(s, 1).unlink(), "act 1 before this one was taken out"),
        (lambda s: _act(s, 4).unlink(), "by its history it is in review"),
        (lambda s: shutil.rmtree(s.signatures), "by its history it is draft"),
        (lambda s: (s.signatures / "notes.txt").write_text("x"), "does not belong"),
        (lambda s: shutil.copy(_act(s, 2), s.signatures / "0002-draft.json"), "two acts"),
        (_signed_again_later, "a clock was set back"),
    ],
)
def test_changed_history(approved: BenchShop, tamper: Tamper, expected: str) -> None:
    tamper(approved)
    assert any(expected in one for one in said(approved)), said(approved)


@pytest.mark.parametrize(
    ("changes", "signer", "expected"),
    [
        ({"name": "R. Reviewer"}, STRANGER, "the library did not admit"),
        ({"name": "R. Reviewer"}, SECOND, "the library did not admit"),
        ({"name": "A. Author", "role": "reviewer"}, AUTHOR, "is no reviewer"),
        ({"name": "A. Author", "role": "author"}, AUTHOR, "no author may sign"),
        ({"name": "S. Second", "procedure": "gib-adjustment"}, SECOND, "of the procedure 'gib"),
        ({"name": "S. Second", "revision": 1}, SECOND, "revision 2 has been signed"),
        ({"name": "S. Second", "library": "1" * 64}, SECOND, "in another library"),
        ({"name": "S. Second", "keys": "1" * 64}, SECOND, "has lost what it said of keys"),
        ({"name": "S. Second", "state": "draft"}, SECOND, "it says the procedure is draft"),
        ({"name": "S. Second", "time": "2026-09-14T08:00:30Z"}, SECOND, "a clock was set back"),
    ],
)
def test_acts_of_another_program(
    approved: BenchShop, changes: dict[str, object], signer: Signer, expected: str
) -> None:
    """Genuine signatures in an unbroken chain that have no right to be there."""
    changes = {"purpose": "withdrawn", "role": "reviewer", "state": "withdrawn", **changes}
    approved.forge(signer, **changes)
    assert any(expected in one for one in said(approved)), said(approved)


def test_older_keys_than_the_act_before(approved: BenchShop) -> None:
    older = approved.acts()[-1].act.keys
    admit(approved.folder, STRANGER.public, "N. New", ["reviewer"], KEEPER, now=approved.tick())
    approved.sign("reviewed", STRANGER)
    approved.forge(SECOND, name="S. Second", keys=older)
    assert any("goes by older keys than the act before" in one for one in said(approved))


def test_an_act_older_than_its_keys(approved: BenchShop) -> None:
    entry = admit(
        approved.folder, STRANGER.public, "N. New", ["reviewer"], KEEPER, now=approved.tick()
    )
    approved.forge(STRANGER, name="N. New", keys=entry.sha256, purpose="reviewed")
    found = said(approved)
    assert len(found) == 1 and "before the keys it goes by were admitted" in found[0]


@pytest.mark.parametrize("folder", ["signatures", "history"])
def test_histories_through_links(approved: BenchShop, tmp_path: Path, folder: str) -> None:
    place = approved.signatures if folder == "signatures" else approved.folder / "history"
    file = sorted(place.iterdir())[0]
    file.rename(tmp_path / "act.json")
    file.symlink_to(tmp_path / "act.json")
    assert any(f"{file.name}: this is no signed act" in one for one in said(approved))
    (tmp_path / "act.json").rename(tmp_path / "away.json")
    assert any(f"{file.name}: this is no signed act" in one for one in said(approved))
    file.unlink()
    (tmp_path / "away.json").rename(file)
    assert said(approved) == []
    place.rename(tmp_path / "place")
    place.symlink_to(tmp_path / "place")
    assert any("a link, not a folder of acts" in one for one in said(approved))


def test_an_author_who_approves(draft: BenchShop) -> None:
    draft.sign("authored", SECOND)
    draft.sign("in_review", SECOND)
    draft.accept()
    draft.forge(SECOND, purpose="approved", role="reviewer", state="approved")
    assert any("nobody judges own work" in one for one in said(draft))


def test_an_approval_that_skips_the_numbers(draft: BenchShop) -> None:
    draft.sign("in_review", AUTHOR)
    draft.edit("state: in_review", "state: approved")
    draft.forge(REVIEWER, name="R. Reviewer", purpose="approved", role="reviewer", state="approved")
    assert any("approved, and nobody has signed off" in one for one in said(draft))


def test_an_approval_nobody_signed(draft: BenchShop) -> None:
    draft.edit("state: draft", "state: approved")
    assert any("by its history it is draft" in one for one in said(draft))


def test_an_old_signature_on_new_content(approved: BenchShop) -> None:
    """Put the approval of the content before behind a new one."""
    old = _act(approved, 4).read_bytes()
    approved.sign("in_review", REVIEWER)
    (approved.signatures / "0006-approved.json").write_bytes(old)
    assert any("under another name" in one for one in said(approved))


def test_signatures_of_another_procedure(approved: BenchShop) -> None:
    other = approved.put("vice-jaws")
    shutil.copytree(approved.signatures, other / "signatures")
    assert any("was signed of the procedure 'belt-change'" in one for one in said(approved))


def test_signatures_of_another_library(approved: BenchShop, tmp_path: Path) -> None:
    other = make(tmp_path / "other")
    shutil.rmtree(approved.signatures)
    shutil.copytree(other.signatures, approved.signatures)
    assert any("in another library" in one for one in said(approved))
    assert verify(other.folder).founded != verify(approved.folder).founded


def test_a_swapped_public_key(approved: BenchShop) -> None:
    file = approved.folder / "library.yaml"
    text = file.read_text()
    swapped = text.replace(REVIEWER.public.text, new_signer().public.text)
    assert swapped != text
    file.write_text(swapped)
    assert any("not one that the history admits" in one for one in said(approved))
    assert any("'R. Reviewer' is missing here" in one for one in said(approved))


def test_more_roles_in_the_sheet(approved: BenchShop) -> None:
    file = approved.folder / "library.yaml"
    file.write_text(file.read_text().replace("- author\n    key", "- reviewer\n    key", 1))
    assert any("other roles than the history says" in one for one in said(approved))


@pytest.mark.parametrize(
    ("changes", "signer", "expected"),
    [
        ({"name": "K. Keeper"}, STRANGER, "not admitted, or no longer"),
        ({"name": "R. Reviewer"}, REVIEWER, "only a keeper admits"),
        ({"name": "Another"}, KEEPER, "only a keeper admits"),
        ({"name": "K. Keeper", "purpose": "founded", "seed": "1" * 64}, KEEPER, "founded once"),
        ({"name": "K. Keeper", "time": "2026-09-14T07:00:00Z"}, KEEPER, "a clock was set back"),
    ],
)
def test_keys_admitted_without_right(
    approved: BenchShop, changes: dict[str, object], signer: Signer, expected: str
) -> None:
    approved.forge_key_act(signer, **changes)
    assert any(expected in one for one in said(approved)), said(approved)


def test_a_revoked_key_admitted_again(approved: BenchShop) -> None:
    revoke(approved.folder, "S. Second", KEEPER, now=approved.tick())
    approved.forge_key_act(KEEPER, purpose="admitted", known=None)
    assert any("cannot be admitted again" in one for one in said(approved))


@pytest.mark.parametrize(
    ("signer", "changes"),
    [
        (KEEPER, {"purpose": "admitted"}),
        (STRANGER, {"name": "K. Keeper"}),
        (KEEPER, {"name": "Another"}),
        (KEEPER, {"seed": None}),
    ],
)
def test_a_library_that_was_not_founded_rightly(
    draft: BenchShop, signer: Signer, changes: dict[str, object]
) -> None:
    file = draft.folder / "history/0001-founded.json"
    read = read_act(file.read_bytes(), KeyAct)
    assert read is not None
    act = read.act.model_copy(update={"key": signer.public.text, **changes})
    shutil.rmtree(file.parent)
    file.parent.mkdir()
    (file.parent / act_file(act)).write_bytes(signed_bytes(act, signer))
    assert any("begins with a keeper who founds the library" in one for one in said(draft))


def test_a_history_of_keys_that_is_cut(approved: BenchShop) -> None:
    (approved.folder / "history/0004-admitted.json").unlink()
    found = said(approved)
    assert any("has lost what it said of keys" in one for one in found)
    assert any("not one that the history admits" in one for one in found)


def test_a_library_founded_anew_over_signed_procedures(approved: BenchShop, tmp_path: Path) -> None:
    other = make(tmp_path / "other", approved=False)
    shutil.rmtree(approved.folder / "history")
    shutil.copytree(other.folder / "history", approved.folder / "history")
    assert any("not the one it was signed after" in one for one in said(approved))


def test_a_revoked_key(approved: BenchShop) -> None:
    revoke(approved.folder, "R. Reviewer", KEEPER, now=approved.tick())
    assert said(approved) == [], "what was signed before still counts"
    # The thief claims an earlier time and older keys.
    approved.forge(REVIEWER, purpose="withdrawn", state="withdrawn")
    assert any("after the key of 'R. Reviewer' was revoked" in one for one in said(approved))


def test_a_key_revoked_from_an_earlier_day_on(approved: BenchShop) -> None:
    revoke(approved.folder, "R. Reviewer", KEEPER, now=approved.tick(), since=date(2026, 9, 14))
    found = said(approved)
    assert len(found) == 1 and "is revoked from 2026-09-14 on" in found[0]
    # Another reviewer takes it back and judges it anew.
    approved.sign("in_review", SECOND)
    approved.sign("approved", SECOND)
    assert said(approved) == []


def test_a_revocation_taken_out(approved: BenchShop) -> None:
    revoke(approved.folder, "S. Second", KEEPER, now=approved.tick())
    approved.sign("withdrawn", REVIEWER)
    (approved.folder / "history/0005-revoked.json").unlink()
    assert any("has lost what it said of keys" in one for one in said(approved))


def _roll_back(shop: BenchShop) -> None:
    """Put a procedure back to before its approval, with no trace in the folder."""
    _act(shop, 4).unlink()
    shop.edit("state: approved", "state: in_review")


def _gone(shop: BenchShop) -> None:
    shutil.rmtree(shop.procedure)


def _retold(shop: BenchShop) -> None:
    """Sign another end of the history with the same keys."""
    _roll_back(shop)
    shop.sign("reviewed", SECOND)


@pytest.mark.parametrize(
    ("tamper", "expected"),
    [
        (_roll_back, "the end was cut off"),
        (_gone, "and is gone"),
        (_retold, "not the one the kept head names"),
    ],
)
def test_a_head_kept_elsewhere(
    approved: BenchShop, tmp_path: Path, tamper: Tamper, expected: str
) -> None:
    kept = tmp_path / "heads.json"
    keep_heads(approved.folder, kept, now=approved.now)
    assert said(approved, kept) == []
    tamper(approved)
    assert said(approved) == [], "the folder alone does not show it"
    assert any(expected in one for one in said(approved, kept)), said(approved, kept)
    assert len(said(approved, kept)) == 1


def test_more_acts_agree_with_an_older_head(approved: BenchShop, tmp_path: Path) -> None:
    kept = tmp_path / "heads.json"
    keep_heads(approved.folder, kept, now=approved.now)
    approved.sign("withdrawn", KEEPER)
    assert said(approved, kept) == []


def _signed_files(shop: BenchShop) -> list[Path]:
    return sorted(
        [
            shop.file,
            shop.procedure / "review.yaml",
            *(shop.procedure / "published/stills").iterdir(),
            *(shop.procedure / "published/clips").iterdir(),
            *shop.signatures.iterdir(),
            *(shop.folder / "history").iterdir(),
        ]
    )


@settings(
    max_examples=80,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(st.data())
def test_any_byte_changed_is_found(approved: BenchShop, data: st.DataObject) -> None:
    file = data.draw(st.sampled_from(_signed_files(approved)))
    before = file.read_bytes()
    place = data.draw(st.integers(0, len(before) - 1))
    other = data.draw(st.integers(1, 255))
    changed = bytearray(before)
    changed[place] ^= other
    file.write_bytes(changed)
    try:
        assert verify(approved.folder).all_problems
    finally:
        file.write_bytes(before)


def test_an_act_read_by_another_hand(approved: BenchShop) -> None:
    """Form, chain and signature as the words about the file say, with no line of ours."""
    before = None
    for file in sorted(approved.signatures.iterdir()):
        data = file.read_bytes()
        plain = json.loads(data)
        signed = plain["signed"]
        assert data == rfc8785.dumps(plain) + b"\n"
        key = Ed25519PublicKey.from_public_bytes(bytes.fromhex(signed["key"]))
        text = b"reelwright procedure-act/1\n" + rfc8785.dumps(signed)
        key.verify(bytes.fromhex(plain["signature"]), text)
        assert signed["before"] == (before or approved.founded)
        before = hashlib.sha256(data).hexdigest()
    for name, digest in signed["files"].items():
        stored = (approved.procedure / name).read_bytes()
        assert hashlib.sha256(stored).hexdigest() == digest


def test_every_byte_of_an_act(approved: BenchShop) -> None:
    data = _act(approved, 4).read_bytes()
    for place in range(len(data)):
        changed = bytearray(data)
        changed[place] ^= 1 << place % 8
        read = read_act(bytes(changed), ProcedureAct)
        assert read is None or not read.genuine, place


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=300) | st.text(max_size=300).map(str.encode))
def test_anything_else_is_no_act(data: bytes) -> None:
    assert read_act(data, ProcedureAct) is None


@pytest.mark.parametrize("name", ["../../x", "/etc/passwd", "a\\b", "c:x", 'a"b', ""])
def test_an_act_about_a_file_outside(approved: BenchShop, name: str) -> None:
    plain = json.loads(_act(approved, 4).read_text())
    plain["signed"]["files"][name] = "0" * 64
    assert read_act(canonical(plain) + b"\n", ProcedureAct) is None


def test_it_is_signed_off_from_wherever_somebody_stands(
    approved: BenchShop, monkeypatch: pytest.MonkeyPatch
) -> None:
    sheet = read_review(approved.procedure)
    assert sheet is not None
    point = [sheet.sign_offs[0].point]
    shop = approved.procedure.parent.parent
    for stands in (shop.parent, shop, approved.procedure):
        monkeypatch.chdir(stands)
        here = Path(os.path.relpath(approved.procedure))
        assert sign_off(here, point, by="Zed", role="foreman", query="Why?").out_of_use
        assert not take_back_sign_offs(here, point, by="Zed").out_of_use


def test_a_query_of_what_is_approved_is_named(approved: BenchShop) -> None:
    sheet = read_review(approved.procedure)
    assert sheet is not None
    point = sheet.sign_offs[0].point
    before = (approved.procedure / "review.yaml").read_bytes()
    done = sign_off(approved.procedure, [point], by="Zed", role="foreman", query="Film says 340")
    assert done.out_of_use
    first = said(approved)[0]
    assert f"review.yaml was changed ('{point}' was queried by Zed: “Film says 340”" in first
    (approved.procedure / "review.yaml").write_bytes(before.replace(b"reviewer", b"foreman"))
    assert any("review.yaml was changed after" in one for one in said(approved))
    (approved.procedure / "review.yaml").write_bytes(before)
    again = sign_off(
        approved.procedure, [point], by="R. Reviewer", role="reviewer", day=date(2026, 9, 14)
    )
    assert not again.out_of_use
    assert said(approved) == []


def test_a_query_that_is_taken_back_leaves_everything_as_signed(approved: BenchShop) -> None:
    sheet = read_review(approved.procedure)
    assert sheet is not None
    point = sheet.sign_offs[0].point
    sign_off(approved.procedure, [point], by="Zed", role="foreman", query="Film says 340")
    with pytest.raises(InputError, match=r"R\. Reviewer is no keeper"):
        take_back_sign_offs(approved.procedure, [point], by="R. Reviewer", of="Zed")
    with pytest.raises(InputError, match=f"Ned has said nothing of '{point}'"):
        take_back_sign_offs(approved.procedure, [point], by="K. Keeper", of="Ned")
    done = take_back_sign_offs(approved.procedure, [point], by="K. Keeper", of="zed")
    assert (done.points, done.queried, done.open, done.out_of_use) == ((point,), (), (), False)
    assert said(approved) == []
