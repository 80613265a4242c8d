"""Orders in what is told of a thing: "the ring comes out", "it goes back on", "gets driven in"."""

from __future__ import annotations

from dataclasses import replace

from author.checks.verbs import CLEAR_VERBS
from author.checks.verbs import words as _words
from author.proposals.language.closed_words import ARTICLES, NUMBERS
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.loose_words import LooseClause, Said
from author.proposals.language.short_forms import COMING, THERE, torque_told
from author.proposals.language.trade_words import as_phrase, trade_words
from author.proposals.language.verbs import UNSURE_FORMS, base_of, base_of_done, is_ing
from author.proposals.language.word_forms import singular
from author.proposals.orders.bare_verbs import is_kept
from author.proposals.orders.words import (
    FINITE,
    OFF,
    PARTICLES,
    PREPOSITIONS,
    PRONOUNS,
    STANDS,
    Frame,
    holds_on,
    is_sentence,
    shown_of,
)

ADVERBS = _words("straight right just all then now simply gently carefully slowly easily really")
_MOVES = _words(
    """
    lift pull pop slide slip drop screw unscrew unhook push clip unclip unbolt unplug press tap
    thread twist fold swing hook lever fall prise hinge soak
    """
)
_UNDONE = _words("unscrew unclip unbolt unhook unplug")
_TURNED = _words("clockwise anticlockwise counterclockwise")
_SCRAP = _words("scrap junk rubbish garbage trash done-for bin")


def by_thing(clause: LooseClause) -> Frame | None:
    """Return the order in "the ring comes out …", "the seal gets driven in", "it goes back on"."""
    place, clause = _placed_first(_is_in_full(clause))
    frame = _by_thing(clause)
    return frame and replace(frame, words=(*frame.words, *place))


def _placed_first(clause: LooseClause) -> tuple[tuple[str, ...], LooseClause]:
    """Return "at the back" and "the hose comes off" of "at the back the hose comes off".

    "On this one" and "on mine" tell of no place.
    """
    low = [word.low for word in clause]
    if low[0] not in _WHERE or len(low) < _FEWEST:
        return (), clause
    own = low[1] in _OWNED | {"these", "those"} and low[2] in _BEGINS
    begin = 2 if own else next((n for n in range(3, 6) if low[n : n + 1] and low[n] in _BEGINS), 0)
    if not begin or not (own or low[1] in ARTICLES | _POINTING):
        return (), clause
    return () if own or low[1] in _POINTING else shown_of(clause[:begin]), clause[begin:]


_WHERE = _words("on at in under behind inside underneath below above")
_POINTING = _words("this that these those")
_BEGINS = ARTICLES | _words("it they both all each your its")
_FEWEST = 5


def _by_thing(clause: LooseClause) -> Frame | None:
    low = [word.low for word in clause]
    for at in range(1, min(len(low), 9)):
        if is_sentence(low[:at]) or (low[at] not in _HELPING and low[at - 1] in FINITE):
            return None
        if low[at - 1] in _OWNED:
            return None  # "mine goes at the end"
        if as_phrase(low[at - 1 : at + 1]) in trade_words().phrases or _are_screws(low, at):
            continue  # "the collar's set screws in steps", "cap screws out"
        found = _said_of(clause, low, at)
        if found is not None or low[at] in _ENDING:
            return found
    return None


def _is_in_full(clause: LooseClause) -> LooseClause:
    """Return "motor is taken off" for "motor's taken off", "comes off" for "'ll lift off"."""
    for at in range(1, min(len(clause) - 2, _LONGEST)):
        name, done, way = clause[at].low, clause[at + 1].low, clause[at + 2].low
        foretold = done if name.endswith("'ll") else way if done == "will" else ""
        if foretold in _COMING and name not in _WHOEVER:
            one = Said(name.removesuffix("'ll"), clause[at].shown.removesuffix("'ll"))
            rest = clause[at + (2 if name.endswith("'ll") else 3) :]
            return [*clause[:at], one, Said("comes", "comes"), *rest]
        if name.endswith("'s") and way in PARTICLES and base_of_done(done) not in {None, "put"}:
            one = Said(name[:-2], clause[at].shown.removesuffix("'s"))
            return [*clause[:at], one, Said("is", "is"), *clause[at + 1 :]]
    return clause


