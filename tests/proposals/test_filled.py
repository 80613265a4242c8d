"""Questions are answered in the sheet: in the draft at their place, or kept with the question."""

from __future__ import annotations

from decimal import Decimal

import pytest

from author.contract.yaml_writer import write_yaml
from author.errors import FileErrors, InputError
from author.procedure.cues import Cue
from author.proposals.claims import propose
from author.proposals.draft.answered import answered, sheet_of
from author.proposals.draft.answers import answers_text, named_by, read_answers
from author.proposals.draft.filled import filled, rows_for, unasked_notes, with_answers
from author.proposals.draft.gaps import questions
from author.proposals.draft.procedure import Front, draft_of
from author.proposals.speech.sentences import sentences_of

TALK = (
    "Lift the pump cover off.",
    "Then measure the bore with the bore gauge.",
    "Now fit the pulley, and tighten the nut to forty newton metres.",
    "Spin the shaft by hand, and it should turn freely.",
    "Have a look at the seal for cracks.",
)
BOLTS = "Tighten the four cover bolts crosswise."
GAP = "Set the gap to point two five."


def said(*texts, begin=0):
    cues = [
        Cue(Decimal(begin + 30 * n), Decimal(begin + 30 * n + 6), text)
        for n, text in enumerate(texts)
    ]
    return propose(sentences_of(cues, "film")).proposals


PROPOSALS = said(*TALK)


class Job:
    """A sheet in a file that is run again and again, as ``propose`` does."""

    def __init__(self, file, proposals=PROPOSALS):
        self.file, self.proposals = file, proposals
        self.run()

    def run(self, by=None):
        sheet = read_answers(self.file)
        sheet = named_by(sheet, by) if sheet and by else sheet
        full = filled(self.proposals, answered(self.proposals, sheet), sheet, self.file)
        new = sheet_of(self.proposals, sheet, questions=full.rows)
        self.file.write_text(answers_text(new), encoding="utf-8")
        return full

    def answer(self, asks, words, about=""):
        """Write an answer to the one question of a kind that is asked of some words."""
        text = self.file.read_text(encoding="utf-8")
        rows = [r for r in read_answers(self.file).questions if r.asks == asks]
        (row,) = [r for r in rows if about in r.question]
        old = f'id: {row.id}\n    answer: ""'
        assert old in text
        self.file.write_text(text.replace(old, old[:-2] + f'"{words}"'), encoding="utf-8")
        return row

    def draft(self, full):
        front = Front("pump", "Pump")
        return draft_of(full.done.proposals, front, {}, full.done.accepted).plain


def steps_of(plain):
    return [step for section in plain["sections"] for step in section["steps"]]


def source_of(plain, entry):
    return next(s for s in plain["sources"] if s["id"] == entry["source"])


@pytest.fixture
def job(tmp_path):
    return Job(tmp_path / "a.yaml")


@pytest.fixture
def bolts(tmp_path):
    return Job(tmp_path / "a.yaml", said(BOLTS))


def test_each_question_stands_in_the_sheet_with_room_for_an_answer(job):
    rows = read_answers(job.file).questions
    assert {"limits", "otherwise", "accepted", "part"} <= {row.asks for row in rows}
    assert all(row.answer == "" and row.written == row.sign() for row in rows)
    before = job.file.read_bytes()
    job.run()
    assert job.file.read_bytes() == before


def test_a_torque_goes_into_its_step_as_the_shops(bolts):
    job = bolts
    job.answer("torque", "22.0 to 26.0 N·m, oiled, crosswise in two rounds")
    full = job.run(by="Ann Reed")
    plain = job.draft(full)
    (torque,) = [t for s in steps_of(plain) for t in s.get("torques", ()) if t["upper"] == "26.0"]
    assert (torque["lower"], torque["unit"], torque["threads"]) == ("22.0", "N·m", "oiled")
    assert torque["characteristic"].startswith("Torque of the")
    assert torque["note"] == "Crosswise in two rounds"
    source = source_of(plain, torque)
    assert source["kind"] == "shop"
    assert source["title"].startswith("Answered by Ann Reed, asked of film at 0:00.0")
    assert not [q for q in full.questions if q.asks == "torque"]
    again = job.run()
    assert job.draft(again) == plain
    assert [r.by for r in read_answers(job.file).questions if r.answer] == ["Ann Reed"]


