"""The index is what the files say, however it came about; losing it loses nothing."""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection, inspect

from author.contract import write_yaml
from author.errors import InputError, MachineError
from author.library.asking.finding import find
from author.library.asking.query import Filters, read_query
from author.library.asking.where_used import where_used
from author.library.index import indexing, scanning
from author.library.index.address import schema_for
from author.library.index.database import Index, generation_of
from author.library.index.indexing import refresh
from author.library.index.tables import DETAILS
from author.library.shop import PROCEDURES, Shop, new_shop, open_shop
from author.progress import Cancel
from author.tasks.library_finding import find_in
from author.tasks.library_shelves import reindex, watch

from .shops import (
    content,
    empty_shop,
    found,
    ids,
    looked_over,
    part,
    procedure,
    put,
    run_sql,
    shop_of,
    torque,
)

pytestmark = pytest.mark.usefixtures("database")

NAMES = ("drum-seal", "tank-lid", "wash-pump")
WHAT = ("plain", "numbered", "torqued", "damaged", "gone", "older", "approved")


def write(shop: Shop, name: str, what: str, round_: int) -> None:
    """Bring one folder of a library into another form, as a person or git might."""
    folder = shop.place_of(name)
    if what == "gone":
        shutil.rmtree(folder, ignore_errors=True)
        return
    plain = procedure(name, f"Refit {name} guard {round_}", revision=round_ + 1)
    if what == "numbered":
        plain["parts"] = [part("Clip of the drum", f"BW-10{round_}", supersedes=["BW-101"])]
    if what == "torqued":
        torque("20", "30", "N·m")(plain)
    file = put(folder, plain)
    if what == "damaged":
        file.write_text("schema: procedure/1\nid: [", encoding="utf-8")
    if what in {"older", "approved"} and round_:
        state = {"state": "approved"} if what == "approved" else {}
        put(folder / "revisions" / str(round_), plain | {"revision": round_} | state)


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(
        st.lists(st.tuples(st.sampled_from(NAMES), st.sampled_from(WHAT)), min_size=1, max_size=3),
        min_size=1,
        max_size=4,
    )
)
def test_an_index_kept_up_to_date_is_the_one_built_from_nothing(
    tmp_path_factory: pytest.TempPathFactory, rounds: list[list[tuple[str, str]]]
) -> None:
    shop = empty_shop(tmp_path_factory.mktemp("edits") / "shop")
    for number, edits in enumerate(rounds):
        for name, what in edits:
            write(shop, name, what, number)
        index, _ = looked_over(shop)
    kept = content(index)
    assert index.is_whole()
    looked_over(shop, anew=True)
    assert content(Index(shop)) == kept


