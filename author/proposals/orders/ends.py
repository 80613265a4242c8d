"""Where an order ends in talk that no signs part: "peel it off and both gaskets are trash".

What goes on behind is a sentence of its own, or a thing that is only named; it is left out of
the order, and stays in the words that the step rests on.
"""

from __future__ import annotations

from collections.abc import Sequence

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import ARTICLES, NUMBERS
from author.proposals.language.loose_talk import OF_A_THING
from author.proposals.language.trade_words import as_phrase, trade_words
from author.proposals.language.verbs import base_of, base_of_past, is_ing
from author.proposals.language.word_forms import singular
from author.proposals.orders.words import FINITE, PARTICLES, PREPOSITIONS, STANDS

_SPEAKERS = _words(
    """
    i you we he she they i'm you're we're they're i've you've we've they've i'll you'll we'll
    they'll he'll she'll it's it'll that's that'll there's he's she's what's here's ye nobody
    somebody whoever everybody i'd you'd we'd they'd
    """
)
# Nobody says "from they".
_ONLY_SPEAK = _words("i we he she they")
# They let a clause with a subject of its own follow.
_OPENING = _words(
    """
    if when once before after until unless while where what which who that because as so how
    why whether whenever whose see
    """
)


# "In the order they came", "the way it came out": the clause belongs to the noun.
def _is_one_of_them(words: Sequence[str], at: int) -> bool:
    """Whether a number says how many: "the top two"; but "out the back | five vanes"."""
    placed = (at > _TAKEN_OUT and words[at - 3] in _PLACED) or words[at] in {"1", "one"}
    return words[at - 1] in {"first", "last"} or not placed


_TAKEN_OUT = 4
"""Where a number stands in "take out the front two screws"."""
_PLACED = _words("at off out from in on to into onto over under")
_WHICH_OF_THEM = _words(
    "first last next other same top bottom front back rear upper lower inner outer left right"
)
_RELATED = _words("order way one ones hole time mark thing things same place side much")
_TELLING = FINITE | _words(
    """
    goes comes sits gets runs looks takes says falls feels stays means hides lies keeps lives
    drops binds comes wants needs ought isn't aren't won't can't doesn't wasn't shouldn't don't
    didn't catches drips leaks matters weighs holds crumbles stops tells belongs
    """
)
_HOW_MANY = NUMBERS - {"one"} | {"few", "couple", "several", "many", "more"}
_COUNTED = _words("drops turns catches drips stops holds runs leaks")
_MEASURES = _words(
    """
    mm millimetre millimetres millimeter millimeters mil mils inch inches thou degrees degree psi
    bar volts amps ohms newton foot pounds turn turns times minutes minute seconds hours hour
    full half quarter more at passes flats clicks strokes kilos grams litres liters ml celsius
    fahrenheit rpm notch notches teeth holes days weeks percent spots places or and to of point
    hundred thousandths thousandth eighth eighths tenth tenths th third or three four five six
    """
)
_COUNTING = _words("to about of or and minus plus by than at over under around the a an all with")
STRAY = _words("and or but so the a an because which if when with no not like is are 'll")
_TO_A_PERSON = _words("to towards toward from at behind beside against with for by near under")
# "Lift it off of" has lost what it was lifted off.
_FROM = {"off", "out"}
_PROVING = _words("prove proves check confirm see sure")
# "Make sure it's in": the clause is what is asked for.
_LEAVING = _words("make see check feel watch ensure have")
_FETCHING = _words("get grab give have")
_TURNS = _words("tap turn knock push pull shot go coat drop more at by last full click notch side")


def cut(words: Sequence[str]) -> tuple[str, ...]:
    """Return the words of an order up to where something else begins; linear in their number.

    Args:
        words: the verb first, behind "do not" or "never".
    """
    end = _end(words)
    kept = list(words[:end])
    while (
        len(kept) > 1
        and not stays_put(kept)
        and (kept[-1] in STRAY or (kept[-1] == "of" and (end < len(words) or kept[-2] in _FROM)))
    ):
        kept.pop()
    return tuple(kept)


def stays_put(words: Sequence[str]) -> bool:
    """Whether an order ends with where or how a thing is: "hold the needle where it is".

    Args:
        words: in small letters.
    """
    return tuple(words[-2:]) in _AS_IT_IS and words[-3:][0] in {"where", "how", "as"}


_AS_IT_IS = {("it", "is"), ("they", "are"), ("that", "is"), ("those", "are")}


