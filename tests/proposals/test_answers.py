"""The sheet of answers: what is answered stands in the next run, and nothing is lost."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.errors import InputError
from author.proposals.draft.answered import (
    answered,
    hold_same_talk,
    left_over_notes,
    sheet_of,
    unread_notes,
)
from author.proposals.draft.answers import (
    KindAnswer,
    answers_text,
    named_by,
    read_answers,
    waiting_changes,
)
from author.proposals.draft.changes import Changed, SaidValues
from author.proposals.draft.rewritten import hold_as_written
from author.proposals.proposal import Proposal, Values


def proposal(name, at, kind="measurement", said="forty newton metres", **more):
    return Proposal(
        id=f"film-{name}",
        kind=kind,
        text=f"torque: {name}",
        said=said,
        recording="film",
        start=Decimal(at),
        end=Decimal(at) + 2,
        confidence=Decimal("0.90"),
        reason="the words say so",
        values=Values(nominal=Decimal(40), unit="N·m") if kind == "measurement" else None,
        **more,
    )


ONE, TWO = proposal("one", 10), proposal("two", 50, said="three newton metres")


def sheet(file, **answers):
    """Return a sheet with answers by the end of a proposal's name."""
    before = sheet_of([ONE, TWO], None)
    rows = tuple(
        row.model_copy(update=answers.get(row.id.rsplit("-", 1)[1], {})) for row in before.proposals
    )
    file.write_text(answers_text(before.model_copy(update={"proposals": rows})), encoding="utf-8")
    return read_answers(file)


def test_no_file_is_no_answer(tmp_path):
    assert read_answers(tmp_path / "answers.yaml") is None


def test_a_refused_proposal_is_gone_and_an_accepted_one_known(tmp_path):
    done = answered(
        [ONE, TWO], sheet(tmp_path / "a.yaml", one={"answer": "refuse"}, two={"answer": "accept"})
    )
    assert done.proposals == (TWO,)
    assert done.accepted == {TWO.id}


def test_a_changed_number_keeps_its_digits(tmp_path):
    file = tmp_path / "a.yaml"
    sheet(file, one={"answer": "accept"})
    text = file.read_text(encoding="utf-8")
    change = 'answer: change\n    change:\n      values:\n        lower: "38.0"\n        unit: N·m'
    file.write_text(text.replace("\n    answer: accept", f"\n    {change}", 1), encoding="utf-8")
    (changed, _) = answered([ONE, TWO], read_answers(file)).proposals
    assert changed.values == Values(lower=Decimal("38.0"), unit="N·m")
    assert str(changed.values.lower) == "38.0"
    assert changed.detail("role") == "limits"


def test_change_without_what_it_is_changed_to_is_told(tmp_path):
    with pytest.raises(InputError, match=r"film-one.*change"):
        sheet(tmp_path / "a.yaml", one={"answer": "change"})


def test_a_kind_is_answered_at_once_but_a_single_answer_goes_first(tmp_path):
    given = sheet(tmp_path / "a.yaml", two={"answer": "refuse"})
    text = answers_text(given).replace(
        "proposals:\n", "by_kind:\n  - kind: measurement\n    answer: accept\nproposals:\n", 1
    )
    (tmp_path / "a.yaml").write_text(text, encoding="utf-8")
    done = answered([ONE, TWO], read_answers(tmp_path / "a.yaml"))
    assert (done.proposals, done.accepted) == ((ONE,), {ONE.id})


def test_an_answer_follows_its_words_when_names_move(tmp_path):
    given = sheet(tmp_path / "a.yaml", one={"answer": "refuse"})
    moved = replace(ONE, id="film-other", start=Decimal(11))
    assert answered([moved, TWO], given).proposals == (TWO,)


def test_an_answer_is_not_given_to_other_words_of_the_same_name(tmp_path):
    given = sheet(tmp_path / "a.yaml", one={"answer": "refuse"})
    other = replace(ONE, said="fifty newton metres", text="torque: 50 N·m")
    done = answered([other, TWO], given)
    assert other in done.proposals
    assert [a.id for a in done.left_over] == [ONE.id]


