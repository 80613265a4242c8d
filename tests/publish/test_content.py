"""What is printed, before it is set."""

import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from author.checks import check
from author.contract import read_procedure
from author.contract.procedure_file import as_plain
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.quantities import Limits
from author.procedure.review import ReviewSheet, point_content
from author.procedure.units import all_units
from author.publish import glyphs, number_texts
from author.publish.content import labour_text, page_data, texts
from author.publish.signatures import Signature, signatures_of
from author.resources import schema_folder
from author.resources.printable import drawable
from publish import sample

VALID = schema_folder() / "examples" / "valid"


def limits(unit, lower=None, nominal=None, upper=None):
    values = [None if v is None else Decimal(v) for v in (lower, nominal, upper)]
    return Limits(*values, all_units()[unit])


@pytest.mark.parametrize(
    ("given_limits", "text", "second"),
    [
        (limits("mm", "39.967", None, "39.992"), "39.967 to 39.992 mm", "(1.57351 to 1.57448 in)"),
        (limits("kN", upper="8.0"), "max 8.0 kN", "(max 1798 lbf)"),
        (limits("mm", lower="0.5"), "min 0.5 mm", "(min 0.020 in)"),
        (limits("mm", nominal="12"), "12 mm", "(0.47 in)"),
        (limits("°C", "-5", None, "20"), "−5 to 20 °C", "(23 to 68 °F)"),
        (limits("°", "89", None, "91"), "89 to 91°", None),
        (limits("mm", "4.50", None, "4.50"), "exactly 4.50 mm", None),
        (limits("mm", "5", None, "4"), "5 to 4 mm", None),
    ],
)
def test_limits_are_read_in_both_units(given_limits, text, second):
    assert number_texts.range_text(given_limits) == text
    assert number_texts.second_text(given_limits) == second


def test_the_nominal_stands_beside_the_range():
    shown = limits("mm", "4.45", "4.50", "4.60")
    assert number_texts.range_text(shown) == "4.45 to 4.60 mm"
    assert number_texts.nominal_text(shown) == "nominal 4.50 mm (0.1772 in)"
    assert number_texts.nominal_text(limits("mm", nominal="4.50")) is None


@pytest.mark.parametrize(
    ("nominal", "percent", "text"),
    [
        ("80", 50, "40 N·m"),
        ("9.5", 50, "4.8 N·m"),
        ("9.50", 50, "4.75 N·m"),
        ("8", 30, "2.4 N·m"),
        ("80", 100, "80 N·m"),
        ("0.9", 33, "0.30 N·m"),
    ],
)
def test_a_round_of_tightening_is_told_in_absolute_torque(nominal, percent, text):
    assert number_texts.pass_texts(percent, limits("N·m", nominal=nominal))[0] == text


@pytest.mark.parametrize(
    ("lower", "upper", "percent", "text"),
    [
        ("20", "24", 50, "10 to 12 N·m (50 %)"),
        ("8.5", "10.5", 50, "4.3 to 5.2 N·m (50 %)"),
        ("20", "21", 50, "10.0 to 10.5 N·m (50 %)"),
        ("70", "90", 100, "70 to 90 N·m (100 %)"),
        (None, "25", 60, "max 15 N·m (60 %)"),
    ],
)
def test_a_round_without_a_nominal_is_told_in_torque_with_its_share(lower, upper, percent, text):
    said, second = number_texts.pass_texts(percent, limits("N·m", lower, None, upper))
    assert said.replace("\u00a0", " ") == text
    assert second is not None and "lbf" in second


@pytest.mark.parametrize(
    ("duration", "text"), [("PT2H30M", "2 h 30 min"), ("PT45M", "45 min"), ("PT3H", "3 h")]
)
def test_labour_time_is_read_in_hours_and_minutes(duration, text):
    assert labour_text(duration) == text


def steps_of(data):
    return {step["id"]: step for section in data["sections"] for step in section["steps"]}


def test_a_hazard_has_its_parts_in_order():
    """ANSI Z535.6 and OASIS DITA hazardstatement: word, hazard, consequence, avoidance."""
    step = steps_of(page_data(sample.draft(), {}))["guard-off"]
    assert [*step["hazards"][0]] == ["signal", "hazard", "consequence", "avoid"]