def _end(words: Sequence[str]) -> int:
    open_clause = words[0] in _LEAVING
    by_verb = open_clause
    begin = 3 if words[:2] == ("do", "not") else 1
    for at in range(begin, len(words)):
        word, before = words[at], words[at - 1]
        if word in _OPENING and not (word == "that" and _points(words, at)):
            open_clause, by_verb = True, False
        elif at > 2 and open_clause and before in {"it", "they"} and words[at - 2] in _OPENING:
            # "Until it bottoms": the clause has its verb.
            open_clause = False
        elif word == "that's" and words[at + 1 : at + 2] and words[at + 1] in OF_A_THING:
            open_clause = False
        elif word in _SPEAKERS:
            to_it = before in _TO_A_PERSON and word not in _ONLY_SPEAK
            if to_it or before in _PROVING or (word == "you" and at + 1 == len(words)):
                continue
            # "Check the runout on the carrier with a dial indicator | we've got four"
            over = not open_clause or (by_verb and at > _PLACE + 1 and _is_noun(before))
            if over and before not in _RELATED and at > begin:
                return _back(words, _any_before(words, at) - (before in _FETCHING), begin)
            open_clause = word in {"it's", "that's", "there's"} and open_clause
        elif word in _TELLING or word.endswith("'ll") or _moves(words, at):
            many = words[at - 2] if before == "of" else before  # "a couple of drops"
            counted = many in _HOW_MANY and word in _COUNTED  # "put a few drops of oil on it"
            let_be = words[0] == "let" and word == "be"
            if before in ARTICLES or before == "to" or let_be or counted:
                continue
            if open_clause:
                open_clause = False
            elif at > begin and not _verb_of_relative(words, at):
                return _subject(words, at, begin)
        elif at > begin and (_is_anew(words, at) or word == "never"):
            return at
        elif at > begin and _counts_anew(words, at):
            # "Out | chuck two bearings in": the word before is a verb of its own.
            verb = at - 2 > begin and before != word and words[at - 2] in {"off", "out", "down"}
            return at - 1 if verb and base_of(before) == before else at
        elif at > begin and (_names_anew(words, at) or _name_without_article(words, at)):
            return at
    return len(words)


def _happened(words: Sequence[str], at: int) -> bool:
    """Whether what a thing did is told: "get the seal out with a hook | it leaked"."""
    behind = words[at + 1] if at + 1 < len(words) else ""
    did = behind.endswith("ed") or base_of_past(behind) not in {None, behind}
    return at > _PLACE and words[at] == "it" and did and _is_noun(words[at - 1])


def _answers(words: Sequence[str], at: int) -> bool:
    """Whether somebody agrees with himself: "red wire to negative | yes I know"."""
    return words[at] in {"yes", "yeah", "yep"} and words[at - 1] not in ARTICLES


def _is_so(words: Sequence[str], at: int) -> bool:
    """Whether what a thing does is told behind a turn: "the old ones first | row's reading"."""
    after = next((n for n in range(at + 1, min(len(words) - 1, at + 4)) if "'s" in words[n]), 0)
    if words[at - 1] not in {"first", "last", "again"} or words[at - 2] in ARTICLES or not after:
        return False
    doing = words[after + 1]
    return is_ing(doing) and trade_words().kind_of(doing) not in {"part", "tool"}


def without_occasion(words: Sequence[str]) -> tuple[str, ...]:
    """Return an order without when it was filmed: "with the camera dead", "while he was out"."""
    for at in range(_SHORTEST, len(words)):
        if words[at] in {"while", "when"} and _WAS & set(words[at + 1 : at + 5]):
            return tuple(words[:at])
        if words[at] == "during" and _BREAKS & set(words[at + 1 : at + 3]):
            return tuple(words[:at])
        if words[at] in _MEANWHILE and _FILMED & set(words[at + 1 : at + 3]):
            return tuple(words[:at])
    return tuple(words)


_SHORTEST = 2
_WAS = _words("was were wasn't had")
_MEANWHILE = _words("with while when before after without")
_BREAKS = _words("lunch dinner break tea smoko")
_FILMED = _words("camera phone filming")


def _moves(words: Sequence[str], at: int) -> bool:
    """Whether a thing moves, in "the yoke slides right off"; "the inlet slides" are things."""
    return words[at] in _MOVING and bool(_AWAY & set(words[at + 1 : at + 2]))


_MOVING = _words("slides lifts pops slips")
_AWAY = PARTICLES | {"right", "straight"}


def tells(word: str) -> bool:
    """Whether a word says something of a thing named before it: "the plate says fifteen"."""
    return word in _TELLING or word.endswith("'ll")


