"""Two people change one procedure: nothing of either is lost, and what both changed is asked."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from document.samples import base as plain_base
from document.samples import load, spec, step
from editing.wishes import command
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from author.contract import read_procedure
from author.contract.review_file import read_review, write_review
from author.editing import (
    AddEntry,
    AddStep,
    Command,
    MoveEntry,
    MoveSection,
    MoveSteps,
    RemoveEntry,
    RemoveSection,
    RemoveSteps,
    Rename,
    SetField,
    SplitSection,
)
from author.errors import InputError
from author.library.shelves.shelving import Shelved
from author.library.shop import Shop, new_shop
from author.library.signing.manifest import with_state
from author.procedure.document import Procedure
from author.procedure.review import ReviewSheet, SignOff, point_content
from author.procedure.values import Node
from author.tasks.library_conflicts import Answers
from author.tasks.library_merging import ClashError, merge_procedures
from author.tasks.library_shelves import shelve_folders
from author.tasks.library_taking import take

from .shops import Plain, procedure, put
from .test_command import call

ID = "belt-guard"


class Desks:
    """A library with one draft, and two people who have each taken it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.shop: Shop = new_shop(folder / "shop", "Demo shop")
        first = folder / "first"
        put(first, start())
        (first / "media").mkdir()
        (first / "media" / "one.jpg").write_bytes(b"one")
        self.shelve("first")
        for name in ("mine", "theirs"):
            take(self.shop.folder, ID, folder / name)

    def change(self, name: str, *changes: Callable[[Plain], Any], **keys: Any) -> None:
        put(self.folder / name, procedure(ID, "Refit a belt guard", two_steps, *changes, **keys))

    def shelve(self, name: str, *keep: str, replace: bool = False) -> Shelved:
        (done,) = shelve_folders(self.shop.folder, [self.folder / name], keep=keep, replace=replace)
        return done

    @property
    def stored(self) -> Procedure:
        return read_procedure(self.shop.place_of(ID)).procedure


def action_of(index: int, text: str) -> Callable[[Plain], None]:
    return lambda plain: step(plain, index).update(action=text)


def two_steps(plain: Plain) -> None:
    step(plain, 1)["action"] = "Press the bearing in."
    spec(plain)["characteristic"] = "Depth"


def start() -> Plain:
    return procedure(ID, "Refit a belt guard", two_steps)


def limits(lower: str, upper: str = "6.00") -> Callable[[Plain], None]:
    return lambda plain: spec(plain).update(lower=lower, upper=upper)


def note(index: int, text: str) -> Callable[[Plain], None]:
    return lambda plain: step(plain, index).update(note=text)


@pytest.fixture
def desks(tmp_path: Path) -> Desks:
    return Desks(tmp_path)


def test_different_changes_come_together_and_are_told(desks: Desks) -> None:
    desks.change("theirs", limits("4.60"))
    desks.change("mine", note(0, "Mind the spring"), tools=[*start()["tools"], _tool("mallet")])
    assert desks.shelve("theirs").did == "changed"
    done = desks.shelve("mine")
    assert done.did == "merged"
    stored = desks.stored
    assert [one.id for one in stored.tools] == ["caliper", "mallet"]
    assert stored.sections[0].steps[0].note == "Mind the spring"
    assert stored.sections[0].steps[1].specs[0].lower == Decimal("4.60")  # type: ignore[index]
    assert done.together.library == (
        "Step 'Press the bearing in': limit spec gap: lower limit 4.50 → 4.60 mm: less is "
        "accepted (tolerance 1.50 → 1.40 mm)",
    )
    assert any("Mind the spring" in line for line in done.together.mine)
    assert desks.shelve("mine").did == "same"


def _tool(name: str) -> Plain:
    return {"id": name, "name": name.title()}


