"""Files of older schemas: brought up one version at a time, with their lines, and never on disk."""

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.checks import check
from author.contract import LoadedProcedure, parse_procedure, read_procedure, write_yaml
from author.contract.reading import read_model
from author.contract.upgrades import UPGRADES, missing_step, upgraded, upgraded_tree
from author.contract.yaml_moved import TrackedCopy
from author.contract.yaml_reader import parse_yaml
from author.errors import FileErrors, InputError
from author.procedure.document import Procedure
from document.examples import valid
from document.samples import Plain, base, load

FILE = Path("procedure.yaml")


def old_form() -> Plain:
    """The small procedure as an invented version 0 had it: steps in one list, torques as text."""
    plain = base()
    plain["schema"] = "procedure/0"
    plain["steps"] = plain.pop("sections")[0]["steps"]
    plain["steps"][1] |= {"torque": "5 N·m", "thread": "M5", "tools": ["hammer"]}
    plain["job"] = plain.pop("title")
    return plain


def to_1(value: dict[str, Any]) -> dict[str, Any]:
    """What an upgrade of that version would be."""
    for step in value["steps"]:
        if "torque" in step:
            number, unit = step.pop("torque").split(" ")
            step["torques"] = [
                {"id": f"{step['id']}-torque", "characteristic": "Torque", "quantity": "torque",
                 "unit": unit, "nominal": number, "thread": step.pop("thread"), "threads": "Dry"}
            ]  # fmt: skip
    value["sections"] = [{"id": "work", "title": "Work", "steps": value.pop("steps")}]
    value["title"] = value.pop("job")
    return value


def to_2(value: dict[str, Any]) -> dict[str, Any]:
    """A step further: an invented version 2 has a list of machines."""
    assert value["schema"] == "procedure/1"
    return {**value, "units": [value["unit"]]}


