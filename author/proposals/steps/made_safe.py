"""Orders that make a machine safe and have no verb, or one that reads like a noun.

"Isolator off, my own lock on it, press start to prove it's dead": the lock is hung and the start
button pressed, as much as the isolator is turned off.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from author.proposals.orders.acts import Act
from author.proposals.orders.wording import Order
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.sections import makes_safe

_SURE = Decimal("0.75")
_BEGIN = r"(?:^|[,;:.] |\band |\bthen )(?:(?:and|then|so|now|next|that's|there's) )*"
_LOCK = re.compile(
    rf"{_BEGIN}(?P<whose>my|your|our|me|the|a) (?P<own>own )?(?P<lock>padlock|lock)"
    r"(?: and (?:(?:my|your|our|me|the|a) )?(?:own )?tag)?"
    r"(?: (?:goes|going))? on (?P<what>it|that|there|the [\w-]+)\b",
    re.IGNORECASE,
)
_PRESS = re.compile(
    rf"{_BEGIN}(?:(?:you|we|i|just|always) )*(?P<verb>press|push|hit|try|thumb) (?:the )?"
    r"(?P<what>start|go|run)(?P<button> (?:button|switch))?"
    r"(?: to (?P<aim>prove|check|see|show|make sure|be sure|confirm)\b"
    r"|(?=,? (?:and )?(?:it's dead|nothing)\b))",
    re.IGNORECASE,
)
# "Main switch off, lock." and "isolate, lock, tag": one word each.
_IS_OFF = re.compile(
    r"\b(?:isolat\w+|(?:switch|isolator|breaker|disconnect|power|mains|supply)\b[^.;]*\boff)\b",
    re.IGNORECASE,
)
_LOCK_AND_TAG = re.compile(
    r"(?:^|[,;.] ?|\band )(?:then )?(?P<word>lock|tag)(?=$|[,;.]| and tag\b| it and\b)",
    re.IGNORECASE,
)
_AS_ORDERS = {"lock": ("Lock it off.", "lock"), "tag": ("Hang your tag on it.", "hang")}
# "Stop, lock off": not "lock off, tag off, power back on".
_LOCKED_OFF = re.compile(
    r"\b(?:stop(?:ped)?|isolated?|(?:switch|isolator|breaker|power|mains?|supply)\b[^.;]{0,30}\boff)"
    r"[, ]+(?:and )?(?:then )?lock off\b(?!,? (?:and )?(?:the )?tag)",
    re.IGNORECASE,
)
_IN_CASE = re.compile(r"\b(?:if|unless|before|without|when)\b[^,;.]*$", re.IGNORECASE)
_MINE = frozenset({"my", "me", "our", "your"})


_STILL_SAFE = frozenset(
    {"wait", "prove", "check", "test", "try", "press", "push", "hang", "put", "wear", "lock", "tag",
     "tell", "let", "bleed", "drain", "release", "turn", "keep", "hold", "make", "get", "leave"}
)  # fmt: skip
"""Verbs that may go on making a machine safe, though their words do not tell."""


def is_safe_act(order: Order) -> bool:
    """Whether an order makes a machine safe, or may go on doing so: wait, hang the tag, try it."""
    return makes_safe(order.action) or order.verb in _STILL_SAFE


def is_lock(text: str) -> bool:
    """Whether words begin with a lock that is hung: "then my own lock on it"."""
    return _LOCK.match(text) is not None


def with_safe_orders(
    said: Sequence[Sentence], orders: Mapping[int, tuple[Order, ...]]
) -> dict[int, tuple[Order, ...]]:
    """Return the orders with those to hang a lock and to prove a machine dead.

    Args:
        said: what was said.
        orders: what is done, by sentence.
    """
    found = dict(orders)
    for index, sentence in enumerate(said):
        begun = any(not makes_safe(one.action) for at in range(index) for one in found.get(at, ()))
        if _LOCKED_OFF.search(sentence.text):
            found[index] = tuple(_locked(one) for one in found.get(index, ()))
        told = [*_told(sentence.text), *([] if begun else _done(sentence.text))]
        for at, order in sorted(told, key=lambda one: one[0]):
            ours = found.get(index, ())
            if any(order.object in one.action.lower().split() for one in ours if order.object):
                continue  # "Put my lock on it" is told already
            found[index] = put_in(sentence.text, ours, at, order)
    return found


def put_in(text: str, ours: Sequence[Order], at: int, order: Order) -> tuple[Order, ...]:
    """Return the orders of a sentence with one more at the place where it is told.

    Args:
        text: the sentence.
        ours: its orders.
        at: where the new one is told in it.
        order: the new one.
    """
    before = sum(_place(text, one) < at for one in ours)
    return (*ours[:before], order, *ours[before:])


def _locked(order: Order) -> Order:
    """Return an order to lock off as that: in "stop, lock off" no lock is taken off."""
    if order.action not in {"Take the lock off.", "Turn the lock off."}:
        return order
    return Order("Lock it off.", "lock", None, None, order.confidence)


def _told(text: str) -> Iterator[tuple[int, Order]]:
    """Yield where such an order is told, and the order."""
    lock, press = _LOCK.search(text), _PRESS.search(text)
    for short in _LOCK_AND_TAG.finditer(text) if _IS_OFF.search(text) else ():
        if not _IN_CASE.search(text[: short.start("word")]):
            action, verb = _AS_ORDERS[short["word"].lower()]
            yield short.start("word"), Order(action, verb, None, None, _SURE)
    if lock and not _IN_CASE.search(text[: lock.start()]):
        own = "your own" if lock["own"] else "your" if lock["whose"].lower() in _MINE else "the"
        name = lock["lock"].lower()
        what = "it" if lock["what"].lower() in {"it", "that", "there"} else lock["what"].lower()
        action = f"Put {own} {name} on {what}."
        yield lock.start("lock"), Order(action, "put", name, None, _SURE)
    if press and not _IN_CASE.search(text[: press.start()]):
        name = f"{press['what'].lower()}{(press['button'] or ' button').lower()}"
        action = f"Press the {name} to prove that the machine is dead."
        yield press.start("verb"), Order(action, "press", press["what"].lower(), None, _SURE)


def _done(text: str) -> Iterator[tuple[int, Order]]:
    """Yield what was made safe before the film began: "battery's out", "plug's out of the wall"."""
    yield from _done_to_it(text)
    for found in _IS_SAFE.finditer(text):
        if _IN_CASE.search(text[: found.start("what")]) or _DOUBTED.search(
            text[: found.start("what")]
        ):
            continue
        what, how = found["what"].lower(), found["how"].lower()
        place = found["place"] or ""
        verb, way = _MADE_SO.get(how, ("turn", " off"))
        act: Act | None = "removes" if what == "battery" and verb in {"take", "pull"} else None
        yield (
            found.start("what"),
            Order(f"{verb.capitalize()} the {what}{way}{place}.", verb, what, act, _TOLD_AS_DONE),
        )


def _done_to_it(text: str) -> Iterator[tuple[int, Order]]:
    """Yield the same of the machine: "it's isolated at the board, I've proved it dead"."""
    done, lock, proved = _OF_IT.search(text), _ITS_LOCK.search(text), _PROVED.search(text)
    if done and not _IN_CASE.search(text[: done.start()]):
        verb, way = _HOW.get(done["how"].lower(), ("lock", " off"))
        action = f"{verb.capitalize()} it{way}{done['place'] or ''}."
        yield done.start(), Order(action, verb, None, None, _TOLD_AS_DONE)
    if lock and not _IN_CASE.search(text[: lock.start()]):
        own = "own " if lock["own"] else ""
        action = f"Put your {own}{lock['lock'].lower()} on it."
        yield lock.start(), Order(action, "put", lock["lock"].lower(), None, _TOLD_AS_DONE)
    if proved:
        action = f"Prove it dead{proved['place'] or ''}."
        yield proved.start(), Order(action, "prove", None, None, _TOLD_AS_DONE)


_OF_IT = re.compile(
    r"\b(?:it's|it is|she's|that's) (?:already |all )*(?P<how>isolated|locked off|"
    r"locked out|unplugged|switched off|powered down)"
    r"(?P<place> (?:at|from) the [\w-]+(?: (?:panel|board|switch|box))?)?(?=[,.;!]| and\b|$)",
    re.IGNORECASE,
)
_ITS_LOCK = re.compile(
    r"\b(?P<whose>my|our) (?P<own>own )?(?P<lock>padlock|lock|tag)(?: and tag)?(?:'s| is)"
    r"(?: already)? on (?:it|that|there|the [\w-]+)\b",
    re.IGNORECASE,
)
_PROVED = re.compile(
    r"\b(?:i've|we've|i have|i) (?:already )?(?:proved|proven|tested|checked) "
    r"(?:it|them|everything) (?:is |'s )?dead(?P<place> at the [\w-]+)?",
    re.IGNORECASE,
)
_IS_SAFE = re.compile(
    r"(?:^|[,;:.] |\band |\bso )(?:(?:so|now|okay|right|first|and|the|my|your|our),? )*"
    r"(?P<what>battery|batteries|plug|key|isolator|main switch|breaker|power|mains|gas|air|water|"
    r"fuel|steam|supply|wheels|leads?)(?:'s|'re| is| are|(?= (?:chocked|isolated|unplugged|"
    r"disconnected)))(?: already| all| both| been)* "
    r"(?P<how>out|off|isolated|unplugged|disconnected|chocked|pulled|(?:turned|shut|switched|"
    r"locked|knocked) (?:off|out))(?P<place> (?:of|at|from|on) the [\w-]+(?: [\w-]+)?)?"
    r"(?=[,.;!]| and\b|$)",
    re.IGNORECASE,
)
_HOW = {"isolated": ("isolate", ""), "unplugged": ("unplug", ""),
        "switched off": ("switch", " off"), "powered down": ("power", " down")}  # fmt: skip
_DOUBTED = re.compile(r"\b(?:sure|check|that|whether|see|until|till|assuming|make)\b[^,;.]*$", re.I)
_MADE_SO = {
    "out": ("take", " out"), "pulled": ("pull", ""), "isolated": ("isolate", ""),
    "unplugged": ("unplug", ""), "disconnected": ("disconnect", ""), "chocked": ("chock", ""),
}  # fmt: skip
_TOLD_AS_DONE = Decimal("0.6")


def _place(text: str, order: Order) -> int:
    """Return where an order is told in a sentence, by the thing it is for."""
    word = (order.object or order.verb).lower().split()[-1]
    return text.lower().find(word)
