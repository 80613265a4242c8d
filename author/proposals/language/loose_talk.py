"""Cuts loose talk into what may be one order each, without fillers and what was taken back.

Not the clauses of ``clause_cuts``, and two cutters on purpose. Those hold every word of a sentence,
each around one verb and with its part in the sentence, so that evidence has its place: "undo the
nut before you pull the arm off" are two. Here the words are mended, and a cut comes only where
another order may begin: that sentence is one, for its order is worded with what it comes before.
Signs of a beginning that hold for both stand in ``telegraphic`` and ``closed_words``.
"""

from __future__ import annotations

from author.checks.verbs import CLEAR_VERBS, LOOKING_VERBS
from author.checks.verbs import words as _words
from author.proposals.language.closed_words import NUMBERS, OF_IT, SENSED
from author.proposals.language.loose_words import TAKEN, TALKERS, LooseClause
from author.proposals.language.taken_back import ATTACHED
from author.proposals.language.telegraphic import begins_order, joins_orders
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of
from author.proposals.language.word_forms import singular

_CONTRACTED = {"gonna", "wanna", "gotta", "hafta", "hasta", "needa", "needsta", "tryna"}
_CONDITIONS = _words("if when once before after unless while until whenever")


def loose_clauses(words: LooseClause) -> list[LooseClause]:
    """Return the clauses of a sentence: parted by signs and by where a new order begins."""
    found: list[LooseClause] = [[]]
    low = [word.low for word in words]
    begins = joins_orders if any(word.mark for word in words[:-1]) else begins_order
    for at, word in enumerate(words):
        parted = at and found[-1] and (words[at - 1].mark or _begins(words, at))
        if parted or (at and begins(low, at - len(found[-1]), at)):
            found.append([])
        found[-1].append(word)
    return [clause for clause in found if clause]


def _goes_in_case(words: LooseClause, at: int) -> bool:
    """Whether "go on" is of the case it stands in: "before the new shoes go on, back it off"."""
    begin = next((n for n in range(at, 0, -1) if words[n - 1].mark), 0)
    after = words[at + 1].low if at + 1 < len(words) else ""
    goes = words[at].low in {"go", "come"} and after in {"on", "in", "off", "out", "back"}
    return goes and words[begin].low in _OF_A_CASE


_OF_A_CASE = frozenset({"before", "once", "when", "after", "until", "till", "if"})


def _begins(words: LooseClause, at: int) -> bool:
    """Whether a new clause begins at a word that no sign stands before."""
    for rule in (_by_joiner, _by_speaker):
        found = rule(words, at)
        if found is not None:
            return found
    if not _opened(words, at):
        return _taken_up(words, at)
    if at <= 3 or _goes_in_case(words, at):
        return False
    low, before = words[at].low, words[at - 1].low
    after = words[at + 1].low if at + 1 < len(words) else ""
    does = base_of(after) is not None or after in {"can", "could", "should", "must", "gonna"}
    if low in TALKERS and before not in _NO_CLAUSE_BEHIND and does:
        return True
    plain = trade_words().kind_of(low) in {None, "plain"}
    verb = (
        low in CLEAR_VERBS or after in {"it", "them", "those"} or plain or before in _NO_NOUN_BEHIND
    )
    return verb and "'" not in before and before not in _NO_ORDER_BEHIND and _is_order(words, at)


