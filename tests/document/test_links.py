"""Ways on: steps that are reached, rounds that end, and other procedures on the shelf."""

from collections.abc import Mapping

import pytest

from author.checks import Neighbour, check
from document.changes import (
    BACK,
    GO,
    STOP,
    Case,
    Change,
    acts,
    after,
    before,
    decision,
    finding,
    later,
    other,
    put,
    sets,
)
from document.samples import Plain, changed, judge, load, rules, step

ONCE = BACK | {"at_most": 1}
LAST = {"when": "It is done", "step": "last"}
REPEAT = {"do": "repeat", "how": "Bend it", "step": "guard-on"}
MEND = {"when": "It is bent", "step": "mend"}


def goes(name: str, at: int = 0) -> Change:
    return lambda p: step(p, at).update(goes_to=name)


def seen(at: int, name: str | None) -> Change:
    told = {"what": "The gap", "role": "technician"} | ({"before": name} if name else {})
    return lambda p: step(p, at).update(witness=told)


def leads(**keys: object) -> Change:
    return decision(GO, {"when": "It is gone", "procedure": keys})


LINK_CASES: list[Case] = [
    ("links.branch", [decision(GO, {"when": "x"})],
     [decision(GO, {"when": "x", "procedure": {"id": "other"}})]),
    ("links.branch", [decision(GO, {**GO, "stop": "x"})], [decision(GO, STOP)]),
    ("links.branch", [decision(GO, {**GO, "section": "work"})],
     [decision(GO, {"when": "x", "section": "work", "at_most": 1})]),
    ("links.branch", [decision(GO, STOP), goes("guard-on")], [goes("guard-on")]),
    ("links.unreachable", [decision(LAST, STOP), later({"id": "last"})],
     [decision(LAST, GO), later({"id": "last"})]),
    ("links.unreachable", [goes("last"), later({"id": "last"})], [goes("guard-on")]),
    ("links.unreachable", [decision(STOP, STOP)], [decision(GO, STOP)]),
    # A reaction leads there.
    ("links.unreachable", [goes("guard-on", 1), later({"id": "mend", "goes_to": "guard-on"})],
     [sets(below=REPEAT | {"step": "mend"}), decision(STOP, STOP, at=1),
      later({"id": "mend", "goes_to": "guard-on"})]),
    ("links.no_way_on", [decision(BACK, BACK)], [decision(BACK, GO)]),
    ("links.no_way_on", [goes("guard-off", 1)], [goes("guard-off", 1), decision(GO, STOP)]),
    ("links.no_way_on", [decision(ONCE, ONCE, at=1)], [decision(ONCE, STOP, at=1)]),
    ("links.endless", [decision(BACK, GO)], [decision(ONCE, GO)]),
    ("links.endless", [decision(STOP, BACK, at=1)], [decision(STOP, ONCE, at=1)]),
    ("links.endless", [decision(GO, {"when": "x", "section": "work"})],
     [decision(GO, {"when": "x", "section": "work", "at_most": 3})]),
    ("links.endless", [sets(below=REPEAT)], [sets(below=REPEAT | {"at_most": 2})]),
    # What stops the job leads nowhere, whatever step it names.
    ("links.endless", [sets(above=REPEAT)], [sets(above=REPEAT | {"do": "stop"})]),
    # A step that puts something right leads back; how often is said where it is entered.
    ("links.endless",
     [decision(MEND, STOP, at=1), later({"id": "mend", "goes_to": "guard-on"})],
     [decision(MEND | {"at_most": 2}, STOP, at=1), later({"id": "mend", "goes_to": "guard-on"})]),
    ("links.witness", [seen(1, "guard-off")], [seen(0, "guard-on")]),
    ("links.witness", [seen(1, "guard-on")], [seen(1, None)]),
    # A step that is not there has a remark of its own.
    ("links.witness", [], [seen(1, "nowhere")]),
    ("links.hold", [finding(holds=True, released_by="technician")],
     [finding(holds=True, released_by="technician", follow_on="Weld it")]),
    ("links.hold", [finding(holds=True, follow_on="Weld it")], [finding()]),
    ("links.due_day", [finding(due="2031-02-29")], [finding(due="2032-02-29")]),
    ("links.unpinned", [before({"part": "clip"})], [before()]),
    ("links.unpinned", [before({"part": "clip"}, procedure=other(revision=None))],
     [before({"part": "clip"}, procedure=other())]),
    ("links.unpinned", [after({"part": "clip"})], [after(procedure=other(revision=None))]),
    ("links.unpinned", [after({"part": "clip"}, procedure=other(revision=None))],
     [after({"part": "clip"}, procedure=other())]),
    ("links.cycle", [before(procedure=other("belt-guard"))], [before(procedure=other())]),
    ("links.cycle", [leads(id="belt-guard", revision=1)], [leads(id="guard-strip")]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("due", "says"),
    [
        ("31 February", "'31 February' is no day"),
        ("By the 31st of June", "'31st of June' is no day"),
        ("by 30 Feb. 2031", "'30 Feb. 2031' is no day"),
        ("February 30", "'February 30' is no day"),
        ("29 February 2031", "is no day"),
        ("2031-13-01", "is no day"),
        ("before 2031/02/30", "'2031/02/30' is no day"),
        ("before 31.02.2031, at the latest", "'31.02.2031' is no day"),
        ("14/14/2031", "is no day"),
        ("0 May 2031", "is no day"),
        ("31/03/2031", "taken as words"),
        ("3.31.2031", "taken as words"),
        ("2031-3-31", "taken as words"),
        ("2031/03/31", "taken as words"),
        ("31 March 2031", "taken as words"),
        ("March 31, 2031.", "taken as words"),
    ],
)
def test_what_looks_like_a_day_and_never_comes_is_told(due: str, says: str) -> None:
    found = judge(changed(finding(due=due))).remarks
    (remark,) = [remark for remark in found if remark.rule.id == "links.due_day"]
    assert says in remark.problem
    assert remark.path == ("findings", 0, "due")


@pytest.mark.parametrize(
    "due",
    [
        "2031-03-31",
        "at the next service",
        "before 500 hours run",
        "31 March",
        "29 February",
        "In the first week of March 2031",
        "by 31 March 2031, before the audit",
        "when 40 may be worn",
        "in May 40 hours are run",
        "with firmware 1.2.14",
        "with form 12-45-7",
        "at 1,500 hours or in 12 months",
        "when drawing 4711-2031-99-1 is out",
    ],
)
def test_words_and_real_days_are_left_alone(due: str) -> None:
    assert "links.due_day" not in rules(changed(finding(due=due)))


def test_names_of_months_are_english_and_numbers_are_not() -> None:
    def german(plain: Plain) -> None:
        plain["language"] = "de"

    assert "links.due_day" not in rules(changed(german, finding(due="40 March")))
    assert "links.due_day" in rules(changed(german, finding(due="31.02.2031")))


def test_a_run_of_steps_nobody_comes_to_is_told_once() -> None:
    plain = changed(goes("last"), later({"id": "more"}, {"id": "still-more"}, {"id": "last"}))
    found = [r.problem for r in judge(plain).remarks if r.rule.id == "links.unreachable"]
    assert found == ["no way leads to 'guard-on'"]


def test_each_way_back_that_nobody_bounds_is_told() -> None:
    found = judge(changed(decision(BACK, BACK | {"when": "x"}, GO))).remarks
    assert [remark.path[-1] for remark in found if remark.rule.id == "links.endless"] == [0, 1]
    loop = changed(decision(MEND, STOP, at=1), later({"id": "mend", "goes_to": "guard-on"}))
    (remark,) = [r for r in judge(loop).remarks if r.rule.id == "links.endless"]
    assert remark.path[-1] == "goes_to"
    assert "at the decision" in remark.remedy


# --- the shelf ---

CLIPS = ("clip", "kept"), ("part-77", "kept"), ("clip", "scrapped")


def shelf(
    name: str = "guard-strip",
    revisions: tuple[int, ...] = (2,),
    needs: tuple[str, ...] = (),
    leaves: Mapping[tuple[str, str], int] | None = None,
    finds: Mapping[tuple[str, str], int] | None = None,
) -> dict[str, Neighbour]:
    """One procedure on the shelf; what passes on belongs to its newest revision."""
    newest = max(revisions)
    return {
        name: Neighbour(
            frozenset(revisions), frozenset(needs), {newest: leaves or {}}, {newest: finds or {}}
        )
    }


HANDED = before({"part": "clip"}, procedure=other())
PASSED = after({"part": "clip", "state": "scrapped"}, procedure=other())
FROM = before(procedure=other())

# rule, the procedure, the shelf that breaks it with that, a shelf that does not
SHELF_CASES: list[tuple[str, list[Change], dict[str, Neighbour], dict[str, Neighbour]]] = [
    ("links.missing", [FROM], {}, shelf()),
    ("links.missing", [FROM], shelf("guard-strap"), shelf(revisions=(1, 2, 5))),
    ("links.missing", [FROM], shelf(revisions=(1, 3)), shelf()),
    ("links.missing", [before(procedure=other(revision=None))], {}, shelf(revisions=(7,))),
    ("links.missing", [after(procedure=other())], {}, shelf()),
    ("links.missing", [finding(procedure=other())], {}, shelf()),
    ("links.missing", [leads(**other())], {}, shelf()),
    ("links.cycle", [FROM], shelf(needs=("belt-guard",)), shelf(needs=("guard-paint",))),
    ("links.cycle", [FROM],
     shelf(needs=("guard-paint",)) | shelf("guard-paint", needs=("belt-guard",)),
     shelf(needs=("guard-paint",)) | shelf("guard-paint", needs=("guard-strip",))),
    # One that is not asked for first may ask for this one.
    ("links.cycle", [FROM], shelf(needs=("belt-guard", "belt-guard")),
     shelf() | shelf("guard-paint", needs=("belt-guard",))),
    ("links.handover", [HANDED], shelf(), shelf(leaves={CLIPS[0]: 1})),
    ("links.handover", [before({"part": "clip", "quantity": 2}, procedure=other())],
     shelf(leaves={CLIPS[0]: 1}), shelf(leaves={CLIPS[0]: 2})),
    # Kept and scrapped are not the same, nor are coming and going.
    ("links.handover", [HANDED], shelf(leaves={CLIPS[2]: 1}), shelf(leaves={CLIPS[0]: 1})),
    ("links.handover", [HANDED], shelf(finds={CLIPS[0]: 1}), shelf(leaves={CLIPS[0]: 3})),
    ("links.handover", [PASSED], shelf(leaves={CLIPS[2]: 1}), shelf(finds={CLIPS[2]: 1})),
    # The number to order by says the same part under another id.
    ("links.handover", [HANDED], shelf(leaves={CLIPS[1]: 1}), shelf(leaves={CLIPS[0]: 1})),
    ("links.handover", [HANDED, lambda p: put(p["parts"][0], number="part-77")],
     shelf(), shelf(leaves={CLIPS[1]: 1})),
    # Of the revision that is pinned, not of the newest; one that is missing is told alone.
    ("links.handover", [HANDED], shelf(revisions=(2, 3), leaves={CLIPS[0]: 1}),
     shelf(revisions=(3,), leaves={CLIPS[0]: 1})),
]  # fmt: skip


def on_shelf(changes: list[Change], others: dict[str, Neighbour]) -> list[str]:
    procedure = load(changed(*changes)).procedure
    return [remark.rule.id for remark in check(procedure, {}, shelf=others).remarks]


@pytest.mark.parametrize(("rule", "changes", "bad", "good"), SHELF_CASES)
def test_rules_about_the_shelf(
    rule: str, changes: list[Change], bad: dict[str, Neighbour], good: dict[str, Neighbour]
) -> None:
    assert rule in on_shelf(changes, bad)
    assert rule not in on_shelf(changes, good)
    # Without a shelf nothing is asked.
    assert rule not in rules(changed(*changes))


def test_what_passes_between_two_is_told_in_numbers() -> None:
    two: Plain = {"part": "clip", "quantity": 2}
    procedure = load(changed(before(two, procedure=other()), acts([], [("refits", "clip", 2)])))
    verdict = check(procedure.procedure, {}, shelf=shelf(leaves={CLIPS[0]: 1}))
    assert [r.problem for r in verdict.remarks] == ["'guard-strip' leaves off 1 of 'clip', not 2"]
    assert verdict.remarks[0].path == ("prerequisites", 0, "hands_over", 0)
    assert check(procedure.procedure, {}, shelf=shelf(leaves={CLIPS[0]: 2})).remarks == ()


def test_the_revisions_there_are_told() -> None:
    procedure = load(changed(FROM)).procedure
    (remark,) = check(procedure, {}, shelf=shelf(revisions=(5, 1))).remarks
    assert remark.problem == "there is no revision 2 of 'guard-strip', only 1, 5"
