"""Words that sound like an order and tell what others do, what spoils or what holds a thing."""

from __future__ import annotations

import re

from author.proposals.kinds.marks import Marked
from author.proposals.steps.mishaps import spoils

# "Both hands on the rim like you're driving a bus", "…, like pulling a tooth"
_COMPARED = re.compile(
    r"(?<!feel )(?<!looks )\w like (?:when )?\||, like (?:when )?\|\w{3,}ing\b", re.IGNORECASE
)
_NONE = re.compile(r"\b(?:no|nae|without|without any) $", re.IGNORECASE)
# "People miss the second one and break the pulley": nobody is to do so.
_OF_OTHERS = re.compile(
    r"(?<!get )(?<!tell )(?<!ask )(?<!let )(?<!have )\b(?:people|everybody|everyone|folks|"
    r"some (?:folks|guys|lads)|beginners|the last (?:guy|bloke|fella|lad|man))"
    r" (?!(?:out|off|away|clear|back)\b)[^,.;]*$",
    re.IGNORECASE,
)
# "You squeeze the barrel and it goes egg shaped" warns.
_SPOILS = r"crack|break|snap|leak|strip|bend|warp|tear|split|shatter|burst|jam|seize|go egg|go oval"
_YOU_SPOIL = re.compile(
    r"(?:and |but |so |'cause |because )*you (?:just )?[a-z]+ [a-z' -]{1,40} and "
    r"(?:it|they|that|you|the \w+)(?: goes (?:egg|oval|bang|out of|off like|flying|everywhere)"
    rf"|(?:'ll| will| would| is gonna|'s gonna|'re gonna)? (?:{_SPOILS})s?\b"
    r"| (?:won't|will not|never) \w+|(?:'ll| will) (?:never|not) \w+"
    r"|(?:'s|'re| is| are|'ve)(?: all)? (?:ruined|scrap|junk|wrecked|toast|had it|done for)\b)",
    re.IGNORECASE,
)
# "Watch out for the wavy washer", "there are three set screws"
_CAUTION = re.compile(r"(?:watch|look) out (?:for|as|when|that|because)\b", re.IGNORECASE)
# "They always get thrown away" is told of what was named.
_THROWN = re.compile(r"gets? (?:thrown|binned|scrapped|chucked)\b", re.IGNORECASE)
# "I'd normally leave them, but it's a new disc"
_USUALLY = re.compile(
    r"(?:^|.*\b)(?:i|you|we)(?:'d| would) (?:normally|usually|often|sometimes)(?: just)? \|"
    r"(?!wait\b)",  # "you'd normally wait five minutes for it to bleed down"
    re.IGNORECASE,
)
_OF_ONESELF = re.compile(r"^(?:i|you|we)(?:'d| would) \w+ (?:just )?", re.IGNORECASE)
# "I've seen one roll downhill and take a mirror off"
_SEEN = re.compile(r"\b(?:i've|we've|i have|i) (?:seen|watched|known) [^,.;]*$", re.IGNORECASE)
# "A loaded belt can run back and trap your arm"
_MAY = re.compile(
    r"\b(?!(?:you|we|i|they|he|she)\b)[a-z]+ (?:can|could|will|may|might) [^,.;]*\band $",
    re.IGNORECASE,
)
# "But don't take the screws right out": no verb.
_NOT = re.compile(r"\b(?:don't|do not|never) [^,.;]*$", re.IGNORECASE)
_FASTENERS = re.compile(r"(?:screws|clips|pins|nuts|bolts) (?:right|all|out|off)\b", re.IGNORECASE)
# "The cover's gonna hang by the wire"
_PREDICTED = re.compile(
    r"\b(?!(?:i|we|you|he|she|they)')\w+(?:'s|'re| is| are) (?:gonna|going to) "
    r"(?:hang|fall|drop|swing|spring|fly|drip|leak|roll)\b",
    re.IGNORECASE,
)
# "Under 6.5 you chuck them": in that case only.
_BEYOND = re.compile(
    r"\b(?:under|below|over|above|past|less than|more than) (?:\d|one|two|three|four|five|six|"
    r"seven|eight|nine|ten|twelve|fifteen|twenty|thirty|forty|fifty|point|nought|zero|half|"
    r"a tenth|a quarter)[\w.]*[ -](?:[\w.]+[ -]){0,4}?\|?(?:you|we|i)(?:'d|'ll| just)? \|?\w",
    re.IGNORECASE,
)
# "One drop a minute is okay"
_COUNTED = re.compile(r"\b(?:one|two|three|four|five|six|eight|ten) $", re.IGNORECASE)
# "If it binds you've gone too far" tells what it means.
_GONE = re.compile(
    r"(?:(?:and |but )?if [^,;]{1,40}? )?(?:you've|you have|they've|it's) "
    r"(?:gone|overdone|overshot)\b",
    re.IGNORECASE,
)
# "Aim for a tenth" tells a value.
_AIMED = re.compile(
    r"(?:we |you |i )?(?:aim|aiming|shoot|go) for (?:an? )?(?:about )?[\w.-]+$", re.IGNORECASE
)
# "…, else you strip the alloy"
_ELSE = re.compile(
    r"\b(?:or else|else|otherwise) (?:(?:you|it|they|we)(?:'ll| will|'d)?(?: just| only)? ?)?$",
    re.IGNORECASE,
)
# "No mineral grease it swells the rubber": a name, and what it does
_IT_DOES = re.compile(
    r"(?:grease|oil|paint|glue|tape|wax|seal|clean|foam) (?:it|they) (?:swells?|eats?|makes?|"
    r"melts?|rots?|dries|goes|gets|runs|comes|was|is|has|"
    r"does|will|won't|can|can't|sticks|burns|attacks|softens|cracks|weakens|turns)\b",
    re.IGNORECASE,
)
_SET_SCREW = re.compile(r"screws? ", re.IGNORECASE)
_SORT_OF_SCREW = re.compile(r"\b(?:set|cap|grub|machine|head|wood)[ -]$", re.IGNORECASE)
# "Tap, tap, there we go"
_AGAIN = re.compile(r"\b(\w+)\W+\1$", re.IGNORECASE)
# "Four nuts, ten mil, hold the pump to the base"
_HELD_BY = re.compile(
    r"(?:^|[.;] )(?:and |so |there's |there are )*(?P<held>(?:two|three|four|five|six|eight|ten|"
    r"twelve|\d+) (?:[\w-]+ ){0,3}(?:nuts|bolts|screws|studs|clips|rivets|pins))\b(?:[^.;]*,)? $",
    re.IGNORECASE,
)


