"""Turns of phrase that tell what a number is for."""

from __future__ import annotations

import re

SOFT = r"(?: (?:about|around|like|a|an|the|of|maybe|say|what|only|just|exactly|any|anything|be))*$"
NOT = (
    r"(?:no(?! (?:load|go|doubt|problem|bother|worries|sweat|drama|need|idea|wonder|rush"
    r"|flow|one))"
    r"|not|never|nowhere|nothing|none|don't|do not|doesn't|does not|can't|cannot|mustn't|must not"
    r"|shouldn't|should not|oughtn't|ought not|won't|without|wouldn't|nor|no a"
    r"|(?:not|no|never) a (?:hair|whisker|bit|touch|skerrick|smidge|fraction))"
)


GOING = r"(?: (?!(?:if|when|unless|until|but|and|so|then)\b)[a-z']+){0,4}?"


OVER = (
    r"(?:more than|over|above|past|beyond|greater than|higher than|exceed|exceeds"
    r"|exceeding|in excess of|bigger than|larger than|deeper than|longer than"
    r"|thicker than|hotter than|looser than|wider than|later than|any more than|warmer than"
    r"|heavier than|taller than|further than|farther than|fatter than|louder than|stronger than"
    r"|stiffer than|slacker than|faster than|worse than|(?<!two )(?<!three )(?<!four )"
    r"(?<!few )(?<!more )(?<!light )(?<!both )(?<!2 )(?<!3 )(?<!4 )passes)"
)


UNDER = (
    r"(?:less than|fewer than|under|below|beneath|lower than|smaller than|tighter than"
    r"|thinner than|shallower than|shorter than|narrower than|cooler than|slower than"
    r"|colder than|lighter than|finer than|weaker than|closer than|nearer than"
    r"|skinnier than|leaner than|any less than|shy of|short of|south of)"
)


CAP = re.compile(
    rf"(?:^|\b)(?:{NOT}{GOING} (?:{OVER}|pass|cross|passing|crossing|beat)"
    rf"|(?:{NOT}|ain't)(?: \w+){{1,4}} but(?: not)?|(?:you|it|she) go(?:es)? (?:past|over|above"
    rf"|beyond)"
    rf"|at (?:the )?(?:very )?most|max(?:imum)?(?: is| of"
    rf"| allowed is"
    r"| allowable is|'s|:)?|a max of|(?:the )?(?:upper |high |wear |service |top |maximum |max "
    r"|outer )?(?<!lower )(?<!low )(?<!bottom )(?<!min )(?<!minimum )limit"
    r"(?: there| here)?(?:'s| is| of| at| being)?|inside the"
    r"|\b(?<!low )(?<!lower )(?<!min )(?<!pressure )(?<!level )(?:alarm|trip|shut-?down)"
    r"(?: (?:point|temperature|setting))?(?: (?:is|was)|'s)(?: set)?(?: at)?"
    r"|(?:worried|nervous|unhappy) at|not to exceed|up to a max(?:imum)? of|as high as|as much as"
    r"|(?:(?:you|we|it|they|she|he) (?:can|could|may|might)|(?:right|allowed|free) to|lets? you)"
    r" (?:go$|(?:go|get|run|have|climb|take (?:it|them))(?: all the way)?"
    r" (?:(?:up )?to|until|till))"
    # "You can take the drum out to 204", "it may be bored out to 60.5"
    r"|(?:can|could|may|might)(?: be)? (?:take|bore|open|skim|turn|machine|ream|hone|go|wear|grind)"
    r"[a-z]{0,2}(?: (?:it|them|that|those|(?:the|a|your) [a-z]+))?(?: (?:right|all the way))?"
    r" out to"
    r"|anything up to|maximal(?:ly)?|absolute max(?:imum)?(?: of| is)?|(?:the )?most (?:you want"
    r"|you can have|it can be|(?:that's|that is|it's|you're) (?:allowed|permitted))"
    rf"(?: is)?|ceiling of|top whack(?: is|'s)?|tops out at|stay(?:s|ing)? {UNDER}"
    rf"|keep(?:ing)? (?:it |them |that "
    r"|her |him "
    rf"|(?:the |your )?(?:(?!no\b|not\b|it\b)\w+ ){{1,3}})?{UNDER}"
    r"|(?:we|i|you|they|it|book|manual|makers?|sheet|drawing) allows?|allows(?: you| us)?"
    r"|(?:is|are|you're|we're|it's|they're"
    r"|that's)(?: only)? allowed(?: up to"
    r"|(?: to)? (?:be|have|reach|see|go to|drop|lose|rise|fall|move|leak|creep|sag)(?: by)?)?"
    r"|get away with|allow(?:able|ance)(?: is|'s)?|permitted"
    r"|(?:must|gotta|got to|has to|have to|needs to|should)(?: \w+){1,3} by|only goe?s?(?: to)?"
    r"|(?:can|may|might|could) (?:only )?(?:lose|drop|fall|leak|bleed|differ|vary)(?: by)?"
    r"(?: at most)?"
    r"|limited to|(?:i|we|you)(?:'ll|'d| will| would| can| could)?"
    r" (?:accept|tolerate|put up with|live with|stand for)"
    r"(?: up to| until| till)?"
    rf"|to within|within|max out at|≤|<=|<|(?:should|must|has to|needs to|wants to|ought to"
    rf"|got to|have to)(?: stay| come out| read)? ?(?:be )?{UNDER}){SOFT}"
)


