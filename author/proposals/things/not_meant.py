"""Things that are named but not meant: the wrong tool, a time, what something is likened to."""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.checks.verbs import words as _words
from author.proposals.language.noun_phrases import Phrase
from author.proposals.language.taken_back import BEGS_PARDON, OWNS_UP
from author.proposals.language.tokens import Token

REFUSING = _words("never no nae not don't dont shouldn't")
_ALTERNATIVES = _words("than without nobody can't won't cannot")
_FAR_REFUSED = 9
_ASPECTS = _words("size shape thickness width length weight colour color feel sound depth")

_SEASONS = _words("spring fall")
_TIMES = _words(
    """
    season seasons winter summer autumn year years month months week weeks day days morning evening
    afternoon night tonight today tomorrow weekend harvest monday tuesday wednesday thursday friday
    saturday sunday shutdown shutdowns outage
    """
)
_UNTIL = _words("until till til by next last since come")

_HELPING = _words(
    "must will would could should might may it'll they'll that'll doesn't don't didn't does did"
)
_SAYING = _words(
    "says said gets wants reckons reckoned told thinks complains complained swears had"
)

# What a thing is like: "this one is hard and cracked", "they look dry".
_SEEMING = _words("is are was were it's that's they're looks look feels feel gone got stays went")
_HOW = _words("a bit quite very too so all really pretty now just nice still rather not")
_LIKE_THIS = _words("and or but so as because to from with when if")

_BUTTON = re.compile(
    r"(?:(?:the|that|this|your|any) )?(?:\w+ )?(?:start|stop|go|reset|button|switch|latch|pedal"
    r"|bell|trigger|key|lever|catch|tab)\b"
)