# "I was going to reuse them but they're rusty", "I had planned to leave it, but": given up again.
_MEANT = re.compile(
    r"\b(?:i|we)(?:(?: was| were|'d been| had been) (?:going to|gonna|about to|planning to|"
    r"hoping to|thinking of)|(?:'d| had)? (?:planned to|hoped to|meant to|thought of|wanted to))"
    r"(?: (?:just|only|maybe|probably))? ",
    re.IGNORECASE,
)
_USED_AGAIN = re.compile(
    r"\b(?:reuse|re-use|keep|leave|save|use) (?P<what>(?:(?:the|them|those|these|that|this|my|"
    r"your|his|old) )*[\w-]+(?: (?!but\b|only\b|again\b|in\b|on\b)[\w-]+)?)",
    re.IGNORECASE,
)
_NEW_ONES = re.compile(
    r"\b(?:so|no|nope|get|gets|getting|want|wants|need|needs|having|it's|they're|goes|with)"
    r"(?:,? no)?,? (?:an? |two |three |four |six |eight )?new (?P<what>ones?|[\w-]+)\W*$",
    re.IGNORECASE,
)
_GIVEN_UP = re.compile(
    r"[^.;]*?(?:,| )(?:but|only|except|though|until|till|no|nope|actually)\b", re.IGNORECASE
)
# "So we can keep it" is a verdict.
_KEPT = re.compile(
    r"(?:so |and |then )*(?:we|i|you)(?:'ll| can| could| will)? (?:keep|reuse|re-use) "
    r"(?:it|them|that|this|those|that one|this one)\W*$",
    re.IGNORECASE,
)
# "I could stone that off, but it's worn short", "I can get a feeler under it": what one might do,
# or what was found; "now I can pull the shaft" is done.
_COULD = (
    r"(?:(?:but|and|so|well|because|'cause|there)\b,? )*(?:i can|(?:i|we) could)"
    r"(?: (?:have|just|always|easily|probably))*"
)
_ABLE = re.compile(rf"{_COULD}(?: |$)", re.IGNORECASE)
_ABLE_BEFORE = re.compile(rf"(?:^|[,;.] ){_COULD} $", re.IGNORECASE)
_IN_TURN = re.compile(r"\b(?:now|then|next|once|after|when|with|until|first)\b", re.IGNORECASE)
# "None on the shelf so I've ordered one, fit it when it comes in": another day.
_ORDERED = re.compile(r"\b(?:order(?:ed|ing)?|stock|shelf|supplier|waiting (?:on|for))\b", re.I)
_WHEN_IT_COMES = re.compile(
    r"\b(?:when|once|as soon as|until) (?:it|they|that|the \w+(?: \w+)?|we|i|you)(?:'s|'ve)?"
    r" (?:comes? in|arrives?|turns? up|gets? here|lands?|here|got it|got one)\b",
    re.IGNORECASE,
)
# "Only then you touch a fitting" allows it, and asks for nothing.
_ONLY_THEN = re.compile(r"\bonly then\W*$", re.IGNORECASE)
_TOUCHED = re.compile(r"(?:do |can |may )?(?:you )?(?:can |may )?touch\b", re.IGNORECASE)


