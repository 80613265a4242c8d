"""What is said once proposals were accepted: what was taken up, and where it stands now."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from author.bench.field_words import field_words
from author.bench.proposal_words import FEW, brief, called, counted, told
from author.bench.words import capital, translate
from author.editing import Address
from author.proposals.proposal import Proposal
from author.tasks.proposal_entries import Taken
from author.tasks.taking_out import TakenOut

NumberOf = Callable[[str], int | None]
"""Gives the number of a step of the document by its id."""


def taken_words(
    result: Taken, done: Sequence[Proposal], was: Mapping[str, str], number_of: NumberOf
) -> str:
    """Return what came of accepting proposals, as sentences.

    Args:
        result: what came of it.
        done: the proposals that are in the document now.
        was: the text of those that were changed, as it was proposed, by id.
        number_of: gives the number of a step.
    """
    words = []
    if done:
        accepted = translate("TakenWords", "Accepted: %1.")
        words.append(accepted.replace("%1", taken_up(result, done, was, number_of)))
        if result.command is None and result.places:
            words.append(_there_words(done, result.places, number_of))
    words += [_otherwise_words(result, other, number_of) for other in result.otherwise][:1]
    if result.waiting:
        words.append(_waiting_words(len(result.waiting)))
    if result.problems:
        words += _problem_words(result)
    return " ".join(words)


def refused_words(
    result: TakenOut, refused: Sequence[Proposal], left: Sequence[Proposal], number_of: NumberOf
) -> str:
    """Return what came of refusing proposals, as sentences.

    Args:
        result: what came of it.
        refused: the proposals that are refused now.
        left: those that stay accepted: what stands of them is not as it was made.
        number_of: gives the number of a step.
    """
    words = []
    if refused:
        said = translate("TakenWords", "Refused: %1. It is found under “Refused”.")
        if len(refused) > 1:
            said = translate("TakenWords", "Refused: %1. They are found under “Refused”.")
        words.append(said.replace("%1", told(refused)))
    gone = [p for p in refused if p.id in result.gone]
    if gone:
        out = translate("TakenWords", "Taken out of the procedure: %1.")
        words.append(out.replace("%1", _each_where(gone, result.gone, number_of)))
    stays = [p for p in (*refused, *left) if p.id in result.stays]
    if stays:
        there = translate("TakenWords", "Still in the procedure, to be taken out there: %1.")
        words.append(there.replace("%1", _each_where(stays, result.stays, number_of)))
    otherwise = [p for p in left if p.id not in result.stays]
    if otherwise:
        by_now = translate("TakenWords", "Told otherwise by now, to be taken out by hand: %1.")
        words.append(by_now.replace("%1", told(otherwise)))
    return " ".join(words)


def _each_where(
    some: Sequence[Proposal], places: Mapping[str, Address], number_of: NumberOf
) -> str:
    """Return where each of a few stands; many counted."""
    if len(some) > FEW:
        return counted(some)
    return "; ".join(dict.fromkeys(_where(places[p.id], number_of) for p in some))


def taken_up(
    result: Taken, done: Sequence[Proposal], was: Mapping[str, str], number_of: NumberOf
) -> str:
    """Return what was accepted: few each by its words and place, many counted."""
    if len(done) <= FEW:
        return "; ".join(_one(p, result.places.get(p.id, ()), was, number_of) for p in done)
    at = {place[1] for p in done if p.kind != "step" and _in_step(place := _of(result, p))}
    if not at:
        return counted(done)
    steps = [p for p in done if p.kind == "step"]
    claims = [p for p in done if p.kind != "step" and _in_step(_of(result, p))]
    rest = [p for p in done if p not in claims and p not in steps]
    if len(at) == 1:
        words = translate("TakenWords", "%1 in step %2")
        words = words.replace("%2", str(number_of(str(*at))))
    else:
        words = translate("TakenWords", "%1 in %2 steps").replace("%2", str(len(at)))
    told = [counted(steps), words.replace("%1", counted(claims)), counted(rest)]
    return ", ".join(part for part in told if part)


def _of(result: Taken, p: Proposal) -> Address:
    return result.places.get(p.id, ())


def _in_step(place: Address) -> bool:
    return len(place) > 1 and place[0] == "steps"


def _one(p: Proposal, place: Address, was: Mapping[str, str], number_of: NumberOf) -> str:
    words = called(p)
    if p.id in was:
        changed = translate("TakenWords", "%1 in place of “%2”").replace("%1", words)
        words = changed.replace("%2", brief(was[p.id], is_number=p.kind == "measurement"))
    where = _where(place, number_of)
    return f"{words} ({where})" if where else words


def _where(place: Address, number_of: NumberOf) -> str:
    """Return where something stands: ``step 3``, ``step 3, Torques``, ``list “Parts”``."""
    if not place:
        return ""  # what is left out stands nowhere
    if not _in_step(place):
        return translate("TakenWords", "list “%1”").replace("%1", field_words(str(place[0])))
    words = translate("TakenWords", "step %1").replace("%1", str(number_of(str(place[1]))))
    return f"{words}, {_group_words(str(place[2]))}" if len(place) > 2 else words


def _group_words(key: str) -> str:
    """Return what the job sheet calls a group of a step."""
    titles = {
        "hazards": translate("Sheet", "Hazards"),
        "specs": translate("Sheet", "Measurements"),
        "torques": translate("Sheet", "Torques"),
        "ladder": translate("Sheet", "Ways"),
    }
    return titles.get(key) or field_words(key)


def _otherwise_words(result: Taken, name: str, number_of: NumberOf) -> str:
    words = translate("TakenWords", "Step %1 says otherwise too: “%2”. Take one of them out.")
    step = str(result.places[name][1])
    return words.replace("%1", str(number_of(step))).replace("%2", result.otherwise[name])


def _there_words(
    done: Sequence[Proposal], places: Mapping[str, Address], number_of: NumberOf
) -> str:
    if len(done) == 1 and done[0].kind == "step":
        words = translate("TakenWords", "It is step %1 already.")
        return words.replace("%1", str(number_of(str(places[done[0].id][1]))))
    if len(done) == 1:
        return translate("TakenWords", "It stood there already.")
    return translate("TakenWords", "All stood there already.")


def _waiting_words(count: int) -> str:
    if count == 1:
        return translate("TakenWords", "One belongs to a step that is not accepted yet.")
    words = translate("TakenWords", "%1 belong to steps that are not accepted yet.")
    return words.replace("%1", str(count))


def _problem_words(result: Taken) -> list[str]:
    count, problem = len(result.problems), next(iter(result.problems.values()))
    first = translate("TakenWords", "%1 have to be changed first, as:").replace("%1", str(count))
    return [*([first] if count > 1 else []), capital(str(problem))]
