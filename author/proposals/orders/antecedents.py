"""What "it" and "them" stand for in an order: a part that was named just before."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from author.proposals.kinds.marks import Marked
from author.proposals.language.counts import count_at
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import plural, singular
from author.proposals.orders.named_before import measured_before, setting_before, topic_before
from author.proposals.orders.wording import Order
from author.proposals.speech.spoken import Sentence
from author.proposals.things.finding import Thing


def antecedent(
    said: Sequence[Sentence], things: Mapping[int, Sequence[Thing]], mark: Marked
) -> str | None:
    """Return what "it" or "them" means, or nothing at all: the part named last that agrees.

    What is spread or poured is the supply named last.

    It is looked for before the words themselves, then in the two sentences before; where two
    parts would do, none is taken.
    """
    if some := _SOME_OF_THEM.search(said[mark.sentence].text[: mark.begin].rstrip()):
        one = some["some"].lower() == "one"
        return f"the {some['how'].lower()} {'one' if one else 'ones'}"
    before = said[mark.sentence - 1].text if mark.sentence else ""
    checked = setting_before(before, mark.text)
    return checked or _counted(said, things, mark) or _meant(said, things, mark)


def _meant(
    said: Sequence[Sentence], things: Mapping[int, Sequence[Thing]], mark: Marked
) -> str | None:
    pronoun = _IT.search(mark.text)
    # "Jack her up", "till she drags": the whole machine as well as a part.
    whole = _RUNS.match(mark.text) or (pronoun is None and _HER.search(mark.text))
    if whole or _of_all(said, things, mark):
        return None
    many = None if pronoun is None else pronoun[0].lower() not in {"it", "that", "she"}
    ahead = said[mark.sentence].text[: mark.begin]
    turned = pronoun is not None and _TURNED.search(mark.text[: pronoun.start()]) is not None
    topic = topic_before(ahead, many=many, turned=turned) or measured_before(ahead, many=many)
    if pronoun is not None and topic:
        return topic
    earliest = mark.begin + (pronoun.start() if pronoun else 0)
    if pronoun is not None and _MENDED.search(mark.text[: pronoun.start()]):
        flaws = _FLAW.findall(said[mark.sentence].text[:earliest])
        fitting = [one for one in flaws if (one[-1] == "s") is many]
        if fitting:
            return f"the {fitting[-1].lower()}"  # "little nick here, I'll dress that out"
    if pronoun is not None and (same := _SAME_IT.search(ahead)) and many is (same["it"] != "it"):
        earliest = same.start("it")
    put = _PUT_IN.match(mark.text) is not None
    own = _VALUE_FIRST.match(ahead) or _OF_THE_RUN.search(mark.text)
    far = 1 if own else 4 if put else 3
    for index in range(mark.sentence, max(-1, mark.sentence - far), -1):
        text = said[index].text
        named = [
            t
            for t in things.get(index, ())
            if (index < mark.sentence or t.end <= earliest) and not _is_place(t, text)
        ]
        spread = [t for t in named if t.kind == "supply"]
        if spread and _SPREAD.search(mark.text[: pronoun.start() if pronoun else 0]):
            return f"the {spread[-1].name}"
        named = [t for t in named if t.kind == "part" and not (put and _is_feature(t))]
        fitting = [t for t in named if many in (None, _is_many(t))]
        if turned:
            fitting = [t for t in fitting if _is_turned(t)] or fitting
        if named and (fitting or not _OF_IT.match(text)):
            names = {t.name for t in fitting}
            if len(names) > 1:
                until = earliest if index == mark.sentence else len(text)
                told_of = {t.name for t in fitting if _TOLD_OF.match(text[:until], t.end)}
                subjects = {t.name for t in fitting if _is_subject(t, text[:until])}
                names = told_of if len(told_of) == 1 else subjects
            return _one_of(names, fitting, text)
        before = said[index - 1] if index else None
        if before is None or before.recording != said[index].recording:
            return None
        if said[index].pause_before > _SAME_BREATH:
            return None
    return None


def _counted(
    said: Sequence[Sentence], things: Mapping[int, Sequence[Thing]], mark: Marked
) -> str | None:
    """Return the parts of which there are as many as "all six" says, if of no others."""
    every = _ALL_OF.search(mark.text)
    found = every and count_at([every["count"].lower()], 0)
    if not found or not every:
        return None
    names = set[str]()
    for index in range(mark.sentence, max(-1, mark.sentence - _FAR), -1):
        if said[index].recording != said[mark.sentence].recording:
            break
        names |= {t.name for t in things.get(index, ()) if t.kind == "part" and t.count == found[0]}
    if len(names) != 1:
        return None
    name = names.pop()
    return f"the {name if singular(name) != name else plural(name)}"


# "Valves, there's six of them … I'm changing all six": not the seats named last
_ALL_OF = re.compile(
    r"\ball (?:of the )?(?P<count>three|four|five|six|seven|eight|nine|ten|twelve|\d{1,2})"
    r"(?= of them|[,.;]|$)",
    re.IGNORECASE,
)
_FAR = 6


def _of_all(said: Sequence[Sentence], things: Mapping[int, Sequence[Thing]], mark: Marked) -> bool:
    """Whether all of a machine is wiped down: "if the seal weeps, change it. Wipe it down"."""
    if not _WIPED.search(mark.text):
        return False
    at = mark.sentence
    if _JOB_DONE.search(said[at].text, mark.begin):
        return True
    before = [t for t in things.get(at - 1, ()) if t.kind == "part"]
    ahead = any(t.end <= mark.begin for t in things.get(at, ()))
    return not ahead and any(_IN_A_CASE.search(said[at - 1].text[: t.begin]) for t in before)


def with_yours_named(
    order: str, said: Sequence[Sentence], things: Mapping[int, Sequence[Thing]], index: int
) -> str:
    """Return an order with what "yours" is: the thing that the sentence before is about.

    "Drum's coming, no it isn't. If yours sticks": the drum, and not the nut named before it.

    Args:
        order: one sentence.
        said: what was said.
        things: the parts in it, by sentence.
        index: the sentence the order is told in.
    """
    found = _YOURS.search(order)
    before = said[index - 1] if index else None
    if found is None or before is None or before.recording != said[index].recording:
        return order
    one = found["verb"].endswith("s") or found["verb"] in {"won't", "doesn't", "isn't"}
    parts = [t for t in things.get(index - 1, ()) if t.kind == "part" and _is_many(t) is not one]
    subjects = {t.name for t in parts if _is_subject(t, before.text)}
    names = subjects or {t.name for t in parts}
    return _YOURS.sub(f"the {names.pop()} {found['verb']}", order) if len(names) == 1 else order


_YOURS = re.compile(r"\b(?:yours|mine|ours) (?P<verb>[a-z']+)")


def handled(orders: Sequence[Order], mark: Marked) -> list[str | None]:
    """Return what orders are done to, less a supply: "oil on the pin and push it in", the pin.

    Args:
        orders: those before in the sentence.
        mark: the words of the next one.
    """
    moved = _MOVES_IT.search(mark.text) is not None
    return [one.object for one in orders if not (moved and _SUPPLIED.match(one.action))]


_MOVES_IT = re.compile(
    r"\b(?:slide|slip|push|press|tap|drive|knock|screw|re?fit|drop|feed|spin|pop|thread|turn|seat|"
    r"lower|slot|ease) (?:it|them)\b",
    re.IGNORECASE,
)
_SUPPLIED = re.compile(
    r"(?:Put|Smear|Rub|Brush|Dab|Run|Squirt|Spray) .*\b(?:grease|oil|anti-seize|lube|lubricant|"
    r"paste|sealant|compound|threadlocker|vaseline|soap|wax|fluid) "
    r"(?:on|in|over|round|around|into|onto) ",
    re.IGNORECASE,
)


def names_it(objects: Sequence[str | None], mark: Marked) -> bool:
    """Whether "it" or "them" may be what an order before in the sentence is done to.

    "Slacken the two clips and wiggle it out" wiggles no clips.

    Args:
        objects: what the orders before are done to; empty where there are none.
        mark: the words of the order.
    """
    pronoun = _POINTS.search(mark.text)
    many = pronoun is not None and pronoun[0].lower() != "it"
    heads = [one.split()[-1].lower() for one in objects if one]
    return bool(objects) and (not heads or any((singular(h) != h) is many for h in heads))


_POINTS = re.compile(r"\b(?:it|them)\b|(?<!\w)'em\b", re.IGNORECASE)


_IT = re.compile(
    r"\b(?:it|them)\b|(?<!\w)'em\b"
    # "Off she comes" is told of a part, "jack her up" seldom.
    r"|(?<=\boff )she(?= comes)|(?<=\bout )she(?= comes)|(?<=\bon )she(?= goes)"
    r"|(?<=\bin )she(?= goes)|(?<=\boff )they(?= come)|(?<=\bout )they(?= come)"
    # "Undo that and put it in the tin", "take those out"; not "that cover", "that it turns".
    r"|(?<=\w )(?:that|those|these)"
    r"(?=\W*$|\s+(?:and|off|out|up|back|in|on|down|away|with|wi')(?!\w)|[,;.])",
    re.IGNORECASE,
)
# "If the seal weeps, change it. Wipe it down and you're done": the machine, and no seal.
_WIPED = re.compile(
    r"\b(?:wipe|wash|hose|brush|clean|dust|blow|sweep|tidy|box|button|close|pack) (?:it|them) "
    r"(?:all )?(?:down|off|up|over)\b",
    re.IGNORECASE,
)
_JOB_DONE = re.compile(
    r"\b(?:it|them) all\b|\b(?:you're|we're|i'm|job'?s?|all) (?:all )?done\b"
    r"|\bthat's (?:it|the job|us|all|her)\b|\bback (?:to|in|into|on) (?:work|service|use)\b",
    re.IGNORECASE,
)
_IN_A_CASE = re.compile(r"\b(?:if|unless|otherwise|any)\b[^.;]*$", re.IGNORECASE)
# "Two of them are longer, they go at the back"
_SOME_OF_THEM = re.compile(
    r"\b(?P<some>one|two|three|four|some|a few|[2-9]) (?:of (?:them|these|those|the [\w-]+) )?"
    r"(?:is|are|has|have) (?:a (?:bit|little) |slightly |much )?"
    r"(?P<how>(?:long|short|thick|thinn|bigg|small|wid|fatt|larg|tall)er)"
    r"(?:,| and| so|, and|, so)+$",
    re.IGNORECASE,
)
# "Don't let it hang on the hose, tie it up with a wire": neither time the hose.
_SAME_IT = re.compile(
    r"\b(?:let|leave|hold|carry|lift|pull|drag|swing|pick|grab|hang|have|move) (?P<it>it|them)\b"
    r"(?: [a-z]+){0,2} (?:on|by|at|from|with|off|over|in|to|into|against|under)"
    r" (?:the|its|your|their|an?|that|this)(?: [a-z-]+){1,3},? "
    r"(?:and |but |so |just |then |instead )*$",
    re.IGNORECASE,
)
_MENDED = re.compile(
    r"\b(?:dress|stone|file|polish|sand|blend|rub|hone|scrape|smooth|grind|feather|linish)\W*$",
    re.IGNORECASE,
)
_FLAW = re.compile(
    r"\b(?:nick|burr|ding|dent|scratch|score|mark|ridge|scuff|gouge|pit|step|rust|nicks|burrs|dings|"
    r"dents|scratches|scores|marks|ridges|scuffs|gouges|pits)\b",
    re.IGNORECASE,
)
# "Close force, I put the gauge on it": no part of the sentence before.
_VALUE_FIRST = re.compile(
    r"(?:(?:right|so|now|then|and|okay|next|the|your|last)\b,? )*(?:[a-z]+ )?"
    r"(?:force|pressure|speed|"
    r"current|voltage|temperature|noise|travel|stroke|torque|flow|level|play|clearance), ",
    re.IGNORECASE,
)
# "Cycle it five times", "hold it for an hour": the machine or the run, unless it was just named.
_OF_THE_RUN = re.compile(
    r"\b(?:(?:cycle|bleed|prime) it\b|hold it (?:for|at|there)\b|"
    r"turn it (?:towards?|away from) (?:you|me)\b)",
    re.IGNORECASE,
)
# "Spin it over", "start it up": the machine, whatever part was named last.
_RUNS = re.compile(
    r"(?:(?:and|then|now|just|you|we|i) )*(?:(?:spin|turn|crank) it over|(?:start|fire) it(?: up)?"
    r"|switch it on|run it(?= for\b| up\b| five\b| ten\b|\W*$))\b",
    re.IGNORECASE,
)
_HER = re.compile(r"\b(?:her|him|she|he)\b|\bshe'", re.IGNORECASE)
# "It's two bolts with a spanner": told of what was named before.
_OF_IT = re.compile(r"(?:it|it's|they|they're)\b", re.IGNORECASE)
_SAME_BREATH = 6


_TURNED = re.compile(
    r"\b(?:undo|loosen|slacken|tighten|torque|unscrew|nip|snug|back|crack|spin|zip|run)\w* \w*\W*$",
    re.IGNORECASE,
)
# "A bit of grease, spread it with a finger": not the part named before.
_SPREAD = re.compile(r"\b(?:spread|smear|brush|dab|squirt|pour|dribble|weigh)\W*$", re.IGNORECASE)
# "The door is open and here's the old gasket, it is hard like wood": it is the gasket.
_TOLD_OF = re.compile(r",? (?:and )?(?:it|they)(?:'s|'re| is| are| has| have| was| were)\b")
_SAID_OF = re.compile(r"(?:'s|\s+(?:is|are|has|have|was|just|comes?|goes?|gets?|wants?))\b")
# Besides fasteners these are turned as well.
_RINGS = frozenset({"nipple", "collar", "ring"})


# "The spring faces the motor. Hook it out": not the motor.
_PLACE = re.compile(
    r"\b(?:towards?|against|behind|inside|underneath|beneath|under|below|above|beside|facing|near|"
    # "Underneath it sits the clip" names the clip.
    r"with|using|next to|away from|from|onto|into)"
    r"(?: (?!(?:sits?|lies|is|are|there's|you'll|goes|comes)\b)\w+){0,3} ?$",
    re.IGNORECASE,
)


# "Tape over the keyway. Drive it in with a socket": no keyway is driven in
_PUT_IN = re.compile(
    r"(?:(?:and|then|now|so|you|we|i|just) )*(?:drive|press|push|tap|knock|slide|slip|pop|screw|"
    r"drop|ease|fit|feed|pull|prise|pry|take|lift|draw) (?:it|them|that|'em)\b",
    re.IGNORECASE,
)


def _is_feature(thing: Thing) -> bool:
    """Whether a thing is a place on another and never moved by itself: a keyway, a bore."""
    head = singular(thing.name.split()[-1].lower())
    return head in _HOLLOWS or trade_words().kind_of(head) == "feature"


_HOLLOWS = frozenset({"keyway", "slot", "groove", "hole", "bore", "recess", "journal"})


def _one_of(names: set[str], things: Sequence[Thing], text: str) -> str | None:
    """Return the one thing that is left, with its side where only one was told of, or None."""
    if len(names) != 1:
        return None
    name = names.pop()
    sides = {_side(t, text) for t in things if t.name == name}
    return f"the {sides.pop() if len(sides) == 1 else ''}{name}"


def _side(thing: Thing, text: str) -> str:
    """Return which side a thing is named by, which its name leaves out: "the right hand cup"."""
    found = _SIDE.search(text[: thing.begin])
    return f"{found[1].lower()} " if found and found[1].lower() not in thing.name.lower() else ""


_SIDE = re.compile(
    r"\b((?:left|right)(?:[- ]?hand)?(?:[- ]side)?|near[- ]?side|off[- ]?side"
    r"|(?:drive|brake|driver's|passenger|flywheel|clutch|timing)[- ]side) $",
    re.IGNORECASE,
)


def _is_place(thing: Thing, text: str) -> bool:
    """Whether a thing is only named to say where another is, or which way it faces."""
    return _PLACE.search(text[: thing.begin]) is not None


def _is_turned(thing: Thing) -> bool:
    return is_fastener(thing.name) or singular(thing.name.split()[-1].lower()) in _RINGS


def _is_subject(thing: Thing, text: str) -> bool:
    """Whether words are about a thing: they begin with it, say what it is, and are few."""
    begins = len(text[: thing.begin].split()) < 4 and len(text[thing.end :].split()) < _FEW_WORDS
    return begins and _SAID_OF.match(text, thing.end) is not None


_FEW_WORDS = 20


def _is_many(thing: Thing) -> bool:
    last = thing.name.split()[-1].lower()
    return (thing.count or 1) > 1 or singular(last) != last
