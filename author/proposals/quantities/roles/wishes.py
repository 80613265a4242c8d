"""Turns of phrase that tell a wish, and what comes of a value that is past its limit."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.cues import BAD, BETTER, SOFT

# "I want tails over ten on every one", "you're after more than fifty".
WISHED = re.compile(
    r"\b(?:wants?|wanna|need|needs|like|likes|prefer|looking for|looking at|aiming for"
    r"|after(?! (?:you|it|we|i|they|he|she|the|that|this|every|each|[a-z]+ing)\b)"
    r"|aim for"
    r"|expect|hoping for|hope for|shoot for|(?:should|must|ought to|has to|have to|got to|gotta)"
    r" (?:have|get|see|be|give|show|read|hold|make|find|stay|come|pull|leave))"
    r"(?! (?:to|you to) (?:go|be going|stop|run))"
    r"(?: (?!(?:if|when|once|unless|until|but|not|no|never|nothing|don't|than|anything"
    r"|anywhere|cannot|oughtn't|shouldn't|mustn't|can't|won't)\b)"
    r"[a-z']+){0,4}? "
    rf"(?:(?P<over>more than|over|above|north of|better than|upwards of|greater than|bigger than"
    rf"|longer than|higher than)|(?P<under>less than|under|below|fewer than|smaller than"
    rf"|lower than|shorter than|south of)){SOFT}"
)
DENIED = re.compile(
    r"\b(?:don't|doesn't|didn't|won't|wouldn't|do not|not|never|nobody|no)(?: \w+)?,? ?$"
)
MOVED_OVER = re.compile(
    r"(?:\b(?:slide|slid|move|shift|pull|push|tap|nudge|bring|scoot|swing|lay|fold|lap|knock|slip"
    r"|walk|ease|time|average|tick|ticks|ticking|tickin)\b(?: [a-z']+){0,3} over"
    r"|\b(?:go|goes|turns?|moves?|swings?|rotates?) (?:easily|freely|smoothly|all the way) over"
    r"|\b(?:cross|swap|flip|roll|hand|turn|click) over)"
    r"(?: (?:about|around|roughly|maybe|a|an|say|like))*$"
)
# Words of trouble in a denial are none: "no problem", "don't worry", "won't hurt".
_NO_TROUBLE = re.compile(
    r"\b(?:(?:no|not (?:a|the|any|much of a)|never (?:a|any)|without(?: any)?|nothing"
    r"|isn't a|ain't no) (?:problems?|worry|worries|trouble|drama|dramas|bother|harm|fault|issue"
    r"|issues|leaks?|big deal|wrong|to worry about|fear|wear)"
    r"|(?:don't|do not|needn't|no need to|never) (?:you )?(?:worry|bother|fret|panic|touch|change"
    r"|replace|chase)(?: about)?(?: it)?"
    r"|won't (?:hurt|matter|notice|bother|leak|fail|wear|come to any harm|do any harm"
    r"|be a problem))"
)


def in_plain_words(words: str) -> str:
    """Return words with each denial of trouble as one word of content."""
    return _NO_TROUBLE.sub("fine", words)


# What follows a value that is accepted.
GOOD_COMES = re.compile(
    r"\b(?:long|years?|lasts?|live|lives|job's (?:a good|done)|nice|lovely|grand|great|sound"
    r"|serviceable|within|in spec|in limits|does (?:it|me|us|fine|nicely)|suits|will do|'ll do"
    r"|legal|well(?! ?,)|go again|stays?|quiet|smooth|for ?ever|home and dry|sorted|reusable"
    r"|as new|runs?"
    r"|works?|relax|reckon it's in)\b"
)
FLOOR_LATER = re.compile(
    r"\b(?:(?:don't|do not|never|you mustn't|no|nothing|not) (?:go |get |take it |be |any )?"
    r"(?:under|below|lower than|less than|beneath) (?:it|that)\b"
    r"|(?:but|and)? ?never (?:any )?(?:lower|less|thinner|smaller)\b(?! than)"
    r"|that's (?:the |your )?(?:very |bare )?"
    r"(?:least|min(?:imum)?)\b)"
    r"|(?:, (?:(?:bare|absolute) )?min(?:imum)?|\bat (?:the )?(?:very )?least)(?= ?[,.;!?])"
    r"|(?:,|(?<!more )\band|\bbut) (?:not|no|never)(?: an? [a-z]+)? less\b(?! than)"
)
# "twenty-seven point six volts is the figure"
IS_WANTED = re.compile(
    r",? ?(?:is|'s|that's) (?:the|your|our|my) (?:figure|number|spec|setting|target|value|aim"
    r"|one you want|one we want|size you want)\b"
)
# "it has to be gone in twenty seconds"
DUE = re.compile(
    r"\b(?:must|should|has to|have to|got to|needs? to|ought to)"
    r"(?! (?:[a-z]+ ){0,2}?(?:test|check|look|measure|come back|ring|call|again|go back|do)\b)"
    r"(?: [a-z]+){1,4} (?:in|by|inside)$"
)
# "It must stop before eight hundred revs"
BEFORE_LIMIT = re.compile(
    r"\b(?:must|should|has to|have to|got to|needs? to|ought to|oughta|gotta|wants? to)"
    r"(?: [a-z]+){1,5} before"
    r"(?: (?:it|he|she)(?:'s| is| gets?| goes?| comes?| reach(?:es)?| hits?)(?: (?:at|to))?)?"
    r"(?: (?:about|a|an|the))*$"
)
# "Not to come within an inch of the bar": nearer is refused. "It isn't within five" is a test.
NOT_NEAR = re.compile(
    r"(?:not to|never|don't|do not|mustn't|must not|shouldn't|should not|nothing|no [a-z]+)"
    r"(?: (?!if\b)[a-z']+){0,4}? within(?: (?:about|a|an|the))*$"
    r"|\b(?:nobody|nae?body|no one|no people)(?: (?!if\b)[a-z']+){0,3}?"
    r" (?:within|inside(?: of)?)(?: (?:about|a|an))*$"
)
NORTH = re.compile(r"\b(?:north of|upwards of)(?: (?:about|a|an))*$")
# "Less than one megohm and you don't switch it on", "over ten microns is not acceptable".
REFUSED = re.compile(
    r",? ?(?:(?:and|then|so) )*(?:you|i|we|they|it|he|that)? ?(?:don't|do not|never|can't|cannot"
    r"|mustn't|won't|shouldn't|will not|must not|refuse|wouldn't|am not|'m not|i'm not|we're not"
    r"|(?:is|'s|are)(?: simply| just| really)? (?:not|no use|no good|useless|unacceptable"
    r"|hopeless|dangerous|illegal|a fail|off)|isn't|aren't)\b"
    r"(?! (?:worry|bother|fret|panic|touch|matter|hurt|need|a problem|too bad|bad|far))"
)
# "first to forty, then up to seventy", "pressure's up to ninety-one from fifty-two"
NEXT_UP = re.compile(
    r"\b(?:then|next)(?: (?:it's|take it|bring it|right|back|on|all the way|straight))* up to"
    r"(?: (?:about|around|a))?$"
)
FROM_THERE = re.compile(r",? ?(?:up )?from\b(?! (?:the|a|an|your|here|there)\b)|,? ?now\b")
AT_UP_TO = re.compile(
    r"\b(?:at|of|with|for|(?:allowed|free|right|entitled) to [a-z]+|may [a-z]+|allows?"
    r"|good|rated|loads?|pressures?|speeds?) up to"
)
# "If the hole isn't in line you go tighter, up to ninety": how far it may go on.
MORE_UP_TO = re.compile(
    r"\b(?:tighter|firmer|harder|higher|stiffer|hotter|warmer|longer|deeper|wider|thicker|heavier"
    r"|further|more)(?: if [a-z']+(?: [a-z']+){1,4})?(?:,? (?:but |and )?(?:only|never [a-z]+"
    r"|not [a-z]+))? up to$"
)
DONE_UP = re.compile(
    r"\b(?:bolts?|(?:lock|jam|wing)?nuts?|screws?|studs?|unions?|thermostat|throttle|dial|knob"
    r"|clamps?|clips?|caps?|fittings?|plugs?|air|steam|regulator)\b"
    r"(?: (?:back|all|goe?s?|gets?))* up to$"
    r"|\b(?:on|in|off|out|shut|closed|open) and up to$|\bup again to$"
    r"|\b(?:done|doing|nipped|pulled|pinched|snugged|cranked|tightening|wound|wind(?:ing)?) up to$"
)
_WHO = (
    r" (?:(?!(?:and|but|so|if|when|then|is|was|i've|we've|you've)\b)[a-z]+ ){0,3}?"
    r"(?:i'd|you'd|we'd|they'd|he'd|i'll|you'll|we'll|they'll|i|you|we|they|it|she|he"
    r"|the (?:maker|book|factory|company|manual|drawing)s?)"
    r"(?:(?:'re|'s| are| is) (?:allowed|permitted|supposed|meant) to)?"
    r" (?:(?:ever|would|can|may|should|could|will|really|still) )*(?:run|set|go|accept|take|want"
    r"|wants to be|allow|have|leave|let|use|like|put up with|live with|be|get|give|see|wear"
    r"|lose|drop|fall|leak|bleed|sag|creep|read|show)"
    r"(?:s|ed)?"
    r"(?: [a-z]+){0,3}?(?: ?(?:is|'s|are|at|be|was)\b)?(?: (?:about|a|an))*$"
)
# "the lowest I'd accept is four bar", "the most you'd want is three thou"
HIGHEST = re.compile(
    rf"\b(?:most|highest|biggest|largest|widest|longest|hottest|deepest|loosest|slackest|furthest"
    rf"|thickest|fastest|heaviest){_WHO}"
)
LOWEST = re.compile(
    rf"\b(?:least|lowest|smallest|narrowest|shortest|coolest|coldest|shallowest|tightest|closest"
    rf"|thinnest|slowest|lightest|nearest){_WHO}"
)
# "as long as there's four bar it'll run"
SO_LONG_AS = re.compile(
    r"\b(?:(?:so|as) long as|provided|providing|assuming)(?: that)? (?:there's|there is|you've got"
    r"|you have|it has|it's got|you get|it makes|it holds|i see|i get|we get|we've got|i've got)"
    r"(?: (?:about|a|an|still|a good))*$"
)
# "fifty megohms or it doesn't go back in"
OR_FAILS = re.compile(
    r"(?:(?:across|over|on|at|between|from) (?:the|each|any) (?:[a-z]+ ?){1,2})?"
    r",? ?or (?:else )?(?:(?:it|they|that|she|he) (?:doesn't|does not|don't|isn't|aren't|won't"
    r"|will not) (?:go|pass|leave|get|going|leaving|getting|passing)\b|(?:it|they|she|he)"
    r" (?:fails?|stays? (?:here|put|off|out|on the)|goes back|comes (?:out|off|apart) again)\b"
    r"|(?:it's|they're|it is|it gets) (?:all )?(?:done|made|stripped|set|measured) again\b"
    r"|you (?:do it|start|go) (?:all )?(?:over|again)\b|the inspector\b)"
)
# "once they've lost ten percent", "once ten percent of the wires are gone"
LOST = re.compile(
    r"\b(?:once|when|if)(?: [a-z]+){1,3}(?:'ve|'s| has| have)? lost(?: (?:about|more than|a))*$"
)
ONCE = re.compile(r"\b(?:once|when|if)(?: (?:about|a|an|more than|over))*$")
SHARE_GONE = re.compile(
    r"of (?:the |its |your |their )?(?:[a-z]+ ){1,2}(?:is|are|'s|has|have)(?: been)? (?:gone|broken"
    r"|worn|missing|lost)\b"
)
# "better than two percent" of an error, a runout: less is better.
BETTER_THAN = re.compile(r"\bbetter than(?: (?:about|a|an))*$")
SMALL_IS_GOOD = re.compile(
    r"\b(?:accura\w+|errors?|runout|true|truth|flat\w*|square\w*|parallel\w*|align\w*|backlash"
    r"|leak\w*|finish|ripple|play|wobbles?|shakes?|rocks?|straight\w*|taper|round\w*)\b"
)
DENIES = re.compile(
    r"\b(?:don't|do not|doesn't|never|not|mustn't|shouldn't|wouldn't|can't|cannot|won't)\b"
)
# "I'd want a hundred megohms before I'd sign it off"
WANTED_FIRST = re.compile(
    r"\b(?:want|wants|need|needs|(?:i'd|we'd|you'd) like|like to see|insist on|expect)"
    r"(?: to (?:see|have|get|read))?"
    r"(?: (?:a|an|good))*$"
)
BEFORE_IT = re.compile(
    r"before (?:i|i'd|i'll|you|you'd|we|we'd|we'll|they|they'd|it|anybody|anyone)\b"
)
# "from half a millimetre upwards it is replaced"
FROM = re.compile(r"\bfrom(?: (?:about|a|an))*$")
ONWARDS = re.compile(
    r"(?:upwards?|onwards?|and (?:up|over|above|more)\b|on\b(?! (?:the|a|your|it)))"
)
# "if it drops to one point nine, scrap the cell"
REACHES = re.compile(
    r"\b(?:if|when|once|soon as|by the time) (?:(?:[a-z']+ ){0,2}?[a-z]+(?:'s|'re| is| are)"
    r" (?:right )?down|(?:[a-z']+ ){1,3}?(?:(?:drop|fall|sink|dip|sag|wear"
    r"|go|get"
    r"|come)(?:s|es)?(?: (?:right|all the way))? (?:away |off )?down|(?:drop|fall|sink|dip|sag|wear"
    r"|shrink)s?|(?P<rises>(?:climb|rise|creep|grow|open|go|get|come)(?:s|es)? (?:right )?(?:up"
    r"|out)"
    r"|(?:climb|rise|grow|creep)s?)))(?: \w+)? (?:to|at)(?: (?:about|around|like|say|a|an))?$"
)
# "this one more than two hundred", "I've over two hundred"
SEEN_PAST = re.compile(
    r"\b(?:this one|that one|mine|ours|i've|we've|i got|we got|i get|we get|i'm getting"
    r"|we're getting|reads|(?:it|she|he) has|(?:i|we) have|this one's)"
    r"(?: off the (?:clock|scale|dial|end))?"
    r"(?: (?:got|is|has|reads|gets|shows|well|just|still|now))* (?:over|more than|above|under"
    r"|less than|below)$"
)
# "if it needs four tons, stop"
NEEDS_MORE = re.compile(
    r"\b(?:if|when|once) (?:it|they|she|he|that) (?:needs?|takes?|wants?|hits?)"
    r"(?: (?:about|more than|a))*$"
)
# "there must be three millimetres left"
MUST_BE_LEFT = re.compile(r"\b(?:got to|has to|have to|must|should|need|needs|want|wants|least)\b")
LEFT_BEHIND = re.compile(r"(?:of \w+ )?(?:left|remaining|to spare)\b")
# "With less than four bar the clamp slips": what should hold does not.
FALLS_OUT = re.compile(
    r"(?:he|she|the [a-z]+) (?:(?:doesn't|does not|don't|won't|will not|can't|cannot) [a-z]+"
    r"|slips?|slides?|sags?|wanders?|hunts?|starves?|chokes?|clogs?|lugs?|drags?|stalls?|skips?)\b"
)
# "Point four or better, chuck it" means so much or more.
REFUSED_BETTER = re.compile(
    rf"{BETTER.pattern} ?,? ?(?:and )?(?:(?:it|you|they|she|he)(?:'s|'re|'ll)? )?{BAD.pattern}"
)
# "It's scrap below fifteen ninety, so this one will do"
SCRAP_PAST = re.compile(
    r"\b(?:scrap|scrapped|junk|finished|done|dead|condemned|binned|had it|no good|no use|worn out)"
    r"(?: (?:once|when|if) it(?:'s| is| gets| goes))? (?:over|past|above|under|below|beyond)$"
)
# What is brought up to a value, which is no limit.
RAISING = frozenset([
    "bring", "brings", "take", "takes", "torque", "torqued", "tighten", "tightened", "heat",
    "pump", "pressurise", "get", "gets", "run", "wind", "spin", "crank", "come", "comes",
    "goes", "go", "warm", "charge", "fill", "nip", "do", "snug", "pull", "work", "build",
    "turn", "bolt", "top", "wound", "set", "inflate", "blow", "bump", "raise", "opened", "worn",
    "crept", "climbed", "went", "gone", "step", "came", "spins", "revs", "ran",
    "warmed", "heated", "brought", "topping", "bringing", "taking",
    "pumping", "filling", "warming", "pumped", "charged", "topped", "inflated", "pressurised",
])  # fmt: skip
