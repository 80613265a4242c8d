"""Sign-offs that count, and concessions that let a remark stand."""

from collections.abc import Callable
from typing import Any, Literal

import pytest

from author.checks import check
from author.procedure.document import Procedure
from author.procedure.review import ReviewSheet, SignOff, point_content
from document.changes import Case, Change, put, sets, tool
from document.samples import Plain, changed, judge, load, rules, spec, step

Sheet = Callable[[Procedure], ReviewSheet | Literal["none", "unknown"]]


def sign_off(procedure: Procedure, point: str, **keys: Any) -> SignOff:
    """A sign-off of a point as it is now, but for what is said otherwise."""
    points = {one.id: one for _, _, one in procedure.placed_points()}
    known = {
        "point": point,
        "content": point_content(procedure, points[point]) if point in points else "0" * 64,
        "verdict": "accepted", "by": "J. R.", "role": "Foreman", "date": "2026-09-16",
    }  # fmt: skip
    return SignOff.model_validate(known | keys)


def signed(*told: Plain, **of: Any) -> Sheet:
    """A sheet with these sign-offs, of the gap if they do not say."""

    def make(procedure: Procedure) -> ReviewSheet:
        known = {"schema": "review/1", "procedure": procedure.id, "revision": procedure.revision}
        entries = tuple(sign_off(procedure, **{"point": "gap"} | keys) for keys in told)
        return ReviewSheet.model_validate(known | {"sign_offs": entries} | of)

    return make


def nobody(procedure: Procedure) -> Literal["none"]:
    return "none"


def not_looked(procedure: Procedure) -> Literal["unknown"]:
    return "unknown"


def stale(point: str = "gap") -> Plain:
    return {"point": point, "content": "f" * 64}


def approved(plain: Plain) -> None:
    plain["state"] = "approved"


def written_by(*names: str) -> Change:
    return lambda p: p.update(review={"authors": list(names)})


QUERY = {"verdict": "queried", "note": "Is it not 5.00?"}
UP = {"id": "up", "kind": "orientation", "what": "The lip points up", "source": "card"}
RUST = {"id": "rust", "look_for": "Rust", "accept": "None", "otherwise": "Stop", "source": "card"}


def pointed(plain: Plain) -> None:
    step(plain, 0).update(critical_points=[dict(UP)], criteria=[dict(RUST)])


# rule, the procedure, sign-offs that break it with that, sign-offs that do not
SIGNED_CASES: list[tuple[str, list[Change], Sheet, Sheet]] = [
    ("review.not_signed", [approved], nobody, not_looked),
    ("review.not_signed", [approved], signed(stale()), signed({})),
    ("review.not_signed", [approved], signed(QUERY), signed(QUERY, {})),
    ("review.not_signed", [approved], signed({}, QUERY), signed({}, QUERY, {})),
    ("review.not_signed", [approved, pointed], signed({}),
     signed({}, {"point": "up"}, {"point": "rust"})),
    ("review.stale", [], signed(stale()), signed({})),
    ("review.stale", [pointed], signed(stale("rust")), signed(stale("rust"), {"point": "rust"})),
    ("review.queried", [], signed(QUERY), signed({})),
    ("review.queried", [], signed({}, QUERY), signed(QUERY, {})),
    ("review.own_work", [written_by("J. R.", "M. K.")], signed({"by": "m. k."}),
     signed({"by": "M. L."})),
    ("review.own_work", [written_by("J. R.")], signed({}), nobody),
    ("review.other_revision", [], signed({}, revision=2), signed({}, revision=1)),
    ("review.other_revision", [], signed({}, procedure="belt-cover"), signed({})),
    ("review.no_point", [], signed({}, {"point": "play"}), signed({})),
    ("review.no_point", [], signed({"point": "clip"}), nobody),
]  # fmt: skip


def on_sheet(changes: list[Change], sheet: Sheet) -> list[str]:
    procedure = load(changed(*changes)).procedure
    return [remark.rule.id for remark in check(procedure, {}, sheet(procedure)).remarks]


@pytest.mark.parametrize(("rule", "changes", "bad", "good"), SIGNED_CASES)
def test_rules_about_sign_offs(rule: str, changes: list[Change], bad: Sheet, good: Sheet) -> None:
    assert rule in on_sheet(changes, bad)
    assert rule not in on_sheet(changes, good)


def test_approved_with_nothing_to_sign_needs_no_sheet() -> None:
    without = [approved, lambda p: step(p, 1).pop("specs")]
    assert "review.not_signed" not in on_sheet(without, nobody)


TOUCHED: list[tuple[Change, bool]] = [
    (sets(upper="6.01"), True),
    (sets(upper="6.000"), True),
    (lambda p: p["sources"][0].update(title="Shop card BD-3, invented"), True),
    (tool(resolution="0.02"), True),
    (lambda p: step(p, 1).update(action="Measure the gap."), False),
    (lambda p: p["tools"].append({"id": "cloth-tool", "name": "Wiper"}), False),
    (sets(si={"unit": "m", "lower": "0.0045", "upper": "0.0060"}), False),
    (lambda p: p.update(revision=2), False),
]  # fmt: skip


@pytest.mark.parametrize(("change", "counts"), TOUCHED)
def test_a_sign_off_is_of_a_number_with_its_source_and_instrument(
    change: Change, counts: bool
) -> None:
    old, new = load(changed()).procedure, load(changed(change)).procedure
    sheet = signed({})(old)
    assert isinstance(sheet, ReviewSheet)
    found = {remark.rule.id for remark in check(new, {}, sheet).remarks}
    assert ("review.stale" in found) is counts