@pytest.fixture
def known(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(UPGRADES, "procedure", {0: to_1})


def read(plain: Plain) -> LoadedProcedure:
    return parse_procedure(write_yaml(plain).encode(), FILE)


@pytest.mark.usefixtures("known")
def test_an_old_file_is_read_as_what_it_is_now() -> None:
    procedure = read(old_form()).procedure
    assert procedure.schema_name == "procedure/1"
    assert [step.id for step in procedure.sections[0].steps] == ["guard-off", "guard-on"]
    (torque,) = procedure.sections[0].steps[1].torques or ()
    assert (str(torque.nominal), torque.unit, torque.thread) == ("5", "N·m", "M5")
    # Apart from what was added to the old one it is the same procedure.
    plain = old_form()
    del plain["steps"][1]["torque"], plain["steps"][1]["thread"], plain["steps"][1]["tools"]
    assert read(plain).procedure == load(base()).procedure


@pytest.mark.usefixtures("known")
def test_remarks_point_into_the_old_file() -> None:
    text = write_yaml(old_form())
    loaded = parse_procedure(text.encode(), FILE)
    lines = text.splitlines()
    told = {
        remark.rule.id: lines[loaded.tree.place(remark.path)[0] - 1].strip()
        for remark in check(loaded.procedure).remarks
    }
    assert told["ids.reference"] == "- hammer"
    # What was written anew stands where the step stands.
    assert told["limits.no_limits"] == "- id: guard-on"
    assert told["instruments.none"] == "- id: guard-on"


@pytest.mark.usefixtures("known")
def test_faults_point_into_the_old_file() -> None:
    plain = old_form()
    plain["steps"][1]["specs"][0]["lower"] = "1,250"
    plain["job"] = 12
    plain["steps"][0]["reeson"] = "x"
    with pytest.raises(FileErrors) as caught:
        read(plain)
    lines = write_yaml(plain).splitlines()
    told = [lines[(fault.line or 0) - 1].strip() for fault in caught.value.faults]
    # A key of the outermost block that has another name now stands where the file begins.
    assert told == ["schema: procedure/0", "reeson: x", 'lower: "1,250"']


@pytest.mark.usefixtures("known")
def test_the_file_on_disk_stays_as_it_is(tmp_path: Path) -> None:
    file = tmp_path / "procedure.yaml"
    file.write_text(write_yaml(old_form()), encoding="utf-8")
    before = file.read_bytes()
    loaded = read_procedure(tmp_path)
    assert loaded.text().startswith("schema: procedure/1\n")
    assert file.read_bytes() == before
    assert list(tmp_path.iterdir()) == [file]


@pytest.mark.usefixtures("known")
def test_what_is_saved_afterwards_is_of_the_new_version() -> None:
    text = read(old_form()).text()
    assert parse_procedure(text.encode(), FILE).text() == text


@pytest.mark.usefixtures("known")
def test_comments_stay_with_what_they_stand_before() -> None:
    text = write_yaml(old_form())
    for place in ("  - id: guard-on\n", "job: Refit", "unit:\n", "        unit: mm\n"):
        indent = " " * (len(place) - len(place.lstrip()))
        assert text.count(place) == 1
        text = text.replace(place, f"{indent}# before {place.split()[-1].strip(':')}\n{place}")
    lines = parse_procedure(text.encode(), FILE).text().splitlines()
    behind = dict(zip(map(str.strip, lines), map(str.strip, lines[1:]), strict=False))
    assert behind["# before guard-on"] == "- id: guard-on"
    assert behind["# before unit"] == "unit:"
    assert behind["# before mm"] == "unit: mm"
    # The key it stood before has gone: it is kept at the end.
    assert lines[-1] == "# before Refit"


def test_versions_are_taken_one_at_a_time() -> None:
    steps = {"procedure": {0: to_1, 1: to_2}}
    old = old_form()
    new = upgraded(old, schema="procedure/2", upgrades=steps)
    assert new["schema"] == "procedure/2"
    assert new["units"] == [{"name": "Bench drill BD-2"}]
    assert new["sections"][0]["steps"][0]["id"] == "guard-off"
    assert next(iter(new)) == "schema"
    # Not one of the values given was changed.
    assert old == old_form()
    half = upgraded(old, schema="procedure/1", upgrades=steps)
    assert upgraded(half, schema="procedure/2", upgrades=steps) == new


def test_what_needs_no_upgrade_is_the_same_object() -> None:
    steps = {"procedure": {0: to_1}}
    for schema in ("procedure/1", "procedure/2", "review/0", "procedure/01", "procedure", 3, None):
        value = {"schema": schema}
        assert upgraded(value, "procedure/1", steps) is value
        assert missing_step(schema, "procedure/1", steps) is None
    assert upgraded({"schema": "procedure/0"}, "procedure/1", {}) == {"schema": "procedure/0"}


def refusal(plain: Plain, schema: str = "procedure/1") -> InputError:
    with pytest.raises(InputError) as caught:
        read_model(write_yaml(plain).encode(), FILE, Procedure, schema)
    return caught.value


def test_a_gap_between_versions_is_told_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    error = refusal(old_form())
    assert error.line == 1
    assert error.problem == (
        "the schema is 'procedure/0', this program reads 'procedure/1' and knows no way from "
        "version 0 to 1"
    )
    assert "Save the file with a Reelwright that does" in error.remedy
    monkeypatch.setitem(UPGRADES, "procedure", {0: to_1, 2: to_2})
    error = refusal(old_form(), "procedure/3")
    assert error.problem.endswith("reads 'procedure/3' and knows no way from version 1 to 2")


@pytest.mark.usefixtures("known")
def test_a_newer_version_is_refused() -> None:
    error = refusal(base() | {"schema": "procedure/2"})
    assert error.problem == "the schema is 'procedure/2', this program reads 'procedure/1'"
    assert error.remedy == "Use a newer Reelwright"


BROKEN: list[Plain] = [
    {"schema": "procedure/0"},
    {"schema": "procedure/0", "steps": 12, "job": "x"},
    {"schema": "procedure/0", "steps": [{"id": "a", "torque": "tight"}], "job": "x"},
    {"schema": "procedure/0", "steps": [{"id": "a", "torque": ["5"]}], "job": "x"},
    {"schema": "procedure/0", "steps": [12], "job": "x"},
]


@pytest.mark.usefixtures("known")
@pytest.mark.parametrize("plain", BROKEN)
def test_an_old_file_that_is_none_is_told_in_words(plain: Plain) -> None:
    error = refusal(plain)
    assert error.problem == "this is no procedure/0 that can be brought up to procedure/1"
    assert error.line == 1


# --- places ---


def paths(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    parts = value.items() if isinstance(value, dict) else enumerate(value)
    found = [path]
    for part, inner in parts:
        here = (*path, part)
        found += paths(inner, here) if isinstance(inner, dict | list) else [here]
    return found


@given(st.sampled_from(valid()))
def test_what_is_not_moved_stands_where_it_stood(file: Path) -> None:
    tree = parse_yaml(file.read_bytes(), "a.yaml")
    same = upgraded_tree(tree, "procedure/2", {"procedure": {1: lambda value: value}})
    assert same.value == tree.value | {"schema": "procedure/2"}
    assert [same.place(path) for path in paths(tree.value)] == [
        tree.place(path) for path in paths(tree.value)
    ]
    assert same.comments == tree.comments
    assert (same.start, same.dropped_comments) == (tree.start, tree.dropped_comments)


@given(st.sampled_from(valid()), st.data())
def test_a_block_is_found_again_wherever_it_goes(file: Path, data: st.DataObject) -> None:
    """Put somewhere else under other keys, it and all that is in it keep their lines."""
    tree = parse_yaml(file.read_bytes(), "a.yaml")
    tracked = TrackedCopy(tree)
    lists = [key for key, inner in tracked.value.items() if isinstance(inner, list)]
    key = data.draw(st.sampled_from(lists))
    index = data.draw(st.integers(0, len(tracked.value[key]) - 1))
    block = tracked.value[key].pop(index)
    rest = tracked.value.pop(key)
    moved = tracked.moved({"new": {"deep": [rest, [block]]}, **tracked.value})
    if isinstance(block, dict):
        for path in paths(block):
            there = tree.place((key, index, *path))
            assert moved.place(("new", "deep", 1, 0, *path)) == there
    for number, entry in enumerate(rest):
        old = number + (number >= index)
        if isinstance(entry, dict):
            assert moved.place(("new", "deep", 0, number)) == tree.place((key, old))
    line = moved.place(("new",))[0]
    assert tree.place((key,))[0] <= line <= tree.place((key, index))[0]
