"""Bare words parted into sentences: by pauses, by words that begin one, and by length.

Weights are ours, set by hand on narrations of our own; no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.proposals.speech.said_once import Token


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


_BREAK = 0.65  # weight from which a sentence ends
_LONGEST = 32  # words
_PART = 4  # words that both parts have at least where one is cut by its length

_HANGING = _set(
    "a an the this these those my your his its our their of to with without from into onto in "
    "on at by for and or but between than as if because when while until unless about around "
    "plus minus point is are was were be been it's that's there's we're you're i'm they're "
    "he's we'll you'll i'll gonna going wanna gotta will would can can't could should "
    "shouldn't must don't doesn't didn't won't not never cannot very too quite pretty roughly "
    "approximately exactly only every each both no some any whose which what how per over "
    "under we you i they he she let's let make sure need needs want have has had get got just "
    "really through against behind like called"
)
# A word that may as well end a sentence: "put it on", "take that off with this".
_MAY_END = _set(
    "this these those in on too not on no over through under about around behind like that's "
    "have get got it's sure need is are do can will you to"
)
_STRONG = _set(
    "so now okay ok alright then next first second secondly third finally lastly anyway "
    "anyways also once remember well meanwhile afterwards otherwise right good great perfect "
    "yeah yes hey hi hello thanks"
)
_WEAK = _set(
    "and but you we i it it's that's this that these there there's here here's the if when "
    "before after while make don't never always check take put remove get give let's we're "
    "we've you're you'll i'm i'll you'd i've just go grab set turn lift pull push slide "
    "loosen tighten watch notice see look my your what because use using clean fit install "
    "keep hold it'll that'll there'll you've they they're he's she's what what's where how"
)
# What is done to things: in bare speech often the first word of an order.
_DONE = _set(
    "apply back bleed blow bolt bring check chock clamp clean clip close connect cover cut "
    "degrease disconnect drain drill drive drop dry feel fill find fish fit flip hold "
    "inspect insert isolate jack keep knock lay leave lever lift line lock loosen lower "
    "lubricate mark measure note open pick pop pour press prise pry pull push put reach "
    "ream reconnect refit reinstall remove replace rotate rub screw seat set slacken slide "
    "slip snap spin spray squeeze start stop swap switch tap thread throw tighten tip "
    "torque turn twist undo unbolt unhook unplug unscrew wash wind wipe work"
)
_NOUN_AFTER = _set(
    "lock check turn back set screw bolt clip clamp cover drill drive press push pull spin stop "
    "switch start thread cut line mark measure drop work seat"
)
# A word that begins a sentence, but not before these.
_NOT_BEFORE = {
    "so": _set("that much many far long tight loose hard easy it's"),
    "now": _set("and"),
    "right": _set(
        "hand side angle angles there here off up down back in on out away through where at way "
        "amount size one place order angled around across over under behind next to beside "
        "underneath above below about and"
    ),
    "next": _set("to door"),
    "first": _set("one bolt nut screw gear of and time two three four few bit thing"),
    "second": _set("one bolt nut screw gear of and time bit thing or two washer"),
    "third": _set("one bolt nut screw gear of and time bit thing"),
    "good": _set("and enough idea thing condition shape one fit clean bit to"),
    "well": _set("and enough as below above"),
    "also": frozenset(),
    "great": _set("deal care big"),
    "perfect": _set("fit size place"),
    "once": _set("more again or and every"),
}
# A word that begins a sentence, but not after these.
_NOT_AFTER = {
    "now": _set("and right by for until till from up just so okay but even only"),
    "then": _set("and by until since but just so okay well only now back if"),
    "so": _set(
        "and or just not is it's that's do did even okay about think be are was you're we're far "
        "why ever"
    ),
    "right": _set(
        "all the that's is on it's your a just to okay about turn and so half not be looks go"
    ),
    "next": _set("the and then okay so now right what's up comes"),
    "first": _set("the at and your my in a very on our this"),
    "second": _set("the a one and your my every per this"),
    "third": _set("the a one and two"),
    "okay": _set("and so is be it's that's looks all are"),
    "ok": _set("and so is be it's that's looks all are"),
    "good": _set(
        "a is looks look that's it's really pretty very nice feels be no any looking so as the in "
        "pretty and"
    ),
    "well": _set("as very pretty really quite is it and works oh"),
    "also": _set("and is are you we i it can but will should"),
    "once": _set("at just only and it's you've than all more"),
    "great": _set("a is looks that's it's the"),
    "perfect": _set("a is looks that's it's the not"),
    "yeah": _set("oh and so but okay"),
    "yes": _set("oh and so"),
}
_NUMBERS = _set(
    "zero oh nought one two three four five six seven eight nine ten eleven twelve thirteen "
    "fourteen fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty sixty "
    "seventy eighty ninety hundred thousand half halves third thirds quarter quarters eighth "
    "eighths sixteenth sixteenths tenth tenths hundredth hundredths thousandth thousandths "
    "point"
)
_DIGITS = re.compile(r"[-+±#]?[0-9][0-9.,/]*[a-z%°\"']{0,5}")
_FIRST = frozenset("0123456789-+±#")
_INSIDE = _set("and to or by point plus minus times x of a dash through")
_UNITS = _set(
    "millimeter millimeters millimetre millimetres mil mils mm mms centimeter centimeters "
    "centimetre centimetres cm meter meters metre metres inch inches foot feet pound pounds "
    "ounce ounces newton newtons thou thousandths thousandth degree degrees celsius "
    "fahrenheit psi bar bars kilo kilos kilogram kilograms gram grams liter liters litre "
    "litres milliliters volts volt amps amp ohms ohm turn turns minutes minute seconds "
    "seconds hours percent rpm hertz micron microns nm kpa gallon gallons quart quarts pint "
    "pints"
)


def parted(tokens: list[Token]) -> list[list[Token]]:
    """Part words into sentences; every word is kept."""
    found: list[list[Token]] = []
    weights: list[float] = []
    begun = 0
    for number in range(len(tokens) - 1):
        weight = _weight(tokens, number)
        if number - begun < _SHORT_READING and _read_off(tokens, begun, number):
            weight += 0.5
        weights.append(weight)
        length = number + 1 - begun
        if weight + _of_length(length) >= _BREAK:
            cut = number + 1
        elif length >= _LONGEST:
            cut = _best(weights, begun, number)
        else:
            continue
        found.append(tokens[begun:cut])
        begun = cut
    if tokens:
        found.append(tokens[begun:])
    return found


# "I make it .14 | cylinder back up": a reading is told, and what comes next is not of it.
_SHORT_READING = 6
_READS = _set("mine mines mine's ours make got ones reads i've ive we've weve see")
_OF_READING = _set(
    "on in at of here there for to across all right and but so which that that's off out each both "
    "too or is from down up top bottom"
)


def _read_off(tokens: Sequence[Token], begun: int, number: int) -> bool:
    """Tell whether a short reading ends with a number."""
    one, two = tokens[number].key, tokens[number + 1].key
    if not _is_number(one) or _is_number(two) or two in _UNITS or two in _OF_READING:
        return False
    return any(token.key in _READS for token in tokens[begun : min(begun + 4, number)])


def _of_length(length: int) -> float:
    return -0.4 if length < 3 else min(0.3, (length - 8) * 0.03)


def _best(weights: Sequence[float], begun: int, number: int) -> int:
    """Return where a sentence that got too long is best cut."""
    places = range(begun + _PART - 1, number + 2 - _PART)
    return max(places, key=lambda at: (weights[at], at)) + 1


def _weight(tokens: Sequence[Token], number: int) -> float:
    """Return how much speaks for an end after a word, whatever the sentence's length."""
    one, two = tokens[number], tokens[number + 1]
    pause = (two.start - one.end) / 1000
    weight = min(pause, 3.0)
    after = tokens[number + 2].key if number + 2 < len(tokens) else ""
    if one.cue != two.cue and pause >= 0.2:
        weight += 0.3
    if one.text[-1] in ".?!":
        weight += 0.6
    weight += _begins(one.key, two.key, after, pause)
    if _in_number(tokens, number) and not (pause >= _APART and _two_numbers(one, two)):
        return weight - 4.0
    if one.key in _HANGING:
        weight -= 0.4 if one.key in _MAY_END and pause > 0.25 else 1.4
    if two.key in ("of", "than", "with", "for", "from", "off", "out", "into", "or"):
        weight -= 0.3
    return weight


