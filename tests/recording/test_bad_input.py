"""Files that vanish, change, lie about themselves or are no files: one clear line, no hang."""

from __future__ import annotations

import errno
import multiprocessing
import os
import resource
import shutil
import subprocess
import sys
import textwrap
import threading
from fractions import Fraction
from pathlib import Path

import av
import psutil
import pytest

from author.errors import Cancelled, InputError, ReelwrightError
from author.progress import Cancel
from author.recording import FrameReader, describe, facts_of

from . import films, handmade

DEADLINE = 300  # seconds after which a job that hangs is told to stop, so that the test fails
ROOT = Path(__file__).parents[2]


@pytest.fixture
def deadline():
    """A cancel that asks by itself after a while: whoever takes it cannot hang."""
    cancel = Cancel()
    timer = threading.Timer(DEADLINE, cancel.request)
    timer.start()
    yield cancel
    timer.cancel()
    timer.join()


def refused(path: Path, cancel: Cancel) -> InputError:
    with pytest.raises(InputError) as caught:
        describe(path, cancel=cancel)
    assert caught.value.file == str(path)
    assert caught.value.remedy
    assert "\n" not in str(caught.value)
    return caught.value


class Once:
    """Does something at the first report whose job begins so."""

    def __init__(self, job: str, act) -> None:
        self.job, self.act = job, act

    def report(self, job: str, done: int, total: int | None) -> None:
        if self.act is not None and job.startswith(self.job):
            act, self.act = self.act, None
            act()


def test_little_bytes_that_claim_much(tmp_path, deadline):
    """Half a megabyte of 20,000 8K pictures: heard of, stopped on request, memory bounded."""
    path = handmade.huge(tmp_path / "huge.mp4", 20_000)
    assert path.stat().st_size < 1_000_000
    cancel, heard, most = Cancel(), [], [0]

    class Listening:
        def report(self, job: str, done: int, total: int | None) -> None:
            heard.append((job, done, total))
            for child in psutil.Process().children(recursive=True):
                most[0] = max(most[0], child.memory_info().rss)
            if job.startswith("reading") and done > 0:
                cancel.request()

    with pytest.raises(Cancelled):
        describe(path, Listening(), cancel)
    assert heard[-1][0].startswith("reading")
    assert heard[-1][2] == 666
    assert 0 < most[0] < 700_000_000
    assert multiprocessing.active_children() == []


def test_a_picture_too_large_is_refused(tmp_path, deadline):
    path = handmade.huge(tmp_path / "wall.mp4", 2, (16_384, 8_192))
    assert "too large" in str(refused(path, deadline))


@pytest.mark.parametrize("suffix", ["ts", "avi", "mp4", "mov"])
def test_pictures_are_announced_and_none_comes(tmp_path, suffix, deadline):
    path = tmp_path / f"none.{suffix}"
    with av.open(str(path), "w") as film:
        film.add_mux_stream("h264", rate=30, width=96, height=64)
        sound = film.add_stream("aac", rate=films.RATE, layout="mono")
        for packet in films.coded(sound, films.tone(0.5), Fraction(0)):
            film.mux(packet)
    assert "picture" in refused(path, deadline).problem


def test_a_pipe_and_a_device_are_not_waited_for(tmp_path, deadline):
    os.mkfifo(tmp_path / "pipe.mp4")
    assert "device" in refused(tmp_path / "pipe.mp4", deadline).problem
    assert "device" in refused(Path("/dev/zero"), deadline).problem


def test_names_no_file_can_have(tmp_path, deadline):
    (tmp_path / "loop.mp4").symlink_to("loop.mp4")
    for path in (tmp_path / ("x" * 300), tmp_path / "a\0b.mp4", tmp_path / "loop.mp4"):
        assert "name" in refused(path, deadline).problem


def test_a_file_that_vanishes(film, tmp_path, deadline):
    path = Path(shutil.copy(film("b_frames"), tmp_path / "film.mp4"))
    facts = facts_of(path, cancel=deadline)
    reader = FrameReader(path, facts, deadline)
    path.unlink()
    with reader, pytest.raises(InputError, match="no such file") as caught:
        reader.frame(40)
    assert caught.value.file == str(path)
    assert "no such file" in refused(path, deadline).problem


def test_a_file_that_vanishes_while_frames_are_read(film, tmp_path, deadline):
    """What was opened goes on, or it is told in one line; it is never another frame."""
    path = Path(shutil.copy(film("b_frames"), tmp_path / "film.mp4"))
    with FrameReader(path, facts_of(path), deadline) as reader:
        assert films.number_in(reader.frame(3).pixels) == 3
        path.unlink()
        for index in (4, 70, 0):
            try:
                assert films.number_in(reader.frame(index).pixels) == index
            except InputError as error:
                assert error.file == str(path)


def test_a_file_that_grows_while_it_is_read(film, tmp_path, deadline):
    whole = film("ts").read_bytes()
    path = tmp_path / "growing.ts"
    path.write_bytes(whole[: 188 * 200])

    def grow() -> None:
        with path.open("ab") as stream:
            stream.write(whole[188 * 200 :])

    with pytest.raises(InputError, match="changed while") as caught:
        describe(path, Once("reading", grow), deadline)
    assert caught.value.file == str(path)
    assert facts_of(path, cancel=deadline).frame_count == 75  # complete now


