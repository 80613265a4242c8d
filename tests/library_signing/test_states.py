"""Who may sign what and when, and what a later change does to it."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.checks import Verdict
from author.checks import check as judge
from author.contract import parse_procedure, read_procedure
from author.contract.review_file import read_review
from author.errors import InputError
from author.library.signing.keys import Signer
from author.library.signing.manifest import with_state
from author.library.signing.states import STATES
from author.storage import new_generation
from author.tasks.key_signatures import key_signatures
from author.tasks.library_audit import verify
from author.tasks.library_keys import admit, revoke
from author.tasks.signing_off import sign_off

from .bench_shop import (
    AUTHOR,
    EXAMPLES,
    ID,
    KEEPER,
    REVIEWER,
    SECOND,
    START,
    STRANGER,
    BenchShop,
    make,
    new_shop,
)


def test_the_whole_way(draft: BenchShop) -> None:
    done = draft.approve()
    act = done.entry.act
    assert (act.state, act.role, act.name) == ("approved", "reviewer", "R. Reviewer")
    assert sorted(act.files) == [
        "procedure.yaml",
        "published/clips/01-unplug.mp4",
        "published/stills/01-unplug.jpg",
        "review.yaml",
    ]
    assert done.file == draft.signatures / "0004-approved.json"
    assert "\nstate: approved\n" in draft.file.read_text()
    draft.sign("superseded", REVIEWER)
    draft.sign("withdrawn", KEEPER, reason="The drill is scrapped")
    report = verify(draft.folder).procedures[0]
    assert (report.state, report.problems) == ("withdrawn", ())
    assert [one.entry.act.purpose for one in report.acts] == [
        "authored", "in_review", "reviewed", "approved", "superseded", "withdrawn",
    ]  # fmt: skip


def test_only_the_word_for_the_state_is_touched(draft: BenchShop) -> None:
    before = draft.file.read_bytes()
    draft.sign("in_review", AUTHOR)
    assert draft.file.read_bytes() == before.replace(b"state: draft", b"state: in_review")


@given(st.sampled_from(STATES), st.sampled_from(STATES))
def test_a_state_and_back(one: str, other: str) -> None:
    data = with_state((EXAMPLES / "belt-change.yaml").read_bytes(), one)  # type: ignore[arg-type]
    assert data is not None
    assert with_state(with_state(data, other) or b"", one) == data  # type: ignore[arg-type]
    assert parse_procedure(data, Path("x")).procedure.state == one


def test_a_state_that_is_not_on_a_line_of_its_own(draft: BenchShop) -> None:
    draft.edit("state: draft", "state:\n  draft")
    with pytest.raises(InputError, match="state cannot be changed"):
        draft.sign("in_review", AUTHOR)
    assert draft.acts() == []


Setting = Callable[[BenchShop], object]


def _in_review(shop: BenchShop) -> None:
    shop.sign("in_review", AUTHOR)


def _ready(shop: BenchShop) -> None:
    shop.sign("in_review", AUTHOR)
    shop.accept()


def _by_second(shop: BenchShop) -> None:
    shop.sign("in_review", SECOND)
    shop.accept()


def _reviewed_by_second(shop: BenchShop) -> None:
    _ready(shop)
    shop.sign("reviewed", SECOND)


def _queried(shop: BenchShop) -> None:

    _ready(shop)
    sign_off(shop.procedure, [], by="Zed", role="reviewer", query="Where from?")


def _changed_after_acceptance(shop: BenchShop) -> None:
    _ready(shop)
    shop.edit('upper: "45"', 'upper: "46"')


def _with_an_error(shop: BenchShop) -> None:
    again = "  - id: shop-card\n    kind: demo\n    title: Again\n"
    shop.edit("\nsources:\n", f"\nsources:\n{again}")
    _ready(shop)


def _named_author(shop: BenchShop) -> None:
    shop.edit("    - A. R.", "    - r reviewer")
    shop.sign("in_review", AUTHOR)
    shop.accept(by="Somebody else")


def _other_sheet(shop: BenchShop) -> None:
    _ready(shop)
    sheet = shop.procedure / "review.yaml"
    sheet.write_text(sheet.read_text().replace("revision: 2", "revision: 1"))


def _approved(shop: BenchShop) -> None:
    shop.approve()


def _approved_and_changed(shop: BenchShop) -> None:
    shop.approve()
    shop.edit('upper: "45"', 'upper: "46"')


def _taken_back_and_changed(shop: BenchShop) -> None:
    _approved_and_changed(shop)
    shop.sign("in_review", SECOND)
    shop.accept()


def _withdrawn(shop: BenchShop) -> None:
    shop.sign("withdrawn", KEEPER)


def _says_approved(shop: BenchShop) -> None:
    shop.edit("state: draft", "state: approved")


def _older(shop: BenchShop) -> None:
    shop.approve()
    shop.edit("revision: 2\nstate", "revision: 1\nstate")


def _moved(shop: BenchShop) -> None:
    shop.edit("id: belt-change", "id: belt-check")


def _unpublished(shop: BenchShop) -> None:
    shutil.rmtree(shop.procedure / "published")
    shop.approve()


def _nothing(shop: BenchShop) -> None:
    pass


@pytest.mark.parametrize(
    ("before", "purpose", "signer", "expected"),
    [
        (_nothing, "approved", REVIEWER, "it is draft, and can become in review or withdrawn"),
        (_nothing, "reviewed", REVIEWER, "can be signed as reviewed while it is in review"),
        (_nothing, "in_review", REVIEWER, "is signed by author, and R. Reviewer is reviewer"),
        (_nothing, "in_review", STRANGER, "this key is not admitted"),
        (_in_review, "in_review", AUTHOR, "it is in review already"),
        (_in_review, "approved", REVIEWER, "nobody has signed off its numbers"),
        (_ready, "approved", AUTHOR, "nobody judges own work"),
        (_ready, "approved", KEEPER, "is signed by reviewer, and K. Keeper is keeper"),
        (_by_second, "approved", SECOND, "S. Second signed it as its author on 2026-09-14"),
        (_by_second, "reviewed", SECOND, "nobody judges own work"),
        (_reviewed_by_second, "authored", SECOND, "judged this revision"),
        (_named_author, "approved", REVIEWER, "R. Reviewer wrote this procedure"),
        (_queried, "approved", REVIEWER, "nobody has accepted"),
        (_changed_after_acceptance, "approved", REVIEWER, "nobody has accepted"),
        (_with_an_error, "approved", REVIEWER, "it cannot be approved yet: ids."),
        (_other_sheet, "approved", REVIEWER, "the sign-offs are of 'belt-change', revision 1"),
        (_approved, "approved", REVIEWER, "it is approved already"),
        (_approved, "authored", AUTHOR, "while it is draft or in review"),
        (_approved, "draft", AUTHOR, "it is approved, and can become in review"),
        (_approved_and_changed, "superseded", REVIEWER, "not what was approved: procedure.yaml"),
        (_approved_and_changed, "reviewed", SECOND, "not what was approved: procedure.yaml"),
        (_taken_back_and_changed, "approved", SECOND, "approved with other content on 2026-09-14"),
        (_withdrawn, "in_review", AUTHOR, "stays so: begin a new revision"),
        (_says_approved, "authored", AUTHOR, "it says approved, and by its history it is draft"),
        (_older, "in_review", AUTHOR, "revision 2 has been signed, and this is revision 1"),
        (_in_review, "published", KEEPER, "as published while it is approved"),
        (_unpublished, "published", KEEPER, "nothing of it is published here"),
        (_moved, "in_review", AUTHOR, "this is the procedure 'belt-check' in the folder"),
    ],
)
def test_what_may_not_be_signed(
    draft: BenchShop, before: Setting, purpose: str, signer: object, expected: str
) -> None:
    before(draft)
    acts, text = draft.acts(), draft.file.read_bytes()
    with pytest.raises(InputError) as told:
        draft.sign(purpose, signer)  # type: ignore[arg-type]
    assert expected in str(told.value)
    assert str(told.value).count(". ") <= 3 and "\n" not in str(told.value)
    assert draft.acts() == acts
    assert draft.file.read_bytes() == text, "nothing was written"


def test_an_author_under_another_name_or_with_another_key(draft: BenchShop) -> None:
    draft.sign("in_review", SECOND)
    draft.accept()
    both = ["author", "reviewer"]
    admit(draft.folder, SECOND.public, "Somebody", both, KEEPER, now=draft.tick())
    with pytest.raises(InputError, match="nobody judges own work"):
        draft.sign("approved", SECOND)
    admit(draft.folder, STRANGER.public, "s second", both, KEEPER, now=draft.tick())
    with pytest.raises(InputError, match="nobody judges own work"):
        draft.sign("approved", STRANGER)
    draft.sign("approved", REVIEWER)


def test_a_later_change_makes_it_stale(approved: BenchShop) -> None:
    approved.edit('upper: "45"', 'upper: "46"')
    report = verify(approved.folder).procedures[0]
    assert [one.stands for one in report.acts] == [False] * 4
    assert [one.said for one in report.problems][:1] == [
        "procedure.yaml was changed after R. Reviewer signed revision 2 as approved on 2026-09-14"
    ]
    approved.edit('upper: "46"', 'upper: "45"')
    assert verify(approved.folder).all_problems == ()


def test_another_sign_off_makes_it_stale(approved: BenchShop) -> None:
    approved.accept(by="S. Second")
    assert [one.said for one in verify(approved.folder).all_problems] == [
        "review.yaml was changed ('stays-dead' was accepted by S. Second, 'grooves' was accepted "
        "by S. Second, 'same-step' was accepted by S. Second, and 2 more) after R. Reviewer signed "
        "revision 2 as approved on 2026-09-14"
    ]


def test_work_goes_on_after_an_author_signed(draft: BenchShop) -> None:
    draft.sign("in_review", AUTHOR)
    draft.edit('upper: "45"', 'upper: "46"')
    assert "procedure.yaml was changed after A. Author" in verify(draft.folder).all_problems[0].said
    draft.sign("authored", AUTHOR)
    assert verify(draft.folder).all_problems == ()
    assert [one.stands for one in verify(draft.folder).procedures[0].acts] == [False, True]


def test_a_changed_procedure_can_be_withdrawn(approved: BenchShop) -> None:
    approved.edit('upper: "45"', 'upper: "46"')
    approved.sign("withdrawn", KEEPER)
    assert approved.acts()[-1].act.state == "withdrawn"


def test_a_new_revision_begins_anew(approved: BenchShop) -> None:
    """The older one stays beside it, and is held against its own signatures."""
    kept = approved.procedure / "revisions/2"
    kept.mkdir(parents=True)
    for name in ("procedure.yaml", "review.yaml"):
        (kept / name).write_bytes((approved.procedure / name).read_bytes())
    (approved.procedure / "published").rename(kept / "published")
    approved.publish(approved.procedure)
    approved.edit("revision: 2\nstate: approved", "revision: 3\nstate: draft")
    approved.edit("review:\n", _CHANGE)
    assert verify(approved.folder).all_problems == ()
    assert verify(approved.folder).procedures[0].state == "draft"
    approved.approve()
    assert verify(approved.folder).all_problems == ()
    for name, old, new in (
        ("procedure.yaml", b'"45"', b'"95"'),
        ("procedure.yaml", b"state: approved", b"state: withdrawn"),
        ("published/stills/01-unplug.jpg", b"still", b"other"),
    ):
        before = (kept / name).read_bytes()
        (kept / name).write_bytes(before.replace(old, new))
        told = verify(approved.folder).all_problems
        assert [one.said for one in told] == [
            f"{name} was changed after R. Reviewer signed revision 2 as approved on 2026-09-14"
        ]
        (kept / name).write_bytes(before)
    shutil.rmtree(kept)
    assert "revision 2 is not kept any more" in verify(approved.folder).all_problems[0].said


_CHANGE = """  - revision: 3
    date: "2026-09-15"
    what: Another belt
    by: A. R.