FLOOR = re.compile(
    rf"(?:^|\b)(?:{NOT}{GOING} {UNDER}|at (?:the )?(?:very )?least|(?:a "
    rf"|an )?(?:absolute )?min(?:imum)?(?: is| of|'s"
    r"| allowed is|:)?|(?:the )?(?:low(?:er|est)?|bottom|min(?:imum)?) (?:limit|end|figure)(?:'s"
    r"| is| of)?"
    r"|upwards of|north of"
    r"|no fewer than|as low as|(?:give you|(?:allow|let)s?(?: you| us)(?: go)?|allows?|good"
    r"|fine|ok(?:ay)?|can go|go|(?:i|we|you)(?:'ll|'d| will| would| can) (?:take|accept)"
    r"(?: (?:it|them|one|these|those))?) down to"
    r"|as little as|bare minimum(?: is| of)?|(?:the )?least (?:you want"
    r"|you can have)(?: is)?|≥|>=|>"
    rf"|(?:should|must|has to|needs to|wants to|want it|ought to|got to|gotta|have to|stay"
    rf"|keep it)(?: stay| come out| read| hold)? ?(?:be )?{OVER}"
    rf"|nothing {UNDER}|no (?:sooner|earlier) than){SOFT}"
)


_VALUES = (
    r"(?:runout|play|gap|clearance|pressure|torque|temperature|wear|depth|thickness|speed|float"
    r"|load|current|length|width|height|diameter|deflection|backlash|contact|overlap|engagement"
    r"|lining|tread|flow|voltage|level|charge|strength|resistance|insulation|travel|stroke|spacing"
    r"|distance|radius|angle)"
)
# "the minimum for all of these is": a few words may stand before the verb.
_FOR_ALL = (
    r"(?: (?!(?:and|but|so|if|when|then|than)\b)[a-z']+){1,7}?"
    r"(?: (?:is|was|'s|being|of|at|comes to|works out at)|(?<=[a-z])'s)"
)
_NO_LEAST = r"(?<!low )(?<!lower )(?<!lowest )(?<!bottom )(?<!min )(?<!minimum )(?<!least )"
MAX_OF = re.compile(
    rf"\bmax(?:imum)? (?:\w+ )?{_VALUES}(?: \w+){{0,5}}$"
    rf"|\b(?:max(?:imum)?|most|(?:upper|outer|top|wear|service|scrap) limit|{_NO_LEAST}limit"
    r"|ceiling)"
    rf"(?! (?:switch|screw|stop))(?: (?:on|for|with|in|of|here|across|you|they|we|it|i|which"
    rf"|that)){_FOR_ALL}{SOFT}"
)
MIN_OF = re.compile(
    rf"\bmin(?:imum)? (?:\w+ )?{_VALUES}(?: \w+){{0,5}}$"
    rf"|\b(?:min(?:imum)?|least|(?:low(?:er|est)?|bottom) limit)(?! (?:switch|screw|stop))"
    rf"(?: [a-z]+)?(?: (?:on|for|with|in|of|here|across|you|they|we|it|that)){_FOR_ALL}{SOFT}"
)
BARE_OVER = re.compile(rf"(?:^|\b){OVER}{SOFT}")