def test_step_hazards_are_listed_gravest_first():
    found = page_data(sample.draft(), {})["step_hazards"]
    assert [h["signal"] for h in found] == ["WARNING", "WARNING", "CAUTION", "NOTICE", "NOTICE"]
    assert found[0]["step"] == {"text": "step 1", "to": "step-1", "paged": True}


def test_a_hazard_of_several_steps_is_listed_once_with_all_of_them():
    document = sample.document()
    steps = document["sections"][0]["steps"]
    steps[1]["hazards"].append(steps[0]["hazards"][0])
    rows = page_data(sample.draft(**document), {})["hazards_by_step"]
    assert [r["signal"] for r in rows] == ["WARNING", "WARNING", "CAUTION", "NOTICE", "NOTICE"]
    assert [step["text"] for step in rows[0]["steps"]] == ["step 1", "step 2"]


def test_ways_on_lead_to_steps_procedures_and_stops():
    ways = steps_of(page_data(sample.draft(), {}))["measure-bore"]["decision"]["ways"]
    assert ways[0]["reference"]["to"] == "step-5"
    assert ways[2]["text"] == "procedure sleeve-the-hub"
    assert ways[3]["kind"] == "stop"


def test_one_box_for_each_reading_or_fastener():
    steps = steps_of(page_data(sample.draft(), {}))
    assert len(steps["measure-bore"]["specs"][0]["boxes"]) == 4
    assert steps["measure-bore"]["specs"][2]["boxes"] == []
    assert steps["tighten-nut"]["specs"][0]["boxes"] == [""]
    assert steps["fit-guard"]["specs"][0]["boxes"][:3] == ["A", "C", "B"]


def test_fasteners_carry_their_rank():
    torque = steps_of(page_data(sample.draft(), {}))["fit-guard"]["specs"][0]["torque"]
    assert [f["rank"] for f in torque["pattern"]] == [1, 3, 2, 4]
    assert [p["value"] for p in torque["passes"]] == ["4.8 N·m", "9.5 N·m"]


def test_a_draft_may_name_what_is_not_there():
    document = sample.document(tools="none", parts="none", sources="none", people="none")
    document["sections"][1]["steps"][0]["decision"]["ways"][0]["step"] = "nowhere"
    data = page_data(sample.draft(**document), {})
    way = steps_of(data)["measure-bore"]["decision"]["ways"][0]["reference"]
    assert way == {"text": "step “nowhere” (not in this procedure)", "to": None, "paged": False}


def test_texts_know_their_place():
    found = [*texts(page_data(sample.draft(), {}))]
    places = {text: place for place, text in reversed(found)}
    assert places["Close the press shield and stand beside it."] == "step 5 (press-in)"
    assert places["Tab washer"] == "the list of parts"


PLACES = {
    "people": "the list of people",
    "prerequisites": "the list of prerequisites",
    "parts": "the list of parts",
    "tools": "the list of tools",
    "supplies": "the list of supplies",
    "stacks": "the list of stacks",
    "general_hazards": "the list of general hazards",
    "chains": "the list of dimension chains",
    "close_outs": "the list of close-outs",
    "findings": "the list of findings",
    "concessions": "the list of concessions",
    "changes": "the list of changes",
    "sources": "the list of sources",
    "recordings": "the list of recordings",
}


def place_of(path, plain):
    """Return where a text of a document is printed, in words."""
    if path[0] != "sections":
        return PLACES.get(path[0], "the front matter")
    if path[2] != "steps":
        return f"section {path[1] + 1}"
    before = sum(len(section["steps"]) for section in plain["sections"][: path[1]])
    step = plain["sections"][path[1]]["steps"][path[3]]
    return f"step {before + path[3] + 1} ({step['id']})"


def with_text(node, path, text):
    """Return a document with the text at a path changed, sharing all else."""
    if not path:
        return text
    copied = node.copy()
    copied[path[0]] = with_text(node[path[0]], path[1:], text)
    return copied


def test_every_unit_can_be_printed():
    assert {letter for symbol in all_units() for letter in symbol} <= {
        chr(one) for one in drawable()
    }


