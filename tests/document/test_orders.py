"""What to order: quantities, packs, superseded numbers, assemblies, and what is told."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.orders import RULES, Job, OrderSheet, PartLine, order_sheet
from document.samples import base, load

Plain = dict[str, Any]


def part(name: str, number: str | None = None, order: str = "always", **more: Any) -> Plain:
    found = {"id": name, "name": f"Part {name}", "replace": "always", "order": order, **more}
    return found if number is None else {**found, "number": number}


def procedure(name: str, *parts: Plain, revision: int = 1, **more: Any) -> Procedure:
    plain = base()
    plain.update(id=name, revision=revision, parts=[*parts] or "none", **more)
    return load(plain).procedure


def sheet(*procedures: Procedure, times: int = 1) -> OrderSheet:
    return order_sheet([Job(one, times) for one in procedures])


def line(found: OrderSheet, number: str) -> PartLine:
    return next(one for one in found.numbered if one.number == number)


def remarks(found: OrderSheet, number: str) -> str:
    return " | ".join(line(found, number).remarks)


def test_pieces_add_up_over_procedures_before_they_are_packed() -> None:
    one = procedure("a", part("s", "N-1", quantity=2, pack_size=4))
    two = procedure("b", part("t", "N-1", quantity=3, pack_size=4))
    found = line(sheet(one, two), "N-1")
    assert (found.asked(), found.packs(), found.ordered()) == (5, 2, 8)
    assert [(s.procedure, s.revision, s.pieces) for s in found.shares] == [("a", 1, 2), ("b", 1, 3)]


def test_the_strongest_rule_wins_and_quantities_stay_apart() -> None:
    one = procedure("a", part("s", "N-1", "in_case", quantity=1))
    two = procedure("b", part("t", "N-1", "always", quantity=2))
    if_worn = part("u", "N-1", "only_if", quantity=4, order_if="it is scored")
    found = line(sheet(one, two, procedure("c", if_worn)), "N-1")
    assert found.rule == "always"
    assert [found.asked(rule) for rule in RULES] == [2, 1, 4]
    assert found.conditions == ("it is scored",)


def test_packs_can_be_counted_without_what_depends_on_a_condition() -> None:
    one = procedure("a", part("s", "N-1", quantity=2, pack_size=4))
    more = part("u", "N-1", "only_if", quantity=4, order_if="it is scored", pack_size=4)
    found = line(sheet(one, procedure("b", more)), "N-1")
    assert (found.packs("always", "in_case"), found.packs()) == (1, 2)


def test_what_is_never_ordered_is_left_out() -> None:
    assert sheet(procedure("a", part("s", "N-1", "never"))).numbered == ()


def test_times_multiply_and_the_same_procedure_twice_is_done_twice() -> None:
    one = procedure("a", part("s", "N-1", quantity=3))
    assert line(sheet(one, times=4), "N-1").asked() == 12
    twice = sheet(one, one)
    assert [job.times for job in twice.jobs] == [2]
    assert line(twice, "N-1").asked() == 6


@pytest.mark.parametrize("times", [0, -1, 10_001])
def test_impossible_times_are_refused(times: int) -> None:
    with pytest.raises(InputError, match="times"):
        sheet(procedure("a"), times=times)


def test_two_documents_of_one_revision_are_refused() -> None:
    with pytest.raises(InputError, match="two different files are both a, revision 1"):
        sheet(procedure("a", part("s", "N-1")), procedure("a", part("s", "N-2")))


# --- superseded numbers ---


def test_an_old_number_goes_on_the_line_of_the_newest_by_way_of_a_chain() -> None:
    old = procedure("a", part("s", "OLD", quantity=2))
    middle = procedure("b", part("s", "MID", "never", supersedes=["OLD"]))
    new = procedure("c", part("s", "NEW", supersedes=["MID"], pack_size=5))
    found = sheet(old, middle, new)
    assert [one.number for one in found.numbered] == ["NEW"]
    merged = line(found, "NEW")
    assert (merged.asked(), merged.packs(), merged.pack_size) == (3, 1, 5)
    assert merged.instead_of == (("OLD", "MID", "NEW"),)
    assert merged.name == "Part s"


def test_numbers_in_a_circle_are_an_error_that_names_them_and_where() -> None:
    one = procedure("a", part("s", "A", supersedes=["B"]))
    two = procedure(
        "b", part("s", "B", "never", supersedes=["C"]), part("t", "C", supersedes=["A"])
    )
    with pytest.raises(InputError) as caught:
        sheet(one, two)
    assert all(number in caught.value.problem for number in "ABC")
    assert "circle" in caught.value.problem
    assert "a, revision 1" in caught.value.remedy
    with pytest.raises(InputError, match="circle"):
        sheet(procedure("a", part("s", "A", supersedes=["A"])))


def test_a_disputed_successor_is_not_chosen_but_told() -> None:
    old = procedure("a", part("s", "OLD"))
    left = procedure("b", part("s", "N-1", supersedes=["OLD"]))
    right = procedure("c", part("s", "N-2", supersedes=["OLD"]))
    found = sheet(old, left, right)
    assert {one.number for one in found.numbered} == {"OLD", "N-1", "N-2"}
    assert "N-1 and N-2 are both said to take its place" in remarks(found, "OLD")


def test_alternatives_are_named_by_their_newest_number() -> None:
    one = procedure("a", part("s", "N-1", alternatives=["ALT", "N-9"]))
    two = procedure("b", part("s", "ALT-2", "never", supersedes=["ALT"]))
    assert line(sheet(one, two), "N-1").alternatives == ("ALT-2", "N-9")


# --- nothing is settled in silence ---


def test_differing_names_and_packs_are_told_and_the_smaller_pack_counts() -> None:
    one = procedure("a", part("s", "N-1", quantity=60, pack_size=50))
    other = {**part("t", "N-1", pack_size=10), "name": "Another name"}
    found = sheet(one, procedure("b", other))
    assert "“Part s” in a, revision 1; “Another name” in b, revision 1" in remarks(found, "N-1")
    assert "packs of 10 in b, revision 1; packs of 50 in a, revision 1" in remarks(found, "N-1")
    assert (line(found, "N-1").pack_size, line(found, "N-1").packs()) == (10, 7)


def test_a_procedure_that_names_no_pack_does_not_overrule_one_that_does() -> None:
    found = sheet(procedure("a", part("s", "N-1")), procedure("b", part("s", "N-1", pack_size=10)))
    assert line(found, "N-1").pack_size == 10
    assert "no pack named in a, revision 1" in remarks(found, "N-1")


def test_parts_without_a_number_stay_apart() -> None:
    one = procedure("a", part("s"), part("t", "N-1"))
    two = procedure("b", part("s"), part("u", None, supersedes=["OLD"]))
    found = sheet(one, two)
    assert [(u.name, u.shares[0].procedure) for u in found.unnumbered] == [
        ("Part s", "a"),
        ("Part s", "b"),
        ("Part u", "b"),
    ]
    assert "has no number itself" in found.unnumbered[2].remarks[0]


def test_numbers_written_alike_and_names_with_and_without_number_are_asked_about() -> None:
    same = {**part("x"), "name": "PART S"}
    found = sheet(procedure("a", part("s", "BW-101"), part("t", "bw 101"), same))
    assert "Written much like bw 101" in remarks(found, "BW-101")
    assert "BW-101 has the same name" in found.unnumbered[0].remarks[0]


# --- assemblies ---


def box(order: str, supplied: str = "complete", **more: Any) -> Plain:
    contains = [{"part": "seal", "quantity": 2}]
    return part("box", "BOX", order, contains=contains, supplied=supplied, **more)


def seal(order: str = "always", quantity: int = 2) -> Plain:
    return part("seal", "SEAL", order, quantity=quantity)


def test_what_comes_inside_an_assembly_that_is_always_ordered_is_not_ordered_again() -> None:
    found = sheet(procedure("a", box("always"), seal()))
    assert [one.number for one in found.numbered] == ["BOX"]
    assert line(found, "BOX").brings == ("2 × Part seal",)


def test_what_sits_elsewhere_as_well_is_ordered_for_there() -> None:
    found = sheet(procedure("a", box("always", quantity=2), seal(quantity=7)), times=3)
    assert line(found, "SEAL").asked() == (7 - 2 * 2) * 3
    assert "12 more come inside “Part box”" in remarks(found, "SEAL")


@pytest.mark.parametrize("order", ["in_case", "only_if"])
def test_an_assembly_that_may_stay_on_the_shelf_does_not_count(order: str) -> None:
    found = sheet(procedure("a", box(order), seal()))
    assert line(found, "SEAL").asked() == 2
    assert "Comes inside “Part box” too, if that is ordered" in remarks(found, "SEAL")


def test_a_bare_assembly_brings_nothing() -> None:
    found = sheet(procedure("a", box("always", "bare"), seal()))
    assert line(found, "SEAL").asked() == 2
    assert line(found, "SEAL").remarks == ()


def test_what_comes_inside_brings_its_own_contents() -> None:
    """As the ledger has it: a new assembly brings its contents with theirs."""
    outer = part("out", "OUT", contains=[{"part": "box"}], supplied="complete")
    found = sheet(procedure("a", seal(), box("always", "bare"), outer))
    assert [one.number for one in found.numbered] == ["OUT"]


def test_of_assemblies_that_contain_one_another_one_is_still_ordered() -> None:
    one = part("a", "A", contains=[{"part": "b"}], supplied="complete")
    two = part("b", "B", contains=[{"part": "a"}], supplied="complete")
    assert [found.number for found in sheet(procedure("p", one, two)).numbered] == ["A"]
    itself = part("a", "A", contains=[{"part": "a"}], supplied="complete")
    assert [found.number for found in sheet(procedure("p", itself)).numbered] == ["A"]


# --- supplies ---


def test_supplies_merge_by_number_and_by_name_and_tell_how_much_is_used() -> None:
    plain = base()
    plain["supplies"] = [
        {"id": "cloth", "name": "Cloth", "number": "CT-1"},
        {"id": "oil", "name": "Oil", "grade": "ISO VG 32"},
    ]
    plain["sections"][0]["steps"][0]["supplies"] = [
        {"supply": "cloth", "amount": "one", "where": "bore"},
        {"supply": "oil", "amount": "1 mL"},
    ]
    other = {**base(), "id": "b", "supplies": [{"id": "x", "name": "Rag", "number": "CT-1"}]}
    for step in other["sections"][0]["steps"]:
        step.pop("supplies", None)
    oil, cloth = sheet(load(plain).procedure, load(other).procedure).supplies
    assert (oil.name, oil.grade, cloth.name, cloth.number) == ("Oil", "ISO VG 32", "Rag", "CT-1")
    assert [share.amounts for share in oil.shares] == [("1 mL",)]
    assert [share.amounts for share in cloth.shares] == [(), ("one, bore",)]
    assert "several names" in cloth.remarks[0]


# --- laws ---

NUMBERS = ["N1", "N2", "N3", "N4"]


@st.composite
def procedures(draw: st.DrawFn) -> list[Procedure]:
    """A few procedures whose numbers are superseded only by later ones: no circle."""
    found = []
    for name in draw(st.lists(st.sampled_from("abcde"), min_size=1, max_size=4, unique=True)):
        parts = []
        for index in range(draw(st.integers(0, 3))):
            number = draw(st.sampled_from([*NUMBERS, None]))
            rule = draw(st.sampled_from([*RULES, "never"]))
            one = part(f"p{index}", number, rule, quantity=draw(st.integers(1, 9)))
            one["pack_size"] = draw(st.sampled_from([1, 1, 4, 10]))
            if rule == "only_if":
                one["order_if"] = draw(st.sampled_from(["it is worn", "it is bent"]))
            older = NUMBERS[: NUMBERS.index(number)] if number else []
            if older and draw(st.booleans()):
                one["supersedes"] = [draw(st.sampled_from(older))]
            inner = [f"p{n}" for n in range(index)]
            if inner and draw(st.booleans()):
                one["contains"] = [{"part": draw(st.sampled_from(inner))}]
                one["supplied"] = draw(st.sampled_from(["complete", "bare"]))
            parts.append(one)
        found.append(procedure(name, *parts))
    return found


@given(procedures(), st.randoms(use_true_random=False))
def test_the_order_of_procedures_does_not_matter(given_: list[Procedure], dice: Any) -> None:
    mixed = [*given_]
    dice.shuffle(mixed)
    assert sheet(*given_) == sheet(*mixed)


@given(procedures(), st.integers(0, 4), st.integers(0, 4))
def test_merging_is_associative(given_: list[Procedure], first: int, second: int) -> None:
    low, high = sorted((first, second))
    one, two, three = (sheet(*p) for p in (given_[:low], given_[low:high], given_[high:]))
    assert one.merged(two).merged(three) == one.merged(two.merged(three)) == sheet(*given_)


@given(procedures(), st.integers(1, 5))
def test_never_fewer_pieces_than_asked_for(given_: list[Procedure], times: int) -> None:
    found = sheet(*given_, times=times)
    for one in (*found.numbered, *found.unnumbered):
        assert one.ordered() >= one.asked() == sum(one.asked(rule) for rule in RULES)
        assert one.ordered() - one.asked() < one.pack_size
        assert one.packs() == math.ceil(one.asked() / one.pack_size)


@given(procedures(), st.integers(1, 5))
def test_every_piece_is_on_a_line_or_inside_an_assembly(
    given_: list[Procedure], times: int
) -> None:
    """Counted anew from the document: no job gets less than it needs of any part."""
    found = sheet(*given_, times=times)
    for one in given_:
        known = {p.id: p for p in one.parts}
        for wanted in one.parts:
            if wanted.order == "never":
                continue
            shares = [
                share.pieces
                for entry in (*found.numbered, *found.unnumbered)
                for share in entry.shares
                if (share.procedure, share.part) == (one.id, wanted.id)
            ]
            inside = brought(known, wanted.id)
            assert sum(shares) == max(0, wanted.quantity - inside) * times


def brought(known: dict[str, Any], name: str, depth: int = 0) -> int:
    """Pieces that come inside assemblies, by the definition: part by part, outward."""
    total = 0
    for outer in known.values():
        each = sum(c.quantity for c in outer.contains or () if c.part == name)
        within = brought(known, outer.id, depth + 1) if each else 0
        sure = outer.order == "always" and outer.supplied == "complete"
        total += each * (within + (max(0, outer.quantity - within) if sure else 0))
    return total