def _by_joiner(words: LooseClause, at: int) -> bool | None:
    """Whether "then", "now", "don't", "so", "and" begin a clause; None for other words."""
    low, before = words[at].low, words[at - 1].low
    after = words[at + 1].low if at + 1 < len(words) else ""
    if low == "then" and before != "and":
        return True
    if low == "now" and after in TALKERS and before not in _NO_CLAUSE_BEHIND:
        return True
    if low in {"don't", "never"} and at > 2 and before not in _NOT_BEFORE_NOT:
        led = {word.low for word in words[max(0, at - 5) : at]}
        return base_of(after) == after and not led & {"so", "if", "that", "when", "until"}
    if low in {"so", "but", "because"} and after not in {"that", "much", "far", "called"}:
        # "So it sits flush", "so you can see": what the order is for, and part of it.
        purpose = at + 2 < len(words) and words[at + 2].low in {"can", "can't", "don't"}
        begins = after in TALKERS | {"that's", "just", "don't"} and not purpose
        return low != "so" or begins or _bare_thing(words, at + 1)
    if low == "and":
        told = after in TALKERS | {"then", "just", "it", "it's", "that's", "there"}
        told = told or _thing_is_done(words, at + 1) or _thing_goes(words, at + 1)
        return told or _is_order(words, at + 1)
    return None


def _thing_is_done(words: LooseClause, at: int) -> bool:
    """Whether "the screen is washed" stands here: a thing, and what is done to it."""
    if at >= len(words) or words[at].low not in {"the", "both", "each", "all"}:
        return False
    for place in range(at + 2, min(at + _LONGEST_NAME, len(words) - 1)):
        done = words[place + 1].low
        if words[place].low in {"is", "are"}:
            one = words[place - 1].low
            if words[place].low == "are" and singular(one) == one:
                return False  # "the shaft and the bearing are cleaned" is told of both
            return base_of(done) not in {None, done} and not done.endswith("ing")
        if words[place - 1].mark:
            return False
    return False


def _thing_goes(words: LooseClause, at: int) -> bool:
    """Whether "a new one goes on" stands here: "the belt comes off and a new one goes on"."""
    # "The nut and the washer come off" is told of both.
    ended = words[at - 2].low in _COMES_OR_GOES
    if not ended and _comes_with_that(words, at):
        return True
    if not ended or at >= len(words) or words[at].low not in {"the", "a", "new", "another"}:
        return False
    for place in range(at + 1, min(at + _LONGEST_NAME, len(words) - 1)):
        if words[place].low in {"goes", "go", "comes", "come"}:
            return words[place + 1].low in _COMES_OR_GOES
        if words[place].mark:
            return False
    return False


def _comes_with_that(words: LooseClause, at: int) -> bool:
    """Whether what is undone lets a thing off: "undo the screw and | the handle lifts off"."""
    begin = next((n for n in range(at - 1, 0, -1) if words[n - 1].mark), 0)
    while begin < at and words[begin].low in _BEGINS:
        begin += 1
    if words[begin].low not in _UNDOES or words[at - 1].low != "and":
        return False
    if any(word.low in _OF_A_CASE | {"so", "while"} for word in words[begin:at]):
        return False
    if at >= len(words) or words[at].low not in {"the", "your", "it"}:
        return False
    for place in range(at + 1, min(at + _LONGEST_NAME, len(words) - 1)):
        if words[place].low in _COMES:
            way = place + 1 + (words[place + 1].low in _STRAIGHT)
            off = way < len(words) and words[way].low in {"off", "out", "away", "apart"}
            name = words[place - 1].low
            told_of_one = words[place].low.endswith("s") or singular(name) != name
            at_you = [word.low for word in words[way + 1 : way + 3]] == ["at", "you"]
            part = name == "it" or trade_words().kind_of(name)
            return off and told_of_one and not at_you and part not in {None, "supply", "plain"}
        if words[place].mark or words[place].low in _FORETELLS:
            return False
    return False


_FORETELLS = _words("will can could may might would won't doesn't")
_BEGINS = _words("and then now so next first just")
_UNDOES = _words(
    "undo unscrew unbolt unclip unhook release remove take slacken loosen turn pull press squeeze "
    "lift push twist knock tap drive pop slide draw prise pry lever"
)
_COMES = _words("comes come lifts lift slides slide pulls pull pops pop slips slip")
_STRAIGHT = _words("straight right clean just")
_LONGEST_NAME = 6
_COMES_OR_GOES = _words("on in off out back straight down up first last next")


