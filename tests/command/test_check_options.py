"""What ``check`` and ``rule`` tell: concessions, warnings that count, and the other procedures."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from document.changes import (
    Change,
    acts,
    after,
    before,
    other,
    tool,
)
from document.samples import changed

from author.checks import all_rules
from author.cli import running
from author.contract import write_yaml
from author.library.shop import new_shop

from .conftest import Done, Run

EYE = {
    "rule": "instruments.resolution", "at": "gap", "reason": "The gap is set by eye",
    "role": "technician",
}  # fmt: skip
COARSE = tool(resolution="0.5")


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run the command in the test's own folder and in this process: it is run often here."""
    monkeypatch.chdir(tmp_path)

    def call(*arguments: str | Path) -> Done:
        code = running.run([str(argument) for argument in arguments])
        told = capsys.readouterr()
        return Done(code, told.out, told.err)

    return call


def concedes(*told: dict[str, str]) -> Change:
    return lambda p: p.update(concessions=list(told))


def called(name: str, revision: int = 2) -> Change:
    return lambda p: p.update(id=name, revision=revision)


def put(folder: Path, *changes: Change) -> Path:
    """Write a procedure into a folder of its own."""
    folder.mkdir(parents=True)
    file = folder / "procedure.yaml"
    file.write_text(write_yaml(changed(*changes)), encoding="utf-8")
    return file


# --- concessions ---


def test_check_lists_concessions_behind_the_remarks(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "guard", COARSE, concedes(EYE), lambda p: p["tools"].append(
        {"id": "hammer", "name": "Hammer"}))  # fmt: skip
    done = run("check", "guard")
    assert done.code == 0
    remark, stands, count = done.out.splitlines()
    assert "advice ledger.never_used" in remark
    assert stands.startswith("guard/procedure.yaml:")
    assert "conceded instruments.resolution: 'caliper' steps in 0.5 mm" in stands
    assert stands.endswith("The gap is set by eye (Technician).")
    assert count == "belt-guard, revision 1: 2 steps, 1 advice, 1 conceded."


def test_json_has_the_concessions(run: Run, tmp_path: Path) -> None:
    file = put(tmp_path / "guard", COARSE, concedes(EYE))
    told = json.loads(run("check", "guard", "--json").out)
    assert (told["errors"], told["warnings"], told["advice"], told["remarks"]) == (0, 0, 0, [])
    (stands,) = told["concessions"]
    assert stands["rule"] == "instruments.resolution"
    assert (stands["reason"], stands["role"]) == ("The gap is set by eye", "technician")
    assert "instrument: caliper" in file.read_text().splitlines()[stands["line"] - 1]
    assert stands["path"] == "/sections/0/steps/1/specs/0/instrument"


def test_a_concession_for_nothing_is_told_and_counts_when_strict(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "guard", concedes(EYE))
    done = run("check", "guard")
    assert done.code == 0
    assert "warning concessions.unused" in done.out
    assert run("check", "guard", "--strict").code == 1


def test_strict_counts_warnings_and_no_advice(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "fine")
    put(tmp_path / "coarse", COARSE)
    put(tmp_path / "crossed", lambda p: p["sections"][0]["steps"][1]["specs"][0].update(lower="7"))
    put(tmp_path / "spare", lambda p: p["tools"].append({"id": "hammer", "name": "Hammer"}))
    put(tmp_path / "conceded", COARSE, concedes(EYE))
    codes = {
        name: (run("check", name).code, run("check", name, "--strict").code)
        for name in ("fine", "coarse", "crossed", "spare", "conceded")
    }
    assert codes == {
        "fine": (0, 0), "coarse": (0, 1), "crossed": (1, 1), "spare": (0, 0), "conceded": (0, 0),
    }  # fmt: skip


def test_what_is_unwritten_warns_and_is_said_to_keep_it_from_being_published(
    run: Run, tmp_path: Path
) -> None:
    put(tmp_path / "begun", lambda p: p.update(purpose="(to be written) what it is for"))
    done = run("check", "begun")
    assert done.code == 0
    assert "One of them keeps it from being published" in done.out
    put(tmp_path / "coarse", COARSE)
    assert "published" not in run("check", "coarse").out