def test_the_folder_goes_on_from_its_own_content(desks: Desks) -> None:
    """After a merge the folder lacks the library's change; shelving again must not undo it."""
    desks.change("theirs", limits("4.60"))
    desks.change("mine", note(0, "Mind the spring"))
    desks.shelve("theirs")
    desks.shelve("mine")
    desks.change("mine", note(0, "Mind the spring, it jumps"))
    assert desks.shelve("mine").did == "merged"
    stored = desks.stored
    assert stored.sections[0].steps[0].note == "Mind the spring, it jumps"
    assert stored.sections[0].steps[1].specs[0].lower == Decimal("4.60")  # type: ignore[index]
    assert desks.shelve("theirs").did == "same"


def test_a_clash_is_told_in_the_terms_of_the_trade_and_writes_nothing(desks: Desks) -> None:
    desks.change("theirs", limits("4.60"))
    desks.change("mine", limits("4.70"), note(0, "Mind the spring"))
    desks.shelve("theirs")
    before = (desks.shop.place_of(ID) / "procedure.yaml").read_bytes()
    with pytest.raises(ClashError) as told:
        desks.shelve("mine")
    (line,) = str(told.value).splitlines()
    assert (
        "Step 'Press the bearing in': depth 4.70 to 6.00 mm here, 4.60 to 6.00 mm in the library; "
        "it was 4.50 to 6.00 mm. Say --keep 'steps/guard-on/specs/gap=mine' or "
        "--keep 'steps/guard-on/specs/gap=library'." in line
    )
    assert told.value.exit_code == 2
    assert told.value.line is not None
    assert (desks.shop.place_of(ID) / "procedure.yaml").read_bytes() == before


@pytest.mark.parametrize(
    ("keep", "lower"),
    [
        ("steps/guard-on/specs/gap=mine", "4.70"),
        ("steps/guard-on/specs/gap=library", "4.60"),
        ("all=mine", "4.70"),
        ("all=library", "4.60"),
    ],
)
def test_an_answer_counts_for_its_place_alone(desks: Desks, keep: str, lower: str) -> None:
    desks.change("theirs", limits("4.60"), note(1, "Theirs"))
    desks.change("mine", limits("4.70"), note(0, "Mine"))
    desks.shelve("theirs")
    assert desks.shelve("mine", keep).did == "merged"
    first, second = desks.stored.sections[0].steps
    assert (first.note, second.note) == ("Mine", "Theirs")
    assert format(second.specs[0].lower, "f") == lower  # type: ignore[index]
    assert desks.shelve("mine").did == "same"


def test_answers_that_are_none_are_refused(desks: Desks) -> None:
    desks.change("theirs", limits("4.60"))
    desks.change("mine", note(0, "Mine"))
    desks.shelve("theirs")
    for wrong in ("gap", "gap=theirs", "=mine", "title=mine"):
        with pytest.raises(InputError) as told:
            desks.shelve("mine", wrong)
        assert told.value.remedy
    with pytest.raises(InputError, match="twice"):
        desks.shelve("mine", "title=mine", "title=library")
    both = [desks.folder / "mine", desks.folder / "theirs"]
    with pytest.raises(InputError, match="several folders"):
        list(shelve_folders(desks.shop.folder, both, keep=["title=mine"]))
    assert [one.did for one in shelve_folders(desks.shop.folder, both, keep=["all=mine"])] == [
        "merged", "same",
    ]  # fmt: skip


def test_both_limits_are_one_thing(desks: Desks) -> None:
    """The lower limit of one and the upper limit of the other were decided by nobody."""
    desks.change("theirs", limits("4.60"))
    desks.change("mine", limits("4.50", "5.50"))
    desks.shelve("theirs")
    with pytest.raises(ClashError, match=r"4\.50 to 5\.50 mm here, 4\.60 to 6\.00 mm in the lib"):
        desks.shelve("mine")