def test_limits_are_put_about_the_number_said_and_are_changed_by_who_answered(job):
    job.answer("limits", "38 to 42", about="forty")
    full = job.run(by="Ann Reed")
    plain = job.draft(full)
    (nut,) = [t for s in steps_of(plain) for t in s.get("torques", ()) if t["upper"] == "42"]
    assert (nut["lower"], nut["nominal"], nut["unit"]) == ("38", "40", "N·m")
    assert "note" not in nut
    source = source_of(plain, nut)
    assert (source["kind"], source["title"][:19]) == ("shop", "Changed by Ann Reed")
    assert "forty" in source["title"]


def test_threads_told_behind_the_limits_of_a_torque_stand_with_the_threads(job):
    job.answer("limits", "38 to 42 N·m, oiled; crosswise", about="forty")
    plain = job.draft(job.run())
    (nut,) = [t for s in steps_of(plain) for t in s.get("torques", ()) if t["upper"] == "42"]
    assert nut["threads"] == "oiled"
    assert "where" not in nut
    assert nut["note"] == "Crosswise"


@pytest.mark.parametrize("words", ["No cracks, else fit a new seal", "No cracks; or else fit one"])
def test_what_is_done_else_is_what_is_done_otherwise(job, words):
    job.answer("accepted", words, about="cracks")
    plain = job.draft(job.run())
    (seal,) = [c for s in steps_of(plain) for c in s.get("criteria", ())
               if c["accept"] == "No cracks"]  # fmt: skip
    assert seal["otherwise"].startswith("Fit")


def test_a_number_nobody_said_goes_beside_what_is_measured(job):
    job.answer("limits", "bore: 39.97 to 39.99 mm", about="no number")
    plain = job.draft(job.run())
    (bore,) = [p for s in steps_of(plain) for p in s.get("specs", ()) if p["upper"] == "39.99"]
    assert bore["characteristic"] == "Bore"
    assert source_of(plain, bore)["title"].startswith("Answered by the technician")


def test_what_an_answer_leaves_open_is_asked_in_the_same_sheet_then(tmp_path):
    job = Job(tmp_path / "a.yaml", said(GAP))
    job.answer("unit", "mm")
    full = job.run()
    assert any("point two five" in q.text and q.asks == "limits" for q in full.questions)
    job.answer("limits", "0.20 to 0.30 mm", about="point two five")
    plain = job.draft(job.run())
    (gap,) = [p for s in steps_of(plain) for p in s.get("specs", ()) if p.get("upper") == "0.30"]
    assert (gap["lower"], gap["nominal"], gap["unit"]) == ("0.20", "0.25", "mm")


def test_what_is_looked_at_gets_what_was_not_told_and_its_source(job):
    job.answer("otherwise", "Fit a new bearing.")
    job.answer("accepted", "no cracks; otherwise fit a new seal", about="cracks")
    plain = job.draft(job.run(by="Ann Reed"))
    criteria = [c for s in steps_of(plain) for c in s.get("criteria", ())]
    by_otherwise = {c["otherwise"]: c for c in criteria}
    assert by_otherwise["Fit a new seal"]["accept"] == "No cracks"
    assert by_otherwise["Fit a new bearing."]["accept"].startswith("It should turn")
    answered_ones = [by_otherwise["Fit a new seal"], by_otherwise["Fit a new bearing."]]
    assert {source_of(plain, c)["kind"] for c in answered_ones} == {"shop"}
    assert {c["source"] for c in criteria if c not in answered_ones} == {"film"}


def test_what_is_accepted_may_be_told_first_and_what_is_done_otherwise_asked_then(job):
    job.answer("accepted", "No cracks", about="cracks")
    assert any("cracks" in q.text and q.asks == "otherwise" for q in job.run().questions)
    job.answer("otherwise", "Fit a new seal", about="cracks")
    plain = job.draft(job.run())
    assert ("No cracks", "Fit a new seal") in {
        (c["accept"], c["otherwise"]) for s in steps_of(plain) for c in s.get("criteria", ())
    }


