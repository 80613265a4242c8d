"""``reelwright propose``: from captions to a draft, a sheet of answers, and back."""

from __future__ import annotations

import json
import re
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal
from pathlib import Path

import pytest

from author.contract import read_procedure
from author.errors import Cancelled, InputError
from author.procedure.cues import Cue
from author.progress import Cancel
from author.proposals.draft.answers import read_answers
from author.recording.said import Speech
from author.tasks import proposing
from author.tasks.proposal_sheet import (
    Decision,
    OpenFilm,
    keep_answers,
    only_writer,
    propose_for,
)

TALK = """WEBVTT

00:06.000 --> 00:10.000
Undo the four cover bolts, and lift the cover off.

00:12.000 --> 00:16.000
Keep your fingers clear, the spring under it will bite.

00:20.000 --> 00:24.000
Now fit the new gasket, dry.

00:28.000 --> 00:33.000
Tighten the cover bolts crosswise to twenty-two newton metres, give or take two.
"""


@pytest.fixture
def talk(tmp_path):
    (tmp_path / "cover.vtt").write_text(TALK, encoding="utf-8")
    return tmp_path


def specs(folder: Path):
    procedure = read_procedure(folder).procedure
    return [spec for _, _, spec in procedure.placed_specs()]


def test_captions_alone_make_a_draft_that_is_read(talk, run):
    assert run("propose", "--captions", "cover.vtt", "--to", "cover").code == 0
    procedure = read_procedure(talk / "cover").procedure
    actions = [placed.step.action for placed in procedure.placed_steps()]
    assert any("gasket" in action for action in actions)
    assert procedure.state == "draft"


def test_a_file_without_its_option_is_told_by_what_it_is_named(run):
    told = run("propose", "cover.vtt").problem
    assert "A file is named with --captions or --recording. Run 'reelwright propose" in told
    assert "is named with" not in run("check", "one", "two").problem


def test_captions_and_parts_may_have_long_names(talk, run):
    name = "left-hand-gearbox-output-shaft-seal-and-bearing.vtt"
    part = "hydraulically compensated counterbalancing transmission bracket"
    (talk / name).write_text(TALK.replace("new gasket", f"new {part}"), encoding="utf-8")
    done = run("propose", "--captions", name, "--to", "cover", "--answers", "answers.yaml")
    assert done.code == 0, done.err
    assert read_procedure(talk / "cover").procedure.parts
    assert run("propose", "--captions", name, "--to", "c2", "--answers", "answers.yaml").code == 0


def test_a_heard_number_forbids_publishing_until_it_is_accepted(talk, run):
    run("propose", "--captions", "cover.vtt", "--to", "cover", "--answers", "answers.yaml")
    (spec,) = specs(talk / "cover")
    assert (str(spec.lower), str(spec.upper), spec.unit) == ("20", "24", "N·m")
    assert "limits.unconfirmed" in run("check", "cover").out
    sheet = talk / "answers.yaml"
    text = sheet.read_text(encoding="utf-8")
    by_kind = "by_kind:\n  - kind: measurement\n    answer: accept\nproposals:\n"
    sheet.write_text(text.replace("proposals:\n", by_kind, 1), encoding="utf-8")
    again = run("propose", "--captions", "cover.vtt", "--to", "cover", "--answers", "answers.yaml")
    assert again.code == 0
    assert specs(talk / "cover")[0].note is None
    assert "limits.unconfirmed" not in run("check", "cover").out


def test_who_answered_is_named_once_and_told(talk, run):
    arguments = ("propose", "--captions", "cover.vtt", "--answers", "answers.yaml")
    run(*arguments)
    sheet = talk / "answers.yaml"
    text = sheet.read_text(encoding="utf-8")
    sheet.write_text(text.replace("answer: open", "answer: accept", 1), encoding="utf-8")
    assert (
        "1 accepted or changed, 0 refused, by Ann Reed" in run(*arguments, "--by", "Ann Reed").out
    )
    assert "by: Ann Reed" in sheet.read_text(encoding="utf-8")
    (by,) = json.loads(run(*arguments, "--by", "Bo Lind", "--json").out)["answered_by"].values()
    assert by == "Ann Reed"