@pytest.mark.parametrize(
    ("theirs", "mine", "place"),
    [
        (
            lambda plain: plain["general_hazards"][0].update(consequence="A cut"),
            lambda plain: plain["general_hazards"][0].update(avoid="Wear thick gloves"),
            "general_hazards/0",
        ),
        (
            lambda plain: step(plain, 0)["ledger"][0].update(orientation="Open end up"),
            lambda plain: step(plain, 0)["ledger"][0].update(act="discards"),
            "steps/guard-off/ledger/0",
        ),
        (
            lambda plain: plain["tools"][0].update(resolution="0.02"),
            lambda plain: plain["tools"][0].update(range_to="200"),
            "tools/caliper",
        ),
        (
            lambda plain: spec(plain).update(positions=["top", "left"]),
            lambda plain: spec(plain).update(positions=["top", "right"]),
            "steps/guard-on/specs/gap/positions",
        ),
    ],
)
def test_what_is_one_thing_is_never_put_together_from_two_halves(
    desks: Desks, theirs: Callable[[Plain], None], mine: Callable[[Plain], None], place: str
) -> None:
    desks.change("theirs", theirs)
    desks.change("mine", mine)
    desks.shelve("theirs")
    with pytest.raises(ClashError) as told:
        desks.shelve("mine")
    assert [one.place for one in told.value.clashes] == [place]


def _steps(*ids: str) -> Callable[[Plain], None]:
    def change(plain: Plain) -> None:
        steps = plain["sections"][0]["steps"]
        for place, name in enumerate(ids, start=1):
            fresh = {"id": name, "action": f"Do {name}.", "not_filmed": "Dark"}
            steps.insert(place, fresh)

    return change


def test_two_new_steps_at_one_place_are_asked_about(desks: Desks) -> None:
    desks.change("theirs", _steps("oil"))
    desks.change("mine", _steps("wipe"))
    desks.shelve("theirs")
    with pytest.raises(ClashError, match=r"'Do wipe\.'; .* here, .*'Do oil\.'") as told:
        desks.shelve("mine")
    place = told.value.clashes[0].place
    assert place == "sections/work/steps"
    desks.shelve("mine", f"{place}=mine")
    order = [one.id for one in desks.stored.sections[0].steps]
    assert order == ["guard-off", "wipe", "oil", "guard-on"]


def test_what_breaks_a_rule_only_together_is_refused(desks: Desks) -> None:
    """One takes the tool out that the other begins to use."""

    def use(plain: Plain) -> None:
        step(plain, 0)["tools"] = ["mallet"]

    def tools(*names: str) -> list[Plain]:
        return [*start()["tools"], *map(_tool, names)]

    for name in ("mine", "theirs"):
        desks.change(name, tools=tools("mallet"))
    desks.shelve("theirs")
    desks.shelve("mine")
    desks.change("theirs", use, tools=tools("mallet"))
    desks.change("mine")
    desks.shelve("theirs")
    with pytest.raises(InputError, match="'mallet' is still named"):
        desks.shelve("mine")
    with pytest.raises(InputError, match="'mallet' is still named"):
        desks.shelve("mine", "all=mine")


def test_what_was_given_up_is_kept_and_told_to_the_other(desks: Desks) -> None:
    desks.change("theirs", limits("4.60"))
    desks.change("mine", limits("4.70"))
    desks.shelve("theirs")
    first = desks.shelve("mine", "all=mine")
    assert first.given_up == ()
    kept = (desks.shop.place_of(ID) / "given-up.txt").read_text()
    assert "4.70 to 6.00 mm kept, 4.60 to 6.00 mm given up; it was 4.50 to 6.00 mm" in kept
    told = desks.shelve("theirs", "all=mine")
    assert told.did == "same"
    assert [f"{line}\n" for line in told.given_up] == [kept]
    assert "--keep all=mine decided nothing" in told.notes[-1]
    assert desks.shelve("theirs").given_up == ()
    desks.change("mine", limits("4.70"), revision=2)
    desks.shelve("mine")
    assert (desks.shop.place_of(ID) / "given-up.txt").read_text() == kept


