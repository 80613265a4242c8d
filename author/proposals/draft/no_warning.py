"""Messages that warn of nothing by their form, and those of which only a part would suffer.

Few signs make a warning, since one that is missed costs more than one too many; but a piece of an
order, the state a part was found in and plain work are none, however their words sound.
"""

from __future__ import annotations

import re

from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import singular
from author.proposals.steps.findings import names_fault

_LEAD = r"(?:and |but |so |now |then )*"
# "Hit the stop switch", "hoover out every groove": work, which stands as a step.
_WORK = re.compile(
    rf"{_LEAD}(?:hit|press|clean|wipe|oil|grease|fit|refit|tighten|hoover|vacuum|brush|sweep|warm|"
    r"count|mark|sand|polish|lap)\b(?!.*\b(?:not|no|never|don't|only|just|careful\w*|gently|slowly|"
    r"before|until|till|clear|away|off|out of|hands?|fingers|face|eyes|gloves|goggles|mask|glasses|"
    r"emergency|hard|too|more|less|max|tops|any|or|because|will|can)\b)(?!.*'ll\b).+",
    re.IGNORECASE,
)
# "One drop of light oil on the pivot"; "one drop, no more" is a limit.
_AMOUNT = re.compile(
    rf"{_LEAD}(?:an?|one|two|three) (?:\w+ )?(?:drops?|dabs?|smears?|spots?|touch|lick|squirts?|"
    rf"bits?)"
    r" of (?!.*\b(?:no|not|never|only|too|or|will|can)\b).+",
    re.IGNORECASE,
)
# "Keep the pins if they're straight", not "keep the pins clear of the blade"
_KEPT = re.compile(
    rf"{_LEAD}keep (?:the|those|these|all the|both|your old|the old) (?:(?!if\b)[\w-]+ )?(?P<part>"
    r"(?!if\b|for\b|to\b)[\w-]+)(?:(?:,| and|, and) (?:the |both )?(?:[\w-]+ )?(?P<more>"
    r"(?!if\b|for\b|to\b|away\b|clear\b)[\w-]+))*"
    r"(?:(?: if| for| to) .*|,? (?:they|it|mine|we|i)\b.*)?",
    re.IGNORECASE,
)
# "Guard back", "covers back on": work; "guard on before you start it" warns.
_BACK = re.compile(
    rf"{_LEAD}(?:the )?(?:[\w-]+ )?(?:guards?|covers?|lids?|panels?|caps?|hoods?) (?:back|on|back "
    rf"on)",
    re.IGNORECASE,
)
# "They just drop on", "it slides straight in" is how it is meant to be.
_GOES_ON = re.compile(
    rf"{_LEAD}(?:it|they|the [\w-]+)(?:'ll| will)?(?: just| all| should)? (?:drop|slide|slip|push|"
    rf"pop|"
    r"go|press|click|screw)s?(?: straight| right| back)? (?:on|in|home|together|into place)",
    re.IGNORECASE,
)
# "And under it", "as it came", "that's left": pieces of what was said around them.
_PIECE = re.compile(
    rf"{_LEAD}(?:(?:under|over|behind|inside|in|on|below|beside|with) (?:it|there|them|that|here)|"
    rf"as "
    r"(?:it|they) (?:came|come|was|were)(?: out| off)?|that's (?:left|it|all)|(?:nobody|somebody|"
    r"everybody) else's|before (?:owt|anything|everything) else)",
    re.IGNORECASE,
)
# "It is hard like wood", "it's stiff as a board": how the old one was; "like a razor" warns.
_LIKE = re.compile(
    rf"{_LEAD}(?:it|they|this|that|the [\w-]+)(?:'s|'re| is| are| has gone|'s gone)(?: as)? "
    rf"(?:gone )?"
    r"(?:(?:hard|stiff|dry|solid|flat|black|brittle|soft|thick|brown|green|rough) (?:like|as) |"
    r"like )"
    r"(?:an? |the )?(?:wood|rock|stone|board|bone|leather|cardboard|toffee|glue|tar|concrete|"
    r"coffee|"
    r"biscuit|pancake|treacle|chewing gum|plank|brick|sandpaper|mud|soup|mayonnaise|milk|cheese)",
    re.IGNORECASE,
)
# "The split pins are new every time"
_RENEWED = re.compile(
    rf"{_LEAD}(?:(?:the|those|these) )?[\w -]{{2,40}} (?:is|are|comes|gets|go in|goes in) "
    rf"(?:always )?"
    r"new(?: every time| always| each time| on every job)?",
    re.IGNORECASE,
)
# "There's no pressure in there now"
_GONE = re.compile(
    rf"{_LEAD}there(?:'s| is) no (?:more )?(?:pressure|voltage|power|current|charge|tension|load|"
    rf"air|"
    r"gas|water|oil|fuel|steam)(?: left)?(?: (?:in|on|at|behind|to) (?:there|it|them|here|the "
    r"[\w-]+))?"
    r"(?: now| any more| any longer)?",
    re.IGNORECASE,
)
# "I'm reusing the clips", "we're not touching that one" tell what this one does.
_OF_ME = re.compile(
    rf"{_LEAD}(?:i'm|we're|i am|we are) (?:not )?(?:re-?using|keeping|leaving|changing|replacing|"
    r"fitting|putting|taking|using|going with) (?:the|those|these|that|them|it|mine|my|new)\b"
    r"(?!.*\b(?:gloves|goggles|mask|away|clear|hands?|well)\b).*",
    re.IGNORECASE,
)
# "It can drop a hundred psi, no more than that" is a limit.
_MAY = re.compile(
    r"(?!.*\b(?:onto|your|you|hands?|foot|feet|fingers|head|toes|somebody)\b)"
    rf"{_LEAD}(?:it|they|that|this|she|he|the \w+) (?:can|may|might) (?:drop|lose|leak|rise|fall|"
    rf"go "
    r"(?:up|down)|move|vary|drift|climb) (?:by |to )?(?!on\b|off\b|out\b|your\b)[\w .-]{2,40}?"
    r"(?:,? (?:no|not) more(?: than that)?|,? at most|,? max)?",
    re.IGNORECASE,
)
# "The hose is still soft", "its plastic": how a thing is, and no word of what comes of it.
_PLAIN_STATE = re.compile(
    rf"{_LEAD}(?:its|it's|(?:it|they|that|this|(?:the|that|this|your) [\w-]+(?: [\w-]+)?)"
    r"(?:'s|'re| is| are)) (?:still |all |quite |a bit |nice and |lovely and |just )*(?:soft|"
    r"plastic|rubber|nylon|brass|alloy|plastic behind|clean|dry|new|supple|springy|flexible|plain|"
    r"shut|closed|empty|flat|straight|smooth)",
    re.IGNORECASE,
)
# "So it doesnt suck scale": what does not come.
_DENIED = re.compile(
    rf"{_LEAD}(?:it|they|that|this|she|he|the [\w-]+) (?:doesn'?t|don'?t|won'?t|can'?t|cannot) "
    r"(?:suck|leak|drip|weep|catch|rub|bind|jam|spin|slip|twist|fall|drop|bend|kink|chafe|rattle|"
    r"squeak|rust|seize|stick|block|clog|foul|burn|crack|scratch)\b[\w -]{0,30}",
    re.IGNORECASE,
)
# "You don't have to drain it"; "you don't have to touch it to get a shock" warns.
_NEED_NOT = re.compile(
    rf"{_LEAD}(?:you|we|i) (?:don'?t (?:have|need) to|do not (?:have|need) to|needn'?t) "
    r"(?!be\b|touch\b)(?!.*\bto\b)[\w' -]+",
    re.IGNORECASE,
)
# "If one snaps, don't panic, you can drill it out"
_NO_WORRY = re.compile(
    rf"{_LEAD}(?:don'?t|do not|no need to|never) (?:panic|worry|fret|be alarmed|give up)"
    r"(?: about (?:it|that|them))?",
    re.IGNORECASE,
)
_NUMBER = re.compile(
    r"\d|\b(?:one|two|three|four|five|six|seven|eight|nine|ten|hundred|thousand|half|quarter|"
    r"twenty|"
    r"thirty|forty|fifty)\b",
    re.IGNORECASE,
)
_STATE = re.compile(
    rf"{_LEAD}(?P<part>[\w-]+) (?:is|are)(?: all| both| a bit| quite| badly)? (?!.*\b(?:sharp|hot|"
    rf"live|"
    r"heavy|loaded|charged|under|brittle|loose|thin|weak|missing|leaking|will|can|could)\b)[\w "
    r"-]{3,30}",
    re.IGNORECASE,
)
_THIS_IS = re.compile(
    rf"{_LEAD}this is (?:the|a|an|our|my) (?!.*\b(?:danger\w*|one|bit|part|live|hot|dodgy|nasty|"
    rf"killer|"
    r"sharp|loaded|spring|pressure|where|that)\b)[\w' -]{3,60}",
    re.IGNORECASE,
)
_TIES = frozenset({"the", "a", "an", "your", "and", "both", "of", "old", "new"})