_WHOEVER = _words("it'll they'll that'll you'll we'll i'll he'll she'll this'll what'll who'll")
_COMING = _words("come lift pull slide pop slip drop")


def _are_screws(low: list[str], at: int) -> bool:
    """Whether "screws" are things of a sort, where no article makes "the cap" what turns."""
    led = low[at - 1] in trade_words().modifiers
    return led and is_fastener(low[at]) and low[at][-1] == "s" and not ARTICLES & set(low[:at])


def holding(clause: LooseClause) -> Frame | None:
    """Return the order in "six nuts hold the casing on", "it's held on with four screws"."""
    low = [word.low for word in clause]
    at = next((n for n, word in enumerate(low) if word in _HOLDS), 0)
    if not at:
        return None
    if low[at] == "held":
        by = next((n for n, word in enumerate(low) if n > at and word in {"by", "with"}), 0)
        held = clause[by + 1 : by + 6] if by else []
    else:
        led = 1 if low[0] in {"there's", "it's", "got"} else 2 if low[:2] == ["there", "are"] else 0
        held = clause[led:at]
    end = next((n for n, word in enumerate(held, 1) if holds_on(word.low)), 0)
    few = held and (held[0].low in NUMBERS | ARTICLES or held[0].low.isdigit())
    if not end or not few:
        return None
    name = shown_of(held[:end])
    return Frame(("undo", *(() if name[0] in ARTICLES else ("the",)), *name), sure=False)


_HOLDS = _words("hold holds holding secure secures held")


def inverted(clause: LooseClause) -> Frame | None:
    """Return the order in "in it goes", "off she comes", "out come the two bolts"."""
    low = [word.low for word in clause[:4]]
    if len(low) > 2 and low[1] in COMING.get(low[0], ()) and low[2] in THERE:
        return _thing_behind(clause)
    if low[1:2] == ["with"] and low[0] in OFF | {"on", "in"} and len(low) > 2:
        pointed = low[2] in {"it", "them", "him", "her"} and len(low) == 3
        if not pointed and low[2] not in ARTICLES:
            return None
        one = "them" if low[2] == "them" else "it"
        told = (one,) if pointed else shown_of(clause[2:])
        return Frame(("take", *told, low[0]) if low[0] in OFF else ("fit", *told))
    if len(low) < 3 or low[1] not in {"it", "she", "they"} or low[2] not in _GOING:
        return None
    name = "them" if low[1] == "they" else "it"
    # "In it goes brushes square on the rings": another thing is told of.
    named = low[3:] and trade_words().kind_of(low[3]) in {"part", "tool", "weak"}
    tail = () if named else shown_of(clause[3:])
    if low[0] in OFF:
        return Frame(("take", name, low[0], *tail))
    if low[0] in {"in", "on", "back"} and low[2] in {"goes", "go"}:
        return Frame(("fit", name, *tail))
    return None


_GOING = _words("goes go comes come")


def _thing_behind(clause: LooseClause) -> Frame | None:
    """Return the order in "in goes the new seal with a bit of grease"."""
    way, low = clause[0].low, [word.low for word in clause]
    ends = low[-1] in _TURN_OF
    stop = next((at for at, word in enumerate(low) if at > 2 and word in _BEHIND_NAME),
                len(low) - ends)  # fmt: skip
    named = {trade_words().kind_of(word) for word in low[2:stop]}
    name = shown_of(clause[2:stop])
    article = () if low[2] in ARTICLES | {"both", "all"} else ("the",)
    if not named & {"part", "tool", "weak"} and low[stop - 1] not in _ONE:
        return None  # "out comes the muck"
    verb = "take" if way in OFF else "fit"
    placed = (way,) if way in OFF else ()
    return Frame(
        (verb, *article, *name, *placed, *shown_of(clause[stop:])), new="new" in low[:stop]
    )


