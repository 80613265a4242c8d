"""Numbers told of fasteners that go back: "Coupling bolts, new washers, sixty-five"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.numbers.tokens import Token

_FASTENER = (
    r"(?:(?:cap|set|grub|lock|jam|ring|wheel|axle|castle|through|drain)?"
    r"(?:bolts?|nuts?|screws?|studs?)|nylocs?|banjos?)"
)
# "the cover bolts get ten", "cone bolts are only eighteen"
_LED = re.compile(
    rf"\b{_FASTENER}(?: (?!off|out|long|deep|wide|are|is|was|were)[a-z'-]+){{0,3}}"
    r"(?: (?:go(?:es)?|get|gets|take|takes|want|wants|torqued|tightened|done|up)(?: up)?(?: to)?"
    r"| at| to| (?:are|is|'s) (?:only|just|at))(?: (?:only|just|about))?$"
)
# "nut, forty-five", "bolts, paint to paint, sixty-five"
_LISTED = re.compile(
    rf"\b{_FASTENER}(?: ?,?(?: (?!and\b|then\b|but\b|it\b|it's\b|i\b)[a-z0-9'-]+){{1,6}})? ?,?$"
)
# "castle nut sixty, new cotter"
_ALONE = re.compile(rf"(?:(?:[a-z-]+ ?,? ){{0,4}})?{_FASTENER} ?,?")
# "twelve to fourteen on the case bolts"
_ON_THEM = re.compile(
    rf"(?:on|for) (?:the |all |these |those |all the )?(?:[a-z-]+ ){{0,2}}{_FASTENER}\b"
)
# "eight bolts crossways, ten first time round"
_STAGED = re.compile(
    r"\b(?:in (?:two|three|four|2|3|4) (?:goes|stages|steps|passes)|in stages"
    r"|first time (?:round|around)|first (?:round|pass|go))\b"
)
_ANY = re.compile(rf"\b{_FASTENER}\b")
_GOES_BACK = frozenset({"new", "nyloc", "nylocs", "back", "on", "in", "dry", "paint", "star",
                        "crisscross", "criss-cross", "diagonal", "diagonally", "pattern", "lock",
                        "threadlock", "threadlocker", "retainer", "washers", "washer", "tight",
                        "tighten", "torque", "refit", "fit", "cover", "housing",
                        "each"})  # fmt: skip
_COMES_OFF = frozenset({"off", "out", "undo", "undone", "remove", "removed", "loosen", "slacken",
                        "comes", "come", "spanner", "spanners", "socket", "sockets", "wrench",
                        "key", "allen", "hex", "across", "flats", "crack", "loose", "unscrew",
                        "release", "inch", "mil", "size", "sized"})  # fmt: skip
_NO_TORQUE = re.compile(
    r"(?:long|deep|apart|thick|wide|across|high|tall|centres|centers|of|off|in total|threads?|times"
    r"|places|holes|o'clock|by|x|mil|mm|minutes?|turns?|degrees?|percent|spanners?|sockets?"
    r"|bolts?|nuts?|screws?|studs?|washers?)\b"
)
_LEAST, _MOST = 3, 600


def is_tightened(tokens: list[Token], amount: Amount) -> bool:
    """Whether a number without a unit can only be the torque of fasteners that go back.

    That is how a torque is told where a unit was told before (common practice, no source); a
    number behind fasteners that come off is the size of their heads.

    Args:
        tokens: of the sentence.
        amount: one of its amounts.
    """
    if not _can_be(tokens, amount):
        return False
    first = amount.first
    while first and tokens[first - 1].low not in {".", ";", "?", "!"} and amount.first - first < 9:
        first -= 1
    ahead = between(tokens, first, amount.first)
    behind = between(tokens, amount.last, min(amount.last + 2, len(tokens)))
    if _NO_TORQUE.match(behind):
        return False
    words = {token.low for token in tokens}
    whole = between(tokens, 0, min(len(tokens), 16))
    if _ON_THEM.match(between(tokens, amount.last, min(amount.last + 7, len(tokens)))):
        return not words & _COMES_OFF
    if _STAGED.search(whole) and _ANY.search(ahead):
        return not words & _COMES_OFF
    if _LED.search(ahead):
        return not words & (_COMES_OFF - {"off", "out", "comes", "come"})
    return bool(_LISTED.search(ahead) and words & _GOES_BACK and not words & _COMES_OFF)


def is_done_to(tokens: list[Token], amount: Amount) -> bool:
    """Whether fasteners are done up to a decimal: "the screws at one point two".

    Args:
        tokens: of the sentence.
        amount: one of its amounts.
    """
    plain = amount.unit is None and amount.form == "decimal" and amount.is_plain()
    if not plain or {token.low for token in tokens} & _COMES_OFF:
        return False
    behind = between(tokens, amount.last, min(amount.last + 2, len(tokens)))
    return not _NO_TORQUE.match(behind) and bool(
        _LED.search(between(tokens, max(0, amount.first - 9), amount.first))
    )


def stands_alone(tokens: list[Token], amount: Amount) -> bool:
    """Whether a number follows a fastener that opens its sentence: "castle nut sixty"."""
    opens = _ALONE.fullmatch(between(tokens, 0, amount.first)) is not None
    comes_off = {token.low for token in tokens} & _COMES_OFF
    return opens and _can_be(tokens, amount) and not comes_off


def _can_be(tokens: list[Token], amount: Amount) -> bool:
    """Whether a number without a unit can be a torque by its size and by what follows it."""
    value = amount.nominal or amount.upper or amount.lower
    plain = amount.unit is None and amount.form in {"whole", "mixed", "range", "both"}
    if not plain or value is None or not _LEAST <= value <= _MOST or amount.bottom != 1:
        return False
    after = tokens[amount.last] if amount.last < len(tokens) else None
    return after is None or not after.low[:1].isalpha() or after.low in _ENDS


def is_head_size(tokens: list[Token], amount: Amount) -> bool:
    """Whether a number tells the spanner for fasteners that come off: "undo the nut, thirteen"."""
    whole = amount.unit is None and amount.form == "whole" and amount.is_plain()
    if not whole or not _LEAST_HEAD <= (amount.nominal or 0) <= _MOST_HEAD:
        return False
    words = {token.low for token in tokens}
    ends = amount.last >= len(tokens) or not tokens[amount.last].low[:1].isalpha()
    undone = words & _UNDONE and not words & _DONE_UP
    ahead = between(tokens, max(0, amount.first - 4), amount.first)
    return bool(ends and undone and _JUST_NAMED.search(ahead))


_LEAST_HEAD, _MOST_HEAD = 5, 60
_JUST_NAMED = re.compile(rf"\b{_FASTENER}(?: off| out| undone)? ?,$")
_UNDONE = frozenset({"undo", "off", "out", "remove", "loosen", "slacken", "crack", "unscrew"})
_DONE_UP = frozenset({"torque", "torqued", "tighten", "tight", "back", "new", "fit", "refit"})
_ENDS = frozenset({"and", "then", "so", "each", "on", "star", "from", "with", "in", "newtons",
                   "it's", "it", "first", "for", "that's"})  # fmt: skip