BARE_UNDER = re.compile(rf"(?:^|\b){UNDER}{SOFT}")


UP_TO = re.compile(rf"(?:^|\b)(?:(\w+) )?(?:(\w+) )?(?:(\w+) )?up to{SOFT}")


# "two millimetres, and the minimum for all of these is": of the value that follows.
_OF_NEXT = (
    r" (?:for|of|is|allowed|which|that|i|we|you|they"
    r"|(?:on|in|with|here|across)\b(?: \w+){0,5} is"
    # "forty millimetres, max wear is a tenth"
    r"|(?!(?:and|or|but|so|then|at|to|it|this|on|in|with|here|across|the|a|an|my|mine|your)\b)"
    r"\w+(?: \w+)? (?:is|are))\b"
)
# "an eighth of a turn at a time", "half a turn per go"
_EACH_TIME = (
    r"(?:(?:at|in) (?:a|one|any one) (?:time|go|hit|pass|sitting|bite)"
    r"|(?:each|every|per|a|any) (?:time|go|pass|hit|shot|step|bite|stage|end|side|way|cut))?"
)
_SMALL = (
    r"one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thir|fif|twenty|forty|eighty"
    r"|ninety|a hundred"
)
CAP_AFTER = re.compile(
    rf"(?:proud|deep|long|wide|high|thick|below|above|under|over|out|up|down|off|sideways)? ?"
    rf"{_EACH_TIME}"
    r"(?: ?(?:over|under|off|past) (?:the|your|its|this|that) \w+"
    r"(?= is your| is the (?:limit|max)))?"
    r"(?: ?(?:on|for|in|at|with) (?:them|it|that|those|these|there|each|all|both|(?:the|a"
    r"|this) \w+))?"
    r"(?: ?(?:of )?(?:\w+ )?\w+(?<!\bmore)"
    r"(?= (?:max|at (?:the )?(?:very )?most|or less|maximum|tops)))?"
    r" ?,? ?(?:(?:total|overall|altogether|combined|all in)?"
    r"(?:is |as |as a |being | ?'s )?(?:the |an |your |our |my )?(?:absolute |very "
    rf"|upper |wear |service |scrap |discard |outer )?(?:max(?:imum|imal)?"
    rf"|tops(?! (?:\d|{_SMALL}))|limit|ceiling)\b(?!{_OF_NEXT}| ?'s$)"
    r"|(?:is |'s )?(?:the |about the |your |at )?(?:very )?most\b|at (?:the )?(?:very "
    r"|absolute |outside )?(?:most|max(?:imum)?|outside)"
    r"|or (?:less|under|below|lower|smaller|thinner|fewer|so max)\b|and no more\b(?! than)"
    r"|(?:and )?never\b(?! \w)|(?:and )?not (?:an? (?:\w+ ){1,2})?(?:more|over|higher"
    r"|above)\b(?! than)"
    r"|(?:is |'s )the (?:biggest|largest|highest|widest|longest|thickest|deepest|hottest)"
    r" (?:i|you|we|it|they|that|she|he)\b"
    r"|(?:is |'s )?(?:y(?:ou|e)r (?:lot|limit|max(?:imum)?|ceiling)"
    r"|all (?:(?:you|it|they|she|he)(?:'re| are|'s| is) (?:allowed|getting)"
    r"|(?:you|it|they|she|he) (?:gets?|wants?|needs?|can have|may have)"
    r"|(?:you|it|they|we|an? \w+|the \w+)(?:'ll)? (?:will |would |can |may )?(?:put up with|stand"
    r"|take|bear|allow|tolerate)s?\b))"
    r"|(?:and )?(?:none|no|nothing|never)(?: any)? (?:more|longer|higher|tighter|deeper|further"
    r"|farther|faster|hotter|warmer|bigger|thicker|wider|heavier|later|looser|(?<!no )over)\b"
    r"(?! than)(?! (?!(?:and|then|so|or|but|cos|cause)\b)\w)"
    r"|no more\b(?! than)|is as far as|is plenty and no"
    r"|(?:is|'s) (?:allowed|permitted|permissible|tolerated|as bad as)\b"
    r"|(?:is|'s) (?:all |what )(?:we|they|i|you)(?:'d|'ll)? (?:ever )?(?:allow|tolerate)\b"
    r"|(?:of \w+ ){1,2}(?:is|are) (?:fine|ok|okay|allowed|the (?:limit|max(?:imum)?)"
    r"|all right|acceptable)"
    r"|(?:and )?(?:absolutely|definitely|certainly|strictly|but) no more\b(?! than)"
    r"|(?:and )?not (?:one|another|a single) \w+ (?:more|over|longer|past|higher|further)\b"
    r"(?! than)"
    r"|(?:is |'s )?(?:the |your )?(?:absolute )?top whack\b|to play with\b(?! [a-z])"
    r"|(?:is |'s )(?:the |your )(?:absolute |very )?outside\b(?! \w)"
    r"|(?:is |'s )(?:the |your )?(?:red line|(?:very )?top of (?:the|that|this|its))\b)"
)