def test_taking_again_tells_what_was_given_up(desks: Desks) -> None:
    desks.change("theirs", limits("4.60"))
    desks.change("mine", limits("4.70"))
    desks.shelve("theirs")
    desks.shelve("mine", "all=mine")
    taken = take(desks.shop.folder, ID, desks.folder / "theirs")
    assert "4.60 to 6.00 mm given up" in taken.notes[0]


def test_what_the_library_kept_leaves_no_line(desks: Desks) -> None:
    desks.change("theirs", limits("4.60"))
    desks.change("mine", limits("4.70"))
    desks.shelve("theirs")
    desks.shelve("mine", "all=library")
    assert not (desks.shop.place_of(ID) / "given-up.txt").exists()


def test_an_id_that_both_have_given_is_mended_in_the_folder(desks: Desks) -> None:
    criterion = {"id": "seat-clean", "look_for": "Dirt", "accept": "None", "otherwise": "Wipe it"}
    point = {"id": "seat-clean", "kind": "orientation", "what": "The mark is up", "source": "card"}
    desks.change("theirs", lambda plain: step(plain, 0).update(criteria=[criterion]))
    desks.change("mine", lambda plain: step(plain, 1).update(critical_points=[point]))
    desks.shelve("theirs")
    for keep in ((), ("all=mine",)):
        with pytest.raises(ClashError, match="'seat-clean' would be given twice"):
            desks.shelve("mine", *keep)
    point["id"] = "mark-up"
    desks.change("mine", lambda plain: step(plain, 1).update(critical_points=[point]))
    assert desks.shelve("mine").did == "merged"


def test_a_fault_that_neither_has_alone_is_refused(desks: Desks) -> None:
    """One finds that there is a single clip; the other takes both off a second time."""

    def single(plain: Plain) -> None:
        plain["parts"][0]["quantity"] = 1
        for index in (0, 1):
            step(plain, index)["ledger"][0]["quantity"] = 1

    def again(plain: Plain) -> None:
        for act in ("removes", "refits"):
            entry = {"act": act, "part": "clip", "quantity": 2}
            more = {"id": act, "action": f"Do {act}.", "not_filmed": "Dark", "ledger": [entry]}
            plain["sections"][0]["steps"].append(more)

    desks.change("theirs", single)
    desks.change("mine", again)
    desks.shelve("theirs")
    before = (desks.shop.place_of(ID) / "procedure.yaml").read_bytes()
    with pytest.raises(InputError, match=r"put together, .*clip.* \(ledger\.") as told:
        desks.shelve("mine")
    assert "Neither has it alone" in told.value.remedy
    assert (desks.shop.place_of(ID) / "procedure.yaml").read_bytes() == before


def test_a_fault_that_one_had_before_is_no_reason_to_refuse(desks: Desks) -> None:
    """It stands at another place of its list in each of the three."""

    def hazards(*texts: str) -> Callable[[Plain], None]:
        whole = [
            {"signal": "CAUTION", "hazard": text, "consequence": "A cut", "avoid": "Wait"}
            for text in (*texts, "(to be written)")
        ]
        return lambda plain: step(plain, 0).update(hazards=whole)

    for name in ("mine", "theirs"):
        desks.change(name, hazards())
    desks.shelve("theirs")
    desks.shelve("mine")
    desks.change("theirs", hazards("Hot oil"))
    desks.change("mine", hazards("Sharp edge", "Falling guard"))
    desks.shelve("theirs")
    assert desks.shelve("mine").did == "merged"
    said = {one.hazard for one in desks.stored.sections[0].steps[0].hazards or ()}
    assert said == {"Hot oil", "Sharp edge", "Falling guard", "(to be written)"}


