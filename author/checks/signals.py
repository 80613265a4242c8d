"""What hazard messages tell of, and warnings that stand where no message is."""

from __future__ import annotations

import re

from author.checks.text import Phrases

_HURTS = Phrases(
    """
    injur*, kills?, killed, deaths?, deadly, fatal*, electrocut*, lethal, electric(al)? shock,
    (loss of|lose[sd]?) (sight|hearing|(an|the) eye|(a|the) finger), blindness, amputat*, lacerat*,
    suffocat*, asphyxia*, scalds?, scalded, scalding, bruis*, burns?( to| on| of)?( the| your)?
    (skin|hands?|fingers?|face|eyes?), your (hands?|fingers?|eyes?|feet|foot|legs?|arms?|face|skin
    |lungs|head|back|body|hearing), (fingers?|toes?|skin) (and [a-z]+ )?(are|is|get|can
    |may|will|could), (feet|legs|arms) are (crushed|trapped|pinched|cut|burnt|hurt),
    hands (and [a-z]+ )?(are|get|can|may|will|could), eyes (are|get|can|may|will),
    (crush|cut|pinch|tear|trap|hurt|break)(s|ed|es)?( off)?( the| your)?
    (fingers?|hands?|toes?|feet|foot|arms?|legs?|skin),
    (people|persons?|bystanders?|operators?|somebody|someone|anybody|anyone|fitter|technician
    |rider|driver) (is|are|gets?|can|may|could|will|falls?|slips?|trips?)
    """
)
# Any of these lets a message pass as one about people: part of a body, or what may hit one.
_MAY_HURT = Phrases(
    """
    injur*, kill*, death*, dead*, dies?, died, fatal*, lethal*, shock*, burn*, scald*, blind*,
    deaf*, bruis*, cut, cuts, cutting, crush*, pinch*, lacerat*, amputat*, suffocat*, asphyx*,
    poison*, wound*, sprain*, strain*, hurt*, harm*, fall*, drop*, slip*, trip*, toppl*, tips?,
    collaps*, fly, flies, flying, shoot*, eject*, explo*, burst*, fire, ignit*, flam*, spray*,
    squirt*, jump*, fling*, flung, hits?, strik*, snap*, whip*, start*, runs? away,
    comes? (off|loose|down), lets? go, breaks? (off|loose|apart), shatter*, splinter*, live,
    electr*, gas, fume*, smoke*, toxic*, vapou?r*, hot, steam, loss of (control|brak*), brake*,
    braking, steer*, crash*, throw*, trap*, caught, drawn in, entangl*, releas*, people, person*,
    operator*, rider*, driver*, user*, you, your, somebody, someone, fitter*, bystander*,
    fingers?, hands?, eyes?, skin, face, feet, foot, legs?, arms?, lungs?, toes?, hearing, sight
    """
)
_DAMAGES = Phrases(
    """
    damag*, scratch*, dent, dents, dented, bends?, bent, crack, cracks, cracked, warp*, strips?,
    stripped, leaks?, seize[sd]?, wears?, worn, corrod*, rusts?, stain*, jams?, jammed, rumbles?,
    spoil*, ruin*, void*, distort*, score[sd]?, chips?, chipped, gall*, overheat*, swell*, shear*,
    snags?, fail, fails, failed, breaks?, broken
    """
)
_TOO_LATE = re.compile(
    r"\b(?:(?i:warning|caution|danger|attention)\s*[:!–—]|(?:WARNING|CAUTION|DANGER)\s+(?=[A-Za-z])"
    r"(?!(?i:label|light|lamp|sign|plate|tag|tape|mark|sticker|notice|zone|area))"
    r"|(?i:be\s(?:very\s)?(?:careful|cautious)|beware|watch\sout|look\sout\sfor|watch\syour"
    r"|mind\s(?:your|the)\s(?:fingers?|hands?|head|feet|back|eyes?|edges?|sharp|blades?|teeth"
    r"|spring)))"
)
_LENGTH = "(mm|µm|um|thou|in|inch|inches|thousandths)"
_PLAY = "(clearance|gap|play|backlash|runout|end float|tolerance|interference)"
_IN_MESSAGE = Phrases(
    f"""
    (±|[+]/-|plus or minus) ?#, # ?(N·m|Nm|N[.]m|lbf·ft|lbf·in|ft-lb|lb-ft|in-lb|lb-in),
    (set|adjust|shim|gap|gauge|measure|tighten|torque|trim|grind|machine|ream|tension|inflate)
    … # ?({_LENGTH}|bar|psi|kPa|°|degrees?|turns?|N·m|N), {_PLAY} … # ?{_LENGTH},
    # ?{_LENGTH} (of )?{_PLAY}, step 1 … step 2
    """
)
_NUMBERED = re.compile(r"(?:^|\s)\(?([1a])[.)]\s.*\s\(?([2b])[.)]\s")
_NUMERAL = re.compile(r"\d|±|\ba\)")


def hurts(consequence: str) -> str | None:
    """Return the words of a consequence that tell of harm to people, or None."""
    return _HURTS.search(consequence)


def only_damages(consequence: str, hazard: str) -> str | None:
    """Return the words that tell of damage to things where nothing tells of people, or None.

    Args:
        consequence: what happens.
        hazard: what can do harm; a part that falls or flies may hit somebody.
    """
    found = _DAMAGES.search(consequence)
    return None if found is None or _MAY_HURT.search(f"{consequence} ; {hazard}") else found


def misplaced_warning(text: str) -> str | None:
    """Return the words by which a text warns although it is no hazard message, or None."""
    found = _TOO_LATE.search(text)
    return None if found is None else found[0].strip()


def misplaced_number(text: str) -> str | None:
    """Return a tolerance, a setting or numbered steps in a hazard message, or None.

    A distance to stay away, a voltage, a heat or a weight that makes the danger plain is
    none of these.
    """
    if not _NUMERAL.search(text):
        return None
    found = _IN_MESSAGE.search(text)
    if found is not None:
        return found
    steps = _NUMBERED.search(text)
    return None if steps is None else steps[0].strip()
