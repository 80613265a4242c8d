"""Saves are whole or not at all, at whatever moment the program is killed."""

import errno
import json
import os
import shutil
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from author import storage
from author.errors import InputError, MachineError
from author.folder_exchange import hold_lock
from author.storage import (
    MANIFEST,
    file_sha256,
    new_generation,
    read_manifest,
    replace_file,
    without_links,
)

ROOT = Path(__file__).resolve().parents[1]

# Publishes a small folder and kills itself without warning at the step whose number it
# is given; prints the number of steps when it gets through.
KILLED_RUN = textwrap.dedent("""
    import os, signal, sys
    from pathlib import Path
    from author import folder_exchange, storage

    target, text, fatal, at_once = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]), sys.argv[4]
    steps = 0

    def killer(what, path):
        global steps
        steps += 1
        if steps == fatal:
            os.kill(os.getpid(), signal.SIGKILL)

    storage.before_step = killer
    if at_once == "no":
        folder_exchange._exchange_at_once = lambda one, other: False
    with storage.new_generation(target) as generation:
        generation.write("procedure.yaml", text.encode())
        generation.write("clips/01-a.mp4", text.encode() * 500)
        generation.commit({"shows": text})
    print(steps)
""")


def run_killed(target: Path, text: str, fatal: int, at_once: str = "yes") -> int | None:
    done = subprocess.run(
        [sys.executable, "-c", KILLED_RUN, target, text, str(fatal), at_once],
        cwd=ROOT,
        check=False,
        capture_output=True,
        text=True,
    )
    if done.returncode == 0:
        return int(done.stdout)
    assert done.returncode == -9, done.stderr
    return None


