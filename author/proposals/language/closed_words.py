"""Words of closed classes, that part the names in what is said."""

from __future__ import annotations

from author.checks.verbs import words as _words
from author.procedure.number_words import ONES, TEENS, WHOLE

ARTICLES = _words(
    """
    the a an this that these those my your our its his her their each every both all some any
    another no either whichever what's other whatever nae ma yer
    """
)
OF_IT = _words(
    "weighs takes is has holds goes comes needs wants sits runs looks should must will can was are"
)
"""Verbs by which something is told of "it": "with a brass drift | it weighs two kilos"."""
NUMBERS = frozenset({*WHOLE, *_words("zero nought oh hundred dozen")})
COUNTS = {"zero": 0, **ONES, **TEENS, "twenty": 20}
UNITS = _words("mil mill mils mm millimetre millimeter inch quarter half eighths cm metric")
FRACTIONS = _words("half quarter quarters eighths sixteenths eighth three-quarter half-inch")
BORNE = _words("pivots swings rides hinges rotates")
"""Behind a thing, what it does on another: "the socket pivots on two screws"."""
CALENDAR = _words(
    """
    monday tuesday wednesday thursday friday saturday sunday january february april june july
    august september october november december christmas easter
    """
)
"""Names of times that begin with a capital wherever they stand."""
PREPOSITIONS = _words(
    """
    on onto in into to round around along between under underneath over inside at behind with of
    from by off out for through across against against beneath below above near without
    within towards toward up down upon past
    """
)
PARTICLES = _words(
    """
    off out on in away back up down apart free loose over through together home around round aside
    along straight
    """
)
PRONOUNS = _words(
    """
    em i you we they he she it me us them him one who everybody somebody anybody nobody i'm i've
    i'll i'd you're you've you'll you'd we're we've we'll we'd they're it's that's there's
    here's what's he's she's let's it'll that'll there'll they'll they've who's itself yourself
    myself
    """
)
STOP = (
    PREPOSITIONS
    | PARTICLES
    | PRONOUNS
    | _words(
        """
    and or but nor so because cause cos if unless until till when once while where why how than
    then as though although whether before after since which like not n't plus minus about is
    are was were be been being am isn't aren't wasn't weren't has have had having hasn't haven't
    do does did don't doesn't didn't can can't cannot could couldn't will won't would wouldn't
    shall should shouldn't may might must mustn't gonna wanna gotta ought needn't dont doesnt
    isnt im ive youre well now okay ok right alright yeah yes oh hey hi um uh er erm ah hmm just
    really very quite too also again still already yet ever never always maybe perhaps probably
    basically actually obviously literally honestly simply only even here there everywhere
    somewhere anyway anyhow please sorry thanks thank welcome folks next-up first-off today
    righto yep nope mate ta dude guys reckon boom shut what cuz cos till tomorrow yesterday ago
    later soon afterwards beforehand meanwhile instead else otherwise therefore hence pretty bit
    little-bit enough much more most less least such both each likewise together almost nearly
    exactly roughly approximately carefully gently slowly firmly tightly evenly properly
    completely fully halfway usually normally often sometimes mostly especially generally
    hopefully clearly absolutely definitely certainly kinda sorta clockwise anticlockwise
    counterclockwise anti-clockwise counter-clockwise upwards downwards inwards outwards
    backwards forwards sideways upside vertically horizontally crosswise diagonally square-on
    flush gone done ready same nothing something anything everything everyone someone anyone
    none whatever whichever whoever et cetera etc good bad great fine nice lovely easy hard-to
    different able unable sure careful worth true false long-as far fast quick early late likely
    hello bye cheers per percent degrees newton newtons pounds bar psi litres liters kilos gram
    grams seconds minutes hours times point hundredths thousandths thou tenths via minus versus
    ones mine yours ours theirs goes comes sits looks seems feels means wants needs gets got
    keeps lets makes takes says shows happens lives want wants say says said think see saw know
    ask hear tell need like look put leave cuz metre metres meters happen mean means stays stops
    starts ends turns moves holds helps works runs fits slides drops falls pulls pushes sticks
    gives tells thinks knows likes hits has tends wears keep loves love loses lose jumps neither
    goodbye lefty righty eat eats drink drinks dies shoot shoots sleeps growls hate hates becomes
    begins belongs deserves depends discuss pretend remember forget
        """
    )
)
# Before a word that may be verb or noun these make it a verb.
VERB_BEFORE = _words(
    """
    to can could will would should must may might gonna wanna gotta i you we they don't won't can't
    never let's i'll we'll you'll you'd i'd they'll please just now then and always also cannot
    shouldn't not
    """
)
SURE_BEFORE = _words(
    """
    can could will would should must may might gonna wanna gotta i you we they don't won't can't
    let's i'll we'll you'll you'd i'd please cannot shouldn't
    """
)
IT = _words("it that which who")
OBJECT_BEGINS = ARTICLES | _words("it them em him me us everything one two three four five six")
VERB_S_BEHIND = _words("into onto straight over through against the it them itself")
MOST_WORDS = 6
# Heard without a comma, the word before these is of another name: "chuck dial", "air glasses".
BY_THEMSELVES = _words("dial glasses goggles specs gloves feelers feeler mic mike clock")
STUFFS = _words(
    """
    safety leather rubber welding nitrile latex work cotton thick long heavy cut-resistant chainsaw
    dial test depth bore inside outside welder's cut-proof insulated insulating mechanic's
    """
)
NOT_OF_NAME = frozenset(
    {"hand", "finger", "fingers", "weight", "time", "minute", "turn", "turns", "go", "get", "let"}
)
# Behind the name of a thing these are verbs all the same: "the copper washer screw it in".
DONE_TO = {
    **dict.fromkeys(
        _words("screw bolt clip hook plug tap seat set turn dial pin grease oil"), _words("")
    ),
    **dict.fromkeys(
        _words("slide tip roll drive lift press push pull spin swing stop drop crank"),
        _words("the that your"),
    ),
    "chock": _words("the that your both each its"),
}
# They end what was said before a name rather than begin it: "by hand blue threadlocker".
DONE_INWARDS = frozenset({"screw", "plug", "clip", "press", "hook", "bolt", "hammer", "punch"})

# Verbs by which something is tried, and what they stand before: "turn it | feel for drag".
SENSED = {
    "feel": {"for", "whether", "if", "how"}, "look": {"for", "at", "along", "into", "whether"},
    "listen": {"for", "to"}, "watch": {"for", "how"}, "check": {"for", "that", "whether", "if"},
    "start": {"at"},  # "in the groove | start at the corners"
}  # fmt: skip
