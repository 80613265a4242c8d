"""What is done with a thing that is named, and what that says of it."""

from __future__ import annotations

from collections.abc import Sequence

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import NUMBERS, PARTICLES, PREPOSITIONS
from author.proposals.language.laid import PLACES
from author.proposals.language.noun_phrases import Phrase
from author.proposals.language.tokens import Token
from author.proposals.language.trade_words import NounKind, trade_words
from author.proposals.language.verbs import base_of
from author.proposals.language.word_forms import singular

# Their object is something that comes off, goes on or is looked at.
_HANDLING = _words(
    """
    remove undo unscrew unbolt unclip unhook unplug detach disconnect extract withdraw pull pop
    lift slide slip prise pry lever knock drive press fit refit install reinstall replace renew swap
    insert mount attach screw bolt drop tap push seat tighten loosen slacken clean grease lubricate
    inspect unfasten dismount free unwind uncouple undo crack take
    """
)
# With an article before them and "with" before that they are what the hand holds.
_HELD = _words(
    """
    dowel rod bar pipe tube block plate blade strap rope wire board post light lever wedge stick
    card sheet strip washer bolt nut screw sleeve ring bush spacer cap cup pin plug cord magnet
    lamp needle spring handle
    """
)
_OLD_FLUID = _words("drain catch spill leak empty leaking drained draining")
_POURING = _words("fill put pour add apply top pump spread use smear rub work wipe get")
# What is found on a machine rather than put on it: "under the paint", "the salt gets in".
_STANDS_ON_THINGS = _words("paint salt tar enamel varnish lacquer")
_PUT_WITH = _words("with of using some")
# Water that somebody has made ready is never what runs out.
_MADE_WATER = _words(
    "soapy soap clean hot warm boiling distilled deionised demineralised salt sugar"
)
_OF_A_PERSON = _words(
    "knuckle elbow knee heel sleeve jacket boot shoe belt tie hood pocket back nose"
)
_PIECES = _words("bit piece length scrap strip lump offcut chunk bits pieces")
_SWITCHED = _words("lock switch plug power")
_SIZES = _words("mil mill mils mm millimetre millimeter inch")
_STANDING_FLUIDS = _words("oil grease coolant fuel petrol diesel fluid gas refrigerant")
# Water stands in pipes and comes out of them; it is a supply where something is put in it.
_WATERED = _words("in with of under into using some and")


