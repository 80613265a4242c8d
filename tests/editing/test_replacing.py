"""One value is put in the place of another: only what is on the way is made anew."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.checks import check
from author.contract.procedure_file import read_procedure
from author.editing import address_of, nearest, path_of, replaced, value_at
from author.errors import InputError
from author.procedure.document import Procedure
from editing.opened import EVERYTHING, same, small
from editing.wishes import places

WHOLE = read_procedure(EVERYTHING).procedure
STEP = ("sections", 0, "steps", 1)


def test_all_but_the_path_is_the_identical_object() -> None:
    old = small()
    new = replaced(old, (*STEP, "specs", 0, "upper"), "6.10")
    assert value_at(new, (*STEP, "specs", 0, "upper")) == Decimal("6.10")
    assert value_at(old, (*STEP, "specs", 0, "upper")) == Decimal("6.00")
    assert new.sections[0].steps[0] is old.sections[0].steps[0]
    assert new.sections[0].steps[1].clip is old.sections[0].steps[1].clip
    assert new.parts is old.parts


def test_the_digits_are_kept_as_written() -> None:
    new = replaced(small(), (*STEP, "specs", 0, "upper"), "6.100")
    assert str(value_at(new, (*STEP, "specs", 0, "upper"))) == "6.100"


def test_a_remark_leads_to_the_place_it_is_about() -> None:
    procedure = replaced(small(), (*STEP, "specs", 0, "source"), None)
    found = [remark.path for remark in check(procedure).remarks]
    assert [address_of(procedure, path) for path in found if "specs" in path] == [
        ("steps", "guard-on", "specs", "gap")
    ]


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        (("title",), None, "'title' has to be there"),
        (("title",), "two\nlines", "line end"),
        (("title",), 7, "has to be text"),
        (("revision",), "2", "a whole number"),
        (("revision",), 0, "at least 1"),
        ((*STEP, "specs", 0, "upper"), "1,250", "'upper'"),
        ((*STEP, "specs", 0, "unit"), "furlong", "not a unit on the list"),
        ((*STEP, "clip", "from"), "soon", "'from'"),
        ((*STEP, "clip"), {"recording": "film", "from": "1"}, "the key 'to' is missing"),
        ((*STEP, "clip"), {"recording": "film", "form": "1", "to": "2"}, "unknown key 'form'"),
        ((*STEP, "hazards"), [{"signal": "HEY", "hazard": "x", "avoid": "y"}], "'signal' is 'HEY'"),
        (("sections", 0, "steps"), (), "empty list"),
        (("unit",), "drill", "a block of keys"),
        (("nowhere",), "x", "no value 'nowhere'"),
        (("parts", 7, "name"), "x", "no part 8"),
        (("steps", "gone", "action"), "x", "no step 'gone'"),
        ((*STEP, "decision", "question"), "x", "no value 'question'"),
        ((), "x", "cannot be replaced"),
    ],
)
def test_what_cannot_be_is_refused_in_the_documents_words(
    path: tuple[str | int, ...], value: Any, said: str
) -> None:
    with pytest.raises(InputError) as caught:
        replaced(small(), path, value)
    assert said in str(caught.value)
    assert caught.value.remedy


def test_none_takes_out_sets_back_and_removes() -> None:
    old = small()
    assert replaced(old, (*STEP, "still"), None).sections[0].steps[1].still is None
    assert replaced(old, ("parts", 0, "quantity"), None).parts[0].quantity == 1
    assert replaced(old, ("parts", 0), None).parts == ()
    assert replaced(old, (*STEP, "specs", 0), None).sections[0].steps[1].specs is None
    assert replaced(old, ("limits_of_use",), ["Never at night"]).limits_of_use == (
        "Never at night",
    )


@given(st.sampled_from(places(WHOLE)))
def test_what_is_there_may_be_put_there(place: tuple[tuple[str | int, ...], Any]) -> None:
    path, value = place
    address = address_of(WHOLE, path)
    assert path_of(WHOLE, address) == path
    assert value_at(WHOLE, address) is value
    holder = value_at(WHOLE, path[:-1])
    inside_a_point = len(path) > 1 and isinstance(path[-2], int) and isinstance(holder, tuple)
    if not inside_a_point:
        assert same(replaced(WHOLE, address, value), WHOLE)


def test_ids_that_are_given_twice_are_told_apart_by_their_place() -> None:
    twice = replaced(small(), (*STEP, "id"), "guard-off")
    assert address_of(twice, (*STEP, "action")) == ("sections", "work", "steps", 1, "action")
    assert address_of(twice, ("sections", 9)) == ("sections",)


def test_what_is_gone_leads_to_its_neighbour() -> None:
    old = small()
    fewer = replaced(old, STEP, None)
    assert nearest(("steps", "guard-on", "clip"), old, fewer) == ("steps", "guard-off")
    assert nearest(("steps", "guard-off"), old, fewer) == ("steps", "guard-off")
    assert nearest(("parts", "gone", "name"), old, fewer) == ("parts",)


def test_the_sample_is_looked_at_everywhere() -> None:
    assert isinstance(WHOLE, Procedure)
    assert len(places(WHOLE)) > 1000
