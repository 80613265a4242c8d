"""WebVTT by the letter of the W3C's text, held by a checker of our own, webvtt-py and Chromium."""

from __future__ import annotations

import io
import json
import re
import shutil
import subprocess
from collections.abc import Iterator
from decimal import ROUND_CEILING, Decimal
from itertools import combinations
from pathlib import Path
from typing import Any
from urllib.parse import quote, unquote

import pytest
import webvtt as other_reader
from hypothesis import example, given, settings
from hypothesis import strategies as st

from author.procedure.cues import plain_text
from author.procedure.document import Procedure
from author.procedure.facts import RecordingFacts
from author.publish.captions import Cue, chapters, cut, webvtt
from author.recording.captions import parse_speech
from publish import sample

MS = Decimal("0.001")
FILE = Path("saw.vtt")
STAMP = r"(?:([0-9]{2,}):)?([0-5][0-9]):([0-5][0-9])\.([0-9]{3})"
TIMINGS = re.compile(rf"{STAMP}[ \t]+-->[ \t]+{STAMP}")
REFERENCE = re.compile(r"&(?:amp|lt|gt|nbsp|lrm|rlm|#[0-9]+|#x[0-9a-fA-F]+);")


def strict(data: bytes) -> list[tuple[int, int, str]]:
    """Return start and end in milliseconds and the raw text of each cue of a valid file.

    W3C WebVTT (index.bs @92a85cc), section by section; what we never write (regions,
    style sheets, settings, markup) is refused here even where the format has it.
    """
    text = data.decode("utf-8")  # 4.1: "must consist of a WebVTT file body encoded as UTF-8"
    assert "\0" not in text
    assert "\r" not in text
    # 4.1: the string "WEBVTT", then two or more line terminators.
    head, gap, body = text.partition("\n\n")
    assert (head, gap) == ("WEBVTT", "\n\n")
    # 4.1: blocks are parted by one or more line terminators.
    blocks = body.removesuffix("\n").split("\n\n") if body else []
    return list(_strict_cues(blocks))


def _strict_cues(blocks: list[str]) -> Iterator[tuple[int, int, str]]:
    last = 0
    for block in blocks:
        timings, _, payload = block.partition("\n")
        found = TIMINGS.fullmatch(timings)
        assert found, timings
        start, end = (
            int(h or 0) * 3_600_000 + int(m) * 60_000 + int(s) * 1000 + int(ms)
            for h, m, s, ms in (found.groups()[:4], found.groups()[4:])
        )
        assert start >= last  # 4.1: not before the start of any cue above
        assert end > start  # 4.1: the end is after the start
        last = start
        assert payload
        assert "-->" not in payload  # 4.1: nor in any cue payload
        assert all(payload.split("\n"))  # an empty line would end the cue
        assert "<" not in payload  # 4.2.2: cue text span; we write no tags
        assert "&" not in REFERENCE.sub("", payload)  # 4.2.2: only as a character reference
        yield start, end, payload


def said(*cues: tuple[str, str, str]) -> list[Cue]:
    return [Cue(Decimal(start), Decimal(end), text) for start, end, text in cues]


def test_a_file_as_it_is_written() -> None:
    cues = said(("3661.5", "3662", "Second\nline"), ("0", "2.0004", "A < B & C --> D"))
    assert webvtt(cues) == (
        b"WEBVTT\n\n"
        b"00:00:00.000 --> 00:00:02.000\nA &lt; B &amp; C --&gt; D\n\n"
        b"01:01:01.500 --> 01:01:02.000\nSecond\nline\n"
    )
    assert webvtt([]) == b"WEBVTT\n\n"
    assert strict(webvtt([])) == []


seconds = st.decimals(-10, 400_000, places=6, allow_nan=False)
anything = st.one_of(
    st.text(max_size=30),
    st.lists(
        st.sampled_from(
            [
                "-->",
                "\n",
                "\n\n",
                "\r",
                "<b>",
                "&amp;",
                "&",
                "<",
                "WEBVTT",
                "NOTE",
                "00:01.000 --> 00:02.000",
                "\u202e",
                "\x00",
                " ",
                "\ud800",
                "{\\an8}",
                "1",
            ]
        ),
        max_size=8,
    ).map("".join),
)
any_cues = st.lists(st.builds(Cue, seconds, seconds, anything), max_size=6)


@settings(deadline=None)
@given(any_cues)
@example(said(("1", "2", "a"), ("1.0004", "1.0005", "b"), ("1.0005", "1.00151", "c")))
def test_whatever_is_said_the_file_is_valid_and_reads_back_the_same(cues: list[Cue]) -> None:
    data = webvtt(cues)
    raw = strict(data)
    rounded = [
        Cue(
            max(c.start, Decimal(0)).quantize(MS),
            max(c.end, Decimal(0)).quantize(MS),
            plain_text(c.text),
        )
        for c in cues
    ]
    shown = sorted((c for c in rounded if c.text and c.start < c.end), key=lambda cue: cue.start)
    assert parse_speech(data, FILE).cues == tuple(shown)
    assert [(s, e) for s, e, _ in raw] == [(int(c.start * 1000), int(c.end * 1000)) for c in shown]
    theirs = other_reader.from_buffer(io.StringIO(data.decode()), format="vtt")
    assert [(c.start, c.end, c.raw_text) for c in theirs] == [
        (_stamp(start), _stamp(end), text) for start, end, text in raw
    ]
    assert webvtt(parse_speech(data, FILE).cues) == data


