"""The halves of a warning: how harm is avoided, and what the harm is, as far as each is said."""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.checks.verbs import words as words_of
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of_third, is_work
from author.proposals.language.word_forms import singular
from author.proposals.orders.wording import imperatives
from author.proposals.steps.mishaps import halves_of_mishap
from author.proposals.steps.mistakes import warns_of_itself
from author.proposals.steps.other_halves import BOUNDS
from author.proposals.steps.sure_warnings import BY_ITSELF

_ORDERS = re.compile(
    r"(?:never|don'?t|do not|keep|wear|always|mind|watch|careful|be careful|make sure|let|go easy|"
    r"whatever you do|don'?t you|stay|stand(?! (?:under|in|on|at) (?:the|an?)\b)|use|put|"
    r"turn|take|hold|get|stop|shut|"
    r"switch|call|ring|fetch|(?:[\w-]+ )?(?:gloves?|gauntlets|glasses|specs|shield|strap|mask)|"
    r"goggles|visor|respirator|eye protection|ear (?:defenders|plugs)|long sleeves|"
    r"back (?:(?:it|them) )?(?:out|off)|(?:it|they) goe?s? back \w* ?as (?:it|they) (?:came|were|"
    r"was)|"
    r"(?:before (?:this|that) )?(?:i|we|you) (?:mustn't|must (?:not|never)|shouldn't|do not|don't|"
    r"never)(?! (?:know|think|want|need|have|see|like|mind|care|get)\b)|"
    r"(?:i|we|you) want (?:it|that|this|the|them|those|your)\b(?=.*\b(?:under|below|down|off|cold|"
    r"cool|dead|empty|dry|locked|clear|out|isolated|flat)\b)|"
    r"everyone|everybody|two (?:of (?:you|us)|people|men)|no|not)\b"
    # "Hands out of there", "fingers well clear": where a limb is to be, and no word is a verb.
    r"|(?:(?:your|both|bare|all) )?(?:hands?|fingers?|thumbs?|feet|face|eyes|head|hair|sleeves?|"
    r"legs|arms|toes|knees)\b(?: well| right| and \w+)* (?:off|away|out|clear|back|covered|aside|"
    r"tied)\b(?!.*\b(?:will|can|is|are|means|gets)\b)"
    r"|nobody\b(?! (?:ever )?(?:finds|knows|believes|sees|expects|tells|thinks|remembers)\b)",
    re.IGNORECASE,
)
_WORD_BEFORE = re.compile(
    r"^(?:(?:so(?: that)?|and|but|because|cause|'cause|since|otherwise|or|then)\W+"
    r"|that (?=(?:you|it|they|we|the \w+) (?:can|could|will|won't|can't|doesn't)\b)"
    r"|as (?=(?:it|they|the|you)\b.*(?:\bwill|\bcan|'ll)\b))+",
    re.IGNORECASE,
)
# What was ordered before is what must not be forgotten: the rest is what then happens.
FORGOTTEN = re.compile(
    r"if you (?:forget|skip|miss|don'?t do|leave out) (?:that|this|it)\b\W*\w+", re.IGNORECASE
)
# "The gauge must read zero before you slacken it, because hot water will scald you"
_MUST_BECAUSE = re.compile(
    r"(.+? (?:must|has to|have to|should|needs? to) .+?), "
    r"(?:because|since|'?cause|cos|otherwise|or else) (.+)",
    re.IGNORECASE,
)
_DIFFICULT = re.compile(
    r"\b(?:stuck|stubborn|spins?|fight\w*|tight|won't|doesn't|don't|haven't|hasn't|can't|isn't|"
    r"binds?|sticks?|jams?|catch(?:es)?|pushes|drags?|rubs?|rocks?|tightens)\b",
    re.IGNORECASE,
)
# "You scratch that groove and it'll leak forever"
_YOU_SPOIL = re.compile(
    r"(?:and |but |so )*you (?:scratch|break|drop|bend|squeeze|nick|strip|over-?tighten|crack|slip|"
    r"miss|score|gouge|cut|tear|pinch|snap)\b",
    re.IGNORECASE,
)
_WHEN = re.compile(r"(?:and |but |so )*(?:when|while|once|whenever|as you) ", re.IGNORECASE)
IN_CASE = re.compile(r"(?:and |but |so )*(?:if|unless) ", re.IGNORECASE)
# "It gets so hot" parts no clauses.
_SO_MUCH = (
    r"that|much|many|far|long|hard|tight|hot|cold|bad|well|fast|close|small|thin|thick|strong|good|"
    r"easy|deep|low|high|big|little|on|forth|\w+ly"
)
_CLAUSE = re.compile(
    r"\s*[,;:–—]\s*|\s+(?=(?:because|otherwise)\b)|"
    r"\s+(?=(?:or(?: else)?|'?cause|since|as(?! (?:it|they) (?:came|come|was|were|"
    r"sat|(?:comes?|goes?|slides?|lifts?|drops?|pulls?|slips?|turns?|pass(?:es)?) (?:out|off|in|on|"
    r"over|past|up|down|through|away|round)[,.;]?$)))\s+(?:it|they|you|the|that|there|he|she|all|your|"
    r"both|its|everything)\b)|"
    rf"\s+(?=so\s+(?!(?:{_SO_MUCH})\b))"
)
_HARMS = re.compile(
    r"(?:because\s+|'?cause\s+|or\s+(?:else\s+)?|and\s+|otherwise\s+|so\s+|since\s+|as\s+)?"
    r"(?:(?:it|it'?ll|it'?s|they|they'?ll|they'?re|you|"
    r"you'?ll|that|that'?ll|that'?s|there|there'?s|the|this|those|these|them|he|she|because|"
    r"'?cause|otherwise)\b|(?:an?|any|your|all|both|one|some|\w+s)\b.*\b(?:can|could|will|might|may|"
    r"gets?|goes|comes|burns?|falls?|drops?|runs? dry|\w+'ll)\b|[\w-]+ (?:swells|cracks|breaks|"
    r"melts|burns|splits|softens|rots|snaps|shatters|leaks|tears)\b)",
    re.IGNORECASE,
)
# "They don't cut the lip", "it has edges", "you've bought a ram" tell of something and ask for
# nothing.
_TELLS = re.compile(
    r"(?:(?:it|they|that|this|the \w+) (?:doesn't|don't|can't|won't)|(?:it|they|that|there|this|he|"
    r"she|these|those)(?:'s|'re| is| are| has| have| weighs?)|(?:it|he|she) \w+s|you've|"
    r"they \w+|that (?:stuff|lot|thing) \w+s|(?:an?|the|that|this|your) [\w-]+(?: [\w-]+)?"
    r"(?:'s|'ll| is| are| will| can))\b",
    re.IGNORECASE,
)
# "Solvent in the eye is not funny" tells too, as it begins with no verb.
_IS = re.compile(r"\b(?:is|are|was|were|will|isn't|aren't|won't)\b|'ll\b", re.IGNORECASE)
# "Now", "before anything else" stand before an order and tell nothing that can harm.
_ONLY_LEADS = re.compile(
    r"(?:and |but |so )*(?:now|okay|right|well|listen|look|(?:and )?remember|(?:before|first) .*)$",
    re.IGNORECASE,
)
# "Careful, the oil's hot": a word of caution alone says nothing of how to avoid it.
_ONLY_WARNS = re.compile(
    r"(?:(?:and|so|but|now|just) )*(?:(?:be )?(?:very |really |real |extra )?careful|"
    r"watch out|look out|beware|mind|take care|caution)(?: here| now)?",
    re.IGNORECASE,
)
# "Hose first, or it drips on you": whatever stands before is what keeps it from happening.
_ELSE = re.compile(
    r"(?:or(?: else)?\s.*(?:'ll|will|'re)\b|otherwise\b|because\b|'?cause\b"
    r"|or (?:else )?(?:it|they|you|the|that|your|everything|all)\b)"
)
# "A quarter turn at a time or the plate bends"
_SO_MUCH_ONLY = re.compile(
    r"(?:just |only )?(?:an?|one|half an?) [\w -]+ (?:at a time|only|tops|max|at most)",
    re.IGNORECASE,
)
# "Twelve tops, or you pull the thread" orders no pulling.
_OR_THEN = re.compile(r"or (?:else )?(?:it|they|you)\b", re.IGNORECASE)
_SUBJECT = re.compile(
    r"(?:and |but |so |now )*(?:it|they|that|there|this|these|those|he|she|you|i|we|the|if|when|"
    r"unless|because|or|an?|your|my|\S+'(?:s|ll|re|ve))\b",
    re.IGNORECASE,
)
# "You'll blow the seal" is what comes of it, though it sounds like an order.
_COMES = re.compile(r"(?:you|it|they|he|she|that)(?:'ll| will|'re gonna| can)\b", re.IGNORECASE)