def content(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_killed_at_every_step_leaves_the_old_or_the_new(tmp_path: Path) -> None:
    total = run_killed(tmp_path / "count", "old", 0)
    assert total is not None and total > 8
    reference = {}
    for text in ("old", "new"):
        run_killed(tmp_path / text, text, 0)
        reference[text] = content(tmp_path / text)
    outcomes = set()
    for fatal in range(1, total + 2):
        target = tmp_path / f"case-{fatal}" / "out"
        target.parent.mkdir()
        run_killed(target, "old", 0)
        run_killed(target, "new", fatal)
        found = content(target)
        outcomes.add("old" if found == reference["old"] else "new")
        assert found in (reference["old"], reference["new"]), f"mixed at step {fatal}"
        assert run_killed(target, "new", 0) is not None, "a later run mends and goes on"
        assert content(target) == reference["new"]
        assert [p.name for p in target.parent.iterdir()] == ["out"], "leftovers are tidied"
    assert outcomes == {"old", "new"}


def test_without_exchange_a_finished_run_is_whole(tmp_path: Path) -> None:
    target = tmp_path / "out"
    run_killed(target, "old", 0, "no")
    run_killed(target, "new", 0, "no")
    assert content(target)["procedure.yaml"] == b"new"
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_without_exchange_a_run_killed_between_renames_is_mended(tmp_path: Path) -> None:
    target = tmp_path / "out"
    run_killed(target, "old", 0)
    target.rename(tmp_path / ".out.new-0123abcd-old")
    with pytest.raises(KeyboardInterrupt), new_generation(target):
        raise KeyboardInterrupt
    assert content(target)["procedure.yaml"] == b"old"


def publish_text(target: Path, **files: str) -> None:
    with new_generation(target) as generation:
        for name, text in files.items():
            generation.write(name, text.encode())
        generation.commit({})


def test_files_that_are_not_ours_stay(tmp_path: Path) -> None:
    target = tmp_path / "out"
    publish_text(target, one="1", two="2")
    (target / "my notes.txt").write_text("mine")
    (target / "sub").mkdir()
    (target / "sub" / "more.txt").write_text("more")
    (target / "two").write_text("changed by hand")
    publish_text(target, one="11", two="22")
    assert {k: v for k, v in content(target).items() if k != MANIFEST} == {
        "one": b"11",
        "two": b"22",
        "two.kept": b"changed by hand",
        "my notes.txt": b"mine",
        "sub/more.txt": b"more",
    }


def test_outputs_of_an_earlier_run_are_removed_when_no_longer_made(tmp_path: Path) -> None:
    publish_text(tmp_path / "out", one="1", two="2")
    publish_text(tmp_path / "out", one="1")
    assert set(content(tmp_path / "out")) == {"one", MANIFEST}


def test_a_folder_with_other_files_is_refused(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear")
    with pytest.raises(InputError, match="did not make"), new_generation(tmp_path):
        pass
    assert content(tmp_path) == {"letter.txt": b"dear"}


def test_manifest_names_every_file_with_its_fingerprint(tmp_path: Path) -> None:
    publish_text(tmp_path / "out", one="1")
    manifest = read_manifest(tmp_path / "out")
    assert manifest is not None
    assert manifest["files"] == {"one": file_sha256(tmp_path / "out" / "one")}


@pytest.mark.parametrize("text", ["", "[]", "{", '{"format": "other/1"}', '{"files": 3}'])
def test_a_strange_manifest_is_nobody(tmp_path: Path, text: str) -> None:
    (tmp_path / MANIFEST).write_text(text)
    assert read_manifest(tmp_path) is None


def test_a_fault_while_building_leaves_nothing(tmp_path: Path) -> None:
    target = tmp_path / "out"
    publish_text(target, one="1")
    with pytest.raises(ZeroDivisionError), new_generation(target) as generation:
        generation.write("one", b"2")
        raise ZeroDivisionError
    assert content(target)["one"] == b"1"
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_two_runs_at_once_are_kept_apart(tmp_path: Path) -> None:
    target = tmp_path / "out"
    with (
        hold_lock(tmp_path / ".out.lock", target),
        pytest.raises(InputError, match="another run"),
        new_generation(target),
    ):
        pass


def test_replacing_a_file_keeps_the_old_one_when_the_disk_is_full(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "kept.txt"
    path.write_bytes(b"old")

    def full(what: str, where: Path) -> None:
        if what == "rename":
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(storage, "before_step", full)
    with pytest.raises(MachineError, match="disk is full"):
        replace_file(path, b"new")
    assert content(tmp_path) == {"kept.txt": b"old"}


def test_a_place_that_cannot_be_written_is_the_users_to_mend(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(InputError, match="file, not a folder"):
        replace_file(tmp_path / "file" / "below.png", b"")
    with pytest.raises(InputError), new_generation(tmp_path / "file" / "out"):
        pass


def test_a_really_full_disk_is_the_machines_fault(tmp_path: Path) -> None:
    with pytest.raises(OSError) as caught:
        storage.write_file(Path("/dev/full"), b"x" * 100_000)
    assert isinstance(storage.file_error(caught.value, "x"), MachineError)


def test_a_bound_on_the_size_of_files_is_the_machines_fault() -> None:
    error = OSError(errno.EFBIG, "File too large")
    assert isinstance(storage.file_error(error, "x"), MachineError)


def test_a_link_as_target_is_refused(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "out").symlink_to(tmp_path / "real")
    with pytest.raises(InputError, match="link"), new_generation(tmp_path / "out"):
        pass


@pytest.mark.parametrize("kind", ["pipe", "link to a pipe", "circle", "nowhere", "no name"])
def test_what_is_no_file_is_never_written_over(tmp_path: Path, kind: str) -> None:
    """A device that a file is renamed over is gone for the whole machine."""
    place = tmp_path / "out.json"
    if kind == "pipe":
        os.mkfifo(place)
    elif kind == "link to a pipe":
        os.mkfifo(tmp_path / "pipe")
        place.symlink_to("pipe")
    elif kind == "no name":
        place = Path()
    else:
        place.symlink_to("out.json" if kind == "circle" else "nowhere/at/all")
    before = {path.name: path.lstat().st_mode for path in tmp_path.iterdir()}
    with pytest.raises(InputError) as told:
        replace_file(place, b"x")
    assert told.value.remedy
    assert {path.name: path.lstat().st_mode for path in tmp_path.iterdir()} == before


@pytest.mark.skipif(not hasattr(os, "chown"), reason="this system knows no groups of files")
def test_a_file_that_a_group_shares_stays_with_the_group(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A shop's folder belongs to a group; who saves in it is of others as well."""
    kept = tmp_path / "kept.yaml"
    kept.write_bytes(b"old")
    own = kept.stat().st_gid
    given: list[tuple[int, int]] = []
    monkeypatch.setattr(os, "chown", lambda _, user, group: given.append((user, group)))
    plain = Path.stat

    def shared(path: Path, **how: bool) -> os.stat_result:
        seen = plain(path, **how)
        if path != kept:
            return seen
        return os.stat_result((*seen[:5], own + 1, *seen[6:10]))

    monkeypatch.setattr(Path, "stat", shared)
    replace_file(kept, b"new")
    assert given == [(-1, own + 1)]


@pytest.mark.skipif(sys.platform == "win32", reason="another call locks there")
def test_a_disk_that_knows_no_locks_is_told_as_such(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_locks(_handle: int, _how: int) -> None:
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    monkeypatch.setattr("fcntl.flock", no_locks)
    with pytest.raises(InputError, match=os.strerror(errno.ENOLCK)), new_generation(tmp_path / "a"):
        pass


def test_a_file_behind_a_link_is_written_and_the_link_stays(tmp_path: Path) -> None:
    """A procedure may lie on a share, with a link to it where somebody works."""
    (tmp_path / "share").mkdir()
    real = tmp_path / "share" / "kept.yaml"
    real.write_bytes(b"old")
    real.chmod(0o640)
    (tmp_path / "near").symlink_to("share/kept.yaml")
    link = tmp_path / "procedure.yaml"
    link.symlink_to("near")
    replace_file(link, b"new")
    assert link.is_symlink()
    assert (real.read_bytes(), real.stat().st_mode & 0o777) == (b"new", 0o640)
    assert [path.name for path in real.parent.iterdir()] == ["kept.yaml"]
    replace_file(link, b"own", follow=False)
    assert not link.is_symlink()
    assert (link.read_bytes(), real.read_bytes()) == (b"own", b"new")


def test_a_full_disk_behind_a_link_leaves_both_as_they_were(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "real").write_bytes(b"old")
    link = tmp_path / "link"
    link.symlink_to("real")

    def full(what: str, where: Path) -> None:
        if what == "rename":
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(storage, "before_step", full)
    with pytest.raises(MachineError, match="disk is full"):
        replace_file(link, b"new")
    assert link.is_symlink()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["link", "real"]
    assert link.read_bytes() == b"old"


def test_a_link_that_leads_back_to_itself_is_told(tmp_path: Path) -> None:
    place = tmp_path / "loop"
    place.symlink_to("loop")
    try:
        assert without_links(place / "in")  # Python from 3.13 on names it as it stands
    except InputError as told:
        assert told.remedy


def test_manifest_is_plain_json(tmp_path: Path) -> None:
    publish_text(tmp_path / "out", one="1")
    shutil.copytree(tmp_path / "out", tmp_path / "copy")
    assert json.loads((tmp_path / "copy" / MANIFEST).read_text())["format"]


def test_a_manifest_nested_without_end_is_none(tmp_path: Path) -> None:
    (tmp_path / MANIFEST).write_text("[" * 200_000)
    assert read_manifest(tmp_path) is None
