"""The index of a film: which frame a mark means."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from author.procedure.facts import RecordingFacts
from author.recording.index import FilmIndex, Geometry


def index_of(ticks: list[int], base: Fraction, origin: int) -> FilmIndex:
    return FilmIndex(
        container="mp4",
        codec="h264",
        stream=0,
        time_base=base,
        container_start=origin,
        origin=origin,
        ticks=tuple(ticks[:-1]),
        end_tick=ticks[-1],
        keys=(0,),
        timed=True,
        geometry=_geometry(),
        matrix=1,
        full_range=False,
        sound=None,
        chapters=(),
        damage=(),
    )


def _geometry() -> Geometry:
    names = Geometry.__dataclass_fields__
    return Geometry(**dict.fromkeys(names, 0))


@given(
    st.lists(st.integers(0, 500_000), min_size=2, max_size=40, unique=True).map(sorted),
    st.sampled_from([Fraction(1, 90_000), Fraction(1, 30_000), Fraction(1, 1000), Fraction(3, 7)]),
    st.integers(-1_000_000, 1_000_000),
    st.decimals(-1, 300, places=6),
)
def test_a_mark_means_the_same_frame_by_the_index_and_by_the_facts(ticks, base, origin, mark):
    index = index_of(ticks, base, origin)
    facts = RecordingFacts(
        file="a.mp4",
        size=1,
        sha256="0" * 64,
        width=1,
        height=1,
        frame_starts=tuple(index.clock(tick) for tick in index.ticks),
        duration=index.clock(index.end_tick),
    )
    assert index.index_at(mark) == facts.index_at(mark)


@given(st.lists(st.integers(0, 90_000), min_size=2, max_size=20, unique=True).map(sorted))
def test_the_start_of_a_frame_means_that_frame(ticks):
    index = index_of(ticks, Fraction(1, 90_000), 0)
    for number, tick in enumerate(index.ticks):
        assert index.index_at(index.clock(tick)) == number
    assert index.index_at(index.clock(index.end_tick) + Decimal(1)) == len(index.ticks)


@given(
    st.integers(0, 10**9),
    st.sampled_from(
        [Fraction(1, 90_000), Fraction(1, 12_800), Fraction(3, 7), Fraction(1, 2 * 10**6)]
    ),
    st.integers(-1_000_000, 1_000_000),
)
def test_the_clock_is_the_exact_time_rounded_half_to_even(tick, base, origin):
    clock = index_of([tick, tick + 1], base, origin).clock(tick)
    exact = tick * base - Fraction(origin, 10**6)
    assert Fraction(clock) == Fraction(round(exact * 10**6), 10**6)
    assert -clock.as_tuple().exponent == 6
