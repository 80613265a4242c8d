"""A state beyond draft is given by the library's history, never by the file that is shelved."""

from __future__ import annotations

from pathlib import Path

import pytest
from library.test_command import call

from author.contract import read_procedure
from author.errors import InputError
from author.library.shop import new_shop
from author.library.signing.manifest import with_state
from author.tasks.library_shelves import shelve_folders
from author.tasks.library_taking import take

from .bench_shop import EXAMPLES, ID, BenchShop


def desk(folder: Path, state: str, text: bytes | None = None) -> Path:
    """Write the folder of an author whose file says a state."""
    folder.mkdir(parents=True, exist_ok=True)
    data = (EXAMPLES / f"{ID}.yaml").read_bytes() if text is None else text
    (folder / "procedure.yaml").write_bytes(with_state(data, state) or b"")
    return folder


def shelved(shop: BenchShop, folder: Path, **more: bool) -> str:
    (done,) = shelve_folders(shop.folder, [folder], **more)
    return done.did


def renamed(name: str) -> bytes:
    data = (EXAMPLES / f"{ID}.yaml").read_bytes()
    return data.replace(f"\nid: {ID}\n".encode(), f"\nid: {name}\n".encode())


@pytest.mark.parametrize("state", ["approved", "superseded", "withdrawn", "in_review"])
def test_a_state_nobody_gave_is_refused(draft: BenchShop, tmp_path: Path, state: str) -> None:
    for number, text in enumerate((None, renamed("other-belt"))):
        before = draft.file.read_bytes()
        with pytest.raises(InputError, match="by the library's history revision") as told:
            shelved(draft, desk(tmp_path / str(number), state, text), replace=True)
        assert "Set 'state: draft'; the library gives states" in (told.value.remedy or "")
        assert told.value.line
        assert draft.file.read_bytes() == before
    assert not (draft.folder / "procedures" / "other-belt").exists()


def test_what_the_history_gives_may_be_shelved_again(approved: BenchShop, tmp_path: Path) -> None:
    take(approved.folder, ID, tmp_path / "mine")
    assert shelved(approved, tmp_path / "mine") == "same"
    file = tmp_path / "mine" / "procedure.yaml"
    text = file.read_bytes()
    number = read_procedure(file).procedure.revision
    file.write_bytes(text.replace(b"\nrevision: %d\n" % number, b"\nrevision: %d\n" % (number + 1)))
    with pytest.raises(InputError, match="is draft"):
        shelved(approved, tmp_path / "mine")
    file.write_bytes(with_state(file.read_bytes(), "draft") or b"")
    assert shelved(approved, tmp_path / "mine") == "next"
    # An older state of the same content is no claim.
    file.write_bytes(text)


def test_another_content_than_the_approved_one_is_refused(
    approved: BenchShop, tmp_path: Path
) -> None:
    changed = approved.file.read_bytes().replace(b"\ntitle: ", b"\ntitle: Not so ", 1)
    with pytest.raises(InputError):
        shelved(approved, desk(tmp_path / "mine", "approved", changed), replace=True)
    approved.file.unlink()  # only its history is left
    with pytest.raises(InputError, match="with another content"):
        shelved(approved, desk(tmp_path / "mine", "approved", changed))


@pytest.mark.parametrize("known", [True, False])
def test_what_was_shelved_wrongly_is_put_right(
    draft: BenchShop, tmp_path: Path, known: bool
) -> None:
    mine = tmp_path / "mine"
    if known:
        take(draft.folder, ID, mine)
    else:
        desk(mine, "draft", draft.file.read_bytes())
    right = draft.file.read_bytes()
    draft.file.write_bytes(with_state(right, "approved") or b"")
    assert call("verify", draft.folder).code == 1
    assert shelved(draft, mine) == "changed"
    assert draft.file.read_bytes() == right
    assert call("verify", draft.folder).code == 0


def test_without_keys_it_is_taken_with_a_line(tmp_path: Path) -> None:
    new_shop(tmp_path / "shop", "Demo shop")
    out = call("shelve", tmp_path / "shop", desk(tmp_path / "mine", "approved")).out
    assert "Its file says approved, and nobody has signed that: this library has no keys" in out
    stored = tmp_path / "shop" / "procedures" / ID / "procedure.yaml"
    assert read_procedure(stored).procedure.state == "approved"
