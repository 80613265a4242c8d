"""Word lists by which an instruction is told from talk."""

from __future__ import annotations

from author.checks.verbs import OBJECT_OPENERS, OPENERS, words
from author.proposals.language.trade_words import trade_words

# What may stand before the order itself.
LEADS = words(
    """
    and then so now next okay right well but first firstly second secondly third finally lastly
    also again here please alright yes there afterwards carefully slowly gently quickly always
    thing either maybe perhaps at-this-point instead still straight anyway obviously ahead only even
    """
)
# "First of all switch it off", "from there raise the table": the order is behind it.
OPENINGS = frozenset(
    tuple(line.split())
    for line in (
        "first of all", "last of all", "to begin with", "to start with", "from there", "from here",
        "at this point", "at that point", "from that point", "from this point", "before anything",
        "as before", "like before", "of all",  # behind "first", which leads by itself
    )
)  # fmt: skip
SPEAKERS = words("i we you i'm we're you're i'll we'll you'll i'd you'd we'd i've we've you've")
NO_OBJECT = words("apply assembly supply reply family rely multiply early only daily fly")
OBJECTS = OBJECT_OPENERS | words(
    """
    it them this that these those another both everything something one two three four five six
    seven eight nine ten eleven twelve half enough plenty more some new old what where how which
    until before whatever between him her each-one whichever somebody someone anything nothing
    """
)
PLACES = (OPENERS | words("to into onto here there backwards forwards upwards downwards")) - words(
    "if so than since seen given provided while when whenever where because"
)
# Before one of these a clause hangs on another and tells nothing to do.
SUBORDINATES = words(
    """
    if when before after until because that which while once where how whenever as unless than
    why since what whether who although though time thing without
    """
)
# Verbs in their base form that ask for no work of their own.
HEAD_NO = words(
    """
    be like look see have let say need want know think love mind thank hope guess wonder mean
    subscribe comment welcome enjoy tell talk explain show call cure time note matter cost total
    return-to wish reckon bet happen live change-my document sign star trip cross-my describe own
    write report continue mention get-that listen
    """
)
ALWAYS_WORK = words("turn feel use wait stop start pick carry work point")
TRADE_PUTS = words(
    "go give find leave do try make head sit stick wrap work help watch read remember"
)
VIEWED = words("note observe notice record watch check")
GOING_NO = words(
    """
    being going doing having getting looking talking saying thinking making seeing coming working
    bearing housing bushing fitting casing coupling winding spring string opening setting bedding
    something nothing anything everything during gearing lining wiring piping tubing moulding
    molding ring flooring wondering planning filming recording shooting using sitting standing
    running trying showing starting building fixing covering changing dealing heading moving living
    replacing doing-it waiting reading
    """
)
BARE_ENDS = words(
    """
    on off in out up down back home away apart over together through under tight loose open shut
    closed clear aside inside outside
    """
)
# A clause with one of these and without a verb is talk, a description or a value.
RUN_ENDS = words("on off in out back home down")
BARE_NO = words(
    """
    millimetres millimeters mm thou degrees inches newtons point is are was were isn't aren't it's
    that's there's here's i'm you're we're they're i we you he
    she they who what why how when because if hi hello hey guys folks everybody everyone friends
    welcome thanks thank cheers bye sorry oops nice lovely beautiful great perfect cool wow okay
    good easy simple hope today video channel episode camera comments link later come comes hang
    coffee tea lunch morning afternoon weather rain cold sunny dog cat wife boss has have had does
    do did no not never never-mind really course bloody damn mate looks look hear sounds said say
    says goes gets got get hold way moving same part-two carry going coming time year years month
    months week ago yet ages god love well check-out moment hang-on come-on go first-time
    another-day
    worth kind mind let see want wants need needs like feels about once off-camera yesterday
    last-time would could still only around came went turned
    """
)
# What parts do when somebody moves them.
MOTIONS = words(
    """
    pull slide drop lift push screw unscrew thread tap pop twist slip press hook bolt clip snap
    unclip spin swing hinge unhook plug tip hang drive roll wind back seat ease knock soak
    """
)
MANNER = words(
    """
    crosswise diagonally hand-tight finger-tight evenly gently flush square tight snug handtight
    clockwise anticlockwise counterclockwise dry both pass
    """
)

_BASE = "base"
FRAMES: dict[str, tuple[tuple[tuple[str, ...], str, int], ...]] = {}


def _frame(line: str, form: str, weight: int) -> None:
    first, *rest = line.split()
    FRAMES[first] = (*FRAMES.get(first, ()), (tuple(rest), form, weight))


