"""Orders that make a machine safe and have no verb, or one that reads like a noun.

"Isolator off, my own lock on it, press start to prove it's dead": the lock is hung and the start
button pressed, as much as the isolator is turned off.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from author.proposals.kinds.marks import Marked
from author.proposals.orders.wording import Order
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.guarded import is_worn
from author.proposals.steps.safe_states import safe_states
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


_TO_SEE = ("Make sure", "Check it's", "Check that it's", "Be sure", "Ensure", "See to it")
_STILL_SAFE = frozenset(
    {"wait", "prove", "check", "test", "try", "press", "push", "hang", "put", "wear", "lock", "tag",
     "tell", "let", "bleed", "drain", "release", "turn", "keep", "hold", "make", "get", "leave"}
)  # fmt: skip
"""Verbs that may go on making a machine safe, though their words do not tell."""


def is_safe_act(order: Order) -> bool:
    """Whether an order makes a machine safe, or may go on doing so: wait, hang the tag, try it."""
    return surely_safe(order) or order.verb in _STILL_SAFE


def surely_safe(order: Order) -> bool:
    """Whether the words of an order, or where it is told, tell that it makes a machine safe."""
    return order.safe or makes_safe(order.action)


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
    begun = off = safe = False
    for index, sentence in enumerate(said):
        if _locks_off(sentence.text, begun=begun):
            found[index] = tuple(_locked(one) for one in found.get(index, ()))
        states = [] if begun else list(safe_states(sentence.text, off=off))
        sure = [] if begun else list(_made_sure(sentence.text))
        told = [*_told(sentence.text), *sure, *states]
        for at, order in sorted(told, key=lambda one: one[0]):
            ours = found.get(index, ())
            if order.object and any(order.object in one.action.lower() for one in ours):
                continue  # "Put my lock on it" is told already
            if order.verb == "make":  # in place of "make sure it's isolated before you open it"
                ours = tuple(one for one in ours if not one.action.startswith(_TO_SEE))
            found[index] = put_in(sentence.text, ours, at, order)
        if _AT_THE_WALL.search(sentence.text):
            found[index] = tuple(_unplugged(one) for one in found.get(index, ()))
        if not begun:
            found.update(_among_safe(index, found.get(index, ()), after=safe))
            safe = any(one.safe for one in found.get(index, ())) or (safe and not found.get(index))
        begun = begun or not all(map(_is_before_work, found.get(index, ())))
        off = bool(_IS_OFF.search(sentence.text))
    return found


def without_talk_of_safety(
    marks: Sequence[Marked], orders: Mapping[int, Sequence[Order]]
) -> list[Marked]:
    """Return the marks without those that take for talk what makes safe: "locked, tagged".

    Args:
        marks: kinds of clauses.
        orders: what is done, by sentence.
    """
    safe = {index for index, ours in orders.items() if any(one.safe for one in ours)}
    return [m for m in marks if m.sentence not in safe or m.kind not in {"chatter", "preview"}]


def _among_safe(index: int, ours: Sequence[Order], *, after: bool) -> dict[int, tuple[Order, ...]]:
    """Return the orders of a sentence, marked where all make safe: "block the ram, kill it".

    What follows such a sentence goes on with it: "the wind turns it, so shut the blast gates".
    """
    first = next((one for one in ours if not is_worn(one)), None)
    goes_on = after and first is not None and _is_of_a_supply(first)
    surely = goes_on or any(map(surely_safe, ours))
    safe = surely and all(is_worn(one) or _is_before_work(one) for one in ours)
    return {index: tuple(replace(one, safe=True) for one in ours)} if safe else {}


def _is_before_work(order: Order) -> bool:
    """Whether an order makes a machine safe, or may stand among those that do."""
    return is_safe_act(order) or _is_of_a_supply(order)


def _is_of_a_supply(order: Order) -> bool:
    """Whether an order shuts off, drains or holds: "run the gas out", "chain the drum"."""
    of_it = order.verb in _OF_A_SUPPLY and _SUPPLY.search(order.action) is not None
    return of_it or order.verb in _BEFORE_WORK


_BEFORE_WORK = frozenset(
    {"apply", "block", "chock", "prop", "strap", "chain", "lower", "park", "set", "raise", "work",
     "cycle", "kill", "cut", "shut", "close", "drop", "dump", "vent", "isolate", "switch", "unplug",
     "disconnect", "padlock", "secure", "stop", "pin", "crib", "wedge", "brace"}
)  # fmt: skip
"""What may be done to a machine before any work, among what surely makes it safe."""
_OF_A_SUPPLY = frozenset(
    {"take", "pull", "remove", "unhook", "fit", "hit", "insert", "open", "run"}
)
_SUPPLY = re.compile(
    r"\b(?:hydraulics|power|mains|gas|air|water|steam|fuel|ignition|fuses?|keys?|plugs?|"
    r"batter(?:y|ies)|leads?|cord|lanyard|isolators?|disconnect|breakers?|"
    r"stop (?:switch|button)|e-stop|engine(?= off)|"
    r"(?:safety |lock(?:ing)? |two |both )?pins|chocks?|props?|stands?|struts?)\b(?! from\b)",
    re.IGNORECASE,
)


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


def _locks_off(text: str, *, begun: bool) -> bool:
    """Whether "lock off" in a sentence hangs a lock: before any work, or at what it is hung on."""
    if _LOCKED_OFF.search(text) or _AT_THE_SWITCH.search(text):
        return True
    return not begun and _LOCK_OFF.search(text) is not None and not _OFF_AGAIN.search(text)


_AT_THE_SWITCH = re.compile(
    r"\block (?:it )?(?:off|out) (?:at|on) the (?:[\w-]+ ){0,2}?(?:isolators?|board|panel|switch|"
    r"breakers?|disconnect|plug|wall|valve|supply|mains)\b",
    re.IGNORECASE,
)
_LOCK_OFF = re.compile(
    r"(?:^|[,;.] |\band |\bthen )(?:then )?lock (?:it )?(?:off|out)\b", re.IGNORECASE
)
_OFF_AGAIN = re.compile(r"\b(?:tags? off|back on|switch on|start it|power on|on again)\b", re.I)
_LOCK_TAKEN = re.compile(
    r"(?:Take|Turn) the lock (?:off|out)(?: and tag)?(?P<where> (?:at|on) [^.]+)?\."
)
_TAG_TAKEN = re.compile(r"(?:Take|Turn) the tag (?:off|out)\.")


def _locked(order: Order) -> Order:
    """Return an order to lock off as that: in "stop, lock off" no lock is taken off."""
    if (lock := _LOCK_TAKEN.fullmatch(order.action)) is not None:
        return Order(f"Lock it off{lock['where'] or ''}.", "lock", None, None, order.confidence)
    if _TAG_TAKEN.fullmatch(order.action):
        return Order("Hang your tag on it.", "hang", None, None, order.confidence)
    return order


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


# "Make sure it's unplugged" asks for it, where "it's unplugged" only tells that it is.
_MAKE_SURE = re.compile(
    r"\b(?P<how>make sure|be sure|check|see to it|ensure)(?: that)? (?P<what>(?:it's|it is|she's|"
    r"everything's|you've|you have|you) (?:(?:all|been|properly|definitely|completely|got) )*"
    r"(?:unplugged|isolated|locked (?:off|out)|(?:switched|turned|shut) off|powered down|dead|"
    r"disconnected|depressuri[sz]ed|locked and tagged|off(?= at the | and |[,.;]|$))"
    r"[^,.;]*?(?=[,.;]|$| then\b| so\b| before\b| because\b| and (?!locked|tagged|unplugged|off|"
    r"dead|switched|isolated|disconnected)))",
    re.IGNORECASE,
)


def is_made_sure(text: str) -> bool:
    """Whether words ask to see that a machine is safe, and nothing else."""
    return _MAKE_SURE.fullmatch(text.strip(" .,")) is not None


# "Switch it off at the wall and pull the plug out": the mains plug, which is no part of a machine.
_AT_THE_WALL = re.compile(
    r"\b(?:off|unplug\w*)\b[^.;]*\b(?:at|from) the (?:wall|mains|socket|outlet|plug)\b"
    r"|\bmains plug\b|\bplug\b[^.;,]* (?:from|out of) the (?:wall|mains|socket|outlet)\b",
    re.IGNORECASE,
)
_PLUG_OUT = re.compile(r"(?:Pull|Take|Yank|Whip) the plug out\b", re.IGNORECASE)


def _unplugged(order: Order) -> Order:
    """Return an order to pull the plug that takes no part off the machine."""
    return replace(order, act=None, safe=True) if _PLUG_OUT.match(order.action) else order


def _made_sure(text: str) -> Iterator[tuple[int, Order]]:
    """Yield where it is asked to see that a machine is safe, and the order."""
    for found in _MAKE_SURE.finditer(text):
        if not _IN_CASE.search(text[: found.start()]):
            action = f"Make sure {found['what'].lower().strip()}."
            yield found.start(), Order(action, "make", None, None, _SURE, safe=True)


def _place(text: str, order: Order) -> int:
    """Return where an order is told in a sentence, by the thing it is for."""
    word = (order.object or order.verb).lower().split()[-1]
    return text.lower().find(word)