def test_media_come_together_by_content(desks: Desks) -> None:
    mine, theirs = desks.folder / "mine", desks.folder / "theirs"
    (theirs / "media" / "one.jpg").write_bytes(b"sharper")
    (theirs / "media" / "two.jpg").write_bytes(b"two")
    (mine / "media" / "three.jpg").write_bytes(b"three")
    desks.change("mine", note(0, "Mine"))
    desks.shelve("theirs")
    done = desks.shelve("mine")
    place = desks.shop.place_of(ID) / "media"
    assert {one.name: one.read_bytes() for one in place.iterdir()} == {
        "one.jpg": b"sharper", "two.jpg": b"two", "three.jpg": b"three",
    }  # fmt: skip
    assert "File 'media/one.jpg': another one" in done.together.library
    assert "File 'media/three.jpg': new" in done.together.mine
    (theirs / "media" / "three.jpg").write_bytes(b"a third")
    with pytest.raises(ClashError, match=r"The file 'media/three\.jpg'"):
        desks.shelve("theirs")
    desks.shelve("theirs", "files/media/three.jpg=mine")
    assert (place / "three.jpg").read_bytes() == b"a third"


def _sign_off(folder: Path, by: str, verdict: str, day: str) -> None:
    one = read_procedure(folder).procedure
    point = one.sections[0].steps[1].specs[0]  # type: ignore[index]
    old = read_review(folder)
    entry = {
        "point": point.id, "content": point_content(one, point), "verdict": verdict,
        "by": by, "role": "foreman", "date": day,
    }  # fmt: skip
    fresh = SignOff.model_validate(entry)
    said = (*(old.sign_offs if old else ()), fresh)
    plain = {"schema": "review/1", "procedure": one.id, "revision": one.revision}
    write_review(folder, ReviewSheet.model_validate({**plain, "sign_offs": said}))


def test_every_sign_off_of_both_is_kept_and_the_last_word_is_asked_for(desks: Desks) -> None:
    _sign_off(desks.folder / "theirs", "B. Check", "accepted", "2026-02-28")
    _sign_off(desks.folder / "theirs", "B. Check", "queried", "2026-03-02")
    _sign_off(desks.folder / "mine", "C. Look", "accepted", "2026-03-01")
    desks.shelve("theirs")
    with pytest.raises(
        ClashError, match=r"accepted by C\. Look, foreman, 2026-03-01, here, queried"
    ):
        desks.shelve("mine")
    desks.shelve("mine", "sign-offs/gap=library")
    sheet = read_review(desks.shop.place_of(ID))
    assert sheet is not None
    assert [(one.by, one.date[5:]) for one in sheet.sign_offs] == [
        ("B. Check", "02-28"), ("C. Look", "03-01"), ("B. Check", "03-02"),
    ]  # fmt: skip


def test_a_state_given_in_the_library_is_no_change_of_an_author(desks: Desks) -> None:
    stored = desks.shop.place_of(ID) / "procedure.yaml"
    stored.write_bytes(with_state(stored.read_bytes(), "in_review") or b"")
    desks.change("mine", note(0, "Mine"))
    assert desks.shelve("mine").did == "changed"
    assert desks.stored.state == "in_review"
    desks.change("theirs", note(1, "Theirs"))
    assert desks.shelve("theirs").did == "merged"
    assert desks.stored.state == "in_review"


def test_a_settled_revision_is_merged_only_into_the_next(desks: Desks) -> None:
    desks.change("theirs", note(1, "Theirs"))
    desks.shelve("theirs")
    stored = desks.shop.place_of(ID) / "procedure.yaml"
    approved = with_state(stored.read_bytes(), "approved") or b""
    stored.write_bytes(approved)
    desks.change("mine", note(0, "Mine"))
    with pytest.raises(InputError, match="approved in the library") as told:
        desks.shelve("mine", "all=mine")
    assert told.value.remedy == "Count the revision up"
    desks.change("mine", note(0, "Mine"), revision=2)
    done = desks.shelve("mine")
    assert (done.did, done.before) == ("merged", 1)
    assert (desks.stored.revision, desks.stored.state) == (2, "draft")
    assert [one.note for one in desks.stored.sections[0].steps] == ["Mine", "Theirs"]
    kept = desks.shop.place_of(ID) / "revisions" / "1" / "procedure.yaml"
    assert kept.read_bytes() == approved


