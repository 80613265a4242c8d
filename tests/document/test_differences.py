"""What differs between two documents is told, in the trade's terms, and nothing is silent."""

import copy
from collections.abc import Callable
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, ValidationError

from author.procedure.differences import SEVERITIES, Difference, compare
from author.procedure.differences.fields import FIELDS
from author.procedure.differences.matching import rising
from author.procedure.document import Procedure
from author.procedure.references import named_by
from author.procedure.values import Node

from . import edits, examples

EVERYTHING = examples.plain(examples.EXAMPLES / "valid" / "everything-once.yaml")
Change = Callable[[Any], object]


def load(plain: Any) -> Procedure:
    return Procedure.model_validate(plain)


def told(*changes: Change, start: Change = lambda _: None) -> list[Difference]:
    old = examples.copied(EVERYTHING)
    start(old)
    new = examples.copied(old)
    for change in changes:
        change(new)
    return list(compare(load(old), load(new)))


def lines(*changes: Change) -> list[str]:
    return [f"{one.severity} {one.place}: {one.text}" for one in told(*changes)]


def step(plain: Any, name: str) -> Any:
    return next(s for section in plain["sections"] for s in section["steps"] if s["id"] == name)


def spec(plain: Any, name: str) -> Any:
    return next(
        one
        for section in plain["sections"]
        for s in section["steps"]
        for one in [*s.get("specs", []), *s.get("torques", [])]
        if one["id"] == name
    )


def entry(plain: Any, key: str, name: str) -> Any:
    return next(one for one in plain[key] if one["id"] == name)


def take(plain: Any, name: str) -> Any:
    for section in plain["sections"]:
        for one in section["steps"]:
            if one["id"] == name:
                section["steps"].remove(one)
                return one
    raise LookupError(name)


def put_behind(plain: Any, taken: Any, name: str) -> None:
    for section in plain["sections"]:
        for index, one in enumerate(section["steps"]):
            if one["id"] == name:
                section["steps"].insert(index + 1, taken)
                return


def move(plain: Any, name: str, behind: str) -> None:
    put_behind(plain, take(plain, name), behind)


# --- nothing is silent


def dumped(procedure: Procedure) -> Any:
    return procedure.model_dump(mode="json", by_alias=True, exclude_none=True)


@pytest.mark.parametrize("file", examples.valid(), ids=lambda file: file.stem)
def test_a_document_does_not_differ_from_itself(file: Any) -> None:
    assert compare(load(examples.plain(file)), load(examples.plain(file))) == ()


@given(st.integers(0, 2**32), st.integers(1, 6), st.sampled_from(examples.valid()))
def test_two_documents_differ_if_and_only_if_a_difference_is_told(
    seed: int, count: int, file: Any
) -> None:
    plain = examples.plain(file)
    old, new = load(plain), edits.edited(plain, Random(seed), count)
    was, now = dumped(old), dumped(new)
    found = compare(old, new)
    assert bool(found) == (was != now)
    for one in found:
        assert one.old_path is not None or one.new_path is not None
        for path, document in ((one.old_path, was), (one.new_path, now)):
            assert path is None or edits.at(document, path) is not None
    weights = [SEVERITIES.index(one.severity) for one in found]
    assert weights == sorted(weights)


def one_place_of_each_kind() -> list[edits.Place]:
    """One place for every key of the form, wherever the example has it."""
    kinds: dict[edits.Place, edits.Place] = {}
    for path, _ in edits.places(EVERYTHING):
        kinds.setdefault(tuple("*" if isinstance(part, int) else part for part in path), path)
    return [path for path in kinds.values() if path]


def single_edits(value: Any) -> list[Any]:
    """What one edit may make of a value; None stands for taking it out."""
    if isinstance(value, list):
        return [None, value[1:], value[1:2] + value[:1] + value[2:], value[::-1]]
    if isinstance(value, bool):
        return [None, not value]
    if isinstance(value, int):
        return [None, value + 1]
    return [None, f"{value}0", f"{value} x"] if isinstance(value, str) else [None]


