"""Numbers out of words: what value a run of words has, and where it ends."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.proposals.quantities.numbers.parts import decimal_of
from author.proposals.quantities.numbers.tokens import tokens_of
from author.proposals.quantities.numbers.words import Number, number_at
from author.proposals.quantities.reading import quantities_in
from proposals.said import told

ONES = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
]
ONES += ["fifteen", "sixteen", "seventeen", "eighteen", "nineteen"]
TENS = ["-", "-", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def number_of(text: str) -> Number | None:
    tokens = tokens_of(text)
    return number_at(tokens, 0) if tokens else None


def below_hundred(value: int) -> str:
    if value < 20:
        return ONES[value]
    return TENS[value // 10] + (f"-{ONES[value % 10]}" if value % 10 else "")


def in_words(value: int, *, joiner: str) -> str:
    if value >= 1000:
        rest = value % 1000
        tail = f"{joiner if rest < 100 else ''} {in_words(rest, joiner=joiner)}" if rest else ""
        return f"{in_words(value // 1000, joiner=joiner)} thousand{tail}"
    if value >= 100:
        rest = value % 100
        return f"{ONES[value // 100]} hundred" + (f"{joiner} {below_hundred(rest)}" if rest else "")
    return below_hundred(value)


@pytest.mark.parametrize(
    ("said", "value"),
    [
        ("two point five", "2.5"),
        ("point zero zero five", "0.005"),
        ("oh point one", "0.1"),
        ("one point oh five", "1.05"),
        ("nought point two", "0.2"),
        ("forty point oh one", "40.01"),
        ("nine point eight zero", "9.80"),
        ("point double oh two", "0.002"),
        ("twelve point seventy five", "12.75"),
        ("point one twenty five", "0.125"),
        ("point five hundred", "0.500"),
        ("1 point 5", "1.5"),
        ("two and a half", "2.5"),
        ("two and three eighths", "2.375"),
        ("three quarters", "0.75"),
        ("seven thirty-seconds", "0.21875"),
        ("a 32nd", "0.03125"),
        ("5 16ths", "0.3125"),
        ("2-1/2", "2.5"),
        ("5 3/4", "5.75"),
        ("4½", "4.5"),
        ("1 and a half", "1.5"),
        ("three fifty", "350"),
        ("twelve fifty", "1250"),
        ("one oh five", "105"),
        ("fifteen hundred", "1500"),
        ("a hundred and ten", "110"),
        ("three and a half thousand", "3500"),
        ("1,250", "1250"),
        ("five ten-thousandths", "0.0005"),
    ],
)
def test_value_and_digits_are_those_said(said: str, value: str) -> None:
    number = number_of(said)
    assert number is not None
    assert str(number.value) == value
    assert number.last == len(tokens_of(said))


@pytest.mark.parametrize(
    ("said", "value", "words"),
    [
        ("two hundred and two fifty", "200", 2),
        ("one point two one point six", "1.2", 3),
        ("thirty seconds", "30", 1),
        ("two two and a half", "2", 1),
        ("one hundred thousandths", "100", 2),
        ("six to eight", "6", 1),
    ],
)
def test_number_ends_where_another_begins(said: str, value: str, words: int) -> None:
    number = number_of(said)
    assert number is not None
    assert (str(number.value), number.last) == (value, words)


@pytest.mark.parametrize("said", ["0,25", "2,5", "12,34,567"])
def test_comma_that_can_be_a_decimal_point_has_no_value(said: str) -> None:
    number = number_of(said)
    assert number is not None
    assert number.value is None


@pytest.mark.parametrize("said", ["six two oh three", "007", "seven four one two"])
def test_digits_said_one_by_one_are_a_code(said: str) -> None:
    number = number_of(said)
    assert number is not None
    assert number.form == "spelled"


@pytest.mark.parametrize("said", ["bolts", "a bolt", "point", "oh dear", "", "and a half"])
def test_other_words_are_no_number(said: str) -> None:
    assert number_of(said) is None


def test_spot_is_no_decimal_point() -> None:
    tokens = tokens_of("at this point two bolts")
    assert number_at(tokens, 2) is None


@given(st.integers(1, 999_999), st.sampled_from([" and", ""]))
def test_whole_numbers_read_back(value: int, joiner: str) -> None:
    number = number_of(in_words(value, joiner=joiner))
    assert number is not None
    assert number.value == value


@given(st.integers(0, 99), st.text("0123456789", min_size=1, max_size=6))
def test_decimals_read_back_with_every_digit(whole: int, digits: str) -> None:
    words = " ".join("oh" if digit == "0" else ONES[int(digit)] for digit in digits)
    number = number_of(f"{below_hundred(whole)} point {words}")
    assert number is not None
    assert str(number.value) == str(Decimal(f"{whole}.{digits}"))


@given(st.fractions(0, 50, max_denominator=64))
def test_fraction_is_exact_or_says_it_is_rounded(value: Fraction) -> None:
    decimal, rounded = decimal_of(value)
    assert rounded is (Fraction(decimal) != value)
    assert abs(Fraction(decimal) - value) <= Fraction(1, 20000)


@given(st.text(max_size=200))
def test_any_text_is_read_without_fault(text: str) -> None:
    tokens = tokens_of(text)
    assert all(text[token.begin : token.end] == token.text for token in tokens)
    for at in range(len(tokens)):
        number = number_at(tokens, at)
        assert number is None or at < number.last <= len(tokens)


def test_so_many_of_a_size_are_no_part_of_an_inch():
    found = [q.text for q in quantities_in(told("There are nine quarter inch balls in it."))]
    assert found == ["quarter inch"]
    for text in ("It's nine quarters of an inch.", "It's five quarter inch thick."):
        assert quantities_in(told(text))[0].nominal > 1