def test_an_answer_follows_what_is_proposed_when_a_word_was_recognised_otherwise(tmp_path):
    given = sheet(tmp_path / "a.yaml", one={"answer": "refuse"})
    heard = replace(ONE, said="forty newton meters", start=Decimal(11))
    assert answered([heard, TWO], given).proposals == (TWO,)


def test_no_answer_to_a_kind_goes_over_what_somebody_changed(tmp_path):
    change = {"answer": "change", "change": Changed(text="Of: 9 N·m")}
    before = sheet(tmp_path / "a.yaml", one=change)
    kind = {"by_kind": (KindAnswer.model_validate({"kind": "measurement", "answer": "accept"}),)}
    given_ = before.model_copy(update=kind)
    other = replace(ONE, said="forty newton meters and a bit", text="torque: about 40 N·m")
    done = answered([other, TWO], given_)
    assert done.accepted == {TWO.id}
    (note,) = left_over_notes(tmp_path / "a.yaml", given_, done, [other, TWO])
    assert ONE.id in note
    text = (tmp_path / "a.yaml").read_text(encoding="utf-8")
    line = text[: text.index(f"id: {ONE.id}")].count("\n") + 1
    assert note.startswith(f"a.yaml: line {line}: ")
    assert "take this row out" in note


def of_kind(sheet_, answer="accept"):
    """Return a sheet in which all numbers are answered at once."""
    kind = KindAnswer.model_validate({"kind": "measurement", "answer": answer})
    return sheet_.model_copy(update={"by_kind": (kind,)})


def test_a_kind_is_answered_for_what_stood_in_the_sheet_and_no_more(tmp_path):
    before = of_kind(sheet_of([ONE], None))
    done = answered([ONE, TWO], before)
    assert done.accepted == {ONE.id}
    (note,) = unread_notes(before, done, [ONE, TWO])
    assert "1 of the kind 'measurement'" in note
    again = sheet_of([ONE, TWO], before)
    assert again.by_kind is None
    assert [row.answer for row in again.proposals] == ["accept", "open"]
    assert answered([ONE, TWO], again).accepted == {ONE.id}


def test_no_answer_to_a_kind_goes_over_a_change_that_waits(tmp_path):
    waiting = {"change": Changed(text="Of: 9 N·m")}
    done = answered([ONE, TWO], of_kind(sheet(tmp_path / "a.yaml", one=waiting)))
    assert done.accepted == {TWO.id}
    assert done.answers[ONE.id].change == waiting["change"]


def test_a_sheet_is_not_read_with_the_words_of_another_job(tmp_path):
    many = [proposal(f"n{at}", at, said=f"{at} newton metres") for at in range(10, 20)]
    before = sheet_of(many, None)
    others = [replace(p, said=f"{p.said} then", text=f"{p.text} then") for p in many]
    file, words = tmp_path / "a.yaml", [Path("saw.vtt")]
    hold_same_talk(file, before, answered(many, before), words)
    hold_same_talk(file, before, answered([*others[:8], *many[8:]], before), words)
    with pytest.raises(InputError, match=r"other words than those of saw\.vtt") as told:
        hold_same_talk(file, before, answered(others, before), words)
    assert told.value.remedy
    few = sheet_of(many[:4], None)
    hold_same_talk(file, few, answered(others, few), words)


def test_a_change_that_does_not_fit_is_told_with_its_line(tmp_path):
    bar = {"answer": "change", "change": Changed(values=SaidValues(upper=Decimal(9), unit="bar"))}
    given_ = sheet(tmp_path / "a.yaml", two=bar)
    with pytest.raises(InputError, match="bar is no unit of torque") as told:
        hold_as_written(tmp_path / "a.yaml", given_, [ONE, TWO])
    (fault,) = told.value.faults
    text = (tmp_path / "a.yaml").read_text(encoding="utf-8")
    assert fault.line == text[: text.index("    change:")].count("\n") + 1
    assert TWO.id in fault.problem