def test_comments_of_both_are_kept(desks: Desks) -> None:
    for name, index, text in (("theirs", 1, "Theirs"), ("mine", 0, "Mine")):
        desks.change(name, note(index, text))
        file = desks.folder / name / "procedure.yaml"
        head = {"theirs": "title: ", "mine": "purpose: "}[name]
        file.write_text(file.read_text().replace(f"\n{head}", f"\n# said by {name}\n{head}"))
    desks.shelve("theirs")
    desks.shelve("mine")
    text = (desks.shop.place_of(ID) / "procedure.yaml").read_text()
    assert "\n# said by theirs\ntitle: " in text
    assert "\n# said by mine\npurpose: " in text


def test_the_report_says_what_was_kept_and_what_was_dropped(desks: Desks) -> None:
    desks.change("theirs", limits("4.60"), note(1, "Theirs"), action_of(1, "Press it in."))
    desks.change("mine", limits("4.70"), note(0, "Mine"), action_of(1, "Push it in."))
    for name in ("theirs", "mine"):
        (desks.folder / name / "media" / "one.jpg").write_bytes(name.encode())
    desks.shelve("theirs")
    done = desks.shelve("mine", "all=mine").together
    # The note of the same step was taken; limits, words and picture were not.
    assert [line.partition(": ")[2] for line in done.library] == ["note added: Theirs"]
    assert any("one.jpg" in line for line in done.mine)
    told = " ".join(done.notes)
    assert "depth was changed by both: kept 4.70 to 6.00 mm (yours), dropped 4.60 to" in told
    assert "The file 'media/one.jpg' was changed by both: kept 4 bytes" in told


def test_a_place_that_is_no_conflict_is_refused_and_nothing_is_shelved(desks: Desks) -> None:
    stored = desks.shop.place_of(ID) / "procedure.yaml"
    before = stored.read_bytes()
    for change in ((), (note(0, "Mine"),)):  # nothing new, then nothing that meets
        desks.change("mine", *change)
        with pytest.raises(InputError, match="'title', and there both have not changed"):
            desks.shelve("mine", "title=mine")
        assert stored.read_bytes() == before
    desks.change("theirs", note(0, "Theirs"))
    desks.shelve("theirs")
    with pytest.raises(ClashError) as told:
        desks.shelve("mine", "title=mine")
    assert told.value.unasked == ("title",)
    assert "--keep answers 'title'" in str(told.value)


def test_the_command_tells_both_sides_and_every_clash(desks: Desks) -> None:
    desks.change("theirs", limits("4.60"), note(1, "Theirs"))
    desks.change("mine", limits("4.70"), note(0, "Mine"))
    desks.shelve("theirs")
    folder = desks.folder / "mine"
    told = call("shelve", desks.shop.folder, folder, "--json")
    assert told.code == 2
    (clash,) = told.plain["conflicts"]
    assert told.plain["results"] == []
    assert clash == {
        "place": "steps/guard-on/specs/gap",
        "what": "Step 'Press the bearing in': depth",
        "mine": "4.70 to 6.00 mm",
        "library": "4.60 to 6.00 mm",
        "was": "4.50 to 6.00 mm",
    }
    lines = call("shelve", desks.shop.folder, folder, "--keep", "all=library").out.splitlines()
    assert lines[0].startswith("belt-guard, revision 1: brought together with what the library")
    assert lines.index("  From this folder:") < lines.index("  From the library:")
    assert lines[-1].endswith(f"reelwright library take {desks.shop.folder} belt-guard {folder}")
    (row,) = call("take", desks.shop.folder, ID, folder, "--json").plain["results"]
    assert row["did"] == "renewed"
    assert desks.stored == read_procedure(folder).procedure


# --- the law: whatever two people do, nothing is lost silently ---