def test_no_single_edit_of_any_field_is_silent() -> None:
    old, tried = load(EVERYTHING), 0
    was = dumped(old)
    for path in one_place_of_each_kind():
        for value in single_edits(edits.at(EVERYTHING, path)):
            plain = examples.copied(EVERYTHING)
            holder = edits.at(plain, path[:-1])
            if value is None:
                del holder[path[-1]]
            else:
                holder[path[-1]] = value
            try:
                new = load(plain)
            except ValidationError:
                continue
            tried += 1
            assert bool(compare(old, new)) == (was != dumped(new)), (path, value)
    assert tried > 400


@settings(max_examples=50)
@given(st.integers(0, 2**32), st.integers(1, 6))
def test_values_are_those_at_the_paths(seed: int, count: int) -> None:
    old, new = load(EVERYTHING), edits.edited(EVERYTHING, Random(seed), count)
    was, now = dumped(old), dumped(new)
    for one in compare(old, new):
        if one.kind.endswith(".changed") and one.old_path and one.new_path:
            for path, value, document in (
                (one.old_path, one.old, was),
                (one.new_path, one.new, now),
            ):
                there = edits.at(document, path)
                assert value == there or value.items() <= there.items()


def every_block(kind: type[BaseModel] = Procedure) -> set[type[Any]]:
    found: set[type[Any]] = {kind}
    waiting = [kind]
    while waiting:
        for field in waiting.pop().model_fields.values():
            for inner in blocks_in(field.annotation):
                if inner not in found:
                    found.add(inner)
                    waiting.append(inner)
    return found


def blocks_in(annotation: Any) -> list[type[Any]]:
    if isinstance(annotation, type) and issubclass(annotation, Node):
        return [annotation]
    return [b for inner in getattr(annotation, "__args__", ()) for b in blocks_in(inner)]


def test_every_field_has_its_words_and_its_weight() -> None:
    leaves = {"ProcedureRef", "SiValues"}
    said = {(kind, field) for kind, fields in FIELDS.items() for field in fields}
    missing = [
        f"{kind.__name__}.{field}"
        for kind in every_block()
        if kind.__name__ not in leaves
        for field in kind.model_fields
        if field not in {"id", "schema_name"}
        if not any((base, field) in said for base in kind.__mro__)
    ]
    assert missing == []
    known = {(kind, field) for kind in every_block() for field in kind.model_fields}
    assert [pair for pair in said if pair not in known] == []


def test_every_id_of_another_list_is_known_as_a_reference() -> None:
    """A field that holds ids and is not known as a reference would not follow a renaming."""
    ids = {one["id"] for key in ("parts", "tools", "sources", "people") for one in EVERYTHING[key]}
    assert ids
    for kind in every_block():
        for field in kind.model_fields:
            if field in {"part", "source", "instrument", "role", "tools", "released_by"}:
                if kind.__name__ in {"Person", "Procedure"}:
                    continue
                assert named_by(kind, field), f"{kind.__name__}.{field}"


@given(st.permutations(range(9)))
def test_what_keeps_its_order_rises_and_nothing_longer_does(numbers: list[int]) -> None:
    kept = [numbers[i] for i in sorted(rising(numbers))]
    assert kept == sorted(kept)
    longest = [1] * len(numbers)
    for i in range(len(numbers)):
        longest[i] = 1 + max((longest[j] for j in range(i) if numbers[j] < numbers[i]), default=0)
    assert len(kept) == max(longest)


# --- moved is not changed


def test_a_step_that_has_moved_is_one_difference() -> None:
    assert lines(lambda p: move(p, "wheel-on", "turn-by-hand")) == [
        "work step 49 wheel-on: moved: was step 40, after bolts-in; now step 49, after turn-by-hand"
    ]


@given(st.integers(0, 48), st.integers(0, 48))
def test_any_step_moved_in_its_section_is_at_most_one_difference(index: int, to: int) -> None:
    def moved(plain: Any) -> None:
        steps = max((s["steps"] for s in plain["sections"]), key=len)
        steps.insert(to % len(steps), steps.pop(index % len(steps)))

    found = told(moved)
    assert len(found) <= 1
    assert all(one.kind == "step.moved" for one in found)


def test_a_step_in_another_section_says_so() -> None:
    (one,) = told(lambda p: move(p, "washer-on", "cover-on"))
    assert one.kind == "step.moved"
    assert one.text.endswith("from section closing to fitting")


