"""What goes wrong, told as if it were ordered: "put it on back to front and the brake won't hold".

Nobody is to do so; what comes of it is a warning, whether or not its words are known to warn.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from author.proposals.kinds.marks import Kind, Marked, by_sentence, meet, with_others
from author.proposals.language.taken_back import BEGS_PARDON, HALTS, OWNS_UP, UNSAYS
from author.proposals.speech.spoken import Sentence

# "Put it on upside down and the belt runs too high and eats itself"
_SPOILS = re.compile(
    r"[^,.;]*?\band (?:it|they|the \w+|you)(?:'ll|'s)? [^.;]*\b(?:eats? itself|shreds?|"
    r"jumps? off|flies off|burns? up|locks? up|"
    r"won't (?:run|start|seat|seal|fit|go|turn|hold|stop|lift|work))\b"
    # "Swap them and the caliper binds", "get it on the pads and you've got no brakes"
    r"|(?!(?:if|when|once|unless)\b)[^,.;]*?\band (?:(?:it|they|the [\w-]+)(?:'ll| will| just)? "
    r"(?:binds?|seizes?|jams?|fires? (?:out|off|at)|cracks?|snaps?|strips?|leaks?|bends?|warps?"
    r"|splits?|blows?|floods?|overheats?|cooks?|explodes?|flies)\b"
    r"|(?:you've|you have|you'll have) (?:got )?no\b"
    r"|you (?:lose|wreck|ruin|break|strip|snap|crack|burn|crush)\b)",
    re.IGNORECASE,
)
# "Get it the wrong way round and it'll sink", "put the ratchet on back to front and …"
_WRONG = re.compile(
    r"[^,.;]*\b(?:wrong (?:way|side|end|hole|one|order)|back to front|upside down|inside out"
    r"|backwards|the other way round)\b[^,.;]*,? and (?:it|they|that|you|she|he|the \w+)\b",
    re.IGNORECASE,
)
# "Tighten it to 20, anything over 25, or you'll crack the housing"
_TOO_MUCH = re.compile(
    r"[,;] (?:and |but )?(?=anything (?:over|past|above|beyond|under|below|more|less|tighter|"
    r"harder)\b[^;]*?,? (?:and|or(?: else)?) (?:it|they|that|you|she|the \w+)"
    r"(?:'re|'ll| will)\b)",
    re.IGNORECASE,
)
# "The ribs have to sit in the grooves, one rib off and the belt comes off"
_ONE_OFF = re.compile(
    r"(?:^|[,;:] )(?:and |but |because )?(?P<told>(?:one|a single|even one) [\w-]+(?: [\w-]+)? "
    r"(?:off|out|over|short|loose|missing|wrong|too (?:many|few|much|far|long|short)),? and "
    r"(?:the [\w-]+|it|they|you)(?:'ll| will)? [^.;]+)",
    re.IGNORECASE,
)
# "Any oil on the discs and they're rubbish", "anything over 25, or you'll crack it"
_ANY = re.compile(
    r"any(?:thing)? [^.;]*?,? (?:and|then|or(?: else)?) (?:it|they|that|you|she|the \w+)"
    r"(?:'s|'re|'ll| is| are| will)|any(?:thing)? [^.;,]*,? (?:it's|they're|that's|that is) ",
    re.IGNORECASE,
)
# "No float at all and she'll burn out": that is not what is accepted.
_WITHOUT = re.compile(
    r"(?:and |but )*no [^,.;]{2,40}?,? and (?:it|she|he|you|they|the \w+)(?:'ll| will| won't)\b",
    re.IGNORECASE,
)
# "An open ender will round it, ask me how I know"
_ASK_ME = re.compile(r"(?P<what>[^,.;]{8,90}),? ask me how i know", re.IGNORECASE)
_KNOWN_BY_HEART = re.compile(r"(?:and )?ask me how i know|i've got the scars?\b", re.IGNORECASE)
# "That's how people get hurt" tells of what was told before.
_HURTS = re.compile(
    r"(?:and )?that's how (?:people|you|folks?|fingers|hands|they|somebody)"
    r"(?:'ll| will)? (?:gets?|lose|loses|end|ends)\b",
    re.IGNORECASE,
)
_AND_THEN = re.compile(
    r",? (?:and|then|or(?: else)?) (?=(?:it|they|that|you|she|he|the \w+)(?:'s|'re|'ll)?\b)",
    re.IGNORECASE,
)
_ONE = re.compile(r"(?:even )?(?:one|a single|the (?:slightest|smallest|least))\b", re.IGNORECASE)
# "Push a trim tool in and they'll pop" is how they come free, "lay it face down" where it lies.
_FREES = re.compile(
    r"[^,.;]{8,80},? and (?:it|they|the [\w-]+)(?:'ll| will) (?:just |all )?(?:pop|come|lift|drop|"
    r"slide|"
    r"unclip|unhook|let go|spring|click)(?: (?:straight|right|back))?(?: (?:off|out|up|free|loose|"
    r"open|"
    r"apart|in|down))?[.!]?",
    re.IGNORECASE,
)
_LIES = re.compile(r"(?<!your )\bface (?:down|up|side)\b", re.IGNORECASE)
_NO_VERB = re.compile(r"(?:upside|back|backwards|wrong|the|inside|too|on|in)\b", re.IGNORECASE)
_BEGINS = re.compile(r"(?:(?:and|but|so|now|well|mind|remember|because)[, ]+)*", re.IGNORECASE)
_BACK = rf"(?:no|wait|{HALTS}|{BEGS_PARDON}|{UNSAYS}|{OWNS_UP})"
_TAKES_BACK = re.compile(rf"(?:oh |er |um )?{_BACK}(?:[, ]+{_BACK})*", re.IGNORECASE)
# "That hub's alloy and it'll strip" tells of a thing, and of nothing that is done.
_OF_THING = re.compile(
    r"you |there\b|(?!the wrong)(?:the|these|those|this|that|your) [\w-]+", re.IGNORECASE
)
_FORBIDDEN = re.compile(r"\b(?:don't|do not|never|careful|or|otherwise|too|wrong)\b", re.IGNORECASE)
_END = re.compile(r"[.;!?](?!\d)|$")
_WARNS: frozenset[Kind] = frozenset({"hazard", "damage"})
_INSTEAD: frozenset[Kind] = frozenset({"inspection", "decision", "orientation", "reason"})
_SURE = Decimal("0.80")


def spoils(text: str) -> bool:
    """Whether words that begin as an order tell what goes wrong by it.

    Args:
        text: a sentence from where the order begins.
    """
    return any(one.match(text) for one in (_SPOILS, _WRONG, _ANY))


def halves_of_mishap(text: str) -> tuple[str, str] | None:
    """Return how a mishap is avoided and what comes of it, or None where a text tells none.

    Args:
        text: a warning, from its first word.
    """
    if _WITHOUT.match(text) or not (spoils(text) or _ONE_OFF.match(text)) or _OF_THING.match(text):
        return None
    parts = _AND_THEN.split(text, maxsplit=1)
    if len(parts) < 2:  # "any oil on the discs, it's rubbish"
        parts = text.split(", ", 1)
    if len(parts) < 2:
        return None
    done, comes = parts[0].strip(" ,"), parts[1].strip(" ,")
    any_of = re.match(r"any(thing)?\b", done, re.IGNORECASE)
    if any_of:
        return f"{'Nothing' if any_of[1] else 'No'}{done[any_of.end() :]}", comes
    if _ONE.match(done):  # "one scratch in the groove and it leaks"
        return f"Not {done[:1].lower()}{done[1:]}", comes
    if _NO_VERB.match(done):  # "upside down and it reads wrong"
        return f"Not {done[:1].lower()}{done[1:]}", comes
    return f"Do not {done[:1].lower()}{done[1:]}", comes


def with_mishaps(said: Sequence[Sentence], marks: Sequence[Marked]) -> list[Marked]:
    """Return the marks, with a warning for each mishap and none for what only points to it.

    Args:
        said: what was said.
        marks: kinds of its clauses, in the order of the sentences.
    """
    there = by_sentence(marks)
    found: list[Marked] = []
    gone: set[Marked] = set()
    for index, sentence in enumerate(said):
        told, own = _mishap(index, sentence.text), there.get(index, ())
        gone |= {mark for mark in own if _is_how(sentence.text, mark)}
        if told is None:
            continue
        behind = there.get(index + 1, ()) if _hurts(said, index + 1) else None
        met = [mark for mark in own if meet(mark, told)]
        harms = behind is not None or any(mark.kind == "hazard" for mark in met)
        found.append(replace(told, kind="hazard" if harms else "damage"))
        gone |= {mark for mark in met if mark.kind in _WARNS | _INSTEAD}
        if _ONE_OFF.search(sentence.text):
            gone |= {mark for mark in met if mark.kind == "action"}
        gone |= {mark for mark in own if _KNOWN_BY_HEART.match(mark.text)}
        gone |= {mark for mark in behind or () if mark.kind in _WARNS | {"reason", "chatter"}}
    # "No wait, that's face to face" takes back, and forbids nothing.
    gone |= {mark for mark in marks if mark.kind in _WARNS and _TAKES_BACK.fullmatch(mark.text)}
    return with_others(marks, gone, found)


def _is_how(text: str, mark: Marked) -> bool:
    """Whether a warning only tells how a thing comes free or lies."""
    if mark.kind not in _WARNS:
        return False
    freed = _FREES.fullmatch(text) is not None and not _FORBIDDEN.search(text)
    return freed or (_LIES.search(mark.text) is not None and not _FORBIDDEN.search(mark.text))


def _hurts(said: Sequence[Sentence], index: int) -> bool:
    return index < len(said) and _HURTS.match(said[index].text) is not None


def _mishap(index: int, text: str) -> Marked | None:
    if one := _ONE_OFF.search(text):
        return _mark(index, text, one.start("told"), one.end("told"))
    begins = _TOO_MUCH.search(text) or _BEGINS.match(text)
    begin = begins.end() if begins else 0
    known = _ASK_ME.match(text, begin)
    if known is not None:
        return _mark(index, text, begin, known.end("what"))
    if any(one.match(text[begin:]) for one in (_WRONG, _ANY, _WITHOUT, _SPOILS)):
        stop = _END.search(text, begin)
        return _mark(index, text, begin, stop.start() if stop else len(text))
    return None


def _mark(index: int, text: str, begin: int, end: int) -> Marked:
    words = text[begin:end].rstrip(" ,")
    reason = f"{words[:40]!r} tells what goes wrong"
    return Marked(index, begin, begin + len(words), "damage", words, _SURE, reason)
