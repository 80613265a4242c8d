"""The program's own tables: one reader, which looks at what it got."""

from __future__ import annotations

from pathlib import Path

import pytest

import author
from author import resources
from author.resources import load_own_table, load_table, own_table, schema_folder

PROGRAM = Path(author.__file__).parent
OWN = sorted(path.name for path in own_table("").glob("*.yaml"))
SHARED = sorted(path.name for path in schema_folder().glob("*.yaml"))


@pytest.mark.parametrize("name", OWN)
def test_own_tables_are_read(name: str) -> None:
    assert all(isinstance(key, str) for key in load_own_table(name))


@pytest.mark.parametrize("name", SHARED)
def test_shared_tables_are_read(name: str) -> None:
    assert all(isinstance(key, str) for key in load_table(name))


@pytest.mark.parametrize("text", ["- a\n- b\n", "words\n", ""])
def test_what_is_no_table_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str
) -> None:
    (tmp_path / "words.yaml").write_text(text, encoding="utf-8")
    monkeypatch.setattr(resources, "own_table", lambda name: tmp_path / name)
    with pytest.raises(TypeError, match=r"words\.yaml is not a table"):
        load_own_table("words.yaml")


def test_nobody_else_reads_tables_by_hand() -> None:
    """What a user wrote is read by the contract's reader, which knows lines and bounds."""
    readers = {
        path.relative_to(PROGRAM).as_posix()
        for path in PROGRAM.rglob("*.py")
        if "SafeLoader" in path.read_text(encoding="utf-8")
    }
    assert readers == {"resources/__init__.py", "contract/yaml_reader.py"}