def test_a_section_moves_with_its_steps() -> None:
    (one,) = told(lambda p: p["sections"].insert(2, p["sections"].pop(3)))
    assert one.kind == "section.moved"


def test_what_moves_past_the_isolating_steps_is_a_matter_of_safety() -> None:
    (one,) = told(lambda p: move(p, "drive-belts-off", "switch-off"))
    assert (one.kind, one.severity) == ("step.moved", "safety")
    assert "isolate" in one.text
    (swapped,) = told(lambda p: p["sections"].insert(0, p["sections"].pop(1)))
    assert (swapped.kind, swapped.severity) == ("section.moved", "safety")


def test_a_section_cut_in_two_moves_no_step() -> None:
    def cut(plain: Any) -> None:
        steps = plain["sections"][1]["steps"]
        plain["sections"].insert(2, {"id": "bench", "title": "On the bench", "steps": steps[9:]})
        del steps[9:]

    found = told(cut)
    assert [(one.severity, one.kind) for one in found] == [
        ("work", "section.added"), ("words", "step.section"),
    ]  # fmt: skip


def test_a_number_in_another_step_is_moved_and_a_hazard_too() -> None:
    def other(plain: Any) -> None:
        step(plain, "belt-on")["specs"] = step(plain, "measure-runout").pop("specs")
        step(plain, "tab-back")["hazards"] = step(plain, "drive-belts-off").pop("hazards")

    assert [(one.severity, one.kind) for one in told(other)] == [
        ("safety", "step.hazards.moved"), ("work", "step.specs.moved"),
    ]  # fmt: skip


# --- renamed is not removed and added


@pytest.mark.parametrize(
    ("key", "old"),
    [("tools", "torque-wrench"), ("parts", "bearing"), ("sources", "tightening-sheet"),
     ("people", "keeper"), ("supplies", "oil"), ("recordings", "strip")],
)  # fmt: skip
def test_an_id_that_is_renamed_everywhere_is_one_difference(key: str, old: str) -> None:
    def renamed(tree: Any) -> Any:
        if isinstance(tree, dict):
            return {k: renamed(v) for k, v in tree.items()}
        if isinstance(tree, list):
            return [renamed(v) for v in tree]
        return "other-name" if tree == old else tree

    (one,) = compare(load(EVERYTHING), load(renamed(EVERYTHING)))
    assert (one.severity, one.kind, one.old, one.new) == ("words", "id.renamed", old, "other-name")
    assert one.new_path is not None
    assert one.new_path[0] == key


def test_a_renamed_step_section_and_number_are_renamed() -> None:
    def rename(plain: Any) -> None:
        step(plain, "wheel-on")["id"] = "contact-wheel-on"
        plain["sections"][1]["id"] = "strip-down"
        spec(plain, "wheel-runout")["id"] = "runout"

    assert {(one.kind, one.old, one.new) for one in told(rename)} == {
        ("id.renamed", "wheel-on", "contact-wheel-on"),
        ("id.renamed", "removal", "strip-down"),
        ("id.renamed", "wheel-runout", "runout"),
    }


def test_a_renaming_that_nobody_followed_is_told_alone() -> None:
    (one,) = told(lambda p: entry(p, "tools", "torque-wrench").update(id="wrench"))
    assert one.kind == "id.renamed"


# --- numbers


def runout(upper: str) -> Change:
    return lambda p: spec(p, "wheel-runout").update(upper=upper)


def test_an_upper_limit_that_lets_more_through() -> None:
    assert lines(runout("0.12")) == [
        "safety step 44 measure-runout: limit spec wheel-runout: "
        "upper limit 0.10 → 0.12 mm: more is accepted"
    ]
    (narrow,) = told(runout("0.08"))
    assert (narrow.severity, narrow.kind) == ("work", "limits.narrowed")


def test_digits_alone_change_the_resolution() -> None:
    (one,) = told(runout("0.100"))
    assert (one.severity, one.kind, one.old, one.new) == (
        "work", "limits.resolution", "0.10", "0.100",
    )  # fmt: skip
    assert one.old_path == one.new_path
    assert one.new_path is not None
    assert one.new_path[-1] == "upper"


