"""``recording`` over several files, and ``frame --best``."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import av
import cv2
import numpy as np
import pytest
from recording import films, staged_films

from author.recording import decode_still

from .conftest import Run


def spoken(seconds: float, seed: int) -> np.ndarray:
    """Sound that never repeats: bursts of noise of many colours."""
    chance = np.random.default_rng(seed)
    count = int(seconds * films.RATE)
    noise = chance.normal(0, 1, count)
    swell = np.repeat(chance.uniform(0, 1, count // 4800 + 1) ** 2, 4800)[:count]
    return 0.1 * swell * np.convolve(noise, chance.normal(0, 1, 24), "same")


@pytest.fixture
def parts(tmp_path: Path) -> list[Path]:
    whole = films.make(
        tmp_path / "whole.mp4",
        films.steady(90),
        options={"g": "30", "bf": "0", "sc_threshold": "0"},
    )
    films.ffmpeg(
        *("-i", whole, "-c", "copy", "-f", "segment", "-segment_time", "1"),
        *("-reset_timestamps", "1", tmp_path / "take%d.mp4"),
    )
    return sorted(tmp_path.glob("take*.mp4"))


def test_split_puts_the_parts_on_one_clock(started: Run, run: Run, parts: list[Path]) -> None:
    assert len(parts) == 3
    told = json.loads(started("recording", *reversed(parts), "--split", "--json").out)
    assert [part["file"] for part in told["parts"]] == ["take0.mp4", "take1.mp4", "take2.mp4"]
    assert [part["first_frame"] for part in told["parts"]] == [0, 30, 60]
    assert [part["offset"] for part in told["parts"]] == ["0.000000", "1.000000", "2.000000"]
    assert (told["frames"], told["duration"]) == (90, "3.000000")
    text = run("recording", *parts, "--split").out
    assert "0:01.000 take1.mp4" in text


def test_same_job_finds_the_offset(run: Run, tmp_path: Path) -> None:
    sound = spoken(14, 1)
    ticks = films.steady(30)
    first = films.make(tmp_path / "wide.mp4", ticks, sound=sound)
    second = films.make(tmp_path / "near.mp4", ticks, sound=sound[int(3.25 * films.RATE) :] * 0.3)
    told = json.loads(run("recording", first, second, "--same-job", "--json").out)
    assert told["first"] == "wide.mp4"
    (other,) = told["others"]
    assert abs(Decimal(other["offset"]) - Decimal("3.25")) < Decimal("0.002")
    assert other["confidence"] >= 0.9
    assert "near.mp4: began 3.2" in run("recording", first, second, "--same-job").out


def test_same_job_refuses_what_it_cannot_tell(run: Run, tmp_path: Path) -> None:
    ticks = films.steady(30)
    first = films.make(tmp_path / "one.mp4", ticks, sound=spoken(12, 1))
    second = films.make(tmp_path / "two.mp4", ticks, sound=spoken(12, 2))
    done = run("recording", first, second, "--same-job")
    assert done.code == 2
    assert "two.mp4" in done.problem
    silent = films.make(tmp_path / "silent.mp4", ticks)
    done = run("recording", first, silent, "--same-job")
    assert (done.code, "silent.mp4: has no sound" in done.problem) == (2, True)


@pytest.mark.parametrize(
    ("options", "remedy"),
    [
        ((), "--split or --same-job"),
        (("--split", "--same-job"), "Give one of them"),
    ],
)
def test_several_files_need_a_word(run: Run, film: Path, options, remedy: str) -> None:
    done = run("recording", film, film, *options)
    assert done.code == 2
    assert remedy in done.problem


def test_one_file_is_not_several(run: Run, film: Path) -> None:
    done = run("recording", film, "--split")
    assert (done.code, "Name two or more" in done.problem) == (2, True)


def test_the_best_frame_near_a_mark_is_sharp_and_says_why(run: Run, tmp_path: Path) -> None:
    view = staged_films.Angle(600, 450, 700, 0.2, (0.05, 0.1))
    shot = staged_films.Shot(0, view, 60, 4, leave="end", noise=0.0)
    pictures = staged_films.play([shot], 3, (640, 360), staged_films.Truth())
    path = tmp_path / "focus.mp4"
    with av.open(str(path), "w") as out:
        stream = out.add_stream("libx264", rate=30, options={"crf": "12", "bf": "0"})
        stream.width, stream.height, stream.pix_fmt = 640, 360, "yuv420p"
        for number, sharp in enumerate(pictures):
            picture = cv2.GaussianBlur(sharp, (0, 0), 4) if 20 <= number < 40 else sharp
            out.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="bgr24")))
        out.mux(stream.encode(None))
    done = run("frame", path, "--at", "1.0", "--out", "a.png", "--best", "0.8", "--json")
    told = json.loads(done.out)
    assert told["frame"] not in range(20, 40)
    assert "the marked frame is" in told["reason"]
    sharp = np.asarray(decode_still((tmp_path / "a.png").read_bytes()))
    run("frame", path, "--at", "1.0", "--out", "b.png")
    blurred = np.asarray(decode_still((tmp_path / "b.png").read_bytes()))
    assert cv2.Laplacian(sharp, cv2.CV_64F).var() > 4 * cv2.Laplacian(blurred, cv2.CV_64F).var()
    text = run("frame", path, "--at", "1.0", "--out", "c.png", "--best", "0.8").out
    assert "Chosen: " in text


def test_best_asks_for_a_number(run: Run, film: Path) -> None:
    done = run("frame", film, "--at", "1", "--out", "a.png", "--best", "soon")
    assert (done.code, "--best as 0.5 or 2" in done.problem) == (2, True)
