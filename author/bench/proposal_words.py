"""What a person calls the kinds of proposals, one of them or many, and a proposal in a sentence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from author.bench.words import translate
from author.proposals.draft.entries import NOTHING
from author.proposals.proposal import KINDS, Proposal, ProposalKind

FEW = 2
"""How many are told one by one: a proposal, and its step with it."""
_LONGEST = 70
"""Letters of a proposal that are told in a sentence."""
_CUT = "…"


def kind_words() -> dict[ProposalKind, str]:
    """Return what a person calls the kinds of proposals."""
    return {
        "step": translate("ProposalWords", "Step"),
        "hazard": translate("ProposalWords", "Warning"),
        "measurement": translate("ProposalWords", "Number"),
        "part": translate("ProposalWords", "Part"),
        "tool": translate("ProposalWords", "Tool"),
        "supply": translate("ProposalWords", "Supply"),
        "inspection": translate("ProposalWords", "Looked at"),
        "orientation": translate("ProposalWords", "Which way round"),
        "order": translate("ProposalWords", "In what order"),
        "count": translate("ProposalWords", "How many"),
        "hidden": translate("ProposalWords", "Hidden"),
        "decision": translate("ProposalWords", "Decision"),
        "prerequisite": translate("ProposalWords", "Before the job"),
        "follow_on": translate("ProposalWords", "After the job"),
        "deferred": translate("ProposalWords", "Left for later"),
        "reason": translate("ProposalWords", "Reason"),
        "off_camera": translate("ProposalWords", "Not filmed"),
        "preview": translate("ProposalWords", "Preview, left out"),
        "chatter": translate("ProposalWords", "Talk, left out"),
    }


def counted(proposals: Iterable[Proposal]) -> str:
    """Return how many of each kind there are: ``3 steps, 1 number``."""
    one, many = _one_words(), _many_words()
    found = Counter(p.kind for p in proposals)
    kinds = [kind for kind in KINDS if found[kind]]
    return ", ".join(
        one[kind] if found[kind] == 1 else many[kind].replace("%1", str(found[kind]))
        for kind in kinds
    )


def called(proposal: Proposal) -> str:
    """Return a proposal as a sentence names it: ``Number “runout of the rim: at most 0.1 mm”``."""
    words = translate("ProposalWords", "%1 “%2”")
    if proposal.kind in NOTHING:
        words = translate("ProposalWords", "%1: “%2”")
    words = words.replace("%1", kind_words()[proposal.kind])
    return words.replace("%2", brief(proposal.text, is_number=proposal.kind == "measurement"))


def told(proposals: Sequence[Proposal]) -> str:
    """Return proposals as a sentence names them: few by their words, many counted."""
    return "; ".join(map(called, proposals)) if len(proposals) <= FEW else counted(proposals)


def brief(text: str, *, is_number: bool = False, most: int = _LONGEST) -> str:
    """Return a text short enough for a sentence.

    Args:
        text: the text.
        is_number: whether it is a name, a colon and a value: the name gives way to the value.
        most: letters there is room for.
    """
    text = text.rstrip(".")
    if len(text) <= most:
        return text
    name, colon, value = text.rpartition(": ")
    room = most - len(colon + value)
    if is_number and colon and room >= most // 3:
        return f"{_begun(name, room)}{colon}{value}"
    return _begun(text, most)


def _begun(text: str, most: int) -> str:
    if len(text) <= most:
        return text
    return text[: most - 1].rsplit(" ", 1)[0].rstrip(" ,;:") + _CUT


def _one_words() -> dict[ProposalKind, str]:
    return {
        "step": translate("ProposalWords", "1 step"),
        "hazard": translate("ProposalWords", "1 warning"),
        "measurement": translate("ProposalWords", "1 number"),
        "part": translate("ProposalWords", "1 part"),
        "tool": translate("ProposalWords", "1 tool"),
        "supply": translate("ProposalWords", "1 supply"),
        "inspection": translate("ProposalWords", "1 thing looked at"),
        "orientation": translate("ProposalWords", "1 way round"),
        "order": translate("ProposalWords", "1 order of doing it"),
        "count": translate("ProposalWords", "1 count"),
        "hidden": translate("ProposalWords", "1 hidden thing"),
        "decision": translate("ProposalWords", "1 decision"),
        "prerequisite": translate("ProposalWords", "1 thing before the job"),
        "follow_on": translate("ProposalWords", "1 thing after the job"),
        "deferred": translate("ProposalWords", "1 thing left for later"),
        "reason": translate("ProposalWords", "1 reason"),
        "off_camera": translate("ProposalWords", "1 thing not filmed"),
        "preview": translate("ProposalWords", "1 preview"),
        "chatter": translate("ProposalWords", "1 piece of talk"),
    }


def _many_words() -> dict[ProposalKind, str]:
    return {
        "step": translate("ProposalWords", "%1 steps"),
        "hazard": translate("ProposalWords", "%1 warnings"),
        "measurement": translate("ProposalWords", "%1 numbers"),
        "part": translate("ProposalWords", "%1 parts"),
        "tool": translate("ProposalWords", "%1 tools"),
        "supply": translate("ProposalWords", "%1 supplies"),
        "inspection": translate("ProposalWords", "%1 things looked at"),
        "orientation": translate("ProposalWords", "%1 ways round"),
        "order": translate("ProposalWords", "%1 orders of doing it"),
        "count": translate("ProposalWords", "%1 counts"),
        "hidden": translate("ProposalWords", "%1 hidden things"),
        "decision": translate("ProposalWords", "%1 decisions"),
        "prerequisite": translate("ProposalWords", "%1 things before the job"),
        "follow_on": translate("ProposalWords", "%1 things after the job"),
        "deferred": translate("ProposalWords", "%1 things left for later"),
        "reason": translate("ProposalWords", "%1 reasons"),
        "off_camera": translate("ProposalWords", "%1 things not filmed"),
        "preview": translate("ProposalWords", "%1 previews"),
        "chatter": translate("ProposalWords", "%1 pieces of talk"),
    }
