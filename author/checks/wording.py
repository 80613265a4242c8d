"""Actions a person takes in at one reading and can do without guessing or reckoning."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from pydantic import BaseModel

from author.checks import clauses
from author.checks.remarks import Path, Remark, Subject, remark
from author.checks.text import Phrases, count_words, sentences, tokens
from author.checks.vague import no_observation, reckoned, vague
from author.procedure.document import Procedure
from author.procedure.specs import LimitSpec
from author.procedure.steps import Step
from author.resources.printable import unprintable

_MOST_WORDS = 20
_MOST_ORDERS = 2
# What `reelwright new` writes where only a person knows the words.
UNWRITTEN = "(to be written)"
# Both words of such pairs name one thing, or both ends of a range.
_INVENTED = re.compile(r"\b(?:demo|demonstration|invented)(?: data)?\b", re.IGNORECASE)
_PAIRS = Phrases(
    """
    between … and, either … or, (back|to) and (forth|fro), (up|in|on) and (down|out|off),
    more or less, (one|two|three) or (two|more|three|four), nuts? and bolts?, lock and tag
    """
)
_AND = Phrases("and")
_OR = Phrases("or")
_OPPOSITES = {
    "open": "closed", "closed": "open", "shut": "open", "on": "off", "off": "on",
    "locked": "unlocked", "unlocked": "locked", "engaged": "disengaged",
    "disengaged": "engaged", "connected": "disconnected", "disconnected": "connected",
    "running": "stopped",
}  # fmt: skip
_NOT = re.compile(
    rf"\b(?:is|are|has|does|do)(?:\s+not|n['’]t)\s+({'|'.join(_OPPOSITES)})(?=\s*(?:[,;.)]|$|then\b))",
    re.IGNORECASE,
)


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on the words of a procedure.

    Rules about English words ask nothing of a procedure in another language.
    """
    yield from _marks(subject.procedure, ())
    yield from _demo_data(subject.procedure)
    language = subject.procedure.language
    english = language == "en" or language.startswith("en-")
    for placed in subject.procedure.placed_steps():
        action = placed.step.action
        if action.startswith(UNWRITTEN):
            continue
        said = [tokens(sentence) for sentence in sentences(action)]
        path = (*placed.path, "action")
        count = max(map(count_words, said))
        if count > _MOST_WORDS:
            yield remark("wording.length", f"the action has {count} words", path)
        if english:
            yield from _orders([clauses.without_asides(words) for words in said], path)
            yield from _in_words(placed.step, placed.path)


def _demo_data(procedure: Procedure) -> Iterator[Remark]:
    """Look whether what is marked as real work says of itself that it is invented."""
    if procedure.data != "shop":
        return
    for index, source in enumerate(procedure.sources):
        if source.kind == "demo" or _INVENTED.search(source.title):
            said = f"real work rests on '{source.title}'"
            yield remark("wording.demo_data", said, ("sources", index))
    texts: list[tuple[Path, str]] = [(("notice",), procedure.notice or "")]
    texts += [(("limits_of_use", n), text) for n, text in enumerate(procedure.limits_of_use)]
    for path, text in texts:
        found = _INVENTED.search(text)
        if found is not None:
            yield remark("wording.demo_data", f"real work is called '{found[0]}'", path)


def _orders(said: list[list[str]], path: Path) -> Iterator[Remark]:
    """Look at the sentences of an action, as words."""
    found = [order for words in said for order in clauses.orders(words)]
    giving = sum(clauses.holds_order(words) for words in said) if len(said) > 1 else 1
    if len(found) > _MOST_ORDERS or giving > 1:
        listed = f"the action asks for {', '.join(found)}"
        if len(found) <= _MOST_ORDERS:
            listed = f"the action has {giving} sentences that each give an order"
        yield remark("wording.actions", listed, path)
    elif len(said) > 1:
        yield remark("wording.sentences", f"the action has {len(said)} sentences", path)
    shows = clauses.not_an_order(said[0])
    if shows is not None:
        yield remark("wording.imperative", f"the action is no order: '{shows}'", path)
    for words in said:
        behind = clauses.condition_behind(words)
        if behind is not None:
            yield remark("wording.condition", f"'{behind}' stands behind the action", path)
        for condition in clauses.conditions(words):
            yield from _condition(" ".join(condition), path)


