"""A title to be confirmed is made of the words by which the talk announces machine and job."""

from __future__ import annotations

from decimal import Decimal

import pytest

from author.checks.wording import UNWRITTEN
from author.proposals.draft.announced import announced_title, announced_words
from author.proposals.proposal import Proposal


def talk(said, at=2, kind="preview"):
    return Proposal(
        "p", kind, said, said, "film", Decimal(at), Decimal(at + 5), Decimal("0.9"), "told"
    )


@pytest.mark.parametrize(
    ("said", "title"),
    [
        ("Right, so this is a Halvorne pass-through dishwasher out of a school kitchen",
         "Halvorne pass-through dishwasher"),
        ("What we've got here is a forty ton Kessock shop press, H-frame",
         "Forty ton Kessock shop press"),
        ("okay so this is a tarnwick 40 the lower unit we've got milky oil", "Tarnwick 40"),
        ("Hello friends, today we are going to change the vanes of the vacuum pump, this is the "
         "pump of the milking machine", "Change the vanes of the vacuum pump"),
        ("Today we're doing the seal on a bench drill.", "Seal on a bench drill"),
        ("Today we make the door gasket and the safety valve on this dental autoclave, it is new",
         "Door gasket and the safety valve on the dental autoclave"),
        ("This is the organ blower, and today we're replacing the belt.",
         "Organ blower: replace the belt"),
    ],
)  # fmt: skip
def test_machine_and_job_make_a_title_to_be_confirmed(said, title):
    assert announced_title([talk(said)]) == f"{UNWRITTEN} confirm the title: {title}"


@pytest.mark.parametrize(
    "said",
    [
        "Escalator, Kelvane S6, handrail drive, left side",
        "This is a mess.",
        "This is the first time I do one.",
        "What we've got here is a leak.",
        "Today I'm off.",
    ],
)
def test_where_no_form_tells_where_a_name_ends_there_is_none(said):
    assert announced_title([talk(said)]) is None


def test_what_is_told_later_announces_nothing():
    assert announced_title([talk("This is the organ blower.", at=90)]) is None
    assert announced_words([talk("This is the organ blower.", at=90)]) == ""