def _runs(words: str) -> list[str]:
    """Return what was said without a pause, parted where it tells: "never pry it | it's cast"."""
    begin, runs = 0, []
    for found in _TELLING.finditer(words):
        before = words[begin : found.start()].split()
        in_case = not _CASE.isdisjoint(word.lower() for word in before)
        if len(before) >= _LEAST_ORDER and before[-1].lower() not in _TIES and not in_case:
            runs.append(words[begin : found.start()])
            begin = found.end()
    return [*runs, words[begin:]]


_TELLING = re.compile(
    r"\s+(?!that's (?:held|supported|propped|hung|only|still|not|left|trapped|stored|inside|in "
    r"there|"
    r"behind|on it)\b)"
    r"(?=(?:it|they|that|there|you)'(?:s|re|ll|ve)\b|the [\w-]+(?:'(?:s|ll)| is| are| holds?| has|"
    r" will"
    r"| burns?| breaks?| snaps?)\b|any [\w-]+ (?:[\w-]+ ){0,4}?(?:will|can|burns|eats)\b)",
    re.IGNORECASE,
)
_LEAST_ORDER = 2
_CASE = words_of("if when unless once until till")
_TIES = words_of(
    """
    if when where what how because cause as so and or but until till before after once since that
    than unless while who which why whatever wherever whether think know say says see sure of like
    the a only now here with on at in for to
    """
)