FLOOR_AFTER = re.compile(
    r"(?: ?(?:of )?(?:\w+ )?\w+(?= (?:minimum|at (?:the )?(?:very )?least|or more)))?"
    r"(?: ?(?:at|on|in|for) (?:the|a|each|this|that) \w+(?= ?,? (?:and )?(?:no|not) less))?"
    r",? ?(?:(?:and )?(?:not|no|never) (?:an? (?:\w+ ){1,2})?(?:less|under|fewer|lower)\b(?! than)"
    r"|(?:no|(?:and )?(?:nothing|never)(?: any)?) (?:shorter|slower|thinner|smaller|cooler|colder"
    r"|lighter|narrower|shallower|sooner|earlier|(?<!no )(?:lower|less|under|below))"
    r"\b(?! than)(?! \w)"
    rf"|(?:is |as |as a |'s )?(?:the |an |your )?(?:absolute |bare "
    rf"|very )?min(?:imum)?\b(?!{_OF_NEXT})"
    r"|(?:is |'s )the (?:smallest|lowest|thinnest|shortest|narrowest) (?:i|you|we|it|they|that|she"
    r"|he)\b"
    r"|(?:(?:is |'s )?(?:the|your|my)|is|'s) (?:floor|rock bottom)\b"
    r"(?! (?!(?:and|but|so|or)\b)[a-z])"
    r"|(?:(?:is |'s )?the|is|'s) (?:very )?least\b|at (?:the )?(?:very )?least\b"
    r"|or (?:more|above|over|higher|longer|greater|thicker|upwards?)\b|(?:and|or) (?:up(?! to\b)"
    r"|upwards)\b|\+(?! ?/))"
)


BETTER = re.compile(r",? ?or better")


