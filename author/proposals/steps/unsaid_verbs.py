"""Orders of a few words whose verb goes without saying: "bucket flat on the floor", "dial at zero".

Who says only these is understood at the machine; in a procedure they need their verb.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal

from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import singular
from author.proposals.orders.wording import Order, imperatives
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.made_safe import put_in

_SURE = Decimal("0.75")
_BEGIN = r"(?:^|[.;,:] )(?:(?:and|then|now|so|right|okay|first|next|your|the)[, ]+)*"
_END = r"(?=[.;,!]|$| and\b| so\b)"
_LOWERED = re.compile(
    rf"{_BEGIN}(?P<what>bucket|forks?|boom|blade|hook|deck|mast|platform|implement|loader arms?|"
    rf"tailgate|load)(?P<how>(?: (?:right|well|all the way|flat|down))*) (?:on|to|onto) the "
    rf"(?P<where>floor|ground|deck|stands?|blocks)\b{_END}",
    re.IGNORECASE,
)
_SET = re.compile(
    rf"{_BEGIN}(?P<what>(?:[a-z]+ )?(?:dial|knob|selector|regulator|thermostat)) (?:at|to|on) "
    rf"(?P<to>zero|nought|nil|minimum|maximum|off)\b{_END}",
    re.IGNORECASE,
)
_GEAR = re.compile(
    rf"{_BEGIN}(?:it's |she's )?in (?P<to>neutral|park|gear|first gear){_END}", re.IGNORECASE
)
_DROPS = re.compile(
    rf"{_BEGIN}(?P<what>(?:a|one|two|three|four|five|six|eight|ten|a few|a couple of|\d+) drops? "
    r"of (?:[a-z]+ ){1,3}?)(?P<where>(?:down|in|into|on|onto|round) (?:the|each|every|both|its) "
    rf"[\w' -]{{2,40}}?){_END}",
    re.IGNORECASE,
)
_NEXT_SLOT = re.compile(
    rf"{_BEGIN}(?:on|up|forward) to the next (?P<what>slot|hole|castellation|flat|notch)"
    rf"(?P<never>,? (?:never|not|don't go) back)?{_END}",
    re.IGNORECASE,
)
_BATTERY = re.compile(
    rf"{_BEGIN}battery (?P<way>off|back on|on),? (?P<which>negative|positive|earth|live)"
    rf"(?: lead| side| terminal)? (?P<order>first|last){_END}",
    re.IGNORECASE,
)
# Words that are names as often as verbs.
_HELD = re.compile(
    r"(?:^|[.;,:] )(?:(?:and|then|now|so|right|okay|first|next)[, ]+)*"
    r"(?P<verb>chain|rope|strap|wedge|brace|prop|lash|padlock) (?P<what>(?:the|your|both|each) "
    r"[\w'-]+(?: [\w'-]+)?(?: (?:to|against|with|under|open|shut|up|down) [\w' -]{1,30}?)?)"
    rf"{_END}",
    re.IGNORECASE,
)
_LEFT = re.compile(
    rf"{_BEGIN}leave (?:a|an|about|at least) [^.;,]*?\b(?P<what>gap|clearance)\b"
    rf"(?P<where>[^.;,]*){_END}",
    re.IGNORECASE,
)
_WAITED = re.compile(
    r"(?:^|[.;,:] )(?:(?:and|then|now|so|first|next)[, ]+)*(?:i|we) (?:always |just |then )*wait "
    r"(?:about |at least )?[\w .-]{1,20}?(?:seconds?|minutes?|hours?)\b",
    re.IGNORECASE,
)
# "The seat is worn, so new washer", "they're rusty, so no, new springs"
_NEW = re.compile(
    r"(?:^|[,;] | )so,? (?:(?:no|yes|yeah|well|right|okay|it's|that's|they're|it is|that is|in goes"
    r"|in go|here's)[, ]+)*(?P<what>(?:(?:a|an|two|three|four|some|the|both) )?(?:brand )?new "
    r"(?!(?:one|ones)\b)(?:[\w-]+ )??[\w-]+)(?=[.;,!]|$| (?:it's|its|they're|and|then|for)\b)",
    re.IGNORECASE,
)
_FOUND = re.compile(r"\b(?:if|unless|when|any|anything|would|otherwise|or)\b", re.IGNORECASE)
_TO_AND_FRO = re.compile(
    rf"{_BEGIN}(?P<way>up and down|in and out|(?:back and forth|to and fro|back and forwards?|"
    r"backwards? and forwards?)|(?:from )?side to side|left and right|(?:from )?lock to lock|"
    r"end to end|round and round) (?P<many>(?:a few|a couple of|two|three|four|five|six|"
    r"eight|ten|twelve|twenty|\d+) times)(?P<how> with (?!me\b|you\b)[^,.;]{2,30}?)?"
    r"(?=[.;,!]|$| (?:and|so|to|until|till|then)\b)",
    re.IGNORECASE,
)
# "Torque it, and back one flat for the pin"
_BACKED = re.compile(
    r"(?:^|[.;,:] |\band |\bthen )(?:and |then )*back "
    r"(?P<many>(?:a|one|two|three|four|five|six|half a|a half|a quarter|an eighth|\d+)(?: of a)? "
    r"(?:quarter |half )?(?:flats?|turns?|clicks?|notch|"
    r"notches|slots?|castellations?|tooth|teeth))(?P<aim> for the [\w-]+(?: [\w-]+)?)?"
    r"(?=[.;,!]|$| (?:and|so|then|until)\b)",
    re.IGNORECASE,
)
_UP_TO = re.compile(
    rf"{_BEGIN}(?P<what>(?:[a-z-]+ )?[a-z-]+) (?P<way>(?:right )?(?:up|down|back|in|out|along|"
    r"over) to) (?:my|the|your|our|that) (?P<where>(?:[a-z-]+ )?(?:mark|line|shoulder|stop|"
    rf"groove|flange|step|tape|peg|dowel|collar|face)){_END}",
    re.IGNORECASE,
)
_IN_CASE = re.compile(r"\b(?:if|unless|before|without|when|until|till)\b[^,;.]*$", re.IGNORECASE)


def _lowered(found: re.Match[str]) -> tuple[str, str, str]:
    how = " flat" if "flat" in found["how"].lower() else ""
    what = found["what"].lower()
    return f"Lower the {what}{how} to the {found['where'].lower()}.", "lower", what


def _battery(found: re.Match[str]) -> tuple[str, str, str]:
    verb = "Disconnect" if found["way"].lower() == "off" else "Reconnect"
    order = f"{found['which'].lower()} {found['order'].lower()}"
    return f"{verb} the battery, {order}.", verb.lower(), "battery"


def _next_slot(found: re.Match[str]) -> tuple[str, str, str]:
    never = ", never back" if found["never"] else ""
    what = found["what"].lower()
    return f"Turn it on to the next {what}{never}.", "turn", what


_ORDERS: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], tuple[str, str, str]]], ...] = (
    (_LOWERED, _lowered),
    (_SET, lambda m: (f"Set the {m['what'].lower()} to {m['to'].lower()}.", "set",
                      m["what"].split()[-1].lower())),
    (_GEAR, lambda m: (f"Put it in {m['to'].lower()}.", "put", m["to"].split()[-1].lower())),
    (_DROPS, lambda m: (f"Put {m['what'].lower()}{m['where']}.", "put",
                        m["what"].split()[-1].lower())),
    (_NEXT_SLOT, _next_slot),
    (_BATTERY, _battery),
    (_HELD, lambda m: (f"{m['verb'].capitalize()} {m['what']}.", m["verb"].lower(),
                       m["what"].split()[-1].lower())),
    (_WAITED, lambda _: ("Wait the time given.", "wait", "time")),
    (_BACKED, lambda m: (f"Back it off {m['many'].lower()}{(m['aim'] or '').lower()}.",
                         "back", "back")),
    (_TO_AND_FRO, lambda m: (f"Move it {m['way'].lower()} {m['many'].lower()}"
                             f"{(m['how'] or '').lower()}.", "move", "times")),
    (_LEFT, lambda m: (f"Leave the {m['what'].lower()}{m['where']}.", "leave", m["what"].lower())),
)  # fmt: skip


def with_unsaid_verbs(
    said: Sequence[Sentence], orders: Mapping[int, tuple[Order, ...]]
) -> dict[int, tuple[Order, ...]]:
    """Return the orders with those whose verb goes without saying, at their place.

    Args:
        said: what was said.
        orders: what is done, by sentence.
    """
    found = dict(orders)
    begun = False
    for index, sentence in enumerate(said):
        # "It weeps, so new seals" at the beginning of a film only tells what the job is.
        new = [
            (at, one) for at, one in (_new_told(sentence.text) if begun else ())
            if not _fitted_later(one, index, orders)
        ]  # fmt: skip
        begun = begun or bool(orders.get(index))
        for at, order in (*_told(sentence.text), *new):
            ours = found.get(index, ())
            # "Isolator off, padlock the isolator" tells two things of one.
            known = order.verb if order.verb == "padlock" else order.object
            same = [one for one in ours if known and known in _words(one)]
            if same and order.object != "battery":
                continue  # "set the dial to zero" is told already
            kept = tuple(one for one in ours if one not in same)
            found[index] = put_in(sentence.text, kept, at, order)
    return found


def _told(text: str) -> Iterator[tuple[int, Order]]:
    for pattern, made in _ORDERS:
        for found in pattern.finditer(text):
            if not _IN_CASE.search(text[: found.start()]):
                action, verb, thing = made(found)
                yield found.end(), Order(action, verb, thing, None, _SURE)
    for found in _UP_TO.finditer(text):
        if _is_part(found["what"]) and not _IN_CASE.search(text[: found.start()]):
            what, way = found["what"].lower(), f"{found['way']} the {found['where']}".lower()
            yield found.end(), Order(f"Move the {what} {way}.", "move", what, None, _SURE)


def _new_told(text: str) -> Iterator[tuple[int, Order]]:
    for found in _NEW.finditer(text):
        if not _FOUND.search(text[: found.start()]):
            for order in imperatives(found["what"], phase="fitting"):
                if order.act == "replaces" and _is_part(order.object):
                    yield found.end(), order


def _fitted_later(order: Order, index: int, orders: Mapping[int, Sequence[Order]]) -> bool:
    """Whether a new one goes on in a later sentence: "so a new chain … new chain on"."""
    head = singular((order.object or "").split(" ")[-1].lower())
    return any(
        one.act in {"replaces", "refits"}
        and singular((one.object or "").split(" ")[-1].lower()) == head
        for at, ours in orders.items() if at > index for one in ours
    )  # fmt: skip


def _is_part(name: str | None) -> bool:
    """Whether a name is of a part: "new washer", and not "new start"."""
    head = singular((name or "").split(" ")[-1].lower())
    return trade_words().kind_of(head) in {"part", "weak"}


def _words(order: Order) -> list[str]:
    return re.findall(r"[\w-]+", order.action.lower())
