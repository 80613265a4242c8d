"""The commands as a shop uses them, from the first key to the approved procedure."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path

import click
import pytest

from author.cli.library_answers import say_due, say_found, say_order
from author.cli.library_signing import COMMANDS
from author.contract import read_procedure
from author.contract.review_file import read_review, review_bytes
from author.errors import ReelwrightError
from author.library.asking.query import Filters
from author.library.shelves.shelving import Shelved
from author.library.shop import new_shop
from author.library.signing.glance import NOT_LOOKED_AT
from author.library.signing.keys import new_signer, public_pem
from author.progress import Cancel
from author.publish.published_yaml import published_yaml
from author.storage import new_generation
from author.tasks.library_finding import due_in, find_in, order_from
from author.tasks.library_keys import make_key
from author.tasks.library_shelves import shelve_folders

from .bench_shop import ID, KEEPER, BenchShop, make

PASSPHRASE = "four words of test"  # noqa: S105 - of the tests alone
Run = Callable[..., tuple[int, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Run a command; its exit code and what it printed, or the error in one line."""
    group = click.Group("library", commands=COMMANDS)

    def call(*arguments: object) -> tuple[int, str]:
        try:
            code = group.main(list(map(str, arguments)), standalone_mode=False, obj=Cancel())
        except ReelwrightError as error:
            assert "\n" not in str(error)
            return error.exit_code, str(error)
        return code or 0, capsys.readouterr().out

    return call


