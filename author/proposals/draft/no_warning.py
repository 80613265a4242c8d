"""Messages that warn of nothing by their form, and those of which only a part would suffer.

Few signs make a warning, since one that is missed costs more than one too many; but a piece of an
order, the state a part was found in and plain work are none, however their words sound.
"""

from __future__ import annotations

import re

from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import singular
from author.proposals.steps.findings import names_fault
from author.proposals.steps.made_safe import is_made_sure

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
# "Pop them out with a flat screwdriver": work, and how it is done
_WITH_TOOL = re.compile(
    rf"{_LEAD}(?:pop|pull|prise|pry|drive|knock|tap|take|undo|lever|press|push|work|ease|slide|"
    r"lift) (?:it|them|that|those|the [\w-]+(?: [\w-]+)?)(?: out| off| in| on| up| down| free| "
    r"loose)? with (?:an?|the|your|my) (?!.*\b(?:not|never|don't|only|care|mind|careful|or)\b)"
    r"[\w -]{3,40}",
    re.IGNORECASE,
)
# "Eighty degrees in the oven for twenty minutes": how something is warmed
_HEATED = re.compile(
    rf"{_LEAD}(?:about |around |to |at )?[\w. -]{{2,30}} degrees(?: c| celsius)? (?:in|on|with) "
    r"(?:the|an?|my|your) (?:oven|hot ?plate|heater|heat gun|hot air gun|cooker|microwave|"
    r"induction heater)\b(?: (?:for|about|until|till) [\w -]{2,30})?",
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
# "The chain has stretched": how this one was found
_WORN = re.compile(
    rf"{_LEAD}(?:the|this|that|these|those|it|they|one of the)(?: [\w-]+){{0,3}}?"
    r"(?:'s|'ve| has| have) (?:all |both |just |really )?(?:stretched|worn|worn out|gone|perished|"
    r"dried out|hardened|faded|sagged|seized|rusted|corroded)"
    r"(?: (?:a bit|a lot|badly|solid|up|out|flat|already))?",
    re.IGNORECASE,
)
_THIS_IS = re.compile(
    rf"{_LEAD}this is (?:the|a|an|our|my) (?!.*\b(?:danger\w*|one|bit|part|live|hot|dodgy|nasty|"
    rf"killer|"
    r"sharp|loaded|spring|pressure|where|that)\b)[\w' -]{3,60}",
    re.IGNORECASE,
)
# "The pump comes away in your hand": so it is told how a part comes off.
_COMES_AWAY = re.compile(
    rf"{_LEAD}(?:it|they|that|the (?:whole |old )?[\w-]+(?: [\w-]+)?) (?:just )?(?:comes?|lifts?|"
    r"falls?|drops?)(?: straight| right)? (?:away|off|out|free)?(?: straight)? ?(?:in|into) your "
    r"hands?",
    re.IGNORECASE,
)
# "A coin and a hair grip stuck in the impeller": what was found there.
_FOUND_THERE = re.compile(
    rf"{_LEAD}(?:there(?:'s| was| were| is| are) )?(?:an?|some|the|two|half a|bits of) "
    r"(?!.*\b(?:fingers?|hands?|you|your|live|will|can|could|gets?)\b)[\w' -]{2,50} "
    r"(?:stuck|jammed|caught|wedged|wrapped|tangled|lodged)(?: up)? "
    r"(?:in|round|around|behind|under|between|on) (?:the|it|there)\b[\w -]{0,30}",
    re.IGNORECASE,
)
# "The gear has no teeth left on one side": the state of what comes out.
_WORN_AWAY = re.compile(
    rf"{_LEAD}(?:(?:it|this|that)(?:'s| has)|they(?:'ve| have)|"
    r"(?:the|this|that) [\w-]+(?: [\w-]+)?(?:'s| has| have)) (?:got )?"
    r"(?:no|hardly any|barely any|next to no|not much) (?:teeth|threads?|"
    r"rubber|lining|tread|carbon|grease|chrome|bristles|felt|edge)(?: at all)?(?: left)?"
    r"(?: (?:on|in|at|round) [\w -]{2,30})?",
    re.IGNORECASE,
)
# "And the plastic dust too": one thing more that the order before it is of.
_ONE_MORE = re.compile(
    rf"{_LEAD}(?:the|all the|any|your|both) [\w-]+(?: [\w-]+)? (?:too|as well)", re.IGNORECASE
)
# "Take the back panel off" is work; "take the fuse out", "take your rings off" make safe.
_TAKEN_OFF = re.compile(
    rf"{_LEAD}(?:take|pull|lift|slide|slip) (?:the|that|this|both) "
    r"(?!.*\b(?:fuses?|batter(?:y|ies)|key|plug|lead|keys|weight|load|hands?|fingers|pressure|power|"
    r"guards?)\b)[\w-]+(?: [\w-]+)? (?:off|out|away)",
    re.IGNORECASE,
)
# "It's never used twice", "I can live with that": what becomes of a part.
_KEPT_OR_NOT = re.compile(
    rf"{_LEAD}(?:(?:it|they|that|those|the [\w-]+)(?:'s|'re| is| are) (?:never|not) "
    r"(?:re-?used|(?:used|fitted|put back) (?:twice|again|a second time))|"
    r"(?:i|we|you) can live with (?:that|it|them))",
    re.IGNORECASE,
)
_TIES = frozenset({"the", "a", "an", "your", "and", "both", "of", "old", "new"})
_NO_HARM = (
    _PIECE, _LIKE, _RENEWED, _OF_ME, _THIS_IS, _GOES_ON, _GONE, _PLAIN_STATE, _DENIED,
    _COMES_AWAY, _FOUND_THERE, _WORN_AWAY, _ONE_MORE, _KEPT_OR_NOT, _HEATED, _WORN,
    _NEED_NOT,
)  # fmt: skip


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
    told = (_WORK, _AMOUNT, _BACK, _PIECE, _OF_ME, _WITH_TOOL, _WORN, _TAKEN_OFF, _NO_WORRY)
    return (
        is_made_sure(avoid)
        or _is_allowed(avoid)
        or any(pattern.fullmatch(avoid) for pattern in told)
    )


def _is_allowed(words: str) -> bool:
    """Whether words only tell how far a reading may go: "it can drop a hundred psi"."""
    return _MAY.fullmatch(words) is not None and _NUMBER.search(words) is not None


def _is_no_harm(harm: str) -> bool:
    if any(pattern.fullmatch(harm) for pattern in _NO_HARM) or _only_names(harm):
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
