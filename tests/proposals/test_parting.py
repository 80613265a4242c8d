"""Where steps begin: over all ways to part the talk, by pauses only as far as they tell."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from author.procedure.cues import Cue
from author.proposals import claims
from author.proposals.speech.sentences import sentences_of
from author.proposals.steps.features import Talk, features_of, step_weights
from author.proposals.steps.parting import (
    best_bar,
    chances_of_beginning,
    neighbours,
    pauses_tell,
)

_STEPS = (
    ("Now the cover, undo the four bolts.", "It lifts straight off.", "Put it on the bench."),
    ("Next the gasket, scrape it off.", "Use the plastic scraper on it.", "Wipe it clean."),
    ("Then the circlip, squeeze it and take it out.", "It's under a bit of tension."),
    ("Now the bearing, press it out from the back.", "It comes out easily.", "Bin it."),
    ("Right, the new seal, tap it in with the driver.", "Lip towards the oil.", "That's it."),
)
_LONG, _SHORT = Decimal(6), Decimal("0.3")


def _talk(pauses):
    """Return the talk of the steps above, with the pause that is told before each sentence."""
    now, cues = Decimal(1), []
    for pause, text in zip(pauses, (text for step in _STEPS for text in step), strict=True):
        now += pause
        cues.append(Cue(now, now + 2, text))
        now += 2
    sentences = sentences_of(cues, "film")
    return Talk(sentences, {}, {}, {}, (), tuple(sorted(float(p) for p in pauses)))


_AT_ENDS = [_LONG if place == 0 else _SHORT for step in _STEPS for place in range(len(step))]
_WITHIN = [_LONG if place == 1 else _SHORT for step in _STEPS for place in range(len(step))]


def _tells(pauses):
    talk = _talk(pauses)
    return pauses_tell(neighbours(talk, range(len(talk.sentences))), step_weights())


def test_pauses_tell_where_they_stand_before_another_subject():
    assert _tells(_AT_ENDS) > 0.5
    assert _tells(_WITHIN) < 0


def test_a_pause_parts_less_where_hands_work_in_the_middle_of_a_step():
    at_ends, within = _talk(_AT_ENDS), _talk(_WITHIN)
    assert len(at_ends.sentences) == len(within.sentences) == len(_AT_ENDS)
    ends = chances_of_beginning(at_ends, range(len(_AT_ENDS)))
    middles = chances_of_beginning(within, range(len(_WITHIN)))
    assert ends[3] > 0.5  # "Next the gasket", after a pause
    assert middles[4] < ends[3]  # "Use the plastic scraper on it", after one as long


@given(st.lists(st.decimals("0.1", 9, places=1), min_size=14, max_size=14))
def test_chances_are_chances_and_the_first_sentence_begins(pauses):
    chances = chances_of_beginning(_talk(pauses), range(14))
    assert chances[0] == 1
    assert all(0 <= chance <= 1 for chance in chances)
    assert -1 <= _tells(pauses) <= 1


def test_the_bar_of_a_short_talk_is_near_the_usual_one_and_that_of_a_long_one_its_own():
    """The first sentence, which always begins a step, draws no bar up to itself."""
    sure, unsure = [1.0], [0.5, 0.1, 0.1]
    short, long = best_bar(sure + unsure * 3), best_bar(sure + unsure * 100)
    assert best_bar(sure + unsure) < short < long <= 0.5


def test_nothing_kept_has_no_chances():
    assert chances_of_beginning(_talk(_AT_ENDS), ()) == ()


def test_every_sign_has_a_weight_and_every_weight_a_sign():
    talk = _talk(_AT_ENDS)
    assert features_of(talk, 1, [0]).keys() == step_weights().keys()


def test_what_tells_a_reading_and_names_no_work_is_a_step_of_its_own_where_it_stands_apart():
    cues = [
        Cue(Decimal(1), Decimal(4), "Take the cover off."),
        Cue(Decimal(5), Decimal(7), "It lifts straight up."),
        Cue(Decimal(12), Decimal(16), "Now the shaft, I've got nineteen point nine millimetres."),
        Cue(Decimal(26), Decimal(29), "Next, fit the new seal."),
    ]  # fmt: skip
    steps = [p for p in claims.propose(sentences_of(cues, "film")).proposals if p.kind == "step"]
    assert [step.text for step in steps][0::2] == ["Take the cover off.", "Fit the new seal."]
    assert "shaft" in steps[1].text