def _points(words: Sequence[str], at: int) -> bool:
    """Whether "that" stands before a noun, or for one: "that screw", "look at that | it's …"."""
    if words[at - 1] == "at":
        return True
    after = words[at + 1] if at + 1 < len(words) else ""
    return trade_words().kind_of(after) is not None or after in trade_words().modifiers


def _verb_of_relative(words: Sequence[str], at: int) -> bool:
    """Whether a noun before the verb says that a clause belongs to it: "the order they come"."""
    if words[at - 1] in {"it", "they"} and words[at - 2] in PARTICLES:
        return False  # "all the way out | it sits in a notch"
    return any(
        words[place] in _OPENING | _RELATED
        and not (words[place] == "that" and _points(words, place))
        for place in range(max(1, at - 3), at)
    )


def _any_before(words: Sequence[str], at: int) -> int:
    """Return where "any score you can feel" begins, or the place itself."""
    return next((n for n in range(at - 1, max(1, at - 3), -1) if words[n] == "any"), at)


def _back(words: Sequence[str], at: int, begin: int) -> int:
    return at - 1 if at - 1 > begin and words[at - 1] in {"and", "or", "but", "so"} else at


def _subject(words: Sequence[str], at: int, begin: int) -> int:
    """Return where the subject of a verb begins: behind "and", or at its article."""
    if words[at] in {"do", "can", "will", "need", "have", "be"} and words[at - 1] in {"and", "or"}:
        return len(words)
    if words[at - 1] in {"it", "them", "this", "that", "both"} and at - 1 > begin:
        return at - 1
    for place in range(at - 1, max(begin, at - 6), -1):
        word = words[place]
        if word in {"and", "or", "but"}:
            return place
        if word in ARTICLES | NUMBERS and words[place - 1] not in {"of", "all", "both"}:
            if words[place - 1] in {"and", "or", "but"}:
                return place - 1
            # The article of the only object: the verb tells of what the order is about.
            return at if place == begin or _needs_object(words[place - 1]) else place
        if word in PARTICLES:
            return place + 1
    return at


def _needs_object(word: str) -> bool:
    return word in PREPOSITIONS | {"of", "with", "from", "by", "for"}


def _tool_anew(words: Sequence[str], at: int) -> bool:
    """Whether the size of a tool begins: "the bolts on the cover | three eighths socket"."""
    word, before = words[at], words[at - 1]
    if not (word in NUMBERS or word[:1].isdigit()) or not _is_noun(before) or before in _COUNTING:
        return False
    tool = next((n for n in range(at + 1, min(at + 4, len(words))) if words[n] in _SIZED), 0)
    sizes = words[at + 1 : tool]
    return tool > at + 1 and all(one in _MEASURES | NUMBERS for one in sizes)


def _is_anew(words: Sequence[str], at: int) -> bool:
    """Whether the next thing, a tool, a limit or an amount begins at a word."""
    return (
        _tool_anew(words, at)
        or _limits_anew(words, at)
        or _amount_anew(words, at)
        or _next_anew(words, at)
        or _switched_anew(words, at)
        or _lacks_anew(words, at)
        or _happened(words, at)
        or _answers(words, at)
        or _is_so(words, at)
    )


def _lacks_anew(words: Sequence[str], at: int) -> bool:
    """Whether what is not there, or not allowed, is told: "at the teeth | no hooks worn in"."""
    word, before, behind = words[at], words[at - 1], "".join(words[at + 1 : at + 2])
    ends = _is_noun(before) or before in PARTICLES | {"it", "them"}
    if word == "any":
        return at > _PLACE and _is_noun(before) and behind not in {"more", "further"}
    corrects = behind in NUMBERS or behind[:1].isdigit()
    return word == "no" and at > 1 and ends and not corrects and behind not in _NO_MORE


_NO_MORE = _words("more further less deeper higher lower tighter longer faster closer wider later")


def _switched_anew(words: Sequence[str], at: int) -> bool:
    """Whether what is switched is named behind a place: "set it on the floor | key off"."""
    word, before, behind = words[at], words[at - 1], "".join(words[at + 1 : at + 2])
    placed = at > _PLACE and words[at - 2] in ARTICLES and words[at - 3] in PREPOSITIONS
    whole = before not in trade_words().modifiers and trade_words().kind_of(before) != "part"
    return word in _SWITCHED and behind in {"off", "out"} and placed and whole


_SWITCHED = _words("motor engine key power ignition")
_PLACE = 3


