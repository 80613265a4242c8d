"""Marks, clock readings, durations, and the frame a mark means."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.procedure.facts import RecordingFacts
from author.procedure.quantities import round_fraction
from author.procedure.times import clock_text, read_clock, read_duration, read_mark


def ticks(count: int, base: Fraction) -> Decimal:
    """Return the seconds of whole ticks of a time base, as a file has them."""
    return round_fraction(count * base, 6)


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("0", "0.000000"), ("12.5", "12.500000"), ("12.500000", "12.500000"),
     ("9999999.999999", "9999999.999999"), ("0.000001", "0.000001")],
)  # fmt: skip
def test_marks(text: str, seconds: str) -> None:
    assert str(read_mark(text)) == seconds


NO_MARKS = ["", "-1", "+1", "1.", ".5", "01", "1e3", "1.0000001", "12345678", "nan", "1,5", "1 ",
            "1\n", "١", "1:00"]  # fmt: skip


@pytest.mark.parametrize("text", NO_MARKS)
def test_what_is_no_mark_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="time in seconds"):
        read_mark(text)


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("75.5", "75.500000"), ("1:15.5", "75.500000"), ("0:01:15.5", "75.500000"),
     ("90:00", "5400.000000"), ("1:00:00", "3600.000000"), ("0:00.000001", "0.000001")],
)  # fmt: skip
def test_what_a_person_types(text: str, seconds: str) -> None:
    assert str(read_clock(text)) == seconds


@pytest.mark.parametrize(
    "text", ["1:60", "1:60:00", "1:5", ":30", "1:", "1:2:3:4", "-1:00", "1:00\n", "١:٠٠", ""]
)
def test_what_is_no_clock_reading_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"time in seconds|more than 59"):
        read_clock(text)


@pytest.mark.parametrize(
    ("seconds", "decimals", "text"),
    [("125.39", 1, "2:05.4"), ("59.999999", 1, "1:00.0"), ("59.949999", 1, "0:59.9"),
     ("5.28", 1, "0:05.3"),
     ("0", 1, "0:00.0"), ("7200", 0, "120:00"), ("125.123456", 6, "2:05.123456")],
)  # fmt: skip
def test_clock_text_is_rounded(seconds: str, decimals: int, text: str) -> None:
    assert clock_text(Decimal(seconds), decimals) == text


@given(st.integers(0, 359_999_999_999))
def test_a_clock_reading_comes_back(micro: int) -> None:
    seconds = Decimal(micro) / 10**6
    assert read_clock(clock_text(seconds, 6)) == seconds


# RFC 3339, appendix A, as the JSON Schema test suite has it (draft2020-12/optional/format/
# duration.json) [S]. A labour time is hours and minutes, so of the valid ones only some are.
VALID_AND_OURS = [("PT36H", 36 * 60), ("PT1H30M", 90)]
VALID_NOT_OURS = ["P4DT12H30M5S", "PT0S", "P0D", "P1DT12H", "P2W", "P01D"]
INVALID = ["PT1D", "P", "PT", "P1YT", "P2D1Y", "P1D2H", "P2S", "P1Y2W", "P1Y2D", "PT1H2S", "PT0.5S",
           "PT0,5S", "-P1D", "P1e2D", "P1WT1H"]  # fmt: skip


@pytest.mark.parametrize(("text", "minutes"), [*VALID_AND_OURS, ("PT2H", 120), ("PT45M", 45)])
def test_durations(text: str, minutes: int) -> None:
    assert read_duration(text) == minutes


@pytest.mark.parametrize(
    "text", [*VALID_NOT_OURS, *INVALID, "", "2h", "pt2h", "PT2H\n", "PT99999H", "PT2H100M", "PTH"]
)
def test_other_durations_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="PT2H30M"):
        read_duration(text)


def test_stream_time_is_exact_until_it_is_told() -> None:
    assert str(ticks(1, Fraction(1, 90_000))) == "0.000011"
    assert str(ticks(1001, Fraction(1, 30_000))) == "0.033367"


def facts(starts: list[Decimal], duration: Decimal) -> RecordingFacts:
    return RecordingFacts("a.mp4", 1, "0" * 64, 2, 2, tuple(starts), duration)


@given(
    st.lists(st.integers(0, 400), min_size=1, max_size=30, unique=True),
    st.integers(1, 40),
    st.integers(0, 500),
)
def test_nearest_boundary_against_looking_at_all(gaps: list[int], last: int, at: int) -> None:
    starts = [Decimal(n) / 100 for n in sorted(gaps)]
    duration = starts[-1] + Decimal(last) / 100
    seconds = Decimal(at) / 100
    boundaries = [*starts, duration]
    nearest = min(range(len(boundaries)), key=lambda i: (abs(boundaries[i] - seconds), i))
    assert facts(starts, duration).index_at(seconds) == nearest


def test_ties_and_ends() -> None:
    film = facts([Decimal(0), Decimal(1), Decimal(2)], Decimal(3))
    assert film.index_at(Decimal("0.5")) == 0
    assert film.index_at(Decimal("0.500001")) == 1
    assert film.index_at(Decimal("2.5")) == 2
    assert film.index_at(Decimal("2.500001")) == film.frame_count == 3
    assert film.index_at(Decimal(99)) == 3
    assert facts([], Decimal(0)).index_at(Decimal(1)) == 0


@given(st.integers(1, 500), st.sampled_from([Fraction(1, 30000), Fraction(1, 90000)]))
def test_a_start_told_with_six_decimals_means_its_frame(index: int, base: Fraction) -> None:
    starts = [ticks(n * 1001, base) for n in range(501)]
    film = facts(starts, ticks(501 * 1001, base))
    assert film.index_at(read_mark(str(starts[index]))) == index
