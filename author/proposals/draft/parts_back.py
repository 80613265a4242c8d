"""Parts that come off and are not told to go back, and the other way round, as questions."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from author.procedure.times import clock_text
from author.proposals.draft.lines import line
from author.proposals.proposal import Asked, Proposal, Question
from author.proposals.steps.states_told import is_back

# The shop hangs them on for the job, and takes them off for good.
_LENT = frozenset(
    {
        "lock", "padlock", "tag", "label", "ratchet strap", "strap", "sling", "lifting sling",
        "prop", "chock", "wheel chock", "axle stand", "jack stand", "cover sheet",
    }
)  # fmt: skip
MOST_TOLD = 12
"""Things named in one question at most."""
_BACK = r"\b(?:back|up|together|assembl\w+|reassembl\w+|refit\w*|rebuild\w*)\b[^.;]{0,40}?"
_CAME = r"(?:it|they|that|everything|it all) (?:all )?(?:came|went|comes|come) (?:off|out|apart)"
_TAKING = (
    rf"(?:removal|removing|dismantling|stripping|strip-?down|disassembly|taking|how|what|{_CAME})"
)
# All of it, in so many words.
_REVERSED = re.compile(
    rf"\b(?:reverse|opposite|backwards) (?:order )?(?:of|to|from) (?:the )?(?:way )?{_TAKING}\b"
    r"|\b(?:reassembly|assembly|refitting|putting it (?:all )?back(?: together)?|going back "
    r"together) is (?:just |simply |basically )?(?:the |a |all )?(?:reverse|opposite|same "
    r"backwards)\b",
    re.IGNORECASE,
)
# One part or all of it: "back in reverse order", "together the way it came apart".
_BACK_AGAIN = re.compile(
    rf"{_BACK}\b(?:in (?:the )?(?:exact )?(?:reverse|opposite)(?! gear)\b"
    rf"|(?:just )?(?:how|(?:the |same )+way) {_CAME})",
    re.IGNORECASE,
)
_ALL = re.compile(
    r"\b(?:all|everything|the lot|whole (?:thing|lot|job)|together|the rest|reassembl\w+)\b", re.I
)
_NOT_SO = re.compile(
    r"\b(?:not|never|don't|isn't|won't|doesn't|if|unless|so that)\b", re.IGNORECASE
)


def ask(
    about: Proposal,
    weight: int,
    text: str,
    asks: Asked = "told",
    *,
    several: bool = False,
    of: str = "",
) -> Question:
    """Return a question about a proposal.

    Args:
        about: what it is about.
        weight: how bad it is to leave it open.
        text: the question.
        asks: what kind of answer fits.
        several: whether it is asked of others too.
        of: what a number that is asked for is called.
    """
    return Question(text, about.recording, about.start, weight, about.id, asks, several, of)


def _in_reverse(proposals: Sequence[Proposal]) -> Proposal | None:
    """Return where all is said to go back in the reverse of how it came off, or None."""
    for one in proposals:
        if one.kind in {"part", "tool", "supply", "measurement", "preview"}:
            continue
        again = _BACK_AGAIN.search(one.said) if _ALL.search(one.said) else None
        found = _REVERSED.search(one.said) or again
        if found and not _NOT_SO.search(_clause(one.said, found)):
            return one
    return None


def _clause(said: str, found: re.Match[str]) -> str:
    begin = max(said.rfind(sign, 0, found.start()) for sign in ",;.!?") + 1
    return said[begin : found.end()]


def _before(step: Proposal, other: Proposal) -> bool:
    return step.recording == other.recording and step.start <= other.start


@dataclass(slots=True)
class _Booked:
    """What the steps surely do with parts, with the first step that does it."""

    off: dict[str, Proposal] = field(default_factory=dict)
    on: dict[str, Proposal] = field(default_factory=dict)
    scrapped: set[str] = field(default_factory=set)
    new: set[str] = field(default_factory=set)


def _booked(steps: Sequence[Proposal]) -> _Booked:
    book = _Booked()
    for step in steps:
        for move in (move for move in step.moves if move.certain):
            if move.act == "removes":
                book.off.setdefault(move.part, step)
            elif move.act == "discards":
                book.scrapped.add(move.part)
            else:
                book.on.setdefault(move.part, step)
            if move.act == "replaces":
                book.new.add(move.part)
    return book


def of_parts(steps: Sequence[Proposal], proposals: Sequence[Proposal]) -> Iterator[Question]:
    """Yield the questions about parts that come off or go on, and nothing is told of the other.

    Where all is said to go back in the order it came off, no part is known to have been
    forgotten, nor in which order it goes: one question lists them all.

    Args:
        steps: the steps proposed.
        proposals: all that is proposed.
    """
    names = {p.id: p.text for p in proposals if p.kind == "part"}
    # "Don't order the hub, we reused it": that it goes back is said.
    back = {p.id for p in proposals if p.kind == "part" and p.detail("ordered") == "no"}
    fates = {p.id: fate for p in proposals if p.kind == "part" and (fate := p.detail("fate"))}
    book = _booked(steps)
    off, on = book.off, book.on
    said = _Words(proposals)
    reverse = _in_reverse(proposals)
    left: list[tuple[str, Proposal]] = []
    never: dict[tuple[str, bool], tuple[Proposal, list[str]]] = {}
    for part, step in off.items():
        name = names.get(part, "")
        known = part in on or part in back or name.lower() in _LENT or _is_back(name, step, said)
        if part in names and part in fates:
            if fates[part] in _IN_WHICH and part not in on:
                yield _which_step(step, name, part, str(fates[part]))
        elif part in names and not known and reverse and _before(step, reverse):
            if part not in book.scrapped:
                left.append((names[part], step))
        elif part in names and not known:
            never.setdefault((step.id, part in book.scrapped), (step, []))[1].append(part)
    yield from _never_in(steps, proposals, book)
    for (_, gone), (step, those) in never.items():
        yield _never_back(step, {part: names[part] for part in those}, 70 if gone else 85)
    if reverse is not None:
        listed = ", ".join(f"{name} (off at {clock_text(step.start)})" for name, step in left[::-1])
        yield ask(
            reverse, 88, f"“{line(reverse.said, 80)}” is said at {clock_text(reverse.start)}: "
            "write the order of refitting down, step by step, with torques and what is new"
            + (f". Off and not said to go back, last off first: {listed}." if listed else "."),
            several=True,
        )  # fmt: skip
    unknown = [part for part in on if part in names and part not in off and part not in book.new]
    if unknown:
        yield _never_off({part: (names[part], on[part]) for part in unknown})


def _never_back(step: Proposal, names: Mapping[str, str], weight: int) -> Question:
    """Return the question about what comes off in one step and is never said to go back."""
    when, each = clock_text(step.start), []
    for part, name in names.items():
        one = ask(
            step, weight, f"The {name} comes off at {when} and is never said to go back: is "
            "the same one refitted, is a new one fitted, or is it left off?", "part"
        )  # fmt: skip
        each.append(replace(one, part=part))
    if len(each) == 1:
        return each[0]
    *first, last = names.values()
    whole = ask(
        step, weight, f"The {', '.join(first)} and {last} come off at {when} and are never said to "
        "go back: which are refitted, which are new, and which are left off?", "part", several=True
    )  # fmt: skip
    return replace(whole, parts=tuple(each))


def _never_in(
    steps: Sequence[Proposal], proposals: Sequence[Proposal], book: _Booked
) -> Iterator[Question]:
    """Yield the question about what is to be new and of which no step fits any."""
    each = []
    for part in (p for p in proposals if p.kind == "part" and not p.detail("fate")):
        renewed = part.detail("ordered") == "yes" or part.id in book.scrapped
        kit = part.detail("kit") or _KIT.search(part.text)
        if not renewed or part.id in {*book.off, *book.on} or kit:
            continue
        step = _nearest(part, steps)
        if step is not None:
            text = (
                f"The {part.text} is to be renewed ({clock_text(part.start)}), and no step fits a "
                "new one: in which step does it go in?"
            )
            each.append((part, replace(ask(step, 70, text, "part"), part=part.id)))
    if len(each) > 1:
        told = ", ".join(f"{p.text} ({clock_text(p.start)})" for p, _ in each[:MOST_TOLD])
        more = f" and {len(each) - MOST_TOLD} more" if len(each) > MOST_TOLD else ""
        text = (
            f"To be renewed, and no step fits new ones: {told}{more}. In which steps do they go in?"
        )
        first = each[0][1]
        yield replace(first, text=text, several=True, part="", parts=tuple(q for _, q in each))
    else:
        yield from (question for _, question in each)


def _nearest(part: Proposal, steps: Sequence[Proposal]) -> Proposal | None:
    """Return the step in which a part is first told of, or the one before that."""
    own = next((step for step in steps if step.id in part.steps), None)
    before = [s for s in steps if s.recording == part.recording and s.start <= part.start]
    return own or next(iter(before[-1:] or steps[:1]), None)


_KIT = re.compile(r"\b(?:kit|set)s?$", re.IGNORECASE)


def _which_step(step: Proposal, name: str, part: str, act: str) -> Question:
    """Return the question in which step a part goes back of which is known that it does."""
    text = f"The {name} comes off at {clock_text(step.start)}. {_IN_WHICH[act]}?"
    return replace(ask(step, 84, text, "part"), part=part)


def _never_off(fitted: Mapping[str, tuple[str, Proposal]]) -> Question:
    """Return the question about what is fitted and never said to come off."""
    each = []
    for part, (name, step) in fitted.items():
        one = ask(
            step, 45, f"Fitted and never said to come off: {name} ({clock_text(step.start)}). Is "
            "it new, or in which step does it come off?", "part"
        )  # fmt: skip
        each.append(replace(one, part=part))
    if len(each) == 1:
        return each[0]
    some = list(fitted.values())
    told = ", ".join(f"{name} ({clock_text(step.start)})" for name, step in some[:MOST_TOLD])
    more = f" and {len(some) - MOST_TOLD} more" if len(some) > MOST_TOLD else ""
    whole = ask(
        some[0][1], 45, f"Fitted and never said to come off: {told}{more}. Which of them "
        "are new, and where do the others come off?", "part", several=True,
    )  # fmt: skip
    return replace(whole, parts=tuple(each))


_IN_WHICH = {
    "refits": "The same one is refitted: in which step",
    "replaces": "A new one is fitted: in which step",
    "discards": "It is scrapped: in which step is a new one fitted, or does it stay off",
}


class _Words:
    """Where each word is said, things that are only named and previews left out."""

    def __init__(self, proposals: Sequence[Proposal]) -> None:
        self._places: dict[str, list[Proposal]] = {}
        for p in proposals:
            if p.kind not in {"part", "tool", "supply", "preview"}:
                for word in dict.fromkeys(_WORD.findall(p.said.lower())):
                    self._places.setdefault(word, []).append(p)

    def with_one_of(self, words: Sequence[str]) -> Iterator[Proposal]:
        """Yield what says one of some words, in small letters; what says two, twice."""
        for word in words:
            yield from self._places.get(word, ())


_WORD = re.compile(r"\w+")


def _is_back(name: str, off: Proposal, said: _Words) -> bool:
    """Whether it is said later that a part is back, though not as an order: "that's the lid on"."""
    ends = _WORD.findall(name.lower())[-1:]
    if not ends:
        return False
    return any(
        p.recording == off.recording and p.start >= off.start and is_back(p.said, name)
        for p in said.with_one_of((ends[0], f"{ends[0]}s", f"{ends[0]}es"))
    )
