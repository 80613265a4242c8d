"""A change of a number is written wholly, or refused with its line and a remedy."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from author.errors import InputError
from author.proposals.draft.answered import answered, sheet_of
from author.proposals.draft.answers import answers_text, read_answers
from author.proposals.draft.changes import Changed, SaidValues, changed
from author.proposals.draft.rewritten import hold_as_written
from author.proposals.draft.steps import StepMaker
from author.proposals.proposal import Proposal, Values
from author.tasks.proposal_sheet import as_changed, change_of

RUNOUT = Proposal(
    id="film-measurement-0010",
    kind="measurement",
    text="end float from the hub face: at most 0.15 mm, at both ends",
    said="no more than zero point one five",
    recording="film",
    start=Decimal(10),
    end=Decimal(12),
    confidence=Decimal("0.72"),
    reason="the words say so",
    values=Values(upper=Decimal("0.15"), unit="mm"),
    details=(
        ("role", "limits"), ("quantity", "length"), ("characteristic", "end float of the wheel"),
        ("datum", "hub face"), ("positions", "at both ends"), ("unit_from_elsewhere", "yes"),
    ),
)  # fmt: skip
THREAD = replace(
    RUNOUT, text="M8 × 1.25", values=Values(), details=(("role", "thread"),
    ("designation", "M8 × 1.25")),
)  # fmt: skip
STEP = replace(RUNOUT, kind="step", text="Lift the cover off.", values=None, details=())


def d(text):
    return None if text is None else Decimal(text)


@pytest.mark.parametrize(
    ("text", "name", "numbers", "unit", "role"),
    [
        ("runout of the rim: at most 0.12 mm", "runout of the rim", (None, None, "0.12"), "mm",
         "limits"),
        ("runout of the rim: max 0.12", "runout of the rim", (None, None, "0.12"), "mm", "limits"),
        ("Depth: 4.45 to 4.60, aim 4.5 mm", "Depth", ("4.45", "4.5", "4.60"), "mm", "limits"),
        ("Depth: 4.45..4.60 mm", "Depth", ("4.45", None, "4.60"), "mm", "limits"),
        ("torque: 40 N·m", "torque", (None, "40", None), "N·m", "aim"),
        ("torque: about 40 N·m", "torque", (None, "40", None), "N·m", "about"),
        ("gap: measured here: 0.97 mm", "gap", (None, "0.97", None), "mm", "measured"),
        ("Nut M16: first pass: at least 20 N·m", "Nut M16: first pass", ("20", None, None),
         "N·m", "limits"),
    ],
)  # fmt: skip
def test_a_line_is_taken_apart_into_name_limits_and_unit(text, name, numbers, unit, role):
    new = changed(RUNOUT, Changed(text=text))
    assert new.detail("characteristic") == name
    assert new.values == Values(*map(d, numbers), unit)
    assert [str(n) for n in new.values.numbers()] == [n for n in numbers if n]
    assert new.detail("role") == role
    assert (new.detail("datum"), new.detail("positions")) == (None, None)
    assert new.detail("unit_from_elsewhere") is None


def test_what_is_written_again_as_it_was_stays():
    new = changed(
        RUNOUT, Changed(text="end float from the hub face: at most 0.12 mm, at both ends")
    )
    assert new.detail("characteristic") == "end float of the wheel"
    assert (new.detail("datum"), new.detail("positions")) == ("hub face", "at both ends")
    alone = changed(RUNOUT, Changed(text="at most 0.12 mm"))
    assert (alone.detail("datum"), alone.values.upper) == ("hub face", Decimal("0.12"))


def test_datum_and_place_of_a_line_are_written():
    new = changed(RUNOUT, Changed(text="depth from the flange: 4 to 5 mm, at three places"))
    assert (new.detail("characteristic"), new.detail("datum")) == ("depth", "flange")
    assert new.detail("positions") == "at three places"
    assert new.text == "depth from the flange: 4 to 5 mm, at three places"


@pytest.mark.parametrize(
    "change",
    [
        Changed(text="Torque of the nut M16", values=SaidValues(lower=d("38"), unit="N·m")),
        Changed(text="Torque of the nut M16: min 38 N·m",
                values=SaidValues(lower=d("38"), unit="N·m")),
        Changed(characteristic="Torque of the nut M16",
                values=SaidValues(lower=d("38"), unit="N·m")),
    ],
)  # fmt: skip
def test_with_values_the_name_is_written_too(change):
    new = changed(RUNOUT, change)
    assert new.detail("characteristic") == "Torque of the nut M16"
    assert new.values == Values(lower=d("38"), unit="N·m")
    assert new.text == "Torque of the nut M16: at least 38 N·m" or new.detail("datum")


def test_values_without_a_unit_are_in_the_one_there_was():
    new = changed(RUNOUT, Changed(values=SaidValues(upper=d("0.12"))))
    assert new.values == Values(upper=d("0.12"), unit="mm")


def test_a_thread_is_changed_into_another():
    assert changed(THREAD, Changed(text="M10 × 1.5")).detail("designation") == "M10 × 1.5"


@pytest.mark.parametrize(
    ("proposal", "change"),
    [
        (RUNOUT, None),
        (RUNOUT, Changed()),
        (RUNOUT, Changed(text="runout of the rim")),
        (RUNOUT, Changed(text="not more than a hair")),
        (RUNOUT, Changed(text="rim: at most 0.12 furlongs")),
        (RUNOUT, Changed(text="rim: 17 × 40 × 12 mm")),
        (RUNOUT, Changed(text="rim: 0.15 to 0.12 mm")),
        (RUNOUT, Changed(text="rim: max 0.12 mm", values=SaidValues(upper=d("0.15")))),
        (RUNOUT, Changed(text="rim: max 0.12 mm", characteristic="wheel")),
        (RUNOUT, Changed(values=SaidValues(unit="mm"))),
        (THREAD, Changed(values=SaidValues(upper=d("3")))),
        (THREAD, Changed(text="a finer one")),
        (STEP, Changed(values=SaidValues(upper=d("3")))),
        (STEP, Changed(text="Lift it.", values=SaidValues(upper=d("3")))),
    ],
)
def test_what_cannot_be_written_wholly_is_refused_with_its_line(tmp_path, proposal, change):
    before = sheet_of([proposal], None)
    row = before.proposals[0].model_copy(update={"answer": "change", "change": change})
    file = tmp_path / "a.yaml"
    text = answers_text(before.model_copy(update={"proposals": (row,)}))
    file.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_answers(file)
    key = "text:" if change and change.text else "change:" if change else "answer: change"
    lines = text.splitlines()
    at = len(lines) - next(n for n, one in enumerate(reversed(lines)) if one.strip().startswith(key)
                           and (key != "text:" or one.startswith("      ")))  # fmt: skip
    assert (caught.value.file, caught.value.line) == (str(file), at)
    assert proposal.id in caught.value.problem
    assert caught.value.remedy


def test_what_the_window_changes_is_read_again_and_keeps_datum_and_place(tmp_path):
    change = change_of(RUNOUT, "max 0.12 mm")
    new = as_changed(RUNOUT, change)
    assert new.detail("characteristic") == "end float of the wheel"
    assert (new.detail("datum"), new.detail("positions")) == ("hub face", "at both ends")
    before = sheet_of([RUNOUT], None)
    row = before.proposals[0].model_copy(update={"answer": "change", "change": change})
    file = tmp_path / "a.yaml"
    text = answers_text(before.model_copy(update={"proposals": (row,)}))
    file.write_text(text, encoding="utf-8")
    assert answered([RUNOUT], read_answers(file)).proposals == (new,)


def test_the_window_refuses_words_for_a_thread():
    with pytest.raises(InputError):
        change_of(THREAD, "a finer one")


def test_a_torque_is_changed_to_no_other_quantity():
    torque = replace(
        RUNOUT, text="torque of the screw: 4 N·m", values=Values(nominal=d("4"), unit="N·m")
    )
    with pytest.raises(InputError, match="is a torque, and mm is no unit of it"):
        changed(torque, Changed(text="torque of the screw: 3.5 to 4.5 mm"))
    assert changed(torque, Changed(text="torque of the screw: 3.5 to 4.5 N·m"))


def test_a_number_that_keeps_its_name_keeps_its_quantity():
    torque = replace(
        RUNOUT, text="torque of the screw: 4 N·m", values=Values(nominal=d("4"), unit="N·m"),
        details=(("role", "aim"), ("characteristic", "torque of the screw")),
    )  # fmt: skip
    bar = SaidValues(lower=d("3"), upper=d("5"), unit="bar")
    with pytest.raises(InputError, match="bar is no unit of torque"):
        changed(torque, Changed(values=bar))
    assert changed(torque, Changed(values=bar, characteristic="feed pressure"))


def test_a_number_somebody_changed_names_him_as_its_source_and_not_the_film():
    change = Changed(values=SaidValues(lower=d("0.05"), upper=d("0.12")))
    sources = []
    for new, by in ((changed(RUNOUT, change, "kim"), "kim"), (changed(RUNOUT, change), "the")):
        StepMaker(frozenset({RUNOUT.id}), {}, lambda words: words, sources).made(STEP, [new])
        assert sources[-1]["kind"] == "shop"
        assert sources[-1]["title"].startswith(f"Changed by {by}")
        assert "“no more than zero point one five”" in sources[-1]["title"]
    named = changed(RUNOUT, Changed(characteristic="runout"), "kim")
    StepMaker(frozenset({RUNOUT.id}), {}, lambda words: words, sources).made(STEP, [named])
    assert sources[-1]["kind"] == "film"


def test_stages_of_a_torque_stay_one_when_the_last_is_given_limits():
    def torque(name, value, start):
        details = (("role", "aim"), ("characteristic", "torque of the screws"))
        values = Values(nominal=d(value), unit="N·m")
        return replace(RUNOUT, id=name, values=values, details=details, start=d(start))

    first, last = torque("a", "3", "10"), torque("b", "6", "14")
    new = changed(last, Changed(values=SaidValues(lower=d("5.5"), upper=d("6.5"))), "kim")
    made = StepMaker(frozenset({"a", "b"}), {}, lambda words: words).made(STEP, [first, new])
    (one,) = made["torques"]
    assert (one["lower"], one["upper"], one["passes"]) == (
        "5.5",
        "6.5",
        [{"percent": 50}, {"percent": 100}],
    )


def test_a_step_that_is_written_anew_does_not_tell_the_same_again():
    step = replace(
        STEP, text="Grease the lip.",
        details=(("also", "Press the seal in. Wipe the rest off."), ("first", "Clean the bore.")),
    )  # fmt: skip
    new = changed(step, Changed(text="Grease the lip, and press it in square: the seal."))
    assert dict(new.details) == {"also": "Wipe the rest off.", "first": "Clean the bore."}


BOTH = replace(
    STEP, id="film-step-0010", text="Grease the lip.",
    details=(("section", "fitting"), ("first", "Clean the bore."), ("also", "Press it in.")),
)  # fmt: skip


@pytest.mark.parametrize(
    ("change", "action", "note"),
    [
        (Changed(note="none"), "Grease the lip.", None),
        (Changed(text="Grease both lips.", note="none"), "Grease both lips.", None),
        (Changed(note="M8 stud first"), "Grease the lip.", "M8 stud first."),
        (
            Changed(text="Grease both lips."),
            "Grease both lips.",
            "First: Clean the bore. Then: Press it in.",
        ),
    ],
)
def test_the_note_of_a_step_is_changed_or_left_out_by_itself(tmp_path, change, action, note):
    before = sheet_of([BOTH], None)
    assert before.proposals[0].note == "First: Clean the bore. Then: Press it in."
    row = before.proposals[0].model_copy(update={"answer": "change", "change": change})
    file = tmp_path / "a.yaml"
    file.write_text(answers_text(before.model_copy(update={"proposals": (row,)})), encoding="utf-8")
    given = read_answers(file)
    hold_as_written(file, given, [BOTH])
    (new,) = answered([BOTH], given).proposals
    made = StepMaker(frozenset({BOTH.id}), {}, lambda words: words).made(new, [])
    assert (made["action"], made.get("note")) == (action, note)
    assert sheet_of([BOTH], given) == given
    assert new.detail("section") == "fitting"


def test_whoever_wants_no_note_gets_none_of_what_is_told_of_fasteners_either():
    count = replace(BOTH, id="film-count-0011", kind="count", text="Four screws hold it",
                    said="Four screws hold it", details=())  # fmt: skip
    made = StepMaker(frozenset(), {}, lambda words: words).made
    assert "Four screws hold it" in made(BOTH, [count])["note"]
    assert "note" not in made(changed(BOTH, Changed(note="none")), [count])


def test_only_a_step_has_a_note():
    with pytest.raises(InputError, match="'note' is of a step"):
        changed(RUNOUT, Changed(text="runout: at most 0.12 mm", note="none"))
    with pytest.raises(InputError, match="'note' is of a step"):
        changed(replace(STEP, kind="part"), Changed(note="none"))


def test_a_note_changed_where_only_the_program_writes_is_refused_and_older_sheets_are_read(
    tmp_path,
):
    file = tmp_path / "a.yaml"
    before = sheet_of([BOTH], None)
    text = answers_text(before).replace("Clean the bore. Then", "Wipe the bore. Then")
    file.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="'note' was changed") as told:
        hold_as_written(file, read_answers(file), [BOTH])
    assert "under 'change'" in told.value.remedy
    # A sheet written before there were notes: no key, and none in its sign.
    old = before.proposals[0].model_copy(update={"note": None})
    old = old.model_copy(update={"written": old.sign()})
    older = before.model_copy(update={"proposals": (old,)})
    file.write_text(answers_text(older), encoding="utf-8")
    hold_as_written(file, read_answers(file), [BOTH])