BAD = re.compile(
    r"\b(?:(?:and|then) (?:it|you|they|that)(?:'ll| will)|leak(?!age)\w*|fault\w*|problem\w*"
    r"|blocked|broken"
    r"|slipping|knackered|buggered|cooked|short(?:ed)?|something's|scrap\w*|bin\w*|replace\w*"
    r"|change\w*|chuck\w*|toss\w*|throw\w*|junk\w*|worn"
    r"|reject\w*|pitch (?:it|them|'em|those)|no good|bad|finished"
    r"|toast|out of (?:spec|limits?|tolerance)|needs? (?:a |to |re|new|replacing|looking"
    r"|chang)\w*|done|new (?:one|bush|part"
    r"|bearing|shaft|set|pump|seal|belt|chain|battery|plug)s?|stop|problem|not right"
    r"|start again|too (?:much|far|tight|loose"
    r"|big|small|thin|high|low)|fail\w*|dead|gone|trouble|has had it|had it|won't|go back"
    r"|time for|rubbish|garbage|junk|stuffed|dustbin|skip|means|wants? (?:a|an|[a-z]+ing)|warn\w*"
    r"|bored?|send it|sent"
    r"|worry|worried|due|(?:coming|comes?|going|goes) (?:out|off|back|in the)|had enough|scrubbing"
    r"|strips?|snaps?|cracks?|split|bursts?|overheat\w*|burn\w*|melts?|seiz\w*|bind\w*|squash\w*"
    r"|crush\w*|jams?|scores?|galls?|ruins?|wrecks?|tears?|squeals?|rattles?|kinks?"
    r"|drops? out|cuts? out|stalls|starves|corrodes|freezes|foams|cavitates|chatters"
    r"|leave it alone|(?:till|until) it|it's new|factory job|dumpster|talk(?:in'|ing) about"
    r"|tell the"
    r"|you're into|we're into|sleeving|warped|shot|condemn\w*|swap\w*|regrind|rebore|away)\b"
)


# What comes of it, behind a value that something falls below: "under eighty it's garbage".
FOLLOWS = re.compile(
    r",? ?(?:(?:i|you|we|they)(?:'d| would) (?!say|call|guess|think|reckon|like|want|love|be|take"
    r"|live|accept|leave|prefer|put|pass|have no)[a-z]+\b"
    r"|(?:and )?(?:then |so )?(?:it|it's|that|that's|they|they're|you're)|(?:then "
    r"|so )?we|and (?:you|she|he|your|the))\b"
    r"(?! (?:reads?|says?|shows?|measures?|came|comes|was|were|got|had|have|saw|see|is (?:at"
    r"|reading"
    r"|now)))(?!'ve)"
)


# "A groove you can feel": nobody allows anything.
_SENSED = r" (?:still |just |really )?(?:feel|see|hear|catch|touch|smell|tell|get your|get a)\b"
GOOD = re.compile(
    r"\b(?:good|fine|ok|okay|happy|pass\w*|usable|carry on|all right|alright|reuse|golden"
    r"|leave (?:it|them|well)(?! to\b)|keep (?:it|going)"
    r"|acceptable|perfect|sweet|laughing|healthy|safe|content"
    rf"|may|can(?!')(?!{_SENSED})"
    r"|(?:i|we|you)(?:'ll|'d)? (?:will |would |can )?(?:take|leave|accept|live with)"
    r"(?! (?:it|them|'em) (?:out|off|back|apart|down|away)))\b"
)
ASKING = re.compile(
    r"(?<!hardly )\b(?:if|anything|anywhere|any|once|when|whenever|whatever|whichever"
    r"|should it|everything|every)\b"
)


ROUGH = re.compile(
    r"(?:^|\b)(?:about|roughly|approximately|approx|around|round about|nearly|almost"
    r"|near enough|close to|best part of|not far off"
    r"|in the region of|region of|in the order of|on the order of|something like|somewhere near"
    r"|somewhere around|somewhere about|call it|more or less"
    r"|(?<!not )(?<!never )(?:just|slightly|a bit|a little|a touch|a hair|a shade|a tad|a whisker"
    r"|a smidge|a gnat's|a wee bit|barely|well|a fraction)"
    r" (?:over|under|above|below|shy of|short of|less than|more than)|getting on for|pushing"
    r"|ballpark|a good|good|maybe|perhaps"
    r"|probably|i'd say|i guess|some|circa|like|~|≈|in the neighbourhood of"
    r"|in the neighborhood of|ish)"
    r"(?: (?:a|an|of|another|the|say|like|maybe))*$"
)