def test_answers_lie_beside_the_draft_if_nothing_else_is_said(talk, run):
    arguments = ("propose", "--captions", "cover.vtt", "--to", "cover")
    assert "cover/proposals.yaml" in run(*arguments).out
    sheet = talk / "cover" / "proposals.yaml"
    text = sheet.read_text(encoding="utf-8")
    by_kind = "by_kind:\n  - kind: measurement\n    answer: accept\nproposals:\n"
    sheet.write_text(text.replace("proposals:\n", by_kind, 1), encoding="utf-8")
    again = run(*arguments, "--by", "Ann Reed")
    assert again.code == 0, again.err
    assert "limits.unconfirmed" not in run("check", "cover").out
    assert "by: Ann Reed" in sheet.read_text(encoding="utf-8")
    # The window proposes from the captions beside the film, and reads its answers there.
    film = OpenFilm("cover", talk / "cover.mp4", None)
    held = propose_for([film], sheet)
    numbers = [p.id for p in held.proposals if p.kind == "measurement"]
    assert {name: a.say for name, a in held.decisions.items()} == dict.fromkeys(numbers, "accept")


@pytest.mark.parametrize(
    ("more", "says"),
    [(("--by", "Ann Reed"), "no answers"), (("--answers", "a.yaml", "--by", ""), "is empty")],
)
def test_a_name_that_can_stand_nowhere_is_refused(talk, run, more, says):
    told = run("propose", "--captions", "cover.vtt", *more)
    assert told.code == 2
    assert says in told.problem
    assert not (talk / "a.yaml").exists()


def test_a_kind_changed_in_the_sheet_is_refused_and_nothing_lost(talk, run):
    command = ("propose", "--captions", "cover.vtt", "--to", "cover", "--answers", "a.yaml")
    run(*command)
    sheet, draft = talk / "a.yaml", talk / "cover" / "procedure.yaml"
    text = sheet.read_text(encoding="utf-8")
    line = text[: text.index("kind: measurement")].count("\n") + 1
    sheet.write_text(text.replace("kind: measurement", "kind: part", 1), encoding="utf-8")
    before = sheet.read_bytes(), draft.read_bytes()
    told = run(*command)
    assert told.code == 2
    assert f"a.yaml:{line}:" in told.problem
    assert (sheet.read_bytes(), draft.read_bytes()) == before


def test_a_question_is_answered_in_the_sheet_and_a_bad_answer_loses_nothing(talk, run):
    command = ("propose", "--captions", "cover.vtt", "--to", "cover", "--by", "Ann Reed")
    (talk / "cover.vtt").write_text(TALK.partition("crosswise")[0] + "crosswise.\n", "utf-8")
    run(*command)
    sheet, draft = talk / "cover" / "proposals.yaml", talk / "cover" / "procedure.yaml"
    text = sheet.read_text(encoding="utf-8")
    (name,) = re.findall(r"id: (\S+-torque)", text)
    asked = f'id: {name}\n    answer: "'
    bad = text.replace(asked, f"{asked}22 to 26 mm")
    sheet.write_text(bad, encoding="utf-8")
    line = bad[: bad.index("22 to 26 mm")].count("\n") + 1
    before = sheet.read_bytes(), draft.read_bytes()
    told = run(*command)
    assert told.code == 2
    assert f"proposals.yaml:{line}:" in told.problem
    assert "'22 to 26 N·m'" in told.problem
    assert (sheet.read_bytes(), draft.read_bytes()) == before
    sheet.write_text(bad.replace("26 mm", "26.0 N·m"), encoding="utf-8")
    for _ in range(2):
        assert run(*command).code == 0
        assert [str(spec.upper) for spec in specs(talk / "cover")] == ["26.0"]
    kept = "stays off"
    text = sheet.read_text(encoding="utf-8")
    sheet.write_text(re.sub(r'(-part\n    answer: )""', rf'\1"{kept}"', text), encoding="utf-8")
    assert f"Answered by Ann Reed: {kept}" in run(*command).out
    told = json.loads(run(*command, "--json").out)["questions"][-1]
    assert (told["answer"], told["answered_by"]) == (kept, "Ann Reed")


def test_captions_in_a_guessed_code_are_told(talk, run):
    text = TALK.replace("dry.", "dry – it’s 5 µm.").encode("cp1252")
    (talk / "cover.vtt").write_bytes(text)
    done = run("propose", "--captions", "cover.vtt")
    assert "Note: cover.vtt: line 10: the file is not UTF-8" in done.out


