"""Who releases, answers, sends and signs off is held against the people a library knows."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from author.contract.yaml_writer import write_yaml
from author.errors import InputError
from author.library.records.faults import record_faults
from author.library.shop import SHOP_FILE, Shop, open_shop
from author.library.signing.accounts import Account, Accounts, accounts_file, hash_of
from author.library.signing.keys import open_key, read_public_key
from author.library.signing.known_people import NOBODY_KNOWN, people_of
from author.tasks.library_keys import admit, make_key
from author.tasks.library_people import answer_as, releaser_of, sender_notes
from author.tasks.library_records import questions, unit_report

from .record_samples import content_of, job, lid, lid_shop, sent
from .shops import Plain
from .test_records_open import UNIT, call, worn

SUPERVISOR = "Supervisor of the tool room"
SECRET = "five words of this test"  # noqa: S105 - of the tests alone
HASH = "$argon2id$v=19$m=8,t=1,p=1$c29tZXNhbHQ$c29tZXRoaW5n"


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    wrote = {"review": {"due": "2030-01-01", "authors": ["W. R."]}}
    made = lid_shop(tmp_path / "shop", lid(worn) | wrote)
    sent(made, job(content_of(made), questions=[{"text": "Which way round?"}]))
    return made


def people(shop: Shop, *members: Plain) -> None:
    sheet = {"schema": "library/1", "name": "Demo shop", "people": list(members)}
    (shop.folder / SHOP_FILE).write_text(write_yaml(sheet))


def account(
    shop: Shop, name: str, *trades: str, disabled: bool = False, password: str = HASH
) -> None:
    """Add an account, without the time that a real hash takes."""
    file = accounts_file(shop.folder)
    file.parent.mkdir(exist_ok=True)
    made = Account(
        name=name, roles=("reader",), password=password, disabled=disabled, trades=trades
    )
    before = Accounts.model_validate_json(file.read_bytes()) if file.exists() else Accounts()
    file.write_text(Accounts(people=(*before.people, made)).model_dump_json())


def guide(shop: Shop) -> str:
    found = unit_report(shop.folder, UNIT).value.open
    return next(one.id for one in found if one.what == "The guide block is worn")


def test_a_library_that_knows_its_people_takes_no_role_at_its_word(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    people(shop, {"name": "M. P.", "roles": ["keeper", "reviewer"]})
    assert releaser_of(shop.folder, "m.p.", None).role_for(None) == "keeper"
    # To a keeper the role of somebody else is no matter: they release as a keeper.
    assert releaser_of(shop.folder, "M. P.", SUPERVISOR).role_for(SUPERVISOR) == "keeper"
    for name, role in (("K. O.", None), ("K. O.", "Keeper"), ("K. O.", SUPERVISOR), ("…", "Cook")):
        with pytest.raises(InputError, match="does not know") as told:
            releaser_of(shop.folder, name, role)
        assert "account" in told.value.remedy
    account(shop, "S. V.", SUPERVISOR, password=hash_of(SECRET))
    account(shop, "X. Y.", SUPERVISOR, disabled=True)
    for role in (None, "supervisor of the Tool Room"):
        assert releaser_of(shop.folder, "s.v.", role).role_for(SUPERVISOR) == SUPERVISOR
    with pytest.raises(InputError, match=r"does not know 'S\. V\.' as Foreman"):
        releaser_of(shop.folder, "S. V.", "Foreman")
    with pytest.raises(InputError, match=r"does not know 'X\. Y\.'"):
        releaser_of(shop.folder, "X. Y.", SUPERVISOR)
    with pytest.raises(InputError, match=r"does not know 'K\. O\.' as Super"):
        account(shop, "K. O.", "Cook")
        call("release", shop.folder, UNIT, guide(shop), "--by", "K. O.", "--why", "Fine",
             "--role", SUPERVISOR)  # fmt: skip
    let = ("release", shop.folder, UNIT, guide(shop), "--by", "S. V.", "--why", "Renewed")
    with pytest.raises(InputError, match="nobody to ask for the password"):
        call(*let)
    monkeypatch.setenv("REELWRIGHT_PASSPHRASE", f"not {SECRET}")
    with pytest.raises(InputError, match=r"not the password of 'S\. V\.'"):
        call(*let)
    monkeypatch.setenv("REELWRIGHT_PASSPHRASE", SECRET)
    done = call(*let)
    assert done.stdout == f"Released by S. V., {SUPERVISOR}: The guide block is worn\n"


def test_a_library_that_knows_nobody_keeps_that_a_role_was_stated(shop: Shop) -> None:
    with pytest.raises(InputError, match="may not release") as told:
        call("release", shop.folder, UNIT, guide(shop), "--by", "S. V.", "--why", "Renewed",
             "--role", "Keeper")  # fmt: skip
    assert "--role" in told.value.remedy
    done = call("release", shop.folder, UNIT, guide(shop), "--by", "S. V.", "--why", "Renewed",
                "--role", SUPERVISOR, "--json")  # fmt: skip
    plain = json.loads(done.stdout)
    assert plain["results"][0]["role"] == f"{SUPERVISOR} (as stated)"
    assert plain["notes"] == [NOBODY_KNOWN]
    (let,) = unit_report(shop.folder, UNIT).value.released
    assert let.released is not None
    assert let.released.role == f"{SUPERVISOR} (as stated)"
    assert list(record_faults(shop)) == []


def test_who_answers_and_who_sends_is_told_of_or_refused(shop: Shop) -> None:
    question = questions(shop.folder).value[0].id
    assert answer_as(shop.folder, question, "Arrow up", "A. R.").notes == (NOBODY_KNOWN,)
    people(shop, {"name": "M. P.", "roles": ["keeper"]}, {"name": "K. O.", "roles": ["reader"]})
    for name in ("K. O.", "A. R."):
        with pytest.raises(InputError, match="no author, reviewer or keeper"):
            answer_as(shop.folder, question, "Arrow down", name)
    assert answer_as(shop.folder, question, "Seam behind", "m. p.").notes == ()
    # Whoever wrote the procedure answers, known to the library or not.
    assert answer_as(shop.folder, question, "Both", "W. R.").notes == (
        "The library does not know 'W. R.'",
    )
    listed = call("questions", shop.folder).stdout
    assert "A. R., not known to the library, 20" in listed
    assert "m. p., 20" in listed
    plain = json.loads(call("questions", shop.folder, "--json").stdout)
    assert [one["known"] for one in plain["results"][0]["answers"]] == [False, True, False]
    assert sender_notes(shop.folder, "K. O.") == ()
    assert sender_notes(shop.folder, "N. N.") == ("The library does not know 'N. N.'",)


def test_who_answers_by_a_key_shows_that_it_is_theirs(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("REELWRIGHT_KEYS", str(tmp_path / "keys"))
    monkeypatch.setenv("REELWRIGHT_PASSPHRASE", SECRET)
    mine, other = (make_key(name, "keeper", SECRET) for name in ("K. K.", "O. O."))
    public, signer = read_public_key(mine.public), open_key(mine.private, SECRET)
    admit(shop.folder, public, "K. K.", ("keeper",), signer)
    question = questions(shop.folder).value[0].id
    asked = ("answer", shop.folder, question, "Arrow up", "--by")
    # Neither a name that the procedure has as its author nor another key is a proof.
    for name, said, *more in (
        ("W. R.", "no key and no account"),
        ("K. K.", "not a key of", "--key", other.private),
    ):
        with pytest.raises(InputError, match=said):
            call(*asked, name, *more)
    monkeypatch.setenv("REELWRIGHT_PASSPHRASE", f"not {SECRET}")
    with pytest.raises(InputError, match="passphrase"):
        call(*asked, "K. K.")
    assert questions(shop.folder).value[0].answers == ()
    monkeypatch.setenv("REELWRIGHT_PASSPHRASE", SECRET)
    assert "k. k., 20" in call(*asked, "k. k.").stdout


def test_accounts_that_cannot_be_read_are_not_taken_for_none(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    account(shop, "S. V.", SUPERVISOR)
    file = accounts_file(shop.folder)
    file.write_text("{}x")
    with pytest.raises(InputError, match="the accounts cannot be read"):
        people_of(open_shop(shop.folder))
    monkeypatch.setattr(os, "access", lambda *_: False)  # as to a user whose folder it is not
    known = people_of(open_shop(shop.folder))
    assert (known.any, known.unread, known.strange(("N. N.",))) == (True, True, ())
    with pytest.raises(InputError, match="its accounts can be read by their owner alone"):
        releaser_of(shop.folder, "S. V.", SUPERVISOR)
