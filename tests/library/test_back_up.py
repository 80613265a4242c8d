"""A library goes into one archive and comes back as it was, or not at all."""

from __future__ import annotations

import errno
import hashlib
import os
import shutil
import stat
import subprocess
import tracemalloc
import zipfile
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
from library_signing.bench_shop import BenchShop, make

from author.errors import Cancelled, InputError, MachineError
from author.library import locking
from author.library.asking.query import Filters
from author.library.locking import writing
from author.library.shelves import bagging, restoring, unbagging
from author.library.shelves.bagging import back_up
from author.library.shop import IGNORED, new_shop, open_shop
from author.progress import Cancel
from author.tasks.library_audit import verify
from author.tasks.library_back_up import back_up_library, check_back_up, restore_library
from author.tasks.library_finding import find_in

from .shops import procedure, put
from .test_command import call

Entries = dict[str, bytes]


@pytest.fixture(scope="module")
def signed(tmp_path_factory: pytest.TempPathFactory) -> BenchShop:
    """A signed library with a record, an index, accounts, and an older revision."""
    shop = make(tmp_path_factory.mktemp("signed") / "shop")
    record = shop.folder / "records" / "bench-drill" / "1"
    record.mkdir(parents=True)
    (record / "record.json").write_text('{"schema": "job_record/1"}')
    (record / "50 %.txt").write_text("a name with a per cent sign")
    (shop.folder / ".accounts").mkdir()
    (shop.folder / ".accounts" / "accounts.json").write_text("{}")
    ids_of(shop.folder, "belt")
    return shop


@pytest.fixture
def archive(signed: BenchShop, tmp_path: Path) -> Path:
    back_up_library(signed.folder, tmp_path / "shop.zip")
    return tmp_path / "shop.zip"


def content(folder: Path) -> Entries:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and not path.relative_to(folder).parts[0].startswith((".index", ".lock"))
    }


def ids_of(folder: Path, words: str) -> list[str]:
    return [one.procedure for one in find_in(folder, words, Filters(), 50).value.results]


def names(archive: Path) -> list[str]:
    with zipfile.ZipFile(archive) as opened:
        return opened.namelist()


def test_there_and_back(signed: BenchShop, archive: Path, tmp_path: Path) -> None:
    to = tmp_path / "there" / "again"
    shop, done = restore_library(archive, to)
    was = {name: data for name, data in content(signed.folder).items() if ".accounts" not in name}
    assert sorted(content(to)) == sorted(was)
    assert all(content(to)[name] == data for name, data in was.items())
    assert (done.files, done.accounts) == (len(was), False)
    report = verify(to)
    assert report.all_problems == ()
    assert report.founded == verify(signed.folder).founded
    for words in ("belt", "drill", "caliper"):
        assert ids_of(signed.folder, words) == ids_of(to, words)
    assert ids_of(to, "belt") != []
    assert shop.sheet == open_shop(signed.folder).sheet
    assert (to / IGNORED).read_text().count(".index") == 1


