"""Which thing a part number belongs to, what is always renewed, and what comes in a kit."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from author.proposals.draft.entries import thing_entry
from proposals.said import told


def parts(*texts: str, detail: str) -> dict[str, str]:
    """Return a detail of each part that has it."""
    found = propose(told(*texts)).proposals
    return {p.text: d for p in found if p.kind == "part" and (d := p.detail(detail))}


@pytest.mark.parametrize(
    ("texts", "numbers"),
    [
        (("Don't forget the O-ring under the tube, VO-114.",), {"O-ring": "VO-114"}),
        (
            ("Lift it off.", "There's a shim behind the old bearing, number HB-220."),
            {"shim": "HB-220"},
        ),
        (("Fit the new seal in the housing, that's AB-331.",), {"seal": "AB-331"}),
        (("The filter in the bowl is part number KF-118.",), {"filter": "KF-118"}),
        (
            ("Group gasket, eight and a half millimetres thick, part number VG-8511.",),
            {"group gasket": "VG-8511"},
        ),
        (("Take the filter out of the bowl.", "That's KF-118."), {"filter": "KF-118"}),
        # The noun beside the number, where that is spoken of.
        (("Take the seal out.", "The housing, HG-110, can be cracked."), {"housing": "HG-110"}),
        (("Take the seal out of the housing HG-110.",), {"housing": "HG-110"}),
        (("Fit the plunger with the spring, VS-221.",), {"spring": "VS-221"}),
        (("The belt, AB-120, runs over the pulley, AB-130.",), {"belt": "AB-120",
                                                                "pulley": "AB-130"}),
        (("Pull the pin.", "That one's sold and the bush is AB-221."), {"bush": "AB-221"}),
        (("Take the cover off, then check part number AB-20 is on the label.",), {}),
    ],
)  # fmt: skip
def test_a_part_number_is_that_of_what_is_spoken_of(
    texts: tuple[str, ...], numbers: dict[str, str]
) -> None:
    assert parts(*texts, detail="number") == numbers


@pytest.mark.parametrize(
    ("texts", "ordered"),
    [
        (("The O-ring under the tube, always a new one.",), {"O-ring": "yes"}),
        (("The lock washer, always new.",), {"lock washer": "yes"}),
        (("Take the bolts out.", "Always fit new bolts."), {"bolt": "yes"}),
        (("Never reuse the gasket on the pump.",), {"gasket": "yes"}),
        (("The crush washer under the plug gets renewed every time.",), {"crush washer": "yes"}),
        # New, but not every time; or nothing that is renewed.
        (("Always clean the new seal before it goes in.",), {}),
        (("The bearing is always noisy when it's new.",), {}),
        (("Always check the gasket.", "Fit the cover."), {}),
        (("Never use the hammer on the pin.",), {}),
    ],
)
def test_what_is_always_new_is_ordered(texts: tuple[str, ...], ordered: dict[str, str]) -> None:
    assert parts(*texts, detail="ordered") == ordered


@pytest.mark.parametrize(
    ("texts", "held"),
    [
        (
            ("take the old seals off piston seal wear ring rod seal and wiper the kit is HB-4471"
             " that's got all of them in",),
            {"piston seal", "wear ring", "rod seal", "wiper"},
        ),
        (
            ("Take the wiper and the rod seal out of the housing.",
             "They all come in the seal kit."),
            {"wiper", "rod seal"},
        ),
        (("The gasket kit comes with two rings and a gasket.",), {"ring", "gasket"}),
        (("Take the jet out.", "There's a kit, KJ-20, but it hasn't got those in."), set()),
        (("The kit's got all the tools in it, so lay them out.",), set()),
        (("Undo the plug with the set and get them out.",), set()),
        (("Take the jet out.", "If you buy the kit it has all of them in."), set()),
    ],
)  # fmt: skip
def test_what_comes_in_a_kit_stays_a_part(texts: tuple[str, ...], held: set[str]) -> None:
    assert set(parts(*texts, detail="kit")) == held


def test_a_kit_is_ordered_and_what_it_holds_is_not() -> None:
    found = propose(told("Pull the rod seal and the wiper out.",
                         "The seal kit, SK-40, has both of them in."))  # fmt: skip
    entries = {p.text: thing_entry(p, {}) for p in found.proposals if p.kind == "part"}
    assert (entries["seal kit"]["number"], entries["seal kit"]["order"]) == ("SK-40", "always")
    assert entries["wiper"] == {
        "name": "Wiper", "replace": "always", "order": "never",
        "note": "Comes with the seal kit SK-40",
    }  # fmt: skip


def test_a_seal_of_a_housing_is_one_thing() -> None:
    names = propose(told("Pull the shaft seal housing gasket off."))
    assert "shaft seal housing gasket" in {p.text for p in names.proposals}
