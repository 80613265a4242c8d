"""Where a name ends in talk that no signs part: "the grub screw | two mil hex key"."""

from __future__ import annotations

from author.checks.verbs import words
from author.proposals.language.closed_words import BY_THEMSELVES, FRACTIONS, NUMBERS, STUFFS
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.trade_words import as_phrase, trade_words
from author.proposals.language.word_forms import singular

_AMOUNTS = words("pair lots couple plenty loads load")


def begins_anew(before: str, word: str, sized: bool) -> bool:
    """Whether a word behind that of a name begins another thing, or says how many there are.

    Args:
        before: the word before it.
        word: the word itself, in small letters.
        sized: whether a unit follows it.
    """
    table = trade_words()
    if word in _AMOUNTS:
        return as_phrase([before, word]) not in table.phrases
    if not sized or not (word in NUMBERS | FRACTIONS or word[0].isdigit()):
        return False
    return before not in table.modifiers and table.kind_of(before) in {"part", "tool", "weak"}


def ends_before(word: str, behind: str) -> bool:
    """Whether a name ends with a word though another part is named behind: "washer | nut".

    Hardly anything is named after a fastener or a washer but what it has itself, or what covers
    and turns it.

    Args:
        word: in small letters.
        behind: the word behind it.
    """
    table = trade_words()
    if singular(word) not in _NAMED_FOR_NONE or behind in _OF_A_FASTENER:
        return False
    if is_fastener(word) and is_fastener(behind):
        return False  # "nut bolt": the bolt of that nut
    whole = as_phrase([word, behind]) in table.phrases
    return not whole and table.kind_of(behind) == "part"


_NAMED_FOR_NONE = words("nut bolt washer circlip gasket wiper screw grubscrew o-ring grommet")
_OF_A_FASTENER = words(
    """
    cap cover plate retainer lock housing block hole carrier seal ring kit bar gear jack pump pin
    pins clip conveyor shaft drive press feed rod strip guard spring motor
    """
)


def ends_with_tool(before: str, word: str, behind: str) -> bool:
    """Whether a name ends with a tool though a noun stands behind: "heat gun | bearing".

    Args:
        before: the word before it in the run, "" where there is none.
        word: in small letters.
        behind: the word behind it.
    """
    table = trade_words()
    if as_phrase([word, behind]) in table.phrases or behind in _OF_A_TOOL:
        return False
    if before and table.phrases.get(as_phrase([before, word])) == "tool":
        return True
    return table.kind_of(word) == "tool" and word in _NAMES_NO_PART


# Machines have drills, hammers and gauges, and parts named after them, but none after these.
_NAMES_NO_PART = words(
    """
    spanner spanners wrench wrenches screwdriver screwdrivers pliers mallet drift
    tray basin goggles gloves glasses tweezers micrometer calipers callipers straightedge
    multimeter voltmeter ohmmeter megger ruler scriber stopwatch tachometer thermometer
    stethoscope padlock dustpan broom syringe funnel jug tongs snips scissors crowbar prybar
    """
)
_OF_A_TOOL = words(
    """
    set kit bag box case roll handle head tip blade jaw jaws end ends point edge shaft shank leg
    legs arm arms screw bolt nut body flat flats size bit bits stand holder lead leads cable hose
    nozzle neck adapter extension oil grease paste hole mark marks line pin pins wand clip clips
    drive socket spanner wrench meter gauge block side sides face reading rim spindle rail
    """
)


def is_no_part_of(word: str, behind: str, *, last: bool) -> bool:
    """Whether a word is no part of the name behind it: it names several, or counts it.

    "Take it off the frames | connecting rod", "before you touch a single bolt". Others take only
    words of the table before them: "dial", "glasses", "gloves".

    Args:
        word: in small letters.
        behind: the word behind it.
        last: whether that is the last of the name.
    """
    if word in _AMOUNTS:
        return True
    if word == "single":
        return is_fastener(behind)
    several = singular(word) != word and trade_words().kind_of(word) in {"feature", "weak"}
    alone = last and behind in BY_THEMSELVES and word not in STUFFS
    return (several or alone) and as_phrase([word, behind]) not in trade_words().phrases
