"""A difference leads from any document to any other, is small, and is not trusted."""

import json
from random import Random
from typing import Any

import pytest
from document.edits import edited
from hypothesis import given, settings
from hypothesis import strategies as st

from author.contract.procedure_file import as_plain, read_procedure
from author.editing import MoveSteps, RemoveSection, SplitSection
from author.editing.patches import difference, differs, pairing, patched
from author.errors import InputError
from editing.opened import EVERYTHING, same, small

WHOLE = read_procedure(EVERYTHING).procedure


@settings(max_examples=20)
@given(st.integers(0, 2**32), st.integers(1, 12))
def test_a_difference_leads_from_one_document_to_any_other(seed: int, edits: int) -> None:
    other = edited(as_plain(WHOLE), Random(seed), edits)
    patch = json.loads(json.dumps(difference(WHOLE, other)))
    assert same(patched(WHOLE, patch), other)
    assert bool(patch) is not same(WHOLE, other)
    back = json.loads(json.dumps(difference(other, WHOLE)))
    assert same(patched(other, back), WHOLE)


def test_what_is_as_it_was_is_the_identical_object_again() -> None:
    copy = read_procedure(EVERYTHING).procedure
    assert difference(WHOLE, copy) == {}
    assert patched(WHOLE, {}) is WHOLE
    fewer = WHOLE.model_copy(update={"sections": copy.sections[1:]})
    found = patched(WHOLE, difference(WHOLE, fewer))
    assert all(a is b for a, b in zip(found.sections, WHOLE.sections[1:], strict=True))


@pytest.mark.parametrize(
    "command",
    [
        MoveSteps((WHOLE.sections[0].steps[0].id,), after=WHOLE.sections[2].steps[0].id),
        SplitSection(WHOLE.sections[1].steps[1].id, "Half"),
        RemoveSection(WHOLE.sections[1].id),
    ],
    ids=["move", "split", "remove"],
)
def test_steps_that_only_move_are_not_written_again(command: Any) -> None:
    after = command.apply(WHOLE)
    patch = difference(WHOLE, after)
    assert len(json.dumps(patch)) < 400
    found = patched(WHOLE, patch)
    assert same(found, after)
    kept = {id(placed.step) for placed in WHOLE.placed_steps()}
    assert all(id(placed.step) in kept for placed in found.placed_steps())


def test_entries_are_known_again_by_identity_id_or_order() -> None:
    a, b, c = WHOLE.tools[:3]
    changed = b.model_copy(update={"note": "x"})
    assert pairing((a, b, c), (c, changed, a)) == [2, 1, 0]
    assert pairing((a, b), (b,)) == [1]
    one, two = WHOLE.general_hazards[0], small().general_hazards[0]
    assert pairing((one,), (two,)) == [0]
    assert pairing((one,), (two, one)) == [None, 0]


junk = st.recursive(
    st.none() | st.booleans() | st.integers(-3, 9) | st.floats() | st.text(max_size=4),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(
                [
                    "sections",
                    "title",
                    "parts",
                    "in",
                    "to",
                    "list",
                    "of",
                    "step",
                    "new",
                    "steps",
                    "id",
                ]
            ),
            inner,
            max_size=3,
        )
    ),
    max_leaves=12,
)


@given(st.dictionaries(st.sampled_from(["sections", "title", "parts", "unit", "x"]), junk))
def test_any_garbage_is_refused_or_leads_to_a_document(patch: dict[str, Any]) -> None:
    try:
        found = patched(small(), patch)
    except InputError:
        return
    assert type(found)(**as_plain(found)) == found


@pytest.mark.parametrize(
    "patch",
    [
        {"nowhere": {"to": 1}},
        {"sections": {"list": [0, 1, [[0, 5]]]}},
        {"sections": {"list": [0, 9, []]}},
        {"sections": {"list": [-1, 1, []]}},
        {"sections": {"list": [0, 1, [{"steps": [-1, 0, 1]}]]}},
        {"sections": {"list": [0, 1, [{"of": -1, "in": {}}]]}},
        {"sections": {"list": [0, 1, []]}},
        {"sections": {"list": [0, 1, [{"steps": [0, 0, 9]}]]}},
        {"sections": {"list": [0, 1, [{"new": {"id": "a", "title": "A"}, "with": []}]]}},
        {"title": {"in": {}}},
        {"title": {}},
        {"title": {"to": "a\nb"}},
        {"title": 7},
    ],
)
def test_a_difference_that_does_not_fit_is_refused(patch: dict[str, Any]) -> None:
    with pytest.raises(InputError):
        patched(small(), patch)


@settings(max_examples=20)
@given(st.integers(0, 2**32), st.integers(0, 3))
def test_what_differs_has_a_difference(seed: int, edits: int) -> None:
    other = edited(as_plain(WHOLE), Random(seed), edits)
    assert differs(WHOLE, other) is bool(difference(WHOLE, other))
    assert not differs(WHOLE, WHOLE.model_copy(deep=True))


def test_digits_make_a_difference() -> None:
    spec = next(spec for _, _, spec in WHOLE.placed_specs() if spec.upper is not None)
    assert spec.upper is not None
    longer = spec.model_copy(update={"upper": spec.upper.quantize(spec.upper / spec.upper / 10**9)})
    assert longer == spec
    assert differs(spec, longer)
