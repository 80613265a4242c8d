"""Words that sound like a warning and tell that no harm comes, what is planned, or what was read.

"It stretches without cracking" and "it can't touch the wheel" deny what they name; "so no dirt
gets in" says why a plug goes in; "let's do the boiler" is a plan, "is too hot" a reading, "catch
the arm" an order about an arm of the machine, "a soot vacuum and a dust mask" a list, "and we fit
a new one" the work itself.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from author.checks.verbs import words
from author.proposals.kinds.marks import Hit
from author.proposals.kinds.told_of_things import will_come
from author.proposals.language.clause_cuts import Clause
from author.proposals.language.plain_words import NUMBER_WORDS, Plain
from author.proposals.language.verbs import is_work

_THINGS = words("it they this that these those he she")
_DENIES = words("can't cannot doesn't don't won't isn't couldn't")
_MEETS = words("touch rub catch foul drag bind snag scrape")
_GETS_IN = words("gets get goes go falls fall drops drop comes come runs run drips drip")
_ASKS = words("don't never mind careful watch wait until till keep let stop before gloves not")
# With these a denial may say what has to be seen to: "it mustn't touch, or …".
_ASKS_MORE = words("or otherwise because if so should must want make sure never mind until need")
_TOO_HOT = words("is it's that's was still a bit way much far too hot warm cold oh no yes mine's")
_UNITS = words("volts volt bar psi amps degrees rpm kilos pounds hundred thousand and")
_TAKES = words("catch grab hold take turn spin roll weigh")
_WORN = words("mask masks goggles gloves glasses visor specs apron helmet hat overalls")
_ON = words("on wear need want is it's")
_DONE_TO = words("a an the it them this that these those new another one our my")
_PRESSES, _STARTS = words("press push hit try thumb"), words("start go run")
_PROVES = words("prove check confirm show sure dead nothing")
# "If it's more than that", "if it's over half a mil".
_IF_VALUE = re.compile(
    r"(?:and |but |so )*if (?:it is|it's|that's|you get|you've got|there's|it reads) (?:any )?"
    r"(?:more|less|over|under|above|below|past|bigger|smaller|greater) "
)
_WHO = words("nobody everybody everyone")
_MISSES = words("finds misses notices sees expects believes knows")
_ASKS_NOT, _COMES = words("don't no not never"), words("comes goes gets")
_OFF = words("off out apart down back")
_WOULD = words("can could might may will would stop never don't not because or otherwise")
_SHORT = 5


def no_harm(said: Plain, clauses: Sequence[Clause], hit: Hit) -> bool:
    """Whether a sign of harm stands in words that warn of nothing.

    Args:
        said: the words of the sentence.
        clauses: its clauses.
        hit: the sign.
    """
    if hit.kind not in {"hazard", "damage"}:
        return False
    clause = next((one for one in clauses if hit.first < one.stop), clauses[-1])
    own = said.words[clause.head : clause.stop]
    if not own:
        return False
    return (
        _denied(said, clause, own, hit)
        or _planned(own, hit)
        or _kept_out(said, hit)
        or _is_read(said, own)
        or _taken_by_hand(said, clause, own, hit)
        or _listed(said, own, hit)
        or _done_by_us(said, own, hit)
        or _proves(own)
        or _laid_so(own, hit)
        or _is_missed(own, hit)
        or _in_hand(own)
        or (hit.sign == "weighed" and (said.words[0] == "mine" or _goes_on(said, clause, own)))
        or (hit.sign == "weighed" and own[:2] in _SHOWN and not _harmful(said))
        or (hit.sign == "weighed" and "easier" in own and not _harmful(said))
        or (hit.sign == "weighed" and _NEEDED.match(" ".join(said.words)) is not None)
        or (hit.sign == "weighed" and own[-1:] == ("once",) and not _USES.isdisjoint(own))
        or _is_sewn(said, hit)
        or _will_do(said, hit)
        or _decided(said, hit)
        or _takes_guard(said, clause, hit)
        or (hit.sign == "weighed" and own[:3] == ("don't", "forget", "to") and not _harmful(said))
        or any(will_come(said, clause, at) for at in range(clause.head + 1, clause.stop))
    )


# "Open the cover and you'll see a band"
_SHOWN = (("you'll", "see"), ("you'll", "find"), ("you'll", "notice"), ("you", "see"))


def _will_do(said: Plain, hit: Hit) -> bool:
    """Whether all that is told is what serves as well: "no caps, a sandwich bag'll do"."""
    *_, will, do = ("", "", *said.words)
    serves = do == "do" and (will == "will" or will.endswith("'ll"))
    return serves and hit.sign == "weighed" and "what" not in said.words


def _in_hand(own: tuple[str, ...]) -> bool:
    """Whether a thing is only held: "you want the kit in your hand", not "it goes off in it"."""
    at = next((n for n, word in enumerate(own) if n > 1 and word in _HANDS), 0)
    if own[at - 2 : at - 1] != ("in",) or own[at - 1] not in _OWN:
        return False
    return own[0] in _HAVING or own[:2] in _ONE_HAS


def _goes_on(said: Plain, clause: Clause, own: tuple[str, ...]) -> bool:
    """Whether only when a part is fitted is told: "on the inner ring when it goes on the shaft"."""
    fitted = own[:2] in _GOES and bool(_INTO & set(own[2:3]))
    return clause.role == "time" and fitted and said.word(clause.first) in {"when", "as", "once"}


_GOES = (("it", "goes"), ("they", "go"), ("that", "goes"))
_INTO = words("on in into onto back over through")
# "You need a screwdriver, a multimeter and some gloves" tells what to fetch.
_NEEDED = re.compile(
    r"(?:so |and |first |now |for this )*(?:you|we|i)(?:'ll| will)?(?: also| just)? need "
    r"(?:an?|some|the|your|two|three|one) "
)
# "You only use them once": a new one is fitted.
_USES = words("use used")
_HANDS, _OWN = words("hand hands"), words("your my")
_HAVING = words("have get want take hold keep with")
_ONE_HAS = {(who, verb) for who in ("you", "i") for verb in ("want", "need", "have", "hold")}


def _denied(said: Plain, clause: Clause, own: tuple[str, ...], hit: Hit) -> bool:
    """Whether a thing is told to do no harm: "it can't touch", "it stretches without cracking"."""
    if clause.role != "main" or not _ASKS_MORE.isdisjoint(said.words):
        return False
    verb = 1 if own[0] in _THINGS else 2
    if own[0] not in _THINGS and own[0] != "the":
        return False
    if own[verb : verb + 1] and own[verb] in _DENIES:
        return hit.sign == "weighed" and bool(_MEETS & set(own[verb + 1 : verb + 2]))
    # It befalls the thing itself; "without scratching the bore" asks for care.
    return own[-2:-1] == ("without",) and own[-1].endswith("ing")


def _proves(own: tuple[str, ...]) -> bool:
    """Whether a machine is proved dead: "press start to prove it's dead" makes it safe."""
    own = own[1:] if own[0] in {"and", "then", "so", "now"} else own
    pressed = own[:1] and own[0] in _PRESSES and bool(_STARTS & set(own[1:3]))
    return bool(pressed) and bool(_PROVES & set(own[2:]))


def _is_missed(own: tuple[str, ...], hit: Hit) -> bool:
    """Whether only that a thing is hidden is told: "it's the one nobody finds"."""
    misses = any(a in _WHO and b in _MISSES for a, b in pairwise(own))
    return misses and hit.sign == "weighed"


def _is_sewn(said: Plain, hit: Hit) -> bool:
    """Whether stitches are those of a machine: "it's skipping stitches", and nobody was hurt."""
    at = next((n for n, word in enumerate(said.words) if word in _STITCHES), None)
    if at is None or hit.kind != "hazard":
        return False
    return bool(_SKIPS & set(said.words[max(0, at - 2) : at]))


_STITCHES = words("stitch stitches")
_SKIPS = words("skip skips skipped skipping drop drops dropped dropping miss misses missed missing")


def _laid_so(own: tuple[str, ...], hit: Hit) -> bool:
    """Whether only the way something is laid is told: "don't overlap", "don't overlap it"."""
    told = own[0] in _ASKS_NOT and own[1:2] == ("overlap",) and len(own) <= len(("", "", "it"))
    return told and hit.sign == "weighed"


def _harmful(said: Plain) -> bool:
    """Whether a sentence tells what comes of it: "don't forget to bleed it or it'll seize"."""
    return not _ASKS_MORE.isdisjoint(said.words)


def _takes_guard(said: Plain, clause: Clause, hit: Hit) -> bool:
    """Whether a guard is taken off or put back as any cover is: "and lift the guard off"."""
    own = said.words[clause.head : clause.stop]
    if hit.sign == "weighed":  # all that is told in the clause
        return _GUARD_OFF.fullmatch(" ".join(own)) is not None
    before = said.words[clause.head : hit.first]
    named = said.words[hit.first] in {"guard", "guards", "interlock"}
    return named and bool(_HANDLES & set(before)) and not _FORBIDS & set(before)


_GUARD_OFF = re.compile(
    r"(?:take|lift|pull|get|slip|slide|pop|swing|bring|drop) (?:the |that |your )?(?:[\w-]+ ){0,2}"
    r"guards? (?:off|out|away|up|down|back|clear)(?: too| as well| now)?"
)
_HANDLES = words("take lift pull get slip slide pop put fit drop bring swing ease undo whip")
_FORBIDS = words("don't never not with without if unless when while no can't mustn't before")


def _decided(said: Plain, hit: Hit) -> bool:
    """Whether a value decides what is done: "if it is more than that, take the wheel off".

    What would do harm in that case is told by "it'll" or "can".
    """
    case = _IF_VALUE.match(said.text)
    if case is None or hit.sign != "weighed":
        return False
    behind = said.text[case.end() :].split()
    at = next((n for n, word in enumerate(behind) if is_work(word) or word in _COMES), None)
    off = at is not None and bool(_OFF & set(behind[at:]))
    return off and not any(word in _WOULD or word.endswith("'ll") for word in behind)


def _planned(own: tuple[str, ...], hit: Hit) -> bool:
    """Whether work to come is told: "let's do the boiler"; what "lets go" is no plan."""
    plan = own[0] == "let's" and own[1:2] not in {("go",), ("fly",), ("rip",)}
    return plan and hit.sign == "weighed"


def _done_by_us(said: Plain, own: tuple[str, ...], hit: Hit) -> bool:
    """Whether only what the speaker does is told: "and we fit a new one"; no work is no harm."""
    own = own[1:] if own[0] in {"and", "so", "then"} else own
    does = own[:1] in {("we",), ("i",)} and is_work(own[1] if len(own) > 1 else "")
    told = does and own[2:3] and own[2] in _DONE_TO and _ASKS.isdisjoint(own)
    in_case = {"if", "or", "otherwise", "because", "unless", "when"} & set(said.words)
    return bool(told) and not in_case and hit.sign == "weighed"


def _kept_out(said: Plain, hit: Hit) -> bool:
    """Whether the harm is what does not happen: "so no dirt gets in"."""
    for at in range(max(0, hit.first - 4), hit.stop):
        if said.words[at : at + 2] == ("so", "no"):
            return bool(_GETS_IN & set(said.words[at + 3 : at + 5]))
    return False


def _is_read(said: Plain, own: tuple[str, ...]) -> bool:
    """Whether only a state or a number is told: "is too hot", "five hundred volts"."""
    if not _ASKS.isdisjoint(said.words):
        return False
    if all(word in _UNITS or word in NUMBER_WORDS or word[0].isdigit() for word in said.words):
        return True
    return len(own) < _SHORT and "too" in own and own[0] == "is" and set(own) <= _TOO_HOT


def _taken_by_hand(said: Plain, clause: Clause, own: tuple[str, ...], hit: Hit) -> bool:
    """Whether an order says what is held: "catch the arm", "catch the bearing in your hand"."""
    if own[0] not in _TAKES:
        return False
    told = said.words[hit.first : hit.stop]
    return (hit.first == clause.head and told[1:2] == ("the",)) or told[:2] == ("in", "your")


def _listed(said: Plain, own: tuple[str, ...], hit: Hit) -> bool:
    """Whether what protects is one of the tools that are named: "a vacuum and a dust mask"."""
    if hit.sign != "protection" or own[0] not in {"a", "an"}:
        return False
    ties = [at for at, word in enumerate(own) if word == "and" and own[at + 1 : at + 2] == ("a",)]
    listed = bool(ties) and _WORN.isdisjoint(own[: ties[0]])
    return listed and _ON.isdisjoint(said.words)
