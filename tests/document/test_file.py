"""The procedure file: canonical both ways, and every fault told with place and remedy."""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from author.contract import parse_procedure, read_procedure, write_yaml
from author.contract.procedure_file import as_plain
from author.errors import FileErrors, InputError
from document.samples import Plain, base, changed, filmed, load, spec, step

VALID = sorted((Path(__file__).parents[2] / "schema" / "examples" / "valid").glob("*.yaml"))


@pytest.mark.parametrize("file", VALID, ids=lambda f: f.stem)
def test_canonical_examples_are_written_as_they_were_read(file: Path) -> None:
    loaded = read_procedure(file)
    assert loaded.text() == file.read_text(encoding="utf-8")
    assert loaded.tree.dropped_comments == ()


def test_a_second_pass_changes_nothing() -> None:
    written = load(base()).text()
    assert parse_procedure(written.encode(), Path("a.yaml")).text() == written


def test_typed_by_hand_becomes_canonical() -> None:
    plain = base()
    text = write_yaml(plain)
    typed = text.replace('lower: "4.50"', "lower: 4.50").replace("unit: mm", "unit: millimetre")
    typed = typed.replace("    order: never", "    single_use: false\n    order: never")
    assert load(plain).text() == parse_procedure(typed.encode(), Path("a.yaml")).text() == text


def test_json_is_read_too() -> None:
    data = json.dumps(base()).encode()
    assert parse_procedure(data, Path("a.json")).procedure == load(base()).procedure


def test_comments_outlive_keys_that_are_not_written() -> None:
    text = write_yaml(base()).replace(
        "    order: never", "    order: never\n    # sits tight\n    pack_size: 1"
    )
    written = parse_procedure(text.encode(), Path("a.yaml")).text()
    assert "  # sits tight\n  - id: clip\n" in written
    assert "pack_size" not in written
    assert parse_procedure(written.encode(), Path("a.yaml")).text() == written


def fault(plain: Plain) -> InputError:
    with pytest.raises(InputError) as caught:
        load(plain)
    return caught.value


