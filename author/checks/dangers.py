"""Kinds of danger: words that signal one, and words by which a message speaks of it.

The signs are narrow, since a sign without a message is told; the words of a message are
wide, since a message that names a neighbouring kind has still been thought of.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from author.checks.text import Phrases

# "Wait until it is no longer hot" signals no heat.
_GONE = re.compile(
    r"\b(?:no longer|not(?: yet)?|isn['’]t|never|without|free (?:of|from)|no|cooled)\s*$",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Danger:
    """One kind of danger.

    Attributes:
        name: what it is called in a remark.
        sign: words in a step that signal it.
        spoken: words in a hazard message that speak of it.
    """

    name: str
    sign: Phrases
    spoken: Phrases


@cache
def _dangers() -> tuple[Danger, ...]:
    return tuple(Danger(name, Phrases(sign), Phrases(spoken)) for name, sign, spoken in _LISTED)


_LISTED = (
    (
        "live parts",
        """live (wire|part|terminal|conductor|contact|circuit|cable|busbar)s?,
        (is|are|stays?|remains?|still) ([a-z]+ )?live, electric shock, high voltage,
        (is|are|stays?|remains?) (still )?energi[sz]ed, charged capacitors?,
        capacitors? ((still|can|may) )?(hold|keep|store|retain)s?""",
        """electr*, shock*, live, volt*, capacitor*, charge*, mains, terminal*, energi*, current,
        power*, short circuit, arc, batter*""",
    ),
    (
        "stored force",
        """springs? … under (tension|load|pressure|stress), (compressed|tensioned|preloaded|coiled)
        springs?, (jumps?|flies|fly|shoots?|pops?|snaps?|springs) out of (its|the|your),
        stor(ed|es) energy""",
        """spring*, tension*, stored, stores, jump*, fly, flies, flying, eject*, energy, snap*,
        recoil*, shoot*, compress*, force, whip*, press*""",
    ),
    (
        "pressure",
        """(still|are|is|stays?|remains?) under (high )?pressure, pressuri[sz]ed,
        (residual|trapped|stored) pressure, compressed air, high[- ]pressure (oil|jet|fluid)""",
        """pressur*, air, jet, spray*, inject*, burst*, hydraulic*, vent*, squirt*, gas, explo*,
        eye, eyes""",
    ),
    (
        "heat",
        """hot(?! and cold|[ -](wire|water|air|dip|roll|glue|melt|side|shoe|key|swap|spot|set)),
        scalding, boiling, molten, red-hot, (open|naked) flame, blow[- ]?(torch|lamp), glowing""",
        """hot, heat*, burn*, scald*, fire, flame*, steam, temperature, molten, warm*, boil*,
        glow*""",
    ),
    (
        "sharp edges",
        """(is|are|stays?|very|razor) sharp(?! (and|enough)\\b), razor-sharp,
        sharp (teeth|blades?|knife|knives|swarf|splinters?), (mind|despite|has|have|with)
        (the |its )?sharp edges?, (razor|planer|mower|jointer) (blades?|knife|knives)""",
        """sharp*, cut, cuts, cutting, edge*, blade*, teeth, tear*, knife, knives, glove*,
        lacerat*, splinter*, swarf""",
    ),
    (
        "falling or heavy loads",
        """(can|may|could|will|might|would) (fall(?! out)|topple|tip over|roll away),
        suspended load, raised (load|platform|boom|bucket|vehicle|lift), (is|are|very|too) heavy,
        weighs? ((about|over|more than) )?([3-9]\\d|\\d\\d\\d+) ?kg,
        (with|on|by|from) (the|an?) ([a-z]+ )?(hoist|crane)""",
        """fall*, drop*, weigh*, heavy, topple*, tip, tips, lift*, load*, slip*, slide*, jack*,
        roll*, crush*, hoist*, back, kilo*""",
    ),
    (
        "moving parts",
        """pinch points?, nip points?, moving parts?,
        rotating (parts?|shafts?|blades?|cutters?|spindles?),
        (engine|motor|machine|spindle|saw|fan|lathe) (is )?running(?! (lamp|light|hour|time)),
        (trap|pinch)(s|ped|es|ed)? (your )?(fingers?|hands?)""",
        """move, moves, moving, rotat*, turn*, drawn in, entangl*, pinch*, crush*, caught, nip,
        start*, trap*, fan, belt*, pulley*, run, runs, running, spin*, close*""",
    ),
    (
        "harmful substances",
        """acid(?![ -](free|brush|core|proof|resistant)), caustic, corrosive, toxic, poison(ous)?,
        (harmful|toxic|solvent|petrol|welding|flux) (fumes|vapou?rs?), breathe (the|in), asbestos,
        (brake|silica|lead|grinding|hardwood) dust, hydrofluoric, bleach""",
        """acid*, caustic, corros*, skin, eye, eyes, toxic, poison*, fume*, vapour*, vapor*,
        breath*, chemical*, lung*, gas, gases, dust, asbestos, inhal*, mask, burn*""",
    ),
    (
        "fire or explosion",
        """(in|highly )?flammable(?! cabinet), explosive, explodes?, catch(es)? fire, ignites?,
        (drain|pour|siphon|spill|empty|wash|clean)(s|ed|ing)? … (petrol|gasoline)""",
        """fire*, *flam*, burn*, explo*, ignit*, spark*, petrol, gasoline, fuel*, vapour*,
        vapor*""",
    ),
)  # fmt: skip


def signalled(text: str) -> list[tuple[Danger, str]]:
    """Return the kinds of danger a text signals, each with the words that do."""
    found: list[tuple[Danger, str]] = []
    for danger in _dangers():
        place = danger.sign.place(text)
        if place is not None and not _GONE.search(text[: place.start]):
            found.append((danger, text[place]))
    return found