def _law_base() -> Procedure:
    """Two sections of three steps, with limits, hazards, tools and comments to differ about."""
    plain = plain_base()
    number = spec(plain)
    hazard = plain["general_hazards"][0]

    def one(name: str) -> Plain:
        entry: Plain = {"id": name, "action": f"Do {name}.", "not_filmed": "Dark"}
        entry["specs"] = [{**number, "id": f"gap-{name}"}]
        entry["hazards"] = [{**hazard, "hazard": f"Edge {n} of {name}"} for n in range(2)]
        return entry | {"tools": ["caliper"], "supplies": [{"supply": "cloth"}]}

    plain["sections"] = [
        {"id": name, "title": name.title(), "steps": [one(letter) for letter in letters]}
        for name, letters in (("first", "abc"), ("second", "def"))
    ]
    plain["tools"] = [*plain["tools"], *map(_tool, ("mallet", "scraper"))]
    plain["parts"] = plain["parts"][:1]
    return load(plain).procedure


SMALL = _law_base()
STEPS = st.sampled_from("abcdef")
TEXTS = st.sampled_from(["Gently", "Twice", "By hand"])
LIMITS = st.sampled_from(["4.60", "4.70", "5.00", "5.50"])


def edit(data: st.DataObject) -> Command:
    """Draw one change as somebody at a bench makes it."""
    name, text = data.draw(STEPS), data.draw(TEXTS)
    here = ("steps", name)
    gap, fresh = (*here, "specs", f"gap-{name}"), data.draw(st.sampled_from("xyz"))
    at = data.draw(st.integers(0, 1))
    hazard = {"signal": "CAUTION", "hazard": text, "avoid": "Wait"}
    tool = data.draw(st.sampled_from(["caliper", "mallet", "scraper"]))
    return data.draw(
        st.sampled_from(
            [
                SetField((*here, data.draw(st.sampled_from(["action", "note", "reason"]))), text),
                SetField((*gap, data.draw(st.sampled_from(["lower", "upper"]))), data.draw(LIMITS)),
                SetField((*gap, data.draw(st.sampled_from(["where", "note"]))), text),
                SetField((*here, "hazards", at, "avoid"), text),
                SetField((*here, "tools"), [tool]),
                SetField((data.draw(st.sampled_from(["title", "purpose", "note"])),), text),
                SetField(("tools", tool, "name"), text),
                SetField(("unit", "name"), text),
                AddEntry((*here, "hazards"), hazard, data.draw(st.none() | st.just(0))),
                AddEntry(("tools",), {"id": fresh, "name": text}),
                AddEntry(("limits_of_use",), text),
                RemoveEntry((*here, "hazards", at)),
                RemoveEntry(gap),
                RemoveEntry(("tools", tool)),
                MoveEntry(("tools", tool), data.draw(st.integers(0, 2))),
                AddStep(f"{text} {fresh}.", id=fresh, after=name),
                AddStep(f"{text} {fresh}.", id=fresh, before=name),
                MoveSteps((name,), after=data.draw(STEPS)),
                RemoveSteps((name,)),
                RemoveSection("second", with_steps=data.draw(st.booleans())),
                SplitSection(name, text),
                MoveSection("second", "first"),
                Rename(("tools", tool), f"{tool}-{fresh}"),
            ]
        )
    )


def changed(data: st.DataObject, count: int) -> Procedure:
    found, left = SMALL, 12
    while (count or found == SMALL) and left:
        count, left = max(0, count - 1), left - 1
        any_one = data.draw(st.integers(0, 4)) == 0
        try:
            found = (command(data, found) if any_one else edit(data)).apply(found)
        except InputError:
            continue
    return found


def facts(node: Any, place: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], str]]:
    """Yield what a document says, by places that do not move when something else is put in.

    Entries with ids go by them; of the others, each content is a place of its own.
    """
    if isinstance(node, Node):
        for field in type(node).model_fields:
            yield from facts(getattr(node, field), (*place, field))
    elif isinstance(node, tuple):
        for entry in node:
            if hasattr(entry, "action"):  # a step is the same one wherever it stands
                yield ("step", entry.id, "in"), str(place)
                yield from facts(entry, ("step", entry.id))
            elif hasattr(entry, "id"):
                yield (*place, entry.id), "there"
                yield from facts(entry, (*place, entry.id))
            else:
                said = entry.model_dump_json() if isinstance(entry, Node) else str(entry)
                yield (*place, said), "there"
    elif node is not None:
        yield place, format(node, "f") if isinstance(node, Decimal) else str(node)