def test_a_draft_that_somebody_changed_is_never_overwritten(talk, run):
    arguments = ("propose", "--captions", "cover.vtt", "--to", "cover", "--answers", "a.yaml")
    run(*arguments)
    file = talk / "cover" / "procedure.yaml"
    mine = file.read_text(encoding="utf-8").replace("revision: 1", "revision: 2")
    file.write_text(mine, encoding="utf-8")
    told = run(*arguments)
    assert told.code == 2
    assert "name another file" in told.problem
    assert file.read_text(encoding="utf-8") == mine


def test_cut_short_before_the_answers_the_same_command_goes_on(talk, run):
    first = ("propose", "--captions", "cover.vtt", "--to", "cover", "--answers", "a.yaml")
    assert run(*first).code == 0
    (talk / "a.yaml").unlink()
    assert run(*first).code == 0
    assert (talk / "a.yaml").exists()


def test_answers_in_no_folder_write_no_draft(talk, run):
    done = run("propose", "--captions", "cover.vtt", "--to", "cover", "--answers", "none/a.yaml")
    assert done.code == 2
    assert not (talk / "cover").exists()


def test_json_lists_every_proposal_with_its_span_and_reason(talk, run):
    told = json.loads(run("propose", "--captions", "cover.vtt", "--json").out)
    torque = next(p for p in told["proposals"] if p["kind"] == "measurement")
    assert torque["values"] == {"lower": "20", "nominal": "22", "upper": "24", "unit": "N·m"}
    assert 28 <= float(torque["span"]["from"]) < float(torque["span"]["to"]) <= 33
    assert torque["reason"] and 0 < torque["confidence"] <= 1
    assert not (talk / "cover").exists()


def test_the_same_talk_makes_the_same_bytes(talk, run):
    for name in ("one", "two"):
        folder = talk / name
        folder.mkdir()
        run("propose", "--captions", "cover.vtt", "--to", folder / "job", "--answers", folder / "a")
    for name in ("a", "job/procedure.yaml"):
        assert (talk / "one" / name).read_bytes() == (talk / "two" / name).read_bytes()


@pytest.mark.parametrize(
    ("name", "data", "part"),
    [
        ("empty.vtt", b"", "no words"),
        ("head.vtt", b"WEBVTT\n\n", "no words"),
        ("noise.vtt", bytes(range(256)) * 40, ""),
        ("prose.srt", b"Take the cover off.\n", "time"),
        ("far.json", b'{"words": [{"word": "x", "start": -1, "end": 2}]}', ""),
    ],
)
def test_what_is_no_caption_file_is_told_in_a_line(tmp_path, run, name, data, part):
    (tmp_path / name).write_bytes(data)
    told = run("propose", "--captions", name, "--to", "draft")
    assert told.code == 2
    assert name in told.problem
    assert part in told.problem
    assert not (tmp_path / "draft").exists()


def test_a_missing_file_and_no_file_are_told(tmp_path, run):
    assert run("propose", "--captions", "none.vtt").code == 2
    assert "--captions" in run("propose").problem


def test_where_nothing_is_proposed_that_is_told_and_the_draft_is_read(tmp_path, run):
    (tmp_path / "talk.txt").write_text("[0:01] Take it.\n", encoding="utf-8")
    command = ("propose", "--captions", "talk.txt", "--to", "draft", "--answers", "answers.yaml")
    for _ in range(2):
        done = run(*command)
        assert done.code == 0, done.err
        assert "Proposed: nothing" in done.out
    assert read_procedure(tmp_path / "draft").procedure.state == "draft"


def short(folder):
    (folder / "belt.vtt").write_text(
        "WEBVTT\n\n00:00.200 --> 00:00.600\nTake the belt off.\n\n"
        "00:02.400 --> 00:03.000\nNow fit the new belt, writing outwards.\n",
        encoding="utf-8",
    )


def test_a_recording_adds_clips_and_stills(tmp_path, run, film):
    short(tmp_path)
    assert run("propose", "--captions", "belt.vtt", "--recording", film, "--to", "belt").code == 0
    procedure = read_procedure(tmp_path / "belt").procedure
    (off, on) = [placed.step for placed in procedure.placed_steps()]
    assert off.clip.end == on.clip.start or off.clip.end < on.clip.start
    assert off.clip.start <= off.still.at < off.clip.end
    assert procedure.recordings[0].file == film.name
    assert "pictures.outside" not in run("check", "belt").out


def test_captions_of_another_recording_are_told(tmp_path, run, film):
    (tmp_path / "other.vtt").write_text(TALK, encoding="utf-8")
    told = run("propose", "--captions", "other.vtt", "--recording", film, "--to", "belt")
    assert told.code == 2
    assert "other.vtt" in told.problem
    assert not (tmp_path / "belt").exists()