ROUGH_AFTER = re.compile(
    r",? ?(?:or so\b|odd\b|or thereabouts|thereabouts|ish\b|give or take\b|roughly|approximately"
    r"|or there ?about"
    r"|more or less|near enough|something like that|or something|ballpark|around there"
    r"|or close to|,? ?(?:or )?(?:as )?near as (?:dammit|damn it|you like"
    r"|makes no (?:odds|difference)))"
)


MEASURED = re.compile(
    r"(?:\b(?:here's|measures?|measured|measuring|reads|reading(?! (?:of|should))|got|get|gets"
    r"|getting|i'm seeing"
    r"|we're seeing|i see|shows?|showing|showed|says|came (?:out|in|back|up)|comes? (?:out"
    r"|in)(?= at| to)|coming (?:out|in|up)|we're at|i'm at"
    r"|we've|it's at|that's at|sitting at|sits at|we have|i have|i've|right at|running at|runs at"
    r"|i make|i read|i'm on"
    r"|got me|we hit|it hit|making|was at|(?:one|mine) is at|(?:the )?old one(?:'s| is| was)"
    r"|i'm reading|drawing|pulling"
    r"|(?:this one|that one|mine|ours) (?:does|gives|makes|mikes|mics|draws|pulls|holds)"
    r"|this one has|it has|mine has|that has|'s at|clocked|clocking|looks like"
    r"|worked out"
    r"|comes to|came to|adds up to|stands at|standing at|stood at"
    r"|(?:lost|dropped|fell|rose|climbed|crept|dipped|drifted)(?: up| down)?(?: to)?"
    r"|works out"
    r"|(?:'s|is) (?:now|currently)(?: at)?|mine's|ours is|mine is|ours was|this one's"
    r"|this one is|that one's"
    r"|that one is|that gives (?:me|us)|gives me|giving me|reckons|dropped to|turned out"
    r"|ended up at|(?:had|has) gone (?:up |down |back )?to"
    r"|(?:went|gone|dropped|fell|fallen|rose|risen|crept|climbed|dipped|drifted|jumped)"
    r"(?: up| down| back)? from"
    r"|settled at|settles at|we're on|i make (?:it|that)|left with|wore to|worn to"
    r"|worn down to|there we go))\b"
    # "I found 10.5", not "I found two of them"
    r"|\b(?:i|we)(?:'ve)? (?:only |just )?found(?: (?:about|around|only|it at|a|an))*$"
)


CAP_LATER = re.compile(
    r"\b(?:that's (?:the |your )?(?:very )?(?:most|limit|max(?:imum)?)"
    r"|is (?:the )?(?:absolute )?max(?:imum)?|(?:but )?no more than that"
    r"|(?:must|should) be (?:under|below|less than) (?:this|that)|can live with(?! (?:that|it)\b)"
    r"|not (?:a|one) (?:hair|whisker|skerrick|smidge|gnat's|fraction)"
    r" (?:more|over|past|above|higher)\b(?! than)|not more\b(?! than)|not (?:over|above) that"
    r"|(?:don't|do not|never|mustn't)(?: (?:you|ever))? [a-z]+(?: (?:it|her|him|them))?"
    r" (?:over|past|above|beyond) (?:it|that)\b(?! [a-z]+ing)(?! (?:edge|line|point|one)\b))"
    r"|, (?:(?:absolute|at) )?(?:max(?:imum)?|tops)(?= ?[,.;!?])"
)
HERE = re.compile(
    r"(?:of \w+ )?,? ?(?:right )?(?:here|on this (?:one|side)|(?:(?:thick|long|wide|deep|high"
    r"|across|tall) ?,? ?)?the old one"
    r"|is what (?:we|i)(?:'ve)? (?:got|have|get|see|make it)|in this one|worth"
    r"|(?:is|'s) where (?:we|i)(?:'re| are|'m| am)\b"
    r"|out of this one|came out)\b"
)


