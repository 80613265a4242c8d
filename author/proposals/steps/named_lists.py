"""Things named one after the other and nothing else: "then the washer, the drum, and the clutch".

Said while they go on, or come off, in that order; the part of the job tells which.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal

from author.checks.verbs import words
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of, is_work
from author.proposals.language.word_forms import singular
from author.proposals.orders.paired import first_and_then
from author.proposals.orders.wording import Order, imperatives
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.made_safe import put_in
from author.proposals.steps.sections import Phase

_SURE = Decimal("0.7")
_LEAD = re.compile(
    r"(?:(?:and|then|now|so|next|okay|right|first|after that)\b[, ]*)+", re.IGNORECASE
)
_PARTED = re.compile(
    r"\s*,\s*(?:and\s+)?(?:then\s+)?|\s+and\s+(?:then\s+)?|\s+then\s+(?=the\b|an?\b|your\b)",
    re.IGNORECASE,
)
_NAME = re.compile(
    r"(?P<article>(?:the|your|its|a|an|another|both|two|three|four|new|old)\s+)?"
    r"(?P<name>[a-z][\w-]*(?:\s+[a-z][\w-]*){0,2}?)"
    r"(?P<way>\s+(?:on top|(?:(?:back )?(?:in|on)|off|out) (?:first|last)|last|first|again|back on"
    r"|back in|off|out|on|in|in that order))?"
    r"(?P<turned>\s+with the [\w ]+? (?:up|down|out|in|first|inwards?|outwards?|upwards?|downwards?"
    r"|(?:to|towards?|facing) [\w ]+))?\W*",
    re.IGNORECASE,
)
_FEATURES = words("side face end edge lip flat chamfer bevel step shoulder dish mark arrow")
_AWAY, _PUT = frozenset({"off", "out"}), frozenset({"in", "on", "back"})
_ARTICLES = words("the a an it they you")
_LEAST, _MOST = 3, 7
_THINGS = frozenset({"part", "weak", "tool"})
_NO_THING = words(
    "nice clean smooth dry good fine tight loose free easy flat square up down left right back "
    "front top bottom inside outside gently slowly done there here nothing everything light dark "
    "red black green blue white yellow brown one two three four five six seven eight nine ten"
)
_VERBS: Mapping[Phase, tuple[str, str]] = {
    "removal": ("remove", "removes"), "fitting": ("fit", "refits"), "closing": ("fit", "refits"),
}  # fmt: skip


def with_named_lists(
    said: Sequence[Sentence], orders: Mapping[int, tuple[Order, ...]], phases: Sequence[Phase]
) -> dict[int, tuple[Order, ...]]:
    """Return the orders with those of sentences that only name three things or more.

    Args:
        said: what was said.
        orders: what is done, by sentence.
        phases: the part of the job each sentence belongs to.
    """
    found = dict(orders)
    for index, sentence in enumerate(said):
        verb = _VERBS.get(phases[index])
        names, ways = _named(sentence.text.strip()) if verb else ([], [])
        undone = _comes_undone(sentence.text)
        if verb and verb[0] == "remove":
            undone = undone or _with_its_tool(sentence.text)
        if undone:
            at, order = undone
            ours = found.get(index, ())
            if not any(str(order.object) in one.action.lower() for one in ours):
                found[index] = put_in(sentence.text, ours, at, order)
        if verb and verb[0] == "fit" and (forgotten := _not_forgotten(sentence.text)):
            at, order = forgotten
            ours = found.get(index, ())
            if not any(order.object and order.object in one.action.lower() for one in ours):
                found[index] = put_in(sentence.text, ours, at, order)
        if verb and (two := first_and_then(sentence.text, verb[0])):
            for order in reversed(imperatives(two[1])):
                ours = found.get(index, ())
                if not any(one.action == order.action for one in ours):
                    found[index] = put_in(sentence.text, ours, two[0] + 1, order)
        if verb is None or not names:
            continue
        if _PUT & {way.split()[0] for way in ways if way}:
            verb = _VERBS["fitting"]  # "bearing in first, then the spacer", wherever it is said
        *first, last = [one if _led(one) else f"the {one}" for one in names]
        comma = "," if len(first) > 1 or "," in first[0] else ""
        action = f"{verb[0].capitalize()} {', '.join(first)}{comma} and {last}."
        thing = re.sub(r"^(?:the|your|its|an?) ", "", names[0])
        found[index] = (Order(action, verb[0], thing, verb[1], _SURE),)  # type: ignore[arg-type]
    return dict(sorted(found.items()))


# "Bit of grease on the shaft, and don't forget the key"
_FORGET = re.compile(
    r"\b(?:don't|do not|never|mustn't|not to) forget (?:to fit |about )?(?:the|your|its|those) "
    r"(?P<name>(?:[\w-]+ ){0,2}?[\w-]+)(?=[,.;]| and\b| under\b| on\b| in\b| behind\b|$)",
    re.IGNORECASE,
)


def _not_forgotten(text: str) -> tuple[int, Order] | None:
    """Return where a part is told that is not to be forgotten, and the order to fit it."""
    found = _FORGET.search(text)
    if found is None:
        return None
    name = found["name"].lower()
    if trade_words().kind_of(singular(name.split()[-1])) not in {"part", "weak"}:
        return None
    return found.start(), Order(f"Fit the {name}.", "fit", name, "refits", _SURE)


# "The drain plug's at the bottom, a twenty-four mil spanner"
_ITS_TOOL = re.compile(
    rf"^(?:{_LEAD.pattern})?(?:the |your |its )?(?P<name>(?:[a-z][\w-]*\s+){{0,2}}"
    r"(?:plug|nut|bolt|screw|union|cap)s?)(?:'s|'re| is| are) (?P<where>[^,.;]{2,40}), "
    r"(?:it's |that's |they're |you need |takes |needs )?(?P<tool>(?:an? )?(?:[\w/-]+ ){1,4}?"
    r"(?:spanner|socket|wrench|hex|allen|allen key|key|driver|screwdriver|torx))"
    r"(?=[,.;]| and\b|$)",
    re.IGNORECASE,
)


# "Now the pipe from the head to the tank, you need a twenty-two mil spanner"
_NEEDS_TOOL = re.compile(
    rf"^(?:{_LEAD.pattern})?(?:the |your |its )(?P<name>(?:[a-z][\w-]*\s+){{0,2}}?"
    r"(?:pipe|hose|union|line|nut|bolt|screw|plug|cap|fitting|gland|lead|stud)s?)"
    r"(?P<where>(?: (?:from|on|at|under|between|behind|in) the [\w-]+(?: (?:to|and) the [\w-]+)?)?)"
    r",? (?:you(?:'ll)? need|you want|takes|that's|it's|needs) "
    r"(?P<tool>an? (?:[\w/-]+ ){1,4}?(?:spanner|socket|wrench|hex|allen|allen key|key|driver))"
    r"(?=[,.;]| and\b| for\b|$)",
    re.IGNORECASE,
)


def _with_its_tool(text: str) -> tuple[int, Order] | None:
    """Return where a fastener is told by its place and its tool, and the order to undo it."""
    found = _ITS_TOOL.match(text.strip()) or _NEEDS_TOOL.match(text.strip())
    if found is None or base_of(found["name"].lower().split()[0]) == "check":
        return None
    name, tool = found["name"].lower(), found["tool"].lower()
    led = tool if tool.startswith(("a ", "an ")) else f"a {tool}"
    where = found["where"] if found.re is _NEEDS_TOOL else ""
    return 0, Order(f"Undo the {name}{where} with {led}.", "undo", name, "removes", _SURE)


# "The gland nut comes undone with a pin spanner", "the cap unscrews anticlockwise"; it does so
# by itself in "the nut comes undone if you don't lock it".
_UNDONE = re.compile(
    rf"^(?:{_LEAD.pattern})?(?:the |your |this |that |its )?(?P<name>(?:[a-z][\w-]*\s+){{0,2}}[a-z]"
    r"[\w-]*?) (?:just |then )?(?:(?:comes?|came) (?:undone|unscrewed)|undoes|unscrews) "
    r"(?P<how>(?:with (?:an? |your |the )[^,.;]{2,40}?|(?:anti-?|counter-?)?clockwise"
    r"|by hand|to the (?:left|right)))(?=[,.;]| and\b|$)",
    re.IGNORECASE,
)
_NO_NAME = words("it they that this which everything nothing")


def _comes_undone(text: str) -> tuple[int, Order] | None:
    """Return where a part is told to come undone in a way, and the order to undo it."""
    found = _UNDONE.match(text.strip())
    if found is None or found["name"].lower() in _NO_NAME:
        return None
    name, how = found["name"].lower(), found["how"].lower()
    if trade_words().kind_of(singular(name.split()[-1])) not in {"part", "weak"}:
        return None
    return found.start("name"), Order(f"Undo the {name} {how}.", "undo", name, "removes", _SURE)


def _led(name: str) -> bool:
    return re.match(r"(?:the|your|its|an?|another|both|two|three|four)\s", name) is not None


def _named(text: str) -> tuple[list[str], list[str]]:
    """Return the names a sentence consists of and their ways; no name where it says more."""
    lead = _LEAD.match(text)
    told = [one for one in _PARTED.split(text[lead.end() if lead else 0 :].rstrip(" .!")) if one]
    found = [_NAME.fullmatch(one) for one in told]
    if not _LEAST <= len(told) <= _MOST or not all(found):
        return [], []
    ways = [(one["way"] or "").strip().lower() for one in found if one]
    if any("first" in way for way in ways[1:]):
        return [], []  # "gear back on, key in first, and the circlip": in no such order
    if ways[0] in _AWAY and not any(ways[1:]):
        return [], []  # "skirt off, ten screws, T30": one thing, and what holds it
    names = [one["name"].lower().split() for one in found if one]
    # "High pressure seal first, then the brass ring, then the low pressure one"
    names = [[*one[:-1], names[0][-1]] if one[1:] and one[-1] == "one" else one for one in names]
    articles = [(one["article"] or "").strip().lower() for one in found if one]
    ordered = [is_work(name[0]) and not led for name, led in zip(names, articles, strict=True)]
    if any(
        len(name) > 1 and (works or _ARTICLES & set(name))
        for name, works in zip(names, ordered, strict=True)
    ):
        return [], []  # "hold the shaft, the nut and the socket turn together"
    heads = [singular(name[-1]) for name in names]
    known = [trade_words().kind_of(head) in _THINGS for head in heads]
    odd = any(
        head in _NO_THING or head.endswith("ly") or (not sure and base_of(head) is not None)
        for head, sure in zip(heads, known, strict=True)
    )
    if odd or sum(known) < len(known) - 1:
        return [], []
    turned = [(one["turned"] or "").lower() for one in found if one]
    kept = [
        f"{' ' + way if way in {'on top', 'again'} else ''}{turn}"
        for way, turn in zip(ways, turned, strict=True)
    ]
    listed: list[str] = []
    for article, name, way, more in zip(articles, names, ways, kept, strict=True):
        words_told = f"{article} {' '.join(name)}".strip()
        if listed and name[-1] in _FEATURES and way:
            # "Dished washer, hollow side in, and the nut": how the washer goes
            listed[-1] += f", {words_told} {way}"
        else:
            listed.append(f"{words_told}{more}")
    return listed, ways
