"""Words: what is told of a sentence, and that good sentences are left alone."""

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.checks.text import Phrases, count_words, sentences, tokens
from author.checks.wording import UNWRITTEN
from document.samples import Plain, base, changed, judge, rules, spec, step
from document.sentences import BAD_TEXTS, GOOD_ACTIONS, GOOD_TEXTS

Change = Callable[[Plain], Any]


def say(text: str) -> Change:
    """Let the first step say it: an action, or the key that stands before it."""
    key, colon, words = text.partition(": ")
    words = words.strip('"')

    def change(plain: Plain) -> None:
        first = step(plain, 0)
        if colon and key in {"note", "reason"}:
            first[key] = words
        elif colon and key in {"characteristic", "where"}:
            spec(plain)[key] = words
        elif colon and key == "accept":
            first["criteria"] = [
                {"id": "look", "look_for": "Wear", "accept": words, "otherwise": "Stop"}
            ]
        elif colon and key == "what":
            first["critical_points"] = [
                {"id": "so", "kind": "criterion", "what": words, "source": "card"}
            ]
        elif colon and key == "when":
            ways = [{"when": words, "step": "guard-on"}, {"when": "else", "stop": "Ask"}]
            first["decision"] = {"question": "How is it", "ways": ways}
        else:
            first["action"] = text

    return change


def german(plain: Plain) -> None:
    plain["language"] = "de"


def real(plain: Plain) -> None:
    plain["data"] = "shop"
    plain["sources"][0].update(kind="shop", title="Shop card BD-2")


# rule, changes that break it, changes that come near and do not.
WORDING_CASES: list[tuple[str, list[Change], list[Change]]] = [
    ("wording.unwritten", [lambda p: p.update(purpose=UNWRITTEN)], []),
    ("wording.demo_data", [lambda p: p.update(data="shop")], [real]),
    ("wording.demo_data", [real, lambda p: p.update(notice="From invented demo data")], []),
    ("wording.unwritten", [lambda p: p.update(limits_of_use=[f"{UNWRITTEN} later"])], []),
    ("wording.unprintable", [say("note: Mind the edge \U0001f527")],
     [say("note: ⚠ 5 µm, 12 °C, ⌀ 8 ±½, l’arbre – no more")]),
    ("wording.unprintable", [lambda p: p.update(purpose="日")], [lambda p: p.update(purpose="Я")]),
    ("wording.unprintable", [lambda p: spec(p).update(note=f"{UNWRITTEN} \U0001f527")], []),
    ("wording.length", [say("Pull " + "it " * 19 + "off.")], [say("Pull " + "it " * 18 + "off.")]),
    # A number with its unit is one word, a sign is none.
    ("wording.length", [say("Set " + "it " * 19 + "to 5 N·m.")],
     [say("Set " + "it " * 17 + "– to 5 N·m.")]),
    # Each sentence is counted by itself.
    ("wording.length", [], [say("Pull " + "it " * 15 + "off. It sits " + "very " * 15 + "tight.")]),
    ("wording.length", [german, say("Den " + "sehr " * 20 + "fest ziehen.")],
     [german, say("Den " + "sehr " * 16 + "fest ziehen.")]),
    ("wording.sentences", [say("Undo the nut. It turns to the right.")],
     [say("Undo nut No. 3, approx. at the mark.")]),
    ("wording.actions", [say("Undo the nut, take the ring off, and lift the wheel out.")],
     [say("Undo the nut, and lift the wheel out.")]),
    ("wording.actions", [say("Undo the nut. Lift the wheel out.")],
     [say("Lock and tag the switch, then try to start.")]),
    # Waiting and holding are no actions of their own.
    ("wording.actions", [], [say("Hold the bolt, undo the nut, let it cool, and read the dial.")]),
    ("wording.imperative", [say("The nut is tightened.")], [say("Zorb the nut.")]),
    ("wording.imperative", [say("If it is loose, you tighten it.")],
     [say("If it is loose, tighten it.")]),
    ("wording.imperative", [], [german, say("The nut is tightened.")]),
    ("wording.condition", [say("Tighten it if it is loose.")],
     [say("Tighten it until it clicks.")]),
    ("wording.condition", [], [say("Read the dial; if it moves, turn the screw.")]),
    ("wording.and_or", [say("when: a is on and b is up or c is off")],
     [say("when: a lies between 1 and 2 mm, or b is up")]),
    ("wording.and_or", [], [say("If the belt is cracked or oily, take it off and bin it.")]),
    ("wording.negative", [say("If the valve is not open, turn it.")],
     [say("If the shaft does not turn, stop.")]),
    ("wording.vague", [say("Add some oil.")], [say("Add oil up to the mark.")]),
    ("wording.vague", [say("accept: It is sufficiently dry")], [say("note: Add some oil")]),
    ("wording.vague", [say("what: The strap is tight")], [say("Pull the strap tight.")]),
    ("wording.vague", [lambda p: step(p, 0).update(
        witness={"what": "The ring is properly seated", "role": "technician"})], []),
    ("wording.reckoned", [say("Tighten to 50 % of the torque.")],
     [say("Read the gauge at 50 % of the stroke.")]),
    ("wording.reckoned", [say("accept: It is 5 mm deeper than the other, minus 2 mm")],
     [say("Set it to 12 mm, plus or minus 1 mm.")]),
    ("wording.acceptance", [say("accept: Looks OK.")],
     [say("accept: Good contact over the whole tooth")]),
]  # fmt: skip


