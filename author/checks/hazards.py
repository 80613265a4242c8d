"""Hazard messages are whole, come first and say what they mean; energy is off before work."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from author.checks.clauses import orders, without_asides
from author.checks.dangers import signalled
from author.checks.remarks import Path, Remark, Subject, remark
from author.checks.signals import hurts, misplaced_number, misplaced_warning, only_damages
from author.checks.text import Phrases, sentences, tokens
from author.procedure.document import PlacedStep, Procedure
from author.procedure.steps import Hazard, Step

_SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")
_POWER = Phrases(
    """
    mains, electric*(?! (screwdriver|tape|contact cleaner|grease)s?), motors?, switch(ed)? (on|off),
    start button, plug is in, plugged in, press start,
    spindle (starts|runs|turns) (up|by itself|on),
    power(ed)?(?! (tools?|steering|drills?|screwdrivers?|factor)), voltage, hydraulic pressure,
    (can|may|could|might) start, starts? (up|by itself|at any time|unexpectedly), unexpected start
    """
)
# "Lock and tag the switch" isolates; a lock nut or a locking ring does not, nor does a hose.
_ISOLATED = Phrases(
    """
    lock(ed|s|ing|out)?
    (?![ -]?(nuts?|washers?|rings?|wires?|screws?|bolts?|pins?|plates?|tabs?|collars?)\\b),
    padlock*, isolat*, unplug*, de-?energi*, disconnect* … (batter*|suppl*|mains|power|plug|
    electric*|machine|motor|cord|cable*|it), (pull|take|draw|remov)* … (plug|fuses?|batter(y|ies)
    |power cord)(?! (of|cap|cover|hole)\\b), plug … (out|pulled)
    """
)
_FORBIDS = frozenset({"don't", "never", "not"})
_TAKES_APART = re.compile(
    r"^\W*(remove|undo|unscrew|unbolt|dismantle|disassemble|take\b[^.;]{0,40}\b(off|out|apart)\b)",
    re.IGNORECASE,
)
# Kinds of stored energy: its name, what tells of it, and what takes it away or holds it.
_STORED = tuple(
    (name, Phrases(told), Phrases(f"{taken}, stored energy"))
    for name, told, taken in (
        (
            "a tensioned spring",
            """springs? … (under (tension|load|stress)|stores?|compressed|preloaded), stor(ed|es)
            energy, (compressed|tensioned|preloaded) springs?""",
            """releas*, reliev*, slack*, back(ed)? off, unload*, unhook*, detension*, relax*,
            let … (off|down), compressor, caged?, tension … (off|back|out), decompress*""",
        ),
        (
            "pressure",
            """(residual|trapped|stored|hydraulic) pressure, (stays?|still|remains?|is|are) under
            (high )?pressure, pressuri[sz]ed, pressure … (stays|remains|is left), accumulator""",
            """releas*, reliev*, vent*, bleed*, bled, drain*, depressuri*, blown? down,
            let … (out|off), pressure … (off|zero|out|down), no pressure""",
        ),
        (
            "a raised load",
            "raised (load|table|bed|platform|boom|bucket|arm|ram|vehicle|lift), suspended load",
            """lower*, block*, chock*, prop, props, propped, support*, stands?, cradle*, secur*,
            rest, rests, rested, set … down""",
        ),
        (
            "a charged capacitor",
            """capacitors? … (holds?|keeps?|stores?|retains?|stays?|remains?|charged?),
            charged capacitors?""",
            "discharg*, short, shorted, bleed*, bled",
        ),
    )
)


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on hazards.

    Rules about English words ask nothing of a procedure in another language.
    """
    procedure = subject.procedure
    placed = list(procedure.placed_steps())
    for path, message in _messages(procedure, placed):
        if message.consequence is None and message.signal != "NOTICE":
            yield remark(
                "hazards.no_consequence",
                f"the {message.signal} message does not say what happens",
                path,
            )
    if not any(_messages(procedure, placed)):
        yield remark("hazards.none", "there is no hazard message at all", ("general_hazards",))
    yield from _order(procedure.general_hazards, ("general_hazards",))
    for one in placed:
        yield from _order(one.step.hazards or (), (*one.path, "hazards"))
    if procedure.language == "en" or procedure.language.startswith("en-"):
        yield from _energy(procedure, placed)
        yield from _meaning(procedure, placed)
        yield from _signs(procedure, placed)


def _messages(procedure: Procedure, placed: Sequence[PlacedStep]) -> Iterator[tuple[Path, Hazard]]:
    for index, message in enumerate(procedure.general_hazards):
        yield ("general_hazards", index), message
    for one in placed:
        for index, message in enumerate(one.step.hazards or ()):
            yield (*one.path, "hazards", index), message


