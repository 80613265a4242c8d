"""What a technician puts right in the next breath: "from the left. Sorry, from the right".

The last word stands in the place of the first; without that a new hire follows what was taken back.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from author.checks.verbs import words
from author.proposals.kinds.marks import Marked
from author.proposals.language.closed_words import NUMBERS
from author.proposals.language.loose_words import read
from author.proposals.language.taken_back import BEGS_PARDON, HALTS, OWNS_UP, UNSAYS
from author.proposals.orders.wording import Order
from author.proposals.speech.spoken import Sentence

_BACK = rf"(?:{OWNS_UP}|{UNSAYS}|{BEGS_PARDON}|wait|i mean|or rather)"
_HUMS = rf"(?:(?:oh|ah|er|um|well|{HALTS})[,. ]+)*"
# "No filter in this one" takes nothing back: behind "no" alone there is a pause.
_LEAD = re.compile(
    rf"{_HUMS}(?:no(?:[,.]+ *| (?={_BACK}))(?:{_BACK}[,. ]+)*"
    rf"|{_BACK}[,. ]+(?:(?:no|{_BACK})[,. ]+)*)"
    r"(?:(?:it's|it is|that's|they're|it goes|make that|that should be) )?",
    re.IGNORECASE,
)
_NOT_THAT = re.compile(
    r"\bno,? not (?:(?:on|from|to|in) )?(?:the )?(?P<wrong>\w+),? (?:but )?"
    r"(?P<right>(?:the )?[^,.;]+)",
    re.IGNORECASE,
)
# "With the lip facing out, sorry, facing in"
_IN_BETWEEN = re.compile(
    rf",? (?:no,? {_BACK}|{_BACK})[,. ]+(?:(?:no|{_BACK})[,. ]+)*", re.IGNORECASE
)
_CLAUSE = re.compile(r"[^,.;:]+")
# "It's the older ones that are left-hand, this one's right-hand"
_THIS_ONE = re.compile(
    r"(?:[^,.;:]+[,;] ){0,2}(?:but |and )?(?:(?:on |with )?this (?:one|type|model|pump|unit)"
    r"(?:'s| is|,? it's| has| goes)|these(?: ones)?(?: are|,? they're| have| go)|this is|ours is"
    r"|ours are) (?P<right>[^,.;:]+)",
    re.IGNORECASE,
)
_WAYS = words("from to on in into onto behind under over towards with through at facing pointing")
# "Push the motor back, no, the drum side"; "leave it on. Actually, no".
_TAKEN_BACK = re.compile(
    rf"\b(?:no,? wait|no|i mean|{UNSAYS}|{BEGS_PARDON}|{OWNS_UP})\W*$", re.IGNORECASE
)
_BEGINS_ANEW = re.compile(
    rf"(?:(?:oh|ah|well|{HALTS})[, ]+)*(?:actually,? no|no,? (?:wait|actually|{UNSAYS}|{HALTS}"
    rf"|{OWNS_UP})|{UNSAYS}|wait,? (?:no|not yet))\b",
    re.IGNORECASE,
)
_ARTICLES = words("the a an")
_OPPOSITES = (
    ("left", "right"), ("clockwise", "anticlockwise"), ("clockwise", "counterclockwise"),
    ("top", "bottom"), ("upper", "lower"), ("front", "rear"), ("front", "back"),
    ("inside", "outside"), ("inner", "outer"), ("above", "below"), ("behind", "in front of"),
    ("upwards", "downwards"), ("inwards", "outwards"), ("facing in", "facing out"),
    ("faces in", "faces out"),
    ("up", "down"),
)  # fmt: skip
_MOST, _LONGEST = 14, 60
"""Words of what puts right, and of what is put right: nobody takes back more in one breath."""
_FEW = 6
"""Words of what is said in place of another: more is told besides."""
_ONLY_SAYS = frozenset({"inspection", "chatter"})
_FACES = frozenset({"orientation", "order"})
_SAYS_AGAIN = _FACES | {"reason"}


_NOT_BUT = re.compile(
    r"(?:no|sorry|wait|hang on)\W+(?:sorry\W+|wait\W+)?not (?P<wrong>[\w.-]*\w),? "
    r"(?:but |it's |that's )?(?P<right>[\w.-]*\w)",
    re.IGNORECASE,
)


def correction_in(text: str) -> str | None:
    """Return what a sentence says in place of what was said before it, or None."""
    lead = _LEAD.match(text)
    if lead is None:
        return None
    this, found = _THIS_ONE.match(text, lead.end()), _CLAUSE.match(text, lead.end())
    told = this["right"] if this else found[0] if found else ""
    return told.strip() or None


def put_right(wrong: str, right: str) -> str | None:
    """Return words with what was said in place of a part of them, or None where nothing fits.

    Args:
        wrong: what was said first: "Fit the bearing with the sealed side facing the impeller."
        right: what is said in its place: "sealed side facing the motor".
    """
    if len(right.split()) > _MOST or len(wrong.split()) > _LONGEST:
        return None
    if right.lower() in wrong.lower():
        return wrong
    return _begun_alike(wrong, right) or _turned(wrong, right) or _named(wrong, right)


def _begun_alike(wrong: str, right: str) -> str | None:
    """Put in what begins with the same words: "from the right" for "from the left"."""
    said = right.split()
    for many in range(len(said) - 1, 0, -1):
        if many == 1 and (said[0].lower() not in _WAYS or said[1].lower() in _ARTICLES):
            return None
        begin = r"\s+".join(map(re.escape, said[:many]))
        ahead = [*re.finditer(rf"\b{begin}\b(?P<rest>[^,.;]*)", wrong, re.IGNORECASE)]
        if ahead and ahead[-1]["rest"].strip():
            last = ahead[-1]
            shown = right if last.start() else f"{right[:1].upper()}{right[1:]}"
            return f"{wrong[: last.start()]}{shown}{wrong[last.end() :]}"
    return None


def _turned(wrong: str, right: str) -> str | None:
    """Turn a way round: "the bottom one" for "the top nut"."""
    if len(right.split()) > _FEW:
        return None
    if re.search(r"\bfaces\b", wrong):  # "the lip faces out. No, facing in"
        right = right.replace("facing", "faces")
    for pair in _OPPOSITES:
        for one, other in (pair, pair[::-1]):
            said = re.search(rf"\b{other}\b", right, re.IGNORECASE)
            first = re.compile(rf"\b{one}\b", re.IGNORECASE)
            if said and first.search(wrong) and not first.search(right):
                return first.sub(other, wrong, count=1)
    return None


def _named(wrong: str, right: str) -> str | None:
    """Put in another of the same name: "the steel washer" for "the copper washer"."""
    said = [word for word in right.split() if word.lower() not in _ARTICLES]
    if len(said) not in {2, 3}:
        return None
    found = re.search(
        rf"\b(the|an?) (?:[\w-]+ ){{0,2}}?{re.escape(said[-1])}\b", wrong, re.IGNORECASE
    )
    return wrong.replace(found[0], f"{found[1]} {' '.join(said)}", 1) if found else None


def put_number_right(wrong: str, said: Sequence[Sentence], index: int) -> str:
    """Return words with the number that the next sentence puts in place of theirs.

    Args:
        wrong: what was said first: "first to ten, then to twenty-two newton metres".
        said: all that was said; behind it for instance "Sorry, not twenty-two, twenty."
        index: the sentence that says it first.
    """
    behind = said[index + 1] if index + 1 < len(said) else None
    if behind is None or behind.recording != said[index].recording:
        return wrong
    found = _NOT_BUT.match(behind.text)
    if found is None:
        return wrong
    return re.sub(rf"\b{re.escape(found['wrong'])}\b", found["right"], wrong)


def put_right_within(text: str, wrong: str) -> str:
    """Return an order with what its own sentence puts right.

    Args:
        text: the sentence: "take some off the inside face, no, not the inside, the outer end".
        wrong: the order made of it.
    """
    found = _NOT_THAT.search(text)
    if found is None:
        back = _IN_BETWEEN.search(text)
        told = _CLAUSE.match(text, back.end()) if back else None
        return (told and put_right(wrong, told[0].strip())) or wrong
    first = re.compile(rf"\b(?:the )?{re.escape(found['wrong'])}\b[^,.]*", re.IGNORECASE)
    return first.sub(found["right"].strip(), wrong, count=1)


def rather(found: list[Order], new: list[Order], mark: Marked, ahead: str) -> list[Order]:
    """Return the orders of a clause; what the words before it take back is found no more.

    Args:
        found: the orders of the sentence before it, of which the last may go.
        new: its own.
        mark: the clause.
        ahead: the words of the sentence between both.
    """
    if not found or not _TAKEN_BACK.search(ahead):
        return new
    if [one.action for one in new] == ["Wait."]:
        return []  # "no, wait, pointing to the left"
    first = found.pop()
    right = put_right(first.action, mark.text.strip(" ,."))
    return [replace(first, action=right)] if right else new


def put_order_right(orders: dict[int, tuple[Order, ...]], index: int, text: str) -> None:
    """Take up what a sentence puts right of the one before: another way, or begun anew.

    Args:
        orders: what is done, by sentence; changed where something is put right.
        index: of the sentence.
        text: the sentence.
    """
    before = orders.get(index - 1, ())
    told = correction_in(text)
    for order in reversed(before if told else ()):
        if right := put_right(order.action, str(told)):
            orders[index - 1] = tuple(replace(o, action=right) if o is order else o for o in before)
            return
    if _BEGINS_ANEW.match(text) and not _tells_number(text):
        _take_back(orders, index - 1)


def _take_back(orders: dict[int, tuple[Order, ...]], index: int) -> None:
    """Take back the last order of a sentence."""
    left = orders.pop(index, ())[:-1]
    if left:
        orders[index] = left


def _tells_number(text: str) -> bool:
    return any(word.isdigit() or word in NUMBERS for word in re.findall(r"\w+", text.lower()))


# "Tighten it to ten, | wait, no, twelve": the clause ends before the number that stands.
_NUMBER = "|".join(sorted({*NUMBERS, "point", "half"}, key=len, reverse=True))
_ANOTHER = re.compile(
    rf"\W+(?:(?:{OWNS_UP}|{UNSAYS}|{BEGS_PARDON}|{HALTS}|wait|no|i mean|or rather|actually)"
    r"\b[,. ]+)+"
    rf"(?:(?:it's|that's|make (?:it|that)) )?(?P<another>(?:\d|(?:{_NUMBER})\b)[^,.;]*)",
    re.IGNORECASE,
)


def _to_its_number(mark: Marked, text: str, begins: Sequence[int]) -> Marked:
    """Return a clause with the number that stands, said behind the one that was taken back."""
    found = _ANOTHER.match(text, mark.end) if mark.end + 2 < len(text) else None
    if found is None:
        return mark
    end = min([found.end(), *(at for at in begins if found.start("another") < at < found.end())])
    whole = text[mark.begin : end].rstrip(" ,;")
    taken = len(read(whole)) < len(read(mark.text)) + len(read(text[found.start() : end]))
    return replace(mark, end=mark.begin + len(whole), text=whole) if taken else mark


def with_put_right(said: Sequence[Sentence], marks: Sequence[Marked]) -> list[Marked]:
    """Return what clauses say with the ways round that the next sentence puts right.

    Args:
        said: what was said.
        marks: kinds of its clauses, in the order of the sentences.
    """
    right = {
        index - 1: told
        for index, sentence in enumerate(said)
        if index
        and sentence.recording == said[index - 1].recording
        and (told := correction_in(sentence.text)) is not None
    }
    found: list[Marked] = []
    again: set[tuple[int, str]] = set()
    begins: dict[int, list[int]] = {}
    for each in marks:
        begins.setdefault(each.sentence, []).append(each.begin)
    for each in marks:
        text = said[each.sentence].text
        mark = _to_its_number(each, text, begins[each.sentence])
        within = _NOT_THAT.search(text)
        if within and within.start() <= mark.begin < within.end() and mark.kind != "action":
            continue  # "not the inside, the outer end" warns of nothing
        if mark.kind in _SAYS_AGAIN and any(
            at == mark.sentence and mark.text.lower().endswith(told) for at, told in again
        ):
            continue
        for_it = right.get(mark.sentence - 1) if not mark.begin else None
        if for_it and mark.kind in _ONLY_SAYS and put_right(said[mark.sentence - 1].text, for_it):
            continue  # "no, lip facing in" looks at nothing, and is no talk
        back = _IN_BETWEEN.search(text, mark.begin)
        clause = _CLAUSE.match(text, back.end()) if back else None
        told, at = right.get(mark.sentence), mark.sentence + 1
        if clause is not None:
            told, at = clause[0].strip(), mark.sentence
        made = put_right(mark.text, told) if told and mark.kind in _FACES else None
        if told and made:
            again.add((at, told.lower()))
        found.append(replace(mark, text=made) if made else mark)
    return found