def told(text: str) -> list[str]:
    """Rules about words and hazards that speak of a text, on a machine that was made safe."""
    safe = {"id": "off", "what": "The machine is locked out and its pressure is let off"}
    found = rules(changed(lambda p: p.update(prerequisites=[safe]), say(text)))
    return [rule for rule in found if rule.startswith(("wording.", "hazards."))]


GOOD = [line for line in (GOOD_ACTIONS + GOOD_TEXTS).splitlines() if line]
BAD = [line.split(" | ", 1) for line in BAD_TEXTS.splitlines() if line]


def test_there_are_enough_sentences() -> None:
    assert len(set(GOOD)) == len(GOOD) >= 120
    assert len({text for _, text in BAD}) == len(BAD) >= 80


@pytest.mark.parametrize("text", GOOD)
def test_nothing_is_said_of_a_good_sentence(text: str) -> None:
    assert told(text) == []


@pytest.mark.parametrize(("rule", "text"), BAD)
def test_just_that_is_said_of_a_bad_sentence(rule: str, text: str) -> None:
    assert told(text) == [rule]


def test_a_place_to_be_written_is_told_once() -> None:
    plain = changed(say(f"{UNWRITTEN} some action. You do it if it is loose."))
    assert rules(plain) == ["wording.unwritten"]


def test_a_remark_names_the_words_and_their_place() -> None:
    remark = next(
        r for r in judge(changed(say("Oil it properly."))).remarks if r.rule.id == "wording.vague"
    )
    assert remark.path == ("sections", 0, "steps", 0, "action")
    assert "'properly'" in remark.problem
    (remark,) = judge(changed(say("If the valve is not open, turn it."))).remarks
    assert remark.remedy == "Say 'closed'"
    (remark,) = judge(changed(say("Undo the nut, pull the ring off and oil the axle."))).remarks
    assert remark.problem == "the action asks for undo, pull, oil"


def test_english_words_are_looked_for_in_english_alone() -> None:
    texts = ["Add some oil if it is dry.", "The nut is tightened.", "Caution: hot."]
    for text in texts:
        for language in ("en", "en-GB"):
            assert told(text)
            assert rules(changed(say(text), lambda p, tag=language: p.update(language=tag)))
        assert rules(changed(say(text), german)) == []


SENTENCES: list[tuple[str, list[str]]] = [
    ("Undo nut No. 3. Lift it.", ["Undo nut No. 3.", "Lift it."]),
    ("Use cable cutters, e.g. Type A.", ["Use cable cutters, e.g. Type A."]),
    ("Warm it to 80 °C max. Then press it in.", ["Warm it to 80 °C max.", "Then press it in."]),
    ("Warm it to max. 80 °C.", ["Warm it to max. 80 °C."]),
    ("Set it to 1.5. Read 2.75 mm.", ["Set it to 1.5.", "Read 2.75 mm."]),
    ("Cut it 12 in. long.", ["Cut it 12 in. long."]),
    ("Cut it to 12 in. Drill it.", ["Cut it to 12 in.", "Drill it."]),
    ("Fit screw A. Turn it.", ["Fit screw A.", "Turn it."]),
    ("1. Undo the nut.", ["1. Undo the nut."]),
    ("Start at 9 a.m. by the clock.", ["Start at 9 a.m. by the clock."]),
    ("Start at 9 a.m. Stop at ten.", ["Start at 9 a.m.", "Stop at ten."]),
    ("Use class 12.9. Class 8.8 stretches.", ["Use class 12.9.", "Class 8.8 stretches."]),
    ("Take the washer off. lift the wheel.", ["Take the washer off. lift the wheel."]),
    ("Lift the wheel. take the washer off.", ["Lift the wheel.", "take the washer off."]),
    ("Stop! Pull the plug.", ["Stop!", "Pull the plug."]),
    ("Is it dry? Oil it.", ["Is it dry?", "Oil it."]),
    ("Turn … until it clicks.", ["Turn … until it clicks."]),
    ("Pull it off (see fig. 3). Clean it.", ["Pull it off (see fig. 3).", "Clean it."]),
    ("Remove hose, clamp, etc. from the pump.", ["Remove hose, clamp, etc. from the pump."]),
    ("Fit M6 brg. BW-101.", ["Fit M6 brg. BW-101."]),
    ("No stop at all", ["No stop at all"]),
]