def test_strict_and_json_go_together(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "guard", COARSE)
    done = run("check", "guard", "--strict", "--json")
    assert done.code == 1
    assert json.loads(done.out)["warnings"] == 1


# --- rules ---


def test_rule_tells_one(run: Run) -> None:
    done = run("rule", "ledger.place")
    assert done.code == 0
    rule = all_rules()["ledger.place"]
    first, *rows = done.out.splitlines()
    assert first == "ledger.place"
    told = {row[:11].strip(): row[11:].strip() for row in rows}
    assert told == {
        "severity": "error", "why": rule.why, "source": rule.source, "remedy": f"{rule.remedy}.",
        "may stand": "never",
    }  # fmt: skip
    assert "with a concession" in run("rule", "instruments.resolution").out


def test_rule_lists_them_all(run: Run) -> None:
    done = run("rule")
    assert done.code == 0
    *rows, count = done.out.splitlines()
    assert [row.split()[0] for row in rows] == list(all_rules())
    assert count == f"{len(all_rules())} rules."


def test_rule_tells_programs(run: Run) -> None:
    (one,) = json.loads(run("rule", "ledger.place", "--json").out)
    assert one["id"] == "ledger.place"
    assert one["may_stand"] is False
    assert len(json.loads(run("rule", "--json").out)) == len(all_rules())


@pytest.mark.parametrize(
    ("wrong", "remedy"),
    [("ledger.plase", "Did you mean 'ledger.place'?"),
     ("limits.odrer", "Did you mean 'limits.order'?"),
     ("x", "'reelwright rule' lists them.")],
)  # fmt: skip
def test_a_rule_that_is_not_there(run: Run, wrong: str, remedy: str) -> None:
    done = run("rule", wrong)
    assert done.code == 2
    assert done.out == ""
    assert done.problem == f"reelwright: there is no rule '{wrong}'. {remedy}"


# --- the shelf ---

ONE_CLIP = {"part": "clip", "quantity": 1}
ONE_OFF = acts([("removes", "clip", 1)], [("refits", "clip", 2)])
LEAVES_ONE = acts([("removes", "clip", 2)], [("refits", "clip", 1)])
GUARD = [before(ONE_CLIP, procedure=other()), ONE_OFF]
STRIP = [called("guard-strip"), LEAVES_ONE, after(ONE_CLIP, procedure=other("belt-guard", 1))]


def shelf_rules(run: Run) -> list[str]:
    """The rules that speak with the shelf and not without."""
    alone = json.loads(run("check", "shop/guard", "--json").out)["remarks"]
    done = run("check", "shop/guard", "--shelf", "shop", "--json")
    assert done.err == ""
    remarks = json.loads(done.out)["remarks"]
    assert done.code == any(remark["severity"] == "error" for remark in remarks)
    return [remark["rule"] for remark in remarks if remark not in alone]


def test_procedures_that_agree_have_no_remark(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "shop" / "guard", *GUARD)
    put(tmp_path / "shop" / "strip", *STRIP)
    assert shelf_rules(run) == []
    done = run("check", "shop/guard", "--shelf", "shop")
    assert done.out == "belt-guard, revision 1: 2 steps, no remark.\n"
    assert run("check", "shop/strip", "--shelf", "shop").code == 0


def test_a_procedure_that_is_not_there(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "shop" / "guard", *GUARD)
    assert shelf_rules(run) == ["links.missing"]
    put(tmp_path / "shop" / "strip", *STRIP, called("guard-strip", 3))
    assert shelf_rules(run) == ["links.missing"]
    told = run("check", "shop/guard", "--shelf", "shop").out
    assert "there is no revision 2 of 'guard-strip', only 3" in told


