"""Quantities out of what is said: numbers, role, unit, and what is left alone."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from author.procedure.units import all_units
from author.proposals.quantities.reading import SpokenQuantity, quantities_in
from proposals.said import said, told
from proposals.score_phrases import found, marks_wanted, phrases, read, score, texts_of, wanted
from proposals.test_number_words import ONES, below_hundred, in_words

# Least share read rightly of the phrases marked `held`; see the file.
HELD_PRECISION, HELD_RECALL = 0.95, 0.95
# The same of all phrases, with those marked `open`.
ALL_PRECISION, ALL_RECALL = 0.93, 0.92
_PIECES = (
    "two", "point", "oh", "five", "and", "a half", "thirty", "seconds", "to", "between", "mm",
    "3/8", "-", "±",
    "plus or minus", "no, sorry,", "not", "no more than", "or better", "m", "by", "degrees",
    "thou", "tenths", "mil",
    "max", "hundred", "thousand", "1,5", "10.9", "%", "it's", "from the", "foot pounds", ",", ".",
)  # fmt: skip


def name_of(phrase: dict[str, Any]) -> str:
    return " | ".join(texts_of(phrase))


@pytest.mark.parametrize(
    "phrase", [one for one in phrases(held=False) if not one.get("open")], ids=name_of
)
def test_phrase_is_read_rightly(phrase: dict[str, Any]) -> None:
    have = read(phrase)
    assert found(have) == wanted(phrase)
    assert [_marks(one) for one in have] == marks_wanted(phrase)
    for field in ("characteristic", "datum", "positions", "quantity"):
        if field in phrase:
            assert getattr(have[0], field) == phrase[field]


def _marks(one: SpokenQuantity) -> set[str]:
    marks = {"carried": one.carried_unit, "corrected": one.corrected}
    return {name for name, is_set in marks.items() if is_set}


def test_phrases_kept_back_are_mostly_read_rightly() -> None:
    right, read_out, due = score(phrases(held=True))
    assert due > 80
    assert right / read_out >= HELD_PRECISION
    assert right / due >= HELD_RECALL


def test_phrases_are_mostly_read_rightly_with_those_that_are_open() -> None:
    right, read_out, due = score(phrases())
    assert right / read_out >= ALL_PRECISION
    assert right / due >= ALL_RECALL


def test_reason_and_confidence_tell_what_was_carried() -> None:
    sure, carried = quantities_in(told("Three newton metres first, then six."))
    assert sure.confidence > carried.confidence
    assert "carried over" in carried.reason


def test_unit_that_nobody_said_is_left_open_and_doubted() -> None:
    (one,) = quantities_in(told("No more than zero point one five."))
    assert one.unit is None
    assert one.confidence < Decimal("0.5")
    assert "no unit was said" in one.reason


def test_nothing_is_carried_from_another_recording() -> None:
    first = said("The gap is two millimetres.", recording="saw")
    second = said("No more than zero point one five.", recording="phone")
    assert quantities_in((first, second))[-1].unit is None


@pytest.mark.parametrize(
    ("before", "now"),
    [
        ("The plug is thirty newton metres.", "Check the resistance, twelve point six."),
        ("Warm it to eighty degrees Celsius.", "The pressure is two point five."),
        ("Ten thou of end float.", "The resistance should be four point seven."),
    ],
)
def test_no_unit_of_another_quantity_is_carried(before: str, now: str) -> None:
    assert quantities_in(told(before, now))[-1].unit is None


@pytest.mark.parametrize(
    ("others", "unit"),
    [
        (["The gap is two millimetres.", "Forty newton metres."], "°C"),
        (["The gap is two inches.", "Forty foot pounds."], "°F"),
        (["Grab the spanner.", "Five thou of float."], "°C"),
        (["Open the door."], None),
    ],
)
def test_scale_of_degrees_follows_the_other_units(others: list[str], unit: str | None) -> None:
    last = quantities_in(told(*others, "Get the oven up to two hundred degrees."))[-1]
    assert (last.unit, last.quantity) == (unit, "temperature")
    assert last.confidence < Decimal("0.6")


def test_a_micrometer_in_hand_tells_the_unit_and_the_role() -> None:
    (one,) = quantities_in(told("Micrometer on the outer seat.", "Sixteen point nine nine five."))
    assert (one.role, one.unit, one.carried_unit) == ("measured", "mm", True)
    assert one.confidence <= Decimal("0.5")


@pytest.mark.parametrize("said_as", ["One four nine eight.", "1498", "One point four nine eight."])
def test_digits_of_inches_are_read_where_inches_were_told(said_as: str) -> None:
    last = quantities_in(told("The shaft is an inch and a half.", "Mic it.", said_as))[-1]
    assert (last.nominal, last.unit) == (Decimal("1.498"), "in")


def test_correction_far_away_takes_nothing_back() -> None:
    texts = ["Set it to ten bar.", "Open the door.", "Look inside.", "Sorry, twelve bar."]
    assert [one.nominal for one in quantities_in(told(*texts))] == [10, 12]


def test_comma_is_asked_and_not_guessed() -> None:
    (one,) = quantities_in(told("Set the gap to 0,25 mm."))
    assert one.nominal is None
    assert "comma" in one.reason


def test_same_text_gives_the_same_quantities() -> None:
    texts = [text for phrase in phrases() for text in texts_of(phrase)][::4]
    assert quantities_in(told(*texts)) == quantities_in(told(*texts))


@given(
    st.integers(1, 999),
    st.text("123456789", max_size=3),
    st.sampled_from(["mm", "in", "N·m", "lbf·ft", "bar", "V", "kPa", "L"]),
)
def test_value_in_words_reads_back_with_its_unit(whole: int, digits: str, unit: str) -> None:
    words = in_words(whole, joiner=" and")
    value = str(whole)
    if digits:
        words += " point " + " ".join(ONES[int(digit)] for digit in digits)
        value += f".{digits}"
    name = all_units()[unit].name.replace("pound-force foot", "foot pound")
    plural = {"inch": "inches", "bar": "bar", "kilopascal": "kilopascals"}.get(name, f"{name}s")
    for said_as in (
        f"{words} {plural}",
        f"{value} {plural}",
        f"set it to {words} {plural}, please",
    ):
        (one,) = quantities_in(told(said_as))
        assert (one.role, str(one.nominal), one.unit) == ("aim", value, unit)


@given(st.integers(2, 60), st.integers(1, 30), st.sampled_from(["to", "up to", "-"]))
def test_range_in_words_reads_back(low: int, more: int, joiner: str) -> None:
    texts = (f"between {below_hundred(low)} and {below_hundred(low + more)} psi",
             f"{low} {joiner} {low + more} psi")  # fmt: skip
    for text in texts:
        (one,) = quantities_in(told(text))
        assert one.role == "limits"
        assert [one.lower, one.upper] == [Decimal(low), Decimal(low + more)]


@example("100;0K")
@example("0- TWO- 1")
@given(
    st.one_of(st.text(max_size=120), st.lists(st.sampled_from(_PIECES), max_size=30).map(" ".join))
)
def test_any_text_is_read_without_fault(text: str) -> None:
    if not text.split():
        return
    sentences = told(text, text)
    for one in quantities_in(sentences):
        whole = sentences[one.sentence].text
        assert one.text == whole[one.begin : one.end]
        assert 0 <= one.begin < one.end <= len(whole)
        assert 0 < one.confidence <= 1
        assert one.unit is None or one.unit in all_units()
        values = [v for v in (one.lower, one.nominal, one.upper) if v is not None]
        assert one.role == "tolerance" or values == sorted(values)


@pytest.mark.parametrize(
    "piece", ["two point ", "x" * 7, "and a half to ", "no more than ", "1,5 mm, ", "m 8 by "]
)
def test_ten_thousand_letters_of_one_piece_are_read(piece: str) -> None:
    assert len(quantities_in(told(piece * (10_000 // len(piece))))) < 10_000


@pytest.mark.parametrize(
    "text", ["Set the gap to forty thou {} fifty thou.", "Four inches {} give or take an eighth."]
)
def test_one_long_word_between_values_is_read(text: str) -> None:
    """A word that could be parted in many ways has no end."""
    assert quantities_in(told(text.format("a" * 4_000)))


@pytest.mark.parametrize(
    ("limits", "said_as", "value"),
    [
        ("Eighty to eighty point one five millimetres.", "80 oh 6", "80.06"),
        ("No less than forty-nine point seven millimetres.", "forty-nine eight", "49.8"),
        ("A hundred and seventy-five to a hundred and eighty-five bar.", "One eighty-one", "181"),
        ("One point seven to one point nine bar.", "One seventy-five", "1.75"),
        ("Nine and a half amps at most.", "Eight one", "8.1"),
        ("The step is 24.98 to 25 millimetres.", "2499", "24.99"),
        ("Ten to twenty thou.", "fifteen", "15"),
    ],
)
def test_values_told_before_say_where_a_point_was_left_out(
    limits: str, said_as: str, value: str
) -> None:
    spec, one = quantities_in(told(limits, said_as))
    assert (one.nominal, one.unit) == (Decimal(value), spec.unit)
    assert one.confidence < spec.confidence


def test_digits_that_nothing_explains_get_no_point() -> None:
    texts = ["The gap is two millimetres.", "Forty-nine eight, says the card."]
    assert all(one.nominal != Decimal("49.8") for one in quantities_in(told(*texts)))


def test_thousandths_are_of_the_millimetre_where_nobody_speaks_of_inches() -> None:
    texts = ["The seat is forty millimetres.", "Up to three thousandths out of round."]
    assert (last := quantities_in(told(*texts))[-1]).unit == "mm"
    assert last.upper == Decimal("0.003")
    texts[0] = "The seat is an inch and a half."
    assert quantities_in(told(*texts))[-1].unit == "thou"
