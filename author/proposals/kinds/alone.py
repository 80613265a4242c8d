"""Decides whether a sentence is nothing but talk, or only announces what comes later."""

from __future__ import annotations

from collections.abc import Sequence

from author.checks.verbs import words
from author.proposals.kinds.marks import Hit
from author.proposals.language.plain_words import NUMBER_WORDS, Plain
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import (
    CLEAR,
    TALK,
    base_of_going,
    base_of_past,
    base_of_third,
)

# Kinds that a sentence is not thrown away over, if they are sure.
_CONTENT = frozenset(
    {
        "hazard", "damage", "inspection", "decision", "orientation", "count", "hidden",
        "prerequisite", "follow_on", "deferred", "off_camera", "order",
    }
)  # fmt: skip
# What is sold, or who came in: nothing else is in such a sentence.
_SOLD = 99
_SELF = words("i i'm i've i'd i'll my me we're our us myself mine you guys folks everyone")
_SOCIAL = words(
    """
    y'all folks guys legends friends everyone everybody hello g'day sorry colleague love holy cow
    truth eh gosh clear lesson english dear peace mom mum dude man hobby fun beautiful stinks trick
    ready excited honest bless cheers bloody wow god lord mate mates lads yes nobody anybody
    question questions quite good
    """
)
_NEEDS = words("need needa want wanna must hafta gotta wait should maximum minimum too needs")
_PURE_WORK = (
    (CLEAR | words("wait weep turn use"))
    - (TALK - words("wait turn use"))
    - words("clean raise lower choose follow enter continue entertain")
)
_TIMES_OF_LIFE = words(
    """
    years ago always never remember love hate guess think suppose reckon bet hope wish glad sorry
    honest honestly funny weird boss wife dog weather tea coffee lunch beer music radio grandad
    dad uncle apprentice favourite favorite friends comments video videos camera tripod channel
    film filming youtube weekend tonight yesterday morning christmas auction bored tired hungry
    sister brother son daughter granny grandma gran neighbour neighbor cousin uncle kid kids school
    wedding birthday holiday holidays weather rain raining snow sunshine sun cold hot tired coffee
    pizza biscuit biscuits cake sandwich breakfast dinner pub beer wine whisky football telly
    television cat kitten puppy chicken chickens spider wasp pigeon neighbours shed garage quid
    bucks money price cheap expensive bargain ebay auction museum history grandfather father
    mother nephew niece husband phone email emails letter letters website internet
    happy laugh joke name called story lovely gorgeous nobody anybody everybody
    """
)


# Said about the work though no part is named.
_OF_WORK = words(
    """
    it's click that's this one these those out off home side other same next axle new loose tight
    worn scrap junk done seated turn turns inch inches millimetre thou degrees bar psi newton number
    """
)


def names_a_thing(said: Plain) -> bool:
    """Whether a part or a supply is named in a sentence."""
    known = trade_words()
    return any(known.kind_of(word) in {"part", "supply"} for word in said.words)


def _names_no_work(said: Plain) -> bool:
    """Whether no part, tool, supply, work or number is named in a sentence."""
    if len(said.words) > 3 and _SOCIAL.isdisjoint(said.words):
        return False
    if not _OF_WORK.isdisjoint(said.words):
        return False
    known = trade_words()
    for word in said.words:
        if word[0].isdigit() or word in NUMBER_WORDS:
            return False
        if known.kind_of(word) in {
            "part",
            "tool",
            "supply",
            "weak",
            "feature",
        }:
            return False
        for base in (word, base_of_going(word), base_of_past(word), base_of_third(word)):
            if base in _PURE_WORK:
                return False
    return True


def stands_alone(
    said: Plain,
    talk: Sequence[Hit],
    ahead: Sequence[Hit],
    others: Sequence[Hit],
    todo: Sequence[Hit],
    measured: bool,
) -> Hit | None:
    """Return what shows that a sentence is only talk or only announces, or None.

    Args:
        said: the words of the sentence.
        talk: signs of chatter.
        ahead: signs of a preview.
        others: signs of anything else but actions.
        todo: actions that are left.
        measured: whether a quantity is spoken in it.
    """
    sold = next((hit for hit in talk if hit.weight >= _SOLD), None)
    if sold is not None or (todo and max(one.weight for one in todo) >= 50):
        return sold
    best_talk = max(talk, key=lambda hit: hit.weight, default=None)
    best_ahead = max(ahead, key=lambda hit: hit.weight, default=None)
    content = [hit for hit in others if hit.kind in _CONTENT]
    best_content = max(content, key=lambda hit: hit.weight, default=None)
    if best_talk is not None and best_content is not None and (
        best_talk.weight < 96 and best_content.weight >= 86
        and best_content.kind in {"off_camera", "prerequisite", "follow_on", "deferred", "hazard"}
    ):  # fmt: skip
        best_talk = None
    # What names a job to come or a hurt outweighs a friendly word beside it.
    strong = max((hit.weight for hit in content), default=0)
    if best_ahead is not None and best_ahead.weight >= 60:
        told = {hit.kind for hit in content}
        plain_list = best_ahead.first <= 8 or told <= {"order", "inspection"}
        sure = not content or (best_ahead.weight >= 90 and plain_list)
        if sure and not told & {"hazard", "follow_on", "prerequisite", "deferred"}:
            return best_ahead
    if best_talk is not None and best_talk.weight < 90 and names_a_thing(said):
        best_talk = None
    if best_talk is not None:
        clear = best_talk.weight - (25 if measured and best_talk.weight < 96 else 0)
        if clear > strong - 4 and (strong == 0 or clear >= 90):
            return best_talk
        return None
    if content or others or todo or measured or best_ahead is not None:
        return None
    if _names_no_work(said):
        return Hit(
            "chatter", 0, len(said.words), 56, "names nothing of the job: '{}'", "nothing_of_job"
        )
    personal = sum(word in _SELF for word in said.words)
    living = sum(word in _TIMES_OF_LIFE for word in said.words)
    if (
        living
        and (personal or living > 1)
        and len(said.words) > 3
        and not names_a_thing(said)
        and not (_NEEDS & set(said.words))
    ):
        return Hit(
            "chatter",
            0,
            len(said.words),
            62,
            "tells of people and not of the work: '{}'",
            "of_people",
        )
    return None