def _order(messages: Sequence[Hazard], path: Path) -> Iterator[Remark]:
    ranks = [_SIGNALS.index(message.signal) for message in messages]
    for index in range(1, len(ranks)):
        if ranks[index] < ranks[index - 1]:
            first, second = messages[index - 1].signal, messages[index].signal
            yield remark("hazards.order", f"{second} stands behind {first}", (*path, index))
            return


def _energy(procedure: Procedure, placed: Sequence[PlacedStep]) -> Iterator[Remark]:
    """Look for power and stored energy, and for the steps that take them away."""
    actions = [one.step.action for one in placed]
    ordered = [_ordered(one.step) for one in placed]
    before = [prerequisite.what for prerequisite in procedure.prerequisites]
    hazards = [message.hazard for _, message in _messages(procedure, placed)]
    words = " ; ".join([*actions, *hazards])
    done = " ; ".join([*ordered, *before])
    if _POWER.search(words):
        if not _ISOLATED.search(done):
            said = "power is named, but no step isolates it"
            yield remark("hazards.isolation", said, ("sections",))
        elif not _ISOLATED.search(" ; ".join(before)):
            yield from _isolated_late(placed)
    for name, named, taken in _STORED:
        if named.search(words) and not taken.search(done):
            said = f"{name} is named, but no step relieves or holds it"
            yield remark("hazards.stored_energy", said, ("sections",))


def _ordered(step: Step) -> str:
    """Return the action, and what the note orders: a draft has there what else is done."""
    told = [
        said
        for said in sentences(step.note or "")
        if _FORBIDS.isdisjoint(words := without_asides(tokens(said))) and orders(words)
    ]
    return " ; ".join([step.action, *told])


def _isolated_late(placed: Sequence[PlacedStep]) -> Iterator[Remark]:
    for one in placed:
        if _ISOLATED.search(one.step.action):
            return
        told = _ISOLATED.search(_ordered(one.step)) is not None
        first = told and (one.step.note or "").startswith("First")
        if told and (first or not _takes_apart(one.step)):
            return
        if _takes_apart(one.step):
            said = "the machine is taken apart here, before the step that isolates it"
            yield remark("hazards.isolated_late", said, (*one.path, "action"))
            return


def _takes_apart(step: Step) -> bool:
    moves = any(movement.act in {"removes", "destroys"} for movement in step.ledger or ())
    return moves or _TAKES_APART.search(step.action) is not None


def _meaning(procedure: Procedure, placed: Sequence[PlacedStep]) -> Iterator[Remark]:
    """Look at what each message says."""
    for path, message in _messages(procedure, placed):
        if message.signal == "NOTICE":
            harm = hurts(message.consequence or "")
            if harm is not None:
                said = f"the NOTICE tells of harm to people: '{harm}'"
                yield remark("hazards.notice_hurts", said, (*path, "signal"))
        elif message.consequence is not None:
            harm = only_damages(message.consequence, message.hazard)
            if harm is not None:
                said = f"the {message.signal} tells of damage to things alone: '{harm}'"
                yield remark("hazards.only_damage", said, (*path, "signal"))
        for key in ("hazard", "consequence", "avoid"):
            number = misplaced_number(getattr(message, key) or "")
            if number is not None:
                said = f"the message holds what belongs in a step: '{number}'"
                yield remark("hazards.holds_step", said, (*path, key))


def _signs(procedure: Procedure, placed: Sequence[PlacedStep]) -> Iterator[Remark]:
    """Look for danger in the words of steps, told too late or not at all."""
    general = [_said(message) for message in procedure.general_hazards]
    heard: list[str] = []
    told: set[str] = set()
    section = -1
    for one in placed:
        if one.section_index != section:
            section, heard, told = one.section_index, list(general), set()
        heard.extend(_said(message) for message in one.step.hazards or ())
        for place, text in _texts(one.step):
            late = None if place[0] == "criteria" else misplaced_warning(text)
            if late is not None:
                said = f"'{late}' is read when the work is under way"
                yield remark("hazards.too_late", said, (*one.path, *place))
                continue
            for danger, sign in signalled(text):
                if danger.name in told or any(danger.spoken.search(words) for words in heard):
                    continue
                told.add(danger.name)  # once in a section is enough
                said = f"'{sign}' signals {danger.name}, and no message speaks of it"
                yield remark("hazards.no_message", said, (*one.path, *place))


def _said(message: Hazard) -> str:
    return f"{message.hazard} {message.consequence or ''} {message.avoid}"


def _texts(step: Step) -> Iterator[tuple[Path, str]]:
    for key in ("action", "reason", "note"):
        text = getattr(step, key)
        if text is not None:
            yield (key,), text
    for index, criterion in enumerate(step.criteria or ()):
        for key in ("look_for", "accept", "otherwise"):
            yield ("criteria", index, key), getattr(criterion, key)