def test_the_missing_half_of_each_warning_is_told_by_itself(tmp_path):
    job = Job(
        tmp_path / "a.yaml",
        said("Lift the cover off.", "It will burn you.", "Undo the clamp.", "It can crush you."),
    )
    rows = [r for r in read_answers(job.file).questions if r.asks == "avoided"]
    assert len(rows) == 2
    job.answer("avoided", "Let it cool for an hour", about="burn")
    full = job.run()
    hazards = [h for s in steps_of(job.draft(full)) for h in s.get("hazards", ())]
    assert "Let it cool for an hour" in [h["avoid"] for h in hazards]
    (left,) = [q for q in full.questions if q.asks == "avoided"]
    assert "burn" not in left.text
    assert "crush" in left.text


def test_what_has_no_one_place_is_kept_with_its_question_and_shown_beside_it(job):
    job.answer("part", "It stays off", about="cover")
    full = job.run(by="Ann Reed")
    kept = full.questions[-1]
    assert (kept.asks, kept.answer, kept.by) == ("part", "It stays off", "Ann Reed")
    assert kept.with_answer.endswith("Answered by Ann Reed: It stays off")
    assert "stays off" not in write_yaml(job.draft(full))
    # The window is shown it beside the question, and loses nothing of it.
    sheet = read_answers(job.file)
    asked = questions(answered(job.proposals, sheet).proposals)
    assert with_answers(asked, sheet)[-1].answer == "It stays off"
    assert rows_for(asked, sheet) == sheet.questions


COMES_OFF = (
    "Lift the pump cover off.",
    "Then measure the bore with the bore gauge.",
    "Now fit the pulley, and tighten the nut to forty newton metres.",
    "Put the filter back in.",
)


def ledgers(job, full):
    return [
        [(e["act"], e["part"]) for e in step.get("ledger", ())]
        for step in steps_of(job.draft(full))
    ]


@pytest.mark.parametrize(
    ("answer", "acts"),
    [
        ("refitted in step 4", {4: "refits"}),
        ("goes back at 1:31", {4: "refits"}),
        ("Same one back on, step 3", {3: "refits"}),
        ("put back with the filter", {4: "refits"}),
        ("new one fitted in the last step", {4: "replaces"}),
        ("scrapped, new one in step 4", {1: "discards", 4: "replaces"}),
        ("replaced at 1:32", {4: "replaces"}),
        ("binned", {1: "discards"}),
        ("refitted", {}),
        ("reused, same one", {}),
        ("new one", {}),
    ],
)
def test_what_becomes_of_a_part_stands_in_the_ledger_of_the_step_that_is_named(
    tmp_path, answer, acts
):
    job = Job(tmp_path / "a.yaml", said(*COMES_OFF))
    job.answer("part", answer, about="cover comes off")
    full = job.run()
    found = ledgers(job, full)
    told = {n: a for n, step in enumerate(found, 1) for a, p in step if p == "pump-cover"
            and a != "removes"}  # fmt: skip
    assert told == acts
    # What is left open is asked for, and nothing twice.
    asked = [q.text for q in full.questions if "pump cover" in q.text and not q.answer]
    assert bool(asked) == (not acts or set(acts.values()) == {"discards"})
    assert not asked or "in which step" in asked[0]


def test_a_step_asked_for_is_answered_by_its_number_alone(tmp_path):
    job = Job(tmp_path / "a.yaml", said(*COMES_OFF))
    job.answer("part", "refitted", about="cover comes off")
    job.run()
    job.answer("part", "4", about="refitted: in which")
    full = job.run()
    assert ("refits", "pump-cover") in ledgers(job, full)[3]
    assert not [q for q in full.questions if "pump cover" in q.text]


@pytest.mark.parametrize(
    ("answer", "acts"),
    [
        ("new", {3: "replaces"}),
        ("It's a new one", {3: "replaces"}),
        ("comes off in step 1", {1: "removes", 3: "refits"}),
        ("0:31", {2: "removes", 3: "refits"}),
    ],
)
def test_what_is_fitted_and_never_came_off_is_new_or_comes_off_where_it_is_told(
    tmp_path, answer, acts
):
    job = Job(tmp_path / "a.yaml", said(*COMES_OFF))
    job.answer("part", answer, about="pulley")
    found = ledgers(job, job.run())
    assert {n: a for n, step in enumerate(found, 1) for a, p in step if p == "pulley"} == acts