review:
"""


@pytest.mark.parametrize("name", ["procedure.yaml", "review.yaml"])
def test_what_changes_while_it_is_judged(
    draft: BenchShop, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    draft.sign("in_review", AUTHOR)
    draft.accept()

    def check(*given: object) -> Verdict:
        with (draft.procedure / name).open("a") as stream:
            stream.write("# a line more\n")
        return judge(*given)  # type: ignore[arg-type]

    monkeypatch.setattr("author.tasks.library_signing.check", check)
    with pytest.raises(InputError, match=f"{name}: this was changed meanwhile"):
        draft.sign("approved", REVIEWER)
    assert draft.acts()[-1].act.purpose == "in_review"


def test_a_clock_set_back(approved: BenchShop) -> None:
    newest = datetime.fromisoformat(approved.acts()[-1].act.time)
    with pytest.raises(InputError, match="Set the clock"):
        approved.sign("withdrawn", KEEPER, now=START - timedelta(days=1))
    with pytest.raises(InputError, match="Set the clock"):
        approved.sign("withdrawn", KEEPER, now=newest - timedelta(seconds=1))
    with pytest.raises(InputError, match="Set the clock"):
        revoke(approved.folder, "S. Second", KEEPER, now=START)


def test_nobody_signs_in_a_history_that_was_changed(approved: BenchShop) -> None:
    (approved.signatures / "0002-in_review.json").unlink()
    with pytest.raises(InputError, match="the history is not as signed: act 2"):
        approved.sign("withdrawn", KEEPER)


def test_nobody_signs_by_keys_that_were_changed(approved: BenchShop) -> None:
    sheet = approved.folder / "library.yaml"
    sheet.write_text(sheet.read_text().replace(SECOND.public.text, STRANGER.public.text))
    with pytest.raises(InputError, match="the keys of the library are not as signed"):
        approved.sign("withdrawn", KEEPER)


def test_an_author_by_another_name_is_told(draft: BenchShop) -> None:
    assert draft.sign("authored", AUTHOR).notes == (
        "Its authors are A. R.; A. Author signs as author all the same.",
    )
    draft.edit("    - A. R.", "    - a author")
    assert draft.sign("authored", AUTHOR).notes == ()


def test_recordings_are_looked_at_where_they_are(draft: BenchShop, tmp_path: Path) -> None:
    film = "  - id: film\n    file: film.mp4\n    size: 9\n    duration: '3.000000'\n"
    draft.edit("recordings: none", f"recordings:\n{film}    sha256: '{'0' * 64}'")
    draft.sign("in_review", AUTHOR)
    draft.accept()
    films = tmp_path / "films"
    films.mkdir()
    (films / "film.mp4").write_bytes(b"no film at all")
    with pytest.raises(InputError, match=r"film\.mp4"):
        draft.sign("approved", REVIEWER, media=[films])
    done = draft.sign("approved", REVIEWER)
    assert done.notes == ("The recordings were not looked at: film.mp4 is not here.",)


def test_a_role_of_several(draft: BenchShop) -> None:
    draft.sign("in_review", AUTHOR)
    assert draft.sign("reviewed", SECOND).entry.act.role == "reviewer"
    with pytest.raises(InputError, match=r"S\. Second is author"):
        draft.sign("reviewed", SECOND, role="author")


def test_who_founds_and_who_admits(tmp_path: Path) -> None:
    new_shop(tmp_path / "shop", "Demo")
    shop = BenchShop(tmp_path / "shop")
    shop.put()
    with pytest.raises(InputError, match="no key is admitted"):
        shop.sign("in_review", AUTHOR)
    with pytest.raises(InputError, match="no key is admitted"):
        admit(shop.folder, AUTHOR.public, "A. Author", ["author"], KEEPER, now=shop.tick())
    with pytest.raises(InputError, match="no key is admitted"):
        admit(shop.folder, KEEPER.public, "K. Keeper", ["author"], KEEPER, now=shop.tick())
    shop.admit_all()
    for signer in (AUTHOR, STRANGER):
        with pytest.raises(InputError, match="not one of a keeper"):
            admit(shop.folder, STRANGER.public, "X", ["keeper"], signer, now=shop.tick())
    with pytest.raises(InputError, match=r"'A\. Author' has another key"):
        admit(shop.folder, STRANGER.public, "a author", ["author"], KEEPER, now=shop.tick())
    admit(shop.folder, AUTHOR.public, "A. Author", ["reviewer"], KEEPER, now=shop.tick())
    with pytest.raises(InputError, match=r"is signed by author, and A\. Author is reviewer"):
        shop.sign("in_review", AUTHOR)
    assert verify(shop.folder).all_problems == ()


def test_who_is_revoked(draft: BenchShop) -> None:
    with pytest.raises(InputError, match="the last keeper"):
        revoke(draft.folder, "K. Keeper", KEEPER, now=draft.tick())
    with pytest.raises(InputError, match="2026-10-01 is still to come"):
        revoke(draft.folder, "S. Second", KEEPER, now=draft.tick(), since=date(2026, 10, 1))
    with pytest.raises(InputError, match="'Nobody' has no key here"):
        revoke(draft.folder, "Nobody", KEEPER, now=draft.tick())
    revoke(draft.folder, AUTHOR.public.id[:12], KEEPER, now=draft.tick(), reason="Left the shop")
    with pytest.raises(InputError, match="this key is revoked"):
        draft.sign("in_review", AUTHOR)
    with pytest.raises(InputError, match="this key is revoked"):
        admit(draft.folder, AUTHOR.public, "A. Author", ["author"], KEEPER, now=draft.tick())
    # The same person with a new key.
    admit(draft.folder, STRANGER.public, "A. Author", ["author"], KEEPER, now=draft.tick())
    draft.sign("in_review", STRANGER)
    assert verify(draft.folder).all_problems == ()


def test_people_without_a_key_stay(draft: BenchShop) -> None:
    sheet = draft.folder / "library.yaml"
    reader = "  - name: T. Technician\n    roles:\n      - reader\n"
    sheet.write_text(sheet.read_text() + reader)
    revoke(draft.folder, "S. Second", KEEPER, now=draft.tick())
    assert reader in sheet.read_text()
    assert SECOND.public.text not in sheet.read_text()
    assert verify(draft.folder).all_problems == ()


def test_a_library_without_signatures_is_no_fault(tmp_path: Path) -> None:
    new_shop(tmp_path / "shop", "Demo")
    shop = BenchShop(tmp_path / "shop")
    shop.put()
    report = verify(shop.folder)
    assert (report.founded, report.all_problems) == (None, ())
    assert report.procedures[0].state == "draft"


def test_two_libraries_are_never_alike(tmp_path: Path) -> None:
    one, other = (make(tmp_path / name, approved=False) for name in ("a", "b"))
    assert verify(one.folder).founded != verify(other.folder).founded


def test_a_procedure_that_is_not_there(draft: BenchShop) -> None:
    for name in ("nothing", "../shop", ID + "/.."):
        with pytest.raises(InputError, match="there is no procedure"):
            draft.sign("in_review", AUTHOR, name)
        with pytest.raises(InputError, match="there is no procedure"):
            verify(draft.folder, (name,))


def test_approval_names_what_was_queried_and_who_settled_it(draft: BenchShop) -> None:
    draft.sign("in_review", AUTHOR)
    draft.accept()
    sheet = read_review(draft.procedure)
    assert sheet is not None
    point = sheet.sign_offs[0].point
    sign_off(draft.procedure, [point], by="S. Second", role="Foreman", query="Is it 46?")
    with pytest.raises(InputError, match=r"since S\. Second queried it: “Is it 46"):
        draft.sign("approved", REVIEWER)
    sign_off(draft.procedure, [point], by="R. Reviewer", role="reviewer", answer="No, see card")
    done = draft.sign("approved", REVIEWER)
    assert (
        f"'{point}' was queried by S. Second: “Is it 46?”; R. Reviewer settled it" in done.notes[0]
    )
    assert "“No, see card”" in done.notes[0]


def test_nothing_is_approved_on_the_word_of_somebody_unknown(draft: BenchShop) -> None:
    draft.sign("in_review", AUTHOR)
    draft.accept(by="Donald Nobody")
    with pytest.raises(InputError, match="by Donald Nobody, whom the library does not") as told:
        draft.sign("approved", REVIEWER)
    assert "admit" in told.value.remedy
    draft.accept(by="r reviewer")
    draft.accept(by="Donald Nobody")  # a later word of nobody takes nothing back
    assert draft.sign("approved", REVIEWER).entry.act.state == "approved"


def test_stills_and_clips_may_come_after_the_text_was_approved(draft: BenchShop) -> None:
    shutil.rmtree(draft.procedure / "published")
    draft.approve()
    draft.publish(draft.procedure)
    report = verify(draft.folder)
    assert report.all_problems == ()
    (procedure,) = report.procedures
    assert all(one.stands for one in procedure.acts)
    assert any("nobody has signed that" in one.said for one in procedure.notes)
    told = key_signatures(draft.procedure, read_procedure(draft.file).procedure)
    assert {"Author", "Reviewer"} == {one.role for one in told}
    draft.sign("published", KEEPER)
    assert not any("nobody has signed" in o.said for o in verify(draft.folder).procedures[0].notes)
    (draft.procedure / "published/stills/01-unplug.jpg").write_bytes(b"another")
    assert verify(draft.folder).all_problems


def test_an_author_signed_the_text_where_clips_have_changed_since(draft: BenchShop) -> None:
    draft.sign("authored", AUTHOR)
    with new_generation(draft.procedure / "published") as generation:
        generation.write("stills/01-unplug.jpg", b"another still")
        generation.commit({})
    draft.sign("in_review", AUTHOR)
    draft.accept()
    draft.sign("approved", REVIEWER)
    told = key_signatures(draft.procedure, read_procedure(draft.file).procedure)
    assert [one.what for one in told if one.role == "Author"] == [
        "the text, with a key; its stills or clips have changed since"
    ]


def test_the_remedy_can_be_followed(draft: BenchShop) -> None:
    def remedy(purpose: str, signer: Signer) -> str:
        with pytest.raises(InputError) as told:
            draft.sign(purpose, signer)
        return told.value.remedy or ""

    assert "'reelwright library state'" in remedy("approved", REVIEWER)
    draft.sign("in_review", SECOND)
    assert remedy("reviewed", SECOND) == "Have somebody else sign"
    draft.sign("withdrawn", KEEPER)
    for purpose in ("published", "approved", "draft"):
        assert remedy(purpose, KEEPER) == "Count the revision up to 3, and shelve that"
