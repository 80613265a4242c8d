"""The quick reader takes only what the contract's own reader takes, and takes it alike."""

from __future__ import annotations

import random
from contextlib import suppress
from pathlib import Path

import pytest
from document.examples import valid
from document.samples import base
from hypothesis import given, settings
from hypothesis import strategies as st

from author.contract import parse_procedure, write_yaml
from author.contract.yaml_reader import parse_yaml
from author.errors import InputError
from author.library import quick_reader
from author.library.quick_reader import quick_value, read_document

SAMPLE = Path(__file__).parents[2] / "sample_media" / "upper-wheel-bearings" / "procedure.yaml"
WRITTEN = [write_yaml(base()), SAMPLE.read_text(encoding="utf-8")]
# What a person or a program puts into such a file: mostly what is read in two ways.
INSERTED = (
    "\n", " ", "  ", "- ", "#", " # note", ":", ": ", '"', "'", "\\", '\\"', "\\n", "\t", "\r", "|",
    ">", "&a ", "*a", "!!str ", "---\n", "...\n", "[", "]", "{", "}", ",", "true", "null", "~",
    "0x1f", "1e3", "1.50", "-4", "0", "<<: ", "? ", "é", "\u2028", "\x85", "\ufeff", "%YAML 1.1\n",
    "- - ", "none", "key:", "key: value\n", "  - x\n", "@", "`", "\x00",
)  # fmt: skip


def strict(data: bytes) -> object:
    with suppress(InputError):
        return parse_yaml(data, "a.yaml").value
    return None


@pytest.mark.parametrize("file", [*valid(), SAMPLE], ids=lambda file: file.stem)
def test_every_example_is_read_alike(file: Path) -> None:
    data = file.read_bytes()
    assert read_document(data, file) == parse_procedure(data, file).procedure


def test_what_the_program_writes_is_read_quickly() -> None:
    for text in WRITTEN:
        assert quick_value(text.encode()) == strict(text.encode())


@settings(max_examples=400, deadline=None)
@given(
    which=st.integers(0, 1),
    seed=st.integers(0, 2**32),
    edits=st.lists(st.sampled_from(INSERTED), min_size=1, max_size=3),
)
def test_whatever_is_changed_it_is_read_alike_or_left_to_the_other(
    which: int, seed: int, edits: list[str]
) -> None:
    chance = random.Random(seed)
    # The first lines do as well, and are read faster.
    text = "".join(WRITTEN[which].splitlines(keepends=True)[: 60 + seed % 40])
    for inserted in edits:
        at = chance.randrange(len(text))
        if chance.random() < 0.5:  # where values begin and end
            at = text.find(chance.choice((": ", "\n", "- ")), at) + chance.choice((0, 1, 2))
        text = text[: max(at, 0)] + inserted + text[max(at, 0) + chance.choice((0, 0, 1, 3)) :]
    data = text.encode()
    try:
        value = quick_value(data)
    except quick_reader._UnusualError:
        return
    alike = value == strict(data)
    assert alike, text


def test_what_is_no_procedure_is_told_by_the_contract_s_reader() -> None:
    file = Path("procedure.yaml")
    text = WRITTEN[0]
    for spoilt, said in (
        (text.replace("revision: 1\n", ""), "'revision' is missing"),
        (text.replace("title: ", "title: x\ntitle: ", 1), "stands here twice"),
        (text.replace("procedure/1", "procedure/9"), "procedure/9"),
    ):
        with pytest.raises(InputError, match=said):
            read_document(spoilt.encode(), file)
