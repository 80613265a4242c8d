"""An index that several machines share: whose it is, who writes it, and what is said."""

from __future__ import annotations

import secrets
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text

from author.errors import InputError
from author.library.asking.query import Filters
from author.library.index import database, indexing, postgres_store
from author.library.index.address import VARIABLE, read_address, schema_for
from author.library.index.database import Index
from author.library.index.indexing import refresh
from author.library.index.tables import INDEX_VERSION
from author.library.shop import Shop, new_shop
from author.tasks.library_finding import find_in
from author.tasks.library_shelves import reindex

from .shops import content, found, ids, looked_over, procedure, put, run_sql, shop_of


@pytest.fixture
def address(server: str, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setenv(VARIABLE, server)
    return server


@pytest.fixture
def shop(address: str, tmp_path: Path) -> Shop:
    return shop_of(tmp_path / "shop", procedure("tank-lid"), procedure("drum-seal"))


def ask(address: str, statement: str) -> list[tuple[object, ...]]:
    """Run a statement as the keeper of the database would."""
    engine = create_engine(address.replace("postgresql:", "postgresql+psycopg:"))
    try:
        with engine.begin() as connection:
            done = connection.execute(text(statement))
            return [tuple(row) for row in done] if done.returns_rows else []
    finally:
        engine.dispose()


def test_two_libraries_share_a_database_and_see_nothing_of_one_another(
    shop: Shop, tmp_path: Path
) -> None:
    other = shop_of(tmp_path / "other", procedure("wash-pump"), procedure("tank-lid", "Polish it"))
    assert set(ids(found(shop, "refit"))) == {"tank-lid", "drum-seal"}
    assert ids(found(other, "refit")) == ["wash-pump"]
    assert not (shop.folder / ".index").exists()
    looked_over(shop, anew=True)
    assert ids(found(other, "polish")) == ["tank-lid"]


def test_an_index_of_another_library_is_not_touched(
    shop: Shop, address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    schema = schema_for(shop.sheet.name)
    looked_over(shop)
    other = new_shop(tmp_path / "other", "Another shop")
    monkeypatch.setenv(VARIABLE, f"{address}&schema={schema}")
    for call in (lambda: find_in(other.folder, "lid", Filters(), 5), lambda: reindex(other.folder)):
        with pytest.raises(InputError, match=f"belongs to the library '{shop.sheet.name}'") as told:
            call()
        assert "schema=" in told.value.remedy
    assert ids(found(shop, "lid")) == ["tank-lid"]
    reindex(other.folder, anew=True)  # said in so many words: the library was renamed
    assert find_in(other.folder, "lid", Filters(), 5).value.results == ()


def test_tables_that_are_no_index_are_never_dropped(
    address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = f"ledger_{secrets.token_hex(4)}"
    ask(
        address,
        f"CREATE SCHEMA {own} CREATE TABLE files (amount integer) CREATE TABLE wages (a date)",
    )
    monkeypatch.setenv(VARIABLE, f"{address}&schema={own}")
    made = shop_of(tmp_path / "shop", procedure("tank-lid"))
    with pytest.raises(InputError, match="no index, such as 'wages'"):
        find_in(made.folder, "lid", Filters(), 5)
    with pytest.raises(InputError, match="no index"):
        reindex(made.folder, anew=True)
    assert ask(address, f"SELECT count(*) FROM {own}.files") == [(0,)]  # noqa: S608


def test_a_newer_program_s_index_is_left_alone_and_an_older_one_built_anew(shop: Shop) -> None:
    index, _ = looked_over(shop)
    change = "UPDATE notes SET value = '{}' WHERE name = 'version'"
    run_sql(index, change.format(INDEX_VERSION + 1))
    with pytest.raises(InputError, match="newer"):
        find_in(shop.folder, "lid", Filters(), 5)
    run_sql(index, change.format(INDEX_VERSION - 1))
    assert any("built anew" in note for note in find_in(shop.folder, "lid", Filters(), 5).notes)


@pytest.mark.parametrize(
    "spoil",
    ["ALTER TABLE specs DROP COLUMN lowest", "DELETE FROM notes", "DROP TABLE notes",
     "DROP TABLE found", "UPDATE passages SET packed = ''"],
)  # fmt: skip
def test_a_spoilt_index_is_built_anew_by_whoever_asks(shop: Shop, spoil: str) -> None:
    index, _ = looked_over(shop)
    kept = content(index)
    run_sql(index, spoil)
    reply = find_in(shop.folder, "tank lid 4 to 5 mm", Filters(), 5)
    assert ids(reply.value) == ["tank-lid"]
    assert any("built anew" in note for note in reply.notes)
    assert content(index) == kept


@pytest.mark.parametrize(
    "spoil", ["ALTER TABLE specs DROP COLUMN step", "DELETE FROM found", "DROP TABLE hazards"]
)
def test_what_no_query_meets_is_found_by_reindex(shop: Shop, spoil: str) -> None:
    index, _ = looked_over(shop)
    kept = content(index)
    run_sql(index, spoil)
    assert reindex(shop.folder).done.rebuilt
    assert content(index) == kept


def test_a_writer_whose_line_is_cut_writes_no_more_and_the_next_completes(
    shop: Shop, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    index, _ = looked_over(shop)
    put(shop.place_of("wash-pump"), procedure("wash-pump"))

    def cut(what: str, _path: Path) -> None:
        if what == "index":
            # By its number: others use the same server.
            writer = index._store._held.connection.dbapi_connection  # type: ignore[attr-defined]
            ask(address, f"SELECT pg_terminate_backend({writer.info.backend_pid})")

    with monkeypatch.context() as patch:
        patch.setattr(indexing, "before_step", cut)
        with pytest.raises(InputError, match="cannot be reached"):
            refresh(shop, index)
    with index.reading() as connection:
        assert connection.scalar(text("SELECT count(*) FROM procedures")) == 2
    assert set(ids(found(shop, "refit"))) == {"tank-lid", "drum-seal", "wash-pump"}


def test_an_index_made_anew_is_waited_for_not_seen_half(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    index, _ = looked_over(shop)
    said: list[object] = []

    def read() -> None:
        with Index(shop).reading() as connection:
            said.append(connection.scalar(text("SELECT count(*) FROM procedures")))

    reader = threading.Thread(target=read)

    def half(what: str, _path: Path) -> None:
        if what == "index":
            reader.start()
            reader.join(0.3)
            assert reader.is_alive()

    monkeypatch.setattr(database, "before_step", half)
    with index.lock(5):
        index.make()
        reader.join(60)
    assert said == [0]


def test_a_server_that_is_away_is_one_clear_error(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(VARIABLE, f"postgresql://keeper:secret@/shops?host={tmp_path}&port=1")
    call = ("library", "find", shop.folder, "lid")
    done = subprocess.run(
        [sys.executable, "-c", "from author.cli import main; main()", *call],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    (line,) = done.stderr.splitlines()
    assert "cannot be reached" in line
    assert f"{VARIABLE}=sqlite" in line
    assert "secret" not in line
    monkeypatch.setenv(VARIABLE, "sqlite")
    assert ids(find_in(shop.folder, "lid", Filters(), 5).value) == ["tank-lid"]


def test_what_reaches_the_database_is_named_where_it_is_missing(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(postgres_store, "psycopg", None)
    with pytest.raises(InputError, match="psycopg") as told:
        Index(shop)
    assert "reelwright[postgres]" in told.value.remedy


def test_a_user_who_may_not_make_the_schema_is_told_who_can(
    shop: Shop, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    guest = f"guest_{secrets.token_hex(4)}"
    ask(address, f"CREATE ROLE {guest} LOGIN")
    monkeypatch.setenv(VARIABLE, address.replace("reelwright@", f"{guest}@"))
    schema = schema_for(shop.sheet.name)
    with pytest.raises(InputError) as told:
        find_in(shop.folder, "lid", Filters(), 5)
    assert f"CREATE SCHEMA {schema} AUTHORIZATION {guest}" in told.value.remedy
    ask(address, f"CREATE SCHEMA {schema} AUTHORIZATION {guest}")
    assert ids(find_in(shop.folder, "lid", Filters(), 5).value) == ["tank-lid"]


@pytest.mark.parametrize(
    "text_",
    ["mysql://a/b", "postgres", "postgresql://a:b:c/d", "postgresql://a/b?schema=Shop",
     "postgresql://a/b?schema=pg_x", "postgresql://a/b?schema=a&schema=b", "sqlite:///index.db"],
)  # fmt: skip
def test_what_is_no_address_is_refused_with_a_remedy(text_: str) -> None:
    with pytest.raises(InputError) as told:
        read_address(text_, VARIABLE, "Demo shop")
    assert told.value.remedy


def test_an_address_is_shown_without_its_password() -> None:
    one = read_address("postgres://a:se@b:5/d?password=se&schema=mine", VARIABLE, "Demo")
    assert one is not None
    assert one.shown == "postgresql://a@b:5/d, schema mine"
    assert read_address("sqlite", VARIABLE, "Demo") is None
    names = {
        schema_for(name) for name in ("Demo shop", "demo shop", "Demo-shop", "日本", "x" * 400)
    }
    assert len(names) == 5
    assert all(len(name) <= 63 for name in names)