def test_a_step_that_goes_further_or_less_far_keeps_its_answer():
    step = proposal("step", 10, kind="step", said="Undo the nut. Then lift it off.")
    before = sheet_of([step], None)
    row = before.proposals[0].model_copy(update={"answer": "accept"})
    given_ = before.model_copy(update={"proposals": (row,)})
    shorter = replace(step, said="Undo the nut.", end=Decimal(11))
    assert answered([shorter], given_).accepted == {step.id}
    other = replace(shorter, text="Lift it off.")
    assert not answered([other], given_).accepted
    number = replace(shorter, kind="orientation")
    assert not answered([number], given_).accepted


def test_an_answer_to_what_is_no_longer_said_is_kept(tmp_path):
    given = sheet(tmp_path / "a.yaml", one={"answer": "refuse"})
    again = sheet_of([TWO], given)
    assert [(row.id, row.answer) for row in again.proposals] == [
        (TWO.id, "open"),
        (ONE.id, "refuse"),
    ]


@given(st.lists(st.sampled_from(["open", "accept", "refuse"]), min_size=4, max_size=4))
def test_running_again_changes_no_answer(says):
    every = [proposal(str(n), 10 * n, said=f"number {n}") for n in range(4)]
    first = sheet_of(every, None)
    rows = tuple(
        row.model_copy(update={"answer": say})
        for row, say in zip(first.proposals, says, strict=True)
    )
    given_sheet = first.model_copy(update={"proposals": rows})
    assert sheet_of(every, given_sheet) == given_sheet


def test_what_is_open_stands_in_the_sheet_to_be_written_over():
    assert answers_text(sheet_of([ONE], None)).count("\n    answer: open\n") == 1


def test_who_answered_is_kept_and_given_to_answers_that_name_nobody(tmp_path):
    first = {"answer": "accept", "by": "Ann Reed"}
    before = sheet(tmp_path / "a.yaml", one=first, two={"answer": "refuse"})
    assert answered([ONE, TWO], before).by == {ONE.id: "Ann Reed"}
    after = named_by(before, "Bo Lind")
    assert answered([ONE, TWO], after).by == {ONE.id: "Ann Reed", TWO.id: "Bo Lind"}
    assert [row.by for row in sheet_of([ONE, TWO], after).proposals] == ["Ann Reed", "Bo Lind"]


def test_nobody_is_named_beside_what_is_open(tmp_path):
    before = named_by(sheet(tmp_path / "a.yaml", one={"by": "Ann Reed"}), "Bo Lind")
    assert [row.by for row in sheet_of([ONE, TWO], before).proposals] == [None, None]
    assert answered([ONE, TWO], before).by == {}


def test_an_answer_to_a_kind_names_who_gave_it(tmp_path):
    file = tmp_path / "a.yaml"
    sheet(file, two={"answer": "refuse", "by": "Bo Lind"})
    kind = "by_kind:\n  - kind: measurement\n    answer: accept\nproposals:\n"
    text = file.read_text(encoding="utf-8").replace("proposals:\n", kind, 1)
    file.write_text(text, encoding="utf-8")
    assert answered([ONE, TWO], read_answers(file)).by == {TWO.id: "Bo Lind"}
    done = answered([ONE, TWO], named_by(read_answers(file), "Ann Reed"))
    assert done.by == {ONE.id: "Ann Reed", TWO.id: "Bo Lind"}


def broken(file, old, new):
    """Return the fault told of a sheet with both proposals, once it was edited by hand."""
    text = answers_text(sheet_of([ONE, TWO], None))
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(InputError) as told:
        read_answers(file)
    return told.value.faults[0] if hasattr(told.value, "faults") else told.value