def _amount_anew(words: Sequence[str], at: int) -> bool:
    """Whether an amount of something is named: "put it on | dab of sealer behind"."""
    behind, before = words[at + 1 : at + 2], words[at - 1]
    begins = words[at] in _DABS and behind and behind[0] == "of"
    return bool(begins) and at > _AFTER_VERB and (before in PARTICLES or _is_noun(before))


def _next_anew(words: Sequence[str], at: int) -> bool:
    """Whether the next thing, or a reason without its sign, is told: "off | next two screws"."""
    word, before, behind = words[at], words[at - 1], "".join(words[at + 1 : at + 2])
    if word == "next":
        return before not in ARTICLES and behind in NUMBERS
    return word == "cause" and before not in {"to", "will", "can", "not"} and behind in ARTICLES


_DABS = _words("dab drop smear lick blob bead skim")
_AFTER_VERB = 2


def _limits_anew(words: Sequence[str], at: int) -> bool:
    """Whether a limit is told: "check the gap | anything over this is no good"."""
    behind = words[at + 1] if at + 1 < len(words) else ""
    return words[at] in {"anything", "whatever"} and behind in _BEYOND


_SIZED = _words("socket wrench spanner key bit driver hex allen drill punch head heads")
_BEYOND = _words("over under above below more less past beyond outside")


def _counts_anew(words: Sequence[str], at: int) -> bool:
    """Whether a number begins a new thing: "the cover | one wing nut"."""
    word, before = words[at], words[at - 1]
    if not (word in NUMBERS or word[:1].isdigit()) or word == "one":
        once = words[at + 1 : at + 2] and words[at + 1] in _TURNS
        return word == "one" and not once and _part_behind(words, at) and _is_noun(before)
    if (
        before == "number"
        or before in NUMBERS
        or before[:1].isdigit()
        or not (_is_noun(before) or before in PARTICLES or before in {"first", "last", "again"})
        or (before in _WHICH_OF_THEM and words[at - 2] in ARTICLES and _is_one_of_them(words, at))
    ):
        return False
    after = words[at + 1 : at + 3]
    if before == "on" and STANDS & set(after):
        return False  # "set the hub on two blocks"
    if any(one in _MEASURES for one in after) or (word[-1:].isalpha() and word[:1].isdigit()):
        return False
    return before not in _COUNTING and ((bool(after) and _part_behind(words, at)) or _exact(word))


def _exact(word: str) -> bool:
    return "." in word


def _part_behind(words: Sequence[str], at: int) -> bool:
    return any(
        trade_words().kind_of(word) in {"part", "tool", "weak"} for word in words[at + 1 : at + 4]
    )


def _is_noun(word: str) -> bool:
    return trade_words().kind_of(word) is not None


def _name_without_article(words: Sequence[str], at: int) -> bool:
    """Whether another thing is named behind what came off: "take the guard off | paint stick".

    What it comes off has its article: "off the frame".
    """
    word, before = words[at], words[at - 1]
    if before not in {"off", "out"} or at < _AFTER_THE_THING or words[0] not in _TAKING:
        return False
    behind = words[at + 1] if at + 1 < len(words) else ""
    table = trade_words()
    if table.kind_of(word) in {"part", "tool"}:
        return behind not in {"first", "side", "end"}
    led = word in table.modifiers or table.kind_of(word) == "supply"
    return led and table.kind_of(behind) in {"part", "tool"}


_AFTER_THE_THING = 4
_TAKING = _words("take remove pull lift get have slide undo")


def _names_anew(words: Sequence[str], at: int) -> bool:
    """Whether a thing is named with a way of its own: "swing it in | belt off"."""
    word, before = words[at], words[at - 1]
    after = words[at + 1] if at + 1 < len(words) else ""
    table = trade_words()
    if table.kind_of(word) == "tool" and after in {"on", "across", "under"} and _is_noun(before):
        placed = any(one in PREPOSITIONS for one in words[1 : at - 1])
        named = as_phrase([before, word]) in table.phrases or before in table.modifiers
        return placed and not named and before not in table.dropped
    if before not in {"off", "out", "in", "on", "up", "down", "back", "again", "first", "last"}:
        return False
    if before == "back" and words[at - 2] in ARTICLES | {"whole", "other", "old", "new"}:
        return False  # "the back cover"
    if table.kind_of(word) in {"part", "tool"} and singular(word) == word:
        way = after in {"off", "out", "on", "in", "up", "down", "back", "shut", "done"}
        ends = at + 2 >= len(words) or words[at + 2] not in ARTICLES | {"it", "them"}
        return way and ends and before not in {"again", "first", "last"}
    loose = word in table.modifiers and table.kind_of(after) == "tool"
    return loose and before in {"off", "out", "up", "down", "back"}