def _condition(text: str, path: Path) -> Iterator[Remark]:
    bare = _PAIRS.without(text)
    if "and/or" in bare or (_AND.search(bare) and _OR.search(bare)):
        yield remark("wording.and_or", "one condition joins with both 'and' and 'or'", path)
    double = _NOT.search(text)
    if double:
        word = double[1].lower()
        yield remark(
            "wording.negative",
            f"'not {word}' says '{_OPPOSITES[word]}' in a roundabout way",
            path,
            f"Say '{_OPPOSITES[word]}'",
        )


def _in_words(step: Step, path: Path) -> Iterator[Remark]:
    """Look for words that leave the reader to guess or to reckon."""
    for place, text in _demands(step):
        words = vague(text)
        if words is not None:
            yield remark("wording.vague", f"'{words}' leaves open how much", (*path, *place))
        words = reckoned(text)
        if words is not None:
            yield remark("wording.reckoned", f"'{words}' has to be worked out", (*path, *place))
    for index, criterion in enumerate(step.criteria or ()):
        if no_observation(criterion.accept):
            yield remark(
                "wording.acceptance",
                f"'{criterion.accept}' is a verdict, nothing that is seen, felt or heard",
                (*path, "criteria", index, "accept"),
            )
    for index, way in enumerate(step.decision.ways if step.decision else ()):
        yield from _condition(way.when, (*path, "decision", "ways", index, "when"))


def _demands(step: Step) -> Iterator[tuple[Path, str]]:
    """Yield what a step asks for in words, with its path in the step."""
    yield ("action",), step.action
    for key, specs in (("specs", step.specs), ("torques", step.torques)):
        for index, spec in enumerate(specs or ()):
            yield (key, index, "characteristic"), spec.characteristic
            if spec.where is not None:
                yield (key, index, "where"), spec.where
    for index, point in enumerate(step.critical_points or ()):
        yield ("critical_points", index, "what"), point.what
    for index, criterion in enumerate(step.criteria or ()):
        yield ("criteria", index, "accept"), criterion.accept
    if step.witness is not None:
        yield ("witness", "what"), step.witness.what


def _marks(value: object, path: Path, *, told: bool = False) -> Iterator[Remark]:
    """Look at every text for places left open, and for what no paper can show.

    Args:
        value: a text or what holds texts.
        path: where it stands.
        told: whether another rule tells that it is still to be written.
    """
    if isinstance(value, str):
        if UNWRITTEN in value and not told:
            yield remark("wording.unwritten", f"'{_key(path)}' is still to be written", path)
        missing = unprintable(value)
        if missing is not None:
            said = f"'{_key(path)}' has characters that cannot be printed: {missing}"
            yield remark("wording.unprintable", said, path)
    elif isinstance(value, tuple):
        for index, entry in enumerate(value):
            yield from _marks(entry, (*path, index))
    elif isinstance(value, BaseModel):
        for name, key in _keys(type(value)):
            heard = name == "note" and isinstance(value, LimitSpec) and unconfirmed(value)
            yield from _marks(getattr(value, name), (*path, key), told=heard)


def _key(path: Path) -> str:
    return next((part for part in reversed(path) if isinstance(part, str)), "")


def unconfirmed(spec: LimitSpec) -> bool:
    """Whether nobody has confirmed a number yet, which its note says."""
    return spec.note is not None and spec.note.startswith(UNWRITTEN)


@cache
def _keys(model: type[BaseModel]) -> tuple[tuple[str, str], ...]:
    """Return field and key of all that a block of the file holds."""
    return tuple((name, field.alias or name) for name, field in model.model_fields.items())
