"""Which revision work goes by while a later one is being written."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from author.library.shop import Shop
from author.tasks.library_finding import due_in, graph_of, order_from, where_used_in

from .shops import Plain, found, part, procedure, put, shop_of

pytestmark = pytest.mark.usefixtures("database")


def pump(revision: int, state: str, number: str) -> Plain:
    return procedure(
        "wash-pump",
        f"Reseal the wash pump {revision}",
        revision=revision,
        state=state,
        parts=[part("Lip seal", number)],
        review={"authors": ["A. Reed"], "due": f"202{revision}-05-01"},
    )


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """Revision 2 is approved and kept; revision 3 lies in the folder and is a draft."""
    shop = shop_of(tmp_path / "shop", pump(3, "draft", "L-3"))
    for revision, state in ((1, "approved"), (2, "approved")):
        older = shop.place_of("wash-pump") / "revisions" / str(revision)
        put(older, pump(revision, state, f"L-{revision}"))
    return shop


def stands(shop: Shop, **filters: bool) -> dict[int, tuple[str, bool, bool]]:
    results = found(shop, "reseal", **filters).results
    return {one.revision: (one.state, one.current, one.in_force) for one in results}


def test_both_are_found_and_what_is_approved_is_in_force(shop: Shop) -> None:
    assert stands(shop) == {2: ("approved", False, True), 3: ("draft", True, False)}
    assert stands(shop, older=True)[1] == ("superseded", False, False)


def test_orders_reviews_and_prerequisites_go_by_what_is_in_force(shop: Shop) -> None:
    order = order_from(shop.folder, ("wash-pump",)).value
    assert [line.number for line in order.sheet.numbered] == ["L-2"]
    assert [one.revision for one in due_in(shop.folder, "2026-01-01").value] == [2]
    assert [one.revision for one in graph_of(shop.folder, ("wash-pump",)).value.stops] == [2]
    uses = where_used_in(shop.folder, "lip seal").value.results
    assert [one.revision for one in uses] == [2, 3]


@pytest.mark.parametrize("state", ["withdrawn", "superseded"])
def test_a_draft_over_what_is_out_of_use_brings_nothing_older_back(shop: Shop, state: str) -> None:
    put(shop.place_of("wash-pump") / "revisions" / "2", pump(2, state, "L-2"))
    assert stands(shop, older=True) == {
        1: ("superseded", False, False), 2: (state, False, True), 3: ("draft", True, False)
    }  # fmt: skip


def test_a_kept_revision_edited_by_hand_is_read_again_and_so_is_its_mending(shop: Shop) -> None:
    folder = shop.place_of("wash-pump")
    kept = folder / "revisions" / "2" / "procedure.yaml"
    whole = kept.read_bytes()
    for file in folder.rglob("procedure.yaml"):  # read long after it was written
        os.utime(file, (1_700_000_000, 1_700_000_000))

    def numbers() -> list[str | None]:
        uses = where_used_in(shop.folder, "lip seal").value.results
        return [one.number for one in uses if one.revision == 2]

    assert numbers() == ["L-2"]
    kept.write_bytes(whole.replace(b"L-2", b"L-29"))
    assert numbers() == ["L-29"]
    kept.write_bytes(whole)
    assert numbers() == ["L-2"]
    kept.unlink()
    assert numbers() == []


def approve(shop: Shop) -> None:
    put(shop.place_of("wash-pump"), pump(3, "approved", "L-3"))


def set_aside(shop: Shop) -> None:
    kept = shop.place_of("wash-pump") / "revisions"
    (kept / "2").rename(kept / "2-replaced-1")


def take_the_draft_back(shop: Shop) -> None:
    folder = shop.place_of("wash-pump")
    shutil.copy(folder / "revisions" / "2" / "procedure.yaml", folder / "procedure.yaml")
    shutil.rmtree(folder / "revisions" / "2")


@pytest.mark.parametrize(
    ("change", "in_force", "how_many"),
    [(approve, 3, 1), (set_aside, 1, 2), (take_the_draft_back, 2, 1)],
)
def test_a_change_of_one_revision_is_seen_in_the_others(
    shop: Shop, change: Callable[[Shop], None], in_force: int, how_many: int
) -> None:
    found(shop)
    change(shop)
    now = stands(shop)
    assert [revision for revision, (*_, good) in now.items() if good] == [in_force]
    assert len(now) == how_many