@pytest.fixture(scope="module")
def own_keys(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Keys of a keeper, an author and a reviewer, all under one passphrase."""
    folder = tmp_path_factory.mktemp("keys")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("REELWRIGHT_KEYS", str(folder))
        patch.setenv("REELWRIGHT_PASSPHRASE", PASSPHRASE)
        for name, role in (("K. Keeper", "keeper"), ("A. Author", "author"), ("R. R", "reviewer")):
            make_key(name, role, PASSPHRASE)
        yield folder


def test_from_the_first_key_to_the_approved_procedure(
    own_keys: Path, run: Run, tmp_path: Path
) -> None:
    folder = tmp_path / "shop"
    new_shop(folder, "Demo tool room")
    shop = BenchShop(folder)
    shop.put()
    assert "nothing in it is signed" in run("verify", folder)[1]
    keeper = ("--key", "K. Keeper")
    code, text = run("admit", folder, own_keys / "k-keeper.public.pem", *keeper)
    assert (code, "founded by K. Keeper, keeper" in text) == (0, True)
    run("admit", folder, own_keys / "a-author.public.pem", *keeper)
    more = ("--name", "R. Reviewer", "--role", "reviewer", "--role", "author")
    code, text = run("admit", folder, own_keys / "r-r.public.pem", *more, *keeper, "--json")
    assert json.loads(text)["roles"] == ["reviewer", "author"]

    code, text = run("sign", folder, "belt-change", "--purpose", "authored", "--key", "A. Author")
    assert (code, "belt-change, revision 2: authored by A. Author" in text) == (0, True)
    run("state", folder, "belt-change", "in_review", "--key", "A. Author")
    code, text = run("state", folder, "belt-change", "approved", "--key", "A. Author")
    assert (code, "nobody judges own work" in text) == (2, True)
    shop.accept()
    reviewer = ("--key", own_keys / "r-r.key.pem")
    code, text = run("state", folder, "belt-change", "approved", *reviewer, "--json")
    plain = json.loads(text)
    assert (plain["state"], plain["name"], plain["notes"]) == ("approved", "R. Reviewer", [])
    assert Path(plain["file"]).is_file()

    code, text = run("verify", folder)
    assert (code, text.split("\n")[0]) == (0, "1 of 1 procedures signed; everything is as signed.")
    code, text = run("audit", folder)
    assert (code, "belt-change  revision 2  approved  R. Reviewer" in text) == (0, True)
    code, text = run("history", folder, "belt-change", "--json")
    assert [act["purpose"] for act in json.loads(text)["acts"]] == [
        "authored",
        "in_review",
        "approved",
    ]
    code, text = run("history", folder, "belt-change")
    assert len(text.strip().split("\n")) == 3
    code, text = run("history", folder, "--head-to", tmp_path / "heads.json")
    assert "founded   K. Keeper (keeper;" in text
    assert json.loads((tmp_path / "heads.json").read_text())["procedures"].keys() == {"belt-change"}

    code, text = run("revoke", folder, "A. Author", "--reason", "Left", *keeper)
    assert (code, "revoked   A. Author" in text, "“Left”" in text) == (0, True, True)
    shop.edit('upper: "45"', 'upper: "95"')
    code, text = run("verify", folder, "belt-change", "--head", tmp_path / "heads.json")
    assert (code, "not everything is as signed" in text) == (1, True)
    code, text = run("audit", folder, "--json")
    told = json.loads(text)
    assert (code, told["as_signed"], told["procedures"][0]["as_signed"]) == (1, False, False)
    assert "procedure.yaml was changed" in told["procedures"][0]["problems"][0]["problem"]


def test_a_new_key(own_keys: Path, run: Run, tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("some longer words\nmore\n")
    code, text = run("key", "N. New", "--role", "author", "--passphrase-file", secret, "--json")
    plain = json.loads(text)
    assert (code, Path(plain["private"]).parent) == (0, own_keys)
    assert "Name: N. New\nRole: author" in Path(plain["public"]).read_text()


def _no_key(shop: Path, keys: Path) -> list[object]:
    return ["sign", shop, "belt-change", "--purpose", "authored", "--key", "Nobody"]


def _public_as_private(shop: Path, keys: Path) -> list[object]:
    key = keys / "a-author.public.pem"
    return ["sign", shop, "belt-change", "--purpose", "authored", "--key", key]


def _wrong_passphrase(shop: Path, keys: Path) -> list[object]:
    wrong = keys / "wrong.txt"
    wrong.write_text("something else\n")
    more = ["--key", "A. Author", "--passphrase-file", wrong]
    return ["sign", shop, "belt-change", "--purpose", "authored", *more]


def _no_passphrase_file(shop: Path, keys: Path) -> list[object]:
    more = ["--key", "A. Author", "--passphrase-file", keys / "none.txt"]
    return ["sign", shop, "belt-change", "--purpose", "authored", *more]


def _passphrase_of_bytes(shop: Path, keys: Path) -> list[object]:
    (keys / "bytes.txt").write_bytes(b"\xff\xfe\x00")
    more = ["--key", "A. Author", "--passphrase-file", keys / "bytes.txt"]
    return ["state", shop, "belt-change", "in_review", *more]


def _no_library(shop: Path, keys: Path) -> list[object]:
    return ["verify", keys]


def _no_head(shop: Path, keys: Path) -> list[object]:
    return ["verify", shop, "--head", keys / "a-author.public.pem"]


def _no_role(shop: Path, keys: Path) -> list[object]:
    file = keys / "bare.pem"
    file.write_bytes(public_pem(KEEPER.public, "X", "president"))
    return ["admit", shop, file, "--key", "K. Keeper"]


def _no_day(shop: Path, keys: Path) -> list[object]:
    return ["revoke", shop, "A. Author", "--from", "yesterday", "--key", "K. Keeper"]


def _two_lines(shop: Path, keys: Path) -> list[object]:
    return ["state", shop, "belt-change", "in_review", "--reason", "a\nb", "--key", "K. Keeper"]


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        (_no_key, "there is no key of 'Nobody'"),
        (_public_as_private, "no private Ed25519 key"),
        (_wrong_passphrase, "the passphrase does not open this key"),
        (_no_passphrase_file, "there is no such file"),
        (_passphrase_of_bytes, "this is no text"),
        (_no_library, "there is no library here"),
        (_no_head, "no heads of histories"),
        (_no_role, "the file names no role"),
        (_no_day, "which is no day"),
        (_two_lines, "has a line end"),
    ],
)
def test_one_clear_error(
    own_keys: Path,
    run: Run,
    tmp_path: Path,
    arguments: Callable[[Path, Path], list[object]],
    expected: str,
) -> None:
    new_shop(tmp_path / "shop", "Demo")
    BenchShop(tmp_path / "shop").put()
    code, text = run(*arguments(tmp_path / "shop", own_keys))
    assert (code, expected in text) == (2, True), text


def test_nobody_to_ask(own_keys: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("REELWRIGHT_PASSPHRASE")
    code, text = run("key", "Z. Z", "--role", "author")
    assert (code, "nobody to ask for the passphrase" in text) == (2, True)


def test_the_passphrase_is_typed_twice_without_echo(
    own_keys: Path,
    run: Run,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv("REELWRIGHT_PASSPHRASE")
    asked = []

    def prompt(text: str, **options: object) -> str:
        asked.append(options)
        return PASSPHRASE

    monkeypatch.setattr("author.cli.library_keys.click.prompt", prompt)
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    code, _ = run("key", "T. Typed", "--role", "author")
    assert code == 0
    assert asked == [{"hide_input": True, "confirmation_prompt": True, "err": True}]


def test_what_stands_in_files_is_shown_as_text(run: Run, tmp_path: Path) -> None:
    shop = make(tmp_path / "shop", approved=False)
    (shop.folder / "procedures" / "x\x1b[31m").mkdir()
    code, text = run("verify", shop.folder)
    assert code == 1
    assert "\x1b" not in text


def _shelved(shop: BenchShop, desk: Path, text: str, **options: bool) -> Shelved:
    """Shelve a revision of the bench procedure, from a desk that remembers nothing."""
    (desk / ".on-the-shelf.json").unlink(missing_ok=True)
    (desk / "procedure.yaml").write_text(text, encoding="utf-8")
    (done,) = shelve_folders(shop.folder, [desk], **options)
    return done


def test_an_audit_tells_each_revision_and_who_signed_it_off(
    approved: BenchShop, run: Run, tmp_path: Path
) -> None:
    shop, desk = approved, tmp_path / "desk"
    desk.mkdir()
    text = shop.file.read_text(encoding="utf-8")
    text = text.replace("revision: 2\nstate: approved", "revision: 3\nstate: draft")
    assert _shelved(shop, desk, text).notes == ()
    sheet = (shop.procedure / "revisions/2/review.yaml").read_text(encoding="utf-8")
    sheet = sheet.replace("revision: 2", "revision: 3")
    sheet = sheet.replace("R. Reviewer", "a.r.", 1).replace("R. Reviewer", "N. N.", 1)
    (desk / "review.yaml").write_text(sheet, encoding="utf-8")
    shelved = _shelved(shop, desk, text.replace('upper: "45"', 'upper: "46"'), replace=True)
    told = (
        "a.r. wrote it and signed off 'stays-dead': somebody else has to",
        "'grooves' signed off by N. N., whom the library does not know",
    )
    stale = "'belt-tension' or what it rests on was changed after 2026-09-14"
    assert shelved.notes == (f"Sign-offs do not count any more: {stale}", *told)
    code, out = run("audit", shop.folder)
    assert (code, out.splitlines()[:5]) == (
        0,
        [
            "belt-change  revision 3  draft  nobody has signed",
            "belt-change  revisions/2  approved, in force  R. Reviewer, reviewer, 2026-09-14  "
            "as signed",
            "belt-change  revisions/3-replaced-1  draft  nobody has signed  "
            "put aside for another content",
            *(f"procedures/belt-change/review.yaml: {one}." for one in told),
        ],
    )
    older = shop.procedure / "revisions/2/procedure.yaml"
    older.write_text(older.read_text().replace('upper: "45"', 'upper: "95"'))
    code, out = run("audit", shop.folder)
    assert (code, out.splitlines()[1].rpartition("  ")[2]) == (
        1,
        "NOT as signed: procedure.yaml was changed",
    )
    # What work goes by without anybody having signed it is against the signatures.
    older.write_text(text.replace("revision: 3\nstate: draft", "revision: 1\nstate: approved"))
    older.parent.rename(shop.procedure / "revisions/1")
    code, out = run("audit", shop.folder, "--json")
    (plain,) = json.loads(out)["procedures"]
    assert [one["problem"] for one in plain["problems"] if "work goes by" in one["problem"]] == [
        "work goes by this revision, and it says approved, and nobody has signed that"
    ]
    assert [(one["folder"], one["in_force"]) for one in plain["revisions"]] == [
        ("revisions/1", True),
        ("revisions/3-replaced-1", False),
    ]


def test_an_audit_tells_what_is_published_and_behind(draft: BenchShop, run: Run) -> None:
    procedure = read_procedure(draft.procedure).procedure
    for state, content in (("draft", procedure), ("in_review", procedure)):
        stored = content.model_copy(update={"state": state})
        digest = hashlib.sha256(published_yaml(stored) + b"draft").hexdigest()
        with new_generation(draft.procedure / "published") as generation:
            generation.write("page/index.html", b"a page")
            generation.commit({"procedure": ID, "revision": 2, "shows": {"page": digest}})
        assert "publish again" not in run("audit", draft.folder)[1]
    draft.edit('upper: "45"', 'upper: "46"')
    code, out = run("audit", draft.folder)
    assert (code, "what is published is behind the file (page): publish again" in out) == (0, True)
    draft.edit("revision: 2\nstate", "revision: 3\nstate")
    said = "this shows revision 2, and the file is revision 3: publish again"
    assert said in run("audit", draft.folder)[1]
    # While that revision is kept and this one is written, its pages are what work goes by.
    (draft.procedure / "revisions" / "2").mkdir(parents=True)
    assert said not in run("audit", draft.folder)[1]


def _doubts(shop: BenchShop) -> set[str | None]:
    """Return what finding, ordering and the list of due reviews say of the procedure."""
    found = find_in(shop.folder, "belt", Filters(older=True), 9).value.results
    order = order_from(shop.folder, [ID]).value
    due = due_in(shop.folder, "2040-01-01").value
    return {*(one.doubt for one in (*found, *due)), order.doubts.get(ID)}


def test_who_finds_orders_or_reviews_is_told_of_sign_offs_changed_after_approval(
    approved: BenchShop, run: Run
) -> None:
    sheet = approved.procedure / "review.yaml"
    signed = sheet.read_bytes()
    said = read_review(approved.procedure)
    assert said is not None
    *others, last = said.sign_offs
    query = last.model_copy(update={"verdict": "queried", "note": "Is that so?"})
    changed = review_bytes(said.model_copy(update={"sign_offs": (*others, query)}))
    for left in (changed, signed.replace(b"R. Reviewer", b"A. Nobody"), None):
        sheet.unlink(missing_ok=True)
        if left is not None:
            sheet.write_bytes(left)
        assert run("audit", approved.folder)[0] == 1
        assert _doubts(approved) == {"its sign-offs were changed since it was signed"}
    sheet.write_bytes(signed)
    assert _doubts(approved) == {None}


def test_finding_says_what_it_did_not_look_at_of_what_is_approved(approved: BenchShop) -> None:
    assert find_in(approved.folder, "belt", Filters(), 9).notes[-1] == NOT_LOOKED_AT
    approved.edit('upper: "45"', 'upper: "95"')
    assert find_in(approved.folder, "belt", Filters(), 9).notes == ()


def test_who_finds_orders_or_reviews_is_told_of_a_change_after_approval(
    approved: BenchShop,
) -> None:
    assert _doubts(approved) == {None}
    signed = approved.file.read_text(encoding="utf-8")
    approved.edit('upper: "45"', 'upper: "95"')
    assert _doubts(approved) == {"changed since it was signed"}
    with redirect_stdout(StringIO()) as said:
        say_found(find_in(approved.folder, "belt", Filters(), 9).value)
        say_due(due_in(approved.folder, "2040-01-01").value)
        say_order(order_from(approved.folder, [ID]).value)
    assert said.getvalue().count("says approved, changed since it was signed") == 3
    approved.file.write_text(signed.replace("state: approved", "state: superseded"))
    assert _doubts(approved) == {"by its history it is approved"}
    approved.file.write_text(signed.replace("revision: 2", "revision: 3"))
    assert _doubts(approved) == {"nobody has signed that"}
    # A draft may change as it likes, and whoever signs with a key of their own signs nothing.
    approved.file.write_text(signed.replace("state: approved", "state: draft"))
    assert _doubts(approved) == {None}
    approved.file.write_text(signed)
    approved.forge(new_signer())
    assert _doubts(approved) == {"its signature does not hold"}