def without_lead(text: str) -> str:
    """Return words without what only ties them to those before: "so", "or", "because"."""
    return _WORD_BEFORE.sub("", text, count=1)


def halves_of(text: str) -> tuple[str, str]:
    """Return how to avoid harm and what the harm is, as far as each is said.

    Args:
        text: the warning, without what only ties it to what was said before.
    """
    if told := halves_of_mishap(text) or _contrast(text) or _bounded(text) or _falls(text):
        return told
    clauses = _with_more_named([part for part in _CLAUSE.split(text) if part])
    first_said = text
    if not set(text) & set(",;:–—"):
        clauses = [run for part in clauses for run in _runs(part)]
        first_said = clauses[0] if _is_order(clauses[0]) else text
    if _OF_THING.match(text):
        first_said = ""  # "there's 175 psi in there and that'll kill you, so drain it"
    while len(clauses) > 1 and _ONLY_WARNS.fullmatch(clauses[0]):
        clauses.pop(0)
        text = text[text.index(clauses[0]) :]
    if FORGOTTEN.match(text) or _YOU_SPOIL.match(text) or warns_of_itself(first_said):
        return "", text
    if IN_CASE.match(clauses[0]) and len(clauses) > 1:
        return _halves_of_case(text, clauses)
    clauses = _with_limits(clauses)
    orders = [
        (_is_order(part) and not _OR_THEN.match(part))
        or any(one.search(part) for one in (_LIMITED, _INSTEAD_OF))
        for part in clauses
    ]
    if not any(orders):
        if both := _MUST_BECAUSE.fullmatch(text):
            return both[1], both[2]
        so_much = _SO_MUCH_ONLY.fullmatch(clauses[0]) or not _SUBJECT.match(clauses[0])
        if len(clauses) > 1 and _ELSE.match(clauses[1]) and so_much:
            return clauses[0], without_lead(", ".join(clauses[1:]))
        return "", text
    first = orders.index(True)
    if first == 1 and _WHEN.match(clauses[0]):  # "when it passes the port, go slow, it cuts it"
        clauses[:2] = [f"{clauses[0]}, {clauses[1]}"]
        orders[:2], first = [True], 0
    before = [part for part in clauses[:first] if not _ONLY_LEADS.match(part)]
    if before:
        return without_lead(", ".join(clauses[first:])), ", ".join(clauses[:first])
    # What is ordered goes on until somebody or something does harm.
    clauses = clauses[first:]
    turn = next((n for n, part in enumerate(clauses) if n and _tells_harm(part)), len(clauses))
    avoid = ", ".join(clauses[:turn])
    if _I_DO.match(without_lead(avoid)):
        avoid = _I_DO.sub("", without_lead(avoid), count=1)
    return avoid, without_lead(", ".join(clauses[turn:]))