def test_both_tolerances_are_named() -> None:
    (one,) = told(lambda p: spec(p, "tab-angle").update(lower="75"))
    assert one.text.endswith("lower limit 80 → 75°: more is accepted (tolerance 15 → 20°)")


@pytest.mark.parametrize(
    ("values", "severity", "kind"),
    [
        ({"unit": "µm", "upper": "100"}, "work", "limits.unit"),
        # 0.10 mm is 0.003937 in (by definition 25.4 mm to the inch): inward 0.0039.
        ({"unit": "in", "upper": "0.0039"}, "work", "limits.unit"),
        ({"unit": "in", "upper": "0.004"}, "safety", "limits.widened"),
        ({"unit": "in", "upper": "0.10"}, "safety", "limits.widened"),
        ({"unit": "in", "upper": "0.002"}, "work", "limits.narrowed"),
        ({"lower": "0.01"}, "work", "limits.narrowed"),
        ({"upper": "0.09", "lower": "-0.1"}, "work", "limits.narrowed"),
        ({"quantity": "angle", "unit": "°"}, "safety", "limits.quantity"),
    ],
)
def test_limits_are_told_by_what_they_accept(
    values: dict[str, str], severity: str, kind: str
) -> None:
    (one,) = told(lambda p: spec(p, "wheel-runout").update(values))
    assert (one.severity, one.kind) == (severity, kind), one.text


def test_a_limit_that_is_gone_lets_everything_through() -> None:
    def gone(plain: Any) -> None:
        one = spec(plain, "wheel-runout")
        one["nominal"] = one.pop("upper")

    (one,) = told(gone)
    assert (one.severity, one.kind) == ("safety", "limits.widened")
    assert "upper limit 0.10 mm → none" in one.text


@pytest.mark.parametrize(
    ("values", "text"),
    [
        ({"lower": "76.0"}, "lower limit 75.0 → 76.0 N·m: less is accepted"),
        ({"nominal": "81.0"}, "nominal 80.0 → 81.0 N·m"),
        ({"property_class": "10.9"}, "property class 8.8 → 10.9"),
        ({"nut_factor": "0.15"}, "nut factor added: 0.15"),
        ({"thread": "M16"}, "thread “M16 × 1.5” → “M16”"),
        ({"threads": "Oiled"}, "condition of the threads Dry → Oiled"),
    ],
)
def test_all_that_makes_a_torque_is_a_matter_of_safety(values: dict[str, str], text: str) -> None:
    (one,) = told(lambda p: spec(p, "nut-torque").update(values))
    assert one.severity == "safety"
    assert text in one.text


def test_order_and_passes_of_a_pattern() -> None:
    def other(plain: Any) -> None:
        torque = spec(plain, "cover-torque")
        torque["order"].reverse()
        torque["passes"][0]["percent"] = 30

    texts = [one.text for one in told(other)]
    assert "torque spec cover-torque: tightening order A, C, B, D → D, B, C, A" in texts
    assert any("share in per cent" in text for text in texts)


# --- weights of the rest