def is_not_done(text: str, mark: Marked) -> bool:
    """Whether an action in a sentence is compared, left out, another's mistake, or a warning.

    Args:
        text: the sentence.
        mark: the action.
    """
    before = text[: mark.begin]
    return bool(
        _COMPARED.search(f"{before}|{text[mark.begin :]}")
        or _NONE.search(before)  # "no hooks on them"
        or _OF_OTHERS.search(before)
        or _given_up(text, mark)
        or _KEPT.match(mark.text)
        or _only_able(before, mark.text)
        or (_ORDERED.search(text) and _WHEN_IT_COMES.search(mark.text))
        or (_ONLY_THEN.search(before) and _TOUCHED.match(mark.text))
        or _YOU_SPOIL.match(text[mark.begin :])
        or _CAUTION.match(mark.text)
        or _THROWN.match(mark.text)
        or _USUALLY.match(f"{before}|")
        or _USUALLY.match(_OF_ONESELF.sub(r"\g<0>|", mark.text, count=1))
        or _SEEN.search(before)
        or _MAY.search(before)
        or (_NOT.search(before) and _FASTENERS.match(mark.text))
        or any(
            one.start() < mark.end and mark.begin < one.end() for one in _PREDICTED.finditer(text)
        )
        or _BEYOND.search(f"{before}|{mark.text}")
        or _COUNTED.search(before)
        or _GONE.match(mark.text)
        or _AIMED.match(mark.text)
        or spoils(text[mark.begin :])
        or _ELSE.search(before)
        or _IT_DOES.match(mark.text)
        or (_SET_SCREW.match(mark.text) and _SORT_OF_SCREW.search(before))
        or _AGAIN.search(f"{before}{mark.text}")
        or (before.lower().endswith("straight ") and mark.text.lower().startswith("edge"))
    )


def _only_able(before: str, told: str) -> bool:
    """Whether an order is what somebody could do: "I could stone that off", and no more."""
    able = _ABLE.match(told) or _ABLE_BEFORE.search(before)
    return able is not None and not _IN_TURN.search(before) and not _IN_TURN.match(told)


def _given_up(text: str, mark: Marked) -> bool:
    """Whether an order is what somebody had meant to do: "I was going to reuse them, but"."""
    meant = next((m for m in _MEANT.finditer(text) if mark.begin <= m.end() <= mark.end), None)
    meant = meant or next((m for m in _MEANT.finditer(text) if m.end() == mark.begin), None)
    return meant is not None and _GIVEN_UP.match(text, meant.end()) is not None


def new_instead(text: str, mark: Marked) -> str | None:
    """Return what is renewed since it was not used again: "reuse them, but no, new springs".

    Args:
        text: the sentence.
        mark: the action that is not done.
    """
    kept = _USED_AGAIN.search(text, mark.begin)
    if kept is None or kept.start() > mark.end or not _given_up(text, mark):
        return None
    named = _NEW_ONES.search(text, kept.end())
    if named is None:
        return None
    return f"replace {kept['what'] if named['what'] in {'one', 'ones'} else 'the ' + named['what']}"


def what_holds(text: str, mark: Marked) -> str | None:
    """Return what holds a thing, in one clause: "four nuts, ten mil, hold the pump to it"."""
    found = _HELD_BY.search(text[: mark.begin])
    if found is None or mark.text.split()[0].lower() not in {"hold", "holds"}:
        return None
    return f"{found['held']} {mark.text}"