def is_no_warning(harm: str, avoid: str) -> bool:
    """Whether a message warns of nothing by its form.

    Args:
        harm: what can do harm; empty where that was not said.
        avoid: how to avoid it; empty where that was not said.
    """
    if harm and avoid:
        return bool(_OF_ME.fullmatch(avoid) or _NO_WORRY.fullmatch(avoid))
    if harm:
        return _is_no_harm(harm)
    kept = _KEPT.fullmatch(avoid)
    if kept is not None:
        return _is_thing(kept["part"]) and (kept["more"] is None or _is_thing(kept["more"]))
    told = (_WORK, _AMOUNT, _BACK, _PIECE, _OF_ME, _NO_WORRY)
    return _is_allowed(avoid) or any(pattern.fullmatch(avoid) for pattern in told)


def _is_allowed(words: str) -> bool:
    """Whether words only tell how far a reading may go: "it can drop a hundred psi"."""
    return _MAY.fullmatch(words) is not None and _NUMBER.search(words) is not None


def _is_no_harm(harm: str) -> bool:
    told = (
        _PIECE, _LIKE, _RENEWED, _OF_ME, _THIS_IS, _GOES_ON, _GONE, _PLAIN_STATE, _DENIED, _NEED_NOT
    )  # fmt: skip
    if any(pattern.fullmatch(harm) for pattern in told) or _only_names(harm):
        return True
    if _is_allowed(harm):
        return True
    state = _STATE.fullmatch(harm)
    return state is not None and names_fault(harm) and _is_thing(state["part"])


