"""Base forms of the verbs and nouns that are heard in a shop.

A table of irregular forms and the rules of spelling do for the few hundred verbs that take
things apart and put them together; a library of word forms brings megabytes of data for words
that are never needed here.
"""

from __future__ import annotations

from functools import cache

from author.checks.verbs import VERBS
from author.checks.verbs import words as _words

# Orders that are given in talk and hardly in writing.
_TALK = _words(
    """
    bash belt bin blast bolt bring buff bust buy button catch chase chuck click come crack dab ditch
    dob dunk ease eyeball fish flick flip flood flush get go grab grip heave hoover jack jog junk
    knock lash leave lob loctite lube muscle nip nudge peel ping plonk plop poke pop prod prise
    rattle reef rig rip roll rub scrap screw shove shuffle sling slap slather slip slop smack smear
    snip snug spin spray squish stick stuff swap thread throw thump toss trash tug twiddle twist
    unclip undo unhook unplug unstick unwind whack whip wiggle winkle work worry wriggle yank toss
    recess relieve torque rethread retorque unthread unpin unstake unpeg uncrimp unsolder reseal
    tighten loosen wet mic mike scribe clock bleed
    skim shim degrease solder tin crimp strip fettle dress
    stretch pre-load preload rest reassemble unbolt backlight offer sit pump scrunch feed lower
    raise tear use repeat measure watch wear drill tap cut knurl deburr
    aim anneal kill prove bang batter bench-test burnish clonk coax cross-check crosscheck daub
    de-tension decant deglaze degunk detension douse drape dry-fit fling hand-tighten heat-shrink
    jimmy lock-out persuade preheat pre-heat prefill pre-fill rap scooch scoot sew shimmy shine
    spritz swill test-fit tweak untuck waggle wrangle
    """
)
KNOWN_VERBS = VERBS | _TALK
# Forms that no rule of spelling gives.
_IRREGULAR = {
    form: base
    for base, forms in {
        "be": "am is are was were been being", "bend": "bent", "bind": "bound",
        "bite": "bit bitten",
        "bleed": "bled", "blow": "blew blown", "break": "broke broken", "bring": "brought",
        "build": "built", "buy": "bought", "catch": "caught", "choose": "chose chosen",
        "come": "came", "dig": "dug", "do": "did done does", "draw": "drew drawn",
        "drive": "drove driven", "fall": "fell fallen", "feed": "fed", "fling": "flung",
        "get": "got gotten", "give": "gave given", "go": "went gone goes", "hang": "hung",
        "have": "had has", "hear": "heard", "hide": "hid hidden", "hold": "held", "keep": "kept",
        "know": "knew known", "lay": "laid", "lead": "led", "leave": "left", "lie": "lay lain",
        "lose": "lost", "make": "made", "meet": "met", "put": "putting", "ride": "rode ridden",
        "run": "ran running", "say": "said", "see": "saw seen", "send": "sent",
        "shake": "shook shaken", "show": "shown", "sit": "sat", "slide": "slid",
        "sling": "slung", "spin": "spun", "stand": "stood", "stick": "stuck",
        "strike": "struck", "string": "strung", "sweep": "swept", "swing": "swung",
        "take": "took taken", "tear": "tore torn", "tell": "told", "throw": "threw thrown",
        "undo": "undid undone undoes", "unwind": "unwound", "wear": "wore worn",
        "wind": "wound", "withdraw": "withdrew withdrawn", "write": "wrote written",
        "find": "found", "feel": "felt", "grind": "ground", "shine": "shone", "tie": "tying",
        "unstick": "unstuck", "redo": "redid redone", "rewind": "rewound", "think": "thought",
        "freeze": "froze frozen", "sew": "sewn",
        "rebuild": "rebuilt", "remake": "remade", "shrink": "shrank shrunk", "sink": "sank sunk",
    }.items()
    for form in forms.split()
}  # fmt: skip
# Forms that are names of things or say how things are far oftener than what was done.
UNSURE_FORMS = _words("bit bound felt found ground lay left saw worn lead bore broken stuck")
_VOWELS = frozenset("aeiou")