def test_only_what_has_changed_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shop = shop_of(tmp_path / "shop", *(procedure(name) for name in NAMES))
    long_ago = 1_700_000_000
    for file in shop.procedures.glob("*/*.yaml"):
        os.utime(file, (long_ago, long_ago))
    assert looked_over(shop)[1].read == 3
    read: list[str] = []
    real = indexing.read_all

    def watched(orders: list[tuple[str, Path, str]], *rest: object) -> object:
        read.extend(place for place, *_ in orders)
        return real(orders, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(indexing, "read_all", watched)
    looked_over(shop)
    assert read == []
    file = shop.place_of("tank-lid") / "procedure.yaml"
    os.utime(file, (long_ago + 9, long_ago + 9))
    assert looked_over(shop)[1].read == 0  # looked at: the content is the same
    put(shop.place_of("tank-lid"), procedure("tank-lid", "Polish the tank lid"))
    assert looked_over(shop)[1].read == 1
    assert read == ["tank-lid", "tank-lid"]
    assert ids(found(shop, "polish")) == ["tank-lid"]


def test_a_file_changed_in_the_same_moment_with_the_same_size_is_noticed(tmp_path: Path) -> None:
    shop = shop_of(tmp_path / "shop", procedure("tank-lid", "Refit the red lid"))
    file = shop.place_of("tank-lid") / "procedure.yaml"
    looked_over(shop)
    before = file.stat()
    file.write_text(file.read_text().replace("the red lid", "the tan lid"), encoding="utf-8")
    os.utime(file, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert ids(found(shop, "tan")) == ["tank-lid"]


def test_a_clock_set_back_leaves_nothing_unseen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = shop_of(tmp_path / "shop", procedure("tank-lid", "Refit the red lid"))
    looked_over(shop)
    monkeypatch.setattr(scanning.time, "time_ns", lambda: 1_000_000_000)
    put(shop.place_of("tank-lid"), procedure("tank-lid", "Refit the tan lid"))
    assert ids(found(shop, "tan")) == ["tank-lid"]
    put(shop.place_of("tank-lid"), procedure("tank-lid", "Refit the blue lid"))
    assert ids(found(shop, "blue")) == ["tank-lid"]


@pytest.mark.parametrize("how", ["deleted", "other version", "table gone"])
def test_a_lost_index_is_built_anew_and_said(tmp_path: Path, database: str, how: str) -> None:
    shop = shop_of(tmp_path / "shop", *(procedure(name) for name in NAMES))
    index, _ = looked_over(shop)
    if how == "deleted" and database == "sqlite":
        shutil.rmtree(index.file.parent)
    else:
        statements = {
            "deleted": f"DROP SCHEMA {schema_for(shop.sheet.name)} CASCADE",
            "other version": "UPDATE notes SET value = '0' WHERE name = 'version'",
            "table gone": "DROP TABLE things",
        }
        run_sql(index, statements[how])
    reply = find_in(shop.folder, "tank", Filters(parts=("clip",)), 5)
    assert ids(reply.value) == ["tank-lid"]
    assert any("built anew" in note for note in reply.notes)
    assert not find_in(shop.folder, "tank", Filters(), 5).notes


@pytest.mark.parametrize("table", ["passages", "procedures"])
def test_reindex_finds_damage_that_no_query_met(tmp_path: Path, table: str) -> None:
    shop = shop_of(tmp_path / "shop", *(procedure(name) for name in NAMES))
    index, _ = looked_over(shop)
    run_sql(index, f"DELETE FROM {table} WHERE id = 1")  # noqa: S608
    assert reindex(shop.folder).done.rebuilt
    assert not reindex(shop.folder).done.rebuilt


def test_damaged_and_misplaced_procedures_are_named(tmp_path: Path) -> None:
    shop = shop_of(tmp_path / "shop", *(procedure(name) for name in NAMES))
    long = procedure("long-title", "x" * 10_000)
    put(shop.place_of("long-title"), long)
    put(shop.place_of("Tank-Lid"), procedure("tank-lid"))  # differs only in case
    (shop.place_of("drum-seal") / "procedure.yaml").write_bytes(b"\xff\xfe\x00")
    (shop.procedures / "linked").mkdir()
    (shop.procedures / "linked" / "procedure.yaml").symlink_to(tmp_path / "elsewhere")
    reply = find_in(shop.folder, "refit", Filters(), 9)
    told = {one.place: one for one in reply.problems}
    assert set(told) == {"long-title", "Tank-Lid", "drum-seal", "linked"}
    assert "at most 400" in told["long-title"].problem
    assert told["long-title"].line == 3
    assert all(one.remedy for one in reply.problems)
    assert {"tank-lid", "wash-pump"} <= set(ids(reply.value))


def test_many_files_are_read_by_processes_of_their_own(tmp_path: Path) -> None:
    shop = empty_shop(tmp_path / "shop")
    text = write_yaml(procedure("one"))
    for number in range(60):
        folder = shop.place_of(f"one-{number}")
        folder.mkdir()
        (folder / "procedure.yaml").write_text(text.replace("id: one\n", f"id: one-{number}\n"))
    index = Index(shop)
    assert refresh(shop, index, workers=2).read == 60
    apart = content(index)
    refresh(shop, index, workers=1, anew=True)
    assert content(index) == apart


def test_a_full_disk_is_the_machine_s_failure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = shop_of(tmp_path / "shop", procedure("tank-lid"))

    def full(_what: str, path: Path) -> None:
        raise OSError(errno.ENOSPC, "No space left on device", str(path))

    monkeypatch.setattr(indexing, "before_step", full)
    with pytest.raises(MachineError) as told:
        looked_over(shop)
    assert told.value.exit_code == 3
    monkeypatch.undo()
    assert ids(found(shop, "tank")) == ["tank-lid"]


HOLDER = textwrap.dedent("""
    import sys, time
    from pathlib import Path
    from author.library.index.database import Index
    from author.library.shop import open_shop

    with Index(open_shop(Path(sys.argv[1]))).lock(5):
        print("held", flush=True)
        time.sleep(60)
""")


def test_readers_go_on_while_another_run_writes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = shop_of(tmp_path / "shop", procedure("tank-lid"))
    looked_over(shop)
    holder = subprocess.Popen(
        [sys.executable, "-c", HOLDER, shop.folder], stdout=subprocess.PIPE, text=True
    )
    try:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "held\n"
        put(shop.place_of("drum-seal"), procedure("drum-seal"))
        index = Index(shop)
        done = refresh(shop, index, wait=0.1)
        assert done.behind
        with pytest.raises(InputError, match="another run"):
            refresh(shop, index, wait=0.1, anew=True)
    finally:
        holder.kill()
        holder.communicate()
    assert set(ids(found(shop, "refit"))) == {"tank-lid", "drum-seal"}


RACER = textwrap.dedent("""
    import sys
    from pathlib import Path
    from author.library.asking.query import Filters
    from author.tasks.library_finding import find_in

    print(len(find_in(Path(sys.argv[1]), "refit", Filters(), 50).value.results))
""")


def test_two_that_begin_at_once_both_find_everything(tmp_path: Path) -> None:
    shop = shop_of(tmp_path / "shop", *(procedure(f"lid-{n}") for n in range(20)))
    call = [sys.executable, "-c", RACER, shop.folder]
    racers = [subprocess.Popen(call, stdout=subprocess.PIPE, text=True) for _ in range(2)]
    assert [racer.communicate()[0] for racer in racers] == ["20\n", "20\n"]


def test_a_watch_takes_up_what_changes_until_it_is_stopped(tmp_path: Path) -> None:
    shop = shop_of(tmp_path / "shop", procedure("tank-lid"))
    cancel = Cancel()
    seen: list[int] = []

    def tell(one: object) -> None:
        seen.append(one.done.read)  # type: ignore[attr-defined]
        if len(seen) == 1:
            put(shop.place_of("drum-seal"), procedure("drum-seal"))
        else:
            cancel.request()

    watch(shop.folder, 0.01, cancel, tell)
    assert seen == [1, 1]


def test_a_library_says_what_is_missing(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no library"):
        open_shop(tmp_path)
    new_shop(tmp_path / "shop", "Demo shop")
    with pytest.raises(InputError, match="already"):
        new_shop(tmp_path / "shop", "Demo shop")
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "a.txt").write_text("mine")
    with pytest.raises(InputError, match="empty"):
        new_shop(tmp_path / "full", "Demo shop")
    (tmp_path / "begun" / PROCEDURES).mkdir(parents=True)  # a run was killed
    new_shop(tmp_path / "begun", "Demo shop")
    with pytest.raises(InputError):
        new_shop(tmp_path / "bad", "two\nlines")
    assert not (tmp_path / "bad").exists()
    (tmp_path / "shop" / "library.yaml").write_text("schema: library/2\nname: x\npeople: none\n")
    with pytest.raises(InputError, match="library/2"):
        open_shop(tmp_path / "shop")


def test_each_state_of_an_index_has_a_word_of_its_own(tmp_path: Path) -> None:
    shop = shop_of(tmp_path / "shop", procedure("tank-lid"), procedure("drum-seal"))
    standing = Index(shop, standing=True)

    def state() -> str:
        looked_over(shop)
        with standing.reading() as connection:
            return generation_of(connection)

    seen = [state()]
    assert state() == seen[0]
    put(shop.place_of("tank-lid"), procedure("tank-lid", "Polish the tank lid"))
    seen.append(state())
    shutil.rmtree(shop.place_of("drum-seal"))
    seen.append(state())
    looked_over(shop, anew=True)
    seen.append(state())
    assert state() == seen[-1]
    standing.close()
    assert len(set(seen)) == len(seen) == 4
    assert all(seen)


def test_a_standing_reader_sees_one_state_while_it_reads_and_the_next_one_after(
    tmp_path: Path,
) -> None:
    shop = shop_of(tmp_path / "shop", procedure("tank-lid"), procedure("drum-seal"))
    looked_over(shop)
    standing = Index(shop, standing=True)

    def titles(connection: Connection) -> set[str]:
        return {one.title for one in find(connection, read_query("lid"), Filters(), 9).results}

    with standing.reading() as connection:
        before = generation_of(connection)
        put(shop.place_of("tank-lid"), procedure("tank-lid", "Polish the lid"))
        looked_over(shop)
        assert titles(connection) == {"Refit the tank lid"}
    with standing.reading() as connection:
        assert generation_of(connection) != before
        assert titles(connection) == {"Polish the lid"}
    put(shop.place_of("tank-lid"), procedure("tank-lid", "Paint the lid"))
    looked_over(shop, anew=True)
    with standing.reading() as connection:
        assert titles(connection) == {"Paint the lid"}
    standing.close()


def test_part_of_a_name_finds_a_thing_as_long_as_something_has_it(tmp_path: Path) -> None:
    clips = [part("Clip of the drum", "BW-101")]
    shop = shop_of(tmp_path / "shop", procedure("drum-seal", parts=clips), procedure("tank-lid"))

    def using(what: str) -> list[str]:
        with looked_over(shop)[0].reading() as connection:
            uses = where_used(connection, what)
            assert uses.count == len(uses.results)
            assert where_used(connection, what, most=1).results == uses.results[:1]
            assert where_used(connection, what, most=1).count == uses.count
            return [one.procedure for one in uses.results]

    assert using("of the dru") == ["drum-seal"]
    assert using("cloth")[:1] == ["drum-seal"]
    put(shop.place_of("drum-seal"), procedure("drum-seal", parts=[part("Clamp", "BW-101")]))
    assert using("of the dru") == []
    put(shop.place_of("tank-lid"), procedure("tank-lid", parts=clips))
    assert using("of the dru") == ["tank-lid"]


def test_an_index_that_has_every_file_has_all_that_speeds_it_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A run that dies before the last transaction leaves files for the next one to take up."""
    monkeypatch.setattr(indexing, "_BATCH", 1)
    shop = shop_of(tmp_path / "shop", *(procedure(name) for name in NAMES))
    steps: list[str] = []

    def dies_late(step: str, _file: object) -> None:
        steps.append(step)
        if steps.count("index") == len(NAMES):
            raise KeyboardInterrupt

    with monkeypatch.context() as patched, pytest.raises(KeyboardInterrupt):
        patched.setattr(indexing, "before_step", dies_late)
        looked_over(shop)
    index = Index(shop)
    assert set(indexes_of(index)) < WANTED
    assert looked_over(shop)[1].read == 1
    assert indexes_of(index) >= WANTED


def indexes_of(index: Index) -> set[str]:
    with index.reading() as connection:
        look = inspect(connection)
        return {str(one["name"]) for name in DETAILS for one in look.get_indexes(name)}


WANTED = {str(one.name) for table in DETAILS.values() for one in table.indexes}