_BEHIND_NAME = PREPOSITIONS | _words("with from by until so as and")
_TURN_OF = _words("first next last again")
_ONE = _words("one ones two three four rest lot others other")


def torqued(clause: LooseClause) -> Frame | None:
    """Return the order in "head bolts to forty five": they are tightened, and no verb is said."""
    low = [word.low for word in clause]
    if not {"to", "at"} & set(low):
        return None
    end = next((at for at, word in enumerate(low[:_LONGEST], 1) if is_fastener(word)), 0)
    if not end or not torque_told(low[end:]) or set(low[:end]) & (PREPOSITIONS | PARTICLES):
        return None
    begins = [word for word in low[:end] if word not in ARTICLES][:2]
    together = singular(begins[-1]) in trade_words().compounds.get(begins[0], ())
    together = together or as_phrase(begins) in trade_words().phrases
    verb = begins[0] in CLEAR_VERBS | {"torque"} or base_of(begins[0]) == begins[0]
    if verb and begins[1:] and not together:
        # "Nip bolts to ten" has its verb, and "torque the nut", "torque all four" their articles.
        the = () if low[1] in _DETERMINERS | NUMBERS else ("the",)
        told = ("torque", *the, *shown_of(clause[1:end])) if begins[0] == "torque" else ()
        return Frame(told) if told and low[0] == "torque" else None
    name, told_to = shown_of(clause[:end]), end + torque_told(low[end:])
    # "To six newton metres with a drop of threadlocker"
    way = shown_of(clause[low.index("with") :]) if "with" in low[told_to : told_to + 4] else ()
    return Frame(("tighten", *(() if low[0] in ARTICLES else ("the",)), *name, *way), sure=False)


_LONGEST = 5
_DETERMINERS = ARTICLES | _words("both all each every these those that this them my your its")


def _said_of(clause: LooseClause, low: list[str], at: int) -> Frame | None:
    """Return the order in a sentence whose verb may stand at a place."""
    rest = at + 1
    while rest < len(low) and low[rest] in ADVERBS:
        rest += 1
    behind = low[rest] if rest < len(low) else ""
    name, new = _subject(clause[:at]), "new" in low[:at]
    if low[at] in {"is", "are"} and behind in _SCRAP | {"single"}:
        return Frame(("discard", *name))
    if low[at] in {"needs", "wants", "want", "need"} and is_ing(behind):
        return Frame((str(base_of(behind)), *name, *shown_of(clause[rest + 1 :])), new=new)
    if low[at] in _HELPING:
        return _helped(clause, name, rest, new)
    if low[at] in {"comes", "come", "goes", "go"}:
        turned = is_fastener(name[-1].lower()) and torque_told(low[rest:])
        tight = Frame(("tighten", *name)) if turned else None
        return tight or moved(clause, name, low[at], rest, new)
    base = base_of(low[at])
    if base is None:
        return None
    third = low[at] in {f"{base}s", f"{base}es"}
    plain = trade_words().kind_of(low[at]) in {None, "plain", "feature"}
    many = singular(low[at - 1]) != low[at - 1] and not (PARTICLES | ADVERBS) & set(low[:at])
    # "The blades slide out": no slide is called by a plural.
    moving = third or (low[at] == base and (plain or many))
    several = low[at] == f"{base}s" and bool(NUMBERS & set(low[:at]))  # "eight cap screws in"
    counted = several or low[at - 1] in ARTICLES | NUMBERS | _FEW or low[at - 1].isdigit()
    ends = not behind and third and base in _UNDONE  # "the burr carrier unscrews"
    led = behind in PARTICLES | _TURNED | {"from", "into", "onto"} or ends
    led = led and (base != "soak" or behind == "in")
    # "The motor drops down when the last bolt is out": nobody drops it.
    falls = base in {"drop", "swing", "tip"} and bool({"when", "once", "as"} & set(low[at:]))
    if base in _MOVES and moving and not counted and led and not falls:
        return Frame((base, *name, *shown_of(clause[rest:])), new=new)
    if base == low[at] and behind in {"it", "them"} and at >= 2 and _is_one(low[: at + 1]):
        return Frame((base, *name, *shown_of(clause[rest + 1 :])), new=new)
    return None