@pytest.mark.parametrize(("text", "cut"), SENTENCES, ids=[s[0] for s in SENTENCES])
def test_sentences(text: str, cut: list[str]) -> None:
    assert sentences(text) == cut


WORDS = {
    "Press it in": 3,
    "Set it to 5 N·m.": 4,
    "Set it to 5N·m.": 4,
    "Screw the M16 × 1.5 nut on.": 5,
    "A 17 × 40 × 12 mm bearing": 3,
    "Fit bearing 6203-2RS (BW-101).": 4,
    "Drill at 3, 6 and 12 o'clock": 6,
    "Drill at 12 o’clock": 3,
    "Close it at 9:30.": 4,
    "Cut 1 1/2 in off": 3,
    "From 5 to 10 °C": 4,
    "A gap of 0.05–0.10 mm": 4,
    "Fill 3.2 L – not more – of SAE 10W-40 oil": 8,
    "½ turn": 2,
    "Use class 12.9 at ± 5 %": 5,
    "e.g. soft-faced, and/or the owner's": 5,
    "— : ; ( )": 0,
}


@pytest.mark.parametrize(("text", "count"), WORDS.items())
def test_words_are_counted_as_they_are_read(text: str, count: int) -> None:
    assert count_words(tokens(text)) == count


def test_tokens_keep_what_parts_clauses() -> None:
    assert tokens("Don’t lift 5 kg (M16 × 1.5), then: go.") == [
        "don't", "lift", "#", "(", "m16 × 1.5", ")", ",", "then", ":", "go",
    ]  # fmt: skip


PLAIN = st.sampled_from(["wheel", "ring", "the", "clean", "over", "press", "slowly", "bearing"])
ODD = st.sampled_from([
    "0.05 mm", "12.9", "No. 3", "approx. 5 mm", "e.g. a rag", "BW-101", "M16 × 1.5", "6203-2RS",
    "fig. 2", "i.e. dry", "9:30", "3 o'clock", "max. 40 °C", "incl. seals", "1/8 in. dowels",
])  # fmt: skip


@given(st.lists(st.lists(st.one_of(PLAIN, ODD), max_size=6), min_size=1, max_size=5))
def test_nothing_but_the_end_of_a_sentence_ends_it(bodies: list[list[str]]) -> None:
    said = [" ".join(["Take", *body, "away."]) for body in bodies]
    assert sentences(" ".join(said)) == said


@given(st.text(max_size=200))
def test_any_text_is_cut_without_loss(text: str) -> None:
    assert "".join("".join(sentences(text)).split()) == "".join(text.split())
    assert 0 <= count_words(tokens(text)) <= len(text)


@given(st.text(max_size=60), st.text(max_size=60))
def test_words_of_two_lines_add_up(one: str, other: str) -> None:
    both = tokens(f"{one} ; {other}")
    assert count_words(both) == count_words(tokens(one)) + count_words(tokens(other))


@given(st.text(alphabet="abc ,.;:()#if the nut is loose tighten", max_size=120))
def test_no_text_breaks_the_rules(text: str) -> None:
    line = " ".join(text.split())
    judge(changed(say(f"Do {line}".strip())))


SLOW = [
    "1-", "1 1/1-", "1×", ".", "a.", "a-", "9", "if a, ", "if ", "and ", "(a ", "the ", "all ",
    "1. ", "springs ", "between ", "either ", "tight ", "then ", "lock ", "if you are, ",
]  # fmt: skip


@pytest.mark.parametrize("part", SLOW)
def test_no_line_is_made_to_be_slow(part: str) -> None:
    """Each would take longer than anybody waits if its length told more than as a square."""
    line = (part * 400)[:399].strip()
    hazard = {"signal": "WARNING", "hazard": line, "consequence": line, "avoid": line}
    judge(changed(
        say(line), say(f"accept: {line}"), lambda p: step(p, 0).update(hazards=[hazard])
    ))  # fmt: skip


def test_phrases_are_whole_words_in_any_case() -> None:
    found = Phrases("a little, press(ed)? … hard, torqu*, # ?mm")
    assert found.search("Add A  Little oil")
    assert found.search("Pressed in very hard")
    assert found.search("the torque is 5")
    assert found.search("0.05mm")
    assert not found.search("a littler, it is pressed. Hard. 5 mmm")
    assert base()["language"] == "en"
