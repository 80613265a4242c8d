"""Values taken back in a sentence of their own: "450. Sorry, no, 450 is the boom. It's 380"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, alike, between, likely
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.corrections import (
    breaks_off,
    comes_out,
    explains_away,
    is_given_up,
    replaces,
    takes_back,
)
from author.proposals.quantities.numbers.tokens import Token

_LATER = 2
"""Sentences over which a value may be taken back."""


def correct_across(scenes: list[Scene]) -> None:
    """Let values that a sentence takes back give way to those that are meant."""
    for scene in scenes:
        if scene.amounts and (_owned_up(scenes, scene) or _thread_again(scenes, scene)):
            continue
        if scene.amounts and takes_back(scene.tokens, scene.amounts[0]):
            amount = scene.amounts[0]
            if amount.first == 0 and "corrected" in amount.flags:
                continue  # it took back a value of its own sentence
            _take_back(scenes, scene)
        elif not scene.amounts and scene.index and explains_away(scene.tokens):
            after = scenes[scene.index + 1] if scene.index + 1 < len(scenes) else None
            earlier = scenes[scene.index - 1].amounts
            if after and after.amounts and earlier and likely(earlier[-1], after.amounts[0]):
                _replaced(scenes, scene.index - 1, after.amounts[0])
        elif scene.amounts:
            _said_again(scenes, scene)


# "Did I say ten? It's nine": the wrong value is only said again.
_ECHO = re.compile(
    r"(?:(?:oh|no|wait|sorry|hang on|hold on|now|um|er)[, ]+)*"
    r"(?:(?:what )?did i (?:just )?say|have i said|i (?:just )?said)[, ]*"
)
_MEANT = re.compile(
    r"[?,.;:–— -]*(?:(?:no|oh|sorry|well|but|and|so|actually|of course)[, ]+)*"
    r"(?:i mean|i meant|i meant to say|it's|it is|that's|they're|make that|make it|that should be"
    r"|(?:it |they )?should be|(?:it |they )?(?:wants?|gets?)(?: to be)?)[, ]*"
)


def _owned_up(scenes: list[Scene], scene: Scene) -> bool:
    """Follow a value that is said again to be taken back: "did I say ten? I meant nine"."""
    echo, tokens = scene.amounts[0], scene.tokens
    if not _ECHO.fullmatch(between(tokens, 0, echo.first)):
        return False
    at = next((n for n in _before(scene.index) if scenes[n].amounts), None)
    old = scenes[at].amounts[-1] if at is not None else None
    if at is None or old is None or old.nominal is None:
        return False
    if "corrected" in echo.flags and echo.nominal != old.nominal and likely(old, echo):
        _replaced(scenes, at, echo)  # its own sentence has put the right one in its place
        return True
    after = scenes[scene.index + 1] if scene.index + 1 < len(scenes) else None
    if len(scene.amounts) > 1:
        new, words = scene.amounts[1], between(tokens, echo.last, scene.amounts[1].first)
    elif after and after.amounts:
        new, words = after.amounts[0], between(after.tokens, 0, after.amounts[0].first)
    else:
        return False
    if echo.nominal != old.nominal or new.nominal == old.nominal:
        return False
    if not (_MEANT.fullmatch(words) and likely(old, new)):
        return False
    scene.amounts.pop(0)
    _replaced(scenes, at, new)
    return True


# "Wait, no, these are M8, so 25 newton metres"
_NO_THESE = re.compile(
    r"(?:(?:oh|ah|and|but|well|hang on|hold on|wait|no|sorry|actually|scratch that|correction|hm)"
    r"[, .–—-]+)+(?:(?:these|those|they|this|that|it)(?:'s|'re| is| are)?|i mean(?:t)?|make that)?"
    r"(?: (?:an?|all|actually|the))*"
)
_SO = re.compile(
    r"(?:s\b)?[, ]*(?:(?:and|so|which is|that's|(?:they|these) (?:get|take|want)|it's|then)"
    r"(?: |$))*"
)
_BACK = 3


def _thread_again(scenes: list[Scene], scene: Scene) -> bool:
    """Follow a thread that takes the place of one before, with the torque that goes with it."""
    new, tokens = scene.amounts[0], scene.tokens
    opens = _NO_THESE.fullmatch(between(tokens, 0, new.first))
    denies = {token.low for token in tokens[: new.first]} & _DENYING
    if new.form != "thread" or not opens or not denies:
        return False
    earlier = scenes[max(0, scene.index - _BACK) : scene.index]
    place = next((one for one in reversed(earlier) if _last_of(one, new)), None)
    value = scene.amounts[1] if len(scene.amounts) > 1 else None
    follows = value is not None and _SO.fullmatch(between(tokens, new.last, value.first))
    if place is not None:
        place.amounts.remove(_last_of(place, new) or new)
    if value is None or not follows:
        return place is not None
    for one in reversed(earlier):
        if one.amounts and likely(one.amounts[-1], value) and one.amounts[-1].unit:
            _replaced(scenes, one.index, value)
            break
    return True


_DENYING = frozenset({"no", "wait", "sorry", "scratch", "correction", "actually"})


def _last_of(scene: Scene, like: Amount) -> Amount | None:
    """Return the last amount of a sentence of one form."""
    return next((one for one in reversed(scene.amounts) if one.form == like.form), None)


def _before(index: int) -> range:
    """Return the sentences before one, the last first, of which a value may be taken back."""
    return range(index - 1, max(-1, index - 1 - _LATER), -1)


_BETWEEN_TRIES = 3
"""Sentences without a value that may lie between a value taken back and the one that is meant."""
_SHORT = 9


def _said_again(scenes: list[Scene], scene: Scene) -> None:
    """Follow a value taken back in what comes after: "0.08, no, it moved. Again. 0.03"."""
    later = scenes[scene.index + 1 : scene.index + 2 + _BETWEEN_TRIES]
    meant = next((one for one in later if one.amounts), None)
    if meant is None:
        return
    aside = later[: meant.index - scene.index - 1]
    if any(len(one.words) > _SHORT for one in aside):
        return
    old, amount = scene.amounts[-1], meant.amounts[0]
    doubted = breaks_off(scene.tokens, old.last) or (aside and _only_stops(aside[0].tokens))
    if doubted and comes_out(meant.tokens, amount) and likely(old, amount):
        _replaced(scenes, scene.index, amount)


def _only_stops(tokens: list[Token]) -> bool:
    """Whether a sentence says no more than that the last value is in doubt: "Wait."."""
    return _STOPS.fullmatch(between(tokens, 0, len(tokens)).strip(" ,.?!…")) is not None


_STOPS = re.compile(
    r"(?:(?:no|oh|ah|er|um|but|well|now)[, ]+)?(?:wait|hang on|hold on|hang about|hold up|whoa"
    r"|whoops|oops|sorry|scratch that|that's (?:not right|wrong|not it)|no)"
    r"(?:[, .]+(?:wait|no|sorry|a (?:minute|second|sec|tick|moment)"
    r"|what am i (?:saying|on about)))*"
)


def _take_back(scenes: list[Scene], scene: Scene) -> None:
    """Let the first amount of a sentence take the place of the last one before it."""
    amount = scene.amounts[0]
    for back in (1, 2):
        earlier = scenes[scene.index - back].amounts if scene.index >= back else []
        if not earlier:
            continue
        old = earlier[-1]
        ahead = between(scene.tokens, 0, amount.first)
        if len(scene.amounts) > 1 and is_given_up(scene.tokens, old, amount, ahead):
            if likely(old, scene.amounts[1]):
                scene.amounts.pop(0)
                _replaced(scenes, scene.index - back, scene.amounts[0])
        elif _is_of_another(scene.tokens, old, amount):
            _go_on_without(scenes, scene, back)
        elif old.nominal is not None and old.nominal == amount.nominal:
            if amount.unit is None:  # said again, not taken back
                amount.unit = old.unit
                amount.flags.add("carried near")
        else:
            _replaced(scenes, scene.index - back, amount)
            # "Sorry, 120, 110's the small one": it was only said again to say what it is of.
            scene.amounts[1:] = [
                one for one in scene.amounts[1:] if not _is_of_another(scene.tokens, old, one)
            ]
        break


# "No, 60 is for the rear": not "60 is right", nor "60 is the figure".
_OF_ANOTHER = re.compile(
    r"(?:' ?s|is|was|goes|belongs) (?!the (?:right|correct|figure|number|one|value|spec|torque)\b)"
    r"(?:for|on|with|to|the|what|your|that|this)\b"
)


def _is_of_another(tokens: list[Token], before: Amount, amount: Amount) -> bool:
    """Whether a value of an earlier sentence is said again as one of another thing.

    Args:
        tokens: of the sentence that begins by taking something back.
        before: the last value before.
        amount: the first one of the sentence.
    """
    if before.nominal is None or before.nominal != amount.nominal or not alike(before, amount):
        return False
    behind = between(tokens, amount.last, min(amount.last + 6, len(tokens)))
    return _OF_ANOTHER.match(behind) is not None


def _go_on_without(scenes: list[Scene], scene: Scene, back: int) -> None:
    """Take back a value that is of another thing: "no, 60 is for the rear. The front is 45"."""
    old = scenes[scene.index - back].amounts[-1]
    rest = scene.amounts[1:]
    meant = next((one for one in scenes[scene.index + 1 :][:_LATER] if one.amounts), None)
    new = rest[0] if rest else meant.amounts[0] if meant else None
    if new is not None and likely(old, new):
        scene.amounts.pop(0)
        _replaced(scenes, scene.index - back, new)
        return
    if scene.amounts[0].unit is None:
        scene.amounts[0].unit = old.unit
        scene.amounts[0].flags.add("carried near")
    scenes[scene.index - back].amounts.pop()


def _replaced(scenes: list[Scene], index: int, amount: Amount) -> None:
    """Put an amount in the place of the last one of an earlier sentence, if it can stand there."""
    earlier = scenes[index].amounts
    old = earlier[-1]
    if not replaces(old, amount):
        return
    earlier.pop()
    for one in earlier:
        if one.unit is None and _leads_to(scenes[index].tokens, one, old):
            one.unit = old.unit
            one.flags.add("carried")
    _take_side(old, amount)


def _leads_to(tokens: list[Token], one: Amount, other: Amount) -> bool:
    """Whether a value is said in one breath with a later one: "sixty then one twenty"."""
    words = between(tokens, one.last, other.first).split()
    return bool(words) and words[0] in {"then", ","} and words[-1] in {"then", ","}


def _take_side(old: Amount, new: Amount) -> None:
    """Give a value the role of the one whose place it takes."""
    if new.role not in {"aim", "about", "measured"} or new.nominal is None:
        return
    new.role = old.role
    if old.role == "limits" and old.nominal is None:
        if old.lower is None:
            new.upper, new.nominal = new.nominal, None
        elif old.upper is None:
            new.lower, new.nominal = new.nominal, None