def _with_more_named(clauses: Sequence[str]) -> list[str]:
    """Return clauses, what "or" names besides with them: "never touch the spring | or its drums".

    "Hold it, or the plate bends" tells what happens.
    """
    found: list[str] = []
    for clause in clauses:
        named = _OR_NAMED.fullmatch(clause) if found else None
        if named is not None and _FORBIDS.match(found[-1]) and _names(named):
            found[-1] = f"{found[-1]} {clause}"
        else:
            found.append(clause)
    return found


_FORBIDS = re.compile(
    r"(?:and |but |so )*(?:never|don'?t|do not|keep .*\b(?:off|away|clear|out)\b|no|not)\b", re.I
)
_OR_NAMED = re.compile(
    r"or (?P<of>its|your|their|the|all|both) (?:[\w-]+ )?(?P<name>[\w-]+)", re.IGNORECASE
)
_OWN = words_of("its your their")
_LIMBS = words_of("hand hands finger fingers face eyes hair sleeves feet thumb thumbs arm arms")


def _names(found: re.Match[str]) -> bool:
    """Whether words end in the name of a thing, which is not what that thing does."""
    name = found["name"].lower()
    if name in _LIMBS:
        return True
    thing = any(trade_words().kind_of(one) for one in (name, singular(name)))
    return thing and (found["of"].lower() in _OWN or not base_of_third(name))


def _contrast(text: str) -> tuple[str, str] | None:
    """Return the halves where only which of two things is told: "not only the switch, the plug"."""
    found = _NOT_THE.fullmatch(text)
    if found is None or trade_words().kind_of(found["name"].lower()) is None:
        return None
    return text, ""


def _falls(text: str) -> tuple[str, str] | None:
    """Return the halves where something falls by itself: "it drops out, so have a hand there"."""
    found = BY_ITSELF.fullmatch(text)
    return (found["avoid"], found["harm"]) if found is not None else None


def _bounded(text: str) -> tuple[str, str] | None:
    """Return the halves where a bound is told, and what comes of it or of what the part is."""
    or_else = _OR_IT.search(text)
    if or_else is not None and BOUNDS.fullmatch(text[: or_else.start()]):
        return text[: or_else.start()], text[or_else.end() :]
    found = _ONLY_SO_MUCH.fullmatch(text)
    return (found["limit"], found["why"]) if found is not None else None


_OR_IT = re.compile(
    r",? or (?:else )?(?=(?:it|they|you|that|she|he|the [\w-]+|your [\w-]+)(?: [\w-]+)?"
    r"(?:'ll|'re| will| can| could|s?)\b)",
    re.IGNORECASE,
)
# "To no more than four newton metres its plastic", "three newton metres, no more, they shear"
_ONLY_SO_MUCH = re.compile(
    r"(?P<limit>[^,;:]*\b(?:only|no more than|not more than|at most|no tighter than|not over|"
    r"finger[- ]tight|hand[- ]tight|gently|lightly)\b[^,;:]{2,40}?|[^,;:]{2,60}, (?:no|not|never) "
    r"(?:more|less|further|harder|tighter|higher)),? (?:because |'?cause )?(?P<why>(?:its|"
    r"(?:it|they|that)(?:'s|'re|'ll| is| are| will)?) (?:[\w'-]+ ?){1,5})",
    re.IGNORECASE,
)
_NOT_THE = re.compile(
    r"(?:and |but |so )*not (?:(?:only|just) )?(?:the|your|that|an?)\b[^,;:]+, "
    r"(?:the|your|that|an?) "
    r"(?:[\w-]+ )?(?P<name>[\w-]+)",
    re.IGNORECASE,
)
_OF_THING = re.compile(
    r"(?:(?:and|but|so) )*(?:there(?:'s| is| are)|(?:the|these|those|this|that|your) [\w-]+)\b",
    re.I,
)
_LIMITED = re.compile(
    r"(?:^|, )(?:no|not|never) (?:more|less|further|harder|tighter|higher|longer)"
    r"(?: than [^,]*)?$",
    re.IGNORECASE,
)


