"""What is turned tight, and what only sounds like it."""

import pytest

from author.proposals.language.fasteners import fastener_in, is_fastener


@pytest.mark.parametrize(
    "name",
    ["cover bolts", "locknut", "lock nut", "wingnuts", "grub screw", "coach-screws", "studs",
     "drain plug", "cable glands", "union", "U-bolts", "wheel nut"],
)  # fmt: skip
def test_what_is_turned_tight_is_a_fastener(name):
    assert is_fastener(name)


@pytest.mark.parametrize(
    "name",
    ["leadscrew", "lead screw", "ball screws", "corkscrew", "walnut", "deadbolt", "bolt cover",
     "nut driver", "plug socket", "gland packing", "screwdriver", "bearing", ""],
)  # fmt: skip
def test_what_only_sounds_like_one_is_none(name):
    assert not is_fastener(name)


def test_the_first_fastener_of_a_text_is_found():
    assert fastener_in("Bring the ball screw up and nip the locknuts.") == "locknuts"
    assert fastener_in("Grease the lead screw until it runs tight.") is None
