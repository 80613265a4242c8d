"""A film opened for a person: first the first frame, then more and more; all of it ends."""

from __future__ import annotations

import multiprocessing
import threading
from decimal import Decimal

import pytest

from author.recording.cursor import Shown
from author.recording.film import Failed, Film, Indexed, KeyPicture, Reading, StripPicture, Surveyed
from author.recording.knowing import known

from . import films


class Story:
    """Everything a film told, in order."""

    def __init__(self) -> None:
        self.events: list[object] = []
        self.change = threading.Condition()

    def __call__(self, event: object) -> None:
        with self.change:
            self.events.append(event)
            self.change.notify_all()

    def until(self, *kinds: type) -> object:
        with self.change:
            assert self.change.wait_for(
                lambda: any(isinstance(each, kinds) for each in self.events), timeout=120
            ), self.events
        return next(each for each in self.events if isinstance(each, kinds))

    def of(self, kind: type) -> list:
        return [each for each in self.events if isinstance(each, kind)]


@pytest.fixture
def _own(tmp_path, monkeypatch):
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path / "cache"))
    yield
    assert not [t for t in threading.enumerate() if t.name.startswith("reelwright")]
    assert not multiprocessing.active_children()


@pytest.mark.usefixtures("_own")
def test_from_the_first_frame_to_the_survey(film):
    story = Story()
    with Film(film("ts"), story) as opened:
        first = story.until(Shown)
        assert (first.frame, films.number_in(first.pixels)) == (0, 0)
        opened.show(50)
        done = story.until(Surveyed, Failed)
        assert isinstance(done, Surveyed), done
        with story.change:
            assert story.change.wait_for(lambda: any(s.frame == 50 for s in story.of(Shown)), 120)
    exact = [each.exact for each in story.of(Indexed)]
    assert exact == sorted(exact)
    assert exact[-1] is True
    index = story.of(Indexed)[-1].index
    pictures = story.of(KeyPicture)
    assert [each.frame for each in pictures] == [0, 60]
    for each in pictures:
        assert films.number_in(each.pixels) == each.frame
        assert each.start == index.clock(index.ticks[each.frame])
    for each in story.of(Shown):
        assert films.number_in(each.pixels) == each.frame
    assert story.of(Reading)
    assert len(done.analyses.times) == 75
    assert done.analyses.heard is not None


@pytest.mark.usefixtures("_own")
def test_a_known_film_is_there_at_once(film):
    path = film("b_frames")
    known(path)
    story = Story()
    with Film(path, story):
        story.until(Surveyed)
    assert len(story.of(Surveyed)) == 1


@pytest.mark.usefixtures("_own")
def test_a_film_that_only_decoding_tells_is_shown_after_the_survey(film):
    story = Story()
    with Film(film("raw"), story) as opened:
        opened.show(30)
        story.until(Surveyed)
        with story.change:
            assert story.change.wait_for(lambda: any(s.frame == 30 for s in story.of(Shown)), 120)
    assert all(each.exact for each in story.of(Indexed))
    assert all(films.number_in(each.pixels) == each.frame for each in story.of(Shown))


@pytest.mark.usefixtures("_own")
def test_what_is_no_film_fails_with_one_sentence(tmp_path):
    path = tmp_path / "notes.mp4"
    path.write_text("not a film")
    story = Story()
    with Film(path, story):
        failed = story.until(Failed)
    assert "is not a video file" in failed.error.problem
    assert failed.error.file == str(path)


@pytest.mark.usefixtures("_own")
@pytest.mark.parametrize("moment", [None, Indexed, KeyPicture, Reading])
def test_it_can_be_closed_at_any_moment(film, moment):
    story = Story()
    opened = Film(film("sound_late"), story)
    if moment is not None:
        story.until(moment)
    opened.close()
    count = len(story.events)
    opened.close()
    assert len(story.events) == count


@pytest.mark.usefixtures("_own")
def test_the_strip_comes_out_of_the_preview_the_newest_wish_first(film):
    path = film("left")
    story = Story()
    with Film(path, story) as opened:
        story.until(Surveyed)
        _, index = known(path)
        for frames in ([1], [2], [3], [0, 5, 11]):
            opened.picture_strip(index, frames)
        found = {}
        while not {0, 5, 11} <= set(found):
            picture = story.until(StripPicture)
            found[picture.frame] = picture.pixels
            story.events.remove(picture)
    assert {n: films.number_in(p) for n, p in found.items()} == {n: n for n in found}
    assert all(p.shape[0] > p.shape[1] or p.shape[1] <= 160 for p in found.values())


@pytest.mark.usefixtures("_own")
def test_many_wishes_take_one_process_and_closing_ends_it(film):
    path = film("left")
    story = Story()
    with Film(path, story) as opened:
        story.until(Surveyed)
        _, index = known(path)
        before = len(multiprocessing.active_children())
        for number in range(30):
            opened.picture_strip(index, [number % 12])
        story.until(StripPicture)
        assert len(multiprocessing.active_children()) <= before + 1
    assert multiprocessing.active_children() == []


def test_times_are_decimal(film):
    _, index = known(film("vfr"))
    assert all(isinstance(index.clock(tick), Decimal) for tick in index.ticks)