def is_said_of_what_is_done(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a word is a verb or a person here: "it must die", "driver says it pulls left"."""
    if phrase.stop - phrase.name_first > 1 or phrase.count is not None:
        return False
    behind = tokens[phrase.stop : phrase.stop + 1]
    if tokens[phrase.stop - 1].low == "driver" and behind and behind[0].low in _SAYING:
        return not behind[0].parted
    if tokens[phrase.stop - 1].low == "press" and not phrase.article:
        after = " ".join(token.low for token in tokens[phrase.stop : phrase.stop + 4])
        return _BUTTON.match(after) is not None  # "press start"
    bare = not phrase.article and phrase.first > 0 and not tokens[phrase.first].parted
    return bare and tokens[phrase.first - 1].low in _HELPING


def is_of_what_is_taken_back(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether it tells what else a wrong value is of: "no, that's the tilt cylinder, it's 280"."""
    before = " ".join(token.low for token in tokens[max(0, phrase.first - 7) : phrase.name_first])
    behind = " ".join(token.low for token in tokens[phrase.stop : phrase.stop + 6])
    return _THAT_IS.search(before) is not None and _IT_IS.match(behind) is not None


_THAT_IS = re.compile(
    rf"(?:^|[, ])(?:no|wait|{BEGS_PARDON}|{OWNS_UP})[, ]+(?:[a-z']+[, ]+){{0,2}}?"
    r"(?:that's|it's|those are|they're|that was)(?: only)? (?:(?:on|for|of|with) )?(?:the|an?)?$"
)
_IT_IS = re.compile(
    r"(?:(?:on|for|of|size|up|down|that|are) )*(?:\w+, )?"
    r"(?:it's(?! the one)|this one|these|this is|ours)\b"
)


def is_a_time(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a word tells when: "it'll last until spring", "this season", "for next fall"."""
    if phrase.stop - phrase.name_first > 1 or tokens[phrase.stop - 1].low in _TIMES:
        return tokens[phrase.stop - 1].low in _TIMES
    if phrase.article or phrase.count is not None:
        return False
    head, before = tokens[phrase.stop - 1].low, tokens[phrase.first - 1].low if phrase.first else ""
    return head in _SEASONS and before in _UNTIL and not tokens[phrase.first].parted


def is_a_state(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a word no list knows tells what a thing is like: "this one is hard and cracked"."""
    at = phrase.first - 1
    if phrase.kind is not None or phrase.article or phrase.count is not None:
        return False
    if phrase.stop - phrase.name_first > 1 or at < 0 or tokens[phrase.first].parted:
        return False
    while at > 0 and tokens[at].low in _HOW and not tokens[at].parted:
        at -= 1
    behind = tokens[phrase.stop : phrase.stop + 1]
    ends = not behind or behind[0].parted or behind[0].low in _LIKE_THIS
    return ends and tokens[at].low in _SEEMING


def is_likened(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether something is only likened to a thing: "sharp like a pizza cutter"."""
    at = phrase.first - 1
    if at < 0 or tokens[phrase.first].parted or phrase.article not in {"a", "an", ""}:
        return False
    before = tokens[at].low
    if before == "of" and phrase.article in {"a", "an"}:
        return at > 0 and tokens[at - 1].low in _ASPECTS  # "the size of a saucer"
    return before == "like" or (before == "as" and phrase.article in {"a", "an"})


def warned_off(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a name stands where it is said what not to do: "don't pry it with a screwdriver"."""
    for at in range(phrase.first, max(0, phrase.first - _FAR_REFUSED), -1):
        if tokens[at].parted:
            return False
        if tokens[at - 1].low in REFUSING | _ALTERNATIVES:
            return True
    return False


def is_forbidden_means(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether it is told what a thing is not to be done with: "don't pry it with a screwdriver".

    "Don't lower it until you've gone round with the wrench" and "without gloves" ask for it.
    """
    if _is_not_to_be_put(tokens, phrase):
        return True
    if (
        not phrase.first
        or tokens[phrase.first - 1].low not in _MEANS
        or tokens[phrase.first].parted
    ):
        return False
    for at in range(phrase.first - 1, max(-1, phrase.first - _FAR_REFUSED), -1):
        if tokens[at].low in REFUSING:
            return True
        if tokens[at].parted or tokens[at].low in _ASKED_FOR:
            return False
    return False


def _is_not_to_be_put(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether any such thing is not to be put there: "don't put a bar on it"."""
    at = phrase.first - 1
    if at < 1 or phrase.article not in {"a", "an", "any", ""} or tokens[phrase.first].parted:
        return False
    puts = tokens[at].low in _PUTTING_THERE and not tokens[at].parted
    return puts and tokens[at - 1].low in REFUSING


_PUTTING_THERE = _words("put drive stick jam shove poke force ram wedge push get take use try")
_MEANS = _words("with wi wi' using use")
_ASKED_FOR = _words("until till before unless without but only just if")


def is_keen(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a "knife edge" is how sharp something is: "it's got a knife edge on it"."""
    name = [token.low for token in tokens[phrase.name_first : phrase.stop]]
    before = tokens[phrase.first - 1].low if phrase.first else ""
    return name == ["knife", "edge"] and phrase.article in {"a", "an"} and before not in _MEANS


def refused(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a tool or a supply is named as the wrong one: "never a hammer", "not oil"."""
    own = {token.low for token in tokens[phrase.first : phrase.name_first]}
    if own & {"no", "nae", "never"}:
        return True  # "dry, no sealant"
    before = [token.low for token in tokens[max(0, phrase.first - 2) : phrase.name_first]]
    if _REMEMBERED.intersection(before):
        return False  # "don't forget the torque wrench"
    return not REFUSING.isdisjoint(before) and not tokens[phrase.first].parted


def is_left_out(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a thing is surely not to be used where it is named: "without grease", "no grease".

    "Never run it without oil" and "it won't seal without paste" ask for it.
    """
    if refused(tokens, phrase) or is_forbidden_means(tokens, phrase):
        return True
    at = phrase.first - 1
    if at < 0 or tokens[at].low != "without" or tokens[phrase.first].parted:
        return False
    before = {token.low for token in tokens[max(0, at - _FAR_REFUSED) : at]}
    return before.isdisjoint(REFUSING | _CANNOT)


_CANNOT = _words(
    """
    nobody nothing can't won't cannot wouldn't couldn't doesn't isn't didn't if will would leak
    leaks seize seizes dies fail fails burn burns wears tried came ran run runs
    """
)
_REMEMBERED = _words("forget lose leave skip spare drop")


def is_only_refused(mentions: Sequence[frozenset[str]]) -> bool:
    """Whether a tool is only told of as what is not to be used, or is likened to.

    Args:
        mentions: the signs of each place it is named at.
    """
    return all(not _NOT_MEANT.isdisjoint(signs) for signs in mentions)


_NOT_MEANT = frozenset({"forbidden means", "likened"})


def is_made_of(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a metal is what something is made of: "they're soft lead", "made of lead"."""
    at = phrase.first - 1
    if tokens[phrase.stop - 1].low != "lead" or phrase.article or phrase.count is not None:
        return False
    if at < 0 or tokens[phrase.first].parted:
        return False
    return tokens[at].low in _MADE_OF or (tokens[at].low == "of" and tokens[at - 1].low == "made")


_MADE_OF = _words("is are it's they're that's was were only just")


def is_an_act(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether "a wipe" is what is done and not what it is done with: "give it a last wipe"."""
    if tokens[phrase.stop - 1].low != "wipe" or phrase.stop - phrase.name_first > 1:
        return False
    before = tokens[phrase.first - 1].low if phrase.first else ""
    return before not in _MEANS | _TAKEN or tokens[phrase.first].parted


_TAKEN = _words("take grab get fetch another")


def is_found_there(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether it is only told what may be found: "a bit of grey paste is normal"."""
    stuck = [token.low for token in tokens[max(0, phrase.first - 3) : phrase.first]]
    if stuck[-1:] == ["with"] and _STUCK.intersection(stuck) and not tokens[phrase.first].parted:
        return True  # "it's tight with coffee oil"
    behind = " ".join(token.low for token in tokens[phrase.stop : phrase.stop + 7])
    return _NORMAL.match(behind) is not None


_STUCK = _words(
    "tight stuck caked clogged gummed black thick solid blocked filthy bunged choked sticky stiff"
)
_NORMAL = re.compile(
    r"(?:(?:in|on|at|around|under|round) (?:\w+ ){1,3})?(?:is|are|was)"
    r"(?: (?:quite|perfectly|pretty|only|all|always))? (?:normal|usual|to be expected|expected)\b"
)


def is_inside(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether it is only told what something holds: "it's a metal box with water in it"."""
    behind = [token.low for token in tokens[phrase.stop : phrase.stop + 2]]
    before = [token.low for token in tokens[max(0, phrase.first - 8) : phrase.first]]
    held = before[-1:] == ["with"] and behind in (["in", "it"], ["in", "them"], ["inside", "it"])
    return (
        held
        and bool({"it's", "it", "that's", "they're", "this"} & set(before))
        and any(word in {"is", "it's", "that's", "they're", "are"} for word in before)
    )


def does_harm(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a supply is only told to do harm: "hot water under pressure will scald you"."""
    told = " ".join(token.low for token in tokens[phrase.stop : phrase.stop + 2 * _HARM_WITHIN])
    if _HURTS.match(told):
        return True
    behind = [token.low for token in tokens[phrase.stop : phrase.stop + _HARM_WITHIN]]
    will = next((at for at, word in enumerate(behind) if word in _WILL), None)
    if will is None:
        return bool(behind) and behind[0] in _HARMS_NOW
    return bool(_HARMS & set(behind[will + 1 : will + 3]))


_HARM_WITHIN = 6
_BODY = r"(?:skin|gloves?|hands?|fingers?|eyes?|face|flesh|bone|lungs|arm|foot|blood\w*)"
# "Oil under pressure goes straight through skin", "acid will have your eyes out", "oil on the drum
# will make it slip"; not "oil on the lip will stop it tearing".
_HURTS = re.compile(
    r"(?:(?:under|at|in|on) (?:[\w.]+ ){1,3}?)?(?:(?:will|'ll|would|can|could|may) )?(?:"
    rf"(?:go|goes|gets?|comes?|fires?|cuts?|shoots?|squirts?) (?:(?:straight|right|clean|all) )?"
    rf"(?:through|into|under|in) (?:(?:your|you|the|a|his|that) )?(?:\w+ )?{_BODY}"
    rf"|(?:have|has|take|takes|burns?|blinds?) (?:your|the) (?:\w+ )?{_BODY}"
    r"|makes? (?:it|them|that|this) (?:slip|slide|squeal|grab|swell|rot|stick)"
    r"|(?:ruins?|spoils?|wrecks?|glazes?|contaminates?) (?:it|them|that|the|your)\b)"
)
_WILL = _words("will would can could may might")
_HARMS = _words(
    "scald burn swell attack rot strip dissolve eat ruin contaminate crack perish soften blind "
    "kill poison corrode"
)
_HARMS_NOW = _words(
    "kills spoils contaminates scalds burns swells attacks rots strips dissolves eats ruins "
    "corrodes softens"
)