_NOT_THIS = re.compile(r"(?:not|never) (?:the |an? |with )?[\w-]+", re.IGNORECASE)
_SUBJECT_DOES = re.compile(r"\b(?:is|are|was|will|can|has|have|goes|gets|it|they|you)\b|'", re.I)
_INSTEAD_OF = re.compile(r", (?:not|never) (?:the |an? |with )?[\w-]+$", re.IGNORECASE)


def _with_limits(clauses: Sequence[str]) -> list[str]:
    """Return clauses, a limit with what it limits: "push with 20 kilos, no more".

    So stands what is not to be taken: "brass tweezers, not steel".
    """
    found: list[str] = []
    for clause in clauses:
        named = _NOT_THIS.fullmatch(clause) and found and not _SUBJECT_DOES.search(found[-1])
        if found and (_LIMITED.match(clause) or (named and not _is_order(found[-1]))):
            found[-1] = f"{found[-1]}, {clause}"
        else:
            found.append(clause)
    return found


_A_THING = re.compile(r"(?:and |but |so )*(?:the|an?|your|its|their)\b", re.IGNORECASE)


def _halves_of_case(text: str, clauses: Sequence[str]) -> tuple[str, str]:
    """Return the halves of what begins with "if": the case is part of what can harm."""
    case = IN_CASE.sub("", clauses[0], count=1)
    # "The oil comes out at you" is no order, though "the oil comes out" may be one.
    asked = [_is_order(part) and not _A_THING.match(part) for part in clauses[1:]]
    avoid = [part for part, order in zip(clauses[1:], asked, strict=True) if order]
    harm = [without_lead(part) for part, order in zip(clauses[1:], asked, strict=True) if not order]
    if avoid and _DIFFICULT.search(case):
        # "If it's fighting you, put it in the freezer", "if it won't shift, don't lever, it's cast"
        return ", ".join([clauses[0], *avoid]), ", ".join(harm)
    if avoid:
        return without_lead(", ".join(avoid)), ": ".join([case, *harm[:1]])
    done = _IF_YOU.match(case)
    if done and len(clauses) > 1 and is_work(done[1].lower()) and not _GOES_ON.search(case[3:]):
        return f"Do not {case[done.start(1) :]}", without_lead(", ".join(clauses[1:]))
    return "", text


# "If you take out one bolt completely, the plate tips"
_GOES_ON = re.compile(
    r"\b(?:you|then|so)\b|\b(?:it|they|that|he|she)'\w+|\b(?:it|they) (?:will|can|is|are)\b", re.I
)
_IF_YOU = re.compile(r"you (?:just |ever |only )?([\w-]+)(?! (?:not|no)\b)", re.IGNORECASE)


def _tells_harm(clause: str) -> bool:
    """Whether a clause behind an order tells what happens: "these clips fly", "glass shatters"."""
    said = clause.lower().split()
    if len(said) > 2 and said[1] in _ADVERBS:  # "grease just holds the swarf"
        said.pop(1)
    does = len(said) > 1 and bool(base_of_third(said[1]) or said[1] in _ALSO_DOES)
    return _HARMS.match(clause) is not None or (does and not _is_order(clause))


_ALSO_DOES = words_of("doesn't don't is are")
# "You bleed the air the accumulator holds 120 psi", "I wait five minutes"
_I_DO = re.compile(
    r"(?:i|we|you) (?=(?:wait|let|leave|keep|wear|put|use|hold|stay|lock|bleed|drain|switch|turn|"
    r"cover|"
    r"tie|prop|block) (?:the|it|them|your|my|five|ten|a|an|for|until|off|out|on|clear)\b)",
    re.IGNORECASE,
)
_ADVERBS = words_of("never just only then always still really simply")


_NEVER_DOES = re.compile(
    r"(?!it |they |never |always )[\w-]+ (?:never|always|just|only) \w+(?<!s)s\b", re.IGNORECASE
)


def _is_order(clause: str) -> bool:
    words = without_lead(clause)
    if _NEVER_DOES.match(words):  # "grease never gets in the pins"
        return False
    if _I_DO.match(words):
        return True
    if _COMES.match(words) or _TELLS.match(words):
        return False
    if _ORDERS.match(words):
        return True
    first = words.split()[0].lower() if words.split() else ""
    return bool(imperatives(words)) and (is_work(first) or not _IS.search(words.split(" if ")[0]))