@cache
def base_of(word: str) -> str | None:
    """Return the base form of a verb, or None where the word is no form of a known verb.

    Args:
        word: in small letters.

    Returns:
        ``take`` for ``took``, ``tap`` for ``tapping``, ``tape`` for ``taping``.
    """
    if word in KNOWN_VERBS:
        return word
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    for ending in ("ing", "ed", "es", "s"):
        if word.endswith(ending) and len(word) > len(ending) + 1:
            found = _known(_stems(word[: -len(ending)], ending))
            if found is not None:
                return found
    if word.startswith("re") and len(word) > 5:
        rest = base_of(word[2:].removeprefix("-"))
        return None if rest is None else word[: 3 if word[2] == "-" else 2] + rest
    return None


def _known(stems: tuple[str, ...]) -> str | None:
    return next((stem for stem in stems if stem in KNOWN_VERBS), None)


def _stems(stem: str, ending: str) -> tuple[str, ...]:
    """Return what a form may be made of, the likeliest first."""
    if ending == "s":
        return (stem,)
    if ending == "es":
        return (stem, stem + "e", stem[:-1] + "y" if stem.endswith("i") else stem)
    if len(stem) > 2 and stem[-1] == stem[-2] and stem[-1] not in _VOWELS:
        return (stem[:-1], stem) if stem not in KNOWN_VERBS else (stem, stem[:-1])
    if ending == "ed" and stem.endswith("i"):
        return (stem[:-1] + "y",)
    if _short(stem):
        return (stem + "e", stem)
    return (stem, stem + "e")


def _short(stem: str) -> bool:
    """Whether a stem would double its last letter before "-ing": "taping" is of "tape"."""
    return (
        len(stem) >= 3
        and stem[-1] not in _VOWELS | {"w", "x", "y"}
        and stem[-2] in _VOWELS
        and stem[-3] not in _VOWELS
    )


def is_ing(word: str) -> bool:
    """Whether a word is the "-ing" form of a known verb."""
    return word.endswith("ing") and base_of(word) not in {None, word}


# Things that are named in the plural even where there is one.
_ALWAYS_PLURAL = _words(
    """
    pliers glasses goggles snips scissors shears cutters croppers strippers crimpers tweezers
    calipers callipers tongs forceps overalls grips parallels scales gloves earmuffs defenders
    earplugs feelers nippers thinners jump-leads wipes clippers
    """
)
_NOT_PLURAL = _words(
    "lens brass glass gas chassis bus abs axis class press mass canvas series flux"
)
_ODD_PLURALS = {
    "knives": "knife", "blades": "blade", "halves": "half", "shelves": "shelf", "feet": "foot",
    "teeth": "tooth", "axes": "axis", "leaves": "leaf", "dies": "die", "vanes": "vane",
    "valves": "valve", "sleeves": "sleeve", "bushes": "bush", "torches": "torch",
}  # fmt: skip


@cache
def singular(noun: str) -> str:
    """Return a noun as it is for one thing; pliers stay pliers."""
    if noun in _ODD_PLURALS:
        return _ODD_PLURALS[noun]
    if noun in _ALWAYS_PLURAL or noun in _NOT_PLURAL or len(noun) < 4 or noun[-1] != "s":
        return noun
    if noun.endswith(("ss", "us", "is")):
        return noun
    if noun.endswith("ies"):
        return noun[:-3] + "y"
    if noun.endswith(("ches", "shes", "sses", "xes", "zes")):
        return noun[:-2]
    return noun[:-1]


def with_g(word: str) -> str:
    """Return "bearing" for "bearin'", and other words as they are."""
    return f"{word[:-1]}g" if word.endswith(("in'", "in’")) else word
