"""Short orders made of what a technician says while he works, in his own terms."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from author.checks.verbs import LOOKING_VERBS
from author.checks.verbs import words as _words
from author.proposals.closed_words import ARTICLES, NUMBERS
from author.proposals.loose_talk import Clause, Said, clauses, read
from author.proposals.noun_phrases import phrases_of, tokens_of
from author.proposals.order_frames import frame_of, without_lead
from author.proposals.order_words import Frame
from author.proposals.trade_words import trade_words
from author.proposals.word_forms import base_of, is_ing

Act = Literal["removes", "refits", "replaces", "discards"]
Phase = Literal["removal", "fitting", "inspection"]

_MOST_WORDS = 20
_MOST_ORDERS = 6
_CONDITIONS = _words("if when once before after unless while")
_TAILS = _words(
    """
    until without with not no from by to into onto up right along between across against going
    making keeping using leaving working one two three four five six eight short long both teeth
    flat dry all not no gently carefully slowly evenly square
    """
)
_REASONS = _words("because which it it's that's there there's so they i you we as cause this that")
_CHATTER = _words(
    """
    subscribe watching channel video videos comments link thanks thank hello welcome see know
    remember think forget like guess reckon mean love hope wonder mind
    """
)
_DROPPED_AT_END = (
    ("nice", "and", "easy"), ("okay",), ("right",), ("alright",), ("here",), ("please",), ("yet",),
    ("already",), ("then",), ("now",), ("off", "camera"), ("like", "so"), ("like", "this"),
    ("like", "that"), ("as", "well"), ("too",), ("for", "me"), ("for", "you"), ("there",),
    ("there", "we", "go"), ("and", "that's", "that"), ("you", "know"),
)  # fmt: skip
_REMOVING = _words(
    """
    remove undo unscrew unbolt unclip unhook unplug detach disconnect extract withdraw uninstall
    dismount desolder unfasten unthread unseat uncouple unpin
    """
)
_TAKING = _words(
    """
    take pull pop lift slide slip prise pry knock drive press tap back wind draw cut get drop twist
    ease push tease work lever whip have screw bring break fish punch drift unwind yank tip strip
    """
)
_FITTING = _words("fit refit reinstall install insert mount reattach reconnect reassemble")
_PUTTING = _words(
    """
    put slide slip press push pop drop tap screw drive knock set bolt clip hook feed seat thread
    plug lower ease work wind stretch slot place
    """
)
_IN = _words("on in back home into onto over")
_REPLACING = _words("replace swap renew change exchange")
_DISCARDING = _words("bin scrap discard chuck trash junk toss dump")
_PERSON = {
    "i": "you", "we": "you", "i'm": "you're", "we're": "you're", "i've": "you've",
    "we've": "you've", "i'll": "you'll", "we'll": "you'll", "my": "the", "our": "the",
    "me": "you", "us": "you",
}  # fmt: skip
_PRONOUNS = _words("it them this that these those")


@dataclass(frozen=True, slots=True)
class Order:
    """One short order.

    Attributes:
        action: one imperative sentence on one line, capital first, full stop last.
        verb: its verb, base form.
        object: what it is done to, without article and count, or None.
        act: what it does with a part, where that can be told.
        confidence: from 0 to 1.
    """

    action: str
    verb: str
    object: str | None
    act: Act | None
    confidence: Decimal


@dataclass(slots=True)
class _Draft:
    frame: Frame
    condition: tuple[str, ...]
    tails: list[tuple[str, ...]]


def imperative(text: str, *, it: str | None = None, phase: Phase | None = None) -> Order | None:
    """Return the first order in what was said, or None where nothing is to be done.

    Args:
        text: a sentence, as it was said or recognised.
        it: what "it" stands for, with its article.
        phase: section it is said in; words without a verb get theirs from it.
    """
    found = imperatives(text, it=it, phase=phase)
    return found[0] if found else None


def imperatives(
    text: str, *, it: str | None = None, phase: Phase | None = None
) -> tuple[Order, ...]:
    """Return the orders in what was said, one sentence each, in the order they were said.

    Args:
        text: a sentence, as it was said or recognised.
        it: what "it" stands for, with its article.
        phase: section it is said in; words without a verb get theirs from it.
    """
    return tuple(_order(draft, it) for draft in _drafts(read(text), phase))


def _drafts(words: Clause, phase: Phase | None) -> list[_Draft]:
    found: list[_Draft] = []
    condition: tuple[str, ...] = ()
    for raw in clauses(words):
        clause = without_lead(raw)
        if not clause or _is_chatter(clause):
            continue
        first = clause[0].low
        if found and _only_named(found[-1], clause):
            found.pop()
        elif found and _added(found[-1], words, raw, clause):
            continue
        elif first in _CONDITIONS or (not found and first in {"with", "using"}):
            condition = tuple(_plainly(clause)) if len(clause) > 1 else ()
        else:
            unled = first in {"because", "which", "until"}
            frame = None if unled else frame_of(clause, phase)
            if frame is not None and not _talks(frame):
                found.append(_Draft(frame, condition, []))
                condition = ()
            elif found and _is_tail(clause):
                found[-1].tails.append(tuple(_plainly(clause)))
        if len(found) > _MOST_ORDERS:
            break
    return found[:_MOST_ORDERS]


def _only_named(draft: _Draft, clause: Clause) -> bool:
    """Whether a thing was named only to say something of it: "So the bush, it's …"."""
    says = clause[0].low in {"it's", "they're", "there's"}
    return says and _is_topic(draft) and not _counted(clause)


def _added(draft: _Draft, words: Clause, raw: Clause, clause: Clause) -> bool:
    """Add a count, a way of doing it or a condition to the order it is said with."""
    counted = _counted(clause)
    if counted and not draft.frame.sure and not set(draft.frame.words[:3]) & NUMBERS:
        draft.frame = _with_count(draft.frame, counted)
    elif len(raw) > 1 and is_ing(raw[0].low):
        draft.tails.append(tuple(_plainly(raw)))
    elif clause[0].low in _CONDITIONS and clause is raw and not _leads(words, raw):
        draft.tails.append(tuple(_plainly(clause)))
    else:
        return False
    return True


def _is_topic(draft: _Draft) -> bool:
    words = draft.frame.words
    return (
        not draft.frame.sure
        and not draft.tails
        and not any(
            word in _IN or word in {"off", "out", "to", "from", "round", "under"} for word in words
        )
    )


def _leads(words: Clause, clause: Clause) -> bool:
    """Whether a condition in the middle goes with the order behind it."""
    return clause[0].low in {"if", "unless", "once", "when"} and words[-1].low != clause[-1].low


def _is_chatter(clause: Clause) -> bool:
    return any(word.low in {"subscribe", "channel", "video", "comments"} for word in clause)


def _talks(frame: Frame) -> bool:
    words = [word for word in frame.words if word not in {"do", "not", "never"}]
    return not words or words[0] in _CHATTER


def _is_tail(clause: Clause) -> bool:
    first, second = clause[0].low, clause[1].low if len(clause) > 1 else ""
    if first in _REASONS or (second in _REASONS and first not in {"until", "without", "with"}):
        return False
    ing = len(clause) > 1 and any(w.low.endswith("ing") and base_of(w.low) for w in clause[:3])
    return clause[0].low in _TAILS or ing or clause[0].low.endswith("ly")


def _counted(clause: Clause) -> str | None:
    """Return the number in "four in all", "there's four of them", "six total"."""
    low = [word.low for word in clause if word.low not in {"there's", "there", "are", "all"}]
    if (
        low
        and low[0] in (NUMBERS | {"both"}) - {"one", "zero", "oh"}
        and (len(low) == 1 or low[1:] in (["in"], ["of", "them"], ["total"], ["in", "total"]))
    ):
        return low[0]
    return None


def _with_count(frame: Frame, count: str) -> Frame:
    words = list(frame.words)
    at = 2 if len(words) > 1 and words[1] in ARTICLES else 1
    return replace(frame, words=(*words[:at], count, *words[at:]))


def _plainly(words: Sequence[Said]) -> list[str]:
    return _addressed([word.shown for word in words])


def _addressed(shown: Sequence[str]) -> list[str]:
    """Return words as they are said to the reader: "before we touch my nut" and "these four"."""
    found: list[str] = []
    for at, word in enumerate(shown):
        after = shown[at + 1] if at + 1 < len(shown) else ""
        if word in {"this", "that", "these", "those"} and _before_noun(after):
            found.append("the")
        else:
            found.append(_PERSON.get(word, word))
    return found


def _before_noun(word: str) -> bool:
    if not word or word in {"one", "ones", "way", "down", "up", "off", "out", "in", "on", "side"}:
        return False
    table = trade_words()
    known = word in table.modifiers or table.kind_of(word) or word in table.dropped
    if known or word in NUMBERS or word[:1].isdigit():
        return True
    return base_of(word) is None and word.isalpha() and word not in _SMALL and word[-1] != "s"


_SMALL = _words(
    """
    twice once again there here anywhere is are was it you we they i to with by from and or if
    when until through the a
    """
)


def _order(draft: _Draft, it: str | None) -> Order:
    words = _trimmed(_addressed(draft.frame.words))
    words, moved = _condition_behind(words)
    condition = draft.condition or moved
    tails = list(draft.tails)
    for tail in list(tails):
        if tail[0] in {"if", "unless"} and not condition and _verb(words) not in LOOKING_VERBS:
            condition = tail
            tails.remove(tail)
    verb = _verb(words)
    if it is not None:
        words = _named(words, it)
    text = _joined(words, condition, tails)
    return Order(
        action=text,
        verb=verb,
        object=_object(words),
        act=_act(words, verb, draft.frame.new),
        confidence=Decimal("0.9") if draft.frame.sure else Decimal("0.75"),
    )


def _verb(words: Sequence[str]) -> str:
    """Return the verb of an order, behind "do not", "never" and "carefully"."""
    for word in words:
        if (
            word not in {"not", "never"}
            and not word.endswith("ly")
            and (word != "do" or "not" not in words[:2])
        ):
            return base_of(word) or word
    return words[0]


def _trimmed(words: list[str]) -> list[str]:
    """Return an order without small talk at its end and doubled praise in it."""
    changed = True
    while changed and len(words) > 2:
        changed = False
        for end in _DROPPED_AT_END:
            if len(words) > len(end) + 1 and tuple(words[-len(end) :]) == end:
                if end == ("right",) and words[-2] in {"the", "to", "a"}:
                    continue
                words, changed = words[: -len(end)], True
    for at in range(len(words) - 2):
        if words[at : at + 2] == ["nice", "and"]:
            return words[:at] + words[at + 2 :]
    return words


def _condition_behind(words: list[str]) -> tuple[list[str], tuple[str, ...]]:
    """Take a condition from behind an order; "check if it turns" has none."""
    for at in range(2, len(words)):
        if words[at] in {"if", "unless"} and words[at - 1] not in {"as", "even", "see", "out"}:
            if _verb(words) in LOOKING_VERBS:
                break
            return words[:at], tuple(words[at:])
    return words, ()


def _named(words: list[str], it: str) -> list[str]:
    """Put the name of a thing for the first "it" behind the verb."""
    for at, word in enumerate(words[1:5], 1):
        if word in {"it", "them"}:
            return [*words[:at], *it.split(), *words[at + 1 :]]
    return words


def _joined(words: Sequence[str], condition: Sequence[str], tails: Sequence[Sequence[str]]) -> str:
    main = " ".join(words).replace(" only until ", " only, until ")
    text = f"{' '.join(condition)}, {main}" if condition else main
    if len(text.split()) > _MOST_WORDS:
        text = main
    for tail in tails:
        mark = " " if tail[0] in {"before", "after", "when", "once", "while"} else ", "
        longer = f"{text}{mark}{' '.join(tail)}"
        if len(longer.split()) > _MOST_WORDS:
            break
        text = longer
    text = _short(text)
    return f"{text[:1].upper()}{text[1:]}."


def _short(text: str) -> str:
    """Cut an order that is too long before the last word that may begin an aside."""
    words = text.split()
    if len(words) <= _MOST_WORDS:
        return text.rstrip(" ,;:.")
    for at in range(_MOST_WORDS, 3, -1):
        if words[at] in {"and", "so", "because", "which", "with", "until", "to", "on", "in", "for"}:
            return " ".join(words[:at]).rstrip(" ,;:.")
    return " ".join(words[:_MOST_WORDS]).rstrip(" ,;:.")


def _object(words: Sequence[str]) -> str | None:
    tokens = tokens_of(" ".join(words))
    start = next((at for at, t in enumerate(tokens) if base_of(t.low) == _verb(words)), 0) + 1
    tokens = tokens[start:]
    for phrase in phrases_of(tokens, frozenset()):
        if phrase.kind is None and not phrase.article and phrase.first:
            continue
        between = {token.low for token in tokens[: phrase.first]}
        if between & {"with", "by", "from", "of", "until", "it", "them", "to"}:
            return None
        name = [t.text for t in tokens[phrase.name_first : phrase.stop]]
        while len(name) > 1 and name[0].lower() in trade_words().dropped:
            name = name[1:]
        return " ".join(name)
    return None


def _act(words: Sequence[str], verb: str, new: bool) -> Act | None:
    tokens = tokens_of(" ".join(words))
    kinds = [phrase.kind for phrase in phrases_of(tokens[1:], frozenset())][:1]
    ways = [word.strip(",") for word in words[1:10]]
    if "not" in words[:2] or "never" in words[:1]:
        return None
    if verb in _DISCARDING or (verb == "throw" and "away" in ways):
        return "discards"
    if verb in _REPLACING or (new and verb in _FITTING | _PUTTING):
        return "replaces"
    if kinds in (["supply"], ["tool"]) or (verb in {"back", "wind"} and "turn" in words):
        return None
    if verb in _REMOVING:
        return "removes"
    found = next((way for way in ways if way in _IN | {"off", "out", "away", "apart", "free"}), "")
    if verb in _TAKING and found in {"off", "out", "away", "apart", "free"}:
        return "removes"
    if verb in _FITTING or (verb in _PUTTING and found in _IN):
        return "refits"
    return None
