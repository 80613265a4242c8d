"""What speaks for a sentence being talk beside the job, and what against it, by name of sign.

The signs are many and each says little; ``talk_points`` weighs them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from author.checks.verbs import words
from author.proposals.kinds.marks import Found, Hit
from author.proposals.kinds.talk_forms import talk_forms
from author.proposals.kinds.talk_plans import plan_signs
from author.proposals.language.closed_words import PRONOUNS, STOP
from author.proposals.language.plain_words import NUMBER_WORDS, Plain
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import (
    ALL,
    CLEAR,
    TALK,
    base_of_done,
    base_of_going,
    base_of_past,
    base_of_third,
    is_work,
)
from author.proposals.language.word_signs import WordSigns
from author.proposals.reader.ahead import Ahead
from author.resources import load_own_table

_WORK = CLEAR - TALK
_SURE, _SURE_ORDER, _SURE_TALK = 86, 85, 95
# These tell of the job though nothing is done in them.
_OF_JOB = frozenset({"off_camera", "prerequisite", "follow_on", "deferred"})
# From this weight a warning is told apart from talk that only sounds like one.
_SURE_HARM = 64
FILM = 20
"""Fewer sentences than this are no film: they have no beginning and no end."""
_OPENING, _ENDING = 8, 3
_LENGTHS = (1, 2, 3, 4, 6, 9, 12, 16, 24)
_MANY = 3
_PAUSE = 2.5
_NAMED = frozenset({"part", "tool", "supply"})
_LEADS = words("so and but now then okay right alright well oh there")
_I = words("i i'm i've i'd i'll me my mine myself")
_WE = words("we we're we've we'll our us let's")
_YOU = words("you your you're you've you'll you'd yourself")
_ASKED = words("wait let's")
_WISHED = "|".join(
    sorted(
        words(
            """
            sharp clean dry tight greased oiled safe turning running rolling spinning lit warm cool
            going happy level true square free shiny
            """
        )
    )
)
_KEEP_WISH = re.compile(
    rf"\b(?:keep|mind) (?:your|yer|them|those|that|it|on) (?:\S+ )?(?:{_WISHED})\b"
    r"|\b(?:mind|watch) how (?:you|ye) go\b"
    r"|\b(?:stay|be|keep) (?:safe|well|warm|curious)\b"
)
# Said of work that is done again or waited for, though nothing is named.
_STILL_WORK = words(
    """
    wait waiting again same other another next repeat done loose tight seated turn count ones
    wants takes scrap goes comes
    """
)
# Said for itself it is talk, whatever the sentences beside it say.
_EMPTY = words(
    """
    okay right alright so good great yes no well and cool nice lovely perfect anyway now there
    hmm brilliant sweet beautiful done click thanks cheers oops fantastic excellent um hooray
    super fine bingo voila magic sorry wow then but smashing marvellous gotcha course aha ah
    that's it done it's in she he goes go we you're i'm beauty easy
    """
)
_SHORT = 6
_DENIAL = words("never no not none")


@dataclass(frozen=True, slots=True)
class Heard:
    """A sentence and what its phrases speak for.

    Attributes:
        said: its words.
        hits: the phrases found in it, those of harm weighed, actions not among them.
        actions: the signs of an action.
        founds: what it is, if it is not left out.
        alone: what speaks for leaving it out, by its phrases, or None.
        measured: whether a quantity is spoken in it.
        pauses: before it and behind it, by the usual pause of the film.
        text: the sentence as it was said.
        ahead: what the network thinks of it.
    """

    said: Plain
    hits: Sequence[Hit]
    actions: Sequence[Hit]
    founds: list[Found]
    alone: Hit | None
    measured: bool
    pauses: tuple[float, float]
    text: str
    ahead: Ahead | None = None


@cache
def listed() -> WordSigns:
    """Return the lists of words that say what a sentence speaks of."""
    return WordSigns.of(load_own_table("talk_words.yaml"))


def own_signs(heard: Heard, index: int, count: int) -> frozenset[str]:
    """Return the signs of a sentence, without those of its neighbours.

    Args:
        heard: the sentence.
        index: which of its film it is.
        count: how many sentences the film has.
    """
    said = heard.said
    signs = {*_words(said), *_lists(said), *_of_work(said), *_shape(said), *plan_signs(said)}
    signs.update(_place(said, index, count))
    signs.update(_evidence(heard))
    signs.update(_written(heard))
    signs.update(_forms(heard))
    if "no thing" in signs and not signs & {"order sure", "order", "tells sure", "tells", "qty"}:
        signs.add("nothing")
    if "thing" in signs:
        signs.update(f"thing & {sign}" for sign in signs & {"says i", "says we", "past", "len 6"})
    if "bare" in signs:
        signs.update([f"bare & {sign}" for sign in signs if sign.startswith("len ")])
    return frozenset(signs)


def _words(said: Plain) -> Iterator[str]:
    """Yield the words themselves, those it begins with, and pairs."""
    at = 0
    while said.word(at) in _LEADS:
        at += 1
    yield f"begins {said.word(at)}"
    yield f"begins {said.word(at)} {said.word(at + 1)}"
    if said.words:
        yield f"ends {said.words[-1]}"
    for place, word in enumerate(said.words):
        if not word[0].isdigit():
            yield f"word {word}"
            yield f"pair {word} {said.word(place + 1)}"


def _lists(said: Plain) -> Iterator[str]:
    """Yield what the words speak of, by the lists."""
    signs = listed()
    found: dict[str, int] = {}
    for at, word in enumerate(said.words):
        for name in (*signs.by_word.get(word, ()), *signs.phrases_at(said, at)):
            found[name] = found.get(name, 0) + 1
    for name, many in found.items():
        yield f"of {name}"
        if many > 1:
            yield f"of {name} twice"


def _bases(word: str) -> tuple[str | None, ...]:
    return (
        word, base_of_going(word), base_of_past(word), base_of_third(word), base_of_done(word),
    )  # fmt: skip


def _of_work(said: Plain) -> Iterator[str]:
    """Yield what is named of the job: numbers, things, verbs of work; and words none knows."""
    known = trade_words()
    named = [known.kind_of(word) for word in said.words]
    things = sum(kind in _NAMED for kind in named)
    if any(word[0].isdigit() or word in NUMBER_WORDS for word in said.words):
        yield "num"
    if things:
        yield "thing"
    if things > 1:
        yield "things"
    yield from (f"names {kind}" for kind in {*named} - {None})
    if not things and not any(kind in {"weak", "feature"} for kind in named):
        yield "no thing"
    work = sum(not _WORK.isdisjoint(_bases(word)) for word in said.words)
    if work:
        yield f"work {min(work, _MANY)}"
    of_job = sum(kind in {*_NAMED, "weak", "feature"} for kind in named) + work
    if said.words:
        yield f"share of job {round(4 * of_job / len(said.words))}"
    unknown = sum(_unknown(word, kind) for word, kind in zip(said.words, named, strict=True))
    if unknown:
        yield f"unknown {min(unknown, _MANY)}"
    if said.words and unknown * 3 >= len(said.words):
        yield "much unknown"


def _unknown(word: str, kind: str | None) -> bool:
    """Whether a word is neither of the trade nor one of those every sentence is made of."""
    return (
        kind is None
        and word not in STOP
        and word not in NUMBER_WORDS
        and not word[0].isdigit()
        and word not in trade_words().modifiers
        and ALL.isdisjoint(_bases(word))
    )


def _shape(said: Plain) -> Iterator[str]:
    """Yield how long a sentence is, who speaks of whom, and when."""
    for size in _LENGTHS:
        if len(said.words) <= size:
            yield f"len {size}"
    if said.question:
        yield "asks"
    told = {*said.words}
    for name, whom in (("says i", _I), ("says we", _WE), ("says you", _YOU)):
        if not whom.isdisjoint(told):
            yield name
    if PRONOUNS.isdisjoint(told):
        yield "says nobody"
    if any(base_of_past(word) and base_of_past(word) != word for word in said.words):
        yield "past"
    if any(base_of_going(word) for word in said.words):
        yield "going"
    first = next((word for word in said.words if word not in _LEADS), "")
    if is_work(first):
        yield "begins with work"
    if first in CLEAR:
        yield "begins with clear work"
    if not _STILL_WORK.isdisjoint(told):
        yield "still work"
    if not _ASKED.isdisjoint(told):
        yield "asked"
    if _KEEP_WISH.search(said.text):
        yield "wish"
    if len(said.words) <= _SHORT:
        yield from _empty(said)


def _empty(said: Plain) -> Iterator[str]:
    """Yield that "Okay.", "Right then, lovely." or a heading such as "Valves." says nothing."""
    left = [word for word in said.words if word not in _EMPTY]
    tells = any(
        word[0].isdigit()
        or word in _DENIAL
        or word.endswith("'s")
        or not NUMBER_WORDS.isdisjoint(word.split("-"))
        for word in left
    )
    if not tells and len(left) < 2 and not (left and "it" in said.words):
        yield "empty but one" if left else "empty"


def _place(said: Plain, index: int, count: int) -> Iterator[str]:
    """Yield where in a film a sentence stands."""
    if count <= FILM:
        return
    if index < _OPENING:
        yield "early"
        yield f"place {min(index, 4)}"
    share = index / count
    for part in (0.03, 0.06, 0.1):
        if share < part:
            yield f"in first {part}"
    if index >= count - _ENDING:
        yield "late"
        yield f"last {count - index}"
        if _KEEP_WISH.search(said.text):
            yield "late wish"
    if share > 0.95:
        yield "in last"


def _evidence(heard: Heard) -> Iterator[str]:
    """Yield what the phrases of a sentence speak for."""
    done = max(heard.actions, key=lambda hit: hit.weight, default=None)
    if done is not None:
        yield "order sure" if done.weight >= _SURE_ORDER else "order"
        yield f"order {done.weight // 10}"
        yield f"act {done.sign}"
        if len(heard.actions) > 1:
            yield "orders"
        yield from _of_orders(heard)
    talk = [hit.weight for hit in heard.hits if hit.kind == "chatter"]
    if talk:
        yield "talk sure" if max(talk) >= _SURE_TALK else "talk"
        if min(talk) < _SURE_TALK:
            yield "talk weak"
        if len(talk) > 1:
            yield "talk twice"
    ahead = max((hit.weight for hit in heard.hits if hit.kind == "preview"), default=0)
    if ahead:
        yield "plan"
        if ahead >= _SURE:
            yield "plan sure"
    others = [hit for hit in heard.hits if hit.kind not in {"chatter", "preview", "reason"}]
    if others:
        yield "tells sure" if max(hit.weight for hit in others) >= _SURE else "tells"
    yield from {f"hit {hit.kind}" for hit in heard.hits}
    yield from {f"is {found.hit.kind}" for found in heard.founds}
    if any(f.hit.kind in _OF_JOB for f in heard.founds) or _warns(heard):
        yield "tells of job"
    if heard.measured:
        yield "qty"
    if heard.alone is not None:
        yield f"alone {heard.alone.kind} {heard.alone.weight // 10}"
        yield f"alone {heard.alone.kind}"
        yield f"alone {heard.alone.sign}"
    elif not heard.founds:
        yield "is nothing"
    if heard.pauses[0] > _PAUSE:
        yield "pause before"
    if heard.pauses[1] > _PAUSE:
        yield "pause behind"


def _forms(heard: Heard) -> Iterator[str]:
    """Yield the ways of speaking that tell of talk; who of the family was hurt is a warning."""
    for form in talk_forms(heard.said, heard.text):
        if form != "kin" or not _warns(heard):
            yield f"form {form}"


def _warns(heard: Heard) -> bool:
    """Whether a warning is found that does not only sound like one."""
    return any(f.hit.kind == "hazard" and f.hit.weight >= _SURE_HARM for f in heard.founds)


def _of_orders(heard: Heard) -> Iterator[str]:
    """Yield what the orders of a sentence are given for."""
    known = trade_words()
    for order in heard.actions:
        inside = {known.kind_of(word) for word in heard.said.words[order.first : order.stop]}
        sure = " sure" if order.weight >= _SURE_ORDER else ""
        yield f"order{sure} of {'thing' if inside & _NAMED else 'nothing'}"
        if order.first == 0 or (order.first == 1 and heard.said.words[0] in _LEADS):
            yield f"order{sure} first"


def _written(heard: Heard) -> Iterator[str]:
    """Yield what captions with capitals and signs show: names of people, who is called."""
    said = heard.said
    if heard.text.islower() and not any(said.marks):
        yield "bare"
        return
    for at in range(1, len(said.words)):
        first = heard.text[said.begins[at]]
        if (
            first.isupper()
            and said.words[at] not in _I
            and not {".", "!", "?"} & {*said.marks[at - 1]}
        ):
            yield "name"
            if said.marks[at - 1] and (said.marks[at] or at + 1 == len(said.words)):
                yield "called by name"
    if "!" in heard.text:
        yield "cries"
    if heard.text.count(",") > 1:
        yield "commas"
    known = trade_words()
    left = [word for word in said.words if word not in _LEADS and word not in _EMPTY]
    if 0 < len(left) < _MANY and all(known.kind_of(word) for word in left):
        yield "heading"


def kind_of_neighbour(heard: Heard) -> str:
    """Return in one word what a sentence beside another is."""
    if heard.alone is not None:
        return "talk"
    kinds = {found.hit.kind for found in heard.founds}
    if "action" in kinds:
        return "action"
    return "tells" if kinds else "nothing"