def test_a_new_one_of_which_no_step_tells_goes_into_the_step_that_is_named(tmp_path):
    talk = ("Parts you want: a drive belt.", *COMES_OFF)
    job = Job(tmp_path / "a.yaml", said(*talk))
    job.answer("part", "step 3", about="drive belt")
    assert ("replaces", "drive-belt") in ledgers(job, job.run())[2]


@pytest.mark.parametrize(
    ("asks", "answer", "says", "remedy"),
    [
        ("cover comes off", "ask the owner", "does not tell what becomes", "'refitted in step 9'"),
        ("cover comes off", "refitted in step 19", "they are 1 to 4", "'step 9'"),
        ("cover comes off", "not a new one, no", "does not tell", "'stays off'"),
        ("filter", "comes off in step 9", "they are 1 to 4", "by its number"),
        ("pulley", "comes off in step 4", "after step 3", "the step it comes off in"),
        ("pulley", "no idea", "does not tell", "'new'"),
    ],
)
def test_what_becomes_of_a_part_is_refused_where_it_cannot_be_read(
    tmp_path, asks, answer, says, remedy
):
    job = Job(tmp_path / "a.yaml", said(*COMES_OFF))
    row = job.answer("part", answer, about=asks)
    with pytest.raises(FileErrors) as told:
        job.run()
    (fault,) = told.value.faults
    assert f"'{row.id}': " in fault.problem
    assert says in fault.problem
    assert remedy in fault.remedy
    assert str(fault.file) == str(job.file)
    assert fault.line


def test_words_beside_what_becomes_of_a_part_are_kept_with_the_question(tmp_path):
    job = Job(tmp_path / "a.yaml", said(*COMES_OFF))
    job.answer("part", "refitted in step 4, but only once it is dry", about="cover comes off")
    full = job.run()
    assert ("refits", "pump-cover") in ledgers(job, full)[3]
    assert full.questions[-1].answer == "refitted in step 4, but only once it is dry"


def test_none_closes_a_question_and_puts_nothing_in(bolts):
    job = bolts
    before = job.draft(job.run())
    job.answer("torque", "none")
    full = job.run()
    assert not [q for q in full.questions if q.asks == "torque"]
    assert job.draft(full) == before


def test_none_leaves_out_what_is_looked_at_and_accepts_nothing(job):
    def open_ones(plain):
        told = [one for step in steps_of(plain) for one in step.get("criteria", ())]
        return [one["look_for"] for one in told if one["accept"].startswith("(to be written)")]

    before = job.draft(job.run())
    assert open_ones(before) == ["Measure the bore with the bore gauge",
                                 "Have a look at the seal for cracks"]  # fmt: skip
    job.answer("accepted", "none")
    full = job.run()
    assert not [q for q in full.questions if q.asks == "accepted"]
    after = job.draft(full)
    assert open_ones(after) == ["Measure the bore with the bore gauge"]
    assert [step["action"] for step in steps_of(after)] == [
        step["action"] for step in steps_of(before)
    ]


@pytest.mark.parametrize(
    ("asks", "about", "answer", "says", "remedy"),
    [
        ("torque", "", "hand tight", "cannot be told apart", "'22 to 26 N·m'"),
        ("torque", "", "24 N·m", "no limits", "'22 to 26 N·m'"),
        ("torque", "", "22 to 26 mm", "no unit of", "'22 to 26 N·m'"),
        ("torque", "", "22 to 26", "", "'22 to 26 N·m'"),
        ("limits", "forty", "41 to 42 N·m", "40 N·m was said", "limits about it"),
        ("limits", "forty", "44 to 42 N·m", "", ""),
        ("limits", "forty", "33 to 47 bar", "bar is no unit of torque", "new name"),
        ("limits", "forty", "-5 to 60 N·m", "less than no torque", "above 0"),
        ("accepted", "cracks", "no", "what is accepted", "; otherwise"),
        ("otherwise", "turn freely", "?", "does not tell what is asked", "'none'"),
        ("unit", "", "furlong-ish", "no unit", "such as mm"),
        ("accepted", "cracks", "otherwise fit a new one", "what is accepted", "; otherwise"),
        ("accepted", "cracks", "no cracks; otherwise", "done otherwise", "; otherwise"),
    ],
)
def test_a_bad_answer_is_one_error_at_its_place_and_loses_nothing(
    tmp_path, asks, about, answer, says, remedy
):
    talk = {"torque": (BOLTS,), "unit": (GAP,)}.get(asks, TALK)
    job = Job(tmp_path / "a.yaml", said(*talk))
    row = job.answer(asks, answer, about)
    before = job.file.read_bytes()
    with pytest.raises(FileErrors) as told:
        job.run()
    (fault,) = told.value.faults
    assert f"'{row.id}': " in fault.problem
    assert says in fault.problem
    assert remedy in fault.remedy
    assert fault.remedy
    lines = before.decode().splitlines()
    assert lines[fault.line - 1] == f'    answer: "{answer}"'
    assert told.value.exit_code == 2
    assert job.file.read_bytes() == before


