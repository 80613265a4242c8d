"""Numbers a shop shortens: first digits not said again, parts of a unit told as whole numbers."""

from __future__ import annotations

import pytest

from author.proposals.quantities.reading import quantities_in
from proposals.said import told


def values(*texts: str) -> list[str]:
    """Return every value of some sentences with its unit."""
    return [
        " ".join(str(v) for v in (one.lower, one.nominal, one.upper, one.unit) if v is not None)
        for one in quantities_in(told(*texts))
    ]


@pytest.mark.parametrize(
    ("texts", "wanted"),
    [
        (
            ["It's seventeen point zero zero two millimetres, zero zero four, and oh oh one."],
            ["17.002 mm", "17.004 mm", "17.001 mm"],
        ),
        (
            ["The pin is thirty-one point nine five mil, ninety-six at the other end."],
            ["31.95 mm", "31.96 mm"],
        ),
        (
            ["I read five point two one four inches, middle two one three, the back two one one."],
            ["5.214 in", "5.213 in", "5.211 in"],
        ),
        (
            ["The stub is one point seven six nine inches, one seven seventy, sixty-eight."],
            ["1.769 in", "1.770 in", "1.768 in"],
        ),
        (["the stubs are 1.769 inches 1.770 68 and that last one's 67"],
         ["1.769 in", "1.770 in", "1.768 in", "1.767 in"]),
        (["The bore's 40.012 mm at the front.", "Oh oh nine at the back."],
         ["40.012 mm", "40.009 mm"]),
    ],
)  # fmt: skip
def test_first_digits_are_those_of_the_value_before(texts: list[str], wanted: list[str]) -> None:
    assert values(*texts) == wanted


@pytest.mark.parametrize(
    ("text", "not_there"),
    [
        ("The shaft is 49.96 mm, and 50 when it was new.", "49.50"),
        ("The shim is 1.25 mm, thirty off.", "1.30"),
        ("The bore is 17.02 mm, thirteen teeth on the gear.", "17.13"),
        ("The liner is 24.32 mm and thirty-one newton metres on the cap.", "24.31"),
        ("It measures 12.35 mm, twelve on the other side.", "12.12"),
        ("The pin is 31.95 mm, so it's good for ninety-four more hours.", "31.94"),
        ("The gap is 1.25 mm, 1.26, and twenty-four is the socket.", "1.24"),
        ("The ring's 24.32 mm, thirty thousandths over.", "24.30"),
        ("It weighs 31.95 kilos, ninety-six with the lid.", "31.96"),
    ],
)
def test_other_numbers_behind_a_value_keep_their_digits(text: str, not_there: str) -> None:
    assert not any(not_there in value for value in values(text))


_HUNDREDTHS = "When I say five I mean five hundredths of a millimetre on this clock."


@pytest.mark.parametrize(
    ("texts", "wanted"),
    [
        ([_HUNDREDTHS, "Turn the shaft, and mine sags eight."], "0.08 mm"),
        ([_HUNDREDTHS, "Now the coupling.", "Rim seven, says the clock."], "0.07 mm"),
        (["Everything on this gauge is hundredths of a mil.", "Six's the most I'd leave."],
         "0.06 mm"),
        (["All my numbers are in hundredths.", "The gap was two mil.", "Minus forty on the clock."],
         "-0.4 mm"),
        (["We count in thousandths of a millimetre here.", "The clock reads eight."], "0.008 mm"),
        (["The run-out is two hundredths here, I've seen five."], "0.05 mm"),
        (["The clearance is three hundredths of a millimetre at most.", "Mine's two."], "0.02 mm"),
    ],
)  # fmt: skip
def test_whole_numbers_are_parts_where_the_film_speaks_of_parts(
    texts: list[str], wanted: str
) -> None:
    assert values(*texts)[-1] == wanted


@pytest.mark.parametrize(
    ("texts", "wanted"),
    [
        ([_HUNDREDTHS, "They were forty mil wide, these are thirty-nine."], "39 mm"),
        ([_HUNDREDTHS, "Gap between the hubs is four mil.", "Mine measures five."], "5 mm"),
        ([_HUNDREDTHS, "The gap is four mil, give or take half a mil."], "3.5 4 4.5 mm"),
        ([_HUNDREDTHS, "The gap's four point two."], "4.2 mm"),
        ([_HUNDREDTHS, "The bolts get thirty newton metres and the small ones ten."], "10 N·m"),
        (["The belt sags eight millimetres.", "You want twelve at most."], "12 mm"),
        (["It ran out a hundredth of a millimetre.", "The key is twenty millimetres long.",
          "This one measures nineteen."], "19 mm"),
        (["There's one screw in a hundred like it, hundredths of them.", "The gap is 4 mil.",
          "Mine measures five."], "5 mm"),
    ],
)  # fmt: skip
def test_other_numbers_keep_their_unit_beside_parts(texts: list[str], wanted: str) -> None:
    assert values(*texts)[-1] == wanted


def test_spanners_and_threads_are_no_parts() -> None:
    some = values(_HUNDREDTHS, "Four bolts, thirty-six spanner, the threads are M24.")
    assert not any("0.36" in one or "0.24" in one for one in some)
