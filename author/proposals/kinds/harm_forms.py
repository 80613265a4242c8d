"""The ways words stand together that make a sentence a warning, or show that it is none.

"Use a screwdriver and you've put a leak in it": an order and what would come of it, whatever
the words are. "If it doesn't come", "don't lose the shims": a denial that warns of nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from author.checks.verbs import words
from author.proposals.kinds.marks import Hit
from author.proposals.language.clause_cuts import Clause
from author.proposals.language.plain_words import NUMBER_WORDS, Plain
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import CLEAR, base_of_third, is_work

_NEAR = 7
_SHORT = 7
_SURE_ORDER = 80
_RESULT = words(
    """
    you you've you'll you're it it'll it's that'll that's they they'll they're he he'll she she'll
    the your there's there'll we i i'll everything
    """
)
_LATER = words("you've you'll you're it'll that'll they'll there'll")
_LEADS = words("and so but now then or okay because also please remember")
_BODILY = frozenset({"tender", "limb", "worn"})
_HARMING = frozenset({"spoiling", "spoiling_maybe", "hurting", "sudden", "price", "deadly"})
_TO_BODY = frozenset({"hurting", "sudden", "energy", "hot_or_sharp", "forbid"})
_NOT_PLAIN = frozenset({"will", "or_else", "deny", "forbid", "care"})
_WHY = words("because so if")
_COUNTED = NUMBER_WORDS - {"one", "couple"}
_MOVES = words("comes goes lifts slides pulls drops is was has does pops sits stays")
_LIMITS = words("past over above beyond under below deeper tighter harder hotter longer further")
_NO = words("no not never")

_DONT = (
    r"\b(?:don't|never|avoid|mustn't|shouldn't|not to|can't)(?: you| ever| even| try to| be| go)* "
)
_PATTERNS: dict[str, str] = {
    # Warnings.
    "forbids_force": _DONT + r"(?:hit|hammer|pry|prise|lever|force|lean|stand|reach|put|stick"
    r"|touch|hold|grab|pull|yank|bend|twist|drop|press|push|squeeze|clamp|scratch|drag|spin|start"
    r"|open|heat|weld|grind|drill|spray|breathe|rest|hang|let|leave|exceed|lift|step|walk|climb"
    r"|over\S*|poke|knock|bang|rush|work|pick|carry|skip|trust|smoke|hurry|prying|standing|leaning"
    r"|hitting|pulling|holding) ",
    "no_doing": r"(?:^|, |\b(?:and|so|please) )no [a-z-]+ing ",
    "nobody": r"\b(?:nobody|no-one|no one|nothing of yours|everybody|everyone|anybody|kids|dogs) "
    r"(?:\S+ ){0,3}(?:stands?|standing|touch\w*|goes|near|behind|under|out|back|in|clear|puts?) ",
    "mistake": r"\b(?:i|he|she|they|we|somebody|someone|fella|bloke|lad|guy|fellow|man|mate|brother"
    r"|apprentice|one) (?:\S+ ){0,3}(?:broke|cracked|snapped|stripped|killed|ruined|wrecked|sheared"
    r"|split|scrapped|bent|burnt|burned|scored|learned|learnt) ",
    "more_is": r"\b(?:more|tight|tighter|longer|harder|hotter|past that|over that|more than that)"
    r" (?:is|isn't|and|just|only|than) ",
    "so_wait": r"\b(?:wait|stand|step|keep|stay) (?:\S+ ){0,3}"
    r"(?:until|clear|back|aside|off|away|side) ",
    "may_do": r"\b(?:can|could|might|may|likes to|wants to|wanna|loves to|gonna|will|it'll|that'll"
    r"|they'll|she'll|he'll) (?:\S+ ){0,2}(?:fly|jump|kick|come|drop|fall|tip|roll|slip|swing"
    r"|let go|grab|bite|go|turn|start|fire|crack|snap|burst|catch|take|have|get) ",
    "if_you": r"\b(?:if|unless|when) (?:you|i|anybody|somebody|someone|anyone) (?:don't|do|leave"
    r"|forget|skip|force|let|push|pull|hit|drop|miss|open|use|run|start|over\S*|rush|slip|lean"
    r"|touch|twist|heat) ",
    "stops_now": r"\b(?:stop|off|out|clear|away|down) (?:it |them |everything )?"
    r"(?:straight ?away|at once|immediately|right away|there and then) ",
    "so_not": r"\b(?:so|so that|that way) (?:it|you|they|that|the \S+|nobody|nothing|we|i|none)"
    r" (?:\S+ )?(?:doesn't|don't|won't|can't|not|never) ",
    "limit_then": r"(?:^|\b(?:because|so|but|and) )(?:past|over|above|beyond|more than|any more)"
    r" (?:\S+ ){1,4}?(?:and|the|it|you) ",
    "wrong_and": r"\b(?:get|do|put|fit|run|leave) (?:this|that|it|them|these|one|him|her)"
    r" (?:\S+ ){0,2}(?:wrong|backwards|upside|dry|loose|cold|behind) ",
    "means_it": r"\b(?:i mean it|no joke|not joking|not kidding|i'm serious|seriously|trust me"
    r"|believe me|ask me how|every time|no exceptions|loudly) ",
    "was_hurt": r"\b(?:\S*-fingered|lost (?:a|his|her|the|my)|counts to|missing a|hospital"
    r"|casualty|stitches|ambulance|scar|funeral|widow|burned (?:his|her|my)) ",
    "does_itself": r"\b\S+s (?:itself|themselves|yourself) ",
    "somebody_did": r"\b(?:i|we|he|she|they|bloke|fella|lad|somebody|someone|folks|people"
    r"|everybody|kid|apprentice) (?:used|did|didn't|forgot|misses|missed|goes|tried|left|leave"
    r"|leaves|skip|skips|rush|rushed|break|breaks) ",
    # None.
    "deny_if": r"\b(?:if|when|until|unless|where|once) (?:\S+ ){0,5}"
    r"(?:not|doesn't|don't|won't|can't|isn't|never|no|nothing) ",
    "deny_should": r"\b(?:should|shouldn't|must|may|can) (?:not )?(?:be|take|move|drip|have|get"
    r"|need|go|fall|give|read|stop|see|feel|find|hear|lose|drop|spin|hold|rock|wobble|any) ",
    "deny_amount": r"\b(?:no|not|never|nothing) (?:any )?(?:more|less|longer|further|higher|lower"
    r"|over|under|above|below|much|quite|yet|bad|too|really|all|just|even|far|sure) ",
    "deny_sight": r"\b(?:can't|don't|won't|cannot|couldn't|never|you'll not|nobody) "
    r"(?:even |really )?(?:see|hear|read|find|reach|tell|notice|miss|shift|move|reuse) ",
    "forbids_little": r"\b(?:don't|never|doesn't|didn't|shouldn't|can't) (?:you |ever |even |go )?"
    r"(?:forget|lose|mix|worry|throw|need|needa|wanna|want|have|hafta|know|think|care|see|hear|feel"
    r"|like|matter|expect|bother|panic|laugh|tell|ask|remember|miss|reuse|mean|use|move|come|fit"
    r"|mind|get|understand|look|say|call|be|go|do|swap|send|judge|blame) ",
    "finding": r"\b(?:i've got|i got|i get|i'm at|i'm getting|mine's|mine|this one|this one's"
    r"|i have|i measured|i see|we're at|we've got|i read|i'm reading|says|reads|here's|here it's) ",
    "replaced": r"\b(?:replace|replaced|renew|new one|new pair|goes in the bin|gets replaced|bin it"
    r"|order a|buy a|buying|fit a new|in the bin|scrap|press a new|sleeve it) ",
    "was": r"\b(?:was|were|had been|has been|have been|it's been|had|been) ",
    "held_by_hand": r"\b(?:with|by|in|between) (?:your|my|a|one|the|his|two|both) "
    r"(?:hand|hands|finger|fingers|thumb|thumbs|fingertips|fingernail|nail|palm|heel) ",
    "by_hand": r"\b(?:by hand|hand tight|finger tight|by the fingertips|finger-tight|hand-tight) ",
    "towards_you": r"\b(?:towards|toward|facing|at|back towards|out at) (?:you|me) ",
    "but_later": r"\b(?:until|till) (?:it|you|the|they|there's|she|he) ",
}
# All of them begin with a letter: the end of a word is passed over at once.
_FOUND = {
    name: re.compile(re.sub(r"^\\b", r"\\b(?=\\w)", pattern)) for name, pattern in _PATTERNS.items()
}


def forms_in(
    said: Plain,
    clauses: Sequence[Clause],
    first: int,
    stop: int,
    signs: Sequence[tuple[int, str]],
    actions: Sequence[Hit],
) -> Iterator[tuple[int, str]]:
    """Yield the forms of a stretch of a sentence, each with the word it begins at.

    Args:
        said: its words.
        clauses: its clauses.
        first: index of the first word of the stretch.
        stop: index after its last.
        signs: the signs of harm in it, by the word they begin at.
        actions: the signs of an action in the sentence.
    """
    begin = said.places[first]
    end = said.places[stop] if stop < len(said.words) else len(said.text)
    for name, pattern in _FOUND.items():
        found = pattern.search(said.text, begin, end)
        if found is not None:
            yield first + said.text.count(" ", begin, found.start()), name
    harms = sorted({at for at, name in signs if name in _HARMING})
    own = [clause for clause in clauses if first <= clause.first < stop]
    yield from _results(said, own, first, stop, harms)
    yield from _no_things(said, own)
    yield from _sorts(said, own, signs, [a for a in actions if first <= a.first < stop])


def _results(
    said: Plain, clauses: Sequence[Clause], first: int, stop: int, harms: Sequence[int]
) -> Iterator[tuple[int, str]]:
    """Yield what is told to come of something."""
    begins = {clause.first for clause in clauses} | {clause.head for clause in clauses}
    order = _ordered(said, first) or said.word(first) in _LIMITS
    for at in range(first, stop):
        word, behind = said.words[at], said.word(at + 1)
        joined = word in {"and", "or", "because", "otherwise", "then"} and behind in _RESULT
        near = any(at < harm <= at + _NEAR for harm in harms)
        if joined and near:
            yield at, "or_harm" if word in {"or", "otherwise"} else "and_harm"
        if joined and word in {"and", "or"} and behind in _LATER and order and at > first + 1:
            yield at, "order_and_you"
        if joined and word == "and" and order and at > first + 1 and _comes(said, at + 1):
            yield at, "order_and_it"
        if at in begins and word in _RESULT and near and at > first:
            yield at, "then_harm"


def _comes(said: Plain, at: int) -> bool:
    """Whether words tell what a thing then does by itself: "it welds", "the chair rolls"."""
    near = said.words[at + 1 : at + 4]
    return any(base_of_third(word) and word not in _MOVES for word in near)


def _ordered(said: Plain, first: int) -> bool:
    at = first
    while said.word(at) in _LEADS:
        at += 1
    word = said.word(at)
    return is_work(word) or word in CLEAR or word in {"get", "do", "you", "any", "more", "leave"}


def _no_things(said: Plain, clauses: Sequence[Clause]) -> Iterator[tuple[int, str]]:
    """Yield the thing that is forbidden: "no pliers on the plastic", "not the barrel"."""
    known = trade_words()
    for clause in clauses:
        at = clause.head
        while said.word(at) in _LEADS:
            at += 1
        if said.word(at) not in _NO or at >= clause.stop:
            continue
        near = [said.word(place) for place in range(at + 1, min(at + 4, clause.stop))]
        kinds = {known.kind_of(word) for word in near}
        if kinds & {"tool", "supply"}:
            yield at, "no_tool"
        elif said.word(at) == "no" and "part" not in kinds:
            yield at, "no_that"


def _sorts(
    said: Plain,
    clauses: Sequence[Clause],
    signs: Sequence[tuple[int, str]],
    orders: Sequence[Hit],
) -> Iterator[tuple[int, str]]:
    """Yield what sort of sentence it is: a plain order, a condition, a question."""
    if not clauses:
        return
    first, stop = clauses[0].first, clauses[-1].stop
    names = {name for _, name in signs}
    sure = [one.first for one in orders if one.weight >= _SURE_ORDER]
    if sure and not names & _NOT_PLAIN and _WHY.isdisjoint(said.words[first:stop]):
        yield sure[0], "plain_order"
    if clauses[0].role in {"condition", "time"}:
        yield first, "begins_if"
    if any(clause.role == "reason" for clause in clauses):
        yield first, "tells_why"
    if stop - first <= _SHORT:
        yield first, "short"
    if any(word[0].isdigit() or word in _COUNTED for word in said.words[first:stop]):
        yield first, "numbered"
    if names & _BODILY and names & _TO_BODY:
        yield first, "body_and_harm"