def test_a_bag_of_the_published_form_that_other_tools_check(archive: Path, tmp_path: Path) -> None:
    """RFC 8493, 2.1 and 4: tag files, one folder of the archive's name, sha256sum."""
    with zipfile.ZipFile(archive) as opened:
        assert opened.testzip() is None
        opened.extractall(tmp_path / "out")
    assert [one.name for one in (tmp_path / "out").iterdir()] == ["shop"]
    bag = tmp_path / "out" / "shop"
    assert (bag / "bagit.txt").read_text() == (
        "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    )
    files = [one for one in (bag / "data").rglob("*") if one.is_file()]
    oxum = f"Payload-Oxum: {sum(one.stat().st_size for one in files)}.{len(files)}\n"
    assert oxum in (bag / "bag-info.txt").read_text()
    listed = (bag / "manifest-sha256.txt").read_text()
    assert "50 %25.txt" in listed  # RFC 8493, 2.1.3
    sums = ["sha256sum", "--check", "--strict"]
    subprocess.run([*sums, "tagmanifest-sha256.txt"], cwd=bag, check=True, capture_output=True)
    # That tool knows no encoding of the per cent sign.
    (bag / "manifest-sha256.txt").write_text(listed.replace("%25", "%"))
    subprocess.run([*sums, "manifest-sha256.txt"], cwd=bag, check=True, capture_output=True)
    assert listed.count("\n") == len(files)


def test_one_library_gives_the_same_bytes(signed: BenchShop, archive: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    shutil.copytree(signed.folder, copy)
    for path in copy.rglob("*"):
        os.utime(path, (1_700_000_000, 1_700_000_000))
    (tmp_path / "b").mkdir()
    back_up_library(copy, tmp_path / "b" / "shop.zip")
    digests = {hashlib.sha256(one.read_bytes()).hexdigest()
               for one in (archive, tmp_path / "b" / "shop.zip")}  # fmt: skip
    assert len(digests) == 1
    assert names(archive) == sorted(names(archive))


def test_accounts_only_where_they_are_asked_for(signed: BenchShop, tmp_path: Path) -> None:
    file = tmp_path / "all.zip"
    assert back_up_library(signed.folder, file, accounts=True).accounts
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    _, done = restore_library(file, tmp_path / "back")
    assert done.accounts
    kept = tmp_path / "back" / ".accounts"
    assert (kept / "accounts.json").read_text() == "{}"
    assert [stat.S_IMODE(one.stat().st_mode) for one in (kept, kept / "accounts.json")] == [
        0o700, 0o600,
    ]  # fmt: skip


def test_an_archive_is_replaced_and_nothing_else_is(signed: BenchShop, archive: Path) -> None:
    before = archive.read_bytes()
    killed = archive.with_name(".shop.zip.0123abcd.part")
    killed.write_bytes(b"of a run that was killed")
    with pytest.raises(InputError, match="already"):
        back_up_library(signed.folder, archive)
    assert killed.exists()
    back_up_library(signed.folder, archive, replace=True)
    assert not killed.exists()
    assert hashlib.sha256(archive.read_bytes()).digest() == hashlib.sha256(before).digest()
    other = archive.with_name("letter.zip")
    other.write_text("not ours")
    for wrong in (other, signed.folder / "in.zip"):
        with pytest.raises(InputError) as told:
            back_up_library(signed.folder, wrong)
        assert told.value.remedy
    assert other.read_text() == "not ours"


def test_who_shelves_and_who_backs_up_wait_for_one_another(
    signed: BenchShop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(locking, "one_writer", partial(locking.one_writer, wait=0.05))
    with (
        writing(open_shop(signed.folder)),
        pytest.raises(InputError, match="another run is writing"),
    ):
        back_up_library(signed.folder, tmp_path / "b.zip")
    assert not (tmp_path / "b.zip").exists()


def test_a_library_that_cannot_be_written_is_backed_up_unless_somebody_changes_it(
    signed: BenchShop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = tmp_path / "copy"
    shutil.copytree(signed.folder, copy)
    monkeypatch.setattr(os, "access", lambda *_: False)
    with writing(open_shop(copy)):  # held by whoever may write
        back_up_library(copy, tmp_path / "b.zip")
    fresh = copy / "procedures" / "late.txt"
    monkeypatch.setattr(bagging, "before_step", lambda *_: fresh.write_text("late"))
    with pytest.raises(InputError, match="changed while it was backed up"):
        back_up_library(copy, tmp_path / "c.zip")
    assert {one.name for one in tmp_path.iterdir()} == {"copy", "b.zip"}


def _changes(path: Path) -> None:
    with path.open("ab") as stream:
        stream.write(b"# by hand\n")


def test_a_file_changed_by_hand_meanwhile_is_noticed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = new_shop(tmp_path / "shop", "Demo shop")
    file = put(shop.place_of("tank-lid"), procedure("tank-lid"))
    monkeypatch.setattr(
        bagging, "before_step", lambda _what, path: _changes(path) if path == file else None
    )
    with pytest.raises(InputError, match="changed while it was backed up"):
        back_up(shop, tmp_path / "b.zip")
    assert [one.name for one in tmp_path.iterdir()] == ["shop"]


def _link(folder: Path) -> None:
    (folder / "out.jpg").symlink_to("/etc/hostname")


def _cases(folder: Path) -> None:
    (folder / "a.jpg").write_bytes(b"1")
    (folder / "A.jpg").write_bytes(b"2")


def _line_end(folder: Path) -> None:
    (folder / "a\nb").write_bytes(b"1")


@pytest.mark.parametrize("spoil", [_link, _cases, _line_end])
def test_what_could_not_be_put_back_is_not_put_in(
    tmp_path: Path, spoil: Callable[[Path], None]
) -> None:
    shop = new_shop(tmp_path / "shop", "Demo shop")
    put(shop.place_of("tank-lid"), procedure("tank-lid"))
    spoil(shop.place_of("tank-lid"))
    with pytest.raises(InputError) as told:
        back_up(shop, tmp_path / "b.zip")
    assert told.value.remedy and told.value.file
    assert [one.name for one in tmp_path.iterdir()] == ["shop"]


def test_the_commands_say_what_they_did(signed: BenchShop, tmp_path: Path) -> None:
    file, to = tmp_path / "s.zip", tmp_path / "to"
    assert "without accounts" in call("back-up", signed.folder, file).out
    assert "whole" in call("restore", file, "--check").out
    (row,) = call("restore", file, to, "--json").plain["results"]
    assert row["folder"] == str(to)
    with pytest.raises(InputError, match="already"):
        call("back-up", to, file)
    (again,) = call("back-up", to, file, "--replace", "--json").plain["results"]
    assert again["sha256"] == row["sha256"]
    for wrong in ((file,), (file, to, "--check")):
        with pytest.raises(InputError):
            call("restore", *wrong)


# --- archives that are not to be trusted ---


def bag_of(files: Entries, **tags: bytes) -> list[tuple[str, bytes]]:
    """Return the entries of a bag, lists and all."""
    listed = "".join(f"{hashlib.sha256(d).hexdigest()}  data/{n}\n" for n, d in files.items())
    entries = [("b/bagit.txt", bagging.BAGIT_TEXT), ("b/manifest-sha256.txt", listed.encode())]
    return [*entries, *((f"b/data/{name}", data) for name, data in files.items())]


SHEET = b"schema: library/1\nname: Demo\npeople: none\n"


def zipped(to: Path, entries: list[tuple[str, bytes]], **rights: int) -> Path:
    with zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in entries:
            info = zipfile.ZipInfo(name)
            info.external_attr = rights.get(name.rpartition("/")[2].partition(".")[0], 0) << 16
            archive.writestr(info, data, zipfile.ZIP_DEFLATED)
    return to


def refused(file: Path, match: str = "archive") -> None:
    """Neither a check nor a restore takes it, and nothing is left of either."""
    beside = {one.name for one in file.parent.iterdir()}
    with pytest.raises(InputError, match=match) as told:
        check_back_up(file)
    assert told.value.remedy
    with pytest.raises(InputError, match=match):
        restore_library(file, file.parent / "to")
    assert {one.name for one in file.parent.iterdir()} == beside


def test_a_bag_by_another_hand_is_taken(tmp_path: Path) -> None:
    entries = [("b/", b""), ("b/data/", b""), *bag_of({"library.yaml": SHEET})]
    shop, done = restore_library(zipped(tmp_path / "b.zip", entries), tmp_path / "to")
    assert (shop.sheet.name, done.files) == ("Demo", 1)
    assert shop.procedures.is_dir()


@pytest.mark.parametrize(
    "name",
    ["../out", "a/../../out", "/etc/out", "a//b", "./a", "C:\\out", "a\\b", "a\x07b", ".index/i",
     ".ssh/key"],
)  # fmt: skip
def test_names_that_lead_elsewhere(tmp_path: Path, name: str) -> None:
    refused(zipped(tmp_path / "b.zip", bag_of({"library.yaml": SHEET, name: b"x"})))


@pytest.mark.parametrize(
    ("names", "match"),
    [
        (("a.jpg", "A.jpg"), "same place"),
        (("\u00e4.jpg", "a\u0308.jpg"), "same place"),
        (("m/a.jpg", "M/b.jpg"), "differ only in case"),
        (("m", "m/b.jpg"), "a file and a folder"),
    ],
)
def test_names_that_meet_on_some_disk(tmp_path: Path, names: tuple[str, ...], match: str) -> None:
    files = {"library.yaml": SHEET, **dict.fromkeys(names, b"x")}
    refused(zipped(tmp_path / "b.zip", bag_of(files)), match)


def test_twice_the_same_name(tmp_path: Path) -> None:
    entries = bag_of({"library.yaml": SHEET})
    with pytest.warns(UserWarning, match="Duplicate name"):
        zipped(tmp_path / "b.zip", [*entries, entries[-1]])
    refused(tmp_path / "b.zip", "same place")


def test_links_and_pipes(tmp_path: Path) -> None:
    entries = bag_of({"library.yaml": SHEET, "link": b"/etc/passwd"})
    for kind in (stat.S_IFLNK, stat.S_IFIFO, stat.S_IFDIR):
        refused(zipped(tmp_path / "b.zip", entries, link=kind | 0o644), "is a link")


def _without(name: str) -> Callable[[list[tuple[str, bytes]]], list[tuple[str, bytes]]]:
    return lambda entries: [entry for entry in entries if entry[0] != name]


def _with(name: str, data: bytes) -> Callable[[list[tuple[str, bytes]]], list[tuple[str, bytes]]]:
    return lambda entries: [*(entry for entry in entries if entry[0] != name), (name, data)]


@pytest.mark.parametrize(
    ("change", "match"),
    [
        (_without("b/data/a.jpg"), "'a.jpg' is missing"),
        (_with("b/data/b.jpg", b"x"), "'b.jpg' is on no list"),
        (_with("b/data/a.jpg", b"another"), "not what its list says"),
        (_with("b/notes.txt", b"x"), "nothing that a back-up holds"),
        (_with("c/data/a.jpg", b"x"), "two folders"),
        (_without("b/bagit.txt"), "bagit.txt is missing"),
        (_without("b/manifest-sha256.txt"), "is missing"),
        (_without("b/data/library.yaml"), "no library in it"),
        (_with("b/bagit.txt", b"BagIt-Version: 0.97\n"), "BagIt 1.0"),
        (_with("b/manifest-sha256.txt", b"zz  data/a.jpg\n"), "no line of a list"),
        (_with("b/manifest-sha256.txt", b"\xff\xfe"), "no line of a list"),
        (_with("b/bag-info.txt", b"Payload-Oxum: 1.1\n"), "and says"),
        (_with("b/tagmanifest-sha256.txt", b"0" * 64 + b"  bagit.txt\n"), "is not what tagman"),
    ],
)
def test_bags_that_do_not_hold_together(
    tmp_path: Path,
    change: Callable[[list[tuple[str, bytes]]], list[tuple[str, bytes]]],
    match: str,
) -> None:
    entries = bag_of({"library.yaml": SHEET, "a.jpg": b"picture"})
    refused(zipped(tmp_path / "b.zip", change(entries)), match)


def test_a_sheet_that_is_wrong_is_refused_before_it_is_there(tmp_path: Path) -> None:
    file = zipped(tmp_path / "b.zip", bag_of({"library.yaml": b"schema: library/9\n"}))
    with pytest.raises(InputError, match=r"library\.yaml is wrong"):
        restore_library(file, tmp_path / "to")
    assert [one.name for one in tmp_path.iterdir()] == ["b.zip"]


def test_an_archive_that_was_cut_or_spoilt_anywhere(archive: Path, tmp_path: Path) -> None:
    data = archive.read_bytes()
    spoilt = tmp_path / "spoilt" / "b.zip"
    spoilt.parent.mkdir()
    for part in range(1, 20):
        spoilt.write_bytes(data[: len(data) * part // 20])
        refused(spoilt)
    told = 0
    for place in range(0, len(data), len(data) // 150):
        spoilt.write_bytes(data[:place] + bytes([data[place] ^ 0x55]) + data[place + 1 :])
        try:
            check_back_up(spoilt)
        except InputError:
            told += 1
    assert told > 120  # what is left are dates and rights, which nobody looks at
    spoilt.write_bytes(b"no archive")
    refused(spoilt, "damaged")


def test_a_bomb_is_told_before_anything_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = zipped(tmp_path / "b.zip", bag_of({"library.yaml": SHEET, "a": bytes(40_000_000)}))
    assert file.stat().st_size < 200_000
    usage = shutil.disk_usage(tmp_path)._replace(free=30_000_000)
    monkeypatch.setattr(shutil, "disk_usage", lambda _path: usage)
    with pytest.raises(MachineError, match="no room") as told:
        restore_library(file, tmp_path / "to")
    assert told.value.exit_code == 3
    assert "16,000,000 more have to stay free" in str(told.value)
    assert [one.name for one in tmp_path.iterdir()] == ["b.zip"]


def test_an_entry_that_holds_more_than_it_says(tmp_path: Path) -> None:
    """The sizes in the directory of the archive are changed, as a bomb has them."""
    files = {"library.yaml": SHEET, "a": bytes(3_000_000)}
    data = zipped(tmp_path / "b.zip", bag_of(files)).read_bytes()
    size = (3_000_000).to_bytes(4, "little")
    assert data.count(size) == 2
    (tmp_path / "b.zip").write_bytes(data.replace(size, (900).to_bytes(4, "little")))
    refused(tmp_path / "b.zip")


def test_a_full_disk_at_any_step_leaves_nothing(
    signed: BenchShop, archive: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full_at(fatal: int) -> Callable[[str, Path], None]:
        left = [fatal]

        def step(_what: str, path: Path) -> None:
            left[0] -= 1
            if left[0] == 0:
                raise OSError(errno.ENOSPC, "No space left on device", str(path))

        return step

    before = archive.read_bytes()
    steps = 0
    for modules, job in (
        ((bagging,), lambda: back_up_library(signed.folder, archive, replace=True)),
        ((unbagging, restoring), lambda: restore_library(archive, tmp_path / "to")),
    ):
        for fatal in range(1, 200):
            step = full_at(fatal)
            for module in modules:
                monkeypatch.setattr(module, "before_step", step)
            try:
                job()
            except MachineError as error:
                steps += 1
                assert error.exit_code == 3
                assert [one.name for one in tmp_path.iterdir()] == ["shop.zip"]
            else:
                break
        monkeypatch.undo()
        assert len(archive.read_bytes()) == len(before)
    assert steps > 12


def test_stopped_on_request_nothing_is_left(
    signed: BenchShop, archive: Path, tmp_path: Path
) -> None:
    cancel = Cancel()

    class Stopper:
        def report(self, job: str, done: int, total: int | None) -> None:
            cancel.request()

    for job in (
        lambda: back_up_library(
            signed.folder, tmp_path / "c.zip", progress=Stopper(), cancel=cancel
        ),
        lambda: restore_library(archive, tmp_path / "to", cancel=cancel),
        lambda: check_back_up(archive, cancel=cancel),
    ):
        with pytest.raises(Cancelled):
            job()
    assert [one.name for one in tmp_path.iterdir()] == ["shop.zip"]


def test_a_folder_in_use_is_never_restored_into(archive: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    restore_library(archive, tmp_path / "empty")
    with pytest.raises(InputError, match="not an empty folder"):
        restore_library(archive, tmp_path / "empty")
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    with pytest.raises(InputError, match="not an empty folder"):
        restore_library(archive, tmp_path / "link")
    (tmp_path / ".killed.new-0123abcd").mkdir()
    restore_library(archive, tmp_path / "killed")
    assert not (tmp_path / ".killed.new-0123abcd").exists()


def test_a_long_clip_goes_through_block_by_block(tmp_path: Path) -> None:
    shop = new_shop(tmp_path / "shop", "Demo shop")
    clip = shop.place_of("tank-lid") / "media" / "long.mp4"
    clip.parent.mkdir(parents=True)
    with clip.open("wb") as stream:
        stream.truncate(60_000_000)
    tracemalloc.start()
    back_up(shop, tmp_path / "b.zip")
    check_back_up(tmp_path / "b.zip")
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 8_000_000
    restore_library(tmp_path / "b.zip", tmp_path / "to")
    assert (tmp_path / "to/procedures/tank-lid/media/long.mp4").stat().st_size == 60_000_000