def test_a_missing_glyph_is_refused_in_every_text_and_its_place_is_named():
    plain = as_plain(read_procedure(VALID / "everything-once.yaml").procedure)
    tried, fixed = set(), set()
    for path, text in strings(plain):
        kind = tuple("*" if isinstance(key, int) else key for key in path)
        if kind in tried | fixed or "si" in kind:  # derived, and not printed
            continue
        try:
            changed = Procedure.model_validate_json(
                json.dumps(with_text(plain, path, f"{text} \u65e5"))
            )
        except ValidationError:  # an id, a number or a word of a list
            fixed.add(kind)
            continue
        tried.add(kind)
        with pytest.raises(InputError) as caught:
            glyphs.refuse_missing(texts(page_data(check(changed).draft, {})))
        # The check says so first, and where.
        said = [one.path for one in check(changed).remarks if one.rule.id == "wording.unprintable"]
        assert said == [path], path
        # A part's name is printed at the steps too; the list of parts comes first.
        assert str(caught.value).startswith(f"{place_of(path, plain)} has characters"), path
    assert len(tried) > 80


def test_missing_characters_are_named_with_their_place():
    with pytest.raises(InputError) as caught:
        glyphs.refuse_missing([("step 3 (nut)", "fine"), ("step 4 (bore)", "x 日 y 한 日")])
    message = str(caught.value)
    assert message.startswith("step 4 (bore) has characters that cannot be printed: “日” (U+65E5")
    assert "U+D55C HANGUL SYLLABLE HAN" in message
    assert message.count("日") == 1


def test_the_trade_s_characters_are_there():
    glyphs.refuse_missing([("here", "µΩ°±≤≥⌀×·−→“”…½⚠ äßçñ αβ Я")])
    assert ord("日") not in drawable()


@given(st.text(max_size=300))
def test_breaks_change_no_text(text):
    assert glyphs.with_breaks(text).replace(glyphs.BREAK, "") == text.replace(glyphs.BREAK, "")


def test_only_very_long_words_get_breaks():
    assert (
        glyphs.with_breaks("countersunk 39.967 clips/07.mp4") == "countersunk 39.967 clips/07.mp4"
    )
    assert glyphs.BREAK in glyphs.with_breaks("A" * 40)
    assert glyphs.BREAK in glyphs.with_breaks("BW101/2RS/C3/P6")
    assert glyphs.with_breaks("replace-guide-blocks") == "replace-guide-blocks"
    assert glyphs.with_breaks("2026-03-02") == "2026-03-02"
    assert glyphs.with_breaks("SC-BW-101-2RS-C3") == f"SC-BW-{glyphs.BREAK}101-{glyphs.BREAK}2RS-C3"


def strings(node, path=()):
    if isinstance(node, str):
        yield path, node
    elif isinstance(node, dict):
        for key, value in node.items():
            yield from strings(value, (*path, key))
    elif isinstance(node, list):
        for index, value in enumerate(node):
            yield from strings(value, (*path, index))


@pytest.mark.parametrize("file", sorted(VALID.glob("*.yaml")), ids=lambda f: f.stem)
def test_no_words_of_the_document_are_left_out(file):
    procedure = read_procedure(file).procedure
    data = page_data(check(procedure).draft, {})
    printed = " ".join(text for _, text in texts(data)).replace("\u00a0", " ")
    words = [(path, text) for path, text in strings(as_plain(procedure)) if " " in text]
    assert len(words) > 20
    assert [(path, text) for path, text in words if text not in printed] == []


def test_what_passes_between_procedures_and_how_often_is_said():
    data = page_data(check(read_procedure(VALID / "everything-once.yaml").procedure).draft, {})
    printed = " ".join(text for _, text in texts(data))
    for words in ("kept to go back", "(once)", "set the wrench to"):
        assert words in printed, words


def test_readings_accepted_under_a_guard_band_stand_beside_their_limits():
    data = page_data(check(read_procedure(VALID / "everything-once.yaml").procedure).draft, {})
    ranges = {
        spec["characteristic"]: (spec["range"], spec["guarded"])
        for spec in data["numbers"]
        if spec["guarded"]
    }
    assert ranges == {
        "Bore of the bearing seats, 40 K7": ("39.982 to 40.007 mm", "39.984 to 40.005 mm"),
        "Torque of the cartridge bolts": ("20.0 to 22.0 N·m", "20.2 to 21.8 N·m"),
    }