def _by_speaker(words: LooseClause, at: int) -> bool | None:
    """Whether "it's", "we'll", "I" begin a clause; None where they do not tell."""
    low, before = words[at].low, words[at - 1].low
    after = words[at + 1].low if at + 1 < len(words) else ""
    if at <= 2 or before in _NO_CLAUSE_BEHIND:
        return None
    if low in {"it's", "that's", "there's", "they're", "i'm", "we're", "i'll", "we'll"}:
        if before in LOOKING_VERBS | {"sure", "prove", "proves", "confirm"}:
            return False
        return low != "that's" or after not in OF_A_THING
    if low in {"mine", "ours", "yours"}:
        return after in {"is", "are"}  # "if they're straight | mine are going back in"
    if low in {"i", "we", "you"} and before in _PARTED_BY and base_of(after) == after:
        return True
    return None


def _bare_thing(words: LooseClause, at: int) -> bool:
    """Whether a thing is named here with a way to go: "so indicator on the nose"."""
    if at + 2 >= len(words) or words[at].mark:
        return False
    behind = {word.low for word in words[at : at + 5]}
    named = trade_words().kind_of(words[at].low) in {"part", "tool"}
    return named and words[at + 1].low in _WAYS and not behind & _TELLING


def _taken_up(words: LooseClause, at: int) -> bool:
    """Whether a further order begins without a sign: "slide it in oil it", "tip the jack"."""
    if at < 2 or words[at].mark or not _is_verb(words, at):
        return False
    before = words[at - 1].low
    if before in _WAYS_TO | _NOT_BEFORE_ORDER or before.endswith("ly"):
        return False
    if any(word.low in _NO_CLAUSE_BEHIND - {"and", "then", "so"} for word in words[at - 3 : at]):
        return False
    start = at
    while start > 0 and not words[start - 1].mark and at - start < 30:
        start -= 1
    while start < at and words[start].low in {"and", "so", "but", "now", "then", "okay", "just"}:
        start += 1
    first = words[start].low
    ordered = base_of(first) is not None or first in TALKERS or first == "new"
    ordered = ordered or (words[at - 1].low in {"in", "on", "off", "out"}
                          and trade_words().kind_of(first) == "part")  # fmt: skip
    return start < at - 1 and first not in _LETTING and ordered


def _is_verb(words: LooseClause, at: int) -> bool:
    """Whether a word is a verb with its object behind it, and nothing before that binds it."""
    low, before = words[at].low, words[at - 1].low
    after = words[at + 1].low if at + 1 < len(words) else ""
    if base_of(low) != low or low in _SELDOM or (low == "zero" and after in NUMBERS):
        return False
    if before in _NO_ORDER_BEHIND and not _is_whole(words, at, after):
        return False
    if after in {"it", "they"} and at + 2 < len(words) and words[at + 2].low in OF_IT:
        return False  # "with a brass drift | it weighs …"
    if after in SENSED.get(low, ()):
        return True  # "turn it | feel for drag"
    if low in CLEAR_VERBS:
        return after in TAKEN or after in _OBJECTS
    if trade_words().kind_of(low) not in {"part", "tool", "supply", "weak"}:
        return after in TAKEN
    # A noun may be a verb: "tip the jack", but not "each bolt a turn", "do that plug the same".
    again = at + 2 < len(words) and words[at + 2].low in _SAME
    named = before in trade_words().modifiers and after not in {"it", "them", "the"}
    named = named and words[at - 2].low not in {"it", "them"}  # "park it flat | chock both wheels"
    return after in TAKEN - {"a", "an"} and not named and not (after == "the" and again)