def in_passing(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether nothing is done with a part where it is named: "the handle was always stiff"."""
    if phrase.stop >= len(tokens) or tokens[phrase.stop].parted:
        return False
    if tokens[phrase.stop].low in PARTICLES | {"goes", "comes"}:
        return False
    at = phrase.first - 1
    if at < 0 or tokens[at + 1].parted:
        return True
    before = tokens[at].low
    return before not in PREPOSITIONS | PARTICLES and base_of(before) in {None, "be", "have"}


def in_a_row_of_words(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether one piece is named with no article, after other words and not put anywhere."""
    at, low = phrase.name_first, tokens[phrase.stop - 1].low
    if phrase.article or tokens[at].parted or singular(low) != low:
        return False
    behind = tokens[phrase.stop].low if phrase.stop < len(tokens) else ""
    return behind not in PARTICLES and tokens[at - 1].low not in {"and", "then", "new"}


def by_use(tokens: Sequence[Token], phrase: Phrase, kind: NounKind | None) -> NounKind | None:
    """Return the kind of a thing that is part or tool by what is done with it."""
    head = singular(tokens[phrase.stop - 1].low)
    by_hand = phrase.first > 0 and tokens[phrase.first - 1].low in {"with", "using", "use"}
    if kind is None and head in _BY_SHAPE and phrase.article:
        return "tool"
    made = _tool_by_make(tokens, phrase, head)
    return made or _by_place(tokens, phrase, kind, head, by_hand)


def _by_place(
    tokens: Sequence[Token], phrase: Phrase, kind: NounKind | None, head: str, by_hand: bool
) -> NounKind | None:
    """Return the kind of a thing by the words beside it: "with a bar", "dial on the rim"."""
    held = head in _HELD and phrase.article in {"a", "an"} and not _goes_on_with(tokens, phrase)
    if by_hand and (head in _BY_HAND or held):
        return "tool"
    name = {token.low for token in tokens[phrase.name_first : phrase.stop]}
    following = tokens[phrase.stop].low if phrase.stop < len(tokens) else ""
    worn = head == "spec" and (phrase.article in {"my", "your"} or following == "on")
    if worn or (head == "lock" and len(name) == 1 and phrase.article in {"my", "your", "his"}):
        return "tool"
    if head == "key" and (name & _SIZES or any(word.split("-")[0] in NUMBERS for word in name)):
        return "tool"
    if len(name) == 1 and _is_put(tokens, phrase, head, following):
        return "tool"
    if (
        head == "clamp"
        and not phrase.sure
        and phrase.article not in {"a", "an", ""}
        and not by_hand
    ):
        return "part"
    if head in {"clamp", "brush"} and not phrase.sure:
        plural = head != tokens[phrase.stop - 1].low
        return "tool" if by_hand or not plural else "part"
    return kind


def _is_put(tokens: Sequence[Token], phrase: Phrase, head: str, following: str) -> bool:
    """Whether one word names what is put somewhere or read: "clock on the rim", "bar under it"."""
    away = head == "clock" and phrase.article and any(t.low in _OTHER_CLOCKS for t in tokens)
    if head in {"lock", "dial", "clock"} and following == "on" and not away:
        return True
    if head in _BESIDE:
        led = phrase.article not in {"the", "this", "that"} or head == "harness"
        return led and not _BESIDE[head].isdisjoint(token.low for token in tokens)
    opens = not phrase.article and tokens[phrase.first].parted
    if head == "bar" or (head in {"dial", "clock"} and opens and following in PLACES):
        return True  # what somebody levers with; all other bars are amounts
    return head == "clock" and _is_read(tokens, phrase)


# A lock beside what is switched off is nobody's door, a harness up a ladder no bundle of wires.
_BESIDE = {
    "lock": _words("tag lockout isolator breaker padlock switchroom mains isolated tags"),
    "harness": _words("ladder climb lanyard lanyards lifeline roof tower platform scaffold"),
}


def _is_read(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether lengths are read on a clock: "a thou on the clock", not "two bar on the clock"."""
    led = phrase.first > 1 and tokens[phrase.first - 1].low in {"on", "by"}
    if led and tokens[phrase.first - 2].low in _SIZES:
        return True
    told = {token.low for token in tokens}
    return bool(told & _FINE) and not told & _OTHER_CLOCKS


_FINE = _words("thou thous thousandth thousandths hundredth hundredths tenths micron microns")
_OTHER_CLOCKS = _words("bar psi hours hour miles kilometres kilometers o'clock wall")
# A spanner, a driver or pliers told by their shape alone: "with the big adjustable".
_BY_SHAPE = _words("adjustable stubby long-nose needle-nose snub-nose")
_BY_HAND = _words("clock caliper calliper bar hook light stick wedge nozzle prop stand clamp peg")


def _goes_on_with(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a thing goes on the machine together with another: "plug back in with a washer"."""
    name = {token.low for token in tokens[phrase.first : phrase.stop]}
    before = {token.low for token in tokens[max(0, phrase.first - 9) : phrase.first]}
    return bool(name & _OF_FASTENING or before & _FITTED)


_OF_FASTENING = _words(
    "new fresh copper crush lock spring split thrust sealing fibre fiber bonded shake tab wave star"
)
_FITTED = _words("shim shimmed pack packed back fit fits fitted refit goes go held secured")

# What tells a tool from a part of the machine: it winds, tunes, sets, measures or tests.
_MAKING = _words(
    """
    winding tuning setting measuring lifting truing testing marking scribing tensioning pulling
    holding prying tamping weighing aligning levelling leveling lining test recovery catch
    """
)
_MADE = _words(
    """
    bar ring table cylinder jug sleeve plate block rod pin key stand frame fixture cup board iron
    lever weight bottle stick handle bracket tube bench rig lead cable hose
    """
)
_INTO = _words("in into")
_THROUGH = _words("through round around")
_RENEWING = _words("remove undo unscrew replace renew")
_HOLDING = _words(
    "cup box jar can saucer bowl bag bottle barrel bin dish carton drawer envelope basin tub"
)
_GOING_IN = _words(
    "put drop dunk tip pour keep catch drain stick collect soak leave wash save chuck let"
)
_GRABBED = _words("with using use grab take get fetch need want")
# Machines have these as well, and there they come off or are renewed.
OF_MACHINES = _words(
    "lamp knife hammer magnet trolley brush cutter clamp socket boot probe hoist scale jack"
)
"""Last words of tools that machines have too."""
_EDGED = _words("knife brush cutter lamp magnet probe")
_PLACED = _words("bottom top upper lower fixed moving front rear inner outer carbon motor")


def _tool_by_make(tokens: Sequence[Token], phrase: Phrase, head: str) -> NounKind | None:
    """Return the kind of a thing whose words and place tell it whatever the table says."""
    first, at = tokens[phrase.name_first].low, phrase.first - 1
    several = phrase.stop - phrase.name_first > 1
    if head == "bucket" and at >= 0 and base_of(tokens[at].low) in _HYDRAULIC:
        return "part"  # "lower the bucket to the ground"
    before = tokens[at].low if at >= 0 and not tokens[phrase.first].parted else ""
    behind = ""
    if phrase.stop < len(tokens) and not tokens[phrase.stop].parted:
        behind = tokens[phrase.stop].low
    if (
        (several and first in _MAKING and head in _MADE)
        or (head == "key" and base_of(before) in _GRABBED | {"with"})
        or (head in {"line", "hose"} and before in {"with", "using"} and first == "air")
        or (before in _INTO and _goes_into(tokens, phrase, head))
        or (head == "harness" and phrase.article in {"your", "my"})
        or (head == "lock" and not several and not before and behind in _THROUGH)
    ):
        return "tool"
    if is_of_machine(tokens, phrase):
        return "part"
    if head not in OF_MACHINES or phrase.sure or several:
        return None
    led = {token.low for token in tokens[max(0, phrase.name_first - 2) : phrase.name_first]}
    taken = before in {"take", "pull"} and behind in {"out", "off"}
    return "part" if "new" in led or taken or base_of(before) in _RENEWING else None


def is_of_machine(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a knife or brush is called by its place: "bottom knife flush with the plate"."""
    several = phrase.stop - phrase.name_first > 1
    edged = singular(tokens[phrase.stop - 1].low) in _EDGED
    return several and edged and tokens[phrase.name_first].low in _PLACED


def _goes_into(tokens: Sequence[Token], phrase: Phrase, head: str) -> bool:
    """Whether something is put into what holds it: "put them in a saucer"."""
    if head not in _HOLDING or not phrase.article:
        return False
    near = tokens[max(0, phrase.first - 7) : phrase.first - 1]
    return any(base_of(token.low) in _GOING_IN for token in near)


_HYDRAULIC = _words("lower raise curl crowd tilt")
_CAN_DO = frozenset(
    {"still", "spit", "spray", "get", "be", "burn", "catch", "run", "drip", "leak", "come",
     "squirt", "fly", "build", "also", "never", "only", "go", "stay"}
)  # fmt: skip


def is_no_tool(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether the name of a tool says something else: "stone cold", "cast iron", "the rule is"."""
    head = tokens[phrase.stop - 1].low
    behind = ""
    if phrase.stop < len(tokens) and not tokens[phrase.stop].parted:
        behind = tokens[phrase.stop].low
    before = tokens[phrase.stop - 2].low if phrase.stop > 1 else ""
    if head == "stone":
        return behind in {"cold", "dead", "deaf"}
    if head == "iron":
        return before in {"cast", "of", "wrought", "scrap", "ductile", "angle", "the"}
    if head == "can":  # "oil can still spit out"
        return behind in _CAN_DO
    if head == "rule":
        return behind in {"is", "for", "of", "here", "number"}
    if head == "press":
        verb = behind in {"and", "up", "down", "fit"} and not phrase.article
        return verb and phrase.stop - phrase.name_first == 1
    if head.endswith("s") and singular(head) != head and base_of(head) is not None:
        return behind in {"up", "onto", "into", "it", "them"} and not phrase.article
    return False


def is_no_part(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a part's name is a person's own thing, a piece of stuff, or what is done."""
    if phrase.stop - phrase.name_first > 1:
        return False
    head = singular(tokens[phrase.stop - 1].low)
    if phrase.article in {"my", "his", "her"} or (
        head in _OF_A_PERSON and phrase.article in {"your", "their", "our"}
    ):
        return True
    before = [token.low for token in tokens[max(0, phrase.first - 2) : phrase.first]]
    if len(before) == 2 and before[1] == "of" and before[0] in _PIECES:
        return True
    following = tokens[phrase.stop].low if phrase.stop < len(tokens) else ""
    return head in _SWITCHED and not phrase.article and following in {"off", "out", "on"}


def amount(tokens: Sequence[Token], phrase: Phrase, following: str) -> bool:
    """Whether a word only says how much of what follows: "a wipe of cleaner"."""
    word = tokens[phrase.stop - 1].low
    return following == "of" and word in trade_words().measures


def pair_before(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether "pair of" stands before a name."""
    at = phrase.first
    return at >= 2 and tokens[at - 1].low == "of" and tokens[at - 2].low in {"pair", "couple"}


def may_be_named(word: str) -> bool:
    """Whether a word that is in no list looks like the name of a thing."""
    return len(word) > 2 and word.isascii() and word.isalpha() and base_of(word) is None


def is_let_out(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a fluid is the old one that runs out."""
    start = max(0, phrase.first - 2)
    around = {token.low for token in tokens[start : phrase.name_first]}
    if tokens[phrase.stop - 1].low == "water" and tokens[phrase.name_first].low not in _MADE_WATER:
        before = tokens[phrase.first - 1].low if phrase.first else ""
        if tokens[phrase.first].parted or before not in _WATERED:
            return True
    if tokens[phrase.stop - 1].low in _STANDS_ON_THINGS and phrase.stop - phrase.name_first == 1:
        before = tokens[phrase.first - 1].low if phrase.first else ""
        put_on = before in _PUT_WITH or base_of(before) in _POURING
        if tokens[phrase.first].parted or not put_on:
            return True
    if tokens[phrase.stop - 1].low in _STANDING_FLUIDS and phrase.stop - phrase.name_first == 1:
        before = tokens[phrase.first - 1].low if phrase.first else ""
        if before == "full" or (before == "of" and tokens[phrase.first - 2].low == "full"):
            return True
        if phrase.article in {"the", "your", "its"} and base_of(before) not in _POURING:
            return True
    return bool(around & (_OLD_FLUID | {"old"}))


def handled(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a name stands where the object of a removal or a fitting stands."""
    at = phrase.first - 1
    if at >= 0 and tokens[at].low in PARTICLES:
        at -= 1
    if at >= 0 and not tokens[at + 1].parted:
        base = base_of(tokens[at].low)
        if base in _HANDLING and (base != "take" or _particle_near(tokens, phrase.stop)):
            return True
    stop = phrase.stop
    if stop + 1 < len(tokens) and tokens[stop].low in {"comes", "goes", "pops", "drops", "lifts"}:
        return tokens[stop + 1].low in PARTICLES
    return False


# What a hand does to a catch, a tap or an arm without taking it off.
_MOVING = _words(
    "turn hold release unlatch flip swing hang hook squeeze grab unhook open close shut"
)


def moved(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a hand moves what is named with an article: "turn the catch"."""
    at = phrase.first - 1
    if at < 0 or not phrase.article or tokens[at + 1].parted:
        return False
    return base_of(tokens[at].low) in _MOVING


def named_by_use(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether what it does stands in a name with an article: "the closing weight"."""
    word = tokens[phrase.name_first].low
    two = phrase.stop - phrase.name_first == 2
    return two and phrase.article != "" and word.endswith("ing") and base_of(word) is not None


def _particle_near(tokens: Sequence[Token], at: int) -> bool:
    return at < len(tokens) and tokens[at].low in PARTICLES and not tokens[at].parted
