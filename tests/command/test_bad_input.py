"""Whatever is wrong with the input: one line with file and remedy, and nothing is lost."""

from __future__ import annotations

import errno
import os
import shutil
from pathlib import Path

import pytest

from author import storage
from author.cli import running
from author.storage import MANIFEST

from .conftest import Run

EXAMPLES = Path(__file__).parents[2] / "schema" / "examples" / "valid"


def listing(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*")}


def make_bad(kind: str, film: Path, folder: Path) -> Path:
    path = folder / f"{kind}.mp4"
    if kind == "text":
        path.write_text("This is a letter, not a film.\n" * 50)
    elif kind == "empty":
        path.touch()
    elif kind == "folder":
        path.mkdir()
    elif kind == "headless":
        path.write_bytes(film.read_bytes()[:200])
    return path


@pytest.mark.parametrize("kind", ["missing", "text", "empty", "folder", "headless"])
@pytest.mark.parametrize("command", ["recording", "frame", "new"])
def test_what_is_no_film(run: Run, film: Path, tmp_path: Path, kind: str, command: str) -> None:
    bad = make_bad(kind, film, tmp_path)
    before = listing(tmp_path)
    arguments = {
        "recording": ["recording", bad],
        "frame": ["frame", bad, "--at", "1", "--out", "x.png"],
        "new": ["new", "job", "--recording", bad],
    }[command]
    done = run(*arguments)
    assert done.code == 2, done.err
    assert bad.name in done.problem
    assert done.problem.count(". ") >= 1, "a remedy follows the problem"
    assert listing(tmp_path) == before


def test_a_cut_film_is_told_and_the_rest_used(run: Run, film: Path, tmp_path: Path) -> None:
    whole = tmp_path / "whole.mkv"
    from recording import films

    films.ffmpeg("-i", film, "-c", "copy", whole)
    cut = tmp_path / "cut.mkv"
    cut.write_bytes(whole.read_bytes()[: whole.stat().st_size // 2])
    done = run("recording", cut)
    assert done.code == 0
    assert "damaged" in done.out
    assert run("frame", cut, "--at", "0.2", "--out", "x.png").code == 0


def edit(procedure: Path, before: str, after: str) -> None:
    file = procedure / "procedure.yaml"
    text = file.read_text()
    assert before in text
    file.write_text(text.replace(before, after, 1))


EDITS = {
    "unknown key": ("labour", "purpose: ", "pupose: ", "unknown key 'pupose'"),
    "duplicate key": ("id", "revision: 1\n", "revision: 1\nrevision: 2\n", "twice"),
    "wrong type": ("revision", "revision: 1", "revision: first", "whole number"),
    "not yaml": ("title", "title: ", "title: 'open ", "line"),
    "empty value": ("purpose", "language: en", "language:", "empty"),
    "old schema": ("schema", "procedure/1", "procedure/9", "newer"),
}


@pytest.mark.parametrize("name", EDITS)
def test_a_wrong_file_is_told_by_line(run: Run, procedure: Path, name: str) -> None:
    _, before, after, said = EDITS[name]
    edit(procedure, before, after)
    kept = (procedure / "procedure.yaml").read_bytes()
    for arguments in (["check", procedure], ["publish", procedure, "--to", "out"]):
        done = run(*arguments)
        assert done.code == 2, done.err
        first = done.err.splitlines()[0]
        assert said in first
        assert first.startswith(f"reelwright: {procedure / 'procedure.yaml'}:")
        assert "Traceback" not in done.err
    assert (procedure / "procedure.yaml").read_bytes() == kept
    assert not (procedure.parent / "out").exists()


def test_several_faults_are_told_at_once(run: Run, procedure: Path) -> None:
    edit(procedure, "revision: 1", "revision: first")
    edit(procedure, "language: en", "language: English")
    done = run("check", procedure)
    assert done.code == 2
    assert len(done.err.splitlines()) == 2


def test_a_place_that_cannot_be_written(run: Run, written: Path, film: Path) -> None:
    (written.parent / "file").write_text("x")
    for arguments in (
        ["publish", written, "--to", "file/out"],
        ["publish", written, "--to", "file"],
        ["publish", written, "--to", written],
        ["publish", written, "--to", "/proc/out"],
        ["frame", film, "--at", "1", "--out", "nowhere/x.png"],
        ["frame", film, "--at", "1", "--out", "/proc/x.png"],
        ["new", "file/job", "--recording", film],
    ):
        done = run(*arguments)
        assert done.code == 2, (arguments, done.err)
        assert done.problem


def test_a_full_disk_is_the_machines_fault(
    run: Run,
    written: Path,
    film: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A disk cannot be filled in a test everywhere: its error is raised at each write."""
    assert run("publish", written, "--to", "out", "--only", "yaml").code == 0
    (tmp_path / "old.png").write_bytes(b"old")
    kept, manifest = listing(tmp_path), (tmp_path / "out" / MANIFEST).read_bytes()

    def full(what: str, path: Path) -> None:
        if what == "write":
            raise OSError(errno.ENOSPC, "No space left on device", str(path))

    monkeypatch.setattr(storage, "before_step", full)
    monkeypatch.chdir(tmp_path)
    for arguments in (
        ["frame", str(film), "--at", "1", "--out", "old.png"],
        ["publish", str(written), "--to", "out", "--only", "yaml"],
        ["new", "job", "--recording", str(film)],
    ):
        assert running.run(arguments) == 3
        assert "the disk is full" in capsys.readouterr().err
    assert listing(tmp_path) == kept
    assert (tmp_path / "old.png").read_bytes() == b"old"
    assert (tmp_path / "out" / MANIFEST).read_bytes() == manifest


@pytest.mark.parametrize("at", ["x", "-1", "1:75", "99", "1e3", "nan"])
def test_a_wrong_time(run: Run, film: Path, at: str, tmp_path: Path) -> None:
    done = run("frame", film, f"--at={at}", "--out", "x.png")
    assert done.code == 2
    assert done.problem
    assert not (tmp_path / "x.png").exists()


def test_a_wrong_picture_name(run: Run, film: Path) -> None:
    assert ".png or .jpg" in run("frame", film, "--at", "1", "--out", "x.bmp").problem


@pytest.mark.parametrize("arguments", [["frobnicate"], ["check"], ["publish", "x"], ["--nope"]])
def test_a_wrong_call(run: Run, arguments: list[str]) -> None:
    done = run(*arguments)
    assert done.code == 2
    assert "--help" in done.problem


def test_control_characters_in_names_reach_no_terminal(run: Run) -> None:
    done = run("check", "a\x1b[31m\u202eb")
    assert done.code == 2
    assert "\x1b" not in done.err
    assert "\u202e" not in done.err


@pytest.mark.parametrize(
    "arguments",
    [
        ["about", "--to", "@"],
        ["new", "@", "--recording", "belt.mp4"],
        ["frame", "belt.mp4", "--at", "0", "--out", "@.png"],
        ["publish", "job", "--draft", "--only", "yaml", "--to", "@"],
        ["propose", "--captions", "talk.txt", "--to", "@", "--answers", "@.yaml"],
    ],
    ids=lambda arguments: arguments[0],
)
def test_nor_do_those_in_names_of_what_was_written(
    tmp_path: Path, film: Path, monkeypatch, capsys, arguments: list[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("job").mkdir()
    shutil.copy(EXAMPLES / "vice-jaws.yaml", "job/procedure.yaml")
    Path("talk.txt").write_text("[0:01] Undo the nut.\n")
    shutil.copy(film, "belt.mp4")
    assert running.run([each.replace("@", "a\nb\u202e") for each in arguments]) == 0
    told = "".join(capsys.readouterr())
    assert "a b\\u202e" in told
    assert "a\nb" not in told
    assert "\u202e" not in told


@pytest.mark.parametrize(
    "arguments", [["new", "job"], ["propose", "--captions", "talk.txt"]], ids=lambda given: given[0]
)
def test_a_film_of_a_name_that_no_procedure_can_hold(
    tmp_path: Path, film: Path, monkeypatch, capsys, arguments: list[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copy(film, "belt\nchange.mp4")
    Path("talk.txt").write_text("[0:01] Undo the nut.\n")
    before = listing(tmp_path)
    assert running.run([*arguments, "--recording", "belt\nchange.mp4"]) == 2
    assert capsys.readouterr().err.startswith("reelwright: belt change.mp4: no procedure can name")
    assert listing(tmp_path) == before


@pytest.mark.parametrize("group", [["library"], []])
def test_a_group_without_a_command_shows_its_help(run: Run, group: list[str]) -> None:
    done = run(*group)
    assert (done.code, done.err) == (0, "")
    assert done.out.startswith("Usage: reelwright")
    assert len(done.out.splitlines()) > 10


@pytest.mark.parametrize(
    ("begins", "kind"),
    [
        (b"\x00\x00\x00\x20ftypisom", "film (MP4"),
        (b"\x1a\x45\xdf\xa3\x9f", "film (Matroska"),
        (b"RIFF\x00\x00\x00\x00AVI LIST", "film (AVI"),
        (b"%PDF-1.7\n", "a PDF"),
        (b"\xff\xd8\xff\xe0", "picture (JPEG"),
    ],
)
def test_what_is_no_text_is_called_by_its_name(
    run: Run, tmp_path: Path, begins: bytes, kind: str
) -> None:
    file = tmp_path / "wrong.mp4"
    file.write_bytes(begins + bytes(64))
    done = run("check", file)
    assert done.code == 2
    assert kind in done.problem
    assert "procedure.yaml" in done.problem


def test_a_sheet_without_keys_is_told_in_words(run: Run, tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("- one\n")
    done = run("propose", "--captions", "x.vtt", "--answers", "a.yaml")
    assert "this is no sheet of answers: the file holds no keys" in done.problem


def test_a_path_with_a_space_is_quoted_in_a_remedy(run: Run, tmp_path: Path) -> None:
    (tmp_path / "two words").mkdir()
    done = run("library", "find", "two words", "bearing")
    assert "'reelwright library new \"two words\"'" in done.problem
    assert "'reelwright library new words'" in run("library", "find", "words", "x").problem


@pytest.mark.parametrize(
    "arguments",
    [
        ["publish", "job", "--to", "loop"],
        ["new", "loop", "--recording", "belt.mp4"],
        ["propose", "--captions", "talk.txt", "--to", "loop"],
        ["propose", "--captions", "talk.txt", "--answers", "loop"],
        ["library", "new", "loop"],
        ["library", "take", "shop", "vice-jaws", "loop"],
        ["library", "back-up", "shop", "loop/shop.zip"],
        ["library", "back-up", "shop", "pipe"],
        ["library", "history", "shop", "--head-to", "pipe"],
        ["about", "--to", "/"],
        ["about", "--to", ""],
    ],
    ids=" ".join,
)
def test_what_can_be_no_place_to_write_to(
    tmp_path: Path, film: Path, monkeypatch, capsys, arguments: list[str]
) -> None:
    """Links in a circle, pipes and devices: called in this process, for none needs its own."""
    monkeypatch.chdir(tmp_path)
    for folder in ("job", "vice-jaws"):
        Path(folder).mkdir()
        shutil.copy(EXAMPLES / "vice-jaws.yaml", Path(folder, "procedure.yaml"))
    Path("talk.txt").write_text("[0:01] Undo the nut.\n")
    shutil.copy(film, "belt.mp4")
    Path("loop").symlink_to("loop")
    os.mkfifo("pipe")
    if "shop" in arguments:
        assert running.run(["library", "new", "shop"]) == 0
        assert running.run(["library", "shelve", "shop", "vice-jaws"]) == 0
    capsys.readouterr()
    kept = listing(tmp_path)
    assert running.run(arguments) == 2
    told = [line for line in capsys.readouterr().err.splitlines() if not line.startswith("  ")]
    assert len(told) == 1
    assert told[0].startswith("reelwright: ")
    assert listing(tmp_path) == kept