def is_meant(harm: str) -> bool:
    """Whether what is told to come of it is how it is meant to be: "and they just drop on"."""
    return _GOES_ON.fullmatch(harm) is not None


def _is_thing(word: str) -> bool:
    known = trade_words()
    return any(known.kind_of(one) for one in (word.lower(), singular(word.lower())))


def _only_names(words: str) -> bool:
    """Whether words only name parts or tools: "the motor and the pump", not "bare wires"."""
    names = [word for word in words.lower().split() if word not in _TIES]
    return bool(names) and all(_is_thing(word) for word in names)


_FACE = (
    r"(?:sealing |seal |carbon |ceramic |mating |lapped |friction |optical |brake )?(?:faces?|lens|"
    r"lenses|mirror|bulb|pads?|discs?|sealing surface|journal|gasket|sensor)"
)
_PART_SUFFERS = re.compile(
    rf"\b(?:don't|do not|never|no|not) (?:touch\w*|handle|put|get) (?:[\w ]+ on )?(?:the |that |"
    rf"those "
    rf"|your )?{_FACE} with (?:your |bare )*(?:fingers|hands|thumb)"
    r"|\bthe (?:new )?[\w-]+(?:'ll| will) (?:spin|creep|turn|walk) (?:on|in) (?:it|the \w+)\b"
    r"|\b(?:have|be) (?:the|these|those|this|that|it|them)\b[\w ]{0,20} (?:out|off|apart|down) "
    r"again\b",
    re.IGNORECASE,
)
_PERSON = re.compile(
    r"\b(?:hot|live|sharp|burn|burns|scald|cut|shock|spinning|running|blade|you'll lose|hurt|laser|"
    r"volts?)\b",
    re.IGNORECASE,
)


def only_a_part_suffers(text: str) -> bool:
    """Whether nobody can be hurt by what is warned of: "don't touch the face with your fingers"."""
    return _PART_SUFFERS.search(text) is not None and not _PERSON.search(text)
