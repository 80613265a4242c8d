"""Each command does its job on a real film."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import click
import numpy as np
import pytest
from recording import films

from author.cli.running import COMMANDS, cli
from author.recording import decode_still
from author.storage import MANIFEST
from author.tasks import published_media
from author.tasks.publishing import OUTPUTS, publish

from .conftest import Run


def content(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_has_help_that_names_its_options(run: Run, name: str) -> None:
    done = run(name, "--help")
    command = cli.get_command(click.Context(cli), name)
    assert done.code == 0
    assert command is not None
    options = [p for p in command.params if isinstance(p, click.Option)]
    assert all(option.help or option.name == "help" for option in options)
    assert all(option.opts[0] in done.out for option in options)


def test_help_lists_every_command(started: Run) -> None:
    done = started("--help")
    assert done.code == 0
    assert all(name in done.out and text in done.out for name, (_, text) in COMMANDS.items())


def test_frame_writes_the_nearest_frame(started: Run, film: Path, tmp_path: Path) -> None:
    done = started("frame", film, "--at", "1.51", "--out", "still.png", "--json")
    assert done.code == 0
    told = json.loads(done.out)
    assert told["frame"] == 45
    assert told["start"] == "1.500000"
    pixels = decode_still((tmp_path / "still.png").read_bytes())
    assert films.number_in(np.asarray(pixels)) == 45


def test_frame_at_the_very_end_is_the_last(run: Run, film: Path) -> None:
    assert json.loads(run("frame", film, "--at", "0:03", "--out", "a.jpg", "--json").out) == {
        "file": "a.jpg", "frame": 89, "start": "2.966667", "width": 192, "height": 128,
    }  # fmt: skip


def test_recording_says_what_matters(started: Run, run: Run, film: Path) -> None:
    done = started("recording", film)
    assert done.code == 0
    assert "192 × 128" in done.out
    assert "none found" in done.out
    told = json.loads(run("recording", film, "--json").out)
    assert (told["frames"], told["duration"], told["damage"]) == (90, "3.000000", [])


def test_new_makes_what_check_reads_and_says_what_is_missing(run: Run, procedure: Path) -> None:
    done = run("check", procedure, "--json")
    assert done.code == 0
    told = json.loads(done.out)
    rules = {remark["rule"] for remark in told["remarks"]}
    assert {"wording.unwritten", "hazards.none", "ledger.nothing_listed"} <= rules
    assert told["errors"] == 0
    assert (procedure / "procedure.yaml").read_text().startswith("schema: procedure/1\n")


def test_new_tells_programs_what_it_made(started: Run, film: Path) -> None:
    told = json.loads(started("new", "job", "--recording", film, "--json").out)
    assert told == {"file": "job/procedure.yaml", "recordings": {"belt-change": "belt change.mp4"}}


def test_new_leads_on_to_the_window_and_to_what_is_missing(run: Run, film: Path) -> None:
    told = run("new", "my job", "--recording", film).out
    assert "'reelwright bench \"my job\"' opens the window" in told
    assert "'reelwright check \"my job\"'" in told


def test_new_keeps_a_procedure_that_is_there(run: Run, procedure: Path, film: Path) -> None:
    before = content(procedure)
    done = run("new", procedure, "--recording", film)
    assert done.code == 2
    assert "already" in done.problem
    assert content(procedure) == before


def test_publish_is_the_same_twice_and_clips_are_exact(
    started: Run,
    run: Run,
    written: Path,
    made_outputs: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """From a copy of the folder, in another place, and where nothing is kept, as well."""
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path / "empty"))
    assert started("publish", written, "--to", "one").code == 0
    one, two = content(tmp_path / "one"), content(made_outputs)
    assert one == two
    assert {name.split("/")[0] for name in one} == {
        "procedure.yaml", "procedure.json", "procedure.pdf", "page", "clips", "stills",
        "captions", "order.csv", "order.pdf", "record.pdf", "annotations.jsonld", MANIFEST,
    }  # fmt: skip
    assert json.loads(run("recording", "one/clips/01-step-1.mp4", "--json").out)["frames"] == 90


def test_publish_only_keeps_the_other_outputs(
    run: Run, written: Path, out: Path, tmp_path: Path
) -> None:
    before = content(tmp_path / "out")
    file = written / "procedure.yaml"
    file.write_text(file.read_text().replace("Belt change", "Change the belt"))
    assert run("publish", written, "--to", "out", "--only", "yaml").code == 0
    after = content(tmp_path / "out")
    changed = {name for name in before if before[name] != after[name]}
    assert set(before) == set(after)
    assert changed == {"procedure.yaml", MANIFEST}


def test_outputs_kept_from_another_state_are_named(run: Run, written: Path, out: Path) -> None:
    assert "(kept)" not in run("publish", written, "--to", "out").out
    same = run("publish", written, "--to", "out", "--only", "pdf")
    assert "clips/, 1 file (kept)" in same.out
    assert "another state" not in same.out
    file = written / "procedure.yaml"
    file.write_text(file.read_text().replace("Belt change", "Change the belt"))
    told = json.loads(run("publish", written, "--to", "out", "--only", "pdf", "--json").out)
    assert told["stale"] == [name for name in OUTPUTS if name != "pdf"]
    assert (
        "another state of the procedure: yaml"
        in run("publish", written, "--to", "out", "--only", "pdf").out
    )
    assert json.loads(run("publish", written, "--to", "out", "--json").out)["stale"] == []


def test_what_would_come_out_the_same_is_not_made_again(
    run: Run, written: Path, tmp_path: Path
) -> None:
    first = json.loads(run("publish", written, "--to", "out", "--json").out)
    assert first["unchanged"] == []
    kept = {name: (tmp_path / "out" / name).stat().st_ino for name in first["files"]}
    again = json.loads(run("publish", written, "--to", "out", "--json").out)
    assert again["unchanged"] == [*OUTPUTS]
    assert again["files"] == first["files"]
    file = written / "procedure.yaml"
    file.write_text(file.read_text().replace("Belt change", "Change the belt"))
    told = json.loads(run("publish", written, "--to", "out", "--json").out)
    assert {"stills", "clips"} <= set(told["unchanged"])
    assert not {"yaml", "json", "pdf", "page"} & set(told["unchanged"])
    same = {n for n in told["files"] if (tmp_path / "out" / n).stat().st_ino == kept[n]}
    assert {n for n in same if n.endswith(".mp4")} == {
        n for n in told["files"] if n.endswith(".mp4")
    }
    assert run("publish", written, "--to", "fresh").code == 0
    assert content(tmp_path / "out") == content(tmp_path / "fresh")


def test_clips_cut_for_one_folder_are_not_cut_again_for_another(
    written: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cut: list[str] = []
    really = published_media.export_clips

    def watched(path: Path, facts: Any, wanted: Any, *rest: Any) -> Any:
        cut.extend(each.name for each in wanted)
        return really(path, facts, wanted, *rest)

    monkeypatch.setattr(published_media, "export_clips", watched)
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path / "cache"))
    made = []
    for name in ("one", "two"):
        publish(written, tmp_path / name, only=["clips"])
        made.append({n: b for n, b in content(tmp_path / name).items() if n.endswith(".mp4")})
        assert cut == ["step 1 (step-1)"]
    assert made[0] == made[1] != {}
    file = written / "procedure.yaml"
    whole = file.read_text()
    shorter = re.sub(r'(\bto: )"?[\d.]+"?', r'\1"1.000000"', whole)
    assert shorter != whole
    file.write_text(shorter)
    publish(written, tmp_path / "three", only=["clips"], draft=True)
    assert len(cut) == 2  # another span is another clip


def test_an_output_somebody_changed_is_made_again_and_theirs_kept(
    run: Run, written: Path, out: Path, tmp_path: Path
) -> None:
    before = content(tmp_path / "out")
    clip = tmp_path / "out" / "clips" / "01-step-1.mp4"
    clip.unlink()
    clip.write_bytes(b"mine")
    told = json.loads(run("publish", written, "--to", "out", "--json").out)
    after = content(tmp_path / "out")
    assert after.pop("clips/01-step-1.mp4.kept") == b"mine"
    assert after == before
    assert "yaml" in told["unchanged"]


def test_captions_beside_the_film_come_with_it(
    run: Run, written: Path, film: Path, tmp_path: Path
) -> None:
    (written / "media").mkdir()
    shutil.copy(film, written / "media")
    (written / ".recording-places.json").unlink()
    said = "1\n00:00:00,500 --> 00:00:01,000\nDemo: <i>belt</i> off\n"
    captions = (written / "media" / film.name).with_suffix(".srt")
    captions.write_text(said)
    assert run("publish", written, "--to", "out", "--only", "captions").code == 0
    clip = (tmp_path / "out" / "captions" / "01-step-1.vtt").read_text()
    assert clip == "WEBVTT\n\n00:00:00.500 --> 00:00:01.000\nDemo: belt off\n"
    captions.write_bytes(b"\x89PNG\r\n")
    wrong = run("publish", written, "--to", "out", "--only", "captions")
    assert wrong.code == 2
    assert captions.name in wrong.problem


def test_a_procedure_with_open_places_is_published_as_draft_only(
    run: Run, procedure: Path, tmp_path: Path
) -> None:
    refused = run("publish", procedure, "--to", "out")
    assert refused.code == 1
    assert "still to be written" in refused.out
    assert not (tmp_path / "out").exists()
    assert run("publish", procedure, "--to", "out", "--draft").code == 0


def test_publish_refuses_errors_and_draft_marks_them(run: Run, written: Path) -> None:
    file = written / "procedure.yaml"
    file.write_text(file.read_text().replace('to: "3.000000"', 'to: "9.000000"'))
    refused = run("publish", written, "--to", "out")
    assert refused.code == 1
    assert "pictures.outside" in refused.out
    assert not (written.parent / "out").exists()
    assert run("publish", written, "--to", "out", "--draft").code == 0
    assert json.loads((written.parent / "out" / MANIFEST).read_text())["draft"] is True


def test_a_moved_film_is_found_by_its_folder(
    run: Run, procedure: Path, film: Path, tmp_path: Path
) -> None:
    (procedure / ".recording-places.json").unlink()
    lost = run("check", procedure)
    assert lost.code == 1
    assert "pictures.no_recording" in lost.out
    assert run("check", procedure, "--media", film.parent).code == 0


def test_a_renamed_film_is_found_by_its_content(
    run: Run, procedure: Path, film: Path, tmp_path: Path
) -> None:
    (procedure / ".recording-places.json").unlink()
    (procedure / "media").mkdir()
    (procedure / "media" / "letter.mp4").write_bytes(b"x" * film.stat().st_size)
    shutil.copy(film, procedure / "media" / "renamed by the camera.mp4")
    assert run("check", procedure).code == 0


def test_another_film_of_the_same_name_is_noticed(
    run: Run, procedure: Path, film: Path, tmp_path: Path
) -> None:
    films.make(procedure / film.name, films.steady(90, 1000), size=(96, 64))
    (procedure / ".recording-places.json").unlink()
    done = run("check", procedure)
    assert done.code == 1
    assert "pictures.changed_recording" in done.out
