"""What is answered to the question what becomes of a part, as moves of the steps.

"Refitted in step 9" and "new one, with the cover" name the step; "refitted" alone leaves it open,
and it is asked for. Nothing is put into a step that nobody named.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from author.errors import InputError
from author.procedure.times import clock_text, read_clock
from author.proposals.orders.acts import Act
from author.proposals.proposal import Proposal, Question
from author.proposals.steps.parts_told import Move

FATE = "fate"
"""Name of the detail of a part that says what becomes of it, as somebody answered."""
STAYS_OFF = "stays off"

_SCRAPPED = re.compile(
    r"\b(?:scrap(?:ped)?|binned|discarded|junked|tossed|trashed|chucked(?: out| away)?"
    r"|thrown (?:away|out)|thr[eo]w (?:it |them )?(?:away|out)|(?:goes |go )?in the (?:bin|skip"
    r"|scrap))\b",
    re.IGNORECASE,
)
_LEFT_OFF = re.compile(
    r"\b(?:(?:stays?|stayed|left|leave|leaves|remains?|kept|keep) (?:it |them )?(?:off|out)\b"
    r"(?! the)|(?:is |are |it's )?not (?:re)?fitted(?: again| back)?"
    r"|(?:does not|doesn't|do not|don't|never) go(?:es)? back(?: on| in)?"
    r"|not put back(?: on| in)?)",
    re.IGNORECASE,
)
_NEW = re.compile(
    r"\b(?:(?:an? |the )?(?:brand )?new(?: ones?\b| part\b)?|replaced|replacement|renewed"
    r"|changed)\b"
    r"(?: (?:is |are |was |were )?(?:fitted|on|in|goes (?:on|in)))?",
    re.IGNORECASE,
)
_BACK = re.compile(
    r"\b(?:refit(?:s|ted)?|reinstalled|(?:fitted|goes|go|going|put|is|are|comes?) "
    r"(?:it |them )?(?:back|again)(?: on| in)?|back (?:on|in)|re-?used|used again"
    r"|(?:the )?same (?:ones?|part)"
    r"(?: (?:is |are )?(?:refitted|fitted|back(?: on| in)?|goes back(?: on| in)?))?)\b",
    re.IGNORECASE,
)
_COMES_OFF = re.compile(
    r"\b(?:(?:it |they )?(?:comes?|came|taken|is|are|pulled|lifted) (?:off|out)|removed|off|out)\b",
    re.IGNORECASE,
)
_STEP = re.compile(
    r"(?:\b(?:in|at|by|with|during) )?\b(?:the )?step (?:no\.? ?|number |#)?(?P<number>\d+)\b"
    r"|\bin the (?:very )?(?P<last>last) step\b"
    r"|(?:\b(?:in|at|by|from) )?(?:\b(?:the )?step )?\b(?P<id>[\w-]*-step-[\w-]+)"
    r"|(?:\b(?:in|at) )?(?:\b(?:the )?step )?(?:\bat )?\b(?P<clock>\d+:\d\d(?::\d\d)?(?:\.\d+)?)"
    r"|\b(?:together )?with (?:the |its )?(?P<part>[\w-]+(?: [\w-]+){0,3}?)(?=$|[,.;]| in step\b)",
    re.IGNORECASE,
)
_ALONE = re.compile(r"\W*(?P<number>\d+)\W*")
_NO_MORE = re.compile(
    r"(?:\W|\b(?:it|they|them|is|are|the|and|then|again|back|on|in|off|out|yes|to|fitted|one|old"
    r"|this|that|was|were|there|goes|good)\b)*",
    re.IGNORECASE,
)
_DENIED = re.compile(r"\b(?:not|never|no)\b|n't\b", re.IGNORECASE)
_OFF_REMEDY = (
    "Write what becomes of it, with the step: 'refitted in step 9', 'refitted at 3:12', 'new one "
    "in step 9', 'refitted with the cover', 'scrapped', 'stays off', or 'none'"
)
_ON_REMEDY = "Write 'new', or the step it comes off in: 'step 3' or '1:25', or 'none'"
_STEP_REMEDY = "Write the step by its number, 'step 9', or by its moment on the film, '3:12'"


@dataclass(frozen=True, slots=True)
class Becomes:
    """What becomes of a part by an answer.

    Attributes:
        fate: an act, or ``STAYS_OFF``.
        moves: what is put into steps, by the id of the step.
        besides: whether the answer tells more than that.
    """

    fate: str
    moves: tuple[tuple[str, Move], ...]
    besides: bool


def becomes(question: Question, answer: str, proposals: Sequence[Proposal]) -> Becomes:
    """Return what an answer to the question about a part tells.

    Args:
        question: what was asked, of a part.
        answer: what is answered to it.
        proposals: all that is proposed now and not refused.

    Raises:
        InputError: if it tells nothing that can be put into a step, or no step there is.
    """
    return _Reading(question, answer, proposals).becomes()


def with_moves(proposal: Proposal, moves: Sequence[tuple[str, Move]]) -> Proposal:
    """Return a step with what an answer puts into it; a part fitted as a new one, only as such."""
    more = [move for step, move in moves if step == proposal.id]
    new = {move.part for move in more if move.act == "replaces"}
    kept = [m for m in proposal.moves if not (m.act == "refits" and m.part in new)]
    kept += [move for move in more if move not in kept]
    return replace(proposal, moves=tuple(kept)) if more else proposal


class _Reading:
    """One answer, and the steps it may name."""

    def __init__(self, question: Question, answer: str, proposals: Sequence[Proposal]) -> None:
        self._question, self._answer, self._proposals = question, answer, proposals
        self._steps = [p for p in proposals if p.kind == "step"]
        self._at = [step.id for step in self._steps].index(question.about or "")
        part = next(p for p in proposals if p.id == question.part)
        own = [move for move in self._steps[self._at].moves if move.part == part.id]
        # Of what neither comes off there nor goes on is asked where a new one goes in.
        self._is_off = any(move.act == "removes" for move in own)
        self._part, self._known = part, part.detail(FATE) or (None if self._is_off else "replaces")
        self._count = max((move.count for move in own), default=1)
        self._rest = answer

    def becomes(self) -> Becomes:
        put_on = any(m.act in {"refits", "replaces"} for m in self._moves_here())
        fate = self._fitted() if put_on else self._off()
        return replace(fate, besides=_NO_MORE.fullmatch(self._rest) is None)

    def _moves_here(self) -> Iterator[Move]:
        return (m for m in self._steps[self._at].moves if m.part == self._part.id and m.certain)

    def _take(self, pattern: re.Pattern[str]) -> bool:
        """Whether the answer says something, which is told then."""
        found = pattern.search(self._rest)
        if found is None or _DENIED.search(self._rest[: found.start()]):
            return False
        self._rest = self._rest[: found.start()] + self._rest[found.end() :]
        return True

    def _off(self) -> Becomes:
        """Return what becomes of a part that came off."""
        step = self._step()
        if self._take(_LEFT_OFF):
            return Becomes(STAYS_OFF, (), besides=False)
        scrapped = self._take(_SCRAPPED)
        act: Act | None = "replaces" if self._take(_NEW) else None
        act = act or ("refits" if self._take(_BACK) and not scrapped else None)
        if act is None and step is not None and not scrapped and self._known:
            act = "refits" if self._known == "refits" else "replaces"
        if act is None and not scrapped:
            raise self._unread(_STEP_REMEDY if self._known else _OFF_REMEDY)
        if act is None:
            return Becomes("discards", self._moves((self._at, "discards")), besides=False)
        if step is not None and step < self._at and self._is_off:
            raise InputError(
                f"step {step + 1} comes before step {self._at + 1}, in which it comes off",
                remedy=_STEP_REMEDY,
            )
        thrown: list[tuple[int, Act]] = [(self._at, "discards")] if scrapped else []
        there: list[tuple[int, Act]] = [(step, act)] if step is not None else []
        return Becomes(act, self._moves(*thrown, *there), besides=False)

    def _fitted(self) -> Becomes:
        """Return where a part comes from that is only told to be fitted."""
        step = self._step()
        if self._take(_NEW):
            return Becomes("replaces", self._moves((self._at, "replaces")), besides=False)
        self._take(_COMES_OFF)
        if step is None:
            raise self._unread(_ON_REMEDY)
        if step > self._at:
            raise InputError(
                f"step {step + 1} comes after step {self._at + 1}, in which it is fitted",
                remedy=_ON_REMEDY,
            )
        return Becomes("removes", self._moves((step, "removes")), besides=False)

    def _moves(self, *acts: tuple[int, Act]) -> tuple[tuple[str, Move], ...]:
        part = self._part.id
        return tuple((self._steps[at].id, Move(act, part, self._count)) for at, act in acts)

    def _unread(self, remedy: str) -> InputError:
        return InputError(
            f"'{self._answer}' does not tell what becomes of the {self._part.text}", remedy=remedy
        )

    def _step(self) -> int | None:
        """Return the place of the step an answer names, or None if it names none.

        Raises:
            InputError: if there is no such step.
        """
        found = _ALONE.fullmatch(self._answer) or _STEP.search(self._answer)
        if found is None:
            return None
        named: Mapping[str, str | None] = found.groupdict()
        if named.get("last"):
            at: int | None = len(self._steps) - 1
        elif number := named.get("number"):
            at = int(number) - 1
            at = at if 0 <= at < len(self._steps) else None
        elif name := named.get("id"):
            at = next((n for n, s in enumerate(self._steps) if s.id == name), None)
        elif clock := named.get("clock"):
            at = self._at_moment(clock)
        else:
            return self._with_part(found, str(named.get("part")))
        if at is None:
            last = clock_text(self._steps[-1].end)
            raise InputError(
                f"'{self._answer}' names no step there is: they are 1 to {len(self._steps)}, the "
                f"last until {last}", remedy=_STEP_REMEDY,
            )  # fmt: skip
        self._rest = self._rest[: found.start()] + self._rest[found.end() :]
        return at

    def _at_moment(self, clock: str) -> int | None:
        """Return the step of a moment: the last on that recording that has begun by then."""
        moment, own = read_clock(clock), self._steps[self._at].recording
        begun = [n for n, s in enumerate(self._steps) if s.recording == own and s.start <= moment]
        until = max(s.end for s in self._steps if s.recording == own)
        return begun[-1] if begun and moment <= until else None

    def _with_part(self, found: re.Match[str], name: str) -> int | None:
        """Return the one step in which a part that is named goes on: "refitted with the cover"."""
        words = name.lower().split()
        parts = {p.id for p in self._proposals
                 if p.kind == "part" and p.text.lower().split()[-len(words):] == words}  # fmt: skip
        acts = {"refits", "replaces"}
        on = [
            n
            for n, step in enumerate(self._steps)
            if any(m.act in acts and m.certain and m.part in parts for m in step.moves)
        ]
        if len(on) != 1:
            return None
        self._rest = self._rest[: found.start()] + self._rest[found.end() :]
        return on[0]