FAULTS: list[tuple[str, Plain, str, str, str]] = [
    # name, procedure, the line it stands on, problem, remedy
    ("unknown key", changed(lambda p: p.update(titel="x")), "titel:", "unknown key 'titel'",
     "Did you mean 'title'"),
    ("unknown key in a step", changed(lambda p: step(p, 0).update(reeson="x")), "reeson:",
     "unknown key 'reeson'", "Did you mean 'reason'"),
    ("unknown key unlike any", changed(lambda p: p["unit"].update(zzz="x")), "zzz:",
     "unknown key 'zzz'", "Keys here are: name, number, applies_to"),
    ("missing key", changed(lambda p: p["parts"][0].pop("name")), "- id: clip",
     "the key 'name' is missing", "Add 'name:'"),
    ("missing list", changed(lambda p: p.pop("findings")), "schema:", "'findings' is missing",
     "write 'none'"),
    ("wrong type", changed(lambda p: p.update(revision="1")), "revision:",
     "'revision' is '1', but has to be a whole number", "without quotes"),
    ("number for text", changed(lambda p: p.update(title=12)), "title:",
     "'title' is '12', but has to be text", "in quotes"),
    ("block for text", changed(lambda p: p.update(title={"a": "b"})), "title:",
     "'title' is a block of keys", "Change the value"),
    ("text for block", changed(lambda p: p.update(unit="drill")), "unit:",
     "has to be a block of keys", "Change the value"),
    ("text for list", changed(lambda p: step(p, 0).update(tools="none")), "tools: none",
     "has to be a list", "Change the value"),
    ("neither list nor none", changed(lambda p: p.update(parts="all")), "parts: all",
     "neither a list nor the word none", "Mend"),
    ("text for truth", changed(lambda p: p["parts"][0].update(single_use="yes")), "single_use:",
     "has to be true or false", "Change"),
    ("wrong literal", changed(lambda p: p.update(state="done")), "state:", "'state' is 'done'",
     "Write one of: 'draft'"),
    ("empty list", changed(lambda p: p.update(parts=[])), "parts: []", "is an empty list", "Mend"),
    ("empty list in a step", changed(lambda p: step(p, 0).update(tools=[])), "tools: []",
     "is an empty list", "take the key out"),
    ("bad id", changed(lambda p: p.update(id="Belt Guard")), "id:",
     "'id' 'Belt Guard' is not an id", "Mend 'id' here"),
    ("long id", changed(lambda p: p.update(id="a" * 49)), "id:", "at most 48", "Change"),
    ("path in file name", changed(filmed, lambda p: p["recordings"][0].update(file="../a.mp4")),
     "file:", "is not a plain file name", "Mend"),
    ("dots as file name", changed(filmed, lambda p: p["recordings"][0].update(file="..")),
     "file:", "is not a plain file name", "Mend"),
    ("hidden direction", changed(lambda p: p.update(title="a\u202eb")), "title:",
     "hidden direction mark", "Mend"),
    ("line end", changed(lambda p: p.update(title="a\nb")), "title:", "line end", "Mend"),
    ("line end at the end", changed(lambda p: p.update(title="a\n")), "title:", "line end", "Mend"),
    ("space at the end", changed(lambda p: p.update(title="a ")), "title:", "ends with a space",
     "Mend"),
    ("too long", changed(lambda p: p.update(title="a" * 401)), "title:", "at most 400", "Change"),
    ("comma", changed(lambda p: spec(p).update(lower="1,250")), "lower:", "1250 or 1.250", "Mend"),
    ("list for number", changed(lambda p: spec(p).update(lower=["1"])), "lower:",
     "is not a number", "Mend"),
    ("truth for number", changed(lambda p: spec(p).update(lower=True)), "lower:",
     "is not a number", "Mend"),
    ("line end in a number", changed(lambda p: spec(p).update(lower="1\n")), "lower:",
     "plain decimal", "Mend"),
    ("unit not on the list", changed(lambda p: spec(p).update(unit="furlong")), "unit: furlong",
     "not a unit on the list", "Mend"),
    ("quantity not on the list", changed(lambda p: spec(p).update(quantity="width")), "width",
     "not a kind of quantity", "Mend"),
    ("place with one number", changed(
        filmed, lambda p: step(p, 0)["still"].update(callouts=[{"shape": "label", "at": ["0.1"]}])
     ), "at:", "wrong number of entries", "Give two numbers"),
    ("place outside", changed(
        filmed,
        lambda p: step(p, 0)["still"].update(callouts=[{"shape": "label", "at": ["0.1", "2"]}]),
     ), '"2"]', "not a place in the picture", "Mend"),
    ("truth for mark", changed(filmed, lambda p: step(p, 0)["still"].update(at=True)), "at: true",
     "is not a time", "Mend"),
    ("other fingerprint", changed(filmed, lambda p: p["recordings"][0].update(sha256="x")),
     "sha256:", "not the right form", "64 hexadecimal"),
    ("older schema", changed(lambda p: p.update(schema="procedure/0")), "schema:",
     "this program reads 'procedure/1' and knows no way from version 0 to 1",
     "or write 'schema: procedure/1' if it is of that version already"),
    ("other schema", changed(lambda p: p.update(schema="procedure/x")), "schema:",
     "this program reads 'procedure/1'", "Write 'schema: procedure/1' first"),
    ("newer schema", changed(lambda p: p.update(schema="procedure/2")), "schema:",
     "'procedure/2'", "newer Reelwright"),
    ("no schema", changed(lambda p: p.pop("schema")), "id: belt-guard",
     "does not say its schema", "Write 'schema: procedure/1' first"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("plain", "there", "problem", "remedy"), [f[1:] for f in FAULTS], ids=[f[0] for f in FAULTS]
)
def test_every_fault_names_place_and_remedy(
    plain: Plain, there: str, problem: str, remedy: str
) -> None:
    error = fault(plain)
    assert problem in error.problem
    assert remedy in error.remedy
    assert error.line is not None
    assert error.column is not None
    assert there in write_yaml(plain).splitlines()[error.line - 1]
    assert str(error).startswith(f"procedure.yaml:{error.line}:{error.column}: ")
    assert len(str(error)) < 600


def test_a_misspelt_key_is_one_fault() -> None:
    error = fault(changed(lambda p: p.update(pupose=p.pop("purpose"))))
    assert isinstance(error, FileErrors)
    assert [f.problem for f in error.faults] == ["unknown key 'pupose'"]


def test_a_wrong_entry_is_one_fault() -> None:
    error = fault(changed(lambda p: spec(p).update(lower="1,250")))
    assert isinstance(error, FileErrors)
    assert len(error.faults) == 1


def test_empty_value_is_a_fault_of_its_own() -> None:
    text = write_yaml(base()) + "note:\n"
    with pytest.raises(InputError, match="empty") as caught:
        parse_procedure(text.encode(), Path("a.yaml"))
    assert caught.value.line == text.count("\n")


def test_faults_come_in_the_order_of_the_file() -> None:
    plain = changed(
        lambda p: p.update(zz="x", title=1), lambda p: step(p, 1).update(action=2), lambda p: p
    )
    with pytest.raises(FileErrors) as caught:
        load(plain)
    lines = [error.line for error in caught.value.faults]
    assert len(lines) == 3
    assert lines == sorted(lines, key=lambda n: n or 0)


@pytest.mark.parametrize("text", ["- a\n", "a\n", "12\n", "[]\n"])
def test_what_holds_no_keys_is_no_procedure(text: str) -> None:
    with pytest.raises(InputError, match="holds no keys"):
        parse_procedure(text.encode(), Path("a.yaml"))


def test_missing_file_and_folder(tmp_path: Path) -> None:
    for place in (tmp_path, tmp_path / "nothing.yaml"):
        with pytest.raises(InputError, match="no such procedure"):
            read_procedure(place)
    (tmp_path / "procedure.yaml").write_bytes(VALID[0].read_bytes())
    assert read_procedure(tmp_path).procedure.id == VALID[0].stem


# --- properties ---------------------------------------------------------------------------

IDS = st.from_regex(r"[a-z][a-z0-9]{0,6}(-[a-z0-9]{1,6}){0,2}", fullmatch=True)
LETTERS = st.characters(
    exclude_categories=["Cs", "Cc", "Zl", "Zp"],
    exclude_characters="\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufffe\uffff",
)
LINES = st.text(LETTERS, min_size=1, max_size=30).filter(lambda t: t == t.strip())
NUMBERS = st.from_regex(r"-?(0|[1-9][0-9]{0,6})(\.[0-9]{1,6})?", fullmatch=True)
AMOUNTS = NUMBERS.filter(lambda text: Decimal(text) > 0)
MARKS = st.integers(0, 10**9).map(lambda n: f"{n // 10**6}.{n % 10**6:06d}")
SHARES = st.integers(0, 1000).map(lambda n: f"{n / 1000:.3f}")
POINTS = st.tuples(SHARES, SHARES).map(list)


def some(**keys: st.SearchStrategy[Any]) -> Any:
    """Blocks with any of these keys."""
    return st.fixed_dictionaries({}, optional=keys)


def block(needed: dict[str, Any], **keys: st.SearchStrategy[Any]) -> Any:
    return st.fixed_dictionaries(needed, optional=keys)


def stated(entries: st.SearchStrategy[Any]) -> Any:
    return st.one_of(st.just("none"), st.lists(entries, min_size=1, max_size=2))


def several(entries: st.SearchStrategy[Any], least: int = 1) -> Any:
    return st.lists(entries, min_size=least, max_size=2)


REACTIONS = block({"do": st.sampled_from(["repeat", "recover", "stop"]), "how": LINES}, step=IDS)
SPECS = block(
    {"id": IDS, "characteristic": LINES, "quantity": st.just("length"),
     "unit": st.sampled_from(["mm", "in", "N·m"])},
    where=LINES, positions=several(LINES), lower=NUMBERS, nominal=NUMBERS, upper=NUMBERS,
    reference=st.booleans(), below=REACTIONS, note=LINES,
)  # fmt: skip
CALLOUTS = block(
    {"shape": st.sampled_from(["arrow", "ring", "label"]), "at": POINTS}, tail=POINTS, text=LINES
)
STEPS = block(
    {"id": IDS, "action": LINES},
    hazards=several(
        block({"signal": st.just("NOTICE"), "hazard": LINES, "avoid": LINES}, consequence=LINES)
    ),
    clip=block({"recording": IDS, "from": MARKS, "to": MARKS}, grade=st.just("as_recommended")),
    still=block({"recording": IDS, "at": MARKS, "alt": LINES}, callouts=several(CALLOUTS)),
    tools=several(IDS),
    ledger=several(
        block({"act": st.just("removes"), "part": IDS}, quantity=st.integers(1, 10_000))
    ),
    specs=several(SPECS),
    ladder=several(block({"how": LINES}, no_return=LINES), 2),
    decision=st.fixed_dictionaries(
        {"question": LINES, "ways": several(block({"when": LINES}, stop=LINES), 2)}
    ),
)  # fmt: skip
PROCEDURES = block(
    {
        "schema": st.just("procedure/1"), "id": IDS, "title": LINES,
        "revision": st.integers(1, 10_000), "state": st.sampled_from(["draft", "approved"]),
        "language": st.sampled_from(["en", "de-AT", "gsw"]), "purpose": LINES,
        "unit": block({"name": LINES}, applies_to=LINES), "limits_of_use": stated(LINES),
        "people": stated(block({"id": IDS, "role": LINES}, count=st.integers(1, 3))),
        "recordings": st.just("none"), "sources": st.just("none"),
        "prerequisites": stated(block({"id": IDS, "what": LINES})),
        "parts": stated(
            block({"id": IDS, "name": LINES, "replace": st.just("always"),
                   "order": st.just("always")}, single_use=st.booleans(),
                  pack_size=st.integers(1, 5))
        ),
        "tools": stated(block({"id": IDS, "name": LINES}, resolution=AMOUNTS)),
        "supplies": st.just("none"), "stacks": stated(
            block({"id": IDS, "name": LINES, "inside_out": several(IDS)})
        ),
        "general_hazards": st.just("none"), "chains": st.just("none"),
        "sections": several(
            st.fixed_dictionaries({"id": IDS, "title": LINES, "steps": several(STEPS)})
        ),
        "close_outs": st.just("none"),
        "findings": stated(
            block({"id": IDS, "what": LINES, "state": st.just("deferred")}, holds=st.booleans())
        ),
        "concessions": stated(
            st.fixed_dictionaries(
                {"rule": st.just("limits.order"), "at": LINES, "reason": LINES, "role": IDS}
            )
        ),
        "changes": stated(
            block({"revision": st.integers(1, 9), "date": st.just("2026-02-28"), "what": LINES})
        ),
    },
    labour_time=st.sampled_from(["PT1H", "PT25M"]), note=LINES, data=st.sampled_from(["shop"]),
)  # fmt: skip


@given(PROCEDURES)
@settings(max_examples=60, deadline=None)
def test_any_procedure_comes_back(plain: Plain) -> None:
    first = load(plain)
    text = first.text()
    second = parse_procedure(text.encode(), Path("a.yaml"))
    assert second.procedure == first.procedure
    assert second.text() == text
    assert as_plain(second.procedure) == second.tree.value


EDITS = st.lists(
    st.tuples(st.integers(0, 6000), st.integers(0, 30), st.binary(max_size=6)),
    min_size=1,
    max_size=3,
)


@given(st.sampled_from(VALID), EDITS)
@settings(deadline=None)
def test_a_damaged_file_is_read_or_refused(file: Path, edits: list[tuple[int, int, bytes]]) -> None:
    data = file.read_bytes()
    for at, length, new in edits:
        data = data[:at] + new + data[at + length :]
    try:
        loaded = parse_procedure(data, Path("a.yaml"))
    except InputError as error:
        assert str(error)
        return
    assert parse_procedure(loaded.text().encode(), Path("a.yaml")).procedure == loaded.procedure


PATHS = st.lists(st.integers(0, 50), min_size=1, max_size=8)
VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(), LINES, st.just([]), st.just({}), st.just(["0.1"]),
    st.just({"id": "a"}), st.text(max_size=3),
)  # fmt: skip


@given(st.sampled_from(VALID), PATHS, VALUES)
@settings(deadline=None)
def test_a_wrong_value_anywhere_is_refused_in_words(file: Path, turns: list[int], new: Any) -> None:
    plain = json.loads(json.dumps(read_procedure(file).tree.value))
    node = plain
    for turn in turns:
        keys = list(node) if isinstance(node, dict) else range(len(node))
        key = keys[turn % len(keys)]
        if isinstance(node[key], str | int) or not node[key]:
            break
        parent, node = node, node[key]
    else:
        node = parent
        key = next(k for k in (node if isinstance(node, dict) else range(len(node))))
    node[key] = new
    try:
        loaded = parse_procedure(json.dumps(plain).encode(), Path("a.yaml"))
    except InputError as error:
        assert error.line == 1
        assert error.remedy
        assert "validation" not in str(error)
        return
    assert loaded.text()