for _who in ("you", "we", "i"):
    for _modal in ("wanna", "gotta", "hafta", "needa", "gonna", "should", "must", "need", "better",
                   "might wanna", "may wanna", "can now", "will", "like to", "always",
                   "can", "could", "tend to", "prefer to", "start by", "normally", "usually",
                   "do wanna", "will wanna", "will needa", "ought to", "needs to"):  # fmt: skip
        _frame(f"{_who} {_modal}", "base" if _modal != "start by" else "ing", 88)
for _who in ("you'll", "we'll", "i'll", "you'd", "i'd", "we'd"):
    for _modal in ("", "wanna", "gotta", "hafta", "needa", "then", "better", "be able to"):
        _frame(f"{_who} {_modal}", "base", 84)
for _who in ("you're", "we're", "i'm"):
    _frame(f"{_who} gonna", "base", 90)
    _frame(f"{_who} gonna be", "ing", 88)
    _frame(f"{_who} gonna go ahead and", "base", 90)
    _frame(f"{_who} gonna wanna", "base", 90)
    _frame(f"{_who} gonna needa", "base", 90)
    _frame(f"{_who} gonna hafta", "base", 90)
    _frame(f"{_who} gonna start by", "ing", 88)
    _frame(f"{_who} tryna", "base", 66)
    _frame(f"{_who} supposed to", "base", 84)
    _frame(f"{_who}", "ing", 80)
for _line, _form, _weight in (
    ("you've gotta", _BASE, 88), ("we've gotta", _BASE, 88), ("i've gotta", _BASE, 84),
    ("you gonna", _BASE, 86), ("let's", _BASE, 84), ("let's go ahead and", _BASE, 88),
    ("let me", _BASE, 62), ("go ahead and", _BASE, 92), ("make sure you", _BASE, 88),
    ("make sure to", _BASE, 90), ("make sure and", _BASE, 86), ("be sure to", _BASE, 90),
    ("be sure you", _BASE, 84), ("be sure and", _BASE, 86), ("remember to", _BASE, 88),
    ("don't forget to", _BASE, 90), ("don't forget", "ing", 60), ("time to", _BASE, 78),
    ("try to", _BASE, 62), ("step is to", _BASE, 84), ("thing is to", _BASE, 80),
    ("do is", _BASE, 90), ("do is to", _BASE, 86), ("do is i", _BASE, 88), ("do is you", _BASE, 86),
    ("do is we'll", _BASE, 86), ("do is we", _BASE, 86), ("do is i'll", _BASE, 86),
    ("do now is", _BASE, 88), ("do here is", _BASE, 88), ("do next is", _BASE, 88),
    ("do first is", _BASE, 88), ("doing is", "ing", 80), ("doing here is", "ing", 80),
    ("doing now is", "ing", 80), ("job is to", _BASE, 78), ("trick is to", _BASE, 78),
    ("best to", _BASE, 76), ("idea to", _BASE, 74), ("start by", "ing", 84),
    ("begin by", "ing", 84), ("we've gotta", _BASE, 84), ("need you to", _BASE, 76),
    ("feel free to", _BASE, 55), ("please", _BASE, 84), ("start to", _BASE, 60),
    ("gonna", _BASE, 76), ("gonna be", "ing", 70), ("have you", _BASE, 50),
    ("finish by", "ing", 82), ("finish off by", "ing", 82), ("we start", "ing", 78),
    ("you start", "ing", 74), ("have to", _BASE, 70), ("keep", "ing", 74), ("be", "ing", 40),
    ("careful to", _BASE, 76), ("rest is to", _BASE, 70),
    ("easiest to", _BASE, 74), ("easier to", _BASE, 66), ("way is to", _BASE, 74),
):  # fmt: skip
    _frame(_line, _form, _weight)
for _word, _tails in FRAMES.items():
    FRAMES[_word] = tuple(sorted(_tails, key=lambda one: -len(one[0])))

_SWITCHED = words("ignition power gas water air mains current steam fuel supply electric electrics")
# "Valve open" and "switch open" are found so as often as they are asked for.
SHUT_OFF = words("isolator breaker cock petcock stopcock valve tap")
_MADE_SAFE = words("locked shut closed isolated tagged")
_PUT = frozenset({"part", "tool", "supply", "weak"})


def is_put(thing: str, way: str) -> bool:
    """Whether a thing and a way say where it is to be: "isolator off", "key out"."""
    if way in _MADE_SAFE:
        return thing in SHUT_OFF
    if way not in RUN_ENDS:
        return False
    switched = thing in _SWITCHED and way in {"on", "off"}
    return switched or trade_words().kind_of(thing) in _PUT