def test_a_sign_off_stays_good_where_digits_are_the_same() -> None:
    """4.50 is read as it is written, quoted or not."""
    old = load(changed()).procedure
    bare = load(changed(lambda p: put(spec(p), unit="millimetre"))).procedure
    assert check(bare, {}, signed({})(old)).remarks == ()


def test_what_is_queried_is_told_with_its_note_and_person() -> None:
    procedure = load(changed()).procedure
    (remark,) = check(procedure, {}, signed(QUERY)(procedure)).remarks
    assert remark.problem == "'gap' is queried by J. R.: “Is it not 5.00?”"
    assert remark.path == ("sections", 0, "steps", 1, "specs", 0)


# --- concessions ---


def concession(rule: str, at: str, **keys: str) -> Plain:
    known = {"rule": rule, "at": at, "reason": "The gap is set by eye", "role": "technician"}
    return known | keys


def concedes(*told: Plain) -> Change:
    return lambda p: p.update(concessions=list(told))


COARSE = tool(resolution="0.5")
EYE = concession("instruments.resolution", "gap")
CROSSED = sets(lower="7")

REVIEW_CASES: list[Case] = [
    # A critical point and a criterion have a source as a number has.
    ("review.changes", [lambda p: p.update(revision=2)],
     [lambda p: p.update(revision=2, changes=[
         {"revision": 2, "date": "2026-05-04", "what": "The gap was widened"}])]),
    ("review.no_source", [pointed, lambda p: step(p, 0)["critical_points"][0].pop("source")],
     [pointed]),
    ("review.no_source", [pointed, lambda p: step(p, 0)["criteria"][0].pop("source")],
     [sets(source=None)]),
    ("instruments.resolution", [COARSE], [COARSE, concedes(EYE)]),
    ("concessions.unused", [concedes(EYE)], [COARSE, concedes(EYE)]),
    ("concessions.unused", [COARSE, concedes(EYE | {"at": "guard-off"})],
     [COARSE, concedes(EYE | {"at": "guard-on"})]),
    # A section is too wide a place, and so is the whole list.
    ("concessions.unused", [COARSE, concedes(EYE | {"at": "work"})], []),
    ("concessions.unused", [COARSE, concedes(EYE | {"at": "sections"})], []),
    ("concessions.unused", [COARSE, concedes(EYE, EYE)], [COARSE, concedes(EYE)]),
    ("concessions.unused", [COARSE, concedes(EYE | {"rule": "instruments.range"})], []),
    ("concessions.unused",
     [concedes(concession("ledger.never_used", "hammer"))],
     [lambda p: p["tools"].append({"id": "hammer", "name": "Hammer"}),
      concedes(concession("ledger.never_used", "hammer"))]),
    # What is about a list as a whole is named by its key.
    ("concessions.unused", [concedes(concession("ledger.nothing_listed", "supplies"))],
     [lambda p: (p.update(supplies="none"), step(p, 0).pop("supplies")),
      concedes(concession("ledger.nothing_listed", "supplies"))]),
    ("concessions.never", [CROSSED, concedes(concession("limits.order", "gap"))],
     [COARSE, concedes(EYE)]),
    ("concessions.never", [concedes(concession("limits.order", "gap"))],
     [concedes(EYE | {"rule": "limits.odour"})]),
]  # fmt: skip


def test_a_concession_lets_its_remark_stand_and_is_listed() -> None:
    verdict = judge(changed(COARSE, concedes(EYE)))
    assert verdict.remarks == ()
    (stands,) = verdict.conceded
    assert stands.remark.rule.id == "instruments.resolution"
    assert stands.concession.reason == "The gap is set by eye"
    assert verdict.checked is not None
    assert verdict.checked.conceded == verdict.draft.conceded == verdict.conceded


def test_a_concession_lets_an_error_stand_unless_it_never_may() -> None:
    short = tool(range_to="5")
    verdict = judge(changed(short, concedes(concession("instruments.range", "gap"))))
    assert (verdict.remarks, len(verdict.conceded)) == ((), 1)
    assert verdict.checked is not None
    never = judge(changed(CROSSED, concedes(concession("limits.order", "gap"))))
    assert [r.rule.id for r in never.remarks] == ["limits.order", "concessions.never"]
    assert (never.checked, never.conceded) == (None, ())


def test_one_concession_is_for_one_remark() -> None:
    twice = [sets(source=None), lambda p: step(p, 1)["specs"].append(spec(p) | {"id": "play"})]
    one = concession("limits.no_source", "guard-on")
    assert rules(changed(*twice, concedes(one))) == ["limits.no_source"]
    assert rules(changed(*twice, concedes(one, one))) == []
    both = concedes(one | {"at": "play"}, one | {"at": "gap"})
    assert rules(changed(*twice, both)) == []


def test_no_concession_makes_another_silent() -> None:
    for rule in ("concessions.unused", "concessions.never"):
        told = concedes(concession(rule, "concessions"), EYE)
        assert rules(changed(told)) == ["concessions.never", "concessions.unused"]


def test_a_rule_that_is_not_there_is_told_by_its_nearest() -> None:
    (remark,) = judge(changed(concedes(concession("limits.oder", "gap")))).remarks
    assert remark.rule.id == "ids.reference"
    assert remark.path == ("concessions", 0, "rule")
    assert remark.remedy == "Did you mean 'limits.order'?"