def test_the_revision_that_is_pinned_is_the_one_compared(run: Run, tmp_path: Path) -> None:
    """A newer one that leaves nothing off is not the one this procedure asks for."""
    put(tmp_path / "shop" / "guard", *GUARD)
    put(tmp_path / "shop" / "strip-2", *STRIP)
    put(tmp_path / "shop" / "strip-3", called("guard-strip", 3))
    assert shelf_rules(run) == []


def test_a_library_is_a_shelf_with_the_revisions_it_keeps(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "shop" / "guard", *GUARD)
    new_shop(tmp_path / "library", "Demo")
    place = tmp_path / "library" / "procedures" / "guard-strip"
    put(place, called("guard-strip", 3))
    told = run("check", "shop/guard", "--shelf", "library").out
    assert "there is no revision 2 of 'guard-strip', only 3" in told
    put(place / "revisions" / "2", *STRIP)
    put(place / "revisions" / "1").write_text("damaged, and asked for by nobody")
    assert run("check", "shop/guard", "--shelf", "library").code == 0


def test_a_round_of_prerequisites_by_way_of_a_third(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "shop" / "guard", *GUARD)
    put(tmp_path / "shop" / "strip", *STRIP, before(procedure=other("guard-paint", None)))
    put(
        tmp_path / "shop" / "paint", called("guard-paint"), before(procedure=other("belt-guard", 1))
    )
    assert shelf_rules(run) == ["links.cycle"]
    told = run("check", "shop/guard", "--shelf", "shop").out
    assert "'guard-strip' needs 'belt-guard' done first" in told


def test_parts_that_both_tell_differently(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "shop" / "guard", *GUARD)
    scrap = ONE_CLIP | {"state": "scrapped"}
    put(
        tmp_path / "shop" / "strip", called("guard-strip"),
        acts([("destroys", "clip", 2)], [("replaces", "clip", 1)]),
        after(scrap, procedure=other("belt-guard", 1)),
    )  # fmt: skip
    assert shelf_rules(run) == ["links.handover"]
    told = run("check", "shop/guard", "--shelf", "shop").out
    assert "'guard-strip' leaves off none of 'clip', not 1" in told


def test_a_neighbour_that_cannot_be_read_is_one_clear_error(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "shop" / "guard", *GUARD)
    broken = put(tmp_path / "shop" / "strip", *STRIP)
    broken.write_text(broken.read_text().replace("title:", "titel:", 1))
    done = run("check", "shop/guard", "--shelf", "shop")
    assert (done.code, done.out) == (2, "")
    assert done.problem.startswith("reelwright: shop/strip/procedure.yaml:3:")
    assert "unknown key 'titel'. Did you mean 'title'?" in done.problem
    # Without the shelf nobody looks at it.
    assert run("check", "shop/guard").code == 0


def test_a_shelf_that_is_not_there(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "shop" / "guard")
    for shelf in ("nowhere", "shop/guard/procedure.yaml"):
        done = run("check", "shop/guard", "--shelf", shelf)
        assert done.code == 2
        assert done.problem.startswith(f"reelwright: {shelf}: there is no such folder")


def test_what_lies_on_a_shelf_besides_procedures_is_passed_over(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "shop" / "guard", *GUARD)
    put(tmp_path / "shop" / "strip", *STRIP)
    (tmp_path / "shop" / "list.txt").write_text("x")
    (tmp_path / "shop" / "empty").mkdir()
    (tmp_path / "shop" / "notes").mkdir()
    (tmp_path / "shop" / "notes" / "other.yaml").write_text("- a\n")
    assert shelf_rules(run) == []


def test_json_tells_the_faults_of_a_file_that_cannot_be_read(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "procedure.yaml"
    file.write_text("schema: procedure/1\nid: A b\n", encoding="utf-8")
    done = run("check", file, "--json")
    assert done.code == 2
    faults = json.loads(done.out)["faults"]
    assert {fault["line"] for fault in faults} == {1, 2}
    assert all(fault["problem"] and fault["remedy"] for fault in faults)
    assert "is not an id" in done.err