def test_recognised_speech_is_kept_beside_the_draft(tmp_path, film, monkeypatch):
    cues = (Cue(Decimal("0.2"), Decimal("1.4"), "Take the belt off."),)
    monkeypatch.setattr(proposing, "recognised", lambda *_: Speech(cues))
    monkeypatch.setattr(proposing, "check_model", lambda _: None)
    first = proposing.propose_job((), (film,), to=tmp_path / "belt", speech_model=tmp_path)
    kept = tmp_path / "belt" / "belt-change.said.json"
    assert str(kept) in first.notes[0]
    again = proposing.propose_job((kept,), (film,), to=tmp_path / "again")
    assert [p.text for p in again.proposals] == [p.text for p in first.proposals]


def test_a_folder_without_a_model_is_told_before_a_film_is_read(tmp_path, run, film):
    told = run("propose", "--recording", film, "--speech-model", tmp_path)
    assert told.code == 2
    assert "model" in told.problem
    assert told.err.count("\n") == 1


def test_a_model_that_is_not_there_is_told_where_captions_need_none(talk, run):
    told = run("propose", "--captions", "cover.vtt", "--speech-model", "nowhere")
    assert told.code == 2
    assert "there is no such folder" in told.problem


@pytest.mark.parametrize("at", ["finding steps", "finding what was not said", "writing"])
def test_stopped_on_the_way_nothing_is_written(talk, at):
    cancel, jobs = Cancel(), []

    class Told:
        def report(self, job: str, done: int, total: int | None) -> None:
            jobs.append(job)
            if job == at:
                cancel.request()

    with pytest.raises(Cancelled):
        proposing.propose_job(
            [talk / "cover.vtt"], (), Told(), cancel,
            to=talk / "cover", answers=talk / "answers.yaml",
        )  # fmt: skip
    assert jobs[-1] == at
    assert [path.name for path in talk.iterdir()] == ["cover.vtt"]


@pytest.mark.parametrize("option", ["--to", "--answers", "--captions"])
def test_an_empty_name_of_a_file_is_refused(talk, run, option):
    told = run("propose", "--captions", "cover.vtt", option, "")
    assert told.code == 2
    assert "it is empty" in told.problem
    assert not (talk / "procedure.yaml").exists()


def test_answers_that_cannot_be_kept_are_refused_before_a_draft_is_written(talk, monkeypatch):
    kept = talk / "kept"
    kept.mkdir()
    monkeypatch.setattr(proposing.os, "access", lambda path, _: path != kept)
    with pytest.raises(InputError, match="--answers") as told:
        proposing.propose_job([talk / "cover.vtt"], to=talk / "draft", answers=kept / "a.yaml")
    assert told.value.exit_code == 2
    assert not (talk / "draft").exists()


def test_an_answer_given_while_a_film_is_read_stays(talk, monkeypatch):
    """An hour of film takes minutes, and the window may be open on the same sheet."""
    to, answers = talk / "cover", talk / "cover" / "proposals.yaml"
    proposing.propose_job([talk / "cover.vtt"], to=to, answers=answers)
    plain = proposing.propose

    def meanwhile(*given):
        found = plain(*given)
        first = found.proposals[0].id
        keep_answers(answers, found.proposals, {first: Decision("refuse", by="Ann Reed")})
        return found

    monkeypatch.setattr(proposing, "propose", meanwhile)
    again = proposing.propose_job([talk / "cover.vtt"], to=to, answers=answers)
    said = read_answers(answers).proposals[0]
    assert (said.answer, said.by) == ("refuse", "Ann Reed")
    assert said.id in {one.id for one in again.refused}
    assert sorted(path.name for path in to.iterdir() if path.suffix == ".lock") == []


def test_two_who_write_one_sheet_wait_for_each_other(tmp_path):
    sheet = tmp_path / "proposals.yaml"

    def writes() -> bool:
        with only_writer(sheet):
            return True

    with ThreadPoolExecutor(1) as other:
        with only_writer(sheet):
            waiting = other.submit(writes)
            with pytest.raises(TimeoutError):
                waiting.result(timeout=0.1)
        assert waiting.result(timeout=30)
    with (
        only_writer(sheet),
        pytest.raises(InputError, match="another run is writing"),
        only_writer(sheet, wait=0.05),
    ):
        pass