OPEN = "    answer: open\n"
IN_PLACE = '    change:\n      text: "torque: 41 N·m"\n'


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("film-two", "film-one", "'film-one' is answered twice"),
        (
            "\nproposals:",
            "\nby_kind:\n  - {kind: tool, answer: accept}\n"
            "  - {kind: tool, answer: refuse}\nproposals:",
            "'tool' is answered twice",
        ),
        (OPEN, "    answer: accept\n" + IN_PLACE, "something else stands under 'change'"),
        (
            OPEN,
            '    answer: change\n    change:\n      values: {lower: "42", upper: "38"}\n',
            "crossed: 42 lies above 38",
        ),
    ],
)
def test_of_two_answers_none_is_passed_over(tmp_path, old, new, says):
    told = broken(tmp_path / "answers.yaml", old, new)
    assert says in told.problem
    assert told.remedy
    assert told.line


@pytest.mark.parametrize(
    ("old", "new", "key", "remedy"),
    [
        ("kind: measurement", "kind: step", "kind", "answer 'refuse'"),
        ('text: "torque: one"', 'text: "torque: 41 N·m"', "text", "under 'change'"),
        ('nominal: "40"', 'nominal: "41"', "values", '{nominal: "40", unit: "N·m"}'),
        ("      unit: N·m\n", "      unit: mm\n", "values", "under 'change'"),
        ('at: "10.000000"', 'at: "11.000000"', "at", "'at: 10.000000'"),
        ("reason: the words say so", "reason: I say so", "reason", "'reason: the words say so'"),
        ('confidence: "0.90"', 'confidence: "1"', "confidence", "0.90"),
        ("said: forty newton metres", "said: forty one", "said", "forty newton metres"),
        ("id: film-one", "id: film-other", "id", "'id: film-one'"),
        ("recording: film", "recording: other", "recording", "film"),
    ],
)
@pytest.mark.parametrize("answer", ["open", "accept"])
def test_what_only_the_program_writes_is_refused_where_it_was_changed(
    tmp_path, old, new, key, remedy, answer
):
    file = tmp_path / "answers.yaml"
    text = answers_text(sheet_of([ONE, TWO], None)).replace(OPEN, f"    answer: {answer}\n", 1)
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(InputError) as told:
        hold_as_written(file, read_answers(file), [ONE, TWO])
    (fault,) = told.value.faults
    assert fault.problem.startswith(f"'film-one': '{key}' was changed")
    assert remedy in fault.remedy
    line = file.read_text(encoding="utf-8").splitlines()[fault.line - 1]
    assert f"{key}:" in line


def test_a_row_changed_whose_words_are_said_no_more_is_told_at_its_place(tmp_path):
    file = tmp_path / "answers.yaml"
    text = answers_text(sheet_of([ONE, TWO], None))
    file.write_text(text.replace("torque: two", "torque: 2 N·m", 1), encoding="utf-8")
    with pytest.raises(InputError, match="'film-two': a key that only") as told:
        hold_as_written(file, read_answers(file), [ONE])
    assert "film-two" in file.read_text(encoding="utf-8").splitlines()[told.value.line - 1]


def test_a_proposal_that_became_another_is_no_change_of_the_sheet(tmp_path):
    file = tmp_path / "answers.yaml"
    given = sheet(file, one={"answer": "accept", "by": "Ann Reed"})
    other = replace(ONE, text="torque: 1", reason="other words say so", start=Decimal("10.5"))
    hold_as_written(file, given, [other, TWO])
    again = sheet_of([other, TWO], given)
    assert [row.sign() for row in again.proposals] == [row.written for row in again.proposals]


def test_a_sheet_of_an_older_version_has_no_signs_and_is_read(tmp_path):
    file = tmp_path / "answers.yaml"
    text = "".join(
        each
        for each in answers_text(sheet_of([ONE], None)).splitlines(keepends=True)
        if "written:" not in each
    )
    file.write_text(text.replace("torque: one", "torque: 41 N·m"), encoding="utf-8")
    hold_as_written(file, read_answers(file), [ONE])


def test_a_change_beside_an_open_answer_is_told(tmp_path):
    file = tmp_path / "answers.yaml"
    text = answers_text(sheet_of([ONE, TWO], None))
    file.write_text(text.replace(OPEN, OPEN + IN_PLACE, 1), encoding="utf-8")
    (note,) = waiting_changes(read_answers(file))
    assert "'film-one'" in note
    assert waiting_changes(sheet_of([ONE], None)) == waiting_changes(None) == ()