WEAKLY_MEASURED = re.compile(
    r"\b(?:there's|there is|was|were)(?: (?:only|about|still|maybe|like|a|an|just|around))*$"
)


IN_HAND = re.compile(r"\b(?:put|hold|held|place|test|tested|leave|left|charged?)\b.* under$")


UNTIL = re.compile(
    r"\b(?:until|till|til|make sure|should|wait for|if|has to|needs? to|wants? to|must|gotta"
    r"|(?:it's|its|is|are|they're) to(?= (?:show|read|say|hold|give|measure|come)))\b"
)


SO_GOOD = re.compile(
    r",? ?(?:(?:\w+ ){0,5}),? ?(?:so|which is|and that's|this is|it's"
    r"|which)(?: \w+(?:'\w+)?){0,3} ?(?:good"
    r"|fine|happy|legal|ok|okay|spot on|in spec"
    r"|within spec|perfect|well within|in limits|bang on|lovely|content|will do|'ll do"
    r"|in it|it's in)\b"
)


WANTED = re.compile(
    r"\b(?:should|supposed|spec|specs|specification|calls? for|wants?|wanna|needs?|book"
    r"|manual|maker|makers|the drawing|sheet|chart"
    r"|plate says|says to|set|setting|adjust\w*|torqued?|torquing|tighten\w*|nominal"
    r"|new (?:is|one|ones|they)|standard|factory|target|aim"
    r"|looking for|look for|go to|goes to|(?<!had )(?<!has )gone to|take (?:it|them)|do them"
    r"|after|ought"
    r"|must|has to"
    r"|have to|gotta|got to|get to|get it to|get them to|get that to|takes|required?"
    r"|recommend\w*|normal|make sure|until"
    r"|till|bring|heat|warm|fill|pour|leave|pump|turn|cut|back (?:it|them|off)|press|drill"
    r"|run it|spec's|limit|max\w*|min\w*|aiming"
    r"|gets? (?:a|them|it)|ones get|these get|those get|bolts get|nuts get|screws get"
    r"|get (?:about )?$)\b"
)


ON_GAUGE = re.compile(
    r"(?: \w+){0,3} on (?:the|this|that|my|our) (?:gauge|dial|meter|gun|thermometer|probe"
    r"|tester|clock|screen|display"
    r"|readout|indicator|mic|micrometer"
    r"|vernier|scale|scales|one|side)\b"
)


OPINION = re.compile(
    r"\b(?:book|guy|bloke|dealer|card|nameplate|manual|spec|drawing|chart|sheet|maker"
    r"|plate|sticker|diagram|tube|tin"
    r"|packet|bottle|label|instruction|tag)s?\b"
)

NEARLY = re.compile(
    r"(?<!not )(?<!never )(?:just|slightly|a bit|a little|a touch|a shade|a hair|a tad|a whisker"
    r"|a smidge|a fraction|a gnat's|a wee bit|barely|well)"
    r" (?:over|under|below|above|short of|shy of) ?\w{0,2}$"
)
OF_FORCE = re.compile(r"of (?:force|load|pull|tension|weight)")
TIGHT = re.compile(
    r"\b(?:runout|gap|play|float|backlash|clearance|taper|round\w*|flat\w*|within|vibration)\b"
)
SPEAKS = re.compile(r"(?:says|reads|shows?|have|reckons)$")
BARE = re.compile(
    r"(?:(?:so|and|okay|ok|right|that's|that is|it's|now|there|yeah|yep|there we go|call that"
    r"|i'd call that|about|better|like|that's better|still|only) ?)*"
)
# Somebody says what he sees.
READ_OFF = re.compile(
    r"\b(?:that's|that is|this is|this one's|it's|i'd say|i've got|i've|i got|i make (?:it|that)"
    r"|i'm (?:at|on|getting|seeing)|we've got|we've|we got|mine's|getting|reads|reading)"
    r"(?: (?:about|like|only|just|maybe|around|a))*$"
)