def _stamp(ms: int) -> str:
    return f"{ms // 3_600_000:02}:{ms // 60_000 % 60:02}:{ms // 1000 % 60:02}.{ms % 1000:03}"


READ_BY_BROWSER = """<!doctype html><meta charset="utf-8"><body><script>
const video = document.createElement("video"), track = document.createElement("track");
track.src = URL.createObjectURL(new Blob([decodeURIComponent("FILE")], {type: "text/vtt"}));
video.append(track);
document.body.append(video);
track.onerror = () => { document.body.textContent = "refused"; };
track.onload = () => {
  const cues = [...track.track.cues].map((c) => [
    Math.round(c.startTime * 1000), Math.round(c.endTime * 1000), c.getCueAsHTML().textContent]);
  document.body.textContent = encodeURIComponent(JSON.stringify(cues));
};
track.track.mode = "hidden";
</script>"""


def read_by_browser(data: bytes, folder: Path) -> Any:
    """Return the cues as Chromium has them, by its own parser."""
    program = next(filter(None, map(shutil.which, ("chromium", "google-chrome", "chrome"))))
    page = folder / "page.html"
    page.write_text(READ_BY_BROWSER.replace("FILE", quote(data)), encoding="utf-8")
    options = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run"]
    options += ["--disable-background-networking", "--disable-component-update", "--disable-sync"]
    options += [f"--user-data-dir={folder / 'profile'}", "--virtual-time-budget=5000", "--dump-dom"]
    done = subprocess.run([program, *options, page.as_uri()], capture_output=True, check=True)
    found = re.search("<body>(.*)</body>", done.stdout.decode())
    assert found
    return json.loads(unquote(found[1]))


def test_a_browser_reads_the_same_cues(tmp_path: Path) -> None:
    cues = said(
        ("0", "2.5", "Lock it off --> then test < 0.05 mm & go"),
        ("2", "4", "&lt;b&gt; stays as it is\nNOTE no note\nWEBVTT"),
        ("2", "3", "<v Ann>5 > 3</v> <00:00:02.500>"),
        ("3600", "360000.001", "löst 螺母 3½"),
    )
    assert read_by_browser(webvtt(cues), tmp_path) == [
        [int(c.start * 1000), int(c.end * 1000), c.text] for c in cues
    ]


moments = st.decimals(0, 60, places=3, allow_nan=False)


def of_before(cue: Cue, start: Decimal) -> bool:
    """Tell whether a cue is over a moment after a clip begins, and stood longer before it."""
    over = cue.end - start
    return cue.start < start and over < Decimal("0.3") and over < start - cue.start


@settings(deadline=None)
@given(st.lists(st.builds(Cue, moments, moments, st.just("x"))), moments, moments, moments)
def test_in_a_clip_the_same_is_shown_at_every_moment(
    cues: list[Cue], start: Decimal, end: Decimal, at: Decimal
) -> None:
    clip = cut(cues, start, end)
    assert all(0 <= c.start < c.end <= end - start for c in clip)
    if start <= at < end:
        shown = [c.text for c in cues if c.start <= at < c.end and not of_before(c, start)]
        assert [c.text for c in clip if c.start <= at - start < c.end] == shown


def test_a_clip_begins_with_its_first_frame() -> None:
    cues = said(("9.0", "9.5", "a"), ("7", "9.2", "b"), ("13", "14", "c"), ("12", "13", "d"))
    clip = cut(cues, Decimal("8.208200"), Decimal("12.812800"))
    assert clip == tuple(
        said(
            ("0.791800", "1.291800", "a"),
            ("0.000000", "0.991800", "b"),
            ("3.791800", "4.604600", "d"),
        )
    )


@pytest.mark.parametrize(
    ("begin", "end", "kept"),
    [
        ("4", "8.29", False),
        ("7", "8.1", False),
        # Long enough to be read, or told as the clip begins.
        ("4", "8.3", True),
        ("4", "9", True),
        ("7.9", "8.2", True),
        ("8", "8.2", True),
        ("8.1", "8.2", True),
    ],
)
def test_the_end_of_the_sentence_before_is_no_caption_of_a_clip(
    begin: str, end: str, *, kept: bool
) -> None:
    assert bool(cut(said((begin, end, "a")), Decimal(8), Decimal(12))) is kept