@pytest.mark.parametrize("answer", ["open", "refuse"])
def test_a_change_waits_beside_what_is_open_or_refused(tmp_path, answer):
    file = tmp_path / "answers.yaml"
    text = answers_text(sheet_of([ONE, TWO], None))
    file.write_text(text.replace(OPEN, f"    answer: {answer}\n{IN_PLACE}", 1), encoding="utf-8")
    assert read_answers(file).proposals[0].change.text == "torque: 41 N·m"


def test_an_empty_sheet_is_told_how_to_come_by_one(tmp_path):
    file = tmp_path / "answers.yaml"
    file.write_bytes(b"\n")
    with pytest.raises(InputError) as told:
        read_answers(file)
    assert "propose" in told.value.remedy


def test_a_sheet_without_proposals_is_read_again(tmp_path):
    file = tmp_path / "answers.yaml"
    file.write_text(answers_text(sheet_of([], None)), encoding="utf-8")
    assert read_answers(file).proposals == ()


def bare(file, *rows):
    """Return a sheet of rows as a person writes them, without what the program writes."""
    text = "".join(f"  - {{{row}}}\n" for row in rows)
    file.write_text(f"schema: proposals/1\nproposals:\n{text}", encoding="utf-8")
    return read_answers(file)


def test_a_row_of_an_id_and_an_answer_is_enough(tmp_path):
    file = tmp_path / "a.yaml"
    change = 'change: {values: {lower: "2.80", upper: "3.20"}}'
    given_ = bare(
        file, "id: film-one, answer: refuse", f"id: film-two, answer: change, {change}, by: Bo Lind"
    )
    hold_as_written(file, given_, [ONE, TWO])
    done = answered([ONE, TWO], given_)
    (two,) = done.proposals
    assert (str(two.values.lower), two.values.unit, done.by) == ("2.80", "N·m", {TWO.id: "Bo Lind"})
    again = sheet_of([ONE, TWO], given_)
    assert [row.answer for row in again.proposals] == ["refuse", "change"]
    assert all(row.said and row.written == row.sign() for row in again.proposals)


def test_a_bare_row_of_an_unknown_id_is_told_with_its_line_and_kept(tmp_path):
    file = tmp_path / "a.yaml"
    given_ = bare(file, "id: film-one, answer: accept", "id: film-tow, answer: refuse")
    hold_as_written(file, given_, [ONE, TWO])
    done = answered([ONE, TWO], given_)
    (note,) = left_over_notes(file, given_, done, [ONE, TWO])
    assert note.startswith("a.yaml: line 4: ")
    assert "did you mean 'film-two'?" in note
    assert [row.id for row in sheet_of([ONE, TWO], given_).proposals][-1] == "film-tow"
    assert left_over_notes(file, given_, answered([ONE], None), [ONE]) == ()


@pytest.mark.parametrize(
    ("row", "says", "remedy"),
    [
        ("id: film-one, answer: change", "nothing stands in its place", "under 'change'"),
        ("id: film-one, answer: change, change: {text: nine or so}", "film-one", "values"),
        ("id: film-one, answer: change, change: {values: {unit: mm}}", "no number", "lower"),
        ("id: film-one, answer: accept, kind: step", "'kind' was changed", "kind: measurement"),
        ("id: film-one, answer: accept, text: 9 N·m", "'text' was changed", "torque: one"),
    ],
)
def test_what_is_wrong_in_a_bare_row_is_one_error_at_its_place(tmp_path, row, says, remedy):
    file = tmp_path / "a.yaml"
    with pytest.raises(InputError) as told:
        hold_as_written(file, bare(file, "id: film-two, answer: open", row), [ONE, TWO])
    (fault,) = told.value.faults
    assert (fault.line, fault.file) == (4, str(file))
    assert says in fault.problem
    assert remedy in fault.remedy