_APART = 1.5


def _two_numbers(one: Token, two: Token) -> bool:
    """Tell whether two numbers stand side by side, each of which may be whole."""
    return _is_number(one.key) and _is_number(two.key)


def _begins(one: str, two: str, after: str, pause: float) -> float:
    """Return how much a word speaks for a sentence that begins with it."""
    if two == "and":
        return 0.45 if after in ("then", "now", "once", "so") else 0.2
    if two in _STRONG:
        if after in _NOT_BEFORE.get(two, ()) or one in _NOT_AFTER.get(two, ()):
            return 0.0
        if one in _STRONG:  # "okay so now": one beginning
            return -0.5
        return 0.66 if two in ("so", "okay", "ok", "alright", "then", "anyway") else 0.5
    if one in _STRONG and pause < 1:
        return -0.3
    if two in _DONE and after in ("the", "that", "it", "this", "them", "your", "both", "a", "'em"):
        return 0.4 if two not in _NOUN_AFTER else 0.3
    return 0.25 if two in _WEAK else 0.0


def _in_number(tokens: Sequence[Token], number: int) -> bool:
    """Tell whether a number, or what is measured by it, goes on after a word."""
    one, two = tokens[number].key, tokens[number + 1].key
    first, second = _is_number(one), _is_number(two)
    if not (first or second or one in _UNITS):
        return False
    if first and (second or two in _UNITS):
        return True
    third = number + 2 < len(tokens) and _is_number(tokens[number + 2].key)
    if two == "and" and number + 3 < len(tokens) and tokens[number + 2].key in ("a", "an"):
        third = _is_number(tokens[number + 3].key)  # two and an eighth
    if (first or one in _UNITS) and two in _INSIDE and third:
        return True
    before = number > 0 and (_is_number(tokens[number - 1].key) or tokens[number - 1].key in _UNITS)
    if one in _INSIDE and second and before:
        return True
    return one in _UNITS and two in _UNITS  # foot pounds, newton metres


def _is_number(key: str) -> bool:
    return key in _NUMBERS or (key[0] in _FIRST and _DIGITS.fullmatch(key) is not None)