def _is_one(low: list[str]) -> bool:
    """Whether words name one thing: "head on wiggle it", but not "lead off and like tuck it".

    Nor is "strap wrench round it" an order to round it.
    """
    return low[-1] not in PREPOSITIONS and not set(low[:-2]) & (PARTICLES | {"and"})


def _subject(clause: LooseClause) -> tuple[str, ...]:
    """Return what a sentence is about, with an article."""
    # "Over 0.6 | the head gets changed": the bound is no part of the name.
    for at in range(1, len(clause)):
        before = clause[at - 1].low
        if clause[at].low == "the" and (before in NUMBERS or before[:1].isdigit()):
            clause = clause[at:]
            break
    name = shown_of([word for word in clause if word.low not in {"just", "then", "also", "always"}])
    if len(name) == 1 and name[0] in {"they", "these", "those", "it's"}:
        return ("it" if name[0] == "it's" else "them",)
    plain = not name or name[0] in ARTICLES | PRONOUNS | _EVERYTHING
    supply = trade_words().kind_of(clause[-1].low) == "supply"
    return name if plain or supply else ("the", *name)


_EVERYTHING = _words("everything all both each anything nothing")
_HELPING = _words(
    "gets get is are be has hasta hafta needsta needa should must gonna will can was were got"
)
_STATING = _words(
    "has have had runs looks seems feels sits holds means that which does doesn't isn't aren't if "
    "until when because should've would where who"
)


_OWNED = _words("mine yours hers his ours")
_FEW = _words("few last first next several many more new old fresh")
_ENDING = _STATING | (_HELPING - {"can", "will", "should"}) | {"comes", "come", "goes", "go"}


_STATES = _words(
    """
    be wear damage break crack lose stick call hold go come do make allow harden rivet seize rust
    finish use authorise mean design meet
    """
)


def _helped(clause: LooseClause, name: tuple[str, ...], at: int, new: bool) -> Frame | None:
    """Return the order in "gets tightened …", "has to come out", "needs to be replaced"."""
    low = [word.low for word in clause]
    if low[at - 1] in {"gets", "get"} and low[at : at + 2] in (["a", "new"], ["an", "new"]):
        return Frame(("fit", *shown_of(clause[at:])), new=True)  # "it gets a new O-ring"
    while at < len(low) and low[at] in {"to", "be", "get", "gonna", "being", "been"} | ADVERBS:
        at += 1
    if at >= len(low):
        return None
    base = base_of(low[at])
    if low[at] in {"come", "go"}:
        return moved(clause, name, low[at], at + 1, new)
    stative = base in _STATES
    if low[at : at + 2] == ["done", "up"]:
        stative = False
    stative = stative or low[at] in UNSURE_FORMS
    behind = low[at + 1] if at + 1 < len(low) else ""
    alike = low[at] in _ALIKE and behind in PARTICLES | _ALIKE[low[at]]
    if base and (alike or base != low[at]) and not is_ing(low[at]) and not stative:
        return Frame((base, *name, *_done_as_well(name, clause[at + 1 :])), new=new)
    return None


