"""The forms of the verbs with which people say what they do at a machine."""

from __future__ import annotations

from functools import cache

from author.checks.verbs import CLEAR_VERBS, VERBS, words

# Said on a film and seldom written in a procedure.
_SPOKEN = words(
    """
    aim back bang bash batter bin bleed blow bolt bung button chuck clonk coax cock convince crack
    crank dab degunk dig dob dollop drape drizzle dress dunk eyeball fish flick flip fling goop
    grab heft hit hook hose jab jack jiggle jimmy knock lob loop lube mop nip nudge nut persuade
    ping plonk plop plumb poke pop prise pry rap rattle rest roll run scoop scooch scoot shift
    shimmy shove shuffle sight skim slacken slap slather slide sling slip slop smack smear snug
    spank spin splay spritz squirt stab stick stuff sweep swill swing swirl tap tease thread throw
    thump thumb tip toss torque trim tuck tug tweak unplug undo unscrew unhook untuck waggle walk
    whack whip wiggle wind work worm wrangle wriggle yank zip de-energise de-energize lock-out
    dry-fit
    test-fit pre-load pre-heat preheat preload prefill pre-fill retap sand deglaze lap burnish
    crosscheck cross-check re-seat re-thread reconnect recharge bench-test crimp splice backfill
    mike mic shine douse daub wedge blot whip-up reglue heat-shrink tin stand cant bridge chase
    dial calibrate clock tram scribe blue lacquer stretch sew hem
    re-check hand-tighten retorque re-torque reverse siphon purge rack ram spool reel pack repack
    spin ease bump collar press cup mask tape prime swap quench temper anneal jog home part
    inflate deflate top fill empty decant tension de-tension detension relieve vent depressurise
    depressurize isolate kill prove steady balance weight park chock block scotch earth ground short
    discharge flood soak leave keep get put take set bring draw pull push turn drop lift raise lower
    hang
    """
)
# With these a person talks, sees or has; they ask for nothing at the machine.
TALK = words(
    """
    admit agree apologise apologize argue be believe bet call care carry come comment complain
    describe discuss do enjoy expect explain feel find forget give go guess happen hate have head
    hear help hope imagine introduce know laugh learn leave like live look love make meet mention
    miss mind need notice pay pick point prefer pretend promise read realise realize reckon remember
    say see seem share show sit sleep start stick stop subscribe suggest suppose talk tell thank
    think try turn understand use visit wait want warn watch welcome wish wonder work worry wrap
    """
)
# Of the talking verbs these ask for work when they have an object of the trade behind them.
WORKING_TALK = words(
    """
    carry do feel find give go head leave look make pick start stick stop turn try use wait watch
    work wrap remember help point read sit
    """
)
_IRREGULAR = {
    "take": "took taken", "put": "put put", "get": "got gotten", "bring": "brought brought",
    "draw": "drew drawn", "drive": "drove driven", "break": "broke broken", "bend": "bent bent",
    "blow": "blew blown", "cut": "cut cut", "do": "did done", "undo": "undid undone",
    "fit": "fitted fitted", "give": "gave given", "go": "went gone", "grind": "ground ground",
    "hang": "hung hung", "hit": "hit hit", "hold": "held held", "keep": "kept kept",
    "knock": "knocked knocked", "lay": "laid laid", "leave": "left left", "let": "let let",
    "make": "made made", "run": "ran run", "set": "set set", "shake": "shook shaken",
    "slide": "slid slid", "spin": "spun spun", "stick": "stuck stuck", "sweep": "swept swept",
    "swing": "swung swung", "throw": "threw thrown", "unwind": "unwound unwound",
    "wind": "wound wound", "withdraw": "withdrew withdrawn", "write": "wrote written",
    "feel": "felt felt", "find": "found found", "see": "saw seen", "bleed": "bled bled",
    "sling": "slung slung", "spread": "spread spread", "split": "split split", "stand":
    "stood stood", "strike": "struck struck", "tell": "told told", "shut": "shut shut",
    "tear": "tore torn", "feed": "fed fed", "freeze": "froze frozen", "rebuild": "rebuilt rebuilt",
    "build": "built built", "choose": "chose chosen", "read": "read read", "seek": "sought sought",
    "sew": "sewed sewn", "shear": "sheared sheared", "dig": "dug dug", "sink": "sank sunk",
    "unstick": "unstuck unstuck", "wring": "wrung wrung", "fling": "flung flung",
}  # fmt: skip
_VOWELS = frozenset("aeiou")
# Short words that double their last letter: "tapping".
_NO_DOUBLE = words("blow draw screw sew fix wax box loosen tighten open fasten slacken listen")
ALL = (VERBS | _SPOKEN | TALK) - words("quite hers")
WORK = (VERBS | _SPOKEN) - (TALK - WORKING_TALK)
CLEAR = (
    CLEAR_VERBS
    | words(
        """
        bash chuck clonk coax degunk dunk jiggle lob nudge persuade plonk plop poke pry shove
        slather
        snug spritz squirt toss unhook untuck waggle whack wriggle torque prise retorque re-torque
        hand-tighten clean push pull lift lower slide tap press check drain clamp rinse wash
        """
    )
) - words("be do find give go have let tell describe don't double-check leave send warn keep")


