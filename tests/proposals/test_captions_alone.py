"""Drafts that no film belongs to: where their steps were told, and where their captions lie."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.contract import read_procedure
from author.errors import InputError
from author.proposals.draft.answers import answers_for, read_answers
from author.proposals.draft.told_at import in_tenths, told_at, told_at_words
from author.proposals.proposal import Proposal
from author.proposals.speech.tongue import english_note
from author.tasks.captions_alone import captions_of
from author.tasks.proposing import propose_job
from proposals.said import told

TALK = """WEBVTT

00:00:01.000 --> 00:00:04.000
Undo the four bolts and lift the cover off.

00:00:05.000 --> 00:00:08.000
Clean the face with a lint-free cloth.
"""
SECONDS = st.decimals(0, 36_000, places=3)


def step(start: Decimal, end: Decimal) -> Proposal:
    return Proposal("s", "step", "Go.", "go", "talk", start, end, Decimal("0.5"), "said")


@given(SECONDS, SECONDS, st.booleans())
def test_the_moment_a_step_was_told_at_is_read_from_its_words(start, end, several):
    found = told_at(told_at_words(step(start, end), several=several))
    assert found is not None
    assert (found.start, found.end) == (in_tenths(start), in_tenths(end))
    assert found.recording == ("talk" if several else None)


@pytest.mark.parametrize(
    "words",
    [
        None,
        "",
        "It was dark.",
        "Made from captions alone; told from 0:61.0 to 1:02.0",
        "Made from captions alone; told from ١:02.0 to 1:03.0",
        "Made from captions alone; told from 0:01.0 to 0:02.0 of a b",
    ],
)
def test_other_words_tell_no_moment(words):
    assert told_at(words) is None


def test_captions_that_lie_elsewhere_are_found_again_and_told_apart(tmp_path):
    files = [tmp_path / "a/talk.vtt", tmp_path / "b/more.vtt"]
    for file in files:
        file.parent.mkdir()
        file.write_text(TALK)
    answers = tmp_path / "draft/proposals.yaml"
    propose_job(files, to=answers.parent, answers=answers)
    assert captions_of(answers) == (("talk", files[0]), ("more", files[1]))
    steps = read_procedure(answers.parent / "procedure.yaml").procedure.placed_steps()
    told = [told_at(placed.step.not_filmed) for placed in steps]
    told_in = [one and one.recording for one in told]
    assert told_in == sorted(told_in, reverse=True)
    assert set(told_in) == {"talk", "more"}


def test_captions_that_are_gone_are_named(tmp_path):
    file = tmp_path / "a/talk.vtt"
    file.parent.mkdir()
    file.write_text(TALK)
    answers = tmp_path / "draft/proposals.yaml"
    propose_job([file], to=answers.parent, answers=answers)
    file.unlink()
    with pytest.raises(InputError, match=r"'talk\.vtt'"):
        captions_of(answers)


def test_a_sheet_without_captions_has_none(tmp_path):
    assert captions_of(tmp_path / "proposals.yaml") == ()


def test_captions_beside_the_draft_are_not_noted_anywhere_else(tmp_path):
    file = tmp_path / "draft/talk.vtt"
    file.parent.mkdir()
    file.write_text(TALK)
    answers = tmp_path / "draft/proposals.yaml"
    propose_job([file], to=answers.parent, answers=answers)
    sheet = read_answers(answers)
    assert sheet is not None
    assert sheet.captions == ("talk.vtt",)
    names = {each.name for each in answers.parent.iterdir()}
    assert names == {"talk.vtt", "procedure.yaml", "proposals.yaml"}


@pytest.mark.parametrize(
    ("said", "noted"),
    [
        (
            "Schrauben Sie die Haube ab und ziehen Sie dann die Welle heraus. Vorsicht, das Lager "
            "ist noch sehr warm, nehmen Sie Handschuhe.",
            True,
        ),
        ("Circlip out. Seal out. Bearing out with the puller, and the shaft comes away.", False),
        ("Haube ab.", False),
    ],
)
def test_talk_that_is_not_english_is_noted(said, noted):
    assert bool(english_note(told(said))) is noted


def test_drafts_of_one_folder_have_a_sheet_each(tmp_path):
    captions = tmp_path / "talk.vtt"
    captions.write_text(TALK)
    for name in ("a.yaml", "b.yaml"):
        propose_job([captions], to=tmp_path / name, answers=answers_for(tmp_path / name))
    assert (tmp_path / "a.proposals.yaml").exists()
    propose_job([captions], to=tmp_path / "a.yaml", answers=answers_for(tmp_path / "a.yaml"))
    assert answers_for(tmp_path / "procedure.yaml") == tmp_path / "proposals.yaml"
