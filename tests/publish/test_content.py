"""What is printed, before it is set."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.checks import check
from author.contract import read_procedure
from author.contract.procedure_file import as_plain
from author.errors import InputError
from author.procedure.quantities import Limits
from author.procedure.units import all_units
from author.publish import glyphs, number_texts
from author.publish.content import labour_text, page_data, texts
from author.resources import schema_folder
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


def test_a_round_without_a_nominal_is_told_as_a_share():
    shown = limits("N·m", "70", None, "90")
    assert number_texts.pass_texts(50, shown) == ("50 % of the final torque", None)


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
    places = {text: place for place, text in texts(page_data(sample.draft(), {}))}
    assert places["Close the press shield and stand beside it."] == "step 5 (press-in)"
    assert places["Tab washer"] == "the list of parts"


def test_missing_characters_are_named_with_their_place():
    with pytest.raises(InputError) as caught:
        glyphs.refuse_missing([("step 3 (nut)", "fine"), ("step 4 (bore)", "x 日 y 한 日")])
    message = str(caught.value)
    assert message.startswith("step 4 (bore) has characters that cannot be printed: “日” (U+65E5")
    assert "U+D55C HANGUL SYLLABLE HAN" in message
    assert message.count("日") == 1


def test_the_trade_s_characters_are_there():
    glyphs.refuse_missing([("here", "µΩ°±≤≥⌀×·−→“”…½⚠ äßçñ αβ Я")])
    assert ord("日") not in glyphs.drawable()


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
    for words in ("kept to go back", "(once)", "accept a reading of", "set the wrench to"):
        assert words in printed, words