def _doubled(base: str) -> str:
    if (
        len(base) > 2
        and base[-1] not in _VOWELS
        and base[-1] not in "wxy"
        and base[-2] in _VOWELS
        and base[-3] not in _VOWELS
        and base not in _NO_DOUBLE
        and sum(letter in _VOWELS for letter in base) == 1
    ):
        return base + base[-1]
    return base


def forms(base: str) -> tuple[str, str, str, str]:
    """Return "-s", "-ing", past and participle of a verb."""
    third = base + "es" if base.endswith(("s", "x", "z", "ch", "sh", "o")) else base + "s"
    if base.endswith("y") and base[-2:-1] and base[-2] not in _VOWELS:
        third = base[:-1] + "ies"
    drop = base.endswith("e") and not base.endswith(("ee", "oe", "ye"))
    stem = base[:-1] if drop else _doubled(base)
    past = stem + "ed"
    if base.endswith("y") and base[-2:-1] and base[-2] not in _VOWELS:
        past = base[:-1] + "ied"
    irregular = _IRREGULAR.get(base)
    if irregular is not None:
        first, second = irregular.split()
        return third, stem + "ing", first, second
    return third, stem + "ing", past, past


@cache
def _tables() -> tuple[dict[str, str], dict[str, str], dict[str, str], dict[str, str]]:
    thirds: dict[str, str] = {}
    going: dict[str, str] = {}
    past: dict[str, str] = {}
    done: dict[str, str] = {}
    for base in sorted(ALL):
        for verb in (base, "re" + base):
            if verb != base and base not in WORK:
                continue
            third, ing, first, second = forms(base)
            prefix = verb[: len(verb) - len(base)]
            thirds.setdefault(prefix + third, verb)
            going.setdefault(prefix + ing, verb)
            past.setdefault(prefix + first, verb)
            done.setdefault(prefix + second, verb)
    return thirds, going, past, done


def base_of_third(word: str) -> str | None:
    """Return the verb behind "takes", or None."""
    return _tables()[0].get(word)


def base_of_going(word: str) -> str | None:
    """Return the verb behind "taking" or "takin", or None."""
    going = _tables()[1]
    return going.get(word) or (going.get(word + "g") if word.endswith("in") else None)


def base_of_past(word: str) -> str | None:
    """Return the verb behind "took", or None."""
    return _tables()[2].get(word)


def base_of_done(word: str) -> str | None:
    """Return the verb behind "taken", or None."""
    return _tables()[3].get(word)


def is_work(word: str) -> bool:
    """Whether a word in its base form can ask for work at a machine."""
    return word in WORK or (word.startswith(("re-", "un")) and word[3:] in WORK)