@pytest.mark.parametrize(
    ("change", "severity", "kind"),
    [
        (lambda p: step(p, "release-spring").pop("hazards"), "safety", "step.hazards.removed"),
        (
            lambda p: p["general_hazards"][0].update(signal="NOTICE"),
            "safety",
            "hazard.signal.changed",
        ),
        (
            lambda p: p["general_hazards"][1].update(signal="DANGER"),
            "work",
            "hazard.signal.changed",
        ),
        (
            lambda p: p["general_hazards"][1].update(avoid="Take care"),
            "safety",
            "hazard.avoid.changed",
        ),
        (lambda p: take(p, "isolate"), "safety", "step.removed"),
        (lambda p: take(p, "rest-off"), "work", "step.removed"),
        (
            lambda p: step(p, "lock").update(action="Hang your own padlock on the isolator."),
            "safety",
            "step.action.changed",
        ),
        (
            lambda p: step(p, "rest-off").update(action="Lift the tool rest off its two pins."),
            "work",
            "step.action.changed",
        ),
        (
            lambda p: step(p, "rest-off").update(action="Lift the tool rest off its pins"),
            "words",
            "step.action.changed",
        ),
        (lambda p: step(p, "lock").pop("tools"), "safety", "step.tools.removed"),
        (
            lambda p: entry(p, "findings", "worn-cable").update(holds=False),
            "safety",
            "finding.holds.changed",
        ),
        (lambda p: entry(p, "people", "lifter").update(count=1), "safety", "person.count.changed"),
        (
            lambda p: entry(p, "parts", "lock-washer").update(single_use=False),
            "safety",
            "part.single_use.changed",
        ),
        (
            lambda p: entry(p, "parts", "bearing").update(quantity=3),
            "work",
            "part.quantity.changed",
        ),
        (
            lambda p: entry(p, "parts", "bearing").update(number="BB-204", supersedes=["BB-203"]),
            "work",
            "part.superseded",
        ),
        (lambda p: entry(p, "tools", "feeler").update(note="New"), "words", "tool.note.added"),
        (
            lambda p: entry(p, "recordings", "strip").update(sha256="0" * 64),
            "words",
            "recording.replaced",
        ),
        (
            lambda p: p["concessions"].clear() or p.update(concessions="none"),
            "work",
            "procedure.concessions.removed",
        ),
        (lambda p: p["unit"].pop("not_for"), "safety", "machine.not_for.removed"),
        (lambda p: p.update(data="shop"), "safety", "procedure.data.changed"),
        (lambda p: p["stacks"][1]["inside_out"].reverse(), "work", "stack.inside_out.changed"),
        (
            lambda p: p["chains"][0].update(method="root_sum_square"),
            "safety",
            "chain.method.changed",
        ),
        (lambda p: p["chains"][0]["links"][1].update(upper="12.10"), "safety", "limits.widened"),
        (
            lambda p: spec(p, "seat-bore").update(decision_rule="simple_acceptance"),
            "safety",
            "limit_spec.decision_rule.changed",
        ),
        (
            lambda p: spec(p, "nut-torque").pop("instrument"),
            "work",
            "limit_spec.instrument.removed",
        ),
        (
            lambda p: step(p, "wheel-on")["ledger"][0].update(act="replaces"),
            "work",
            "movement.act.changed",
        ),
        (
            lambda p: step(p, "turn-by-hand")["decision"]["ways"][0].update(when="it turns freely"),
            "work",
            "branch.when.changed",
        ),
        (
            lambda p: p["prerequisites"][1]["procedure"].update(revision=5),
            "work",
            "prerequisite.procedure.changed",
        ),
    ],
)
def test_a_difference_weighs_what_it_can_lead_to(change: Change, severity: str, kind: str) -> None:
    (one,) = told(change)
    assert (one.severity, one.kind) == (severity, kind), one.text


def test_a_clip_that_has_moved_says_by_how_much() -> None:
    def later(plain: Any) -> None:
        step(plain, "switch-off")["clip"].update({"from": "4.500000", "to": "10.020000"})
        step(plain, "try-start")["clip"].update({"to": "25.500000"})
        step(plain, "lock")["still"].update(recording="bench")

    texts = {one.text.partition(": ")[2]: one.severity for one in told(later)}
    assert texts == {
        "moved by +0.500 s: 4.000 to 9.520 s of strip → 4.500 to 10.020 s of strip": "words",
        "ends 0.500 s earlier: 21.000 to 26.000 s of strip → 21.000 to 25.500 s of strip": "words",
        "replaced: 18.000 s of strip → 18.000 s of bench": "words",
    }


def test_a_long_sentence_shows_what_was_reworded() -> None:
    (one,) = told(
        lambda p: step(p, "lock").update(
            reason="Each person who puts a hand in the grinder hangs a lock of their own."
        )
    )
    assert one.text == (
        "reason “… person who puts hands in the grinder …” → "
        "“… person who puts a hand in the grinder …”"
    )


def test_an_id_used_twice_is_compared_in_order() -> None:
    def twice(plain: Any) -> None:
        plain["parts"].append(copy.deepcopy(plain["parts"][0]))

    (one,) = told(lambda p: p["parts"][-1].update(name="Other screw"), start=twice)
    assert one.kind == "part.name.changed"