def _is_whole(words: LooseClause, at: int, after: str) -> bool:
    """Whether an order ended with "it" or a way to go: "pull it | tear it down", "in | oil it"."""
    before, verb = words[at - 1].low, words[at - 2].low
    taken = after in TAKEN or after in SENSED.get(words[at].low, ())
    if before in {"it", "them"}:
        return taken and verb not in _LETTING and base_of(verb) == verb
    if before not in {"in", "on"}:
        return False
    gone = verb == "back" or trade_words().kind_of(verb) == "part"
    return after in {"it", "them"} or (gone and taken and _begins_with_thing(words, at))


def _begins_with_thing(words: LooseClause, at: int) -> bool:
    """Whether what was said so far only names a thing and its way: "pulley back on"."""
    start = at
    while start > 0 and not words[start - 1].mark and at - start < _SHORT_THING:
        start -= 1
    return start == 0 or bool(words[start - 1].mark)


_SHORT_THING = 5
# Behind these a word is no noun: "if it won't come | heat the housing".
_NO_NOUN_BEHIND = _words("anything everything come budge move shift fit")
_LETTING = _words("let make watch see help have get if when once because")
_WAYS_TO = _words("to of with by at for from into onto under over round around between than as")
_NOT_BEFORE_ORDER = _words("the a an this that my your our its new old same other next last and")
_SELDOM = _words(
    "go come do have be need like back bit left open round down over clear level square shut part "
    "face last"
)
_SAME = _words("same first second next last other way right left whole day week month morning time")
_WAYS = _words("on in off out into onto at back up down across under over between")
_TELLING = _words("is are goes comes gets can can't will won't doesn't don't sits has have it's")
# "Any pressure that's left": it belongs to the thing.
OF_A_THING = _words("left in on still stuck holding there under behind")
"""Behind "that's" these tell where a thing is: no new clause begins."""
_NOT_BEFORE_NOT = _words(
    """
    i you we they he she it and or so but if that which who it's to please always that's just
    because ones one until when where while
    """
)
_NO_CLAUSE_BEHIND = _words(
    """
    and but or so if when once before after until while where what which who that because than as
    like unless how why whenever then
    """
)
_PARTED_BY = _words("out off in on down up loose away back apart")
_NO_ORDER_BEHIND = (
    ATTACHED
    | TALKERS
    | _words(
        """
    been being have has had as soon
    and or not to don't never can can't will would should must it's is are be was were they he she
    it gonna wanna gotta needa hafta won't doesn't just that's who which that these this those all
    both either each every no
    """
    )
)


def _opened(words: LooseClause, at: int) -> bool:
    """Whether the clause that runs up to a word began with a condition."""
    start = at
    while start > 0 and not words[start - 1].mark and at - start < 30:
        start -= 1
        if words[start].low == "and" and start + 1 < at and words[start + 1].low not in _CONDITIONS:
            start += 1
            break
    while start < at and words[start].low in {"and", "so", "but", "now", "then", "okay"}:
        start += 1
    if words[start].low == "because":
        return words[start + 1].low not in _CONDITIONS
    if words[start].low in {"with", "using"}:
        return at - start > 4
    return words[start].low in _CONDITIONS


def _is_order(words: LooseClause, at: int) -> bool:
    """Whether a verb in its base form stands here with what a verb has behind it."""
    low = words[at].low if at < len(words) else ""
    if base_of(low) != low or at == 0:
        return False
    after = words[at + 1].low if at + 1 < len(words) else ""
    # "lock and tag the isolator": one order for one object.
    if words[at - 1].low == "and" and at >= 2 and not words[at - 2].mark:
        before = words[at - 2].low
        if base_of(before) == before and (at == 2 or words[at - 3].low in _VERB_BEHIND):
            return False
    return after in _OBJECTS


_VERB_BEHIND = TALKERS | _CONTRACTED | _words("to and then just can will should must now is")
_OBJECTS = _words(
    """
    the a an this that these those it them your my our its both all each every two three four
    five six eight one off out on in down up back away some any somebody someone everything
    """
)
