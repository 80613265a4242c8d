"""``reelwright library`` as a person and a program use it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click
import pytest
from click.testing import CliRunner
from library_signing.bench_shop import ID, make

from author.cli.library import library_command
from author.errors import InputError
from author.progress import Cancel

from .record_samples import content_of, job, lid, lid_shop, sent
from .shops import part, procedure, put

CHAFED = {"id": "cable", "what": "The cable is chafed", "state": "deferred", "holds": True}


@dataclass(frozen=True)
class Told:
    code: int
    out: str
    err: str

    @property
    def plain(self) -> Any:
        return json.loads(self.out)


def call(*arguments: object) -> Told:
    done = CliRunner().invoke(
        library_command,
        [str(one) for one in arguments],
        obj=Cancel(),
        standalone_mode=False,
    )
    if done.exception is not None:
        raise done.exception
    return Told(done.return_value, done.stdout, done.stderr)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    desk = tmp_path / "desk"
    put(
        desk / "seal",
        procedure(
            "shaft-seal", "Renew the shaft seal", parts=[part("Shaft seal", "SS-40")],
            review={"authors": ["A. Reed"], "due": "2026-01-31"},
            findings=[CHAFED],
        ),
    )  # fmt: skip
    put(desk / "lid", procedure("tank-lid"))
    assert call("new", tmp_path / "shop", "--name", "Demo shop").code == 0
    done = call("shelve", tmp_path / "shop", desk / "seal", desk / "lid")
    assert done.out.splitlines() == ["shaft-seal, revision 1: new", "tank-lid, revision 1: new"]
    return tmp_path / "shop"


COMMANDS = [name for name in library_command.commands if name != "new"]


def test_every_command_gives_programs_a_list_of_results(shop: Path, tmp_path: Path) -> None:
    more = {
        "shelve": (tmp_path / "desk" / "lid",),
        "find": ("seal",),
        "where-used": ("SS40",),
        "order": ("shaft-seal",),
    }
    for name in COMMANDS:
        plain = call(name, shop, *more.get(name, ()), "--json").plain
        assert isinstance(plain["results"], list), name
    assert isinstance(call("new", tmp_path / "b", "--json").plain["results"], list)


def test_find_prints_the_hit_and_takes_every_filter(shop: Path) -> None:
    done = call("find", shop, "seals")
    assert (
        "shaft-seal, revision 1, draft, has a finding that holds: Renew the shaft seal" in done.out
    )
    assert "title: Renew the shaft »seal«" in done.out
    options = [one for one in library_command.commands["find"].params if one.name != "as_json"]
    filters = {
        "--unit": "drill", "--state": "draft", "--part": "ss40", "--tool": "caliper",
        "--supply": "cloth", "--spec": "length 4 to 5 mm", "--hazard": "caution gloves",
        "--author": "reed", "--most": "3",
    }  # fmt: skip
    told = call("find", shop, *(word for pair in filters.items() for word in pair), "--hold")
    assert "shaft-seal" in told.out
    assert "Gap to the pulley 4.50 to 6.00 mm" in told.out
    named = {one.opts[0] for one in options if isinstance(one, click.Option)}
    assert named - set(filters) == {
        "--hold", "--changed-since", "--changed-before", "--older-than", "--revisions",
    }  # fmt: skip
    assert "Nothing was found" in call("find", shop, "seal", "--older-than", 3).out
    for wrong in (("--changed-since", "last year"), ("--spec", "20 to 30")):
        with pytest.raises(InputError):
            call("find", shop, *wrong)


def test_order_writes_the_sheet_and_says_what_is_on_it(shop: Path, tmp_path: Path) -> None:
    done = call(
        "order", shop, "shaft-seal", "--times", "shaft-seal=2", "--to", tmp_path / "o", "--draft"
    )
    assert done.code == 0
    assert "4 × SS-40, Shaft seal" in done.out
    assert {one.name for one in (tmp_path / "o").iterdir()} == {"order.csv", "order.pdf"}


def test_an_order_by_what_nobody_approved_is_told(shop: Path) -> None:
    done = call("order", shop, "shaft-seal")
    assert done.code == 1
    assert "Not to order by: nobody has approved shaft-seal as it is" in done.err
    assert call("order", shop, "shaft-seal", "--draft").code == 0


def test_due_holds_where_used_and_before_read_as_sentences(shop: Path, tmp_path: Path) -> None:
    due = call("due", shop, "--by", "2026-02-01").out
    assert due == "2026-01-31  shaft-seal, revision 1: Renew the shaft seal; written by A. Reed\n"
    assert (
        "would hold each unit until released: The cable is chafed (shaft-seal)"
        in call("holds", shop).out
    )
    used = call("where-used", shop, "ss 40").out
    assert used == "shaft-seal, revision 1, draft: part Shaft seal (SS-40) × 2, step 1, 2\n"
    assert (
        call("before", shop, "--svg", tmp_path / "g.svg").out == "No procedure waits for another\n"
    )
    assert (tmp_path / "g.svg").read_text().startswith("<svg")


def test_what_is_not_as_signed_is_marked_and_what_an_order_lacks_is_said(
    tmp_path: Path,
) -> None:
    shop = make(tmp_path / "shop")
    shop.edit("title: Change", "title:  Change")
    wait = [{"id": f"b-{id_}", "what": "It is done", "procedure": {"id": id_}} for id_ in (ID, "x")]
    put(shop.folder / "procedures" / "lid", procedure("lid", prerequisites=wait))
    mark = "says approved, changed since it was signed"
    assert (
        f"{ID}, {mark}; before it: "
        in call("before", shop.folder, "--svg", shop.folder / "g.svg").out
    )
    drawn = (shop.folder / "g.svg").read_text()
    assert ">revision 2, says approved,<" in drawn
    assert ">changed since it was signed<" in drawn
    part_of = shop.file.read_text().partition("parts:")[2].partition("name: ")[2].splitlines()[0]
    assert f"{ID}, revision 2, {mark}: part " in call("where-used", shop.folder, part_of).out
    order = call("order", shop.folder, "lid")
    assert "Not in this order: lid waits for x, which the library does not hold." in order.out
    assert "This order is not whole: lid waits for x" in order.err


def test_a_damaged_procedure_is_named_by_every_answer(shop: Path) -> None:
    (shop / "procedures" / "tank-lid" / "procedure.yaml").write_text("schema: procedure/1\nid: [")
    done = call("find", shop, "seal")
    assert done.code == 0
    assert "shaft-seal" in done.out
    assert "procedures/tank-lid, line 3: " in done.err
    (problem,) = call("holds", shop, "--json").plain["problems"]
    assert problem["place"] == "tank-lid"
    assert call("reindex", shop).code == 1
    assert call("reindex", shop, "--anew", "--json").plain["results"][0]["rebuilt"]


def test_holds_tells_what_job_records_brought_too(tmp_path: Path) -> None:
    shop = lid_shop(tmp_path / "drills", lid())
    cracked = {"what": "The lid is cracked", "holds": True}
    sent(shop, job(content_of(shop), findings=[cracked]))
    said = call("holds", shop.folder).out
    assert "Bench drill BD-2, 7, by its job records:\n  ON HOLD: The lid is cracked" in said
    (one,) = call("holds", shop.folder, "--json").plain["from_records"]
    assert (one["unit"], one["serial"], one["holds"]) == ("Bench drill BD-2", "7", True)