def test_a_file_that_grows_while_frames_are_read(film, tmp_path, deadline):
    path = Path(shutil.copy(film("live_mkv"), tmp_path / "film.mkv"))
    facts = facts_of(path)
    with FrameReader(path, facts, deadline) as reader:
        assert films.number_in(reader.frame(3).pixels) == 3
        with path.open("ab") as stream:
            stream.write(bytes(4000))
        for index in (60, 5):
            try:
                assert films.number_in(reader.frame(index).pixels) == index
            except InputError as error:
                assert error.file == str(path)
    with pytest.raises(InputError, match="changed"):
        FrameReader(path, facts, deadline)


def test_a_file_whose_content_changes_while_frames_are_read(tmp_path, deadline):
    """Frames of the other film are never given out for those of this one."""
    this, other = tmp_path / "film.mp4", tmp_path / "other.mp4"
    options = {"g": "10", "bf": "0", "crf": "4"}
    films.make(this, films.steady(60), options=options, size=(192, 128))
    films.make(other, films.steady(60), options=options, size=(192, 128), first_number=1000)
    with FrameReader(this, facts_of(this), deadline) as reader:
        assert films.number_in(reader.frame(3).pixels) == 3
        with this.open("r+b") as stream:  # in its place, as a copying program does
            stream.write(other.read_bytes())
            stream.truncate()
        with pytest.raises(InputError, match="changed") as caught:
            for index in (31, 55, 12):
                assert films.number_in(reader.frame(index).pixels) == index
        assert caught.value.file == str(this)


def test_a_disk_that_fills_while_caching(film, tmp_path, monkeypatch):
    """Nothing can be kept: everything is found all the same."""
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path / "cache"))

    def full(*_: object, **__: object) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(Path, "write_bytes", full)
    path = film("vfr")
    facts = facts_of(path)
    assert facts.frame_count == 60
    with FrameReader(path, facts) as reader:
        assert films.number_in(reader.frame(59).pixels) == 59
    assert list((tmp_path / "cache").rglob("index-*")) == []


def test_no_process_can_write_more_than_a_little(film, tmp_path):
    """As on a full disk, in the decoding process too: its writes fail after 24 KB."""
    script = tmp_path / "small.py"
    script.write_text(
        textwrap.dedent(
            """
            import sys
            from pathlib import Path
            import resource
            from author.recording import FrameReader, facts_of

            if __name__ == "__main__":
                resource.setrlimit(resource.RLIMIT_FSIZE, (24_000, 24_000))
                path = Path(sys.argv[1])
                facts = facts_of(path)
                with FrameReader(path, facts) as reader:
                    print(facts.frame_count, reader.frame(59).index, len(facts.damage))
            """
        )
    )
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    environment["REELWRIGHT_CACHE"] = str(tmp_path / "cache")
    done = subprocess.run(
        [sys.executable, script, film("long_gop")],
        capture_output=True,
        text=True,
        env=environment,
        timeout=DEADLINE,
        check=False,
    )
    assert (done.stdout, done.stderr, done.returncode) == ("260 59 0\n", "", 0)
    kept = [each.stat().st_size for each in (tmp_path / "cache").rglob("*") if each.is_file()]
    assert max(kept, default=0) <= 24_000
    assert resource.getrlimit(resource.RLIMIT_FSIZE)[0] == resource.RLIM_INFINITY


NAMES = [
    "-i.mp4",
    'it\'s "quoted" `touch pwned` $(touch pwned).mp4',
    "; touch pwned; #.mp4",
    "a:b|c.mp4",
    "http:film.mp4",
    "concat:a.mp4",
    "%d%03d%n.mp4",
    "[x]*?{a,b}.mp4",
    " two  spaces .mp4",
    "größe 🎬 \u202e.mp4",
    "two\nlines.mp4",
    "back\\slash,comma;=.mp4",
]


@pytest.mark.parametrize("name", NAMES)
def test_any_name_is_only_a_name(film, tmp_path, name, monkeypatch, deadline):
    """Read by a path without a folder; nothing else is opened or made."""
    monkeypatch.chdir(tmp_path)
    path = Path(name)
    shutil.copy(film("no_b"), path)
    facts = facts_of(path, cancel=deadline)
    assert facts.file == name
    with FrameReader(path, facts, deadline) as reader:
        assert films.number_in(reader.frame(31).pixels) == 31
    assert [each.name for each in tmp_path.iterdir()] == [name]
    path.write_bytes(b"no film")
    assert "not a video" in refused(path, deadline).problem


def test_a_name_that_is_not_text(film, tmp_path, deadline):
    """Systems that name files by bytes allow any; it is read, or refused in one line."""
    path = Path(os.fsdecode(os.fsencode(tmp_path) + b"/\xff\xfe film.mp4"))
    shutil.copy(film("no_b"), path)
    try:
        with FrameReader(path, facts_of(path, cancel=deadline), deadline) as reader:
            assert films.number_in(reader.frame(31).pixels) == 31
    except ReelwrightError as error:
        assert str(error).isprintable()
        assert error.remedy