def _done_as_well(name: tuple[str, ...], rest: LooseClause) -> tuple[str, ...]:
    """Return the words behind "is cleaned", a second verb as an order: "or renewed"."""
    shown: list[str] = []
    for at, word in enumerate(rest):
        base = base_of_done(word.low) if at and rest[at - 1].low in {"and", "or"} else None
        many = name[-1] in {"them", "all"} or singular(name[-1].lower()) != name[-1].lower()
        if base is not None and base != word.low and base not in _STATES:
            shown += [base, "them" if many else "it"]
        else:
            shown.append(word.shown)
    return tuple(shown)


# Verbs that are done in the same form: "the tracker is put into stow", "the gauge is set up".
_ALIKE = {"put": PREPOSITIONS, "set": frozenset({"to"}), "shut": frozenset({""})}
_NO_PLACE = _words("with first next last same before after until again")
_SHOPS = _words("shop workshop depot dealer supplier manufacturer")
_BODY = _words("skin eyes eye face fingers finger teeth lungs flesh glove gloves hand hands")
_AMOUNTS = _words(
    "mil mils ml millilitres milliliters litre litres liter liters cc pint pints quart quarts "
    "gallon gallons cupful drop drops thimbleful"
)


def moved(
    clause: LooseClause, name: tuple[str, ...], verb: str, at: int, new: bool
) -> Frame | None:
    """Return the order in "comes out of the bore", "goes in the same way round"."""
    rest = clause[at:]
    if not rest:
        return None
    first, after = rest[0].low, rest[1].low if len(rest) > 1 else ""
    low = [word.low for word in rest]
    # "The oil goes in through your skin", "straight through skin"
    harms = ({"your", "through"} & set(low)) and _BODY & set(low)
    # "About four hundred mil comes out" tells how much.
    amount = {word.low for word in clause[: at - 1]} & _AMOUNTS and verb.startswith("come")
    # "The barrel goes to be relined", "the others go backwards".
    if harms or amount or (first, after) == ("to", "be") or first.endswith("wards"):
        return None
    sent = first == "to" and _SHOPS & set(low[1:5]) and not verb.startswith("come")
    if sent or any(word in _SCRAP for word in low):
        return Frame(("send", *name, *shown_of(rest)) if sent else ("discard", *name))
    if name == ("it",) and len(rest) > 1 and after not in {"of", "from", "first", "through", "by"}:
        return None
    if verb.startswith("come"):
        return Frame(("take", *name, *shown_of(rest))) if first in OFF else None
    if first == "back" or is_kept(low):
        return Frame(("put", *name, *shown_of(rest)))
    return _placed(name, rest, new)


_PAPERS = _words("card ticket docket logbook jobsheet")
_READ = _words("arrow arrows writing lettering")
_SIGNS = _words("arrow arrows writing lettering notch notches dot bevel chamfer cone")
"""They tell which way round a part goes."""


def _placed(name: tuple[str, ...], rest: LooseClause, new: bool) -> Frame | None:
    """Return the order that puts a thing where words say: "goes in the same way round"."""
    first, after = rest[0].low, rest[1].low if len(rest) > 1 else ""
    head = name[-1].lower()
    if _PAPERS & {word.low for word in rest[1:4]} and first in {"on", "in"}:
        return Frame(("write", *name, *shown_of(rest)))
    if head in _SIGNS:
        points = first in {"to", "towards", "toward"} or (first == "into" and head in _READ)
        return Frame(("point", *name, *shown_of(rest))) if points else None
    stands = "set" if head in STANDS else None  # "the jack goes under the beam"
    verb = "put" if trade_words().kind_of(head) == "supply" else stands
    if verb and first in PREPOSITIONS:
        return Frame((verb, *name, *shown_of(rest)), new=new)
    if (first in {"in", "on"} and (not after or after in _NO_PLACE)) or (
        first in {"in", "on"} and len(rest) > 2 and rest[2].low in {"same", "other"}
    ):
        rest = rest[1:]
    elif first not in PREPOSITIONS | {"in", "on", "with", "flat", "this", "that"}:
        return None
    return Frame(("fit", *name, *shown_of(rest)), new=new)