def merged(mine: Procedure, theirs: Procedure, side: str = "") -> tuple[Procedure | None, Answers]:
    answers = Answers({"all": side} if side else None)  # type: ignore[dict-item]
    return merge_procedures(SMALL, mine, theirs, answers), answers


LAW = settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow], deadline=None)


@LAW
@given(st.data(), st.integers(1, 3))
def test_both_are_in_it_or_a_clash_names_both(data: st.DataObject, count: int) -> None:
    mine, theirs = changed(data, count), changed(data, count)
    found, answers = merged(mine, theirs)
    was, here, there = (dict(facts(one)) for one in (SMALL, mine, theirs))
    if found is None:
        assert answers.open
        for clash in answers.open:
            assert clash.what
            if clash.place:
                assert clash.mine and clash.theirs and clash.was
                assert clash.mine in str(clash) and clash.theirs in str(clash)
        return
    now = dict(facts(found))
    for place in {*was, *here, *there}:
        old, one, other = (side.get(place) for side in (was, here, there))
        if one != old:
            assert now.get(place) == one, f"mine is lost at {place}"
        if other != old:
            assert now.get(place) == other, f"theirs is lost at {place}"
        if one == other == old:
            assert now.get(place) == old, f"nobody changed {place}"
    assert not now.keys() - was.keys() - here.keys() - there.keys()


@LAW
@given(st.data(), st.integers(1, 3))
def test_it_does_not_matter_who_comes_first(data: st.DataObject, count: int) -> None:
    mine, theirs = changed(data, count), changed(data, count)
    found, answers = merged(mine, theirs)
    other, reverse = merged(theirs, mine)
    assert {one.place for one in answers.open} == {one.place for one in reverse.open}
    if found is None or other is None:
        assert found is other
        return
    assert found.model_dump_json() == other.model_dump_json()
    for side, opposite in (("mine", "library"), ("library", "mine")):
        assert merged(mine, theirs, side)[0] == merged(theirs, mine, opposite)[0]


def test_new_entries_of_a_list_without_an_order_stand_alike_either_way() -> None:
    mine = AddEntry(("tools",), {"id": "x", "name": "X"}).apply(SMALL)
    theirs = AddEntry(("tools",), {"id": "k", "name": "K"}).apply(SMALL)
    orders = []
    for one, other in ((mine, theirs), (theirs, mine)):
        found, _ = merged(one, other)
        assert found is not None
        orders.append([tool.id for tool in found.tools])
    assert orders == [["caliper", "mallet", "scraper", "k", "x"]] * 2


def test_what_only_the_folder_can_mend_is_told_when_all_else_is_answered() -> None:
    """Whether a word is still named hangs on the answer."""
    mine = SetField(("steps", "a", "tools"), ["caliper", "mallet"]).apply(SMALL)
    theirs = Rename(("tools", "caliper"), "calip").apply(SMALL)
    assert [one.place for one in merged(mine, theirs)[1].open] == ["steps/a/tools"]
    (left,) = merged(mine, theirs, "mine")[1].open
    assert "'caliper' is still named" in str(left)
    assert merged(mine, theirs, "library")[0] == theirs


@LAW
@given(st.data(), st.integers(1, 3))
def test_an_answer_leaves_nothing_open_but_what_only_the_folder_can_mend(
    data: st.DataObject, count: int
) -> None:
    mine, theirs = changed(data, count), changed(data, count)
    for side in ("mine", "library"):
        found, answers = merged(mine, theirs, side)
        assert [one.place for one in answers.open if one.place] == []
        if found is not None:
            plain = json.loads(found.model_dump_json(by_alias=True))
            assert plain["id"] in {mine.id, theirs.id}
