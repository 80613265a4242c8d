"""Single frames, for stills: the right ones, in any order, and nothing left behind."""

import multiprocessing

import pytest

from author.errors import Cancelled, InputError
from author.progress import Cancel
from author.recording.knowing import known, quick_index
from author.recording.one_frame import SingleFrames

from . import films


def test_frames_in_any_order_are_the_ones_asked_for(film):
    path = film("b_frames")
    with SingleFrames(path, known(path)[1]) as source:
        found = [films.number_in(source.frame(number)) for number in (41, 3, 3, 60, 0)]
    assert found == [41, 3, 3, 60, 0]
    assert not multiprocessing.active_children()


def test_a_quick_index_will_do(film):
    path = film("b_frames")
    index = quick_index(path, lambda _: None)
    with SingleFrames(path, index) as source:
        assert films.number_in(source.frame(17)) == 17


def test_a_turned_film_comes_upright(film):
    path = film("left")
    with SingleFrames(path, known(path)[1]) as source:
        assert films.number_in(source.frame(5)) == 5


def test_what_is_not_there_is_refused_and_the_next_one_given(film):
    path = film("b_frames")
    index = known(path)[1]
    with SingleFrames(path, index) as source:
        for number in (-1, len(index.ticks)):
            with pytest.raises(InputError, match="has no frame"):
                source.frame(number)
        assert films.number_in(source.frame(2)) == 2


def test_it_can_be_cancelled(film):
    path = film("b_frames")
    cancel = Cancel()
    with SingleFrames(path, known(path)[1], cancel) as source:
        cancel.request()
        with pytest.raises(Cancelled):
            source.frame(9)
    assert not multiprocessing.active_children()