def test_an_answer_follows_its_question_and_waits_where_it_is_asked_no_more(bolts):
    def has_it(full):
        return any(p.values and str(p.values.upper) == "26" for p in full.done.proposals)

    row = bolts.answer("torque", "22 to 26 N·m")
    assert has_it(bolts.run())
    bolts.proposals = said(BOLTS, begin=2)
    assert has_it(bolts.run())
    (new,) = [r for r in read_answers(bolts.file).questions if r.answer]
    assert new.id != row.id
    bolts.proposals = said("Lift the pump cover off.")
    full = bolts.run()
    (note,) = unasked_notes(bolts.file, read_answers(bolts.file), full.left_over)
    assert note.startswith("a.yaml: line ")
    assert new.id in note
    assert [r.answer for r in read_answers(bolts.file).questions if r.answer] == ["22 to 26 N·m"]
    bolts.proposals = said(BOLTS)
    assert has_it(bolts.run())


def test_a_question_of_a_name_and_an_answer_alone_is_read(bolts):
    (row,) = [r for r in read_answers(bolts.file).questions if r.asks == "torque"]
    bolts.file.write_text(
        f"schema: proposals/1\nquestions:\n  - {{id: {row.id}, answer: 22 to 26 N·m}}\n"
        "  - {id: nothing-there, answer: so}\nproposals: none\n",
        encoding="utf-8",
    )
    full = bolts.run()
    assert any(p.values and str(p.values.upper) == "26" for p in full.done.proposals)
    assert [one.id for one in full.left_over] == ["nothing-there"]
    assert [r.id for r in read_answers(bolts.file).questions if r.question is None] == [
        "nothing-there"
    ]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("asks: otherwise", "asks: limits", "only 'propose' writes"),
        ('answer: ""', "answer: 40", "has to be text"),
        ('answer: ""', 'answer: "a\\nb"', "line end"),
    ],
)
def test_more_than_the_answer_is_not_changed(job, old, new, says):
    text = job.file.read_text(encoding="utf-8")
    assert old in text
    job.file.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(InputError, match=says) as told:
        read_answers(job.file)
    assert told.value.line


def test_a_question_is_answered_once(job):
    rows = read_answers(job.file).questions
    text = job.file.read_text(encoding="utf-8")
    job.file.write_text(
        text.replace("questions:\n", f"questions:\n  - {{id: {rows[0].id}, answer: 'x'}}\n", 1),
        encoding="utf-8",
    )
    with pytest.raises(InputError, match="answered twice"):
        read_answers(job.file)


def test_limits_answered_with_what_is_done_otherwise_tell_both(tmp_path):
    job = Job(tmp_path / "a.yaml", said("Check the free length of the spring with a caliper."))
    job.answer("limits", "31.5 to 32.5 mm; otherwise fit a new spring")
    (spec,) = job.draft(job.run("Ann Reed"))["sections"][0]["steps"][0]["specs"]
    assert (spec["lower"], spec["upper"], spec["unit"]) == ("31.5", "32.5", "mm")
    assert spec["characteristic"] == "Free length of the spring"
    assert spec["note"] == "Otherwise fit a new spring"


def test_limits_nobody_asked_for_are_a_number_too(tmp_path):
    job = Job(tmp_path / "a.yaml", said("Spin the shaft by hand, and it should turn freely."))
    job.answer("otherwise", "at most 0.05 mm; otherwise fit a new bearing")
    (step,) = job.draft(job.run("Ann Reed"))["sections"][0]["steps"]
    assert step["specs"][0]["upper"] == "0.05"
    assert step["criteria"][0]["otherwise"] == "Fit a new bearing"