def signed(*said, revision=3):
    """Return the sample and its sheet: each sign-off is who, role, verdict, place, content."""
    procedure = sample.draft().procedure
    points = [point for _, _, point in procedure.placed_points()]
    sign_offs = [
        {
            "point": points[place].id,
            "content": content or point_content(procedure, points[place]),
            "verdict": verdict,
            "by": by,
            "role": role,
            "date": date,
        }
        for by, role, verdict, place, content, date in said
    ]
    sheet = {"schema": "review/1", "procedure": procedure.id, "revision": revision}
    return procedure, ReviewSheet.model_validate({**sheet, "sign_offs": tuple(sign_offs)})


def test_signatures_say_who_signed_what_in_what_role_and_when():
    procedure, sheet = signed(
        ("K. O.", "Keeper", "queried", 0, None, "2026-03-01"),
        ("k.o.", "Keeper", "accepted", 0, None, "2026-03-04"),
        ("K. O.", "Keeper", "accepted", 1, None, "2026-03-02"),
        ("K. O.", "Keeper", "queried", 2, None, "2026-03-03"),
        ("M. T.", "Second fitter", "accepted", 0, "0" * 64, "2026-03-03"),
    )
    count = len([*procedure.placed_points()])
    keeper, fitter = signatures_of(procedure, sheet)
    assert (keeper.role, keeper.date) == ("Keeper", "2026-03-04")
    assert keeper.what == f"2 of {count} numbers and points accepted; QUERIED: step 4"
    assert fitter.what == (
        f"0 of {count} numbers and points accepted; 1 changed since, to be signed anew"
    )


def test_a_lapsed_word_and_a_strangers_are_gone_once_somebody_known_has_accepted():
    said = [
        ("Bö Chek", "wizard", "accepted", 0, None, "2026-03-01"),
        ("M. T.", "Fitter", "accepted", 1, "0" * 64, "2026-03-01"),
    ]
    procedure, sheet = signed(*said)
    rows = signatures_of(procedure, sheet, ["Bö Chek"])
    assert [row.name for row in rows] == ["Bö Chek", "M. T."]
    assert rows[0].what.endswith("NOT KNOWN to the library")
    bo = [("Bo Check", "reviewer", "accepted", at, None, "2026-03-02") for at in (0, 1)]
    procedure, sheet = signed(*said, *bo)
    assert [row.name for row in signatures_of(procedure, sheet, ["Bö Chek"])] == ["Bo Check"]


def test_who_signs_off_and_signs_with_a_key_has_one_row():
    signatures = [
        Signature("reviewer", "bo check", "3 of 3 accepted", "2026-03-01"),
        Signature("Reviewer", "Bo Check", "approved, with a key", "2026-03-02"),
    ]
    rows = page_data(sample.draft(), {}, signatures)["signatures"]
    assert rows[1:] == [
        {
            "role": "Reviewer",
            "name": "Bo Check",
            "what": "3 of 3 accepted; approved, with a key",
            "date": "2026-03-02",
        }
    ]


def test_sign_offs_of_another_revision_sign_nothing():
    procedure, sheet = signed(("K. O.", "Keeper", "accepted", 0, None, "2026-03-01"), revision=2)
    assert signatures_of(procedure, sheet) == ()
    assert signatures_of(procedure, None) == ()


def test_who_has_not_signed_stands_there_without_a_date():
    rows = page_data(sample.draft(review={"authors": ["A. R."]}), {})["signatures"]
    assert [(r["role"], r["name"], r["what"], r["date"]) for r in rows] == [
        ("Author", "A. R.", None, None),
        ("Reviewer", "", None, None),
    ]
    signature = Signature("Keeper", "K. O.", "3 of 3 accepted", "2026-03-01")
    rows = page_data(sample.draft(), {}, [signature])["signatures"]
    assert [r["role"] for r in rows] == ["Author", "Keeper"]


def test_a_film_is_named_by_its_file():
    clip = steps_of(page_data(sample.draft(), {}))["wheel-off"]["clip"]
    assert (clip["film"], clip["path"]) == ("phone.mp4", None)
