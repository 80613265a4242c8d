"""Cuts a sentence into clauses, with and without punctuation.

The clauses hold every word of the sentence and say what each is to the one beside it. What is
cut to be worded as an order is cut by ``loose_talk``, which says why that is another cut.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from author.checks.verbs import ARTICLES, PARTICLES, words
from author.proposals.language.closed_words import OF_IT, SENSED
from author.proposals.language.plain_words import NUMBER_WORDS, Plain
from author.proposals.language.telegraphic import ends_in_number
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import CLEAR, base_of_going, is_work

Role = Literal["main", "condition", "time", "reason", "result", "contrast", "else"]

_STRONG = frozenset(";:.!?–—…")
SUBJECTS = words(
    """
    i you we it he she they there this that these those someone somebody everything nothing i'm
    i'll i'd i've you're you'll you'd you've we're we'll we'd we've it's it'll it'd he's she's
    they're they'll they've there's that's that'll there'll here's let's what's who's everybody
    """
)
_LEADING: dict[str, Role] = {
    "if": "condition", "unless": "condition", "because": "reason", "otherwise": "else",
    "before": "time", "after": "time", "until": "time", "when": "time", "whenever": "time",
    "once": "time", "while": "time", "whilst": "time", "although": "contrast",
    "though": "contrast", "but": "contrast", "then": "main", "which": "main", "since": "reason",
    "wherever": "time", "except": "contrast",
}  # fmt: skip
_NO_CUT_BEHIND = {
    "once": words("more again over every only") | {""},
    "before": words("and but or") | {""},
    "after": {""},
    "then": {""},
    "though": {""},
    "which": words("way one side end"),
    "since": {""},
}
_NOTED_DOWN = (("write", "down"), ("note", "down"))
_NO_CUT_AFTER = {
    "if": words("see check as even what only know wonder ask and or but test feel find look"),
    "which": words(
        "of in on at know see check way for from with note mark record label photograph"
    ),
    "before": words("the day week never ever time like as right just"),
    "after": words("the day week soon right"),
    "when": words("and know from"),
    "once": words("at than the and all"),
    "but": words("anything nothing all"),
    "then": words("and by until since if"),
    "until": words("and or"),
    "because": words("just mainly only"),
}
_FRAMES = words("wanna gotta gonna needa hafta")
_SAYERS = words("you you'll you're you've we we're we'll i'm i'll let's you'd")
_CALLS = frozenset(
    [("make", "sure"), ("go", "ahead"), ("be", "careful"), ("take", "care"), ("watch", "out"),
     ("keep", "your"), ("mind", "your"), ("watch", "your"), ("watch", "that"), ("mind", "the"),
     ("be", "sure"), ("try", "not"), ("careful", "not"), ("careful", "you"), ("remember", "to")]
)  # fmt: skip
_GLUE = words(
    """
    to and or but so then that which who what how where when if because as until before after
    than can could should will would may might must the a an not don't never please who's like
    you i we they you'll we'll they'll i'll it'll he'll she'll that'll of for with by in at on
    gonna wanna gotta needa hafta let's can't won't
    doesn't while once only is are was were be i'm you're we're ahead always sure just it's also
    """
)
_ASKING = words("make have let look keep leave give be")
_LEADS = words("and then so but now next or okay right well also again alright first")


@dataclass(frozen=True, slots=True)
class Clause:
    """A stretch of a sentence around one verb.

    Attributes:
        first: index of its first word.
        stop: index after its last word.
        head: index of the first word behind "and", "so", "then"; ``stop`` where none is left.
        role: what it is to the clause beside it.
    """

    first: int
    stop: int
    head: int
    role: Role


def _orders_at(said: Plain, at: int) -> bool:
    """Whether words such as "take the" or "don't" stand at a place."""
    word, behind = said.word(at), said.word(at + 1)
    if word in {"don't", "never", "always", "let's"} or (word, behind) in _CALLS:
        return True
    if word in CLEAR:
        return behind not in {"of", "is", "was", "are"}
    return is_work(word) and (
        behind in ARTICLES
        or behind in PARTICLES
        or behind in NUMBER_WORDS
        or behind
        in {"it", "them", "to", "into", "onto", "everything", "another", "both", "all", "new"}
    )


def _begins_clause(said: Plain, at: int) -> bool:
    """Whether a clause can begin at a place behind "and", "so" or "or"."""
    while said.word(at) in {"then", "now", "also", "again", "finally", "carefully", "you", "yes"}:
        if said.word(at) == "you":
            return True
        at += 1
    word = said.word(at)
    if word in SUBJECTS or word in _LEADING or _orders_at(said, at) or word in _ASKING:
        return True
    return base_of_going(word) is not None and said.word(at + 1) in ARTICLES | PARTICLES


def _cut_at_word(said: Plain, at: int) -> bool:
    word, before, behind = said.word(at), said.word(at - 1), said.word(at + 1)
    if word in _LEADING:
        noted = word == "which" and said.words[at - 2 : at] in _NOTED_DOWN
        if noted or behind in _NO_CUT_BEHIND.get(word, ()) or before in _NO_CUT_AFTER.get(word, ()):
            return False
        if word == "after":
            return behind in SUBJECTS or behind == "the" or base_of_going(behind) is not None
        return word != "since" or behind in SUBJECTS or behind in ARTICLES
    if word == "so":
        return behind in {"that", "as"} or _begins_clause(said, at + 1)
    if word == "that" and behind == "way":
        return before not in {"do", "it", "go", "in", "like", "keep"}
    if word == "and":
        return _begins_clause(said, at + 1)
    if word == "or":
        return behind in SUBJECTS or behind == "else" or _orders_at(said, at + 1)
    return word == "as" and (behind in SUBJECTS or behind == "soon") and before != "same"


def _cut_unmarked(said: Plain, first: int, at: int) -> bool:
    """Whether a clause begins where no sign stands: "with a brass drift | it weighs …"."""
    word, behind = said.word(at), said.word(at + 1)
    if behind == "it" and said.word(at + 2) in OF_IT:
        return False
    told = word == "it" and behind in OF_IT
    return (told and trade_words().kind_of(said.word(at - 1)) is not None) or _cut_bare(
        said, first, at
    )


def _cut_bare(said: Plain, first: int, at: int) -> bool:
    """Whether a new clause begins with nothing in front of it, as in automatic captions."""
    word, before, behind = said.word(at), said.word(at - 1), said.word(at + 1)
    if word in {"okay", "alright"}:
        return before != "it's"
    glued = before in _GLUE or before in _LEADS or at - first < 2 or word == "round"
    if glued or _let_be_done(said, first, at) or _has_subject(said, first, at):
        return False
    if word in _SAYERS and (behind in _FRAMES or base_of_going(behind) or word == "let's"):
        return before not in {"one", "ones", "thing", "what", "bit", "part"} or word == "let's"
    sensed = behind in SENSED.get(word, ()) and _is_done(said, first, at)
    if sensed or (word, behind) in _CALLS or (word in {"don't", "never"} and is_work(behind)):
        return True
    if word in {"it's", "that's", "there's", "it'll", "i've"}:
        return True
    if said.word(first) in {
        "if",
        "when",
        "once",
        "unless",
        "before",
        "after",
        "while",
        "as",
    } and _orders_at(said, at):
        return at - first > 2
    done = is_work(word) and behind in {"it", "them"} and word not in _SELDOM_ORDERED
    if done or (word in CLEAR and behind in _THE and _names_topic(said, first, at)):
        return True
    return (
        word in CLEAR
        and (behind in ARTICLES or behind in {"it", "them", "all", "both"} or behind in PARTICLES)
        and any(is_work(one) or one in _FRAMES for one in said.words[first:at])
    )


def _is_done(said: Plain, first: int, at: int) -> bool:
    """Whether an order is whole before a place: "turn it | feel for drag"."""
    while first < at and said.words[first] in _LEADS:
        first += 1
    verb = said.word(first)
    return is_work(verb) and verb not in _ASKING and said.word(at - 1) in _WHOLE_WITH


_WHOLE_WITH = words("it them off out back down in up on round over together")


def _let_be_done(said: Plain, first: int, at: int) -> bool:
    """Whether a verb tells what a thing is let do: "don't let it | hang on the hose"."""
    for place in range(max(first, at - 4), at - 1):
        if said.words[place] in _LETS:
            thing = said.words[place + 1 : at]
            if len(thing) == 1:
                return thing[0] in _THINGS
            return thing[0] in ARTICLES | _THE and trade_words().kind_of(thing[-1]) is not None
    return False


def _has_subject(said: Plain, first: int, at: int) -> bool:
    """Whether "never" and "don't" belong to who is named before: "you'll | never get it out"."""
    before = said.word(at - 1)
    if said.word(at) not in {"don't", "never"}:
        return False
    if before in {"it", "them"}:  # "and it never moves", but "leave it, never touch it"
        return before == "it" and all(word in _LEADS | _TIES for word in said.words[first : at - 1])
    return before in SUBJECTS


_LETS = words("let lets letting make makes")
_THINGS = words("it them that this these those him her everything anything")
_TIES = words("because or otherwise if when then that which")
_THE = words("the your that both")
_SELDOM_ORDERED = words("do like see put")


def _names_topic(said: Plain, first: int, at: int) -> bool:
    """Whether only a thing is named before a verb: "now the leak off hoses | press the clip"."""
    while first < at and said.words[first] in _LEADS:
        first += 1
    named = trade_words().kind_of(said.words[at - 1]) in {"part", "tool"}
    begins = said.word(first) in _THE | {"these", "those", "this"}
    return named and begins and at - first <= _LONGEST_TOPIC


_LONGEST_TOPIC = 5


def _role(said: Plain, first: int, stop: int) -> tuple[Role, int]:
    """Return what a clause is to the one beside it, and where it goes on behind its lead."""
    role: Role = "main"
    at = first
    while at < stop:
        word = said.word(at)
        if word in {"so", "in"} and said.word(at + 1) in {"that", "case"}:
            return "reason", at + 2
        if (word, said.word(at + 1)) == ("that", "way"):
            return "reason", at + 2
        if word == "or" and said.word(at + 1) in SUBJECTS | {"else"}:
            return "else", at + 1
        if word == "after" and said.word(at + 1) in {"that", "this"} and is_work(said.word(at + 2)):
            at += 2
            continue
        found = _LEADING.get(word)
        if found is not None and found != "main":
            return found, at + 1
        if word == "so":
            role = "result"
        if word == "as" and (said.word(at + 1) in SUBJECTS or said.word(at + 1) == "soon"):
            return "time", at + 1
        after_first = (
            word in {"thing", "off", "up", "step", "job"}
            and at > first
            and (said.word(at - 1) in {"first", "next", "last"})
        )
        if word in {"last", "step"} and said.word(at + 1) == "thing":
            after_first = True
        if word not in _LEADS and found is None and not after_first:
            break
        at += 1
    return role, at


def clauses_of(said: Plain) -> tuple[Clause, ...]:
    """Return the clauses of a sentence in order; together they hold all its words."""
    count = len(said.words)
    if not count:
        return ()
    cuts = [0]
    bare = not any(said.marks[:-1]) and count > 4
    for at in range(1, count):
        mark = said.marks[at - 1]
        if (
            mark
            or _cut_at_word(said, at)
            or (bare and _cut_unmarked(said, cuts[-1], at))
            or (bare and ends_in_number(said.words, cuts[-1], at))
        ) and not (_goes_back(said, at, mark) or _only_leads(said, cuts[-1], at, mark)):
            cuts.append(at)
    found = []
    for first, stop in zip(cuts, [*cuts[1:], count], strict=True):
        role, head = _role(said, first, stop)
        found.append(Clause(first, stop, head, role))
    return tuple(found)


def _goes_back(said: Plain, at: int, mark: str) -> bool:
    """Whether a cut would part "goes back in"."""
    return not mark and said.words[at] == "back" and said.words[at - 1] in _GO


_GO = {"goes", "go", "comes", "come", "went", "going"}


def _only_leads(said: Plain, first: int, at: int, mark: str) -> bool:
    """Whether nothing but "and then", "okay so" would stand before a cut."""
    if any(sign in _STRONG for sign in mark):
        return False
    return all(said.words[place] in _LEADS for place in range(first, at))