FACTS = RecordingFacts(
    file="saw.mp4",
    size=1,
    sha256="0" * 64,
    width=1280,
    height=720,
    # 30000/1001 pictures a second, as a camera has them.
    frame_starts=tuple(
        (Decimal(n) * 1001 / 30000).quantize(Decimal("0.000001")) for n in range(300)
    ),
    duration=Decimal("10.010000"),
)


def filmed(*spans: tuple[str, str], recording: str = "saw") -> Procedure:
    """Return the sample with these clips in its steps, the first steps first."""
    document = sample.document()
    steps = [step for section in document["sections"] for step in section["steps"]]
    for step in steps:
        step.pop("clip", None)
    for step, (start, end) in zip(steps, spans, strict=False):
        step["clip"] = {"recording": recording, "from": start, "to": end}
    assert len(spans) <= len(steps)
    return Procedure.model_validate(document)


def titles(*spans: tuple[str, str]) -> list[tuple[str, str, int]]:
    """Return start, end and number of the step of every chapter."""
    found = chapters(filmed(*spans), "saw", FACTS)
    return [(str(c.start), str(c.end), int(c.text.split()[0])) for c in found]


def test_one_chapter_for_each_step_in_order_of_time() -> None:
    procedure = filmed(("5", "7"), ("1", "4.991660"))
    found = chapters(procedure, "saw", FACTS)
    actions = [placed.step.action for placed in procedure.placed_steps()]
    # The nearest frames begin at 1.001000, 4.971633 or 5.005000, 7.006999 … and are rounded up.
    assert found == tuple(
        said(("1.001", "5.005", f"2 {actions[1]}"), ("5.005", "7.007", f"1 {actions[0]}"))
    )
    assert chapters(procedure, "phone", FACTS) == ()
    strict(webvtt(found))


def test_a_player_that_seeks_to_a_chapter_shows_its_first_frame() -> None:
    (chapter,) = chapters(filmed(("3.1", "3.6")), "saw", FACTS)
    first = FACTS.index_at(Decimal("3.1"))
    assert FACTS.frame_starts[first] <= chapter.start < FACTS.frame_starts[first + 1]
    end = FACTS.index_at(Decimal("3.6"))
    assert FACTS.frame_starts[end] <= chapter.end < FACTS.frame_starts[end] + MS


@pytest.mark.parametrize(
    ("spans", "expected"),
    [
        # One within the other stays so.
        ([("1.001", "9.009"), ("3.003", "5.005")], [("1.001", "9.009", 1), ("3.003", "5.005", 2)]),
        # Same span: the later step within the earlier.
        ([("1.001", "3.003"), ("1.001", "3.003")], [("1.001", "3.003", 1), ("1.001", "3.003", 2)]),
        # Partial overlap: the first ends where the second begins.
        ([("1.001", "5.005"), ("3.003", "9.009")], [("1.001", "3.003", 1), ("3.003", "9.009", 2)]),
        # … and so does what lies within it up to there.
        (
            [("1.001", "6.006"), ("2.002", "5.005"), ("4.004", "9.009")],
            [("1.001", "4.004", 1), ("2.002", "4.004", 2), ("4.004", "9.009", 3)],
        ),
        # A span that means one frame boundary twice is no chapter.
        ([("1.001", "1.002")], []),
        # The end of the film is a boundary.
        ([("9.009", "10.010000")], [("9.009", "10.010", 1)]),
    ],
)
def test_overlapping_clips(spans: Any, expected: Any) -> None:
    assert titles(*spans) == expected


def mark(frame: int) -> str:
    return str((Decimal(frame) * 1001 / 30000).quantize(MS))


frames = st.integers(0, 300)
clip_spans = st.tuples(frames, frames).map(sorted).map(lambda span: tuple(map(mark, span)))


@settings(deadline=None)
@given(st.lists(clip_spans, max_size=6))
def test_chapters_are_nested_and_the_innermost_is_the_step_begun_last(spans: Any) -> None:
    procedure = filmed(*spans)
    found = chapters(procedure, "saw", FACTS)
    assert [c for _, _, c in strict(webvtt(found))] == [
        c.text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;") for c in found
    ]
    for a, b in combinations(found, 2):
        # 4.5.1: either lies fully within the other, or (its example) they do not meet.
        within = (a.start >= b.start and a.end <= b.end) or (a.start <= b.start and a.end >= b.end)
        assert within or a.end <= b.start or b.end <= a.start
    placed_clips = [
        (FACTS.index_at(p.step.clip.start), -FACTS.index_at(p.step.clip.end), p.number)
        for p in procedure.placed_steps()
        if p.step.clip
    ]
    for frame, at in enumerate(FACTS.frame_starts):
        begun = max((c for c in placed_clips if c[0] <= frame < -c[1]), default=None)
        moment = at.quantize(MS, ROUND_CEILING)
        shown = [c for c in found if c.start <= moment < c.end]
        assert (int(shown[-1].text.split()[0]) if shown else None) == (begun and begun[2])
